"""One competition of a meet: who is in it, what is ranked, how teams count, where cuts lead."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from resultsgen.meet.values import Day, Filled, Frozen, Mark, NoTruth, Number, Slug, Sources

BodyKind = Literal["federation", "club", "team"]
"""What a team is made of: a column of the roster."""


CutBody = Literal["federation", "club", "team", "division"]
"""What a cut counts by: a column of the roster; a region stands in the column `federation`."""


class TeamPenalty(Frozen):
    """Taken from the team total, never from a gymnast's mark."""

    team: str
    points: Mark
    reason: str = ""


class TeamFormat(Frozen):
    """How a team is made up and counted; 5-4-3 is five in the team, four up, three count."""

    format: str = Field(
        "",
        pattern=r"^(\d{1,2}-\d{1,2}-\d{1,2})?$",
        examples=["5-4-3"],
        description="Size, up, count; empty: the usual format of the rule set",
    )
    by: BodyKind = Field("club", description="The roster column that names the team")
    penalties: tuple[TeamPenalty, ...] = ()

    @property
    def size(self) -> int:
        """How many gymnasts a team has at most."""
        return int(self.format.split("-")[0])

    @property
    def up(self) -> int:
        """How many of them perform on each apparatus at most."""
        return int(self.format.split("-")[1])

    @property
    def count(self) -> int:
        """How many marks count on each apparatus."""
        return int(self.format.split("-")[2])


Ranked = Literal["all-around", "apparatus", "team"]


class Withdrawal(Frozen):
    """A qualifier (a gymnast by bib, or a team) who does not start; the next one moves up."""

    bib: str = ""
    team: str = Field("", description="A team by its name, in the place of a bib")
    apparatus: tuple[str, ...] = Field((), description="Empty: withdrawn from all of it")
    reason: str = Field("", description="Why, for your own records: it is printed nowhere")


def _bibs(value: Any) -> Any:
    """Bibs as text in a list, or such lists by apparatus; one message whichever was meant."""
    lists = value.values() if isinstance(value, dict) else (value,)
    if not all(
        isinstance(bibs, (list, tuple)) and all(isinstance(bib, str) for bib in bibs)
        for bibs in lists
    ):
        raise ValueError(
            'write bibs in quotes and brackets: ["5", "12"]; or such a list by apparatus: '
            'VT = ["5", "12"]'
        )
    return value


Bibs = Annotated[tuple[str, ...] | dict[str, tuple[str, ...]], BeforeValidator(_bibs)]
"""Bibs in order; or by apparatus, where they differ."""


def bibs_on(given: Bibs, apparatus: str) -> tuple[str, ...]:
    """Those that hold on one apparatus."""
    return given.get(apparatus, ()) if isinstance(given, dict) else given


def every_bib(given: Bibs) -> tuple[str, ...]:
    """All that are named, on whatever apparatus, each once."""
    each = given.values() if isinstance(given, dict) else (given,)
    return tuple(dict.fromkeys(bib for bibs in each for bib in bibs))


class Cut(Frozen):
    """A qualification line: who qualifies and who is reserve.

    How many qualify is said by one of `places`, `percent` and `each`, or by the rule set.
    """

    name: str = Field(description="For example: All-around final")
    of: Ranked
    to: str = Field("", description="The id of the competition it leads to")
    places: Number | None = Field(None, ge=1, description="So many qualify")
    percent: Number | None = Field(
        None, ge=1, le=100, description="So many per cent of those placed qualify"
    )
    rounding: Literal["up", "down"] = Field(
        "up", description="Whether a fraction of a place, by percent, counts as a place"
    )
    each: Number | None = Field(
        None, ge=1, description="So many of each body (per) qualify, and reserves likewise"
    )
    reserves: Number | None = Field(
        None, ge=0, description="Empty: none, or those of the usual cut"
    )
    cap: Number | None = Field(
        None,
        ge=0,
        description="At most so many per body; 0: no limit; empty: none, or that of the usual cut",
    )
    cap_counts: Literal["qualifiers and reserves", "qualifiers"] = Field(
        "qualifiers and reserves", description="Who is counted towards the cap"
    )
    per: CutBody = Field("federation", description="The body that cap and each count by")
    minimum: Mark | None = Field(None, description="The least mark or total that qualifies")
    reserve_order: Bibs = Field(
        (),
        description="Equals as the jury put them: bibs, or teams by name; by apparatus where they "
        "differ. Empty: equal reserves share the number",
    )
    withdrawn: tuple[Withdrawal, ...] = Field(
        (), description="Where it leads to no competition of this meet; else say it there"
    )

    @property
    def says_how_many(self) -> list[str]:
        """Which of its settings say how many qualify; none: the rule set does."""
        return [name for name in ("places", "percent", "each") if getattr(self, name) is not None]


