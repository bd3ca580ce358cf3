"""XLSX and ODS: a number comes out as it is shown in the cell, to the thousandth."""

from __future__ import annotations

import datetime as dt
import zipfile
from pathlib import Path
from typing import Any

import pytest
import xlsxwriter
from folders import write_folder
from hypothesis import given
from hypothesis import strategies as st
from odf.opendocument import OpenDocumentSpreadsheet, load
from odf.table import Table, TableCell, TableRow
from odf.text import P
from openpyxl import Workbook

from resultsgen.files.workbooks import cell_text
from resultsgen.meet.marks import parse_mark
from resultsgen.meet.problems import Problem
from resultsgen.reading.meet import read_meet

Rows = list[list[Any]]
ROSTER: Rows = [["bib", "family_name", "guest"], [7, "ADAMS", True], ["007", "BELL", None]]
MARKS: Rows = [
    ["bib", "apparatus", "mark", "d", "e"],
    [7, "VT", 13.7, 5, 8.7],
    [None, None, None, None, None],
    ["007", "VT", 0, None, None],
    ["007", "UB", 9.9, None, None],
    ["007", "BB", "12,125", None, None],
    [7, "UB", "DNF", None, None],
]


def write_xlsx(path: Path, sheets: dict[str, Rows]) -> None:
    book = Workbook()
    book.remove(book.active)
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(row)
    book.save(path)


def write_ods(path: Path, sheets: dict[str, Rows]) -> None:
    document = OpenDocumentSpreadsheet()
    for name, rows in sheets.items():
        table = Table(name=name)
        for row in rows:
            line = TableRow()
            for value in row:
                line.addElement(_ods_cell(value))
            table.addElement(line)
        document.spreadsheet.addElement(table)
    document.save(str(path))


def _ods_cell(value: Any) -> Any:
    if value is None:
        return TableCell()
    if isinstance(value, bool):
        return TableCell(valuetype="boolean", booleanvalue=str(value).lower())
    if isinstance(value, (int, float)):
        return TableCell(valuetype="float", value=value)
    cell = TableCell(valuetype="string")
    cell.addElement(P(text=value))
    return cell


WRITERS = {"xlsx": write_xlsx, "ods": write_ods}


def settings(roster: str, marks: str) -> str:
    return f"""
== meet.toml ==
title = "Cup"
files = {{ roster = "{roster}", marks = "{marks}" }}
[[competition]]
id = "women"
title = "Women"
discipline = "women"
"""


@pytest.mark.parametrize("kind", WRITERS)
def test_numbers_come_out_exactly(tmp_path: Path, kind: str) -> None:
    folder = write_folder(tmp_path, settings(f"r.{kind}", f"m.{kind}"))
    WRITERS[kind](folder / f"r.{kind}", {"Sheet1": ROSTER})
    WRITERS[kind](folder / f"m.{kind}", {"Sheet1": MARKS})
    meet, problems = read_meet(folder)
    assert [str(problem) for problem in problems] == []
    assert meet is not None
    assert [(one.bib, one.guest) for one in meet.entries] == [("7", True), ("007", False)]
    marks = [row.mark for row in meet.mark_rows if row.mark is not None]
    assert marks == [13700, 0, 9900, 12125]
    assert [row.line for row in meet.mark_rows] == [2, 4, 5, 6, 7]
    assert (meet.mark_rows[0].d, meet.mark_rows[0].e) == (5000, 8700)


@pytest.mark.parametrize("kind", WRITERS)
def test_one_workbook_may_hold_both(tmp_path: Path, kind: str) -> None:
    folder = write_folder(tmp_path, settings(f"meet.{kind}", f"meet.{kind}"))
    WRITERS[kind](folder / f"meet.{kind}", {"Marks": MARKS, "Roster": ROSTER, "Empty": []})
    meet, problems = read_meet(folder)
    assert not problems
    assert meet is not None
    assert (len(meet.entries), len(meet.mark_rows)) == (2, 5)


def test_one_of_several_sheets_is_not_guessed(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, settings("r.xlsx", "m.xlsx"))
    write_xlsx(folder / "r.xlsx", {"Men": ROSTER, "Women": ROSTER})
    write_xlsx(folder / "m.xlsx", {"Sheet1": MARKS})
    (problem,) = told(folder)
    assert (problem.file, problem.code) == ("r.xlsx", "several-sheets")
    assert "Men, Women" in problem.message


def told(folder: Path) -> list[Problem]:
    return read_meet(folder)[1]


def test_what_is_no_spreadsheet_is_told(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, settings("r.xlsx", "m.xlsx"))
    (folder / "r.xlsx").write_bytes(b"bib,family_name\n")
    write_xlsx(folder / "m.xlsx", {"Sheet1": MARKS})
    assert [problem.code for problem in told(folder)] == ["no-spreadsheet"]


