"""A table made ready for paper: widths in per cent, and everything a template would have to ask.

Templates then only loop. Rows that belong together (a team and its gymnasts, the last rows of a
list) are one block, which no page break parts.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator
from dataclasses import dataclass

from resultsgen.views.lists.sections import gymnast_of, row_target
from resultsgen.views.lists.table import Cell, Column, Row, Table, TableNote

MANY_MARKS = 5
"""From so many columns of marks on, a table is set closer."""

SHARE = 13.5
"""A column of width 1 takes so many per cent of the page, unless the table would be too wide."""

NARROW = {
    "place": (0, 6.7), "number": (1.7, 1.5), "total": (1.9, 2.2), "cut": (1.9, 3.2),
    "text": (1.9, 3.6),
}  # fmt: skip
"""In half the measure a column takes so many per cent for each letter, and so many beside them."""

LEAST = 25.0
"""So many per cent have the names and texts of a table at least."""

SMALLER, FIGURES = 0.8, 0.95
"""So much narrower are the letters of headings; above figures, which have less beside them."""

SHORT = 16
"""A column of texts with more letters than this has its share of what is left."""

TWO_LINES = 17.8
"""What a column of marks takes there, below which D and E stand; names and texts have the rest."""

LETTERS = 0.58
"""So many letters stand in one per cent of half the measure."""

NAME_GAINS = 1.2
"""A table of single lines has the club beside the name: the name's column is so much wider."""

PLACED = " placed"
"""The class of columns in which a place in brackets stands beside marks."""

TOGETHER = 3
"""So many rows stay together at the beginning and at the end: no page holds a single row."""


@dataclass(frozen=True, slots=True)
class SetColumn:
    """A column: its heading, the class it is set by, and its width in per cent."""

    heading: str
    style: str
    width: str


@dataclass(frozen=True, slots=True)
class SetCell:
    """A cell with the element and the class it is set by, and where it leads in this book."""

    text: str
    sub: str
    place: str
    note: str
    tag: str
    style: str
    anchor: str
    dropped: bool


@dataclass(frozen=True, slots=True)
class SetRow:
    """A row with its class."""

    style: str
    anchor: str
    """What the index leads to; empty where the row is of no gymnast."""
    said: str
    """What the line below it means: the name of the cut, or that it is that of the reserves."""
    cells: tuple[SetCell, ...]


@dataclass(frozen=True, slots=True)
class Block:
    """Rows that follow each other; if *together*, on one page."""

    rows: tuple[SetRow, ...]
    together: bool


@dataclass(frozen=True, slots=True)
class SetTable:
    """A table ready for paper."""

    id: str
    caption: str
    close: bool
    narrow: bool
    """It takes all of half the measure."""
    flat: bool
    """Each row is a single line."""
    width: str
    """In per cent of the page."""
    columns: tuple[SetColumn, ...]
    blocks: tuple[Block, ...]
    notes: tuple[TableNote, ...]
    legend: tuple[tuple[str, str], ...]


def typeset(
    table: Table,
    anchors: Collection[str],
    section: str = "",
    seen: Counter[str] | None = None,
    narrow: bool = False,
) -> SetTable:
    """A table ready for paper, in a book that has these anchors; *narrow*: in half the measure.

    *seen* counts the rows of each gymnast that the section has already.
    """
    seen = Counter() if seen is None else seen
    flat = is_flat(table, narrow)
    widths = narrow_widths(table) if narrow else _widths(table, flat)
    styles = [
        column.kind + PLACED * any(row.cells[number].place for row in table.rows)
        for number, column in enumerate(table.columns)
    ]
    rows = []
    for row, before in zip(table.rows, (None, *table.rows), strict=False):
        anchor = ""
        if gymnast := gymnast_of(row):
            seen[gymnast] += 1
            anchor = row_target(section, gymnast, seen[gymnast])
        cells = (_cell(*of, anchors) for of in zip(row.cells, table.columns, styles, strict=True))
        said = row.cut or row.reserves
        rows.append(SetRow(_row_style(row, before), anchor, said, tuple(cells)))
    return SetTable(
        table.id,
        table.caption,
        sum(column.kind == "mark" for column in table.columns) >= MANY_MARKS,
        narrow,
        flat,
        "100" if narrow else f"{min(100, sum(widths) * SHARE):.1f}",
        tuple(
            SetColumn(column.short or column.label, style, f"{100 * width / sum(widths):.2f}")
            for column, style, width in zip(table.columns, styles, widths, strict=True)
        ),
        tuple(_blocks(tuple(rows), [row.kind for row in table.rows])),
        table.notes,
        table.legend,
    )


