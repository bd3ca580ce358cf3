"""Where tables stand on a sheet, and what their columns and lines are taken for."""

from __future__ import annotations

import pytest

from resultsgen.files.beside import Merged
from resultsgen.intake.columns import understood
from resultsgen.intake.doubts import undecided_headings
from resultsgen.intake.meanings import said_by
from resultsgen.intake.tables import NamedSheet, tables_in
from resultsgen.reading.sheets import Sheet


def sheet(text: str, *merged: Merged, name: str = "Sheet1") -> NamedSheet:
    """A sheet as it is drawn: a line for each row, cells parted by |."""
    rows = [[cell.strip() for cell in line.split("|")] for line in text.strip("\n").splitlines()]
    width = max(map(len, rows))
    rows = [row + [""] * (width - len(row)) for row in rows]
    return NamedSheet("a.xlsx", Sheet(name, rows, range(1, len(rows) + 1), merged=merged))


def found(*drawn: object, **more: str):
    """Of each table: the rows of its heading, those of gymnasts, and what is said of each."""
    return [
        (one.heading.rows, one.rows, [one.said[row] for row in one.rows])
        for one in tables_in(sheet(*drawn, **more))
    ]


def test_titles_stand_above_and_totals_and_signatures_below():
    ((heading, rows, said),) = found(
        """
        Spring Cup
        15.3.2031 | | | 4

        Nr | Name      | Verein | Sprung | Boden
        1  | Vale, Ada | TV A   | 9.1    | 8
        2  | Torr, Bea | TV A   | 9.1    | 8

        Summe |        |        | 18.2   | 16
        Kampfrichterin: X
        """
    )
    assert (heading, rows, said) == ((3,), [4, 5], [{}, {}])


@pytest.mark.parametrize("merged", [(), (Merged(0, 2, 1, 3), Merged(0, 5, 1, 2))])
def test_a_heading_of_two_rows_is_joined(merged):
    drawn = """
        Nr | Name     | Vault |    |       | Beam |
           |          | D     | E  | Final | E1   | Score
        1  | Vale Ada | 9.1   | 8  | 7     | 9    | 33.1
        """
    (table,) = tables_in(sheet(drawn, *merged))
    assert table.heading.rows == (0, 1)
    meant = {table.heading.texts[at]: (one.apparatus, one.column)
             for at, one in table.heading.meant.items()}  # fmt: skip
    assert meant == {
        "Nr": ("", "bib"), "Name": ("", "name"), "Vault D": ("VT", "d"), "Vault E": ("VT", "e"),
        "Vault Final": ("VT", "mark"), "Beam Score": ("BB", "mark"),
    }  # fmt: skip


def test_a_line_across_the_table_is_said_of_the_rows_below():
    ((_, rows, said),) = found(
        """
        Name         | Sprung | Boden
        TV Quellheim
        Ada Vale     | 9      | 8
        TV Merrowick
        Bea Torr     | 9      | 8
        Cea Tarr
        """
    )
    clubs = [one["club"] for one in said]
    assert (rows, clubs) == ([2, 4, 5], ["TV Quellheim", "TV Merrowick", "TV Merrowick"])


def test_a_level_ends_the_club_above_it():
    ((_, _, said),) = found(
        """
        Nr | Name
        Level 3
        TV A
        1  | Ada Vale
        Level 4
        2  | Bea Torr
        """
    )
    assert said == [{"division": "Level 3", "club": "TV A"}, {"division": "Level 4"}]


def test_a_gymnast_with_nothing_but_a_name_is_no_line():
    ((_, rows, _),) = found("Name | VT | FX\nAda Vale | 9 | 8\nBea Torr\nCea Tarr | 7 | 8")
    assert rows == [1, 2, 3]


def test_a_remark_among_the_gymnasts_is_none_of_theirs():
    (table,) = tables_in(
        sheet("Nr | Name | VT\n1 | Ada Vale | 9\nPause!\n2 | Bea Torr | 8\n3 | Cea Tarr | 7")
    )
    assert (table.rows, table.between) == ([1, 3, 4], {2: "a line of its own"})


def test_tables_beside_each_other_and_the_heading_again():
    left, right = found(
        """
        Level 3
        Nr | Name     | VT | | Nr | Name     | FX
        1  | Ada Vale | 9  | | 2  | Bea Torr | 8
        Level 4
        Nr | Name     | VT | | Nr | Name     | FX
        3  | Cea Tarr | 9  | | 4  | Dea Virr | 8
        """
    )
    levels = [{"division": "Level 3"}, {"division": "Level 4"}]
    assert left == right == ((1,), [2, 5], levels)


def test_a_letter_has_no_table():
    assert not found("Dear parents, | please bring\nName and | Water\nYours")


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("Level 3", {"division": "Level 3"}),
        ("AK 8/9", {"division": "AK 8/9"}),
        ("L3 Vault", {"division": "L3", "apparatus": "VT"}),
        ("Level 4 (Age 9-10)", {"division": "Level 4 (Age 9-10)"}),
        ("Level 4 Age 11+ Women", {"division": "Level 4 Age 11+", "discipline": "women"}),
        ("Level 4 - Juniors", {"division": "Level 4 - Juniors"}),
        ("Level 4 (Gold)", {"division": "Level 4 (Gold)"}),
        ("Level 4 (Session 2)", {"division": "Level 4", "session": "Session 2"}),
        ("U12", {"division": "U12"}),
        ("Juniorinnen", {"division": "Juniorinnen"}),
        ("Session 2", {"session": "Session 2"}),
        ("2. Durchgang", {"session": "2. Durchgang"}),
        ("Balance Beam", {"apparatus": "BB"}),
        ("Level 3 - Vault", {"division": "Level 3", "apparatus": "VT"}),
        ("Women Level 3", {"discipline": "women", "division": "Level 3"}),
        ("Spring Cup 2031", {}),
        ("Tabelle1", {}),
    ],
)
def test_the_name_of_a_sheet_says(name, said):
    assert said_by(name) == said


def test_an_apparatus_that_two_disciplines_call_alike_is_that_of_the_table():
    for other, code in (("Reck", "PB"), ("Balken", "UB")):
        (table,) = tables_in(sheet(f"Name | Barren | {other}\nAda Vale | 9 | 8"))
        assert understood(table, said_by(table.sheet.name)).codes[0] == code
    (table,) = tables_in(sheet("Name | Barren | Boden\nAda Vale | 9 | 8"))
    assert understood(table, said_by(table.sheet.name)).unclear == ("Barren",)


def test_two_columns_of_one_meaning_are_asked_about():
    drawn = "Name | D | Score | Final\nAda Vale | | 9.1 | \nBea Torr | | 9.2 | 9.0"
    (table,) = tables_in(sheet(drawn, name="Vault"))
    one = understood(table, said_by(table.sheet.name))
    assert [question.asked for question in one.questions] == [
        "a.xlsx: Score and Final mean the same, mark; Score is read"
    ]
    assert one.mapped == {"mark": "Score"}
    assert one.left == {3: "means the same as Score"}


def test_years_and_marks_under_headings_that_say_nothing_are_asked_about():
    (table,) = tables_in(sheet("Name | Club | When | Foo\nAda Vale | A | 2014 | 9.15"))
    one = understood(table, said_by(table.sheet.name))
    (of_years,) = one.questions
    assert of_years.lines == ('columns.birth_year = "When"',)
    (of_marks,) = undecided_headings([one])[1]
    assert of_marks.asked.startswith("a.xlsx: Foo holds numbers like marks; of which apparatus?")
