"""Where the tables stand: several files, sheets of a workbook, headings in rows further down."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

import pytest
from folders import write_folder
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook
from openpyxl.styles import Font
from test_spreadsheets import WRITERS

from resultsgen.meet.folder import Meet
from resultsgen.meet.sources import TableForm
from resultsgen.reading.grids import Grid, joined_heading, read_grid
from resultsgen.reading.meet import read_meet
from resultsgen.reading.sheets import read_sheets

HEAD = 'title = "Cup"\n'
WOMEN = '[[competition]]\nid = "women"\ntitle = "Women"\ndiscipline = "women"\n'

Rows = list[list[Any]]
THREE: Rows = [["Spring Cup"], [], ["bib", "family_name", "VT", "UB"], [1, "Adams", 9.5, 8.5]]
FOUR: Rows = [["bib", "family_name", "VT", "UB"], [2, "Bell", 9.1, 8.1], ["Total", None, 1, 2]]


def meet_of(folder: Path, more: str, competitions: str = WOMEN) -> Path:
    return write_folder(folder, f"\n== meet.toml ==\n{HEAD}{more}{competitions}")


def read(folder: Path) -> tuple[Meet, list[str]]:
    """What is read, and all that is told."""
    meet, problems = read_meet(folder)
    assert meet is not None, problems
    return meet, [*map(str, problems), *map(str, meet.notes)]


def told(folder: Path) -> list[str]:
    return [str(problem) for problem in read_meet(folder)[1]]


def test_an_empty_source_and_a_rule_set_that_is_none_are_told_on_their_lines(tmp_path):
    rows = "== roster.csv ==\nbib,family_name\n1,Adams\n== marks.csv ==\nbib,VT\n1,9\n"
    text = '[files]\nroster = ""\n'
    assert told(meet_of(tmp_path, text, WOMEN + rows)) == [
        "meet.toml:3 [files.roster] names no file; fill it in, or take the line out (no-source)"
    ]
    text = '[files]\nmarks = ["nope.csv", "../x.csv"]\n'
    outside, missing = told(meet_of(tmp_path, text, WOMEN + rows))
    assert "copy it into it (meet.toml:3 names it) (outside" in outside
    assert "there are marks.csv, roster.csv (meet.toml:3 names it) (no-such" in missing
    text = '[files]\nroster = "people.ods#Here"\n'
    own, people = told(meet_of(tmp_path, text, f'{WOMEN}marks = "own.csv"\n{rows}'))
    assert "roster.csv (meet.toml:3 names it) (no-such" in people
    assert "roster.csv (meet.toml:8 names it) (no-such" in own
    (one,) = told(meet_of(tmp_path, "", f'{WOMEN}rules = "/etc/passwd"\n{rows}'))
    assert "world-finals-shared. A file of your own ends in .toml" in one


LEVELS = """
[files]
roster = ["club.KIND#Level 3", "club.KIND#Level 4"]
marks = ["club.KIND#Level 3", "club.KIND#Level 4"]
[tables."club.KIND#Level 3"]
heading = 3
fixed = { division = "level 3" }
[tables."club.KIND#Level 4"]
until = "total"
fixed = { division = "level 4" }
"""


@pytest.mark.parametrize("kind", WRITERS)
def test_rows_of_several_sheets_are_joined_in_order(tmp_path: Path, kind: str) -> None:
    """Each keeps its source, in rows that are read and in problems."""
    folder = meet_of(tmp_path, LEVELS.replace("KIND", kind))
    sheets = {"Level 3": THREE, "Level 4": FOUR, "Old": [["x"]], "Nothing": []}
    WRITERS[kind](folder / f"club.{kind}", sheets)
    meet, found = read(folder)
    assert [(one.key, one.file, one.line, one.bib, one.division) for one in meet.entries] == [
        (0, f"club.{kind}#Level 3", 4, "1", "level 3"),
        (1, f"club.{kind}#Level 4", 2, "2", "level 4"),
    ]
    assert [(row.file, row.line, row.bib, row.mark) for row in meet.mark_rows] == [
        (f"club.{kind}#Level 3", 4, "1", 9500), (f"club.{kind}#Level 3", 4, "1", 8500),
        (f"club.{kind}#Level 4", 2, "2", 9100), (f"club.{kind}#Level 4", 2, "2", 8100),
    ]  # fmt: skip
    assert found == [
        f"club.{kind} sheets left alone: Old (left-alone)",
        f"club.{kind}#Level 3:1 left alone above the heading: A1 Spring Cup (left-alone)",
        f"club.{kind}#Level 4:3 left alone from 'total' on: A3 Total; C3 1; D3 2 (left-alone)",
    ]
    sheets["Level 4"][1][2] = "9.1.1"
    WRITERS[kind](folder / f"club.{kind}", sheets)
    sheets["Level 4"][1][2] = 9.1
    (problem,) = told(folder)
    assert problem.startswith(f"club.{kind}#Level 4:2 [VT] 9.1.1 is no mark")


def test_one_sheet_per_apparatus(tmp_path: Path) -> None:
    """Each says by its setting which apparatus its marks are of."""
    more = """
