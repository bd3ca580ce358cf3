"""What a book knows of itself once all its sections are there: contents, index, codes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from resultsgen.scoring.results import Results
from resultsgen.views.lists.cells import codes, shown_name
from resultsgen.views.lists.sections import (
    BookSubject,
    ContentsEntry,
    Indexed,
    Section,
    gymnast_rows,
)
from resultsgen.views.lists.table import Cell, Column, Row, Table
from resultsgen.views.people.people import people
from resultsgen.views.words.wording import Wording

CONTENTS, INDEX, CODES = "contents", "index", "codes"
"""The ids of these sections."""


INDEXED = 200
"""So many names are in a section of the index at most; a page has room for about half of them."""


def completed(sections: tuple[Section, ...], subject: BookSubject) -> tuple[Section, ...]:
    """The sections of a book; those that tell of the others now do."""
    fill: dict[str, Callable[[Section], Iterator[Section]]] = {
        INDEX: lambda one: index_sections(one, tuple(index_entries(sections, subject)), subject),
        CODES: lambda one: iter([replace(one, tables=tuple(code_tables(sections, subject)))]),
    }
    told = [fill[one.id](one) if one.id in fill else (one,) for one in sections]
    sections = tuple(one for some in told for one in some)
    entries = tuple(contents_entries(sections))
    return tuple(replace(one, content=entries) if one.id == CONTENTS else one for one in sections)


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
    for section in sections:
        for gymnast, anchor in gymnast_rows(section):
            found.setdefault(gymnast, []).append(anchor)
    for person in people(subject.results):
        if rows := found.get(person.target):
            name = shown_name(person.gymnast, subject.wording)
            family = person.gymnast.family if person.gymnast.published else name
            yield Indexed(name, family or name, ", ".join(person.clubs), tuple(rows))


def index_sections(
    index: Section, entries: tuple[Indexed, ...], subject: BookSubject
) -> Iterator[Section]:
    """The index; a long one in sections that are named after the first and the last in them."""
    count = -(-len(entries) // INDEXED)
    if count <= 1:
        yield replace(index, content=entries)
        return
    for number in range(count):
        some = entries[number * len(entries) // count : (number + 1) * len(entries) // count]
        title = " – ".join(dict.fromkeys((some[0].family, some[-1].family)))
        yield replace(
            index,
            id=f"{INDEX}-{number + 1}" if number else INDEX,
            title=title,
            heads=subject.wording.language.headed(index.title, title),
            chapter=index.title,
            content=some,
        )


def code_tables(sections: Iterable[Section], subject: BookSubject) -> Iterator[Table]:
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
