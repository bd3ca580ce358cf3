"""Every sheet of a file as it is, CSV, XLSX or ODS: rows of texts from the first row on.

A CSV file is one sheet without a name.
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import Any

from resultsgen.files.beside import Broken, Merged
from resultsgen.files.cell_texts import as_meant
from resultsgen.files.opening import LARGEST_TABLE
from resultsgen.files.spreadsheets import one_opener
from resultsgen.files.workbooks import beyond, cut_unfit
from resultsgen.meet.problems import Problem
from resultsgen.reading.texts import read_bytes, read_text, with_likely_encodings

SEPARATORS = ";,\t"
"""Where two stand equally often, the first is taken: a comma may be a decimal sign."""

WORKBOOKS = (".xlsx", ".xlsm", ".ods", ".xls", ".xlsb")
OLD = (".xls", ".xlsb")
"""Kinds in which a cell with an error cannot be told from an empty one."""

csv.field_size_limit(LARGEST_TABLE)  # A quotation mark that is never closed takes the whole file.

ERROR_AS_TEXT = re.compile(r"#[¡¿]?[^\W\d_]+(?:/0)?[!?]|#N/A|#NV|#N/D")
"""#DIV/0!, #BEZUG!, #¿NOMBRE?; no number of anybody."""

SheetCells = frozenset[tuple[int, int]]
"""Cells by row and column, counted from 0."""


@dataclass(frozen=True)
class Sheet:
    """What stands on a sheet; rows and columns are counted from 0, and lines from 1."""

    name: str
    rows: list[list[str]]
    """All of one width; merged cells hold their text in the first of them alone."""
    lines: Sequence[int]
    """The line of each row: its number in a spreadsheet, where it begins in a CSV file."""
    hidden: bool = False
    refused: str = ""
    """Why its cells are not read; then there are none."""
    merged: tuple[Merged, ...] = ()
    broken: tuple[Broken, ...] = ()
    unfit: tuple[tuple[int, int, str], ...] = ()
    """Row, column and why: cells that hold no text to be printed. Only their beginning is kept."""
    hidden_rows: tuple[int, ...] = ()
    hidden_columns: tuple[int, ...] = ()
    crossed_out: SheetCells = frozenset()
    separator: str = ""
    widths: tuple[int, ...] = ()
    """Of a CSV file: how many cells each row has as it is written."""

    @property
    def width(self) -> int:
        return len(self.rows[0]) if self.rows else 0

    @property
    def is_empty(self) -> bool:
        return not (any(map(any, self.rows)) or self.broken or self.refused)


@dataclass(frozen=True)
class Workbook:
    """A file and all that stands in it."""

    file: str
    sheets: tuple[Sheet, ...]


def read_sheets(
    folder: Path, file: str, encoding: str = "", heading: int = 0
) -> Workbook | list[Problem]:
    """Every sheet of a file, or why it cannot be read.

    *encoding* is that of a CSV file, where it is not one that says so itself. Its separator is told
    from the line of its *heading*, or the first below in which anything stands, if that is known.
    """
    if Path(file).suffix.lower() in WORKBOOKS:
        return _of_workbook(folder, file)
    text = read_text(folder, file, encoding)
    if isinstance(text, Problem):
        return [with_likely_encodings(folder, text) if text.code == "not-utf8" else text]
    return _of_csv(file, text, heading)


def _of_workbook(folder: Path, file: str) -> Workbook | list[Problem]:
    held = read_bytes(folder, file)
    if isinstance(held, Problem):
        return [held]
    if Path(file).suffix.lower() in OLD:
        return [_refused(file, "errors cannot be told from empty cells in such a file")]
    with one_opener() as opener:
        read = opener.read(held, _sheets)
    if isinstance(read, tuple):
        return Workbook(file, read)
    return [too_large(file, read["too much"])] if "too much" in read else [_refused(file, **read)]


def _sheets(answer: dict[str, Any]) -> tuple[Sheet, ...] | dict[str, str]:
    return tuple(map(_sheet, answer["sheets"])) if "sheets" in answer else answer


def _sheet(told: dict[str, Any]) -> Sheet:
    if "refused" in told:
        return Sheet(told["name"], [], (), told.get("hidden", False), told["refused"])
    return Sheet(
        told["name"],
        told["rows"],
        range(1, len(told["rows"]) + 1),
        told["hidden"],
        merged=tuple(Merged(*one) for one in told["merged"]),
        broken=tuple(Broken(*one) for one in told["broken"]),
        unfit=tuple((row, column, why) for row, column, why in told["unfit"]),
        hidden_rows=tuple(told["hidden_rows"]),
        hidden_columns=tuple(told["hidden_columns"]),
        crossed_out=frozenset((row, column) for row, column in told["crossed_out"]),
    )


