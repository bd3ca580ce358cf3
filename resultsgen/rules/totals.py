"""What a total is: the sum of the marks of all its parts, and nothing less.

A gymnast without a mark on one apparatus has no all-around total and takes no place; 0.000 is a
mark. A rule set may place such a gymnast by the marks there are instead. Source: published
all-around lists, where one missing apparatus means DNF, and a two-day national list that places
everybody by what they have (`tests/published/`).

The vault ranking takes the average of two vaults where two are needed; the first alone counts for
the all-around and the team. Averages are cut to thousandths in nearly all published papers (663 of
663 in one corpus) and rounded in a few, so it is a setting. Only those who did two vaults are
ranked; an invalid vault is 0.000 and counts.

For a team its best C marks on each apparatus count, less the team penalty. Dropping is per
apparatus, not per gymnast. A team with fewer than C marks adds up what there is. Source: published
team tables (`tests/published/`). Of two equal marks on the line between counting and dropped, the
earlier in start order counts (common practice; the total is the same).
"""

from __future__ import annotations

from collections.abc import Sequence

from resultsgen.meet.marks import Averaging, Incomplete


def total(marks: Sequence[int | None], incomplete: Incomplete) -> int | None:
    """The total that a list is placed by; for two days, *marks* holds those of both.

    >>> total([13000, 0, None], "no place"), total([13000, 0, None], "placed by what there is")
    (None, 13000)
    """
    given = [mark for mark in marks if mark is not None]
    if not given or (incomplete == "no place" and len(given) < len(marks)):
        return None
    return sum(given)


def average_of_two(first: int | None, second: int | None, averaging: Averaging) -> int | None:
    """Half the sum of two marks, None without both; a half thousandth is cut, or rounded up.

    >>> average_of_two(14733, 14966, "cut"), average_of_two(14733, 14966, "round")
    (14849, 14850)
    """
    if first is None or second is None:
        return None
    return (first + second + (averaging == "round")) // 2


def carried_total(
    compulsory: int | None, optional: int | None, final: int | None, averaging: Averaging
) -> int | None:
    """The final mark on an apparatus with half the two qualification marks carried into it."""
    return total([average_of_two(compulsory, optional, averaging), final], "no place")


def counting(marks: Sequence[int | None], count: int) -> list[int]:
    """Which marks of a team on one apparatus count: their positions, the best mark first.

    They stand in start order; None is no mark.

    >>> counting([13000, None, 14000, 13000], 2)
    [2, 0]
    """
    given = [(-mark, position) for position, mark in enumerate(marks) if mark is not None]
    return [position for _, position in sorted(given)[:count]]


def team_total(apparatus_totals: Sequence[int | None], penalty: int) -> int | None:
    """The sum of the apparatus totals less the penalty; None without a mark on any of them."""
    made = total(apparatus_totals, "placed by what there is")
    return None if made is None else made - penalty
