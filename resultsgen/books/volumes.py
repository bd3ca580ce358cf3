"""Which books one meet has: a volume for each list, and the whole book of the meet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from resultsgen.books.gathering import Gathering, gatherings
from resultsgen.books.kinds import BOOKS, Book
from resultsgen.results import Ranking, Results, TeamRanking
from resultsgen.views.addresses import file_names
from resultsgen.views.chapters import contents_entries
from resultsgen.views.rankings import list_id, list_name
from resultsgen.views.sections import Section, Subject
from resultsgen.views.wording import Wording


@dataclass(frozen=True)
class Volume:
    """One book of one meet, on its way to paper."""

    file: str
    """Its file name without ending."""
    title: str
    sections: tuple[Section, ...]

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


def volumes(results: Results, wording: Wording) -> tuple[Volume, ...]:
    """Every book of a meet, the whole one first."""
    made = [
        (_name(book, subject), _title(subject, sections, wording), sections)
        for book in BOOKS
        for subject in _subjects(book, results, wording)
        if (sections := _sections(book, subject))
    ]
    files = file_names(name for name, _, _ in made)
    return tuple(Volume(files[name], title, sections) for name, title, sections in made)


def _subjects(book: Book, results: Results, wording: Wording) -> Iterator[Subject]:
    """What there is one of this book for: the meet, or all of the kind with a mark in it."""
    if book.of == "meet":
        yield Subject(results, wording)
        return
    for one in results.competitions:
        if one.started and book.of == "competition":
            yield Subject(results, wording, one)
        elif one.started:
            for ranking in one.rankings:
                if _kind(ranking) == book.of:
                    yield Subject(results, wording, one, ranking)


def _kind(ranking: Ranking | TeamRanking) -> str:
    return "team" if isinstance(ranking, TeamRanking) else ranking.kind


def _sections(book: Book, subject: Subject) -> tuple[Section, ...]:
    """The sections of all chapters, with what the contents of this book lists."""
    sections = tuple(section for chapter in book.chapters for section in chapter(subject))
    entries = tuple(contents_entries(sections))
    return tuple(
        replace(section, content=entries) if section.template == "contents" else section
        for section in sections
    )


def _name(book: Book, subject: Subject) -> str:
    """What the file is named after, in every language."""
    if subject.competition is None:
        return "Result book"
    what = list_id(subject.ranking) if subject.ranking else book.name
    return f"{subject.competition.competition.id} {what}"


def _title(subject: Subject, sections: tuple[Section, ...], wording: Wording) -> str:
    if subject.competition is None:
        return wording.say("Result book")
    what = list_name(subject.ranking, wording) if subject.ranking else sections[0].title
    return wording.language.headed(subject.competition.competition.title, what)
