"""XLSX and ODS: each cell as the text that a person would type, a number without any noise."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

from resultsgen.meet.problems import Problem
from resultsgen.reading.files import read_bytes
from resultsgen.reading.grids import Grid, letters, unfit_text
from resultsgen.reading.workbooks.opening import one_opener

SHEETS = (".xlsx", ".xlsm", ".ods", ".xls", ".xlsb")


OLD = (".xls", ".xlsb")
"""Kinds in which a cell with an error cannot be told from an empty one."""


BROKEN = "broken-cell"


def sheet_rows(folder: Path, file: str, sheet: str) -> Grid | list[Problem]:
    """The cells of a sheet as text, the heading first, and the line of each row."""
    held = read_bytes(folder, file)
    if isinstance(held, Problem):
        return [held]
    if Path(file).suffix.lower() in OLD:
        return [_refused(file, "errors cannot be told from empty cells in such a file")]
    with one_opener() as opener:
        told = opener.answer(held, sheet)
    return _grid(file, told) if "rows" in told else [_not_opened(file, sheet, told)]


def _grid(file: str, told: dict[str, Any]) -> Grid:
    """The cells of a sheet from its first line on in which anything stands."""
    import pandas as pd

    rows = told["rows"]
    lines = np.arange(len(rows), dtype=np.int64) + told["first"] + 1
    heading = rows[0] if rows else []
    problems = [_broken(file, heading, *one) for one in told["broken"]]
    for row, column, why in told["unfit"]:
        named = heading[column][:40] or letters(column)
        text = rows[row - told["first"]][column]
        problems.append(unfit_text(file, row + 1, named, why, text))
    return Grid(pd.DataFrame(rows, dtype=object), lines, tuple(told["others"]), tuple(problems))


def _not_opened(file: str, sheet: str, told: dict[str, Any]) -> Problem:
    """Why a workbook has no rows."""
    if "sheets" in told:
        message = (
            f"has several sheets ({', '.join(told['sheets'])}); name the one to read {sheet!r}, "
            "or keep only that one"
        )
        return Problem(file, 0, "", "several-sheets", message)
    if "too much" in told:
        message = (
            f"is not read: {told['too much']}; delete what is no part of the table, or save the "
            "table alone, as CSV UTF-8"
        )
        return Problem(file, 0, "", "table-too-large", message)
    return _refused(file, told["refused"])


def _refused(file: str, why: str) -> Problem:
    message = f"cannot be opened as a spreadsheet ({why}); save it again, or as CSV UTF-8"
    return Problem(file, 0, "", "no-spreadsheet", message)


def _broken(file: str, heading: list[str], row: int, column: int, shown: str) -> Problem:
    """That a cell has an error, or a formula that was never worked out."""
    named = "".join(heading[column : column + 1]).strip() or letters(column)
    message = (
        f"the cell holds the error {shown}; mend it, or write the value itself"
        if shown
        else "the cell holds a formula that was never worked out; open the file in a spreadsheet "
        "and save it again, or write the value itself"
    )
    return Problem(file, row + 1, named, BROKEN, message, shown)
