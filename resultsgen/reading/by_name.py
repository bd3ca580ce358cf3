"""Gymnasts by name: found by it, and by club, in a table without bibs; compared beside a bib.

Whether the name that a row of marks says is hers whom the mark would be published for.
"""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from functools import cache, cached_property

from resultsgen.checks.roster import belongs
from resultsgen.meet.folder import Entry
from resultsgen.meet.problems import Note, most
from resultsgen.privacy.forms import PARTICLES, words
from resultsgen.reading.belonging import Belonging, BibsWorn
from resultsgen.reading.tables import ReadTable
from resultsgen.reading.whole_names import as_compared
from resultsgen.reading.words import heard

OF_NAMES = ("name", "family_name", "given_name", "club")
"""The columns by which a gymnast is found where there is no bib."""

ALIKE = 40
"""Among so many who share a word of a name the one that is meant is looked for."""


def give_bibs(table: ReadTable, bibs: BibsWorn, here: Sequence[int]) -> None:
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


def tell_twice(table: ReadTable, published: Sequence[bool]) -> None:
    """A note on each row of somebody who has one already, where a gymnast has one row."""
    first: dict[tuple[str, str], int] = {}
    bibs, among = table.column("bib"), table.column("competition")
    rows = zip(table.lines, names_in(table), published, bibs, among, strict=True)
    heading = table.headings["bib"]
    table.problems += most(
        Note(
            table.file,
            line,
            heading,
            "name-twice",
            f"{text if shown else 'this name'} stands in row {before} too; both were taken for one "
            "gymnast. Where they are two, write bibs in a column 'bib'",
        )
        for line, text, shown, bib, competition in rows
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

    def __init__(self, bibs: BibsWorn) -> None:
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


ALIKE_BESIDE = 200
"""Among so many who have a word of the name somebody is looked for who has more of it."""

NameWords = frozenset[str]


class NamesBeside:
    """The names on the roster, by what tells one from others: its words, in any order."""

    def __init__(self, bibs: BibsWorn) -> None:
        self._entries = bibs.entries
        self._competitions = {one.id: one for one in bibs.competitions}

    @cached_property
    def _worn(self) -> dict[str, list[Entry]]:
        worn: dict[str, list[Entry]] = {}
        for entry in self._entries:
            worn.setdefault(entry.bib, []).append(entry)
        return worn

    @cached_property
    def _called(self) -> dict[NameWords, list[Entry]]:
        called: dict[NameWords, list[Entry]] = {}
        for entry in self._entries:
            called.setdefault(_words(whole(entry)), []).append(entry)
        return called

    @cached_property
    def _written(self) -> set[str]:
        """The names with their accents, which may tell two apart: Müller Zoë, Muller Zoe."""
        return {as_compared(whole(entry)) for entry in self._entries}

    @cached_property
    def _having(self) -> dict[str, list[NameWords]]:
        having: dict[str, list[NameWords]] = {}
        for said in self._called:
            for word in said:
                having.setdefault(word, []).append(said)
        return having

    def compare(self, table: ReadTable, whose: list[Belonging]) -> None:
        """Tell of each row whose name, or a part of it, is not hers.

        Where several wear a bib, as age groups may number alike, she is who wears it in the
        competition that the row belongs to.
        """
        if table.columns.keys().isdisjoint(OF_NAMES[:3]):
            return
        rows = zip(table.column("bib"), names_in(table), whose, strict=True)
        for row, (bib, text, one) in enumerate(rows):
            said, theirs = _words(text), self._worn.get(bib, []) if bib else []
            here = [entry for entry in theirs if entry.key == one.gymnast] or theirs
            if not (said and here) or self._is_own(table, row, theirs, one.competition):
                continue
            hers = {_words(whole(entry)) for entry in here}
            where = f"in {one.competition} bib {bib}" if here != theirs else f"bib {bib}"
            written = as_compared(text)
            is_written = written not in self._written or any(
                as_compared(whole(entry)) == written for entry in here
            )
            if not (is_written and self._is_hers(said, hers)):
                message = f"{where} {_is(here[0])}, and this row {self._says(said, text)}; "
                message += "correct one of them"
                table.tell_rows([row], "bib", "another-name", message, bib)
            elif not any(said <= held or held <= said for held in hers):
                message = f"the name is partly another; taken for {where}, which {_is(here[0])}"
                place = table.file, table.lines[row], table.headings.get("bib", "bib")
                table.problems.append(Note(*place, "partly-another-name", message))

    def _is_own(self, table: ReadTable, row: int, theirs: list[Entry], id: str) -> bool:
        """The row stands on the roster itself, in this competition; a bib twice is told there."""
        here = (table.file, table.lines[row])
        own = (entry for entry in theirs if (entry.file, entry.line) == here)
        return any(id in self._competitions and belongs(self._competitions[id], e) for e in own)

    def published(self, bibs: list[str]) -> list[bool]:
        """Whether the roster publishes the name of who wears each of these bibs."""
        known = {bib: all(entry.publish for entry in self._worn.get(bib, ())) for bib in {*bibs}}
        return [known[bib] for bib in bibs]

    def _is_hers(self, said: NameWords, hers: set[NameWords]) -> bool:
        """Nobody else is called so, nor has more of these words."""
        if said in self._called:
            return said in hers
        shared = max(len(said & held) for held in hers)
        return shared > 0 and not any(
            len(said & other) > shared
            for word in said.difference(*hers)
            for other in self._having.get(word, [])[:ALIKE_BESIDE]
        )

    def _says(self, said: NameWords, text: str) -> str:
        """Whoever is withheld is not named; nor who may be."""
        named = self._called.get(said, [])
        known = named and all(entry.publish for entry in named)
        return f"says {text}" if known else "has another name"


def _is(entry: Entry) -> str:
    return f"is {whole(entry)} on the roster" if entry.publish else "is another's"


def _words(text: str) -> NameWords:
    """What tells a name from others, whatever its order, accents and particles."""
    held = frozenset(words(text))
    return held - PARTICLES or held
