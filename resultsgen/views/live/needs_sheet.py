"""The needs sheet: all with marks to come, in order of start, with what is needed in large."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from resultsgen.language import to_say
from resultsgen.live.competition import GymnastNeeds, LiveCompetition, live
from resultsgen.live.needs import Need
from resultsgen.live.progress import ToGo
from resultsgen.live.team_needs import TeamNeeds, team_needs
from resultsgen.live.worth import worth_telling
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.cells import lines_of, shown_name
from resultsgen.views.lists.start_lists import squad_title, turn_title
from resultsgen.views.lists.table import Cell
from resultsgen.views.live.decided import DecidedList, bound_sentence, decided_lists
from resultsgen.views.live.needs import NeedTold, NeedWords
from resultsgen.views.words.wording import Wording

NEEDED = 123
"""So many bytes what one gymnast needs takes on a page, compressed."""
AIMS = 3
"""So many things to reach are told of one on paper."""
PAPER, NAME, LINE, MARK, UNIT = 650, 36, 14, 28, 37
"""Points: what one sheet has for all this, what a name takes, a line of text, a mark in large, and
one with its unit."""
BESIDE, ACROSS = 80, 95
"""So many letters fit on a line beside the mark, and on one across the sheet."""


@dataclass(frozen=True)
class NeedsOfOne:
    """One gymnast or team on the sheet."""

    name: Cell
    next: str
    """Rotation and apparatus of the next routine, and the squad."""
    aims: tuple[NeedTold, ...]
    to_go: tuple[str, ...] = ()
    """Of a team: who is still to go on each apparatus, and what counts there."""


@dataclass(frozen=True)
class NeedsView:
    """The needs sheet of one competition, or what fits on one printed page of it."""

    teams: tuple[NeedsOfOne, ...]
    gymnasts: tuple[NeedsOfOne, ...]
    bound: str
    """What is taken as the highest mark; or that nothing is called decided, and why."""
    decided: tuple[DecidedList, ...]
    later: str = ""
    """Those who go after them and stand on no printed page."""

    @property
    def everybody(self) -> tuple[NeedsOfOne, ...]:
        """Teams, then gymnasts."""
        return self.teams + self.gymnasts


def needs_view(results: Results, judged: CompetitionResults, wording: Wording) -> NeedsView:
    """The sheet of a competition: all with marks to come, in order of rotation and start."""
    now, cells = live(results)[judged.competition.id], lines_of(judged, "apparatus", wording)
    gymnasts = (
        NeedsOfOne(
            cells[gymnast.key],
            _next(gymnast, judged, wording),
            tuple(_aims(gymnast.needs, now, cells, wording)),
        )
        for gymnast in now.needs
    )
    return NeedsView(
        teams=tuple(team_needs_told(results, judged, wording)),
        gymnasts=tuple(gymnasts),
        bound=bound_sentence(now.bound, wording),
        decided=tuple(decided_lists(judged, now, wording)),
    )


def printed_sheet(results: Results, judged: CompetitionResults, wording: Wording) -> NeedsView:
    """The first teams, and the next to go, as many as one page holds."""
    view = needs_view(results, judged, wording)
    decided = view.decided[:1]
    names = ", ".join(one.name.text for one in view.gymnasts)
    sentences = (one.title + sentence for one in decided for sentence in one.sentences)
    below = sum(_lines(text, ACROSS) for text in (view.bound, *sentences, names))
    room = PAPER - below * LINE
    teams, left = _fitting(view.teams, room // 3)
    gymnasts, _ = _fitting(view.gymnasts, room - room // 3 + left)
    rest = [one.name.text for one in view.gymnasts[len(gymnasts) :]]
    later = wording.say("After them: {names}", names=", ".join(rest)) if rest else ""
    return replace(view, teams=teams, gymnasts=gymnasts, decided=decided, later=later)


def _fitting(found: tuple[NeedsOfOne, ...], room: int) -> tuple[tuple[NeedsOfOne, ...], int]:
    """Those that there is room for, the first in any case; and the room that is left."""
    told: list[NeedsOfOne] = []
    for one in found:
        aims = one.aims[:AIMS]
        marks = sum(
            max(UNIT if aim.unit else MARK, _lines(aim.list + aim.sentence) * LINE) for aim in aims
        )
        height = NAME + marks + sum(map(_lines, one.to_go)) * LINE
        if told and height > room:
            break
        told.append(replace(one, aims=aims))
        room -= height
    return tuple(told), max(room, 0)


def _lines(text: str, letters: int = BESIDE) -> int:
    """How many lines of so many letters it takes."""
    return -(-len(text) // letters)


def team_needs_told(
    results: Results, judged: CompetitionResults, wording: Wording
) -> Iterator[NeedsOfOne]:
    """What each team with marks to come needs, from whom, and which mark would be dropped."""
    now, cells = live(results)[judged.competition.id], lines_of(judged, "team", wording)
    for team in team_needs(now):
        aims = tuple(_aims(team.needs, now, cells, wording))
        if aims or team.beside:
            told = (_to_go(one, results, wording) for one in team.to_go)
            beside = _beside(team, cells, wording) if team.beside else ""
            yield NeedsOfOne(cells[team.key], beside, aims, tuple(told))


BESIDE_THEM = {
    1: to_say("{margin} ahead of {others}, with as many marks that can still count"),
    0: to_say("level with {others}, with as many marks that can still count"),
    -1: to_say("{margin} behind {others}, with as many marks that can still count"),
}


def _beside(team: TeamNeeds, cells: dict[int, Cell], wording: Wording) -> str:
    """How far it is ahead of those, or behind, who have as many marks that count and still can."""
    margin = team.ahead_of_them
    others = wording.language.listed([cells[key].text for key in team.beside])
    return wording.say(
        BESIDE_THEM[(margin > 0) - (margin < 0)],
        margin=wording.language.mark(abs(margin)), others=others,
    )  # fmt: skip


def _to_go(one: ToGo, results: Results, wording: Wording) -> str:
    """Who is still to go on one apparatus, and which of the marks count."""
    say, listed = wording.say, wording.language.listed
    names = listed([shown_name(results.gymnasts[key], wording) for key in one.keys])
    if one.marks < len(one.keys):
        names = say("{n} of {names}", n=one.marks, names=names)
    if one.all_count:
        text = to_say("{apparatus}: still to go {names}; every mark counts.")
    elif one.dropped is not None:
        text = to_say("{apparatus}: still to go {names}; {mark} is dropped for a better mark.")
    elif one.counting:
        text = to_say(
            "{apparatus}: still to go {names}; the best {count} marks count, and {mark} is the "
            "lowest of them so far."
        )
    else:
        return wording.language.count(
            "{apparatus}: still to go {names}; the best mark counts.",
            "{apparatus}: still to go {names}; the best {n} marks count.",
            one.count, apparatus=wording.apparatus(one.apparatus), names=names,
        )  # fmt: skip
    lowest = one.counting[-1] if one.counting else None
    return say(
        text, apparatus=wording.apparatus(one.apparatus), names=names, count=one.count,
        mark=wording.language.mark(lowest),
    )  # fmt: skip


def _next(gymnast: GymnastNeeds, judged: CompetitionResults, wording: Wording) -> str:
    """When and where the next routine is: "Rotation 4, Floor Exercise, squad 2"."""
    who = next(start.gymnast for start in judged.starts if start.gymnast.key == gymnast.key)
    place = "" if judged.competition.entered_from else squad_title(who.session, who.squad, wording)
    part = wording.apparatus(gymnast.apparatus) if gymnast.apparatus else ""
    return turn_title(gymnast.rotation, part, place, wording=wording)


def _aims(
    needs: Iterable[Need], now: LiveCompetition, cells: dict[int, Cell], wording: Wording
) -> Iterator[NeedTold]:
    """What is in reach and worth telling, the most valuable first."""
    for need in worth_telling(needs, now):
        words = NeedWords(need, now, lambda key: cells[key].text, wording)
        mark = words.large or wording.say("any")
        yield NeedTold(wording.list_name(need.list), mark, words.sentence, words.goal, words.unit)
