"""Marks in the long form and the wide one, and whose they are."""

from __future__ import annotations

import random
from operator import attrgetter
from pathlib import Path

import pytest
from folders import write_folder
from hypothesis import given
from hypothesis import strategies as st

from resultsgen.meet.columns import MARKS
from resultsgen.meet.columns import ROSTER as ROSTER_OF
from resultsgen.meet.folder import Entry, MarkRow, Meet
from resultsgen.meet.marks import show_mark
from resultsgen.reading.meet import read_meet

ROSTER = """
== meet.toml ==
title = "Cup"
[[competition]]
id = "women"
title = "Women"
discipline = "women"
ranks = ["all-around"]
== roster.csv ==
bib,family_name
1,ADAMS
2,BELL
3,COLE
"""
COLUMNS = ["gymnast", "apparatus", "vault", "mark", "status"]
PARTS = {"VT": ("VT", 1), "VT2": ("VT", 2), "UB": ("UB", 1), "BB": ("BB", 1), "FX": ("FX", 1)}


def read(folder: Path) -> Meet:
    meet, problems = read_meet(folder)
    assert [str(problem) for problem in problems] == []
    assert meet is not None
    return meet


def with_marks(folder: Path, marks: str) -> Meet:
    write_folder(folder, ROSTER)
    (folder / "marks.csv").write_text(marks, encoding="utf-8")
    return read(folder)


def rows(meet: Meet) -> list[tuple[object, ...]]:
    return sorted(map(attrgetter(*COLUMNS), meet.mark_rows), key=str)


def test_marks_statuses_and_what_is_to_come(tmp_path: Path) -> None:
    meet = with_marks(
        tmp_path, "bib,apparatus,mark,status\n1,VT,0,\n1,UB,,\n2,VT,dns,\n2,UB,,DNF\n3,,,WDR\n"
    )
    assert rows(meet) == [
        (0, "VT", 1, 0, ""),
        (1, "UB", 1, None, "DNF"),
        (1, "VT", 1, None, "DNS"),
        (2, "", 1, None, "WDR"),
    ]


def test_the_rows_are_as_the_meet_promises(tmp_path: Path) -> None:
    meet = with_marks(tmp_path, "bib,apparatus,mark,penalty\n1,VT,9.9,-0.1\n2,VT,9.8,0.3\n")
    assert {column.name for column in MARKS if not column.beside} <= {*MarkRow._fields}
    assert [(row.mark, row.penalty) for row in meet.mark_rows] == [(9900, 100), (9800, 300)]
    nothing = {(row.d, row.e, row.bonus, row.rotation) for row in meet.mark_rows}
    assert nothing == {(None, None, None, None)}
    where = {(row.competition, row.file, row.column) for row in meet.mark_rows}
    assert where == {("women", "marks.csv", "mark")}


def test_an_entry_has_what_the_roster_has(tmp_path: Path) -> None:
    assert [*Entry._fields] == ["key", "file", "line", *(one.name for one in ROSTER_OF)]
    entries = with_marks(tmp_path, "bib,apparatus,mark\n").entries
    kinds = {"whole number": (int, type(None)), "yes or no": bool}
    for entry in entries:
        for column in ROSTER_OF:
            assert isinstance(getattr(entry, column.name), kinds.get(column.kind, str))
    assert [entry.key for entry in entries] == [0, 1, 2]


def test_before_the_first_mark_there_is_no_row(tmp_path: Path) -> None:
    assert with_marks(tmp_path, "bib,apparatus,mark\n1,VT,\n").mark_rows == ()


@pytest.mark.parametrize(
    ("word", "code", "vault"),
    [
        ("VT", "VT", 1), ("vt", "VT", 1), ("Vault", "VT", 1), ("VT2", "VT", 2), ("VT 2", "VT", 2),
        ("Vault 2", "VT", 2), ("vt1", "VT", 1), ("Balance_Beam", "BB", 1), ("beam", "BB", 1),
        ("UE", "UB", 1), ("Asymmetric Bars", "UB", 1), ("floor exercise", "FX", 1),
    ],
)  # fmt: skip
def test_apparatus_by_code_name_or_alias(tmp_path: Path, word: str, code: str, vault: int) -> None:
    long = with_marks(tmp_path, f"bib,apparatus,mark\n1,{word},9.5\n")
    assert rows(long) == [(0, code, vault, 9500, "")]
    wide = with_marks(tmp_path, f"bib,{word}\n1,9.5\n")
    assert rows(wide) == [(0, code, vault, 9500, "")]
    assert [row.column for row in wide.mark_rows] == [word]


