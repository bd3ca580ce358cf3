"""TO BE DELETED: lists as pandas tables, for the modules that are not plain values yet.

What places and tells ties apart is `rules/`; this turns tables into what it eats, and back.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from resultsgen.meet.marks import Averaging, Incomplete
from resultsgen.rules import placings as rule
from resultsgen.rules import ties as stories
from resultsgen.rules.criteria import NO_TOTAL, Compared, Criterion
from resultsgen.rules.ties import Tie

Integers = npt.NDArray[np.int64]
Booleans = npt.NDArray[np.bool_]


def table(numbers: Integers, lacking: Booleans, rows: Any, columns: Iterable[Any]) -> pd.DataFrame:
    """An Int64 table with these rows and columns, `<NA>` where a number is lacking."""
    # One copy, in which each column lies together, is all that the columns need.
    own, missing = np.array(numbers, order="F"), np.array(lacking, order="F")
    made = {
        name: pd.arrays.IntegerArray(own[:, place], missing[:, place])
        for place, name in enumerate(columns)
    }
    return pd.DataFrame(made, index=rows, copy=False)


def of_cells(
    cells: Sequence[Sequence[int | None]], rows: Any, columns: Sequence[Any]
) -> pd.DataFrame:
    """An Int64 table of these cells, row by row; None is `<NA>`."""
    shape = (len(cells), len(columns))
    numbers = [cell or 0 for row in cells for cell in row]
    lacking = [cell is None for row in cells for cell in row]
    return table(
        np.array(numbers, dtype=np.int64).reshape(shape),
        np.array(lacking, dtype=bool).reshape(shape),
        rows,
        columns,
    )


def parts_of(whole: pd.DataFrame) -> tuple[Integers, Booleans]:
    """The numbers of an Int64 table, 0 where one is lacking, and where one is."""
    numbers: Integers = whole.to_numpy(dtype="int64", na_value=0)
    return numbers, whole.isna().to_numpy()


def without(whole: pd.DataFrame, hidden: Booleans) -> pd.DataFrame:
    """The table with these cells emptied."""
    numbers, lacking = parts_of(whole)
    return table(numbers, lacking | hidden, whole.index, whole.columns)


def cells(column: pd.Series[int]) -> list[int | None]:
    """The numbers of an Int64 column, None where one is lacking."""
    numbers = column.to_numpy(dtype="int64", na_value=0).tolist()
    return [
        None if lacks else number
        for number, lacks in zip(numbers, column.isna().to_numpy().tolist(), strict=True)
    ]


def column(numbers: Sequence[int], rows: Any) -> pd.Series[int]:
    """An Int64 column of these numbers, of which none is lacking."""
    given = np.array(numbers, dtype=np.int64)
    return pd.Series(pd.arrays.IntegerArray(given, np.zeros(len(given), dtype=bool)), index=rows)


def emptied(column: pd.Series[int], hidden: Booleans) -> pd.Series[int]:
    """The column with these cells emptied."""
    numbers = column.to_numpy(dtype="int64", na_value=0)
    lacking = column.isna().to_numpy() | hidden
    return pd.Series(pd.arrays.IntegerArray(numbers, lacking), index=column.index)


def only(whole: pd.DataFrame, columns: Sequence[str]) -> pd.DataFrame:
    """The table with only these columns."""
    chosen = {name: whole[name].array for name in columns}
    return pd.DataFrame(chosen, index=whole.index, copy=False)


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


def all_around_totals(marks: pd.DataFrame) -> pd.Series[int]:
    """The sum of each row of *marks* (a column per apparatus, Int64), `<NA>` if one is missing."""
    numbers, lacking = parts_of(marks)
    whole = pd.arrays.IntegerArray(numbers.sum(axis=1), np.asarray(lacking.any(axis=1)))
    return pd.Series(whole, index=marks.index)


def running_totals(marks: pd.DataFrame) -> pd.Series[int]:
    """The sum of the marks there are so far; `<NA>` where there is none yet."""
    return marks.sum(axis=1, min_count=1).astype("Int64")


def totals(marks: pd.DataFrame, incomplete: Incomplete) -> pd.Series[int]:
    """The total that a list is placed by; for two days, *marks* holds the columns of both."""
    return all_around_totals(marks) if incomplete == "no place" else running_totals(marks)


def average_of_two(
    first: pd.Series[int], second: pd.Series[int], averaging: Averaging
) -> pd.Series[int]:
    """Half the sum of two marks (Int64); a half thousandth is cut, or rounded up."""
    both = first + second
    if averaging == "round":
        both = both + 1
    return (both // 2).astype("Int64")


def carried_totals(
    compulsory: pd.Series[int],
    optional: pd.Series[int],
    final: pd.Series[int],
    averaging: Averaging,
) -> pd.Series[int]:
    """The final mark on an apparatus with half the two qualification marks carried into it."""
    return average_of_two(compulsory, optional, averaging) + final


@dataclass(frozen=True)
class Sheet:
    """What one list compares: a row per gymnast or team, `at` those of the tables it takes."""

    total: pd.Series[int]
    parts: pd.DataFrame
    e: pd.DataFrame
    d: pd.DataFrame
    facts: pd.DataFrame = field(default_factory=pd.DataFrame)
    at: Integers | None = None


def compared(sheet: Sheet) -> list[Compared]:
    """The rows of a sheet as plain values."""

    def rows(whole: pd.DataFrame) -> list[tuple[int | None, ...]]:
        found = list(zip(*(cells(whole.iloc[:, n]) for n in range(whole.shape[1])), strict=True))
        return found if sheet.at is None else [found[row] for row in sheet.at.tolist()]

    def fact(name: str, nothing: int | None) -> list[int | None]:
        if name not in sheet.facts:
            return [None] * len(sheet.total)
        return [nothing if one is None else one for (one,) in rows(sheet.facts[[name]])]

    if not len(sheet.total):
        return []
    columns = zip(
        cells(sheet.total),
        rows(sheet.parts),
        rows(sheet.d),
        rows(sheet.e),
        fact("all_around", NO_TOTAL),
        fact("birth_year", None),
        strict=True,
    )
    return [Compared(*row) for row in columns]


def placings(sheet: Sheet, steps: tuple[Criterion, ...]) -> pd.Series[int]:
    """The place of each row (Int64), `<NA>` for those without a total."""
    found = rule.placings(compared(sheet), steps)
    return pd.Series(found, index=sheet.total.index, dtype="Int64")


def ties(sheet: Sheet, places: pd.Series[int], steps: tuple[Criterion, ...]) -> tuple[Tie, ...]:
    """Every group of equal totals; keys are positions in the sheet."""
    return stories.ties(compared(sheet), cells(places), steps)


def vault_averages(
    first: pd.Series[int], second: pd.Series[int], averaging: Averaging
) -> pd.Series[int]:
    """Half the sum of two vaults (Int64), `<NA>` without both; see `average_of_two`."""
    return average_of_two(first, second, averaging)
