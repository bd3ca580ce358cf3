"""What is worth telling of a meet: each fact with the list it is about and the numbers it rests on.

Only lists whose marks are all in have winners, close finishes, ties worth a line, sweeps and
climbs. `NOTABLE` names the kinds in the order in which they are told.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import lru_cache
from itertools import groupby

import pandas as pd

from resultsgen.live import notable as rule
from resultsgen.live.bests import bests
from resultsgen.live.decided_lists import (
    BestOfDay,
    Decided,
    LeadStory,
    Notable,
    decided,
    standings_of,
)
from resultsgen.live.goals import MEDALS
from resultsgen.live.lists import RunningList, SessionStandings
from resultsgen.live.running import running
from resultsgen.live.standings import tightest
from resultsgen.rules.ties import Tie
from resultsgen.scoring.results import CompetitionResults, Ranking, Results

CLOSEST = 5
"""So many of the closest finishes are told."""

FEWEST_GAINED = 3
"""A climb of fewer places is nothing to tell."""


@lru_cache(maxsize=1)
def notable(results: Results) -> tuple[Notable, ...]:
    """Every notable fact, kind by kind, each in the order of the competitions."""
    return tuple(one for find in NOTABLE.values() for one in find(results))


def winners(results: Results) -> Iterator[Notable]:
    """Who won, and by how much."""
    for one in decided(results):
        win = rule.win(one.lines)
        if win and one.won:
            yield one.tell("won", win)


def firsts(results: Results) -> Iterator[Notable]:
    """Who was first in a qualification."""
    for one in decided(results):
        win = rule.win(one.lines)
        if win and not one.won:
            yield one.tell("first", win)


def closest(results: Results) -> Iterator[Notable]:
    """The finals won by least; a shared first place is a tie and told as one."""
    wins = [(one, win) for one in decided(results) if one.won and (win := rule.win(one.lines))]
    close = [(one, win) for one, win in wins if len(win.keys) == 1 and win.margin is not None]
    for one, win in sorted(close, key=lambda pair: pair[1].margin or 0)[:CLOSEST]:
        yield one.tell("close", win)


def medals(results: Results) -> Iterator[Notable]:
    """The lists whose first four are closest together."""
    clusters = [
        (one, cluster)
        for one in decided(results)
        if one.won and (cluster := tightest(one.lines[: MEDALS + 1], MEDALS + 1))
    ]
    for one, cluster in sorted(clusters, key=lambda pair: pair[1].spread)[:CLOSEST]:
        yield one.tell("together", cluster)


def ties(results: Results) -> Iterator[Notable]:
    """Equal totals on a medal place, or on both sides of a cut."""
    for one in decided(results):
        for tie in one.ranking.ties:
            if (one.won and tie.places[0] <= MEDALS) or _parted_by_a_cut(tie, one.ranking):
                yield one.tell("tie", tie)


def _parted_by_a_cut(tie: Tie, ranking: Ranking) -> bool:
    return any(
        len({line.verdict.outcome == "qualified" for line in cut.lines if line.key in tie.keys}) > 1
        for cut in ranking.cuts
    )


def best_of_days(results: Results) -> Iterator[Notable]:
    """The best mark of each day on each apparatus, discipline by discipline."""

    def day_of(one: CompetitionResults) -> tuple[str, str]:
        day = one.competition.day
        return (day.isoformat() if day else "", one.competition.discipline)

    for _, group in groupby(sorted(results.competitions, key=day_of), day_of):
        these = list(group)
        made = {
            (routine.apparatus, who.key, one.competition.id): routine.mark
            for one in these
            for who, routine in sorted(one.own_routines, key=lambda pair: pair[1].mark or 0)
            if routine.mark is not None
        }
        yield from _best_marks(these, made)


def _best_marks(
    these: list[CompetitionResults], made: dict[tuple[str, int, str], int]
) -> Iterator[Notable]:
    """The best of these marks, by apparatus, gymnast and competition."""
    codes = dict.fromkeys(code for one in these for code in one.apparatus)
    for code in codes:
        column = {(key, id): mark for (part, key, id), mark in made.items() if part == code}
        best: dict[int, int] = {}
        for (key, _), mark in column.items():
            best[key] = max(mark, best.get(key, mark))
        table = pd.DataFrame({code: pd.Series(best, dtype="Int64")})
        for one in rule.best_marks(table):
            where = next(id for (key, id), mark in column.items() if mark == one.mark)
            day = these[0].competition.day
            fact = BestOfDay(day, these[0].competition.discipline, one)
            yield Notable("best-of-day", where, code, fact)


def all_apparatus(results: Results) -> Iterator[Notable]:
    """Who was first on every apparatus of a competition."""
    for one in results.competitions:
        lists = {found.name: found.lines for found in decided(results)
                 if found.one is one and found.name in one.by_apparatus}  # fmt: skip
        if len(lists) == len(one.apparatus):
            for fact in rule.all_apparatus(lists):
                yield Notable("everywhere", one.competition.id, "", fact)


def sweeps(results: Results) -> Iterator[Notable]:
    """All medal places of a list taken by one club or one federation, where there are several."""
    for one in decided(results):
        if one.ranking.of_teams or not one.won:
            continue
        people = {line.gymnast.key: line.gymnast for line in one.ranking.lines}
        for bodies in (
            {key: who.club for key, who in people.items()},
            {key: who.federation for key, who in people.items()},
        ):
            swept = rule.sweep(one.lines, bodies)
            if swept and len({bodies[line.key] for line in one.lines}) > 1:
                yield one.tell("sweep", swept)
                break


def climbs(results: Results) -> Iterator[Notable]:
    """The biggest climbs: from rotation to rotation, and from qualification to final."""
    found = [
        (one, fact)
        for one in decided(results)
        for fact in (*_by_rotation(one, results), *_from_qualification(one, results))
        if fact.gained >= FEWEST_GAINED
    ]
    for one, fact in sorted(found, key=lambda pair: -pair[1].gained):
        yield one.tell("climb", fact)


def _by_rotation(one: Decided, results: Results) -> Iterator[rule.Climb]:
    """The biggest in each session."""
    sessions = _sessions(one, results)
    for session in sessions:
        name = session.session if len(sessions) > 1 else ""
        for fact in rule.climbs_by_rotation(session.standings):
            yield replace(fact, session=name)


def _sessions(one: Decided, results: Results) -> tuple[SessionStandings, ...]:
    """The sessions of a list; of several, those that have a name to be told by."""
    found: RunningList | None = None
    if one.name in ("all-around", "team"):
        whole = running(results)[one.one.competition.id]
        found = whole.all_around if one.name == "all-around" else whole.team
    sessions = found.sessions if found else ()
    return tuple(session for session in sessions if session.session or len(sessions) == 1)


def _from_qualification(one: Decided, results: Results) -> Iterator[rule.Climb]:
    before = one.one.competition.entered_from
    if before and not one.ranking.of_teams:
        for ranking in results.competition(before).rankings:
            lines = standings_of(ranking.lines)
            if ranking.id == one.ranking.id:
                then = {line.key: line.place for line in lines}
                yield from rule.climbs(then, {line.key: line.place for line in one.lines})


def lead_stories(results: Results) -> Iterator[Notable]:
    """How the lead changed from rotation to rotation, or never did."""
    for one in decided(results):
        for session in _sessions(one, results):
            if len(session.leads) > 1:
                story = LeadStory(
                    session.session,
                    session.leads,
                    session.lead_changes,
                    session.longest_reigns,
                    session.always_level,
                )
                yield one.tell("lead", story)


NOTABLE: dict[str, Callable[[Results], Iterator[Notable]]] = {
    "won": winners,
    "first": firsts,
    "record": bests,
    "tie": ties,
    "close": closest,
    "together": medals,
    "best-of-day": best_of_days,
    "everywhere": all_apparatus,
    "sweep": sweeps,
    "climb": climbs,
    "lead": lead_stories,
}
"""Every kind of fact there is, and who finds it."""
