"""The first page, and what stands on every page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice

from resultsgen.live.competition import live
from resultsgen.live.upcoming import whose_turn
from resultsgen.meet.folder import Meet
from resultsgen.scoring.people import natural
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.lists.competitions import (
    links,
    overview_link,
    state,
    status_sentence,
    status_word,
    when,
)
from resultsgen.views.live.decided import decided_lists
from resultsgen.views.live.just_in import JustIn, as_it_stands
from resultsgen.views.live.leading import Leading, leading
from resultsgen.views.site.addresses import Link
from resultsgen.views.site.board import board, board_name
from resultsgen.views.site.head import MeetView
from resultsgen.views.site.honours import BoardColumn
from resultsgen.views.site.pictures import logo_on_pages, offered
from resultsgen.views.site.site_map import ANNOUNCER
from resultsgen.views.words.wording import Wording

CAME, DECIDED = 4, 3
"""So many of the newest marks stand on the first page, and so many sentences of what is decided."""


@dataclass(frozen=True)
class RunningList:
    """A list of several apparatus that is under way: who leads, and who can still come to them."""

    title: Link
    rows: tuple[Leading, ...]


@dataclass(frozen=True)
class RunningCompetition:
    """A competition that is on."""

    title: Link
    state: str
    """How many marks are to come."""
    up: tuple[tuple[str, str], ...]
    """Each apparatus, and who is up."""
    lists: tuple[RunningList, ...]
    decided: tuple[str, ...]
    page: Link | None
    """The announcer's page."""


@dataclass(frozen=True)
class TimetableLine:
    """A competition in the order of the meet: when it is, how far, and its lists."""

    when: str
    title: Link
    kind: str
    """going, ahead or done."""
    state: str
    lists: tuple[Link, ...]


@dataclass(frozen=True)
class HomeView:
    """What is on, what just came, who won, and where everything stands."""

    running: tuple[RunningCompetition, ...]
    came: tuple[JustIn, ...]
    heading: str
    """What the board shows: who leads while anything is on, who won once anything was."""
    board: tuple[BoardColumn, ...]
    timetable: tuple[TimetableLine, ...]
    picture: tuple[tuple[int, str], ...]
    """The widths of a photograph, and where each is, its own the last; of a drawing 0."""


def meet_view(results: Results, wording: Wording) -> MeetView:
    """Title, dates, status and cautions."""
    settings, language, say = results.meet.settings, wording.language, wording.say
    moment, logo = settings.printed_time, settings.logo in results.meet.assets
    cautions = [say("The rules of the sanctioning body and the decisions of the jury prevail.")]
    if not all(gymnast.published for gymnast in results.gymnasts.values()):
        cautions.append(
            say(
                "Where a name is withheld, the bib stands for it; the place is right all the same."
                if wording.bibs_worn
                else "Where a name is withheld, a number stands for it; the place is right all the "
                "same."
            )
        )
    return MeetView(
        title=wording.called(settings.title),
        dates=language.dates(settings.dates),
        where=wording.where(settings),
        organiser=wording.called(settings.organiser),
        official=settings.status.state == "official",
        status=status_word(settings.status, wording),
        status_sentence=status_sentence(settings.status, wording),
        published=language.moment(moment),
        as_of=say("as of {time}", time=f"{moment:%H:%M}") if moment else "",
        cautions=tuple(cautions),
        competitions=tuple(overview_link(judged, wording) for judged in results.competitions),
        language=language.code,
        logo=f"asset:{logo_on_pages(results.meet)}" if logo else "",
        noindex=not settings.privacy.search_engines,
        bibs_worn=wording.bibs_worn,
    )


def home_view(results: Results, places: int, wording: Wording) -> HomeView:
    """The first page, with the first *places* of each list that is under way."""
    on = [judged for judged in results.competitions if judged.in_progress]
    return HomeView(
        tuple(_running(results, judged, places, wording) for judged in on),
        as_it_stands(results, wording, CAME) if on else (),
        wording.say("Leaders") if on else board_name(results, wording),
        board(results, wording),
        timetable(results, wording),
        _picture(results.meet),
    )


def _picture(meet: Meet) -> tuple[tuple[int, str], ...]:
    name = meet.settings.picture
    found = [*offered(meet, name)] or [(0, name)] * (name in meet.assets)
    return tuple((width, f"asset:{at}") for width, at in found)


def timetable(results: Results, wording: Wording) -> tuple[TimetableLine, ...]:
    """Every competition in order of time, with its lists."""
    return tuple(_timetable(judged, wording) for judged in _by_time(results.competitions))


def _running(
    results: Results, judged: CompetitionResults, places: int, wording: Wording
) -> RunningCompetition:
    now = live(results)[judged.competition.id]
    marks = sum(len(now.entries.to_come(key)) for key in judged.coming)
    pages = {link.short: link for link in links(judged, wording)}
    up = (
        (wording.apparatus(one.apparatus), shown_name(results.gymnasts[one.keys[0]], wording))
        for one in whose_turn(now)
    )
    whole = [ranking for ranking in judged.rankings if ranking.kind != "apparatus"]
    decided = (
        wording.language.headed(told.title, sentence)
        for told in decided_lists(judged, now, wording)
        for sentence in filter(None, (told.open, *told.short, *told.out))
    )
    return RunningCompetition(
        overview_link(judged, wording),
        wording.language.count("{n} mark to come", "{n} marks to come", marks),
        tuple(up),
        tuple(
            RunningList(pages[ranking.id], told)
            for ranking in whole or judged.rankings
            if (told := leading(results, ranking, places if whole else 1, wording))
        ),
        tuple(islice(decided, DECIDED)),
        pages.get(ANNOUNCER),
    )


def _by_time(held: Sequence[CompetitionResults]) -> Sequence[CompetitionResults]:
    """In order of day and time; as the meet has them, where one has no day."""
    if not all(judged.competition.day for judged in held):
        return held
    return sorted(held, key=lambda one: (one.competition.day, natural(one.competition.time)))


def _timetable(judged: CompetitionResults, wording: Wording) -> TimetableLine:
    kind = "done" if judged.complete else "going" if judged.started else "ahead"
    told = "" if kind == "done" else state(judged, wording)
    own = links(judged, wording)[1:]
    return TimetableLine(when(judged, wording), overview_link(judged, wording), kind, told, own)
