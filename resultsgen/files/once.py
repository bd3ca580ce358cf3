"""What a process that goes on keeps of what it made, by what it was made of."""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, TypeVar

Made = TypeVar("Made")

MOST_KEPT = 5_000
"""So many are kept at once, if not fewer; beyond them the oldest are let go."""


class Once(Generic[Made]):
    """Makes something of each thing once; of the same object the same, quick to compare."""

    def __init__(self, make: Callable[..., Made], most: int = MOST_KEPT) -> None:
        self._make, self._most = make, most
        self._made: dict[tuple[int, ...], tuple[object, Made]] = {}
        """Each with what it was made of, so that this is no other."""

    def __call__(self, *things: object, told: tuple[object, ...] = ()) -> Made:
        """What is made of these; what is *told* beside follows from them."""
        key = tuple(map(id, things))
        if key not in self._made:
            if len(self._made) >= self._most:
                self._made.pop(next(iter(self._made)))
            self._made[key] = (things, self._make(*things, *told))
        return self._made[key][1]
