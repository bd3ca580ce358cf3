"""The rows of a workbook, cell by cell: names of two columns stand beside each other only there."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from zipfile import ZipFile

from resultsgen.privacy.contents import PART, TAG

TEXTS = "xl/sharedStrings.xml"
SHEETS = "xl/worksheets/"
SHARED = re.compile(r"\bt=[\"']s[\"']")


def sheet_texts(held: ZipFile) -> Iterator[str]:
    """Each sheet of an XLSX, its cells with a tab between; nothing of another file."""
    names = held.namelist()
    if TEXTS not in names:
        return
    shared = [_shown(one) for one in _elements(_text(held, TEXTS), "<si>", "</si>")]
    for name in names:
        if name.startswith(SHEETS):
            rows = _elements(_text(held, name), "<row", "</row>")
            yield PART.join("\t".join(_cells(row, shared)) for row in rows)


def _text(held: ZipFile, name: str) -> str:
    return held.read(name).decode("utf-8", "ignore")


def _elements(xml: str, opening: str, closing: str) -> Iterator[str]:
    """What stands between the signs, each time."""
    return (part.partition(closing)[0] for part in xml.split(opening)[1:])


def _cells(row: str, shared: list[str]) -> Iterator[str]:
    for cell in _elements(row, "<c ", "</c>"):
        head, _, inside = cell.partition(">")
        text = _shown(inside)
        is_shared = SHARED.search(head) and text.isdecimal() and int(text) < len(shared)
        yield shared[int(text)] if is_shared else text


def _shown(xml: str) -> str:
    return unescape(TAG.sub("", xml)).strip()
