"""What a season reads of the `results.json` of a meet; the rest of it is not asked."""

from __future__ import annotations

import datetime as dt
import pickle
import re
from collections.abc import Iterator
from functools import cache, lru_cache
from typing import Annotated, Literal, NamedTuple, TypeVar, get_type_hints
from zlib import compress, decompress

from pydantic import AfterValidator, BeforeValidator, Field, GetCoreSchemaHandler, TypeAdapter
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from resultsgen.meet.values import Day, Slug
from resultsgen.reading.texts import why_unfit

NEWEST = 1
"""The first number of the formats that are read."""


EXACT = re.compile(r"-?[0-9]{1,3}\.[0-9]{3}")


def _exact(written: object) -> int:
    if not isinstance(written, str) or not EXACT.fullmatch(written):
        raise ValueError("is no mark with three decimals")
    return int(written.replace(".", ""))


ToldMark = Annotated[int, BeforeValidator(_exact)]

HIGHEST = 100_000
"""No rules give as much for a routine."""


def _of_routine(written: object) -> int:
    mark = _exact(written)
    if not 0 <= mark <= HIGHEST:
        raise ValueError("no routine has such a mark")
    return mark


RoutineMark = Annotated[int, BeforeValidator(_of_routine)]

Place = Annotated[int, Field(ge=1, le=100_000)]
Number = Annotated[int, Field(ge=0, le=1_000_000)]


UNFIT = "unfit-text"


@lru_cache(maxsize=2**12)
def _fit(text: str) -> str:
    if why := why_unfit(text):
        raise PydanticCustomError(UNFIT, "{why}", {"why": why})
    return text


def _on_one_line(text: str) -> str:
    if text.splitlines() not in ([], [text]):
        raise PydanticCustomError(UNFIT, "{why}", {"why": "has a line break"})
    return _fit(text)


Text = Annotated[str, AfterValidator(_fit)]
Cell = Annotated[str, AfterValidator(_on_one_line)]
"""A text that a table has, where blanks are one."""

T = TypeVar("T")


def by_name(told: type[T]) -> type[T]:
    """Lets a tuple be read from an object: what is not asked for is left, and nothing is guessed.

    Tuples, since there are a million of them in an archive of years.
    """

    def schema(_: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        defaults = told._field_defaults  # type: ignore[attr-defined]
        fields = {
            name: core_schema.typed_dict_field(
                handler.generate_schema(kind), required=name not in defaults
            )
            for name, kind in get_type_hints(told, include_extras=True).items()
        }
        strict = core_schema.CoreConfig(strict=True)
        read = core_schema.typed_dict_schema(fields, extra_behavior="ignore", config=strict)
        return core_schema.no_info_after_validator_function(lambda held: told(**held), read)

    told.__get_pydantic_core_schema__ = schema  # type: ignore[attr-defined]
    return told


@by_name
class ToldMeet(NamedTuple):
    """The meet as a whole."""

    title: Annotated[Text, Field(pattern=r"\S")]
    place: Text
    first_day: Day | None
    last_day: Day | None
    organiser: Text
    state: Literal["provisional", "official"]
    published: dt.datetime | None = None


@by_name
class ToldApparatus(NamedTuple):
    """An apparatus and its name."""

    code: Annotated[str, Field(pattern=r"^[A-Za-z0-9]{1,8}$")]
    name: Text


@by_name
class ToldGymnast(NamedTuple):
    """A row of the roster."""

    entry: Number
    bib: Cell
    family_name: Cell
    given_name: Cell
    name_withheld: bool
    club: Cell
    federation: Cell
    discipline: Cell
    division: Cell
    birth_year: Annotated[int, Field(ge=1800, le=2200)] | None
    guest: bool
    person: Cell = ""
    """Formats before 1.10 have none."""


@by_name
class ToldRoutine(NamedTuple):
    """A performance."""

    apparatus: Text
    vault: Literal[1, 2]
    mark: RoutineMark | None
    place: Place | None


@by_name
class ToldTerm(NamedTuple):
    """Something else than the marks of the list, of which its totals are the sum."""

    kind: Text


@by_name
class ToldLine(NamedTuple):
    """A gymnast in a list."""

    entry: Number
    place: Place | None = None
    total: ToldMark | None = None
    done: Number = 0
    needed: Number = 0
    routines: tuple[ToldRoutine | None, ...] = ()


@by_name
class ToldRanking(NamedTuple):
    """A list of gymnasts."""

    apparatus: Text
    parts: tuple[Text, ...]
    terms: tuple[ToldTerm, ...]
    lines: tuple[ToldLine, ...]


@by_name
class ToldTeamApparatus(NamedTuple):
    """A team on an apparatus."""

    apparatus: Text
    total: ToldMark | None


@by_name
class ToldTeam(NamedTuple):
    """A team, with its gymnasts."""

    name: Text
    place: Place | None
    total: ToldMark | None
    members: tuple[ToldLine, ...]
    apparatus: tuple[ToldTeamApparatus, ...]
    penalty: ToldMark = 0


@by_name
class ToldTeams(NamedTuple):
    """The list of teams."""

    lines: tuple[ToldTeam, ...]


@by_name
class ToldRules(NamedTuple):
    """The rule set of a competition."""

    name: Text
    title: Text

    @property
    def identity(self) -> str:
        """What tells it from others: its name, or of a meet's own the title."""
        return self.title if self.name.endswith(".toml") else self.name


@by_name
class ToldCompetition(NamedTuple):
    """A competition with its lists."""

    id: Slug
    title: Text
    discipline: Text
    phase: Literal["qualification", "final"]
    day: Day | None
    complete: bool
    marks_of: tuple[Text, ...]
    days: tuple[Text, ...]
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


@by_name
class ToldResults(NamedTuple):
    """The results of a meet."""

    format: Literal["resultsgen results"]
    version: Annotated[str, Field(pattern=rf"^{NEWEST}\.[0-9]+$")]
    meet: ToldMeet
    apparatus: tuple[ToldApparatus, ...]
    gymnasts: tuple[ToldGymnast, ...]
    competitions: tuple[ToldCompetition, ...]
    publication: Annotated[int, Field(ge=1), AfterValidator(lambda _: 1)] = 1
    """Seen to be a number, and not kept: the same results may be published twice."""


def without_lines(told: ToldResults) -> ToldResults:
    """The same with no line in any list, and no marks."""

    def bare(held: ToldCompetition) -> ToldCompetition:
        return held._replace(
            all_around=held.all_around and held.all_around._replace(lines=()),
            by_apparatus=tuple(one._replace(lines=()) for one in held.by_apparatus),
            team=held.team and ToldTeams(()), not_ranked=(),
        )  # fmt: skip

    return told._replace(competitions=tuple(map(bare, told.competitions)))


def packed(told: ToldResults) -> bytes:
    """The same in few bytes, of which an archive has many."""
    return compress(pickle.dumps(told, 5), 1)


@lru_cache(maxsize=8)
def unpacked(held: bytes) -> ToldResults:
    """What was packed."""
    told: ToldResults = pickle.loads(decompress(held))
    return told


@cache
def _reader() -> TypeAdapter[ToldResults]:
    return TypeAdapter(ToldResults)


def read_told(held: bytes) -> ToldResults:
    """The results in these bytes; ValidationError where they are not of this format."""
    return _reader().validate_json(held)
