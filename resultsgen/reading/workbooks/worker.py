"""The process that opens spreadsheets: nothing but bytes come in, nothing but texts go out.

It imports little, so that it is there at once, and it may die: a file that asks for too much memory
or time ends it, and nothing else.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import io
import json
import struct
import sys
from typing import IO, TYPE_CHECKING, Any

from resultsgen.reading.workbooks.beside import Merged, beside_the_values, filled
from resultsgen.reading.workbooks.limits import CELL, MEMORY, UNPACKED, beyond, unfit

if TYPE_CHECKING:
    from python_calamine import CalamineSheet

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
    some = [name for name, sheet in sheets.items() if _has_anything(sheet, held)]
    named = [name for name in some if name.strip().casefold() == wanted]
    if not named and len(some) > 1:
        return {"sheets": some}
    chosen = next(iter(named or some), None)
    if chosen is None:
        return {"rows": [], "first": 0, "broken": [], "unfit": [], "others": []}
    return _rows(sheets[chosen], held) | {"others": [name for name in some if name != chosen]}


def _has_anything(sheet: CalamineSheet, held: bytes) -> bool:
    return any(map(any, sheet.iter_rows())) or bool(beside_the_values(held, sheet.name).broken)


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
    import zipfile

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
