"""The list of teams: who is in each, which marks count day by day, the places and the ties."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain

from resultsgen.meet.competition import TeamFormat
from resultsgen.rules.criteria import Compared
from resultsgen.rules.placings import placings
from resultsgen.rules.ties import Tie, ties
from resultsgen.rules.totals import counting, team_total
from resultsgen.scoring.cutting import body, with_cuts
from resultsgen.scoring.field import NO_SCORES, Field, Scores, sums
from resultsgen.scoring.lists import status_of, terms
from resultsgen.scoring.ranking import Gymnast, Line, Ranking, Team, TeamMember


def team_ranking(these: Field, format: TeamFormat) -> Ranking:
    """The teams of a competition, placed by the sum of their counting marks less penalties.

    Where days are added, the marks count day by day, and the totals of the days are added. A team
    is compared once it is over with what is compared: an apparatus, or all of them.
    """
    members = _members(these, format)
    teams = [_counted(these, format, name, gymnasts) for name, gymnasts in members.items()]
    steps = these.steps("team", len(these.apparatus))
    compared = [
        _compared(these, team, these.apparatus, team.total_if_over, team.apparatus)
        for team in teams
    ]
    places = placings(compared, steps)
    on_apparatus = [_on_apparatus(these, teams, n) for n in range(len(these.apparatus))]
    lines = [
        _line(these, format, key, team, places[key], [own[key] for own, _ in on_apparatus])
        for key, team in enumerate(teams)
    ]
    if any(team.to_go for team in teams):
        lines.sort(key=lambda line: (line.so_far is None, -(line.so_far or 0), line.place or 0))
    else:
        lines.sort(key=lambda line: (line.place is None, line.place or 0, -(line.so_far or 0)))
    listed = Ranking(
        competition=these.competition.id,
        kind="team",
        apparatus="",
        parts=these.apparatus,
        lines=tuple(lines),
        ties=ties(compared, places, steps),
        cuts=(),
        to_come=sum(bool(teams[line.key].to_go) for line in lines),
        coming=tuple(dict.fromkeys(key for line in lines for key in teams[line.key].to_go)),
        terms=terms(these) if these.days else (),
        apparatus_ties={
            code: told for code, (_, told) in zip(these.apparatus, on_apparatus, strict=True)
        },
    )
    return with_cuts(listed, these.meet)


def _members(these: Field, format: TeamFormat) -> dict[str, list[Gymnast]]:
    """The gymnasts of each team in start order, by team name; guests are in none."""
    found: dict[str, list[Gymnast]] = {}
    for gymnast in sorted(these.gymnasts.values(), key=_start_order):
        name = body(gymnast, format.by)
        if name and not gymnast.guest:
            found.setdefault(name, []).append(gymnast)
    least = these.meet.settings.least_of_a_team(these.competition)
    return {name: found[name] for name in sorted(found) if len(found[name]) >= least}


def _start_order(gymnast: Gymnast) -> tuple[int, int, str]:
    given = gymnast.start_order
    return (10**6 if given is None else given, len(gymnast.bib), gymnast.bib)


@dataclass(frozen=True, slots=True)
class OnApparatus:
    """What counts for a team on one apparatus on one day."""

    keys: list[int]
    """Whose marks, the best first."""
    scores: Scores
    """The sums of these marks, their D and E scores."""
    to_go: list[int]
    """Who may still be sent up."""
    to_come: int
    """How many of them."""


@dataclass(frozen=True)
class CountedTeam:
    """A team with the marks that count for it, apparatus by apparatus."""

    name: str
    gymnasts: list[Gymnast]
    """In start order."""
    days: list[list[OnApparatus]]
    """Of each day, apparatus by apparatus."""
    penalties: list[int]
    """What was taken from it on each of several days."""
    own_penalty: int
    """What was taken from it beside that."""

    @cached_property
    def penalty(self) -> int:
        """What was taken from it in all."""
        return self.own_penalty + sum(self.penalties)

    @cached_property
    def apparatus(self) -> list[Scores]:
        """The sums on each apparatus over all days; a day without a mark adds nothing."""
        return [
            sums([one.scores for one in each if one.scores[0] is not None])
            for each in zip(*self.days, strict=True)
        ]

    @cached_property
    def to_go(self) -> list[int]:
        """Who may still be sent up, day by day and apparatus by apparatus."""
        return [key for one in chain(*self.days) for key in one.to_go]

    @cached_property
    def total(self) -> int | None:
        """The sum of what there is."""
        return team_total([mark for mark, _, _ in self.apparatus], self.penalty)

    @property
    def total_if_over(self) -> int | None:
        """What it is placed by."""
        return None if self.to_go else self.total

    def waits(self, number: int) -> bool:
        """Somebody may still be sent up on an apparatus, on whatever day."""
        return any(day[number].to_go for day in self.days)


def _counted(these: Field, format: TeamFormat, name: str, gymnasts: list[Gymnast]) -> CountedTeam:
    keys = [gymnast.key for gymnast in gymnasts]
    formats = [day.competition.team if these.days else None for day in these.sources]
    taken = [_taken(own, name) if own and own.by == format.by else 0 for own in formats]
    days = [[_on_day(day, format, keys, part) for part in these.apparatus] for day in these.sources]
    return CountedTeam(name, gymnasts, days, taken, _taken(format, name))


def _on_day(day: Field, format: TeamFormat, keys: list[int], part: str) -> OnApparatus:
    """To be sent up are those entered who have neither mark nor status, where one more may be."""
    marks = [day.mark(key, part) for key in keys]
    counts = [keys[n] for n in counting(marks, format.count)]
    left = format.up - sum(mark is not None for mark in marks)
    to_go = [key for key in keys if day.is_to_come(key, part)] if left > 0 else []
    scores = sums([day.scores[key, part] for key in counts])
    return OnApparatus(counts, scores, to_go, min(len(to_go), left))


def _taken(format: TeamFormat, name: str) -> int:
    return sum(abs(penalty.points) for penalty in format.penalties if penalty.team == name)


def _compared(
    these: Field,
    team: CountedTeam,
    parts: Sequence[str],
    whole: int | None,
    scores: Sequence[Scores],
) -> Compared:
    marks, d, e = zip(*scores, strict=True) if scores else ((), (), ())
    worked_out = any(these.e_worked_out(gymnast.key, parts) for gymnast in team.gymnasts)
    return Compared(whole, marks, d, e, e_worked_out=worked_out)


def _on_apparatus(
    these: Field, teams: list[CountedTeam], number: int
) -> tuple[list[int | None], tuple[Tie, ...]]:
    """The places of the teams on one apparatus: by their total there, then as the rules say.

    Equal totals share the place where the rules name no criterion (as in the published tables).
    """
    part = these.apparatus[number]
    compared = []
    for team in teams:
        days = zip(these.sources, team.days, strict=True)
        scores = [
            day.scores.get((key, part), NO_SCORES) for day, own in days for key in own[number].keys
        ]
        whole = None if team.waits(number) else team.apparatus[number][0]
        compared.append(_compared(these, team, [part], whole, scores))
    most = [
        max((len(team.days[day][number].keys) for team in teams), default=0)
        for day in range(len(these.sources))
    ]
    steps = these.steps("team-apparatus", sum(most))
    places = placings(compared, steps)
    return places, ties(compared, places, steps)


def _line(
    these: Field,
    format: TeamFormat,
    key: int,
    team: CountedTeam,
    place: int | None,
    apparatus_places: list[int | None],
) -> Line:
    members = tuple(
        TeamMember(
            gymnast,
            tuple(day.routines.get((gymnast.key, part)) for part in these.apparatus),
            tuple(gymnast.key in one.keys for one in own),
            day.competition.id if these.days else "",
        )
        for gymnast in team.gymnasts
        for day, own in zip(these.sources, team.days, strict=True)
    )
    statuses = {status_of(member.routines) for member in members}
    apparatus = tuple(mark for mark, _, _ in team.apparatus)
    terms = (
        team_total([one.scores[0] for one in day], taken)
        for day, taken in zip(team.days, team.penalties, strict=True)
    )
    return Line(
        of=Team(
            key=key,
            name=team.name,
            by=format.by,
            penalty=team.penalty,
            penalty_reason=_reasons(these, format, team.name),
            apparatus=apparatus,
            apparatus_places=tuple(apparatus_places),
            short=tuple(
                not team.waits(number)
                and any(len(day[number].keys) < format.count for day in team.days)
                for number in range(len(these.apparatus))
            ),
            members=members,
        ),
        place=place,
        total=team.total_if_over,
        so_far=team.total,
        done=sum(one.scores[0] is not None and not one.to_go for one in chain(*team.days)),
        status=statuses.pop() if len(statuses) == 1 and team.total is None else "",
        needed=sum(map(len, team.days)),
        terms=tuple(terms) if these.days else (),
        to_come=sum(one.to_come for one in chain(*team.days)),
    )


def _reasons(these: Field, format: TeamFormat, name: str) -> str:
    """Why something was taken from a team, on whatever day."""
    formats = [day.competition.team for day in these.days] + [format]
    taken = (penalty for own in formats if own for penalty in own.penalties)
    own = (penalty.reason for penalty in taken if penalty.team == name)
    return "; ".join(reason for reason in own if reason)
