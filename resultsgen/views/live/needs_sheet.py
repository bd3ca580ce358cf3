"""The needs sheet: all with marks to come, in order of start, with what is needed in large."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from resultsgen.live.competition import GymnastNeeds, LiveCompetition, live
from resultsgen.live.worth import worth_telling
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.cells import lines_of
from resultsgen.views.lists.competitions import PageHead, page_head
from resultsgen.views.lists.start_lists import squad_title
from resultsgen.views.lists.table import Cell
from resultsgen.views.live.decided import DecidedList, bound_sentence, decided_lists
from resultsgen.views.live.needs import NeedWords
from resultsgen.views.site.site_map import ANNOUNCER
from resultsgen.views.words.wording import Wording

NEEDED, LINES, WIDE = 123, 23, 80
"""So many bytes what one gymnast needs takes on a page, compressed; so many lines of large type fit
on one sheet of paper, and so many letters on a line of it, beside the mark."""


@dataclass(frozen=True)
class Aim:
    """One thing to reach: its list, the mark in large, and the whole of it in a sentence."""

    list: str
    mark: str
    sentence: str
    unit: str
    """That the mark is an average, where several apparatus are to come."""


@dataclass(frozen=True)
class NeedsOfOne:
    """One gymnast on the sheet."""

    name: Cell
    next: str
    """Rotation and apparatus of the next routine, and the squad."""
    aims: tuple[Aim, ...]


@dataclass(frozen=True)
class NeedsView(PageHead):
    """The needs sheet of one competition, or what fits on one printed page of it."""

    gymnasts: tuple[NeedsOfOne, ...]
    bound: str
    """What is taken as the highest mark; or that nothing is called decided, and why."""
    decided: tuple[DecidedList, ...]
    later: str = ""
    """Those who go after them and stand on no printed page."""


def needs_view(results: Results, judged: CompetitionResults, wording: Wording) -> NeedsView:
    """The sheet of a competition: all with marks to come, in order of rotation and start."""
    now, cells = live(results)[judged.competition.id], lines_of(judged, "apparatus", wording)
    gymnasts = (
        NeedsOfOne(
            cells[gymnast.key],
            _next(gymnast, judged, wording),
            tuple(_aims(gymnast, judged, now, cells, wording)),
        )
        for gymnast in now.needs
    )
    return NeedsView(
        **vars(page_head(judged, ANNOUNCER, wording)),
        gymnasts=tuple(gymnasts),
        bound=bound_sentence(now.bound, wording),
        decided=tuple(decided_lists(judged, now, wording)),
    )


def printed_sheet(results: Results, judged: CompetitionResults, wording: Wording) -> NeedsView:
    """The next to go, as many as one page holds, with what is in reach for them."""
    view = needs_view(results, judged, wording)
    found: list[NeedsOfOne] = []
    used = sum(len(each.sentences) for each in view.decided[:1])
    for gymnast in view.gymnasts:
        used += 1 + max(1, sum(1 + len(aim.list + aim.sentence) // WIDE for aim in gymnast.aims))
        if used <= LINES or not found:
            found.append(gymnast)
    rest = [gymnast.name.text for gymnast in view.gymnasts[len(found) :]]
    later = wording.say("After them: {names}", names=", ".join(rest)) if rest else ""
    return replace(view, gymnasts=tuple(found), decided=view.decided[:1], later=later)


def _next(gymnast: GymnastNeeds, judged: CompetitionResults, wording: Wording) -> str:
    """When and where the next routine is: "Rotation 4, Floor Exercise, squad 2"."""
    rotation = gymnast.rotation
    turn = wording.say("Rotation {rotation}", rotation=rotation) if rotation else ""
    who = next(start.gymnast for start in judged.starts if start.gymnast.key == gymnast.key)
    place = "" if judged.competition.entered_from else squad_title(who.session, who.squad, wording)
    part = wording.apparatus(gymnast.apparatus) if gymnast.apparatus else ""
    return " · ".join(filter(None, (turn, part, place)))


def _aims(
    gymnast: GymnastNeeds,
    judged: CompetitionResults,
    now: LiveCompetition,
    cells: dict[int, Cell],
    wording: Wording,
) -> Iterator[Aim]:
    """What is in reach and worth telling, the most valuable first."""
    highest, final = now.bound.mark if now.bound else None, judged.competition.phase == "final"
    for need in worth_telling(gymnast.needs, highest, final=final):
        words = NeedWords(need, lambda key: cells[key].text, wording, highest)
        unit = wording.say("on average") if words.several and words.large else ""
        mark = words.large or wording.say("any")
        yield Aim(wording.list_name(need.list), mark, words.sentence, unit)
