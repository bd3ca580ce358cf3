"""The facts of a season: who was at which meet, and every mark and total, in order of time."""

from __future__ import annotations

import datetime as dt
import pickle
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby
from operator import itemgetter
from typing import NamedTuple

from resultsgen.files.cache import key_of
from resultsgen.season.told import ToldCompetition, ToldResults, ToldRoutine, unpacked

ALL_AROUND = "all-around"


class SeasonMeet(NamedTuple):
    """One meet of a season."""

    id: str
    """By which the season knows it, from how its folder is called."""
    title: str
    place: str
    first: dt.date
    last: dt.date
    organiser: str
    official: bool
    complete: bool
    """No mark is to come."""
    head: ToldResults
    """The results; where they are packed, without lines."""
    digest: str = ""
    """Another one once anything of the meet is otherwise."""
    made: Made | None = None
    """What `made_at` finds, where that is known."""
    packed: bytes = b""

    @property
    def results(self) -> ToldResults:
        """All that is told of it; of many meets one after the other."""
        return unpacked(self.packed) if self.packed else self.head


class Appearance(NamedTuple):
    """A row of the roster of one meet: what tells who it is."""

    meet: str
    entry: int
    bib: str
    family: str
    given: str
    club: str
    discipline: str
    birth_year: int | None
    lasting: str
    """The number that is the same in every meet."""
    withheld: bool
    """The name is known only to whoever withholds it, or to nobody."""


class Achieved(NamedTuple):
    """A mark on an apparatus, or an all-around total, as the meet has it."""

    day: dt.date
    meet: str
    competition: str
    order: int
    """Of the competition in its meet."""
    title: str
    list: str
    """all-around, or the code of the apparatus."""
    parts: tuple[str, ...]
    """The apparatus that an all-around is the sum of."""
    vault: int
    entry: int
    discipline: str
    division: str
    guest: bool
    rules: str
    mark: int
    place: int | None


KEY = itemgetter(*map(Achieved._fields.index, ("day", "meet", "order", "list", "entry", "vault")))
"""The place of a mark in the order of time, the same whatever is read first."""


class AlikeMarks(NamedTuple):
    """Marks of one meet that compare."""

    discipline: str
    division: str
    list: str
    parts: tuple[str, ...]
    rules: str


ALIKE = itemgetter(*map(Achieved._fields.index, AlikeMarks._fields))


def alike_with(one: Achieved) -> AlikeMarks:
    """The marks that it compares with at its meet."""
    return AlikeMarks._make(ALIKE(one))


class ListMade(NamedTuple):
    """What is known of a list of a meet without its marks; guests are in none."""

    told: dict[int, str]
    """What tells its marks from others, for each year."""
    entries: tuple[int, ...]
    """Whose each mark is."""
    tops: tuple[Achieved, ...]
    """The highest of each day, in order of time."""


class Made(NamedTuple):
    """Every mark of a meet, packed list by list; what is known without them, and lists."""

    packed: dict[AlikeMarks, bytes]
    many: int
    days: tuple[dt.date, ...]
    """On which there are marks, in order."""
    by_entry: dict[int, tuple[str, tuple[int, ...]]]
    """What tells the marks of a gymnast from others, and in which years there are some."""
    by_list: dict[AlikeMarks, ListMade]
    divisions: dict[str, tuple[str, ...]]
    """Of those who are in each competition."""
    lists: dict[str, dict[str, tuple[int, ...]]]
    """Who is in each list of gymnasts of each competition, in whatever place."""
    bodies: tuple[str, ...]
    """Its clubs and teams."""
    head: str
    """What tells all else of the meet, but what stands in its lists, from how it was before."""

    def of(self, alike: AlikeMarks) -> Iterator[Achieved]:
        """The marks of a list, in order of time."""
        return map(Achieved._make, pickle.loads(self.packed[alike]))

    @property
    def achieved(self) -> list[Achieved]:
        """All marks, in order of time."""
        return sorted((one for alike in self.packed for one in self.of(alike)), key=KEY)


