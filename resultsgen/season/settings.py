"""Every setting of `season.toml`, and the columns of `people.csv`."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise
from typing import Annotated, Any, Literal, Self

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from resultsgen.meet.columns import MeetColumn
from resultsgen.meet.names import Languages
from resultsgen.meet.problems import did_you_mean
from resultsgen.meet.values import (
    Day,
    Frozen,
    Mark,
    NameOrder,
    OneLine,
    Slug,
    Sources,
    Title,
    Whole,
    as_list,
)
from resultsgen.season.criteria import CRITERIA
from resultsgen.season.facts import ALL_AROUND

TEAM = "team"


def _each_once(named: tuple[str, ...]) -> tuple[str, ...]:
    if twice := sorted({one for one in named if named.count(one) > 1}):
        raise ValueError(f"{', '.join(twice)} stands here twice; name each once")
    return named


def _meets(named: tuple[str, ...]) -> tuple[str, ...]:
    for one in named:
        if not ROUND.fullmatch(one):
            raise ValueError(
                f"{one or 'an empty name'} is no meet; write june-cup, or june-cup/women-final"
            )
    return named


ROUND = re.compile("[^/]+(/[^/]+)?")
"""A meet, and the id of one of its competitions."""


def _falling(points: tuple[int, ...]) -> tuple[int, ...]:
    if any(later > earlier for earlier, later in pairwise(points)) or min(points, default=0) < 0:
        raise ValueError("must not rise from place to place, nor be below 0: [25, 20, 18]")
    return points


def _known(names: tuple[str, ...]) -> tuple[str, ...]:
    there = [one.name for one in CRITERIA]
    for name in names:
        if name not in there:
            mend = did_you_mean(name, there) or f"there are {', '.join(there)}"
            raise ValueError(f"there is no criterion {name}; {mend}")
    return names


def _several(check: Callable[[tuple[Any, ...]], tuple[Any, ...]]) -> tuple[Any, ...]:
    return BeforeValidator(as_list), AfterValidator(check)


Rounds = Annotated[
    tuple[str, ...],
    *_several(_each_once),
    AfterValidator(_meets),
    Field(min_length=1, max_length=200, json_schema_extra={"type": ["string", "array"]}),
]
Points = Annotated[tuple[Mark, ...], *_several(_falling), Field(max_length=500)]
Criteria = Annotated[tuple[str, ...], *_several(_each_once), AfterValidator(_known)]


ONLY = {
    "points": {"tied"},
    "totals": {"highest"},
    "matches": {"pairs", "won_by", "sets", "draw", "matches"},
}
"""Settings that say something only where that is counted."""


class OverMeets(Frozen):
    """A table over several meets: what of them counts, how much, and how equals are told apart."""

    id: Slug = Field(description="Short and lasting; it is part of the page's address")
    title: Title
    rounds: Rounds = Field(
        description="Meets in order, also to come: june-cup, or june-cup/women-final"
    )
    competition: str = Field("", description="Its id in each meet, where a round names none")
    discipline: str = Field("", description="Only of this discipline")
    division: str = Field("", description="Only of this division, with places among them")
    of: Literal["gymnasts", "teams", "clubs"] = "gymnasts"
    list: str = Field("", description="all-around, team, or the code of an apparatus")
    count: Literal["points", "totals", "matches"] = "points"
    points: Points = Field((), description="By place, from the first on; further places get none")
    tied: Literal["share", "each"] = Field(
        "share", description="Equals share the points of their places, or each get the highest"
    )
    of_club: Annotated[Whole, Field(ge=1)] | None = Field(
        None, description="How many of a club count in a round; empty: all"
    )
    best: Annotated[Whole, Field(ge=1)] | None = Field(
        None, description="How many rounds count, the best ones; empty: all"
    )
    needed: Whole = Field(1, ge=1, description="In how many rounds one must be to have a place")
    ties: Criteria = Field((), description="What tells equals apart, in order")
    pairs: bool = Field(False, description="Each two teams of a competition are a match")
    won_by: Literal["total", "sets"] = Field("total", description="What decides a match")
    sets: Points = Field((2000, 0), description="Set points of an apparatus, by place")
    draw: Mark | None = Field(None, description="Points of each in a match of two that is drawn")
    matches: Whole = Field(1, ge=1, description="How many matches a team has in a round at most")

    @model_validator(mode="after")
    def _fits_together(self) -> Self:
        """What does not go together is told with what to write."""
        if self.count == "points" and not self.points:
            raise ValueError("points are counted, and none are given; add  points = [25, 20, 18]")
        if self.count == "matches" and self.of != "teams":
            raise ValueError('matches are of teams; add  of = "teams"')
        for count, names in ONLY.items():
            if count != self.count and (out := sorted(self.model_fields_set.intersection(names))):
                raise ValueError(
                    f"{', '.join(out)} of a series that counts {count}; mend one of both"
                )
        if self.count == "totals" and self.points:
            raise ValueError("points are given, and totals are counted; delete one of both")
        unfit = "places" if self.count == "matches" else "matches"
        for one in CRITERIA:
            if one.name in self.ties and one.of == unfit:
                raise ValueError(f"ties: {one.name} says nothing where {self.count} are counted")
        if self.list and (self.list == TEAM) != (self.of == "teams"):
            raise ValueError(f"{self.of} have no list {self.list} that counts; mend one of both")
        if self.of_club and self.of != "clubs":
            raise ValueError('of_club is for clubs; add  of = "clubs", or delete it')
        rounds = len(self.rounds)
        for key, many in (("needed", self.needed), ("best", self.best or 1)):
            if many > rounds:
                raise ValueError(
                    f"{key} = {many} is more than all rounds, {rounds}; mend one of both"
                )
        return self

    @property
    def match_points(self) -> tuple[int, ...]:
        """Points of a match, by place."""
        return self.points or (2000, 0)

    @property
    def list_name(self) -> str:
        """Which list of each meet counts."""
        return self.list or (TEAM if self.of == "teams" else ALL_AROUND)


class SeriesSettings(OverMeets):
    """A series or a league: `[[series]]`."""

    up: Whole = Field(0, ge=0, description="How many are promoted")
    down: Whole = Field(0, ge=0, description="How many are relegated")
    closed: bool = Field(False, description="Nobody joins who was in no round yet")
    highest: Mark | None = Field(None, description="The highest total that a round can give")


class QualificationSettings(OverMeets):
    """A qualification over several meets: `[[qualification]]`."""

    count: Literal["points", "totals", "matches"] = "totals"
    best: Annotated[Whole, Field(ge=1)] | None = Field(
        1, description="How many rounds count, the best ones"
    )
    mark: Mark | None = Field(None, description="The standard: this total or mark, at any of them")
    place: Annotated[Whole, Field(ge=1)] | None = Field(
        None, description="The standard: this place or a better one, at any of them"
    )
    times: Whole = Field(1, ge=1, description="At how many of the meets it must be reached")
    places: Annotated[Whole, Field(ge=1)] | None = Field(
        None, description="How many qualify; empty: all who have the standard"
    )
    reserves: Whole = Field(0, ge=0)
    cap: Whole = Field(0, ge=0, description="How many of one body at most; 0: no limit")
    body: Literal["club", "federation"] = "club"

    @model_validator(mode="after")
    def _asks_something(self) -> Self:
        """What would leave nobody out, or go by nothing, is told."""
        standard = self.mark is not None or self.place is not None
        if not standard and self.places is None:
            raise ValueError("leaves nobody out; say a standard (mark, place), or how many places")
        if self.times > (len(self.rounds) if standard else 1):
            raise ValueError("times is in more meets than there are, or of no standard; mend it")
        if self.cap and self.of != "gymnasts":
            raise ValueError("cap is for gymnasts of one body; delete it")
        if self.reserves and self.places is None:
            raise ValueError("reserves need places; add  places = 8, or delete reserves")
        return self


class CalendarEntry(Frozen):
    """A meet to come: `[[calendar]]`."""

    id: Slug = Field(description="The name that its folder will have")
    title: Title
    dates: tuple[Day, ...] = Field(min_length=1, max_length=2, description="First and last day")
    place: OneLine = ""

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.dates[0] > self.dates[-1]:
            raise ValueError("dates: the last day is before the first; write the first day first")
        return self


class SeasonSettings(Frozen):
    """The whole of `season.toml`."""

    title: Title
    organiser: OneLine = ""
    languages: Languages = ("en",)
    theme: str = Field("standard", description="A theme's name, or a folder in the season folder")
    base_url: str = Field("", description="Where it will be published: https://example.org/")
    names: NameOrder | None = Field(None, description="Which part of a name stands first")
    year_begins: Annotated[Whole, Field(ge=1, le=12)] = Field(
        1, description="The month with which the year of a yearbook begins"
    )
    search_engines: bool = Field(True, description="May search engines list the pages?")
    meets: Sources = Field(
        min_length=1, description="Meet folders and published folders: meets/*, spring/output"
    )
    compare: tuple[tuple[str, ...], ...] = Field(
        (), description="Rule sets whose marks may stand in one list"
    )
    same_event: tuple[tuple[str, ...], ...] = Field(
        (), description="Meets that are one event, held again, which has records of its own"
    )
    series: tuple[SeriesSettings, ...] = ()
    qualification: tuple[QualificationSettings, ...] = ()
    calendar: tuple[CalendarEntry, ...] = ()


PEOPLE = (
    MeetColumn("name", "The whole name as a meet lists it, family name first", needed=True),
    MeetColumn("club", "The club; empty: any"),
    MeetColumn("birth_year", "The year of birth; empty: any", "whole number"),
    MeetColumn("person", "The lasting number; empty: any"),
    MeetColumn("is", "same, or not the same: as the other of this row", "word"),
    MeetColumn("other_name", "The name of the other; empty: the same name"),
    MeetColumn("other_club", "The club of the other; empty: any"),
    MeetColumn("other_birth_year", "The year of birth of the other; empty: any", "whole number"),
    MeetColumn("other_person", "The lasting number of the other; empty: any"),
    MeetColumn("now_called", "The name that the season uses: Vale, Ada"),
    MeetColumn("publish", "no: the name is withheld in the whole season", "word"),
)
"""One row for what is settled of a gymnast, or of two."""
