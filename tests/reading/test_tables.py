"""Tables in every form: what is read is the same, and each row keeps its line."""

from __future__ import annotations

import unicodedata
from itertools import product
from pathlib import Path

import pytest
from folders import write_folder
from hypothesis import given
from hypothesis import strategies as st

from resultsgen.files.cell_texts import as_meant
from resultsgen.meet.columns import MeetColumn
from resultsgen.reading.headings import Mapped
from resultsgen.reading.meet import read_meet
from resultsgen.reading.tables import ReadTable, read_table
from resultsgen.reading.texts import tidy

SETTINGS = """
== meet.toml ==
title = "Cup"
[[competition]]
id = "women"
title = "Women"
discipline = "women"
"""
ROSTER = (("bib", "family_name", "club"), ("007", "DŁUGA", "Söder, e.V."), ("8", "ΩΜΕΓΑ", "Nord"))
MARKS = (("bib", "apparatus", "mark"), ("007", "VT", "13.700"), ("8", "FX", "0"), ("8", "UB", ""))
ENCODINGS = ("utf-8", "utf-8-sig", "utf-16", "utf-16-le-bom", "utf-16-be-bom")
OURS = (MeetColumn("bib", "The number", needed=True), MeetColumn("club", "The club"))


def encoded(text: str, encoding: str) -> bytes:
    if encoding.endswith("-bom"):
        return ("\ufeff" + text).encode(encoding.removesuffix("-bom"))
    return text.encode(encoding)


def csv(rows: tuple[tuple[str, ...], ...], separator: str, quoted: bool, end: str) -> str:
    def cell(text: str) -> str:
        return f'"{text}"' if quoted or separator in text else text

    return "".join(separator.join(map(cell, row)) + end for row in rows)


def assert_read(folder: Path) -> None:
    meet, problems = read_meet(folder)
    assert [str(problem) for problem in problems] == []
    assert meet is not None
    assert [(one.bib, one.family_name, one.club) for one in meet.entries] == list(ROSTER[1:])
    assert [(one.mark, one.line) for one in meet.mark_rows] == [(13700, 2), (0, 3)]


@pytest.mark.parametrize(
    ("encoding", "separator", "point", "quoted"),
    list(product(ENCODINGS, (",", ";", "\t"), (".", ","), (False, True))),
)
def test_every_encoding_separator_and_decimal_sign(
    tmp_path: Path, encoding: str, separator: str, point: str, quoted: bool
) -> None:
    folder = write_folder(tmp_path, SETTINGS)
    marks = tuple(tuple(cell.replace(".", point) for cell in row) for row in MARKS)
    for name, rows in (("roster.csv", ROSTER), ("marks.csv", marks)):
        (folder / name).write_bytes(encoded(csv(rows, separator, quoted, "\r\n"), encoding))
    assert_read(folder)


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_every_end_of_line(tmp_path: Path, end: str) -> None:
    folder = write_folder(tmp_path, SETTINGS)
    for name, rows in (("roster.csv", ROSTER), ("marks.csv", MARKS)):
        (folder / name).write_bytes(csv(rows, ";", False, end).encode())
    assert_read(folder)


def test_another_encoding_is_told_with_the_line(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, SETTINGS)
    (folder / "roster.csv").write_bytes(
        csv(ROSTER[:2], ";", False, "\n").encode("iso8859-2", "ignore")
    )
    (folder / "marks.csv").write_bytes(b"bib,apparatus,mark\n")
    (problem,) = read_meet(folder)[1]
    assert (problem.file, problem.row, problem.code) == ("roster.csv", 2, "not-utf8")


def test_sixteen_bits_without_a_mark_are_told(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, SETTINGS)
    (folder / "roster.csv").write_bytes("bib,family_name\n1,ADAMS\n".encode("utf-16-le"))
    (folder / "marks.csv").write_bytes(b"bib,apparatus,mark\n")
    assert [problem.code for problem in read_meet(folder)[1]] == ["not-utf8"]


