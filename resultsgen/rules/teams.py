"""What counts for a team: its best C marks on each apparatus, less the team penalty.

Dropping is per apparatus, not per gymnast. A team with fewer than C marks adds up what there is.
Source: published team tables (`tests/published/`). Of two equal marks on the line between
counting and dropped, the earlier in start order counts (common practice; the total is the same).
"""

from __future__ import annotations

from typing import Any

import pandas as pd


def counting(marks: pd.DataFrame, team: pd.Series[Any], count: int) -> pd.DataFrame:
    """Which marks count: True, in the shape of *marks* (a column per apparatus, Int64).

    Rows stand in start order; *team* names the team of each row, `<NA>` for those without one.
    """
    rank = marks.groupby(team).rank(method="first", ascending=False)
    return (rank <= count).fillna(False).astype(bool)


def apparatus_totals(
    marks: pd.DataFrame, team: pd.Series[Any], counts: pd.DataFrame
) -> pd.DataFrame:
    """The sum of the counting marks: a row per team, a column per apparatus, `<NA>` without any."""
    return marks.where(counts).groupby(team).sum(min_count=1).astype("Int64")


def team_totals(totals: pd.DataFrame, penalties: pd.Series[int]) -> pd.Series[int]:
    """The sum of the apparatus totals less the penalty (Int64, by team); `<NA>` without a mark.

    A team that *penalties* does not name has none.
    """
    taken = penalties.reindex(totals.index, fill_value=0)
    return (totals.sum(axis=1, min_count=1) - taken).astype("Int64")


def counting_marks(
    numbers: pd.Series[int], marks: pd.Series[int], team: pd.Series[Any], counts: pd.Series[bool]
) -> pd.DataFrame:
    """One kind of number of the counting marks on one apparatus (the marks, their E or D scores).

    A row per team, a column per mark, the best mark first, `<NA>` where there are fewer.
    """
    nth = marks.where(counts).groupby(team).rank(method="first", ascending=False)
    own = pd.DataFrame({"team": team, "nth": nth, "number": numbers})[counts]
    wide = own.set_index(["team", "nth"])["number"].unstack()
    return wide.set_axis(range(wide.shape[1]), axis=1).astype("Int64")
