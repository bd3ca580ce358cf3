"""How tables leave: as CSV, as sheets of workbooks, and described in `datapackage.json`."""

from __future__ import annotations

import csv
import datetime as dt
import io
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from string import ascii_uppercase
from typing import Any
from zipfile import ZipFile

from pydantic_core import to_json

from resultsgen import __version__
from resultsgen.data.format import Fields
from resultsgen.files.cache import Cache, key_of
from resultsgen.files.spreadsheets import harmless
from resultsgen.language import to_say
from resultsgen.meet.settings import MeetSettings
from resultsgen.views.site.attachments import Title

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

WIDEST = 40
"""Characters; a longer text runs out of its cell."""

MOST_ROWS, LONGEST_TEXT = 1_000_000, 32_767
"""Of a sheet, and of a cell."""

TOLD_TOGETHER = 16
"""So many rows of a sheet say together which columns they fill, as the library has them."""

SHEET = re.compile(r"xl/worksheets/sheet([0-9]+)\.xml")
NO_ROWS = re.compile("<sheetData(?:/>|>.*</sheetData>)", re.DOTALL)

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

    @cached_property
    def text(self) -> str:
        """The whole file."""
        return csv_text(self.columns, self.rows)


def csv_text(head: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """CSV as RFC 4180 has it: commas, CRLF, quotes only where they are needed.

    No cell is left that a spreadsheet would run as a formula.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    for row in (head, *rows):
        writer.writerow([harmless(cell) for cell in row])
    return text.getvalue()


@dataclass(frozen=True)
class Written:
    """A file below `data/` as it was written."""

    file: str
    title: Title
    size: int
    sha256: str
    table: CsvTable | None = None


def datapackage_text(settings: MeetSettings, files: tuple[Written, ...]) -> str:
    """What tables there are, what their columns mean, and their SHA-256.

    Data Package 2.0, https://datapackage.org/standard/data-package/ (Frictionless).
    """
    described: dict[str, Any] = {
        "$schema": PROFILE,
        "name": "results",
        "title": settings.title,
        "description": ABOUT + (ABOUT_BIBS if settings.bibs == "made" else ""),
    }
    if settings.base_url:
        described["homepage"] = settings.base_url
    if settings.published:
        described["created"] = settings.published.isoformat()
    if settings.organiser:
        described["contributors"] = [{"title": settings.organiser}]
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
        if id in by_id:
            yield f"{id}/{id}.xlsx" if id else "meet.xlsx", title, _kept(title, by_id[id], kept)


def _kept(title: Title, tables: list[CsvTable], kept: Cache) -> bytes:
    """The file; from what is kept, where the same tables have been written before."""
    told = (f"{one.file}\n{one.text}" for one in tables)
    key = key_of("workbook", __version__, str(title), *told)
    found = kept.get(key)
    if found is None:
        found = _workbook(title, tables)
        kept.put(key, found)
    return found


def _workbook(title: Title, tables: list[CsvTable]) -> bytes:
    """The workbook. The library makes all of it but the rows, which would take it most of a second.

    It is handed each text once, in the order in which the sheets have them, and so gives it the
    number by which a cell tells it.
    """
    texts: dict[str, int] = {}
    rows = ["".join(_rows(table, texts)) for table in tables]
    shell = ZipFile(_shell(title, tables, list(texts), 's="2"' in "".join(rows)))
    target = io.BytesIO()
    with ZipFile(target, "w") as packed:
        for part in shell.infolist():
            told = shell.read(part).decode()
            if found := SHEET.fullmatch(part.filename):
                table, own = tables[int(found[1]) - 1], rows[int(found[1]) - 1]
                last = own.rpartition('<row r="')[2].partition('"')[0]
                whole = f'<dimension ref="A1:{_letters(len(table.columns) - 1)}{last}"'
                told = re.sub('<dimension ref="[^"]*"', whole, told)
                told = NO_ROWS.sub(f"<sheetData>{own}</sheetData>", told)
            elif part.filename.endswith("sharedStrings.xml"):
                many = sum(own.count(' t="s"') for own in rows)
                told = re.sub(' count="[0-9]+"', f' count="{many}"', told, count=1)
            packed.writestr(part, told)
    return target.getvalue()


def _shell(title: Title, tables: list[CsvTable], texts: list[str], marks: bool) -> io.BytesIO:
    """A workbook with these texts and no rows; the sheets are as wide as they will be."""
    import xlsxwriter

    target = io.BytesIO()
    with xlsxwriter.Workbook(target, TEXTS_ONLY) as workbook:
        workbook.set_properties({"title": str(title), "created": MADE})
        bold = workbook.add_format({"bold": True})
        mark = workbook.add_format({"num_format": "0.000"})
        sheets = []
        for table in tables:
            name = table.file.rpartition("/")[2].removesuffix(".csv")
            sheets.append(sheet := workbook.add_worksheet(name[:LONGEST_NAME]))
            sheet.freeze_panes(1, 0)
            for number, name in enumerate(table.columns):
                longest = max(len(name), *(len(row[number]) for row in table.rows), 0)
                sheet.set_column(number, number, min(longest + 2, WIDEST))
        for number, text in enumerate(texts):
            column, row = divmod(number, MOST_ROWS)
            sheets[0].write_string(row, column, text, bold)
        if marks:
            sheets[0].write_number(0, 99, 0, mark)
    return target


Telling = Callable[[str], str]
"""How a cell tells its text, after where it stands."""


def _rows(table: CsvTable, texts: dict[str, int]) -> Iterator[str]:
    """The headings and the rows as a sheet has them; an empty cell stays empty.

    A spreadsheet knows floating point alone: here, at the very end, a mark becomes one.
    """

    def text(cell: str) -> str:
        return f' t="s"><v>{texts.setdefault(cell[:LONGEST_TEXT], len(texts))}'

    def head(cell: str) -> str:
        return f' s="1"{text(cell)}'

    kinds: dict[str, Telling] = {
        "number": lambda cell: f' s="2"><v>{float(cell):.16G}',
        "integer": lambda cell: f"><v>{int(cell):.16G}",
        "boolean": lambda cell: f' t="b"><v>{cell == "true":d}',
    }
    columns = [
        (_letters(number), kinds.get(column.type.column, text))
        for number, column in enumerate(table.columns.values())
    ]
    heads: list[tuple[str, Telling]] = [(letters, head) for letters, _ in columns]
    whole = [(heads, tuple(table.columns)), *((columns, row) for row in table.rows)]
    for begin in range(0, len(whole), TOLD_TOGETHER):
        block = whole[begin : begin + TOLD_TOGETHER]
        filled = {number for _, row in block for number, cell in enumerate(row) if cell}
        for line, (kinds_of, row) in enumerate(block, start=begin + 1):
            cells = [
                f'<c r="{letters}{line}"{tell(cell)}</v></c>'
                for (letters, tell), cell in zip(kinds_of, row, strict=True)
                if cell
            ]
            if cells:
                spans = f"{min(filled) + 1}:{max(filled) + 1}"
                yield f'<row r="{line}" spans="{spans}">{"".join(cells)}</row>'


def _letters(number: int) -> str:
    """What a column is called, counted from 0: A, B ... Z, AA, AB ..."""
    ahead, last = divmod(number, 26)
    return (_letters(ahead - 1) if ahead else "") + ascii_uppercase[last]
