"""How a PDF is written down: strings, numbers, and the table that says where each object is."""

from __future__ import annotations

import zlib
from collections.abc import Iterable
from typing import Any

XREF_WIDTHS = (1, 4, 2)
"""Bytes of an entry of the table: its kind, its place or what packs it, its rank there."""

UP = 2
"""A line of the table is written as its difference to the one above."""


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


class Directory:
    """Where each object of a file is."""

    def __init__(self) -> None:
        self._blocks: list[tuple[int, Any]] = []
        self._add(0, 1, 0, 0, 0)

    def at(self, number: int, place: int) -> None:
        """An object that stands by itself."""
        self._add(number, 1, 1, place, 0)

    def packed(self, pack: int, rank: int, first: int, count: int) -> None:
        """Objects packed by another, with numbers that follow each other."""
        self._add(first, count, 2, pack, rank)

    def _add(self, first: int, count: int, kind: int, value: int, rank: int) -> None:
        import numpy

        block = numpy.zeros(count, [("kind", "u1"), ("value", ">u4"), ("rank", ">u2")])
        block["kind"], block["value"] = kind, value
        block["rank"] = numpy.arange(rank, rank + count)
        self._blocks.append((first, block))

    def stream(self) -> tuple[bytes, bytes]:
        """What the head of the table says of it, and its contents."""
        import numpy

        blocks = sorted(self._blocks, key=lambda block: block[0])
        width = sum(XREF_WIDTHS)
        entries = b"".join(block.tobytes() for _, block in blocks)
        whole = numpy.frombuffer(entries, "u1").reshape(-1, width)
        lines = numpy.full((len(whole), width + 1), UP, "u1")
        lines[:, 1:] = numpy.diff(whole, axis=0, prepend=numpy.zeros((1, width), "u1"))
        contents = zlib.compress(lines.tobytes(), 9)
        index = array(b"%d %d" % run for run in _runs((first, len(b)) for first, b in blocks))
        head = (
            b"/Type/XRef/W%b/Index%b/Size %d/Filter/FlateDecode"
            b"/DecodeParms<</Predictor 12/Columns %d>>"
        ) % (
            array(b"%d" % one for one in XREF_WIDTHS),
            index,
            blocks[-1][0] + len(blocks[-1][1]),
            width,
        )
        return head, contents


def _runs(blocks: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
    """Blocks of numbers, those that follow each other as one."""
    runs: list[tuple[int, int]] = []
    for first, count in blocks:
        if runs and sum(runs[-1]) == first:
            runs[-1] = (runs[-1][0], runs[-1][1] + count)
        else:
            runs.append((first, count))
    return runs
