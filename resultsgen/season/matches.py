"""Matches of a league: match points by what decides a match, set points of each apparatus."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from itertools import combinations

from resultsgen.season.criteria import Match, RoundPart, Side
from resultsgen.season.series import Parts, points_by_place
from resultsgen.season.settings import OverMeets
from resultsgen.season.told import ToldCompetition, ToldTeam


def match_parts(held: Iterable[ToldCompetition], settings: OverMeets) -> Parts:
    """What the matches of a round give to each team."""
    played: dict[str, list[Match]] = defaultdict(list)
    totals: dict[str, int] = defaultdict(int)
    for one in held:
        for team in one.team.lines if one.team else ():
            totals[team.name] += team.total or 0
        for match in matches(one, settings):
            for side in match.sides:
                played[side.who].append(match)
    return {
        who: RoundPart(
            None, totals[who], sum((one.side(who).points for one in own), Fraction(0)),
            matches=tuple(own),
        )
        for who, own in played.items()
    }  # fmt: skip


def matches(held: ToldCompetition, settings: OverMeets) -> Iterator[Match]:
    """The matches of a competition: all its teams against each other, or each two."""
    teams = held.team.lines if held.team else ()
    groups = combinations(teams, 2) if settings.pairs else [teams]
    for group in groups:
        if len(group) > 1:
            yield _match(held.id, group, settings)


def _match(competition: str, teams: tuple[ToldTeam, ...], settings: OverMeets) -> Match:
    apparatus = tuple(one.apparatus for one in teams[0].apparatus)
    marks = {
        team.name: tuple(dict((one.apparatus, one.total) for one in team.apparatus).get(code)
                         for code in apparatus)
        for team in teams
    }  # fmt: skip
    sets: dict[str, Fraction] = defaultdict(Fraction)
    for number in range(len(apparatus)):
        there = {who: own[number] for who, own in marks.items()}
        for who, points in _by_value(there, settings.sets).items():
            sets[who] += points
    finished = {team.name: team.total for team in teams if team.place is not None}
    decides: Mapping[str, int | Fraction | None] = finished
    if settings.won_by == "sets":
        decides = {who: sets[who] for who in finished}
    given = _by_value(decides, settings.match_points)
    if settings.draw is not None and len(teams) == len(finished) == 2 and level(decides):
        given = dict.fromkeys(given, Fraction(settings.draw))
    sides = [
        Side(team.name, finished.get(team.name), given.get(team.name, Fraction(0)),
             sets[team.name], marks[team.name])
        for team in teams
    ]  # fmt: skip
    sides.sort(key=lambda side: (-side.points, -(side.total or 0), side.who))
    return Match(competition, apparatus, tuple(sides))


def level(values: Mapping[str, object]) -> bool:
    """All have the same."""
    return len(set(values.values())) == 1


def _by_value(
    values: Mapping[str, int | Fraction | None], points: tuple[int, ...]
) -> dict[str, Fraction]:
    """The points of each who has a value: the highest first, equals share."""
    known = {who: value for who, value in values.items() if value is not None}
    places = {
        who: 1 + sum(other > value for other in known.values()) for who, value in known.items()
    }
    return points_by_place(places, points, each=False)
