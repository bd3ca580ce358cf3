"""What is worth telling, in sentences: the one place where a notable fact becomes words.

Each fact keeps the numbers it rests on. A name that is withheld is told as its bib.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from resultsgen.judging.decided import BestOfDay, LeadStory, Notable
from resultsgen.judging.notable import NOTABLE, notable
from resultsgen.language import to_say
from resultsgen.results import Results, Tie
from resultsgen.rules.notable import AllApparatus, Best, Climb, Sweep, Win
from resultsgen.rules.standings import Cluster
from resultsgen.views.addresses import list_target
from resultsgen.views.cells import shown_name
from resultsgen.views.leads import course_of_the_lead
from resultsgen.views.site_map import OVERVIEW, list_names
from resultsgen.views.wording import Wording
from resultsgen.views.words import tie_sentence

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

WON = {
    "alone": to_say("{names} won with {total}."),
    "ahead": to_say("{names} won with {total}, {margin} ahead of {others}."),
    "level": to_say("{names} won with {total}, the same total as {others}."),
    "shared": to_say("{names} share the first place with {total}."),
}
FIRST = {
    "alone": to_say("{names} came first with {total}."),
    "ahead": to_say("{names} came first with {total}, {margin} ahead of {others}."),
    "level": to_say("{names} came first with {total}, the same total as {others}."),
    "shared": WON["shared"],
}
BESTS = {
    ("season", False): to_say("{names} made {mark}, a season’s best; it was {before}."),
    ("season", True): to_say("{names} made {mark} and equalled the season’s best, {before}."),
    ("personal", False): to_say("{names} made {mark}, a personal best; it was {before}."),
    ("personal", True): to_say("{names} made {mark} and equalled the personal best, {before}."),
    ("meet", False): to_say("{names} made {mark}, a record of the meet; it was {before}."),
    ("meet", True): to_say("{names} made {mark} and equalled the record of the meet, {before}."),
}
DISCIPLINES = {"men": to_say("men"), "women": to_say("women")}


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


def notable_facts(results: Results, wording: Wording) -> tuple[Fact, ...]:
    """Every notable fact of the meet in words, in the order in which they are told."""
    speakers: dict[tuple[str, bool], _Speaker] = {}
    found = []
    for one in notable(results):
        of_teams = one.list == "team"
        key = (one.competition, of_teams)
        if key not in speakers:
            speakers[key] = _Speaker(results, wording, one.competition, of_teams)
        found.append(speakers[key].fact(one))
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


@dataclass(frozen=True)
class _Speaker:
    """Tells facts of one competition, of gymnasts or of teams."""

    results: Results
    wording: Wording
    id: str
    of_teams: bool

    def fact(self, one: Notable) -> Fact:
        """A fact in words."""
        told: Callable[[Any, Notable], str] = SENTENCES[type(one.fact)].__get__(self)
        keys = frozenset(_keys(one.fact))
        names = frozenset(self.names[key] for key in keys) if self.of_teams else frozenset()
        title = self.results.competition(one.competition).competition.title
        name = self._list_name(one.list)
        return Fact(
            one.kind,
            self.wording.language.headed(title, name),
            name,
            list_target(one.competition, self._page(one.list)),
            told(one.fact, one),
            frozenset() if self.of_teams else keys,
            names,
            one,
        )

    def _page(self, name: str) -> str:
        """The page of a list, or another where it has none: an apparatus in an all-around final."""
        pages = list_names(self.results.competition(self.id))
        return name if name in pages else pages[1] if name else OVERVIEW

    def _list_name(self, name: str) -> str:
        words = {
            "": "",
            "team": self.wording.say("Team"),
            "all-around": self.wording.say("All-around"),
        }
        return words[name] if name in words else self.wording.apparatus(name)

    @cached_property
    def names(self) -> dict[int, str]:
        """What the gymnasts or the teams are called, by key."""
        if not self.of_teams:
            people = self.results.gymnasts
            return {key: shown_name(who, self.wording) for key, who in people.items()}
        team = self.results.competition(self.id).team
        return {line.key: line.name for line in team.lines} if team else {}

    def _listed(self, keys: Iterable[int]) -> str:
        return self.wording.language.listed([self._whole(key) for key in keys])

    def _whole(self, key: int) -> str:
        """The name, and for a gymnast the club or federation."""
        if self.of_teams:
            return self.names[key]
        who = self.results.gymnasts[key]
        body = who.club or who.federation
        return f"{self.names[key]} ({body})" if body else self.names[key]

    def win(self, fact: Win, one: Notable) -> str:
        """Who won or came first, with how much, and how far ahead."""
        form = "ahead" if fact.margin else "alone" if fact.margin is None else "level"
        form = "shared" if len(fact.keys) > 1 else form
        language = self.wording.language
        return language.say(
            (FIRST if one.kind == "first" else WON)[form],
            names=self._listed(fact.keys),
            total=language.mark(fact.total),
            margin=language.mark(fact.margin),
            others=self._listed(fact.runners_up),
        )

    def cluster(self, fact: Cluster, _: Notable) -> str:
        """Neighbours on a list and what lies between them."""
        if not fact.spread:
            return self.wording.say("{names} have the same total.", names=self._listed(fact.keys))
        return self.wording.say(
            "Places {first} to {last} within {spread}: {names}.",
            first=fact.first_place,
            last=fact.last_place,
            spread=self.wording.language.mark(fact.spread),
            names=self._listed(fact.keys),
        )

    def tie(self, fact: Tie, _: Notable) -> str:
        """How a tie was settled."""
        return tie_sentence(fact, self.names.__getitem__, self.wording.language)

    def best_of_day(self, fact: BestOfDay, _: Notable) -> str:
        """The best mark of a day."""
        language, settings = self.wording.language, self.results.meet.settings
        own = settings.disciplines.get(fact.discipline)
        discipline = own.name if own else language.say(DISCIPLINES.get(fact.discipline, ""))
        text = to_say("The best mark of {day}, {discipline}: {mark} by {names}.")
        return self.wording.say(
            text if fact.day else to_say("The best mark, {discipline}: {mark} by {names}."),
            day=language.date(fact.day) if fact.day else "",
            discipline=discipline or fact.discipline,
            mark=language.mark(fact.best.mark),
            names=self._listed(fact.best.keys),
        )

    def everywhere(self, fact: AllApparatus, _: Notable) -> str:
        """Who was first on every apparatus."""
        if not fact.shared:
            return self.wording.say(
                "{name} was first on every apparatus.", name=self._whole(fact.key)
            )
        return self.wording.say(
            "{name} was first on every apparatus, sharing the place on {apparatus}.",
            name=self._whole(fact.key),
            apparatus=self.wording.language.listed(
                [self.wording.apparatus(one) for one in fact.shared]
            ),
        )

    def sweep(self, fact: Sweep, _: Notable) -> str:
        """One body on all medal places."""
        return self.wording.say(
            "{body} took all medal places: {names}.",
            body=fact.body,
            names=self.wording.language.listed([self.names[key] for key in fact.keys]),
        )

    def climb(self, fact: Climb, _: Notable) -> str:
        """Who gained most places, from rotation to rotation or since the qualification."""
        text = to_say("{name} climbed from place {then} to place {now} in rotation {rotation}.")
        if not fact.after:
            text = to_say(
                "{name} was in place {then} of the finalists after the qualification and finished "
                "in place {now}."
            )
        return self.wording.say(
            text,
            name=self._whole(fact.key),
            then=fact.place_before,
            now=fact.place_after,
            rotation=fact.after,
        )

    def lead(self, fact: LeadStory, _: Notable) -> str:
        """Who led when; the session, where there are several."""
        names = self.names.__getitem__
        told = course_of_the_lead(fact, fact.changes, names, self.wording)
        if not fact.session:
            return told
        return self.wording.say("Session {session}: {told}", session=fact.session, told=told)

    def best(self, fact: Best, one: Notable) -> str:
        """A best that was beaten or equalled."""
        language = self.wording.language
        before = language.mark(fact.best_so_far)
        return language.say(
            BESTS[fact.record, fact.equalled],
            names=self._whole(fact.key),
            mark=language.mark(fact.mark),
            before=f"{before} ({one.note})" if one.note else before,
        )


SENTENCES: dict[type, Any] = {
    Win: _Speaker.win,
    Cluster: _Speaker.cluster,
    Tie: _Speaker.tie,
    BestOfDay: _Speaker.best_of_day,
    AllApparatus: _Speaker.everywhere,
    Sweep: _Speaker.sweep,
    Climb: _Speaker.climb,
    LeadStory: _Speaker.lead,
    Best: _Speaker.best,
}
"""Who tells which kind of fact."""


def _keys(fact: Any) -> tuple[int, ...]:
    """Whom a fact is about."""
    if isinstance(fact, BestOfDay):
        return fact.best.keys
    if isinstance(fact, LeadStory):
        return tuple(dict.fromkeys(key for one in fact.leads for key in one.keys))
    if isinstance(fact, AllApparatus | Climb | Best):
        return (fact.key,)
    keys: tuple[int, ...] = fact.keys
    return keys
