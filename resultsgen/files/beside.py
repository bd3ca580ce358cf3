"""What a workbook (XLSX or ODS) says of its cells beside their values.

A cell with an error, or a formula that was never worked out, comes as an empty one from the library
that reads the values; but empty means "not yet". So a workbook is asked itself: which cells have no
value, which hold a formula, which are merged or crossed out, and which rows and columns are hidden.
"""

from __future__ import annotations

import io
import itertools
import posixpath
import re
import zipfile
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import NamedTuple
from xml.etree import ElementTree

FARTHEST = 1_000
"""Of what stands repeatedly in ODS, so many rows or columns are told."""

ERROR = re.compile(r"#[A-Z0-9/_]+[!?]?|Err:\d+")
"""How an error is shown in a cell."""

TOLD_IN_XLSX = re.compile(rb"""\st\s*=\s*["']e["']|<(?:\w+:)?f[\s/>]|\shidden\s*=\s*["'][1t]""")
TOLD_IN_ODS = re.compile(rb"""formula\s*=|["']error["']|-spanned\s*=|visibility\s*=|line-through""")


class Broken(NamedTuple):
    """A cell without a value in which something stands; rows and columns are counted from 0."""

    row: int
    column: int
    shown: str
    """The error, empty for a formula that was never worked out."""


class Merged(NamedTuple):
    row: int
    column: int
    rows: int
    columns: int


@dataclass
class Beside:
    """What is to be said of the cells of a sheet; rows and columns are counted from 0."""

    broken: list[Broken] = field(default_factory=list)
    merged: list[Merged] = field(default_factory=list)
    hidden_rows: list[int] = field(default_factory=list)
    hidden_columns: list[int] = field(default_factory=list)
    crossed_out: list[tuple[int, int]] = field(default_factory=list)


def beside_the_values(held: bytes) -> Callable[[str], Beside]:
    """What a workbook says of a sheet, asked by its name; any error where it is none."""
    book = zipfile.ZipFile(io.BytesIO(held))
    if "content.xml" not in book.namelist():
        parts, crossing = _parts_of(book), _crossing_styles(book)
        return lambda sheet: _in_xlsx(book.read(parts[sheet]), crossing)
    xml = book.read("content.xml")
    if not TOLD_IN_ODS.search(xml):
        return lambda _: Beside()
    whole = _parsed(xml)
    tables = {_named(one, "}name"): one for one in whole.iter() if _is(one, "table")}
    crossed = frozenset(
        _named(style, "}name")
        for style in whole.iter()
        if _is(style, "style")
        if any(_named(one, "}text-line-through-style") not in ("", "none") for one in style)
    )
    return lambda sheet: _in_ods(tables[sheet], crossed)


def filled(rows: list[list[str]], merged: tuple[Merged, ...], below: int) -> list[list[str]]:
    """The rows; cells merged below one of them have their text wherever they were merged from."""
    whole = [list(row) for row in rows] if merged else rows
    for one in (one for one in merged if below < one.row < len(rows)):
        held = rows[one.row][one.column : one.column + 1]
        for row in range(one.row, min(one.row + one.rows, len(rows))):
            for column in range(one.column, min(one.column + one.columns, len(rows[row]))):
                whole[row][column] = whole[row][column] or "".join(held)
    return whole


def _parts_of(book: zipfile.ZipFile) -> dict[str, str]:
    """The part of an XLSX file that holds each sheet."""
    names = {name.casefold(): name for name in book.namelist()}
    links = {
        one.get("Id"): str(one.get("Target"))
        for one in _parsed(book.read(names["xl/_rels/workbook.xml.rels"]))
    }
    parts = {}
    for one in _parsed(book.read(names["xl/workbook.xml"])).iter():
        target = next((links.get(v, "") for key, v in one.items() if key.endswith("}id")), "")
        part = posixpath.normpath(posixpath.join("/xl", target)).lstrip("/").casefold()
        if _is(one, "sheet") and part in names:
            parts[str(one.get("name"))] = names[part]
    return parts


def _crossing_styles(book: zipfile.ZipFile) -> frozenset[str]:
    """The numbers of the styles of an XLSX file that cross out what stands in a cell."""
    name = next((name for name in book.namelist() if name.casefold() == "xl/styles.xml"), "")
    xml = book.read(name) if name else b""
    if b"strike" not in xml:
        return frozenset()
    styles = _parsed(xml)
    fonts = [one for part in styles if _is(part, "fonts") for one in part]
    crossing = {
        str(number)
        for number, font in enumerate(fonts)
        for one in font
        if _is(one, "strike") and one.get("val", "1") not in ("0", "false")
    }
    used = [one for part in styles if _is(part, "cellXfs") for one in part]
    return frozenset(str(at) for at, one in enumerate(used) if one.get("fontId") in crossing)


