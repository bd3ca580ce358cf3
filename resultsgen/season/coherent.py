"""What cannot be in results that hang together: where it stands, and what is wrong with it."""

from __future__ import annotations

import datetime as dt
from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterator, Mapping

from resultsgen.meet.marks import show_mark
from resultsgen.season.told import (
    ToldCompetition,
    ToldLine,
    ToldRanking,
    ToldResults,
    ToldTeam,
)

Wrong = tuple[tuple[str | int, ...], str]
"""The way to it, and the words."""


def incoherent(told: ToldResults) -> Iterator[Wrong]:
    """All that contradicts itself in the results of a meet."""
    meet = told.meet
    if (meet.first_day or dt.date.min) > (meet.last_day or dt.date.max):
        yield ("meet", "last_day"), "the last day is before the first"
    if len({one.entry for one in told.gymnasts}) < len(told.gymnasts):
        yield ("gymnasts",), "two gymnasts have one entry"
    by_id = {one.id: one for one in told.competitions}
    if len(by_id) < len(told.competitions):
        yield ("competitions",), "two competitions have one id"
    for number, held in enumerate(told.competitions):
        twice = tuple(_twice(held))
        for path, why in (
            *_links(held, by_id), *_day(held, told), *_marks(held, told, by_id),
            *_totals(held, told), *(twice or _places(held)),
        ):  # fmt: skip
            yield ("competitions", number, *path), why


def _links(held: ToldCompetition, by_id: Mapping[str, ToldCompetition]) -> Iterator[Wrong]:
    """Marks are those of competitions that have their own; a meet folder is held to the same."""
    for key, named in (("marks_of", held.marks_of), ("days", held.days)):
        for id in named:
            other = by_id.get(id)
            if other is None or other.days or (key == "marks_of" and other.marks_of):
                yield (key,), f"{id} has no marks that could count in {held.id}"


def _day(held: ToldCompetition, told: ToldResults) -> Iterator[Wrong]:
    first, last = told.meet.first_day, told.meet.last_day
    if held.day and first and last and not first <= held.day <= last:
        why = f"{held.day} is none of the days of the meet, {first} to {last}"
        yield ("day",), why


def _marks(
    held: ToldCompetition, told: ToldResults, by_id: Mapping[str, ToldCompetition]
) -> Iterator[Wrong]:
    """A routine has one mark in all lists, but for days that are added; a total is what counts."""
    entries = {one.entry for one in told.gymnasts}
    codes = {one.code for one in told.apparatus}
    before = [by_id[id] for id in held.marks_of if id in by_id]
    marks = {key: mark for one in before for line in one.lines for key, mark in _made(line)}
    for path, line in _placed(held):
        if line.entry not in entries:
            yield (*path, "entry"), "a list names somebody who is not among the gymnasts"
        for key, mark in _made(line):
            if key[1] not in codes:
                yield (*path, "routines"), f"{key[1]} is not among the apparatus"
            if not held.days and marks.setdefault(key, mark) != mark:
                other, own = show_mark(marks[key]) or "no mark", show_mark(mark) or "no mark"
                why = f"one routine on {key[1]} has {other} in one list and {own} here"
                yield (*path, "routines"), why


def _totals(held: ToldCompetition, told: ToldResults) -> Iterator[Wrong]:
    codes = {"", *(one.code for one in told.apparatus)}
    for path, ranking in _rankings(held):
        if ranking.apparatus not in codes:
            yield (*path, "apparatus"), f"{ranking.apparatus} is not among the apparatus"
        for number, line in enumerate(ranking.lines):
            if why := _no_total(line, ranking):
                yield (*path, "lines", number, "total"), why
    for number, team in enumerate(held.team.lines if held.team else ()):
        if why := _no_team_total(team):
            yield ("team", "lines", number, "total"), why


def _twice(held: ToldCompetition) -> Iterator[Wrong]:
    """A list has everybody once, and of each apparatus there is one; a team, once for each day."""
    stood: Counter[object] = Counter()
    for path, ranking in _rankings(held):
        yield from _again(stood, path[0], ranking.apparatus, (*path, "apparatus"))
        for number, line in enumerate(ranking.lines):
            yield from _again(stood, path, line.entry, (*path, "lines", number, "entry"))
    for path, line in _placed(held):
        for key, many in Counter(key for key, _ in _made(line)).items():
            if many > 1:
                yield (*path, "routines"), f"one routine on {key[1]} stands twice in one line"
    for at, team in enumerate(held.team.lines if held.team else ()):
        path = ("team", "lines", at)
        yield from _again(stood, "team", team.name, (*path, "name"))
        for number, line in enumerate(team.members):
            where = (*path, "members", number, "entry")
            yield from _again(stood, "members", line.entry, where, len(held.days) or 1)


