"""Twelve workbooks as clubs have them, each made with an outside library; all names are invented.

Each function writes the files of one meet into a folder. Where a workbook holds cells that have to
be mended, `mended=True` writes it as somebody would save it who has mended them.
"""

from __future__ import annotations

import datetime as dt
import random
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

import xlsxwriter
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import CoveredTableCell, Table, TableCell, TableRow
from odf.text import P
from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

GIRLS = (
    "Vale Ada,Torr Bea,Quill Cora,Marsh Dina,Penhallow Edie,Rusk Fern,Oakham Gwen,Lark Hetty,"
    "Sedge Isla,Wren Juno,Fallow Kit,Thorne Lula,Birch Mina,Cope Nell,Dunmore Orla,Ferris Pia"
)
MAEDCHEN = (
    "Ährenfeld Anna,Brückner Britta,Döring Carla,Eßlinger Dora,Grünwald Ella,Hölzl Frieda,"
    "Jäger Greta,Köhler Hanna,Löwe Ida,Müllner Jule,Nöth Klara,Schönau Lena"
)
KNABEN = (
    "Adlerstein Bruno,von Bühl Carl,Dreßler Emil,Falk Finn,Gräf Gustav,Hübner Jan,Kranz Luis,"
    "Möhring Max"
)
FILLES = (
    "Valmont Ada,Bréhier Zoé,Cœuret Inès,Desgrées Élise,Léveillé Maëlle,Noël-Perrin Chloé,"
    "Garçon Noémie,Hérault Anaïs,Joncières Léa,Maître Océane"
)
NINAS = (
    "Vallejo Peña Ana,Bríones Begoña,Cañada Lucía,Durán Inés,Echeñique Sofía,Fuentes Noa,"
    "Ibáñez Marta,Güell Nieves"
)


class Who(NamedTuple):
    """Family name and given name."""

    family: str
    given: str


def people(names: str) -> list[Who]:
    """The given name is the last word."""
    return [Who(*one.rsplit(" ", 1)) for one in names.split(",")]


class Routine(NamedTuple):
    """What the jury gave, in thousandths."""

    d: int
    e: int
    penalty: int

    @property
    def mark(self) -> int:
        return self.d + self.e - self.penalty


def routines(seed: int, rows: int, columns: int) -> list[list[Routine]]:
    """A routine for each gymnast on each apparatus; no two of all totals are equal."""
    dice = random.Random(seed)
    seen: set[int] = set()
    made: list[list[Routine]] = []
    while len(made) < rows:
        row = [
            Routine(
                dice.randrange(20, 45) * 100,
                dice.randrange(650, 950, 5) * 10,
                dice.choice([0, 0, 0, 100, 300]),
            )
            for _ in range(columns)
        ]
        marks = [one.mark for one in row]
        if sum(marks) not in seen and not seen & set(marks):
            seen |= {sum(marks), *marks}
            made.append(row)
    return made


def places(totals: Sequence[int]) -> list[int]:
    """By the total, the highest first."""
    return [1 + sum(other > one for other in totals) for one in totals]


class Line(NamedTuple):
    """The marks of a gymnast, their sum, and her place by it."""

    routines: list[Routine]
    total: int
    place: int

    @property
    def cells(self) -> list[float]:
        """The marks, the sum and the place, as numbers."""
        return [*(number(one.mark) for one in self.routines), number(self.total), self.place]


def lines_of(given: list[list[Routine]]) -> list[Line]:
    """Who has which total and place."""
    totals = [sum(one.mark for one in row) for row in given]
    return [Line(*one) for one in zip(given, totals, places(totals), strict=True)]


def number(mark: int) -> float:
    """As a spreadsheet holds it."""
    return float(f"{mark // 1000}.{mark % 1000:03}")


def comma(mark: int, digits: int = 3) -> str:
    """As it is written in most of Europe."""
    return f"{mark // 1000},{mark % 1000:03}"[: digits - 3 or None]


