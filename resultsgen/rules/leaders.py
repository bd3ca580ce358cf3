"""Who leads on an apparatus as the marks come, and who has still to go."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from resultsgen.rules.criteria import Criterion
from resultsgen.rules.progress import Progress
from resultsgen.rules.standings import Standing, standing


@dataclass(frozen=True)
class Leaders:
    """One apparatus: those who are over with it in order of place, and those still to go."""

    lines: tuple[Standing, ...]
    to_go: tuple[int, ...]

    @property
    def first(self) -> tuple[Standing, ...]:
        """Who leads; several where they share the place."""
        return tuple(line for line in self.lines if line.place == 1)


def leaders(progress: Progress, steps: tuple[Criterion, ...], starting: Sequence[int]) -> Leaders:
    """The leaders of a list of one apparatus; *starting* are those entered, in order of start."""
    now = standing(progress, steps)
    done = tuple(one for one in now.leading if one.done == len(progress.parts))
    to_go = tuple(key for key in starting if not progress.complete(key))
    return Leaders(done, to_go)
