"""What of the sheets is not read: every filled cell is in a table that is, or in this list."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from resultsgen.intake.columns import Understood
from resultsgen.intake.meanings import rest_of, said_by
from resultsgen.intake.sheets import NamedSheet

SHOWN, PIECES = 200, 40
"""So many signs of a piece are shown, and so many pieces of a sheet for one reason."""

Cell = tuple[int, int]
"""Row and column."""


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
    sheets: Sequence[NamedSheet], tables: list[Understood], used: Collection[tuple[int, int, int]]
) -> list[LeftAlone]:
    """What of each sheet is not read: a column, or what stands in a row, at a time."""
    found: list[LeftAlone] = []
    for number, sheet in enumerate(sheets):
        why = _why(sheet, [one for one in tables if one.sheet is sheet])
        pieces: dict[tuple[str, int], list[Cell]] = {}
        for (row, at), piece in why.items():
            if piece[0] and (number, row, at) not in used:
                pieces.setdefault(piece, []).append((row, at))
        often = Counter(because for because, _ in pieces)
        for because in [one for one in often if often[one] > PIECES]:
            many = [cell for piece in pieces if piece[0] == because for cell in pieces[piece]]
            pieces = {one: held for one, held in pieces.items() if one[0] != because}
            pieces[because, 0] = many
        for (because, _), held in sorted(pieces.items(), key=lambda one: one[1]):
            text = " | ".join(sheet.text(*one) for one in held)
            if len(text) > SHOWN:
                text = f"{text[:SHOWN]}... ({len(held)} cells)"
            cells = sheet.cells([row for row, _ in held], [at for _, at in held])
            name = "" if sheet.alone else sheet.sheet.name
            found.append(LeftAlone(sheet.file, name, cells, text, because))
    return found


def _why(sheet: NamedSheet, tables: list[Understood]) -> dict[Cell, tuple[str, int]]:
    """For each filled cell why it is not read, empty where it is, and the piece that it is of."""
    none = "the sheet is hidden" if sheet.sheet.hidden else "no table of gymnasts was found on it"
    first = min((one.table.heading.rows[0] for one in tables), default=0)
    why: dict[Cell, tuple[str, int]] = {}
    for row in range(len(sheet.rows)):
        beyond = "above the table" if row < first else "beside or below the table"
        piece = (beyond, row) if tables else (none, 0)
        why |= dict.fromkeys(((row, at) for at in sheet.texts(row)), piece)
    for one in tables:
        of_rows = {row: "" for row in (*one.table.heading.rows, *one.table.rows)}
        for row, because in (of_rows | one.table.between).items():
            for at in sheet.texts(row).keys() & {*one.table.columns}:
                left = one.left.get(at, "" if at in one.columns else "there is no heading above")
                why[row, at] = (because, row) if because else (left, -1 - at)
        for row in one.table.groups:
            why |= dict.fromkeys(((row, at) for at in sheet.texts(row)), ("", 0))
        why |= dict.fromkeys(one.guests.items(), ("", 0))
        above = (at for at in why if at[0] < one.table.heading.rows[0])
        why |= dict.fromkeys((at for at in above if _is_said(one, sheet.text(*at))), ("", 0))
    return why


def _is_said(one: Understood, text: str) -> bool:
    """Whether a line above a table says what holds of its rows, and nothing else."""
    said = said_by(text)
    return bool(said) and said.items() <= one.table.caption.items() and not rest_of(text)
