"""Gymnasts of a table without bibs, found by name, and by club where two have one name."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from functools import cache

from resultsgen.meet.folder import Entry
from resultsgen.meet.problems import Note, most
from resultsgen.reading.belonging import Bibs
from resultsgen.reading.tables import ReadTable
from resultsgen.reading.whole_names import as_compared
from resultsgen.reading.words import heard

OF_NAMES = ("name", "family_name", "given_name", "club")
"""The columns by which a gymnast is found where there is no bib."""

ALIKE = 40
"""Among so many who share a word of a name the one that is meant is looked for."""


def give_bibs(table: ReadTable, bibs: Bibs, here: Sequence[int]) -> None:
    """Give each row of a table that holds the marks of those *here* the bib of its gymnast."""
    of_name = next(name for name in OF_NAMES if name in table.columns)
    texts = names_in(table)
    mend = "the name is empty; fill it in, or delete the row"
    table.tell_rows((n for n, text in enumerate(texts) if not text), of_name, "empty-cell", mend)
    named = _Named(bibs)
    ids = {bibs.competitions[n].id.casefold(): (n,) for n in here}
    clubs, among = table.column("club"), table.column("competition")
    found = [
        named.called(as_compared(text), ids.get(id.casefold(), tuple(here)), heard(club))
        for text, club, id in zip(texts, clubs, among, strict=True)
    ]
    table.headings["bib"] = table.headings.get(of_name, of_name)
    table.columns["bib"] = [these[0].bib if len(these) == 1 else "" for these in found]
    if bibs.known:  # Else the roster cannot be read.
        rows = enumerate(zip(texts, found, strict=True))
        table.problems += most(
            table.problem(row, of_name, "unknown-name", named.why_nobody(text, these), "")
            for row, (text, these) in rows
            if text and len(these) != 1
        )
    heading = table.headings.get("club", "club")
    table.problems += most(
        Note(
            table.file, line, heading, "another-club",
            f"taken for bib {these[0].bib}, whose club on the roster is {these[0].club}",
        )
        for line, these, club in zip(table.lines, found, clubs, strict=True)
        if len(these) == 1 and club and heard(club) != heard(these[0].club)
    )  # fmt: skip


def tell_twice(table: ReadTable) -> None:
    """A note on each row of somebody who has one already, where a gymnast has one row."""
    first: dict[tuple[str, str], int] = {}
    rows = zip(table.lines, table.column("bib"), table.column("competition"), strict=True)
    heading = table.headings["bib"]
    table.problems += most(
        Note(
            table.file,
            line,
            heading,
            "name-twice",
            f"this name stands in row {before} too; both were taken for bib {bib}. Where they are "
            "two, write bibs in a column 'bib'",
        )
        for line, bib, competition in rows
        if bib and (before := first.setdefault((bib, competition), line)) != line
    )


def names_in(table: ReadTable) -> list[str]:
    """The names of the rows, from one column or from two."""
    return [
        whole or " ".join(filter(None, parts))
        for whole, *parts in zip(*map(table.column, OF_NAMES[:3]), strict=True)
    ]


def whole(entry: Entry) -> str:
    """The name as the roster has it, the family name first."""
    return " ".join(filter(None, (entry.family_name, entry.given_name)))


def _bare(key: str) -> str:
    """A name as it is compared where nobody is called quite so: without accents, Zoe for Zoë."""
    return " ".join(sorted(heard(key).split()))


class _Named:
    """The roster by name; of several rows of one bib the first."""

    def __init__(self, bibs: Bibs) -> None:
        self.keys = bibs.keys
        self.named: dict[str, dict[str, Entry]] = {}
        self.by_word: dict[str, list[str]] = {}
        self.bare: dict[str, list[str]] = {}
        for entry in bibs.entries:
            key = as_compared(whole(entry))
            if key not in self.named:
                self.bare.setdefault(_bare(key), []).append(key)
                for word in key.split():
                    self.by_word.setdefault(word, []).append(key)
            self.named.setdefault(key, {}).setdefault(entry.bib, entry)
        self._here, self._of_clubs = cache(self._those_here), cache(self._by_club)

    def called(self, key: str, here: tuple[int, ...], club: str) -> tuple[Entry, ...]:
        """Who is called so: of several, those who compete here, and of them those of the club."""
        found = self._here(key, here)
        return found if len(found) < 2 else self._of_clubs(key, here).get(club, found)

    def _those_here(self, key: str, here: tuple[int, ...]) -> tuple[Entry, ...]:
        alike = [key] if key in self.named else self.bare.get(_bare(key), [])
        found = tuple(self.named[alike[0]].values()) if len(alike) == 1 else ()
        in_these = (one for one in found if any(one.bib in self.keys[n] for n in here))
        return (tuple(in_these) or found) if len(found) > 1 else found

    def _by_club(self, key: str, here: tuple[int, ...]) -> dict[str, tuple[Entry, ...]]:
        clubs: dict[str, list[Entry]] = {}
        for one in self._here(key, here):
            clubs.setdefault(heard(one.club), []).append(one)
        return {club: tuple(those) for club, those in clubs.items()}

    def why_nobody(self, text: str, found: tuple[Entry, ...]) -> str:
        """That several are called so, or nobody, and who may be meant.

        A name that is withheld is not said, nor one that is nearly it.
        """
        if found:
            these = " and ".join(f"bib {one.bib} of {one.club or 'no club'}" for one in found[:5])
            mend = "write the club in a column 'club', or bibs in a column 'bib'"
            return f"several on the roster are called so: {these}; {mend}"
        key = as_compared(text)
        alike = [other for word in key.split() for other in self.by_word.get(word, [])[:ALIKE]]
        near = difflib.get_close_matches(key, alike, n=1, cutoff=0.6)
        if not near:
            return f"nobody on the roster is called {text}; correct the name, or add the gymnast"
        entry = next(iter(self.named[near[0]].values()))
        if not entry.publish:
            return f"nobody on the roster is called so; did you mean bib {entry.bib}?"
        meant = f"did you mean {whole(entry)} (bib {entry.bib})?"
        return f"nobody on the roster is called {text}; {meant}"
