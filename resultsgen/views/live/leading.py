"""Who leads as it stands, with those who are not finished: by what there is so far, and what they
need. The first page and the display in the hall draw on it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from resultsgen.live.competition import LiveList, live
from resultsgen.live.decided import MEDALS
from resultsgen.live.standings import Standing
from resultsgen.scoring.results import CompetitionResults, Ranking, Results
from resultsgen.views.lists.competitions import Leader, leader_of, leaders
from resultsgen.views.live.needs import need_line
from resultsgen.views.words.wording import Wording

STILL = 3
"""So many of those with apparatus to come are told beside the first, who can still catch up."""


@dataclass(frozen=True)
class Leading:
    """One of the first of a list, or who can still come to them."""

    leader: Leader
    done: str
    """How many apparatus are in the total, while others are to come; else nothing. Who has done
    less than others has no place."""
    need: str
    """What is needed of what is to come, in one line."""


def leading(
    results: Results, ranking: Ranking, places: int, wording: Wording
) -> tuple[Leading, ...]:
    """The first of a list; of one of several apparatus, by what there is while marks are to come,
    with the best of those who have done less and can still come to the first three."""
    judged = results.competition(ranking.competition)
    listed = live(results)[ranking.competition].lists.get(ranking.id)
    if ranking.kind == "apparatus" or not ranking.to_come or listed is None:
        return tuple(Leading(row, "", "") for row in leaders(ranking, places, wording).rows)
    first = [line for line in listed.so_far if line.place <= places]
    still = _still(listed, {line.key for line in first})
    most = max((line.done for line in first), default=0)
    return tuple(
        _leading(results, judged, ranking, line, most, wording)
        for line in sorted((*first, *still), key=lambda line: line.place)
    )


def _still(listed: LiveList, told: set[int]) -> list[Standing]:
    """The best of each group with less done, who can still come to the first three."""
    can = {one.key for one in listed.prospects if one.can_reach(MEDALS) and not one.complete}
    found = [
        line
        for group in listed.now.groups
        for line in group[:STILL]
        if line.done < listed.parts and line.key not in told
        if not listed.prospects or line.key in can
    ]
    known = {line.key for line in found[:STILL]}
    return [line for line in listed.so_far if line.key in known]


def _leading(
    results: Results,
    judged: CompetitionResults,
    ranking: Ranking,
    line: Standing,
    most: int,
    wording: Wording,
) -> Leading:
    known, of = leader_of(ranking.by_key[line.key], wording), len(ranking.parts)
    place = str(line.place) if ranking.of_teams or line.done == most else ""
    leader = replace(known, place=place, total=wording.language.mark(line.total))
    if line.done == of:
        return Leading(leader, "", "")
    done = wording.say("{done} of {all}", done=line.done, all=of) if line.done else ""
    need = "" if ranking.of_teams else need_line(results, judged, line.key, wording)
    return Leading(leader, done, need)
