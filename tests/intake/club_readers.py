"""What stands in the twelve workbooks, read by outside libraries; nothing of the package is used.

Where each thing stands is written down here cell by cell, as a person would who looks at them.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from club_workbooks import APPARATUS_SHEETS, LEVELS
from odf.opendocument import load
from odf.table import CoveredTableCell, Table, TableCell, TableRow
from openpyxl import load_workbook
from openpyxl.utils import column_index_from_string


class Fact(NamedTuple):
    """A routine as it is published or as it stands in a workbook; marks in thousandths."""

    family: str
    given: str
    club: str
    division: str
    apparatus: str
    d: int | None
    e: int | None
    penalty: int | None
    mark: int | None
    status: str


Cells = dict[tuple[int, int], str]
"""By row and column, from 1, as a spreadsheet numbers them; the empty ones are not in it."""


def cells_of(path: Path, encoding: str = "utf-8-sig") -> dict[str, Cells]:
    """What stands in every sheet, merged cells filled; that of a CSV is called as the file."""
    kinds = {".xlsx": _xlsx, ".ods": _ods}
    if path.suffix in kinds:
        return kinds[path.suffix](path)
    rows = csv.reader(io.StringIO(path.read_bytes().decode(encoding), newline=""), delimiter=";")
    return {path.name: _numbered(rows)}


def _numbered(rows: Iterable[Iterable[object]]) -> Cells:
    return {
        (row, column): text
        for row, cells in enumerate(rows, start=1)
        for column, held in enumerate(cells, start=1)
        if (text := text_of(held))
    }


def _xlsx(path: Path) -> dict[str, Cells]:
    found = {}
    book = load_workbook(path, data_only=True)
    for sheet in book.worksheets:
        cells = _numbered(sheet.values)
        for area in sheet.merged_cells.ranges:
            if top := cells.get((area.min_row, area.min_col)):
                cells |= dict.fromkeys(area.cells, top)
        found[sheet.title] = cells
    return found


def _ods(path: Path) -> dict[str, Cells]:
    found = {}
    for table in load(str(path)).spreadsheet.getElementsByType(Table):
        cells: Cells = {}
        for row, line in enumerate(table.getElementsByType(TableRow), start=1):
            held = [one for one in line.childNodes if one.qname[1].endswith("table-cell")]
            for column, one in enumerate(held, start=1):
                if one.qname == CoveredTableCell().qname:
                    continue
                cells |= dict.fromkeys(_spanned(one, row, column), str(one).strip())
        found[table.getAttribute("name")] = {at: text for at, text in cells.items() if text}
    return found


def _spanned(cell: TableCell, row: int, column: int) -> Iterator[tuple[int, int]]:
    rows = int(cell.getAttribute("numberrowsspanned") or 1)
    columns = int(cell.getAttribute("numbercolumnsspanned") or 1)
    yield from ((row + down, column + along) for down in range(rows) for along in range(columns))


def text_of(held: object) -> str:
    """As it is shown."""
    if isinstance(held, float):
        return format(Decimal(repr(held)).quantize(Decimal("1e-9")).normalize(), "f")
    if isinstance(held, dt.datetime):
        return held.date().isoformat()
    return "" if held is None else str(held).strip()


Split = Callable[[str], tuple[str, str]]
"""Family and given name of a whole name."""


def family_first_by_comma(name: str) -> tuple[str, str]:
    family, given = name.split(", ")
    return family, given


def family_in_capitals(name: str) -> tuple[str, str]:
    words = name.split(" ")
    family = [one for one in words if one.replace("ß", "S").isupper()]
    return " ".join(family), " ".join(one for one in words if one not in family)


@dataclass(frozen=True)
class Area:
    """Where the marks of a sheet stand: rows and, of each thing, the letter of its column."""

    sheet: str
    rows: Iterable[int]
    columns: dict[str, str]
    fixed: dict[str, str] = field(default_factory=dict)
    split: Split = family_first_by_comma
    statuses: dict[str, str] = field(default_factory=dict)


def facts(cells: Cells, area: Area) -> Iterator[Fact]:
    """Every routine of an area."""
    for row in area.rows:
        own = {
            name: cells.get((row, column_index_from_string(letter)), "")
            for name, letter in area.columns.items()
        } | area.fixed
        if "name" in own:
            own["family"], own["given"] = area.split(own["name"])
        who = own["family"], own["given"], own.get("club", ""), own.get("division", "")
        for code in (one for one in own if one.isupper()):
            d, e, penalty = (thousandths(own.get(f"{code} {part}", "")) for part in ("d", "e", "p"))
            held = own[code]
            status = area.statuses.get(held, "")
            if held:
                mark = None if status else thousandths(held)
                yield Fact(*who, code, d, e, penalty, mark, status)


def thousandths(text: str) -> int | None:
    """A mark, exactly; ValueError where it is none."""
    if not text:
        return None
    whole = Decimal(text.replace(",", ".")) * 1000
    if whole != int(whole):
        raise ValueError(text)
    return int(whole)


def read(path: Path, areas: Iterable[Area], encoding: str = "utf-8-sig") -> list[Fact]:
    """Every routine of a file."""
    sheets = cells_of(path, encoding)
    return [one for area in areas for one in facts(sheets[area.sheet], area)]


# The twelve

FOUR = ("VT", "UB", "BB", "FX")


def _named(letters: str, *names: str) -> dict[str, str]:
    return dict(zip(names, letters, strict=True))


def titles_above_and_a_signature_below(folder: Path) -> list[Fact]:
    columns = _named("BCDEFGHI", "given", "family", "club", "division", *FOUR)
    return read(folder / "Autumn Cup results.xlsx", [Area("Sheet1", range(6, 16), columns)])


def a_heading_of_two_rows(folder: Path) -> list[Fact]:
    columns = _named("BCD", "family", "given", "club")
    for code, letters in {
        "FX": "F G H I", "PH": "J K L M", "SR": "N O P Q", "VT": "R S T U", "PB": "V W X Y",
        "HB": "Z AA AB AC",
    }.items():  # fmt: skip
        columns |= dict(
            zip((f"{code} d", f"{code} e", f"{code} p", code), letters.split(), strict=True)
        )
    area = Area("Ergebnisse", range(5, 13), columns)
    return read(folder / "Wettkampf_Männer.xlsx", [area])


def a_sheet_for_each_level(folder: Path) -> list[Fact]:
    columns = _named("ACDEFGH", "club", "family", "given", *FOUR)
    areas = [Area(level, range(4, 9), columns, {"division": level}) for level in LEVELS]
    return read(folder / "club champs.xlsx", areas)


def a_sheet_for_each_apparatus(folder: Path) -> list[Fact]:
    path, areas = folder / "Spring Invitational.xlsx", []
    for code, sheet in zip(FOUR, APPARATUS_SHEETS, strict=True):
        columns = _named("ABCDEF", "name", "club", f"{code} d", f"{code} e", f"{code} p", code)
        areas.append(Area(sheet, range(4, 12 if code == "BB" else 13), columns))
    return read(path, areas)


def a_sheet_for_each_session(folder: Path) -> list[Fact]:
    """Who is hidden by a filter took part; last year's sheet is of another meet."""
    columns = _named("BCDFGHI", "family", "given", "club", *FOUR)
    areas = [Area(sheet, range(3, 9), columns) for sheet in ("Session 1", "Session 2")]
    return read(folder / "regional_2026.xlsx", areas)


