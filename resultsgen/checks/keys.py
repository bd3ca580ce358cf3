"""What is wrong with a setting or a cell, as a problem at its place."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from resultsgen.files.toml_keys import SettingPath, key_path, line_of
from resultsgen.meet.folder import CorrectionRow, Entry, Incident, MarkRow, Meet
from resultsgen.meet.marks import show_mark
from resultsgen.meet.problems import Problem

FILE = "meet.toml"

ReadRow = Entry | MarkRow | Incident | CorrectionRow
TABLES: dict[type, str] = {
    Entry: "roster",
    MarkRow: "marks",
    Incident: "incidents",
    CorrectionRow: "corrections",
}


def in_settings(parts: SettingPath, code: str, message: str, value: str = "") -> Problem:
    """A problem with a setting; its line is filled in where the file is read."""
    return Problem(FILE, 0, key_path(*parts), code, message, value)


def unknown(
    parts: SettingPath, kind: str, value: str, known: Iterable[str], mend: str = ""
) -> Problem:
    """A setting that names something of a kind that the meet does not have."""
    message = f"there is no {kind} {value}; there are {', '.join(known)}{mend}"
    return in_settings(parts, f"unknown-{kind}", message, value)


def in_cell(
    meet: Meet, row: ReadRow, name: str, code: str, message: str, value: str | None = None
) -> Problem:
    """A problem in one cell of a table; the value is that of the cell where none is given."""
    table = TABLES[type(row)]
    own = meet.settings.tables.get(row.file)
    mapped = getattr(meet.settings.columns, table) | (own.columns if own else {})
    heading = mapped.get(name, name)
    if isinstance(row, MarkRow) and name == "mark":
        heading = row.column
    if value is None:
        cell = getattr(row, name)
        value = show_mark(cell) if table == "marks" and name in PARTS_OF_A_MARK else str(cell)
    return Problem(row.file, row.line, heading, code, message, value)


def line_beside(other: ReadRow, row: ReadRow) -> str:
    """Where another row stands, seen from one row."""
    return f"line {other.line}" + (f" of {other.file}" if other.file != row.file else "")


PARTS_OF_A_MARK = ("mark", "d", "e", "bonus")


def with_line(problem: Problem, lines: dict[str, int]) -> Problem:
    """The same problem with the line of its key, where it is one of the settings."""
    if problem.file != FILE or problem.row:
        return problem
    return replace(problem, row=line_of(lines, problem.column))
