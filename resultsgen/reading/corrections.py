"""The corrections of a meet: each row with what was published, what is, and why."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from resultsgen.meet.columns import CORRECTIONS
from resultsgen.meet.folder import NAME, SETTINGS, Correction, CorrectionRow
from resultsgen.meet.marks import STATUSES, show_mark
from resultsgen.meet.problems import Problem, parted
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.belonging import Belonging, BibsWorn
from resultsgen.reading.marks import apparatus_and_vault
from resultsgen.reading.named_tables import optional_table
from resultsgen.reading.tables import ReadTable, status_in
from resultsgen.reading.words import Words

OF_A_GYMNAST = (NAME, "club", "federation", "team", "division", "birth_year", "bib")
OF_THE_MEET = (*SETTINGS, "signed")
"""What a row may name under `what`."""

IN_CORRECTIONS = {
    "why": "the reason is empty; write inquiry, entry error, review, or words of your own"
}
NOT_OF_WHAT_IS_GONE = ("unknown-bib", "unknown-competition", "which-competition")
"""What cannot be asked of a gymnast or a competition that is gone."""


def read_corrections(
    folder: Path, settings: MeetSettings, words: Words, bibs: BibsWorn
) -> tuple[tuple[CorrectionRow, ...], list[Problem]]:
    """Every row of the corrections; none where there is no such file."""
    table = optional_table(folder, settings, "corrections", CORRECTIONS)
    about = zip(table.column("apparatus"), table.column("what"), strict=True)
    if not any(code and not what for code, what in about):
        table.problems = [  # No row is about one mark.
            one for one in table.problems
            if (one.code, one.column in ("old", "new")) != ("no-such-column", True)
        ]  # fmt: skip
    if not table.was_read or parted(table.problems)[0]:
        return (), table.problems
    gone = table.yes_or_no("gone")
    whose = _whose(table, bibs, gone)
    table.tell_empty(IN_CORRECTIONS)
    table.problems += _what_fits(table)
    codes, vaults = apparatus_and_vault(table, words)
    old, new = _as_printed(table, "old"), _as_printed(table, "new")
    rows = []
    for row, line in enumerate(table.lines):
        bib, why, who, when, what, competition = (
            table.text(name, row) for name in ("bib", "why", "who", "when", "what", "competition")
        )
        id = whose[row].competition or (competition if gone[row] else "")
        facts = codes[row], vaults[row], old[row], new[row], why, who, when, gone[row], what
        rows.append(CorrectionRow(Correction(id, bib, *facts), table.file, line))
    return tuple(rows), table.problems


def _whose(table: ReadTable, bibs: BibsWorn, gone: list[bool]) -> list[Belonging]:
    """Whose each row is; of what is gone, nothing has to be there."""
    before, table.problems = table.problems, []
    whose = bibs.whose(table, range(len(bibs.competitions)))
    lines = {line for line, is_gone in zip(table.lines, gone, strict=True) if is_gone}
    facts = {line for line, what in zip(table.lines, table.column("what"), strict=True) if what}
    table.problems = before + [
        one
        for one in table.problems
        if not (one.row in lines and one.code in NOT_OF_WHAT_IS_GONE)
        and not (one.row in facts and one.code == "which-competition")
    ]
    mend = "the row names neither a bib nor a competition; write one of them"
    named = zip(*map(table.column, ("bib", "competition", "what")), strict=True)
    nobodys = (row for row, names in enumerate(named) if not any(names))
    table.tell_rows(nobodys, "bib", "empty-cell", mend)
    return whose


def _what_fits(table: ReadTable) -> Iterator[Problem]:
    """What a row names under `what` is known, and it then names no mark."""
    for row, what in enumerate(table.column("what")):
        known = OF_A_GYMNAST if table.text("bib", row) else (*OF_A_GYMNAST, *OF_THE_MEET)
        if what and what not in known:
            message = f"{what} is nothing that a row can be about; write one of {', '.join(known)}"
            yield table.problem(row, "what", "what-does-not-fit", message, what)
        for name in ("apparatus", "old", "new", "gone"):
            if what and table.text(name, row):
                message = (
                    f"a row about {what} has nothing under {name}, for what was published is "
                    "known; empty one of the two cells"
                )
                yield table.problem(row, name, "what-does-not-fit", message)


def _as_printed(table: ReadTable, name: str) -> list[str]:
    marks = table.marks(name, instead=STATUSES)
    statuses = table.read(name, lambda text: status_in(text, STATUSES))
    return [show_mark(mark) or status for mark, status in zip(marks, statuses, strict=True)]
