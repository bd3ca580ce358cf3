"""Which books one meet has: a volume for each list, and the whole book of the meet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from resultsgen.books.kinds import BOOKS, Book
from resultsgen.books.page_ranges import Gathering, gatherings
from resultsgen.scoring.results import Results
from resultsgen.views.lists.sections import BookSubject, Section
from resultsgen.views.people.clubs import club_views
from resultsgen.views.press.closing import completed
from resultsgen.views.site.addresses import file_names, list_target
from resultsgen.views.words.wording import Wording


@dataclass(frozen=True)
class Volume:
    """One book of one meet, on its way to paper."""

    file: str
    """Its file name without ending."""
    title: str
    group: str
    """What it is filed under: a competition, or the clubs; empty for the whole meet."""
    sections: tuple[Section, ...]
    target: str = ""
    """The page of the site that it is the printed form of; empty where there is none."""

    @cached_property
    def anchors(self) -> frozenset[str]:
        """What the cell of a table can lead to in this book."""
        sections = self.sections
        return frozenset(name for one in sections for name in (one.id, *one.anchors))

    @cached_property
    def gatherings(self) -> tuple[Gathering, ...]:
        """Its sections, as they stand together."""
        return tuple(gatherings(self.sections))

    @property
    def has_cover(self) -> bool:
        """It begins with a cover, and is bound: its pages have an inner and an outer edge."""
        return self.sections[0].template == "cover"


def volumes(
    results: Results, wording: Wording, books: Sequence[Book] = BOOKS
) -> tuple[Volume, ...]:
    """Every book of a meet, the whole one first; or those of these kinds."""
    made = [
        Volume(
            _name(book, subject), _title(subject, sections), _group(subject), sections,
            _page(book, subject),
        )
        for book in books
        for subject in _subjects(book, results, wording)
        if (sections := _sections(book, subject))
    ]  # fmt: skip
    files = file_names(volume.file for volume in made)
    return tuple(replace(volume, file=files[volume.file]) for volume in made)


def _subjects(book: Book, results: Results, wording: Wording) -> Iterator[BookSubject]:
    """What there is one of this book for: the meet, or all of the kind with a mark in it."""
    if book.of == "meet":
        return iter([BookSubject(results, wording)])
    if book.of != "club":
        return _of_competitions(book, results, wording)
    clubs = club_views(results, wording) if any(one.started for one in results.competitions) else ()
    return (BookSubject(results, wording, club=club) for club in clubs)


def _of_competitions(book: Book, results: Results, wording: Wording) -> Iterator[BookSubject]:
    for one in results.competitions:
        if one.started and book.of == "competition":
            yield BookSubject(results, wording, one)
        elif one.started:
            for ranking in one.rankings:
                if ranking.kind == book.of:
                    yield BookSubject(results, wording, one, ranking)


def _sections(book: Book, subject: BookSubject) -> tuple[Section, ...]:
    """The sections of all chapters; contents, index and codes tell of the others."""
    sections = (section for chapter in book.chapters for section in chapter(subject))
    return completed(tuple(sections), subject)


def _name(book: Book, subject: BookSubject) -> str:
    """What the file is named after, in every language; no id has a colon."""
    if subject.club:
        return f"{book.name}: {subject.club.name}"
    if subject.competition is None:
        return book.name
    what = subject.ranking.id if subject.ranking else book.name
    return f"{subject.competition.competition.id} {what}"


def _title(subject: BookSubject, sections: tuple[Section, ...]) -> str:
    """What people call the book."""
    wording, first = subject.wording, sections[0]
    if subject.competition is None:
        return wording.say("Result book") if first.template == "cover" else first.chapter
    what = wording.list_name(subject.ranking.id) if subject.ranking else first.title
    return wording.language.headed(subject.competition.competition.title, what)


def _page(book: Book, subject: BookSubject) -> str:
    """What the page that shows the same is called; there is none for books of the whole meet."""
    if subject.club:
        return subject.club.target
    if subject.competition is None:
        return ""
    name = subject.ranking.id if subject.ranking else book.page
    return list_target(subject.competition.competition.id, name)


def _group(subject: BookSubject) -> str:
    """What the book is filed under."""
    if subject.club:
        return subject.wording.say("Clubs")
    return subject.competition.competition.title if subject.competition else ""
