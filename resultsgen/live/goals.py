"""What somebody can be after in a list: the first place, a medal place, or to make the cut.

The first place is reached outright when nobody shares it; a medal place may be shared, as all who
share the third have a medal (common practice). A cut is walked as `rules/cuts.py` walks it, so that
the cap per body counts; among those level at the cap the gymnast is taken to stand last, as nothing
but the order of the list decides there.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from resultsgen.rules.cuts import Candidate, Quota, verdicts

Aim = Literal["lead", "medal", "cut"]

MEDALS = 3


@dataclass(frozen=True)
class Goal:
    """So many places; or a qualification line, with the body of everybody that its cap counts."""

    aim: Aim
    places: int = 1
    line: Quota | None = None
    bodies: Mapping[int, str] = field(default_factory=dict)
    shared: bool = False
    """A shared place is as good."""

    @property
    def minimum(self) -> int | None:
        """The least total with which it can be reached; None: there is none."""
        return self.line.minimum if self.line else None

    def is_for(self, key: int) -> bool:
        """Whether it is there for somebody at all: places of each body are not for one of none."""
        return self.line is None or not self.line.of_each or bool(self.bodies.get(key))

    def rivals(self, key: int, others: Iterable[int]) -> list[int]:
        """Who of the others can take it away: where each body has places of its own, its own."""
        if self.line is None or not self.line.of_each:
            return list(others)
        return [one for one in others if self.bodies.get(one) == self.bodies.get(key)]


LEAD = Goal("lead", 1)
MEDAL = Goal("medal", MEDALS, shared=True)


def cut(line: Quota, bodies: Mapping[int, str]) -> Goal:
    """The goal of making a cut."""
    return Goal("cut", line=line, bodies=bodies)


def reached(goal: Goal, key: int, ahead: Sequence[int], level: Sequence[int], total: int) -> bool:
    """Whether somebody with these ahead and these on the same place has it, whatever their order.

    *total* is that of the gymnast, for the least total that a cut may ask for.
    """
    if goal.line is None:
        return len(ahead) + (0 if goal.shared else len(level)) < goal.places
    body = goal.bodies.get
    first = [
        Candidate(other, place, total, body(other, "")) for place, other in enumerate(ahead, 1)
    ]
    here = [Candidate(other, len(ahead) + 1, total, body(other, "")) for other in (*level, key)]
    return verdicts([*first, *here], goal.line)[-1].outcome == "qualified"
