"""Tables that the settings name: some a meet may do without; what of one is not read is told."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from resultsgen.files.opening import is_there
from resultsgen.meet.columns import BESTS, CORRECTIONS, INCIDENTS, MARKS, ROSTER, MeetColumn
from resultsgen.meet.problems import Note
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.tables import Mapped, ReadTable, read_table
from resultsgen.reading.words import may_mean, plain, words


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
    table = read_table(folder, file, ours, Mapped(getattr(settings.columns, name)), name)
    if len(table):
        leave_alone(table, name, settings)
    return table


def leave_alone(
    table: ReadTable, name: str, settings: MeetSettings, unused: Iterable[str] = ()
) -> None:
    """Tell once which columns are not read, and which sheets.

    A cell that has an error is a problem only where its column is not left alone.

    *name* says which table it is; *unused* are headings that we know and that say nothing here.
    Where a sheet holds several tables in one, what another of them reads is not left alone.
    """
    here = [one for one in _tables(settings) if one.file == table.file]
    elsewhere = [one for one in here if one.name != name and not table.other_sheets]
    broken = {one.column for one in table.broken}
    some = [heading for heading, cells in table.others if heading in broken or any(cells)]
    columns = [
        heading
        for heading in (*unused, *some)
        if not any(one.knows(heading, settings) for one in elsewhere)
    ]
    read = {one.name for one in here}
    sheets = [one for one in table.other_sheets if one.strip().casefold() not in read]
    for what, line, these in (("columns", table.heading_line, columns), ("sheets", 0, sheets)):
        if these:
            message = f"{what} left alone: {', '.join(these)}"
            table.problems.append(Note(table.file, line, "", "left-alone", message))
    table.problems += [one for one in table.broken if one.column not in columns]


@dataclass(frozen=True)
class _NamedTable:
    name: str
    file: str
    columns: tuple[MeetColumn, ...]
    mapped: Mapped

    def knows(self, heading: str, settings: MeetSettings) -> bool:
        """Is it one of its columns, or an apparatus in a table of marks?"""
        if self.name == "marks" and words(settings).part(heading):
            return True
        known = {name for one in self.columns for name in (one.name, self.mapped.heading(one))}
        ours = {one.name for one in self.columns}
        return plain(heading) in map(plain, known) or bool(may_mean(heading) & ours)


def _tables(settings: MeetSettings) -> Iterator[_NamedTable]:
    files, columns = settings.files, settings.columns
    yield _NamedTable("roster", files.roster, ROSTER, Mapped(columns.roster))
    for file in files_of_marks(settings):
        yield _NamedTable("marks", file, MARKS, Mapped(columns.marks))
    yield _NamedTable("incidents", files.incidents, INCIDENTS, Mapped(columns.incidents))
    yield _NamedTable("bests", files.bests, BESTS, Mapped(columns.bests))
    yield _NamedTable("corrections", files.corrections, CORRECTIONS, Mapped(columns.corrections))


def files_of_marks(settings: MeetSettings) -> list[str]:
    """The files of marks, each once, in the order of the competitions."""
    own = (one for one in settings.competitions if one.has_own_marks)
    return list(dict.fromkeys(one.marks or settings.files.marks for one in own))
