"""A table as it stands on a sheet: rows of text from the heading on, each with its line."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from resultsgen.files.beside import Broken, filled
from resultsgen.meet.problems import Problem, most
from resultsgen.reading.sheets import Sheet, Workbook, read_sheets, too_large

NAMES = {",": "comma", ";": "semicolon", "\t": "tab"}

BROKEN = "broken-cell"


@dataclass(frozen=True)
class Grid:
    """The rows of a table, the heading first, all of one width, and the line of each."""

    rows: list[list[str]]
    lines: list[int]
    other_sheets: tuple[str, ...] = ()
    """Of a workbook: the sheets that are not read here, and in which something stands."""
    problems: tuple[Problem, ...] = ()


def read_grid(folder: Path, file: str, sheet: str) -> Grid | list[Problem]:
    """The cells of a file, or why it cannot be read; *sheet* is the one to take of several."""
    book = read_sheets(folder, file, heading=1)
    if isinstance(book, list):
        return book
    chosen = _chosen(book, sheet)
    if isinstance(chosen, Problem):
        return [chosen]
    if chosen.refused:
        return [too_large(file, chosen.refused)]
    first = next((number for number, row in enumerate(chosen.rows) if any(row)), 0)
    misfits = list(_misfits(file, chosen, first))
    if any(problem.code == "too-many-cells" for problem in misfits):
        return list(most(misfits))
    if swallowed := list(_swallowed_rows(file, chosen, first)):
        return swallowed
    width = chosen.widths[first] if chosen.widths else None
    rows = filled(chosen.rows, chosen.merged, first)[first:]
    rows = rows if width is None else [row[:width] for row in rows]
    others = tuple(one.name for one in book.sheets if one is not chosen and not one.is_empty)
    told = (*_of_cells(file, chosen, first), *most(misfits))
    return Grid(rows, list(chosen.lines[first:]), others, told)


def _chosen(book: Workbook, name: str) -> Sheet | Problem:
    some = [sheet for sheet in book.sheets if not sheet.is_empty]
    named = [sheet for sheet in some if sheet.name.strip().casefold() == name]
    if not named and len(some) > 1:
        message = (
            f"has several sheets ({', '.join(sheet.name for sheet in some)}); name the one to read "
            f"{name!r}, or keep only that one"
        )
        return Problem(book.file, 0, "", "several-sheets", message)
    return next(iter((*named, *some, *book.sheets)), Sheet("", [], ()))


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


def _misfits(file: str, sheet: Sheet, first: int) -> Iterator[Problem]:
    """Rows of CSV in which something stands, with more cells than the heading or too few."""
    if not sheet.widths:
        return
    heading, width = sheet.rows[first], sheet.widths[first]
    named = max(number for number, cell in enumerate(heading, 1) if cell.strip() or number == 1)
    for number in range(first, len(sheet.rows)):
        cells, row, line = sheet.widths[number], sheet.rows[number], sheet.lines[number]
        if cells > width:
            message = (
                f"has {cells} cells, the heading has {width}; put a cell that holds the "
                'separator (a decimal comma, for example) in quotation marks: "13,700"'
            )
            yield Problem(file, line, "", "too-many-cells", message, _shown(sheet, number))
        elif cells < named and any(map(str.strip, row)):
            message = (
                f"has {cells} cells, the heading has {named}; put in what is missing: an empty "
                f"cell needs its separator ({NAMES[sheet.separator]}) too"
            )
            yield Problem(file, line, "", "too-few-cells", message, _shown(sheet, number))


def _shown(sheet: Sheet, row: int) -> str:
    return sheet.separator.join(sheet.rows[row][: sheet.widths[row]])[:80]


def _swallowed_rows(file: str, sheet: Sheet, first: int) -> Iterator[Problem]:
    """Rows of CSV with a cell of several lines that has as many separators as a whole row."""
    if not sheet.widths:
        return
    separators = max(1, sheet.widths[first] - 1)
    message = (
        "a quotation mark is opened here and whole rows stand inside of it; close or delete it"
    )
    for row, line, following in zip(
        sheet.rows[first:], sheet.lines[first:], [*sheet.lines[first + 1 :], 0], strict=True
    ):
        if following != line + 1 and any(
            cell.count(sheet.separator) >= separators and ("\n" in cell or "\r" in cell)
            for cell in row
        ):
            yield Problem(file, line, "", "open-quotation", message)


def _of_cells(file: str, sheet: Sheet, first: int) -> Iterator[Problem]:
    """What is wrong with single cells, and is seen whatever stands in their column."""
    heading = sheet.rows[first] if sheet.rows else []
    for one in sheet.broken:
        yield _broken(file, heading, one)
    for row, column, why in sheet.unfit:
        if row >= first:
            named, text = heading[column][:40] or letters(column), sheet.rows[row][column][:40]
            message = f"{why}; mend or shorten it"
            yield Problem(file, sheet.lines[row], named, "unfit-text", message, text)


def _broken(file: str, heading: list[str], cell: Broken) -> Problem:
    """That a cell has an error, or a formula that was never worked out."""
    named = "".join(heading[cell.column : cell.column + 1]).strip() or letters(cell.column)
    message = (
        f"the cell holds the error {cell.shown}; mend it, or write the value itself"
        if cell.shown
        else "the cell holds a formula that was never worked out; open the file in a spreadsheet "
        "and save it again, or write the value itself"
    )
    return Problem(file, cell.row + 1, named, BROKEN, message, cell.shown)
