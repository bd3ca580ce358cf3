"""Marks by name instead of bib, parts of marks in the wide form, totals and places compared."""

from __future__ import annotations

from pathlib import Path

import pytest
from folders import write_folder

from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import parted
from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import results
from resultsgen.scoring.stated import differences

MEET = """
== meet.toml ==
title = "Pokal"
[[competition]]
id = "women"
title = "Women"
discipline = "women"
divisions = ["A"]
ranks = ["all-around", "apparatus"]
apparatus = ["VT", "UB"]
== roster.csv ==
bib,family_name,given_name,club,division,publish
1,VALE,Ada,Nord,A,
2,ZWEIG,Bea,Süd,A,
3,Kim,Cleo,Nord,A,
4,Kim,Cleo,Süd,A,
5,Secret,Sole,Süd,A,no
"""


def with_marks(folder: Path, marks: str, settings: str = "") -> tuple[Meet, list[str]]:
    write_folder(folder, MEET.replace("[[comp", f"{settings}\n[[comp", 1))
    (folder / "marks.csv").write_text(marks, encoding="utf-8")
    meet, problems = read_meet(folder)
    assert meet is not None
    return meet, [str(one) for one in problems]


def rows(meet: Meet) -> list[tuple[object, ...]]:
    return [(one.bib, one.apparatus, one.vault, one.mark, one.d, one.e, one.penalty, one.status)
            for one in meet.mark_rows]  # fmt: skip


def noted(meet: Meet) -> list[str]:
    return [str(one) for one in (*meet.notes, *parted(differences(results(meet)[0]))[1])]


def test_parts_of_marks_may_have_columns(tmp_path: Path) -> None:
    meet, told = with_marks(
        tmp_path,
        "Nr;Sprung D;Sprung E;Sprung E1;Sprung Abzug;Sprung Final;UB;Barren D-Note\n"
        "1;4,0;9,1;9,2;-0,1;13,0;9,5;3\n"
        "2;;;;;dns;9,0;\n",
    )
    assert told == []
    assert rows(meet) == [
        ("1", "VT", 1, 13000, 4000, 9100, 100, ""),
        ("1", "UB", 1, 9500, 3000, None, None, ""),
        ("2", "VT", 1, None, None, None, None, "DNS"),
        ("2", "UB", 1, 9000, None, None, None, ""),
    ]
    assert noted(meet) == ["marks.csv:1 columns left alone: Sprung E1 (left-alone)"]


def test_a_meet_may_say_of_a_heading_that_it_is_a_part(tmp_path: Path) -> None:
    said = 'columns.apparatus = { "Spr. SW" = "VT d", "Hock 2" = "VT2", Spr = "VT" }'
    meet, told = with_marks(tmp_path, "bib,Spr,Spr SW,Hock 2,UB\n1,13,4,12,9\n", said)
    assert told == []
    assert rows(meet)[:2] == [
        ("1", "VT", 1, 13000, 4000, None, None, ""),
        ("1", "VT", 2, 12000, None, None, None, ""),
    ]


@pytest.mark.parametrize("said", ["VT x", "XX d", "VT3"])
def test_what_a_heading_cannot_say_is_told(tmp_path: Path, said: str) -> None:
    (told,) = with_marks(tmp_path, "bib,VT,UB\n1,13,9\n", f'columns.apparatus.Spr = "{said}"')[1]
    assert told.startswith("meet.toml:2 [columns.apparatus.Spr] there is no apparatus")