def _again(
    stood: Counter[object], of: object, who: object, path: tuple[str | int, ...], most: int = 1
) -> Iterator[Wrong]:
    stood[of, who] += 1
    if stood[of, who] > most:
        yield path, "stands in this list before"


Standing = tuple[int | None, int | None, bool]
"""Place, total, and whether it stands below all others, by one vault."""


def _places(held: ToldCompetition) -> Iterator[Wrong]:
    """A place follows the total: one more than are ahead, and of equals any that they share."""
    for path, ranking in _rankings(held):
        two = len(ranking.parts) > 1 and ranking.apparatus and not ranking.terms
        yield from _misplaced(
            path,
            [
                (line.place, line.total, bool(two and len(_marks_of(line)) < 2))
                for line in ranking.lines
            ],
        )
    if held.team:
        yield from _misplaced(("team",), [(one.place, one.total, False) for one in held.team.lines])


def _misplaced(path: tuple[str | int, ...], lines: list[Standing]) -> Iterator[Wrong]:
    places = sorted(place for place, _, _ in lines if place)
    order = sorted((below, -total) for place, total, below in lines if place and total is not None)
    for number, (place, total, below) in enumerate(lines):
        where = (*path, "lines", number, "place")
        if place and total is None:
            yield where, f"{place} is a place without a total"
        elif place and total is not None:
            best, last = (
                bisect_left(order, (below, -total)) + 1,
                bisect_right(order, (below, -total)),
            )
            better = bisect_left(places, place)
            if not best <= place <= last:
                gives = f"{best} to {last}" if best < last else best
                yield where, f"{place} is no place for {show_mark(total)} here: it gives {gives}"
            elif place != better + 1:
                yield where, f"{place} is no place where {better} have a better one"


def _marks_of(line: ToldLine) -> list[int]:
    return [one.mark for one in line.routines if one and one.mark is not None]


def _made(line: ToldLine) -> Iterator[tuple[tuple[int, str, int], int | None]]:
    for one in line.routines:
        if one:
            yield (line.entry, one.apparatus, one.vault), one.mark


def _rankings(held: ToldCompetition) -> Iterator[tuple[tuple[str | int, ...], ToldRanking]]:
    if held.all_around:
        yield ("all_around",), held.all_around
    for number, ranking in enumerate(held.by_apparatus):
        yield ("by_apparatus", number), ranking


def _placed(held: ToldCompetition) -> Iterator[tuple[tuple[str | int, ...], ToldLine]]:
    """Every line with the way to it."""
    for path, ranking in _rankings(held):
        for number, line in enumerate(ranking.lines):
            yield (*path, "lines", number), line
    for at, team in enumerate(held.team.lines if held.team else ()):
        for number, line in enumerate(team.members):
            yield ("team", "lines", at, "members", number), line
    for number, line in enumerate(held.not_ranked):
        yield ("not_ranked", number), line


def _no_total(line: ToldLine, ranking: ToldRanking) -> str:
    """Why a total is none of the marks beside it; of two vaults it is the average, cut or not."""
    made = _marks_of(line)
    if line.total is None or ranking.terms:
        return ""
    if ranking.apparatus and len(ranking.parts) > 1:
        fits = line.total in made if len(made) < 2 else 0 <= line.total * 2 - sum(made) + 1 <= 2
        return "" if fits else f"{show_mark(line.total)} is no average of its vaults"
    added = sum(made)
    return "" if added == line.total else _other_sum(line.total, added)


def _no_team_total(team: ToldTeam) -> str:
    made = [one.total for one in team.apparatus if one.total is not None]
    added = sum(made) - team.penalty
    return "" if team.total is None or team.total == added else _other_sum(team.total, added)


def _other_sum(total: int, added: int) -> str:
    return f"{show_mark(total)} is not the sum of what counts, {show_mark(added)}"
