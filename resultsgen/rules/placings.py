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
    ranked = np.flatnonzero(~without)
    ahead = np.zeros(len(without), dtype=np.int64)
    totals: Integers = np.asarray(sheet.total.to_numpy("int64", na_value=0)[ranked], np.int64)
    ahead[ranked] = _ahead_among_equals(ahead[ranked], totals)
    undecided = ~without
    for step in steps:
        rows = np.flatnonzero(undecided)
        equal = rows[np.bincount(ahead[rows])[ahead[rows]] > 1]
        if not len(equal):
            break
        values = step.values(sheet)[equal]
        # Where one of the equals has no value for this criterion, it and all after it settle
        # nothing among them: they share the place, and `ties` says why.
        settled = ~np.isin(ahead[equal], ahead[equal[values == UNKNOWN]])
        undecided[:] = False
        undecided[equal[settled]] = True
        ahead[equal[settled]] = _ahead_among_equals(ahead[equal[settled]], values[settled])
    return pd.Series(pd.arrays.IntegerArray(ahead + 1, without), index=sheet.total.index)


def _ahead_among_equals(ahead: Integers, values: Integers) -> Integers:
    """How many are ahead, once those with equally many ahead are told apart by *values*."""
    if not len(values):
        return ahead
    # One number per row, the smaller the further ahead: sorting it sorts by both.
    highest = int(values.max())
    key = ahead * (highest - int(values.min()) + 1) + (highest - values)
    order = np.argsort(key)
    groups, ordered = ahead[order], key[order]
    position = np.arange(len(order), dtype=np.int64)
    new_group, new_value = np.ones((2, len(order)), dtype=bool)
    new_group[1:] = groups[1:] != groups[:-1]
    new_value[1:] = ordered[1:] != ordered[:-1]
    first_of_group = np.maximum.accumulate(np.where(new_group, position, 0))
    first_of_value = np.maximum.accumulate(np.where(new_value, position, 0))
    told_apart = np.empty_like(ahead)
    told_apart[order] = groups + first_of_value - first_of_group
    return told_apart