def _sheets(book: Workbook, *names: str) -> Iterator[Worksheet]:
    book.remove(book.active)
    yield from map(book.create_sheet, names)


def titles_above_and_a_signature_below(folder: Path) -> list[Path]:
    """Title, date and blank rows above; a row of sums and the judge's signature below."""
    path = folder / "Autumn Cup results.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("Sheet1")
        bold = book.add_format({"bold": True})
        sheet.merge_range("A1:K1", "Brackenfell Autumn Cup", bold)
        sheet.write("A2", "Date:")
        sheet.write_datetime("B2", dt.datetime(2026, 11, 14), book.add_format({"num_format": 14}))
        sheet.write("K2", "printed by Hall B")
        sheet.write_row(
            "A5", ["No.", "First name", "Last name", "Club", "Level", "Vault", "Bars", "Beam",
                   "Floor", "Total", "Place"], bold,
        )  # fmt: skip
        given = routines(1, 10, 4)
        rows = zip(people(GIRLS), lines_of(given), strict=False)
        for row, (who, (parts, total, place)) in enumerate(rows, start=5):
            club = ("Brackenfell GC", "Quellheim")[row % 2]
            sheet.write_row(row, 0, [90 + row, who.given, who.family, club, "Level 4"])
            sheet.write_row(row, 5, [number(one.mark) for one in parts])
            sheet.write_formula(row, 9, f"=SUM(F{row + 1}:I{row + 1})", None, number(total))
            sheet.write(row, 10, place)
        sheet.write("A17", "Total")
        for position, letter in enumerate("FGHI"):
            held = sum(row[position].mark for row in given)
            sheet.write_formula(f"{letter}17", f"=SUM({letter}6:{letter}15)", None, number(held))
        sheet.write("A20", "Head judge's signature: ____________________")
    return [path]


APPARATE = ("Boden", "Pauschenpferd", "Ringe", "Sprung", "Barren", "Reck")


def a_heading_of_two_rows(folder: Path) -> list[Path]:
    """Men, in German: each apparatus merged over D, E, deduction and final mark."""
    path = folder / "Wettkampf_Männer.xlsx"
    book = Workbook()
    (sheet,) = _sheets(book, "Ergebnisse")
    sheet.append(["Herbstpokal der Männer"])
    sheet.append([])
    sheet.append(["Startnr.", "Name", "Vorname", "Verein", "Jahrgang"])
    sheet.append([None] * 5 + ["D", "E", "Abzug", "Endwert"] * 6)
    for position, name in enumerate((*APPARATE, "Gesamt", "Rang")):
        column = 6 + 4 * min(position, 6) + max(position - 6, 0)
        sheet.cell(3, column, name)
        if position < 6:
            sheet.merge_cells(start_row=3, end_row=3, start_column=column, end_column=column + 3)
        else:
            sheet.merge_cells(start_row=3, end_row=4, start_column=column, end_column=column)
    for column in range(1, 6):
        sheet.merge_cells(start_row=3, end_row=4, start_column=column, end_column=column)
    given = routines(2, 8, 6)
    rows = zip(people(KNABEN), lines_of(given), strict=True)
    for row, (who, (parts, total, place)) in enumerate(rows):
        club = ("TV Grünau", "KTV Ebersfeld", "TSV Lohe")[row % 3]
        cells = [f"{11 + row:03}", who.family, who.given, club, 2006 + row % 4]
        for one in parts:
            cells += map(number, (one.d, one.e))
            cells += [number(one.penalty) if one.penalty else None, number(one.mark)]
        sheet.append([*cells, number(total), place])
    sheet.append([])
    sheet.append(["Kampfrichter: A. Beispielmann, B. Musterfrau"])
    book.save(path)
    return [path]


LEVELS = ("Level 3", "Level 4", "Level 5")


