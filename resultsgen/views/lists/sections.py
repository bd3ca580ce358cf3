"""What a result book is made of: sections, and what each of them holds."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal
from urllib.parse import quote

from resultsgen.scoring.ranking import Ranking
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.lists.charts import OrderChart, SpreadChart
from resultsgen.views.lists.codes import codes, legend
from resultsgen.views.lists.rules import Passage
from resultsgen.views.lists.standings import SessionStory
from resultsgen.views.lists.table import Column, Row, Table, plain_table
from resultsgen.views.live.needs_sheet import NeedsView
from resultsgen.views.people.clubs import ClubView
from resultsgen.views.people.people import people
from resultsgen.views.press.press import PressSheet
from resultsgen.views.site.addresses import list_target
from resultsgen.views.words.wording import Wording

CONTENTS, INDEX, CODES = "contents", "index", "codes"
"""The ids of these sections."""

FEW = 20
"""Contents or an index of so few lines leave room for what comes after them."""

INDEXED = 200
"""So many names are in a section of the index at most; a page has room for about half of them."""


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
class Winner:
    """A list that is awarded, who won it, and with what; nobody yet while marks are to come."""

    list: str
    target: str
    names: str
    body: str
    total: str


@dataclass(frozen=True)
class Honours:
    """Who won what in one competition, and how far it is."""

    title: str
    state: str
    """Empty once all marks are in."""
    winners: tuple[Winner, ...]


@dataclass(frozen=True)
class Cover:
    """The first page: what, when, where and by whom, whether it is official, and who won."""

    book: str
    facts: tuple[str, ...]
    logo: str
    logo_of: str
    """Whose logo it is, for those who do not see it."""
    status: str
    signed: tuple[str, ...]
    """Who signed, with role and time."""
    board: tuple[tuple[Honours, ...], ...] = ()
    """In two columns."""


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
    bib: str
    """Empty where bibs are not shown, or it is the name."""
    body: str
    """The federation; where there is none, the clubs."""
    main: str
    """The row that says most, in the first list of all apparatus."""
    rows: tuple[str, ...]


@dataclass(frozen=True)
class SheetContent:
    """What a sheet to hand out or put up shows; each kind (`views/handouts/`) has its own."""

    @property
    def height(self) -> float:
        """About how high it is, in points; asked where sheets of one chapter share a page."""
        return 0


@dataclass(frozen=True)
class Telling:
    """Sentences and a picture above the tables of a section."""

    sentences: tuple[str, ...] = ()
    chart: OrderChart | None = None

    @property
    def height(self) -> float:
        """About how high it is, in points."""
        lines = sum(1 + len(sentence) // 110 for sentence in self.sentences)
        return 12 * lines + (60 + 22 * len(self.chart.courses) if self.chart else 0)


Content = (
    Cover
    | Telling
    | PressSheet
    | SpreadChart
    | SignOff
    | NeedsView
    | SheetContent
    | tuple[SessionStory, ...]
    | tuple[ContentsEntry, ...]
    | tuple[Indexed, ...]
    | tuple[Passage, ...]
    | tuple[tuple[str, str], ...]
)


COLUMNED = 24
"""A table of so many rows is set in two columns, where its section has columns."""


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
    flows: int = 0
    """It goes on right below the section of its chapter before it, over so many pages at most."""
    beside: Literal["", "sections", "tables"] = ""
    """What stands in half the measure: it and the next side by side, or its tables in columns."""
    leads: bool = False
    """It is short, and leaves room for the section after it, whatever this is."""
    anchors: tuple[str, ...] = ()
    """What else links of other sections can lead to in it; its template gives it these ids."""

    @property
    def columned(self) -> bool:
        """Its tables follow each other in two columns; a single short one has the whole measure."""
        rows = sum(len(table.rows) for table in self.tables)
        return self.beside == "tables" and (len(self.tables) > 1 or rows >= COLUMNED)


GYMNAST = ("gymnast:", "person:")
"""What a cell leads to that names a gymnast, of a meet or of a season."""


def row_target(section: str, gymnast: str, number: int = 1) -> str:
    """What leads to a row of a gymnast in a section of a book: the first one, or a later one.

    A bib or a name may have any letters; here are none that HTML or an address has to escape.

    >>> row_target("meet:june-cup", 'person:Vale Dot "Dottie" women', 2)
    'meet:june-cup/person:Vale~20Dot~20~22Dottie~22~20women+2'
    """
    plain = quote(gymnast, safe="/:").replace("~", "%7E").replace("%", "~")
    return f"{section}/{plain}" + (f"+{number}" if number > 1 else "")


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


# What a book knows of itself once all its sections are there


def completed(sections: tuple[Section, ...], subject: BookSubject) -> tuple[Section, ...]:
    """The sections of a book; those that tell of the others now do."""
    found: list[Section] = []
    for section in sections:
        if section.id == INDEX:
            entries = tuple(index_entries(sections, subject))
            found += index_sections(section, entries, subject.wording)
        elif section.id == CODES:
            found.append(replace(section, tables=tuple(code_tables(sections, subject))))
        else:
            found.append(section)
    lines = tuple(contents_entries(found))
    few = len(lines) <= FEW
    return tuple(
        replace(held, content=lines, leads=few) if held.id == CONTENTS else held for held in found
    )


def contents_entries(sections: Iterable[Section]) -> Iterator[ContentsEntry]:
    """The lines of the contents: sections, and above the first of each chapter the chapter."""
    before = ""
    for section in sections:
        if section.template in ("cover", CONTENTS):
            continue
        if section.chapter and section.chapter != before:
            yield ContentsEntry(section.id, section.chapter, 1)
        yield ContentsEntry(section.id, section.entry or section.title, 2 if section.chapter else 1)
        before = section.chapter


def index_entries(sections: Iterable[Section], subject: BookSubject) -> Iterator[Indexed]:
    """Everybody by name with all rows of theirs; who stands in none is not there."""
    found: dict[str, list[str]] = {}
    main: dict[str, str] = {}
    totals = {
        list_target(judged.competition.id, judged.all_around.id)
        for judged in subject.results.competitions
        if judged.all_around
    }
    for section in sections:
        for gymnast, anchor in gymnast_rows(section):
            found.setdefault(gymnast, []).append(anchor)
            if section.id in totals:
                main.setdefault(gymnast, anchor)
    for person in people(subject.results):
        if rows := found.get(person.target):
            name = shown_name(person.gymnast, subject.wording)
            family = person.gymnast.family if person.gymnast.published else name
            bib = (
                person.gymnast.bib if subject.wording.bibs_worn and person.gymnast.published else ""
            )
            first = main.get(person.target, rows[0])
            body = person.gymnast.federation or ", ".join(person.clubs)
            yield Indexed(name, family or name, bib, body, first, tuple(rows))


def index_sections(
    index: Section, entries: tuple[Indexed, ...], wording: Wording
) -> Iterator[Section]:
    """The index; a long one in sections that are named after the first and the last in them."""
    count = -(-len(entries) // INDEXED)
    if count <= 1:
        yield replace(index, content=entries, leads=index.leads or len(entries) <= FEW)
        return
    for number in range(count):
        some = entries[number * len(entries) // count : (number + 1) * len(entries) // count]
        title = " – ".join(dict.fromkeys((some[0].family, some[-1].family)))
        yield replace(
            index,
            id=f"{index.id}-{number + 1}" if number else index.id,
            title=title,
            heads=wording.language.headed(index.title, title),
            chapter=index.title,
            content=some,
        )


def code_tables(sections: Iterable[Section], subject: BookSubject) -> Iterator[Table]:
    """The apparatus by their codes, and every code that a table of the book uses."""
    say, wording = subject.wording.say, subject.wording
    columns = (Column(say("Code"), "name", width=1.4), Column(say("Meaning"), "text", width=4))
    every = {code: None for judged in subject.results.competitions for code in judged.apparatus}
    apparatus = [(code, wording.apparatus(code)) for code in every]
    yield plain_table("apparatus", say("Apparatus"), columns, apparatus, "apparatus")
    tables = [table for section in sections for table in section.tables]
    used = dict(codes(((table.columns, table.rows) for table in tables), wording))
    for table in tables:
        own = dict(legend(table.columns, table.rows, wording))
        used |= {code: words for code, words in table.legend if code not in own}
    if used:
        yield plain_table("codes", say("In the tables"), columns, used.items(), "codes")
