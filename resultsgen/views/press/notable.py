"""What is worth telling: each notable fact in a sentence, with its list and whom it is about.

Each keeps the fact it rests on. A name that is withheld is told as its bib.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from resultsgen.files.once import Once
from resultsgen.language import to_say
from resultsgen.live.bests import Best, BestOfDay
from resultsgen.live.climbs import Climb
from resultsgen.live.notable import AllApparatus, Notable, Sweep, Win, notable
from resultsgen.live.standings import Cluster, LiveSession
from resultsgen.rules.ties import Tie
from resultsgen.scoring.results import Results
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.live.leads import course_of_the_lead, of_session
from resultsgen.views.site.addresses import list_target
from resultsgen.views.site.site_map import OVERVIEW, list_names
from resultsgen.views.words.reasons import tie_sentence
from resultsgen.views.words.wording import DISCIPLINES, Wording

NEWS = ("won", "first", "record", "everywhere", "sweep")
"""The facts that are news; how ties were settled or the lead changed is told on the press page."""

MOST_NEWS = 12
"""So many are told of one publication."""

WON = {
    "alone": to_say("{names} won with {total}."),
    "ahead": to_say("{names} won with {total}, {margin} ahead of {others}."),
    "level": to_say("{names} won with {total}, level with {others}."),
    "shared": to_say("{names} share the first place with {total}."),
}
FIRST = {
    "alone": to_say("{names} came first with {total}."),
    "ahead": to_say("{names} came first with {total}, {margin} ahead of {others}."),
    "level": to_say("{names} came first with {total}, level with {others}."),
    "shared": WON["shared"],
}
BESTS = {
    ("season", False): to_say("{names} made {mark}, a season’s best; it was {before}."),
    ("season", True): to_say("{names} made {mark} and equalled the season’s best, {before}."),
    ("personal", False): to_say("{names} made {mark}, a personal best; it was {before}."),
    ("personal", True): to_say("{names} made {mark} and equalled the personal best, {before}."),
    ("meet", False): to_say("{names} made {mark}, a record of the meet; it was {before}."),
    ("series", False): to_say("{names} made {mark}, a record of the series; it was {before}."),
    ("series", True): to_say(
        "{names} made {mark} and equalled the record of the series, {before}."
    ),
    ("all meets", False): to_say("{names} made {mark}, a record of all meets; it was {before}."),
    ("all meets", True): to_say(
        "{names} made {mark} and equalled the record of all meets, {before}."
    ),
    ("meet", True): to_say("{names} made {mark} and equalled the record of the meet, {before}."),
}
BEST_MARK = {
    (True, False): to_say("The best mark of {day}, {discipline}: {mark} by {names}."),
    (True, True): to_say("The best mark of {day} so far, {discipline}: {mark} by {names}."),
    (False, False): to_say("The best mark, {discipline}: {mark} by {names}."),
    (False, True): to_say("The best mark so far, {discipline}: {mark} by {names}."),
}
"""By whether the day is known, and whether marks are to come that day."""


@dataclass(frozen=True)
class FactInWords:
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


def notable_facts(
    results: Results, wording: Wording, competition: str = ""
) -> tuple[FactInWords, ...]:
    """Every notable fact of the meet, or of a competition, in words, kind by kind."""
    return _in_words(results, wording).get(competition, ())


def _told(results: Results, wording: Wording) -> dict[str, tuple[FactInWords, ...]]:
    """Those of each competition; under no name all of them."""
    speakers: dict[tuple[str, bool], Speaker] = {}
    found: dict[str, list[FactInWords]] = {"": []}
    for fact in notable(results):
        key = (fact.competition, fact.list == "team")
        if key not in speakers:
            speakers[key] = Speaker(results, wording, *key)
        told = speakers[key].in_words(fact)
        found[""].append(told)
        found.setdefault(fact.competition, []).append(told)
    return {id: tuple(facts) for id, facts in found.items()}


_in_words = Once(_told, most=8)


def news(results: Results, wording: Wording) -> dict[int, tuple[FactInWords, ...]]:
    """The facts of the lists that each publication brought to an end, by its number.

    A list is told with the publication since which its places and totals are what they are now; so
    a fact stands with one publication only, and a correction takes it along. A fact about several
    lists stands with the last publication of its competition's.
    """
    lines: dict[tuple[str, str], object] = {}
    since: dict[tuple[str, str], int] = {}
    for issue in results.history.issues:
        for competition in issue.by_person.competitions:
            for held in competition.lists:
                key = (competition.id, held.id)
                if lines.get(key) != held.lines:
                    lines[key], since[key] = held.lines, issue.publication.number
    found: dict[int, list[FactInWords]] = {}
    for fact in notable_facts(results, wording):
        id, name = fact.competition, fact.rests_on.list
        every = (number for (whole, _), number in since.items() if whole == id)
        number = since.get((id, name)) or max(every, default=0)
        if fact.kind in NEWS and number:
            found.setdefault(number, []).append(fact)
    return {number: tuple(facts[:MOST_NEWS]) for number, facts in found.items()}


def _called(results: Results, wording: Wording) -> dict[int, str]:
    return {key: shown_name(who, wording) for key, who in results.gymnasts.items()}


_names = Once(_called, most=8)
"""All who tell of gymnasts call them alike."""


@dataclass(frozen=True)
class Speaker:
    """Tells facts of one competition, of gymnasts or of teams."""

    results: Results
    wording: Wording
    id: str
    of_teams: bool

    def in_words(self, notable: Notable) -> FactInWords:
        """A fact in words, with the list and those it is about.

        A list without a page is told with another: an apparatus in an all-around final.
        """
        competition = self.results.competition(self.id)
        pages = list_names(competition)
        page = notable.list if notable.list in pages else pages[1] if notable.list else OVERVIEW
        name = self.wording.list_name(notable.list) if notable.list else ""
        about = notable.fact
        if isinstance(about, LiveSession):
            keys = frozenset(key for lead in about.leads for key in lead.keys)
        elif isinstance(about, AllApparatus | Climb | Best):
            keys = frozenset({about.key})
        else:
            keys = frozenset(about.keys)
        return FactInWords(
            notable.kind,
            self.wording.language.headed(self.wording.called(competition.competition.title), name),
            name,
            list_target(self.id, page),
            SENTENCES[type(notable.fact)](self, notable.fact, notable.kind),
            frozenset() if self.of_teams else keys,
            frozenset(self.names[key] for key in keys) if self.of_teams else frozenset(),
            notable,
        )

    @cached_property
    def names(self) -> dict[int, str]:
        """What the gymnasts or the teams are called, by key."""
        if not self.of_teams:
            return _names(self.results, self.wording)
        team = self.results.competition(self.id).team
        return {line.key: line.id for line in team.lines} if team else {}

    def whole(self, key: int) -> str:
        """The name, and for a gymnast the club or federation, and that it is a guest."""
        if self.of_teams:
            return self.names[key]
        who = self.results.gymnasts[key]
        guest = self.wording.say("guest") if who.guest else ""
        beside = ", ".join(filter(None, (who.club or who.federation, guest)))
        return f"{self.names[key]} ({beside})" if beside else self.names[key]

    def listed(self, keys: Iterable[int]) -> str:
        """All of them in full."""
        return self.wording.language.listed([self.whole(key) for key in keys])


def _win(by: Speaker, fact: Win, kind: str) -> str:
    form = "ahead" if fact.margin else "alone" if fact.margin is None else "level"
    form = "shared" if len(fact.keys) > 1 else form
    show = by.wording.language.mark
    return by.wording.say(
        (FIRST if kind == "first" else WON)[form],
        names=by.listed(fact.keys), total=show(fact.total),
        margin=show(fact.margin), others=by.listed(fact.runners_up),
    )  # fmt: skip


def _cluster(by: Speaker, fact: Cluster, _: str) -> str:
    text = to_say("The first {n} within {spread}: {names}.")
    return by.wording.say(
        text if fact.spread else to_say("{names} are level."),
        n=len(fact.keys),
        spread=by.wording.language.mark(fact.spread),
        names=by.listed(fact.keys),
    )


def _tie(by: Speaker, fact: Tie, _: str) -> str:
    return tie_sentence(fact, by.names.__getitem__, by.wording.language)


def _best_of_day(by: Speaker, fact: BestOfDay, _: str) -> str:
    language = by.wording.language
    own = by.results.meet.settings.disciplines.get(fact.discipline)
    discipline = own.name if own else language.say(DISCIPLINES.get(fact.discipline, ""))
    return by.wording.say(
        BEST_MARK[bool(fact.day), fact.so_far],
        day=language.date(fact.day) if fact.day else "",
        discipline=discipline or fact.discipline,
        mark=language.mark(fact.mark), names=by.listed(fact.keys),
    )  # fmt: skip


def _everywhere(by: Speaker, fact: AllApparatus, _: str) -> str:
    text = to_say("{name} was first on every apparatus, sharing the place on {apparatus}.")
    shared = [by.wording.apparatus(code) for code in fact.shared]
    return by.wording.say(
        text if shared else to_say("{name} was first on every apparatus."),
        name=by.whole(fact.key),
        apparatus=by.wording.language.listed(shared) if shared else "",
    )


def _sweep(by: Speaker, fact: Sweep, _: str) -> str:
    names = by.wording.language.listed([by.names[key] for key in fact.keys])
    return by.wording.say("{body} took all medal places: {names}.", body=fact.body, names=names)


def _climb(by: Speaker, fact: Climb, _: str) -> str:
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
    return by.wording.say(
        text,
        name=by.whole(fact.key), then=fact.place_before, now=fact.place_after,
        rotation=fact.after, session=by.wording.called(fact.session),
    )  # fmt: skip


def _lead(by: Speaker, fact: LiveSession, _: str) -> str:
    told = course_of_the_lead(fact, by.names.__getitem__, by.wording)
    return of_session(told, fact.session, by.wording)


def _best(by: Speaker, fact: Best, _: str) -> str:
    show = by.wording.language.mark
    before = show(fact.best_so_far)
    return by.wording.say(
        BESTS[fact.record, fact.equalled],
        names=by.whole(fact.key), mark=show(fact.mark),
        before=f"{before} ({fact.note})" if fact.note else before,
    )  # fmt: skip


SENTENCES: dict[type, Callable[[Speaker, Any, str], str]] = {
    Win: _win,
    Cluster: _cluster,
    Tie: _tie,
    BestOfDay: _best_of_day,
    AllApparatus: _everywhere,
    Sweep: _sweep,
    Climb: _climb,
    LiveSession: _lead,
    Best: _best,
}
"""How each kind of fact is told."""
