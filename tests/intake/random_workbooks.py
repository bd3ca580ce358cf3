"""Workbooks such as clubs have, drawn at random; every text beside the tables is a word of its own.

What is drawn is a workbook and what each of its filled cells is, so that it can be asked of each
where it went.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from club_workbooks import GIRLS, Who, people, write_ods
from hypothesis import strategies as st
from openpyxl import Workbook
from openpyxl.cell.cell import Cell
from openpyxl.utils import get_column_letter

HEADINGS = {
    "en": {
        "bib": ["Bib", "No."], "family": ["Surname", "Last name"], "given": ["First name"],
        "name": ["Name", "Gymnast"], "club": ["Club"], "level": ["Level", "Category"],
        "VT": ["Vault", "VT"], "UB": ["Uneven Bars", "Bars"], "BB": ["Beam", "Balance Beam"],
        "FX": ["Floor", "Floor Exercise"], "total": ["Total", "AA"], "place": ["Place", "Rank"],
        "d": ["D"], "e": ["E"], "mark": ["Final", "Score"],
    },
    "de": {
        "bib": ["Startnr.", "Nr."], "family": ["Nachname", "Name"], "given": ["Vorname"],
        "name": ["Name", "Turnerin"], "club": ["Verein"], "level": ["Altersklasse", "Stufe"],
        "VT": ["Sprung"], "UB": ["Stufenbarren", "Barren"], "BB": ["Balken", "Schwebebalken"],
        "FX": ["Boden"], "total": ["Gesamt", "Summe"], "place": ["Rang", "Platz"],
        "d": ["D"], "e": ["E"], "mark": ["Endwert", "Endnote"],
    },
    "fr": {
        "bib": ["Dossard"], "family": ["Nom"], "given": ["Prénom"], "name": ["Gymnaste"],
        "club": ["Club"], "level": ["Catégorie", "Niveau"], "VT": ["Saut"],
        "UB": ["Barres asymétriques", "Barres"], "BB": ["Poutre"], "FX": ["Sol"],
        "total": ["Total"], "place": ["Rang", "Place"], "d": ["D"], "e": ["E"],
        "mark": ["Note finale", "Note"],
    },
    "es": {
        "bib": ["Dorsal"], "family": ["Apellidos"], "given": ["Nombre"], "name": ["Gimnasta"],
        "club": ["Club"], "level": ["Categoría", "Nivel"], "VT": ["Salto"],
        "UB": ["Asimétricas"], "BB": ["Barra de equilibrio", "Viga"], "FX": ["Suelo"],
        "total": ["Total"], "place": ["Puesto"], "d": ["D"], "e": ["E"], "mark": ["Nota final"],
    },
}  # fmt: skip
APPARATUS = ("VT", "UB", "BB", "FX")
CLUBS = ("Northmoor", "Quellheim", "Saltwick")
SYLLABLES = ("bra", "ku", "mel", "dor", "fip", "lun", "ges", "tov", "wim", "zar")


Place = tuple[str, int, int]
"""A cell: its sheet, row and column, from 1."""


@dataclass
class Drawn:
    """A workbook, and what stands where."""

    kind: str
    """The ending of the file."""
    book: Workbook = field(default_factory=Workbook)
    separator: str = ";"
    marks: dict[Place, tuple[Who, str, int | str]] = field(default_factory=dict)
    """Whose mark it is, on which apparatus: thousandths, or the status that is meant."""
    parts: dict[Place, tuple[Who, str, str, int]] = field(default_factory=dict)
    """D and E scores likewise."""
    used: set[Place] = field(default_factory=set)
    """Headings of columns that are read, totals and places, which are compared."""
    tokens: dict[Place, str] = field(default_factory=dict)
    """Words that stand outside of the tables, or in a column that is not ours."""
    headed: dict[Place, str] = field(default_factory=dict)
    """Of those in such a column, the heading."""
    headings: set[Place] = field(default_factory=set)
    """Of such columns."""

    def cells(self) -> Iterator[tuple[str, Cell]]:
        """Every filled cell."""
        for sheet in self.book.worksheets:
            for row in sheet.iter_rows():
                yield from ((sheet.title, cell) for cell in row if cell.value is not None)


@st.composite
def drawn_workbooks(draw: st.DrawFn) -> Drawn:
    """One to three sheets with a table of gymnasts each, and sometimes one of remarks."""
    made = Drawn(draw(st.sampled_from(["xlsx", "xlsx", "ods", "csv"])))
    made.book.remove(made.book.active)
    shape = _Shape(draw)
    names = draw(st.permutations(people(GIRLS)))
    several = [("Sheet1",), ("Level 2",), ("Level 2", "Level 3"), ("Level 1", "Level 2", "Level 3")]
    sheets = draw(st.sampled_from(several if made.kind != "csv" else several[:1]))
    for number, title in enumerate(sheets):
        rows = draw(st.integers(2, 5))
        _Table(draw, made, shape, title, names[5 * number : 5 * number + rows]).write()
    if made.kind != "csv" and draw(st.booleans()):
        sheet = made.book.create_sheet(draw(st.sampled_from(["Notes", "Info"])))
        for row in range(1, draw(st.integers(1, 3)) + 1):
            _token(draw, made, sheet.title, row, draw(st.integers(1, 3)))
    return made


class _Shape:
    """How the tables of one workbook are made; all its sheets are made alike."""

    def __init__(self, draw: st.DrawFn) -> None:
        words = HEADINGS[draw(st.sampled_from(sorted(HEADINGS)))]
        self.words = {name: draw(st.sampled_from(texts)) for name, texts in words.items()}
        self.two_rows = draw(st.booleans())
        self.merged = draw(st.booleans())
        self.clubs_merged = draw(st.booleans())
        self.comma = draw(st.booleans())
        self.status = draw(st.sampled_from(["", "DNS", "-", "x"]))
        named = draw(st.sampled_from([("name",), ("family", "given"), ("given", "family")]))
        self.name_form = draw(st.sampled_from(["{family}, {given}", "{given} {capitals}"]))
        first = [("bib",)] if draw(st.booleans()) else []
        who = draw(st.permutations([*first, named, *draw(st.sampled_from([[("club",)], []]))]))
        self.who = [name for part in who for name in part]
        self.apparatus = draw(st.sampled_from([APPARATUS, ("VT", "FX"), ("UB", "BB", "FX")]))
        self.total = draw(st.booleans())
        self.place = draw(st.booleans())
        self.extra = draw(st.booleans())


def _token(draw: st.DrawFn, made: Drawn, sheet: str, row: int, column: int) -> None:
    """A word that stands nowhere else and that no list of words has."""
    number, text = len(made.tokens), ""
    while not text or number:
        text, number = text + SYLLABLES[number % 10], number // 10
    word = f"{text}{draw(st.sampled_from(['ost', 'ande', 'iff']))}q"
    made.tokens[sheet, row, column] = word.capitalize()
    made.book[sheet].cell(row, column, made.tokens[sheet, row, column])


class _Table:
    """One sheet with its table."""

    def __init__(
        self, draw: st.DrawFn, made: Drawn, shape: _Shape, title: str, names: list[Who]
    ) -> None:
        self.draw, self.made, self.shape, self.names = draw, made, shape, names
        self.sheet = made.book.create_sheet(title)
        self.row = 1
        self.begun = len(made.book.worksheets)
        self.extra = ""

    def write(self) -> None:
        """Titles, heading, rows, and what stands below and beside."""
        for _ in range(self.draw(st.integers(0, 2))):
            _token(self.draw, self.made, self.sheet.title, self.row, self.draw(st.integers(1, 3)))
            self.row += self.draw(st.integers(1, 2))
        columns = self._heading()
        first = self.row
        for who in self.names:
            self._gymnast(who, columns)
            self.row += 1
        if "club" in columns and self.shape.clubs_merged:
            letter = get_column_letter(columns["club"])
            for row in range(first + 1, self.row):
                self.sheet.cell(row, columns["club"]).value = None
            self.sheet.merge_cells(f"{letter}{first}:{letter}{self.row - 1}")
        if self.draw(st.booleans()):
            row = self.draw(st.integers(first, self.row - 1))
            _token(self.draw, self.made, self.sheet.title, row, max(columns.values()) + 2)
        if self.draw(st.booleans()):
            self.row += 1
            column = self.draw(st.integers(1, 2))
            _token(self.draw, self.made, self.sheet.title, self.row, column)

    def _put(self, column: int, text: object, *, used: bool = True) -> None:
        self.sheet.cell(self.row, column, text)
        if used:
            self.made.used.add((self.sheet.title, self.row, column))

    def _heading(self) -> dict[str, int]:
        """The columns by what they are, with their headings in one row or two."""
        shape, columns = self.shape, dict[str, int]()
        lower = self.row + shape.two_rows
        for name in shape.who:
            columns[name] = len(columns) + 1
            self.row = lower if not shape.merged else lower - shape.two_rows
            self._put(columns[name], shape.words[name])
            if shape.merged and shape.two_rows:
                letter = get_column_letter(columns[name])
                self.sheet.merge_cells(f"{letter}{lower - 1}:{letter}{lower}")
        for code in shape.apparatus:
            parts = ("d", "e", "mark") if shape.two_rows else ("mark",)
            left = len(columns) + 1
            self.row = lower - shape.two_rows
            self._put(left, shape.words[code])
            for column, part in enumerate(parts, start=left):
                columns[f"{code} {part}"] = column
                if shape.two_rows:
                    self.row = lower
                    self._put(column, shape.words[part])
            if shape.two_rows and shape.merged:
                self.sheet.merge_cells(
                    f"{get_column_letter(left)}{lower - 1}:{get_column_letter(left + 2)}{lower - 1}"
                )
        self.row = lower - (shape.two_rows and shape.merged)
        for name in ("total", "place"):
            if getattr(shape, name):
                columns[name] = len(columns) + 1
                self.row = lower - shape.two_rows  # Else it would be a part of an apparatus.
                self._put(columns[name], shape.words[name])
        if shape.extra:
            columns["extra"] = len(columns) + 1
            self.row = lower - shape.two_rows
            at = self.sheet.title, self.row, columns["extra"]
            _token(self.draw, self.made, *at)
            self.extra = self.made.tokens[at]
            self.made.headings.add(at)
        self.row = lower + 1
        return columns

    def _gymnast(self, who: Who, columns: dict[str, int]) -> None:
        shape, draw = self.shape, self.draw
        texts = {
            "bib": 100 * self.begun + self.row, "family": who.family, "given": who.given,
            "club": draw(st.sampled_from(CLUBS)),
            "name": shape.name_form.format(
                family=who.family, given=who.given, capitals=who.family.upper()
            ),
        }  # fmt: skip
        for name in shape.who:
            self.sheet.cell(self.row, columns[name], texts[name])
        total = sum(self._routine(who, code, columns) for code in shape.apparatus)
        if "total" in columns:
            self._put(columns["total"], total / 1000)
        if "place" in columns:
            self._put(columns["place"], 1)
        if "extra" in columns and draw(st.booleans()):
            at = self.sheet.title, self.row, columns["extra"]
            _token(draw, self.made, *at)
            self.made.headed[at] = self.extra

    def _routine(self, who: Who, code: str, columns: dict[str, int]) -> int:
        """What stands in the cells of one apparatus; the mark."""
        draw, at, shape = self.draw, (self.sheet.title, self.row), self.shape
        place = columns[f"{code} mark"]
        chance = draw(st.integers(0, 9))
        if chance == 0 or (chance == 1 and not shape.status):
            return 0
        if chance == 1:
            self.sheet.cell(self.row, place, shape.status)
            self.made.marks[*at, place] = (who, code, "DNS")
            return 0
        d, e = draw(st.integers(10, 60)) * 100, draw(st.integers(5000, 9900))
        if f"{code} d" in columns:
            for part, mark in (("d", d), ("e", e)):
                column = columns[f"{code} {part}"]
                self.sheet.cell(self.row, column, self._shown(mark))
                self.made.parts[*at, column] = (who, code, part, mark)
        self.sheet.cell(self.row, place, self._shown(d + e))
        self.made.marks[*at, place] = (who, code, d + e)
        return d + e

    def _shown(self, mark: int) -> float | str:
        return f"{mark // 1000},{mark % 1000:03}" if self.shape.comma else mark / 1000


def written(folder: Path, drawn: Drawn) -> Path:
    """The file, of the kind that was drawn; a CSV has what the first sheet has."""
    path = folder / f"workbook.{drawn.kind}"
    sheets = {one.title: [list(row) for row in one.values] for one in drawn.book.worksheets}
    if drawn.kind == "xlsx":
        drawn.book.save(path)
    elif drawn.kind == "ods":
        spans = {
            one.title: {
                (area.min_row - 1, area.min_col - 1): (area.size["rows"], area.size["columns"])
                for area in one.merged_cells.ranges
            }
            for one in drawn.book.worksheets
        }
        write_ods(path, sheets, spans)
    else:
        with path.open("w", encoding="utf-8", newline="") as file:
            csv.writer(file, delimiter=drawn.separator).writerows(next(iter(sheets.values())))
    return path
