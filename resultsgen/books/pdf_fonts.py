"""The fonts of a book: each once, with the outlines of the glyphs that its units show.

The font at hand already has no more letters than the meet uses; one book may use fewer. Glyphs
keep their numbers, since units name them by these, so only outlines are taken out.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable, Iterable, Iterator, Mapping

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
    outlines: Callable[[bytes, frozenset[int]], bytes],
) -> bytes:
    """Add the fonts of these units, with further letters; the answer names the fonts.

    *outlines* makes the file that has those of the glyphs that are shown, of a whole font.
    """
    names = b"".join(
        b"/%b %b"
        % (
            name.encode(),
            refers(_font(file, name, font, outlines(sources[font.asset], frozenset(font.widths)))),
        )
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


def _font(file: PdfFile, name: str, font: UnitFont, outlines: bytes) -> int:
    """Add one font: its file, what is known of it, and which letters its glyphs are."""
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
