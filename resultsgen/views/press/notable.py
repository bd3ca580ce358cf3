"""What is worth telling: each notable fact in words, with its list and whom it is about.

Each fact keeps the numbers it rests on. A name that is withheld is told as its bib.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from resultsgen.language import to_say
from resultsgen.live.notable import NOTABLE, AllApparatus, Best, Climb, Notable, notable
from resultsgen.live.standings import LiveSession
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.press.notable_words import Speaker
from resultsgen.views.site.addresses import list_target
from resultsgen.views.site.site_map import OVERVIEW, list_names
from resultsgen.views.words.wording import Wording

HEADINGS = {
    "won": to_say("Winners"),
    "first": to_say("First in the qualification"),
    "record": to_say("Bests and records"),
    "tie": to_say("Ties and how they were settled"),
    "close": to_say("Closest finishes"),
    "together": to_say("Closest behind the winners"),
    "best-of-day": to_say("Best marks of the day"),
    "everywhere": to_say("First on every apparatus"),
    "sweep": to_say("Clean sweeps"),
    "climb": to_say("Biggest climbs"),
    "lead": to_say("How the lead changed"),
}
"""The kinds of facts, as they are headed."""


@dataclass(frozen=True)
class Fact:
    """One fact in words, with the list it is about and whom it is about."""

    kind: str
    about: str
    """The competition and the list."""
    list_name: str
    """The list; empty where it is about the whole competition."""
    target: str
    """The page of that list."""
    sentence: str
    gymnasts: frozenset[int]
    """The keys of the gymnasts it is about."""
    teams: frozenset[str]
    """The names of the teams it is about."""
    rests_on: Notable

    @property
    def competition(self) -> str:
        """The id of the competition."""
        return self.rests_on.competition


@dataclass(frozen=True)
class Chapter:
    """The facts of one kind."""

    kind: str
    heading: str
    facts: tuple[Fact, ...]


def notable_facts(results: Results, wording: Wording, competition: str = "") -> tuple[Fact, ...]:
    """Every notable fact of the meet, or of a competition, in words and in order."""
    speakers: dict[tuple[str, bool], Speaker] = {}
    found = []
    for one in notable(results):
        if competition not in ("", one.competition):
            continue
        of_teams = one.list == "team"
        key = (one.competition, of_teams)
        if key not in speakers:
            speakers[key] = Speaker(results, wording, one.competition, of_teams)
        found.append(_fact(one, speakers[key]))
    return tuple(found)


def chapters(facts: Iterable[Fact], wording: Wording) -> tuple[Chapter, ...]:
    """Facts by their kind; a kind without any is left out."""
    told = list(facts)
    by_kind = {kind: tuple(one for one in told if one.kind == kind) for kind in NOTABLE}
    return tuple(
        Chapter(kind, wording.say(HEADINGS[kind]), these)
        for kind, these in by_kind.items()
        if these
    )


def _fact(one: Notable, speaker: Speaker) -> Fact:
    """A fact in words, with the list and those it is about."""
    keys = frozenset(_keys(one.fact))
    competition = speaker.results.competition(one.competition)
    name = speaker.wording.list_name(one.list) if one.list else ""
    return Fact(
        one.kind,
        speaker.wording.language.headed(competition.competition.title, name),
        name,
        list_target(one.competition, _page(one.list, competition)),
        speaker.sentence(one),
        frozenset() if speaker.of_teams else keys,
        frozenset(speaker.names[key] for key in keys) if speaker.of_teams else frozenset(),
        one,
    )


def _page(name: str, competition: CompetitionResults) -> str:
    """The page of a list, or another where it has none: an apparatus in an all-around final."""
    pages = list_names(competition)
    return name if name in pages else pages[1] if name else OVERVIEW


def _keys(fact: Any) -> tuple[int, ...]:
    """Whom a fact is about."""
    if isinstance(fact, LiveSession):
        return tuple(dict.fromkeys(key for one in fact.leads for key in one.keys))
    if isinstance(fact, AllApparatus | Climb | Best):
        return (fact.key,)
    keys: tuple[int, ...] = fact.keys
    return keys
