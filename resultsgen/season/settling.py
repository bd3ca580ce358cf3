"""What `people.csv` settles: who is the same, who is not, who is called how, who is withheld."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import cached_property
from itertools import product
from typing import NamedTuple

from resultsgen.meet.problems import Note, Problem
from resultsgen.privacy.forms import Name, as_written, forms, name_words
from resultsgen.season.facts import Facts
from resultsgen.season.who import (
    Identity,
    KnownPeople,
    Pair,
    SeasonGymnast,
    Settled,
    identity,
)

PEOPLE_FILE = "people.csv"


class Selector(NamedTuple):
    """Whom a row means: everybody of whom all that it says is true."""

    name: str
    club: str = ""
    birth_year: int | None = None
    lasting: str = ""

    def of(self, everybody: Iterable[Identity]) -> tuple[Identity, ...]:
        """Those who are meant."""
        name = as_written(self.name.replace(",", " "))
        return tuple(
            one
            for one in everybody
            if one.name == name
            and self.club in ("", one.club)
            and self.birth_year in (None, one.birth_year)
            and self.lasting in ("", one.lasting)
        )

    def alone(self, meant: tuple[Identity, ...]) -> tuple[Identity, ...]:
        """Those of them of whom no more is known than it says; all, where there are none."""
        known = ((one, (one.club, one.birth_year, one.lasting)) for one in meant)
        return tuple(one for one, told in known if told == self[1:]) or meant


class PeopleRow(NamedTuple):
    """A row of people.csv as it was read."""

    line: int
    one: Selector
    relation: str
    """same, not the same, or empty."""
    other: Selector
    now_called: str
    publish: bool


NOTHING_SETTLED = Settled()


@dataclass(frozen=True)
class People:
    """What the rows say together."""

    settled: Settled = NOTHING_SETTLED
    withheld: frozenset[Identity] = frozenset()
    called: tuple[tuple[Identity, str], ...] = ()
    names: tuple[str, ...] = ()
    """Whole names that are withheld, whether a meet has them or not."""


def settle(
    rows: Iterable[PeopleRow],
    everybody: tuple[Identity, ...],
    printed: Mapping[Identity, str],
) -> tuple[People, list[Problem]]:
    """What the rows mean of the people there are, and what is wrong with them."""
    told, problems = People(), list[Problem]()
    known = {one.name: printed[one] for one in everybody if one.name}
    names = _Names(known)
    for row in rows:
        ones, others = row.one.of(everybody), row.other.of(everybody)
        missing = [] if ones else [("name", row.one)]
        missing += [("other_name", row.other)] if row.relation and not others else []
        if not row.publish:
            told = replace(
                told,
                withheld=told.withheld.union(ones),
                names=(*told.names, row.one.name.replace(",", " ")),
            )
        for column, wanted in missing:
            numbered = (
                known[one.name] for one in everybody
                if one.name and one.lasting and one.lasting == wanted.lasting
            )  # fmt: skip
            near = next(numbered, "") or names.like(wanted.name)
            problems.append(_nobody(row, column, wanted, near, apart=bool(others)))
        if missing:
            continue
        if row.now_called:
            told = replace(told, called=(*told.called, *((one, row.now_called) for one in ones)))
        if {*ones} & {*others}:  # Of two in question one may have nothing that the other has not.
            ones, others = row.one.alone(ones), row.other.alone(others)
        if row.relation and {*ones} & {*others}:
            message = "both sides mean the same rows; say club, birth_year or person to part them"
            problems.append(Problem(PEOPLE_FILE, row.line, "is", "same-person-twice", message))
        elif row.relation:
            told = replace(told, settled=_with(told.settled, row, product(ones, others)))
    return told, problems


def _with(settled: Settled, row: PeopleRow, pairs: Iterable[Pair]) -> Settled:
    lines = dict.fromkeys(pairs, row.line)
    if row.relation == "same":
        return replace(settled, same={**lines, **settled.same})
    return replace(settled, other={**lines, **settled.other})


def _nobody(row: PeopleRow, column: str, wanted: Selector, near: str, *, apart: bool) -> Problem:
    """A name that no meet has; of one that is withheld it is no fault, unless it may be another's.

    That it is not hers is said with `not the same`.
    """
    mend = f"did you mean {near}?" if near else "mend it"
    message = f"no meet has a gymnast {wanted.name} of whom all this is true; {mend}"
    withholds = column == "name" and not row.publish and not row.now_called
    if withholds and near and not row.relation:
        message += (
            f" If {wanted.name} is in no meet, write not the same in is, and {near} in other_name"
        )
    settled = apart if row.relation == "not the same" else not near and not row.relation
    kind = Note if withholds and settled else Problem
    return kind(PEOPLE_FILE, row.line, column, "unknown-person", message, wanted.name)


@dataclass(frozen=True)
class _Names:
    """The names of everybody, each with how a meet prints it."""

    known: Mapping[str, str]

    def like(self, name: str) -> str:
        """Whose name this may be: in another order, with accents, misspelt; empty if nobody's."""
        whole = name.replace(",", " ")
        if same := self._by_form.keys() & _written(whole):
            return self._by_form[min(same)]
        parts = name_words(whole)
        turned = [" ".join(parts[at:] + parts[:at]) for at in range(len(parts))]
        close = (each for one in turned for each in get_close_matches(one, self._plain, n=1))
        return self._plain.get(next(close, ""), "")

    @cached_property
    def _by_form(self) -> dict[str, str]:
        return {form: shown for one, shown in self.known.items() for form in _written(one)}

    @cached_property
    def _plain(self) -> dict[str, str]:
        return {" ".join(name_words(one)): shown for one, shown in self.known.items()}


