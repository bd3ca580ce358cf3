"""The rules applied to a meet, competition by competition, in the order they feed each other."""

from __future__ import annotations

from dataclasses import replace

from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import Competition
from resultsgen.scoring.beside import beside
from resultsgen.scoring.carrying import nothing_to_carry
from resultsgen.scoring.equals import equals_not_decided
from resultsgen.scoring.field import Field
from resultsgen.scoring.fields import field, performed
from resultsgen.scoring.finals import Starters, as_entered, named_starters, starters
from resultsgen.scoring.lists import all_around, by_apparatus
from resultsgen.scoring.people import gymnasts
from resultsgen.scoring.results import CompetitionResults, Gymnast, Results
from resultsgen.scoring.starting import draws_that_do_not_fit, start_list, start_lists
from resultsgen.scoring.strangers import not_in_the_final
from resultsgen.scoring.teams import team_ranking
from resultsgen.scoring.unsettled import marks_to_come, unsettled_ties


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
