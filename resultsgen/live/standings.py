"""How it stands after each rotation: like is compared with like.

Places count those who are over with equally many apparatus; the others form a group of their own
("after 3"). Totals tie as the rules of the list say, applied to the parts there are. Movement
counts only those who were compared both times. Source: common practice, as squads are on
different apparatus (`live/rotations.py`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from resultsgen.live.old_tables import placings
from resultsgen.live.progress import NEVER, Progress, plain
from resultsgen.rules.criteria import Criterion


@dataclass(frozen=True)
class Standing:
    """One gymnast or team; margins in thousandths."""

    key: int
    done: int
    """Over with so many apparatus; the place is among those with as many."""
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

    def of(self, key: int) -> Standing | None:
        """Where one gymnast or team stands."""
        return next((one for group in self.groups for one in group if one.key == key), None)


def standings(progress: Progress, steps: tuple[Criterion, ...]) -> tuple[Standings, ...]:
    """The standing after each rotation that has a mark, each compared with the one before.

    There is none while only guests, or those who are out, have a mark.
    """
    known = progress.rotation.where(progress.marks.notna())
    found: list[Standings] = []
    for rotation in sorted({*known.to_numpy(dtype="int64", na_value=0).ravel().tolist()} - {0}):
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
    by_done: dict[int, list[int]] = {}
    for key in progress.totals:
        by_done.setdefault(progress.done[key], []).append(key)
    groups = tuple(
        _moved(_group(progress, by_done[done], steps), before) for done in sorted(by_done)[::-1]
    )
    due = progress.rotation.to_numpy(dtype="int64", na_value=NEVER) <= rotation
    in_it = progress.marks.index.isin(progress.in_it)
    to_come = int((due & ~progress.over.to_numpy())[in_it].sum())
    level = len({progress.done[key] for key in progress.in_it}) == 1
    return Standings(rotation, groups, to_come, level)


def in_order(found: Standings, equals: Sequence[int]) -> Standings:
    """The same, with those who share a place in this order."""
    at = {key: number for number, key in enumerate(equals)}
    groups = (sorted(one, key=lambda line: (line.place, at[line.key])) for one in found.groups)
    return replace(found, groups=tuple(tuple(one) for one in groups))


def _group(
    progress: Progress, keys: list[int], steps: tuple[Criterion, ...]
) -> tuple[Standing, ...]:
    """Those with equally many parts, in order of place; those who share one by key."""
    places = plain(placings(progress.sheet(keys), steps))
    total = progress.totals
    first_of = {place: total[key] for key, place in places.items()}
    order = sorted(first_of)
    following = dict(pairwise(order))
    preceding = dict(pairwise(order[::-1]))

    def margin(key: int, other: int | None) -> int | None:
        return None if other is None else abs(first_of[other] - total[key])

    return tuple(
        Standing(
            key=key,
            done=progress.done[key],
            place=places[key],
            total=total[key],
            behind_first=first_of[1] - total[key],
            behind_next=margin(key, preceding.get(places[key])),
            ahead_of_next=margin(key, following.get(places[key])),
        )
        for key in sorted(keys, key=lambda key: (places[key], key))
    )


def _moved(group: tuple[Standing, ...], before: Standings | None) -> tuple[Standing, ...]:
    """The same group with what each was before, and the places gained among those compared."""
    if before is None:
        return group
    then = {one.key: (one.done, one.place) for old in before.groups for one in old}
    return tuple(_one_moved(one, group, then) for one in group)


def _one_moved(
    one: Standing, group: tuple[Standing, ...], then: dict[int, tuple[int, int]]
) -> Standing:
    if one.key not in then:
        return one
    done, place = then[one.key]
    both = [other for other in group if then.get(other.key, (-1, 0))[0] == done]
    ahead_then = sum(then[other.key][1] < place for other in both)
    ahead_now = sum(other.place < one.place for other in both)
    moved = ahead_then - ahead_now if len(both) > 1 else None
    return replace(one, before=place, moved=moved)


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
    return min(found, key=lambda one: one.spread, default=None)


def within(group: Sequence[Standing], spread: int) -> Cluster | None:
    """All from the first on who are not further behind than this; None: the first is alone."""
    close = [one for one in group if one.behind_first <= spread]
    return _cluster(close) if len(close) > 1 else None


def _cluster(lines: Sequence[Standing]) -> Cluster:
    keys = tuple(line.key for line in lines)
    return Cluster(keys, lines[0].place, lines[-1].place, lines[0].total - lines[-1].total)
