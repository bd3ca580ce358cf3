"""Titles and medals: the first three places of what was won, never of what leads on or goes on."""

from __future__ import annotations

from dataclasses import dataclass

from resultsgen.language import to_say
from resultsgen.live.notable import complete_lists
from resultsgen.scoring.ranking import Line, Ranking
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.site.addresses import Link, list_target
from resultsgen.views.site.board import contested
from resultsgen.views.words.wording import Wording

MEDAL_NAMES = (to_say("Gold"), to_say("Silver"), to_say("Bronze"))

FIRST = 3
"""So many places of a list are told."""


@dataclass(frozen=True)
class Placing:
    """One of the first three places of a list."""

    place: str
    name: str
    total: str
    list: Link
    competition: str
    key: int
    """The line, as its list knows it."""


def placings(results: Results, wording: Wording) -> tuple[tuple[Line, Placing], ...]:
    """The first lines of every title that is decided, first places first."""
    titled = {
        (judged.competition.id, ranking.id)
        for held in contested(results).values()
        for judged, ranking in held
    }
    found = (
        (line, _placing(line, one.competition, one.ranking, wording))
        for one in complete_lists(results)
        if one.won and (one.competition.competition.id, one.ranking.id) in titled
        for line in one.ranking.lines
        if line.place and line.place <= FIRST
    )
    return tuple(sorted(found, key=lambda pair: pair[1].place))


def _placing(line: Line, judged: CompetitionResults, ranking: Ranking, wording: Wording) -> Placing:
    link = Link(wording.list_name(ranking.id), list_target(judged.competition.id, ranking.id))
    total = wording.language.mark(line.total)
    name = shown_name(line.of, wording)
    return Placing(
        str(line.place), name, total, link, wording.called(judged.competition.title), line.key
    )
