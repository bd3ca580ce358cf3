"""What counts for a team: its best C marks on each apparatus, less the team penalty.

Dropping is per apparatus, not per gymnast. A team with fewer than C marks adds up what there is.
Source: published team tables (`tests/published/`). Of two equal marks on the line between
counting and dropped, the earlier in start order counts (common practice; the total is the same).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from resultsgen.rules.tables import Booleans, Integers, parts_of, table


@dataclass(frozen=True)
class Teams:
    """The names of all teams, in order, and which of them each row belongs to; -1: to none."""

    names: pd.Index
    codes: Integers

    @staticmethod
    def of(team: pd.Series[Any]) -> Teams:
        """The teams of a column of names, `<NA>` for those without one."""
        codes, names = pd.factorize(team, sort=True)
        return Teams(names, codes.astype(np.int64))

    def sums(self, cells: Integers | Booleans) -> Integers:
        """The sums of the rows of each team, column by column."""
        sums = np.zeros((len(self.names), cells.shape[1]), dtype=np.int64)
        of_a_team = self.codes >= 0
        np.add.at(sums, self.codes[of_a_team], cells[of_a_team].astype(np.int64))
        return sums

    def highest(self, cells: Integers) -> Integers:
        """The highest of the rows of each team, column by column; 0 where nothing is higher."""
        highest = np.zeros((len(self.names), cells.shape[1]), dtype=np.int64)
        of_a_team = self.codes >= 0
        np.maximum.at(highest, self.codes[of_a_team], cells[of_a_team])
        return highest


def counting(marks: pd.DataFrame, team: pd.Series[Any], count: int) -> pd.DataFrame:
    """Which marks count: True, in the shape of *marks* (a column per apparatus, Int64).

    Rows stand in start order; *team* names the team of each row, `<NA>` for those without one.
    """
    numbers, lacking = parts_of(marks)
    codes = Teams.of(team).codes
    counts = np.zeros(marks.shape, dtype=bool)
    for part in range(marks.shape[1]):
        best_first = np.argsort(-numbers[:, part], kind="stable")
        given = best_first[~lacking[best_first, part] & (codes[best_first] >= 0)]
        counts[given[_nth(codes[given]) < count], part] = True
    return pd.DataFrame(counts, index=marks.index, columns=marks.columns)


def _nth(codes: Integers) -> Integers:
    """How many with the same code stand before each."""
    order = np.argsort(codes, kind="stable")
    ordered = codes[order]
    nth = np.empty_like(codes)
    nth[order] = np.arange(len(codes)) - np.searchsorted(ordered, ordered)
    return nth


def apparatus_totals(
    marks: pd.DataFrame, team: pd.Series[Any], counts: pd.DataFrame
) -> pd.DataFrame:
    """The sum of the counting marks: a row per team, a column per apparatus, `<NA>` without any."""
    numbers, lacking = parts_of(marks)
    teams, given = Teams.of(team), counts.to_numpy(dtype=bool) & ~lacking
    sums = teams.sums(np.where(given, numbers, 0))
    return table(sums, teams.sums(given) == 0, teams.names, marks.columns)


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
