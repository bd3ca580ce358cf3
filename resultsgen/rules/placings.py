"""How placings are given: 1, 2, 2, 4. Those still tied share the better placing.

Source: standard competition ranking, as in every published table of `tests/published/`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

from resultsgen.rules.criteria import Compared, Criterion


def placings(lines: Sequence[Compared], steps: Sequence[Criterion]) -> list[int | None]:
    """The place of each line, None for those without a total.

    A placing is one more than the number ahead: ahead by total, and among equals by the criteria.
    """
    places: list[int | None] = [None] * len(lines)
    place = 1
    for equals in equal_totals(lines):
        if len(equals) == 1:
            places[equals[0]] = place
            place += 1
            continue
        for sharing in _told_apart(lines, equals, steps):
            for position in sharing:
                places[position] = place
            place += len(sharing)
    return places


def equal_totals(lines: Sequence[Compared]) -> list[list[int]]:
    """The positions of lines with a total: those with the same together, the highest first."""
    totals = {at: line.total for at, line in enumerate(lines) if line.total is not None}
    return _equals(totals)


def _told_apart(
    lines: Sequence[Compared], equals: list[int], steps: Sequence[Criterion]
) -> Iterator[list[int]]:
    """Those with an equal total, the best first; who stand together share a place.

    Where one of the equals has no value for a criterion, it and all after it settle nothing among
    them: they share the place, and `ties` says why.
    """
    if len(equals) == 1 or not steps:
        yield equals
        return
    values = {position: steps[0].value(lines[position]) for position in equals}
    known = {position: value for position, value in values.items() if value is not None}
    if len(known) < len(equals):
        yield equals
        return
    for still_equal in _equals(known):
        yield from _told_apart(lines, still_equal, steps[1:])


def _equals(value_of: Mapping[int, int]) -> list[list[int]]:
    """Positions with the same value together, the highest first; in each the order stays."""
    ordered = sorted(value_of, key=value_of.__getitem__, reverse=True)
    return [list(group) for _, group in groupby(ordered, value_of.__getitem__)]
