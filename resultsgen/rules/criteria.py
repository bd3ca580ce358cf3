"""What equal totals are told apart by: each criterion one small function of a sheet.

A rule set names its criteria in order (`rulebook/*.toml`). Each is one line in `CRITERIA`, with the
words that page and book print, so that paper and code cannot part, and the lists it fits.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache, cached_property

import numpy as np
import numpy.typing as npt
import pandas as pd

from resultsgen.meet.ruleset import TieList

Integers = npt.NDArray[np.int64]

UNKNOWN = np.iinfo(np.int64).min
"""Stands for a value that was not given: a tie that would need it cannot be settled by it."""

NO_TOTAL = -1
"""Stands for the all-around total of somebody who has none: below every total there is."""


@dataclass(frozen=True)
class Sheet:
    """What one list compares; every table has a row per gymnast or team, in Int64 thousandths.

    `total` is what they are placed by, `<NA>` for those who take no place. `parts` are the marks
    that make it up: the apparatus of an all-around, the two vaults of an average, the apparatus
    totals of a team, the one mark of an apparatus. `e` and `d` are the E and D scores of the same
    parts. `facts` holds what else a criterion may ask for: `all_around`, `birth_year`.
    """

    total: pd.Series[int]
    parts: pd.DataFrame
    e: pd.DataFrame
    d: pd.DataFrame
    facts: pd.DataFrame = field(default_factory=pd.DataFrame)
    at: Integers | None = None
    """Which rows of the other tables those of `total` are, where those hold more of them."""

    def known(self, table: pd.DataFrame | pd.Series[int]) -> Integers:
        """The rows of one of its tables as plain integers, UNKNOWN where nothing was given."""
        return plain_integers(table) if self.at is None else plain_integers(table)[self.at]

    @cached_property
    def sums_of_best(self) -> Integers:
        """The sum of the best part, the best two, the best three ... of each row.

        A part without a mark adds nothing.
        """
        given = self.known(self.parts)
        worst_last = np.sort(np.where(given == UNKNOWN, 0, -given), axis=1)
        return -np.cumsum(worst_last, axis=1)


@dataclass(frozen=True)
class Criterion:
    """One step: the name in the rulebook, the words on paper, and the value compared.

    `of` are the lists that it says something of. `count` says of how many parts the value is the
    sum, where the criterion is one of a falling series (best five apparatus, best four ...); the
    words then hold `{count}`. `is_mark` says whether the value is printed as a mark; where it is
    not, `value` is what it is called when it was not given.
    """

    name: str
    words: str
    values: Callable[[Sheet], Integers]
    of: tuple[TieList, ...]
    count: int = 0
    is_mark: bool = True
    value: str = ""

    @property
    def of_e(self) -> bool:
        """It compares E scores."""
        return self.name in ("E", "total E", "higher E")


def plain_integers(table: pd.DataFrame | pd.Series[int]) -> Integers:
    """Plain integers, UNKNOWN where nothing was given."""
    return np.asarray(table.to_numpy(dtype="int64", na_value=UNKNOWN))


def _sum_if_known(sheet: Sheet, table: pd.DataFrame) -> Integers:
    """The sum of each row; unknown as soon as a part with a mark lacks its value."""
    values = sheet.known(table)
    lacking = values == UNKNOWN
    sums: Integers = np.asarray(np.where(lacking, 0, values).sum(axis=1), dtype=np.int64)
    unknown = (lacking & (sheet.known(sheet.parts) != UNKNOWN)).any(axis=1)
    return np.where(unknown, UNKNOWN, sums)


def _highest(sheet: Sheet, table: pd.DataFrame) -> Integers:
    """The highest value of each row; unknown as soon as one value is."""
    values = sheet.known(table)
    return np.where((values == UNKNOWN).any(axis=1), UNKNOWN, values.max(axis=1))


def _fact(sheet: Sheet, name: str) -> Integers:
    """A fact of each row; unknown for all where the sheet does not hold it."""
    if name not in sheet.facts:
        return np.full(len(sheet.total), UNKNOWN, dtype=np.int64)
    return sheet.known(sheet.facts[name])


def sum_of_best(sheet: Sheet, count: int) -> Integers:
    """The sum of the best *count* parts of each row."""
    return np.asarray(sheet.sums_of_best[:, count - 1])


def total_e(sheet: Sheet) -> Integers:
    """The sum of the E scores of all parts."""
    return _sum_if_known(sheet, sheet.e)


def total_d(sheet: Sheet) -> Integers:
    """The sum of the D scores of all parts."""
    return _sum_if_known(sheet, sheet.d)


def sum_of_parts(sheet: Sheet) -> Integers:
    """The sum of both vaults: their average before it is cut or rounded."""
    return _sum_if_known(sheet, sheet.parts)


def better_part(sheet: Sheet) -> Integers:
    """The better of the two vaults."""
    return _highest(sheet, sheet.parts)


def higher_e(sheet: Sheet) -> Integers:
    """The higher E score of the two vaults, whichever vault it belongs to."""
    return _highest(sheet, sheet.e)


def higher_d(sheet: Sheet) -> Integers:
    """The higher D score of the two vaults, whichever vault it belongs to."""
    return _highest(sheet, sheet.d)


def all_around_total(sheet: Sheet) -> Integers:
    """The all-around total; below every total for those who have none."""
    totals = _fact(sheet, "all_around")
    nobody_has_one = "all_around" not in sheet.facts
    return totals if nobody_has_one else np.where(totals == UNKNOWN, NO_TOTAL, totals)


def year_of_birth(sheet: Sheet) -> Integers:
    """The year of birth: the younger gymnast first."""
    return _fact(sheet, "birth_year")


SUMS: tuple[TieList, ...] = ("all-around", "apparatus", "vault-average", "team", "team-apparatus")
PEOPLE: tuple[TieList, ...] = ("all-around", "apparatus", "vault-average")
VAULTS: tuple[TieList, ...] = ("vault-average",)

CRITERIA = (
    Criterion("total E", "total of the E scores", total_e, SUMS),
    Criterion("total D", "total of the D scores", total_d, SUMS),
    Criterion("E", "E score", total_e, ("apparatus",)),
    Criterion("D", "D score", total_d, ("apparatus",)),
    Criterion("sum of both vaults", "sum of both vaults", sum_of_parts, VAULTS),
    Criterion("better vault", "better vault", better_part, VAULTS),
    Criterion("higher E", "higher E score of the two vaults", higher_e, VAULTS),
    Criterion("higher D", "higher D score of the two vaults", higher_d, VAULTS),
    Criterion("all-around total", "all-around total", all_around_total, PEOPLE[1:]),
    Criterion(
        "younger", "younger gymnast", year_of_birth, PEOPLE, is_mark=False, value="year of birth"
    ),
)
"""Every criterion a rule set may name, beside those of SERIES."""

BEST_PARTS = "best apparatus, one fewer each time"
"""Names the falling series: best n-1 apparatus, best n-2 ... the best one."""

BEST_MARKS = "best marks, one fewer each time"
"""The same of the counting marks of a team on one apparatus."""


@dataclass(frozen=True)
class Series:
    """The words for the last of a falling series and for those before it, and its lists."""

    last: str
    before: str
    of: tuple[TieList, ...]


SERIES = {
    BEST_PARTS: Series("best apparatus", "best {count} apparatus", ("all-around", "team")),
    BEST_MARKS: Series("best mark", "best {count} marks", ("team-apparatus",)),
}


def fitting(of: TieList) -> list[str]:
    """The names of all criteria that say something of a list."""
    series = [name for name, one in SERIES.items() if of in one.of]
    return [*series, *(criterion.name for criterion in CRITERIA if of in criterion.of)]


def criteria(names: tuple[str, ...], parts: int) -> tuple[Criterion, ...]:
    """The criteria that a rule set names, for a list whose total has so many parts.

    Raises KeyError with the name where there is no such criterion.
    """
    known = {criterion.name: criterion for criterion in CRITERIA}
    steps: list[Criterion] = []
    for name in names:
        if name in SERIES:
            steps += [_best(name, count) for count in range(parts - 1, 0, -1)]
        else:
            steps.append(known[name])
    return tuple(steps)


@cache
def _best(name: str, count: int) -> Criterion:
    series = SERIES[name]
    words = series.last if count == 1 else series.before
    return Criterion(name, words, lambda sheet: sum_of_best(sheet, count), series.of, count)