@pytest.mark.parametrize(
    ("marks", "told"),
    [
        (
            "bib,VT,VT D,UB\n1,,4,9\n",
            "marks.csv:2 [VT] the final mark is empty although a part of it is given (D, E, "
            "penalty); fill it in (no-final-mark)",
        ),
        (
            "bib,VT D,VT E,UB\n1,4,9,9\n",
            "marks.csv:1 [VT D] VT D, VT E: there are parts of the mark on VT, and no column of "
            'the final mark; write VT as its heading, or  "its heading" = "VT"  under '
            "[columns.apparatus] (no-final-mark)",
        ),
        (
            "bib,VT,Sprung Final,UB\n1,13,13,9\n",
            "marks.csv:1 [Sprung Final] VT and Sprung Final mean the same; rename or delete one "
            "(heading-twice)",
        ),
        (
            "bib,VT,VT D,VT E,UB\n1,13,4,9.5,9\n",
            "marks.csv:2 [VT] bib 1 on VT: final mark 13.000, but D and E give 13",
        ),
        ("bib,VT,VT D,UB\n1,13,x,9\n", "marks.csv:2 [VT D] x is no mark; write at most three"),
    ],
)
def test_parts_are_checked_as_in_the_long_form(tmp_path: Path, marks: str, told: str) -> None:
    (found, *others) = with_marks(tmp_path, marks)[1]
    assert (found[: len(told)], others) == (told, [])


@pytest.mark.parametrize(
    ("marks", "told"),
    [
        ("bib,VT D,VT E,VT,UB\n1,-,DNS,-,9\n", []),
        ("bib,apparatus,d,e,mark\n1,VT,-,-,dns\n1,UB,,,9\n", []),
        ("bib,VT D,VT E,VT,UB\n1,DNS,,,9\n", []),
        ("bib,VT D,VT E,VT,UB\n1,-,dns,,9\n", []),
        ("bib,apparatus,d,e,mark\n1,VT,,-,\n1,UB,,,9\n", []),
        ("bib,VT D,VT,UB\n1,-,9,9\n", ["marks.csv:2 [VT D] DNS is no mark"]),
        ("bib,VT D,VT,UB\n1,-,DNF,9\n", ["marks.csv:2 [VT D] DNS is no mark"]),
    ],
)
def test_a_status_may_stand_in_all_cells_of_a_routine(
    tmp_path: Path, marks: str, told: list[str]
) -> None:
    meet, found = with_marks(tmp_path, marks, 'columns.status = { "-" = "DNS" }')
    assert [one.partition(";")[0] for one in found] == told
    assert [one[3:6] for one in rows(meet)][1:] == [(9000, None, None)]


def test_a_part_of_a_mark_may_begin_with_the_point_and_a_mark_may_not(tmp_path: Path) -> None:
    marks = "bib,apparatus,d,e,penalty,mark\n1,VT,4.9,8.3,{},12.900\n"
    for penalty in (".3", "-.3", '"−,3"', "0.3"):
        meet, told = with_marks(tmp_path, marks.format(penalty))
        assert (told, rows(meet)[0][6]) == ([], 300)
    (told,) = with_marks(tmp_path, "bib,VT,UB\n1,.5,9\n")[1]
    assert told.startswith("marks.csv:2 [VT] .5 is no mark")


def test_a_word_in_a_part_of_a_mark_is_told_with_what_it_may_mean(tmp_path: Path) -> None:
    marks = "bib,Bock D,Bock E,Bock,UB\n1,absent,,,9\n2,DNS,8,12,9\n"
    _, (empty, absent, dns) = with_marks(tmp_path, marks, 'columns.apparatus.Bock = "VT"')
    assert absent.endswith('write  "absent" = "DNS"  under [columns.status] (not-a-mark)')
    assert "marks.csv:2 [Bock] the final mark is empty" in empty
    assert dns.endswith("(DNS, DNF, DSQ or WDR stand under Bock) (not-a-mark)")


@pytest.mark.parametrize(
    ("marks", "line"),
    [
        ("bib,Gerät,Total\n1,VT,9\n", 'mark = "Total"  under [columns.marks]'),
        ("bib,mark\n1,9\n", 'fixed.apparatus = "VT"  under [tables."marks.csv"]'),
        ("bib,Hock\n1,9\n", '"your heading" = "VT"  under [columns.apparatus]'),
    ],
)
def test_what_is_in_neither_form_is_told_with_a_line_to_write(
    tmp_path: Path, marks: str, line: str
) -> None:
    (told,) = with_marks(tmp_path, marks)[1]
    assert told.endswith(f"{line} (no-such-column)")


