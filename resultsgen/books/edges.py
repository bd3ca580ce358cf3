"""What the book writes at the edge of each page: its number, the status, the time of publication.

A unit holds none of it, so that it stays as it is when only one of these changes.
"""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from resultsgen.books.lettering import Alphabet, lettered
from resultsgen.books.press.unit import PAGE, PAGES, STATUS, WHEN, EdgeText, Hand, Unit, UnitPage
from resultsgen.books.syntax import number


@dataclass(frozen=True)
class Edges:
    """What stands at the edges of all pages of a book, and the letters to write it with."""

    status: str
    when: str
    alphabets: Mapping[str, dict[str, tuple[int, float]]]
    """By the name of the font's file."""

    def letters(self, units: Iterable[Unit], pages: int) -> dict[str, dict[str, tuple[int, float]]]:
        """By font, the letters that stand at the edges of the pages of these units."""
        digits = "".join(sorted(set("".join(map(str, range(1, pages + 1))))))
        found: dict[str, dict[str, tuple[int, float]]] = {}
        for unit in units:
            texts = {(one.hand, one.words): one for page in unit.pages for one in page.edges}
            for text in texts.values():
                hand = unit.hands[text.hand]
                letters = self._letters(unit, hand)
                shown = self._words(text, digits, digits)
                found.setdefault(hand.font, {}).update((one, letters[one]) for one in shown)
        return found

    def written(self, unit: Unit, page: UnitPage, place: int, pages: int) -> bytes:
        """What is at the edge of a page, as a reader sees it; who hears the book is spared it."""
        texts = b"".join(self._text(unit, text, place, pages) for text in page.edges)
        if not texts:
            return b""
        return b"/Artifact<</Type/Pagination/Subtype/Footer>>BDC\n%bEMC" % texts

    def _text(self, unit: Unit, text: EdgeText, page: int, pages: int) -> bytes:
        words = self._words(text, str(page), str(pages))
        if not words:
            return b""
        hand = unit.hands[text.hand]
        glyphs, width = lettered(words, self._letters(unit, hand))
        return b"q %b rg BT/%b %b Tf %b %b Td%bTj ET Q\n" % (
            b" ".join(map(number, hand.colour)),
            hand.font.encode(),
            number(hand.size),
            number(text.x - width * hand.size * hand.align),
            number(text.y),
            glyphs,
        )

    def _words(self, text: EdgeText, page: str, pages: str) -> str:
        known = {STATUS: self.status, WHEN: self.when, PAGE: page, PAGES: pages}
        return "".join(known[word] if place % 2 else word for place, word in enumerate(text.words))

    def _letters(self, unit: Unit, hand: Hand) -> Alphabet:
        """What was set by the renderer goes before what the font's file says."""
        return ChainMap(hand.letters, self.alphabets[unit.fonts[hand.font].asset])
