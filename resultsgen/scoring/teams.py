"""The list of teams: who is in each, which marks count, and the places."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.meet.settings import CutBody, TeamFormat
from resultsgen.rules.cuts import Candidate
from resultsgen.rules.statuses import list_status
from resultsgen.scoring.cutting import body, cut_results
from resultsgen.scoring.field import Field
from resultsgen.scoring.lines import keyed_ties, terms, with_e_worked_out
from resultsgen.scoring.people import whole
from resultsgen.scoring.results import CutResult, Gymnast, Line, Ranking, Team, TeamMember
from resultsgen.scoring.team_tables import TeamTable, team_table


def team_ranking(these: Field, format: TeamFormat) -> Ranking:
    """The teams of a competition, placed by the sum of their counting marks less penalties.

    Where days are added, the marks count day by day, and the totals of the days are added.
    """
    members = _members(these, format)
    table = team_table(these, format, members)
    everybody = [one.key for gymnasts in members.values() for one in gymnasts]
    worked_out = with_e_worked_out(these, everybody, these.apparatus)
    lines = [
        _line(these, format, key, name, gymnasts, table)
        for key, (name, gymnasts) in enumerate(members.items())
    ]
    lines.sort(key=lambda line: (line.place is None, line.place or 0))
    coming = [tuple(_still_to_go(these, format, line)) for line in lines]
    return Ranking(
        competition=these.competition.id,
        kind="team",
        apparatus="",
        parts=these.apparatus,
        lines=tuple(lines),
        ties=keyed_ties(
            table.sheet,
            table.places,
            table.steps,
            [
                key
                for key, gymnasts in enumerate(members.values())
                if any(one.key in worked_out for one in gymnasts)
            ],
        ),
        cuts=_cuts(these, lines, complete=not any(coming)),
        to_come=sum(bool(keys) for keys in coming),
        coming=tuple(dict.fromkeys(key for keys in coming for key in keys)),
        terms=terms(these) if these.days else (),
        apparatus_ties={code: one.ties for code, one in table.apparatus.items()},
    )


def _members(these: Field, format: TeamFormat) -> dict[str, list[Gymnast]]:
    """The gymnasts of each team in start order, by team name; guests are in none.

    A club or federation is a team if it has at least as many gymnasts as marks count; the
    gymnasts of a smaller one are individuals. A team that the roster names, or that a cut let
    through, is one in any case.
    """
    found: dict[str, list[Gymnast]] = {}
    for one in sorted(these.gymnasts.values(), key=_start_order):
        name = body(one, format.by)
        if name and not one.guest:
            found.setdefault(name, []).append(one)
    named = format.by == "team" or _is_filled_by_teams(these)
    least = 1 if named else format.count
    return {name: found[name] for name in sorted(found) if len(found[name]) >= least}


def _is_filled_by_teams(these: Field) -> bool:
    """A cut of teams leads to the competition."""
    own, every = these.competition, these.meet.settings.competitions
    cuts = (cut for one in every if one.id == own.entered_from for cut in one.cuts)
    return any(cut.of == "team" and cut.to == own.id for cut in cuts)


def _start_order(one: Gymnast) -> tuple[int, int, str]:
    return (one.start_order if one.start_order is not None else 10**6, len(one.bib), one.bib)


def _line(
    these: Field,
    format: TeamFormat,
    key: int,
    name: str,
    gymnasts: list[Gymnast],
    table: TeamTable,
) -> Line:
    members = tuple(
        _member(these, day, one, counts[one.key])
        for one in gymnasts
        for day, counts in zip(these.sources, table.counts, strict=True)
    )
    statuses = {_status(member) for member in members}
    total = whole(table.sheet.total[key])
    apparatus = tuple(whole(one) for one in table.sheet.parts.loc[key])
    team = Team(
        key=key,
        name=name,
        by=format.by,
        penalty=int(table.penalties[key]),
        penalty_reason=_reasons(these, format, name),
        apparatus=apparatus,
        apparatus_places=tuple(whole(one.places[key]) for one in table.apparatus.values()),
        short=_short(these, format, members),
        members=members,
    )
    return Line(
        of=team,
        place=whole(table.places[key]),
        total=total,
        so_far=total,
        done=sum(one is not None for one in apparatus),
        status=statuses.pop() if len(statuses) == 1 and total is None else "",
        needed=len(apparatus),
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


def _still_to_go(these: Field, format: TeamFormat, line: Line) -> Iterator[int]:
    """Those entered who have neither mark nor status where the team may still send one up."""
    keys = [gymnast.key for gymnast in line.of.gymnasts]
    for day in these.sources:
        for part in these.apparatus:
            found = (day.routines.get((key, part)) for key in keys)
            done = sum(one is not None and one.mark is not None for one in found)
            entered = (key for key in keys if part in day.entered and day.entered.loc[key, part])
            if done < format.up:
                yield from (key for key in entered if (key, part) not in day.routines)


def _cuts(these: Field, lines: list[Line], *, complete: bool) -> tuple[CutResult, ...]:
    def candidates(per: CutBody) -> list[Candidate]:
        return [
            Candidate(line.key, line.place, line.total, body(line.of.gymnasts[0], per))
            for line in lines
        ]

    names = {line.key: line.id for line in lines}
    return cut_results(these, "team", "", candidates, complete=complete, teams=names)
