"""What a team needs from its marks to come: who is still to go, what counts, and the sum of it.

On each apparatus as many marks as the format says count, the best; a mark to come fills what is
free there, and then takes the place of the lowest. The sum that is told is the least that is enough
however it falls on the marks that can still count: one that is dropped helps the others. Rivals are
the teams that are over with everything, and whoever has as much already; a sum is safe if it is
enough though all others make the highest mark on all they have to come. Source: arithmetic.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from operator import itemgetter

from resultsgen.live.competition import LiveCompetition
from resultsgen.live.contests import Contest
from resultsgen.live.goals import LEAD, MEDAL, Goal
from resultsgen.live.needs import Contender, Need
from resultsgen.live.progress import LiveLine, LivePart, Progress, ToGo
from resultsgen.live.tied_marks import Terms


@dataclass(frozen=True)
class TeamNeeds:
    """What one team needs, and from whom."""

    key: int
    needs: tuple[Need, ...]
    to_go: tuple[ToGo, ...]
    beside: tuple[int, ...]
    """Who has as many marks that count and to come, for the lead: who leads, or of the leader the
    next; and..."""
    ahead_of_them: int
    """...by how much it is ahead of them as it stands; behind below zero."""


def team_needs(running: LiveCompetition) -> tuple[TeamNeeds, ...]:
    """Every team with marks to come that may count, in order of what there is so far."""
    return tuple(found for contest in running.contests for found in _of(running, contest))


def _of(running: LiveCompetition, contest: Contest) -> Iterator[TeamNeeds]:
    one, bound = running.entries.competition, running.highest
    if contest.kind != "team":
        return
    medal = [("", MEDAL)] if running.is_final else []
    asked = [("", LEAD), *medal, *contest.cuts.items()]
    terms = Terms(contest.steps, max(one.rule_set.marks.step, 1))
    for key in (line.key for line in running.lists["team"].so_far):
        needs = (
            (name, team_need(contest.progress, key, goal, terms, bound)) for name, goal in asked
        )
        told = tuple(replace(need, list="team", cut=name) for name, need in needs if need)
        if told:
            to_go = contest.progress.lines[key].coming.to_go
            yield TeamNeeds(key, told, to_go, *_beside(contest.progress, key))


def _beside(teams: Progress, key: int) -> tuple[tuple[int, ...], int]:
    """Who is compared with a team on the way as like with like, and how far it is ahead."""
    total = {at: line.sum + line.coming.held for at, line in teams.in_it.items()}
    many = {at: (line.coming.counted, line.coming.marks) for at, line in teams.in_it.items()}
    first = max(total.values())
    others = [at for at in total if at != key and many[at] == many[key]]
    most = max((total[at] for at in others), default=0)
    if not others or first not in (most, total[key]):
        return (), 0
    return tuple(at for at in others if total[at] == most), total[key] - most


def team_need(
    teams: Progress, key: int, goal: Goal, terms: Terms, bound: int | None
) -> Need | None:
    """The sum of the marks that can still count which a team needs for the goal."""
    line, parts = teams.lines[key], teams.to_come(key)
    to_go = line.coming.to_go
    if key not in teams.in_it or not to_go or not goal.is_for(key):
        return None

    def told(gain: int | None) -> int | None:
        return None if gain is None else least_sum(gain, to_go, terms.step)

    own, tells = _with(line, line.coming.held), line.coming.marks == 1
    if tells:
        # What its part comes to is known, and so what settles a tie.
        whole = line.filled(line.coming.held)
        own = whole._replace(parts=(*whole.parts, LivePart()))
    contest = Contender(_as_they_stand(teams), own, parts, goal, replace(terms, marks_tell=tells))
    found = contest.need
    if not found.wins or not found.ties:
        # It is enough already, or level with what there is.
        found = replace(found, ties=None, tie=None, level_with=(), level_total=None)
    others = any(other.coming.marks for at, other in teams.in_it.items() if at != key)
    safe, safe_shared = None if others else found.wins, None
    if others and bound is not None:
        at_best = replace(contest, terms=replace(terms, marks_tell=False))
        safe, safe_shared = at_best.safe_among(_at_best(teams, bound))
    step = terms.step

    def alone(gain: int) -> tuple[int, str]:
        marks = ((-(-(gain + (one.dropped or 0)) // step) * step, one.apparatus) for one in to_go)
        return min(marks, key=itemgetter(0))

    return replace(
        found,
        alone=alone(found.wins),
        alone_safe=(0, "") if safe is None else alone(safe),
        ties=told(found.ties),
        wins=least_sum(found.wins, to_go, step),
        safe=told(safe),
        safe_shared=told(safe_shared),
        others_to_come=others,
        marks=line.coming.marks,
    )


def least_sum(gain: int, to_go: Sequence[ToGo], step: int) -> int:
    """The least sum of marks to come that adds so much to a total however it falls on them.

    It falls worst where it adds least: first on marks that stay below the one to be dropped, and
    evenly on those of one apparatus. So on each apparatus the first of it adds what the free places
    have of it, and a part more for every mark that is passed.
    """
    stretches = []
    for one in to_go:
        marks = one.can_count
        free = min(one.count - len(one.counting), marks)
        passed = 0
        for number, mark in enumerate(one.counting[::-1][: marks - free]):
            stretches.append((Fraction(free + number, marks), marks * (mark - passed)))
            passed = mark
    found, left = Fraction(0), Fraction(gain)
    for adds, length in sorted(stretches):
        if left <= adds * length:
            break
        found, left = found + length, left - adds * length
    else:
        adds = Fraction(1)
    return -(-(found + (left / adds if left else 0)) // step) * step


def _with(line: LiveLine, more: int) -> LiveLine:
    """A team with a part more, for what counts on apparatus that are not over."""
    has_some = line.has_mark or line.coming.held or more
    part = LivePart(more) if has_some else LivePart(passed=True)
    return line._replace(parts=(*line.parts, part))


def _as_they_stand(teams: Progress) -> Progress:
    lines = [_with(line, line.coming.held) for line in teams.lines.values()]
    return replace(teams, parts=(*teams.parts, "")).of(lines)


def _at_best(teams: Progress, bound: int) -> Progress:
    """With the highest mark on all that can still count."""
    lines = []
    for line in teams.lines.values():
        over = tuple(part if part.over else LivePart(passed=True) for part in line.parts)
        most = line.coming.kept + line.coming.marks * bound
        lines.append(_with(line._replace(parts=over), most))
    return replace(teams, parts=(*teams.parts, "")).of(lines)
