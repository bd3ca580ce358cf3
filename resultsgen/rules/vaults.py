"""What the vault ranking takes where two vaults are needed: the average of both.

The first vault alone counts for the all-around and the team. Averages are cut to thousandths in
nearly all published papers (663 of 663 in one corpus) and rounded in a few, so it is a setting.
Only those who did two vaults are ranked; an invalid vault is 0.000 and counts.
"""

from __future__ import annotations

import pandas as pd

from resultsgen.meet.marks import Averaging
from resultsgen.rules.totals import average_of_two


def vault_averages(
    first: pd.Series[int], second: pd.Series[int], averaging: Averaging
) -> pd.Series[int]:
    """Half the sum of two vaults (Int64), `<NA>` without both; see `average_of_two`."""
    return average_of_two(first, second, averaging)
