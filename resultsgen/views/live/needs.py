"""The needs sheet: what everybody with a mark to come needs, in order of start, largest first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from resultsgen.live.competition import GymnastNeeds, LiveCompetition, live
from resultsgen.live.needs import Need
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.cells import lines_of
from resultsgen.views.lists.competitions import Link, links, state, when
from resultsgen.views.lists.page_parts import PagePart, by_count, packed
from resultsgen.views.lists.start_lists import squad_title
from resultsgen.views.lists.table import Cell
from resultsgen.views.live.decided import DecidedList, bound_sentence, decided_lists
from resultsgen.views.live.need_words import NeedWords
from resultsgen.views.site.site_map import NEEDS
from resultsgen.views.words.wording import Wording

RIVALS = {"lead": 1, "medal": 3, "cut": 1}
"""Against fewer rivals than this there is nothing to need."""


@dataclass(frozen=True)
class Aim:
    """One thing to reach: the mark in large, and the whole of it in a sentence."""

    goal: str
    mark: str
    sentence: str
    possible: bool
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
class NeedsView:
    """The needs sheet of one competition."""

    title: str
    target: str
    competition: str
    below: tuple[str, ...]
    links: tuple[Link, ...]
    gymnasts: tuple[NeedsOfOne, ...]
    bound: str
    """What is taken as the highest mark; or that nothing is called decided, and why; empty where
    the page is a later part."""
    decided: tuple[DecidedList, ...]


def needs_view(results: Results, one: CompetitionResults, wording: Wording) -> NeedsView:
    """The sheet of a competition with marks to come."""
    offered = links(one, wording)
    link = next(link for link in offered if link.short == NEEDS)
    now = live(results)[one.competition.id]
    return NeedsView(
        link.text,
        link.target,
        one.competition.title,
        tuple(filter(None, (when(one, wording), state(one, wording)))),
        offered,
        tuple(needs_in_order(one, now, wording)),
        bound_sentence(now.bound, wording),
        tuple(decided_lists(one, now, wording)),
    )


NEEDED = 123
"""So many bytes what one gymnast needs takes on a page, compressed."""


def needs_parts(view: NeedsView, wording: Wording) -> Iterator[tuple[PagePart, NeedsView]]:
    """The page part by part, one where all of it fits; the first says what is decided."""
    of = len(view.gymnasts)
    for held in packed([NEEDED] * of):
        called = by_count(held.start + 1, held.stop, of, wording)
        gymnasts = view.gymnasts[held.start : held.stop]
        one = replace(view, gymnasts=gymnasts)
        yield called, replace(one, bound="", decided=()) if held.start else one


LINES = 23
"""So many lines of large type fit on one sheet of paper."""

WIDE = 80
"""So many letters fit on a line of it, beside the mark."""


@dataclass(frozen=True)
class PrintedSheet:
    """What fits on one printed page of the needs sheet, and who stands on none."""

    below: tuple[str, ...]
    gymnasts: tuple[NeedsOfOne, ...]
    later: str
    """Those who go after them."""
    bound: str
    decided: tuple[DecidedList, ...]


def printed_sheet(results: Results, one: CompetitionResults, wording: Wording) -> PrintedSheet:
    """The next to go, as many as one page holds, with what is in reach for them."""
    view = needs_view(results, one, wording)
    found: list[NeedsOfOne] = []
    used = sum(len(each.sentences) for each in view.decided[:1])
    for each in view.gymnasts:
        aims = tuple(aim for aim in each.aims if aim.possible)
        used += 1 + max(1, sum(1 + len(aim.goal + aim.sentence) // WIDE for aim in aims))
        if used <= LINES or not found:
            found.append(replace(each, aims=aims))
    rest = [each.name.text for each in view.gymnasts[len(found) :]]
    later = wording.say("After them: {names}", names=", ".join(rest)) if rest else ""
    return PrintedSheet(view.below, tuple(found), later, view.bound, view.decided[:1])


def needs_in_order(
    one: CompetitionResults, now: LiveCompetition, wording: Wording
) -> Iterator[NeedsOfOne]:
    """Everybody with a mark to come, in order of rotation and start; what is in reach first."""
    cells = lines_of(one, "apparatus", wording)
    for gymnast in now.needs:
        aims = tuple(sorted(_aims(gymnast, now, cells, wording), key=lambda aim: not aim.possible))
        yield NeedsOfOne(cells[gymnast.key], _next(gymnast, one, wording), aims)


def _next(gymnast: GymnastNeeds, one: CompetitionResults, wording: Wording) -> str:
    """When and where the next routine is: "Rotation 4, Floor Exercise, squad 2"."""
    rotation = gymnast.rotation
    turn = wording.say("Rotation {rotation}", rotation=rotation) if rotation else ""
    who = next(start.gymnast for start in one.starts if start.gymnast.key == gymnast.key)
    place = "" if one.competition.entered_from else squad_title(who.session, who.squad, wording)
    part = wording.apparatus(gymnast.apparatus) if gymnast.apparatus else ""
    return " · ".join(filter(None, (turn, part, place)))


def _aims(
    gymnast: GymnastNeeds, now: LiveCompetition, cells: dict[int, Cell], wording: Wording
) -> Iterator[Aim]:
    highest = now.bound.mark if now.bound else None
    for need in gymnast.needs:
        if need.rivals < RIVALS[need.aim]:
            continue
        words = NeedWords(need, lambda key: cells[key].text, wording, highest)
        goal = goal_words(need, gymnast, wording)
        average = words.several and words.possible and need.wins
        unit = wording.say("on average") if average else ""
        yield Aim(goal, words.mark, words.sentence, words.possible, unit)


def goal_words(need: Need, gymnast: GymnastNeeds, wording: Wording) -> str:
    """What is to be reached: to lead, a medal place, a cut; in which list, and when."""
    listed, say = wording.list_name(need.list), wording.say
    if need.aim == "cut":
        return say("{list}: to make the cut, {cut}", list=listed, cut=need.cut)
    if need.aim == "medal":
        return say("{list}: for a medal place", list=listed)
    if need.list == "all-around" and not _is_last(need, gymnast):
        part = wording.apparatus(need.apparatus[-1])
        return say("{list}: to lead after {apparatus}", list=listed, apparatus=part)
    return say("{list}: to lead", list=listed)


def _is_last(need: Need, gymnast: GymnastNeeds) -> bool:
    """The need is about all that the gymnast has to come in this list."""
    same = (other for other in gymnast.needs if other.list == need.list)
    return len(need.apparatus) == max(len(other.apparatus) for other in same)