def test_own_words_for_apparatus_and_columns(tmp_path: Path) -> None:
    write_folder(tmp_path, ROSTER)
    with (tmp_path / "meet.toml").open("a") as file:
        file.write('[columns.marks]\nbib = "Nr"\nmark = "Endwert"\napparatus = "Gerät"\n')
        file.write('[columns.apparatus]\nSprung = "VT"\n"Stufenbarren (neu)" = "UB"\n')
    (tmp_path / "marks.csv").write_text("Nr;Gerät;Endwert\n1;sprung;9,5\n1;Stufenbarren (neu);9\n")
    assert rows(read(tmp_path)) == [(0, "UB", 1, 9000, ""), (0, "VT", 1, 9500, "")]


def test_a_wide_table_may_hold_a_status_and_a_rotation(tmp_path: Path) -> None:
    meet = with_marks(tmp_path, "bib,UB,Vault,rotation,status\n1,9.5,9.6,2,\n2,,,,DNS\n3,dnf,,1,\n")
    assert rows(meet) == [
        (0, "UB", 1, 9500, ""),
        (0, "VT", 1, 9600, ""),
        (1, "", 1, None, "DNS"),
        (2, "UB", 1, None, "DNF"),
    ]
    assert [row.rotation for row in meet.mark_rows][:2] == [2, 2]


def test_two_columns_of_one_apparatus_are_told(tmp_path: Path) -> None:
    write_folder(tmp_path, ROSTER)
    for heading in ("bib,VT,Vault", "bib,UB,UB", "bib,UB,ub"):
        (tmp_path / "marks.csv").write_text(f"{heading}\n1,9.5,9.6\n")
        problems = read_meet(tmp_path)[1]
        assert "heading-twice" in [problem.code for problem in problems], heading


def test_a_file_with_three_decimals_throughout_reads_the_same_with_commas(tmp_path: Path) -> None:
    points = with_marks(tmp_path, "bib;VT;UB\n1;13.700;9.950\n2;10.000;0.000\n")
    commas = with_marks(tmp_path, "bib;VT;UB\n1;13,700;9,950\n2;10,000;0,000\n")
    assert [row.mark for row in points.mark_rows] == [13700, 9950, 10000, 0]
    assert rows(points) == rows(commas)


def test_a_wide_table_is_read_row_by_row_in_the_order_of_its_columns(tmp_path: Path) -> None:
    write_folder(tmp_path, ROSTER)
    bibs = [str(number) for number in range(100, 160)]
    (tmp_path / "roster.csv").write_text(
        "bib,family_name\n" + "".join(f"{bib},X\n" for bib in bibs)
    )
    (tmp_path / "marks.csv").write_text(
        "bib,FX,VT,BB\n" + "".join(f"{bib},9,9,9\n" for bib in bibs)
    )
    marks = read(tmp_path).mark_rows
    assert [row.apparatus for row in marks] == ["FX", "VT", "BB"] * len(bibs)
    assert [row.line for row in marks] == sorted(row.line for row in marks)


mark = st.one_of(
    st.integers(0, 20_000).map(show_mark), st.sampled_from(["", "DNS", "DNF", "0", "9.5", "9,5"])
)
tables = st.lists(st.fixed_dictionaries(dict.fromkeys(PARTS, mark)), min_size=3, max_size=3)


@given(tables, st.randoms(use_true_random=False))
def test_wide_and_long_in_any_order_give_the_same_marks(
    tmp_path_factory: pytest.TempPathFactory, table: list[dict[str, str]], chance: random.Random
) -> None:
    folder = tmp_path_factory.mktemp("meet")
    heads = ["bib", *chance.sample(list(PARTS), len(PARTS))]
    lines = [[str(n + 1), *(row[part] for part in heads[1:])] for n, row in enumerate(table)]
    chance.shuffle(lines)
    wide = with_marks(folder, "\n".join(";".join(line) for line in [heads, *lines]) + "\n")
    routines = [
        [str(n + 1), *map(str, PARTS[part]), text]
        for n, row in enumerate(table)
        for part, text in row.items()
    ]
    chance.shuffle(routines)
    head = ["bib", "apparatus", "vault", "mark"]
    long = with_marks(folder, "\n".join(";".join(line) for line in [head, *routines]) + "\n")
    assert rows(wide) == rows(long)
    given_marks = sum(bool(text) for row in table for text in row.values())
    assert len(wide.mark_rows) == given_marks


BELONGING = """
== meet.toml ==
title = "Cup"
[[competition]]
id = "senior"
title = "Senior"
discipline = "women"
divisions = ["Senior"]
ranks = ["all-around"]
[[competition]]
id = "junior"
title = "Junior"
discipline = "women"
divisions = ["junior"]
ranks = ["all-around"]
[[competition]]
id = "men"
title = "Men"
discipline = "men"
[[competition]]
id = "men-final"
title = "Men, final"
discipline = "men"
marks = "final.csv"
== roster.csv ==
bib,family_name,discipline,division
1,ADAMS,WAG,senior
1,BELL,women,junior
1,COLE,m,
2,DALE,women,SENIOR
== marks.csv ==
bib,apparatus,mark,competition
2,VT,9.1,
1,VT,9.2,junior
1,VT,9.3,SENIOR
1,VT,9.4,men
== final.csv ==
bib,FX
1,9.5
"""