def a_sheet_for_each_level(folder: Path) -> list[Path]:
    """The club stands once for all its gymnasts, merged down; a sheet is empty."""
    path = folder / "club champs.xlsx"
    book = Workbook()
    girls = people(GIRLS)
    for level, sheet in enumerate(_sheets(book, *LEVELS, "Sheet4")):
        if level == 3:
            continue
        sheet["A1"] = f"{LEVELS[level]} - club championships"
        heading = ["Club", "Bib", "Surname", "First name", "VT", "UB", "BB", "FX", "AA", "Rank"]
        for column, text in enumerate(heading, start=1):
            sheet.cell(3, column, text)
        for row, line in enumerate(lines_of(routines(30 + level, 5, 4))):
            who = girls[level * 5 + row]
            club = {0: "Northmoor", 3: "Saltwick Gym"}.get(row)
            sheet.append([club, 100 * (level + 3) + row, who.family, who.given, *line.cells])
        sheet.merge_cells("A4:A6")
        sheet.merge_cells("A7:A8")
    book.save(path)
    return [path]


APPARATUS_SHEETS = ("Vault", "Uneven Bars", "Balance Beam", "Floor")


def a_sheet_for_each_apparatus(folder: Path) -> list[Path]:
    """No bibs, "Family, Given" in one column, each sheet in the order of its marks."""
    path = folder / "Spring Invitational.xlsx"
    book = Workbook()
    given = routines(4, 9, 4)
    girls = people(GIRLS)
    for position, sheet in enumerate(_sheets(book, *APPARATUS_SHEETS)):
        sheet.append([APPARATUS_SHEETS[position].upper()])
        sheet.append([])
        sheet.append(["Gymnast", "Club", "D", "E", "ND", "Score", "Rank"])
        rows = sorted(range(9), key=lambda row: -given[row][position].mark)
        for rank, row in enumerate(one for one in rows if (one, position) != (5, 2)):
            who, one = girls[row], given[row][position]
            club = ("Tidewell", "Harrow Flat", "St. Orrin's")[row % 3]
            sheet.append([f"{who.family}, {who.given}", club, number(one.d), number(one.e),
                          number(one.penalty) if one.penalty else None, number(one.mark),
                          rank + 1])  # fmt: skip
    book.save(path)
    return [path]


