"""What `people.csv` settles: who is the same, who is not, who is called how, who is withheld."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import product
from typing import NamedTuple

from resultsgen.meet.problems import Note, Problem, did_you_mean
from resultsgen.privacy.forms import as_written
from resultsgen.season.who import Identity, Pair, Settled

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
    rows: Iterable[PeopleRow], everybody: tuple[Identity, ...]
) -> tuple[People, list[Problem]]:
    """What the rows mean of the people there are, and what is wrong with them."""
    told, problems = People(), list[Problem]()
    known = {one.name for one in everybody if one.name}
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
            problems.append(_nobody(row, column, wanted, known))
        if missing:
            continue
        if row.now_called:
            told = replace(told, called=(*told.called, *((one, row.now_called) for one in ones)))
        if row.relation and {*ones} & {*others}:
            message = "both sides mean the same rows; say club, birth_year or person to part them"
            problems.append(Problem(PEOPLE_FILE, row.line, "is", "same-person-twice", message))
        elif row.relation:
            told = replace(told, settled=_with(told.settled, row.relation, product(ones, others)))
    return told, problems


def _with(settled: Settled, relation: str, pairs: Iterable[Pair]) -> Settled:
    if relation == "same":
        return replace(settled, same=settled.same.union(pairs))
    return replace(settled, other=settled.other.union(pairs))


def _nobody(row: PeopleRow, column: str, wanted: Selector, known: set[str]) -> Problem:
    """A name that no meet has; of one that is withheld it is no fault, as none may have it."""
    near = did_you_mean(as_written(wanted.name.replace(",", " ")), known)
    message = f"no meet has a gymnast {wanted.name} of whom all this is true; {near or 'mend it'}"
    withheld = not row.publish and not row.relation and not row.now_called and not near
    kind = Note if withheld else Problem
    return kind(PEOPLE_FILE, row.line, column, "unknown-person", message, wanted.name)


def against(pairs: Iterable[Pair]) -> Iterator[Problem]:
    """Pairs of whom the rows say that they are the same, and that they are not."""
    for one, other in pairs:
        both = f"{one.name} ({one.club}) and {other.name} ({other.club})"
        message = f"{both} are the same by some rows, and not the same by another; mend one of them"
        yield Problem(PEOPLE_FILE, 0, "is", "people-contradict", message)
