"""Who leads a competition that is under way: like compared with like, as after each rotation."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from resultsgen.judging.running import running
from resultsgen.results import CompetitionResults, Ranking, Results, TeamLine, TeamRanking
from resultsgen.running import RunningList
from resultsgen.views.competitions import Leaders, highlights, leader_of, leaders
from resultsgen.views.wording import Wording


def highlights_so_far(
    results: Results, one: CompetitionResults, places: int, wording: Wording
) -> Iterator[Leaders]:
    """The first of the all-around and of the teams, of those with most apparatus done."""
    found = running(results)[one.competition.id]
    whole = [ranking for ranking in (one.all_around, one.team) if ranking]
    if not whole:
        yield from highlights(one, places, wording)
    for ranking in whole:
        now = found.team if isinstance(ranking, TeamRanking) else found.all_around
        if ranking.to_come == 0 or now is None:
            yield leaders(ranking, places, wording)
        elif now.now.leading:
            yield _as_it_stands(ranking, now, places, wording)


def _as_it_stands(
    ranking: Ranking | TeamRanking, running: RunningList, places: int, wording: Wording
) -> Leaders:
    """The first of those who are over with most apparatus."""
    lines = {
        line.key if isinstance(line, TeamLine) else line.gymnast.key: line for line in ranking.lines
    }
    first = [one for one in running.now.leading if one.place <= places]
    told = leaders(ranking, places, wording)
    title = wording.say(
        "{list}, after {done} of {all} apparatus",
        list=told.title,
        done=first[0].done,
        all=len(ranking.parts),
    )
    rows = (
        replace(
            leader_of(lines[one.key], wording),
            place=str(one.place),
            total=wording.language.mark(one.total),
        )
        for one in first
    )
    return replace(told, title=title, rows=tuple(rows))
