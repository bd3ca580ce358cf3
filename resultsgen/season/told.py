"""What a season reads of the `results.json` of a meet; the rest of it is not asked."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from resultsgen.meet.marks import parse_mark

NEWEST = 1
"""The first number of the formats that are read."""


def _exact(written: object) -> int:
    mark = parse_mark(written) if isinstance(written, str) else None
    if mark is None:
        raise ValueError("is no mark with three decimals")
    return mark


ToldMark = Annotated[int, BeforeValidator(_exact)]


class ToldThing(BaseModel):
    """Base of all that is read: what is not asked for is left, and nothing is guessed."""

    model_config = ConfigDict(extra="ignore", frozen=True, strict=True, defer_build=True)


class ToldMeet(ToldThing):
    """The meet as a whole."""

    title: str
    place: str
    first_day: dt.date | None
    last_day: dt.date | None
    organiser: str
    state: Literal["provisional", "official"]


class ToldApparatus(ToldThing):
    """An apparatus and its name."""

    code: str
    name: str


class ToldGymnast(ToldThing):
    """A row of the roster."""

    entry: int
    bib: str
    family_name: str
    given_name: str
    name_withheld: bool
    club: str
    discipline: str
    division: str
    birth_year: int | None
    guest: bool
    person: str = ""
    """Formats before 1.10 have none."""


class ToldRoutine(ToldThing):
    """A performance."""

    apparatus: str
    vault: int
    mark: ToldMark | None
    place: int | None


class ToldTerm(ToldThing):
    """Something else than the marks of the list, of which its totals are the sum."""

    kind: str


class ToldLine(ToldThing):
    """A gymnast in a list."""

    entry: int
    place: int | None = None
    total: ToldMark | None = None
    done: int = 0
    needed: int = 0
    routines: tuple[ToldRoutine | None, ...] = ()


class ToldRanking(ToldThing):
    """A list of gymnasts."""

    apparatus: str
    parts: tuple[str, ...]
    terms: tuple[ToldTerm, ...]
    lines: tuple[ToldLine, ...]


class ToldTeam(ToldThing):
    """A team, with its gymnasts."""

    name: str
    place: int | None
    total: ToldMark | None
    members: tuple[ToldLine, ...]


class ToldTeams(ToldThing):
    """The list of teams."""

    lines: tuple[ToldTeam, ...]


class ToldRules(ToldThing):
    """The rule set of a competition."""

    name: str
    title: str

    @property
    def identity(self) -> str:
        """What tells it from others: its name, or of a meet's own the title."""
        return self.title if self.name.endswith(".toml") else self.name


class ToldCompetition(ToldThing):
    """A competition with its lists."""

    id: str
    title: str
    discipline: str
    phase: Literal["qualification", "final"]
    day: dt.date | None
    complete: bool
    marks_of: tuple[str, ...]
    days: tuple[str, ...]
    rules: ToldRules
    all_around: ToldRanking | None
    by_apparatus: tuple[ToldRanking, ...]
    team: ToldTeams | None
    not_ranked: tuple[ToldLine, ...]

    @property
    def lines(self) -> Iterator[ToldLine]:
        """Every line of every list, and the marks that no list takes."""
        for ranking in filter(None, (self.all_around, *self.by_apparatus)):
            yield from ranking.lines
        for team in self.team.lines if self.team else ():
            yield from team.members
        yield from self.not_ranked


class ToldResults(ToldThing):
    """The results of a meet."""

    format: Literal["resultsgen results"]
    version: str = Field(pattern=rf"^{NEWEST}\.[0-9]+$")
    meet: ToldMeet
    apparatus: tuple[ToldApparatus, ...]
    gymnasts: tuple[ToldGymnast, ...]
    competitions: tuple[ToldCompetition, ...]
