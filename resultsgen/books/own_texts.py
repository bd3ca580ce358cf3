"""What the book writes itself when units are joined, letter by letter, in the glyphs of its fonts.

At the edge of each page stand its number, the status and the time of publication; and in the text,
as in the index, page numbers, each of which is a link, of several things on one page once. A unit
holds none of it and leaves room, so that it stays as it is when only one of these changes. Room
left over at the end of a line stays empty; where it is not enough, numbers are set narrower.
"""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from resultsgen.books.pdf_file import array, number, refers, string
from resultsgen.books.press.unit import (
    COMMA,
    NOT,
    PAGE,
    PAGES,
    POINTS,
    PRINT,
    STATUS,
    WHEN,
    Alphabet,
    EdgeText,
    NumberRoom,
    TextStyle,
    Unit,
    UnitPage,
    page_object,
)

TO = "–"

RISES, HANGS = 0.9, 0.25
"""How far the place to click on goes above and below the line, in sizes of the letters."""

Pages = list[tuple[int, str]]
"""The pages that some things are on, each once and in order, with the first of them there."""


def in_glyphs(text: str, letters: Mapping[str, tuple[int, float]]) -> tuple[bytes, float]:
    """A text as a PDF shows it, and how wide it is where letters have the size 1."""
    glyphs = [letters[letter] for letter in text]
    shown = "".join(f"{glyph:04x}" for glyph, _ in glyphs)
    return b"<%b>" % shown.encode(), sum(width for _, width in glyphs) / 1000


@dataclass(frozen=True)
class PageEdges:
    """What stands at the edges of all pages of a book, and the letters to write it with."""

    status: str
    when: str
    alphabets: Mapping[str, Alphabet]
    """By the name of the font's file."""

    def letters(self, units: Iterable[Unit], pages: int) -> dict[str, Alphabet]:
        """By font, the letters that stand at the edges of the pages of these units."""
        digits = "".join(sorted(set("".join(map(str, range(1, pages + 1))))))
        found: dict[str, Alphabet] = {}
        for unit in units:
            texts = {(text.style, text.words): text for page in unit.pages for text in page.edges}
            for text in texts.values():
                style = unit.styles[text.style]
                letters = self._letters(unit, style)
                shown = self._words(text, digits, digits)
                found.setdefault(style.font, {}).update((one, letters[one]) for one in shown)
        return found

    def written(
        self, unit: Unit, page: UnitPage, place: int, pages: int, *, bound: bool = False
    ) -> bytes:
        """What is at the edge of a page, as a reader sees it; who hears the book is spared it.

        In a book that is bound, what stands outside on a right-hand page does so on a left one.
        """
        mirror = page.width if bound and place % 2 == 0 else None
        texts = b"".join(self._text(unit, text, place, pages, mirror) for text in page.edges)
        form = b"/Artifact<</Type/Pagination>>BDC\n%bEMC"
        return form % texts if texts else b""

    def _text(
        self, unit: Unit, text: EdgeText, page: int, pages: int, mirror: float | None
    ) -> bytes:
        words = self._words(text, str(page), str(pages))
        if not words:
            return b""
        style = unit.styles[text.style]
        glyphs, width = in_glyphs(words, self._letters(unit, style))
        x, align = text.x, style.align
        if mirror is not None:
            x, align = mirror - x, 1 - align
        return b"q %b rg BT/%b %b Tf %b %b Td%bTj ET Q\n" % (
            b" ".join(map(number, style.colour)),
            style.font.encode(),
            number(style.size),
            number(x - width * style.size * align),
            number(text.y),
            glyphs,
        )

    def _words(self, text: EdgeText, page: str, pages: str) -> str:
        known = {STATUS: self.status, WHEN: self.when, PAGE: page, PAGES: pages}
        return "".join(known[word] if place % 2 else word for place, word in enumerate(text.words))

    def _letters(self, unit: Unit, style: TextStyle) -> Mapping[str, tuple[int, float]]:
        """What was set by the renderer goes before what the font's file says."""
        return ChainMap(style.letters, self.alphabets[unit.fonts[style.font].asset])


def pages_of(targets: Iterable[str], pages: Mapping[str, int]) -> Pages:
    """The pages that these things are on, but for those told elsewhere."""
    first: dict[int, str] = {}
    elsewhere = set()
    for target in targets:
        name = target.removeprefix(NOT)
        if name not in pages:
            raise LookupError(f"a page number is wanted of {name}, which is nowhere")
        if name == target:
            first.setdefault(pages[name], name)
        else:
            elsewhere.add(pages[name])
    return sorted((page, target) for page, target in first.items() if page not in elsewhere)


def in_ranges(pages: Pages) -> Iterator[tuple[str, str]]:
    """How page numbers are told, each with what it leads to: from three on, the first and last."""
    for _, run in groupby(enumerate(pages), key=lambda one: one[1][0] - one[0]):
        (first, target), *others = (page for _, page in run)
        if len(others) > 1:
            yield f"{first}{TO}{others[-1][0]}", target
        else:
            yield from ((str(page), at) for page, at in ((first, target), *others))


