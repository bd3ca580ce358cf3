"""How placings are given: 1, 2, 2, 4. Those still tied share the better placing.

Source: standard competition ranking, as in every published table of `tests/published/`.
"""

from __future__ import annotations

import numpy as np
import pandas as pd

from resultsgen.rules.ties import UNKNOWN, Criterion, Integers, Sheet


def placings(sheet: Sheet, steps: tuple[Criterion, ...]) -> pd.Series[int]:
    """The place of each row (Int64), `<NA>` for those without a total.

    A placing is one more than the number ahead: ahead by total, and among equals by the criteria.
    """
    ranked = np.flatnonzero(sheet.total.notna().to_numpy())
    totals = np.asarray(sheet.total.iloc[ranked], dtype=np.int64)
    ahead = _ahead_among_equals(np.zeros(len(ranked), dtype=np.int64), totals)
    undecided = np.ones(len(ranked), dtype=bool)
    for step in steps:
        equal = np.flatnonzero((np.bincount(ahead, minlength=1)[ahead] > 1) & undecided)
        if not len(equal):
            break
        values = step.values(sheet.rows(ranked[equal]))
        # Where one of the equals has no value for this criterion, it and all after it settle
        # nothing among them: they share the place, and `ties` says why.
        lacking = np.unique(ahead[equal][values == UNKNOWN])
        settled = ~np.isin(ahead[equal], lacking)
        undecided[equal[~settled]] = False
        rows = equal[settled]
        ahead[rows] = _ahead_among_equals(ahead[rows], values[settled])
    places = pd.Series(pd.NA, index=sheet.total.index, dtype="Int64")
    places.iloc[ranked] = ahead + 1
    return places


def _ahead_among_equals(ahead: Integers, values: Integers) -> Integers:
    """How many are ahead, once those with equally many ahead are told apart by *values*."""
    order = np.lexsort((-values, ahead))
    groups, ordered = ahead[order], values[order]
    position = np.arange(len(order), dtype=np.int64)
    new_group = np.ones(len(order), dtype=bool)
    new_group[1:] = groups[1:] != groups[:-1]
    new_value = new_group.copy()
    new_value[1:] |= ordered[1:] != ordered[:-1]
    first_of_group = np.maximum.accumulate(np.where(new_group, position, 0))
    first_of_value = np.maximum.accumulate(np.where(new_value, position, 0))
    told_apart = np.empty(len(order), dtype=np.int64)
    told_apart[order] = groups + first_of_value - first_of_group
    return told_apart