def _widths(table: Table, flat: bool) -> list[float]:
    """The shares of the columns; in a table of single lines, names have what room is left."""
    room = max(0, 100 / SHARE - sum(column.width for column in table.columns)) if flat else 0
    gain = min(NAME_GAINS, room)
    return [column.width + gain * (column.kind == "name") for column in table.columns]


def measures(table: Table, narrow: bool) -> list[float]:
    """The columns in per cent of the measure, or of half of it."""
    if narrow:
        return narrow_widths(table)
    widths = _widths(table, is_flat(table))
    return [width * min(SHARE, 100 / sum(widths)) for width in widths]


def narrow_widths(table: Table) -> list[float]:
    """The columns in half the measure, in per cent of it."""
    taken: dict[int, float] = {}
    names = [
        len(row.cells[number].text)
        for number, column in enumerate(table.columns)
        if column.kind == "name"
        for row in table.rows
    ]
    for number, column in enumerate(table.columns):
        texts = [len(row.cells[number].text) for row in table.rows]
        smaller = FIGURES if column.kind == "number" else SMALLER
        longest = max([smaller * len(column.short or column.label), *texts])
        if column.kind in NARROW and (
            column.kind != "text" or longest <= SHORT < max(names, default=0)
        ):
            letter, beside = NARROW[column.kind]
            taken[number] = letter * longest + beside
        elif column.kind == "mark":
            taken[number] = TWO_LINES
    left = max(LEAST, 100 - sum(taken.values()))
    wide = sum(one.width for number, one in enumerate(table.columns) if number not in taken)
    return [
        taken.get(number, left * column.width / (wide or 1))
        for number, column in enumerate(table.columns)
    ]


def is_flat(table: Table, narrow: bool = False) -> bool:
    """There is room for the club beside the name, and nothing stands below a mark."""
    below = any(
        cell.sub
        for row in table.rows
        for cell, column in zip(row.cells, table.columns, strict=True)
        if column.kind != "name"
    )
    return not below and (narrow or sum(column.width for column in table.columns) * SHARE <= 100)


def _row_style(row: Row, before: Row | None) -> str:
    """The kind of a row, whether it is the first without a place, and which line is below it."""
    first = "unranked" in row.kind and before is not None and "unranked" not in before.kind
    told = {"podium": row.podium, "first": first, row.qualified: row.qualified, "drawn": row.cut}
    told["ended"] = row.reserves and not row.cut
    return " ".join((row.kind, *(name for name, true in told.items() if true)))


def _cell(cell: Cell, column: Column, style: str, anchors: Collection[str]) -> SetCell:
    tag = "th" if column.kind == "name" else "td"
    if PLACED in style and not cell.place:
        style = f"{style} bare"
    anchor = cell.target if cell.target in anchors else ""
    return SetCell(cell.text, cell.sub, cell.place, cell.note, tag, style, anchor, cell.dropped)


def _blocks(rows: tuple[SetRow, ...], kinds: list[str]) -> Iterator[Block]:
    """A block per team; where there are none, the first rows, the last ones, and the others."""
    teams = [number for number, kind in enumerate(kinds) if kind == "team"]
    if teams:
        for start, end in zip(teams, (*teams[1:], len(rows)), strict=True):
            yield Block(rows[start:end], together=True)
    else:
        first, others = rows[:TOGETHER], rows[TOGETHER:]
        yield Block(first, together=True)
        yield Block(others[:-TOGETHER], together=False)
        yield Block(others[-TOGETHER:], together=True)
