"""The page for a display in the hall: panel by panel, who leads, what came, what is needed, who is
next. It holds few words, so that they can be read from far away."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from resultsgen.history.arrivals import ALL_AROUND
from resultsgen.language import to_say
from resultsgen.live.competition import is_running, live
from resultsgen.live.upcoming import whose_turn
from resultsgen.meet.settings import Panel, Screen
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.live.just_in import JustIn, as_it_stands, compared_in
from resultsgen.views.live.leading import leading
from resultsgen.views.live.needs import needs_told
from resultsgen.views.words.wording import Wording, place_words

PLACES, ON_APPARATUS, CAME, AFTER = 4, 8, 8, 3
"""So many places of a long list, and of an apparatus; so many marks; so many who come after."""


@dataclass(frozen=True)
class ScreenLine:
    """One line of the display, as far as it has each."""

    name: str
    place: str = ""
    above: str = ""
    """The apparatus."""
    below: str = ""
    """The club, the places that a mark gives, what is needed, who comes after."""
    done: str = ""
    """How many apparatus are in the total."""
    mark: str = ""


@dataclass(frozen=True)
class ScreenPanel:
    """What stands on the display at one time, or page by page where it is too much."""

    kind: str
    title: str
    over: str
    """The competition."""
    lines: tuple[ScreenLine, ...]


@dataclass(frozen=True)
class ScreenView:
    """All that the display turns through, and how long each stands."""

    panels: tuple[ScreenPanel, ...]
    seconds: int


def screen_view(results: Results, screen: Screen, wording: Wording) -> ScreenView:
    """The panels that the meet wants, of the competitions that are on."""
    shown = tuple(_on(results, screen))
    panels = (
        panel
        for kind in screen.show
        for judged in shown
        for panel in PANELS[kind](results, judged, wording)
        if panel.lines
    )
    return ScreenView(tuple(panels), screen.seconds)


def _on(results: Results, screen: Screen) -> Iterator[CompetitionResults]:
    """Those that are named; else those under way, those that ended last, or the first to come."""
    if screen.competitions:
        yield from map(results.competition, screen.competitions)
        return
    on = [judged for judged in results.competitions if judged.in_progress]
    over = [judged for judged in results.competitions if judged.complete]
    those, pick = (over, max) if over else (results.competitions, min)
    day = pick((one.competition.day for one in those if one.competition.day), default=None)
    yield from on or (judged for judged in those if judged.competition.day == day)


def _leaders(
    results: Results, judged: CompetitionResults, wording: Wording
) -> Iterator[ScreenPanel]:
    for ranking in judged.rankings:
        running = is_running(ranking)
        told = leading(results, ranking, PLACES if running else ON_APPARATUS, wording)
        lines = (
            ScreenLine(
                one.leader.name, one.leader.place, mark=one.leader.total, done=one.done,
                below="" if one.done else one.leader.sub,
            )
            for one in told
        )  # fmt: skip
        title = wording.list_name(ranking.id)
        if running:
            title = wording.say("{list}, as it stands", list=title)
        yield ScreenPanel("leaders", title, wording.called(judged.competition.title), tuple(lines))


def _just_in(
    results: Results, judged: CompetitionResults, wording: Wording
) -> Iterator[ScreenPanel]:
    lines = (
        ScreenLine(
            one.name,
            below=" · ".join(
                filter(None, (one.guest, one.apparatus, *_places(one, judged, wording)))
            ),
            mark=one.mark,
        )
        for one in as_it_stands(results, wording, CAME, judged.competition.id)
    )
    yield ScreenPanel(
        "came", wording.say("Just in"), wording.called(judged.competition.title), tuple(lines)
    )


def _places(one: JustIn, judged: CompetitionResults, wording: Wording) -> Iterator[str]:
    """That it is corrected, the place on the apparatus, and in the list of several."""
    if one.arrival.corrected:
        text = to_say("Withdrawn") if one.arrival.corrected.gone else to_say("Corrected")
        if one.arrival.corrected.gone and one.apparatus:
            text = to_say("Mark withdrawn")  # The gymnast did not withdraw.
        yield wording.say(text)
    for stand in (one.arrival.on_apparatus, one.all_around):
        if stand:
            told = place_words(stand.place, bool(stand.shared), wording).replace(" ", "\u00a0")
            if stand.list == ALL_AROUND:
                told = wording.language.headed(compared_in(stand, judged, wording), told)
            yield told


def _needs(results: Results, judged: CompetitionResults, wording: Wording) -> Iterator[ScreenPanel]:
    """What those who are up need; before the first mark there is nobody to be compared with."""
    lines = []
    for up in whose_turn(live(results)[judged.competition.id]) if judged.in_progress else ():
        for told in needs_told(results, judged, up.keys[0], wording, up.apparatus)[:1]:
            name = shown_name(results.gymnasts[up.keys[0]], wording)
            need = wording.language.headed(told.list, told.sentence)
            lines.append(ScreenLine(name, above=wording.apparatus(up.apparatus), below=need))
    title = wording.say("What is needed")
    yield ScreenPanel("needs", title, wording.called(judged.competition.title), tuple(lines))


def _up_next(
    results: Results, judged: CompetitionResults, wording: Wording
) -> Iterator[ScreenPanel]:
    lines = []
    for up in whose_turn(live(results)[judged.competition.id]):
        first, *after = [shown_name(results.gymnasts[key], wording) for key in up.keys]
        below = wording.say("then {names}", names=", ".join(after[:AFTER])) if after else ""
        lines.append(ScreenLine(first, above=wording.apparatus(up.apparatus), below=below))
    yield ScreenPanel(
        "up", wording.say("Up next"), wording.called(judged.competition.title), tuple(lines)
    )


Panels = Callable[[Results, CompetitionResults, Wording], Iterator[ScreenPanel]]

PANELS: dict[Panel, Panels] = {
    "leaders": _leaders,
    "just in": _just_in,
    "needs": _needs,
    "up next": _up_next,
}
"""What the display can show."""
