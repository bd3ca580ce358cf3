"""Notable facts in sentences. A name that is withheld is told as its bib."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from resultsgen.language import to_say
from resultsgen.live.notable import AllApparatus, Best, BestOfDay, Climb, Notable, Sweep, Win
from resultsgen.live.standings import Cluster, LiveSession
from resultsgen.rules.ties import Tie
from resultsgen.scoring.results import Results
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.live.leads import course_of_the_lead
from resultsgen.views.words.reasons import tie_sentence
from resultsgen.views.words.wording import Wording

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
class Speaker:
    """Tells facts of one competition, of gymnasts or of teams."""

    results: Results
    wording: Wording
    id: str
    of_teams: bool

    def sentence(self, one: Notable) -> str:
        """A fact in words."""
        told: Callable[[Any, Notable], str] = SENTENCES[type(one.fact)].__get__(self)
        return told(one.fact, one)

    @cached_property
    def names(self) -> dict[int, str]:
        """What the gymnasts or the teams are called, by key."""
        if not self.of_teams:
            people = self.results.gymnasts
            return {key: shown_name(who, self.wording) for key, who in people.items()}
        team = self.results.competition(self.id).team
        return {line.key: line.id for line in team.lines} if team else {}

    def _listed(self, keys: Iterable[int]) -> str:
        return self.wording.language.listed([self._whole(key) for key in keys])

    def _whole(self, key: int) -> str:
        """The name, and for a gymnast the club or federation, and that it is a guest."""
        if self.of_teams:
            return self.names[key]
        who = self.results.gymnasts[key]
        guest = self.wording.say("guest") if who.guest else ""
        beside = ", ".join(filter(None, (who.club or who.federation, guest)))
        return f"{self.names[key]} ({beside})" if beside else self.names[key]

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
            mark=language.mark(fact.mark),
            names=self._listed(fact.keys),
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
        if fact.session:
            text = to_say(
                "{name} climbed from place {then} to place {now} of session {session} in rotation "
                "{rotation}."
            )
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
            session=fact.session,
        )

    def lead(self, fact: LiveSession, _: Notable) -> str:
        """Who led when; the session, where there are several."""
        names = self.names.__getitem__
        told = course_of_the_lead(fact, names, self.wording)
        if not fact.session:
            return told
        return self.wording.say("Session {session}: {told}", session=fact.session, told=told)

    def best(self, fact: Best, _: Notable) -> str:
        """A best that was beaten or equalled."""
        language = self.wording.language
        before = language.mark(fact.best_so_far)
        return language.say(
            BESTS[fact.record, fact.equalled],
            names=self._whole(fact.key),
            mark=language.mark(fact.mark),
            before=f"{before} ({fact.note})" if fact.note else before,
        )


SENTENCES: dict[type, Any] = {
    Win: Speaker.win,
    Cluster: Speaker.cluster,
    Tie: Speaker.tie,
    BestOfDay: Speaker.best_of_day,
    AllApparatus: Speaker.everywhere,
    Sweep: Speaker.sweep,
    Climb: Speaker.climb,
    LiveSession: Speaker.lead,
    Best: Speaker.best,
}
"""Who tells which kind of fact."""
