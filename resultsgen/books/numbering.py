"""Page numbers in the text: each is a link, written into the room that a unit has left for it.

Of several things on one page the number stands there once. What room is left over at the end of a
line stays empty; where it is not enough, numbers are set narrower.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from resultsgen.books.lettering import lettered
from resultsgen.books.press.unit import COMMA, POINTS, PRINT, Hand, Room, Unit, page_object
from resultsgen.books.syntax import array, number, refers, string

Told = tuple[tuple[tuple[int, str], ...], ...]
"""For all that a unit mentions, the pages it is on, each with the first thing there."""

RISES, HANGS = 0.9, 0.25
"""How far the place to click on goes above and below the line, in sizes of the letters."""


def told(unit: Unit, pages: Mapping[str, int]) -> Told:
    """The pages of all that a unit mentions."""
    return tuple(tuple(pages_of(one.targets, pages)) for one in unit.mentions)


def pages_of(targets: Iterable[str], pages: Mapping[str, int]) -> list[tuple[int, str]]:
    """Each page that any of these is on, once and in order, with the first of them there."""
    first: dict[int, str] = {}
    for target in targets:
        if target not in pages:
            raise LookupError(f"a page number is wanted of {target}, which is nowhere")
        first.setdefault(pages[target], target)
    return sorted(first.items())


def numbers_needed(unit: Unit) -> int:
    """How many objects the page numbers of a unit may need in a book."""
    return 2 * sum(len(one.targets) for one in unit.mentions)


@dataclass(frozen=True)
class Number:
    """A page number where it stands: from where to where in a line, in pixels."""

    shown: str
    target: str
    glyphs: bytes
    left: float
    right: float


def _set(room: Room, hand: Hand, wanted: list[tuple[str, str]]) -> tuple[bytes, list[Number]]:
    """How numbers are set in a room, and where each of them stands."""
    size = hand.size / POINTS
    ends = [" "] * (len(wanted) - 1) + [""]
    texts = [
        (text, target, *lettered(text + end, hand.letters))
        for (text, target), end in zip(wanted, ends, strict=False)
    ]
    needed = size * sum(width for *_, width in texts)
    narrowed = min(1.0, room.width / needed) if needed else 1.0
    left = room.x - needed * narrowed * hand.align
    numbers = []
    for text, target, glyphs, width in texts:
        right = left + size * width * narrowed
        numbers.append(Number(text.rstrip(COMMA), target, glyphs, left, right))
        left = right
    how = b"/%b %b Tf %d Tz" % (hand.font.encode(), number(size), round(100 * narrowed))
    return how, numbers


def _lines(unit: Unit, told: Told) -> Iterator[tuple[Room, list[tuple[str, str]]]]:
    """Each room of a unit with the numbers that stand in it and what they lead to."""
    for mentions, pages in zip(unit.mentions, told, strict=True):
        texts = [(f"{page}{COMMA.rstrip()}", target) for page, target in pages[:-1]]
        texts += [(f"{page}", target) for page, target in pages[-1:]]
        # Of more numbers than there is room for, the widest room takes what is too much.
        many = len(texts) - sum(room.numbers for room in mentions.rooms)
        widest = max(mentions.rooms, key=lambda room: room.width)
        for room in mentions.rooms:
            count = room.numbers + max(0, many) * (room is widest)
            yield room, texts[:count]
            texts = texts[count:]


class Numbers:
    """The page numbers of a unit in its place: what is printed, the links, and the tags."""

    def __init__(self, unit: Unit, base: int, told: Told) -> None:
        self.objects: dict[int, bytes] = {}
        self.links: list[list[int]] = [[] for _ in unit.pages]
        """By page; the tag of each has the number after its own."""
        self.decided: dict[str, bytes] = {}
        """What the unit leaves for the book to decide."""
        self._unit = unit
        self._base = base
        for rank, (room, wanted) in enumerate(_lines(unit, told)):
            self._fill(rank, room, wanted)
        for page, links in enumerate(self.links):
            self.decided[f"B{page}"] = _together(refers(link + 1) for link in links)
        every = sorted(link for links in self.links for link in links)
        self.decided["B"] = _together(b"%d %d 0 R" % (link, link + 1) for link in every)
        self.last = every[-1] if every else 0

    def _fill(self, rank: int, room: Room, wanted: list[tuple[str, str]]) -> None:
        """What is printed in a room, and its tags."""
        how, numbers = _set(room, self._unit.hands[room.hand], wanted)
        printed, tags = [how], []
        for one in numbers:
            piece = self._unit.pages[room.page].tagged + len(self.links[room.page])
            printed.append(
                b"/Link<</MCID %d>>BDC BT 1 0 0 -1 %b %b Tm %b Tj ET EMC"
                % (piece, number(one.left), number(room.y), one.glyphs)
            )
            tags.append(refers(self._link(room, one, piece) + 1))
        self.decided[f"N{rank}"] = b"\n".join([*printed, b"100 Tz"])
        self.decided[f"T{rank}"] = _together(tags)

    def _link(self, room: Room, one: Number, piece: int) -> int:
        """Add the link that a number is, and its tag."""
        link = self._base + self._unit.size + len(self.objects)
        page = self._base + page_object(room.page, len(self._unit.pages))
        self.links[room.page].append(link)
        self.objects[link] = (
            b"<</Type/Annot/Subtype/Link/Rect%b/F %d/BS<</W 0>>/Contents%b/Dest%b/StructParent %d>>"
            % (self._box(room, one), PRINT, string(one.shown), string(one.target), link)
        )
        self.objects[link + 1] = b"<</S/Link/P %b/Pg %b/K[%d <</Type/OBJR/Obj %b>>]>>" % (
            refers(self._base + room.owner),
            refers(page),
            piece,
            refers(link),
        )
        return link

    def _box(self, room: Room, one: Number) -> bytes:
        """Where to click, in points from the lower left corner."""
        size = self._unit.hands[room.hand].size
        line = self._unit.pages[room.page].height - room.y * POINTS
        lower, upper = line - HANGS * size, line + RISES * size
        return array(map(number, (one.left * POINTS, lower, one.right * POINTS, upper)))


def _together(parts: Iterable[bytes]) -> bytes:
    return b" ".join(parts)
