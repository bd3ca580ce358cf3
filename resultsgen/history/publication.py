"""What one publication keeps of what was published: who, the settings, marks, places, ties, cuts.

A gymnast whose name is withheld is told by discipline and bib alone. Nothing is kept of what
people wrote about others: the reasons of corrections stand in the meet folder.
"""

from __future__ import annotations

import datetime as dt
from typing import Any, Literal, NamedTuple

from pydantic import Field, model_validator

from resultsgen.meet.folder import Correction
from resultsgen.meet.marks import show_mark
from resultsgen.meet.settings import Frozen, Signature

FORMAT_VERSION = "2.0"
"""Of the record of a publication."""

NAME = "name"
"""The fact of a gymnast that is known of nobody whose name is withheld."""

SETTINGS = ("title", "place", "venue", "organiser", "dates", "officials")
"""Facts of the whole meet."""


class PublishedGymnast(NamedTuple):
    """One person of the roster."""

    person: str
    """The address, which stays whoever else wears the bib, and whichever bib this one wears."""
    bib: str
    competitions: tuple[str, ...] = ()
    """The ids of those in which this gymnast starts."""
    facts: dict[str, str] | None = None
    """Name, club and so on, as printed; empty where the name is withheld; None: not kept."""


class PublishedMark(NamedTuple):
    """A routine as it was published; marks in whole thousandths."""

    bib: str
    apparatus: str
    vault: int
    mark: int | None
    d: int | None
    e: int | None
    penalty: int | None
    bonus: int | None
    status: str

    @property
    def key(self) -> tuple[str, str, int]:
        """Whose routine it is, and which."""
        return self.bib, self.apparatus, self.vault

    @property
    def text(self) -> str:
        """The mark with three decimals, or the status in its place."""
        return show_mark(self.mark) or self.status


class PublishedLine(NamedTuple):
    """A line of a list: a bib, or in a list of teams the team's name."""

    who: str
    place: int | None
    total: int | None
    status: str
    penalty: int = 0
    """Of a team."""
    members: tuple[str, ...] = ()
    """Of a team: the bibs of those who belong to it."""


class PublishedTie(NamedTuple):
    """Those who had an equal total, and the places that they were given."""

    who: tuple[str, ...]
    places: tuple[int, ...]


class Through(NamedTuple):
    """What a cut meant for one of the list: qualified, reserve (with its number) or capped."""

    who: str
    outcome: str
    number: int
    starts: bool
    """False: withdrawn; true of a reserve: called up."""


class PublishedCut(Frozen):
    """Everybody for whom a cut meant something, in the order of the list."""

    name: str
    lines: tuple[Through, ...]


class PublishedList(Frozen):
    """A list of a competition: all-around, an apparatus, team."""

    id: str
    lines: tuple[PublishedLine, ...]
    ties: tuple[PublishedTie, ...]
    cuts: tuple[PublishedCut, ...]


class PublishedCompetition(Frozen):
    """The marks and the lists of one competition."""

    id: str
    entered_from: str
    """The competition whose cut filled this one."""
    marks: tuple[PublishedMark, ...]
    lists: tuple[PublishedList, ...]
    marks_from: tuple[str, ...] = ()
    """Those whose marks count in this one: added days, or marks that are carried or shared."""
    facts: dict[str, str] | None = None
    """Its title, its settings and every entry of its rules, as text; None: not kept."""


class Told(NamedTuple):
    """A row of the corrections without what people wrote in it."""

    competition: str
    bib: str
    apparatus: str
    vault: int
    old: str
    new: str
    gone: bool
    what: str = ""


def told(row: Correction) -> Told:
    """What a publication keeps of a row of the corrections."""
    return Told(*row[:6], row.gone, row.what)


class Publication(Frozen):
    """One publication: its number, its time, and what it published."""

    format: Literal["resultsgen publication"] = "resultsgen publication"
    version: Literal["2.0"] = "2.0"
    number: int = Field(ge=1)
    published: dt.datetime | None
    state: Literal["provisional", "official"]
    sealed: bool
    signed: tuple[Signature, ...]
    facts: dict[str, str] | None = None
    """The title of the meet, its dates and so on, as text; None: not kept."""
    gymnasts: tuple[PublishedGymnast, ...]
    competitions: tuple[PublishedCompetition, ...]
    corrections: tuple[Told, ...]
    """The rows of corrections that the meet folder had by then."""

    @model_validator(mode="before")
    @classmethod
    def _of_version_1(cls, held: Any) -> Any:
        """A record of version 1.0 named gymnasts as women/101, and kept the reasons."""
        if not isinstance(held, dict) or held.get("version") != "1.0":
            return held
        return held | {
            "version": FORMAT_VERSION,
            "gymnasts": [_gymnast_of_version_1(one) for one in held["gymnasts"]],
            "corrections": [[*one[:6], one[9]] for one in held["corrections"]],
        }


def _gymnast_of_version_1(person: str) -> PublishedGymnast:
    """The discipline and the bib, and the division where another wore the bib.

    >>> _gymnast_of_version_1("women/101/junior").bib
    '101'
    """
    return PublishedGymnast(person, person.split("/")[1])
