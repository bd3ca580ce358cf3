"""What a book knows of itself once all its sections are there: contents, index, codes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from resultsgen.results import Results
from resultsgen.views.cells import shown_name
from resultsgen.views.legend import codes
from resultsgen.views.people import people
from resultsgen.views.sections import Entry, Indexed, Section, Subject, gymnast_rows
from resultsgen.views.table import Cell, Column, Row, Table
from resultsgen.views.wording import Wording

CONTENTS, INDEX, CODES = "contents", "index", "codes"
"""The ids of these sections."""


def completed(sections: tuple[Section, ...], subject: Subject) -> tuple[Section, ...]:
    """The sections of a book; those that tell of the others now do."""
    fill: dict[str, Callable[[Section], Section]] = {
        CONTENTS: lambda one: replace(one, content=tuple(contents_entries(sections))),
        INDEX: lambda one: replace(one, content=tuple(index_entries(sections, subject))),
        CODES: lambda one: replace(one, tables=tuple(code_tables(sections, subject))),
    }
    return tuple(fill[one.id](one) if one.id in fill else one for one in sections)


def contents_entries(sections: Iterable[Section]) -> Iterator[Entry]:
    """The lines of the contents: sections, and above the first of each chapter the chapter."""
    before = ""
    for section in sections:
        if section.template in ("cover", CONTENTS):
            continue
        if section.chapter and section.chapter != before:
            yield Entry(section.id, section.chapter, 1)
        yield Entry(section.id, section.entry or section.title, 2 if section.chapter else 1)
        before = section.chapter


def index_entries(sections: Iterable[Section], subject: Subject) -> Iterator[Indexed]:
    """Everybody by name with all rows of theirs; who stands in none is not there."""
    found: dict[str, list[str]] = {}
    for section in sections:
        for gymnast, anchor in gymnast_rows(section):
            found.setdefault(gymnast, []).append(anchor)
    for person in people(subject.results):
        if rows := found.get(person.target):
            clubs = ", ".join(person.clubs)
            yield Indexed(shown_name(person.gymnast, subject.wording), clubs, tuple(rows))


def code_tables(sections: Iterable[Section], subject: Subject) -> Iterator[Table]:
    """The apparatus by their codes, and every code that a table of the book uses."""
    say = subject.wording.say
    tables = [table for section in sections for table in section.tables]
    yield _pairs("apparatus", say("Apparatus"), _apparatus(subject.results, subject.wording), say)
    used = dict(codes(((one.columns, one.rows) for one in tables), subject.wording))
    for table in tables:
        own = dict(codes([(table.columns, table.rows)], subject.wording))
        used |= {code: words for code, words in table.legend if code not in own}
    if used:
        yield _pairs("codes", say("In the tables"), used, say)


def _apparatus(results: Results, wording: Wording) -> dict[str, str]:
    return {code: wording.apparatus(code) for one in results.competitions for code in one.apparatus}


def _pairs(id: str, caption: str, pairs: dict[str, str], say: Callable[[str], str]) -> Table:
    columns = (Column(say("Code"), "name", width=1.4), Column(say("Meaning"), "text", width=4))
    rows = tuple(
        Row((Cell(code), Cell(words)), id=f"{id}-{number}")
        for number, (code, words) in enumerate(pairs.items())
    )
    return Table(id, caption, columns, rows)
