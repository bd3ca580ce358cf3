"""Who gained most places: from one rotation to the next, or from one phase to a later one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from resultsgen.live.standings import Standings


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

    def place(places: Mapping[int, int], own: int) -> int:
        return 1 + sum(places[key] < places[own] for key in both)

    return _greatest(Climb(key, place(before, key), place(after, key)) for key in both)


def _greatest(found: Iterable[Climb]) -> tuple[Climb, ...]:
    up = [climb for climb in found if climb.gained > 0]
    most = max((climb.gained for climb in up), default=0)
    best = (climb for climb in up if climb.gained == most)
    return tuple(sorted(best, key=lambda climb: (climb.after, climb.place_after, climb.key)))
