"""What an all-around total is: the sum of the marks of all its apparatus, and nothing less.

A gymnast without a mark on one of them has no total and takes no place; 0.000 is a mark.
Source: published all-around lists, where one missing apparatus means DNF (`tests/published/`).
"""

from __future__ import annotations

import pandas as pd


def all_around_totals(marks: pd.DataFrame) -> pd.Series[int]:
    """The total of each row of *marks* (a column per apparatus, Int64), `<NA>` if one is missing."""
    return marks.sum(axis=1, skipna=False).astype("Int64")


def running_totals(marks: pd.DataFrame) -> pd.Series[int]:
    """The sum of the marks there are so far; `<NA>` where there is none yet."""
    return marks.sum(axis=1, min_count=1).astype("Int64")
