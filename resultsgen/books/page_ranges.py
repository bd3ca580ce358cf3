"""Which sections of a book stand together, from the top of a page on.

A long list has its pages to itself, so that it is rendered alone when one of its marks changes, and
is the same in every book that has it. Short ones of a chapter share a page; what decides is an
estimate of their heights, which no mark changes. What shows no marks flows from page to page.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from resultsgen.books.tables import LETTERS, is_flat, measures
from resultsgen.views.lists.charts import SpreadChart
from resultsgen.views.lists.rules import Passage
from resultsgen.views.lists.sections import ContentsEntry, Indexed, Section, SheetContent, Telling
from resultsgen.views.lists.standings import SessionStory
from resultsgen.views.lists.table import Row, Table
from resultsgen.views.press.press import PressSheet

PAGE = {"A4": 700.0, "Letter": 650.0}
"""So many points of a page are counted on."""

TIGHT = 0.08
"""What goes over by less, for each page, is set tighter."""

FULL, AIR = 0.93, 2.3
"""So much of a page is to be filled by setting rows further apart, by so many points above and
below at most."""

HEADING, CAPTION, HEAD, ROW, FLAT_ROW, NOTE = 41, 40, 20, 23, 14, 9.5
SPREAD, STORY, INDEXED, LINE, SENTENCE = 50, 140, 5.9, 7, 6
"""About how high things are, in points."""

SHEET = 1.3
"""A sheet to hand out is reckoned with so much more than it says: it is read aloud from."""

UNEVEN = 0.54
"""So much of their height take tables in two columns, of which one is longer."""

HALF = 0.45
"""So much of its height has a picture in half the measure."""


@dataclass(frozen=True)
class PageRange:
    """Sections that stand together, from the top of a page on."""

    sections: tuple[Section, ...]
    again: bool
    """It goes on with the chapter of the one before."""
    room: float
    """How high a page is."""

    @property
    def name(self) -> str:
        """What people are told that it is."""
        first = self.sections[0]
        return first.heads or first.title

    @property
    def pages(self) -> int:
        """How many it is likely to have."""
        return 1 + int(self._filled)

    @property
    def set(self) -> Literal["", "tight"]:
        """What goes a little over a page or two is set tighter."""
        return "tight" if self._filled > 1 and self._filled % 1 < TIGHT * int(self._filled) else ""

    @property
    def air(self) -> float:
        """So many points are above and below each row, beyond what is usual, to fill a page; a
        press sheet has as much as goes on one."""
        rows = sum(max(map(_rows_deep, row)) for row in side_by_side(self.sections, self.room))
        if self._filled >= FULL or not rows or isinstance(self.sections[0].content, PressSheet):
            return 0
        return round(min(AIR, (FULL - self._filled) * self.room / rows / 2), 1)

    @cached_property
    def _filled(self) -> float:
        """About how many pages it fills."""
        return _height_of(self.sections, self.room) / self.room


def side_by_side(sections: Iterable[Section], room: float) -> Iterator[tuple[Section, ...]]:
    """Sections as they stand below each other: one, or two of a chapter that stand side by side."""
    left: tuple[Section, ...] = ()
    for section in sections:
        pairs = section.beside == "sections" and _height(section, True) <= room
        if left and pairs and section.chapter == left[0].chapter:
            yield (*left, section)
            left = ()
            continue
        if left:
            yield left
        left = (section,) if pairs else ()
        if not pairs:
            yield (section,)
    if left:
        yield left


def page_ranges(sections: tuple[Section, ...], room: float = PAGE["A4"]) -> Iterator[PageRange]:
    """The sections of a book, as they stand together."""
    chapter = ""
    waiting: tuple[Section, ...] = ()
    rows = [*side_by_side(sections, room), ()]
    for row, after in zip(rows, (*rows[1:], ()), strict=True):
        again = bool(chapter) and bool(waiting) and waiting[0].chapter == chapter
        led = (*row, *after) if row and row[-1].leads else row
        if waiting and not (row and _together(waiting, led, room, again)):
            yield PageRange(waiting, again, room)
            chapter, waiting = waiting[-1].chapter, ()
        waiting += row


def _together(
    waiting: tuple[Section, ...], row: tuple[Section, ...], room: float, again: bool
) -> bool:
    """They fit on one page, with what they lead, or a few of a chapter if they flow; or the one
    before leads.

    What goes on with the chapter of the page before holds no other.
    """
    before, first = waiting[-1], row[0]
    if before.leads:
        return True
    same = first.chapter == before.chapter
    apart = again or isinstance(first.content, SheetContent)
    if not (before.chapter and first.chapter) or (apart and not same):
        return False
    pages = first.flows or 1 if same else 1
    more = TIGHT if same else -TIGHT
    return _height_of((*waiting, *row), room) <= pages * room * (1 + more)


def stays_whole(table: Table, room: float, narrow: bool, columned: bool) -> bool:
    """No break parts it: it leaves not much of a page empty, or is one of several in columns."""
    return table_height(table, narrow) <= room / (1 if columned else 3)


def _height_of(sections: tuple[Section, ...], room: float) -> float:
    """About how much of a page sections take that stand together."""
    several = len(sections) > 1
    return sum(
        max(_height(one, len(row) > 1 or (several and one.beside == "sections")) for one in row)
        for row in side_by_side(sections, room)
    )


def _height(section: Section, narrow: bool) -> float:
    narrow = narrow or section.columned
    heights = [table_height(table, narrow, section.captioned) for table in section.tables]
    filled = sum(heights)
    if section.columned:
        filled = max(UNEVEN * filled, *(heights if len(heights) > 1 else (HEAD,)))
    return HEADING + _content_height(section) * (HALF if narrow else 1) + filled


def _rows_deep(section: Section) -> float:
    """About how many rows stand below each other."""
    return sum(len(table.rows) for table in section.tables) * (UNEVEN if section.columned else 1)


def _content_height(section: Section) -> float:
    content = section.content
    if isinstance(content, SheetContent):
        return SHEET * (content.height + HEADING)
    if isinstance(content, Telling):
        return content.height
    if isinstance(content, SpreadChart):
        return SPREAD * (1 + len(content.rows))
    return sum(map(_entry_height, content)) if isinstance(content, tuple) else 0


def _entry_height(entry: object) -> float:
    if isinstance(entry, Passage):
        return SENTENCE * (2 + sum(1 + len(sentence) // 62 for sentence in entry.sentences))
    heights = {SessionStory: STORY, ContentsEntry: LINE, Indexed: INDEXED}
    return heights.get(type(entry), 0)


def _lines_more(row: Row, table: Table, letters: Sequence[float], beside: bool) -> int:
    """How many lines a row takes beyond its first; *beside*: the club stands beside the name."""
    lengths = (
        len(cell.text) + beside * len(cell.sub) if column.kind in ("name", "text") else 0
        for cell, column in zip(row.cells, table.columns, strict=True)
    )
    pairs = zip(lengths, letters, strict=True)
    told = max((int((n - 1) // most) for n, most in pairs if n), default=0)
    return told + bool(row.cut or row.reserves)


def table_height(table: Table, narrow: bool = False, captioned: bool = False) -> float:
    """About how high a table is, in points, in all of the measure or in half of it."""
    flat = is_flat(table, narrow)
    letters = [LETTERS * width * (1 if narrow else 2.1) for width in measures(table, narrow)]
    lines = sum(_lines_more(row, table, letters, narrow and flat) for row in table.rows)
    row = FLAT_ROW if flat else ROW
    line = 64 if narrow else 136
    below: list[float] = [1 + len(note.text) // line for note in table.notes]
    codes = sum(len(code) + len(words) + 4 for code, words in table.legend)
    if codes:  # Which stand once on a page.
        below.append((1 + codes // line) / (3 if narrow else 1) + 0.7)
    head = CAPTION if captioned else HEAD
    return head + row * len(table.rows) + NOTE * (lines + sum(below))
