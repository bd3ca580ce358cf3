"""What is computed of all teams of a competition: counting marks, totals, places, day by day."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import pandas as pd

from resultsgen.live.old_tables import (
    Sheet,
    Teams,
    apparatus_totals,
    counting,
    counting_marks,
    placings,
    team_totals,
    without,
)
from resultsgen.meet.settings import TeamFormat
from resultsgen.rules.criteria import Criterion, criteria
from resultsgen.rules.ties import Tie
from resultsgen.scoring.field import Field
from resultsgen.scoring.lines import keyed_ties, with_e_worked_out
from resultsgen.scoring.results import Gymnast


@dataclass(frozen=True)
class OnApparatus:
    """The places of all teams on one apparatus, by team key, and the ties there."""

    places: pd.Series[int]
    ties: tuple[Tie, ...]


@dataclass(frozen=True)
class Day:
    """The teams in one competition: whether each mark counts, and what each apparatus gives."""

    field: Field
    team: pd.Series[Any]
    """The key of the team of each gymnast."""
    counts: pd.DataFrame
    penalties: pd.Series[int]
    """What was taken from each team there, where it is one of several days."""

    def totals(self, name: str, number_of_teams: int) -> pd.DataFrame:
        """The sums of one kind of number of the counting marks: a row per team.

        Not known as soon as a counting mark lacks it.
        """
        numbers = self._numbers(name)
        sums = apparatus_totals(numbers, self.team, self.counts)
        lacking = Teams.of(self.team).sums(self.counts.to_numpy() & numbers.isna().to_numpy())
        return without(sums, lacking > 0).reindex(range(number_of_teams))

    def each(self, name: str, part: str, number_of_teams: int) -> pd.DataFrame:
        """One kind of number of the counting marks on one apparatus, the best mark first."""
        marks, counts = self._numbers("mark")[part], self.counts[part]
        found = counting_marks(self._numbers(name)[part], marks, self.team, counts)
        return found.reindex(range(number_of_teams))

    def _numbers(self, name: str) -> pd.DataFrame:
        parts = list(self.counts.columns)
        numbers = self.field.numbers[name].reindex(columns=parts)
        return numbers.loc[list(self.team.index)].astype("Int64")


@dataclass(frozen=True)
class TeamTable:
    """What was computed of all teams, by team key."""

    sheet: Sheet
    steps: tuple[Criterion, ...]
    places: pd.Series[int]
    penalties: pd.Series[int]
    terms: tuple[pd.Series[int], ...]
    apparatus: dict[str, OnApparatus]
    counts: list[dict[int, dict[str, bool]]]
    """Whether each mark counts, day by day: by gymnast and apparatus."""


def _day(day: Field, these: Field, format: TeamFormat, members: dict[str, list[Gymnast]]) -> Day:
    keys = [one.key for gymnasts in members.values() for one in gymnasts]
    numbers = [number for number, name in enumerate(members) for _ in members[name]]
    team = pd.Series(numbers, index=keys, dtype="object")
    marks = day.numbers["mark"].reindex(columns=list(these.apparatus)).loc[keys].astype("Int64")
    own = day.competition.team if these.days else None
    names = list(members)
    taken = _penalties(own, names) if own and own.by == format.by else _none_taken(names)
    return Day(day, team, counting(marks, team, format.count), taken)


def team_table(these: Field, format: TeamFormat, members: dict[str, list[Gymnast]]) -> TeamTable:
    """All that is computed of the teams."""
    number = len(members)
    penalties = _penalties(format, list(members))
    days = [_day(day, these, format, members) for day in these.sources]
    each = [day.totals("mark", number) for day in days]
    terms = [team_totals(one, day.penalties) for one, day in zip(each, days, strict=True)]
    apparatus = _sum(each)
    taken = penalties + sum(day.penalties for day in days)
    sheet = Sheet(
        team_totals(apparatus, taken),
        apparatus,
        _sum_of_all(days, "e", number),
        _sum_of_all(days, "d", number),
    )
    rule = these.rule_set.tie_rule("team", these.competition.phase)
    steps = criteria(rule.criteria, len(these.apparatus))
    return TeamTable(
        sheet=sheet,
        steps=steps,
        places=placings(sheet, steps),
        penalties=taken.astype("Int64"),
        terms=tuple(terms) if these.days else (),
        apparatus={
            part: _on_apparatus(these, days, part, apparatus[part]) for part in these.apparatus
        },
        counts=[day.counts.T.to_dict() for day in days],  # type: ignore[misc]
    )


def _sum(each: list[pd.DataFrame]) -> pd.DataFrame:
    """Tables of apparatus totals added up; what one lacks adds nothing."""
    if len(each) == 1:
        return each[0]
    total = each[0]
    for one in each[1:]:
        total = total.add(one, fill_value=0)
    return total.astype("Int64")


def _sum_of_all(days: list[Day], name: str, number: int) -> pd.DataFrame:
    """The E or D scores of all counting marks; not known as soon as one lacks it."""
    each = [day.totals(name, number) for day in days]
    marked = [day.totals("mark", number).notna() for day in days]
    unknown = [one.isna() & marks for one, marks in zip(each, marked, strict=True)]
    lacking = unknown[0]
    for one in unknown[1:]:
        lacking = lacking | one
    return _sum(each).mask(lacking)


def _on_apparatus(these: Field, days: list[Day], part: str, totals: pd.Series[int]) -> OnApparatus:
    """The places of the teams on one apparatus: by their total there, then as the rules say.

    Equal totals share the place where the rules name no criterion (as in the published tables).
    """
    rule = these.rule_set.tie_rule("team-apparatus", these.competition.phase)

    def marks(name: str) -> pd.DataFrame:
        each = [day.each(name, part, len(totals)) for day in days]
        return pd.concat(each, axis=1, keys=range(len(each)))

    nothing = totals.to_frame()
    tables = [marks(name) for name in ("mark", "e", "d")] if rule.criteria else [nothing] * 3
    parts, e, d = tables
    sheet = Sheet(totals, parts, e, d)
    steps = criteria(rule.criteria, parts.shape[1])
    places = placings(sheet, steps)
    team_of: dict[int, int] = {}
    for day in days:
        team_of |= zip(day.team.index.tolist(), day.team.tolist(), strict=True)
    worked_out = {team_of[key] for key in with_e_worked_out(these, team_of, [part])}
    return OnApparatus(places, keyed_ties(sheet, places, steps, worked_out))


def _penalties(format: TeamFormat, names: list[str]) -> pd.Series[int]:
    """The penalty of each team, by team key."""
    taken = {name: 0 for name in names}
    for penalty in format.penalties:
        if penalty.team in taken:
            taken[penalty.team] += abs(penalty.points)
    return pd.Series(list(taken.values()), index=range(len(names)), dtype="Int64")


def _none_taken(names: list[str]) -> pd.Series[int]:
    return pd.Series(0, index=range(len(names)), dtype="Int64")
