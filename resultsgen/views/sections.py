"""What a result book is made of: sections, and what each of them holds."""

from __future__ import annotations

from dataclasses import dataclass

from resultsgen.results import CompetitionResults, Ranking, Results, TeamRanking
from resultsgen.views.needs import PrintedSheet
from resultsgen.views.rules import Passage
from resultsgen.views.standings import BySession
from resultsgen.views.table import Table
from resultsgen.views.wording import Wording


@dataclass(frozen=True)
class Subject:
    """What a book is about: the meet, or one list of it."""

    results: Results
    wording: Wording
    competition: CompetitionResults | None = None
    ranking: Ranking | TeamRanking | None = None

    @property
    def competitions(self) -> tuple[CompetitionResults, ...]:
        """The competitions the book is about."""
        return (self.competition,) if self.competition else self.results.competitions


@dataclass(frozen=True)
class Cover:
    """The first page: what, when, where and by whom, and whether it is official."""

    book: str
    facts: tuple[str, ...]
    logo: str
    organiser: str
    status: str
    signed: tuple[str, ...]
    """Who signed, with role and time."""


@dataclass(frozen=True)
class Rules:
    """The rules of one competition."""

    about: str
    passages: tuple[Passage, ...]
    sources_head: str
    sources: tuple[str, ...]


@dataclass(frozen=True)
class SignOff:
    """The last page: what is confirmed, and a line for each who signs."""

    statement: str
    headings: tuple[str, str, str, str]
    """Name, role, signature, date and time."""
    lines: tuple[tuple[str, str, str], ...]
    """Name, role and time; empty where still to be written."""


@dataclass(frozen=True)
class Entry:
    """A line of the contents and what it leads to; the book knows the page."""

    target: str
    title: str
    depth: int


Content = (
    Cover
    | Rules
    | SignOff
    | PrintedSheet
    | tuple[BySession, ...]
    | tuple[Entry, ...]
    | tuple[tuple[str, str], ...]
)


@dataclass(frozen=True)
class Section:
    """A section of a book; the template of that name in the theme's `book/` shows it."""

    id: str
    """What links and contents lead to."""
    template: str
    title: str
    heads: str
    """The running head."""
    below: str = ""
    """A line below the title: when, how far."""
    chapter: str = ""
    """The chapter it stands in; sections of one chapter follow each other. Empty: by itself."""
    entry: str = ""
    """Its line in the contents, where that is not the title."""
    tables: tuple[Table, ...] = ()
    captioned: bool = False
    """Each table has a heading of its own."""
    content: Content = ()
    flows: bool = False
    """It shows no mark, and goes on right below the section of its chapter before it."""
    anchors: tuple[str, ...] = ()
    """What else links of other sections can lead to in it; its template gives it these ids."""


def row_target(section: str, gymnast: str) -> str:
    """What leads to the first row of a gymnast in a section of a book."""
    return f"{section}/{gymnast}"
