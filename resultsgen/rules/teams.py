"""What counts for a team: its best C marks on each apparatus, less the team penalty.

Dropping is per apparatus, not per gymnast. A team with fewer than C marks adds up what there is.
Source: published team tables (`tests/published/`). Of two equal marks on the line between
counting and dropped, the earlier in start order counts (common practice; the total is the same).
"""

from __future__ import annotations

from collections.abc import Sequence

from resultsgen.rules.totals import total


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