def test_a_sum_by_another_name_is_no_long_form(tmp_path: Path) -> None:
    """What stood beside apparatus before, and was left alone, does not stop a meet now."""
    meet, told = with_marks(tmp_path, "bib,VT,UB,Endnote\n1,13,9,22\n")
    assert (told, len(meet.mark_rows)) == ([], 2)
    assert noted(meet) == ["marks.csv:1 columns left alone: Endnote (left-alone)"]


def test_who_has_no_bib_is_found_by_name_and_of_two_by_club(tmp_path: Path) -> None:
    meet, told = with_marks(
        tmp_path,
        "Name,Verein,VT,UB\n"
        '"Vale, Ada",,11,1\nBEA ZWEIG,,12,1\nCleo Kim,süd,14,1\nkim cleo,Nord,13,1\n'
        "Sole Secret,,15,1\n",
    )
    assert told == []
    assert {one.bib: one.mark for one in meet.mark_rows if one.apparatus == "VT"} == {
        "1": 11000, "2": 12000, "4": 14000, "3": 13000, "5": 15000,
    }  # fmt: skip
    assert noted(meet) == []


def test_the_long_form_may_be_without_bibs_too(tmp_path: Path) -> None:
    meet, told = with_marks(
        tmp_path, "Nachname;Vorname;Gerät;Endnote\nVale;Ada;Sprung;11\nZweig;Bea;Barren;12\n"
    )
    assert told == []
    assert [one[:4] for one in rows(meet)] == [("1", "VT", 1, 11000), ("2", "UB", 1, 12000)]


def test_each_who_is_not_found_is_told(tmp_path: Path) -> None:
    _, told = with_marks(
        tmp_path,
        "name,VT,UB\nCleo Kim,1,1\nAda Vael,1,1\nSole Secrett,1,1\nDana Nobody,1,1\n,1,1\n"
        "Ada Vale,1,1\n",
    )
    assert told == [
        "marks.csv:2 [name] several on the roster are called so: bib 3 of Nord and bib 4 of Süd; "
        "write the club in a column 'club', or bibs in a column 'bib' (unknown-name)",
        "marks.csv:3 [name] nobody on the roster is called Ada Vael; did you mean VALE Ada (bib "
        "1)? (unknown-name)",
        "marks.csv:4 [name] nobody on the roster is called so; did you mean bib 5? (unknown-name)",
        "marks.csv:5 [name] nobody on the roster is called Dana Nobody; correct the name, or add "
        "the gymnast (unknown-name)",
        "marks.csv:6 [name] the name is empty; fill it in, or delete the row (empty-cell)",
    ]


def test_two_rows_of_one_name_are_told_to_be_taken_for_one_gymnast(tmp_path: Path) -> None:
    meet, told = with_marks(tmp_path, "name,VT,UB\nAda Vale,1,\nBea Zweig,1,1\nVale Ada,,2\n")
    assert told == []
    assert noted(meet) == [
        "marks.csv:4 [name] Vale Ada stands in row 2 too; both were taken for one gymnast. Where "
        "they are two, write bibs in a column 'bib' (name-twice)"
    ]
    secret, _ = with_marks(tmp_path, "name,VT,UB\nSole Secret,1,\nSecret Sole,,1\n")
    assert [one.split(" stands")[0] for one in noted(secret)] == ["marks.csv:3 [name] this name"]
    long, told = with_marks(tmp_path, "name,apparatus,mark\nAda Vale,VT,1\nAda Vale,UB,1\n")
    assert (noted(long), told) == ([], [])