def a_sheet_for_each_session(folder: Path) -> list[Path]:
    """A hidden sheet has last year's marks, and a filter hides two rows."""
    path = folder / "regional_2026.xlsx"
    book = Workbook()
    girls = people(GIRLS)
    heading = ["Bib", "Surname", "First name", "Club", "Squad", "Vault", "Bars", "Beam", "Floor",
               "Total"]  # fmt: skip
    for position, sheet in enumerate(_sheets(book, "Session 1", "Session 2", "2025 old")):
        sheet.append(["Regional round", None, None, f"printed from {sheet.title}"])
        sheet.append(heading)
        for row, line in enumerate(lines_of(routines(50 + position, 6, 4))):
            who = girls[(position % 2) * 6 + row]
            sheet.append([1 + (position % 2) * 6 + row, who.family, who.given,
                          ("Ostmoor", "Weir Valley")[row % 2], "AB"[row // 3],
                          *line.cells[:-1]])  # fmt: skip
    book["2025 old"].sheet_state = "hidden"
    second = book["Session 2"]
    second.auto_filter.ref = "A2:J8"
    for row in (4, 7):
        second.row_dimensions[row].hidden = True
    book.save(path)
    return [path]


def two_tables_side_by_side(folder: Path) -> list[Path]:
    """Two levels beside each other on one sheet, each under its own title."""
    path = folder / "Kinderturnen.xlsx"
    book = Workbook()
    (sheet,) = _sheets(book, "Tabelle1")
    sheet["A1"] = "Kinderturntag Ebersfeld"
    heading = ["Nr.", "Name", "Vorname", "Verein", "Sprung", "Boden", "Summe"]
    girls = people(MAEDCHEN)
    for side, (left, title, rows) in enumerate(((1, "Stufe A", 7), (9, "Stufe B", 5))):
        sheet.cell(3, left, title)
        for column, text in enumerate(heading):
            sheet.cell(4, left + column, text)
        for row, line in enumerate(lines_of(routines(60 + side, rows, 2))):
            who = girls[side * 7 + row]
            club = ("TV Lohe", "SV Ebersfeld")[row % 2]
            cells = [side * 20 + row + 1, who.family, who.given, club, *line.cells[:-1]]
            for column, held in enumerate(cells):
                sheet.cell(5 + row, left + column, held)
    book.save(path)
    return [path]


def rows_of_groups_and_headings_again(folder: Path) -> list[Path]:
    """In French: a row names the level, and the heading is repeated below it and on each page."""
    path = folder / "résultats.xlsx"
    book = Workbook()
    (sheet,) = _sheets(book, "Feuil1")
    heading = ["Dossard", "Nom et prénom", "Club", "Saut", "Barres", "Poutre", "Sol", "Total",
               "Place"]  # fmt: skip
    girls = people(FILLES)
    sheet.append(["Coupe du Lac"])
    start = 0
    for level, rows in (("Niveau 1", 6), ("Niveau 2", 4)):
        sheet.append([level])
        sheet.merge_cells(
            start_row=sheet.max_row, end_row=sheet.max_row, start_column=1, end_column=9
        )
        sheet.append(heading)
        for row, line in enumerate(lines_of(routines(70 + rows, rows, 4))):
            if row == 4:
                sheet.append(heading)
            who = girls[start + row]
            sheet.append([201 + start + row, f"{who.family.upper()} {who.given}",
                          ("Élan du Lac", "Gym Arvoise")[row % 2], *line.cells])  # fmt: skip
        start += rows
    book.save(path)
    return [path]


def a_csv_of_an_old_program(folder: Path) -> list[Path]:
    """cp1252 with semicolons and decimal commas, a title above, in French."""
    path = folder / "classement.csv"
    given = routines(8, 9, 4)
    lines = ["Coupe de Noël – « 12e édition »" + ";" * 9]
    lines += ["Dossard;Nom;Prénom;Club;Saut;Barres asymétriques;Poutre;Sol;Total;Rang"]
    rows = zip(people(FILLES), lines_of(given), strict=False)
    for row, (who, (parts, total, place)) in enumerate(rows):
        club = ("Œil-de-Bœuf Gym", "L’Étoile d’Azay", "Müsli Club Évian")[row % 3]
        marks = [comma(one.mark) for one in parts]
        lines.append(";".join([str(row + 1), *who, club, *marks, comma(total), str(place)]))
    path.write_bytes("\r\n".join([*lines, ""]).encode("cp1252"))
    return [path]


def an_ods_with_dates_of_birth(folder: Path) -> list[Path]:
    """In Spanish, clubs merged down, and dates of birth, of which the year alone is kept."""
    path = folder / "resultados.ods"
    given = routines(9, 8, 4)
    heading = ["Dorsal", "Apellidos", "Nombre", "Club", "Fecha de nacimiento", "Categoría", "Salto",
               "Asimétricas", "Barra", "Suelo", "Total", "Puesto"]  # fmt: skip
    totals = [sum(one.mark for one in row) for row in given]
    placed = [*places(totals[:4]), *places(totals[4:])]
    body: list[list[object]] = []
    for row, (who, parts) in enumerate(zip(people(NINAS), given, strict=True)):
        body.append(
            [31 + row, *who, ("Gimnasia Duero", "C. D. Olmo")[row // 4] if row % 4 == 0 else None,
             dt.date(2012 + row % 3, 4, 17 + row), ("Alevín", "Infantil")[row // 4],
             *(number(one.mark) for one in parts), number(totals[row]), placed[row]]
        )  # fmt: skip
    rows = [["Trofeo de Otoño"], ["Olmeda, 7 de noviembre"], [], heading, *body]
    write_ods(path, {"Hoja1": rows}, {"Hoja1": {(4, 3): (4, 1), (8, 3): (4, 1), (0, 0): (1, 12)}})
    return [path]


def formulas_errors_and_a_date(
    folder: Path, *, mended: bool = False, added_up: bool = False
) -> list[Path]:
    """Marks and totals worked out by formulas; an error, a date for 9.5, a total that is old.

    *mended* has neither error nor date, and with *added_up* that total is worked out again.
    """
    path = folder / "scoring sheet.xlsx"
    given = routines(10, 8, 2)
    given[4][1] = Routine(2000, 7500, 0)
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("Scores")
        sheet.write_row(
            "A1", ["Bib", "Last name", "First name", "Club", "Vault D", "Vault E", "Vault ND",
                   "Vault", "Floor", "Total", "Place"],
        )  # fmt: skip
        rows = zip(people(GIRLS), lines_of(given), strict=False)
        for line, (who, ((vault, floor), total, place)) in enumerate(rows, start=2):
            sheet.write_row(line - 1, 0, [300 + line, who.family, who.given, "Ferncastle"])
            sheet.write_row(line - 1, 4, [number(one) for one in vault])
            sheet.write(line - 1, 8, number(floor.mark))
            values = [number(vault.mark), number(total)]
            if line == 3 and not added_up:
                values[1] = number(total - 500)
            if line == 4 and not mended:
                values = ["#N/A", "#N/A"]
            if line == 6 and not mended:
                may = book.add_format({"num_format": "d.m"})
                sheet.write_datetime(line - 1, 8, dt.datetime(2026, 5, 9), may)
                values[1] = 46151 + number(vault.mark)
            sheet.write_formula(line - 1, 7, f"=E{line}+F{line}-G{line}", None, values[0])
            sheet.write_formula(line - 1, 9, f"=H{line}+I{line}", None, values[1])
            sheet.write_formula(line - 1, 10, f"=RANK(J{line},J$2:J$9)", None, place)
    return [path]


WORDS_FOR_NO_START = {2: "-", 4: "x", 6: "krank", 8: "n.a."}


def names_in_one_column_and_words_for_no_start(folder: Path) -> list[Path]:
    """No bibs, "Given FAMILY", marks as text with commas, the judges' E scores each."""
    path = folder / "Gaupokal.xlsx"
    book = Workbook()
    (sheet,) = _sheets(book, "Gerätfinale")
    sheet.append(["Gaupokal – Balken und Boden"])
    sheet.append([None, None, "Balken", *[None] * 6, "Boden"])
    sheet.append(["Name", "Verein", *["D", "E1", "E2", "E3", "E4", "E", "Endwert"] * 2])
    for row, (who, parts) in enumerate(zip(people(MAEDCHEN), routines(11, 12, 2), strict=True)):
        cells = [f"{who.given} {upper(who.family)}", ("TuS Lindach", "TV Grünau")[row % 2]]
        for position, one in enumerate(parts):
            word = WORDS_FOR_NO_START.get(row + position * 4)
            scores = [comma(one.e + change, 2) for change in (-100, 0, 0, 100)]
            told = [comma(one.d, 1), *scores, comma(one.e), comma(one.d + one.e)]
            cells += [None] * 6 + [word] if word else told
        sheet.append(cells)
    book.save(path)
    return [path]


def upper(name: str) -> str:
    """In capitals; "ß" stays, as people write it."""
    return "ß".join(part.upper() for part in name.split("ß"))


def a_roster_and_marks_in_three_files(folder: Path, *, mended: bool = False) -> list[Path]:
    """Two of one name in two clubs; one row has the bib of somebody in another age group."""
    girls = [*people(MAEDCHEN)[:8], Who("Ährenfeld", "Anna")]
    clubs = ["TV Lohe", "SV Ebersfeld", "TuS Lindach"] * 3
    clubs[8] = "SV Ebersfeld"
    ages = ["U11"] * 5 + ["U13"] * 4
    given = routines(12, 9, 4)
    book = Workbook()
    entries, info = _sheets(book, "Meldeliste", "Info")
    entries.append(["Startnr", "Name", "Vorname", "Verein", "Altersklasse"])
    for row, who in enumerate(girls):
        entries.append([row + 1, *who, clubs[row], ages[row]])
    info.append(["Rückfragen an die Geschäftsstelle"])
    book.save(folder / "Anmeldung.xlsx")
    book = Workbook()
    (sheet,) = _sheets(book, "Werte")
    sheet.append(["Startnr", "Name", "Vorname", "Sprung", "Stufenbarren"])
    for row in (3, 0, 8, 1, 2, 7, 4, 5, 6):
        sheet.append([row + 1, *girls[row], *(number(one.mark) for one in given[row][:2])])
    book.save(folder / "Sprung und Barren.xlsx")
    lines = ["Vorname;Name;Verein;Balken"]
    lines += [f"{girls[row].given};{girls[row].family};{clubs[row]};{comma(given[row][2].mark)}"
              for row in range(9)]  # fmt: skip
    (folder / "Balken.csv").write_text("\n".join([*lines, ""]), encoding="utf-8")
    rows: list[list[object]] = [["Startnr", "Name", "Vorname", "Altersklasse", "Boden"]]
    for row in range(8):  # The last one was not there any more; her bib is on another's row.
        bib = 9 if row == 2 and not mended else row + 1
        rows.append([bib, *girls[row], ages[row], number(given[row][3].mark)])
    write_ods(folder / "Boden.ods", {"Boden": rows})
    names = ("Anmeldung.xlsx", "Sprung und Barren.xlsx", "Balken.csv", "Boden.ods")
    return [folder / name for name in names]


Spans = dict[tuple[int, int], tuple[int, int]]
"""Of cells that were merged, by row and column from 0: how many rows and columns."""


def write_ods(
    path: Path, sheets: dict[str, list[list[object]]], spans: dict[str, Spans] | None = None
) -> None:
    """An OpenDocument spreadsheet."""
    made = OpenDocumentSpreadsheet()
    for name, rows in sheets.items():
        table = Table(name=name)
        merged = (spans or {}).get(name, {})
        for at, row in enumerate(rows):
            line = TableRow()
            for column, held in enumerate(row):
                line.addElement(_ods_cell(held, merged.get((at, column)), at, column, merged))
            table.addElement(line)
        made.spreadsheet.addElement(table)
    made.save(str(path))


def _ods_cell(
    held: object, span: tuple[int, int] | None, row: int, column: int, merged: Spans
) -> TableCell:
    covered = any(
        top <= row < top + rows and left <= column < left + columns and (top, left) != (row, column)
        for (top, left), (rows, columns) in merged.items()
    )
    if covered:
        return CoveredTableCell()
    more = {"numberrowsspanned": span[0], "numbercolumnsspanned": span[1]} if span else {}
    if held is None:
        return TableCell(**more)
    if isinstance(held, dt.date):
        more |= {"valuetype": "date", "datevalue": held.isoformat()}
    elif isinstance(held, (int, float)):
        more |= {"valuetype": "float", "value": repr(held)}
    else:
        more |= {"valuetype": "string"}
    cell = TableCell(**more)
    cell.addElement(P(text=str(held)))
    return cell


TWELVE: tuple[Callable[..., list[Path]], ...] = (
    titles_above_and_a_signature_below,
    a_heading_of_two_rows,
    a_sheet_for_each_level,
    a_sheet_for_each_apparatus,
    a_sheet_for_each_session,
    two_tables_side_by_side,
    rows_of_groups_and_headings_again,
    a_csv_of_an_old_program,
    an_ods_with_dates_of_birth,
    formulas_errors_and_a_date,
    names_in_one_column_and_words_for_no_start,
    a_roster_and_marks_in_three_files,
)
