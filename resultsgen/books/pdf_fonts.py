"""The fonts of a book: each once, with the outlines of the glyphs that its units show.

The font at hand already has no more letters than the meet uses; one book may use fewer. Glyphs
keep their numbers, since units name them by these, so only outlines are taken out.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterable, Iterator, Mapping
from itertools import pairwise

from resultsgen.books.pdf_file import PdfFile, array, number, refers, string
from resultsgen.books.press.unit import Alphabet, Unit, UnitFont

SYMBOLIC = 4
"""A font whose glyphs are known by their numbers."""

STEM = 80
"""How thick a stem is; readers only ask where a font is missing, which it never is here."""

LINES_AT_ONCE = 100
"""A table of letters may have so many lines in one piece."""

LETTERS = b"""/CIDInit /ProcSet findresource begin
12 dict begin
begincmap
/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def
/CMapName /Adobe-Identity-UCS def
/CMapType 2 def
1 begincodespacerange
<0000> <ffff>
endcodespacerange
%bendcmap
CMapName currentdict /CMap defineresource pop
end
end"""


def font_objects(
    file: PdfFile,
    units: Iterable[Unit],
    letters: Mapping[str, Alphabet],
    sources: Mapping[str, bytes],
) -> bytes:
    """Add the fonts of these units, with further letters; the answer names the fonts."""
    names = b"".join(
        b"/%b %b" % (name.encode(), refers(_font(file, name, font, sources[font.asset])))
        for name, font in sorted(_together(units, letters).items())
    )
    return b"<<" + names + b">>"


def _together(units: Iterable[Unit], letters: Mapping[str, Alphabet]) -> dict[str, UnitFont]:
    """Each font with the glyphs of all units, and of these letters."""
    found: dict[str, UnitFont] = {}
    for unit in units:
        for name, font in unit.fonts.items():
            same = found.setdefault(
                name, UnitFont(font.asset, font.family, font.ascent, font.descent, {}, {})
            )
            same.widths.update(font.widths)
            same.text.update(font.text)
    for name, alphabet in letters.items():
        for letter, (glyph, width) in alphabet.items():
            found[name].widths.setdefault(glyph, width)
            found[name].text.setdefault(glyph, letter)
    return found


def _font(file: PdfFile, name: str, font: UnitFont, whole: bytes) -> int:
    """Add one font: its file, what is known of it, and which letters its glyphs are."""
    outlines = embedded(whole, font.widths)
    head = b"/Filter/FlateDecode/Length1 %d" % len(outlines)
    source = file.add_stream(head, zlib.compress(outlines, 9))
    base = f"/{name}+{font.family.replace(' ', '-')}".encode()
    box = (0, font.descent, max(font.widths.values()), font.ascent)
    descriptor = file.add(
        b"<</Type/FontDescriptor/FontName%b/FontFamily%b/Flags %d/FontBBox%b/ItalicAngle 0"
        b"/Ascent %b/Descent %b/CapHeight %b/StemV %d/FontFile2 %b>>"
        % (
            base, string(font.family), SYMBOLIC, array(map(number, box)), number(font.ascent),
            number(font.descent), number(font.ascent), STEM, refers(source),
        )
    )  # fmt: skip
    below = file.add(
        b"<</Type/Font/Subtype/CIDFontType2/BaseFont%b/CIDToGIDMap/Identity/W%b/FontDescriptor %b"
        b"/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>>>"
        % (base, array(_widths(font.widths)), refers(descriptor))
    )
    letters = file.add_stream(b"/Filter/FlateDecode", zlib.compress(_letters(font.text), 9))
    return file.add(
        b"<</Type/Font/Subtype/Type0/BaseFont%b/Encoding/Identity-H/DescendantFonts[%b]"
        b"/ToUnicode %b>>" % (base, refers(below), refers(letters))
    )


def _widths(widths: Mapping[int, float]) -> Iterator[bytes]:
    """The first of glyphs that follow each other, and how wide each of them is."""
    glyphs = sorted(widths)
    start = 0
    for end in range(1, len(glyphs) + 1):
        if end == len(glyphs) or glyphs[end] != glyphs[end - 1] + 1:
            yield b"%d" % glyphs[start]
            yield array(number(widths[glyph]) for glyph in glyphs[start:end])
            start = end


def _letters(text: Mapping[int, str]) -> bytes:
    lines = [
        b"<%04x> <%b>\n" % (glyph, letters.encode("utf-16-be").hex().encode())
        for glyph, letters in sorted(text.items())
    ]
    pieces = (lines[at : at + LINES_AT_ONCE] for at in range(0, len(lines), LINES_AT_ONCE))
    return LETTERS % b"".join(
        b"%d beginbfchar\n%bendbfchar\n" % (len(piece), b"".join(piece)) for piece in pieces
    )


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
    return _font_file({tag: tables[tag] for tag in KEPT if tag in tables})


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


def _font_file(tables: Mapping[bytes, bytes]) -> bytes:
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
