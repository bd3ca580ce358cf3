"""Pages that would be too heavy come in stretches, each a page of its own.

How much a stretch holds follows from the columns and the number of rows alone: whatever mark is
corrected, every page keeps its address.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, groupby

from resultsgen.views.lists.table import RowRange, Table, called
from resultsgen.views.words.wording import Wording

WEIGHTS = {"name": 20, "mark": 14}
CELL, HEADING = 5, 100
"""So many bytes a cell of a column, another cell, and the head of a table take, compressed; a
little more than was measured with names of all kinds, D, E and penalty under every mark."""

WHOLE, STRETCH = 24_500, 18_500
"""A page whose rows take more than the first comes in stretches of about the second. What is
around the rows takes about 25,000; the rest of a page's 60,000 is for notes and for long names."""


@dataclass(frozen=True)
class Stretch:
    """What one of several stretches is called."""

    label: str
    """Among the others: 151–300."""
    words: str
    """On its own page: 151 to 300 of 2000."""
    ends: str = ""
    """Who is first and last in it, where they stand by name."""


ONLY = Stretch("", "")
"""Where everything fits on one page it needs no name."""


@dataclass(frozen=True)
class Piece:
    """A table of a page, or what one stretch has of it."""

    number: int
    """Which of the tables of the page it is of."""
    table: Table


Unit = tuple[int, tuple[RowRange, ...]]
"""RowRanges that are not parted, and which of the tables of a page they are of."""


def stretches_of(tables: Sequence[Table], more: int = 0) -> tuple[tuple[Piece, ...], ...]:
    """The tables of a page, stretch by stretch; one stretch where everything fits.

    A table that fits on a page is not parted. *more* is what stands on the page beside each row,
    in bytes.
    """
    units: list[Unit] = []
    weights: list[int] = []
    for number, table in enumerate(tables):
        each = [HEADING + len(one.rows) * (row_weight(table) + more) for one in table.sections]
        if sum(each) <= WHOLE:
            units.append((number, table.sections))
            weights.append(sum(each))
        else:
            units += [(number, (one,)) for one in table.sections]
            weights += each
    return tuple(_pieces([units[one] for one in held], tables) for held in packed(weights))


def row_weight(table: Table) -> int:
    """About how many bytes a row takes, compressed."""
    return sum(WEIGHTS.get(column.kind, CELL) for column in table.columns)


def packed(weights: Sequence[int]) -> Iterator[range]:
    """Which of several things in a row stand on one page; a short rest stays with those before."""
    sums = [0, *accumulate(weights)]
    begin = 0
    for number in range(1, len(weights)):
        is_full = sums[number + 1] - sums[begin] > STRETCH
        if is_full and sums[-1] - sums[begin] > WHOLE:
            yield range(begin, number)
            begin = number
    yield range(begin, len(weights))


def _pieces(units: Sequence[Unit], tables: Sequence[Table]) -> tuple[Piece, ...]:
    return tuple(
        Piece(number, _piece(tables[number], [one for _, sections in group for one in sections]))
        for number, group in groupby(units, key=lambda unit: unit[0])
    )


def _piece(table: Table, sections: Sequence[RowRange]) -> Table:
    """The rows of these sections, with the notes they call for."""
    rows = tuple(row for section in sections for row in section.rows)
    if len(rows) == len(table.rows):
        return table
    asked = {"", *called(rows)}
    notes = tuple(note for note in table.notes if note.mark in asked)
    return replace(table, rows=rows, notes=notes, first=sections[0].first, of=len(table.heads))


def by_count(first: int, last: int, of: int, wording: Wording, ends: str = "") -> Stretch:
    """A stretch of one list, from one number to another."""
    words = wording.say("{first} to {last} of {all}", first=first, last=last, all=of)
    return Stretch(f"{first}–{last}", words, ends)


def by_number(table: Table, wording: Wording) -> Stretch:
    """A stretch of one table, by the numbers of its rows."""
    return by_count(table.first, table.last, table.of, wording)


def by_name(table: Table, wording: Wording) -> Stretch:
    """A stretch of a table in the order of names, with the first and the last of them."""
    names = [next(cell.text for cell in row.cells if cell.target) for row in table.rows]
    return by_count(table.first, table.last, table.of, wording, f"{names[0]} – {names[-1]}")


def by_content(tables: Sequence[Table], number: int, of: int, wording: Wording) -> Stretch:
    """A stretch of several tables, by the first and the last of them."""
    names = dict.fromkeys((full_caption(tables[0], wording), full_caption(tables[-1], wording)))
    words = wording.say("part {n} of {all}", n=number, all=of)
    return Stretch(" – ".join(names), words)


def full_caption(table: Table, wording: Wording) -> str:
    """The caption, with the rows that are here of a longer table."""
    if not table.of:
        return table.caption
    return wording.say(
        "{title}, {first} to {last}", title=table.caption, first=table.first, last=table.last
    )