NOT_READ = (
    "this column is not read, and says that a name is not to be published which the roster "
    "publishes; write no on the roster too, or empty this cell; or if it is the roster's, write  "
    'publish = "{}"  under [columns.roster] (publish-not-read)'
)


def test_a_no_on_a_table_of_marks_withholds_no_name_and_is_told(tmp_path: Path) -> None:
    marks = "bib,VT,UB,Einwilligung\n1,1,1,nein\n2,1,1,ja\n5,1,1,nein\n"
    _, told = with_marks(tmp_path, marks)
    assert told == [f"marks.csv:2 [Einwilligung] {NOT_READ.format('Einwilligung')}"]


@pytest.mark.parametrize("heading", ["publish", "Publish (yes/no)", "Veröffentlichen?"])
def test_a_no_beside_the_column_that_is_mapped_is_told(tmp_path: Path, heading: str) -> None:
    write_folder(tmp_path, MEET.replace("[[comp", 'columns.roster.publish = "ok"\n[[comp', 1))
    rows = f"bib,family_name,division,ok,{heading}\n1,Vale,A,,no\n2,Zweig,A,no,no\n3,Kim,A,,\n"
    (tmp_path / "roster.csv").write_text(rows)
    (tmp_path / "marks.csv").write_text("bib,VT,UB\n1,1,1\n")
    _, problems = read_meet(tmp_path)
    assert [str(one) for one in problems] == [
        f"roster.csv:2 [{heading}] {NOT_READ.format(heading)}"
    ]


def test_another_club_is_told(tmp_path: Path) -> None:
    meet, told = with_marks(tmp_path, "name,club,VT,UB\nAda Vale,West,1,1\n")
    assert told == []
    assert noted(meet) == [
        "marks.csv:2 [club] taken for bib 1, whose club on the roster is Nord (another-club)"
    ]


def test_clubs_beside_bibs_are_left_alone(tmp_path: Path) -> None:
    meet, told = with_marks(tmp_path, "bib,name,club,VT,UB\n1,Ada Vale,Nord,1,1\n")
    assert told == []
    assert noted(meet) == ["marks.csv:1 columns left alone: club (left-alone)"]


@pytest.mark.parametrize("name", ["VALE Ada", "ada", "Ada M. Vâle", "Vale", "A. Vale", ""])
def test_a_name_beside_a_bib_may_be_written_otherwise(tmp_path: Path, name: str) -> None:
    _, told = with_marks(tmp_path, f"bib,name,VT,UB\n1,{name},1,1\n")
    assert told == []


def test_a_name_that_is_not_hers_who_wears_the_bib_is_told(tmp_path: Path) -> None:
    """Whoever is withheld is not named, neither as the one nor as the other."""
    _, told = with_marks(
        tmp_path,
        "bib,Nachname,Vorname,VT,UB\n1,Zweig,Bea,1,1\n2,Nobody,Dana,1,1\n3,Secret,Sole,1,1\n"
        "5,Vale,Ada,1,1\n4,Kim,Bea,1,1\n",
    )
    assert told == [
        "marks.csv:2 [bib] bib 1 is VALE Ada on the roster, and this row says Zweig Bea; correct "
        "one of them (another-name)",
        "marks.csv:3 [bib] bib 2 is ZWEIG Bea on the roster, and this row has another name; "
        "correct one of them (another-name)",
        "marks.csv:4 [bib] bib 3 is Kim Cleo on the roster, and this row has another name; "
        "correct one of them (another-name)",
        "marks.csv:5 [bib] bib 5 is another's, and this row says Vale Ada; correct one of them "
        "(another-name)",
    ]


ALIKE = """
== meet.toml ==
title = "Pokal"
[[competition]]
id = "u9"
title = "U9"
discipline = "women"
divisions = ["U9"]
apparatus = ["VT"]
[[competition]]
id = "u11"
title = "U11"
discipline = "women"
divisions = ["U11"]
apparatus = ["VT"]
marks = "u11.csv"
== roster.csv ==
bib,family_name,given_name,club,division
7,Vale,Ada,Nord,U9
7,Zweig,Bea,Nord,U11
8,Kim,Cleo,Nord,U11
== marks.csv ==
bib,VT
7,8
"""


