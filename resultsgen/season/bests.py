"""Bests lists and records of a season: marks that compare, the highest first, or as time went."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Iterator, Sequence
from functools import lru_cache
from itertools import accumulate, chain, groupby
from typing import NamedTuple

from resultsgen.meet.names import DISCIPLINES
from resultsgen.season.facts import ALL_AROUND, KEY, Achieved, AlikeMarks
from resultsgen.season.season import Career, Season


class Comparable(NamedTuple):
    """Marks that may stand in one list."""

    discipline: str
    division: str
    """Empty: of all divisions."""
    list: str
    parts: tuple[str, ...]
    rules: str


class BestLine(NamedTuple):
    """A gymnast in a bests list, with her highest mark, the first time that she made it."""

    place: int
    career: Career
    best: Achieved


class BestsList(NamedTuple):
    """One row per gymnast, the highest mark first; equal marks share the place."""

    of: Comparable
    lines: tuple[BestLine, ...]


class RecordSet(NamedTuple):
    """A record as it was set: higher than all before. Several, if equal marks set it on one day."""

    of: Comparable
    marks: tuple[Achieved, ...]
    before: int | None
    """The record until then; None: the first."""


def comparable(one: Achieved | AlikeMarks, season: Season, *, division: bool) -> Comparable:
    """With which marks it compares."""
    rules = season.rules.get(one.rules, one.rules)
    own = one.division if division else ""
    return Comparable(one.discipline, own, one.list, one.parts, rules)


@lru_cache(maxsize=2)
def told_by_year(season: Season) -> dict[Comparable, dict[int, dict[str, list[str]]]]:
    """What tells the marks of each list from others: for each year, meet by meet."""
    found: dict[Comparable, dict[int, dict[str, list[str]]]] = {}
    for of, lists in comparables(season).items():
        years = found[of] = {}
        for meet, alike in lists:
            for year, told in season.facts.made[meet].by_list[alike].told.items():
                years.setdefault(year, {}).setdefault(meet, []).append(told)
    return found


Lists = list[tuple[str, AlikeMarks]]
"""Lists of meets, in order of time."""


@lru_cache(maxsize=2)
def comparables(season: Season) -> dict[Comparable, Lists]:
    """Marks of all divisions, and where there are several, of each: the lists that have them."""
    found: dict[Comparable, Lists] = defaultdict(list)
    for meet, made in season.facts.made.items():
        for alike in made.by_list:
            for key in {comparable(alike, season, division=each) for each in (False, True)}:
                found[key].append((meet, alike))
    divisions: dict[Comparable, set[str]] = defaultdict(set)
    for key in found:
        if key.division:
            divisions[key._replace(division="")].add(key.division)
    once = {
        key: lists
        for key, lists in found.items()
        if not key.division or len(divisions[key._replace(division="")]) > 1
        or len(lists) < len(found[key._replace(division="")])
    }  # fmt: skip
    ordered = sorted(once, key=lambda key: (*key[:2], order(key, season), *key[3:]))
    return {key: once[key] for key in ordered}


def made_in(of: Comparable, season: Season, meets: Container[str]) -> list[Achieved]:
    """The marks of a list at these meets, in order of time and without guests."""
    made = season.facts.made
    each = (made[meet].of(alike) for meet, alike in comparables(season)[of] if meet in meets)
    return sorted((one for held in each for one in held if not one.guest), key=KEY)


@lru_cache(maxsize=2)
def every_mark(of: Comparable, season: Season) -> list[Achieved]:
    """All of them."""
    return made_in(of, season, season.facts.made)


@lru_cache(maxsize=100)
def tops(of: Comparable, season: Season) -> list[Achieved]:
    """The highest marks of a list at each meet and on each day of it, in order of time."""
    made, lists = season.facts.made, comparables(season)[of]
    each = (made[meet].by_list[alike].tops for meet, alike in lists)
    return sorted(chain.from_iterable(each), key=KEY)


def gymnasts_in(of: Comparable, season: Season) -> int:
    """How many are in a list."""
    made, number = season.facts.made, season.number
    return len(set[int]().union(*(
        map(number[meet].__getitem__, made[meet].by_list[alike].entries)
        for meet, alike in comparables(season)[of]
    )))  # fmt: skip


def order(of: Comparable, season: Season) -> int:
    """The all-around, then each apparatus in the order of its discipline."""
    usual = DISCIPLINES.get(of.discipline, ())
    return (ALL_AROUND, *usual, *season.facts.apparatus).index(of.list)


@lru_cache(maxsize=2)
def bests_lists(season: Season) -> tuple[BestsList, ...]:
    """Every bests list of the season."""
    return tuple(bests_of(of, season) for of in comparables(season))


@lru_cache(maxsize=100)
def bests_of(of: Comparable, season: Season) -> BestsList:
    """One of them."""
    return BestsList(of, best_lines(every_mark(of, season), season))


def bests_of_year(season: Season, of: Comparable, year: int) -> BestsList:
    """A bests list of one year in which there are marks of it."""
    meets = told_by_year(season)[of][year]
    made = [one for one in made_in(of, season, meets) if one.day.year == year]
    return BestsList(of, best_lines(made, season))


def best_lines(made: list[Achieved], season: Season) -> tuple[BestLine, ...]:
    """The best of each gymnast among marks that compare and are in order of time."""
    best: dict[int, Achieved] = {}
    numbers, whose = season.number, season.whose
    for one in sorted(made, key=lambda one: one.mark, reverse=True):
        best.setdefault(numbers[one.meet][one.entry], one)  # Of equal marks the first stays.
    places: dict[int, int] = {}
    return tuple(
        BestLine(places.setdefault(one.mark, number), whose[one.meet, one.entry], one)
        for number, one in enumerate(best.values(), start=1)
    )


@lru_cache(maxsize=2)
def records(season: Season) -> tuple[RecordSet, ...]:
    """Each record as it was set and broken, list by list, in order of time.

    Of one day it is not known what came first: the highest mark of the day counts.
    """
    return tuple(one for of in comparables(season) for one in as_set(of, tops(of, season)))


def as_set(of: Comparable, made: Sequence[Achieved]) -> Iterator[RecordSet]:
    """The records among marks in order of time, of which none but the highest of a day matter."""
    tops = accumulate((one.mark for one in made), max)
    rising = (one for one, top in zip(made, tops, strict=True) if one.mark == top)
    highest: int | None = None
    for _, day in groupby(rising, key=lambda one: one.day):
        marks = tuple(day)
        top = marks[-1].mark
        if highest is None or top > highest:
            yield RecordSet(of, tuple(one for one in marks if one.mark == top), highest)
            highest = top
