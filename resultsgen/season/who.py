"""Who is who: the rows of all rosters, parted into gymnasts; what is doubtful is asked."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import chain, combinations, pairwise
from operator import attrgetter
from typing import Literal, NamedTuple

from resultsgen.privacy.forms import Name, as_written, forms, name_words
from resultsgen.season.facts import Appearance


class Identity(NamedTuple):
    """What rosters say of a gymnast; rows that say the same are of one."""

    name: str
    """As it is written, family name first; empty where nobody may know it."""
    club: str
    discipline: str
    birth_year: int | None
    lasting: str
    apart: str
    """The row itself, where nothing ties it to others."""

    @property
    def order(self) -> tuple[object, ...]:
        """By which identities are taken, whichever meet names them first."""
        return self._replace(birth_year=self.birth_year or 0)


Strength = Literal["settled", "number", "year", "club"]
STRENGTHS: tuple[Strength, ...] = ("settled", "number", "year", "club")
"""What ties two identities, the strongest first."""

Pair = tuple[Identity, Identity]


@dataclass(frozen=True)
class Settled:
    """What people.csv says of pairs, that they are the same or not, and on which line."""

    same: Mapping[Pair, int] = field(default_factory=dict)
    other: Mapping[Pair, int] = field(default_factory=dict)


NOBODY: Mapping[Identity, str] = {}


class Doubt(NamedTuple):
    """Two who may be one gymnast, or who count as one, and why that is not taken for granted."""

    one: Identity
    other: Identity
    why: str
    count_as_one: bool = False


@dataclass(frozen=True)
class SeasonGymnast:
    """One gymnast over all meets, with every name and club of the rosters."""

    identities: tuple[Identity, ...]
    appearances: tuple[Appearance, ...]
    """In order of the meets."""

    @cached_property
    def withheld(self) -> bool:
        """One row that withholds the name withholds it in all meets."""
        return any(one.withheld for one in self.appearances)

    @property
    def discipline(self) -> str:
        """Men or women, say."""
        return self.identities[0].discipline


@dataclass(frozen=True)
class KnownPeople:
    """Who is who as far as it is known, and what is asked."""

    gymnasts: tuple[SeasonGymnast, ...]
    doubts: tuple[Doubt, ...]
    contradictions: tuple[Pair, ...]
    """Pairs that people.csv calls the same and not the same at once."""


def identity(one: Appearance) -> Identity:
    """What a row says; one without a name is tied to nothing but its number."""
    name = as_written(one.family, one.given)
    apart = "" if name else f"{one.meet}/{one.entry}"
    return Identity(name, one.club, one.discipline, one.birth_year, one.lasting, apart)


def who_is_who(
    rows: Iterable[Appearance], settled: Settled, called: Mapping[Identity, str] = NOBODY
) -> KnownPeople:
    """Part the rows, which are in order of the meets, into gymnasts; some are *called* anew."""
    by_identity: dict[Identity, list[tuple[int, Appearance]]] = defaultdict(list)
    for number, row in enumerate(rows):
        by_identity[identity(row)].append((number, row))
    everybody = sorted(by_identity, key=lambda one: one.order)
    ties = _ties(everybody, settled)
    groups, dropped, against = _consistent(everybody, ties, settled)
    of = {one: number for number, group in enumerate(groups) for one in group}
    place = {one: number for number, one in enumerate(everybody)}
    may_be = (*dropped, *_doubtful(everybody), *_named_after(everybody, called))
    doubts = {(place[one], place[other]) for one, other in may_be}
    two = {frozenset((of[one], of[other])) for one, other in settled.other}
    asked: dict[tuple[int, int], Doubt] = {}
    for one, other in ((everybody[a], everybody[b]) for a, b in sorted(doubts)):
        low, high = sorted((of[one], of[other]))
        if low != high and {low, high} not in two:
            asked.setdefault((low, high), Doubt(one, other, _why(one, other, called)))
    gymnasts = (
        SeasonGymnast(
            group,
            tuple(row for _, row in sorted(chain.from_iterable(by_identity[one] for one in group))),
        )
        for group in groups
    )
    hardly = (_hardly_one(group, by_identity, settled) for group in groups if len(group) > 1)
    return KnownPeople(tuple(gymnasts), (*asked.values(), *filter(None, hardly)), against)


def _ties(everybody: list[Identity], settled: Settled) -> dict[Pair, Strength]:
    """What ties each pair; the strongest, where several do."""
    found: dict[Pair, Strength] = {}
    for pair in _alike(everybody, lambda one: one.lasting and (one.discipline, one.lasting)):
        found[pair] = "number"
    by: tuple[tuple[Strength, Callable[[Identity], object]], ...] = (
        ("year", lambda one: one.birth_year and (one.discipline, one.name, one.birth_year)),
        ("club", lambda one: one.club and (one.discipline, one.name, one.club)),
    )
    named = [one for one in everybody if one.name]
    for strength, alike in by:
        for pair in _alike(named, alike):
            if not _differ(*pair):
                found.setdefault(pair, strength)
    return found | dict.fromkeys(settled.same, "settled")


def _alike(everybody: list[Identity], by: Callable[[Identity], object]) -> Iterator[Pair]:
    """Every two that have the same of something, if they have it at all."""
    groups: dict[object, list[Identity]] = defaultdict(list)
    for one in everybody:
        if key := by(one):
            groups[key].append(one)
    for group in groups.values():
        yield from _pairs(group)


CROWD = 50
"""Of more, each is compared with the next alone: twenty thousand make two hundred million pairs."""


def _pairs(group: Sequence[Identity]) -> Iterator[Pair]:
    return pairwise(group) if len(group) > CROWD else combinations(group, 2)


def _differ(one: Identity, other: Identity) -> bool:
    """They cannot be one gymnast by what is written of them."""
    return bool(
        (one.lasting and other.lasting and one.lasting != other.lasting)
        or (one.birth_year and other.birth_year and one.birth_year != other.birth_year)
    )


def _consistent(
    everybody: list[Identity], ties: dict[Pair, Strength], settled: Settled
) -> tuple[list[tuple[Identity, ...]], list[Pair], tuple[Pair, ...]]:
    """The groups that ties make; where one holds two who differ, its weakest ties are undone."""
    ties, dropped = dict(ties), list[Pair]()
    clusters = _groups(everybody, settled.same)
    cluster = {one: number for number, group in enumerate(clusters) for one in group}
    while True:
        groups = _groups(everybody, ties)
        of = {one: number for number, group in enumerate(groups) for one in group}
        several = ((number, group) for number, group in enumerate(groups) if len(group) > 1)
        wrong = {number for number, group in several if _at_odds(group, cluster)}
        wrong |= {of[one] for one, other in settled.other if of[one] == of[other]}
        loose = [pair for pair in ties if ties[pair] != "settled" and of[pair[0]] in wrong]
        if not loose:
            against = (pair for pair in settled.other if of[pair[0]] == of[pair[1]])
            return groups, dropped, tuple(sorted(against, key=lambda pair: pair[0].order))
        weakest = {
            number: max(STRENGTHS.index(ties[p]) for p in loose if of[p[0]] == number)
            for number in {of[pair[0]] for pair in loose}
        }
        for pair in loose:
            if STRENGTHS.index(ties[pair]) == weakest[of[pair[0]]]:
                dropped.append(pair)
                del ties[pair]


def _at_odds(group: tuple[Identity, ...], cluster: Mapping[Identity, int]) -> bool:
    """Numbers or years of birth of two gymnasts stand in it, whom nobody said to be one."""
    for value in (attrgetter("lasting"), attrgetter("birth_year")):
        held: dict[int, set[object]] = defaultdict(set)
        for one in group:
            if value(one):
                held[cluster[one]].add(value(one))
        if any(a.isdisjoint(b) for a, b in combinations({*map(frozenset, held.values())}, 2)):
            return True
    return False


def _groups(everybody: list[Identity], ties: Iterable[Pair]) -> list[tuple[Identity, ...]]:
    """Who hangs together, each group and all groups in order."""
    first = {one: one for one in everybody}

    def head(one: Identity) -> Identity:
        while first[one] is not one:
            first[one] = first[first[one]]
            one = first[one]
        return one

    for one, other in ties:
        lower, upper = sorted((head(one), head(other)), key=lambda each: each.order)
        first[upper] = lower
    groups: dict[Identity, list[Identity]] = defaultdict(list)
    for one in everybody:
        groups[head(one)].append(one)
    return [tuple(group) for group in groups.values()]


def _doubtful(everybody: list[Identity]) -> Iterator[Pair]:
    """Pairs that may be one gymnast: a name in two clubs, two years, or two spellings."""
    for one, other in _alike(everybody, lambda one: one.name):
        if not _plainly_two(one, other):
            yield one, other
    named = [one for one in everybody if one.name]
    spelt: dict[object, list[Identity]] = defaultdict(list)
    for one in named:
        for form in forms(Name(one.name, "")):
            spelt["".join(form)].append(one)
    for group in dict.fromkeys(map(tuple, spelt.values())):
        yield from ((a, b) for a, b in _pairs(group) if _two_spellings(a, b))


def _two_spellings(one: Identity, other: Identity) -> bool:
    return one.name != other.name and not _plainly_two(one, other)


def _named_after(everybody: list[Identity], called: Mapping[Identity, str]) -> Iterator[Pair]:
    """Whom people.csv calls as somebody else is called, as if that made them one."""
    by_name = defaultdict[str, list[Identity]](list)
    for one in everybody if called else ():
        by_name[one.name].append(one)
    for one, name in called.items():
        for other in by_name[_read(name)]:
            if one != other and not _plainly_two(one, other):
                yield one, other


def _read(name: str) -> str:
    return as_written(name.replace(",", " "))


def _hardly_one(
    group: tuple[Identity, ...],
    rows: Mapping[Identity, list[tuple[int, Appearance]]],
    settled: Settled,
) -> Doubt | None:
    """The first two of a gymnast who have nothing but a number in common, or were at one meet."""
    for one, other in combinations(group, 2):
        bibs = {(row.meet, row.bib) for _, row in rows[one]}
        others = {(row.meet, row.bib) for _, row in rows[other]} - bibs
        both = {meet for meet, _ in bibs} & {meet for meet, _ in others}
        if not both and not _no_name_in_common(one.name, other.name):
            continue
        said = _groups([*group], (pair for pair in settled.same if pair[0] in group))
        if not any(one in same and other in same for same in said):
            why = f"both are on the roster of {min(both)}" if both else "have no name in common"
            return Doubt(one, other, why, count_as_one=True)
    return None


def _no_name_in_common(one: str, other: str) -> bool:
    if not one or not other:
        return False
    alike = {*name_words(one)} & {*name_words(other)} or forms(Name(one, "")) & forms(
        Name(other, "")
    )
    return not alike


def _plainly_two(one: Identity, other: Identity) -> bool:
    """Two numbers tell two gymnasts; so do two clubs with two years of birth or two disciplines.

    Zeros in front tell nothing: spreadsheets take them away.
    """
    if one.lasting and other.lasting:
        return one.lasting.lstrip("0") != other.lasting.lstrip("0")
    years = one.birth_year and other.birth_year and one.birth_year != other.birth_year
    return one.club != other.club and bool(years or one.discipline != other.discipline)


def answered(group: Iterable[Identity], others: tuple[Identity, ...], settled: Settled) -> bool:
    """Somebody said of one of each that they are two."""
    return any((a, b) in settled.other or (b, a) in settled.other for a in group for b in others)


def _why(one: Identity, other: Identity, called: Mapping[Identity, str]) -> str:
    """What keeps two from being taken for one."""
    pairs = (one, other), (other, one)
    if one.name != other.name and any(_read(called[a]) == b.name for a, b in pairs if a in called):
        return "now_called alone makes nobody the same"
    if one.name != other.name and not (one.lasting and one.lasting == other.lasting):
        return "two spellings of a name"
    if one.discipline != other.discipline:
        return "one name in two disciplines"
    if one.lasting and other.lasting and one.lasting != other.lasting:
        return "one name with two numbers"
    if one.birth_year and other.birth_year and one.birth_year != other.birth_year:
        return "two years of birth"
    if one.club != other.club:
        return "one name in two clubs, and no number or published year of birth that ties them"
    return "it fits several gymnasts"
