"""Tables that the settings name: some a meet may do without; what of one is not read is told."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from resultsgen.checks.keys import in_settings
from resultsgen.files.manifest import is_input
from resultsgen.files.opening import is_there
from resultsgen.files.workbooks import ROWS
from resultsgen.meet.columns import COLUMNS, MeetColumn
from resultsgen.meet.problems import Note, Problem, most
from resultsgen.meet.settings import MeetSettings
from resultsgen.meet.sources import TableForm
from resultsgen.reading.belonging import competitions_in
from resultsgen.reading.grids import called, parted_source
from resultsgen.reading.headings import Mapped
from resultsgen.reading.tables import ROWS_OF, ReadTable, read_table, too_many_rows
from resultsgen.reading.words import Words, column_words, heard, may_mean, plain, says_no, words


def read_sources(folder: Path, settings: MeetSettings, name: str) -> Iterator[ReadTable]:
    """The tables of the roster or of the marks, one for each source."""
    first: dict[tuple[str, str], str] = {}
    rows = 0
    for source in settings.sources(name):
        file, sheet = parted_source(folder, source)
        place = os.path.realpath(folder / file) if "\0" not in file else file
        if kept := why_no_source(folder, settings, name, source):
            yield ReadTable(source, problems=[kept])
            continue
        table = ReadTable(source)
        if (before := first.setdefault((place, called(sheet)), source)) == source:
            table = read_source(folder, settings, name, source)
            before = first.setdefault((place, called(table.sheet)), source)
        if before != source:
            message = f"is the same as {before}; take one of them out of meet.toml"
            table = ReadTable(source, problems=[Problem(source, 0, "", "source-twice", message)])
        if (rows := rows + len(table)) > ROWS_OF.get(name, ROWS):
            table = ReadTable(source, problems=[too_many_rows(source, name, rows)])
        if source in settings.sources("marks"):
            # "Vault 2" is nearly `vault`, "Beam" nearly `team`: no slips of the pen.
            known = _words_for(source, table, settings)
            table.problems = [
                one
                for one in table.problems
                if one.code != "unknown-heading" or not known.part(one.column)
            ]
        yield table


def _words_for(source: str, table: ReadTable, settings: MeetSettings) -> Words:
    """The words for apparatus in a source of marks, whose headings a table has."""
    here = (settings.competitions[number] for number in competitions_in(source, settings))
    return words(settings).narrowed(one.discipline for one in here).among(table.said_headings())


def read_source(folder: Path, settings: MeetSettings, name: str, source: str) -> ReadTable:
    """The table of one source by itself."""
    return read_table(folder, source, COLUMNS[name], _mapped(settings, name, source), name)


def why_no_source(folder: Path, settings: MeetSettings, name: str, source: str) -> Problem | None:
    """That a source names no file, or one that is hidden or was published; None where it does not.

    Marks are written where they are read, and nobody may be led to write into `.git`.
    """
    file = Path(parted_source(folder, source)[0])
    if "\0" in source:  # It is told where it is opened.
        return None
    place = Path(os.path.realpath(folder))
    real = Path(os.path.realpath(folder / file))
    ways = (file, *([real.relative_to(place)] if real.is_relative_to(place) else []))
    own = next((n for n, one in enumerate(settings.competitions) if source in one.marks), None)
    key = ("files", name) if own is None else ("competition", own, "marks")
    if not source.strip():
        return in_settings(key, "no-source", "names no file; fill it in, or take the line out")
    for way in ways:
        named = Path(os.path.normpath(way))
        if (named.parts[:1] and named.parts[0].casefold() in PUBLISHED) or not is_input(
            place, named
        ):
            message = (
                f"{source} is hidden, or lies where results are published; copy it beside "
                "meet.toml and name that"
            )
            return in_settings(key, "no-source", message, source)
    return None


PUBLISHED = ("output", "publications")
"""Folders of a meet that this program writes, there or not."""


def _mapped(settings: MeetSettings, name: str, source: str) -> Mapped:
    """What the settings say of the headings in a source: for all of its kind, and for it alone."""
    how = settings.tables.get(source, TableForm())
    names = {column.name for column in COLUMNS[name]}
    own = {column: heading for column, heading in how.columns.items() if column in names}
    alone = len(settings.sources(name)) == 1
    both = [one for one in COLUMNS if source in settings.sources(one)]
    place = f'tables."{source}".columns' if len(both) > 1 else f"columns.{name}"
    return Mapped(getattr(settings.columns, name) | own, alone, how, place)


def optional_table(
    folder: Path, settings: MeetSettings, name: str, ours: tuple[MeetColumn, ...]
) -> ReadTable:
    """The table that [files] and [columns] call *name*; empty where there is no such file.

    One that the settings name must be there; else it may have another ending.
    """
    file = str(getattr(settings.files, name))
    if name not in settings.files.model_fields_set:
        stem = Path(file).stem
        names = (file, *(f"{stem}{ending}" for ending in (".csv", ".tsv", ".xlsx", ".ods")))
        file = next((one for one in names if is_there(folder, one)), "")
    if not file:
        return ReadTable(file)
    table = read_table(folder, file, ours, _mapped(settings, name, file), name)
    if len(table):
        leave_alone(table, name, settings)
    return table


def leave_alone(
    table: ReadTable, name: str, settings: MeetSettings, unused: Sequence[str] = ()
) -> None:
    """Tell once which columns are not read, and which sheets.

    A cell that has an error is a problem only where its column is not left alone.

    *name* says which table it is; *unused* are headings that we know and that say nothing here.
    Where a sheet holds several tables in one, what another of them reads is not left alone.
    """
    named = (_NamedTable(kind, source) for kind in COLUMNS for source in settings.sources(kind))
    here = [one for one in named if one.sheet_of(table) is not None]
    same = [one for one in here if one.sheet_of(table) == called(table.sheet)]
    elsewhere = [one for one in same if one.name != name]
    broken = {one.column for one in table.broken}
    some = [heading for heading, cells in table.others if heading in broken or any(cells)]
    columns = [
        heading
        for heading in (*unused, *some)
        if not any(one.knows(heading, table, settings) for one in elsewhere)
    ]
    read = {one.sheet_of(table) for one in here}
    sheets = [one for one in table.other_sheets if called(one) not in read]
    for what, file, line, these in (
        ("columns", table.file, table.heading_line, columns),
        ("sheets", table.book, 0, sheets),
    ):
        if these:
            message = f"{what} left alone: {', '.join(these)}"
            table.problems.append(Note(file, line, "", "left-alone", message))
    table.problems += [one for one in table.broken if one.column not in (*unused, *some)]


def tell_withheld(table: ReadTable, published: Sequence[bool]) -> None:
    """Tell of each row that is *published*, and of which a column that is not read says no."""
    table.problems += most(
        Problem(
            table.file,
            line,
            heading,
            "publish-not-read",
            "this column is not read, and says that a name is not to be published which the roster "
            "publishes; write no on the roster too, or empty this cell; or if it is the roster's, "
            f"write  publish = {json.dumps(heading, ensure_ascii=False)}  under [columns.roster]",
            cell,
        )
        for heading, cells in table.others
        if _is_of_publishing(heading)
        for line, cell, is_told in zip(table.lines, cells, published, strict=True)
        if is_told and says_no(cell)
    )


def _is_of_publishing(heading: str) -> bool:
    """Has it a word that means publish, as "Publish name?" has?"""
    known = {word for word, name in column_words().items() if name == "publish"}
    return any(heard(word) in known for word in re.findall(r"\w+", heading))


class _NamedTable(NamedTuple):
    name: str
    source: str

    def sheet_of(self, table: ReadTable) -> str | None:
        """The sheet that it reads of the file of another table; None where it reads another file.

        A source that names no sheet takes the one called as the table, if there are several.
        """
        if self.source == table.book:
            return self.name if table.other_sheets else called(table.sheet)
        named = self.source.removeprefix(f"{table.book}#")
        return called(named) if named != self.source else None

    def knows(self, heading: str, table: ReadTable, settings: MeetSettings) -> bool:
        """Is it one of its columns, or an apparatus in a table of marks?"""
        if self.name == "marks" and _words_for(self.source, table, settings).part(heading):
            return True
        columns, mapped = COLUMNS[self.name], _mapped(settings, self.name, self.source)
        known = {name for one in columns for name in (one.name, mapped.heading(one))}
        ours = {one.name for one in columns}
        return plain(heading) in map(plain, known) or bool(may_mean(heading) & ours)