BYE = "bye"
"""A station of the circuit that begins with this word is a rotation at rest: bye, bye 2 ..."""


class Running(Frozen):
    """How squads go round the apparatus, and what nobody's mark is taken to surpass."""

    circuit: tuple[str, ...] = Field(
        (), description='Stations in order, with byes as "bye", "bye 2"; empty: the apparatus'
    )
    starts: dict[str, str] = Field(
        {}, description='Squad = the station it starts on, where marks name no rotation: A = "VT"'
    )
    highest: Mark | None = Field(
        None, description="A mark that nobody will surpass; empty: that of the rules, if any"
    )
    allowance: Mark | None = Field(
        None, description="Else so much above the best mark so far; empty: nothing is decided"
    )


class Competition(Frozen):
    """One thing that is placed inside a meet."""

    id: Slug = Field(description="Short and lasting; it is part of the page's address")
    title: Filled
    discipline: str = Field(description="men, women, or one declared under [disciplines]")
    divisions: tuple[str, ...] = Field((), description="Roster divisions; empty: all of them")
    phase: Literal["qualification", "final"] = "final"
    medals: bool = Field(
        True, description="Of a final: awarded on the awards sheet, and in the count of medals"
    )
    ranks: tuple[Ranked, ...] = Field(("all-around", "apparatus"), min_length=1)
    apparatus: tuple[str, ...] = Field((), description="Empty: all of the discipline")
    vaults: Annotated[Literal[1, 2], NoTruth] = Field(
        1, description="How many vaults the vault ranking needs"
    )
    rules: str = Field("international", description="A rule set's name, or a .toml file here")
    missing_scores: Literal["stop", "share"] = Field(
        "stop",
        description="When the rules settle a tie by a D or E score that is not given: "
        "stop and say so, or leave the tie shared and print why",
    )
    day: Day | None = None
    time: str = ""
    marks: Sources = Field(
        (), description="Its own marks, a file or a list, file#Sheet; empty: the meet's"
    )
    entered_from: str = Field("", description="Id of the competition whose cut fills this one")
    marks_of: tuple[str, ...] = Field(
        (), description="Ids of those whose marks count here too; it then has none of its own"
    )
    days: tuple[str, ...] = Field(
        (), description="Ids of those whose totals are added here, one for each day"
    )
    carried_from: tuple[str, ...] = Field(
        (), description="Ids of the two of whose marks half is carried into this one"
    )
    entered: dict[str, tuple[str, ...]] = Field(
        {},
        description="What somebody does here, by bib, where the roster has it otherwise: "
        '7 = ["VT"]; 7 = []: not in it. A team that a cut lets in may have others in it',
    )
    starters: Bibs = Field(
        (),
        description="Bibs, where people decided who starts; by apparatus, VT = [...], where only "
        "there, or where it differs",
    )
    start_order: Literal["as listed", "rank", "reverse rank"] = Field(
        "as listed",
        description="Of a final: as in starters (else by bib), or by rank in the qualification, "
        "the best first or last",
    )
    draw: dict[str, tuple[str, ...]] = Field(
        {}, description='Start order as drawn: VT = ["101", ...]; all = [...] for a whole final'
    )
    withdrawn: tuple[Withdrawal, ...] = ()
    team: TeamFormat | None = None
    cuts: tuple[Cut, ...] = ()
    running: Running = Running.model_construct()

    @property
    def has_own_marks(self) -> bool:
        """Marks are entered for it, and not taken from others."""
        return not (self.marks_of or self.days)

    def takes(self, discipline: str, division: str) -> bool:
        """Whether it is for this discipline and division; without divisions it takes all."""
        return discipline == self.discipline and (not self.divisions or division in self.divisions)

    @property
    def fed_by(self) -> tuple[str, ...]:
        """The ids of all that must be known before this one can be judged."""
        first = (self.entered_from,) if self.entered_from else ()
        return (*first, *self.marks_of, *self.days, *self.carried_from)
