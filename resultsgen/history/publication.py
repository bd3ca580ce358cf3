"""What one publication keeps of what was published: who, the settings, marks, places, ties, cuts.

A gymnast whose name is withheld is told by discipline and bib alone. Nothing is kept of what
people wrote about others: the reasons of corrections stand in the meet folder.
"""

from __future__ import annotations

import datetime as dt
import os
from collections import deque
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, Literal, NamedTuple

from pydantic import Field, model_validator

from resultsgen.files.once import Once
from resultsgen.meet.folder import Correction
from resultsgen.meet.marks import show_mark
from resultsgen.meet.settings import MeetSettings, Signature
from resultsgen.meet.values import Frozen

FORMAT_VERSION = "2.0"
"""Of the record of a publication."""

PersonOfBib = Mapping[tuple[str, str], str]
"""The person by competition and bib."""


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


class PublishedVerdict(NamedTuple):
    """What a cut meant for one of the list: qualified, reserve (with its number) or capped; of a
    reserve, or who was capped, that she withdrew."""

    who: str
    outcome: str
    number: int
    starts: bool
    """False of who qualified: withdrawn; true of a reserve: called up."""

    @property
    def withdrew(self) -> bool:
        """Out, though the list has her among these."""
        return self.outcome == "withdrew" or (self.outcome == "qualified" and not self.starts)


class PublishedCut(Frozen):
    """Everybody for whom a cut meant something, in the order of the list."""

    name: str
    lines: tuple[PublishedVerdict, ...]


class PublishedList(Frozen):
    """A list of a competition: all-around, an apparatus, team."""

    id: str
    lines: tuple[PublishedLine, ...]
    ties: tuple[PublishedTie, ...]
    cuts: tuple[PublishedCut, ...]

    @property
    def complete(self) -> bool:
        """No mark of it is to come."""
        return all(line.status or line.total is not None for line in self.lines)


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


class PublishedCorrection(NamedTuple):
    """A row of the corrections without what people wrote in it."""

    competition: str
    bib: str
    apparatus: str
    vault: int
    old: str
    new: str
    gone: bool
    what: str = ""


def without_words(row: Correction) -> PublishedCorrection:
    """What a publication keeps of a row of the corrections."""
    return PublishedCorrection(*row[:6], row.gone, row.what)


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
    corrections: tuple[PublishedCorrection, ...]
    """The rows of corrections that the meet folder had by then."""

    @model_validator(mode="before")
    @classmethod
    def _of_version_1(cls, held: Any) -> Any:
        """A record of version 1.0 named gymnasts as women/101/junior, and kept the reasons."""
        if not isinstance(held, dict) or held.get("version") != "1.0":
            return held
        return held | {
            "version": FORMAT_VERSION,
            "gymnasts": [PublishedGymnast(name, name.split("/")[1]) for name in held["gymnasts"]],
            "corrections": [[*row[:6], row[9]] for row in held["corrections"]],
        }

    @property
    def bibs(self) -> PersonOfBib:
        """Who wears each bib of each competition; nothing where the publication does not know."""
        return {(id, one.bib): one.person for one in self.gymnasts for id in one.competitions}


def published_time(settings: MeetSettings) -> dt.datetime | None:
    """When this was published: from `meet.toml`, else SOURCE_DATE_EPOCH, else nobody says.

    The clock is asked where `meet.toml` says so and SOURCE_DATE_EPOCH is not set.
    """
    if settings.printed_time:
        return settings.printed_time
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    if epoch.isdecimal() and len(epoch) <= 11:  # Twelve digits may be after the year 9999.
        return dt.datetime.fromtimestamp(int(epoch), dt.UTC)
    return (
        dt.datetime.now().astimezone().replace(microsecond=0)
        if settings.published == "now"
        else None
    )


class _Naming:
    """Puts persons in the place of the bibs that they wear."""

    def __init__(self, bibs: PersonOfBib) -> None:
        self.bibs = bibs
        self._competition, self._list = Once(self._of_persons), Once(_list_of_persons)

    def publication(self, publication: Publication) -> Publication:
        named = tuple(map(self._competition, publication.competitions))
        return publication.model_copy(update={"competitions": named})

    def _of_persons(self, held: PublishedCompetition) -> PublishedCompetition:
        def person(bib: str) -> str:
            return self.bibs.get((held.id, bib), bib)

        marks = tuple(mark._replace(bib=person(mark.bib)) for mark in held.marks)
        lists = tuple(self._list(each, told=(person,)) for each in held.lists)
        return held.model_copy(update={"marks": marks, "lists": lists})


_namings: deque[_Naming] = deque(maxlen=8)


def _naming(bibs: PersonOfBib) -> _Naming:
    """The one that knows these bibs, so that a process that goes on names each thing once."""
    known = next((one for one in _namings if one.bibs == bibs), None)
    if known is None:
        known = _Naming(bibs)
        _namings.append(known)
    return known


def by_person(publications: Sequence[Publication]) -> Iterator[Publication]:
    """Each publication with persons in the place of bibs, which may be worn by others later.

    One that does not say who wore a bib goes by the first that does. What is the same object in
    the next publication, and names the same persons, is so here.
    """
    known = [*map(_bibs, publications)]
    first = next(filter(None, known), NOBODY)
    for publication, bibs in zip(publications, known, strict=True):
        yield _named(publication, bibs or first)


NOBODY: PersonOfBib = {}

_bibs = Once(lambda publication: publication.bibs)
_named = Once(lambda publication, bibs: _naming(bibs).publication(publication))
"""Once in a process that goes on, however many of them know other bibs."""


def _list_of_persons(held: PublishedList, person: Callable[[str], str]) -> PublishedList:
    if held.id == "team":
        members = (line._replace(members=tuple(map(person, line.members))) for line in held.lines)
        return held.model_copy(update={"lines": tuple(members)})
    cuts = []
    for cut in held.cuts:
        verdicts = tuple(one._replace(who=person(one.who)) for one in cut.lines)
        cuts.append(cut.model_copy(update={"lines": verdicts}))
    lines = tuple(line._replace(who=person(line.who)) for line in held.lines)
    ties = tuple(tie._replace(who=tuple(map(person, tie.who))) for tie in held.ties)
    return held.model_copy(update={"lines": lines, "ties": ties, "cuts": tuple(cuts)})