[files]
marks = ["vault.csv", "all.xlsx#Beam"]
[tables."vault.csv"]
fixed = { apparatus = "VT" }
columns = { bib = "Start", mark = "Final" }
[tables."all.xlsx#Beam"]
fixed = { apparatus = "BB" }
"""
    held = "\n== roster.csv ==\nbib,family_name\n1,Adams\n== vault.csv ==\nStart;Final\n1;9,5\n"
    folder = write_folder(meet_of(tmp_path, more), held)
    WRITERS["xlsx"](folder / "all.xlsx", {"Beam": [["bib", "mark"], [1, 8.5]], "Bars": [["x"]]})
    meet, found = read(folder)
    assert [(row.file, row.apparatus, row.mark) for row in meet.mark_rows] == [
        ("vault.csv", "VT", 9500),
        ("all.xlsx#Beam", "BB", 8500),
    ]
    assert found == ["all.xlsx sheets left alone: Bars (left-alone)"]


def test_a_competition_may_have_several_sources(tmp_path: Path) -> None:
    """And two may share one, in which a row says whose it is, or the bib does."""
    more = '[[competition]]\nid = "men"\ntitle = "Men"\ndiscipline = "men"\nmarks = ["c.csv"]\n'
    held = """
== roster.csv ==
bib,family_name,discipline
1,Adams,women
2,Bell,men
== a.csv ==
bib,VT
1,9.1
== b.csv ==
bib,FX
1,9.2
2,9.3
== c.csv ==
bib,PH
2,9.4
"""
    women = WOMEN + 'marks = ["a.csv", "b.csv"]\n'
    folder = meet_of(tmp_path, "", women + more.replace('"c.csv"', '"b.csv", "c.csv"'))
    meet, found = read(write_folder(folder, held))
    assert [(row.competition, row.bib, row.mark) for row in meet.mark_rows] == [
        ("women", "1", 9100), ("women", "1", 9200), ("men", "2", 9300), ("men", "2", 9400),
    ]  # fmt: skip
    assert found == []


SMALL = {
    "roster.csv": "bib,family_name\n1,Adams\n",
    "marks.csv": "bib,VT\n1,9.5\n",
}


def small(folder: Path, more: str) -> Path:
    """A small meet of CSV files."""
    for name, held in SMALL.items():
        (folder / name).write_text(held, encoding="utf-8")
    return meet_of(folder, more)


WRONG = """
files.roster = "roster.csv#A"
= roster.csv has no sheets; mend 'roster.csv#A' (no-such-sheet)

files.roster = "r.xlsx#C"
= r.xlsx has no sheet C; there are A, B; mend 'r.xlsx#C' (no-such-sheet)

files.roster = "r.xlsx"
= r.xlsx has several sheets (A, B); say which to read, roster = "r.xlsx#A"

files.roster = ["r.xlsx#A", "r.xlsx#a"]
= r.xlsx#a is the same as r.xlsx#A; take one of them out of meet.toml (source-twice)

files.roster = ["roster.csv", "./roster.csv"]
= ./roster.csv is the same as roster.csv; take one of them out of meet.toml (source-twice)