@pytest.mark.parametrize(
    "value", [13.7001, 13.70000001, 1e-05, 1e22, dt.date(2031, 7, 13), "13.7.", "13:700"]
)
def test_more_than_three_decimals_or_no_number_is_refused(tmp_path: Path, value: Any) -> None:
    folder = write_folder(tmp_path, settings("r.xlsx", "m.xlsx"))
    write_xlsx(folder / "r.xlsx", {"Sheet1": ROSTER})
    write_xlsx(folder / "m.xlsx", {"Sheet1": [*MARKS[:1], [7, "VT", value]]})
    (problem,) = told(folder)
    assert (problem.file, problem.row, problem.column) == ("m.xlsx", 2, "mark")
    assert problem.code == "not-a-mark"


@given(st.integers(0, 999_999))
def test_every_mark_survives_being_a_float(thousandths: int) -> None:
    assert parse_mark(cell_text(thousandths / 1000)) == thousandths


@given(st.integers(0, 99_999), st.integers(0, 99_999), st.integers(0, 9_999))
def test_a_sum_worked_out_in_a_spreadsheet_is_a_mark(d: int, e: int, penalty: int) -> None:
    """What a formula gives, float by float, and what is meant, in whole thousandths."""
    given_by_formula = d / 1000 + e / 1000 - penalty / 1000
    if d + e >= penalty:
        assert parse_mark(cell_text(given_by_formula)) == d + e - penalty


def test_a_heading_may_stand_further_down(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, settings("r.xlsx", "m.xlsx"))
    write_xlsx(folder / "r.xlsx", {"Sheet1": [[None], [None], *ROSTER]})
    write_xlsx(folder / "m.xlsx", {"Sheet1": MARKS})
    meet, problems = read_meet(folder)
    assert not problems
    assert meet is not None
    assert [one.line for one in meet.entries] == [4, 5]


BROKEN = {
    "xlsx": ("=NA()", "=1/0", "=A1+5", '=""'),
    "ods": (
        ("of:=NA()", {"calcext": "error", "valuetype": "string"}, "#N/A"),
        ("of:=1/0", {"valuetype": "float", "value": "0"}, "#DIV/0!"),
        ("of:=[.A1]+5", {}, ""),
        ('of:=""', {"valuetype": "string"}, ""),
    ),
}
"""Two errors, a formula that was never worked out, and one that gives an empty text."""


def write_broken(folder: Path, kind: str, roster: bool) -> None:
    """A column of broken cells, in the roster under `publish` or among the marks under `VT`."""
    rows: Rows = [["bib", "family_name", "publish"]] if roster else [["bib", "UB", "VT"]]
    rows += [[number, f"G{number}" if roster else 9.5, None] for number in range(1, 5)]
    other: Rows = [["bib", "family_name"], *([n, f"G{n}"] for n in range(1, 5))]
    other = [["bib", "UB"]] if roster else other
    WRITERS[kind](folder / f"{'m' if roster else 'r'}.{kind}", {"Sheet1": other})
    path = folder / f"{'r' if roster else 'm'}.{kind}"
    write_xlsx_formulas(path, rows) if kind == "xlsx" else write_ods_formulas(path, rows)


def write_xlsx_formulas(path: Path, rows: Rows) -> None:
    book = xlsxwriter.Workbook(path)
    sheet = book.add_worksheet("Sheet1")
    for number, row in enumerate(rows):
        sheet.write_row(number, 0, row)
    for number, value in enumerate(("#N/A", "#DIV/0!", 0, "text")):
        sheet.write_formula(number + 1, 2, BROKEN["xlsx"][number], value=value)
    book.close()
    unworked(path)


def unworked(path: Path) -> None:
    """Take out the values that the writer has to be given."""
    with zipfile.ZipFile(path) as book:
        parts = {name: book.read(name) for name in book.namelist()}
    with zipfile.ZipFile(path, "w") as book:
        for name, held in parts.items():
            held = held.replace(b"<v>text</v>", b"<v></v>")
            book.writestr(name, held.replace(b"<f>A1+5</f><v>0</v>", b"<f>A1+5</f>"))


def write_ods_formulas(path: Path, rows: Rows) -> None:
    document = OpenDocumentSpreadsheet()
    table = Table(name="Sheet1")
    for number, row in enumerate(rows):
        line = TableRow()
        for value in row[:2] if number else row:
            line.addElement(_ods_cell(value))
        if number:
            line.addElement(_broken_ods_cell(*BROKEN["ods"][number - 1]))
        table.addElement(line)
    document.spreadsheet.addElement(table)
    document.save(str(path))