def test_before_the_meet_there_need_be_no_marks(tmp_path: Path) -> None:
    """But a table that nobody reads may be meant to be the marks, and so may a name in settings."""
    text = SETTINGS + "== roster.csv ==\nbib,family_name\n1,ADAMS\n"
    meet, problems = read_meet(write_folder(tmp_path, text))
    assert meet is not None
    assert problems == []
    assert [note.code for note in meet.notes] == ["no-marks-yet"]
    (tmp_path / "Marks.csv").write_bytes(b"bib,apparatus,mark\n")
    assert [one.code for one in read_meet(tmp_path)[1]] == ["no-such-file"]
    named = text.replace("title", 'files.marks = "marks.csv"\n    title', 1)
    meet, problems = read_meet(write_folder(tmp_path / "named", named))
    assert [one.code for one in problems] == ["no-such-file"]


def test_an_empty_table_is_told(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, SETTINGS + "== roster.csv ==\n== marks.csv ==\n\n\n")
    assert {(one.file, one.code) for one in read_meet(folder)[1]} == {
        ("roster.csv", "no-heading"),
        ("marks.csv", "no-heading"),
    }


def test_a_roster_with_nobody_is_told(tmp_path: Path) -> None:
    folder = write_folder(
        tmp_path, SETTINGS + "== roster.csv ==\nbib,family_name\n== marks.csv ==\nbib,VT\n1,9.0\n"
    )
    assert [one.code for one in read_meet(folder)[1]] == ["empty-roster"]


def read(folder: Path, text: str, **mapped: str) -> tuple[ReadTable, list[str]]:
    (folder / "table.csv").write_text(text, encoding="utf-8", newline="")
    table = read_table(folder, "table.csv", OURS, Mapped(mapped), "roster")
    assert table.was_read, table.problems
    return table, [f"{one.row} {one.column} {one.code}" for one in table.problems]


@pytest.mark.parametrize("shown", ["#N/A", "#DIV/0!", "#BEZUG!", "#¿NOMBRE?", " #NV "])
def test_an_error_that_a_spreadsheet_wrote_into_a_csv_is_told(tmp_path: Path, shown: str) -> None:
    table, problems = read(tmp_path, f'bib,club\n1,"{shown}"\n2,#1 Gym\n3,#tag\n')
    assert table.column("club") == ["", "#1 Gym", "#tag"]
    assert problems == ["2 club broken-cell"]


def test_quoted_cells_may_spread_over_lines(tmp_path: Path) -> None:
    table, problems = read(
        tmp_path, 'bib,club\n1,"One\nTwo\r\nThree"\n2,Four\n\n3,"Fi\nve"\n4,Six\n'
    )
    assert not problems
    assert table.column("club") == ["One Two Three", "Four", "Fi ve", "Six"]
    assert table.lines == [2, 5, 7, 9]


def test_a_heading_may_spread_over_lines_and_follow_blank_ones(tmp_path: Path) -> None:
    table, problems = read(tmp_path, '\n\n"bib","club\n"\n1,North\n')
    assert not problems
    assert table.column("club") == ["North"]
    assert table.lines == [5]


def test_blank_rows_are_no_rows_and_keep_their_lines(tmp_path: Path) -> None:
    table, _ = read(tmp_path, "bib,club,note\n\n1,North,\n,,\n  , ,\n,,left\n2,,\n")
    assert table.column("bib") == ["1", "", "2"]
    assert table.lines == [3, 6, 7]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("quoted", ["1", '"1"'])
def test_a_row_with_too_few_cells_is_told(tmp_path: Path, end: str, quoted: str) -> None:
    """A cell taken out moves those behind it under the heading before."""
    text = f"bib,club,note,{end}{quoted},x{end}{end} ,{end}2,North,a{end}3,South,,{end}"
    _, problems = read(tmp_path, text)
    assert problems == ["2  too-few-cells"]


def test_a_sign_that_nothing_prints_is_told_and_not_taken_out(tmp_path: Path) -> None:
    _, problems = read(tmp_path, "bib,club\n1,North\n2,\x02outh\n")
    assert problems == ["3 club unfit-text"]


def test_what_stands_under_no_heading_is_told_once_at_its_place(tmp_path: Path) -> None:
    _, problems = read(tmp_path, "bib,club,,note,\n1,North,,,\n2,South,x,,9\n3,,y,,\n")
    assert problems == ["3 C cell-without-heading"]


