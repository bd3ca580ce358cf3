"""What must be true of the incidents."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import Any

from resultsgen.checks.marks import given
from resultsgen.meet.folder import Incident, Meet
from resultsgen.meet.marks import show_mark, show_short
from resultsgen.meet.problems import Problem


def incidents_are_of_routines(meet: Meet) -> Iterator[Problem]:
    """Each incident happened in a routine that has a mark."""
    marks = _routines(meet)
    for one in meet.incidents:
        if _key(one) not in marks:
            vault = " (second vault)" if one.vault == 2 else ""
            message = (
                f"there is no mark on {one.apparatus}{vault} in {one.competition}; "
                "correct the row, or leave it out until the mark is in"
            )
            yield _problem(meet, one, "apparatus", "incident-without-mark", message, one.apparatus)


def incidents_can_have_cost_so_much(meet: Meet) -> Iterator[Problem]:
    """What the incidents of a routine cost fits between its mark and the highest there can be."""
    marks = _routines(meet)
    for key, group in groupby(sorted(meet.incidents, key=_key), _key):
        these = list(group)
        if key not in marks:
            continue
        told = _too_large(meet, these, marks[key])
        if told:
            last = max(these, key=lambda one: one.line)
            value = show_short(last.deduction)
            yield _problem(meet, last, "deduction", "incident-too-large", told, value)


def _too_large(meet: Meet, these: list[Incident], routine: Any) -> str:
    """Why the deductions of one routine cannot be; empty where they can."""
    rule = meet.rule_sets[these[0].competition].marks
    in_e = sum(one.deduction for one in these if one.taken_from == "E")
    taken = sum(one.deduction for one in these) - in_e
    whole = routine.mark + in_e + taken
    if rule.highest is not None and routine.mark <= rule.highest < whole:
        return _message(in_e + taken, f"the mark {show_mark(routine.mark)}", rule.highest)
    e = given(routine.e)
    if rule.highest_e is not None and (e or 0) <= rule.highest_e < (e or 0) + in_e:
        score = f"the E score {show_mark(e)}" if e is not None else "any E score"
        return _message(in_e, score, rule.highest_e)
    parts_known = given(routine.d) is not None and given(routine.e) is not None
    penalty = given(routine.penalty) or 0
    if parts_known and taken > penalty:
        return (
            f"the incidents took a penalty of {show_short(taken)}, but the mark has one of "
            f"{show_short(penalty)}; correct the deduction or the penalty"
        )
    return ""


def _message(deduction: int, what: str, highest: int) -> str:
    return (
        f"the incidents cost {show_short(deduction)} in all, and with {what}, that is more "
        f"than {show_mark(highest)}; correct the deduction"
    )


def _routines(meet: Meet) -> dict[tuple[object, ...], Any]:
    """The rows of marks by what an incident names them by."""
    marks = meet.marks[meet.marks["mark"].notna() & meet.marks["gymnast"].notna()]
    rows: Iterable[Any] = marks.itertuples()
    return {(row.competition, int(row.gymnast), row.apparatus, int(row.vault)): row for row in rows}


def _key(one: Incident) -> tuple[str, int, str, int]:
    return (one.competition, one.gymnast, one.apparatus, one.vault)


def _problem(meet: Meet, one: Incident, name: str, code: str, message: str, value: str) -> Problem:
    heading = meet.settings.columns.incidents.get(name, name)
    return Problem(one.file, one.line, heading, code, message, value)