files.roster = "Output/roster.csv"
= meet.toml:2 [files.roster] Output/roster.csv is hidden, or lies where results are published

files.roster = ["roster.csv", "roster.csv"]
= meet.toml:2 [files.roster] roster: name each source once (wrong-setting)

files.roster = []
= meet.toml:2 [files.roster] roster must have at least 1 (wrong-setting)

tables."roster.csv".heading = 9
= roster.csv there is no row 9 for the heading, the last is 2

tables."roster.csv".heading = [1, 3]
= meet.toml:2 [tables.roster.csv.heading] heading: a heading is one row, or two that follow one

tables."roster.csv".heading = 0
= meet.toml:2 [tables.roster.csv.heading] heading must be at least 1 (wrong-setting)

tables."roster.csv".encoding = "idna"
= meet.toml:2 [tables.roster.csv.encoding] encoding: there is no encoding idna of tables

tables."roster.csv".fixed = { Division = "a" }
= meet.toml:2 [tables.roster.csv.fixed.Division] there is no column Division; there are bib, birth

tables."roster.csv".fixed = { bib = "7" }
= roster.csv:2 [bib] 1 stands here, and bib is 7 for all rows under [tables."roster.csv"]

tables."roster.csv".columns = { club = "Verein" }
= roster.csv:1 [Verein] there is no column 'Verein' (club: Club, as it is to be printed)

