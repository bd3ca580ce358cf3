"""A table as it stands in a file, whatever kind of file that is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from resultsgen.meet.problems import Problem

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt
    import pandas as pd


@dataclass(frozen=True)
class Grid:
    """Cells as text, the heading first, and the line of each row in the file."""

    cells: pd.DataFrame
    lines: npt.NDArray[np.int64]
    other_sheets: tuple[str, ...] = ()
    """Of a workbook: the sheets that are not read here, and in which something stands."""
    problems: tuple[Problem, ...] = ()


def unfit_text(file: str, line: int, column: str, why: str, text: str) -> Problem:
    """That a cell holds what is no text to be printed."""
    return Problem(file, line, column, "unfit-text", f"{why}; mend or shorten it", text[:40])


def letters(column: int) -> str:
    """What a spreadsheet calls a column, counted from 0.

    >>> letters(0), letters(27)
    ('A', 'AB')
    """
    named, column = "", column + 1
    while column > 0:
        column, letter = divmod(column - 1, 26)
        named = chr(ord("A") + letter) + named
    return named
