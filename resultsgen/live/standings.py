"""How it stands after each rotation, who leads, and who led how long.

Like is compared with like: places count those who are over with equally many apparatus; the
others form a group of their own ("after 3"). Totals tie as the rules of the list say, applied to
the parts there are. Movement counts only those who were compared both times. Only rotations after
which everybody has done as many apparatus have one leader; who draws level with the leader is in
front too. Source: common practice, as squads are on different apparatus.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import groupby, pairwise
from typing import NamedTuple

from resultsgen.files.once import Once
from resultsgen.live.progress import LiveLine, Progress
from resultsgen.rules.criteria import Criterion
from resultsgen.rules.placings import placings
from resultsgen.scoring.ranking import Ranking


class Standing(NamedTuple):
    """One gymnast or team; margins in thousandths."""

    key: int
    done: int
    """Over with so many apparatus; the place is among those with as many, or by what there is."""
    place: int
    total: int
    behind_first: int
    behind_next: int | None
    """Behind the next better place; None for the first."""
    ahead_of_next: int | None
    """Ahead of the next worse place; None for the last."""
    before: int | None = None
    """The place after the rotation before; None where there was none."""
    moved: int | None = None
    """Places gained (below zero: lost) among those compared now and then."""


@dataclass(frozen=True)
class Standings:
    """A list after one rotation: groups of equally many apparatus done, the most first."""

    rotation: int
    """0: as it stands now, whatever the rotation."""
    groups: tuple[tuple[Standing, ...], ...]
    to_come: int
    """How many marks of this rotation and the ones before are still missing."""
    level: bool
    """All who can take a place have done as many apparatus."""

    @property
    def leading(self) -> tuple[Standing, ...]:
        """Those who have done most, in order of place."""
        return self.groups[0] if self.groups else ()

    @property
    def first(self) -> tuple[int, ...]:
        """The keys of those in front."""
        return tuple(line.key for line in self.leading if line.place == 1)

    def of(self, key: int) -> Standing | None:
        """Where one gymnast or team stands."""
        return next((line for group in self.groups for line in group if line.key == key), None)


def standings(progress: Progress, steps: tuple[Criterion, ...]) -> tuple[Standings, ...]:
    """The standing after each rotation that has a mark, each compared with the one before.

    There is none while only guests, or those who are out, have a mark.
    """
    with_mark = {
        part.rotation
        for line in progress.lines.values()
        for part in line.parts
        if part.rotation and part.mark is not None
    }
    found: list[Standings] = []
    for rotation in sorted(with_mark):
        before = found[-1] if found else None
        after = standing(progress.after(rotation), steps, rotation, before)
        found += [after] if after.groups else []
    return tuple(found)


def standing(
    progress: Progress,
    steps: tuple[Criterion, ...],
    rotation: int = 0,
    before: Standings | None = None,
) -> Standings:
    """The standing as it is, with what it was before."""
    by_done: dict[int, list[LiveLine]] = {}
    for key in progress.totals:
        by_done.setdefault(progress.done[key], []).append(progress.lines[key])
    groups = tuple(
        _group(progress, by_done[done], steps, before) for done in sorted(by_done, reverse=True)
    )
    due = sum(
        part.rotation is not None and part.rotation <= rotation and not part.over
        for line in progress.in_it.values()
        for part in line.parts
    )
    return Standings(rotation, groups, due, progress.level)


def in_order(found: Standings, stands: Mapping[int, int]) -> Standings:
    """The same, with those who share a place as they stand among equals."""
    groups = (
        sorted(group, key=lambda line: (line.place, stands[line.key])) for group in found.groups
    )
    return replace(found, groups=tuple(tuple(group) for group in groups))


def _group(
    progress: Progress,
    lines: list[LiveLine],
    steps: tuple[Criterion, ...],
    before: Standings | None,
) -> tuple[Standing, ...]:
    """Those with equally many parts, in order of place; those who share one by key."""
    places = placings(progress.compared(lines), steps)
    placed = sorted((place or 0, line.key) for line, place in zip(lines, places, strict=True))
    rows = [(place, key, progress.done[key], progress.totals[key]) for place, key in placed]
    return with_margins(rows, _moved(placed, before) if before else None)


def with_margins(
    placed: Sequence[tuple[int, int, int, int]],
    moved: Mapping[int, tuple[int, int | None]] | None = None,
) -> tuple[Standing, ...]:
    """Places, keys, parts done and totals, in order of place, with the margins between them.

    *moved* holds the place before and the places gained since, by key.
    """
    totals = [next(lines)[3] for _, lines in groupby(placed, key=lambda line: line[0])]
    found, number, last = [], -1, 0
    for place, key, done, total in placed:
        number, last = number + (place != last), place
        better = totals[number - 1] - total if number else None
        worse = total - totals[number + 1] if number + 1 < len(totals) else None
        before, gained = moved.get(key, (None, None)) if moved else (None, None)
        first = totals[0] - total
        found.append(Standing(key, done, place, total, first, better, worse, before, gained))
    return tuple(found)


def _placed_in(ranking: Ranking, below: bool) -> tuple[Standing, ...]:
    return with_margins(
        [
            (line.place, line.key, line.done, line.total)
            for line in ranking.lines
            if line.place is not None and line.total is not None and line.below == below
        ]
    )


_placed = Once(_placed_in, most=2**9)


def placed_in(ranking: Ranking, *, below: bool = False) -> tuple[Standing, ...]:
    """The places of a list with the margins between them.

    One vault, placed *below* those with two, is in no margin with an average.
    """
    return _placed(ranking, below)


def by_done(ranking: Ranking) -> tuple[tuple[Standing, ...], ...]:
    """Those who can take a place, by what there is, in groups of equally many marks done."""
    lines = [line for line in ranking.lines if line.so_far is not None and not line.status]
    lines = [line for line in lines if line.kind == "team" or not line.gymnast.guest]
    lines.sort(key=lambda line: (-line.done, line.place or 0))
    groups = (list(group) for _, group in groupby(lines, key=lambda line: line.done))
    return tuple(by_sum((line.key, line.done, line.so_far or 0) for line in own) for own in groups)


def teams_so_far(ranking: Ranking) -> tuple[Standing, ...]:
    """The teams by what there is, in the order of the list, as `Ranking.places` has them."""
    return with_margins(
        [
            (place, line.key, line.done, line.so_far or 0)
            for line in ranking.lines
            if (place := ranking.places[line.key]) is not None
        ]
    )


def _moved(
    placed: Sequence[tuple[int, int]], before: Standings
) -> dict[int, tuple[int, int | None]]:
    """The place before of each who had one, and the places gained among those compared."""
    then = {line.key: line for group in before.groups for line in group}
    compared: dict[int, list[tuple[int, int, int]]] = {}
    for place, key in placed:
        if key in then:
            compared.setdefault(then[key].done, []).append((key, then[key].place, place))
    found = {}
    for both in compared.values():
        places_then = sorted(place for _, place, _ in both)
        places_now = sorted(place for _, _, place in both)
        for key, old, now in both:
            gained = bisect_left(places_then, old) - bisect_left(places_now, now)
            found[key] = (old, gained if len(both) > 1 else None)
    return found


@dataclass(frozen=True)
class Cluster:
    """Neighbours in a list and how many thousandths lie between the first and the last."""

    keys: tuple[int, ...]
    first_place: int
    last_place: int
    spread: int


def tightest(group: Sequence[Standing], count: int) -> Cluster | None:
    """The closest *count* neighbours of a group, the best placed of equally close ones.

    None where the group has fewer.
    """
    found = [_cluster(group[start : start + count]) for start in range(len(group) - count + 1)]
    return min(found, key=lambda cluster: cluster.spread, default=None)


def within(group: Sequence[Standing], spread: int) -> Cluster | None:
    """All from the first on who are not further behind than this; None: the first is alone."""
    close = [line for line in group if line.behind_first <= spread]
    return _cluster(close) if len(close) > 1 else None


def _cluster(lines: Sequence[Standing]) -> Cluster:
    keys = tuple(line.key for line in lines)
    return Cluster(keys, lines[0].place, lines[-1].place, lines[0].total - lines[-1].total)


@dataclass(frozen=True)
class Lead:
    """Who leads after a rotation after which all have done as many apparatus."""

    rotation: int
    keys: tuple[int, ...]
    margin: int | None
    """Ahead of the next place; None where there is none."""


@dataclass(frozen=True)
class Reign:
    """Rotations without a break after which somebody led, alone or level with others."""

    key: int
    first: int
    last: int
    rotations: int


@dataclass(frozen=True)
class LiveSession:
    """The list of those of one session, after each of its rotations."""

    session: str
    """Empty where the meet has no sessions."""
    standings: tuple[Standings, ...]

    @cached_property
    def leads(self) -> tuple[Lead, ...]:
        """The lead after each rotation that left everybody level; the others have no one leader."""
        return tuple(
            Lead(after.rotation, after.first, after.leading[0].ahead_of_next)
            for after in self.standings
            if after.level
        )

    @property
    def contested(self) -> bool:
        """Several are in it: who is alone leads everywhere."""
        return any(sum(map(len, after.groups)) > 1 for after in self.standings)

    @property
    def always_level(self) -> bool:
        """After every rotation all had done as many apparatus."""
        return len(self.leads) == len(self.standings)

    @property
    def lead_changes(self) -> tuple[Lead, ...]:
        """The leads with somebody in front who was not in front the time before."""
        return tuple(now for then, now in pairwise(self.leads) if {*now.keys} - {*then.keys})

    @property
    def longest_reigns(self) -> tuple[Reign, ...]:
        """Who led after most rotations without a break; several where they are equally long."""
        reigning: dict[int, Reign] = {}
        over: list[Reign] = []
        for lead in self.leads:
            over += [reign for key, reign in reigning.items() if key not in lead.keys]
            began = [reigning.get(key, Reign(key, lead.rotation, 0, 0)) for key in lead.keys]
            reigning = {
                reign.key: replace(reign, last=lead.rotation, rotations=reign.rotations + 1)
                for reign in began
            }
        over += reigning.values()
        most = max((reign.rotations for reign in over), default=0)
        longest = (reign for reign in over if reign.rotations == most)
        return tuple(sorted(longest, key=lambda reign: (reign.first, reign.key)))


def so_far(progress: Progress) -> tuple[Standing, ...]:
    """Everybody who has a mark and can take a place, by the sum of all that there is.

    Marks of a team count here on an apparatus that it is not over with as well.
    """
    sums = {
        line.key: progress.total(line.sum + line.coming.held)
        for line in progress.in_it.values()
        if line.has_mark or line.coming.held
    }
    order = sorted(sums, key=lambda key: (-progress.done[key], key))
    return by_sum((key, progress.done[key], sums[key]) for key in order)


def by_sum(rows: Iterable[tuple[int, int, int]]) -> tuple[Standing, ...]:
    """Keys, parts done and totals in order of the total; equal ones share the place."""
    order = sorted(rows, key=lambda row: -row[2])
    places: dict[int, int] = {}
    for number, (_, _, total) in enumerate(order, 1):
        places.setdefault(total, number)
    return with_margins([(places[row[2]], *row) for row in order])
