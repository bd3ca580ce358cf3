"""Which competition and which gymnast a row of marks belongs to.

The row may name its competition. Otherwise it is the one that the file is for, or the only one
that has the bib among its gymnasts by discipline and division.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from resultsgen.checks.entries import belonging_mask
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import Competition, MeetSettings
from resultsgen.reading.tables import Table
from resultsgen.reading.texts import Positions, Strings

if TYPE_CHECKING:
    import pandas as pd

NOBODY = -1


@dataclass(frozen=True)
class Belonging:
    """For each row of a table: the competition's id, empty if none, and the row of the roster."""

    competition: Strings
    gymnast: pd.arrays.IntegerArray


def belonging(
    table: Table, settings: MeetSettings, roster: pd.DataFrame, here: list[int]
) -> tuple[Belonging, list[Problem]]:
    """Whose each row of a file is, which holds *here*; where that cannot be told, why."""
    import pandas as pd

    bibs = table.column("bib")
    found = _rows_of_bibs(bibs.different, settings.competitions, roster)
    competition, problems = _competitions(table, found, settings, here)
    known = competition != NOBODY
    gymnast = np.full(len(table), NOBODY, dtype=np.int64)
    gymnast[known] = found[competition[known], bibs.which[known]]
    ids = pd.array([one.id for one in settings.competitions] + [""], dtype="str")
    whose = pd.arrays.IntegerArray(np.maximum(gymnast, 0), gymnast == NOBODY)
    return Belonging(ids.take(competition % len(ids)), whose), problems


def _rows_of_bibs(
    bibs: list[str], competitions: tuple[Competition, ...], roster: pd.DataFrame
) -> Positions:
    """The row of the roster for each competition (down) and each different bib (across)."""
    found = np.full((len(competitions), len(bibs)), NOBODY, dtype=np.int64)
    for number, competition in enumerate(competitions):
        own = roster.loc[belonging_mask(competition, roster), "bib"][::-1]
        row_of = dict(zip(own.tolist(), own.index.tolist(), strict=True))
        found[number] = [row_of.get(bib, NOBODY) for bib in bibs]
    return found


def _competitions(
    table: Table, found: Positions, settings: MeetSettings, here: list[int]
) -> tuple[Positions, list[Problem]]:
    """The number of the competition of each row, NOBODY where it cannot be told."""
    names = table.column("competition")
    ids = {one.id.casefold(): number for number, one in enumerate(settings.competitions)}
    numbers = [ids.get(name.casefold(), NOBODY) for name in names.different]
    competition = np.array(numbers, dtype=np.int64).take(names.which)
    problems = table.problems(
        "competition",
        lambda name: bool(name) and name.casefold() not in ids,
        "unknown-competition",
        f"there is no competition {{text}}; write one of {', '.join(ids)}",
    )
    unnamed = ~names.given()
    if unnamed.any():
        of_bib = _by_bib(here, found)
        bibs = table.column("bib").which
        competition[unnamed] = of_bib[bibs[unnamed]]
        open_to_doubt = (of_bib == NOBODY) & (found != NOBODY).any(axis=0)
        for row in np.flatnonzero(unnamed & open_to_doubt[bibs]).tolist():
            problems.append(_which(table, row, found[:, bibs[row]], here, settings))
    return competition, problems


def competitions_of(file: str, settings: MeetSettings) -> list[int]:
    """The numbers of the competitions whose marks stand in a file; shared ones stand once."""
    return [
        number
        for number, one in enumerate(settings.competitions)
        if one.has_own_marks and (one.marks or settings.files.marks) == file
    ]


def _by_bib(here: list[int], found: Positions) -> Positions:
    """The competition of each different bib: the only one of the file, or the one that has it."""
    if len(here) == 1:
        return np.full(found.shape[1], here[0], dtype=np.int64)
    has_it = found[here] != NOBODY
    told = has_it.sum(axis=0) == 1
    return np.where(told, np.array(here, dtype=np.int64)[has_it.argmax(axis=0)], NOBODY)


def _which(
    table: Table, row: int, found: Positions, here: list[int], settings: MeetSettings
) -> Problem:
    """That a bib is in several competitions of a file, or in none."""
    bibs = table.column("bib")
    bib = bibs.different[bibs.which[row]]
    ids = [settings.competitions[number].id for number in here if found[number] != NOBODY]
    where = f"is in {' and '.join(ids)}" if ids else f"is in no competition of {table.file}"
    message = f"bib {bib} {where}; write the competition's id in the column 'competition'"
    return table.problem(row, "competition", "which-competition", message)


def nobodys(table: Table, whose: Belonging, roster: pd.DataFrame) -> list[Problem]:
    """A row whose bib nobody has on the roster, or nobody in the competition that it names."""
    bibs, known = table.column("bib"), set(roster["bib"]) - {""}
    problems: list[Problem] = []
    if not known:
        return problems  # That the roster cannot be read is told already.
    for row in np.flatnonzero(whose.gymnast.isna() & bibs.given()).tolist():
        bib, competition = bibs.different[bibs.which[row]], str(whose.competition[row])
        if bib in known and not competition:
            continue  # That its competition cannot be told is told already.
        message = _in_another(bib, competition) if bib in known else _on_no_roster(bib, known)
        problems.append(table.problem(row, "bib", "unknown-bib", message, bib))
    return problems


def _in_another(bib: str, competition: str) -> str:
    return (
        f"bib {bib} is on the roster, but not in the discipline and divisions of {competition}, or "
        "taken out there ([competition.entered]); correct the bib, the competition, or the roster"
    )


def _on_no_roster(bib: str, known: set[str]) -> str:
    alike = sorted(one for one in known if one.lstrip("0") == bib.lstrip("0"))
    mend = f"the roster has {', '.join(alike)}" if alike else "correct it, or add the gymnast"
    return f"bib {bib} is not on the roster; {mend}"