def two_tables_side_by_side(folder: Path) -> list[Fact]:
    names = ("family", "given", "club", "VT", "FX")
    areas = [
        Area("Tabelle1", range(5, 12), _named("BCDEF", *names), {"division": "Stufe A"}),
        Area("Tabelle1", range(5, 10), _named("JKLMN", *names), {"division": "Stufe B"}),
    ]
    return read(folder / "Kinderturnen.xlsx", areas)


def rows_of_groups_and_headings_again(folder: Path) -> list[Fact]:
    columns, split = _named("BCDEFG", "name", "club", *FOUR), family_in_capitals
    first, second = (4, 5, 6, 7, 9, 10), range(13, 17)
    areas = [
        Area("Feuil1", first, columns, {"division": "Niveau 1"}, split),
        Area("Feuil1", second, columns, {"division": "Niveau 2"}, split),
    ]
    return read(folder / "résultats.xlsx", areas)


def a_csv_of_an_old_program(folder: Path) -> list[Fact]:
    columns = _named("BCDEFGH", "family", "given", "club", *FOUR)
    area = Area("classement.csv", range(3, 12), columns)
    return read(folder / "classement.csv", [area], "cp1252")


def an_ods_with_dates_of_birth(folder: Path) -> list[Fact]:
    columns = _named("BCDFGHIJ", "family", "given", "club", "division", *FOUR)
    return read(folder / "resultados.ods", [Area("Hoja1", range(5, 13), columns)])


