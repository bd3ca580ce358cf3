"""XLSX and ODS: each cell as the text that a person would type, a number without any noise."""

from __future__ import annotations

import datetime as dt
import io
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from resultsgen.problems import Problem
from resultsgen.reading.files import read_bytes
from resultsgen.reading.grids import Grid
from resultsgen.reading.workbooks import Beside, Broken, Merged, beside_the_values, filled

if TYPE_CHECKING:
    from python_calamine import CalamineSheet

SHEETS = (".xlsx", ".xlsm", ".ods", ".xls", ".xlsb")


OLD = (".xls", ".xlsb")
"""Kinds in which a cell with an error cannot be told from an empty one."""


def sheet_rows(folder: Path, file: str, sheet: str) -> Grid | list[Problem]:
    """The cells of a sheet as text, the heading first, and the line of each row."""
    held = read_bytes(folder, file)
    if isinstance(held, Problem):
        return [held]
    try:
        sheets = _sheets(held, file)
    except (ValueError, OSError) as error:
        message = f"cannot be opened as a spreadsheet ({error}); save it again, or as CSV UTF-8"
        return [Problem(file, 0, "", "no-spreadsheet", message)]
    chosen = _chosen(sheets, sheet)
    if chosen is None:
        message = (
            f"has several sheets ({', '.join(sheets)}); name the one to read {sheet!r}, "
            "or keep only that one"
        )
        return [Problem(file, 0, "", "several-sheets", message)]
    return _grid(file, sheets[chosen], tuple(name for name in sheets if name != chosen))


def _grid(file: str, sheet: _Sheet, others: tuple[str, ...]) -> Grid:
    """The cells of a sheet from its first line on in which anything stands."""
    import pandas as pd

    rows = [[cell_text(cell) for cell in row] for row in sheet.rows]
    for one in sheet.beside.broken:
        if one.row < len(rows):
            rows[one.row][one.column : one.column + 1] = [""]
    first = next((number for number, row in enumerate(rows) if any(row)), len(rows))
    whole = filled(rows, sheet.beside.merged, first)
    lines = np.arange(first + 1, len(rows) + 1, dtype=np.int64)
    problems = tuple(_broken(file, one, rows[first:]) for one in sheet.beside.broken)
    return Grid(pd.DataFrame(whole[first:], dtype=object), lines, others, problems)


def _broken(file: str, one: Broken, rows: list[list[str]]) -> Problem:
    """That a cell has an error, or a formula that was never worked out."""
    heading = "".join(rows[0][one.column : one.column + 1]) if rows else ""
    what = (
        f"the cell holds the error {one.shown}"
        if one.shown
        else "the cell holds a formula that was never worked out; open and save the file again"
    )
    mend = f"{what}; mend it, or write the value itself"
    return Problem(
        file, one.row + 1, heading or letters(one.column), "broken-cell", mend, one.shown
    )


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


@dataclass(frozen=True)
class _Sheet:
    rows: list[list[Any]]
    beside: Beside


def _sheets(held: bytes, file: str) -> dict[str, _Sheet]:
    """Every sheet in which anything stands."""
    from python_calamine import CalamineError, CalamineWorkbook

    if Path(file).suffix.lower() in OLD:
        raise ValueError("errors cannot be told from empty cells in such a file")
    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(held))
        sheets = {name: _sheet(book.get_sheet_by_name(name), held) for name in book.sheet_names}
    except CalamineError as error:
        raise ValueError(str(error)) from None
    some = {
        name: one for name, one in sheets.items() if one.beside.broken or any(map(any, one.rows))
    }
    return some or {"": _Sheet([], Beside())}


def _sheet(sheet: CalamineSheet, held: bytes) -> _Sheet:
    """One sheet with what is said of its cells."""
    beside = beside_the_values(held, sheet.name)
    ranges = sheet.merged_cell_ranges or ()
    merged = tuple(
        Merged(top, left, bottom - top + 1, right - left + 1)
        for (top, left), (bottom, right) in ranges
    )
    return _Sheet(
        sheet.to_python(skip_empty_area=False), replace(beside, merged=beside.merged or merged)
    )


def _chosen(sheets: dict[str, _Sheet], wanted: str) -> str | None:
    """The sheet of the wanted name, or the only one."""
    named = [name for name in sheets if name.strip().casefold() == wanted]
    if named:
        return named[0]
    return next(iter(sheets)) if len(sheets) == 1 else None


def cell_text(cell: Any) -> str:
    """A cell as text; a number with nine decimals at most, and none that are not needed.

    What lies beyond is no digit that anybody entered: the sum of the cells 8.9 and 4.8 is
    13.700000000000001 in a spreadsheet. But 13.70001 keeps all its decimals, and is no mark.

    >>> cell_text(8.9 + 4.8), cell_text(101.0), cell_text(True), cell_text("007")
    ('13.7', '101', 'yes', '007')
    """
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return format(cell, ".9f").rstrip("0").rstrip(".")
    if isinstance(cell, (dt.date, dt.time)):
        return cell.isoformat()
    return str(cell)
