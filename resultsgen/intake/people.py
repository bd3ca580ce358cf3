"""Who stands in the tables: the same name and club on several sheets is one person."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import count

from resultsgen.intake.columns import NAMES, OF_MEN, OF_WOMEN, Understood
from resultsgen.intake.meanings import known_words
from resultsgen.meet.marks import STATUSES, parse_mark
from resultsgen.reading.words import NO, heard, status_words

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
    numbered: dict[int, str] = field(default_factory=dict)
    """By table, the number that she has there."""
    withheld: bool = False
    """A table says that her name is not to be published."""

    @property
    def name(self) -> str:
        """As it stands in the tables."""
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
        """What it says under one of our columns."""
        return self.table.value(self.row, name)

    @property
    def marks(self) -> list[tuple[str, str]]:
        """Its marks, each with its apparatus."""
        return self.table.marks_of(self.row)


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
    for table in sorted(tables, key=_most_told_first):
        for row in table.table.rows:
            said = table.said(row)
            key, bib = name_key(said), said.get("bib", "")
            if not (key or bib):
                continue  # Whose it is `check` asks.
            alike = by_name.setdefault(key, []) if key else []
            person = _known(alike, said, id(table)) if key else by_bib.get(bib)
            if person is None:
                person = Entrant()
                alike.append(person)
            if bib:
                by_bib.setdefault(bib, person)
            rows.append(TableRow(table, row, person))
            _add(rows[-1], said)
    order = {id(table): number for number, table in enumerate(tables)}
    return sorted(rows, key=lambda one: order[id(one.table)])


def _most_told_first(table: Understood) -> tuple[bool, bool]:
    """Those who have a bib alone in one table are known by name from another."""
    return table.at(*NAMES) is None, bool(table.marks)


def _known(alike: list[Entrant], said: dict[str, str], table: int) -> Entrant | None:
    """Who of those with one name it is: with the same number, or none other in the same table."""
    bib = said.get("bib", "")
    may_be = [one for one in alike[:ALIKE] if _may_be(one, said)]
    same = [one for one in may_be if bib and bib in one.bibs]
    others = [one for one in may_be if one.numbered.get(table, bib) == bib]
    return next(iter(same or others), None)


def _may_be(one: Entrant, said: dict[str, str]) -> bool:
    """Whether a row of the same name is of the same person: club and year are not others."""
    both = ((one.held.get(what, ""), said.get(what, "")) for what in ("club", "birth_year"))
    return all(not (a and b) or heard(a) == heard(b) for a, b in both)


def _add(row: TableRow, said: dict[str, str]) -> None:
    person = row.person
    person.held = said | person.held
    person.withheld |= is_withheld(said)
    if bib := said.get("bib"):
        person.bibs[bib] = None
        person.numbered[id(row.table)] = bib
    codes = [code for code, text in row.marks if text]
    said_in_words = known_words().disciplines.get(heard(row.value("discipline")), "")
    discipline = said_in_words or row.table.discipline or _discipline(codes)
    entry = discipline, said.get("division", "")
    open_ones = [one for one in person.entries if _fits(one, entry)]
    old = open_ones[0] if open_ones else entry
    new = (old[0] or entry[0], old[1] or entry[1])
    held = person.entries.pop(old, {})
    person.entries[new] = said | held


def is_withheld(said: dict[str, str]) -> bool:
    """Whether a row says that the name is not to be published."""
    return said.get("publish", "").casefold() in NO


def _fits(one: tuple[str, str], other: tuple[str, str]) -> bool:
    return all(not (a and b) or heard(a) == heard(b) for a, b in zip(one, other, strict=True))


def _discipline(codes: list[str]) -> str:
    """What a gymnast's apparatus say, where the table's do not."""
    men, women = {*codes} & OF_MEN, {*codes} & OF_WOMEN
    return "men" if men and not women else "women" if women and not men else ""


def persons(rows: list[TableRow]) -> list[Entrant]:
    """Each person once, in order."""
    return list({id(row.person): row.person for row in rows}.values())


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
    cells = dict.fromkeys(text for row in rows for _, text in row.marks)
    return (text for text in cells if parse_mark(text) is None and text.upper() not in STATUSES)


def known_statuses(words: Iterator[str]) -> dict[str, str]:
    """Those of which it is common that they stand for a status."""
    known = status_words()
    return {text: known[text.casefold()] for text in words if text.casefold() in known}
