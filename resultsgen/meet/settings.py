"""Every setting of `meet.toml`.

The classes are the definition: `meet.toml` is validated against them, and the JSON Schema that
editors use to complete it is generated from them.
"""

from __future__ import annotations

import datetime as dt
import json
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field

from resultsgen.meet.sources import Columns, Files, TableForm
from resultsgen.meet.values import Filled, Frozen, Mark, NameOrder, Slug, Sources

APPARATUS_NAMES = {
    "FX": "Floor Exercise",
    "PH": "Pommel Horse",
    "SR": "Still Rings",
    "VT": "Vault",
    "PB": "Parallel Bars",
    "HB": "Horizontal Bar",
    "UB": "Uneven Bars",
    "BB": "Balance Beam",
}
DISCIPLINES = {
    "men": ("FX", "PH", "SR", "VT", "PB", "HB"),
    "women": ("VT", "UB", "BB", "FX"),
}
"""The apparatus in Olympic order; never sorted alphabetically."""

BodyKind = Literal["federation", "club", "team"]
"""What a team is made of: a column of the roster."""

CutBody = Literal["federation", "club", "team", "division"]
"""What a cut counts by: a column of the roster; a region stands in the column `federation`."""


LanguageCode = Literal["en", "fr", "de", "es"]


def _each_once(codes: tuple[LanguageCode, ...]) -> tuple[LanguageCode, ...]:
    if len(set(codes)) < len(codes):
        raise ValueError("name each language once")
    return codes


Languages = Annotated[
    tuple[LanguageCode, ...],
    AfterValidator(_each_once),
    Field(min_length=1, description="The first is the main one; more go into fr/, de/ ..."),
]
"""What the pages are written in."""


def _in_assets(name: str) -> str:
    """A picture of `assets/` may be named with the folder or without."""
    return name.removeprefix("assets/")


Handout = Literal[
    "awards sheet", "ribbons", "wall sheets", "certificates", "score sheets", "medals"
]
"""What a club hands out or puts up beside the books; a meet names those that it wants."""


class Signature(Frozen):
    """Who confirmed the results."""

    name: str
    role: str = Field("", description="For example: President of the superior jury")
    time: str = Field("", description="When, as it is to be printed: 2031-05-18 17:40")


class Status(Frozen):
    """Provisional until somebody signs."""

    state: Literal["provisional", "official"] = "provisional"
    signed: tuple[Signature, ...] = ()


class Official(Frozen):
    """One line of the page of officials."""

    role: str
    name: str


class Privacy(Frozen):
    """What is published of a person beyond what a result needs."""

    birth_year: bool = Field(False, description="Print the year of birth of the gymnasts")
    search_engines: bool = Field(True, description="May search engines list the pages?")
    namesakes: tuple[str, ...] = Field(
        (),
        description="Names that read like one that is withheld, and are not meant by it",
    )


class Press(Frozen):
    """What the press page says of those who wrote it."""

    contact: tuple[str, ...] = Field((), description="Whom to ask, line by line")
    embargo: str = Field("", description="Until when nothing may be published, as it is printed")
    terms: str = Field("", description="How the results may be used")


Panel = Literal["leaders", "just in", "needs", "up next"]


class Screen(Frozen):
    """The page for a display in the hall, `screen.html`."""

    show: tuple[Panel, ...] = Field(
        ("leaders", "just in", "needs", "up next"),
        min_length=1,
        description="What it turns through, in this order",
    )
    seconds: int = Field(12, ge=4, le=120, description="How long each of it stands")
    competitions: tuple[str, ...] = Field(
        (), description="Their ids; empty: those under way, else the ones that ended last"
    )


class Certificates(Frozen):
    """Who gets a certificate, and how it looks."""

    whom: Literal["everybody", "placed"] = Field(
        "everybody", alias="for", description="All who performed, or those on the first places"
    )
    places: int = Field(3, ge=1, description="So many places of a list count as placed")
    design: Literal["theme", "plain"] = Field(
        "theme", description="The theme's, or text alone for printed paper of your own"
    )
    top: int = Field(
        90, ge=20, le=130, description="Of plain ones: so many millimetres stay free above"
    )
    picture: Annotated[str, AfterValidator(_in_assets)] = Field(
        "", description="A picture in assets/"
    )
    signatures: tuple[str, ...] = Field(
        (),
        max_length=3,
        description="What stands below each line to sign; empty: who signed, or the officials",
    )


