"""Tables that a meet may have beside roster and marks: incidents, bests so far, corrections.

The figures of `rulebook/incidents/*.toml` are of common practice, to explain a mark by, and never
a result. A meet that knows the true deduction gives it, and they are not asked.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import get_args, get_type_hints

from pydantic import Field

from resultsgen.meet.columns import BESTS, CORRECTIONS, INCIDENTS
from resultsgen.meet.folder import (
    NAME,
    SETTINGS,
    BestSoFar,
    Correction,
    CorrectionRow,
    Entry,
    Incident,
    TakenFrom,
)
from resultsgen.meet.marks import STATUSES, show_mark
from resultsgen.meet.problems import Note, Problem, did_you_mean, parted
from resultsgen.meet.ruleset import RuleSet
from resultsgen.meet.settings import MeetSettings
from resultsgen.meet.values import Frozen, Mark
from resultsgen.reading.belonging import Belonging, Bibs
from resultsgen.reading.marks import apparatus_and_vault
from resultsgen.reading.named_tables import optional_table
from resultsgen.reading.tables import ReadTable, status_in
from resultsgen.reading.words import Words, heard, plain

FIGURES = Path(__file__).parent.parent / "rules/rulebook" / "incidents"
NOT_A_DEDUCTION = "{text} is no deduction; write it as 0.5 or 0,500, or leave it to the figure"
IN_INCIDENTS = {
    "bib": "the bib is empty; fill it in, or delete the row",
    "apparatus": "the apparatus of this incident is empty; write its code",
    "incident": "what happened is empty; write it, for example: fall",
}


class Figure(Frozen):
    """What one kind of incident costs, and where that was read."""

    name: str
    deduction: Mark
    taken_from: TakenFrom = Field("E", description="The part of the mark that it is taken from")
    source: str


class IncidentFigures(Frozen):
    """The figures for some rule sets: the named ones, else all with the same highest mark."""

    title: str
    rule_sets: tuple[str, ...] = ()
    highest: Mark | None = Field(None, description="The highest mark possible; empty: open")
    incident: tuple[Figure, ...] = Field(min_length=1)

    def figure(self, name: str) -> Figure | None:
        """What an incident of this name costs; None where nothing is known of it."""
        return next((one for one in self.incident if plain(one.name) == plain(name)), None)


@cache
def read_incident_figures() -> tuple[IncidentFigures, ...]:
    """All that ship, by the name of the file."""
    return tuple(
        IncidentFigures.model_validate(
            tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)
        )
        for path in sorted(FIGURES.glob("*.toml"))
    )


def figures_for(
    name: str, rule_set: RuleSet, known: Sequence[IncidentFigures]
) -> IncidentFigures | None:
    """The figures that go with a rule set: by its name, else by its highest mark."""
    named = (one for one in known if name in one.rule_sets)
    alike = (one for one in known if not one.rule_sets and one.highest == rule_set.marks.highest)
    return next(named, None) or next(alike, None)


def read_incidents(
    folder: Path,
    settings: MeetSettings,
    words: Words,
    bibs: Bibs,
    rule_sets: dict[str, RuleSet],
) -> tuple[tuple[Incident, ...], list[Problem]]:
    """The incidents of the meet, each with its deduction; none where there is no such file."""
    table = optional_table(folder, settings, "incidents", INCIDENTS)
    if not table.was_read:
        return (), table.problems
    having_marks = [n for n, one in enumerate(settings.competitions) if one.has_own_marks]
    whose = bibs.whose(table, having_marks)
    table.tell_empty(IN_INCIDENTS)
    codes, vaults = apparatus_and_vault(table, words)
    deductions = table.marks("deduction", NOT_A_DEDUCTION)
    known = read_incident_figures() if len(table) else ()
    figures = {
        one.id: figures_for(one.rules, rule_sets[one.id], known)
        for one in settings.competitions
        if one.id in rule_sets
    }
    incidents = []
    for row, belongs in enumerate(whose):
        what, given = table.text("incident", row), deductions[row]
        of_competition = figures.get(belongs.competition)
        figure = of_competition.figure(what) if of_competition else None
        written = table.text("deduction", row)
        if what and not written and belongs.competition in figures and figure is None:
            names = [one.name for one in of_competition.incident] if of_competition else []
            near = did_you_mean(what.casefold(), names, cutoff=0.5)
            mend = (
                f"{near} Else write the deduction"
                if near
                else f"there are {', '.join(names) or 'none'}; else write the deduction"
            )
            message = f"no common figure is known for {what}; {mend}"
            wrong = table.problem(row, "incident", "unknown-incident", message, what)
            table.problems.append(wrong)
        deduction = abs(given) if given is not None else figure.deduction if figure else None
        if belongs.gymnast is None or deduction is None or not what or not codes[row]:
            continue
        incident = Incident(
            belongs.competition,
            belongs.gymnast,
            codes[row],
            vaults[row],
            what,
            deduction,
            figure.taken_from if figure else "E",
            figure.source if figure and given is None else "",
            table.text("note", row),
            table.file,
            table.lines[row],
        )
        incidents.append(incident)
    return tuple(incidents), table.problems


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
            codes = ", ".join((*words.codes(), "all-around"))
            message = f"{self._text('apparatus')} is no apparatus here; write one of {codes}"
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


OF_A_GYMNAST = (NAME, "club", "federation", "team", "division", "birth_year", "bib")
OF_THE_MEET = (*SETTINGS, "signed")
"""What a row may name under `what`."""

IN_CORRECTIONS = {
    "why": "the reason is empty; write inquiry, entry error, review, or words of your own"
}
NOT_OF_WHAT_IS_GONE = ("unknown-bib", "unknown-competition", "which-competition")
"""What cannot be asked of a gymnast or a competition that is gone."""


def read_corrections(
    folder: Path, settings: MeetSettings, words: Words, bibs: Bibs
) -> tuple[tuple[CorrectionRow, ...], list[Problem]]:
    """Every row of the corrections; none where there is no such file."""
    table = optional_table(folder, settings, "corrections", CORRECTIONS)
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


def _whose(table: ReadTable, bibs: Bibs, gone: list[bool]) -> list[Belonging]:
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
