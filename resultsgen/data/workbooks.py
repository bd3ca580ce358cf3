"""Workbooks: the tables of each competition as sheets of one XLSX, marks as numbers.

Whoever wants a table in a spreadsheet wants the others of that competition beside it. Texts are
written as texts, so that no cell is a formula; nothing in the file tells when it was made.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Any

from resultsgen import __version__
from resultsgen.data.columns import CsvTable, Field
from resultsgen.files.cache import Cache, key_of
from resultsgen.language import to_say
from resultsgen.views.press.attachments import Title

if TYPE_CHECKING:
    from xlsxwriter.worksheet import Worksheet

MADE = dt.datetime(2000, 1, 1)
"""Stands where a workbook says when it was made, so that the same tables give the same bytes."""

LONGEST_NAME = 31
"""Of a sheet."""

WIDEST = 40
"""Characters; a longer text runs out of its cell."""

OF_THE_MEET = "meet"
TEXTS_ONLY = {
    "in_memory": True,
    "strings_to_formulas": False,
    "strings_to_numbers": False,
    "strings_to_urls": False,
}


@dataclass(frozen=True)
class Workbook:
    """A workbook: its file below `data/`, its title and its tables."""

    file: str
    title: Title
    tables: tuple[CsvTable, ...]


def workbooks(tables: list[CsvTable], titles: dict[str, str], meet: str) -> Iterator[Workbook]:
    """One for each competition, by the titles of their ids, and one for the tables of the meet."""
    for id, title in {**titles, "": meet}.items():
        own = tuple(table for table in tables if table.file.rpartition("/")[0] == id)
        file = f"{id}/{id}.xlsx" if id else f"{OF_THE_MEET}.xlsx"
        if own:
            yield Workbook(file, Title(to_say("all tables, a sheet each"), title), own)


def workbook_bytes(book: Workbook, kept: Cache) -> bytes:
    """The file; from what is kept, where the same tables have been written before."""
    key = key_of("workbook", __version__, *(f"{one.file}\n{one.text}" for one in book.tables))
    found = kept.get(key)
    if found is None:
        found = _made(book)
        kept.put(key, found)
    return found


def _made(book: Workbook) -> bytes:
    import xlsxwriter

    target = BytesIO()
    with xlsxwriter.Workbook(target, TEXTS_ONLY) as workbook:
        workbook.set_properties({"title": str(book.title), "created": MADE})
        bold = workbook.add_format({"bold": True})
        mark = workbook.add_format({"num_format": "0.000"})
        for table in book.tables:
            name = table.file.rpartition("/")[2].removesuffix(".csv")
            sheet = workbook.add_worksheet(name[:LONGEST_NAME])
            _fill(sheet, table, bold, mark)
    return target.getvalue()


def _fill(sheet: Worksheet, table: CsvTable, bold: Any, mark: Any) -> None:
    """The headings and the rows; an empty cell stays empty."""
    sheet.freeze_panes(1, 0)
    for column, field in enumerate(table.fields):
        sheet.set_column(column, column, _width(column, table))
        sheet.write_string(0, column, field.name, bold)
    for number, row in enumerate(table.rows, start=1):
        for column, (field, cell) in enumerate(zip(table.fields, row, strict=True)):
            if cell:
                _write(sheet, number, column, field, cell, mark)


def _write(sheet: Worksheet, row: int, column: int, field: Field, cell: str, mark: Any) -> None:
    # A spreadsheet knows floating point alone: here, at the very end, a mark becomes one.
    if field.type == "number":
        sheet.write_number(row, column, float(cell), mark)
    elif field.type == "integer":
        sheet.write_number(row, column, int(cell))
    elif field.type == "boolean":
        sheet.write_boolean(row, column, cell == "true")
    else:
        sheet.write_string(row, column, cell)


def _width(column: int, table: CsvTable) -> int:
    longest = max((len(row[column]) for row in table.rows), default=0)
    return min(max(longest, len(table.fields[column].name)) + 2, WIDEST)
