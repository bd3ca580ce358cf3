"""Who leads as the marks come: on an apparatus, with who has still to go; and by what there is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from resultsgen.live.progress import Progress
from resultsgen.live.standings import Standing, standing
from resultsgen.rules.criteria import Criterion


@dataclass(frozen=True)
class Leaders:
    """One apparatus: those who are over with it in order of place, and those still to go."""

    lines: tuple[Standing, ...]
    to_go: tuple[int, ...]

    @property
    def first(self) -> tuple[Standing, ...]:
        """Who leads; several where they share the place."""
        return tuple(line for line in self.lines if line.place == 1)


@dataclass(frozen=True)
class SoFar:
    """What somebody has so far, however many parts are over, and the place by that sum."""

    key: int
    done: int
    place: int
    total: int


def so_far(progress: Progress) -> tuple[SoFar, ...]:
    """Everybody who has a mark and can take a place, the highest sum first.

    Marks of a team count here on an apparatus that it is not over with as well.
    """
    held = {key: progress.room(key).held for key in progress.in_it}
    sums = {
        key: progress.total(progress.sums.get(key, -int(progress.penalty[key])) + more)
        for key, more in held.items()
        if key in progress.sums or more
    }
    order = sorted(sums, key=lambda key: (-sums[key], -progress.done[key], key))
    return tuple(
        SoFar(key, progress.done[key], 1 + sum(one > sums[key] for one in sums.values()), sums[key])
        for key in order
    )


def leaders(progress: Progress, steps: tuple[Criterion, ...], starting: Sequence[int]) -> Leaders:
    """The leaders of a list of one apparatus; *starting* are those entered, in order of start."""
    now = standing(progress, steps)
    done = tuple(one for one in now.leading if one.done == len(progress.parts))
    to_go = tuple(key for key in starting if not progress.complete(key))
    return Leaders(done, to_go)
