"""Every list of a running competition with all that decides it: marks, tie rule, cuts."""

from __future__ import annotations

from dataclasses import dataclass, replace

from resultsgen.live.goals import Goal, cut
from resultsgen.live.progress import Progress
from resultsgen.live.running_tables import Tables
from resultsgen.meet.ruleset import TieList
from resultsgen.meet.settings import Ranked
from resultsgen.rules.criteria import Criterion, criteria
from resultsgen.scoring.cutting import body
from resultsgen.scoring.results import CutResult, Gymnast
from resultsgen.scoring.tables import SECOND_VAULT


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
    joined: bool = False
    """Somebody may join a tie without the E or D score, or the fact, that settles it."""


def all_around(tables: Tables) -> Contest | None:
    """The all-around, where the competition ranks it."""
    ranking = tables.one.all_around
    if ranking is None:
        return None
    marks = tables.all_around(ranking)
    cuts, steps = _cuts(ranking.cuts, tables.people), _steps(tables, "all-around", marks)
    joined = _may_be_joined(tables, steps)
    return Contest("all-around", "", marks, marks, steps, cuts, joined)


def apparatus(tables: Tables, code: str) -> Contest:
    """One apparatus of those that the competition ranks."""
    whole = tables.one.by_apparatus[code]
    ranking = replace(whole, lines=tuple(one for one in whole.lines if not one.below))
    marks = tables.apparatus(ranking)
    kind: TieList = "vault-average" if SECOND_VAULT in ranking.parts else "apparatus"
    cuts, steps = _cuts(ranking.cuts, tables.people), _steps(tables, kind, marks)
    joined = _may_be_joined(tables, steps)
    return Contest("apparatus", code, marks, marks, steps, cuts, joined)


def teams(tables: Tables) -> Contest | None:
    """The teams, where there are any."""
    ranking, format = tables.one.team, tables.one.competition.team
    if ranking is None or format is None or not ranking.lines:
        return None
    members = tables.members(ranking)
    marks = tables.teams(ranking, format, members)
    first = {line.key: line.of.gymnasts[0] for line in ranking.lines}
    steps, cuts = _steps(tables, "team", marks), _cuts(ranking.cuts, first)
    return Contest("team", "", marks, members, steps, cuts, joined=True)


def _may_be_joined(tables: Tables, steps: tuple[Criterion, ...]) -> bool:
    """Whether a mark to come may bring a tie that lacks a value: else it stops the publication."""
    facts = {"all-around total", "younger"}
    shared = tables.one.competition.missing_scores == "share"
    return shared or any(one.name in facts for one in steps)


def _steps(tables: Tables, of: TieList, marks: Progress) -> tuple[Criterion, ...]:
    one = tables.one
    rule = one.rule_set.tie_rule(of, one.competition.phase)
    return criteria(rule.criteria, len(marks.parts))


def _cuts(found: tuple[CutResult, ...], people: dict[int, Gymnast]) -> dict[str, Goal]:
    """The cuts taken from a list; *people* stand for the keys of the list.

    How many places a share of those placed is, nobody knows before all are placed.
    """
    known = (one for one in found if one.cut.percent is None)
    return {one.cut.name: _goal(one, people) for one in known}


def _goal(one: CutResult, people: dict[int, Gymnast]) -> Goal:
    return cut(one.quota, {key: body(who, one.cut.per) for key, who in people.items()})
