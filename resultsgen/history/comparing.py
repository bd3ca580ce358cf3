"""What changed from one publication to the next: marks, and what they moved."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from typing import TypeVar

from resultsgen.history.changes import (
    Changes,
    CutChange,
    FactChange,
    LineChange,
    MarkChange,
    TieChange,
)
from resultsgen.history.publication import (
    NAME,
    Publication,
    PublishedCompetition,
    PublishedGymnast,
    PublishedList,
)

Key = TypeVar("Key", bound=Hashable)
Value = TypeVar("Value")


def changes(old: Publication, new: Publication) -> Changes:
    """What the new publication changed of the old one; both name persons in the place of bibs.

    Of a gymnast or a competition that is gone, the single marks are not told as well.
    """
    before = {one.id: one for one in old.competitions}
    after = {one.id: one for one in new.competitions}
    were, are = ({one.person: one for one in each.gymnasts} for each in (old, new))
    gone = tuple(person for person in were if person not in are)
    empty = PublishedCompetition(id="", entered_from="", marks=(), lists=())
    pairs = [
        (id, before.get(id, empty), one) for id, one in after.items() if before.get(id) is not one
    ]
    marks = [one for id, was, now in pairs for one in _marks(id, was, now)]
    return Changes(
        added=tuple(one for one in marks if one.old is None),
        changed=tuple(one for one in marks if one.old and one.new),
        withdrawn=tuple(one for one in marks if one.new is None and one.key[0] not in gone),
        lines=tuple(change for pair in pairs for change in _lines(*pair)),
        ties=tuple(change for pair in pairs for change in _ties(*pair)),
        cuts=tuple(change for pair in pairs for change in _cuts(*pair)),
        gymnasts_added=tuple(person for person in are if person not in were),
        gymnasts_gone=gone,
        competitions_added=tuple(id for id in after if id not in before),
        competitions_gone=tuple(id for id in before if id not in after),
        facts=tuple(_facts_told(old, new, pairs)),
    )


def _facts_told(
    old: Publication,
    new: Publication,
    pairs: Sequence[tuple[str, PublishedCompetition, PublishedCompetition]],
) -> Iterator[FactChange]:
    """What is printed otherwise of the meet, of competitions and of persons.

    Until results are official, nothing is a correction before the first total, nor what of a person
    or of the meet is only added.
    """
    official = old.state == "official"
    begun = [pair for pair in pairs if official or _has_totals(pair[1])]
    if not (official or any(map(_has_totals, old.competitions))):
        return
    were, are = ({one.person: one for one in each.gymnasts} for each in (old, new))
    for one in (*_of_the_meet(old, new), *_of_persons(were, are)):
        if official or one.old:
            yield one
    yield from _of_competitions(begun)


def _has_totals(one: PublishedCompetition) -> bool:
    return any(line.total is not None for held in one.lists for line in held.lines)


def _of_the_meet(old: Publication, new: Publication) -> Iterator[FactChange]:
    """Settings; and who signed, once somebody has."""
    yield from _facts("", "", old.facts, new.facts)
    signed = (signatures(one) for one in (old, new) if one.state == "official")
    both = tuple(signed)
    if len(both) == 2 and both[0] != both[1]:
        yield FactChange("", "", "signed", *both)


def signatures(one: Publication) -> str:
    """Who signed, as text."""
    return "; ".join(", ".join(filter(None, (by.name, by.role, by.time))) for by in one.signed)


def _of_competitions(
    pairs: Sequence[tuple[str, PublishedCompetition, PublishedCompetition]],
) -> Iterator[FactChange]:
    """Titles, settings and rules; of another rule set not every entry."""
    for id, was, now in pairs:
        found = list(_facts(id, "", was.facts, now.facts))
        whole = any(one.what == "rules" for one in found)
        yield from (one for one in found if not (whole and one.what.startswith("rules.")))


def _of_persons(
    were: Mapping[str, PublishedGymnast], are: Mapping[str, PublishedGymnast]
) -> Iterator[FactChange]:
    """What of a gymnast is printed otherwise.

    That a name is withheld from now on is not told; that one is published which was not, is.
    """
    for person, now in are.items():
        was = were.get(person)
        if was is None or was == now:
            continue
        if was.bib != now.bib:
            yield FactChange("", person, "bib", was.bib, now.bib)
        if now.facts and was.facts == {}:
            yield FactChange("", person, NAME, "", now.facts.get(NAME, ""))
        elif now.facts and was.facts:
            yield from _facts("", person, was.facts, now.facts)


def _facts(
    id: str, person: str, old: Mapping[str, str] | None, new: Mapping[str, str] | None
) -> Iterator[FactChange]:
    if old is not None and new is not None:
        for what, was, now in _different(old, new):
            yield FactChange(id, person, what, was or "", now or "")


def _different(
    old: Mapping[Key, Value], new: Mapping[Key, Value]
) -> Iterator[tuple[Key, Value | None, Value | None]]:
    """Every key whose value is not what it was, in the order of the new, then of the old."""
    for key in dict.fromkeys((*new, *old)):
        if old.get(key) != new.get(key):
            yield key, old.get(key), new.get(key)


def _marks(id: str, old: PublishedCompetition, new: PublishedCompetition) -> Iterator[MarkChange]:
    before, after = ({one.key: one for one in held.marks} for held in (old, new))
    for _, was, now in _different(before, after):
        yield MarkChange(id, was, now)


def _lists(
    old: PublishedCompetition, new: PublishedCompetition
) -> Iterator[tuple[str, PublishedList, PublishedList]]:
    """Each list of the competition as it was and as it is; an empty one where there was none."""
    before = {one.id: one for one in old.lists}
    for now in new.lists:
        was = before.get(now.id, _empty(now.id))
        if was is not now:
            yield now.id, was, now


def _empty(id: str) -> PublishedList:
    return PublishedList(id=id, lines=(), ties=(), cuts=())


def _lines(id: str, old: PublishedCompetition, new: PublishedCompetition) -> Iterator[LineChange]:
    for name, was, now in _lists(old, new):
        before, after = ({one.who: one for one in held.lines} for held in (was, now))
        for _, line, other in _different(before, after):
            yield LineChange(id, name, line, other)


def _ties(id: str, old: PublishedCompetition, new: PublishedCompetition) -> Iterator[TieChange]:
    for name, was, now in _lists(old, new):
        before, after = (
            {tuple(sorted(one.who)): _in_order(one.who, one.places) for one in held.ties}
            for held in (was, now)
        )
        for who, places, others in _different(before, after):
            yield TieChange(id, name, who, places or (), others or ())


def _in_order(who: Sequence[str], places: Sequence[int]) -> tuple[int, ...]:
    """The places in the order of the bibs or names, in which ties are compared."""
    return tuple(place for _, place in sorted(zip(who, places, strict=True)))


def _cuts(id: str, old: PublishedCompetition, new: PublishedCompetition) -> Iterator[CutChange]:
    for name, was, now in _lists(old, new):
        before, after = (
            {(cut.name, one.who): one for cut in held.cuts for one in cut.lines}
            for held in (was, now)
        )
        for (cut, who), one, other in _different(before, after):
            yield CutChange(id, name, cut, who, one, other)
