"""The meet, or a season, as every page names it."""

from __future__ import annotations

from dataclasses import dataclass

from resultsgen.views.site.addresses import Link


@dataclass(frozen=True)
class MeetView:
    """The meet as every page names it."""

    title: str
    organiser: str
    official: bool
    cautions: tuple[str, ...]
    """What the reader must know."""
    language: str
    noindex: bool
    # What follows is not said of a season.
    dates: str = ""
    where: str = ""
    status: str = ""
    status_sentence: str = ""
    published: str = ""
    as_of: str = ""
    """The time of it alone, for what is under way."""
    competitions: tuple[Link, ...] = ()
    logo: str = ""
    bibs_worn: bool = False
    """Whether anything is to be found by its bib."""
    of_meets: bool = False
    """It is a season."""