@pytest.mark.parametrize(
    ("heading", "told"),
    [
        ("clubs", ["1 clubs unknown-heading"]), ("Clb", ["1 Clb unknown-heading"]),
        ("clbu", ["1 clbu unknown-heading"]), ("kclub", ["1 kclub unknown-heading"]),
        ("Clubhouse", []), ("place", []), ("x", []),
    ],
)  # fmt: skip
def test_a_heading_that_is_nearly_ours_is_told(
    tmp_path: Path, heading: str, told: list[str]
) -> None:
    assert read(tmp_path, f"bib,{heading}\n1,x\n")[1] == told
    assert read(tmp_path, f"bib,club,{heading}\n1,x,y\n")[1] == []


LEFT = """
== meet.toml ==
title = "Cup"
{files}
[[competition]]
id = "women"
title = "Women"
discipline = "women"
"""


def notes(folder: Path) -> list[str]:
    meet, problems = read_meet(folder)
    assert meet is not None
    assert [str(one) for one in problems] == []
    return [str(note) for note in meet.notes]


def test_what_is_left_alone_is_told_once_for_each_table(tmp_path: Path) -> None:
    tables = """
== roster.csv ==
bib,family_name,Platz,empty
1,ADAMS,1,
2,BELL,,
== marks.csv ==
bib,VT,UB,BB,FX,Gesamt,penalty,Platz
1,9,9,9,9,36,0.3,1
2,8,8,8,8,32,,2
== bests.csv ==
record,bib,apparatus,mark,where,division
meet,2,VT,9.5,North,
meet,,PH,9.5,,junior
"""
    assert notes(write_folder(tmp_path, LEFT.format(files="") + tables)) == [
        "bests.csv:1 columns left alone: where (left-alone)",
        "bests.csv:2 [bib] 2 left alone: a record of the meet is nobody's own (left-alone)",
        "bests.csv:3 [apparatus] PH left alone: no competition has it (left-alone)",
        "bests.csv:3 [division] junior left alone: nobody on the roster is of it (left-alone)",
        "marks.csv:1 columns left alone: penalty (left-alone)",
        "roster.csv:1 columns left alone: Platz (left-alone)",
    ]


def test_what_is_clear_by_the_discipline_of_the_sheet_is_not_left_alone(tmp_path: Path) -> None:
    of_men = '[[competition]]\nid = "men"\ntitle = "Men"\ndiscipline = "men"\n'
    files = 'files.roster = ["w.csv", "m.csv"]'
    held = 'marks = ["w.csv"]\napparatus = ["VT", "UB", "FX"]\n'
    held += f'{of_men}marks = ["m.csv"]\napparatus = ["VT", "PB", "FX"]\n'
    tables = "== w.csv ==\nbib,family_name,discipline,Sp,Ba,Bo\n1,ADAMS,women,9,9,9\n"
    tables += "== m.csv ==\nbib,family_name,discipline,Sp,Barren,Bo\n2,BELL,men,9,9,9\n"
    assert notes(write_folder(tmp_path, LEFT.format(files=files) + held + tables)) == []


def test_what_another_table_of_the_same_sheet_reads_is_not_left_alone(tmp_path: Path) -> None:
    files = 'files = { roster = "all.csv", marks = "all.csv" }'
    table = "== all.csv ==\nbib,family_name,club,VT,UB,BB,FX,Hair\n1,ADAMS,North,9,9,9,9,36\n"
    assert notes(write_folder(tmp_path, LEFT.format(files=files) + table)) == [
        "all.csv:1 columns left alone: Hair (left-alone)"
    ]


@pytest.mark.parametrize(
    ("heading", "told"),
    [
        ("Barz", "UB"), ("UBB", "UB"), ("UB finl", "UB"), ("Unevn Bars", "UB"), ("U", "UB"),
        ("Hair", ""), ("VT E1", ""), ("Horse", ""),
    ],
)  # fmt: skip
def test_a_heading_that_looks_like_a_missing_apparatus_is_told(
    tmp_path: Path, heading: str, told: str
) -> None:
    roster = "== roster.csv ==\nbib,family_name\n1,ADAMS\n"
    table = f"== marks.csv ==\nbib,VT,{heading},BB,FX\n1,9,9,9,9\n"
    folder = write_folder(tmp_path, LEFT.format(files="") + roster + table)
    _, problems = read_meet(folder)
    message = f"{heading} looks like {told}, for which there is no column"
    assert [one.message.split(";")[0] for one in problems] == ([message] if told else [])
    (folder / "marks.csv").write_text(f"bib,VT,UB,BB,FX,{heading}\n1,9,9,9,9,9\n")
    assert notes(folder) == [f"marks.csv:1 columns left alone: {heading} (left-alone)"]