def too_large(file: str, why: str) -> Problem:
    """That a table is not read since there is too much of it."""
    message = (
        f"is not read: {why}; delete what is no part of the table, or save the "
        "table alone, as CSV UTF-8"
    )
    return Problem(file, 0, "", "table-too-large", message)


def _refused(file: str, refused: str) -> Problem:
    message = f"cannot be opened as a spreadsheet ({refused}); save it again, or as CSV UTF-8"
    return Problem(file, 0, "", "no-spreadsheet", message)


def separator_of(text: str) -> str:
    """The separator that most lines have equally often outside quotation marks.

    >>> separator_of('bib;"family, given, or the whole name, as printed";club')
    ';'
    >>> separator_of("The Cup, 2031" + chr(10) + "1;9,5;8,5" + chr(10) + "2;9,1;8,2")
    ';'
    """
    lines = re.sub(r'"[^"]*"', "", text).splitlines()

    def cells(separator: str) -> int:
        often = Counter(map(str.count, lines, [separator] * len(lines)))
        return max((count * times for count, times in often.items()), default=0)

    return max(SEPARATORS, key=cells)


def _of_csv(file: str, text: str, heading: int) -> Workbook | list[Problem]:
    """The rows of a CSV file: comma, semicolon or tab."""
    written = list(io.StringIO(text.removeprefix("\ufeff"), newline=""))
    if not text.strip("\ufeff\r\n"):
        return [Problem(file, 0, "", "no-heading", "is empty; the first line names the columns")]
    unquoted = (re.sub(r'"[^"]*"', "", line) if '"' in line else line for line in written)
    below = (line for line in written[heading - 1 :] if line.strip()) if heading else iter(())
    line = next(below, text)
    # A heading with a cell of several lines ends in another line.
    separator = separator_of(text if line.count('"') % 2 else line)
    if too_much := beyond(len(written), 1 + max(line.count(separator) for line in unquoted)):
        message = f"is not read: {too_much}; delete what is no part of the table, or part it"
        return [Problem(file, 0, "", "table-too-large", message)]
    rows, lines, never_closed = _parsed(written, separator)
    if never_closed:
        message = "a quotation mark is opened here and never closed; close or delete it"
        return [Problem(file, lines[-1], "", "open-quotation", message)]
    if at := _beside_quotation(written, separator) if '"' in text else 0:
        message = (
            "something stands behind a quotation mark that closes a cell; take it out, or write a "
            "quotation mark within a cell twice"
        )
        return [Problem(file, at, "", "open-quotation", message)]
    widths = tuple(map(len, rows))
    width = max(widths)
    for row in rows:
        row += [""] * (width - len(row))
    if "'" in text:
        rows = [[as_meant(cell) if "'" in cell else cell for cell in row] for row in rows]
    unfit = tuple(cut_unfit(rows))
    # What a spreadsheet wrote in the place of a value, in any language.
    broken = tuple(
        Broken(row, column, cell.strip())
        for row, cells in enumerate(rows if "#" in text else ())
        for column, cell in enumerate(cells)
        if "#" in cell and ERROR_AS_TEXT.fullmatch(cell.strip())
    )
    for one in broken:
        rows[one.row][one.column] = ""
    return Workbook(file, (Sheet("", rows, lines, broken=broken, unfit=unfit,
                                 separator=separator, widths=widths),))  # fmt: skip


def _beside_quotation(written: list[str], separator: str) -> int:
    """The line on which more than blanks stands between the quotation mark that closes a cell and
    the next cell; 0: there is none, or the cell has swallowed lines, which is told elsewhere."""
    blanks, line = re.compile(rf'"[^\S\r\n]+(?={re.escape(separator)}|[\r\n]|$)'), 1
    meant = (blanks.sub('"', text) for text in written)
    reader = csv.reader(meant, delimiter=separator, strict=True)
    try:
        for _ in reader:
            line = reader.line_num + 1
    except csv.Error as error:
        return line if "expected after" in str(error) and reader.line_num == line else 0
    return 0


def _parsed(written: list[str], separator: str) -> tuple[list[list[str]], list[int], bool]:
    """The rows, the line of each, and whether the last one has a quotation mark never closed."""
    # Such a mark takes the blank line at the end, too.
    reader = csv.reader(chain(written, ["\n"]), delimiter=separator)
    rows, lines, line = [], [], 1
    for row in reader:
        rows.append(row)
        lines.append(line)
        line = 1 + reader.line_num
    if rows[-1]:
        rows[-1][-1] = rows[-1][-1].removesuffix("\n")
        return rows, lines, True
    return rows[:-1], lines[:-1], False
