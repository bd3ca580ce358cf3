"""What somebody in a list can be after, and with whom ahead or level it is reached."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from resultsgen.rules.cuts import Quota

Aim = Literal["lead", "medal", "cut"]


MEDALS = 3


@dataclass(frozen=True)
class Goal:
    """What somebody can be after: so many places, or a qualification line with everybody's body.

    The first place is reached outright when nobody shares it; a medal place may be shared, as all
    who share the third have a medal (common practice).
    """

    aim: Aim
    places: int = 1
    shared: bool = False
    """A shared place is as good."""
    quota: Quota | None = None
    bodies: Mapping[int, str] = field(default_factory=dict)
    absent: frozenset[int] = frozenset()
    """Who withdrew from what it leads to: others may be called up in their place."""

    @property
    def minimum(self) -> int | None:
        """The least total with which it can be reached; None: there is none."""
        return self.quota.minimum if self.quota else None

    @property
    def of_each(self) -> bool:
        """Each body has places of its own."""
        return self.quota is not None and self.quota.of_each

    @property
    def cap(self) -> int:
        """How many of one body it lets in; 0: any number."""
        return self.quota.cap if self.quota and not self.of_each else 0

    def taken(self, keys: Sequence[int]) -> int:
        """How many places these take, of each body as many as the cap has room for."""
        if not self.cap:
            return len(keys)
        counted = Counter(self.bodies.get(key, "") for key in keys)
        return sum(min(many, self.cap) if of else many for of, many in counted.items())

    def own(self, key: int, others: Iterable[int]) -> set[int]:
        """Who of the others is of the same body, of which a cap lets only so many in."""
        body = self.bodies.get(key, "") if self.cap else ""
        return {other for other in others if body and self.bodies.get(other, "") == body}

    def is_for(self, key: int) -> bool:
        """Whether it is there for somebody at all: places of each body are not for one of none."""
        return not self.of_each or bool(self.bodies.get(key))

    def is_open_to(self, key: int, total: int) -> bool:
        """Whether it is, with this total."""
        return self.is_for(key) and (self.minimum is None or total >= self.minimum)

    def rivals(self, key: int, others: Iterable[int]) -> list[int]:
        """Who of the others can take it away: where each body has places of its own, its own."""
        if not self.of_each:
            return list(others)
        return [other for other in others if self.bodies.get(other) == self.bodies.get(key)]


LEAD = Goal("lead", 1)


MEDAL = Goal("medal", MEDALS, shared=True)


def cut(quota: Quota, bodies: Mapping[int, str], absent: frozenset[int] = frozenset()) -> Goal:
    """The goal of making a cut."""
    return Goal("cut", quota.places, quota.ties_qualify, quota, bodies, absent)


def reached(goal: Goal, key: int, ahead: Iterable[int], level: Iterable[int], total: int) -> bool:
    """Whether somebody with these ahead and these on the same place has it, whatever their order.

    *total* is that of the gymnast, for the least total that a cut may ask for. A cut comes to what
    the walk of `rules/cuts.py` does: of each body as many are in as its cap has room for, and
    among those level at the cap the gymnast is taken to stand last, as nothing but the order of
    the list decides there.
    """
    if not goal.is_open_to(key, total):
        return False
    before, beside = goal.rivals(key, ahead), goal.rivals(key, level)
    if goal.cap and len(goal.own(key, (*before, *beside))) >= goal.cap:
        return False
    return goal.taken(before if goal.shared else [*before, *beside]) < goal.places
