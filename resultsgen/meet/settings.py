"""Every setting of `meet.toml`.

The classes are the definition: `meet.toml` is validated against them, and the JSON Schema that
editors use to complete it is generated from them.
"""

from __future__ import annotations

import datetime as dt
import json
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field

from resultsgen.meet.competition import Competition
from resultsgen.meet.names import APPARATUS_NAMES, DISCIPLINES, LanguageCode, Languages
from resultsgen.meet.sources import Columns, Files, TableForm
from resultsgen.meet.values import Day, Filled, Frozen, NameOrder, Number


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
    seconds: Number = Field(12, ge=4, le=120, description="How long each of it stands")
    competitions: tuple[str, ...] = Field(
        (), description="Their ids; empty: those under way, else the ones that ended last"
    )


class Certificates(Frozen):
    """Who gets a certificate, and how it looks."""

    whom: Literal["everybody", "placed"] = Field(
        "everybody", alias="for", description="All who performed, or those on the first places"
    )
    places: Number = Field(3, ge=1, description="So many places of a list count as placed")
    design: Literal["theme", "plain"] = Field(
        "theme", description="The theme's, or text alone for printed paper of your own"
    )
    top: Number = Field(
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


class MeetSettings(Frozen):
    """The whole of `meet.toml`."""

    title: Filled
    place: str = ""
    venue: str = ""
    dates: tuple[Day, ...] = Field((), max_length=2, description="First and last day")
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

    @property
    def by_id(self) -> dict[str, Competition]:
        """The competitions by their ids."""
        return {competition.id: competition for competition in self.competitions}

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

    def least_of_a_team(self, competition: Competition) -> int:
        """How many gymnasts a body must have to be a team.

        A club or federation as many as marks count; the gymnasts of a smaller one are individuals.
        A team that the roster names, or that a cut let through, is one in any case.
        """
        format, source = competition.team, self.by_id.get(competition.entered_from)
        let_in = (cut for cut in (source.cuts if source else ()) if cut.to == competition.id)
        if format is None or format.by == "team" or any(cut.of == "team" for cut in let_in):
            return 1
        return format.count

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
