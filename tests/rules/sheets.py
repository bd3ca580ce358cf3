"""Lists to be placed: written out by hand, or drawn from small ranges, so that ties occur."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pandas as pd
from hypothesis import strategies as st

from resultsgen.rules.criteria import BEST_PARTS, CRITERIA, Criterion, Sheet, criteria

Rows = Sequence[Sequence[int | None]]

RULES = {
    "all-around": (BEST_PARTS, "total E", "total D"),
    "apparatus": ("E", "D"),
    "two vaults": ("better vault", "higher E", "higher D"),
    "team": (BEST_PARTS,),
    "shared": (),
    **{criterion.name: (criterion.name,) for criterion in CRITERIA},
}
"""The rules of whole lists, and every criterion alone."""


def integers(rows: Rows, columns: int) -> pd.DataFrame:
    """Whole thousandths, `<NA>` for None."""
    cells = [[pd.NA if value is None else value for value in row] for row in rows]
    return pd.DataFrame(cells, columns=range(columns), dtype="Int64")


def sheet(marks: Rows, e: Rows | None = None, d: Rows | None = None, **facts: Any) -> Sheet:
    """A list whose total is the sum of its marks; without a total where one is missing."""
    width = len(marks[0]) if marks else 1
    parts = integers(marks, width)
    empty: Rows = [[None] * width for _ in marks]
    return Sheet(
        parts.sum(axis=1, skipna=False).astype("Int64"),
        parts,
        integers(empty if e is None else e, width),
        integers(empty if d is None else d, width),
        pd.DataFrame(
            {name: pd.array(values, dtype="Int64") for name, values in facts.items()},
            index=parts.index,
        ),
    )


def steps(rule: str, width: int) -> tuple[Criterion, ...]:
    """The criteria of one of RULES, for lists of so many parts."""
    return criteria(RULES[rule], width)


@st.composite
def drawn(draw: st.DrawFn, *, width: int = 4, gaps: bool = False) -> dict[str, list[Any]]:
    """Marks, E, D and facts of up to nine gymnasts, each from 0 to 3; with gaps if asked for."""
    count = draw(st.integers(0, 9))
    value = st.integers(0, 3) | st.none() if gaps else st.integers(0, 3)
    rows = st.lists(st.lists(value, min_size=width, max_size=width), min_size=count, max_size=count)
    facts = st.lists(value, min_size=count, max_size=count)
    scores = {"marks": draw(rows), "e": draw(rows), "d": draw(rows)}
    return scores | {"all_around": draw(facts), "birth_year": draw(facts)}


def taken(table: dict[str, list[Any]], order: Sequence[int]) -> dict[str, list[Any]]:
    """The same rows in another order."""
    return {name: [rows[number] for number in order] for name, rows in table.items()}
