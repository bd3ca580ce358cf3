"""How tables leave: as CSV, and described in `datapackage.json`."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from pydantic_core import to_json

from resultsgen.data.format import Fields
from resultsgen.files.formulas import harmless
from resultsgen.meet.settings import MeetSettings
from resultsgen.views.press.attachments import Title

PROFILE = "https://datapackage.org/profiles/2.0/datapackage.json"
TABLE_PROFILE = "https://datapackage.org/profiles/2.0/dataresource.json"
ABOUT = (
    "Marks are exact decimals with three places. A cell that a spreadsheet would run as a formula "
    "begins with an apostrophe that is not part of the text; plain negative numbers stay as they "
    "are. Empty means that there is nothing; 0.000 is a mark."
)


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
        "description": ABOUT,
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
