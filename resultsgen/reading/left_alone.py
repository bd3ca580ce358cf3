"""What a table holds that is not read: told once, so that nothing is dropped in silence."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from resultsgen.meet.columns import BESTS, CORRECTIONS, INCIDENTS, MARKS, ROSTER, Column
from resultsgen.meet.problems import Note, Problem
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.tables import Mapped, Table
from resultsgen.reading.words import plain, words


@dataclass(frozen=True)
class _Named:
    """A table that the settings name."""

    name: str
    file: str
    columns: tuple[Column, ...]
    mapped: Mapped

    def knows(self, heading: str, settings: MeetSettings) -> bool:
        """Is it one of its columns, or an apparatus in a table of marks?"""
        if self.name == "marks" and words(settings).apparatus_and_vault(heading):
            return True
        known = {name for one in self.columns for name in (one.name, self.mapped.heading(one))}
        return plain(heading) in map(plain, known)


def left_alone(
    table: Table, name: str, settings: MeetSettings, unused: Iterable[str] = ()
) -> list[Problem]:
    """A note on the columns that are not read, and one on the sheets.

    A cell that has an error is a problem only where its column is not left alone.

    *name* says which table it is; *unused* are headings that we know and that say nothing here.
    Where a sheet holds several tables in one, what another of them reads is not left alone.
    """
    here = [one for one in _tables(settings) if one.file == table.file]
    others = [one for one in here if one.name != name and not table.other_sheets]
    columns = [
        heading
        for heading in (*unused, *table.other_headings)
        if not any(one.knows(heading, settings) for one in others)
    ]
    read = {one.name for one in here}
    sheets = [one for one in table.other_sheets if one.strip().casefold() not in read]
    notes = [
        Note(table.file, line, "", "left-alone", f"{what} left alone: {', '.join(these)}")
        for what, line, these in (("columns", table.heading_line, columns), ("sheets", 0, sheets))
        if these
    ]
    return [*notes, *(one for one in table.broken if one.column not in columns)]


def _tables(settings: MeetSettings) -> Iterator[_Named]:
    files, columns = settings.files, settings.columns
    yield _Named("roster", files.roster, ROSTER, Mapped(columns.roster))
    own = (one.marks or files.marks for one in settings.competitions if one.has_own_marks)
    for file in dict.fromkeys(own):
        yield _Named("marks", file, MARKS, Mapped(columns.marks))
    yield _Named("incidents", files.incidents, INCIDENTS, Mapped(columns.incidents))
    yield _Named("bests", files.bests, BESTS, Mapped(columns.bests))
    yield _Named("corrections", files.corrections, CORRECTIONS, Mapped(columns.corrections))
