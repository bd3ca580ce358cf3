"""Spreadsheets, opened in a process of its own: nothing but bytes come in, only texts go out.

It imports little, so that it is there at once, and it may die: a file that asks for too much memory
or time ends it, and nothing else. How large a table may be, meet/README.md says too.

A cell with an error, or a formula that was never worked out, comes as an empty one from the library
that reads the values; but empty means "not yet". So a workbook is asked itself what it says of its
cells beside their values: which have none, and which are merged.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import io
import json
import posixpath
import re
import struct
import sys
import unicodedata
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from typing import IO, TYPE_CHECKING, Any
from xml.etree import ElementTree

if TYPE_CHECKING:
    from python_calamine import CalamineSheet

ROWS = 100_000
COLUMNS = 200
CELLS = 1_000_000

CELL = 1_000
"""Signs in a cell."""

MARKS = 6
"""Accents and the like on one letter; no script has more."""

UNPACKED = 100_000_000
"""Bytes of an archive when it is unpacked, as its own directory has it."""

MEMORY = 300_000_000
"""Bytes of memory for the process that opens spreadsheets."""

SECONDS = 5
"""Of work on all spreadsheets of a meet."""

PATIENCE = 60
"""Seconds after which a process that does not answer is given up, however busy the machine is."""


def beyond(rows: int, columns: int) -> str:
    """Which limit a table of that size goes beyond, in words; empty where none.

    >>> beyond(3, 16384)
    'it has 16384 columns, and at most 200 are read'
    """
    for what, number, limit in (
        ("columns", columns, COLUMNS),
        ("rows below the heading", rows - 1, ROWS),
        ("cells", rows * columns, CELLS),
    ):
        if number > limit:
            return f"it has {number} {what}, and at most {limit} are read"
    return ""


CONTROLS = re.compile(r"[\x00-\x08\x0e-\x1b\x7f-\x84\x86-\x9f]")
"""Signs that nobody types and nothing prints: something was damaged."""


def unfit(text: str) -> str:
    """Why a text is none that anybody would print, in words; empty where it is one.

    >>> unfit("x" * 2000), unfit("a" + "\u0301" * 20), unfit("Ada")
    ('has 2000 signs, and at most 1000 are read', 'has 20 accents on one letter', '')
    >>> unfit("A\x02da")
    'has a hidden sign (U+0002)'
    """
    if len(text) > CELL:
        return f"has {len(text)} signs, and at most {CELL} are read"
    if control := CONTROLS.search(text):
        return f"has a hidden sign (U+{ord(control[0]):04X})"
    most = 0 if text.isascii() else _most_marks(text)
    return f"has {most} accents on one letter" if most > MARKS else ""


def _most_marks(text: str) -> int:
    """How many marks stand on the letter that has the most."""
    most = run = 0
    for sign in text:
        run = run + 1 if unicodedata.category(sign) in ("Mn", "Me") else 0
        most = max(most, run)
    return most


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


def _is(element: ElementTree.Element, name: str) -> bool:
    return element.tag.endswith(f"}}{name}")


def _named(element: ElementTree.Element, name: str) -> str:
    """An attribute, by its name after the namespace's bracket."""
    return next((value for key, value in element.items() if key.endswith(name)), "")


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


SIZE = struct.Struct(">Q")
"""Before each message stands how many bytes it has."""


def send(pipe: IO[bytes] | None, message: bytes) -> None:
    """Write one message."""
    assert pipe is not None
    pipe.write(SIZE.pack(len(message)) + message)
    pipe.flush()


def receive(pipe: IO[bytes] | None) -> bytes | None:
    """Read one message; None where the other end is gone."""
    assert pipe is not None
    head = pipe.read(SIZE.size)
    held = pipe.read(SIZE.unpack(head)[0]) if len(head) == SIZE.size else b""
    return held if len(head) == SIZE.size and len(held) == SIZE.unpack(head)[0] else None


def work(seconds: int) -> None:
    """Answer for one workbook after the other, until nobody asks any more."""
    _limit(seconds)
    while (wanted := receive(sys.stdin.buffer)) is not None:
        held = receive(sys.stdin.buffer)
        send(sys.stdout.buffer, json.dumps(answer(held or b"", wanted.decode())).encode())


