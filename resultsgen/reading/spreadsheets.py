"""XLSX and ODS: each cell as the text that a person would type, a number without any noise."""

from __future__ import annotations

import datetime as dt
import io
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from resultsgen.problems import Problem
from resultsgen.reading.files import read_bytes

if TYPE_CHECKING:
    import numpy.typing as npt
    import pandas as pd

SHEETS = (".xlsx", ".xlsm", ".ods", ".xls", ".xlsb")


def sheet_rows(
    folder: Path, file: str, sheet: str
) -> tuple[pd.DataFrame, npt.NDArray[np.int64]] | list[Problem]:
    """The cells of a sheet as text, the heading first, and the line of each row."""
    import pandas as pd

    held = read_bytes(folder, file)
    if isinstance(held, Problem):
        return [held]
    try:
        sheets = _sheets(held)
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
    rows = [[cell_text(cell) for cell in row] for row in sheets[chosen]]
    first = next((number for number, row in enumerate(rows) if any(row)), len(rows))
    cells = pd.DataFrame(rows[first:], dtype=object)
    return cells, np.arange(first + 1, len(rows) + 1, dtype=np.int64)


def _sheets(held: bytes) -> dict[str, list[list[Any]]]:
    """The rows of every sheet in which anything stands."""
    from python_calamine import CalamineError, CalamineWorkbook

    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(held))
        sheets = {
            name: book.get_sheet_by_name(name).to_python(skip_empty_area=False)
            for name in book.sheet_names
        }
    except CalamineError as error:
        raise ValueError(str(error)) from None
    return {name: rows for name, rows in sheets.items() if any(map(any, rows))} or {"": []}


def _chosen(sheets: dict[str, list[list[Any]]], wanted: str) -> str | None:
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
