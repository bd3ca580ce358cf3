"""The cuts of a list, with those who withdrew and those who were called up in their place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from resultsgen.judging.field import Field
from resultsgen.meet import BodyKind, Meet, Ranked
from resultsgen.results import CutLine, CutResult, Gymnast
from resultsgen.rules.cuts import Candidate, Line, Verdict, verdicts

Candidates = Callable[[BodyKind], list[Candidate]]


def body(one: Gymnast, kind: BodyKind) -> str:
    """The federation, club or team that a cap counts a gymnast by."""
    return {"federation": one.federation, "club": one.club, "team": one.team}[kind]


def cut_results(
    these: Field, of: Ranked, apparatus: str, candidates: Candidates, *, complete: bool
) -> tuple[CutResult, ...]:
    """Every cut of the competition that is taken from this list."""
    found = []
    for cut in these.competition.cuts:
        if cut.of != of:
            continue
        goes_through = these.rule_set.cuts.tie_on_last_place == "all go through"
        line = Line(cut.places, cut.reserves, cut.cap, cut.minimum, goes_through)
        rows = candidates(cut.per)
        absent = _withdrawn(these.meet, cut.to, apparatus, these.gymnasts, rows)
        lines = _with_replacements(rows, line, absent)
        found.append(CutResult(cut, apparatus, lines, complete))
    return tuple(found)


def _withdrawn(
    meet: Meet, to: str, apparatus: str, people: dict[int, Gymnast], rows: list[Candidate]
) -> set[int]:
    """Keys of those who withdrew from the competition that the cut leads to."""
    bibs = {
        one.bib
        for final in meet.settings.competitions
        if to and final.id == to
        for one in final.withdrawn
        if not one.apparatus or apparatus in one.apparatus
    }
    keys = {row.key for row in rows}
    return {key for key, one in people.items() if key in keys and one.bib in bibs}


def _with_replacements(rows: list[Candidate], line: Line, absent: set[int]) -> tuple[CutLine, ...]:
    """The verdicts of the whole list, and who is called up for those who withdrew."""
    first = verdicts(rows, line)
    through = _qualified(first)
    called_up = _called_up(rows, line, absent, through)
    return tuple(
        CutLine(
            key=verdict.key,
            verdict=verdict,
            withdrawn=verdict.key in absent and verdict.key in through,
            called_up=verdict.key in called_up,
        )
        for verdict in first
    )


def _called_up(
    rows: list[Candidate], line: Line, absent: set[int], through: list[int]
) -> list[int]:
    """Who fills the places left open: the list is walked again without the absent.

    That finds the next in order within the cap, who may be a team-mate passed over before, else
    the first reserve; of two reserves with one place, the first in the order of the list. Source:
    finals of published papers whose starters were not those qualified at first
    (`tests/published/`).
    """
    staying = [key for key in through if key not in absent]
    present = [row for row in rows if row.key not in absent]
    again = _qualified(verdicts(present, replace(line, ties_go_through=False)))
    free = max(line.places - len(staying), 0)
    return [key for key in again if key not in through][:free]


def _qualified(found: tuple[Verdict, ...]) -> list[int]:
    return [verdict.key for verdict in found if verdict.outcome == "qualified"]
