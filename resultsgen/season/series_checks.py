"""What is wrong with the settings of tables over meets, and what of a table is to be told."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from resultsgen.files.toml_keys import key_path
from resultsgen.meet.marks import show_mark
from resultsgen.meet.problems import Note, Problem
from resultsgen.privacy.forms import folded
from resultsgen.season.season import Season
from resultsgen.season.series import SeriesTable
from resultsgen.season.settings import OverMeets, SeriesSettings


class Wanted(NamedTuple):
    """A table over several meets, and where it stands in season.toml."""

    settings: OverMeets
    kind: str
    number: int

    @property
    def list(self) -> str:
        """Which list of each meet counts."""
        return self.settings.list_name

    def where(self, key: str) -> str:
        """One of its settings."""
        return key_path(self.kind, self.number, key)

    def amiss(self, key: str, code: str, message: str, value: str = "") -> Problem:
        """What is wrong with one of its settings."""
        return Problem("season.toml", 0, self.where(key), code, message, value)


def one_id(tables: list[Wanted]) -> Iterator[Problem]:
    """Tables with one id, by which pages and rows of data are told apart."""
    many = Counter(one.settings.id for one in tables)
    for one in tables:
        if many[one.settings.id] > 1:
            message = (
                f"{many[one.settings.id]} series and qualifications have the id "
                f"{one.settings.id}; give each its own"
            )
            yield one.amiss("id", "id-twice", message, one.settings.id)


def calendar_amiss(season: Season) -> Iterator[Problem]:
    """Entries of the calendar with one name, and those of meets that are on other days now."""
    meets = {meet.id: meet for meet in season.facts.meets}
    many = Counter(one.id for one in season.settings.calendar)
    for number, one in enumerate(season.settings.calendar):
        where = key_path("calendar", number, "id")
        if many[one.id] > 1:
            message = f"{one.id} stands in the calendar {many[one.id]} times; leave one"
            yield Problem("season.toml", 0, where, "meet-twice", message, one.id)
        meet = meets.get(one.id)
        if meet and (meet.first, meet.last) != (one.dates[0], one.dates[-1]):
            message = f"{one.id} is there, on other days than here: those of the meet hold"
            yield Note("season.toml", 0, where, "left-alone", message, one.id)


def series_amiss(wanted: Wanted, made: SeriesTable, season: Season) -> Iterator[Problem]:
    """All that is to be said of a table."""
    yield from _up_and_down(wanted, made)
    yield from _out_of_order(wanted, made, season)
    yield from _spelt_twice(wanted, made)


def _up_and_down(wanted: Wanted, made: SeriesTable) -> Iterator[Problem]:
    """Promotion and relegation of one line, and more than a round can give."""
    settings = wanted.settings
    if not isinstance(settings, SeriesSettings):
        return
    placed = sum(line.place is not None for line in made.lines)
    both, known = settings.up + settings.down, settings.closed or made.over
    if settings.up and settings.down and known and 0 < placed < both:
        message = (
            f"up = {settings.up} and down = {settings.down} are more than the {placed} with a "
            "place, so somebody would go both ways; lower one of them"
        )
        yield wanted.amiss("down", "up-and-down", message, str(settings.down))
    made_there = [(part.value, one) for one in made.rounds for part in one.parts.values()]
    most, where = max(made_there, key=lambda one: one[0], default=(Fraction(0), None))
    if where and settings.highest is not None and most > settings.highest:
        message = (
            f"{show_mark(int(most))} was reached in {where.id}, and highest = "
            f"{show_mark(settings.highest)}; raise it, since by it is known what is decided"
        )
        yield wanted.amiss("highest", "higher-than-highest", message, show_mark(settings.highest))


def _out_of_order(wanted: Wanted, made: SeriesTable, season: Season) -> Iterator[Note]:
    """Rounds that stand before one that was earlier: the last is the one written last."""
    days = {one.id: one.dates[0] for one in season.settings.calendar}
    days |= {one.id: one.first for one in season.facts.meets}
    for one, later in pairwise(made.rounds):
        if days[one.meet] > days[later.meet]:
            message = (
                f"{later.id} stands after {one.id} and was before it; the rounds count in the "
                "order in which they are written here"
            )
            where = wanted.where("rounds")
            yield Note("season.toml", 0, where, "rounds-not-by-day", message, later.id)


def _spelt_twice(wanted: Wanted, made: SeriesTable) -> Iterator[Note]:
    """Clubs or teams that differ in letter case, accents, dots or blanks alone."""
    spelt = defaultdict[str, list[str]](list)
    for line in made.lines if wanted.settings.of != "gymnasts" else ():
        spelt["".join(filter(str.isalnum, folded(line.who)))].append(line.who)
    for names in spelt.values():
        if len(names) > 1:
            message = (
                f"{' and '.join(names)} have a line each; if they are the same, write one name in "
                "the rosters"
            )
            yield Note("season.toml", 0, wanted.where("of"), "spelt-twice", message, names[0])
