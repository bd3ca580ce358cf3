"""The story of ties that `placings.py` broke: criteria one after the other, the higher value first.

Those still equal after the last one share the place.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from resultsgen.rules.criteria import Compared, Criterion
from resultsgen.rules.placings import equal_totals


@dataclass(frozen=True, slots=True)
class Step:
    """What one criterion did to lines that were still equal: their value each, best first."""

    criterion: Criterion
    keys: tuple[int, ...]
    values: tuple[int | None, ...]
    """None: not given."""
    equal_on: tuple[Criterion, ...] = ()
    """The criteria asked just before, on which they were all equal."""

    @property
    def unknown(self) -> bool:
        """A value was not given, so that this criterion and all after it settle nothing."""
        return None in self.values


@dataclass(frozen=True, slots=True)
class Tie:
    """Lines with an equal total, in the order of their places, and how each was settled.

    Two of them with the same place share it. `steps` holds only the criteria that told
    somebody apart, and last the one that would have but whose value was not given. Where the
    rules leave equal totals as they are, `asked` is false: there was no criterion to be equal on.
    """

    total: int
    keys: tuple[int, ...]
    """Of the gymnasts or the teams; their positions in the list where it has no keys."""
    places: tuple[int, ...]
    steps: tuple[Step, ...]
    asked: bool = True
    worked_out: tuple[int, ...] = ()
    """The keys of those whose E scores were compared and not given, but worked out."""

    @property
    def shared(self) -> bool:
        """At least two of them share a place."""
        return len(set(self.places)) < len(self.places)

    @property
    def unsettled(self) -> Step | None:
        """The step that lacked a value; None where all that the rules ask for was known."""
        return next((step for step in self.steps if step.unknown), None)


def ties(
    lines: Sequence[Compared],
    places: Sequence[int | None],
    steps: Sequence[Criterion],
    keys: Sequence[int] | None = None,
) -> tuple[Tie, ...]:
    """Every group of equal totals, in order of place."""
    named = range(len(lines)) if keys is None else keys
    found = []
    for equals in equal_totals(lines):
        if len(equals) == 1:
            continue
        placed = sorted((places[position] or 0, position) for position in equals)
        positions = [position for _, position in placed]
        told = list(_settled(lines, positions, steps))
        worked_out = {
            position
            for criterion, asked, *_ in told
            if criterion.of_e
            for position in asked
            if lines[position].e_worked_out
        }
        found.append(
            Tie(
                total=lines[equals[0]].total or 0,
                keys=tuple(named[position] for position in positions),
                places=tuple(place for place, _ in placed),
                steps=tuple(
                    Step(criterion, tuple(named[position] for position in asked), values, equal_on)
                    for criterion, asked, values, equal_on in told
                ),
                asked=bool(steps),
                worked_out=tuple(named[position] for position in sorted(worked_out)),
            )
        )
    return tuple(found)


def _settled(
    lines: Sequence[Compared], equals: list[int], steps: Sequence[Criterion]
) -> Iterator[tuple[Criterion, list[int], tuple[int | None, ...], tuple[Criterion, ...]]]:
    """The criteria that tell these equals apart, going on within those still equal.

    They stand in order of place, so that the best by each criterion stands first.
    """
    for number, criterion in enumerate(steps):
        values = {position: criterion.value(lines[position]) for position in equals}
        apart = len({*values.values()}) > 1
        unknown = None in values.values()
        if not apart and not unknown:
            continue
        yield criterion, equals, tuple(values.values()), tuple(steps[:number])
        if not unknown:
            for _, run in groupby(equals, values.__getitem__):
                if len(still_equal := list(run)) > 1:
                    yield from _settled(lines, still_equal, steps[number + 1 :])
        return