def test_each_row_finds_its_competition_and_its_gymnast(tmp_path: Path) -> None:
    meet = read(write_folder(tmp_path, BELONGING))
    found = attrgetter("competition", "gymnast", "mark", "file")
    assert [found(row) for row in meet.mark_rows] == [
        ("senior", 3, 9100, "marks.csv"),
        ("junior", 1, 9200, "marks.csv"),
        ("senior", 0, 9300, "marks.csv"),
        ("men", 2, 9400, "marks.csv"),
        ("men-final", 2, 9500, "final.csv"),
    ]
    assert [one.discipline for one in meet.entries] == ["women", "women", "men", "women"]
    assert [one.division for one in meet.entries] == ["Senior", "junior", "", "Senior"]


def test_a_bib_in_several_competitions_must_name_one(tmp_path: Path) -> None:
    write_folder(tmp_path, BELONGING.replace("9.2,junior", "9.2,"))
    (problem,) = read_meet(tmp_path)[1]
    assert (problem.row, problem.column, problem.code) == (3, "competition", "which-competition")
    assert "bib 1 is in senior and junior and men" in problem.message


def test_a_bib_in_no_competition_of_its_file_must_name_one(tmp_path: Path) -> None:
    write_folder(tmp_path, BELONGING)
    settings = (
        (tmp_path / "meet.toml").read_text().replace('id = "men"', 'id = "men"\nmarks = "m.csv"')
    )
    (tmp_path / "meet.toml").write_text(settings)
    (tmp_path / "m.csv").write_text("bib,FX\n1,9.0\n")
    roster = (tmp_path / "roster.csv").read_text() + "3,EAST,men,\n"
    (tmp_path / "roster.csv").write_text(roster)
    marks = (tmp_path / "marks.csv").read_text() + "3,FX,9.0,\n"
    (tmp_path / "marks.csv").write_text(marks)
    (problem,) = read_meet(tmp_path)[1]
    assert (problem.row, problem.code) == (6, "which-competition")
    assert "is in no competition of marks.csv" in problem.message


def test_the_order_of_rows_changes_nothing_but_their_lines(tmp_path: Path) -> None:
    first = read(write_folder(tmp_path, BELONGING)).mark_rows
    head, *lines = (tmp_path / "marks.csv").read_text().splitlines()
    (tmp_path / "marks.csv").write_text("\n".join([head, *reversed(lines)]) + "\n")
    second = read(tmp_path).mark_rows
    one, other = (
        sorted((row._replace(line=0) for row in marks), key=str) for marks in (first, second)
    )
    assert one == other


def test_a_final_finds_its_gymnasts_on_the_roster_of_its_division(meet_folder: Path) -> None:
    """
    == meet.toml ==
    title = "Cup"
    [[competition]]
    id = "girls"
    title = "Girls"
    discipline = "women"
    phase = "qualification"
    [[competition.cuts]]
    name = "Final"
    of = "apparatus"
    to = "girls-final"
    places = 1
    [[competition]]
    id = "girls-final"
    title = "Girls, final"
    discipline = "women"
    entered_from = "girls"
    ranks = ["apparatus"]
    == roster.csv ==
    bib,family_name
    1,ADAMS
    2,BELL
    == marks.csv ==
    bib,apparatus,mark,competition
    1,VT,9.1,girls
    2,VT,9.2,girls
    1,VT,9.3,girls-final
    """
    marks = read(meet_folder).mark_rows
    assert [row.competition for row in marks] == ["girls", "girls", "girls-final"]
    # Whether 1 is in the final is judged later.
    assert [row.gymnast for row in marks] == [0, 1, 0]


def test_a_discipline_that_cannot_be_told_is_a_problem(meet_folder: Path) -> None:
    """
    == meet.toml ==
    title = "Cup"
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    [[competition]]
    id = "men"
    title = "Men"
    discipline = "men"
    == roster.csv ==
    bib,family_name,discipline
    1,ADAMS,WAG
    2,BELL,
    3,COLE,GAM
    == marks.csv ==
    bib,apparatus,mark
    1,VT,9.1
    2,FX,9.2
    3,FX,9.3
    """
    told = [(one.file, one.row, one.code) for one in read_meet(meet_folder)[1]]
    assert told == [("roster.csv", 3, "which-discipline")]  # Once, and not for each mark.
