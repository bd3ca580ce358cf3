"""Where in the lists of a meet the gymnasts and teams of a club are, found without reading on."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import islice

from resultsgen.scoring.results import CompetitionResults, Line, Ranking
from resultsgen.views.lists.members import Members, keys_of
from resultsgen.views.lists.table import Row, Table

FIRST = 3
"""So many places of a list are told of a club."""


@dataclass(frozen=True)
class Shown:
    """A list as its own page shows it, and the rows of each line; a team brings its gymnasts."""

    table: Table
    lines: tuple[tuple[Line, tuple[Row, ...]], ...]

    @cached_property
    def of_gymnast(self) -> dict[int, list[int]]:
        """The lines that a gymnast is in."""
        found: dict[int, list[int]] = {}
        for number, (line, _) in enumerate(self.lines):
            for key in keys_of(line):
                found.setdefault(key, []).append(number)
        return found

    @cached_property
    def of_teams(self) -> tuple[int, ...]:
        """The lines that are teams."""
        lines = enumerate(self.lines)
        return tuple(number for number, (line, _) in lines if line.kind == "team")

    def beyond(self, all_around: Collection[int]) -> Shown:
        """What an all-around does not show: who is not in it, and second vaults."""
        return replace(
            self,
            lines=tuple(
                (line, rows)
                for line, rows in self.lines
                if keys_of(line).isdisjoint(all_around) or has_second_vault(line)
            ),
        )

    def rows_of(self, members: Members) -> tuple[Row, ...]:
        """The rows of the lines that are the club's."""
        near = {number for key in members.keys for number in self.of_gymnast.get(key, ())}
        found = sorted(near.union(self.of_teams))
        lines = (self.lines[number] for number in found)
        return tuple(row for line, rows in lines if members.has(line) for row in rows)


def has_second_vault(line: Line) -> bool:
    """A second vault stands in a line of a list of gymnasts."""
    return any(one.vault == 2 for one in line.routines if one)


def shown(one: CompetitionResults, ranking: Ranking, table: Table) -> Shown:
    """A list with the table of its page, and the marks below it that no list takes."""
    rows = iter(table.rows)
    lines = (*ranking.lines, *(beside.line for beside in one.beside_in(ranking)))
    counts = (1 + len(line.of.members) if line.of.kind == "team" else 1 for line in lines)
    each = (tuple(islice(rows, count)) for count in counts)
    return Shown(table, tuple(zip(lines, each, strict=True)))


def leading(ranking: Ranking) -> tuple[Line, ...]:
    """The lines of the first places."""
    lines = ranking.lines
    return tuple(line for line in lines if line.place is not None and line.place <= FIRST)