@dataclass(frozen=True, eq=False)
class Facts:
    """What is known of all meets, in orders that do not depend on how they were named."""

    meets: tuple[SeasonMeet, ...]

    @cached_property
    def made(self) -> dict[str, Made]:
        """What is known of the marks of each meet."""
        return {meet.id: made_at(meet) for meet in self.meets}

    @cached_property
    def apparatus(self) -> dict[str, str]:
        """The name of each apparatus, as the first meet has it, in the order of the meets."""
        named: dict[str, str] = {}
        for meet in self.meets:
            for one in meet.head.apparatus:
                named.setdefault(one.code, one.name)
        return named

    @property
    def many(self) -> int:
        """How many marks there are."""
        return sum(made.many for made in self.made.values())

    def achieved(self, rows: Iterable[tuple[str, int]]) -> list[Achieved]:
        """What rows of rosters achieved, by meet and entry, in order of time."""
        found = (one for meet, entry in rows for one in self._at(meet).get(entry, ()))
        return sorted(found, key=KEY)

    def _at(self, meet: str) -> dict[int, list[Achieved]]:
        """The marks of a meet by entry; once they are read they stay at hand."""
        if meet not in self._read:
            found: dict[int, list[Achieved]] = defaultdict(list)
            for one in self.made[meet].achieved:
                found[one.entry].append(one)
            self._read[meet] = found
        return self._read[meet]

    @cached_property
    def _read(self) -> dict[str, dict[int, list[Achieved]]]:
        return {}

    def years(self, rows: Iterable[tuple[str, int]]) -> set[int]:
        """The years in which rows of rosters achieved something."""
        none: tuple[str, tuple[int, ...]] = ("", ())
        return {
            year for meet, entry in rows for year in self.made[meet].by_entry.get(entry, none)[1]
        }

    @cached_property
    def days(self) -> dict[int, list[tuple[dt.date, str]]]:
        """The days with marks and their meets, year by year in order of time."""
        every = sorted((day, id) for id, made in self.made.items() for day in made.days)
        return {year: [*held] for year, held in groupby(every, key=lambda one: one[0].year)}

    @property
    def with_marks(self) -> set[str]:
        """The meets that have marks."""
        return {id for id, made in self.made.items() if made.many}


def facts(meets: Iterable[SeasonMeet]) -> Facts:
    """The facts of these meets."""
    return Facts(tuple(sorted(meets, key=lambda meet: (meet.first, meet.last, meet.id))))


def appearances(meet: str, results: ToldResults) -> Iterator[Appearance]:
    """Everybody on the roster of a meet, with no name where it is withheld."""
    for one in results.gymnasts:
        yield Appearance(
            meet, one.entry, one.bib, one.family_name, one.given_name, one.club, one.discipline,
            one.birth_year, one.person, one.name_withheld,
        )  # fmt: skip


def made_at(meet: SeasonMeet) -> Made:
    """Every mark of a meet, each once."""
    if meet.made:
        return meet.made
    by_entry: dict[int, list[Achieved]] = defaultdict(list)
    by_list: dict[AlikeMarks, list[Achieved]] = defaultdict(list)
    every = sorted(achieved(meet), key=KEY)
    for one in every:
        by_entry[one.entry].append(one)
        by_list[alike_with(one)].append(one)
    division = {one.entry: one.division for one in meet.results.gymnasts}
    divisions = {
        held.id: tuple(sorted({division[line.entry] for line in held.lines}))
        for held in meet.results.competitions
    }
    official = {of: [one for one in made if not one.guest] for of, made in by_list.items()}
    bodies = tuple(sorted(_bodies(meet.results)))
    return Made(
        {of: pickle.dumps([*map(tuple, made)], 5) for of, made in by_list.items()},
        len(every),
        tuple(dict.fromkeys(one.day for one in every)),
        {
            entry: (key_of(repr([*map(_told, made)])), tuple({one.day.year: 0 for one in made}))
            for entry, made in by_entry.items()
        },
        {of: _list_made(made) for of, made in official.items() if made},
        divisions,
        {held.id: _lists(held) for held in meet.results.competitions},
        bodies,
        key_of(repr((_head(meet), divisions, bodies))),
    )  # fmt: skip


def _head(meet: SeasonMeet) -> tuple[object, ...]:
    """A meet without its lists, and which there are."""
    held = [
        (*one._replace(all_around=None, by_apparatus=(), team=None, not_ranked=()),
         *told_lists(one))
        for one in meet.results.competitions
    ]  # fmt: skip
    bare = meet.results._replace(competitions=())
    return (*meet._replace(head=bare, digest="", made=None, packed=b""), held)


