"""A font as a PDF carries it: the outlines of the glyphs that are shown, each under its number.

The font at hand already has no more letters than the meet uses; one book may use fewer. Glyphs
keep their numbers, since units name them by these, so only outlines are taken out.
"""

from __future__ import annotations

import struct
from collections.abc import Iterable, Iterator, Mapping
from itertools import pairwise

KEPT = (b"cvt ", b"fpgm", b"glyf", b"head", b"hhea", b"hmtx", b"loca", b"maxp", b"prep")
"""What a PDF needs of a TrueType font, in the order in which the tables stand in it."""

LONG_PLACES = struct.pack(">h", 1)
COMPOSITE_WORDS, COMPOSITE_MORE = 0x1, 0x20
SCALES = ((0x8, 2), (0x40, 4), (0x80, 8))
"""How many bytes follow a component of a composite glyph that has this flag."""

WHOLE = 0xB1B0AFBA
"""The sum of all words of a sound font."""


def embedded(font: bytes, shown: Iterable[int]) -> bytes:
    """The TrueType font with the outlines of these glyphs, of their parts, and of no other."""
    tables = _tables(font)
    outlines = _outlines(tables)
    kept = _with_parts({0, *shown}, outlines)
    glyf, places = bytearray(), [0]
    for glyph, outline in enumerate(outlines):
        if glyph in kept:
            glyf += outline + bytes(-len(outline) % 4)
        places.append(len(glyf))
    head = tables[b"head"]
    tables[b"glyf"] = bytes(glyf)
    tables[b"loca"] = struct.pack(f">{len(places)}I", *places)
    tables[b"head"] = head[:8] + bytes(4) + head[12:50] + LONG_PLACES + head[52:]
    return _font({tag: tables[tag] for tag in KEPT if tag in tables})


def _tables(font: bytes) -> dict[bytes, bytes]:
    (count,) = struct.unpack_from(">H", font, 4)
    directory = (struct.unpack_from(">4sIII", font, 12 + 16 * number) for number in range(count))
    return {tag: font[start : start + length] for tag, _, start, length in directory}


def _outlines(tables: Mapping[bytes, bytes]) -> list[bytes]:
    loca, is_long = tables[b"loca"], tables[b"head"][50:52] == LONG_PLACES
    size = 4 if is_long else 2
    places = struct.unpack(f">{len(loca) // size}{'I' if is_long else 'H'}", loca)
    if not is_long:
        places = tuple(2 * place for place in places)
    glyf = tables[b"glyf"]
    return [glyf[start:end] for start, end in pairwise(places)]


def _with_parts(glyphs: set[int], outlines: list[bytes]) -> set[int]:
    """These glyphs and all that they are composed of, such as a letter and its accent."""
    found: set[int] = set()
    waiting = list(glyphs)
    while waiting:
        glyph = waiting.pop()
        if glyph not in found and glyph < len(outlines):
            found.add(glyph)
            waiting += _parts(outlines[glyph])
    return found


def _parts(outline: bytes) -> Iterator[int]:
    if outline[:2] < b"\x80":
        return  # The number of its contours is not negative: it is not composed.
    at, flags = 10, COMPOSITE_MORE
    while flags & COMPOSITE_MORE:
        flags, part = struct.unpack_from(">HH", outline, at)
        yield part
        at += 8 if flags & COMPOSITE_WORDS else 6
        at += sum(size for flag, size in SCALES if flags & flag)


def _font(tables: Mapping[bytes, bytes]) -> bytes:
    """A font file of these tables, with the sums that it must have."""
    count = len(tables)
    power = count.bit_length() - 1
    head = struct.pack(">IHHHH", 0x10000, count, 16 << power, power, 16 * count - (16 << power))
    directory, body = bytearray(), bytearray()
    start = len(head) + 16 * count
    for tag, table in tables.items():
        place = start + len(body)
        directory += struct.pack(">4sIII", tag, _sum(table), place, len(table))
        body += table + bytes(-len(table) % 4)
    whole = bytearray(head + directory + body)
    (place,) = (
        struct.unpack_from(">I", directory, at + 8)[0]
        for at in range(0, len(directory), 16)
        if directory[at : at + 4] == b"head"
    )
    struct.pack_into(">I", whole, place + 8, (WHOLE - _sum(bytes(whole))) % 2**32)
    return bytes(whole)


def _sum(data: bytes) -> int:
    padded = data + bytes(-len(data) % 4)
    words: tuple[int, ...] = struct.unpack(f">{len(padded) // 4}I", padded)
    return sum(words) % 2**32
