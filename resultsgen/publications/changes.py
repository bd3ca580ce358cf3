"""What changed from one publication to the next: marks, and what they moved."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from typing import TypeVar

from resultsgen.history import Changes, CutChange, LineChange, MarkChange, TieChange
from resultsgen.publication import Publication, PublishedCompetition, PublishedList

Key = TypeVar("Key", bound=Hashable)
Value = TypeVar("Value")


def changes(old: Publication, new: Publication) -> Changes:
    """What the new publication changed of the old one.

    Of a gymnast or a competition that is gone, the single marks are not told as well.
    """
    before = {one.id: one for one in old.competitions}
    after = {one.id: one for one in new.competitions}
    gone = tuple(person for person in old.gymnasts if person not in set(new.gymnasts))
    left = {bib_of(person) for person in gone} - {bib_of(person) for person in new.gymnasts}
    empty = PublishedCompetition(id="", entered_from="", marks=(), lists=())
    pairs = [(id, before.get(id, empty), one) for id, one in after.items()]
    marks = [one for id, was, now in pairs for one in _marks(id, was, now)]
    return Changes(
        added=tuple(one for one in marks if one.old is None),
        changed=tuple(one for one in marks if one.old and one.new),
        withdrawn=tuple(one for one in marks if one.new is None and one.key[0] not in left),
        lines=tuple(change for pair in pairs for change in _lines(*pair)),
        ties=tuple(change for pair in pairs for change in _ties(*pair)),
        cuts=tuple(change for pair in pairs for change in _cuts(*pair)),
        gymnasts_added=tuple(one for one in new.gymnasts if one not in set(old.gymnasts)),
        gymnasts_gone=gone,
        competitions_added=tuple(id for id in after if id not in before),
        competitions_gone=tuple(id for id in before if id not in after),
    )


def bib_of(person: str) -> str:
    """The bib of a gymnast as a publication names one.

    >>> bib_of("women/101"), bib_of("women/101/junior")
    ('101', '101')
    """
    return person.split("/")[1]


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
        yield now.id, before.get(now.id, _empty(now.id)), now


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