tables."roster.csv".until = "Sum"
= roster.csv no row begins with 'Sum', and all are read; mend or delete until
"""


@pytest.mark.parametrize("case", WRONG.strip().split("\n\n"))
def test_what_is_wrong_with_a_source_is_told(tmp_path: Path, case: str) -> None:
    more, message = case.split("\n= ")
    folder = small(tmp_path, f"{more}\n")
    sheets: dict[str, Rows] = {"A": [["bib", "family_name"], [1, "Adams"]], "B": [["x"]]}
    WRITERS["xlsx"](folder / "r.xlsx", sheets)
    meet, problems = read_meet(folder)
    found = [*map(str, problems), *map(str, meet.notes if meet else ())]
    assert any(one.startswith(message) for one in found), found


@pytest.mark.parametrize(
    ("source", "code"),
    [
        ("../x.xlsx#S", "outside-the-folder"),
        ("/etc/x.xlsx#S", "outside-the-folder"),
        ("#", "no-such-file"),
        ("#S", "no-such-file"),
        ("a.csv#\\u0000", "unfit-text"),
        ("sub/../../x.csv#S", "outside-the-folder"),
    ],
)
def test_no_source_leads_out_of_the_folder(tmp_path: Path, source: str, code: str) -> None:
    (tmp_path / "meet").mkdir()
    WRITERS["xlsx"](tmp_path / "x.xlsx", {"S": [["kept-to-myself"]]})
    folder = small(tmp_path / "meet", f'[files]\nroster = "{source}"\n')
    _, problems = read_meet(folder)
    assert code in [one.code for one in problems]
    assert "kept-to-myself" not in repr(problems)


@pytest.mark.parametrize("kind", WRITERS)
@pytest.mark.parametrize("name", ["a#b", "O'Hara", 'say "x"', "a & b", " Level 3 ", "ä\u0301"])
def test_sheets_have_names_of_all_kinds(tmp_path: Path, kind: str, name: str) -> None:
    quoted = name.replace('"', '\\"')
    folder = small(tmp_path, f'[files]\nroster = "r.{kind}#{quoted}"\n')
    rows: Rows = [["bib", "family_name"], [1, "Adams"]]
    WRITERS[kind](folder / f"r.{kind}", {name: rows, "other": [["x"]]})
    meet, found = read(folder)
    assert [one.bib for one in meet.entries] == ["1"]
    assert found == [f"r.{kind} sheets left alone: other (left-alone)"]


def test_sheets_whose_names_nearly_are_one_are_two(tmp_path: Path) -> None:
    folder = small(tmp_path, '[files]\nroster = ["r.xlsx#Level-3", "r.xlsx#level 3 "]\n')
    head = ["bib", "family_name"]
    sheets: dict[str, Rows] = {
        "Level-3": [head, [1, "Adams"]], "Level 3": [head, [2, "Bell"]], "Level_3": [["x"]],
    }  # fmt: skip
    WRITERS["xlsx"](folder / "r.xlsx", sheets)
    meet, found = read(folder)
    assert [one.bib for one in meet.entries] == ["1", "2"]
    assert found == ["r.xlsx sheets left alone: Level_3 (left-alone)"]


def test_names_of_ods_may_have_slashes_and_lines(tmp_path: Path) -> None:
    folder = small(tmp_path, '[files]\nroster = ["r.ods#a/b", "r.ods#c\\nd"]\n')
    head = ["bib", "family_name"]
    WRITERS["ods"](folder / "r.ods", {"a/b": [head, [1, "Adams"]], "c\nd": [head, [2, "Bell"]]})
    meet, found = read(folder)
    assert [one.bib for one in meet.entries] == ["1", "2"]
    assert found == []


@pytest.mark.parametrize(
    ("heading", "line"),
    [
        ("Strtnumer,family_name", 'bib = "Strtnumer"'),
        ("bib,Nachnahme", 'family_name = "Nachnahme"'),
        ("bib,Wer?", 'family_name = "..."'),
        ("bib,famly_name", 'family_name = "famly_name"'),
    ],
)
def test_the_message_of_a_missing_column_ends_with_the_line_to_write(
    tmp_path: Path, heading: str, line: str
) -> None:
    folder = small(tmp_path, "")
    (folder / "roster.csv").write_text(f"{heading}\n1,Adams\n", encoding="utf-8")
    (absent,) = (one for one in read_meet(folder)[1] if one.code == "no-such-column")
    assert absent.message.endswith(f"; rename one, or write  {line}  under [columns.roster]")
    if "..." not in line:
        meet_of(folder, f"[columns.roster]\n{line}\n")
        assert [one.family_name for one in read(folder)[0].entries] == ["Adams"]


def test_the_line_to_write_holds_for_a_table_of_roster_and_marks(tmp_path: Path) -> None:
    folder = small(tmp_path, '[files]\nroster = "all.csv"\nmarks = "all.csv"\n')
    (folder / "all.csv").write_text("Nmmr,family_name,VT\n1,Adams,9.5\n", encoding="utf-8")
    (problem,) = told(folder)
    assert problem.endswith('  bib = "Nmmr"  under [tables."all.csv".columns] (no-such-column)')


def test_a_cell_with_an_error_is_told_with_its_sheet(tmp_path: Path) -> None:
    folder = small(tmp_path, '[files]\nmarks = "all.xlsx#Level 3"\n')
    rows: Rows = [["Cup"], ["bib", "VT"], [1, "#N/A"], ["Sum", "#DIV/0!"]]
    WRITERS["xlsx"](folder / "all.xlsx", {"Level 3": rows, "Level 4": [["#N/A"]]})
    meet_of(
        folder,
        '[files]\nmarks = "all.xlsx#Level 3"\n'
        '[tables."all.xlsx#Level 3"]\nheading = 2\nuntil = "sum"\n',
    )
    assert read(folder)[1] == [
        "all.xlsx#Level 3:3 [VT] the cell holds the error #N/A; mend it, or write the value itself"
        " (broken-cell)",
        "all.xlsx sheets left alone: Level 4 (left-alone)",
        "all.xlsx#Level 3:1 left alone above the heading: A1 Cup (left-alone)",
        "all.xlsx#Level 3:4 left alone from 'sum' on: A4 Sum; B4 #DIV/0! (left-alone)",
    ]


def test_a_hidden_sheet_is_named_as_one(tmp_path: Path) -> None:
    folder = small(tmp_path, '[files]\nroster = "r.xlsx"\n')
    book = Workbook()
    book.active.append(["bib", "family_name"])
    book.create_sheet("Old").append(["x"])
    book["Old"].sheet_state = "hidden"
    book.save(folder / "r.xlsx")
    (problem,) = told(folder)
    assert problem.startswith("r.xlsx has several sheets (Sheet, Old (hidden))")


def test_a_file_may_have_the_sign_in_its_name(tmp_path: Path) -> None:
    folder = small(tmp_path, '[files]\nroster = "r#1.csv"\n')
    (folder / "roster.csv").rename(folder / "r#1.csv")
    assert [one.file for one in read(folder)[0].entries] == ["r#1.csv"]


def two_rows(folder: Path, merged: bool) -> list[str]:
    book = Workbook()
    sheet = book.active
    for row in (
        ["Nr.", "Name", "Vault", None, None, "Bars", None, "Total"],
        [None, None, "D", "E", "Final", "D", "Final", None],
    ):
        sheet.append(row)
    for cells in ("A1:A2", "B1:B2", "C1:E1", "F1:G1") if merged else ():
        sheet.merge_cells(cells)
    book.save(folder / "a.xlsx")
    (read_as,) = read_sheets(folder, "a.xlsx").sheets  # type: ignore[union-attr]
    return joined_heading(read_as, 0, 1)


def test_of_many_cells_that_are_left_alone_the_first_are_shown(tmp_path: Path) -> None:
    """And up to where the others stand; a formula that was never worked out is one of them."""
    folder = small(tmp_path, "")
    notes: Rows = [[f"n{n}", f"m{n}"] for n in range(28)]
    rows: Rows = [["=1+1"], *notes, ["bib", "family_name"], [1, "Adams"]]
    WRITERS["xlsx"](folder / "r.xlsx", {"A": rows})
    folder = meet_of(folder, '[files]\nroster = "r.xlsx"\n[tables."r.xlsx"]\nheading = 30\n')
    (note,) = read(folder)[1]
    start = "r.xlsx:1 left alone above the heading: A1 (a formula); A2 n0; B2 m0; A3 n1; "
    assert note.startswith(start)
    assert note.endswith("; A21 n19; and 17 more, up to B29 (left-alone)")


@pytest.mark.parametrize("merged", [True, False])
def test_a_heading_of_two_rows_is_joined(tmp_path: Path, merged: bool) -> None:
    assert two_rows(tmp_path, merged) == [
        "Nr.", "Name", "Vault D", "Vault E", "Vault Final", "Bars D", "Bars Final", "Total",
    ]  # fmt: skip


def test_over_what_it_was_not_merged_from_no_text_stands(tmp_path: Path) -> None:
    book = Workbook()
    book.active.append(["Vault", None, None, None])
    book.active.append(["D", "Final", "Club", None])
    book.active.merge_cells("A1:B1")
    book.save(tmp_path / "a.xlsx")
    (sheet,) = read_sheets(tmp_path, "a.xlsx").sheets  # type: ignore[union-attr]
    assert joined_heading(sheet, 0, 1) == ["Vault D", "Vault Final", "Club"]


def test_hidden_rows_and_columns_are_read_and_told(tmp_path: Path) -> None:
    folder = small(tmp_path, '[files]\nroster = "r.xlsx"\n')
    book = Workbook()
    for row in (["bib", "family_name", "club"], [1, "Adams", "North"], [2, "Bell", "South"]):
        book.active.append(row)
    book.active.row_dimensions[3].hidden = True
    book.active.column_dimensions["C"].hidden = True
    book.active.column_dimensions["K"].hidden = True
    book.save(folder / "r.xlsx")
    meet, found = read(folder)
    assert [one.club for one in meet.entries] == ["North", "South"]
    assert found == [
        "r.xlsx columns that are hidden, and read all the same: C (hidden-cells)",
        "r.xlsx rows that are hidden, and read all the same: 3 (hidden-cells)",
    ]


def test_cells_that_are_crossed_out_are_read_and_told(tmp_path: Path) -> None:
    folder = small(tmp_path, '[files]\nroster = "r.xlsx"\n')
    book = Workbook()
    for row in (["bib", "family_name", "club"], [1, "Adams", "North"], [2, "Bell", None]):
        book.active.append(row)
    for cell in book.active[3]:
        cell.font = Font(strike=True)
    book.save(folder / "r.xlsx")
    meet, found = read(folder)
    assert [one.family_name for one in meet.entries] == ["Adams", "Bell"]
    assert found == [
        "r.xlsx cells that are crossed out, and read all the same: A3, B3 (hidden-cells)"
    ]


def test_a_merged_range_reaches_no_further_than_the_table(tmp_path: Path) -> None:
    folder = small(tmp_path, '[files]\nroster = "r.xlsx"\n')
    book = Workbook()
    for row in (["bib", "family_name", "club"], [1, "Adams", "North"], [2, "Bell", None]):
        book.active.append(row)
    book.active.merged_cells.add("C2:C1048576")
    book.save(folder / "r.xlsx")
    meet, found = read(folder)
    assert [one.club for one in meet.entries] == ["North", "North"]
    assert found == []


def test_cells_that_are_merged_twice_are_refused(tmp_path: Path) -> None:
    """Or else a small file asks for more work than any."""
    folder = small(tmp_path, '[files]\nroster = "r.xlsx"\n')
    book = Workbook()
    for row in (["bib", "family_name"], [1, "Adams"]):
        book.active.append(row)
    for cells in ("A1:B2", "A1:B3"):
        book.active.merged_cells.add(cells)
    book.save(folder / "r.xlsx")
    (problem,) = told(folder)
    assert problem.startswith("r.xlsx is not read: its merged cells overlap")


def test_a_book_of_many_sheets_is_opened_once(tmp_path: Path) -> None:
    sources = ", ".join(f'"r.xlsx#{n}"' for n in range(200))
    folder = small(tmp_path, f"[files]\nroster = [{sources}]\n")
    head = ["bib", "family_name"]
    WRITERS["xlsx"](folder / "r.xlsx", {str(n): [head, [n, f"F{n}"]] for n in range(200)})
    meet, found = read(folder)
    assert [one.bib for one in meet.entries] == [str(n) for n in range(200)]
    assert found == []


CELLS = st.lists(st.sampled_from(["North", "South", "9.5", "-", ""]), min_size=3, max_size=3)
SPOTS = st.lists(st.sampled_from(["", "Cup", "2031", "Level"]), min_size=3, max_size=3)


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.tuples(SPOTS, st.lists(CELLS, min_size=1, max_size=3), SPOTS), max_size=3, min_size=1
    ),
    st.sampled_from(["csv", "xlsx", "ods"]),
    st.booleans(),
)
def test_a_table_reads_the_same_wherever_it_stands(
    tables: list[tuple[list[str], Rows, list[str]]], kind: str, two: bool
) -> None:
    """Below other rows, above others, under a heading of two rows, in parts: as in one plain file.

    And each cell beside it is told.
    """
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        plain_rows = [["b", *row] for _, rows, _ in tables for row in rows]
        head = ["bib", "x y", "x z", "w"]
        over = [["bib", "x", "", "w"], ["", "y", "z", ""]] if two else [head]
        sheets = {
            f"s{n}": [["", *above], *over, *(["b", *row] for row in rows), ["End", *below]]
            for n, (above, rows, below) in enumerate(tables)
        }
        for name, rows in sheets.items():
            held = "".join(f"{';'.join(row)}\n" for row in rows)
            (folder / f"{name}.csv").write_text(held, encoding="utf-8")
        if kind != "csv":
            WRITERS[kind](folder / f"a.{kind}", sheets)
        sources = [f"{name}.csv" if kind == "csv" else f"a.{kind}#{name}" for name in sheets]
        how = TableForm.model_validate({"heading": [2, 3] if two else 2, "until": "end"})
        read_as = [read_grid(folder, source, "marks", how) for source in sources]
        assert all(isinstance(one, Grid) for one in read_as)
        grids = [one for one in read_as if isinstance(one, Grid)]
        assert [row for grid in grids for row in grid.rows[1:]] == plain_rows
        assert all(grid.rows[0] == head for grid in grids)
        beside = [[text for text in (*above, *below) if text] for above, _, below in tables]
        for grid, texts in zip(grids, beside, strict=True):
            said = " ".join(note.message for note in grid.problems)
            assert all(said.count(f" {text}") >= texts.count(text) for text in texts)
