"""What of the sheets is not read: every filled cell is in a table that is, or in this list."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from resultsgen.intake.columns import Understood
from resultsgen.intake.sheets import NamedSheet

SHOWN = 200
"""Signs of the text of what is left alone that are shown."""

Why = dict[tuple[int, int], str]
"""By row and column; the empty text where a cell is read."""


Pieces = dict[tuple[str, int], list[tuple[int, int]]]


@dataclass(frozen=True)
class LeftAlone:
    """Cells that are not read: where they are, what stands there and why."""

    file: str
    sheet: str
    cells: str
    text: str
    why: str

    def __str__(self) -> str:
        where = f"{self.file}#{self.sheet}" if self.sheet else self.file
        return f"{where} {self.cells}: {self.text}: {self.why}"


def left_alone(
    sheets: Sequence[NamedSheet],
    tables: list[Understood],
    used: dict[tuple[int, int, int], str],
) -> list[LeftAlone]:
    """What of each sheet is not read, in its order."""
    found: list[LeftAlone] = []
    for number, sheet in enumerate(sheets):
        here = [one for one in tables if one.sheet is sheet]
        cells = {(row, at): "" for row in range(len(sheet.rows)) for at in sheet.texts(row)}
        if not cells:
            continue
        if not here:
            found.append(_whole(sheet, cells))
            continue
        why = _why(sheet, here, cells)
        why |= {(row, at): "" for sheet_of, row, at in used if sheet_of == number}
        found += _pieces(sheet, why)
    return found


def _whole(sheet: NamedSheet, cells: Why) -> LeftAlone:
    why = "the sheet is hidden" if sheet.sheet.hidden else "no table of gymnasts was found on it"
    return _told(sheet, list(cells), why)


def _why(sheet: NamedSheet, tables: list[Understood], cells: Why) -> Why:
    """For each cell of a sheet with tables why it is not read."""
    first = min(one.table.heading.rows[0] for one in tables)
    why = {at: "above the table" if at[0] < first else "beside or below the table" for at in cells}
    for one in tables:
        table = one.table
        for row in (*table.heading.rows, *table.rows):
            for at in table.columns:
                if (row, at) in why:
                    why[row, at] = (
                        "" if at in one.columns else one.left.get(at, "without a heading")
                    )
        why |= dict.fromkeys(((row, at) for row, at in one.guests.items()), "")
        for row, because in table.between.items():
            why |= {(row, at): because for at in table.columns if (row, at) in why}
        for row in table.groups:
            why |= {(row, at): "" for at in sheet.texts(row)}
    return {at: why[at] for at in cells}


def _pieces(sheet: NamedSheet, why: Why) -> Iterator[LeftAlone]:
    """Columns that are left alone whole, and of the rest a piece for each row and reason."""
    groups: Pieces = {}
    by_column: Pieces = {}
    for (row, at), because in why.items():
        if because:
            by_column.setdefault((because, at), []).append((row, at))
    for (because, at), held in by_column.items():
        rows = {row for row, _ in held}
        if len(rows) > 1 and not because.startswith(
            ("above", "beside", "adds", "the heading again", "a line")
        ):
            groups[because, -1 - at] = held
            continue
        for cell in held:
            groups.setdefault((because, cell[0]), []).append(cell)
    for (because, _), held in sorted(groups.items(), key=lambda one: min(one[1])):
        yield _told(sheet, sorted(held), because)


def _told(sheet: NamedSheet, held: list[tuple[int, int]], why: str) -> LeftAlone:
    texts = [sheet.text(*one) for one in held]
    text = " | ".join(texts)
    if len(text) > SHOWN:
        text = f"{text[:SHOWN]}... ({len(held)} cells)"
    cells = sheet.cells([row for row, _ in held], [at for _, at in held])
    return LeftAlone(sheet.file, "" if sheet.alone else sheet.sheet.name, cells, text, why)
