"""Who belongs to a competition: the gymnasts on the roster of its discipline and divisions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from resultsgen.meet.folder import Entry, Meet
from resultsgen.meet.settings import Competition

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt
    import pandas as pd


def belongs(competition: Competition, entry: Entry) -> bool:
    """Whether a competition takes the discipline and the division of a row of the roster.

    A competition without divisions takes all; whom its own entries take out is in it no more.
    """
    return (
        entry.discipline == competition.discipline
        and (not competition.divisions or entry.division in competition.divisions)
        and competition.entered.get(entry.bib) != ()
    )


def gymnasts_of(competition: Competition, meet: Meet) -> list[Entry]:
    """The rows of the roster that belong to a competition."""
    return [entry for entry in meet.entries if belongs(competition, entry)]


def bibs_of(competition: Competition, meet: Meet) -> set[str]:
    """The bibs in a competition."""
    return {entry.bib for entry in gymnasts_of(competition, meet)}


def belonging_mask(competition: Competition, roster: pd.DataFrame) -> npt.NDArray[np.bool_]:
    """True for each row of the roster that belongs to the competition."""
    import numpy as np

    found = np.asarray(roster["discipline"].to_numpy() == competition.discipline, dtype=bool)
    if competition.divisions:
        divisions = set(competition.divisions)
        found &= np.array([one in divisions for one in roster["division"].tolist()], dtype=bool)
    if gone := set(competition.not_entered):
        found &= np.array([one not in gone for one in roster["bib"].tolist()], dtype=bool)
    return found
