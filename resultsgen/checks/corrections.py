"""What must be true of the corrections; with what was published, they are compared later."""

from __future__ import annotations

from collections.abc import Container, Iterator

from resultsgen.checks.entries import bibs_of, gymnasts_of
from resultsgen.checks.keys import in_cell
from resultsgen.meet.folder import Correction, CorrectionRow, Meet
from resultsgen.meet.marks import show_mark
from resultsgen.meet.problems import Problem


def whose(told: Correction) -> str:
    """The routine that a correction is about."""
    vault = " (second vault)" if told.vault == 2 else ""
    return f"bib {told.bib} on {told.apparatus}{vault} in {told.competition}"


def corrections_follow_each_other(meet: Meet) -> Iterator[Problem]:
    """A mark that is corrected twice is corrected the second time from what it was then."""
    before: dict[tuple[object, ...], CorrectionRow] = {}
    for row in _of_routines(meet):
        last = before.get(row.told[:4])
        if last and last.told.new != row.told.old:
            message = (
                f"{whose(row.told)} was corrected into {last.told.new or 'nothing'} in row "
                f"{last.line}; correct one of the two rows"
            )
            yield in_cell(meet, row, "old", "corrections-do-not-follow", message, row.told.old)
        before[row.told[:4]] = row


def corrections_have_been_made(meet: Meet) -> Iterator[Problem]:
    """The last new mark of a routine that is corrected is the mark that the meet has."""
    marks = {
        (row.competition, row.bib, row.apparatus, row.vault): row.status or show_mark(row.mark)
        for row in meet.mark_rows
        if row.gymnast is not None and (row.status or row.mark is not None)
    }
    if not marks:
        return  # That the marks cannot be read is told already, or none is in yet.
    last = {row.told[:4]: row for row in _of_routines(meet)}
    for routine, row in last.items():
        there = marks.get(routine, "")
        if there == row.told.new or (not there and row.told.new in _of_the_roster(meet, row.told)):
            continue
        if row.told.gone:
            message = f"{whose(row.told)} is to be gone, but the meet has {there}; delete the mark"
            yield in_cell(meet, row, "gone", "not-gone", message, there)
        else:
            message = (
                f"{whose(row.told)} is corrected into {row.told.new or 'nothing'}, but the meet "
                f"has {there or 'no mark'}; correct the mark or the row, be it the bib"
            )
            yield in_cell(meet, row, "new", "correction-not-made", message, row.told.new)


def what_is_gone_is_not_there(meet: Meet) -> Iterator[Problem]:
    """A gymnast or a competition that is said to be gone is not in the meet."""
    competitions = [competition.id for competition in meet.settings.competitions]
    for row in meet.corrections:
        told = row.told
        if not told.gone or told.apparatus:
            continue
        name, value = ("bib", told.bib) if told.bib else ("competition", told.competition)
        there: Container[str] = _bibs(meet, told.competition) if told.bib else competitions
        if value in there:
            where = "on the roster" if told.bib else "in meet.toml"
            message = f"{name} {value} is to be gone, but is {where}; correct one of them"
            yield in_cell(meet, row, "gone", "not-gone", message, value)


def _bibs(meet: Meet, id: str) -> set[str]:
    """The bibs of a competition; where none is named, of the whole roster."""
    for competition in meet.settings.competitions:
        if competition.id == id:
            return bibs_of(competition, meet)
    return {gymnast.bib for gymnast in meet.entries}


def _of_routines(meet: Meet) -> Iterator[CorrectionRow]:
    """The rows that name a routine; that nobody there has the bib is told already."""
    bibs: dict[str, set[str]] = {}
    for row in meet.corrections:
        told = row.told
        if told.bib and told.apparatus and told.competition:
            if told.competition not in bibs:
                bibs[told.competition] = _bibs(meet, told.competition)
            if told.gone or told.bib in bibs[told.competition]:
                yield row


def _of_the_roster(meet: Meet, told: Correction) -> set[str]:
    """The status that whoever wears the bib in the competition has for the whole meet."""
    return {
        gymnast.status
        for competition in meet.settings.competitions
        if competition.id == told.competition
        for gymnast in gymnasts_of(competition, meet)
        if gymnast.bib == told.bib and gymnast.status
    }
