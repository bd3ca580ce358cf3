"""What incidents cost: each routine without them, and the places that its mark would have had.

All else stays as it was. This explains the results and is none itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

from resultsgen.live import incidents as rule
from resultsgen.live.contests import Contest
from resultsgen.live.incidents import Change, Highest
from resultsgen.live.running import CompetitionRunning, running
from resultsgen.live.running_tables import Tables
from resultsgen.meet.folder import Incident
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.scoring.tables import SECOND_VAULT


@dataclass(frozen=True)
class ListChange:
    """What one list would say without the incidents; in a team list of the gymnast's team."""

    kind: str
    apparatus: str
    """Empty for all-around and team."""
    change: Change


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


@lru_cache(maxsize=1)
def costs(results: Results) -> tuple[Cost, ...]:
    """Every routine in which something happened, in the order of competitions and apparatus."""
    return tuple(
        cost
        for one in results.competitions
        if (these := _of(one, results))
        for cost in _costs(running(results)[one.competition.id], these)
    )


def _of(one: CompetitionResults, results: Results) -> list[Incident]:
    found = [row for row in results.meet.incidents if row.competition == one.competition.id]
    return sorted(found, key=lambda row: (one.apparatus.index(row.apparatus), *_routine(row)))


def _routine(row: Incident) -> tuple[int, int, str]:
    return (row.gymnast, row.vault, row.apparatus)


def _costs(runs: CompetitionRunning, incidents: list[Incident]) -> Iterator[Cost]:
    tables = runs.tables
    for (gymnast, vault, _), group in groupby(incidents, _routine):
        these = tuple(group)
        part = SECOND_VAULT if vault == 2 else these[0].apparatus
        routine = tables.routines.get((gymnast, part))
        if routine is None or routine.mark is None:
            continue
        asked = _Asked(tables, these, gymnast, part, _highest(tables))
        yield Cost(
            tables.one.competition.id,
            gymnast,
            these[0].apparatus,
            vault,
            these,
            routine.mark,
            rule.mark_without(routine.mark, asked.incidents, asked.highest),
            tuple(change for one in runs.contests if (change := asked.change(one))),
        )


def _highest(tables: Tables) -> Highest:
    marks = tables.one.rule_set.marks
    return Highest(marks.highest, marks.highest_e)


@dataclass(frozen=True)
class _Asked:
    """The incidents of one routine, put to one list after the other."""

    tables: Tables
    rows: tuple[Incident, ...]
    gymnast: int
    part: str
    highest: Highest

    @property
    def incidents(self) -> tuple[rule.Incident, ...]:
        """The same as the rules know them."""
        return tuple(
            rule.Incident(self.gymnast, self.part, row.what, row.deduction, row.taken_from)
            for row in self.rows
        )

    def change(self, one: Contest) -> ListChange | None:
        """What one list would say; None where the routine is no part of it."""
        if self.part not in one.members.parts or self.gymnast not in one.members.marks.index:
            return None
        members = rule.without(one.members, self.incidents, self.highest)
        if one.kind != "team":
            change = rule.change(one.progress, members, self.gymnast, one.steps)
        else:
            team = self._team()
            ranking, format = self.tables.one.team, self.tables.one.competition.team
            if team is None or ranking is None or format is None:
                return None
            then = self.tables.teams(ranking, format, members)
            change = rule.change(one.progress, then, team, one.steps)
        return ListChange(one.kind, one.apparatus, change)

    def _team(self) -> int | None:
        """The key of the gymnast's team."""
        teams = self.tables.one.team.lines if self.tables.one.team else ()
        own = (line for line in teams if any(one.key == self.gymnast for one in line.of.gymnasts))
        return next((line.key for line in own), None)
