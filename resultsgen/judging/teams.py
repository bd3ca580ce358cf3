"""The list of teams: who is in each, which marks count, and the places."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from resultsgen.judging.cutting import body, cut_results
from resultsgen.judging.field import Field, whole
from resultsgen.judging.lists import keyed_ties
from resultsgen.meet import CutBody, TeamFormat
from resultsgen.results import CutResult, Gymnast, TeamLine, TeamMember, TeamRanking
from resultsgen.rules.cuts import Candidate
from resultsgen.rules.placings import placings
from resultsgen.rules.statuses import list_status
from resultsgen.rules.teams import apparatus_totals, counting, team_totals
from resultsgen.rules.ties import Sheet, criteria


def team_ranking(these: Field, format: TeamFormat) -> TeamRanking:
    """The teams of a competition, placed by the sum of their counting marks less penalties."""
    parts = list(these.apparatus)
    members = _members(these, format)
    keys = [one.key for gymnasts in members.values() for one in gymnasts]
    number = pd.Series(
        [key for key, name in enumerate(members) for _ in members[name]], index=keys, dtype="object"
    )
    marks = these.numbers["mark"].loc[keys, parts]
    counts = counting(marks, number, format.count)
    totals = apparatus_totals(marks, number, counts).reindex(range(len(members)))
    penalties = _penalties(format, list(members))
    sums = team_totals(totals, penalties)
    nothing = totals.mask(totals.notna())  # A team has no E or D scores of its own.
    sheet = Sheet(sums, totals, nothing, nothing)
    rule = these.rule_set.tie_rule("team", these.competition.phase)
    steps = criteria(rule.criteria, len(parts))
    places = placings(sheet, steps)
    # The place on one apparatus: equal totals share it (as in the published team tables).
    apparatus_places = totals.rank(method="min", ascending=False)
    marked: dict[int, dict[str, bool]] = counts.T.to_dict()  # type: ignore[assignment]
    table = _Table(marked, totals, apparatus_places, sums, places, penalties)
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
        ties=keyed_ties(sheet, places, steps, {line.key: line.total for line in lines}),
        cuts=_cuts(these, lines, complete=not to_come),
        to_come=to_come,
    )


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


@dataclass(frozen=True)
class _Table:
    """What was computed of all teams: which marks count (by gymnast), the rest by team."""

    counts: dict[int, dict[str, bool]]
    totals: pd.DataFrame
    apparatus_places: pd.DataFrame
    sums: pd.Series[int]
    places: pd.Series[int]
    penalties: pd.Series[int]


def _line(
    these: Field,
    format: TeamFormat,
    key: int,
    name: str,
    gymnasts: list[Gymnast],
    table: _Table,
) -> TeamLine:
    members = tuple(_member(these, one, table.counts[one.key]) for one in gymnasts)
    statuses = {_status(member) for member in members}
    counted = [sum(counts) for counts in zip(*(one.counts for one in members), strict=True)]
    return TeamLine(
        key=key,
        name=name,
        place=whole(table.places[key]),
        total=whole(table.sums[key]),
        penalty=int(table.penalties[key]),
        penalty_reason="; ".join(
            one.reason for one in format.penalties if one.team == name and one.reason
        ),
        apparatus=tuple(whole(total) for total in table.totals.loc[key]),
        apparatus_places=tuple(whole(place) for place in table.apparatus_places.loc[key]),
        short=tuple(number < format.count for number in counted),
        members=members,
        status=statuses.pop() if len(statuses) == 1 and pd.isna(table.sums[key]) else "",
    )


def _member(these: Field, one: Gymnast, counts: dict[str, bool]) -> TeamMember:
    parts = these.apparatus
    return TeamMember(
        one,
        tuple(these.routines.get((one.key, part)) for part in parts),
        tuple(counts[part] for part in parts),
    )


def _status(member: TeamMember) -> str:
    done = sum(one is not None and one.mark is not None for one in member.routines)
    return list_status(done, [one.status if one else "" for one in member.routines])


def _has_marks_to_come(these: Field, format: TeamFormat, line: TeamLine) -> bool:
    """Somebody entered has neither mark nor status, and the team may still send one up."""
    for number, part in enumerate(these.apparatus):
        routines = [member.routines[number] for member in line.members]
        done = sum(one is not None for one in routines)
        waiting = any(
            member.routines[number] is None and these.entered.loc[member.gymnast.key, part]
            for member in line.members
        )
        if waiting and done < format.up:
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
