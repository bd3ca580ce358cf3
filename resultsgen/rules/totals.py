"""What a total is: the sum of the marks of all its parts, and nothing less.

A gymnast without a mark on one apparatus has no all-around total and takes no place; 0.000 is a
mark. A rule set may place such a gymnast by the marks there are instead. Source: published
all-around lists, where one missing apparatus means DNF, and a two-day national list that places
everybody by what they have (`tests/published/`).
"""

from __future__ import annotations

import numpy as np
import pandas as pd

from resultsgen.meet.marks import Averaging, Incomplete
from resultsgen.rules.tables import parts_of


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
