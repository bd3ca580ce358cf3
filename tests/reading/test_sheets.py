"""Every sheet of a file as it is: what stands where, hidden or not, and what is said of it."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from odf.opendocument import load
from odf.style import Style, TextProperties
from odf.table import Table, TableCell, TableColumn, TableRow
from openpyxl import Workbook
from test_spreadsheets import write_broken, write_merged, write_ods

from resultsgen.files.beside import Broken, Merged
from resultsgen.reading.sheets import Sheet, read_sheets
from resultsgen.reading.sheets import Workbook as Read


def sheets(folder: Path, file: str, encoding: str = "") -> dict[str, Sheet]:
    book = read_sheets(folder, file, encoding)
    assert isinstance(book, Read), book
    return {sheet.name: sheet for sheet in book.sheets}


def test_all_sheets_are_told_from_the_first_row_on(tmp_path: Path) -> None:
    book = Workbook()
    first = book.active
    first.title = "Level 3"
    first["B3"], first["C5"] = "Cup", 9.5
    first["C4"], first["D4"] = dt.date(2031, 5, 9), dt.time(9, 30)
    first["E4"] = "=C5+1"
    first.merge_cells("B3:D3")
    first.row_dimensions[5].hidden = True
    first.column_dimensions["C"].hidden = True
    book.create_sheet("Old").sheet_state = "hidden"
    book["Old"]["A1"] = "x"
    book.create_sheet("Nothing")
    book.save(tmp_path / "a.xlsx")
    found = sheets(tmp_path, "a.xlsx")
    assert [(name, one.hidden, one.is_empty) for name, one in found.items()] == [
        ("Level 3", False, False), ("Old", True, False), ("Nothing", False, True),
    ]  # fmt: skip
    level = found["Level 3"]
    assert level.rows[2:] == [
        ["", "Cup", "", "", ""],
        ["", "", "2031-05-09", "09:30:00", ""],
        ["", "", "9.5", "", ""],
    ]
    assert list(level.lines) == [1, 2, 3, 4, 5]
    assert level.merged == (Merged(2, 1, 1, 3),)
    assert level.broken == (Broken(3, 4, ""),)
    assert (level.hidden_rows, level.hidden_columns) == ((4,), (2,))


def test_hidden_rows_and_columns_of_ods(tmp_path: Path) -> None:
    write_ods(tmp_path / "a.ods", {"A": [["a", "b"], ["1", "2"], ["3", "4"]], "B": [["x"]]})
    document = load(tmp_path / "a.ods")
    table = document.spreadsheet.getElementsByType(Table)[0]
    columns = (TableColumn(), TableColumn(visibility="collapse"))
    for column in reversed(columns):
        table.insertBefore(column, table.firstChild)
    table.getElementsByType(TableRow)[1].setAttribute("visibility", "filter")
    document.save(str(tmp_path / "a.ods"))
    found = sheets(tmp_path, "a.ods")
    assert (found["A"].hidden_rows, found["A"].hidden_columns) == ((1,), (1,))
    assert (found["B"].rows, found["B"].hidden_rows) == ([["x"]], ())


def test_cells_of_ods_that_are_crossed_out(tmp_path: Path) -> None:
    write_ods(tmp_path / "a.ods", {"A": [["a", "b"], ["1", "2"]]})
    document = load(tmp_path / "a.ods")
    for name, line in (("ce1", "solid"), ("ce2", "none")):
        style = Style(name=name, family="table-cell")
        style.addElement(TextProperties(textlinethroughstyle=line))
        document.automaticstyles.addElement(style)
    for cell, name in zip(document.getElementsByType(TableCell), ("ce1", "ce2"), strict=False):
        cell.setAttribute("stylename", name)
    document.save(str(tmp_path / "a.ods"))
    assert sheets(tmp_path, "a.ods")["A"].crossed_out == {(0, 0)}


@pytest.mark.parametrize("kind", ["xlsx", "ods"])
def test_broken_and_merged_cells_are_told_where_they_stand(tmp_path: Path, kind: str) -> None:
    write_broken(tmp_path, kind, roster=True)
    (sheet,) = sheets(tmp_path, f"r.{kind}").values()
    assert [(one.row, one.column) for one in sheet.broken] == [(1, 2), (2, 2), (3, 2)]
    write_merged(tmp_path / f"m.{kind}")
    (sheet,) = sheets(tmp_path, f"m.{kind}").values()
    assert set(sheet.merged) == {Merged(1, 2, 2, 1), Merged(2, 3, 1, 2), Merged(0, 5, 1, 2)}
    assert [row[2] for row in sheet.rows] == ["club", "North", "", ""]


def test_a_csv_file_is_one_sheet(tmp_path: Path) -> None:
    held = '\nThe Cup, 2031\n\nNr.;Name;Sprung\n7;"Ada\nBell";9,5\n'
    (tmp_path / "a.csv").write_text(held, encoding="utf-8")
    found = sheets(tmp_path, "a.csv")
    assert found[""].rows == [
        ["", "", ""],
        ["The Cup, 2031", "", ""],
        ["", "", ""],
        ["Nr.", "Name", "Sprung"],
        ["7", "Ada\nBell", "9,5"],
    ]
    assert list(found[""].lines) == [1, 2, 3, 4, 5]
    (tmp_path / "b.csv").write_bytes("Nr.;Zoë\n".encode("cp1252"))
    assert sheets(tmp_path, "b.csv", "cp1252")[""].rows == [["Nr.", "Zoë"]]
    assert not isinstance(read_sheets(tmp_path, "b.csv"), Read)


def test_a_heading_may_have_cells_of_several_lines(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text('"Start,\nNr.";Name\n7;Bell\n', encoding="utf-8")
    book = read_sheets(tmp_path, "a.csv", heading=1)
    assert isinstance(book, Read)
    assert book.sheets[0].rows == [["Start,\nNr.", "Name"], ["7", "Bell"]]


def test_a_sheet_that_is_too_large_keeps_none_of_the_others_back(tmp_path: Path) -> None:
    book = Workbook(write_only=True)
    book.create_sheet("Small").append(["bib"])
    book.create_sheet("Wide").append(["x"] * 201)
    book.save(tmp_path / "a.xlsx")
    found = sheets(tmp_path, "a.xlsx")
    assert (found["Small"].rows, found["Small"].refused) == ([["bib"]], "")
    assert (found["Wide"].rows, found["Wide"].refused) == (
        [], "it has 201 columns, and at most 200 are read",
    )  # fmt: skip