def _parsed(xml: bytes) -> ElementTree.Element:
    """XML that declares no entities of its own, which no spreadsheet does."""
    _declares_nothing(xml)
    return ElementTree.fromstring(xml)


def _declares_nothing(xml: bytes) -> None:
    if b"<!DOCTYPE" in xml or b"<!ENTITY" in xml:
        raise ValueError("it declares what no spreadsheet does")


def _is(element: ElementTree.Element, name: str) -> bool:
    return element.tag.endswith(f"}}{name}")


def _named(element: ElementTree.Element, name: str) -> str:
    """An attribute, by its name after the namespace's bracket."""
    return next((value for key, value in element.items() if key.endswith(name)), "")


def _in_xlsx(xml: bytes, crossing: frozenset[str]) -> Beside:
    beside = Beside()
    if not (crossing or TOLD_IN_XLSX.search(xml)):
        return beside
    _declares_nothing(xml)
    row = -1
    for _, line in ElementTree.iterparse(io.BytesIO(xml)):
        hidden = line.get("hidden") in ("1", "true")
        if _is(line, "col"):
            first, last = int(line.get("min") or 1), int(line.get("max") or 1)
            beside.hidden_columns += range(first - 1, min(last, FARTHEST)) if hidden else ()
        elif _is(line, "row"):
            row = int(line.get("r") or row + 2) - 1
            beside.hidden_rows += [row] if hidden else []
            _cells_of_xlsx(line, row, beside, crossing)
            line.clear()  # None of them is kept.
    return beside


def _cells_of_xlsx(
    line: ElementTree.Element, row: int, beside: Beside, crossing: frozenset[str]
) -> None:
    column = -1
    for cell in line:
        column = _column(cell.get("r", "")) if cell.get("r") else column + 1
        parts = {part.tag.rpartition("}")[2]: part.text or "" for part in cell}
        if parts and cell.get("s") in crossing:
            beside.crossed_out.append((row, column))
        if cell.get("t") == "e":
            beside.broken.append(Broken(row, column, parts.get("v") or "#N/A"))
        elif "f" in parts and not parts.get("v") and cell.get("t") != "str":
            beside.broken.append(Broken(row, column, ""))


def _column(reference: str) -> int:
    """The number of a column, from 0.

    >>> _column("A1"), _column("AB12")
    (0, 27)
    """
    number = 0
    for letter in re.sub(r"[^A-Z]", "", reference):
        number = number * 26 + ord(letter) - ord("A") + 1
    return number - 1


def _in_ods(table: ElementTree.Element, crossing: frozenset[str]) -> Beside:
    beside = Beside()
    column = 0
    for one in (one for one in table.iter() if _is(one, "table-column")):
        times = _repeated(one, "columns")
        beside.hidden_columns += _seen(column, times) if _is_hidden(one) else ()
        column += times
    row = 0
    for line in (one for one in table.iter() if _is(one, "table-row")):
        times, column = _repeated(line, "rows"), 0
        beside.hidden_rows += _seen(row, times) if _is_hidden(line) else ()
        for cell in line:
            width = _repeated(cell, "columns")
            if cell.attrib:
                places = _seen(row, times), _seen(column, width)
                _cell_of_ods(cell, *places, beside)
                if _named(cell, "}style-name") in crossing and "".join(cell.itertext()).strip():
                    beside.crossed_out += itertools.product(*places)
            column += width
        row += times
    return beside


def _cell_of_ods(cell: ElementTree.Element, rows: range, columns: range, beside: Beside) -> None:
    shown = " ".join("".join(cell.itertext()).split())
    kinds = {value for key, value in cell.items() if key.endswith("}value-type")}
    formula = bool(_named(cell, "}formula"))
    spans = _named(cell, "-rows-spanned") or _named(cell, "-columns-spanned")
    told = formula or spans or "error" in kinds
    places = [(row, column) for row in rows for column in columns] if told else []
    if "error" in kinds or (formula and ERROR.fullmatch(shown)):
        beside.broken += [Broken(*place, shown or "#N/A") for place in places]
    elif formula and not kinds:
        beside.broken += [Broken(*place, "") for place in places]
    height = int(_named(cell, "}number-rows-spanned") or 1)
    width = int(_named(cell, "}number-columns-spanned") or 1)
    if height > 1 or width > 1:
        beside.merged += [Merged(*place, height, width) for place in places]


def _repeated(element: ElementTree.Element, what: str) -> int:
    return int(_named(element, f"}}number-{what}-repeated") or 1)


def _is_hidden(element: ElementTree.Element) -> bool:
    return _named(element, "}visibility") in ("collapse", "filter")


def _seen(first: int, times: int) -> range:
    return range(first, first + min(times, FARTHEST))
