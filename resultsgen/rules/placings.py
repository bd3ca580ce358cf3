"""How placings are given: 1, 2, 2, 4. Those still tied share the better placing.

Source: standard competition ranking, as in every published table of `tests/published/`.
"""

from __future__ import annotations

import numpy as np
import pandas as pd

from resultsgen.rules.criteria import UNKNOWN, Criterion, Integers, Sheet


def placings(sheet: Sheet, steps: tuple[Criterion, ...]) -> pd.Series[int]:
    """The place of each row (Int64), `<NA>` for those without a total.

    A placing is one more than the number ahead: ahead by total, and among equals by the criteria.
    """
    without = np.asarray(sheet.total.isna())
    rows = np.flatnonzero(~without)
    ahead = np.zeros(len(without), dtype=np.int64)
    totals: Integers = np.asarray(sheet.total.to_numpy("int64", na_value=0)[rows], np.int64)
    ahead[rows] = _ahead_among_equals(ahead[rows], totals)
    for step in steps:
        groups = ahead[rows]
        equal = np.bincount(groups)[groups] > 1
        rows, groups = rows[equal], groups[equal]
        if not len(rows):
            break
        values = step.values(sheet)[rows]
        # Where one of the equals has no value for this criterion, it and all after it settle
        # nothing among them: they share the place, and `ties` says why.
        settled = ~np.isin(groups, groups[values == UNKNOWN])
        rows, groups, values = rows[settled], groups[settled], values[settled]
        ahead[rows] = _ahead_among_equals(groups, values)
    return pd.Series(pd.arrays.IntegerArray(ahead + 1, without), index=sheet.total.index)


def _ahead_among_equals(ahead: Integers, values: Integers) -> Integers:
    """How many are ahead, once those with equally many ahead are told apart by *values*."""
    if not len(values):
        return ahead
    # One number per row, the smaller the further ahead: sorting it sorts by both.
    highest = int(values.max())
    key = ahead * (highest - int(values.min()) + 1) + (highest - values)
    order = np.argsort(key)
    told_apart = np.empty_like(ahead)
    told_apart[order] = ahead[order] + _first_alike(key[order]) - _first_alike(ahead[order])
    return told_apart


def _first_alike(ordered: Integers) -> Integers:
    """For each of these numbers in order, the position of the first one equal to it."""
    begins = np.flatnonzero(np.concatenate(([True], ordered[1:] != ordered[:-1])))
    return np.repeat(begins, np.diff(begins, append=len(ordered)))
