"""Every list of a running competition with all that decides it: marks, tie rule, cuts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from resultsgen.judging.cutting import body
from resultsgen.judging.field import SECOND_VAULT
from resultsgen.judging.running_tables import Tables
from resultsgen.meet import Cut, Ranked
from resultsgen.results import Gymnast
from resultsgen.rules.cuts import Line
from resultsgen.rules.goals import Goal, cut
from resultsgen.rules.progress import Progress
from resultsgen.rules.ties import Criterion, criteria


@dataclass(frozen=True)
class Contest:
    """One list; `members` are the gymnasts behind it, the same table but for a team list."""

    kind: Ranked
    apparatus: str
    """Empty for all-around and team."""
    progress: Progress
    members: Progress
    steps: tuple[Criterion, ...]
    cuts: dict[str, Goal]
    """By the name of the cut."""
    marks: int = 1
    """How many marks one part holds: more than one for a team."""


def contests(tables: Tables) -> Iterator[Contest]:
    """The all-around, each apparatus, the teams: what the competition ranks."""
    one = tables.one
    if one.all_around:
        marks = tables.all_around(one.all_around)
        cuts = _cuts(tables, "all-around", tables.people)
        yield Contest("all-around", "", marks, marks, _steps(tables, "all-around", marks), cuts)
    for code, ranking in one.by_apparatus.items():
        marks = tables.apparatus(ranking)
        kind = "vault-average" if SECOND_VAULT in ranking.parts else "apparatus"
        cuts = _cuts(tables, "apparatus", tables.people)
        yield Contest("apparatus", code, marks, marks, _steps(tables, kind, marks), cuts)
    format = one.competition.team
    if one.team and format and one.team.lines:
        members = tables.members(one.team)
        teams = tables.teams(one.team, format, members)
        first = {line.key: line.members[0].gymnast for line in one.team.lines}
        steps, cuts = _steps(tables, "team", teams), _cuts(tables, "team", first)
        yield Contest("team", "", teams, members, steps, cuts, format.count)


def _steps(tables: Tables, kind: str, marks: Progress) -> tuple[Criterion, ...]:
    one = tables.one
    rule = one.rule_set.tie_rule(kind, one.competition.phase)  # type: ignore[arg-type]
    return criteria(rule.criteria, len(marks.parts))


def _cuts(tables: Tables, of: Ranked, people: dict[int, Gymnast]) -> dict[str, Goal]:
    """The cuts taken from such a list; *people* stand for the keys of the list."""
    found = (one for one in tables.one.competition.cuts if one.of == of)
    return {one.name: _goal(tables, one, people) for one in found}


def _goal(tables: Tables, one: Cut, people: dict[int, Gymnast]) -> Goal:
    through = tables.one.rule_set.cuts.tie_on_last_place == "all go through"
    line = Line(one.places, one.reserves, one.cap, one.minimum, through)
    return cut(line, {key: body(who, one.per) for key, who in people.items()})
