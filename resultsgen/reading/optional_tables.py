"""Tables that a meet folder may do without: incidents, bests, corrections."""

from __future__ import annotations

from pathlib import Path

from resultsgen.files.opening import is_there
from resultsgen.meet.columns import Column
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.left_alone import left_alone
from resultsgen.reading.tables import Mapped, Table, read_table


def optional_table(
    folder: Path, settings: MeetSettings, name: str, ours: tuple[Column, ...]
) -> tuple[Table | None, list[Problem]]:
    """The table that [files] and [columns] call *name*; None where there is no such file."""
    named = name in settings.files.model_fields_set
    file = _file(folder, getattr(settings.files, name), named=named)
    if not file:
        return None, []
    mapped = Mapped(getattr(settings.columns, name))
    table, problems = read_table(folder, file, ours, mapped, name)
    return table, [*problems, *(left_alone(table, name, settings) if table else ())]


def _file(folder: Path, name: str, *, named: bool) -> str:
    """A table that may be missing: its name, or the one there is with another ending; else "".

    One that the settings name must be there.
    """
    stem = Path(name).stem
    others = () if named else (f"{stem}{ending}" for ending in (".csv", ".tsv", ".xlsx", ".ods"))
    there = (one for one in (name, *others) if is_there(folder, one))
    return name if named else next(there, "")


def empty_cells(table: Table, mends: dict[str, str]) -> list[Problem]:
    """A problem for each empty cell of the columns that *mends* names."""
    return [
        problem
        for name, mend in mends.items()
        if name in table.columns
        for problem in table.problems(name, lambda text: not text, "empty-cell", mend)
    ]
