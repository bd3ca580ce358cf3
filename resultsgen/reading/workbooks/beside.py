"""What a workbook says of its cells beside their values: which have none, and which are merged.

A cell with an error, or a formula that was never worked out, comes as an empty one from the library
that reads the values; but empty means "not yet".
"""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree import ElementTree

ERROR = re.compile(r"#[A-Z0-9/_]+[!?]?|Err:\d+")
"""How an error is shown in a cell."""

TOLD_IN_XLSX = re.compile(rb"""\st\s*=\s*["']e["']|<(?:\w+:)?f[\s/>]""")
TOLD_IN_ODS = re.compile(rb"""formula\s*=|["']error["']|-spanned\s*=""")


@dataclass(frozen=True)
class Broken:
    """A cell without a value in which something stands; rows and columns are counted from 0."""

    row: int
    column: int
    shown: str
    """The error, empty for a formula that was never worked out."""


@dataclass(frozen=True)
class Merged:
    """A cell that was merged from several."""

    row: int
    column: int
    rows: int
    columns: int


@dataclass(frozen=True)
class Beside:
    """What is to be said of the cells of a sheet."""

    broken: tuple[Broken, ...] = ()
    merged: tuple[Merged, ...] = ()


def beside_the_values(held: bytes, sheet: str) -> Beside:
    """What a workbook (XLSX or ODS) says of the cells of one sheet; ValueError where it is none."""
    try:
        with zipfile.ZipFile(io.BytesIO(held)) as book:
            if "content.xml" in book.namelist():
                return _in_ods(book.read("content.xml"), sheet)
            return Beside(tuple(_broken_in_xlsx(book.read(_part_of(book, sheet)))))
    except (zipfile.BadZipFile, KeyError, ElementTree.ParseError, NotImplementedError) as error:
        raise ValueError(str(error)) from None


def filled(rows: list[list[str]], merged: tuple[Merged, ...], below: int) -> list[list[str]]:
    """The rows below one, with the text of each merged cell in all the cells it was merged from."""
    whole = [list(row) for row in rows]
    for one in merged:
        held = rows[one.row][one.column : one.column + 1] if one.row < len(rows) else []
        for row in range(max(one.row, below + 1), min(one.row + one.rows, len(rows))):
            for column in range(one.column, min(one.column + one.columns, len(rows[row]))):
                whole[row][column] = whole[row][column] or "".join(held)
    return whole


def _part_of(book: zipfile.ZipFile, sheet: str) -> str:
    """The part of an XLSX file that holds a sheet."""
    names = {name.casefold(): name for name in book.namelist()}
    there = names["xl/workbook.xml"]
    known = {one.get("name"): one for one in _parsed(book.read(there)).iter() if _is(one, "sheet")}
    ids = {value for key, value in known[sheet].items() if key.endswith("}id")}
    links = _parsed(book.read(names["xl/_rels/workbook.xml.rels"]))
    target = next(str(one.get("Target")) for one in links if one.get("Id") in ids)
    return names[posixpath.normpath(posixpath.join("/xl", target)).lstrip("/").casefold()]


def _parsed(xml: bytes) -> ElementTree.Element:
    """XML that declares no entities of its own, which no spreadsheet does."""
    _declares_nothing(xml)
    return ElementTree.fromstring(xml)


def _declares_nothing(xml: bytes) -> None:
    if b"<!DOCTYPE" in xml or b"<!ENTITY" in xml:
        raise ValueError("it declares what no spreadsheet does")


def _lines(xml: bytes) -> Iterator[ElementTree.Element]:
    """The rows of a sheet, one after the other, none of which is kept."""
    _declares_nothing(xml)
    for _, one in ElementTree.iterparse(io.BytesIO(xml)):
        if _is(one, "row"):
            yield one
            one.clear()


def _is(one: ElementTree.Element, name: str) -> bool:
    return one.tag.endswith(f"}}{name}")


def _named(one: ElementTree.Element, name: str) -> str:
    """An attribute, by its name after the namespace's bracket."""
    return next((value for key, value in one.items() if key.endswith(name)), "")


def _broken_in_xlsx(xml: bytes) -> Iterator[Broken]:
    if not TOLD_IN_XLSX.search(xml):
        return
    row = -1
    for line in _lines(xml):
        row, column = int(line.get("r") or row + 2) - 1, -1
        for cell in line:
            column = _column(cell.get("r", "")) if cell.get("r") else column + 1
            parts = {part.tag.rpartition("}")[2]: part.text or "" for part in cell}
            if cell.get("t") == "e":
                yield Broken(row, column, parts.get("v") or "#N/A")
            elif "f" in parts and not parts.get("v") and cell.get("t") != "str":
                yield Broken(row, column, "")


def _column(reference: str) -> int:
    """The number of a column, from 0.

    >>> _column("A1"), _column("AB12")
    (0, 27)
    """
    number = 0
    for letter in re.sub(r"[^A-Z]", "", reference):
        number = number * 26 + ord(letter) - ord("A") + 1
    return number - 1


def _in_ods(xml: bytes, sheet: str) -> Beside:
    if not TOLD_IN_ODS.search(xml):
        return Beside()
    tables = (one for one in _parsed(xml).iter() if _is(one, "table"))
    table = next(one for one in tables if _named(one, "}name") == sheet)
    broken: list[Broken] = []
    merged: list[Merged] = []
    row = 0
    for line in (one for one in table.iter() if one.tag.endswith("}table-row")):
        column = 0
        for cell in line:
            broken += _broken_in_ods(cell, row, column)
            merged += _merged_in_ods(cell, row, column)
            column += int(_named(cell, "}number-columns-repeated") or 1)
        row += int(_named(line, "}number-rows-repeated") or 1)
    return Beside(tuple(broken), tuple(merged))


def _broken_in_ods(cell: ElementTree.Element, row: int, column: int) -> Iterator[Broken]:
    shown = " ".join("".join(cell.itertext()).split())
    kinds = {value for key, value in cell.items() if key.endswith("}value-type")}
    formula = bool(_named(cell, "}formula"))
    if "error" in kinds or (formula and ERROR.fullmatch(shown)):
        yield Broken(row, column, shown or "#N/A")
    elif formula and not kinds:
        yield Broken(row, column, "")


def _merged_in_ods(cell: ElementTree.Element, row: int, column: int) -> Iterator[Merged]:
    rows = int(_named(cell, "}number-rows-spanned") or 1)
    columns = int(_named(cell, "}number-columns-spanned") or 1)
    if rows > 1 or columns > 1:
        yield Merged(row, column, rows, columns)