@pytest.mark.parametrize("heading", ["VTT", "other vault", "VT second"])
def test_a_second_vault_by_another_name_is_told_where_two_are_needed(
    tmp_path: Path, heading: str
) -> None:
    roster = "== roster.csv ==\nbib,family_name\n1,ADAMS\n"
    table = f"== marks.csv ==\nbib,VT,{heading},UB,BB,FX\n1,9,9,9,9,9\n"
    folder = write_folder(tmp_path, LEFT.format(files="") + "vaults = 2\n" + roster + table)
    assert [(one.code, one.column) for one in read_meet(folder)[1]] == [
        ("unknown-heading", heading)
    ]
    (folder / "marks.csv").write_text("bib,VT,VT2,UB,BB,FX\n1,9,9,9,9,9\n")
    assert notes(folder) == []


@pytest.mark.parametrize("heading", ["bib", "BIB", " Bib ", "\tbib"])
def test_headings_in_any_hand(tmp_path: Path, heading: str) -> None:
    table, problems = read(tmp_path, f"{heading},x\n1,2\n")
    assert not problems
    assert table.column("bib") == ["1"]


def test_a_mapped_heading_is_taken_and_ours_left_alone(tmp_path: Path) -> None:
    table, problems = read(
        tmp_path, "Start No.,Verein,club\n1,North,x\n", bib="Start No.", club="Verein"
    )
    assert not problems
    assert table.column("club") == ["North"]


def test_a_mapped_heading_that_is_not_there_is_told(tmp_path: Path) -> None:
    _, problems = read(tmp_path, "bib,Verien\n1,North\n", club="Verein")
    assert problems == ["1 Verein no-such-column"]


def test_two_headings_alike_are_told_but_not_two_unknown_ones(tmp_path: Path) -> None:
    assert read(tmp_path, "bib,Bib,club\n1,2,3\n")[1] == ["1 Bib heading-twice"]
    assert read(tmp_path, "bib,note,note\n1,2,3\n")[1] == []


def test_rows_that_do_not_fit_are_all_told(tmp_path: Path) -> None:
    text = 'bib,club\n1,"a\nb"\n2,13,7\n3,x\n4,13,8\n'
    (tmp_path / "table.csv").write_text(text, encoding="utf-8")
    table = read_table(tmp_path, "table.csv", OURS, Mapped({}), "roster")
    assert not table.was_read
    assert [(one.row, one.code, one.value) for one in table.problems] == [
        (4, "too-many-cells", "2,13,7"),
        (6, "too-many-cells", "4,13,8"),
    ]


def test_rows_inside_of_a_quotation_are_told(tmp_path: Path) -> None:
    text = 'bib,club\n1,"North\n2,South\n3,"West\n'
    (tmp_path / "table.csv").write_text(text, encoding="utf-8")
    table = read_table(tmp_path, "table.csv", OURS, Mapped({}), "roster")
    (problem,) = table.problems
    assert (table.was_read, problem.row, problem.code) == (False, 2, "open-quotation")


@pytest.mark.parametrize("blank", [" ", "\t", "\N{NO-BREAK SPACE}"])
def test_a_blank_behind_a_quotation_mark_is_nothing_there(tmp_path: Path, blank: str) -> None:
    text = f'bib,club\n1,"North"{blank}\n"2"{blank},South\n'
    (tmp_path / "table.csv").write_text(text, encoding="utf-8")
    assert read_table(tmp_path, "table.csv", OURS, Mapped({}), "roster").problems == []


@pytest.mark.parametrize("name", ["../table.csv", "/etc/hostname", "a/../../x.csv"])
def test_nothing_outside_the_folder_is_read(tmp_path: Path, name: str) -> None:
    table = read_table(tmp_path, name, OURS, Mapped({}), "roster")
    (problem,) = table.problems
    assert (table.was_read, problem.code) == (False, "outside-the-folder")


