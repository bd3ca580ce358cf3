"""Records of all meets, of one event that is held again, and of the meets of a series."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Literal, NamedTuple

from resultsgen.files.toml_keys import key_path
from resultsgen.meet.problems import Problem, did_you_mean
from resultsgen.season.bests import (
    Comparable,
    RecordSet,
    as_set,
    comparables,
    made_in,
    records,
    tops,
)
from resultsgen.season.facts import Achieved
from resultsgen.season.season import Season
from resultsgen.season.series import SeriesTable


class Among(NamedTuple):
    """Meets among which there are records."""

    kind: Literal["all meets", "meet", "series"]
    """A meet: those that are one event."""
    id: str
    """Of the series; of an event the first of its meets that the settings name."""
    title: str
    meets: frozenset[str]
    rows: frozenset[tuple[str, int]] = frozenset()
    """Of a series: who is in the lists that count, by meet and entry."""
    divisions: frozenset[str] = frozenset()
    """Theirs."""

    def marks(self, of: Comparable, season: Season) -> list[Achieved]:
        """Those of a list that may set a record; a series is not parted into divisions."""
        if self.kind != "series":
            return [one for one in tops(of, season) if one.meet in self.meets]
        made = [] if of.division else made_in(of, season, self.meets)
        return [one for one in made if (one.meet, one.entry) in self.rows]


@lru_cache(maxsize=2)
def groups(season: Season) -> tuple[Among, ...]:
    """Every event that the settings name and that was held, then every series."""
    titles = {meet.id: meet.title for meet in season.facts.meets}
    found = []
    for event in season.settings.same_event:
        held = [id for id in titles if id in event]
        if held:
            found.append(Among("meet", event[0], titles[held[-1]], frozenset(event)))
    return (*found, *(_of_series(one, season) for one in season.series))


def _of_series(table: SeriesTable, season: Season) -> Among:
    settings = table.settings
    meets = {meet.id: meet for meet in season.facts.meets}
    divisions = {
        (one.meet, gymnast.entry): gymnast.division
        for one in table.rounds if one.meet in meets
        for gymnast in meets[one.meet].head.gymnasts
        if settings.division in ("", gymnast.division)
    }  # fmt: skip
    rows = frozenset(
        (one.meet, line.entry)
        for one in table.rounds if one.meet in meets
        for held in meets[one.meet].results.competitions if held.id in one.competitions
        for line in held.lines if (one.meet, line.entry) in divisions
    )  # fmt: skip
    named = frozenset(one.partition("/")[0] for one in settings.rounds)
    return Among(
        "series", settings.id, settings.title, named, rows,
        frozenset(divisions[row] for row in rows),
    )  # fmt: skip


@lru_cache(maxsize=2)
def records_among(season: Season) -> dict[Among, tuple[RecordSet, ...]]:
    """The records as they were set and broken: of all meets, then of each event and series."""
    whole = Among("all meets", "", "", frozenset(meet.id for meet in season.facts.meets))
    found = {whole: records(season)}
    for group in groups(season):
        each = ((of, group.marks(of, season)) for of in comparables(season))
        found[group] = tuple(one for of, made in each for one in as_set(of, made))
    return found


def unknown_events(season: Season) -> Iterator[Problem]:
    """Meets of `same_event` that are neither there nor in the calendar, or in two events."""
    there = {meet.id for meet in season.facts.meets} | {one.id for one in season.settings.calendar}
    before: set[str] = set()
    for number, event in enumerate(season.settings.same_event):
        for at, id in enumerate(event):
            message = ""
            if id not in there:
                mend = did_you_mean(id, there) or "a meet to come stands in [[calendar]]"
                message = f"there is no meet {id} in the season; {mend}"
            elif id in before:
                message = f"{id} stands here twice; name it once"
            if message:
                where = key_path("same_event", number, at)
                yield Problem("season.toml", 0, where, "no-such-meet", message, id)
            before.add(id)
