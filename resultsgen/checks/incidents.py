"""What must be true of the incidents."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.checks.keys import in_cell
from resultsgen.meet.folder import Incident, MarkRow, Meet
from resultsgen.meet.marks import show_mark, show_short
from resultsgen.meet.problems import Problem

Routine = tuple[str, int, str, int | None]


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
    by_routine: dict[Routine, list[Incident]] = {}
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


def _marks(meet: Meet) -> dict[Routine, MarkRow]:
    """The rows of marks by what an incident names them by."""
    return {
        (row.competition, row.gymnast, row.apparatus, row.vault): row
        for row in meet.mark_rows
        if row.mark is not None and row.gymnast is not None
    }


def _routine(incident: Incident) -> Routine:
    return incident.competition, incident.gymnast, incident.apparatus, incident.vault
