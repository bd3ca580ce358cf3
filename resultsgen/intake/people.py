"""Who stands in the tables: the same name and club on several sheets is one person."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import count

from resultsgen.intake.columns import NAMES, Understood, discipline_of
from resultsgen.intake.meanings import known_words
from resultsgen.meet.marks import STATUSES, parse_mark
from resultsgen.reading.words import heard, says_no, status_words

ALIKE = 100
"""So many of one name are told apart; a club has three."""


@dataclass(eq=False)
class Entrant:
    """A gymnast, and what the tables say of her."""

    held: dict[str, str] = field(default_factory=dict)
    """By our columns of the roster; what is said first."""
    entries: dict[tuple[str, str], dict[str, str]] = field(default_factory=dict)
    """By discipline and division, what is said of her there."""
    bibs: dict[str, None] = field(default_factory=dict)
    numbered: dict[Understood, str] = field(default_factory=dict)
    """By table, the number that she has there."""
    withheld: bool = False

    @property
    def name(self) -> str:
        whole = self.held.get("name", "")
        parts = (self.held.get(one, "") for one in ("given_name", "family_name"))
        return whole or " ".join(filter(None, parts))


@dataclass(frozen=True)
class TableRow:
    """A row of a table, and whose it is."""

    table: Understood
    row: int
    person: Entrant

    def value(self, name: str) -> str:
        return self.table.value(self.row, name)

    @property
    def marks(self) -> list[tuple[str, str]]:
        return self.table.marks_of(self.row)

    @property
    def unsettled(self) -> list[tuple[str, str]]:
        return self.table.unsettled_of(self.row)


def name_key(value: dict[str, str]) -> str:
    """A name as it is compared: its words in any order.

    >>> name_key({"name": "VALE, Ada"}) == name_key({"family_name": "Vale", "given_name": "Ada"})
    True
    """
    whole = value.get("name") or f"{value.get('family_name', '')} {value.get('given_name', '')}"
    return " ".join(sorted(heard(whole.replace(",", " ")).split()))


def people(tables: list[Understood]) -> list[TableRow]:
    """The rows of all tables with whose they are, in the order of the files."""
    by_name: dict[str, list[Entrant]] = {}
    by_bib: dict[str, Entrant] = {}
    rows: list[TableRow] = []
    # Those who have a bib alone in one table are known by name from another.
    for table in sorted(tables, key=lambda one: (one.at(*NAMES) is None, one.is_of_marks)):
        for row in table.table.rows:
            said = table.said(row)
            key, bib = name_key(said), said.get("bib", "")
            if not (key or bib):
                continue  # Whose it is `check` asks.
            alike = by_name.setdefault(key, []) if key else []
            person = _known(alike, said, table) if key else by_bib.get(bib)
            if person is None:
                person = Entrant()
                alike.append(person)
            if bib:
                by_bib.setdefault(bib, person)
            rows.append(TableRow(table, row, person))
            _add(rows[-1], said)
    order = {table: number for number, table in enumerate(tables)}
    return sorted(rows, key=lambda one: order[one.table])


def _known(alike: list[Entrant], said: dict[str, str], table: Understood) -> Entrant | None:
    """Who of those with one name it is, of no other club or year: with the same number, or none
    other in the same table."""
    bib, tells = said.get("bib", ""), ("club", "birth_year")
    may_be = [
        one
        for one in alike[:ALIKE]
        if _agree([(one.held.get(what, ""), said.get(what, "")) for what in tells])
    ]
    same = [one for one in may_be if bib and bib in one.bibs]
    others = [one for one in may_be if one.numbered.get(table, bib) == bib]
    return next(iter(same or others), None)


def _agree(both: Iterable[tuple[str, str]]) -> bool:
    """Whether of each pair one is empty, or both say the same."""
    return all(not (a and b) or heard(a) == heard(b) for a, b in both)


def _add(row: TableRow, said: dict[str, str]) -> None:
    person = row.person
    person.held = said | person.held
    person.withheld |= is_withheld(said)
    if bib := said.get("bib"):
        person.bibs[bib] = None
        person.numbered[row.table] = bib
    codes = [code for code, text in row.marks if text]
    said_in_words = known_words().disciplines.get(heard(row.value("discipline")), "")
    discipline = said_in_words or row.table.discipline or discipline_of(codes)
    entry = discipline, said.get("division", "")
    fitting = (one for one in person.entries if _agree(zip(one, entry, strict=True)))
    old = next(fitting, entry)
    held = person.entries.pop(old, {})
    person.entries[old[0] or entry[0], old[1] or entry[1]] = said | held


def is_withheld(said: dict[str, str]) -> bool:
    """Whether a row says that the name is not to be published."""
    return says_no(said.get("publish", ""))


def persons(rows: list[TableRow]) -> list[Entrant]:
    return list(dict.fromkeys(row.person for row in rows))


def shared_bibs(everybody: list[Entrant]) -> list[str]:
    """Why the numbers in the tables are no bibs: of a quarter of them one is of several persons, or
    several of one. Where there are fewer, they are slips, which `check` tells."""
    whose: dict[str, list[str]] = {}
    for one in everybody:
        for bib in one.bibs:
            whose.setdefault(bib, []).append(one.name)
    twice = [f"{bib} is {' and '.join(held)}" for bib, held in whose.items() if len(held) > 1]
    several = [f"{one.name} has {' and '.join(one.bibs)}" for one in everybody if len(one.bibs) > 1]
    found = twice if len(twice) > len(several) else several
    return found if len(found) > 1 and 4 * len(found) >= len(everybody) else []


def numbers(everybody: list[Entrant], *, anew: bool) -> dict[Entrant, str]:
    """A bib for everybody: her own, or the next that nobody has."""
    own = {one: next(iter(one.bibs), "") for one in everybody} if not anew else {}
    taken = {*own.values()}
    free = (text for text in map(str, count(1)) if text not in taken)
    return {one: own.get(one) or next(free) for one in everybody}


def words_for_marks(rows: list[TableRow]) -> Iterator[str]:
    """What stands where a mark would and is none."""
    cells = dict.fromkeys(text for row in rows for _, text in (*row.marks, *row.unsettled))
    return (text for text in cells if parse_mark(text) is None and text.upper() not in STATUSES)


def known_statuses(words: Iterator[str]) -> dict[str, str]:
    """Those of which it is common that they stand for a status."""
    known = status_words()
    return {text: known[text.casefold()] for text in words if text.casefold() in known}