def test_a_link_out_of_the_folder_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "secret.csv").write_text("bib\n1\n")
    folder = tmp_path / "meet"
    folder.mkdir()
    (folder / "roster.csv").symlink_to(tmp_path / "secret.csv")
    table = read_table(folder, "roster.csv", OURS, Mapped({}), "roster")
    (problem,) = table.problems
    assert (table.was_read, problem.code) == (False, "outside-the-folder")


@given(st.text(st.characters()))
def test_a_tidy_text_stays_so_and_hides_nothing(text: str) -> None:
    once = tidy(text)
    assert tidy(once) == once
    assert once == once.strip()
    assert not {unicodedata.category(sign) for sign in once} & {"Cc", "Cs", "Zl", "Zp"}


def test_a_sign_that_prints_nothing_or_turns_the_rest_round_is_left_out() -> None:
    assert tidy("Ada\u202e lleB") == "Ada lleB"
    assert tidy("\ufeffA\u200bda\u200f Be\u00adll\u2060") == "Ada Bell"
    assert tidy("क्\u200dष") == "क्\u200dष", "it joins letters"


def test_composed_and_taken_apart_letters_are_the_same_name() -> None:
    assert tidy("Åse") == tidy("A\u030ase") == "Åse"


cells = st.text(st.characters(codec="utf-8", exclude_characters="\0,;\t"), max_size=8)


@given(rows=st.lists(st.tuples(cells, cells), max_size=8), separator=st.sampled_from(",;\t"))
def test_what_a_csv_writer_writes_is_read(
    tmp_path_factory: pytest.TempPathFactory, rows: list[tuple[str, str]], separator: str
) -> None:
    import csv as writing

    folder = tmp_path_factory.mktemp("table")
    with (folder / "table.csv").open("w", encoding="utf-8", newline="") as file:
        writer = writing.writer(file, delimiter=separator, quoting=writing.QUOTE_ALL)
        writer.writerows([("bib", "club"), *rows])
    table = read_table(folder, "table.csv", OURS, Mapped({}), "roster")
    assert table.was_read, table.problems
    # An apostrophe before what a spreadsheet would run is no part of the text.
    expected = [(tidy(as_meant(bib)), tidy(as_meant(club))) for bib, club in rows]
    found = zip(table.column("bib"), table.column("club"), strict=True)
    assert list(found) == [row for row in expected if any(row)]


def test_a_title_above_the_headings_is_told_as_one(tmp_path: Path) -> None:
    (tmp_path / "roster.csv").write_text("Autumn Cup,,\nbib,club,family_name\n1,North,ADAMS\n")
    problems = read_table(tmp_path, "roster.csv", OURS, Mapped({}), "roster").problems
    (above,) = [one for one in problems if one.code == "cell-without-heading"]
    assert '[tables."roster.csv"]  heading = 2' in above.message


@pytest.mark.parametrize(
    ("old", "new", "codes"),
    [
        ("2,BELL,Bea,senior,12", "1,BELL,Bea,senior,12", [(3, "bib", "bib-twice")]),
        ("2,BELL,Bea,senior,12", ",BELL,Bea,senior,12", [(3, "bib", "empty-cell")]),
        ("bib,family_name", "shirt,family_name", [(1, "bib", "no-such-column")]),
    ],
)
def test_one_slip_in_a_table_of_roster_and_marks_is_told_once(
    tmp_path: Path, old: str, new: str, codes: list[tuple[int, str, str]]
) -> None:
    """What follows from it, in the marks of the same row, is not told beside it."""
    text = """
        == meet.toml ==
        title = "Cup"
        files = { roster = "all.csv", marks = "all.csv" }
        [[competition]]
        id = "women"
        title = "Women"
        discipline = "women"
        divisions = ["senior"]
        == all.csv ==
        bib,family_name,given_name,division,VT,UB
        1,ADAMS,Ada,senior,11,11
        2,BELL,Bea,senior,12,12
        """
    folder = write_folder(tmp_path, text.replace(old, new))
    found = [(one.row, one.column, one.code) for one in read_meet(folder)[1]]
    assert found == codes
