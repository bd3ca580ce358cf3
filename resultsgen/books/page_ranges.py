"""Which sections of a book stand together; each such gathering begins on a new page.

A long list has its pages to itself, so that it is rendered alone when one of its marks changes,
and is the same in every book that has it. Short ones of a chapter share a page; what decides is an
estimate of their heights, which no mark changes. What shows no marks flows from page to page.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from resultsgen.books.typesetting import is_flat
from resultsgen.views.lists.charts import SpreadChart
from resultsgen.views.lists.sections import Indexed, Section
from resultsgen.views.lists.table import Table

PAGE = 640
"""So many points of a page are counted on."""

FLOWING = 3
"""So many pages are rendered at once of sections that no mark changes."""

HEADING, CAPTION, ROW, FLAT_ROW, NOTE, SPREAD, INDEXED = 75, 50, 24, 15.5, 10, 37, 6.5
"""About how high things are, in points."""


@dataclass(frozen=True)
class Gathering:
    """Sections that stand together, from the top of a page on."""

    sections: tuple[Section, ...]
    again: bool
    """It goes on with the chapter of the one before."""

    @property
    def name(self) -> str:
        """What people are told that it is."""
        first = self.sections[0]
        return first.heads or first.title

    @property
    def pages(self) -> int:
        """How many it is likely to have."""
        return 1 + int(sum(map(_height, self.sections)) / PAGE)


def gatherings(sections: tuple[Section, ...]) -> Iterator[Gathering]:
    """The sections of a book, as they stand together."""
    chapter = ""
    waiting: list[Section] = []
    for section in (*sections, None):
        if waiting and (section is None or not _together(waiting, section)):
            first = waiting[0].chapter
            yield Gathering(tuple(waiting), bool(first) and first == chapter)
            chapter, waiting = waiting[-1].chapter, []
        if section is not None:
            waiting.append(section)


def _together(waiting: list[Section], section: Section) -> bool:
    """They are of one chapter and fit on one page, or a few if they flow; or the one leads."""
    if waiting[-1].leads:
        return True
    belongs = bool(section.chapter) and section.chapter == waiting[-1].chapter
    room = FLOWING * PAGE if section.flows else PAGE
    return belongs and sum(map(_height, (*waiting, section))) <= room


def _height(section: Section) -> float:
    prose = PAGE / 2 if section.flows and not section.tables else 0
    return HEADING + prose + _content_height(section) + sum(map(_table_height, section.tables))


def _content_height(section: Section) -> float:
    content = section.content
    if isinstance(content, SpreadChart):
        return SPREAD * (1 + len(content.rows))
    if isinstance(content, tuple):
        return INDEXED * sum(isinstance(one, Indexed) for one in content)
    return 0


def _table_height(table: Table) -> float:
    rows = len(table.rows) * (FLAT_ROW if is_flat(table) else ROW)
    return CAPTION + rows + NOTE * (len(table.notes) + bool(table.legend))
