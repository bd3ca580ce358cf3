"""A table as page and book show it: text in cells, ready to read, and the notes below it."""

from __future__ import annotations

import pickle
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property, lru_cache
from hashlib import sha256
from itertools import pairwise
from string import ascii_lowercase
from typing import Literal, NamedTuple

Kind = Literal["place", "name", "mark", "total", "text", "number", "cut"]
"""What a column holds; it decides how it is set (figures right, names left and as row head)."""


class Column(NamedTuple):
    """One column: its heading, a short one for narrow places, and what it holds."""

    label: str
    kind: Kind
    short: str = ""
    """For narrow screens and books; empty: the label."""
    width: float = 1.0
    """Share of the width in a book, relative to the other columns."""


class Cell(NamedTuple):
    """One cell. `sub` is a second, quieter line (D and E under a mark, the club under a name)."""

    text: str
    sub: str = ""
    place: str = ""
    """The place beside a mark."""
    target: str = ""
    """What it leads to, named exactly: `gymnast:women/101`, `club:TV Ulmenquell`, `list:ws-q/BB`
    (`views.addresses`); site and book say where that is."""
    note: str = ""
    """The mark of a note below the table: a, b, c ..."""
    dropped: bool = False
    """A team mark that does not count."""
    by: str = ""
    """What it is sorted by, where that is not the text."""
    about: str = ""
    """Said by screen readers in place of the text where the text is a code."""

    @property
    def plain(self) -> bool:
        """It is its text and nothing more, as most cells are."""
        return not (
            self.sub or self.place or self.target or self.note or self.about or self.dropped
        )


InCut = Literal["", "qualified", "reserve", "so-far"]
"""Who is through a cut or in reserve; *so-far* while marks to come can change that."""


class Row(NamedTuple):
    """One row. `kind` says how it stands: ranked, guest, unranked, or a team's head or member."""

    cells: tuple[Cell, ...]
    kind: Literal["ranked", "guest", "unranked", "guest unranked", "team", "member"] = "ranked"
    id: str = ""
    """Its anchor on the page, unique in the table."""
    podium: int = 0
    """1, 2 or 3 for a medal place of a final list."""
    qualified: InCut = ""
    filed: str = ""
    """For each filter of the table the number of the row's name in it, or a hyphen."""
    cut: str = ""
    """The cut that is drawn below it: nobody further down goes through."""
    reserves: str = ""
    """What is written at the line below it: nobody further down stands by."""


class TableNote(NamedTuple):
    """A note below the table: its mark, and one sentence."""

    mark: str
    text: str


class Filter(NamedTuple):
    """What the rows of a table may be narrowed to: one of several clubs, sessions ..."""

    label: str
    everything: str
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RowRange:
    """Some of the rows of a long table, from one number to another; a team is one with its rows."""

    first: int
    last: int
    rows: tuple[Row, ...]


LONGEST, SECTION_ROWS = 100, 50
"""A table of more rows than this is shown in sections of so many: it opens at once all the same."""


class Digested:
    """Stands for itself by a digest, worked out once, where many are compared."""

    @cached_property
    def digest(self) -> str:
        """Never the same for others."""
        return sha256(pickle.dumps(self._told(), pickle.HIGHEST_PROTOCOL)).hexdigest()

    def _told(self) -> tuple[object, ...]:
        """What tells it from others."""
        return tuple(vars(self).values())


@dataclass(frozen=True)
class Table(Digested):
    """A whole table with its caption, notes, and the legend of the codes used in it."""

    id: str
    caption: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    notes: tuple[TableNote, ...] = ()
    legend: tuple[tuple[str, str], ...] = ()
    filters: tuple[Filter, ...] = ()
    first: int = 1
    """The number of its first row, where it is a part of a longer table."""
    of: int = 0
    """How many rows that longer table has; 0: it is no part."""

    def _told(self) -> tuple[object, ...]:
        # Plain tuples: to pickle those with names takes several times as long.
        named = {"columns": self.columns, "notes": self.notes, "filters": self.filters}
        plain = {name: tuple(map(tuple, each)) for name, each in named.items()}
        rows = tuple((tuple(map(tuple, row.cells)), row[1:]) for row in self.rows)
        return tuple((vars(self) | plain | {"rows": rows}).values())

    @property
    def kinds(self) -> tuple[Kind, ...]:
        """What each of its columns holds."""
        return tuple(column.kind for column in self.columns)

    @property
    def heads(self) -> tuple[int, ...]:
        """Where in its rows each gymnast, or each team with its gymnasts, begins."""
        return tuple(number for number, row in enumerate(self.rows) if row.kind != "member")

    @property
    def last(self) -> int:
        """The number of its last row."""
        return self.first + len(self.heads) - 1

    @property
    def sections(self) -> tuple[RowRange, ...]:
        """The rows as they are shown: a team's gymnasts are not parted from it."""
        if len(self.rows) <= LONGEST and not self.of:
            return (RowRange(1, self.last, self.rows),)
        begins: dict[int, int] = {}
        for number, head in enumerate(self.heads, start=self.first):
            if not begins or head - max(begins) >= SECTION_ROWS:
                begins[head] = number
        ends = pairwise([*begins, len(self.rows)])
        numbers = pairwise([*begins.values(), self.last + 1])
        return tuple(
            RowRange(first, after - 1, self.rows[begin:end])
            for (begin, end), (first, after) in zip(ends, numbers, strict=True)
        )

    @property
    def beside(self) -> Literal["", "placed", "penalised"]:
        """What stands beside or below a mark of some row, so that all leave room for it."""
        cells = [cell for row in self.rows for cell in row.cells if cell.place or cell.sub]
        if any(pair in cell.sub for cell in cells for pair in ("P\u00a0−", "B\u00a0+")):
            return "penalised"
        return "placed" if any(cell.place for cell in cells) else ""


def letter(number: int) -> str:
    """The mark of a note, counted from 0: a, b ... z, aa, ab ...

    >>> letter(0), letter(25), letter(26)
    ('a', 'z', 'aa')
    """
    ahead, last = divmod(number, 26)
    return (letter(ahead - 1) if ahead else "") + ascii_lowercase[last]


def called(rows: Iterable[Row]) -> tuple[str, ...]:
    """The marks of the notes that rows call for, in their order; a cell may call for several."""
    marks = (mark for row in rows for cell in row.cells for mark in cell.note.split())
    return tuple(dict.fromkeys(marks))


class Notes:
    """The notes gathered while the rows of one table are made, lettered as they are called for."""

    def __init__(self) -> None:
        self._marks: dict[str, str] = {}

    def mark_of(self, text: str) -> str:
        """The letter of a note, the same for the same sentence; none where nothing is to say."""
        return self._marks.setdefault(text, letter(len(self._marks))) if text else ""

    def all(self) -> tuple[TableNote, ...]:
        """Every note in the order of its letter."""
        return tuple(TableNote(mark, text) for text, mark in self._marks.items())


_plain_cell = lru_cache(2**12)(Cell)


def plain_table(
    id: str,
    caption: str,
    columns: tuple[Column, ...],
    rows: Iterable[Iterable[Cell | str]],
    rows_id: str,
    first: int = 0,
) -> Table:
    """A table of texts; its rows are told apart by their numbers."""
    made = (
        Row(
            tuple([one if isinstance(one, Cell) else _plain_cell(one) for one in cells]),
            id=f"{rows_id}-{number}",
        )
        for number, cells in enumerate(rows, start=first)
    )
    return Table(id, caption, columns, tuple(made))
