"""Just in: the marks that came with each publication, the newest first, and what each means."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import takewhile

from resultsgen.files.once import Once
from resultsgen.history import Issue
from resultsgen.history.arrivals import ALL_AROUND, Arrival, Stand, arrivals
from resultsgen.language import to_say
from resultsgen.live.arrived import all_around
from resultsgen.meet.folder import NAME
from resultsgen.meet.parts import part_of
from resultsgen.scoring.ranking import Gymnast
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.corrections.correction_words import (
    NOTHING,
    PublishedNames,
    correction_sentence,
    published_names,
    shown,
)
from resultsgen.views.lists.cells import parts_of
from resultsgen.views.live.needs import few_names
from resultsgen.views.press.notable import FIRST, WON
from resultsgen.views.site.addresses import list_target
from resultsgen.views.site.site_map import OVERVIEW, list_names
from resultsgen.views.words.wording import Wording, place_words, reserve_words

Names = Callable[[str], str]
"""The name of a person."""

SHOWN, NEAR, AT_ONCE = 60, 3, 24
"""So many marks are told on the page, the newest; so many places of the all-around are near the
top; of a publication that brought more than so many, the feed tells the number alone."""

LEADS = {
    "alone": to_say("{name} is the first to be placed, with {total}."),
    "ahead": to_say("{name} leads with {total}, {margin} ahead of {others}."),
    "passed": to_say("{name} takes the lead with {total}, {margin} ahead of {others}."),
    "level": to_say("{name} leads with {total}, level with {equals}: {how}."),
    "shared": to_say("{name} shares the lead with {equals}, {total} each."),
}
PLACED = {
    "behind": to_say("{name} is in {place} with {total}, {margin} behind {others}."),
    "level": to_say("{name} is in {place} with {total}, level with {equals}: {how}."),
    "shared": to_say("{name} shares {place} with {equals}, {total} each."),
}
SETTLED = {
    "E": to_say("the higher E score decides"),
    "D": to_say("the higher D score decides"),
    "": to_say("the rules for equal totals decide"),
}


@dataclass(frozen=True)
class JustIn:
    """A mark that was published, where it puts the gymnast, and what it means."""

    arrival: Arrival
    when: str
    competition: str
    name: str
    target: str
    club: str
    apparatus: str
    list: str
    """The page of the apparatus, or of the competition."""
    key: int | None
    """Whose row it has there."""
    mark: str
    parts: str
    sentences: tuple[str, ...]
    all_around: Stand | None
    guest: str
    """The word for a guest, of one who is."""

    @property
    def sentence(self) -> str:
        """All that it means."""
        return " ".join(self.sentences)


@dataclass(frozen=True)
class JustInPublication:
    """The marks of one publication on the page of them all."""

    number: int
    when: str
    marks: tuple[JustIn, ...]


def has_just_in(results: Results) -> bool:
    """Marks came with a publication after the first; or they came, and others are to come."""
    found = [number for number, came in _by_number(results).items() if _first_time(came)]
    running = any(judged.in_progress for judged in results.competitions)
    return bool(found) and (found[-1] > 1 or running)


def just_in(results: Results, wording: Wording, competition: str = "") -> tuple[JustIn, ...]:
    """The newest marks, of all or of one competition: of one publication, those in the last rows
    of the files first."""
    newest = _told(results, wording).newest if has_just_in(results) else ()
    return tuple(one for one in newest if competition in ("", one.arrival.competition.id))


def as_it_stands(
    results: Results, wording: Wording, most: int, competition: str = ""
) -> tuple[JustIn, ...]:
    """The newest of them with what each means now, as it stands beside the lists."""
    told = _told(results, wording)
    return tuple(map(told.now, just_in(results, wording, competition)[:most]))


def compared_in(stand: Stand, judged: CompetitionResults, wording: Wording) -> str:
    """The list of a place; while marks are to come, of those with as many apparatus."""
    name = wording.list_name(stand.list)
    if not stand.done:
        return name
    return wording.say(
        "{list}, after {done} of {all} apparatus",
        list=name, done=stand.done, all=len(judged.apparatus),
    )  # fmt: skip


def by_publication(told: tuple[JustIn, ...]) -> Iterator[JustInPublication]:
    """The marks, publication by publication."""
    for number in dict.fromkeys(one.arrival.number for one in told):
        held = tuple(one for one in told if one.arrival.number == number)
        yield JustInPublication(number, held[0].when, held)


def in_the_feed(results: Results, issue: Issue, wording: Wording) -> tuple[str, ...]:
    """The marks of a publication in a sentence or two each, with the names as it had them."""
    came = _first_time(_by_number(results)[issue.publication.number])
    told = _told(results, wording)
    if len(came) > AT_ONCE:
        return ()
    name = told.named_by(issue)
    return tuple(
        told.alone(arrival, name) for arrival in came if arrival.competition.id in results.by_id
    )


def _first_time(came: Iterable[Arrival]) -> tuple[Arrival, ...]:
    """Without corrected marks, which the feed tells as corrections."""
    return tuple(one for one in came if not one.corrected)


@lru_cache(maxsize=1)
def _by_number(results: Results) -> dict[int, tuple[Arrival, ...]]:
    found = arrivals(results.history.issues)
    return {issue.publication.number: came for issue, came in found}


@dataclass(frozen=True)
class _Told:
    """What tells arrivals in one language."""

    results: Results
    wording: Wording

    @cached_property
    def names(self) -> PublishedNames:
        return published_names(self.results, self.wording)

    @cached_property
    def of_person(self) -> dict[str, list[Gymnast]]:
        found: dict[str, list[Gymnast]] = {}
        for who in self.results.gymnasts.values():
            found.setdefault(who.person, []).append(who)
        return found

    @cached_property
    def newest(self) -> tuple[JustIn, ...]:
        """The newest marks of the competitions that there still are, each routine as it is now."""
        gymnasts = self.results.gymnasts
        rows = {
            (row.competition, gymnasts[row.gymnast].person, row.apparatus, row.vault or 1): number
            for number, row in enumerate(self.results.meet.mark_rows)
            if row.gymnast in gymnasts
        }
        issues, found, told = self.results.history.issues, list[JustIn](), set[object]()
        last = issues[-1].by_person
        left = {(held.id, *mark.key) for held in last.competitions for mark in held.marks}
        left |= {(id, who.person, "", 1) for who in last.gymnasts for id in who.competitions}
        for issue in reversed(issues):
            came = (
                one
                for one in _by_number(self.results)[issue.publication.number]
                if one.competition.id in self.results.by_id
            )
            when = self.wording.language.moment(issue.publication.published)
            for arrival in sorted(came, key=lambda one: -rows.get(one.key, len(rows))):
                if len(found) == SHOWN:
                    return tuple(found)
                as_now = (arrival.key in left) == bool(arrival.mark.text)
                if as_now and arrival.key not in told:
                    found.append(self._just_in(arrival, when))
                told.add(arrival.key)
        return tuple(found)

    def now(self, one: JustIn) -> JustIn:
        """The same as the last publication has it."""
        last = self.results.history.issues[-1]
        if one.arrival.number == last.publication.number:
            return one
        id = one.arrival.competition.id
        held = next(each for each in last.by_person.competitions if each.id == id)
        return self._just_in(replace(one.arrival, competition=held, before=None), one.when)

    def _just_in(self, arrival: Arrival, when: str) -> JustIn:
        judged, code = self.results.competition(arrival.competition.id), arrival.mark.apparatus
        page = code if code in list_names(judged) else OVERVIEW
        cell = self.names.gymnast(arrival.person)
        whose = self.of_person.get(arrival.person, ())
        here = next((who for who in whose if who.key in judged.by_gymnast), None)
        return JustIn(
            arrival, when, self.wording.called(judged.competition.title), cell.text, cell.target,
            next((who.club or who.federation for who in whose), ""),
            self._apparatus(arrival), list_target(judged.competition.id, page),
            here.key if here else None,
            shown(arrival.mark.text, self.wording) or NOTHING, parts_of(arrival.mark, self.wording),
            self.meaning(arrival, lambda person: self.names.gymnast(person).text),
            all_around(arrival, judged), self.wording.say("guest") if here and here.guest else "",
        )  # fmt: skip

    def _apparatus(self, arrival: Arrival) -> str:
        mark = arrival.mark
        part = part_of(mark.apparatus, mark.vault) if mark.apparatus else ""
        return self.wording.apparatus(part) if part else ""

    def alone(self, arrival: Arrival, name: Names) -> str:
        """What a mark means, with its competition as it was called; or else whose it is."""
        headed = self.wording.language.headed
        mark = f"{name(arrival.person)} {self.wording.language.mark(arrival.mark.mark)}"
        told = " ".join(self.meaning(arrival, name)) or headed(self._apparatus(arrival), f"{mark}.")
        return headed(self.wording.called((arrival.competition.facts or {}).get("title", "")), told)

    def named_by(self, issue: Issue) -> Names:
        """Names as a publication had them; the bib of who is withheld since."""
        facts = {one.person: one.facts or {} for one in issue.publication.gymnasts}

        def name(person: str) -> str:
            return self.names.as_published(person, facts.get(person, {}).get(NAME, ""))

        return name

    def meaning(self, arrival: Arrival, name: Names) -> tuple[str, ...]:
        """What a mark corrects, and means: on the apparatus; in the all-around near the top; for a
        cut; and who is first where a status ended a list."""
        judged = self.results.competition(arrival.competition.id)
        stands = [one for one in (arrival.on_apparatus, all_around(arrival, judged)) if one]
        near = [one for one in stands if one.list != ALL_AROUND or one.place <= NEAR]
        whose = [(arrival.person, one) for one in near or stands]
        told = (
            self.wording.language.headed(
                compared_in(one, judged, self.wording),
                self._stands(one, replace(arrival, person=who), judged, name),
            )
            for who, one in (*whose, *arrival.ended)
        )
        through = (text for one in stands for text in self._through(one))
        was = [correction_sentence(arrival.corrected, self.names)] if arrival.corrected else []
        return (*was, *self._first_of_two(arrival, name), *told, *through)

    def _first_of_two(self, arrival: Arrival, name: Names) -> Iterator[str]:
        """What a first vault is that gives no place by itself."""
        held, mark = arrival.competition, arrival.mark
        asked = (mark.apparatus, (held.facts or {}).get("vaults")) == ("VT", "2")
        if not asked or mark.mark is None or all(one.id != mark.apparatus for one in held.lists):
            return
        if not any((one.bib, one.vault) == (mark.bib, 2) for one in held.marks):
            told = self.wording.say(
                "{name} has {mark} on the first vault; the list goes by two.",
                name=name(arrival.person), mark=self.wording.language.mark(mark.mark),
            )  # fmt: skip
            yield self.wording.language.headed(self.wording.list_name("VT"), told)

    def _stands(
        self, stand: Stand, arrival: Arrival, judged: CompetitionResults, name: Names
    ) -> str:
        """Where somebody stands, next to whom, and how equals were told apart."""
        language, others = self.wording.language, stand.shared or stand.level or stand.others
        form = "shared" if stand.shared else "level" if stand.level else ""
        texts = PLACED
        if stand.place == 1:
            form = form or ("ahead" if stand.others else "alone")
            form, texts = "passed" if form == "ahead" and stand.passed else form, LEADS
            if stand.complete:
                texts = WON if judged.competition.phase == "final" else FIRST
                form = "ahead" if form == "passed" else form
        whole = [name(arrival.person)]
        if stand.complete and form == "shared":
            whole += map(name, stand.shared)
        named = few_names([*map(name, others)], self.wording)
        return language.say(
            texts[form or "behind"],
            name=whole[0], names=language.listed(whole),
            place=place_words(stand.place, False, self.wording),
            total=language.mark(stand.total), margin=language.mark(stand.margin),
            others=named, equals=named,
            how=self._how(stand, arrival, judged) if form == "level" else "",
        )  # fmt: skip

    def _how(self, stand: Stand, arrival: Arrival, judged: CompetitionResults) -> str:
        """By which score equals on one apparatus were told apart; else that the rules did it."""
        marks = {
            mark.bib: mark
            for mark in arrival.competition.marks
            if mark.apparatus == stand.list and mark.mark == stand.total
        }
        own, *others = (marks.get(who) for who in (arrival.person, *stand.level))
        rule = judged.rule_set.tie_rule("apparatus", judged.competition.phase)
        decided = ""
        known = takewhile(SETTLED.__contains__, rule.criteria)
        for score in known if own and all(others) else ():
            ours, *theirs = (getattr(mark, score.lower()) for mark in (own, *others))
            if {ours} != {*theirs}:
                decided = score if None not in theirs and ours not in (None, *theirs) else ""
                break
        return self.wording.say(SETTLED[decided])

    def _through(self, stand: Stand) -> Iterator[str]:
        """What a cut of a list means, once all its marks are in."""
        for cut, verdict in stand.verdicts if stand.complete else ():
            if verdict.outcome == "qualified" and verdict.starts:
                yield self.wording.say("Through: {cut}.", cut=self.wording.called(cut))
            elif verdict.outcome == "reserve":
                reserve = reserve_words(verdict.number, self.wording)
                yield self.wording.language.headed(reserve, f"{self.wording.called(cut)}.")


_told = Once(_Told, most=8)
"""Home, their own page and others tell the same marks."""
