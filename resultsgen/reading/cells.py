"""Columns of text read as marks, whole numbers, yes or no, or a status; what is none is told."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from resultsgen.marks import STATUSES, parse_mark
from resultsgen.problems import Problem
from resultsgen.reading.tables import Strings, Table
from resultsgen.reading.words import NO, YES

if TYPE_CHECKING:
    import numpy.typing as npt
    import pandas as pd

NOT_A_MARK = (
    "{text} is no mark; write digits and at most three decimals, 13.700 or 13,700 "
    "(empty: not yet; DNS, DNF, DSQ or WDR instead of a mark)"
)
NOT_A_NUMBER = "{text} is no whole number; write one, or leave the cell empty"


def whole_number(text: str) -> int | None:
    """A whole number of at most six digits; None where the text is none.

    >>> whole_number("12"), whole_number("1.5")
    (12, None)
    """
    return int(text) if re.fullmatch(r"[0-9]{1,6}", text) else None


def integers(
    table: Table, name: str, reading: Callable[[str], int | None], code: str, mend: str
) -> tuple[pd.arrays.IntegerArray, list[Problem]]:
    """A column as Int64: `<NA>` where nothing stands, and where something stands that is none."""
    import pandas as pd

    texts = table.column(name)
    read = [reading(text) if text else None for text in texts.different]
    absent = np.array([value is None for value in read], dtype=bool)
    values = np.array([value or 0 for value in read], dtype=np.int64)
    unreadable = {
        text for text, value in zip(texts.different, read, strict=True) if text and value is None
    }
    problems = table.problems(name, unreadable.__contains__, code, mend) if unreadable else []
    column = pd.arrays.IntegerArray(values.take(texts.which), absent.take(texts.which))
    return column, problems


def marks(table: Table, name: str) -> tuple[pd.arrays.IntegerArray, list[Problem]]:
    """A column of D scores, E scores or the like in thousandths."""
    return integers(table, name, parse_mark, "not-a-mark", NOT_A_MARK)


def marks_or_statuses(
    table: Table, name: str
) -> tuple[pd.arrays.IntegerArray, Strings, list[Problem]]:
    """A column of final marks in which a status may stand: the marks, and the statuses."""
    column, problems = marks(table, name)
    status = table.column(name).text(lambda text: text.upper() if text.upper() in STATUSES else "")
    told = [one for one in problems if one.value.upper() not in STATUSES]
    return column, status, told


def whole_numbers(table: Table, name: str) -> tuple[pd.arrays.IntegerArray, list[Problem]]:
    """A column of whole numbers."""
    return integers(table, name, whole_number, "not-a-number", NOT_A_NUMBER)


def yes_or_no(
    table: Table, name: str, *, otherwise: bool
) -> tuple[npt.NDArray[np.bool_], list[Problem]]:
    """A column of yes and no; *otherwise* where nothing stands."""

    def wrong(text: str) -> bool:
        return bool(text) and text.casefold() not in YES | NO

    mend = "{text}: write yes or no, or leave the cell empty"
    problems = table.problems(name, wrong, "not-yes-or-no", mend)
    column = table.column(name).rows(
        lambda text: text.casefold() in YES or (otherwise and text.casefold() not in NO)
    )
    return column, problems


def statuses(table: Table, name: str, known: tuple[str, ...]) -> tuple[Strings, list[Problem]]:
    """A column of statuses, in capitals."""
    mend = f"{{text}} is no status here; write {', '.join(known)}, or leave the cell empty"
    problems = table.problems(
        name, lambda text: bool(text) and text.upper() not in known, "unknown-status", mend
    )
    column = table.column(name).text(lambda text: text.upper() if text.upper() in known else "")
    return column, problems
