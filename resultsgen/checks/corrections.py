"""What must be true of the corrections; with what was published, they are compared later."""

from __future__ import annotations

from collections.abc import Container, Iterator
from typing import Any

from resultsgen.checks.entries import belonging_mask
from resultsgen.meet.folder import Correction, CorrectionRow, Meet
from resultsgen.meet.marks import show_mark
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import Competition

Key = tuple[str, str, str, int]


def correction_problem(
    meet: Meet, row: CorrectionRow, name: str, code: str, message: str, value: str = ""
) -> Problem:
    """A problem in one cell of the corrections."""
    heading = meet.settings.columns.corrections.get(name, name)
    return Problem(row.file, row.line, heading, code, message, value)


def whose(told: Correction) -> str:
    """The routine that a correction is about."""
    vault = " (second vault)" if told.vault == 2 else ""
    return f"bib {told.bib} on {told.apparatus}{vault} in {told.competition}"


def corrections_follow_each_other(meet: Meet) -> Iterator[Problem]:
    """A mark that is corrected twice is corrected the second time from what it was then."""
    before: dict[Key, CorrectionRow] = {}
    for row in _of_routines(meet):
        key = row.told[:4]
        last = before.get(key)
        if last and last.told.new != row.told.old:
            message = (
                f"{whose(row.told)} was corrected into {last.told.new or 'nothing'} in row "
                f"{last.line}; correct one of the two rows"
            )
            code = "corrections-do-not-follow"
            yield correction_problem(meet, row, "old", code, message, row.told.old)
        before[key] = row


def corrections_have_been_made(meet: Meet) -> Iterator[Problem]:
    """The last new mark of a routine that is corrected is the mark that the meet has."""
    marks = _marks(meet)
    if not marks:
        return  # That the marks cannot be read is told already, or none is in yet.
    last = {row.told[:4]: row for row in _of_routines(meet)}
    for key, row in last.items():
        there = marks.get(key, "")
        if there == row.told.new or (not there and row.told.new in _of_the_roster(meet, row.told)):
            continue
        if row.told.gone:
            message = f"{whose(row.told)} is to be gone, but the meet has {there}; delete the mark"
            yield correction_problem(meet, row, "gone", "not-gone", message, there)
        else:
            message = (
                f"{whose(row.told)} is corrected into {row.told.new or 'nothing'}, but the meet "
                f"has {there or 'no mark'}; correct the mark or the row, be it the bib"
            )
            yield correction_problem(meet, row, "new", "correction-not-made", message, row.told.new)


def what_is_gone_is_not_there(meet: Meet) -> Iterator[Problem]:
    """A gymnast or a competition that is said to be gone is not in the meet."""
    competitions = {one.id: one for one in meet.settings.competitions}
    for row in meet.corrections:
        told = row.told
        if not told.gone or told.apparatus:
            continue
        name, value = ("bib", told.bib) if told.bib else ("competition", told.competition)
        here = competitions.get(told.competition)
        there: Container[str] = _bibs(meet, here) if told.bib else competitions
        if value in there:
            where = "on the roster" if told.bib else "in meet.toml"
            message = f"{name} {value} is to be gone, but is {where}; correct one of them"
            yield correction_problem(meet, row, "gone", "not-gone", message, value)


def _bibs(meet: Meet, here: Competition | None) -> set[str]:
    """The bibs of a competition; where none is named, of the whole roster."""
    rows = meet.roster[belonging_mask(here, meet.roster)] if here else meet.roster
    return set(rows["bib"])


def _of_routines(meet: Meet) -> Iterator[CorrectionRow]:
    """The rows that name a routine; that nobody there has the bib is told already."""
    competitions = {one.id: one for one in meet.settings.competitions}
    bibs: dict[str, set[str]] = {}
    for row in meet.corrections:
        told = row.told
        if told.bib and told.apparatus and told.competition:
            if told.competition not in bibs:
                bibs[told.competition] = _bibs(meet, competitions.get(told.competition))
            if told.gone or told.bib in bibs[told.competition]:
                yield row


def _of_the_roster(meet: Meet, told: Correction) -> set[str]:
    """The status that whoever wears the bib in the competition has for the whole meet."""
    here = [one for one in meet.settings.competitions if one.id == told.competition]
    rows = meet.roster[belonging_mask(here[0], meet.roster)] if here else meet.roster.head(0)
    return set(rows.loc[rows["bib"].eq(told.bib), "status"]) - {""}


def _marks(meet: Meet) -> dict[Key, str]:
    """The mark or status of each routine that has one."""
    given = meet.marks["mark"].notna() | meet.marks["status"].ne("")
    rows: Any = meet.marks[meet.marks["gymnast"].notna() & given].itertuples()
    return {
        (row.competition, row.bib, row.apparatus, int(row.vault)): row.status or show_mark(row.mark)
        for row in rows
    }
