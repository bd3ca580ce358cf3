"""The result books: BOOKS says which kinds there are; a meet has a volume for each of its lists.

Sections of a volume that stand together begin on a new page. A long list has its pages to itself,
so that it is rendered alone when one of its marks changes, and is the same in every book that has
it. Short ones of a chapter share a page; what decides is an estimate of their heights, which no
mark changes. What shows no marks flows from page to page.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from resultsgen.books.tables import LETTERS, is_flat, measures
from resultsgen.language import to_say
from resultsgen.meet.settings import Handout
from resultsgen.scoring.results import Results
from resultsgen.views.handouts.awards import awards
from resultsgen.views.handouts.certificates import certificates
from resultsgen.views.handouts.medals import medal_chapter
from resultsgen.views.handouts.score_sheets import score_sheets
from resultsgen.views.handouts.wall_sheets import wall_sheets
from resultsgen.views.lists import book_frame, chapters
from resultsgen.views.lists.charts import SpreadChart
from resultsgen.views.lists.rules import Passage
from resultsgen.views.lists.sections import (
    BookSubject,
    ContentsEntry,
    Indexed,
    Section,
    SheetContent,
    Telling,
    completed,
)
from resultsgen.views.lists.standings import SessionStory
from resultsgen.views.lists.table import Row, Table
from resultsgen.views.people.clubs import ClubView, club_views
from resultsgen.views.people.people import clubs
from resultsgen.views.press.press import PressSheet
from resultsgen.views.site.addresses import club_target, file_names, list_target
from resultsgen.views.site.site_map import ANNOUNCER, OVERVIEW
from resultsgen.views.words.wording import Wording

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

Chapter = Callable[[BookSubject], Iterator[Section]]


@dataclass(frozen=True)
class Book:
    """A kind of book: what there is one of it for, and its chapters in order."""

    of: Literal["meet", "competition", "team", "all-around", "apparatus", "club"]
    chapters: tuple[Chapter, ...]
    name: str = ""
    """What its file is named after, unless it is the book of one list."""
    page: str = ""
    """The page of a competition that shows the same, unless it is the book of one list."""
    handouts: tuple[Handout, ...] = ()
    """It is to hand out: made where the meet names one of these; the printed form of no page."""
    title: str = ""
    """What it is called where it is to hand out; others are called after what they show."""


BOOKS = (
    Book(
        "meet",
        (
            book_frame.cover,
            book_frame.contents,
            medal_chapter,
            book_frame.schedule,
            book_frame.officials,
            chapters.all_results,
            chapters.qualification,
            chapters.standings,
            chapters.corrections,
            chapters.incidents,
            chapters.rules,
            chapters.start_lists,
            book_frame.index,
            book_frame.codes,
            book_frame.sign_off,
        ),
        "result book",
    ),
    Book("meet", (chapters.qualification,), "qualification"),
    Book("meet", (chapters.start_lists,), "start lists"),
    Book("competition", (chapters.press,), "press", OVERVIEW),
    Book("team", (chapters.the_list, chapters.qualification, chapters.standings)),
    Book("all-around", (chapters.the_list, chapters.qualification, chapters.standings)),
    Book("apparatus", (chapters.the_list, chapters.qualification)),
    Book("competition", (chapters.needs,), "needs", ANNOUNCER),
    Book("club", (chapters.the_club,), "club"),
    Book(
        "meet",
        (awards,),
        "awards sheet",
        handouts=("awards sheet", "ribbons"),
        title=to_say("Awards sheet"),
    ),
    Book(
        "competition",
        (wall_sheets,),
        "wall sheets",
        handouts=("wall sheets",),
        title=to_say("Wall sheets"),
    ),
    Book(
        "meet",
        (certificates,),
        "certificates",
        handouts=("certificates",),
        title=to_say("Certificates"),
    ),
    Book(
        "club",
        (certificates,),
        "certificates",
        handouts=("certificates",),
        title=to_say("Certificates"),
    ),
    Book(
        "meet",
        (score_sheets,),
        "score sheets",
        handouts=("score sheets",),
        title=to_say("Score sheets"),
    ),
)


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


@dataclass(frozen=True)
class Volume:
    """One book of one meet, on its way to paper."""

    file: str
    """Its file name without ending."""
    title: str
    group: str
    """What it is filed under: a competition, the clubs, what is to hand out; empty: the meet."""
    sections: tuple[Section, ...]
    target: str = ""
    """The page of the site that it is the printed form of; empty where there is none."""
    room: float = PAGE["A4"]
    """How high its pages are."""

    @cached_property
    def anchors(self) -> frozenset[str]:
        """What the cell of a table can lead to in this book."""
        return frozenset(
            name for section in self.sections for name in (section.id, *section.anchors)
        )

    @cached_property
    def page_ranges(self) -> tuple[PageRange, ...]:
        """Its sections, as they stand together."""
        return tuple(page_ranges(self.sections, self.room))

    @property
    def holds(self) -> tuple[str, ...]:
        """The pages of the site that it has whole, if it is of the meet."""
        return () if self.group else tuple(section.id for section in self.sections)

    @property
    def has_cover(self) -> bool:
        """It begins with a cover, and is bound: its pages have an inner and an outer edge."""
        return self.sections[0].template == "cover"


def volumes(
    results: Results, wording: Wording, books: Sequence[Book] = BOOKS
) -> tuple[Volume, ...]:
    """Every book of a meet, the whole one first; or those of these kinds."""
    wanted = set(results.meet.settings.handouts)
    made = [
        _volume(book, subject, sections)
        for book in books
        if not book.handouts or wanted & set(book.handouts)
        for subject in _subjects(book, results, wording)
        if (sections := _sections(book, subject))
    ]
    files = file_names(volume.file for volume in made)
    room = PAGE[results.meet.settings.paper]
    return tuple(replace(volume, file=files[volume.file], room=room) for volume in made)


def _subjects(book: Book, results: Results, wording: Wording) -> Iterator[BookSubject]:
    """What there is one of this book for: the meet, or all of the kind with a mark in it."""
    started = [running for running in results.competitions if running.started]
    if book.of == "meet":
        yield BookSubject(results, wording)
    elif book.of == "club" and started:
        named = (ClubView(club, club_target(club), "") for club in clubs(results))
        for club in named if book.handouts else club_views(results, wording):
            yield BookSubject(results, wording, club=club)
    for running in started:
        if book.of == "competition":
            yield BookSubject(results, wording, running)
        for ranking in running.rankings:
            if ranking.kind == book.of:
                yield BookSubject(results, wording, running, ranking)


def _sections(book: Book, subject: BookSubject) -> tuple[Section, ...]:
    """The sections of all chapters; contents, index and codes tell of the others."""
    sections = (section for chapter in book.chapters for section in chapter(subject))
    return completed(tuple(sections), subject)


def _volume(book: Book, subject: BookSubject, sections: tuple[Section, ...]) -> Volume:
    """A book with its file, which is named alike in every language; no id has a colon."""
    volume = _of_its_subject(book, subject, sections)
    if not book.handouts:
        return volume
    say, headed = subject.wording.say, subject.wording.language.headed
    whose = subject.club.name if subject.club else volume.group
    title = headed(whose, say(book.title))
    return replace(volume, title=title, group=say("To hand out"), target="")


def _of_its_subject(book: Book, subject: BookSubject, sections: tuple[Section, ...]) -> Volume:
    """A book as that of the meet, of a list or of a club is filed."""
    say, club, ranking, first = subject.wording.say, subject.club, subject.ranking, sections[0]
    if subject.competition is None:
        title = say("Result book") if first.template == "cover" else first.chapter or first.title
        if club is None:
            return Volume(book.name, title, "", sections)
        return Volume(f"{book.name}: {club.name}", title, say("Clubs"), sections, club.target)
    competition = subject.competition.competition
    whole = subject.wording.called(competition.title)
    return Volume(
        f"{competition.id} {ranking.id if ranking else book.name}",
        subject.wording.language.headed(
            whole, subject.wording.list_name(ranking.id) if ranking else first.title
        ),
        whole,
        sections,
        list_target(competition.id, ranking.id if ranking else book.page),
    )


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
