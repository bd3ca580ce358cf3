"""The blanks of a unit, which the book fills in: at the edges of its pages, and for page numbers.

At an edge stands a text that no other has, and a page number is a link with an address of its own;
so both are found. What is noted is where they stand and how they are set.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any
from urllib.parse import unquote

from resultsgen.books.press.unit import (
    FIGURE,
    FIGURES,
    PAGE,
    PAGES,
    POINTS,
    STATUS,
    WHEN,
    EdgeText,
    Hand,
    Room,
)

PAGES_LINK, BETWEEN_TARGETS = "pages:", ","
"""How the address of a link begins that is room for the page numbers of what it names, and what
stands between any two of these, in each of which it is quoted."""

DECIDED = re.compile(rf"({STATUS}|{WHEN}|{PAGE}|{PAGES})((?<={PAGE})\d+|(?<={PAGES})\d+)?")


class NotJoinableError(LookupError):
    """The book that holds this is rendered in one piece: a letter of a font of the system, a text
    for the book to decide that is not set letter by letter in one line, or what looks like one."""


def must_not_say_what_is_decided(html: str) -> None:
    """What stands for something that the book decides is no text of the meet; NotJoinableError.

    >>> must_not_say_what_is_decided('<html data-when="8765432109"><head></head></html>')
    """
    edges, _, texts = html.partition("<head")
    for stands in (STATUS, WHEN, PAGE, PAGES):
        if edges.count(stands) > 1 or stands in texts:
            raise NotJoinableError(stands)


@dataclass(frozen=True)
class Blank:
    """A link that is room for the pages of these targets; *of* tells links of several lines."""

    targets: tuple[str, ...]
    of: Any
    link: Any
    room: Room


class Blanks:
    """What is left open in a document that is rendered and not yet written."""

    def __init__(self, document: Any) -> None:
        self._document = document
        self._hands: dict[tuple[Any, ...], Hand] = {}
        self.edges = [tuple(self._edges(page)) for page in document.pages]
        self.rooms = [
            blank for number in range(len(document.pages)) for blank in self._rooms(number)
        ]

    @property
    def hands(self) -> tuple[Hand, ...]:
        """In which the blanks are filled in."""
        return tuple(self._hands.values())

    def _edges(self, page: Any) -> Iterator[EdgeText]:
        """The texts at the edge of a page that the book decides; they are taken away."""
        from weasyprint.formatting_structure.boxes import MarginBox

        for box in page._page_box.children:
            if isinstance(box, MarginBox) and (decided := _decided(box)):
                text, words = decided
                hand = self._hand(text, box, text.text)
                x = text.position_x + text.width * self.hands[hand].align
                y = page.height - text.position_y - text.baseline
                yield EdgeText(x * POINTS, y * POINTS, hand, words)

    def _rooms(self, number: int) -> Iterator[Blank]:
        """The rooms for page numbers on a page; they are in one line each."""
        for _, address, _, box in self._document.pages[number].links:
            if address.startswith(PAGES_LINK):
                (text,) = box.children
                hand = self._hand(text, box, FIGURES)
                targets = tuple(map(unquote, address[len(PAGES_LINK) :].split(BETWEEN_TARGETS)))
                room = Room(
                    page=number,
                    x=text.position_x + text.width * self.hands[hand].align,
                    y=text.position_y + text.baseline,
                    width=text.width,
                    numbers=len(re.findall(f"{FIGURE}+", text.text)),
                    hand=hand,
                    owner=0,
                )
                yield Blank(targets, box.element, box, room)

    def _hand(self, text: Any, box: Any, letters: str) -> int:
        """The hand in which a text is set, which stands in this box; it knows these letters."""
        style = text.style
        size = style["font_size"] * POINTS
        align = {"center": 0.5, "right": 1, "end": 1}.get(box.style["text_align_all"], 0)
        colour = tuple(style["color"].to("srgb").coordinates)
        font, known = self._letters(style, letters)
        key = (size, align, colour, font)
        self._hands.setdefault(key, Hand(*key, {})).letters.update(known)
        return list(self._hands).index(key)

    def _letters(self, style: Any, letters: str) -> tuple[str, dict[str, tuple[int, float]]]:
        """The font of a style, and the glyph and width of each of these letters in it.

        The font then is one of the document.
        """
        from weasyprint.pdf.fonts import Font
        from weasyprint.text.fonts import get_pango_font_key
        from weasyprint.text.line_break import create_layout

        layout = create_layout(letters, style, None, None, 0)
        line, _ = layout.get_first_line()
        run = line.runs[0].data
        key, description, size = get_pango_font_key(run.item.analysis.font)
        if key not in self._document.fonts:
            self._document.fonts[key] = Font(run.item.analysis.font, description, size)
        font = self._document.fonts[key]
        glyphs = [one.glyph for one in run.glyphs.glyphs[0 : run.glyphs.num_glyphs]]
        if len(glyphs) != len(letters):
            raise NotJoinableError(font.family)
        for letter, glyph in zip(letters, glyphs, strict=True):
            font.to_unicode.setdefault(glyph, letter)
            font.widths.setdefault(glyph, _advance(run.item.analysis.font, glyph, size))
        widths = ((glyph, font.widths[glyph]) for glyph in glyphs)
        return font.hash, dict(zip(letters, widths, strict=True))


def _decided(box: Any) -> tuple[Any, tuple[str, ...]] | None:
    """The text of a margin box that the book decides, and its words; it is in one line."""
    from weasyprint.formatting_structure.boxes import TextBox

    texts = [one for one in box.descendants() if isinstance(one, TextBox)]
    words = DECIDED.split("".join(one.text for one in texts))
    if len(words) == 1:
        return None
    spaced = texts[0].style["letter_spacing"] not in ("normal", 0)
    if len(texts) > 1 or spaced or texts[0].style["text_transform"] != "none":
        raise NotJoinableError(texts[0].text)
    box.children = []
    return texts[0], tuple(word for place, word in enumerate(words) if place % 3 != 2)


def _advance(font: Any, glyph: int, size: float) -> int:
    """How far a glyph moves on, in thousandths, before any kerning; as the renderer asks it."""
    from weasyprint.text.ffi import FROM_UNITS, ffi, pango

    ink, logical = ffi.new("PangoRectangle *"), ffi.new("PangoRectangle *")
    pango.pango_font_get_glyph_extents(font, glyph, ink, logical)
    width: float = logical.width * 1000 * FROM_UNITS / size
    return round(width)
