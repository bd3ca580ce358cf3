"""How a PDF is written down: strings, numbers, objects, and the table that says where each is."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterable, Mapping
from hashlib import sha256

ENTRY = struct.Struct(">BIH")
"""An object in the table: its kind, its place or what packs it, its rank there."""

BY_ITSELF, PACKED = 1, 2

UP = b"\2"
"""A line of the table is written as its difference to the one above."""

LAST_NUMBER = 8_388_607
"""No PDF/A may have a higher number."""

Packed = tuple[int, int, int, int]
"""What is packed: by which object, from which place in it, from which number, how many."""


class TooManyObjectsError(LookupError):
    """A book would have more objects than a PDF may have; nobody could carry it, either."""


def string(text: str) -> bytes:
    """A text that people read, or a name that links lead to; spelled as the renderer does."""
    plain = sort_key(text)
    if not text.isascii():
        return b"<" + plain.hex().encode() + b">"
    for special in (b"\\", b"(", b")"):
        plain = plain.replace(special, b"\\" + special)
    return b"(" + plain.replace(b"\r", b"\\r") + b")"


def sort_key(text: str) -> bytes:
    """What names are sorted by: the bytes that a reader compares."""
    return text.encode("ascii") if text.isascii() else b"\xfe\xff" + text.encode("utf-16-be")


def number(value: float) -> bytes:
    """A length in points, as short as it can be written."""
    return f"{value:.3f}".rstrip("0").rstrip(".").encode() or b"0"


def array(values: Iterable[bytes]) -> bytes:
    """An array of what is written down already."""
    return b"[" + b" ".join(values) + b"]"


def refers(number: int) -> bytes:
    """A reference to an object."""
    return b"%d 0 R" % number


def references(numbers: Iterable[int]) -> bytes:
    """An array of references to objects."""
    return array(map(refers, numbers))


def stream_object(number: int, head: bytes, contents: bytes) -> bytes:
    """An object that is a stream; *head* is what its dictionary says beside the length."""
    form = b"%d 0 obj\n<<%b/Length %d>>\nstream\n%b\nendstream\nendobj\n"
    return form % (number, head, len(contents), contents)


def packed_object(number: int, objects: Mapping[int, bytes]) -> bytes:
    """An object that packs others, which are no streams."""
    index, at = [], 0
    for packed, data in objects.items():
        index.append(b"%d %d" % (packed, at))
        at += len(data) + 1
    first = b" ".join(index) + b"\n"
    contents = zlib.compress(first + b"\n".join(objects.values()), 7)
    head = b"/Type/ObjStm/N %d/First %d/Filter/FlateDecode" % (len(objects), len(first))
    return stream_object(number, head, contents)


class PdfFile:
    """A file that grows: objects by themselves, and those that are packed at its end."""

    def __init__(self, next_number: int) -> None:
        self._data = bytearray(b"%PDF-1.7\n%\xf0\x9f\x96\xa4\n")
        self._runs = [(0, 1, 0, 0, 0)]
        """Numbers that follow each other: the first, how many, and the entry of the first."""
        self._packed: dict[int, bytes] = {}
        self._next = next_number

    def new_number(self) -> int:
        """A number that nothing has yet."""
        self._next += 1
        return self._next - 1

    def add(self, data: bytes, number: int = 0) -> int:
        """An object that is no stream."""
        number = number or self.new_number()
        self._packed[number] = data
        return number

    def add_stream(self, head: bytes, contents: bytes, number: int = 0) -> int:
        """An object that is a stream; *head* is what its dictionary says beside the length."""
        number = number or self.new_number()
        self.add_written(stream_object(number, head, contents), [(number, 0)])
        return number

    def add_written(
        self, data: bytes, places: Iterable[tuple[int, int]], packed: Iterable[Packed] = ()
    ) -> None:
        """Objects as they stand in the file, and where in *data* each begins."""
        self._runs += [(number, 1, BY_ITSELF, len(self._data) + at, 0) for number, at in places]
        self._runs += [(first, count, PACKED, pack, rank) for pack, rank, first, count in packed]
        self._data += data

    def finished(self, catalog: int, info: int) -> bytearray:
        """The whole file; its identifier is made of all that stands in it."""
        if self._next + 2 > LAST_NUMBER:
            raise TooManyObjectsError("the book is too large for a PDF; split the meet")
        pack, table = self.new_number(), self.new_number()
        packed = [(pack, rank, number, 1) for rank, number in enumerate(self._packed)]
        self.add_written(packed_object(pack, self._packed), [(pack, 0)], packed)
        start = len(self._data)
        identity = sha256(self._data).hexdigest()[:32].encode()
        self._runs.append((table, 1, BY_ITSELF, start, 0))
        head, contents = self._table()
        head += b"/Root %b/Info %b" % (refers(catalog), refers(info))
        head += b"/ID[<%b><%b>]" % (identity, identity)
        self._data += stream_object(table, head, contents)
        self._data += b"startxref\n%d\n%%%%EOF\n" % start
        return self._data

    def _table(self) -> tuple[bytes, bytes]:
        """What the head of the table says of it, and its contents."""
        ranges: list[tuple[int, int]] = []
        entries, width = bytearray(), ENTRY.size
        for first, count, kind, value, rank in sorted(self._runs):
            if ranges and sum(ranges[-1]) == first:
                first, before = ranges.pop()
                ranges.append((first, before + count))
            else:
                ranges.append((first, count))
            for step in range(count):
                entries += ENTRY.pack(kind, value, rank + step)
        above = bytes(width) + entries
        changes = bytes((new - old) & 255 for new, old in zip(entries, above, strict=False))
        lines = (UP + changes[at : at + width] for at in range(0, len(changes), width))
        index = array(b"%d %d" % numbers for numbers in ranges)
        head = (
            b"/Type/XRef/W[1 4 2]/Index%b/Size %d/Filter/FlateDecode"
            b"/DecodeParms<</Predictor 12/Columns %d>>"
        ) % (index, sum(ranges[-1]), width)
        return head, zlib.compress(b"".join(lines), 9)
