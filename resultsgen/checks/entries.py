"""Who belongs to a competition: the gymnasts on the roster of its discipline and divisions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from resultsgen.meet import Competition

if TYPE_CHECKING:
    import pandas as pd


def belongs(competition: Competition, roster: pd.DataFrame) -> pd.Series[bool]:
    """True for each row of the roster whose discipline and division the competition takes.

    Capitals make no difference in a division; a competition without divisions takes all.
    """
    of_discipline = roster["discipline"] == competition.discipline
    if not competition.divisions:
        return of_discipline
    divisions = {division.strip().casefold() for division in competition.divisions}
    return of_discipline & roster["division"].str.casefold().isin(divisions)
