"""Whether the name that a row of marks says is hers whom the mark would be published for."""

from __future__ import annotations

from functools import cached_property

from resultsgen.checks.roster import belongs
from resultsgen.meet.folder import Entry
from resultsgen.meet.problems import Note
from resultsgen.privacy.forms import PARTICLES, words
from resultsgen.reading.belonging import Belonging, Bibs
from resultsgen.reading.by_name import OF_NAMES, names_in, whole
from resultsgen.reading.tables import ReadTable
from resultsgen.reading.whole_names import as_compared

ALIKE = 200
"""Among so many who have a word of the name somebody is looked for who has more of it."""

Words = frozenset[str]


class NamesBeside:
    """The names on the roster, by what tells one from others: its words, in any order."""

    def __init__(self, bibs: Bibs) -> None:
        self._entries = bibs.entries
        self._competitions = {one.id: one for one in bibs.competitions}

    @cached_property
    def _worn(self) -> dict[str, list[Entry]]:
        worn: dict[str, list[Entry]] = {}
        for entry in self._entries:
            worn.setdefault(entry.bib, []).append(entry)
        return worn

    @cached_property
    def _called(self) -> dict[Words, list[Entry]]:
        called: dict[Words, list[Entry]] = {}
        for entry in self._entries:
            called.setdefault(_words(whole(entry)), []).append(entry)
        return called

    @cached_property
    def _written(self) -> dict[str, list[Entry]]:
        """By the name with its accents, which may tell two apart: Müller Zoë, Muller Zoe."""
        written: dict[str, list[Entry]] = {}
        for entry in self._entries:
            written.setdefault(as_compared(whole(entry)), []).append(entry)
        return written

    @cached_property
    def _having(self) -> dict[str, list[Words]]:
        having: dict[str, list[Words]] = {}
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
            written = self._written.get(as_compared(text), here)
            is_written = any(entry in written for entry in here)
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

    def _is_hers(self, said: Words, hers: set[Words]) -> bool:
        """Nobody else is called so, nor has more of these words."""
        if said in self._called:
            return said in hers
        shared = max(len(said & held) for held in hers)
        return shared > 0 and not any(
            len(said & other) > shared
            for word in said.difference(*hers)
            for other in self._having.get(word, [])[:ALIKE]
        )

    def _says(self, said: Words, text: str) -> str:
        """Whoever is withheld is not named; nor who may be."""
        named = self._called.get(said, [])
        known = named and all(entry.publish for entry in named)
        return f"says {text}" if known else "has another name"


def _is(entry: Entry) -> str:
    return f"is {whole(entry)} on the roster" if entry.publish else "is another's"


def _words(text: str) -> Words:
    """What tells a name from others, whatever its order, accents and particles."""
    held = frozenset(words(text))
    return held - PARTICLES or held
