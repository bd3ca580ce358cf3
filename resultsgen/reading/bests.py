"""The bests so far of a meet: what its marks are compared with."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import get_args, get_type_hints

from resultsgen.meet.columns import BESTS
from resultsgen.meet.folder import BestSoFar, Entry
from resultsgen.meet.problems import Note, Problem, did_you_mean, parted
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.named_tables import optional_table
from resultsgen.reading.tables import ReadTable
from resultsgen.reading.words import Words, heard, plain

RECORDS: tuple[str, ...] = get_args(get_type_hints(BestSoFar)["record"])


OF_EVERYBODY = ("meet", "series", "all meets")


ALL_AROUND = ("all around", "aa")


NOT_A_BEST = "{text} is no mark; write at most three digits and three decimals, 13.700 or 13,700"


IN_BESTS = {
    "apparatus": "the apparatus is empty; write its code, or all-around",
    "mark": "the best so far is empty; fill it in, or delete the row",
}


def read_bests(
    folder: Path, settings: MeetSettings, words: Words, entries: Sequence[Entry]
) -> tuple[tuple[BestSoFar, ...], list[Problem]]:
    """The bests that marks are compared with; none where there is no such file."""
    table = optional_table(folder, settings, "bests", BESTS)
    if not table.was_read or not entries:
        return (), table.problems
    marks = table.marks("mark", NOT_A_BEST)
    table.tell_empty(IN_BESTS)
    held = tuple(dict.fromkeys(one.discipline for one in settings.competitions))
    wearers: dict[str, list[Entry]] = {}
    for entry in entries:
        wearers.setdefault(entry.bib, []).append(entry)
    rows = [_best(table, row, words, wearers) for row in range(len(table))]
    table.problems += [problem for row in rows for problem in row.problems(words, held)]
    if parted(table.problems)[0]:
        return (), table.problems
    done = {code for one in settings.competitions for code in settings.apparatus_of(one)}
    divisions = frozenset(plain(entry.division) for entry in entries)
    table.problems += [note for row in rows for note in row.notes(done, divisions)]
    bests = (row.best(mark or 0, held[0]) for row, mark in zip(rows, marks, strict=True))
    return tuple(bests), table.problems


def _best(table: ReadTable, row: int, words: Words, wearers: dict[str, list[Entry]]) -> _Best:
    bib, division = table.text("bib", row), table.text("division", row)
    discipline = words.disciplines.get(heard(table.text("discipline", row)), "")
    word = plain(table.text("apparatus", row))
    meant = words.apparatus_and_vault(word)
    one_vault = meant[0] if meant and meant[1] == 1 else None
    return _Best(
        table,
        row,
        plain(table.text("record", row)),
        bib,
        discipline,
        division,
        "" if word in ALL_AROUND else one_vault,
        tuple(
            entry
            for entry in wearers.get(bib, ())
            if (not discipline or entry.discipline == discipline)
            and (not division or plain(entry.division) == plain(division))
        ),
    )


@dataclass(frozen=True)
class _Best:
    table: ReadTable
    row: int
    record: str
    bib: str
    discipline: str
    """One of ours; empty where the cell holds none."""
    division: str
    apparatus: str | None
    """The code, empty for the all-around; None for another word."""
    whose: tuple[Entry, ...]

    def best(self, mark: int, discipline: str) -> BestSoFar:
        return BestSoFar(
            self.record,  # type: ignore[arg-type]
            tuple(entry.key for entry in self.whose) if self.record not in OF_EVERYBODY else (),
            self.discipline or discipline,
            self.division,
            self.apparatus or "",
            mark,
            self._text("note"),
            self.table.lines[self.row],
        )

    def problems(self, words: Words, held: tuple[str, ...]) -> Iterator[Problem]:
        """What is wrong in the row, cell by cell; *held* are the disciplines of the meet."""
        here = ", ".join(held)
        if self.record not in RECORDS:
            mend = did_you_mean(self.record, RECORDS) or f"write one of {', '.join(RECORDS)}"
            message = f"{self._text('record') or 'an empty cell'} is no kind of best; {mend}"
            yield self._problem("record", "unknown-best", message)
        if self.apparatus is None and self._text("apparatus"):
            message = words.no_apparatus(self._text("apparatus"), "all-around")
            yield self._problem("apparatus", "unknown-apparatus", message)
        if self._text("discipline") and self.discipline not in held:
            message = f"{self._text('discipline')} is no discipline here; write one of {here}"
            yield self._problem("discipline", "unknown-discipline", message)
        elif self.record in OF_EVERYBODY and not self.discipline and len(held) > 1:
            message = f"the discipline is empty, and the meet has several: write one of {here}"
            yield self._problem("discipline", "which-discipline", message)
        elif self.record in ("season", "personal"):
            yield from self._unknown_gymnast()

    def _unknown_gymnast(self) -> Iterator[Problem]:
        """A best of nobody, or of more than one."""
        people = {(one.discipline, one.family_name, one.given_name) for one in self.whose}
        if not self.bib:
            message = "the bib is empty; only a record of the meet is nobody's own"
            yield self._problem("bib", "empty-cell", message)
        elif not self.whose:
            message = f"bib {self.bib} is not on the roster with that discipline and division"
            yield self._problem("bib", "unknown-bib", f"{message}; correct it")
        elif len(people) > 1:
            message = (
                f"bib {self.bib} is worn by {len(people)}; fill in the discipline or the division"
            )
            yield self._problem("bib", "which-gymnast", message)

    def notes(self, done: set[str], divisions: frozenset[str]) -> Iterator[Note]:
        """What says nothing in a row that has no problem."""
        if self.record in OF_EVERYBODY and self.bib:
            yield self._left("bib", "a record of the meet is nobody's own")
        if self.apparatus and self.apparatus not in done:
            yield self._left("apparatus", "no competition has it")
        nobodys = self.division and plain(self.division) not in divisions
        if self.record in OF_EVERYBODY and nobodys:
            yield self._left("division", "nobody on the roster is of it")

    def _left(self, name: str, why: str) -> Note:
        message = f"{self._text(name)} left alone: {why}"
        return Note(**vars(self._problem(name, "left-alone", message)))

    def _text(self, name: str) -> str:
        return self.table.text(name, self.row)

    def _problem(self, name: str, code: str, message: str) -> Problem:
        return self.table.problem(self.row, name, code, message, self._text(name))
