"""What one publication changed of the one before: one comparison for all that it keeps."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from resultsgen.history.publication import (
    Publication,
    PublishedCompetition,
    PublishedLine,
    PublishedList,
    PublishedMark,
    PublishedVerdict,
)
from resultsgen.meet.folder import NAME
from resultsgen.meet.settings import Signature

Key = TypeVar("Key", bound=Hashable)
Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Change(Generic[Key, Value]):
    """One thing that is otherwise than it was; None: there was none, or there is none."""

    competition: str
    """Empty: it is about a person, or about the whole meet."""
    list: str
    """The list that says it; empty for a mark, and for what is printed beside the lists."""
    key: Key
    """Whose it is, and which of them."""
    old: Value | None
    new: Value | None


FactChange = Change[tuple[str, str], str]
"""Something printed: of which person (empty: of a competition or the meet), and what of it."""

MarkChange = Change[tuple[str, str, int], PublishedMark]
"""A routine: the person, the apparatus, which vault."""

LineChange = Change[str, PublishedLine]
"""The place, total or status of a person or a team."""

TieChange = Change[tuple[str, ...], tuple[int, ...]]
"""The places of all who are tied."""

CutChange = Change[tuple[str, str], PublishedVerdict]
"""What a cut, by its name, means for a person or a team."""


def is_withdrawal(change: CutChange) -> bool:
    """Only whether somebody starts is another: who withdrew, and who moves up for it."""
    old, new = change.old, change.new
    if old is None or new is None:
        return False
    return "withdrew" in (old.outcome, new.outcome) or old._replace(starts=new.starts) == new


def places(change: LineChange) -> tuple[int | None, int | None]:
    """The place before and after."""
    return (change.old and change.old.place, change.new and change.new.place)


@dataclass(frozen=True, slots=True)
class Changes:
    """What one publication changed of the one before."""

    added: tuple[MarkChange, ...] = ()
    changed: tuple[MarkChange, ...] = ()
    withdrawn: tuple[MarkChange, ...] = ()
    """Marks that are gone while their gymnast and competition are there."""
    lines: tuple[LineChange, ...] = ()
    ties: tuple[TieChange, ...] = ()
    cuts: tuple[CutChange, ...] = ()
    gymnasts_added: tuple[str, ...] = ()
    gymnasts_gone: tuple[str, ...] = ()
    competitions_added: tuple[str, ...] = ()
    competitions_gone: tuple[str, ...] = ()
    facts: tuple[FactChange, ...] = ()

    def __bool__(self) -> bool:
        return any(getattr(self, name) for name in self.__slots__)

    @property
    def withdrawals(self) -> tuple[CutChange, ...]:
        """Who withdrew from what a cut leads to, and who moves up for it; or no longer."""
        return tuple(filter(is_withdrawal, self.cuts))

    @property
    def corrected(self) -> tuple[MarkChange, ...]:
        """Marks that had been published and are otherwise now, or gone."""
        return (*self.changed, *self.withdrawn)


NO_LIST = PublishedList.model_construct(id="", lines=(), ties=(), cuts=())
NO_COMPETITION = PublishedCompetition.model_construct(id="", entered_from="", marks=(), lists=())


def changes(old: Publication, new: Publication) -> Changes:
    """What the new publication changed of the old one; both name persons in the place of bibs.

    Of a gymnast or a competition that is gone, the single marks are not told as well.
    """
    before, after = ({held.id: held for held in each.competitions} for each in (old, new))
    were, are = (dict.fromkeys(who.person for who in each.gymnasts) for each in (old, new))
    gone = tuple(person for person in were if person not in are)
    marks = [
        change
        for was, now in _competitions(old, new)
        for change in different(now.id, "", _marks(was), _marks(now))
    ]
    lists = list(lists_compared(old, new))
    return Changes(
        added=tuple(change for change in marks if change.old is None),
        changed=tuple(change for change in marks if change.old and change.new),
        withdrawn=tuple(c for c in marks if c.new is None and c.key[0] not in gone),
        lines=tuple(
            line
            for id, was, now in lists
            for line in different(id, now.id, _lines(was), _lines(now))
        ),
        ties=tuple(
            tie for id, was, now in lists for tie in different(id, now.id, _ties(was), _ties(now))
        ),
        cuts=tuple(
            cut for id, was, now in lists for cut in different(id, now.id, _cuts(was), _cuts(now))
        ),
        gymnasts_added=tuple(person for person in are if person not in were),
        gymnasts_gone=gone,
        competitions_added=tuple(id for id in after if id not in before),
        competitions_gone=tuple(id for id in before if id not in after),
        facts=tuple(_facts(old, new)),
    )


def different(
    competition: str, list: str, old: Mapping[Key, Value], new: Mapping[Key, Value]
) -> Iterator[Change[Key, Value]]:
    """Every key whose value is not what it was, in the order of the new, then of the old."""
    for key in dict.fromkeys((*new, *old)):
        if old.get(key) != new.get(key):
            yield Change(competition, list, key, old.get(key), new.get(key))


def _competitions(
    old: Publication, new: Publication
) -> Iterator[tuple[PublishedCompetition, PublishedCompetition]]:
    before = {one.id: one for one in old.competitions}
    for now in new.competitions:
        if before.get(now.id) is not now:
            yield before.get(now.id, NO_COMPETITION), now


def lists_compared(
    old: Publication, new: Publication
) -> Iterator[tuple[str, PublishedList, PublishedList]]:
    """Each list that may be otherwise, with its competition, as it was and as it is."""
    for was, now in _competitions(old, new):
        before = {held.id: held for held in was.lists}
        for held in now.lists:
            if before.get(held.id) is not held:
                yield now.id, before.get(held.id, NO_LIST), held


def _marks(held: PublishedCompetition) -> dict[tuple[str, str, int], PublishedMark]:
    return {mark.key: mark for mark in held.marks}


def _lines(held: PublishedList) -> dict[str, PublishedLine]:
    return {line.who: line for line in held.lines}


def _ties(held: PublishedList) -> dict[tuple[str, ...], tuple[int, ...]]:
    """The places of the tied by those who are, both in the order of these."""
    pairs = (sorted(zip(tie.who, tie.places, strict=True)) for tie in held.ties)
    return {tuple(who for who, _ in each): tuple(place for _, place in each) for each in pairs}


def _cuts(held: PublishedList) -> dict[tuple[str, str], PublishedVerdict]:
    """What each cut means; of who withdrew nothing but that, wherever in the list she stands."""
    return {
        (cut.name, one.who): one._replace(outcome="withdrew", number=0) if one.withdrew else one
        for cut in held.cuts
        for one in cut.lines
    }


def _facts(old: Publication, new: Publication) -> Iterator[FactChange]:
    """What is printed otherwise of the meet, of persons and of competitions.

    Until results are official, nothing is a correction before the first total, nor what of a person
    or of the meet is only added. Of another rule set not every entry is told.
    """
    official = old.state == "official"
    if not (official or any(map(_has_totals, old.competitions))):
        return
    for change in (*_of_the_meet(old, new), *_of_persons(old, new)):
        if official or change.old:
            yield change
    for was, now in _competitions(old, new):
        if official or _has_totals(was):
            found = list(_printed(now.id, "", was.facts, now.facts))
            whole = any(change.key[1] == "rules" for change in found)
            yield from (c for c in found if not (whole and c.key[1].startswith("rules.")))


def _has_totals(competition: PublishedCompetition) -> bool:
    return any(line.total is not None for held in competition.lists for line in held.lines)


def _of_the_meet(old: Publication, new: Publication) -> Iterator[FactChange]:
    """Settings; and who signed, once somebody has."""
    yield from _printed("", "", old.facts, new.facts)
    if old.state == new.state == "official":
        signed = ({"signed": signatures(one.signed)} for one in (old, new))
        yield from _printed("", "", *signed)


def signatures(signed: Sequence[Signature]) -> str:
    """Who signed: name, role and time of each."""
    return "; ".join(", ".join(filter(None, (one.name, one.role, one.time))) for one in signed)


def _of_persons(old: Publication, new: Publication) -> Iterator[FactChange]:
    """What of a gymnast is printed otherwise.

    That a name is withheld from now on is not told; that one is published which was not, is.
    """
    were = {gymnast.person: gymnast for gymnast in old.gymnasts}
    for now in new.gymnasts:
        was = were.get(now.person)
        if was is None or was == now:
            continue
        yield from _printed("", now.person, {"bib": was.bib}, {"bib": now.bib})
        if now.facts and was.facts == {}:
            yield from _printed("", now.person, {}, {NAME: now.facts.get(NAME, "")})
        elif now.facts and was.facts:
            yield from _printed("", now.person, was.facts, now.facts)


def _printed(
    id: str, person: str, old: Mapping[str, str] | None, new: Mapping[str, str] | None
) -> Iterator[FactChange]:
    """What of somebody or something is otherwise, where both are known."""
    if old is not None and new is not None:
        held = ({(person, what): text for what, text in each.items()} for each in (old, new))
        yield from different(id, "", *held)
