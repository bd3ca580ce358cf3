"""The result books: BOOKS says which kinds there are; a meet has a volume for each of its lists."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from resultsgen.books.page_ranges import PAGE, PageRange, page_ranges
from resultsgen.language import to_say
from resultsgen.meet.settings import Handout
from resultsgen.scoring.results import Results
from resultsgen.views.handouts.awards import awards
from resultsgen.views.handouts.certificates import certificates
from resultsgen.views.handouts.medals import medal_chapter
from resultsgen.views.handouts.score_sheets import score_sheets
from resultsgen.views.handouts.wall_sheets import wall_sheets
from resultsgen.views.lists import book_frame, chapters
from resultsgen.views.lists.sections import BookSubject, Section, completed
from resultsgen.views.people.clubs import ClubView, club_views
from resultsgen.views.people.people import clubs
from resultsgen.views.site.addresses import club_target, file_names, list_target
from resultsgen.views.site.site_map import ANNOUNCER, OVERVIEW
from resultsgen.views.words.wording import Wording

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
