"""Who leads a competition that is under way: like compared with like, as after each rotation."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from resultsgen.live.competition import LiveCompetition, LiveList, live
from resultsgen.scoring.results import CompetitionResults, Ranking, Results
from resultsgen.views.lists.competitions import Leaders, highlights, leader_of, leaders
from resultsgen.views.words.wording import Wording


def highlights_so_far(
    results: Results, one: CompetitionResults, places: int, wording: Wording
) -> Iterator[Leaders]:
    """The first of the all-around and of the teams, of those with most apparatus done."""
    found = live(results)[one.competition.id]
    whole = [ranking for ranking in (one.all_around, one.team) if ranking]
    if not whole:
        yield from highlights(one, places, wording)
    for ranking in whole:
        told = _leaders(ranking, found, places, wording)
        if told.rows:
            yield told


def all_leaders(
    results: Results, one: CompetitionResults, places: int, wording: Wording
) -> tuple[Leaders, ...]:
    """The first of every list, as it stands."""
    found = live(results)[one.competition.id]
    return tuple(_leaders(ranking, found, places, wording) for ranking in one.rankings)


def _leaders(ranking: Ranking, found: LiveCompetition, places: int, wording: Wording) -> Leaders:
    """The first of one list."""
    now = found.lists.get(ranking.id) if ranking.kind != "apparatus" else None
    if ranking.to_come == 0 or now is None:
        return leaders(ranking, places, wording)
    if now.passed_already:
        return _by_what_there_is(ranking, now, places, wording)
    return _as_it_stands(ranking, now, places, wording)


def _by_what_there_is(ranking: Ranking, now: LiveList, places: int, wording: Wording) -> Leaders:
    """Where somebody has more with less done: the highest sums so far, each with what is done."""
    told = leaders(ranking, places, wording)
    rows = (
        replace(
            leader_of(ranking.by_key[one.key], wording),
            place=str(one.place),
            total=wording.language.mark(one.total),
            sub=wording.language.count(
                "{n} apparatus done of {all}",
                "{n} apparatus done of {all}",
                one.done,
                all=len(ranking.parts),
            ),
        )
        for one in now.so_far
        if one.place <= places
    )
    title = wording.say("{list}, by what there is so far", list=told.title)
    return replace(told, title=title, rows=tuple(rows))


def _as_it_stands(ranking: Ranking, now: LiveList, places: int, wording: Wording) -> Leaders:
    """The first of those who are over with most apparatus."""
    first = [one for one in now.now.leading if one.place <= places]
    told = leaders(ranking, places, wording)
    if not first:
        return replace(told, rows=())
    title = wording.say(
        "{list}, after {done} of {all} apparatus",
        list=told.title,
        done=first[0].done,
        all=len(ranking.parts),
    )
    rows = (
        replace(
            leader_of(ranking.by_key[one.key], wording),
            place=str(one.place),
            total=wording.language.mark(one.total),
        )
        for one in first
    )
    return replace(told, title=title, rows=tuple(rows))