def _broken_ods_cell(formula: str, kinds: dict[str, str], shown: str) -> Any:
    own = {name: value for name, value in kinds.items() if name != "calcext"}
    cell = TableCell(formula=formula, **own)
    if "calcext" in kinds:
        space = "urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0"
        cell.setAttrNS(space, "value-type", kinds["calcext"])
    cell.addElement(P(text=shown))
    return cell


@pytest.mark.parametrize("roster", [True, False])
@pytest.mark.parametrize("kind", WRITERS)
def test_a_cell_with_an_error_or_an_empty_formula_is_no_empty_cell(
    tmp_path: Path, kind: str, roster: bool
) -> None:
    folder = write_folder(tmp_path, settings(f"r.{kind}", f"m.{kind}"))
    write_broken(folder, kind, roster)
    found = [(one.row, one.column, one.code, one.value) for one in told(folder)]
    column = "publish" if roster else "VT"
    assert found == [
        (2, column, "broken-cell", "#N/A"),
        (3, column, "broken-cell", "#DIV/0!"),
        (4, column, "broken-cell", ""),
    ]


def test_an_error_where_nothing_is_read_is_told_as_left_alone(tmp_path: Path) -> None:
    """A sum that a spreadsheet cannot work out beside DNS stops nobody, in a table of both."""
    folder = write_folder(tmp_path, settings("all.xlsx", "all.xlsx"))
    book = xlsxwriter.Workbook(folder / "all.xlsx")
    sheet = book.add_worksheet()
    for number, row in enumerate([["bib", "family_name", "VT", "UB"], ["7", "ADAMS", 9.2, "DNS"]]):
        sheet.write_row(number, 0, row)
    sheet.write(0, 4, "Total")
    sheet.write_formula(1, 4, "=C2+D2", value="#VALUE!")
    sheet.write_formula(1, 2, "=9+E2", value="#VALUE!")
    book.close()
    meet, problems = read_meet(folder)
    assert [(one.column, one.code) for one in problems] == [("VT", "broken-cell")]
    assert meet is not None
    assert [str(one) for one in meet.notes] == [
        "all.xlsx:1 [Total] left alone, for it is no total: #VALUE! (row 2) (left-alone)"
    ]


def test_an_old_kind_of_spreadsheet_is_refused(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, settings("r.xls", "m.xlsx"))
    write_xlsx(folder / "r.xls", {"Sheet1": ROSTER})
    write_xlsx(folder / "m.xlsx", {"Sheet1": MARKS})
    (problem,) = told(folder)
    assert (problem.file, problem.code) == ("r.xls", "no-spreadsheet")
    assert "errors cannot be told from empty cells" in problem.message


def write_merged(path: Path) -> None:
    """A club merged over two gymnasts, DNS over two apparatus, a note over a heading."""
    if path.suffix == ".xlsx":
        book = Workbook()
        for row in MERGED:
            book.active.append(row)
        for cells in ("C2:C3", "D3:E3", "F1:G1"):
            book.active.merge_cells(cells)
        book.save(path)
        return
    write_ods(path, {"Sheet1": MERGED})
    document = load(path)
    lines = document.spreadsheet.getElementsByType(TableRow)
    for row, column, rows, columns in ((1, 2, 2, 1), (2, 3, 1, 2), (0, 5, 1, 2)):
        cell = lines[row].getElementsByType(TableCell)[column]
        cell.setAttribute("numberrowsspanned", str(rows))
        cell.setAttribute("numbercolumnsspanned", str(columns))
    document.save(str(path))


MERGED: Rows = [
    ["bib", "family_name", "club", "VT", "UB", "note", None],
    [1, "ADAMS", "North", 9.1, 9.2, None, None],
    [2, "BELL", None, "DNS", None, None, None],
    [3, "COLE", None, 9.5, None, None, None],
]


@pytest.mark.parametrize("kind", WRITERS)
def test_a_merged_cell_stands_in_all_the_cells_it_was_merged_from(
    tmp_path: Path, kind: str
) -> None:
    folder = write_folder(tmp_path, settings(f"m.{kind}", f"m.{kind}"))
    write_merged(folder / f"m.{kind}")
    meet, problems = read_meet(folder)
    assert [str(problem) for problem in problems] == []
    assert meet is not None
    assert [one.club for one in meet.entries] == ["North", "North", ""]
    marks = [(row.bib, row.apparatus, row.status) for row in meet.mark_rows]
    assert [row for row in marks if row[2]] == [("2", "VT", "DNS"), ("2", "UB", "DNS")]
    assert len(marks) == 5
