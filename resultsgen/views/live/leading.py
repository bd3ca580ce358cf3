"""Who leads as it stands, and of those who have done less, who can still come to them and what
they need. The first page and the display in the hall draw on it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from resultsgen.live.competition import as_it_runs, in_front, is_running
from resultsgen.live.goals import MEDALS
from resultsgen.live.lists import LiveList
from resultsgen.live.standings import Standing
from resultsgen.scoring.ranking import Ranking
from resultsgen.scoring.results import Results
from resultsgen.views.lists.cells import marks_to_come
from resultsgen.views.live.leads import Leader, leader_of
from resultsgen.views.live.needs import needs_told
from resultsgen.views.words.wording import Wording

STILL, TEAMS = 3, 8
"""So many of those who have done less are told beside the first, of gymnasts and of teams."""


@dataclass(frozen=True)
class Leading:
    """One of the first of a list, or who can still come to them; these have no place."""

    leader: Leader
    done: str
    """How many apparatus are in the total, while others are to come; else nothing."""
    need: str
    """What is needed of what is to come, what is worth most."""


def leading(
    results: Results, ranking: Ranking, places: int, wording: Wording
) -> tuple[Leading, ...]:
    """The first of a list; while it runs, with the best of those who have done less."""
    front = [line for line in in_front(results, ranking) if line.place <= places]
    told = tuple(_leading(results, ranking, line, wording) for line in front)
    listed = as_it_runs(results, ranking)
    if listed is None or not is_running(ranking):
        return told
    can = {one.key for one in listed.prospects if one.can_reach(MEDALS) and not one.complete}
    if ranking.of_teams:
        # They have their place, and all are told that can still come to the first three.
        behind = (line for line in in_front(results, ranking) if line.place > places)
        others = [line for line in behind if line.key in can][:TEAMS]
        return (*told, *(_leading(results, ranking, line, wording) for line in others))
    known = {line.key for line in in_front(results, ranking)}
    still = (_leading(results, ranking, line, wording) for line in _still(listed, known, can))
    return (
        *told,
        *(replace(one, leader=replace(one.leader, place="", behind="")) for one in still),
    )


def _still(listed: LiveList, front: set[int], can: set[int]) -> list[Standing]:
    """The best of each group with less done, who can still come to the first three."""
    found = [
        line
        for group in listed.now.groups
        for line in group[:STILL]
        if line.key not in front and (line.key in can or not listed.prospects)
    ]
    return found[:STILL]


def _leading(results: Results, ranking: Ranking, line: Standing, wording: Wording) -> Leading:
    leader, of = leader_of(ranking, line, wording), ranking.by_key[line.key].needed
    if ranking.of_teams:
        done = marks_to_come(ranking.by_key[line.key], wording)
        return Leading(replace(leader, sub=""), done, "")
    if not is_running(ranking) or line.done >= of:
        return Leading(leader, "", "")
    done = wording.say("{done} of {all}", done=line.done, all=of) if line.done else ""
    judged, name = results.competition(ranking.competition), wording.list_name(ranking.id)
    needs = needs_told(results, judged, line.key, wording)
    here = (told.sentence for told in needs if told.list in ("", name))
    return Leading(leader, done, next(here, ""))
