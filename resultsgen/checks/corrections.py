"""What must be true of rows that tell of marks: incidents, and corrections.

With what was published, corrections are compared later.
"""

from __future__ import annotations

from collections.abc import Container, Iterator

from resultsgen.checks.keys import in_cell
from resultsgen.checks.roster import bibs_of, gymnasts_of
from resultsgen.meet.folder import Correction, CorrectionRow, Incident, MarkRow, Meet
from resultsgen.meet.marks import show_mark, show_short
from resultsgen.meet.problems import Problem

RoutineKey = tuple[str, int, str, int | None]


def incidents_are_of_routines(meet: Meet) -> Iterator[Problem]:
    """Each incident happened in a routine that has a mark."""
    marks = _marks(meet)
    for incident in meet.incidents:
        if _routine(incident) not in marks:
            vault = " (second vault)" if incident.vault == 2 else ""
            message = (
                f"there is no mark on {incident.apparatus}{vault} in {incident.competition}; "
                "correct the row, or leave it out until the mark is in"
            )
            yield in_cell(meet, incident, "apparatus", "incident-without-mark", message)


def incidents_can_have_cost_so_much(meet: Meet) -> Iterator[Problem]:
    """What the incidents of a routine cost fits between its mark and the highest there can be."""
    marks = _marks(meet)
    by_routine: dict[RoutineKey, list[Incident]] = {}
    for incident in meet.incidents:
        by_routine.setdefault(_routine(incident), []).append(incident)
    for routine, incidents in by_routine.items():
        why = _too_large(meet, incidents, marks[routine]) if routine in marks else ""
        if why:
            last = max(incidents, key=lambda incident: incident.line)
            value = show_short(last.deduction)
            yield in_cell(meet, last, "deduction", "incident-too-large", why, value)


def _too_large(meet: Meet, incidents: list[Incident], row: MarkRow) -> str:
    """Why the deductions of one routine cannot be; empty where they can."""
    rule = meet.rule_sets[row.competition].marks
    in_e = sum(incident.deduction for incident in incidents if incident.taken_from == "E")
    taken = sum(incident.deduction for incident in incidents) - in_e
    mark, e, penalty = row.mark or 0, row.e or 0, row.penalty or 0
    if rule.highest is not None and mark <= rule.highest < mark + in_e + taken:
        return _more_than(rule.highest, in_e + taken, f"the mark {show_mark(mark)}")
    if e <= rule.highest_e < e + in_e:
        score = f"the E score {show_mark(e)}" if row.e is not None else "any E score"
        return _more_than(rule.highest_e, in_e, score)
    if row.d is not None and row.e is not None and taken > penalty:
        return (
            f"the incidents took a penalty of {show_short(taken)}, but the mark has one of "
            f"{show_short(penalty)}; correct the deduction or the penalty"
        )
    return ""


def _more_than(highest: int, deduction: int, beside: str) -> str:
    return (
        f"the incidents cost {show_short(deduction)} in all, and with {beside}, that is more "
        f"than {show_mark(highest)}; correct the deduction"
    )


def _marks(meet: Meet) -> dict[RoutineKey, MarkRow]:
    return {
        (row.competition, row.gymnast, row.apparatus, row.vault): row
        for row in (meet.mark_rows if meet.incidents else ())
        if row.mark is not None and row.gymnast is not None
    }


def _routine(incident: Incident) -> RoutineKey:
    return incident.competition, incident.gymnast, incident.apparatus, incident.vault


def whose(correction: Correction) -> str:
    """The routine that a correction is about."""
    vault = " (second vault)" if correction.vault == 2 else ""
    return f"bib {correction.bib} on {correction.apparatus}{vault} in {correction.competition}"


def corrections_follow_each_other(meet: Meet) -> Iterator[Problem]:
    """A mark that is corrected twice is corrected the second time from what it was then."""
    before: dict[tuple[object, ...], CorrectionRow] = {}
    for row in _of_routines(meet):
        correction = row.correction
        last = before.get(correction[:4])
        if last and last.correction.new != correction.old:
            message = (
                f"{whose(correction)} was corrected into {last.correction.new or 'nothing'} in row "
                f"{last.line}; correct one of the two rows"
            )
            yield in_cell(meet, row, "old", "corrections-do-not-follow", message, correction.old)
        before[correction[:4]] = row


def corrections_have_been_made(meet: Meet) -> Iterator[Problem]:
    """The last new mark of a routine that is corrected is the mark that the meet has."""
    marks = {
        (row.competition, row.bib, row.apparatus, row.vault): row.status or show_mark(row.mark)
        for row in (meet.mark_rows if meet.corrections else ())
        if row.gymnast is not None and (row.status or row.mark is not None)
    }
    if not marks:
        return  # That the marks cannot be read is told already, or none is in yet.
    last = {row.correction[:4]: row for row in _of_routines(meet)}
    for routine, row in last.items():
        there, correction = marks.get(routine, ""), row.correction
        new = correction.new
        of_the_roster = {
            gymnast.status
            for competition in meet.settings.competitions
            if competition.id == correction.competition and not there
            for gymnast in gymnasts_of(competition, meet)
            if gymnast.bib == correction.bib and gymnast.status
        }
        if new in (there, *of_the_roster):
            continue
        if correction.gone:
            message = (
                f"{whose(correction)} is to be gone, but the meet has {there}; delete the mark"
            )
            yield in_cell(meet, row, "gone", "not-gone", message, there)
        else:
            message = (
                f"{whose(correction)} is corrected into {new or 'nothing'}, but the meet "
                f"has {there or 'no mark'}; correct the mark or the row, be it the bib"
            )
            yield in_cell(meet, row, "new", "correction-not-made", message, new)


def what_is_gone_is_not_there(meet: Meet) -> Iterator[Problem]:
    """A gymnast or a competition that is said to be gone is not in the meet."""
    competitions = [competition.id for competition in meet.settings.competitions]
    for row in meet.corrections:
        correction = row.correction
        if not correction.gone or correction.apparatus:
            continue
        name, value = (
            ("bib", correction.bib) if correction.bib else ("competition", correction.competition)
        )
        there: Container[str] = (
            _bibs(meet, correction.competition) if correction.bib else competitions
        )
        if value in there:
            where = "on the roster" if correction.bib else "in meet.toml"
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
        correction = row.correction
        if correction.bib and correction.apparatus and correction.competition:
            if correction.competition not in bibs:
                bibs[correction.competition] = _bibs(meet, correction.competition)
            if correction.gone or correction.bib in bibs[correction.competition]:
                yield row
