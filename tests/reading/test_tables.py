"""Tables in every form: what is read is the same, and each row keeps its line."""

from __future__ import annotations

import unicodedata
from itertools import product
from pathlib import Path

import pytest
from folders import write_folder
from hypothesis import given
from hypothesis import strategies as st

from resultsgen.meet import Column
from resultsgen.reading import read_meet
from resultsgen.reading.tables import Mapped, Table, read_table
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
OURS = (Column("bib", "The number", needed=True), Column("club", "The club"))


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
    assert meet.roster["family_name"].tolist() == ["DŁUGA", "ΩΜΕΓΑ"]
    assert meet.roster["club"].tolist() == ["Söder, e.V.", "Nord"]
    assert meet.roster["bib"].tolist() == ["007", "8"]
    assert meet.marks["mark"].tolist() == [13700, 0]
    assert meet.marks["line"].tolist() == [2, 3]


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


def read(folder: Path, text: str, **mapped: str) -> tuple[Table, list[str]]:
    (folder / "table.csv").write_text(text, encoding="utf-8", newline="")
    table, problems = read_table(folder, "table.csv", OURS, Mapped(mapped), "roster")
    assert table is not None, problems
    return table, [f"{one.row} {one.column} {one.code}" for one in problems]


def test_quoted_cells_may_spread_over_lines(tmp_path: Path) -> None:
    table, problems = read(
        tmp_path, 'bib,club\n1,"One\nTwo\r\nThree"\n2,Four\n\n3,"Fi\nve"\n4,Six\n'
    )
    assert not problems
    assert table.column("club").text().tolist() == ["One Two Three", "Four", "Fi ve", "Six"]
    assert table.lines.tolist() == [2, 5, 7, 9]


def test_a_heading_may_spread_over_lines_and_follow_blank_ones(tmp_path: Path) -> None:
    table, problems = read(tmp_path, '\n\n"bib","club\n"\n1,North\n')
    assert not problems
    assert table.column("club").text().tolist() == ["North"]
    assert table.lines.tolist() == [5]


def test_blank_rows_are_no_rows_and_keep_their_lines(tmp_path: Path) -> None:
    table, _ = read(tmp_path, "bib,club,note\n\n1,North,\n,,\n  , ,\n,,left\n2,,\n")
    assert table.column("bib").text().tolist() == ["1", "", "2"]
    assert table.lines.tolist() == [3, 6, 7]


def test_short_rows_are_filled_up(tmp_path: Path) -> None:
    table, _ = read(tmp_path, "bib,club\n1\n2,North\n")
    assert table.column("club").text().tolist() == ["", "North"]


@pytest.mark.parametrize("heading", ["bib", "BIB", " Bib ", "\tbib"])
def test_headings_in_any_hand(tmp_path: Path, heading: str) -> None:
    table, problems = read(tmp_path, f"{heading},x\n1,2\n")
    assert not problems
    assert table.column("bib").text().tolist() == ["1"]


def test_a_mapped_heading_is_taken_and_ours_left_alone(tmp_path: Path) -> None:
    table, problems = read(
        tmp_path, "Start No.,Verein,club\n1,North,x\n", bib="Start No.", club="Verein"
    )
    assert not problems
    assert table.column("club").text().tolist() == ["North"]


def test_a_mapped_heading_that_is_not_there_is_told(tmp_path: Path) -> None:
    _, problems = read(tmp_path, "bib,Verien\n1,North\n", club="Verein")
    assert problems == ["1 Verein no-such-column"]


def test_two_headings_alike_are_told_but_not_two_unknown_ones(tmp_path: Path) -> None:
    assert read(tmp_path, "bib,Bib,club\n1,2,3\n")[1] == ["1 Bib heading-twice"]
    assert read(tmp_path, "bib,note,note\n1,2,3\n")[1] == []


def test_rows_that_do_not_fit_are_all_told(tmp_path: Path) -> None:
    text = 'bib,club\n1,"a\nb"\n2,13,7\n3,x\n4,13,8\n'
    (tmp_path / "table.csv").write_text(text, encoding="utf-8")
    table, problems = read_table(tmp_path, "table.csv", OURS, Mapped({}), "roster")
    assert table is None
    assert [(one.row, one.code, one.value) for one in problems] == [
        (4, "too-many-cells", "2,13,7"),
        (6, "too-many-cells", "4,13,8"),
    ]


def test_rows_inside_of_a_quotation_are_told(tmp_path: Path) -> None:
    text = 'bib,club\n1,"North\n2,South\n3,"West\n'
    (tmp_path / "table.csv").write_text(text, encoding="utf-8")
    table, (problem,) = read_table(tmp_path, "table.csv", OURS, Mapped({}), "roster")
    assert (table, problem.row, problem.code) == (None, 2, "open-quotation")


@pytest.mark.parametrize("name", ["../table.csv", "/etc/hostname", "a/../../x.csv"])
def test_nothing_outside_the_folder_is_read(tmp_path: Path, name: str) -> None:
    table, (problem,) = read_table(tmp_path, name, OURS, Mapped({}), "roster")
    assert (table, problem.code) == (None, "outside-the-folder")


def test_a_link_out_of_the_folder_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "secret.csv").write_text("bib\n1\n")
    folder = tmp_path / "meet"
    folder.mkdir()
    (folder / "roster.csv").symlink_to(tmp_path / "secret.csv")
    table, (problem,) = read_table(folder, "roster.csv", OURS, Mapped({}), "roster")
    assert (table, problem.code) == (None, "outside-the-folder")


@given(st.text(st.characters()))
def test_a_tidy_text_stays_so_and_hides_nothing(text: str) -> None:
    once = tidy(text)
    assert tidy(once) == once
    assert once == once.strip()
    assert not {unicodedata.category(sign) for sign in once} & {"Cc", "Cs", "Zl", "Zp"}


def test_a_sign_that_turns_the_rest_round_is_left_out() -> None:
    assert tidy("Ada\u202e lleB") == "Ada lleB"


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
    table, problems = read_table(folder, "table.csv", OURS, Mapped({}), "roster")
    assert table is not None, problems
    expected = [(tidy(bib), tidy(club)) for bib, club in rows]
    found = zip(table.column("bib").text(), table.column("club").text(), strict=True)
    assert list(found) == [row for row in expected if any(row)]
