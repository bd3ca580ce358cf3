"""Workbooks such as clubs have, drawn at random; every text beside the tables is a word of its own.

What is drawn is a workbook and what each of its filled cells is, so that it can be asked of each
where it went.
"""

from __future__ import annotations

import csv
import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from club_readers import text_of
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
        "apparatus": ["Apparatus"], "sums": ["Sum", "Average"],
        "d": ["D"], "e": ["E"], "mark": ["Final", "Score"],
    },
    "de": {
        "bib": ["Startnr.", "Nr."], "family": ["Nachname", "Name"], "given": ["Vorname"],
        "name": ["Name", "Turnerin"], "club": ["Verein"], "level": ["Altersklasse", "Stufe"],
        "VT": ["Sprung"], "UB": ["Stufenbarren", "Barren"], "BB": ["Balken", "Schwebebalken"],
        "FX": ["Boden"], "total": ["Gesamt", "Summe"], "place": ["Rang", "Platz"],
        "apparatus": ["Gerät"], "sums": ["Summe", "Durchschnitt"],
        "d": ["D"], "e": ["E"], "mark": ["Endwert", "Endnote"],
    },
    "fr": {
        "bib": ["Dossard"], "family": ["Nom"], "given": ["Prénom"], "name": ["Gymnaste"],
        "club": ["Club"], "level": ["Catégorie", "Niveau"], "VT": ["Saut"],
        "UB": ["Barres asymétriques", "Barres"], "BB": ["Poutre"], "FX": ["Sol"],
        "total": ["Total"], "place": ["Rang", "Place"],
        "apparatus": ["Agrès"], "sums": ["Somme", "Moyenne"],
        "d": ["D"], "e": ["E"],
        "mark": ["Note finale", "Note"],
    },
    "es": {
        "bib": ["Dorsal"], "family": ["Apellidos"], "given": ["Nombre"], "name": ["Gimnasta"],
        "club": ["Club"], "level": ["Categoría", "Nivel"], "VT": ["Salto"],
        "UB": ["Asimétricas"], "BB": ["Barra de equilibrio", "Viga"], "FX": ["Suelo"],
        "total": ["Total"], "place": ["Puesto"],
        "apparatus": ["Aparato"], "sums": ["Suma", "Media"],
        "d": ["D"], "e": ["E"], "mark": ["Nota final"],
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
    levels: set[str] = field(default_factory=set)
    """What a line across the table says."""

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
    if shape.entries and made.kind != "csv":
        _entries(made, shape)
    if made.kind != "csv" and draw(st.booleans()):
        sheet = made.book.create_sheet(draw(st.sampled_from(["Notes", "Info"])))
        for row in range(1, draw(st.integers(1, 3)) + 1):
            _token(draw, made, sheet.title, row, draw(st.integers(1, 3)))
    return made


def _entries(made: Drawn, shape: _Shape) -> None:
    """The columns that say who somebody is go from the tables to a sheet of their own."""
    sheet = made.book.create_sheet("Entries", 0)
    for column, name in enumerate(shape.who, start=1):
        sheet.cell(1, column, shape.words[name])
        made.used.add((sheet.title, 1, column))
    for row, texts in enumerate(shape.entered, start=2):
        for column, name in enumerate(shape.who, start=1):
            sheet.cell(row, column, texts[name])


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
        if draw(st.integers(0, 3)) == 0:
            self.who.insert(draw(st.integers(0, len(self.who))), "level")
        self.entries = "bib" in self.who and draw(st.integers(0, 3)) == 0
        """Whether names stand on a sheet of entries, and bibs alone beside the marks."""
        self.apparatus = draw(st.sampled_from([APPARATUS, ("VT", "FX"), ("UB", "BB", "FX")]))
        self.long = draw(st.integers(0, 4)) == 0
        """A row for each routine."""
        self.entered: list[dict[str, object]] = []
        self.two_rows = self.two_rows and not self.long
        if self.long:  # A "note" alone may be a remark.
            self.words["mark"] = words["mark"][0]
        self.beside = [
            name
            for name in ("total", "place", "extra")
            if draw(st.booleans()) and not (self.long and name == "total")
        ]


def _token(draw: st.DrawFn, made: Drawn, sheet: str, row: int, column: int) -> str:
    """A word that stands nowhere else and that no list of words has."""
    number, text = len(made.tokens), ""
    while not text or number:
        text, number = text + SYLLABLES[number % 10], number // 10
    word = f"{text}{draw(st.sampled_from(['ost', 'ande', 'iff']))}q".capitalize()
    made.tokens[sheet, row, column] = word
    made.book[sheet].cell(row, column, word)
    return word


class _Table:
    """One sheet with its table."""

    def __init__(
        self, draw: st.DrawFn, made: Drawn, shape: _Shape, title: str, names: list[Who]
    ) -> None:
        self.draw, self.made, self.shape, self.names = draw, made, shape, names
        self.sheet = made.book.create_sheet(title)
        self.who = ["bib"] if shape.entries and made.kind != "csv" else shape.who
        self.row = 1
        self.begun = len(made.book.worksheets)
        self.heading = self.lower = 0
        """The first row of the heading, and the last."""
        self.extra = ""

    def write(self) -> None:
        """Titles, heading, rows, and what stands between, below and beside."""
        for _ in range(self.draw(st.integers(0, 2))):
            self._token(self.row, self.draw(st.integers(1, 3)))
            self.row += self.draw(st.integers(1, 2))
        between = self.draw(st.sampled_from(["", "", "heading", "group"]))
        if between == "group" and self.sheet.title == "Sheet1":
            self._group("Level 1")
        columns = self._heading()
        first = self.row
        for number, who in enumerate(self.names):
            if number and number == len(self.names) // 2:
                self._between(between, columns)
            self._gymnast(who, columns)
        last = self.row - 1
        if self.shape.clubs_merged and "club" in columns and not (between or self.shape.long):
            letter = get_column_letter(columns["club"])
            for row in range(first + 1, last + 1):
                self.sheet.cell(row, columns["club"]).value = None
            self.sheet.merge_cells(f"{letter}{first}:{letter}{last}")
        if self.draw(st.booleans()):
            row = self.draw(st.integers(first, last))
            self._token(row, max(columns.values()) + 2)
        if self.draw(st.integers(0, 3)) == 0:
            self.sheet.row_dimensions[self.draw(st.integers(first, last))].hidden = True
        if self.draw(st.booleans()):
            self._sums(columns)
        if self.draw(st.booleans()):
            self.row += 1
            self._token(self.row, self.draw(st.integers(1, 2)))

    def _token(self, row: int, column: int) -> str:
        return _token(self.draw, self.made, self.sheet.title, row, column)

    def _between(self, what: str, columns: dict[str, int]) -> None:
        """The heading again, or a line that says of which level those below are."""
        if what == "group" and self.sheet.title == "Sheet1":
            self._group("Level 2")
        elif what == "heading":
            heading = range(self.heading, self.lower + 1)
            for row in heading:
                for column in columns.values():
                    if text := self.sheet.cell(row, column).value:
                        at = self.sheet.title, self.row, column
                        self.sheet.cell(self.row, column, text)
                        self.made.used.add(at)
                self.row += 1

    def _group(self, level: str) -> None:
        self.sheet.cell(self.row, 1, level)
        self.made.levels.add(level)
        self.row += 1

    def _sums(self, columns: dict[str, int]) -> None:
        """A row that adds up, or something like it; nobody's marks."""
        self.sheet.cell(self.row, 1, self.shape.words["sums"])
        for name, column in columns.items():
            if name.endswith(" mark") and column > 1:
                held = self.draw(st.integers(100_000, 200_000)) / 1000
                self.sheet.cell(self.row, column, held)
                self.made.tokens[self.sheet.title, self.row, column] = text_of(held)
        self.row += 1

    def _put(self, column: int, text: object) -> None:
        self.sheet.cell(self.row, column, text)
        self.made.used.add((self.sheet.title, self.row, column))

    def _heading(self) -> dict[str, int]:
        """The columns by what they are, with their headings in one row or two."""
        shape, columns = self.shape, dict[str, int]()
        self.heading = self.row
        self.lower = lower = self.row + shape.two_rows
        for name in self.who:
            columns[name] = len(columns) + 1
            self.row = lower if not shape.merged else lower - shape.two_rows
            self._put(columns[name], shape.words[name])
            if shape.merged and shape.two_rows:
                letter = get_column_letter(columns[name])
                self.sheet.merge_cells(f"{letter}{lower - 1}:{letter}{lower}")
        for name in ("apparatus", "d", "e", "mark") if shape.long else ():
            columns[name if name == "apparatus" else f" {name}"] = len(columns) + 1
            self._put(len(columns), shape.words[name])
        for code in () if shape.long else shape.apparatus:
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
        for name in shape.beside:
            columns[name] = len(columns) + 1
            self.row = lower - shape.two_rows  # Else it would be a part of an apparatus.
            if name != "extra":
                self._put(columns[name], shape.words[name])
                continue
            self.extra = self._token(self.row, columns[name])
            self.made.headings.add((self.sheet.title, self.row, columns[name]))
        self.row = lower + 1
        return columns

    def _gymnast(self, who: Who, columns: dict[str, int]) -> None:
        shape, draw = self.shape, self.draw
        level = f"Level {draw(st.integers(1, 2))}"
        texts = {
            "level": self.sheet.title if "Level" in self.sheet.title else level,
            "bib": 100 * self.begun + self.row, "family": who.family, "given": who.given,
            "club": draw(st.sampled_from(CLUBS)),
            "name": shape.name_form.format(
                family=who.family, given=who.given, capitals=who.family.upper()
            ),
        }  # fmt: skip
        shape.entered.append(texts)
        total = 0
        for number, code in enumerate(shape.apparatus):
            if number == 0 or shape.long:
                for name in self.who:
                    self.sheet.cell(self.row, columns[name], texts[name])
            if shape.long:
                self.sheet.cell(self.row, columns["apparatus"], shape.words[code])
                self.made.used.add((self.sheet.title, self.row, columns["apparatus"]))
            total += self._routine(who, code, columns)
            if shape.long or number == len(shape.apparatus) - 1:
                self._beside(columns, total)
                self.row += 1

    def _beside(self, columns: dict[str, int], total: int) -> None:
        """What stands after the marks."""
        if "total" in columns:
            self._put(columns["total"], total / 1000)
        if "place" in columns:
            self._put(columns["place"], 1)
        if "extra" in columns and self.draw(st.booleans()):
            self._token(self.row, columns["extra"])
            self.made.headed[self.sheet.title, self.row, columns["extra"]] = self.extra

    def _routine(self, who: Who, code: str, columns: dict[str, int]) -> int:
        """What stands in the cells of one apparatus; the mark."""
        draw, at, shape = self.draw, (self.sheet.title, self.row), self.shape
        head = "" if shape.long else code
        place = columns[f"{head} mark"]
        chance = draw(st.integers(0, 19))
        if chance < 2 or (chance < 4 and not shape.status):
            return 0
        if chance < 4:
            self.sheet.cell(self.row, place, shape.status)
            self.made.marks[*at, place] = (who, code, "DNS")
            return 0
        if chance == 4:
            wrong = draw(st.sampled_from(["#N/A", "2026-05-09", "9..5"]))
            held = dt.date.fromisoformat(wrong) if wrong[:2] == "20" else wrong
            self.sheet.cell(self.row, place, held)
            self.made.tokens[*at, place] = wrong
            return 0
        d, e = draw(st.integers(10, 60)) * 100, draw(st.integers(5000, 9900))
        for part, mark in (("d", d), ("e", e)):
            if column := columns.get(f"{head} {part}"):
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
