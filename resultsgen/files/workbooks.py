"""Spreadsheets, opened in a process of its own: nothing but bytes come in, only texts go out.

It imports little, so that it is there at once, and it may die: a file that asks for too much memory
or time ends it, and nothing else. How large a table may be, meet/README.md says too.

It answers with every sheet as it is: the text of each cell from the first row on, and what the
workbook says of them beside their values (`files/beside.py`).
"""

from __future__ import annotations

import contextlib
import datetime as dt
import io
import json
import struct
import sys
import zipfile
from collections.abc import Callable
from itertools import chain
from typing import IO, TYPE_CHECKING, Any

from resultsgen.files.beside import Beside, Merged, beside_the_values
from resultsgen.files.cell_texts import CELL, CONTROLS, unfit

if TYPE_CHECKING:
    from python_calamine import CalamineSheet

ROWS = 100_000
COLUMNS = 200
CELLS = 1_000_000

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


SIZE = struct.Struct(">Q")
"""Before each message stands how many bytes it has."""


def send(pipe: IO[bytes] | None, message: bytes) -> None:
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
    while (held := receive(sys.stdin.buffer)) is not None:
        send(sys.stdout.buffer, json.dumps(answer(held)).encode())


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


def answer(held: bytes) -> dict[str, Any]:
    """The sheets of a workbook, each as it is; else why there are none.

    `refused` says what is wrong with the file, or with a sheet; `too much` what of.
    """
    try:
        return _opened(held)
    except MemoryError:
        raise
    except BaseException as error:  # Whatever broke down in there, panics too.
        return {"refused": str(error)}


def _opened(held: bytes) -> dict[str, Any]:
    from python_calamine import CalamineWorkbook, SheetTypeEnum, SheetVisibleEnum

    if held.startswith(b"PK"):
        with zipfile.ZipFile(io.BytesIO(held)) as archive:
            if sum(one.file_size for one in archive.infolist()) > UNPACKED:
                return {"too much": f"it is larger than {UNPACKED // 10**6} MB when it is unpacked"}
    book = CalamineWorkbook.from_filelike(io.BytesIO(held))
    beside = beside_the_values(held)
    sheets: list[dict[str, Any]] = []
    room = CELLS
    for one in book.sheets_metadata:
        if one.typ != SheetTypeEnum.WorkSheet:
            sheets.append({"name": one.name, "refused": "it is no sheet of cells"})
            continue
        told = _sheet(book.get_sheet_by_name(one.name), beside, room)
        hidden = one.visible != SheetVisibleEnum.Visible
        sheets.append(told | {"name": one.name, "hidden": hidden})
        room -= sum(map(len, told.get("rows", ())))
    return {"sheets": sheets}


def _sheet(sheet: CalamineSheet, asked: Callable[[str], Beside], room: int) -> dict[str, Any]:
    """The rows of a sheet from the first one on, and what is to be said of its cells."""
    row, column = sheet.end or (-1, -1)
    if too_much := beyond(row + 1, column + 1):
        return {"refused": too_much}
    if (row + 1) * (column + 1) > room:
        return {"refused": f"the sheets of its file have more than {CELLS} cells together"}
    beside = asked(sheet.name)
    cells = sheet.to_python(skip_empty_area=False)
    rows = [[cell_text(cell) for cell in row] for row in cells]
    _empty(rows, beside)
    beside.merged += [
        Merged(top, left, bottom - top + 1, right - left + 1)
        for (top, left), (bottom, right) in sheet.merged_cell_ranges or ()
    ]
    width = len(rows[0]) if rows else 0
    area = sum(
        max(0, min(height, len(rows) - top)) * max(0, min(across, width - left))
        for top, left, height, across in beside.merged
    )
    if area > len(rows) * width:  # Cells are merged more than once, as no spreadsheet does.
        return {"refused": "its merged cells overlap"}
    return vars(beside) | {"rows": rows, "unfit": cut_unfit(rows)}


def _empty(rows: list[list[str]], beside: Beside) -> None:
    """Take the text from broken cells; a sheet reaches as far as they stand, within the limits."""
    height = max(len(rows), *(one.row + 1 for one in beside.broken), 0)
    width = max(len(rows[0]) if rows else 0, *(one.column + 1 for one in beside.broken), 0)
    if not beyond(height, width):
        rows += [[] for _ in range(height - len(rows))]
        for row in rows:
            row += [""] * (width - len(row))
    for one in beside.broken:
        if one.row < len(rows) and one.column < len(rows[one.row]):
            rows[one.row][one.column] = ""


def cut_unfit(rows: list[list[str]]) -> list[tuple[int, int, str]]:
    """The cells that hold no text to be printed, and why; only their beginning is kept."""
    different = {*chain.from_iterable(rows)}
    held = "".join(different)
    if held.isascii() and max(map(len, different), default=0) <= CELL and not CONTROLS.search(held):
        return []  # Nearly always, and quickly seen.
    wrong = {text: why for text in different if (why := unfit(text))}
    found = [
        (number, position, wrong[text])
        for number, row in enumerate(rows if wrong else ())
        for position, text in enumerate(row)
        if text in wrong
    ]
    for number, position, _ in found:
        rows[number][position] = rows[number][position][:CELL]
    return found


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
