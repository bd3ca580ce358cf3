"""The running meet, competition by competition: standings, leaders, needs, what is decided."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

from resultsgen.live.contests import Contest, all_around, apparatus, teams
from resultsgen.live.decided import Bound, bound, chances, field, prospects, ranges
from resultsgen.live.leaders import Leaders, leaders, so_far
from resultsgen.live.leads import lead_changes, leads, longest_reigns
from resultsgen.live.lists import CutChances, GymnastNeeds, RunningList, SessionStandings
from resultsgen.live.progress import Progress
from resultsgen.live.running_needs import gymnast_needs
from resultsgen.live.running_tables import Tables
from resultsgen.live.standings import Standings, in_order, standing, standings
from resultsgen.scoring.people import in_order_of_equals
from resultsgen.scoring.results import CompetitionResults, Results


@lru_cache(maxsize=1)
def running(results: Results) -> dict[str, CompetitionRunning]:
    """Every competition as it runs, by its id; what is asked of it is worked out once.

    Where days are added nothing is told: each day runs by itself.
    """
    return {
        one.competition.id: CompetitionRunning(Tables(results, _what_runs(one)))
        for one in results.competitions
    }


def _what_runs(one: CompetitionResults) -> CompetitionResults:
    """The lists of a competition in which marks come in."""
    if not one.competition.days:
        return one
    return replace(one, all_around=None, by_apparatus={}, team=None)


@dataclass(frozen=True, eq=False)
class CompetitionRunning:
    """One competition while it runs; each part is worked out when it is first asked for."""

    tables: Tables

    @cached_property
    def all_around(self) -> RunningList | None:
        """The all-around, where it is ranked."""
        return self._list(self._all_around) if self._all_around else None

    @cached_property
    def by_apparatus(self) -> dict[str, RunningList]:
        """Each apparatus that is ranked, in its order."""
        return {code: self._list(one) for code, one in self._by_apparatus.items()}

    @cached_property
    def team(self) -> RunningList | None:
        """The teams, where there are any."""
        return self._list(self._teams) if self._teams else None

    @cached_property
    def leaders(self) -> dict[str, Leaders]:
        """Who leads each apparatus, and who has still to go."""
        return {
            code: leaders(one.progress, one.steps, _in_order_of_start(self.tables, one))
            for code, one in self._by_apparatus.items()
        }

    @cached_property
    def needs(self) -> tuple[GymnastNeeds, ...]:
        """What those need who have a mark to come, in order of rotation and start."""
        lists = (self._all_around, *self._by_apparatus.values())
        highest = self.bound.mark if self.bound else None
        return gymnast_needs(self.tables, [one for one in lists if one], highest)

    @cached_property
    def bound(self) -> Bound | None:
        """What nobody's mark is taken to surpass in this competition."""
        meet = self.tables.one.competition.running
        highest = self.tables.one.rule_set.marks.highest
        return bound(highest, meet.highest, self.tables.best, meet.allowance)

    @cached_property
    def _all_around(self) -> Contest | None:
        return all_around(self.tables)

    @cached_property
    def _by_apparatus(self) -> dict[str, Contest]:
        return {code: apparatus(self.tables, code) for code in self.tables.one.by_apparatus}

    @cached_property
    def _teams(self) -> Contest | None:
        return teams(self.tables)

    @property
    def contests(self) -> tuple[Contest, ...]:
        """Apparatus, all-around, teams: what the competition ranks."""
        found = (*self._by_apparatus.values(), self._all_around, self._teams)
        return tuple(one for one in found if one)

    def _list(self, one: Contest) -> RunningList:
        now = RunningList(
            kind=one.kind,
            apparatus=one.apparatus,
            now=_as_listed(self.tables, one, standing(one.progress, one.steps)),
            so_far=so_far(one.progress),
            sessions=() if one.kind == "apparatus" else _sessions(self.tables, one),
            bound=self.bound,
            prospects=(),
            cuts=(),
        )
        if self.bound is None:
            return now
        found = ranges(one.progress, self.bound)
        these = field(found, one.progress, one.steps, joined=one.joined)
        cuts = tuple(CutChances(name, chances(these, goal)) for name, goal in one.cuts.items())
        return replace(now, prospects=prospects(these), cuts=cuts)


def _sessions(tables: Tables, one: Contest) -> tuple[SessionStandings, ...]:
    """The list of each session by itself: what its rotations have to do with one another.

    A team belongs to a session if all its gymnasts are in it. The sessions of the roster are
    those of the qualification; a final is one session.
    """
    if tables.one.competition.entered_from or tables.one.competition.starters:
        return (_session(tables, "", one.progress, one),)
    found: dict[str, list[int]] = {}
    for key in one.progress.marks.index:
        sessions = {tables.people[member].session for member in _gymnasts(tables, one, key)}
        if len(sessions) == 1:
            found.setdefault(sessions.pop(), []).append(key)
    return tuple(
        _session(tables, session, one.progress.only(found[session]), one)
        for session in sorted(found)
    )


def _gymnasts(tables: Tables, one: Contest, key: int) -> tuple[int, ...]:
    """The gymnasts behind a row of a list: the gymnast, or those of the team."""
    if one.kind != "team" or tables.one.team is None:
        return (key,)
    teams = tables.one.team.lines
    return tuple(who.key for line in teams if line.key == key for who in line.of.gymnasts)


def _as_listed(tables: Tables, one: Contest, found: Standings) -> Standings:
    """A standing with its equals as the lists print them; teams stand by name."""
    if one.kind == "team":
        return found
    return in_order(found, list(in_order_of_equals(tables.one.equals, tables.people)))


def _session(tables: Tables, name: str, progress: Progress, one: Contest) -> SessionStandings:
    found = standings(progress, one.steps)
    after = tuple(_as_listed(tables, one, each) for each in found)
    lead = leads(after)
    return SessionStandings(name, after, lead, lead_changes(lead), longest_reigns(lead))


def _in_order_of_start(tables: Tables, one: Contest) -> list[int]:
    entered = set(one.progress.marks.index)
    keys = [key for key in tables.people if key in entered]
    return sorted(keys, key=lambda key: tables.turn(key, one.progress.parts[0]))
