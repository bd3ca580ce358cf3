"""What is worth telling of a list: each fact with the numbers it rests on, and no words.

A list that is complete has winners, close finishes, climbs and sweeps; a running one has leaders
only. All follow from the places and marks; bests are compared with a table that the meet gives.
Source: common practice of reports and announcements.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import pandas as pd

from resultsgen.live.goals import MEDALS
from resultsgen.live.progress import plain
from resultsgen.live.standings import Standing, Standings


@dataclass(frozen=True)
class Win:
    """Who won, alone or shared, and how far ahead of the next place (None: there is none)."""

    keys: tuple[int, ...]
    total: int
    margin: int | None
    runners_up: tuple[int, ...]


@dataclass(frozen=True)
class Climb:
    """Somebody who gained most places: from one rotation, or one phase, to a later one.

    `before` and `after` are rotations; both 0 where two lists are compared.
    """

    key: int
    place_before: int
    place_after: int
    before: int = 0
    after: int = 0
    session: str = ""
    """The places are those of one session of several."""

    @property
    def gained(self) -> int:
        """How many places better."""
        return self.place_before - self.place_after


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


@dataclass(frozen=True)
class BestMark:
    """The highest mark on an apparatus, and all who made it."""

    apparatus: str
    keys: tuple[int, ...]
    mark: int


Record = Literal["season", "personal", "meet"]


@dataclass(frozen=True)
class Best:
    """A mark (or total, with no apparatus) that beats or equals the best so far."""

    record: Record
    key: int
    apparatus: str
    mark: int
    best_so_far: int

    @property
    def equalled(self) -> bool:
        """Level with the best, not above."""
        return self.mark == self.best_so_far


def win(lines: Sequence[Standing]) -> Win | None:
    """The winners of a list in order of place; None where nobody is placed."""
    first = [line for line in lines if line.place == 1]
    if not first:
        return None
    second = len(first) + 1
    return Win(
        tuple(line.key for line in first),
        first[0].total,
        first[0].ahead_of_next,
        tuple(line.key for line in lines if line.place == second),
    )


def climbs_by_rotation(found: Sequence[Standings]) -> tuple[Climb, ...]:
    """Those who gained most places from one rotation to the next, of those compared both times."""
    return _greatest(
        Climb(line.key, line.place + line.moved, line.place, then.rotation, now.rotation)
        for then, now in pairwise(found)
        if then.level and now.level
        for line in now.leading
        if line.moved
    )


def climbs(before: Mapping[int, int], after: Mapping[int, int]) -> tuple[Climb, ...]:
    """Those who gained most places from one list to another, as from qualification to final.

    Both places count only those who are in both lists, as a final has fewer gymnasts.
    """
    both = sorted(before.keys() & after.keys())
    return _greatest(
        Climb(key, _place_among(both, before, key), _place_among(both, after, key)) for key in both
    )


def _place_among(keys: Sequence[int], places: Mapping[int, int], own: int) -> int:
    return 1 + sum(places[key] < places[own] for key in keys)


def _greatest(found: Iterator[Climb]) -> tuple[Climb, ...]:
    up = [one for one in found if one.gained > 0]
    most = max((one.gained for one in up), default=0)
    best = (one for one in up if one.gained == most)
    return tuple(sorted(best, key=lambda one: (one.after, one.place_after, one.key)))


def sweep(lines: Sequence[Standing], bodies: Mapping[int, str]) -> Sweep | None:
    """One club or federation on all medal places; those shared count, and three are needed."""
    medals = [line.key for line in lines if line.place <= MEDALS]
    names = {bodies.get(key, "") for key in medals}
    if len(medals) < MEDALS or len(names) != 1 or "" in names:
        return None
    return Sweep(names.pop(), tuple(medals))


def all_apparatus(lists: Mapping[str, Sequence[Standing]]) -> tuple[AllApparatus, ...]:
    """Who is first on every one of at least two apparatus."""
    firsts = {part: [one.key for one in lines if one.place == 1] for part, lines in lists.items()}
    if len(firsts) < 2:
        return ()
    everywhere = sorted(set.intersection(*(set(keys) for keys in firsts.values())))
    return tuple(
        AllApparatus(
            key, tuple(firsts), tuple(part for part, keys in firsts.items() if len(keys) > 1)
        )
        for key in everywhere
    )


def best_marks(marks: pd.DataFrame) -> tuple[BestMark, ...]:
    """The highest mark of each column, of all who performed, guests included."""
    found = []
    for part in marks.columns:
        column = plain(marks[part])
        if column:
            best = max(column.values())
            keys = tuple(sorted(key for key, mark in column.items() if mark == best))
            found.append(BestMark(str(part), keys, best))
    return tuple(found)


@dataclass(frozen=True)
class BestSoFar:
    """One row of the table of bests; a record of the meet has no gymnast, a total no apparatus."""

    record: Record
    key: int | None
    apparatus: str
    mark: int


def bests(marks: Mapping[str, Mapping[int, int]], table: Sequence[BestSoFar]) -> tuple[Best, ...]:
    """The bests that are beaten or equalled; *marks* by apparatus and gymnast, '' for the total.

    Of a record of the meet only the highest mark counts, and all who made it.
    """
    found = []
    for row in table:
        made = marks.get(row.apparatus, {})
        highest = max(made.values(), default=-1)
        for key, mark in sorted(made.items()):
            own = row.key == key or (row.key is None and mark == highest)
            if own and mark >= row.mark:
                found.append(Best(row.record, key, row.apparatus, mark, row.mark))
    return tuple(found)
