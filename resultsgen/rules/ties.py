"""How ties are broken: criteria compared one after the other, the higher value first.

Those still equal after the last one share the place.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pandas as pd

from resultsgen.rules.criteria import UNKNOWN, Criterion, Integers, Sheet, plain_integers


@dataclass(frozen=True)
class Step:
    """What one criterion did to rows that were still equal: their value each, best first."""

    criterion: Criterion
    rows: tuple[int, ...]
    values: tuple[int, ...]
    equal_on: tuple[Criterion, ...] = ()
    """The criteria asked just before, on which they were all equal."""

    @property
    def unknown(self) -> bool:
        """A value was not given, so that this criterion and all after it settle nothing."""
        return UNKNOWN in self.values


@dataclass(frozen=True)
class Tie:
    """Rows with an equal total, in the order of their places, and how each was settled.

    Two of them with the same place share it. `steps` holds only the criteria that told
    somebody apart, and last the one that would have but whose value was not given. Where the
    rules leave equal totals as they are, `asked` is false: there was no criterion to be equal on.
    """

    total: int
    rows: tuple[int, ...]
    places: tuple[int, ...]
    steps: tuple[Step, ...]
    asked: bool = True

    @property
    def unsettled(self) -> Step | None:
        """The step that lacked a value; None where all that the rules ask for was known."""
        return next((step for step in self.steps if step.unknown), None)


def ties(sheet: Sheet, places: pd.Series[int], steps: tuple[Criterion, ...]) -> tuple[Tie, ...]:
    """Every group of equal totals, in order of place; rows are positions in the sheet."""
    totals, given = plain_integers(sheet.total), plain_integers(places)
    ranked = np.flatnonzero(totals != UNKNOWN)
    ordered = ranked[np.lexsort((given[ranked], -totals[ranked]))]
    equal = list(_runs(ordered, totals))
    compared = [(step, step.values(sheet)) for step in steps] if equal else []
    found = []
    for rows in equal:
        story = tuple(_settled(rows, compared))
        total, of_these = int(totals[rows[0]]), tuple(given[rows].tolist())
        found.append(Tie(total, tuple(rows.tolist()), of_these, story, asked=bool(steps)))
    return tuple(found)


def _settled(rows: Integers, compared: list[tuple[Criterion, Integers]]) -> Iterator[Step]:
    """The criteria that tell these equal rows apart, going on within those still equal.

    The rows come in order of place, so that the best by each criterion stands first.
    """
    for number, (criterion, of_all) in enumerate(compared):
        values = of_all[rows]
        before = tuple(step for step, _ in compared[:number])
        told = Step(criterion, tuple(rows.tolist()), tuple(values.tolist()), before)
        if (values == UNKNOWN).any():
            yield told
            return
        if (values != values[0]).any():
            yield told
            for equal in _runs(rows, of_all):
                yield from _settled(equal, compared[number + 1 :])
            return


def _runs(rows: Integers, values: Integers) -> Iterator[Integers]:
    """Neighbours with an equal value, two or more at a time."""
    start = 0
    for end in range(1, len(rows) + 1):
        if end == len(rows) or values[rows[end]] != values[rows[start]]:
            if end - start > 1:
                yield rows[start:end]
            start = end