def formulas_errors_and_a_date(folder: Path) -> list[Fact]:
    columns = _named("BCDEFGHI", "family", "given", "club", "VT d", "VT e", "VT p", "VT", "FX")
    return read(folder / "scoring sheet.xlsx", [Area("Scores", range(2, 10), columns)])


def names_in_one_column_and_words_for_no_start(folder: Path) -> list[Fact]:
    columns = {"name": "A", "club": "B", "BB d": "C", "BB e": "H", "BB": "I",
               "FX d": "J", "FX e": "O", "FX": "P"}  # fmt: skip
    words = dict.fromkeys(("-", "x", "krank", "n.a."), "DNS")
    area = Area("Gerätfinale", range(4, 16), columns, {}, family_in_capitals, words)
    return read(folder / "Gaupokal.xlsx", [area])


def a_roster_and_marks_in_three_files(folder: Path) -> list[Fact]:
    """Clubs and age groups stand on the roster; marks are joined to it by bib, or name and club."""
    listed = cells_of(folder / "Anmeldung.xlsx")["Meldeliste"]
    roster = {
        listed[row, 1]: [listed[row, column] for column in range(2, 6)] for row in range(2, 11)
    }
    by_name = {tuple(cells[:3]): cells for cells in roster.values()}
    found = []
    places = (
        ("Sprung und Barren.xlsx", "Werte", 10, {"VT": 4, "UB": 5}),
        ("Boden.ods", "Boden", 9, {"FX": 5}),
        ("Balken.csv", "Balken.csv", 10, {"BB": 4}),
    )
    for file, sheet, last, columns in places:
        cells = cells_of(folder / file)[sheet]
        for row in range(2, last + 1):
            own = [cells[row, column] for column in range(1, 4)]
            entry = by_name[own[1], own[0], own[2]] if file == "Balken.csv" else roster[own[0]]
            found += [
                Fact(*entry, code, None, None, None, thousandths(cells[row, column]), "")
                for code, column in columns.items()
            ]
    return found


# What is published


def published(data: Path) -> list[Fact]:
    """Every routine of the published tables."""
    gymnasts = {one["bib"]: one for one in _table(data / "gymnasts.csv")}
    return [
        Fact(
            one["family_name"], one["given_name"], one["club"], gymnasts[one["bib"]]["division"],
            one["apparatus"], *(thousandths(one[name]) for name in ("d", "e", "penalty", "mark")),
            one["status"],
        )
        for one in _table(data / "routines.csv")
    ]  # fmt: skip


def _table(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as held:
        return list(csv.DictReader(held))


def differences(expected: list[Fact], found: list[Fact]) -> list[str]:
    """What is missing, and what is more or otherwise; a routine that stands twice is more."""
    there, made = Counter(expected), Counter(found)
    return [
        *(f"not published: {one}" for one in sorted((there - made).elements(), key=repr)),
        *(f"published, and not in the workbook: {one}"
          for one in sorted((made - there).elements(), key=repr)),
    ]  # fmt: skip