@pytest.mark.parametrize(
    "marks", ["name,VT\nAda Vale,9\nCleo Kim,8\n", "bib,name,VT\n7,Ada Vale,9\n8,Kim,8\n"]
)
def test_of_age_groups_that_number_alike_no_mark_is_the_others(tmp_path: Path, marks: str) -> None:
    write_folder(tmp_path, ALIKE)
    (tmp_path / "u11.csv").write_text(marks)
    _, problems = read_meet(tmp_path)
    assert [str(one).partition("] ")[2] for one in problems] == [
        "in u11 bib 7 is Zweig Bea on the roster, and this row says Ada Vale; correct one of them "
        "(another-name)"
    ]
    (tmp_path / "u11.csv").write_text(marks.replace("Ada Vale", "Bea Zweig"))
    meet, problems = read_meet(tmp_path)
    assert meet is not None
    assert (meet.notes, problems) == ((), [])


def test_a_name_that_is_rather_that_of_another_is_told(tmp_path: Path) -> None:
    """She is Ada Marie Vale; her bib is that of Ada Kim, who is called Ada too."""
    marks = "bib,name,VT,UB\n2,Ada Vale,1,1\n"
    write_folder(
        tmp_path, MEET.replace("VALE,Ada", "VALE,Ada Marie").replace("ZWEIG,Bea", "Kim,Ada")
    )
    (tmp_path / "marks.csv").write_text(marks)
    _, problems = read_meet(tmp_path)
    assert [str(one) for one in problems] == [
        "marks.csv:2 [bib] bib 2 is Kim Ada on the roster, and this row has another name; correct "
        "one of them (another-name)"
    ]


def test_an_accent_may_tell_two_apart(tmp_path: Path) -> None:
    write_folder(
        tmp_path, MEET.replace("VALE,Ada", "Müller,Zoë").replace("ZWEIG,Bea", "Muller,Zoe")
    )
    (tmp_path / "marks.csv").write_text("bib,name,VT,UB\n1,Zoe Muller,1,1\n2,Zoe Mueller,1,1\n")
    _, problems = read_meet(tmp_path)
    assert [str(one) for one in problems] == [
        "marks.csv:2 [bib] bib 1 is Müller Zoë on the roster, and this row says Zoe Muller; "
        "correct one of them (another-name)"
    ]


def test_a_name_that_is_partly_another_is_taken_for_hers_and_told(tmp_path: Path) -> None:
    meet, told = with_marks(tmp_path, "bib,name,VT,UB\n1,Addie Vale,1,1\n5,Susi Secret,1,1\n")
    assert told == []
    assert noted(meet) == [
        "marks.csv:2 [bib] the name is partly another; taken for bib 1, which is VALE Ada on the "
        "roster (partly-another-name)",
        "marks.csv:3 [bib] the name is partly another; taken for bib 5, which is another's "
        "(partly-another-name)",
    ]


STATED = """Nr;VT;UB;Gesamt;Rang;VT Platz
1;13,000;9,0;22;2.;2
2;13,5;8,6;22,100;1=;T1
3;13,5;8,4;21,8;3;1
4;DNS;8,0;8;-;
"""


def test_totals_and_places_are_compared_with_the_judging(tmp_path: Path) -> None:
    meet, told = with_marks(tmp_path, STATED)
    assert told == []
    assert noted(meet) == [
        "marks.csv:1 [Rang] left alone, for it is no place: - (row 5) (left-alone)",
        "marks.csv:2 [VT Platz] says place 2, the judging gives 3 (stated-otherwise)",
        "marks.csv:4 [Gesamt] says total 21.800, the judging gives 21.900 (stated-otherwise)",
    ]