def numbers_needed(unit: Unit) -> int:
    """How many objects the page numbers of a unit may need in a book."""
    return 2 * sum(len(reference.targets) for reference in unit.page_references)


class WrittenNumbers:
    """The page numbers of a unit in its place: what is printed, the links, and the tags."""

    def __init__(self, unit: Unit, base: int, pages: Sequence[Pages]) -> None:
        """*pages* has those of each page reference of the unit."""
        self.objects: dict[int, bytes] = {}
        self.links: list[list[int]] = [[] for _ in unit.pages]
        """By page; the tag of each has the number after its own."""
        self.decided: dict[str, bytes] = {}
        """What the unit leaves for the book to decide."""
        self._unit = unit
        self._base = base
        for rank, (room, wanted) in enumerate(_in_rooms(unit, pages)):
            self._fill(rank, room, unit.styles[room.style], wanted)
        for page, links in enumerate(self.links):
            self.decided[f"B{page}"] = b" ".join(refers(link + 1) for link in links)
        every = sorted(link for links in self.links for link in links)
        self.decided["B"] = b" ".join(b"%d %b" % (link, refers(link + 1)) for link in every)
        self.last = every[-1] if every else 0

    def _fill(
        self, rank: int, room: NumberRoom, style: TextStyle, wanted: list[tuple[str, str]]
    ) -> None:
        """What is printed in a room, and its tags."""
        size = style.size / POINTS
        ends = [" "] * (len(wanted) - 1) + [""]
        texts = [
            (text, target, *in_glyphs(text + end, style.letters))
            for (text, target), end in zip(wanted, ends, strict=False)
        ]
        needed = size * sum(width for *_, width in texts)
        narrowed = min(1.0, room.width / needed) if needed else 1.0
        left = room.x - needed * narrowed * style.align
        how = style.font.encode(), number(size), round(100 * narrowed)
        printed, tags = [b"/%b %b Tf %d Tz" % how], []
        for text, target, glyphs, width in texts:
            right = left + size * width * narrowed
            piece = self._unit.pages[room.page].tagged + len(self.links[room.page])
            printed.append(
                b"/Link<</MCID %d>>BDC BT 1 0 0 -1 %b %b Tm %b Tj ET EMC"
                % (piece, number(left), number(room.y), glyphs)
            )
            # Where to click, in points from the lower left corner.
            line = self._unit.pages[room.page].height - room.y * POINTS
            lower, upper = line - HANGS * style.size, line + RISES * style.size
            box = array(map(number, (left * POINTS, lower, right * POINTS, upper)))
            self._add_link(room, text.rstrip(COMMA), target, box, piece)
            tags.append(refers(self.links[room.page][-1] + 1))
            left = right
        self.decided[f"N{rank}"] = b"\n".join([*printed, b"100 Tz"])
        self.decided[f"T{rank}"] = b" ".join(tags)

    def _add_link(self, room: NumberRoom, shown: str, target: str, box: bytes, piece: int) -> None:
        """Add the link that a number is, and its tag."""
        link = self._base + self._unit.size + len(self.objects)
        page = self._base + page_object(room.page, len(self._unit.pages))
        self.links[room.page].append(link)
        self.objects[link] = (
            b"<</Type/Annot/Subtype/Link/Rect%b/F %d/BS<</W 0>>/Contents%b/Dest%b/StructParent %d>>"
            % (box, PRINT, string(shown), string(target), link)
        )
        owner = refers(self._base + room.owner)
        self.objects[link + 1] = b"<</S/Link/P %b/Pg %b/K[%d <</Type/OBJR/Obj %b>>]>>" % (
            owner, refers(page), piece, refers(link),
        )  # fmt: skip


def _in_rooms(
    unit: Unit, pages: Sequence[Pages]
) -> Iterator[tuple[NumberRoom, list[tuple[str, str]]]]:
    """Each room of a unit with the numbers that stand in it and what they lead to."""
    for reference, numbers in zip(unit.page_references, pages, strict=True):
        told = list(in_ranges(numbers))
        texts = [(text + COMMA.rstrip(), target) for text, target in told[:-1]] + told[-1:]
        # Of more numbers than there is room for, the widest room takes what is too much.
        many = sum(map(_ends, texts)) - sum(room.numbers for room in reference.rooms)
        widest = max(reference.rooms, key=lambda room: room.width)
        for room in reference.rooms:
            count = room.numbers + max(0, many) * (room is widest)
            here = [
                text for n, text in enumerate(texts) if sum(map(_ends, texts[: n + 1])) <= count
            ]
            yield room, here if room is not reference.rooms[-1] else texts
            texts = texts[len(here) :]


def _ends(text: tuple[str, str]) -> int:
    """How many numbers stand in it: a range has two."""
    return 1 + text[0].count(TO)
