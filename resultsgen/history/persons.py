"""Who was who: each gymnast of a meet found again among those who were published.

A bib is not enough, since age groups may number alike and bibs are exchanged. Who has the same name
and club is the same, whatever the bib; whoever is left over has the bib of somebody left over.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Any, NamedTuple, TypeVar

from resultsgen.history.changes import Bibs
from resultsgen.history.publication import (
    NAME,
    Publication,
    PublishedCompetition,
    PublishedGymnast,
    PublishedList,
)
from resultsgen.meet.folder import Meet
from resultsgen.privacy.words import as_written
from resultsgen.scoring.people import Wearer, wearers

One = TypeVar("One")


def with_known_persons(meet: Meet, kept: Sequence[Publication]) -> Meet:
    """The meet in which everybody who was published has the address of then."""
    if not kept:
        return meet
    last = kept[-1]
    known = _same(last.gymnasts, dict.fromkeys(wearers(meet.entries)))
    taken = frozenset(one.person for each in kept for one in each.gymnasts)
    return replace(meet, persons=known, taken=taken)


class _Rule(NamedTuple):
    """What must be the same of both, and of nobody else; None: says nothing of this one."""

    of_published: Callable[[PublishedGymnast], Hashable | None]
    of_entered: Callable[[Wearer], Hashable | None]


def _discipline(one: PublishedGymnast) -> str:
    return one.person.partition("/")[0]


def _named(one: PublishedGymnast, *more: str) -> Hashable | None:
    if not one.facts or NAME not in one.facts:
        return None
    return (_discipline(one), as_written(one.facts[NAME]), *more)


RULES = (
    _Rule(lambda one: _named(one, one.bib), lambda one: (one.discipline, one.name, one.bib)),
    _Rule(
        lambda one: _named(one, (one.facts or {}).get("club", "")),
        lambda one: (one.discipline, one.name, one.club),
    ),
    _Rule(_named, lambda one: (one.discipline, one.name)),
    _Rule(lambda one: one.person, lambda one: f"{one.discipline}/{one.bib}/{one.division}"),
    _Rule(
        lambda one: (_discipline(one), one.bib),
        lambda one: (one.discipline, one.bib),
    ),
    _Rule(
        lambda one: _discipline(one) if one.facts == {} else None,
        lambda one: one.discipline,
    ),
)
"""Each is asked of those whom none before has told: who alone has it on both sides is the same."""


def _same(published: Iterable[PublishedGymnast], entered: Iterable[Wearer]) -> dict[Wearer, str]:
    """The address of each whose person is known."""
    left, waiting = list(published), list(entered)
    found: dict[Wearer, str] = {}
    for rule in RULES:
        those = _alone(left, rule.of_published)
        these = _alone(waiting, rule.of_entered)
        found |= {these[key]: those[key].person for key in these.keys() & those.keys()}
        left = [one for one in left if one.person not in set(found.values())]
        waiting = [one for one in waiting if one not in found]
    return found


def _alone(those: Sequence[One], key: Callable[[One], Hashable | None]) -> dict[Hashable, One]:
    """Those who share what a rule asks for with nobody, by that."""
    keys = [key(one) for one in those]
    many = Counter(keys)
    return {
        each: one
        for each, one in zip(keys, those, strict=True)
        if each is not None and many[each] == 1
    }


def by_person(publications: Sequence[Publication]) -> Iterator[Publication]:
    """Each publication with persons in the place of bibs, which may be worn by others later.

    One that does not say who wore a bib goes by the first that does. What is the same object in
    the next publication, and names the same persons, is so here, which is quick to compare.
    """
    bibs: Bibs = next((found for one in publications if (found := bibs_of(one))), {})
    known: _Known = {}
    for one in publications:
        here = bibs_of(one) or bibs
        if here != bibs:
            bibs, known = here, {}
        for each in one.competitions:
            if id(each) not in known:
                known[id(each)] = (each, _of_persons(each, bibs, known))
        yield one.model_copy(
            update={"competitions": tuple(known[id(each)][1] for each in one.competitions)}
        )


_Known = dict[int, tuple[Any, Any]]
"""What was gone through already; each thing with its own, so that it is no other."""


def bibs_of(one: Publication) -> Bibs:
    """Who wears each bib of each competition; nothing where the publication does not know."""
    return {
        (id, gymnast.bib): gymnast.person for gymnast in one.gymnasts for id in gymnast.competitions
    }


def _of_persons(one: PublishedCompetition, bibs: Bibs, known: _Known) -> PublishedCompetition:
    def who(bib: str) -> str:
        return bibs.get((one.id, bib), bib)

    for held in one.lists:
        if id(held) not in known:
            named = _members(held, who) if held.id == "team" else _list(held, who)
            known[id(held)] = (held, named)
    marks = (mark._replace(bib=who(mark.bib)) for mark in one.marks)
    lists = tuple(known[id(held)][1] for held in one.lists)
    return one.model_copy(update={"marks": tuple(marks), "lists": lists})


def _members(held: PublishedList, who: Callable[[str], str]) -> PublishedList:
    lines = (line._replace(members=tuple(map(who, line.members))) for line in held.lines)
    return held.model_copy(update={"lines": tuple(lines)})


def _list(held: PublishedList, who: Callable[[str], str]) -> PublishedList:
    return held.model_copy(
        update={
            "lines": tuple(line._replace(who=who(line.who)) for line in held.lines),
            "ties": tuple(tie._replace(who=tuple(map(who, tie.who))) for tie in held.ties),
            "cuts": tuple(
                cut.model_copy(
                    update={"lines": tuple(each._replace(who=who(each.who)) for each in cut.lines)}
                )
                for cut in held.cuts
            ),
        }
    )
