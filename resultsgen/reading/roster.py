"""The roster: one row per gymnast and entry, every word put into ours."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from resultsgen.files.cell_texts import CELL
from resultsgen.meet.columns import ROSTER, MeetColumn
from resultsgen.meet.folder import Entry
from resultsgen.meet.parts import part_of
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.named_tables import leave_alone, read_sources, tell_withheld
from resultsgen.reading.tables import ReadTable
from resultsgen.reading.whole_names import part_whole_names
from resultsgen.reading.words import Words, heard, plain

NAME = 100
"""Signs in a name; meet/README.md says the same."""

STATUSES_OF_A_MEET = ("DNS", "DSQ", "WDR")


def read_roster(
    folder: Path, settings: MeetSettings, words: Words
) -> tuple[tuple[Entry, ...], list[Problem]]:
    """The rows of the roster from all its sources; none where one cannot be read."""
    tables = list(read_sources(folder, settings, "roster"))
    rows = [row for table in tables for row in (_rows(table, settings, words))]
    problems = [problem for table in tables for problem in table.problems]
    if not all(table.was_read for table in tables):
        return (), problems
    return tuple(Entry(key, *row) for key, row in enumerate(rows)), problems


def _rows(table: ReadTable, settings: MeetSettings, words: Words) -> list[tuple[Any, ...]]:
    if not table.was_read:
        return []
    if not len(table):
        message = "has no gymnast; add a row for each"
        table.problems.append(Problem(table.file, 0, "", "empty-roster", message))
    table.put_statuses(words.statuses, "status")
    part_whole_names(table, settings.columns)
    columns = {column.name: _column(table, column, settings, words) for column in ROSTER}
    leave_alone(table, "roster", settings)
    tell_withheld(table, columns["publish"])
    return list(zip([table.file] * len(table), table.lines, *columns.values(), strict=True))


def _column(
    table: ReadTable, column: MeetColumn, settings: MeetSettings, words: Words
) -> list[Any]:
    name = column.name
    if name == "birth_year":
        return table.years(name)
    if column.kind == "whole number":
        return table.whole_numbers(name)
    if column.kind == "yes or no":
        return table.yes_or_no(name, otherwise=column.otherwise)
    if name == "discipline":
        return _disciplines(table, settings, words)
    if name == "entered":
        mend = (
            "{text}: write codes with spaces between them, for example VT BB; "
            f"there are {', '.join(words.codes())}"
        )
        table.tell("entered", "unknown-apparatus", mend, lambda text: _codes(text, words) is None)
        return table.read("entered", lambda text: _codes(text, words) or "")
    if name == "status":
        return table.statuses(name, STATUSES_OF_A_MEET)
    return _texts(table, column, settings)


def _texts(table: ReadTable, column: MeetColumn, settings: MeetSettings) -> list[str]:
    """A column of text; a division with the capitals that the competitions write it with."""
    name = column.name
    if column.needed:
        mend = f"the {name.replace('_', ' ')} is empty; fill it in, or delete the row"
        table.tell_empty({name: mend})
    mend = f"is longer than {NAME} signs, which no list has room for; shorten it"
    table.tell(name, "unfit-text", mend, lambda text: NAME < len(text) < CELL)
    if name != "division":
        return table.column(name)
    spelling = {plain(named): named for one in settings.competitions for named in one.divisions}
    return table.read(name, lambda text: spelling.get(plain(text), text))


def _disciplines(table: ReadTable, settings: MeetSettings, words: Words) -> list[str]:
    """The discipline of each row; an empty cell means the only one that the meet has."""
    held = list(dict.fromkeys(one.discipline for one in settings.competitions))
    only = held[0] if len(held) == 1 else ""
    known = {"": only} | words.disciplines
    here = ", ".join(held)
    mend = f"the discipline is empty, and the meet has several: write one of {here}"
    table.tell("discipline", "which-discipline", mend, lambda text: not text and not only)
    mend = (
        f"{{text}} is no discipline here; write one of {here}, "
        "or say what it means under [columns.disciplines] in meet.toml"
    )
    table.tell("discipline", "unknown-discipline", mend, lambda text: heard(text) not in known)
    return table.read("discipline", lambda text: known.get(heard(text), ""))


def _codes(text: str, words: Words) -> str | None:
    """The codes of the apparatus in a cell; None where a word is no apparatus."""
    found = [words.apparatus_and_vault(word) for word in re.split(r"[\s,;/+]+", text) if word]
    if None in found:
        return None
    return " ".join(dict.fromkeys(part_of(*one) for one in found if one))