def _limit(seconds: int) -> None:
    """No more memory and time than that, and no dump of the memory, where the system has limits."""
    try:
        import resource
    except ImportError:
        return
    for kind, limit in (
        (resource.RLIMIT_AS, MEMORY),
        (resource.RLIMIT_CPU, seconds),
        (resource.RLIMIT_CORE, 0),
    ):
        with contextlib.suppress(ValueError, OSError):
            resource.setrlimit(kind, (limit, limit))


def answer(held: bytes, wanted: str) -> dict[str, Any]:
    """The rows of the wanted sheet, or of the only one; else why there are none.

    `refused` says what is wrong with the file, `sheets` which there are, `too much` what of.
    """
    try:
        return _opened(held, wanted)
    except MemoryError:
        raise
    except BaseException as error:  # Whatever broke down in there, panics too.
        return {"refused": str(error)}


def _opened(held: bytes, wanted: str) -> dict[str, Any]:
    from python_calamine import CalamineWorkbook

    if _unpacked(held) > UNPACKED:
        return {"too much": f"it is larger than {UNPACKED // 10**6} MB when it is unpacked"}
    book = CalamineWorkbook.from_filelike(io.BytesIO(held))
    sheets = {name: book.get_sheet_by_name(name) for name in book.sheet_names}
    some = [
        name
        for name, sheet in sheets.items()
        if (any(map(any, sheet.iter_rows())) or bool(beside_the_values(held, sheet.name).broken))
    ]
    named = [name for name in some if name.strip().casefold() == wanted]
    if not named and len(some) > 1:
        return {"sheets": some}
    chosen = next(iter(named or some), None)
    if chosen is None:
        return {"rows": [], "first": 0, "broken": [], "unfit": [], "others": []}
    return _rows(sheets[chosen], held) | {"others": [name for name in some if name != chosen]}


def _rows(sheet: CalamineSheet, held: bytes) -> dict[str, Any]:
    """The rows from the first one on in which anything stands, and the cells without a value."""
    row, column = sheet.end or (0, 0)
    if too_much := beyond(row + 1, column + 1):
        return {"too much": too_much}
    beside = beside_the_values(held, sheet.name)
    rows = [[cell_text(cell) for cell in row] for row in sheet.to_python(skip_empty_area=False)]
    for one in beside.broken:
        if one.row < len(rows):
            rows[one.row][one.column : one.column + 1] = [""]
    first = next((number for number, row in enumerate(rows) if any(row)), len(rows))
    ranges = sheet.merged_cell_ranges or ()
    merged = tuple(
        Merged(top, left, bottom - top + 1, right - left + 1)
        for (top, left), (bottom, right) in ranges
    )
    wrong = [
        (number, position, why)
        for number, row in enumerate(rows)
        for position, text in enumerate(row)
        if (why := unfit(text))
    ]
    for number, position, _ in wrong:
        rows[number][position] = rows[number][position][:CELL]
    whole = filled(rows, beside.merged or merged, first)
    broken = [(one.row, one.column, one.shown) for one in beside.broken]
    return {"rows": whole[first:], "first": first, "broken": broken, "unfit": wrong}


def _unpacked(held: bytes) -> int:
    """How many bytes an archive says that it holds; 0 where the file is none."""
    if not held.startswith(b"PK"):
        return 0
    with zipfile.ZipFile(io.BytesIO(held)) as archive:
        return sum(one.file_size for one in archive.infolist())


def cell_text(cell: Any) -> str:
    """A cell as text; a number with nine decimals at most, and none that are not needed.

    What lies beyond is no digit that anybody entered: the sum of the cells 8.9 and 4.8 is
    13.700000000000001 in a spreadsheet. But 13.70001 keeps all its decimals, and is no mark.

    >>> cell_text(8.9 + 4.8), cell_text(101.0), cell_text(True), cell_text("007")
    ('13.7', '101', 'yes', '007')
    """
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return format(cell, ".9f").rstrip("0").rstrip(".")
    if isinstance(cell, (dt.date, dt.time)):
        return cell.isoformat()
    return str(cell)