def _bodies(results: ToldResults) -> set[str]:
    teams = (team.name for one in results.competitions if one.team for team in one.team.lines)
    return {*(one.club for one in results.gymnasts), *teams}


def _told(one: Achieved) -> tuple[object, ...]:
    return (str(one.day), one.order, one.competition, one.list, one.vault, one.mark, one.place)


def _list_made(made: list[Achieved]) -> ListMade:
    years = {year: [*own] for year, own in groupby(made, key=lambda one: one.day.year)}
    days = ([*own] for _, own in groupby(made, key=lambda one: one.day))
    return ListMade(
        {
            year: key_of(repr([(one.entry, *_told(one)) for one in own]))
            for year, own in years.items()
        },
        tuple(one.entry for one in made),
        tuple(
            one for own in days for top in [max(one.mark for one in own)]
            for one in own if one.mark == top
        ),
    )  # fmt: skip


def told_lists(held: ToldCompetition) -> Iterator[str]:
    """The lists of a competition: all-around, team, and each apparatus."""
    if held.all_around:
        yield ALL_AROUND
    if held.team:
        yield "team"
    yield from (one.apparatus for one in held.by_apparatus)


def _lists(held: ToldCompetition) -> dict[str, tuple[int, ...]]:
    return {
        ranking.apparatus or ALL_AROUND: tuple(sorted(line.entry for line in ranking.lines))
        for ranking in (held.all_around, *held.by_apparatus)
        if ranking
    }


def achieved(meet: SeasonMeet) -> Iterator[Achieved]:
    """Every mark of a meet once, in the competition in which it was made, and every total."""
    people = {one.entry: one for one in meet.results.gymnasts}
    of = {one.id: one for one in meet.results.competitions}
    for order, held in enumerate(meet.results.competitions):
        for entry, list, parts, vault, mark, place in _own(held, of):
            who = people[entry]
            yield Achieved(
                held.day or meet.first, meet.id, held.id, order, held.title, list, parts, vault,
                entry, who.discipline, who.division, who.guest, held.rules.identity, mark, place,
            )  # fmt: skip


def _own(
    held: ToldCompetition, of: Mapping[str, ToldCompetition]
) -> Iterator[tuple[int, str, tuple[str, ...], int, int, int | None]]:
    """The marks and totals that no competition has whose marks count here, too."""
    before = [of[id] for id in (*held.marks_of, *held.days) if id in of]
    taken = {key for one in before for key in routines(one)}
    places = _places(held)
    for key, routine in routines(held).items():
        if routine.mark is not None and key not in taken:
            entry, apparatus, vault = key
            place = places.get((entry, apparatus)) if vault == 1 else None
            yield entry, apparatus, (), vault, routine.mark, place
    told = {(entry, total) for one in before for entry, total, _ in totals(one)}
    parts = held.all_around.parts if held.all_around else ()
    for entry, total, place in totals(held):
        if (entry, total) not in told:
            yield entry, ALL_AROUND, parts, 1, total, place


def routines(held: ToldCompetition) -> dict[tuple[int, str, int], ToldRoutine]:
    """Every performance that the lists of a competition show, each once."""
    return {
        (line.entry, routine.apparatus, routine.vault): routine
        for line in held.lines
        for routine in line.routines
        if routine
    }


def marks_made(results: ToldResults) -> set[object]:
    """Every mark with who made it: by name, or where it is withheld by bib."""
    who = {
        one.entry: (one.discipline, one.family_name, one.given_name or one.bib)
        for one in results.gymnasts
    }
    return {
        (who[entry], apparatus, vault, routine.mark)
        for held in results.competitions
        for (entry, apparatus, vault), routine in routines(held).items()
        if routine.mark is not None
    }


def totals(held: ToldCompetition) -> Iterator[tuple[int, int, int | None]]:
    """Whole all-around totals that are the sum of the marks of the list alone."""
    ranking = held.all_around
    for line in ranking.lines if ranking and not ranking.terms else ():
        if line.total is not None and line.done >= line.needed > 0:
            yield line.entry, line.total, line.place


def _places(held: ToldCompetition) -> dict[tuple[int, str], int | None]:
    return {
        (line.entry, ranking.apparatus): line.place
        for ranking in held.by_apparatus
        for line in ranking.lines
    }
