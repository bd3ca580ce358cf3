"""Columns of text read as marks, whole numbers, yes or no, or a status; what is none is told."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from resultsgen.meet.marks import STATUSES, parse_mark
from resultsgen.meet.problems import Problem
from resultsgen.reading.tables import Table
from resultsgen.reading.texts import Texts
from resultsgen.reading.words import NO, YES

if TYPE_CHECKING:
    import numpy.typing as npt
    import pandas as pd

NOT_A_MARK = (
    "{text} is no mark; write at most three digits and three decimals, 13.700 or 13,700 "
    "(empty: not yet; DNS, DNF, DSQ or WDR instead of a mark)"
)
NOT_A_NUMBER = "{text} is no whole number; write one, or leave the cell empty"


THREE_DECIMALS = re.compile(r"[0-9]{1,3}[.,][0-9]{3}(?:\n[0-9]{1,3}[.,][0-9]{3})*+")
WITHOUT_POINT = str.maketrans("", "", ".,")


def whole_number(text: str) -> int | None:
    """A whole number of at most six digits; None where the text is none.

    >>> whole_number("12"), whole_number("1.5")
    (12, None)
    """
    return int(text) if re.fullmatch(r"[0-9]{1,6}", text) else None


def thousandths(texts: list[str]) -> list[int | None]:
    """Each text as a mark; all at once where all are printed with three decimals.

    >>> thousandths(["13.700", "9,950"]), thousandths(["13.7", "", "x"])
    ([13700, 9950], [13700, None, None])
    """
    held = "\n".join(texts)
    if THREE_DECIMALS.fullmatch(held):
        return [int(digits) for digits in held.translate(WITHOUT_POINT).split("\n")]
    return [parse_mark(text) for text in texts]


def integers(
    table: Table,
    name: str,
    reading: Callable[[list[str]], list[int | None]],
    wrong: tuple[str, str],
    instead: tuple[str, ...] = (),
) -> tuple[pd.arrays.IntegerArray, list[Problem]]:
    """A column as Int64, `<NA>` where no number stands.

    *wrong* is the code and the message where something else stands, unless it is one of the words
    that may stand *instead*.
    """
    import pandas as pd

    texts = table.column(name)
    read = reading(texts.different)
    absent = np.array([value is None for value in read], dtype=bool)
    values = np.array([value or 0 for value in read], dtype=np.int64)
    column = pd.arrays.IntegerArray(values.take(texts.which), absent.take(texts.which))
    unread = {texts.different[number] for number in np.flatnonzero(absent)}
    unread = {text for text in unread if text and text.upper() not in instead}
    return column, table.problems(name, unread.__contains__, *wrong) if unread else []


def marks(
    table: Table, name: str, instead: tuple[str, ...] = ()
) -> tuple[pd.arrays.IntegerArray, list[Problem]]:
    """A column of marks, D scores, E scores or the like in thousandths."""
    return integers(table, name, thousandths, ("not-a-mark", NOT_A_MARK), instead)


def marks_or_statuses(
    table: Table, name: str
) -> tuple[pd.arrays.IntegerArray, Texts, list[Problem]]:
    """A column of final marks in which a status may stand: the marks, and the statuses."""
    column, problems = marks(table, name, instead=STATUSES)
    return column, _known_statuses(table, name, STATUSES), problems


def whole_numbers(table: Table, name: str) -> tuple[pd.arrays.IntegerArray, list[Problem]]:
    """A column of whole numbers."""
    return integers(
        table,
        name,
        lambda texts: [whole_number(text) for text in texts],
        ("not-a-number", NOT_A_NUMBER),
    )


def yes_or_no(
    table: Table, name: str, *, otherwise: bool
) -> tuple[npt.NDArray[np.bool_], list[Problem]]:
    """A column of yes and no; *otherwise* where nothing stands."""

    def wrong(text: str) -> bool:
        return bool(text) and text.casefold() not in YES | NO

    mend = "{text}: write yes or no, or leave the cell empty"
    problems = table.problems(name, wrong, "not-yes-or-no", mend)
    column = table.column(name).rows(
        lambda text: text.casefold() in YES or (otherwise and not text)
    )
    return column, problems


def statuses(table: Table, name: str, known: tuple[str, ...]) -> tuple[Texts, list[Problem]]:
    """A column of statuses, in capitals."""
    mend = f"{{text}} is no status here; write {', '.join(known)}, or leave the cell empty"
    problems = table.problems(
        name, lambda text: bool(text) and text.upper() not in known, "unknown-status", mend
    )
    return _known_statuses(table, name, known), problems


def _known_statuses(table: Table, name: str, known: tuple[str, ...]) -> Texts:
    return table.column(name).read(lambda text: text.upper() if text.upper() in known else "")
