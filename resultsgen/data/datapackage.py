"""`datapackage.json`: what tables there are, what their columns mean, and their SHA-256.

Data Package 2.0, https://datapackage.org/standard/data-package/ (Frictionless).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pydantic_core import to_json

from resultsgen.data.columns import CsvTable
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
class Written:
    """A file below `data/` as it was written."""

    file: str
    title: Title
    size: int
    sha256: str
    table: CsvTable | None = None


def datapackage_text(settings: MeetSettings, files: tuple[Written, ...]) -> str:
    """The text of `datapackage.json`."""
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
    return resource | (_as_table(one.table) if one.table else {})


def _as_table(table: CsvTable) -> dict[str, Any]:
    return {
        "$schema": TABLE_PROFILE,
        "type": "table",
        "dialect": {"delimiter": ",", "lineTerminator": "\r\n"},
        "schema": {
            "fields": [
                {"name": field.name, "type": field.type, "description": field.meaning}
                for field in table.fields
            ],
            "missingValues": [""],
        },
    }
