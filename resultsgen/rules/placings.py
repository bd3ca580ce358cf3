"""How placings are given: 1, 2, 2, 4. Those still tied share the better placing.

Source: standard competition ranking, as in every published table of `tests/published/`.

Those without a place are told apart and listed as in progress, DNF, DNS, WDR, DSQ. DNS did not
start, DNF did not complete what the list needs, WDR withdrew before the start, DSQ was disqualified
and keeps no mark. One missing apparatus makes an all-around DNF; who did nothing at all did not
start, even where one part says WDR and another DNS. Source: published all-around and two-vault
lists (`tests/published/`); DSQ is common practice.
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


def list_status(done: int, parts: Sequence[str]) -> str:
    """The status of a gymnast on a list: *parts* holds the status of each part, '' for none.

    *done* counts the parts that have a mark. Empty where nothing stands in the way of a place:
    all parts are done, or some are still to come.
    """
    given = [part for part in parts if part]
    if not given:
        return ""
    if "DSQ" in given:
        return "DSQ"
    if done or "DNF" in given:
        return "DNF"
    return given[0] if len(set(given)) == 1 else "DNS"


def unranked_order(status: str, order: Sequence[str]) -> int:
    """Where a status stands below the ranked; those still in progress stand first."""
    if not status:
        return 0
    return 1 + (list(order).index(status) if status in order else len(order))
