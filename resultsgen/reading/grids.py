"""A table as it stands in a file, CSV, XLSX or ODS: rows of text, each with its line."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import Any

from resultsgen.files.opening import LARGEST_TABLE
from resultsgen.files.spreadsheets import as_meant, one_opener
from resultsgen.files.workbooks import CELL, CONTROLS, beyond, unfit
from resultsgen.meet.problems import Problem, most
from resultsgen.reading.texts import read_bytes, read_text

NAMES = {",": "comma", ";": "semicolon", "\t": "tab"}

SHEETS = (".xlsx", ".xlsm", ".ods", ".xls", ".xlsb")
OLD = (".xls", ".xlsb")
"""Kinds in which a cell with an error cannot be told from an empty one."""

BROKEN = "broken-cell"

csv.field_size_limit(LARGEST_TABLE)  # A quotation mark that is never closed takes the whole file.


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
    if Path(file).suffix.lower() in SHEETS:
        return _of_workbook(folder, file, sheet)
    text = read_text(folder, file)
    return [text] if isinstance(text, Problem) else _of_csv(file, text)


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


def _unfit(file: str, line: int, column: str, why: str, text: str) -> Problem:
    return Problem(file, line, column, "unfit-text", f"{why}; mend or shorten it", text[:40])


def separator_of(heading: str) -> str:
    """The separator that stands most often in the heading line outside quotation marks.

    >>> separator_of('bib;"family, given, or the whole name, as printed";club')
    ';'
    """
    return max(NAMES, key=re.sub(r'"[^"]*"', "", heading).count)


def _of_csv(file: str, held: str) -> Grid | list[Problem]:
    """The rows of a CSV file: comma, semicolon or tab, told from the heading line."""
    text = held.lstrip("\r\n")
    blank_lines = len(re.findall(r"\r\n?|\n", held[: len(held) - len(text)]))
    if not text:
        return [Problem(file, 0, "", "no-heading", "is empty; the first line names the columns")]
    written = list(io.StringIO(text.removeprefix("\ufeff"), newline=""))
    separator = separator_of(text.split("\n", 1)[0])
    unquoted = (re.sub(r'"[^"]*"', "", line) if '"' in line else line for line in written)
    if too_much := beyond(len(written), 1 + max(line.count(separator) for line in unquoted)):
        message = f"is not read: {too_much}; delete what is no part of the table, or part it"
        return [Problem(file, 0, "", "table-too-large", message)]
    rows, lines, never_closed = _parsed(written, separator, blank_lines + 1)
    misfits = list(_misfits(file, rows, lines, separator))
    if any(problem.code == "too-many-cells" for problem in misfits):
        return list(most(misfits))
    if never_closed:
        message = "a quotation mark is opened here and never closed; close or delete it"
        return [Problem(file, lines[-1], "", "open-quotation", message)]
    if swallowed := list(_swallowed_rows(file, rows, lines, separator)):
        return swallowed
    width = len(rows[0])
    for row in rows:
        if len(row) < width:
            row += [""] * (width - len(row))
    if "'" in text:
        rows = [[as_meant(cell) if "'" in cell else cell for cell in row] for row in rows]
    return Grid(rows, lines, problems=(*_cut_unfit_cells(file, rows, lines), *most(misfits)))


def _parsed(
    written: list[str], separator: str, first: int
) -> tuple[list[list[str]], list[int], bool]:
    """The rows, the line of each, and whether the last one has a quotation mark never closed."""
    # Such a mark takes the blank line at the end, too.
    reader = csv.reader(chain(written, ["\n"]), delimiter=separator)
    rows, lines, line = [], [], first
    for row in reader:
        rows.append(row)
        lines.append(line)
        line = first + reader.line_num
    if rows[-1]:
        rows[-1][-1] = rows[-1][-1].removesuffix("\n")
        return rows, lines, True
    return rows[:-1], lines[:-1], False


def _misfits(
    file: str, rows: list[list[str]], lines: list[int], separator: str
) -> Iterator[Problem]:
    """Rows in which something stands, with more cells than the heading or too few."""
    heading = rows[0]
    width = len(heading)
    named = max(number for number, cell in enumerate(heading, 1) if cell.strip() or number == 1)
    for number in [number for number, row in enumerate(rows) if len(row) != width]:
        row, line = rows[number], lines[number]
        shown = separator.join(row)[:80]
        if len(row) > width:
            message = (
                f"has {len(row)} cells, the heading has {width}; put a cell that holds the "
                'separator (a decimal comma, for example) in quotation marks: "13,700"'
            )
            yield Problem(file, line, "", "too-many-cells", message, shown)
        elif len(row) < named and any(map(str.strip, row)):
            message = (
                f"has {len(row)} cells, the heading has {named}; put in what is missing: an empty "
                f"cell needs its separator ({NAMES[separator]}) too"
            )
            yield Problem(file, line, "", "too-few-cells", message, shown)


def _swallowed_rows(
    file: str, rows: list[list[str]], lines: list[int], separator: str
) -> Iterator[Problem]:
    """Rows with a cell of several lines that has as many separators as a whole row."""
    separators = max(1, len(rows[0]) - 1)
    message = (
        "a quotation mark is opened here and whole rows stand inside of it; close or delete it"
    )
    for row, line, following in zip(rows, lines, [*lines[1:], 0], strict=True):
        if following != line + 1 and any(
            cell.count(separator) >= separators and ("\n" in cell or "\r" in cell) for cell in row
        ):
            yield Problem(file, line, "", "open-quotation", message)


def _cut_unfit_cells(file: str, rows: list[list[str]], lines: list[int]) -> Iterator[Problem]:
    """A problem for each cell that is no text to be printed; only its beginning is kept."""
    different = {*chain.from_iterable(rows)}
    held = "".join(different)
    if held.isascii() and max(map(len, different)) <= CELL and not CONTROLS.search(held):
        return  # Nearly always, and quickly seen.
    wrong = {cell: why for cell in different if (why := unfit(cell))}
    headings = list(rows[0])
    for row, line in zip(rows, lines, strict=True):
        for position, cell in enumerate(row):
            if cell in wrong:
                yield _unfit(file, line, headings[position][:40], wrong[cell], cell)
                row[position] = cell[:CELL]


def _of_workbook(folder: Path, file: str, sheet: str) -> Grid | list[Problem]:
    """The rows of a sheet from its first one on in which anything stands."""
    held = read_bytes(folder, file)
    if isinstance(held, Problem):
        return [held]
    if Path(file).suffix.lower() in OLD:
        return [_refused(file, "errors cannot be told from empty cells in such a file")]
    with one_opener() as opener:
        answer = opener.answer(held, sheet)
    if "rows" not in answer:
        return [_not_opened(file, sheet, answer)]
    rows, first = answer["rows"], answer["first"]
    heading = rows[0] if rows else []
    problems = [_broken(file, heading, *cell) for cell in answer["broken"]]
    for row, column, why in answer["unfit"]:
        named = heading[column][:40] or letters(column)
        problems.append(_unfit(file, row + 1, named, why, rows[row - first][column]))
    lines = list(range(first + 1, first + 1 + len(rows)))
    return Grid(rows, lines, tuple(answer["others"]), tuple(problems))


def _not_opened(file: str, sheet: str, answer: dict[str, Any]) -> Problem:
    if "sheets" in answer:
        message = (
            f"has several sheets ({', '.join(answer['sheets'])}); name the one to read {sheet!r}, "
            "or keep only that one"
        )
        return Problem(file, 0, "", "several-sheets", message)
    if "too much" in answer:
        message = (
            f"is not read: {answer['too much']}; delete what is no part of the table, or save the "
            "table alone, as CSV UTF-8"
        )
        return Problem(file, 0, "", "table-too-large", message)
    return _refused(file, answer["refused"])


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
