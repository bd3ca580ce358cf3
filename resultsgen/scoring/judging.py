"""The rules applied to a meet, competition by competition, in the order they feed each other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import Competition
from resultsgen.scoring.field import Field, field, performed
from resultsgen.scoring.finals import (
    Starters,
    as_entered,
    named_starters,
    not_in_the_final,
    starters,
)
from resultsgen.scoring.lists import all_around, by_apparatus
from resultsgen.scoring.people import gymnasts
from resultsgen.scoring.results import (
    Beside,
    CompetitionResults,
    Gymnast,
    Line,
    Results,
    Routine,
    Why,
)
from resultsgen.scoring.starting import draws_that_do_not_fit, start_list, start_lists
from resultsgen.scoring.teams import team_ranking
from resultsgen.scoring.unsettled import (
    equals_not_decided,
    marks_to_come,
    nothing_to_carry,
    unsettled_ties,
)


def results(meet: Meet) -> tuple[Results, list[Problem]]:
    """Everything that is placed in the meet, and what kept a placing from being certain."""
    everybody = gymnasts(meet)
    fields: dict[str, Field] = {}
    judged: dict[str, CompetitionResults] = {}
    numbers = {one.id: number for number, one in enumerate(meet.settings.competitions)}
    problems: list[Problem] = []
    for competition in in_feeding_order(meet.settings.competitions):
        source = judged.get(competition.entered_from)
        chosen = _chosen(meet, competition, source, everybody)
        if chosen:
            problems += not_in_the_final(meet, competition, chosen)
        these = field(meet, competition, everybody, chosen, fields)
        fields[competition.id] = these
        problems += nothing_to_carry(these)
        one = _judged(these, source)
        problems += draws_that_do_not_fit(these, one.start_lists, numbers[competition.id])
        judged[competition.id] = one
    competitions = tuple(judged[one.id] for one in meet.settings.competitions)
    whole = Results(meet, competitions, everybody)
    doubts = unsettled_ties(whole) + equals_not_decided(whole) + marks_to_come(whole)
    return whole, problems + doubts


def _chosen(
    meet: Meet,
    competition: Competition,
    source: CompetitionResults | None,
    everybody: dict[int, Gymnast],
) -> Starters | None:
    """Who starts where people or a cut decided it; None where the whole roster does."""
    apparatus = meet.settings.apparatus_of(competition)
    chosen = starters(competition, apparatus, source, everybody) if source else None
    if competition.starters or (competition.draw and not competition.entered_from):
        chosen = named_starters(competition, apparatus, everybody, chosen)
    return as_entered(chosen, competition, everybody) if chosen else None


def _judged(these: Field, source: CompetitionResults | None) -> CompetitionResults:
    """One competition with all its lists."""
    competition = these.competition
    ranks = competition.ranks
    starts = start_list(these)
    judged = CompetitionResults(
        competition=competition,
        rule_set=these.rule_set,
        apparatus=these.apparatus,
        starts=starts,
        all_around=all_around(these) if "all-around" in ranks else None,
        by_apparatus=by_apparatus(these) if "apparatus" in ranks else {},
        team=team_ranking(these, competition.team) if competition.team else None,
        routines=performed(these),
        rule_overrides=these.meet.rule_overrides.get(competition.id, ()),
        equals=these.meet.settings.equals,
        start_lists=start_lists(these, starts, source),
    )
    return replace(judged, beside=beside(judged))


def in_feeding_order(competitions: tuple[Competition, ...]) -> tuple[Competition, ...]:
    """A competition stands after those that fill it or that it takes marks from.

    Otherwise the meet's own order holds.
    """
    ordered: list[Competition] = []
    waiting = list(competitions)
    while waiting:
        known = {one.id for one in ordered}
        ready = [one for one in waiting if known.issuperset(one.fed_by)]
        ordered += ready or waiting
        waiting = [one for one in waiting if one not in ordered]
    return tuple(ordered)


Shown = tuple[int, str, int]
"""The key of a gymnast, an apparatus and the number of the vault."""


def beside(one: CompetitionResults) -> tuple[Beside, ...]:
    """A line for each gymnast with such marks, in order of name; a second vault has its own.

    Where the marks are those of other competitions, they show there.
    """
    home = one.home
    if home is None or not one.competition.has_own_marks:
        return ()
    shown = set(_shown(one))
    found: dict[tuple[int, Why], dict[str, Routine]] = {}
    people: dict[int, Gymnast] = {}
    for who, routine in one.routines:
        if (who.key, routine.apparatus, routine.vault) not in shown:
            people[who.key] = who
            found.setdefault((who.key, _why(one, who, routine)), {})[routine.apparatus] = routine
    order = [start.gymnast.key for start in one.starts]
    return tuple(
        Beside(_beside_line(people[key], home.parts, routines), why)
        for (key, why), routines in sorted(found.items(), key=lambda pair: order.index(pair[0][0]))
    )


def _beside_line(who: Gymnast, parts: tuple[str, ...], routines: dict[str, Routine]) -> Line:
    marks = [one.mark for one in routines.values() if one.mark is not None]
    return Line(
        of=who,
        place=None,
        total=None,
        so_far=sum(marks) if marks else None,
        done=len(marks),
        status="",
        routines=tuple(routines.get(part) for part in parts),
        needed=len(parts),
    )


def _shown(one: CompetitionResults) -> Iterator[Shown]:
    """Which routines stand in a line of a list."""
    for ranking in one.rankings:
        for who, routines in (each for line in ranking.lines for each in line.performed):
            yield from ((who.key, each.apparatus, each.vault) for each in routines if each)


def _why(one: CompetitionResults, who: Gymnast, routine: Routine) -> Why:
    if routine.vault == 2:
        return "second vault"
    if one.by_apparatus:
        return "one vault"
    if one.all_around:
        return "not in the all-around"
    return "guest" if who.guest else "no team"
