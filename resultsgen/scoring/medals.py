"""Medals: the first three places of the finished lists of finals, by club and by federation.

Ties are counted as they are given: two who share the first place have a gold medal each, and there
is no silver. A team has one medal, of the body that all its gymnasts have in common.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from operator import attrgetter
from typing import Literal

from resultsgen.scoring.people import natural
from resultsgen.scoring.ranking import Line, Ranking
from resultsgen.scoring.results import CompetitionResults, Results

PLACES = (1, 2, 3)
"""The places that have a medal: gold, silver, bronze."""

Body = Literal["club", "federation"]
Medals = tuple[int, int, int]
"""How many of gold, silver and bronze."""

BODIES: tuple[Body, ...] = ("club", "federation")


@dataclass(frozen=True, slots=True)
class MedalLine:
    """One club or federation with a medal; equals share the place."""

    place: int
    body: str
    medals: Medals


@dataclass(frozen=True)
class MedalCount:
    """The medals of every club, or of every federation, most gold medals first."""

    by: Body
    lines: tuple[MedalLine, ...]
    of_none: Medals
    """Medals of those who have none, or of a team whose gymnasts have no one in common."""


def finals(results: Results) -> Iterator[tuple[CompetitionResults, Ranking]]:
    """Every list that is awarded, finished or not: those of a qualification are not, nor those of
    a competition of which the meet says so, as of the first of two days that are added."""
    for judged in results.competitions:
        if judged.competition.phase == "final" and judged.competition.medals:
            yield from ((judged, ranking) for ranking in judged.rankings)


def medal_counts(results: Results) -> tuple[MedalCount, ...]:
    """The medals by club and by federation, where anybody on the roster has one."""
    won = [
        line
        for _, ranking in finals(results)
        if ranking.to_come == 0
        for line in ranking.lines
        if line.place in PLACES
    ]
    roster = results.gymnasts.values()
    return tuple(_count(by, won) for by in BODIES if any(map(attrgetter(by), roster)))


def medals_of_clubs(results: Results) -> dict[str, Medals]:
    """The medals of each club that has one."""
    counts = (each for each in medal_counts(results) if each.by == "club")
    return {line.body: line.medals for each in counts for line in each.lines}


def _count(by: Body, won: Iterable[Line]) -> MedalCount:
    found: dict[str, list[int]] = {"": [0, 0, 0]}
    for line in won:
        assert line.place is not None
        found.setdefault(_body(by, line), [0, 0, 0])[PLACES.index(line.place)] += 1
    held = {body: (gold, silver, bronze) for body, (gold, silver, bronze) in found.items()}
    of_none = held.pop("")
    most_first = sorted(held.items(), key=lambda one: ([-n for n in one[1]], natural(one[0])))
    every = [medals for _, medals in most_first]
    lines = (MedalLine(1 + every.index(medals), body, medals) for body, medals in most_first)
    return MedalCount(by, tuple(lines), of_none)


def _body(by: Body, line: Line) -> str:
    """The one club or federation of all who are behind a line; empty where there is no such."""
    bodies = set(map(attrgetter(by), line.of.gymnasts))
    return bodies.pop() if len(bodies) == 1 else ""
