"""The corrections: which published mark was changed into which, why, by whom and when."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from resultsgen.history.publication import NAME, SETTINGS
from resultsgen.meet.columns import CORRECTIONS
from resultsgen.meet.folder import Correction, CorrectionRow
from resultsgen.meet.marks import show_mark
from resultsgen.meet.problems import Problem, parted
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.belonging import Belonging, belonging, nobodys
from resultsgen.reading.cells import marks_or_statuses, yes_or_no
from resultsgen.reading.optional_tables import empty_cells, optional_table
from resultsgen.reading.routines import apparatus_and_vault
from resultsgen.reading.tables import Table
from resultsgen.reading.words import Words

if TYPE_CHECKING:
    import pandas as pd

OF_A_GYMNAST = (NAME, "club", "federation", "team", "division", "birth_year", "bib")
OF_THE_MEET = (*SETTINGS, "signed")
"""What a row may name under `what`."""

MENDS = {"why": "the reason is empty; write inquiry, entry error, review, or words of your own"}
NOT_OF_WHAT_IS_GONE = ("unknown-bib", "unknown-competition", "which-competition")
"""What cannot be asked of a gymnast or a competition that is gone."""


def read_corrections(
    folder: Path, settings: MeetSettings, words: Words, roster: pd.DataFrame
) -> tuple[tuple[CorrectionRow, ...], list[Problem]]:
    """Every row of the corrections; none where there is no such file."""
    table, problems = optional_table(folder, settings, "corrections", CORRECTIONS)
    if table is None or parted(problems)[0]:
        return (), problems
    gone, told = yes_or_no(table, "gone", otherwise=False)
    problems += told
    whose, told = _whose(table, settings, roster, gone)
    problems += told + empty_cells(table, MENDS) + _what_fits(table)
    apparatus, vault, told = apparatus_and_vault(table, words)
    problems += told
    old, told = _texts(table, "old")
    new, more = _texts(table, "new")
    problems += told + more
    given = zip(apparatus, vault, old, new, gone, strict=True)
    return tuple(_row(table, row, whose, *cells) for row, cells in enumerate(given)), problems


def _whose(
    table: Table, settings: MeetSettings, roster: pd.DataFrame, gone: Any
) -> tuple[Belonging, list[Problem]]:
    """Whose each row is; of what is gone, nothing has to be there."""
    whose, told = belonging(table, settings, roster, list(range(len(settings.competitions))))
    told += nobodys(table, whose, roster)
    lines = {int(line) for line in table.lines[gone]}
    facts = {int(table.lines[row]) for row in range(len(table)) if table.text("what", row)}
    told = [
        one
        for one in told
        if not (one.row in lines and one.code in NOT_OF_WHAT_IS_GONE)
        and not (one.row in facts and one.code == "which-competition")
    ]
    mend = "the row names neither a bib nor a competition; write one of them"
    for row in range(len(table)):
        named = any(table.text(name, row) for name in ("bib", "competition", "what"))
        if not named:
            told.append(table.problem(row, "bib", "empty-cell", mend))
    return whose, told


def _what_fits(table: Table) -> list[Problem]:
    """What a row names under `what` is known, and it then names no mark."""
    found = []
    for row in range(len(table)):
        what = table.text("what", row)
        known = OF_A_GYMNAST if table.text("bib", row) else (*OF_A_GYMNAST, *OF_THE_MEET)
        if what and what not in known:
            message = f"{what} is nothing that a row can be about; write one of {', '.join(known)}"
            found.append(table.problem(row, "what", "what-does-not-fit", message, what))
        for name in ("apparatus", "old", "new", "gone"):
            if what and table.text(name, row):
                message = (
                    f"a row about {what} has nothing under {name}, for what was published is "
                    "known; empty one of the two cells"
                )
                found.append(table.problem(row, name, "what-does-not-fit", message))
    return found


def _texts(table: Table, name: str) -> tuple[list[str], list[Problem]]:
    """A column of marks and statuses as they are printed."""
    import pandas as pd

    marks, statuses, problems = marks_or_statuses(table, name)
    shown = zip(marks, statuses.text(), strict=True)
    return [
        str(other) if pd.isna(mark) else show_mark(int(mark)) for mark, other in shown
    ], problems


def _row(
    table: Table,
    row: int,
    whose: Belonging,
    apparatus: Any,
    vault: Any,
    old: str,
    new: str,
    gone: Any,
) -> CorrectionRow:
    told = Correction(
        str(whose.competition[row]) or (table.text("competition", row) if gone else ""),
        table.text("bib", row),
        str(apparatus),
        int(vault),
        old,
        new,
        table.text("why", row),
        table.text("who", row),
        table.text("when", row),
        bool(gone),
        table.text("what", row),
    )
    return CorrectionRow(told, table.file, int(table.lines[row]))
