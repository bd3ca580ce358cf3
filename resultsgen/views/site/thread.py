"""The thread: through which competitions a title is decided, and which of them one is on."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from resultsgen.scoring.people import natural
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.site.addresses import Link, list_target
from resultsgen.views.site.board import group_of
from resultsgen.views.site.honours import heading
from resultsgen.views.site.site_map import OVERVIEW, list_names
from resultsgen.views.words.wording import Wording


@dataclass(frozen=True)
class Thread:
    """The phases of those who compete with each other, in the order in which they are held."""

    heading: str
    steps: tuple[Link, ...]
    """Each leads to the page of the name that is shown, or to what there is instead."""
    here: int


def thread(
    results: Results, judged: CompetitionResults, name: str, wording: Wording
) -> Thread | None:
    """The phases around a page of a competition, by the name of the page; None of one alone."""
    held = _in_order(results)[judged.competition.id]
    if len(held) < 2:
        return None
    titles = [wording.called(one.competition.title) for one in held]
    common = heading(titles)
    called = [title.removeprefix(common).lstrip(" ,:;·–-") for title in titles]
    if len({*called, ""}) <= len(called):
        common, called = "", titles
    steps = []
    for one, words in zip(held, called, strict=True):
        page = OVERVIEW if one is judged else _page(one, name)
        text = f"{words[0].upper()}{words[1:]}"
        if page in one.by_apparatus:
            text = wording.language.headed(text, wording.list_name(page))
        steps.append(Link(text, list_target(one.competition.id, page)))
    return Thread(common, tuple(steps), held.index(judged))


@lru_cache(maxsize=1)
def _in_order(results: Results) -> dict[str, list[CompetitionResults]]:
    """What leads to each, where it leads, and what else of the same group comes of the first."""
    of = results.by_id
    above = {id: _above(id, of) for id in of}

    def when(one: CompetitionResults) -> tuple[int, str, object]:
        competition = one.competition
        day = competition.day.isoformat() if competition.day else "~"
        return _depth(competition.id, of), day, natural(competition.time)

    groups = {id: group_of(one, results) for id, one in of.items()}
    return {
        here: sorted(
            (
                one
                for id, one in of.items()
                if here in above[id]
                or id in above[here]
                or (above[id] & above[here] and groups[id] == groups[here])
            ),
            key=when,
        )
        for here in of
    }


def _above(id: str, of: dict[str, CompetitionResults]) -> set[str]:
    """The competition itself, and all that fill it."""
    return {id}.union(*(_above(one, of) for one in of[id].competition.fed_by))


def _depth(id: str, of: dict[str, CompetitionResults]) -> int:
    return max((1 + _depth(one, of) for one in of[id].competition.fed_by), default=0)


def _page(judged: CompetitionResults, name: str) -> str:
    """The page of that name; else its only list, or its overview."""
    if name in list_names(judged):
        return name
    rankings = judged.rankings
    return rankings[0].id if len(rankings) == 1 else OVERVIEW
