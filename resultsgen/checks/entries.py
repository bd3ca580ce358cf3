"""Who belongs to a competition: the gymnasts on the roster of its discipline and divisions."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from resultsgen.meet.folder import Entry
from resultsgen.meet.settings import Competition

if TYPE_CHECKING:
    import pandas as pd


def belongs(competition: Competition, entry: Entry) -> bool:
    """Whether a competition takes the discipline and the division of a row of the roster.

    A competition without divisions takes all; whom its own entries take out is in it no more.
    """
    return (
        entry.discipline == competition.discipline
        and (not competition.divisions or entry.division in competition.divisions)
        and entry.bib not in competition.not_entered
    )


def belonging_mask(competition: Competition, roster: pd.DataFrame) -> npt.NDArray[np.bool_]:
    """True for each row of the roster that belongs to the competition."""
    found = np.asarray(roster["discipline"].to_numpy() == competition.discipline, dtype=bool)
    if competition.divisions:
        divisions = set(competition.divisions)
        found &= np.array([one in divisions for one in roster["division"].tolist()], dtype=bool)
    if gone := set(competition.not_entered):
        found &= np.array([one not in gone for one in roster["bib"].tolist()], dtype=bool)
    return found
