"""The headings of a table: what the settings say of them, and what is wrong with them."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, field

from resultsgen.meet.columns import MeetColumn
from resultsgen.meet.problems import Problem
from resultsgen.meet.sources import TableForm
from resultsgen.reading.words import column_words, nearest, plain


@dataclass(frozen=True)
class Mapped:
    """The headings that the settings give to some of our columns.

    Where they are for one file, all of them must be in it. Where there are several files, one
    that has none of them was made by hand with our own headings.
    """

    headings: dict[str, str]
    in_one_file: bool = True
    how: TableForm = field(default_factory=TableForm)
    """What the settings say of this table alone."""
    place: str = "columns"
    """Where in the settings a heading of it is said to mean a column; empty: nowhere."""

    def heading(self, column: MeetColumn) -> str:
        return self.headings.get(column.name, column.name)


@dataclass(frozen=True)
class Headings:
    """The headings that stand in a file, and which of our columns they are by position."""

    file: str
    line: int
    headings: list[str]
    names: dict[int, str]
    ours: tuple[MeetColumn, ...]
    mapped: Mapped

    def line_to_paste(self, name: str, heading: str) -> str:
        """How the settings say that a heading is one of our columns, as the last way to go on."""
        said = f"{name} = {json.dumps(heading, ensure_ascii=False)}  under [{self.mapped.place}]"
        return self.mapped.place and f", or write  {said}"

    def problems(self) -> list[Problem]:
        """What is wrong with them: two alike, one absent, one nearly that of a column which the
        table does not have."""
        wrong = [*self._twice(), *self._absent()]
        told = {one.column for one in wrong}
        lacking = {
            word: column.name
            for column in self.ours
            if not (column.beside or self._is_there(column))
            and self.mapped.heading(column) not in told
            for word in (self.mapped.heading(column), column.name)
        }
        for position, heading in enumerate(self.headings):
            near = "" if position in self.names else nearest(heading, lacking)
            if near:
                message = (
                    f"there is no column {heading}; did you mean {near}? Correct the heading, call "
                    f"it something else{self.line_to_paste(lacking[near], heading)}"
                )
                wrong.append(self._problem(heading, "unknown-heading", message, heading))
        return wrong

    def _problem(self, heading: str, code: str, message: str, value: str = "") -> Problem:
        return Problem(self.file, self.line, heading, code, message, value)

    def _twice(self) -> Iterator[Problem]:
        first: dict[str, int] = {}
        for position, name in self.names.items():
            other = first.setdefault(name, position)
            if other != position:
                message = (
                    f"columns {other + 1} ({self.headings[other]}) and {position + 1} "
                    f"({self.headings[position]}) mean the same; rename or delete one of them"
                    f"{self.line_to_paste(name, self.headings[other])}"
                )
                yield self._problem(self.headings[position], "heading-twice", message, name)

    def _absent(self) -> Iterator[Problem]:
        """Columns that are needed, or that the settings say are there, and are not."""
        found = ", ".join(filter(None, self.headings))
        taken = {plain(self.headings[position]): name for position, name in self.names.items()}
        said = {(plain(name), plain(heading)) for name, heading in self.mapped.headings.items()}
        foreign = {heading for name, heading in said if heading != name}
        expected = self.mapped.in_one_file or not foreign.isdisjoint(map(plain, self.headings))
        for column in self.ours:
            heading = self.mapped.heading(column)
            own = column.name in self.mapped.how.columns
            mapped = (expected or own) and column.name in self.mapped.headings
            there = column.name in (*self.names.values(), *self.mapped.how.fixed)
            if there or not (mapped or (column.needed and not self._is_there(column))):
                continue
            line = self.line_to_paste(column.name, self._likely(column))
            short = column.meaning.partition(";")[0]  # Of the bib the same in roster and marks.
            message = (
                f"there is no column {heading!r} ({column.name}: {short}); the headings are "
                f"{found}; rename one{line}"
                if plain(heading) not in taken
                else f"the column {heading!r} is {taken[plain(heading)]} "
                f"and cannot be {column.name} ({column.meaning}) too; add a column of its own"
            )
            yield self._problem(heading, "no-such-column", message)

    def _likely(self, column: MeetColumn) -> str:
        """A heading that nothing is read under and that nearly says what a column is."""
        free = [one for place, one in enumerate(self.headings) if one and place not in self.names]
        known = (word for word, name in column_words().items() if name == column.name)
        return next(filter(None, (nearest(word, free) for word in (column.name, *known))), "...")

    def _is_there(self, column: MeetColumn) -> bool:
        """Is it in the table, or one that does as well?"""
        alike = {column.name, column.unless}
        alike |= {other.name for other in self.ours if other.unless == column.name}
        return not alike.isdisjoint((*self.names.values(), *self.mapped.how.fixed))
