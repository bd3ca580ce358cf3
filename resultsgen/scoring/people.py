"""Who is on the roster: each row a gymnast, and the person behind several rows."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import chain, count
from typing import Any, Literal

from resultsgen.meet.columns import ROSTER
from resultsgen.meet.folder import Entry, Meet
from resultsgen.privacy.forms import as_written
from resultsgen.privacy.withheld import withheld
from resultsgen.scoring.ranking import Gymnast

STAYING = {"key", "line", *(column.name for column in ROSTER if column.stays)}


def gymnasts(meet: Meet) -> dict[int, Gymnast]:
    """Everybody on the roster, by key, in listing order."""
    years = meet.settings.privacy.birth_year
    unnamed = withheld(meet).rows
    people = []
    for entry, person in zip(meet.entries, _persons(meet), strict=True):
        row = nameless(entry) if entry.key in unnamed else entry
        people.append(
            Gymnast(
                key=row.key,
                person=person,
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
                start_order=row.start_order,
                birth_year=row.birth_year if years else None,
                guest=row.guest,
                published=row.key not in unnamed,
                pronounced=row.pronounced,
                lasting=row.person,
            )
        )
    return {gymnast.key: gymnast for gymnast in sorted(people, key=_listing_order)}


def nameless(entry: Entry) -> Entry:
    """A row whose name is withheld: nothing of it but what is declared to stay."""
    cells = entry._asdict().items()
    return entry._replace(**{name: _nothing(cell) for name, cell in cells if name not in STAYING})


def _nothing(cell: object) -> Any:
    """What stands in a cell where nothing does."""
    return False if isinstance(cell, bool) else "" if isinstance(cell, str) else None


@dataclass(frozen=True)
class Wearer:
    """Somebody who wears a bib, in whatever divisions; club and division of the first row."""

    discipline: str
    bib: str
    name: str
    club: str = field(compare=False)
    division: str = field(compare=False)
    published: bool = field(compare=False)


def wearers(entries: Iterable[Entry]) -> tuple[Wearer, ...]:
    """Who wears the bib of each row: one bib and name in a discipline are one person."""
    return tuple(
        Wearer(
            row.discipline,
            row.bib,
            as_written(row.family_name, row.given_name),
            row.club,
            row.division,
            row.publish,
        )
        for row in entries
    )


def _persons(meet: Meet) -> list[str]:
    """The person of each row: who was published before keeps the address of then.

    Age groups may number alike; then the first division of each tells them apart.
    """
    rows = wearers(meet.entries)
    everybody = list(dict.fromkeys(rows))
    many = Counter((wearer.discipline, wearer.bib) for wearer in everybody)
    found: dict[Wearer, str] = {}
    taken = {*meet.taken, *meet.persons.values()}
    for wearer in everybody:
        alone = many[wearer.discipline, wearer.bib] == 1
        found[wearer] = meet.persons.get(wearer) or _free(wearer, taken, alone=alone)
        taken.add(found[wearer])
    return [found[wearer] for wearer in rows]


def _free(wearer: Wearer, taken: set[str], *, alone: bool) -> str:
    """An address that nobody has or had."""
    plain = f"{wearer.discipline}/{wearer.bib}"
    apart = f"{plain}/{wearer.division}"
    further = (f"{apart}/{number}" for number in count(2))
    tried = chain([plain] if alone else [], [apart], further)
    return next(address for address in tried if address not in taken)


def _listing_order(gymnast: Gymnast) -> tuple[object, ...]:
    """By name as written, then by bib; a number before a longer number."""
    bib = gymnast.bib
    return (gymnast.family.casefold(), gymnast.given.casefold(), len(bib), bib)


def by_bib(gymnast: Gymnast) -> tuple[object, ...]:
    """By bib, the numbers in it as numbers."""
    return (natural(gymnast.bib), gymnast.key)


def in_order_of_equals(
    equals: Literal["name", "bib"], people: dict[int, Gymnast]
) -> dict[int, Gymnast]:
    """These gymnasts in the order in which a list prints equals."""
    order = by_bib if equals == "bib" else _listing_order
    return {gymnast.key: gymnast for gymnast in sorted(people.values(), key=order)}


def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """Figures inside a text in order of size: squad 2 before squad 10.

    >>> sorted(["10", "2", "A2", "A10"], key=natural)
    ['2', '10', 'A2', 'A10']
    """
    pieces = re.findall(r"[0-9]+|[^0-9]+", text)
    return tuple((0, int(piece), "") if piece.isdecimal() else (1, 0, piece) for piece in pieces)
