"""The awards sheet, which the presenter reads aloud from: third, second, first, in large type.

And who gets a ribbon, where everybody does: all who performed, by the roster, with no places.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from resultsgen.language import to_say
from resultsgen.meet.settings import Handout
from resultsgen.scoring.medals import PLACES, finals
from resultsgen.scoring.ranking import Gymnast, Ranking, Team
from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.lists.competitions import when
from resultsgen.views.lists.sections import BookSubject, Section, SheetContent
from resultsgen.views.words.wording import Wording

AWARDS: Handout = "awards sheet"
RIBBONS: Handout = "ribbons"

CALLED, SAID, STEP = 50, 19, 26
"""About how high somebody is who is called up, a further line, and what stands above, in points."""

NAMES_OF_PLACES = {1: to_say("First place"), 2: to_say("Second place"), 3: to_say("Third place")}

NOBODY = {
    1: to_say("Nobody is first."),
    2: to_say("Nobody is second."),
    3: to_say("Nobody is third."),
}

SHARED = {
    (1, 2): to_say("Two share first place; there is no second place."),
    (1, 3): to_say("{n} share first place; there is no second and no third place."),
    (2, 2): to_say("Two share second place; there is no third place."),
    (2, 3): to_say("{n} share second place; there is no third place."),
    (3, 2): to_say("Two share third place."),
    (3, 3): to_say("{n} share third place."),
}
"""What is said of a place by how many share it: two, or more."""


@dataclass(frozen=True)
class Called:
    """Somebody who is called up, with what is read beside the name."""

    name: str
    said: str
    """How the name is said; of a team, its gymnasts."""
    club: str
    mark: str


@dataclass(frozen=True)
class PodiumStep:
    """One place: what is to be said of it, and who is on it."""

    heading: str
    told: str
    called: tuple[Called, ...]


@dataclass(frozen=True)
class Ceremony(SheetContent):
    """One list as it is awarded, from the third place to the first; or why it is not."""

    steps: tuple[PodiumStep, ...] = ()
    told: str = ""

    @property
    def height(self) -> float:
        """About how high it is, in points."""
        return sum(
            STEP + sum(CALLED + SAID * -(-len(one.said) // 60) for one in step.called)
            for step in self.steps
        )


@dataclass(frozen=True)
class Ribbons(SheetContent):
    """Everybody of a competition who gets a ribbon; or why nobody does yet."""

    called: tuple[Called, ...] = ()
    told: str = ""

    @property
    def height(self) -> float:
        """About how high it is, in two columns."""
        return CALLED * len(self.called) / 2


def awards(subject: BookSubject) -> Iterator[Section]:
    """Competition by competition each list of the finals, and who gets a ribbon."""
    wanted, wording = subject.results.meet.settings.handouts, subject.wording.spoken
    awarded = list(finals(subject.results)) if AWARDS in wanted else []
    for judged in subject.results.competitions:
        sheets: list[tuple[str, str, str, SheetContent]] = [
            (f"awards-{one.id}", "awards", wording.list_name(one.id), _ceremony(one, wording))
            for held, one in awarded
            if held is judged and one.lines
        ]
        # Who is in a final was given one before, and of marks that are shared the first has them.
        if RIBBONS in wanted and judged.own_routines and not judged.competition.entered_from:
            sheets.append((RIBBONS, RIBBONS, wording.say("Ribbons"), _ribbons(judged, wording)))
        of, days = judged.competition, when(judged, wording)
        whole = wording.called(of.title)
        for id, template, title, content in sheets:
            heads = f"{whole} · {title}"
            yield Section(f"{of.id}/{id}", template, title, heads, days, whole, content=content)


def _ceremony(ranking: Ranking, wording: Wording) -> Ceremony:
    if ranking.to_come:
        return Ceremony(told=wording.say("Marks are still to come: no awards yet."))
    on = {p: [line for line in ranking.lines if line.place == p] for p in PLACES}
    if not any(on.values()):
        return Ceremony(told=wording.say("Nobody is placed in this list."))
    steps = []
    for place in reversed(PLACES):
        called = tuple(
            _called(line.of, wording, wording.language.mark(line.total)) for line in on[place]
        )
        told = "" if called else wording.say(NOBODY[place])
        if len(called) > 1:
            told = wording.say(SHARED[place, min(len(called), 3)], n=len(called))
        # Who shares a place takes the next one with it; that is said where they are called.
        if called or sum(len(on[ahead]) for ahead in PLACES if ahead < place) < place:
            steps.append(PodiumStep(wording.say(NAMES_OF_PLACES[place]), told, called))
    return Ceremony(tuple(steps))


def _ribbons(judged: CompetitionResults, wording: Wording) -> Ribbons:
    if not judged.complete:
        return Ribbons(told=wording.say("Marks are still to come: no awards yet."))
    performed = {who.key: who for who, routine in judged.own_routines if routine.mark is not None}
    return Ribbons(tuple(_called(performed[key], wording) for key in sorted(performed)))


def _called(who: Gymnast | Team, wording: Wording, mark: str = "") -> Called:
    name = shown_name(who, wording)
    if who.kind == "team":
        members = wording.language.listed([shown_name(each, wording) for each in who.gymnasts])
        return Called(name, members, "", mark)
    return Called(name, who.pronounced, who.club or who.federation, mark)
