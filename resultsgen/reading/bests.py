"""Bests so far: season's and personal bests of gymnasts, and records of the meet."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, get_args, get_type_hints

from resultsgen.meet.columns import BESTS
from resultsgen.meet.folder import BestSoFar
from resultsgen.meet.problems import Note, Problem, parted
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.cells import integers, thousandths
from resultsgen.reading.optional_tables import empty_cells, optional_table
from resultsgen.reading.tables import Table
from resultsgen.reading.words import Words, plain

if TYPE_CHECKING:
    import pandas as pd

RECORDS: tuple[str, ...] = get_args(get_type_hints(BestSoFar)["record"])
ALL_AROUND = ("all around", "aa")
NOT_A_BEST = "{text} is no mark; write at most three digits and three decimals, 13.700 or 13,700"
MENDS = {
    "apparatus": "the apparatus is empty; write its code, or all-around",
    "mark": "the best so far is empty; fill it in, or delete the row",
}


def read_bests(
    folder: Path, settings: MeetSettings, words: Words, roster: pd.DataFrame
) -> tuple[tuple[BestSoFar, ...], list[Problem]]:
    """The bests that marks are compared with; none where there is no such file."""
    table, problems = optional_table(folder, settings, "bests", BESTS)
    if table is None or roster.empty:
        return (), problems
    marks, told = integers(table, "mark", thousandths, ("not-a-mark", NOT_A_BEST))
    problems += [*told, *empty_cells(table, MENDS)]
    held = tuple(dict.fromkeys(one.discipline for one in settings.competitions))
    done = {code for one in settings.competitions for code in settings.apparatus_of(one)}
    wearers: dict[str, list[int]] = {}
    for key, bib in roster["bib"].items():
        wearers.setdefault(str(bib), []).append(int(str(key)))
    divisions = frozenset(map(plain, roster["division"]))
    rows = [
        _Row(table, row, words, held, done, roster, wearers, divisions) for row in range(len(table))
    ]
    problems += [problem for row in rows for problem in row.problems()]
    if parted(problems)[0]:
        return (), problems
    problems += [note for row in rows for note in row.notes()]
    return tuple(row.best(int(mark)) for row, mark in zip(rows, marks, strict=True)), problems


@dataclass(frozen=True)
class _Row:
    """One row of the table of bests."""

    table: Table
    row: int
    words: Words
    held: tuple[str, ...]
    """The disciplines of the meet."""
    done: set[str]
    """The apparatus of its competitions."""
    roster: pd.DataFrame
    wearers: dict[str, list[int]]
    """The rows of the roster by their bib."""
    divisions: frozenset[str]

    def best(self, mark: int) -> BestSoFar:
        """The row, once it has no problem."""
        whose = self._whose() if self._record != "meet" else ()
        note, division = self.text("note"), self._division
        return BestSoFar(
            self._record,  # type: ignore[arg-type]
            tuple(whose),
            self._discipline or self.held[0],
            division,
            self._apparatus or "",
            mark,
            note,
            int(self.table.lines[self.row]),
        )

    def problems(self) -> Iterator[Problem]:
        """What is wrong in the row, cell by cell."""
        if self._record not in RECORDS:
            yield self._unknown_record()
        if self._apparatus is None and self.text("apparatus"):
            yield self._unknown_apparatus()
        if self.text("discipline") and self._discipline not in self.held:
            message = f"{self.text('discipline')} is no discipline here; write one of {self._here}"
            yield self._problem("discipline", "unknown-discipline", message)
        elif self._record == "meet" and not self._discipline and len(self.held) > 1:
            message = (
                f"the discipline is empty, and the meet has several: write one of {self._here}"
            )
            yield self._problem("discipline", "which-discipline", message)
        elif self._record in ("season", "personal"):
            yield from self._unknown_gymnast()

    def notes(self) -> Iterator[Note]:
        """What says nothing in a row that has no problem."""
        if self._record == "meet" and self.text("bib"):
            yield self._left("bib", "a record of the meet is nobody's own")
        if self._apparatus and self._apparatus not in self.done:
            yield self._left("apparatus", "no competition has it")
        nobodys = self._division and plain(self._division) not in self.divisions
        if self._record == "meet" and nobodys:
            yield self._left("division", "nobody on the roster is of it")

    def _left(self, name: str, why: str) -> Note:
        message = f"{self.text(name)} left alone: {why}"
        return Note(**vars(self._problem(name, "left-alone", message)))

    def _unknown_record(self) -> Problem:
        near = difflib.get_close_matches(self._record, RECORDS, n=1)
        mend = f"did you mean {near[0]}?" if near else f"write one of {', '.join(RECORDS)}"
        message = f"{self.text('record') or 'an empty cell'} is no kind of best; {mend}"
        return self._problem("record", "unknown-best", message)

    def _unknown_apparatus(self) -> Problem:
        codes = ", ".join((*self.words.codes(), "all-around"))
        message = f"{self.text('apparatus')} is no apparatus here; write one of {codes}"
        return self._problem("apparatus", "unknown-apparatus", message)

    def _unknown_gymnast(self) -> Iterator[Problem]:
        """A best of nobody, or of more than one."""
        bib = self.text("bib")
        whose = self._whose()
        names = ["discipline", "family_name", "given_name"]
        people = self.roster.loc[whose, names].drop_duplicates() if len(whose) > 1 else whose
        if not bib:
            message = "the bib is empty; only a record of the meet is nobody's own"
            yield self._problem("bib", "empty-cell", message)
        elif not whose:
            message = f"bib {bib} is not on the roster with that discipline and division"
            yield self._problem("bib", "unknown-bib", f"{message}; correct it")
        elif len(people) > 1:
            message = f"bib {bib} is worn by {len(people)}; fill in the discipline or the division"
            yield self._problem("bib", "which-gymnast", message)

    def _whose(self) -> list[int]:
        """The rows of the roster that are meant."""
        wearers = self.wearers.get(self.text("bib"), [])
        if not wearers or not (self._discipline or self._division):
            return wearers
        roster = self.roster.loc[wearers]
        meant = roster["bib"].notna()
        if self._discipline:
            meant &= roster["discipline"].eq(self._discipline)
        if self._division:
            meant &= roster["division"].map(plain).eq(plain(self._division))
        return [int(key) for key in roster.index[meant]]

    @property
    def _record(self) -> str:
        return plain(self.text("record"))

    @property
    def _discipline(self) -> str:
        return self.words.disciplines.get(plain(self.text("discipline")), "")

    @property
    def _division(self) -> str:
        return self.text("division")

    @property
    def _apparatus(self) -> str | None:
        """The code, empty for the all-around; None for another word."""
        word = plain(self.text("apparatus"))
        if word in ALL_AROUND:
            return ""
        found: Any = self.words.apparatus_and_vault(word)
        return found[0] if found and found[1] == 1 else None

    @property
    def _here(self) -> str:
        return ", ".join(self.held)

    def text(self, name: str) -> str:
        """The text of one cell."""
        return self.table.text(name, self.row)

    def _problem(self, name: str, code: str, message: str) -> Problem:
        return self.table.problem(self.row, name, code, message, self.text(name))
