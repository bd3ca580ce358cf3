"""How tables leave: as CSV, as sheets of workbooks, and described in `datapackage.json`."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache, partial
from itertools import chain
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

from pydantic_core import to_json

from resultsgen import __version__
from resultsgen.data.format import Fields
from resultsgen.files.cache import Cache, key_of
from resultsgen.files.cell_texts import harmless
from resultsgen.language import to_say
from resultsgen.views.site.attachments import Title

if TYPE_CHECKING:
    from xlsxwriter.worksheet import Worksheet

PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"
TABLE_PROFILE = "https://datapackage.org/profiles/2.0/dataresource.json"
ABOUT = (
    "Marks are exact decimals with three places. A cell that a spreadsheet would run as a formula "
    "begins with an apostrophe that is not part of the text; plain negative numbers stay as they "
    "are. Empty means that there is nothing; 0.000 is a mark."
)

ABOUT_BIBS = (
    " The bibs were made to tell gymnasts apart, and nobody wore them: they are a key, and are "
    "shown nowhere."
)

MADE = dt.datetime(2000, 1, 1)
"""Stands where a workbook says when it was made, so that the same tables give the same bytes."""

LONGEST_NAME = 31
"""Of a sheet."""

WRITER = csv.writer(SimpleNamespace(write=str), lineterminator="\r\n")
"""Gives back the line."""

EMPTY = '""'
"""A line of one cell in which nothing stands."""

WIDEST = 40
"""Characters; a longer text runs out of its cell."""

TEXTS_ONLY = {
    "in_memory": True,
    "strings_to_formulas": False,
    "strings_to_numbers": False,
    "strings_to_urls": False,
}
"""A text is written as a text, so that no cell is a formula."""


@dataclass(frozen=True)
class CsvTable:
    """One table: its file below `data/`, its title, its columns and its rows."""

    file: str
    title: Title
    columns: Fields
    rows: tuple[tuple[str, ...], ...]
    target: str = ""
    """What of a competition it holds, as the page is called that shows the same."""

    @cached_property
    def text(self) -> str:
        return csv_text(self.columns, self.rows)


def csv_text(head: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """CSV as RFC 4180 has it: commas, CRLF, quotes only where they are needed.

    No cell is left that a spreadsheet would run as a formula.
    """
    return csv_lines(map(csv_cell, row) for row in chain((head,), rows))


def csv_lines(rows: Iterable[Iterable[str]]) -> str:
    """Rows of what `csv_cell` gives."""
    return "".join(f"{line or EMPTY}\r\n" for line in map(",".join, rows))


@lru_cache(maxsize=2**16)
def csv_cell(text: str) -> str:
    """A text as a cell, which most texts are as they stand."""
    line: str = WRITER.writerow(("", harmless(text)))
    return line[1:-2]


@dataclass(frozen=True)
class Written:
    file: str
    title: Title
    size: int
    sha256: str
    table: CsvTable | None = None


def datapackage_text(
    title: str,
    files: Iterable[Written],
    homepage: str = "",
    organiser: str = "",
    created: dt.datetime | None = None,
    *,
    bibs_made: bool = False,
) -> str:
    """What tables there are, what their columns mean, and their SHA-256.

    Data Package 2.0, https://datapackage.org/standard/data-package/ (Frictionless).
    """
    described: dict[str, Any] = {
        "$schema": PROFILE,
        "name": "results",
        "title": title,
        "description": ABOUT + (ABOUT_BIBS if bibs_made else ""),
    }
    if homepage:
        described["homepage"] = homepage
    if created:
        described["created"] = created.isoformat()
    if organiser:
        described["contributors"] = [{"title": organiser}]
    described["resources"] = [_resource(one) for one in files]
    return to_json(described, indent=1).decode() + "\n"


def _resource(one: Written) -> dict[str, Any]:
    kind = one.file.rpartition(".")[2]
    resource = {
        "name": one.file.replace("/", "."),
        "path": one.file,
        "title": str(one.title),
        "format": kind,
        "mediatype": "text/csv" if kind == "csv" else "application/json",
        "encoding": "utf-8",
        "bytes": one.size,
        "hash": f"sha256:{one.sha256}",
    }
    if one.table is None:
        return resource
    columns = [
        {"name": name, "type": column.type.column, "description": column.meaning}
        for name, column in one.table.columns.items()
    ]
    return resource | {
        "$schema": TABLE_PROFILE,
        "type": "table",
        "dialect": {"delimiter": ",", "lineTerminator": "\r\n"},
        "schema": {"fields": columns, "missingValues": [""]},
    }


def workbooks(
    tables: Iterable[CsvTable], titles: dict[str, str], meet: str, kept: Cache
) -> Iterator[tuple[str, Title, bytes]]:
    """For each competition, by the titles of their ids, and for the meet: all tables, a sheet each.

    Whoever wants a table in a spreadsheet wants the others of that competition beside it.
    """
    by_id: dict[str, list[CsvTable]] = {}
    for table in tables:
        by_id.setdefault(table.file.rpartition("/")[0], []).append(table)
    for id, of in {**titles, "": meet}.items():
        title = Title(to_say("all tables, a sheet each"), of)
        if held := by_id.get(id):
            told = (f"{one.file}\n{one.text}" for one in held)
            key = key_of("workbook", __version__, str(title), *told)
            made = kept.kept_or_made(key, partial(_workbook, title, held))
            yield f"{id}/{id}.xlsx" if id else "meet.xlsx", title, made


def _workbook(title: Title, tables: list[CsvTable]) -> bytes:
    import xlsxwriter

    target = io.BytesIO()
    with xlsxwriter.Workbook(target, TEXTS_ONLY) as workbook:
        workbook.set_properties({"title": str(title), "created": MADE})
        bold = workbook.add_format({"bold": True})
        mark = workbook.add_format({"num_format": "0.000"})
        for table in tables:
            name = table.file.rpartition("/")[2].removesuffix(".csv")
            _fill(workbook.add_worksheet(name[:LONGEST_NAME]), table, bold, mark)
    return target.getvalue()


def _fill(sheet: Worksheet, table: CsvTable, bold: Any, mark: Any) -> None:
    """The headings and the rows; an empty cell stays empty."""
    sheet.freeze_panes(1, 0)
    for number, name in enumerate(table.columns):
        longest = max(len(name), *(len(row[number]) for row in table.rows), 0)
        sheet.set_column(number, number, min(longest + 2, WIDEST))
        sheet.write_string(0, number, name, bold)
    kinds = [column.type.column for column in table.columns.values()]
    for line, row in enumerate(table.rows, start=1):
        for number, (kind, cell) in enumerate(zip(kinds, row, strict=True)):
            if cell:
                _write(sheet, line, number, kind, cell, mark)


def _write(sheet: Worksheet, row: int, column: int, kind: str, cell: str, mark: Any) -> None:
    # A spreadsheet knows floating point alone: here, at the very end, a mark becomes one.
    if kind == "number":
        sheet.write_number(row, column, float(cell), mark)
    elif kind == "integer":
        sheet.write_number(row, column, int(cell))
    elif kind == "boolean":
        sheet.write_boolean(row, column, cell == "true")
    else:
        sheet.write_string(row, column, cell)
