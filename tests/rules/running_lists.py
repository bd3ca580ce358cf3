"""Small lists for the tests of the running meet."""

import pandas as pd

from resultsgen.live.progress import Progress, progress
from resultsgen.rules.criteria import BEST_PARTS, criteria

WOMEN = ("VT", "UB", "BB", "FX")
MEN = ("FX", "PH", "SR", "VT", "PB", "HB")


def table(rows, kind="Int64"):
    """A row per gymnast and a column per women's apparatus, as many as the rows are long."""
    width = max(len(row) for row in rows.values())
    cells = [[pd.NA if value is None else value for value in row] for row in rows.values()]
    return pd.DataFrame(cells, index=list(rows), columns=list(WOMEN[:width]), dtype=kind)


def list_of(marks, **others) -> Progress:
    """A list of these marks; e, d, passed and competing as rows by gymnast, where given."""
    found = table(marks)
    for name in ("e", "d"):
        if name in others:
            others[name] = table(others[name]).reindex(found.index)
    if "passed" in others:
        given = table(others["passed"], "object").reindex(found.index)
        others["passed"] = given.eq(True)
    if "competing" in others:
        others["competing"] = pd.Series(others["competing"]).reindex(found.index)
    return progress(found, **others)


def together(marks, **others) -> Progress:
    """A list in which everybody does the same apparatus at a time."""
    progress = list_of(marks, **others)
    rotation = progress.marks.copy()
    for number, part in enumerate(progress.parts, 1):
        rotation[part] = number
    return list_of(marks, rotation=rotation.astype("Int64"), **others)


def cascade(parts):
    """Best n-1 apparatus, best n-2 ..., then E, then D."""
    return criteria((BEST_PARTS, "total E", "total D"), parts)


def by_e():
    """E, then D: the rule of one apparatus."""
    return criteria(("E", "D"), 1)