def test_a_shared_place_is_said_with_its_sign(tmp_path: Path) -> None:
    meet, _ = with_marks(tmp_path, "bib,VT,UB,place\n1,9,9,1\n2,9,9,2\n")
    assert noted(meet) == [
        "marks.csv:3 [place] says place 2, the judging gives 1= (stated-otherwise)"
    ]


def test_a_place_in_the_long_form_is_of_the_apparatus(tmp_path: Path) -> None:
    meet, _ = with_marks(
        tmp_path, "bib,apparatus,mark,place,total\n1,VT,9,2,9\n2,VT,9.5,1,9.5\n3,VT,8,2,8\n"
    )
    assert noted(meet) == [
        "marks.csv:1 columns left alone: total (left-alone)",
        "marks.csv:4 [place] says place 2, the judging gives 3 (stated-otherwise)",
    ]


def test_a_place_in_no_list_is_compared_with_nothing(tmp_path: Path) -> None:
    write_folder(tmp_path, MEET.replace('"all-around", ', ""))
    (tmp_path / "marks.csv").write_text("bib,VT,UB,place,total\n1,9,9,1,18\n2,8,8,2,17\n")
    meet, problems = read_meet(tmp_path)
    assert meet is not None
    assert problems == []
    assert noted(meet) == [
        "marks.csv [place] compared with nothing: women has no all-around list (left-alone)",
        "marks.csv:3 [total] says total 17.000, the judging gives 16.000 (stated-otherwise)",
    ]


def test_what_a_spreadsheet_makes_of_empty_cells_is_no_difference(tmp_path: Path) -> None:
    meet, _ = with_marks(tmp_path, "bib,VT,UB,place,total\n1,,,1,0\n2,,,1,0.000\n")
    assert noted(meet) == []


def test_bars_are_those_of_who_did_them(tmp_path: Path) -> None:
    men = '[[competition]]\nid = "men"\ntitle = "Men"\ndiscipline = "men"\ndivisions = ["M"]\n'
    write_folder(tmp_path, MEET.replace("== roster", f"{men}== roster"))
    roster = "bib,family_name,division,discipline\n1,A,A,women\n2,B,M,men\n"
    (tmp_path / "roster.csv").write_text(roster)
    (tmp_path / "marks.csv").write_text("bib,apparatus,mark\n1,Barren,9\n2,barren,8\n")
    meet, problems = read_meet(tmp_path)
    assert meet is not None
    assert problems == []
    assert [one[:4] for one in rows(meet)] == [("1", "UB", 1, 9000), ("2", "PB", 1, 8000)]


def test_abbreviations_go_by_columns_alone_of_which_nothing_says_what_they_are(
    tmp_path: Path,
) -> None:
    mapped = '[columns.marks]\ntotal = "Su"\n'
    meet, told = with_marks(tmp_path, "bib,Sp,Ba,SchwB,Su\n1,9,8,,17\n", mapped)
    assert told == []
    assert [one[1:4] for one in rows(meet)] == [("VT", 1, 9000), ("UB", 1, 8000)]


def test_no_vault_is_fixed_where_each_apparatus_has_a_column(tmp_path: Path) -> None:
    fixed = '[tables]\n"marks.csv" = { fixed.vault = "2" }\n'
    _, told = with_marks(tmp_path, "bib,VT,UB\n1,9,8\n", fixed)
    assert ["no-vault-number" in one for one in told] == [True]


def test_bars_of_men_and_women_in_one_column_are_asked_about(tmp_path: Path) -> None:
    men = '[[competition]]\nid = "men"\ntitle = "Men"\ndiscipline = "men"\ndivisions = ["M"]\n'
    write_folder(tmp_path, MEET.replace("== roster", f"{men}== roster"))
    (tmp_path / "marks.csv").write_text("bib,VT,Barren\n1,9,9\n")
    _, problems = read_meet(tmp_path)
    assert "Barren looks like UB, for which there is no column" in " ".join(map(str, problems))
