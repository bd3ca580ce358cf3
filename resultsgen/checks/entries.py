"""Who belongs to a competition: the gymnasts on the roster of its discipline and divisions."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from resultsgen.meet.settings import Competition

if TYPE_CHECKING:
    import pandas as pd


def belongs(competition: Competition, roster: pd.DataFrame) -> npt.NDArray[np.bool_]:
    """True for each row of the roster whose discipline and division the competition takes.

    A competition without divisions takes all; whom its own entries take out is in it no more.
    """
    found = np.asarray(roster["discipline"].to_numpy() == competition.discipline, dtype=bool)
    if competition.divisions:
        divisions = set(competition.divisions)
        found &= np.array([one in divisions for one in roster["division"].tolist()], dtype=bool)
    if gone := set(competition.not_entered):
        found &= np.array([one not in gone for one in roster["bib"].tolist()], dtype=bool)
    return found
