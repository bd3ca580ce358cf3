"""Who is on the roster: each row a gymnast, and the person behind several rows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import chain, count
from typing import Any, Literal

import pandas as pd

from resultsgen.meet.columns import ROSTER
from resultsgen.meet.folder import Meet
from resultsgen.privacy.withheld import withheld_rows
from resultsgen.privacy.words import as_written
from resultsgen.scoring.results import Gymnast, natural


def gymnasts(meet: Meet) -> dict[int, Gymnast]:
    """Everybody on the roster, by key, in listing order."""
    years = meet.settings.privacy.birth_year
    persons = _persons(meet)
    withheld = withheld_rows(meet)
    rows: Iterable[Any] = published_cells(meet.roster, withheld).itertuples()
    people = [
        Gymnast(
            key=int(row.Index),
            person=persons[row.Index],
            bib=row.bib,
            family=row.family_name,
            given=row.given_name,
            club=row.club,
            federation=row.federation,
            team=row.team,
            discipline=row.discipline,
            division=row.division,
            session=row.session,
            squad=row.squad,
            start_order=whole(row.start_order),
            birth_year=whole(row.birth_year) if years else None,
            guest=bool(row.guest),
            published=row.Index not in withheld,
        )
        for row in rows
    ]
    return {one.key: one for one in sorted(people, key=_listing_order)}


def published_cells(roster: pd.DataFrame, withheld: frozenset[int]) -> pd.DataFrame:
    """The roster; of those whose name is withheld nothing but what is declared to stay."""
    if not withheld:
        return roster
    hidden = pd.Series(roster.index.isin(list(withheld)), roster.index)
    staying = {column.name for column in ROSTER if column.stays}
    empty = {
        name: roster[name].mask(hidden, _nothing(roster[name]))
        for name in roster.columns.difference([*staying, "line"])
    }
    return roster.assign(**empty)


def _nothing(column: pd.Series[Any]) -> object:
    """What stands in a cell where nothing does."""
    if pd.api.types.is_bool_dtype(column):
        return False
    return "" if pd.api.types.is_string_dtype(column) else pd.NA


@dataclass(frozen=True)
class Wearer:
    """Somebody who wears a bib, in whatever divisions; club and division of the first row."""

    discipline: str
    bib: str
    name: str
    club: str = field(compare=False)
    division: str = field(compare=False)
    published: bool = field(compare=False)


def wearers(roster: pd.DataFrame) -> tuple[Wearer, ...]:
    """Everybody on the roster: one bib and name in a discipline are one person."""
    return tuple(dict.fromkeys(map(_wearer, roster.itertuples())))


def _wearer(row: Any) -> Wearer:
    name = as_written(row.family_name, row.given_name)
    return Wearer(row.discipline, row.bib, name, row.club, row.division, bool(row.publish))


def _persons(meet: Meet) -> dict[int, str]:
    """The person of each row: who was published before keeps the address of then.

    Age groups may number alike; then the first division of each tells them apart.
    """
    everybody = wearers(meet.roster)
    many = Counter((one.discipline, one.bib) for one in everybody)
    found: dict[Wearer, str] = {}
    taken = {*meet.taken, *meet.persons.values()}
    for one in everybody:
        alone = many[one.discipline, one.bib] == 1
        person = meet.persons.get(one) or _free(one, taken, alone=alone)
        found[one] = person
        taken.add(person)
    rows: Iterable[Any] = meet.roster.itertuples()
    return {int(row.Index): found[_wearer(row)] for row in rows}


def _free(one: Wearer, taken: set[str], *, alone: bool) -> str:
    """An address that nobody has or had."""
    plain = f"{one.discipline}/{one.bib}"
    apart = f"{plain}/{one.division}"
    further = (f"{apart}/{number}" for number in count(2))
    return next(
        each for each in chain([plain] if alone else [], [apart], further) if each not in taken
    )


def _listing_order(one: Gymnast) -> tuple[object, ...]:
    """By name as written, then by bib; a number before a longer number."""
    return (one.family.casefold(), one.given.casefold(), len(one.bib), one.bib)


def by_bib(one: Gymnast) -> tuple[object, ...]:
    """By bib, the numbers in it as numbers."""
    return (natural(one.bib), one.key)


def in_order_of_equals(
    equals: Literal["name", "bib"], people: dict[int, Gymnast]
) -> dict[int, Gymnast]:
    """These gymnasts in the order in which a list prints equals."""
    order = by_bib if equals == "bib" else _listing_order
    return {one.key: one for one in sorted(people.values(), key=order)}


def whole(value: object) -> int | None:
    """A cell of an Int64 table as a plain number; None where there is none."""
    return None if pd.isna(value) else int(value)  # type: ignore[call-overload]
