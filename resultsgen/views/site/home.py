"""The first page: how far the meet is, and every competition at a glance."""

from __future__ import annotations

from dataclasses import dataclass, replace

from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.competitions import CompetitionView, Link, competition_view
from resultsgen.views.live.so_far import highlights_so_far
from resultsgen.views.words.wording import Wording


@dataclass(frozen=True)
class Stage:
    """The competitions that are equally far: under way, to come, or finished."""

    heading: str
    kind: str
    """going, ahead or done."""
    competitions: tuple[tuple[Link, str], ...]
    """Each with when it is, or what it still lacks; nothing where it is finished."""


@dataclass(frozen=True)
class HomeView:
    """Stages of the meet, and all its competitions in their order."""

    stages: tuple[Stage, ...]
    competitions: tuple[CompetitionView, ...]


def home_view(results: Results, places: int, wording: Wording) -> HomeView:
    """The first page, with the first *places* of each list that it shows."""
    views = tuple(_view(one, results, places, wording) for one in results.competitions)
    going = [one for one in views if one.started and not one.complete]
    ahead = [one for one in views if not one.started]
    done = [one for one in views if one.complete]
    stages = (
        Stage(wording.say("Under way"), "going", _listed(going, "state")),
        Stage(wording.say("To come"), "ahead", _listed(ahead, "when")),
        Stage(wording.say("Finished"), "done", _listed(done, "")),
    )
    return HomeView(tuple(one for one in stages if one.competitions), views)


def _view(
    one: CompetitionResults, results: Results, places: int, wording: Wording
) -> CompetitionView:
    """A competition at a glance; under way, with those who lead so far."""
    view = competition_view(one, places, wording)
    if not one.started or one.complete:
        return view
    return replace(view, highlights=tuple(highlights_so_far(results, one, places, wording)))


def _listed(views: list[CompetitionView], beside: str) -> tuple[tuple[Link, str], ...]:
    """Each with one of its fields beside it."""
    return tuple(
        (Link(one.title, one.target), getattr(one, beside) if beside else "") for one in views
    )
