"""The running meet, competition by competition: standings, leaders, needs, what is decided."""

from __future__ import annotations

from dataclasses import replace

from resultsgen.judging.contests import Contest, contests
from resultsgen.judging.running_needs import gymnast_needs
from resultsgen.judging.running_tables import Tables
from resultsgen.results import Results
from resultsgen.rules.decided import Bound, bound, chances, field, prospects, ranges
from resultsgen.rules.leaders import leaders
from resultsgen.rules.leads import lead_changes, leads, longest_reigns
from resultsgen.rules.progress import Progress
from resultsgen.rules.standings import standing, standings
from resultsgen.running import CompetitionRunning, CutChances, RunningList, SessionStandings


def running(results: Results) -> tuple[CompetitionRunning, ...]:
    """Every competition as it runs, in the order of the meet."""
    return tuple(_competition(Tables(results, one)) for one in results.competitions)


def _competition(tables: Tables) -> CompetitionRunning:
    lists = tuple(contests(tables))
    limit = _bound(tables)
    told = {(one.kind, one.apparatus): _list(tables, one, limit) for one in lists}
    return CompetitionRunning(
        competition=tables.one.competition.id,
        all_around=told.get(("all-around", "")),
        by_apparatus={code: told["apparatus", code] for code in tables.one.by_apparatus},
        team=told.get(("team", "")),
        leaders={
            one.apparatus: leaders(one.progress, one.steps, _in_order_of_start(tables, one))
            for one in lists
            if one.kind == "apparatus"
        },
        needs=gymnast_needs(tables, lists),
    )


def _bound(tables: Tables) -> Bound | None:
    """What nobody's mark is taken to surpass in this competition."""
    meet = tables.one.competition.running
    return bound(tables.one.rule_set.marks.highest, meet.highest, tables.best, meet.allowance)


def _list(tables: Tables, one: Contest, limit: Bound | None) -> RunningList:
    now = RunningList(
        kind=one.kind,
        apparatus=one.apparatus,
        now=standing(one.progress, one.steps),
        sessions=() if one.kind == "apparatus" else _sessions(tables, one),
        bound=limit,
        prospects=(),
        cuts=(),
    )
    if limit is None:
        return now
    these = field(ranges(one.progress, limit, one.marks), one.progress, one.steps)
    cuts = tuple(CutChances(name, chances(these, goal)) for name, goal in one.cuts.items())
    return replace(now, prospects=prospects(these), cuts=cuts)


def _sessions(tables: Tables, one: Contest) -> tuple[SessionStandings, ...]:
    """The list of each session by itself: what its rotations have to do with one another.

    A team belongs to a session if all its gymnasts are in it. The sessions of the roster are
    those of the qualification; a final is one session.
    """
    if tables.one.competition.entered_from or tables.one.competition.starters:
        return (_session("", one.progress, one),)
    found: dict[str, list[int]] = {}
    for key in one.progress.marks.index:
        sessions = {tables.people[member].session for member in _gymnasts(tables, one, key)}
        if len(sessions) == 1:
            found.setdefault(sessions.pop(), []).append(key)
    return tuple(
        _session(session, one.progress.only(found[session]), one) for session in sorted(found)
    )


def _gymnasts(tables: Tables, one: Contest, key: int) -> tuple[int, ...]:
    """The gymnasts behind a row of a list: the gymnast, or those of the team."""
    if one.kind != "team" or tables.one.team is None:
        return (key,)
    teams = tables.one.team.lines
    return tuple(who.gymnast.key for line in teams if line.key == key for who in line.members)


def _session(name: str, progress: Progress, one: Contest) -> SessionStandings:
    after = standings(progress, one.steps)
    lead = leads(after)
    return SessionStandings(name, after, lead, lead_changes(lead), longest_reigns(lead))


def _in_order_of_start(tables: Tables, one: Contest) -> list[int]:
    entered = set(one.progress.marks.index)
    return [key for key in tables.people if key in entered]
