"""The list of teams: who is in each, which marks count, and the places."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import pandas as pd

from resultsgen.judging.cutting import body, cut_results
from resultsgen.judging.field import Field, whole
from resultsgen.judging.lists import keyed_ties, terms
from resultsgen.meet import CutBody, TeamFormat
from resultsgen.results import CutResult, Gymnast, TeamLine, TeamMember, TeamRanking, Tie
from resultsgen.rules.cuts import Candidate
from resultsgen.rules.placings import placings
from resultsgen.rules.statuses import list_status
from resultsgen.rules.teams import apparatus_totals, counting, counting_marks, team_totals
from resultsgen.rules.ties import Criterion, Sheet, criteria


def team_ranking(these: Field, format: TeamFormat) -> TeamRanking:
    """The teams of a competition, placed by the sum of their counting marks less penalties.

    Where days are added, the marks count day by day, and the totals of the days are added.
    """
    members = _members(these, format)
    days = [_day(day, these, format, members) for day in these.sources]
    penalties = _penalties(format, list(members))
    table = _table(these, days, penalties)
    lines = [
        _line(these, format, key, name, gymnasts, table)
        for key, (name, gymnasts) in enumerate(members.items())
    ]
    lines.sort(key=lambda line: (line.place is None, line.place or 0))
    to_come = sum(_has_marks_to_come(these, format, line) for line in lines)
    return TeamRanking(
        competition=these.competition.id,
        parts=these.apparatus,
        lines=tuple(lines),
        ties=keyed_ties(table.sheet, table.places, table.steps, _by_key(table.sheet.total)),
        cuts=_cuts(these, lines, complete=not to_come),
        to_come=to_come,
        terms=terms(these) if these.days else (),
        apparatus_ties={code: one.ties for code, one in table.apparatus.items()},
    )


@dataclass(frozen=True)
class _Day:
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
        lacking = (self.counts & numbers.isna()).groupby(self.team).any()
        return sums.mask(lacking).reindex(range(number_of_teams))

    def each(self, name: str, part: str, number_of_teams: int) -> pd.DataFrame:
        """One kind of number of the counting marks on one apparatus, the best mark first."""
        marks, counts = self._numbers("mark")[part], self.counts[part]
        found = counting_marks(self._numbers(name)[part], marks, self.team, counts)
        return found.reindex(range(number_of_teams))

    def _numbers(self, name: str) -> pd.DataFrame:
        parts = list(self.counts.columns)
        numbers = self.field.numbers[name].reindex(columns=parts)
        return numbers.loc[list(self.team.index)].astype("Int64")


def _day(day: Field, these: Field, format: TeamFormat, members: dict[str, list[Gymnast]]) -> _Day:
    keys = [one.key for gymnasts in members.values() for one in gymnasts]
    numbers = [number for number, name in enumerate(members) for _ in members[name]]
    team = pd.Series(numbers, index=keys, dtype="object")
    marks = day.numbers["mark"].reindex(columns=list(these.apparatus)).loc[keys].astype("Int64")
    own = day.competition.team if these.days else None
    names = list(members)
    taken = _penalties(own, names) if own and own.by == format.by else _none_taken(names)
    return _Day(day, team, counting(marks, team, format.count), taken)


def _table(these: Field, days: list[_Day], penalties: pd.Series[int]) -> _Table:
    """All that is computed of the teams."""
    number = len(penalties)
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
    return _Table(
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


def _sum_of_all(days: list[_Day], name: str, number: int) -> pd.DataFrame:
    """The E or D scores of all counting marks; not known as soon as one lacks it."""
    each = [day.totals(name, number) for day in days]
    marked = [day.totals("mark", number).notna() for day in days]
    unknown = [one.isna() & marks for one, marks in zip(each, marked, strict=True)]
    lacking = unknown[0]
    for one in unknown[1:]:
        lacking = lacking | one
    return _sum(each).mask(lacking)


def _on_apparatus(
    these: Field, days: list[_Day], part: str, totals: pd.Series[int]
) -> _OnApparatus:
    """The places of the teams on one apparatus: by their total there, then as the rules say.

    Equal totals share the place where the rules name no criterion (as in the published tables).
    """
    rule = these.rule_set.tie_rule("team-apparatus", these.competition.phase)

    def marks(name: str) -> pd.DataFrame:
        each = [day.each(name, part, len(totals)) for day in days]
        return pd.concat(each, axis=1, keys=range(len(each)))

    nothing = totals.to_frame()
    tables = [marks(name) for name in ("mark", "e", "d")] if rule.criteria else [nothing] * 3
    sheet = Sheet(totals, *tables)
    steps = criteria(rule.criteria, tables[0].shape[1])
    places = placings(sheet, steps)
    return _OnApparatus(places, keyed_ties(sheet, places, steps, _by_key(totals)))


def _by_key(totals: pd.Series[int]) -> dict[int, int | None]:
    return {int(key): whole(total) for key, total in totals.items()}  # type: ignore[call-overload]


def _members(these: Field, format: TeamFormat) -> dict[str, list[Gymnast]]:
    """The gymnasts of each team in start order, by team name; guests are in none.

    A club or federation is a team if it has at least as many gymnasts as marks count; the
    gymnasts of a smaller one are individuals. A team that the roster names is one in any case.
    """
    found: dict[str, list[Gymnast]] = {}
    for one in sorted(these.gymnasts.values(), key=_start_order):
        name = body(one, format.by)
        if name and not one.guest:
            found.setdefault(name, []).append(one)
    least = 1 if format.by == "team" else format.count
    return {name: found[name] for name in sorted(found) if len(found[name]) >= least}


def _start_order(one: Gymnast) -> tuple[int, int, str]:
    return (one.start_order if one.start_order is not None else 10**6, len(one.bib), one.bib)


def _penalties(format: TeamFormat, names: list[str]) -> pd.Series[int]:
    """The penalty of each team, by team key."""
    taken = {name: 0 for name in names}
    for penalty in format.penalties:
        if penalty.team in taken:
            taken[penalty.team] += abs(penalty.points)
    return pd.Series(list(taken.values()), index=range(len(names)), dtype="Int64")


def _none_taken(names: list[str]) -> pd.Series[int]:
    return pd.Series(0, index=range(len(names)), dtype="Int64")


@dataclass(frozen=True)
class _OnApparatus:
    """The places of all teams on one apparatus, by team key, and the ties there."""

    places: pd.Series[int]
    ties: tuple[Tie, ...]


@dataclass(frozen=True)
class _Table:
    """What was computed of all teams, by team key."""

    sheet: Sheet
    steps: tuple[Criterion, ...]
    places: pd.Series[int]
    penalties: pd.Series[int]
    terms: tuple[pd.Series[int], ...]
    apparatus: dict[str, _OnApparatus]
    counts: list[dict[int, dict[str, bool]]]
    """Whether each mark counts, day by day: by gymnast and apparatus."""


def _line(
    these: Field,
    format: TeamFormat,
    key: int,
    name: str,
    gymnasts: list[Gymnast],
    table: _Table,
) -> TeamLine:
    members = tuple(
        _member(these, day, one, counts[one.key])
        for one in gymnasts
        for day, counts in zip(these.sources, table.counts, strict=True)
    )
    statuses = {_status(member) for member in members}
    total = table.sheet.total[key]
    return TeamLine(
        key=key,
        name=name,
        place=whole(table.places[key]),
        total=whole(total),
        penalty=int(table.penalties[key]),
        penalty_reason=_reasons(these, format, name),
        apparatus=tuple(whole(one) for one in table.sheet.parts.loc[key]),
        apparatus_places=tuple(whole(one.places[key]) for one in table.apparatus.values()),
        short=_short(these, format, members),
        members=members,
        status=statuses.pop() if len(statuses) == 1 and pd.isna(total) else "",
        terms=tuple(whole(term[key]) for term in table.terms),
    )


def _reasons(these: Field, format: TeamFormat, name: str) -> str:
    """Why something was taken from a team, on whatever day."""
    formats = [day.competition.team for day in these.days] + [format]
    own = (one for format_there in formats if format_there for one in format_there.penalties)
    return "; ".join(one.reason for one in own if one.team == name and one.reason)


def _short(these: Field, format: TeamFormat, members: tuple[TeamMember, ...]) -> tuple[bool, ...]:
    """On which apparatus fewer marks than count were made, be it on one of several days."""
    days = [[one for one in members if one.day == day] for day in {one.day: 0 for one in members}]
    return tuple(
        any(sum(one.counts[number] for one in day) < format.count for day in days)
        for number in range(len(these.apparatus))
    )


def _member(these: Field, day: Field, one: Gymnast, counts: dict[str, bool]) -> TeamMember:
    parts = these.apparatus
    return TeamMember(
        one,
        tuple(day.routines.get((one.key, part)) for part in parts),
        tuple(counts[part] for part in parts),
        day.competition.id if these.days else "",
    )


def _status(member: TeamMember) -> str:
    done = sum(one is not None and one.mark is not None for one in member.routines)
    return list_status(done, [one.status if one else "" for one in member.routines])


def _has_marks_to_come(these: Field, format: TeamFormat, line: TeamLine) -> bool:
    """Somebody entered has neither mark nor status, and the team may still send one up."""
    keys = list(dict.fromkeys(member.gymnast.key for member in line.members))
    for day in these.sources:
        for part in these.apparatus:
            done = sum((key, part) in day.routines for key in keys)
            entered = (key for key in keys if part in day.entered and day.entered.loc[key, part])
            if done < format.up and any((key, part) not in day.routines for key in entered):
                return True
    return False


def _cuts(these: Field, lines: list[TeamLine], *, complete: bool) -> tuple[CutResult, ...]:
    def candidates(per: CutBody) -> list[Candidate]:
        return [
            Candidate(line.key, line.place, line.total, body(line.members[0].gymnast, per))
            for line in lines
        ]

    names = {line.key: line.name for line in lines}
    return cut_results(these, "team", "", candidates, complete=complete, teams=names)
