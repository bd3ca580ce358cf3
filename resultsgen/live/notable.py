"""What is worth telling of a meet: each fact with the list it is about and the numbers it rests on.

Only lists whose marks are all in have winners, close finishes, ties worth a line, sweeps and
climbs; bests are compared with a table that the meet gives. `NOTABLE` names the kinds in the order
in which they are told. Source: common practice of reports and announcements.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from itertools import groupby, islice
from typing import Literal

from resultsgen.live.bests import (
    Best,
    BestOfDay,
    MarkMade,
    beaten,
    best_marks,
    counts_for,
    marks_made,
)
from resultsgen.live.climbs import Climb, climbs, climbs_by_rotation
from resultsgen.live.competition import as_it_runs, live
from resultsgen.live.goals import MEDALS
from resultsgen.live.standings import Cluster, LiveSession, Standing, placed_in, tightest
from resultsgen.meet.parts import apparatus_of
from resultsgen.rules.ties import Tie
from resultsgen.scoring.ranking import Ranking
from resultsgen.scoring.results import CompetitionResults, Results

CLOSEST = 5
"""So many of the closest finishes are told."""

FEWEST_GAINED = 3
"""A climb of fewer places is nothing to tell."""


@dataclass(frozen=True)
class Win:
    """Who won, alone or shared, and how far ahead of the next place (None: there is none)."""

    keys: tuple[int, ...]
    total: int
    margin: int | None
    runners_up: tuple[int, ...]


@dataclass(frozen=True)
class Sweep:
    """All medal places of a list are taken by gymnasts of one body."""

    body: str
    keys: tuple[int, ...]


@dataclass(frozen=True)
class AllApparatus:
    """One gymnast is first, alone or shared, on every apparatus of several."""

    key: int
    apparatus: tuple[str, ...]
    shared: tuple[str, ...]
    """Where the first place is shared."""


NotableFact = Win | Cluster | Tie | BestOfDay | AllApparatus | Sweep | Climb | LiveSession | Best


@dataclass(frozen=True)
class Notable:
    """One fact; the list is that of an apparatus, else the all-around or the teams."""

    kind: str
    competition: str
    list: str
    """BB, all-around, team; empty: of the whole competition."""
    fact: NotableFact


def is_won(judged: CompetitionResults, ranking: Ranking) -> bool:
    """Who is first in a list has won; not in a qualification, where a cut leads on."""
    return judged.competition.phase == "final" or not ranking.cuts


@dataclass(frozen=True)
class CompleteList:
    """A list whose marks are all in, and its places as standings."""

    competition: CompetitionResults
    ranking: Ranking
    lines: tuple[Standing, ...]

    @property
    def won(self) -> bool:
        """Its first has won; in a qualification, where a cut leads on, nobody has."""
        return is_won(self.competition, self.ranking)

    def tell(self, kind: str, fact: NotableFact) -> Notable:
        """A fact of this list."""
        return Notable(kind, self.competition.competition.id, self.ranking.id, fact)


@lru_cache(maxsize=1)
def complete_lists(results: Results) -> tuple[CompleteList, ...]:
    """Every list that is complete and in which somebody is placed."""
    return tuple(
        CompleteList(competition, ranking, lines)
        for competition in results.competitions
        for ranking in competition.rankings
        if ranking.to_come == 0 and (lines := placed_in(ranking))
    )


@lru_cache(maxsize=1)
def notable(results: Results) -> tuple[Notable, ...]:
    """Every notable fact, kind by kind, each in the order of the competitions."""
    return tuple(fact for find in NOTABLE.values() for fact in find(results))


def win(lines: Sequence[Standing]) -> Win | None:
    """The winners of a list in order of place; None where nobody is placed."""
    first = [line for line in lines if line.place == 1]
    if not first:
        return None
    second = tuple(line.key for line in lines if line.place == len(first) + 1)
    keys = tuple(line.key for line in first)
    return Win(keys, first[0].total, first[0].ahead_of_next, second)


def wins(results: Results, kind: Literal["won", "first"] = "won") -> Iterator[Notable]:
    """Who won and by how much; or who was first in a qualification."""
    for listed in complete_lists(results):
        found = win(listed.lines)
        if found and listed.won == (kind == "won"):
            yield listed.tell(kind, found)


def closest(results: Results) -> Iterator[Notable]:
    """The finals won by least; a shared first place is a tie and told as one."""
    close = [
        (told.fact.margin, told)
        for told in wins(results)
        if isinstance(told.fact, Win) and len(told.fact.keys) == 1 and told.fact.margin is not None
    ]
    for _, told in sorted(close, key=lambda each: each[0])[:CLOSEST]:
        yield replace(told, kind="close")


def medals(results: Results) -> Iterator[Notable]:
    """The lists whose first four are closest together."""
    clusters = [
        (listed, cluster)
        for listed in complete_lists(results)
        if listed.won and (cluster := tightest(listed.lines[: MEDALS + 1], MEDALS + 1))
    ]
    for listed, cluster in sorted(clusters, key=lambda pair: pair[1].spread)[:CLOSEST]:
        yield listed.tell("together", cluster)


def ties(results: Results) -> Iterator[Notable]:
    """Equal totals on one of the first three places, or on both sides of a cut."""
    for listed in complete_lists(results):
        through = [
            {line.key for line in cut.lines if line.verdict.outcome == "qualified"}
            for cut in listed.ranking.cuts
        ]
        for tie in listed.ranking.ties:
            parted = any(0 < len(keys.intersection(tie.keys)) < len(tie.keys) for keys in through)
            if parted or tie.places[0] <= MEDALS:
                yield listed.tell("tie", tie)


def best_of_days(results: Results) -> Iterator[Notable]:
    """The best mark of each day on each apparatus, discipline by discipline."""

    def day_of(these: CompetitionResults) -> tuple[str, str]:
        day = these.competition.day
        return (day.isoformat() if day else "", these.competition.discipline)

    for _, group in groupby(sorted(results.competitions, key=day_of), day_of):
        these = list(group)
        settings, made = these[0].competition, marks_made(these)
        coming = {
            apparatus_of(part)
            for entries in (live(results)[one.competition.id].entries for one in these)
            for key in entries.people
            for part, _ in entries.to_come(key)
        }
        for code in dict.fromkeys(code for one in these for code in one.apparatus):
            if code in made:
                keys, best, where = best_marks(made[code])
                fact = BestOfDay(settings.day, settings.discipline, keys, best, code in coming)
                yield Notable("best-of-day", where, code, fact)


def all_apparatus(lists: Mapping[str, Sequence[Standing]]) -> tuple[AllApparatus, ...]:
    """Who is first on every one of at least two apparatus."""
    firsts = {
        part: [line.key for line in lines if line.place == 1] for part, lines in lists.items()
    }
    if len(firsts) < 2:
        return ()
    shared = tuple(part for part, keys in firsts.items() if len(keys) > 1)
    everywhere = set.intersection(*(set(keys) for keys in firsts.values()))
    return tuple(AllApparatus(key, tuple(firsts), shared) for key in sorted(everywhere))


def first_everywhere(results: Results) -> Iterator[Notable]:
    """Who was first on every apparatus of a competition."""
    for judged in results.competitions:
        listed = [each for each in complete_lists(results) if each.competition is judged]
        lists = {each.ranking.apparatus: each.lines for each in listed if each.ranking.apparatus}
        if len(lists) == len(judged.apparatus):
            for fact in all_apparatus(lists):
                yield Notable("everywhere", judged.competition.id, "", fact)


def sweep(lines: Sequence[Standing], bodies: Mapping[int, str]) -> Sweep | None:
    """One club or federation on all medal places; those shared count, and three are needed."""
    medals = [line.key for line in lines if line.place <= MEDALS]
    names = {bodies.get(key, "") for key in medals}
    if len(medals) < MEDALS or len(names) != 1 or "" in names:
        return None
    return Sweep(names.pop(), tuple(medals))


def sweeps(results: Results) -> Iterator[Notable]:
    """All medal places of a list taken by one club or one federation, where there are several."""
    for listed in complete_lists(results):
        if listed.won and not listed.ranking.of_teams:
            people = [line.gymnast for line in listed.ranking.lines]
            clubs = {who.key: who.club for who in people}
            federations = {who.key: who.federation for who in people}
            found = (
                swept
                for bodies in (clubs, federations)
                if (swept := sweep(listed.lines, bodies))
                and len({bodies[line.key] for line in listed.lines}) > 1
            )
            yield from (listed.tell("sweep", swept) for swept in islice(found, 1))


def biggest_climbs(results: Results) -> Iterator[Notable]:
    """The biggest climbs: in each session, and from qualification to final."""
    found = []
    for listed in complete_lists(results):
        sessions = _sessions(listed, results)
        for session in sessions:
            name = session.session if len(sessions) > 1 else ""
            found += [
                (listed, replace(climb, session=name))
                for climb in climbs_by_rotation(session.standings)
            ]
        found += [(listed, climb) for climb in _from_qualification(listed, results)]
    found = [(listed, climb) for listed, climb in found if climb.gained >= FEWEST_GAINED]
    for listed, climb in sorted(found, key=lambda pair: -pair[1].gained):
        yield listed.tell("climb", climb)


def _sessions(listed: CompleteList, results: Results) -> tuple[LiveSession, ...]:
    """The sessions of a list; of several, those that have a name to be told by."""
    found = as_it_runs(results, listed.ranking)
    sessions = found.sessions if found else ()
    return tuple(session for session in sessions if session.session or len(sessions) == 1)


def _from_qualification(listed: CompleteList, results: Results) -> tuple[Climb, ...]:
    before = listed.competition.competition.entered_from
    rankings = (
        results.competition(before).rankings if before and not listed.ranking.of_teams else ()
    )
    then = next((ranking for ranking in rankings if ranking.id == listed.ranking.id), None)
    if then is None:
        return ()
    places = {line.key: line.place for line in placed_in(then)}
    return climbs(places, {line.key: line.place for line in listed.lines})


def lead_stories(results: Results) -> Iterator[Notable]:
    """How the lead changed from rotation to rotation, or never did."""
    for listed in complete_lists(results):
        for session in _sessions(listed, results):
            alone = listed.ranking.of_teams and not session.contested
            if len(session.leads) > 1 and not alone:
                yield listed.tell("lead", session)


def bests(results: Results) -> Iterator[Notable]:
    """The bests that were beaten or equalled, each once, with its highest mark of the meet."""
    made = marks_made(results.competitions)
    of_one: dict[tuple[str, int], list[MarkMade]] = {}
    for apparatus, marks in made.items():
        for one in marks:
            of_one.setdefault((apparatus, one[0]), []).append(one)
    highest: dict[tuple[str, str, str], list[MarkMade]] = {}
    for row in results.meet.bests:
        group = (row.apparatus, row.discipline, row.division.casefold())
        if not row.gymnasts and group not in highest:
            marks = [one for one in made.get(row.apparatus, ()) if counts_for(row, one[0], results)]
            top = max((mark for _, mark, _ in marks), default=0)
            highest[group] = [one for one in marks if one[1] == top]
        own = [one for key in row.gymnasts for one in of_one.get((row.apparatus, key), ())]
        for best, where in beaten(row, own if row.gymnasts else highest[group]):
            yield Notable("record", where, row.apparatus or "all-around", best)


NOTABLE: dict[str, Callable[[Results], Iterator[Notable]]] = {
    "won": wins,
    "first": partial(wins, kind="first"),
    "record": bests,
    "tie": ties,
    "close": closest,
    "together": medals,
    "best-of-day": best_of_days,
    "everywhere": first_everywhere,
    "sweep": sweeps,
    "climb": biggest_climbs,
    "lead": lead_stories,
}
"""Every kind of fact there is, and who finds it."""
