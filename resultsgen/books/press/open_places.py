"""The places that a unit leaves open: at the edges of its pages, and for page numbers.

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
    BETWEEN_TARGETS,
    FIGURE,
    FIGURES,
    PAGE,
    PAGES,
    PAGES_LINK,
    POINTS,
    STATUS,
    WHEN,
    Alphabet,
    EdgeText,
    NumberRoom,
    TextStyle,
)

DECIDED_TEXT = re.compile(rf"({STATUS}|{WHEN}|{PAGE}|{PAGES})((?<={PAGE})\d+|(?<={PAGES})\d+)?")


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
class NumberLink:
    """A link that is room for the pages of these targets."""

    targets: tuple[str, ...]
    box: Any
    """As it was laid out; where it goes over several lines, all have the same element."""
    room: NumberRoom


class OpenPlaces:
    """What is left open in a document that is rendered and not yet written."""

    def __init__(self, document: Any) -> None:
        self._document = document
        self._styles: dict[tuple[Any, ...], TextStyle] = {}
        self.edges = [tuple(self._edges(page)) for page in document.pages]
        self.number_links = [
            link for page in range(len(document.pages)) for link in self._number_links(page)
        ]

    @property
    def styles(self) -> tuple[TextStyle, ...]:
        """In which the open places are filled in."""
        return tuple(self._styles.values())

    def _edges(self, page: Any) -> Iterator[EdgeText]:
        """The texts at the edge of a page that the book writes; they are taken away.

        The heads among them change places on left-hand pages; one that cannot be set letter by
        letter stays where it is.
        """
        from weasyprint.formatting_structure.boxes import MarginBox

        for box in page._page_box.children:
            if not isinstance(box, MarginBox):
                continue
            text, words = _one_text(box)
            if text is None:
                continue
            try:
                style = self._style(text, box, text.text)
            except NotJoinableError:
                if len(words) > 1:
                    raise
                continue
            box.children = []
            x = text.position_x + text.width * self.styles[style].align
            y = page.height - text.position_y - text.baseline
            yield EdgeText(x * POINTS, y * POINTS, style, words)

    def _number_links(self, page: int) -> Iterator[NumberLink]:
        """The rooms for page numbers on a page; they are in one line each."""
        for _, address, _, box in self._document.pages[page].links:
            if address.startswith(PAGES_LINK):
                (text,) = box.children
                style = self._style(text, box, FIGURES)
                room = NumberRoom(
                    page=page,
                    x=text.position_x + text.width * self.styles[style].align,
                    y=text.position_y + text.baseline,
                    width=text.width,
                    numbers=len(re.findall(f"{FIGURE}+", text.text)),
                    style=style,
                    owner=0,
                )
                targets = address[len(PAGES_LINK) :].split(BETWEEN_TARGETS)
                yield NumberLink(tuple(map(unquote, targets)), box, room)

    def _style(self, text: Any, box: Any, letters: str) -> int:
        """The style of a text, which stands in this box; it knows these letters."""
        style = text.style
        size = style["font_size"] * POINTS
        align = {"center": 0.5, "right": 1, "end": 1}.get(box.style["text_align_all"], 0)
        colour = tuple(style["color"].to("srgb").coordinates)
        font, known = self._letters(style, letters)
        key = (size, align, colour, font)
        self._styles.setdefault(key, TextStyle(*key, {})).letters.update(known)
        return list(self._styles).index(key)

    def _letters(self, style: Any, letters: str) -> tuple[str, Alphabet]:
        """The font of a style, which then is one of the document, and these letters in it."""
        from weasyprint.pdf.fonts import Font
        from weasyprint.text.ffi import FROM_UNITS, ffi, pango
        from weasyprint.text.fonts import get_pango_font_key
        from weasyprint.text.line_break import create_layout

        layout = create_layout(letters, style, None, None, 0)  # It keeps alive what is asked for.
        line, _ = layout.get_first_line()
        run = line.runs[0].data
        pango_font = run.item.analysis.font
        key, description, size = get_pango_font_key(pango_font)
        if key not in self._document.fonts:
            self._document.fonts[key] = Font(pango_font, description, size)
        font = self._document.fonts[key]
        glyphs = [info.glyph for info in run.glyphs.glyphs[0 : run.glyphs.num_glyphs]]
        pairs = {*zip(letters, glyphs, strict=False)}
        if len(glyphs) != len(letters) or len(pairs) != len({*letters}):
            raise NotJoinableError(font.family)
        ink, logical = ffi.new("PangoRectangle *"), ffi.new("PangoRectangle *")
        for letter, glyph in zip(letters, glyphs, strict=True):
            font.to_unicode.setdefault(glyph, letter)
            # How far a glyph moves on, in thousandths, before any kerning; as the renderer asks.
            pango.pango_font_get_glyph_extents(pango_font, glyph, ink, logical)
            font.widths.setdefault(glyph, round(logical.width * 1000 * FROM_UNITS / size))
        widths = ((glyph, font.widths[glyph]) for glyph in glyphs)
        return font.hash, dict(zip(letters, widths, strict=True))


def _one_text(box: Any) -> tuple[Any, tuple[str, ...]]:
    """The one text of a margin box and its words, between which stands what the book decides.

    None where it has several texts, or is not set letter by letter, and nothing is to decide.
    """
    from weasyprint.formatting_structure.boxes import TextBox

    texts = [child for child in box.descendants() if isinstance(child, TextBox)]
    words = DECIDED_TEXT.split("".join(text.text for text in texts))
    spaced = any(text.style["letter_spacing"] not in ("normal", 0) for text in texts)
    changed = any(text.style["text_transform"] != "none" for text in texts)
    if len(texts) != 1 or spaced or changed:
        if len(words) > 1:
            raise NotJoinableError(texts[0].text)
        return None, ()
    return texts[0], tuple(word for place, word in enumerate(words) if place % 3 != 2)
