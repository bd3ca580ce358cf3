"""The roster: one row per gymnast and entry, every word put into ours."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

from resultsgen.meet.columns import ROSTER
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.cells import statuses, whole_numbers, yes_or_no
from resultsgen.reading.left_alone import left_alone
from resultsgen.reading.tables import Mapped, Table, read_table
from resultsgen.reading.texts import Strings
from resultsgen.reading.words import Words, plain
from resultsgen.reading.workbooks.limits import CELL

if TYPE_CHECKING:
    import pandas as pd

TEXT = ("bib", "family_name", "given_name", "club", "federation", "team", "session", "squad")
NAME = 100
"""Signs in a name; meet/README.md says the same."""

STATUSES_OF_A_MEET = ("DNS", "DSQ", "WDR")


def read_roster(
    folder: Path, settings: MeetSettings, words: Words
) -> tuple[pd.DataFrame, list[Problem]]:
    """The roster as `Meet` describes it; without any row where the file cannot be read."""
    file = settings.files.roster
    table, problems = read_table(folder, file, ROSTER, Mapped(settings.columns.roster), "roster")
    if table is None:
        return _roster(_nobody(file), settings, words)[0], problems
    roster, told = _roster(table, settings, words)
    if not len(table):
        told = [Problem(file, 0, "", "empty-roster", "has no gymnast; add a row for each")]
    return roster, problems + told + left_alone(table, "roster", settings)


def _nobody(file: str) -> Table:
    import numpy as np

    return Table(file, {}, (), {}, np.array([], dtype=np.int64))


def _roster(
    table: Table, settings: MeetSettings, words: Words
) -> tuple[pd.DataFrame, list[Problem]]:
    import pandas as pd

    columns: dict[str, Any] = {name: table.column(name).text() for name in TEXT}
    problems = _empty_cells(table) + _long_names(table)
    columns["discipline"], told = _disciplines(table, settings, words)
    problems += told
    columns["division"] = _divisions(table, settings)
    columns["entered"], told = _entered(table, words)
    problems += told
    for name in ("start_order", "birth_year"):
        columns[name], told = whole_numbers(table, name)
        problems += told
    for name, otherwise in (("guest", False), ("publish", True)):
        columns[name], told = yes_or_no(table, name, otherwise=otherwise)
        problems += told
    status, told = statuses(table, "status", STATUSES_OF_A_MEET)
    columns["status"] = status.text()
    ordered = {column.name: columns[column.name] for column in ROSTER}
    return pd.DataFrame(ordered | {"line": table.lines}), problems + told


def _empty_cells(table: Table) -> list[Problem]:
    """A gymnast without a bib or a family name."""
    problems = []
    for name, words in (("bib", "the bib"), ("family_name", "the family name")):
        if name in table.columns:
            mend = f"{words} is empty; fill it in, or delete the row"
            problems += table.problems(name, lambda text: not text, "empty-cell", mend)
    return problems


def _long_names(table: Table) -> list[Problem]:
    """Names and bibs that no list has room for; of longer ones it is told already."""
    mend = f"is longer than {NAME} signs, which no list has room for; shorten it"
    return [
        problem
        for name in (*TEXT, "division")
        for problem in table.problems(
            name, lambda text: NAME < len(text) < CELL, "unfit-text", mend
        )
    ]


def _disciplines(
    table: Table, settings: MeetSettings, words: Words
) -> tuple[Strings, list[Problem]]:
    """The discipline of each row; an empty cell means the only one that the meet has."""
    held = list(dict.fromkeys(one.discipline for one in settings.competitions))
    only = held[0] if len(held) == 1 else ""
    known = {"": only} | words.disciplines
    here = ", ".join(held)
    empty = table.problems(
        "discipline",
        lambda text: not text and not only,
        "which-discipline",
        f"the discipline is empty, and the meet has several: write one of {here}",
    )
    unknown = table.problems(
        "discipline",
        lambda text: plain(text) not in known,
        "unknown-discipline",
        f"{{text}} is no discipline here; write one of {here}, "
        "or say what it means under [columns.disciplines] in meet.toml",
    )
    column = table.column("discipline").read(lambda text: known.get(plain(text), "")).text()
    return column, empty + unknown


def _divisions(table: Table, settings: MeetSettings) -> Strings:
    """The division of each row, with the capitals that the competitions write it with."""
    spelling = {
        plain(division): division for one in settings.competitions for division in one.divisions
    }
    return table.column("division").read(lambda text: spelling.get(plain(text), text)).text()


def _entered(table: Table, words: Words) -> tuple[Strings, list[Problem]]:
    """The apparatus that each gymnast is entered on, as codes; `VT2` stands for a second vault."""
    mend = (
        "{text}: write codes with spaces between them, for example VT BB; "
        f"there are {', '.join(words.codes())}"
    )
    problems = table.problems(
        "entered", lambda text: _codes(text, words) is None, "unknown-apparatus", mend
    )
    return table.column("entered").read(lambda text: _codes(text, words) or "").text(), problems


def _codes(text: str, words: Words) -> str | None:
    """The codes of the apparatus in a cell; None where a word is no apparatus."""
    found = [words.apparatus_and_vault(word) for word in re.split(r"[\s,;/+]+", text) if word]
    if None in found:
        return None
    codes = [f"{one[0]}2" if one[1] == 2 else one[0] for one in found if one]
    return " ".join(dict.fromkeys(codes))
