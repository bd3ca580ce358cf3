"""What incidents cost: each routine without them, and the places that its mark would have had.

All else stays as it was: it explains a result and is none itself. A deduction is taken from the E
score or as a penalty; without it the mark is higher by so much, up to the highest that the rules
know. Source: arithmetic; the deductions are in `rules/rulebook/incidents/`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import groupby

from resultsgen.live.competition import LiveCompetition, live
from resultsgen.live.contests import Contest
from resultsgen.live.goals import MEDALS
from resultsgen.live.progress import Progress
from resultsgen.meet.folder import Incident
from resultsgen.meet.parts import part_of
from resultsgen.meet.ruleset import MarkRule
from resultsgen.rules.criteria import Criterion
from resultsgen.rules.placings import placings
from resultsgen.scoring.ranking import ListKind
from resultsgen.scoring.results import Results


@dataclass(frozen=True)
class ListChange:
    """Where a gymnast or her team stands in a list, and would stand with another mark."""

    kind: ListKind
    apparatus: str
    """Empty for all-around and team."""
    place: int | None
    """None: nowhere."""
    total: int | None
    place_then: int | None
    total_then: int | None
    so_far: bool
    """Marks are to come; the places are among those who have done as many apparatus."""

    @property
    def places_lost(self) -> int:
        """So many places better it would be."""
        return self.place - self.place_then if self.place and self.place_then else 0


@dataclass(frozen=True)
class Cost:
    """One routine with all that happened in it."""

    competition: str
    gymnast: int
    apparatus: str
    vault: int
    incidents: tuple[Incident, ...]
    mark: int
    mark_then: int
    """Without the incidents."""
    lists: tuple[ListChange, ...]

    @property
    def lost(self) -> tuple[bool, bool, int, int]:
        """What it cost: a first place, else a medal place; so many places, so many points."""
        places = [change.place_then for change in self.lists if change.places_lost > 0]
        best = min((place for place in places if place), default=MEDALS + 1)
        most = max((change.places_lost for change in self.lists), default=0)
        return best == 1, best <= MEDALS, most, self.mark_then - self.mark


@lru_cache(maxsize=1)
def costs(results: Results) -> tuple[Cost, ...]:
    """Every routine in which something happened, by what was lost; else by competition."""
    found = (
        cost
        for judged in results.competitions
        for cost in _costs(live(results)[judged.competition.id], results.meet.incidents)
    )
    return tuple(sorted(found, key=lambda cost: cost.lost, reverse=True))


def _routine(row: Incident) -> tuple[int, int, str]:
    return (row.gymnast, row.vault, row.apparatus)


def _costs(competition: LiveCompetition, incidents: Sequence[Incident]) -> Iterator[Cost]:
    entries, one = competition.entries, competition.entries.competition
    own = [row for row in incidents if row.competition == one.competition.id]
    own.sort(key=lambda row: (one.apparatus.index(row.apparatus), *_routine(row)))
    for (gymnast, vault, apparatus), group in groupby(own, _routine):
        these, part = tuple(group), part_of(apparatus, vault)
        routine = entries.routines.get((gymnast, part))
        if routine is None or routine.mark is None:
            continue
        rule = one.rule_set.marks
        lists = [
            _change(competition, contest, gymnast, part, these)
            for contest in sorted(competition.contests, key=lambda one: one.kind != "apparatus")
            if part in contest.members.parts and gymnast in contest.members.lines
        ]
        yield Cost(
            one.competition.id, gymnast, apparatus, vault, these, routine.mark,
            mark_without(routine.mark, these, rule), tuple(lists),
        )  # fmt: skip


def mark_without(mark: int, incidents: Sequence[Incident], rule: MarkRule) -> int:
    """The mark without these incidents."""
    return _at_most(mark + sum(row.deduction for row in incidents), rule.highest)


def _at_most(value: int, highest: int | None) -> int:
    return value if highest is None else min(value, highest)


def without(
    progress: Progress, key: int, name: str, incidents: Sequence[Incident], rule: MarkRule
) -> Progress:
    """The same list without what happened in one routine; one without a mark stays as it is."""
    part = progress.lines[key].parts[progress.parts.index(name)]
    if part.mark is None:
        return progress
    in_e = sum(row.deduction for row in incidents if row.taken_from == "E")
    e = None if part.e is None else _at_most(part.e + in_e, rule.highest_e)
    return progress.with_mark(key, name, mark_without(part.mark, incidents, rule), e, part.d)


def _change(
    competition: LiveCompetition, contest: Contest, key: int, part: str, these: Sequence[Incident]
) -> ListChange:
    """What a list would say without what happened in a routine; a team list of the team."""
    rule = competition.entries.competition.rule_set.marks
    then = without(contest.members, key, part, these, rule)
    if contest.kind != "team":
        return change(contest, then, key)
    team = next(team for team, keys in contest.teams.items() if key in keys)
    return change(contest, competition.entries.of_teams(replace(contest, members=then)), team)


def change(contest: Contest, then: Progress, key: int) -> ListChange:
    """What other marks in the same list change for one gymnast or team.

    While marks are to come, whoever has nobody to be compared with has no place.
    """
    now = contest.progress
    so_far = bool(now.unfinished)
    stands, would = _stands(now, key, contest.steps), _stands(then, key, contest.steps)
    return ListChange(contest.kind, contest.apparatus, *stands, *would, so_far)


def _stands(
    progress: Progress, key: int, steps: tuple[Criterion, ...]
) -> tuple[int | None, int | None]:
    """Place and total among those who have done as many."""
    if key not in progress.totals:
        return None, None
    own = progress.lines[key]
    lines = [progress.lines[other] for other in progress.totals]
    as_many = [line for line in lines if progress.done[line.key] == own.done]
    if len(as_many) == 1 and not progress.level:
        return None, progress.totals[key]
    place = placings(progress.compared(as_many), steps)[as_many.index(own)]
    return place, progress.totals[key]