class Discipline(Frozen):
    """A discipline beside men's and women's: its name and its apparatus in order."""

    name: str
    apparatus: tuple[str, ...] = Field(min_length=1)


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
    places: int | None = Field(None, ge=1, description="So many qualify")
    percent: int | None = Field(
        None, ge=1, le=100, description="So many per cent of those placed qualify"
    )
    rounding: Literal["up", "down"] = Field(
        "up", description="Whether a fraction of a place, by percent, counts as a place"
    )
    each: int | None = Field(
        None, ge=1, description="So many of each body (per) qualify, and reserves likewise"
    )
    reserves: int | None = Field(None, ge=0, description="Empty: none, or those of the usual cut")
    cap: int | None = Field(
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
    vaults: Literal[1, 2] = Field(1, description="How many vaults the vault ranking needs")
    rules: str = Field("international", description="A rule set's name, or a .toml file here")
    missing_scores: Literal["stop", "share"] = Field(
        "stop",
        description="When the rules settle a tie by a D or E score that is not given: "
        "stop and say so, or leave the tie shared and print why",
    )
    day: dt.date | None = None
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

    @property
    def not_entered(self) -> tuple[str, ...]:
        """The bibs of those who are not in it, though discipline and division would have them."""
        return tuple(bib for bib, parts in self.entered.items() if not parts)

    @property
    def fed_by(self) -> tuple[str, ...]:
        """The ids of all that must be known before this one can be judged."""
        first = (self.entered_from,) if self.entered_from else ()
        return (*first, *self.marks_of, *self.days, *self.carried_from)


class MeetSettings(Frozen):
    """The whole of `meet.toml`."""

    title: Filled
    place: str = ""
    venue: str = ""
    dates: tuple[dt.date, ...] = Field((), max_length=2, description="First and last day")
    organiser: str = ""
    languages: Languages = ("en",)
    texts: dict[LanguageCode, dict[str, str]] = Field(
        {},
        description="Texts of this file, and divisions, sessions and squads of the roster, in "
        'another language: [texts.de], then by the text: "Women, final" = "Frauen, Finale"',
    )
    theme: str = Field("standard", description="A theme's name, or a folder in the meet folder")
    base_url: str = Field("", description="Where it will be published: https://example.org/cup/")
    published: dt.datetime | Literal["now"] | None = Field(
        None,
        description="The time printed on every page; now: by the clock, once for each publication; "
        "empty: SOURCE_DATE_EPOCH, or none",
    )
    logo: Annotated[str, AfterValidator(_in_assets)] = Field("", description="A picture in assets/")
    picture: Annotated[str, AfterValidator(_in_assets)] = Field(
        "",
        description="A photograph in assets/, of the hall for instance, for the first page of a "
        "theme that has room for one, as gala has",
    )
    paper: Literal["A4", "Letter"] = "A4"
    names: NameOrder | None = Field(
        None, description="Which part of a name stands first, wherever one is shown; empty: family"
    )
    bibs: Literal["worn", "made"] = Field(
        "worn", description="made: nobody wore the numbers of the roster, and they are not shown"
    )
    equals: Literal["name", "bib"] = Field(
        "name", description="In which order a list prints those who are equal; it decides nothing"
    )
    handouts: tuple[Handout, ...] = Field(
        (), description="What is made to be handed out or put up, beside the books; empty: nothing"
    )
    adding_up: Literal["stop", "note"] = Field(
        "stop", description="What a routine whose parts do not add up to its mark does"
    )
    status: Status = Status.model_construct()
    officials: tuple[Official, ...] = ()
    privacy: Privacy = Privacy.model_construct()
    press: Press = Press.model_construct()
    certificates: Certificates = Certificates.model_construct()
    embeds: bool = Field(
        False, description="Make each list once more for the pages of others, to stand in a frame"
    )
    screen: Screen | None = Field(None, description="A page for a display in the hall")
    files: Files = Files.model_construct()
    columns: Columns = Columns.model_construct()
    tables: dict[str, TableForm] = Field(
        {}, description="How a source of [files] is to be read, by the source as it stands there"
    )
    apparatus: dict[str, str] = Field({}, description='Names by code: MT = "Mini-trampoline"')
    disciplines: dict[str, Discipline] = Field({})
    rules: dict[str, dict[str, Any]] = Field(
        {}, description="Entries of a rule set that this meet changes, by the rule set's name"
    )
    competitions: tuple[Competition, ...] = Field(alias="competition", min_length=1, max_length=200)

    @property
    def printed_time(self) -> dt.datetime | None:
        """The time of publication, where it is known."""
        return None if self.published == "now" else self.published

    def apparatus_of(self, competition: Competition) -> tuple[str, ...]:
        """The apparatus of a competition in the order of the discipline; empty if unknown."""
        if competition.apparatus:
            return competition.apparatus
        if competition.discipline in self.disciplines:
            return self.disciplines[competition.discipline].apparatus
        return DISCIPLINES.get(competition.discipline, ())

    def sources_of(self, competition: Competition) -> tuple[str, ...]:
        return competition.marks or self.files.marks

    def sources(self, table: str) -> tuple[str, ...]:
        """Where the rows of a table stand, each source once; of the marks by competition."""
        if table != "marks":
            sources = getattr(self.files, table)
            return (sources,) if isinstance(sources, str) else tuple(sources)
        own = (one for one in self.competitions if one.has_own_marks)
        lists = dict.fromkeys(map(self.sources_of, own))  # Most of them have the same.
        return tuple(dict.fromkeys(source for sources in lists for source in sources))

    def entered_under(self, competition: Competition) -> tuple[str, ...]:
        """The ids that the marks of a competition are entered under: its own, or the others'."""
        if competition.has_own_marks:
            return (competition.id,)
        named = [one for one in self.competitions if one.id in competition.marks_of]
        days = [one for one in self.competitions if one.id in competition.days]
        return (
            *(one.id for one in named),
            *(id for one in days for id in one.marks_of or (one.id,)),
        )

    def apparatus_name(self, code: str) -> str:
        """The name of an apparatus, in English unless `[apparatus]` says otherwise."""
        return self.apparatus.get(code) or APPARATUS_NAMES.get(code, code)


def schema_text() -> str:
    """The JSON Schema of `meet.toml`, by which an editor completes it, from the same classes."""
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **MeetSettings.model_json_schema(by_alias=True),
        "title": "meet.toml",
        "description": "The settings of a meet folder of resultsgen",
    }
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"
