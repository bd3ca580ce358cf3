"""Who belongs to a competition: the gymnasts on the roster of its discipline and divisions."""

from __future__ import annotations

from resultsgen.meet.folder import Entry, Meet
from resultsgen.meet.settings import Competition


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
