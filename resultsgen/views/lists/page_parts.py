"""Pages that would be too heavy come in parts, each a page of its own.

How much a part holds follows from the columns and the number of rows alone: whatever mark is
corrected, every page keeps its address.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, groupby
from typing import TypeVar

from resultsgen.views.lists.table import LONGEST, RowRange, Table, called
from resultsgen.views.words.wording import Wording

WEIGHTS = {"name": 21, "mark": 16}
CELL, HEADING = 5, 100
"""So many bytes a cell of a column, another cell, and the head of a table take, compressed; a
little more than was measured with names of all kinds, D, E and penalty under every mark."""

WHOLE, PART = 23_000, 17_500
"""A page whose rows take more than the first comes in parts of about the second. What is around
the rows takes up to 39,000, with a font for titles; the rest of a page's 60,000 is for notes and
for long names."""

View = TypeVar("View")


@dataclass(frozen=True)
class PagePart:
    """What one of several parts of a page is called."""

    label: str
    """Among the others: 151–300."""
    words: str
    """On its own page: 151 to 300 of 2000."""
    ends: str = ""
    """Who is first and last in it, where they stand by name."""


ONLY = PagePart("", "")
"""Where everything fits on one page it needs no name."""


@dataclass(frozen=True)
class TablePart:
    """A table of a page, or what one part of the page has of it."""

    number: int
    """Which of the tables of the page it is of."""
    table: Table


def parted(
    view: View, tables: Sequence[Table], show: Callable[[tuple[TablePart, ...], int], View],
    called_by: Callable[[Sequence[Table], int, int, Wording], PagePart], wording: Wording,
    more: int = 0,
) -> Iterator[tuple[PagePart, View]]:  # fmt: skip
    """The view of a page part by part, each with its tables; as it is where all of it fits."""
    held = parts_of_page(tables, more)
    if len(held) == 1:
        yield ONLY, view
        return
    for number, pieces in enumerate(held, start=1):
        own = [piece.table for piece in pieces]
        yield called_by(own, number, len(held), wording), show(pieces, number)


def parts_of_page(tables: Sequence[Table], more: int = 0) -> tuple[tuple[TablePart, ...], ...]:
    """The tables of a page, part by part; one part where everything fits.

    A table that fits on a page is not parted. *more* is what stands on the page beside each row,
    in bytes.
    """
    short = all(len(table.rows) <= LONGEST and not table.of for table in tables)
    if short and sum(HEADING + len(t.rows) * (row_weight(t) + more) for t in tables) <= WHOLE:
        return (tuple(map(TablePart, range(len(tables)), tables)),)
    units: list[tuple[int, tuple[RowRange, ...]]] = []
    weights: list[int] = []
    for number, table in enumerate(tables):
        weight, ranges = row_weight(table) + more, table.sections
        each = [HEADING + len(rows.rows) * weight for rows in ranges]
        if sum(each) <= WHOLE:
            each = [sum(each)]
            units.append((number, ranges))
        else:
            units += [(number, (rows,)) for rows in ranges]
        weights += each
    return tuple(
        tuple(
            TablePart(number, _part(tables[number], [rows for _, some in group for rows in some]))
            for number, group in groupby(units[here.start : here.stop], key=lambda unit: unit[0])
        )
        for here in packed(weights)
    )


def row_weight(table: Table) -> int:
    """About how many bytes a row takes, compressed."""
    return sum(WEIGHTS.get(column.kind, CELL) for column in table.columns)


def packed(weights: Sequence[int]) -> Iterator[range]:
    """Which of several things in a row stand on one page; a short rest stays with those before."""
    sums = [0, *accumulate(weights)]
    begin = 0
    for number in range(1, len(weights)):
        is_full = sums[number + 1] - sums[begin] > PART
        if is_full and sums[-1] - sums[begin] > WHOLE:
            yield range(begin, number)
            begin = number
    yield range(begin, len(weights))


def _part(table: Table, ranges: Sequence[RowRange]) -> Table:
    rows = tuple(row for some in ranges for row in some.rows)
    if len(rows) == len(table.rows):
        return table
    asked = {"", *called(rows)}
    notes = tuple(note for note in table.notes if note.mark in asked)
    return replace(table, rows=rows, notes=notes, first=ranges[0].first, of=len(table.heads))


def by_count(first: int, last: int, of: int, wording: Wording, ends: str = "") -> PagePart:
    """A part of one list, from one number to another."""
    words = wording.say("{first} to {last} of {all}", first=first, last=last, all=of)
    return PagePart(f"{first}–{last}", words, ends)


def by_number(tables: Sequence[Table], number: int, of: int, wording: Wording) -> PagePart:
    """A part of one table, by the numbers of its rows."""
    (table,) = tables
    return by_count(table.first, table.last, table.of, wording)


def by_name(tables: Sequence[Table], number: int, of: int, wording: Wording) -> PagePart:
    """A part of a table in the order of names, with the first and the last of them."""
    (table,) = tables
    at = [column.kind for column in table.columns].index("name")
    names = [row.cells[at].text for row in table.rows]
    return by_count(table.first, table.last, table.of, wording, f"{names[0]} – {names[-1]}")


def by_content(tables: Sequence[Table], number: int, of: int, wording: Wording) -> PagePart:
    """A part with several tables, by the first and the last of them."""
    names = dict.fromkeys(full_caption(table, wording) for table in (tables[0], tables[-1]))
    words = wording.say("part {n} of {all}", n=number, all=of)
    return PagePart(" – ".join(names), words)


def full_caption(table: Table, wording: Wording) -> str:
    """The caption, with the rows that are here of a longer table."""
    if not table.of:
        return table.caption
    return wording.say(
        "{title}, {first} to {last}", title=table.caption, first=table.first, last=table.last
    )


def index_parts(table: Table, wording: Wording) -> Iterator[tuple[PagePart, Table]]:
    """An index part by part; one where all of it fits."""
    return parted(table, (table,), lambda held, _: held[0].table, by_name, wording)
