"""What a result book is made of: sections, and what each of them holds."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from resultsgen.scoring.results import CompetitionResults, Ranking, Results
from resultsgen.views.lists.charts import SpreadChart
from resultsgen.views.lists.rules import Passage
from resultsgen.views.lists.standings import SessionStory
from resultsgen.views.lists.table import Row, Table
from resultsgen.views.live.needs import NeedsView
from resultsgen.views.people.clubs import ClubView
from resultsgen.views.press.press import PressSheet
from resultsgen.views.words.wording import Wording


@dataclass(frozen=True)
class BookSubject:
    """What a book is about: the meet, a competition, one list of it, or a club."""

    results: Results
    wording: Wording
    competition: CompetitionResults | None = None
    ranking: Ranking | None = None
    club: ClubView | None = None

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
    logo_of: str
    """Whose logo it is, for those who do not see it."""
    status: str
    signed: tuple[str, ...]
    """Who signed, with role and time."""


@dataclass(frozen=True)
class RulesContent:
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
class ContentsEntry:
    """A line of the contents and what it leads to; the book knows the page."""

    target: str
    title: str
    depth: int


@dataclass(frozen=True)
class Indexed:
    """A gymnast in the index, and every row of theirs; the book knows the pages."""

    name: str
    family: str
    """What a part of the index is named after; all that is shown of a withheld name."""
    club: str
    rows: tuple[str, ...]


Content = (
    Cover
    | RulesContent
    | PressSheet
    | SpreadChart
    | SignOff
    | NeedsView
    | tuple[SessionStory, ...]
    | tuple[ContentsEntry, ...]
    | tuple[Indexed, ...]
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
    """It goes on right below the section of its chapter before it, from page to page."""
    leads: bool = False
    """It is short, and leaves room for the section after it, whatever this is."""
    anchors: tuple[str, ...] = ()
    """What else links of other sections can lead to in it; its template gives it these ids."""


GYMNAST = "gymnast:"
"""What a cell leads to that names a gymnast."""


def row_target(section: str, gymnast: str, number: int = 1) -> str:
    """What leads to a row of a gymnast in a section of a book: the first one, or a later one."""
    return f"{section}/{gymnast}" + (f"/{number}" if number > 1 else "")


def gymnast_of(row: Row) -> str:
    """The gymnast that a row names, as a target; empty where it names none."""
    targets = (cell.target for cell in row.cells if cell.target.startswith(GYMNAST))
    return next(targets, "")


def gymnast_rows(section: Section) -> Iterator[tuple[str, str]]:
    """Every row of a gymnast in a section: the gymnast, and what leads to the row."""
    seen: Counter[str] = Counter()
    for table in section.tables:
        for row in table.rows:
            if gymnast := gymnast_of(row):
                seen[gymnast] += 1
                yield gymnast, row_target(section.id, gymnast, seen[gymnast])