def _written(name: str) -> set[str]:
    return {"".join(form) for form in forms(Name(name, ""))}


def against(
    rows: Iterable[PeopleRow], known: KnownPeople, settled: Settled, facts: Facts,
    printed: Mapping[Identity, str],
) -> Iterator[Problem]:  # fmt: skip
    """Whom rows make one gymnast, though another row or a list of a meet has two, or two names."""
    joined, named = defaultdict[Identity, set[int]](set), defaultdict[Identity, set[PeopleRow]](set)
    for pair, line in settled.same.items():
        for one in pair:
            joined[one].add(line)
    for row in rows:
        for one in row.one.of(printed) if row.now_called else ():
            named[one].add(row)
    for gymnast in known.gymnasts:
        lines = sorted({line for one in gymnast.identities for line in joined.get(one, ())})
        by = f"by line{'s' * (len(lines) > 1)} {' and '.join(map(str, lines))}"
        called = {row for one in gymnast.identities for row in named.get(one, ())}
        for row in called if len({row.now_called for row in called}) > 1 else ():
            others = sorted(
                f"{one.now_called} (line {one.line})" for one in called
                if one.now_called != row.now_called
            )  # fmt: skip
            message = f"the same gymnast is now called {', '.join(others)}, too; write one name"
            yield Problem(
                PEOPLE_FILE, row.line, "now_called", "called-twice", message, row.now_called
            )
        for one, other in known.contradictions:
            if one in gymnast.identities:
                message = f"{_both(one, other, printed)} are one {by}, and not by this; mend one"
                line = settled.other[one, other]
                yield Problem(PEOPLE_FILE, line, "is", "people-contradict", message)
        for one, other, title in _in_one_list(gymnast, facts) if lines else ():
            message = f"{_both(one, other, printed)} are the same {by}, and both in {title}"
            yield Problem(
                PEOPLE_FILE, lines[0], "is", "twice-in-a-list", f"{message}; say who is meant"
            )


def _both(one: Identity, other: Identity, printed: Mapping[Identity, str]) -> str:
    return f"{printed[one]} ({one.club}) and {printed[other]} ({other.club})"


def _in_one_list(gymnast: SeasonGymnast, facts: Facts) -> Iterator[tuple[Identity, Identity, str]]:
    """Each meet with a list in which two that differ would be one gymnast."""
    by_meet = defaultdict[str, dict[int, Identity]](dict)
    for row in gymnast.appearances:
        by_meet[row.meet][row.entry] = identity(row)
    for meet in facts.meets:
        here = by_meet.get(meet.id, {})
        for held in meet.head.competitions if len({*here.values()}) > 1 else ():
            lists = facts.made[meet.id].lists[held.id].items()
            found = ((name, {here[one] for one in who if one in here}) for name, who in lists)
            if twice := next((each for each in found if len(each[1]) > 1), None):
                one, other, *_ = sorted(twice[1], key=lambda each: each.order)
                yield one, other, f"one list: {meet.title}, {held.title}, {twice[0]}"
                break
