"""What one publication keeps of what stood in the lists: marks, totals, places, ties and cuts.

It names gymnasts by their bib alone, so that a name that is withheld later is in no publication
either.
"""

from __future__ import annotations

import datetime as dt
from typing import Literal, NamedTuple

from pydantic import Field

from resultsgen.marks import show_mark
from resultsgen.meet import Correction, Frozen, Signature

FORMAT_VERSION = "1.0"
"""Of the record of a publication."""


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


class Publication(Frozen):
    """One publication: its number, its time, and what it published."""

    format: Literal["resultsgen publication"] = "resultsgen publication"
    version: str = FORMAT_VERSION
    number: int = Field(ge=1)
    published: dt.datetime | None
    state: Literal["provisional", "official"]
    sealed: bool
    signed: tuple[Signature, ...]
    gymnasts: tuple[str, ...]
    """Every gymnast of the roster: discipline and bib."""
    competitions: tuple[PublishedCompetition, ...]
    corrections: tuple[Correction, ...]
    """What the meet folder told of corrections by then."""
