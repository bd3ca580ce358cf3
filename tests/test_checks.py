"""Every problem code: a good meet is spoilt in one place, and just that is told, at its place."""

from __future__ import annotations

from pathlib import Path

import pytest
from folders import judged, write_folder
from spoilt_meets import CODES, GOOD, SPOILT, Spoilt, spoil

from resultsgen.checks.every import CHECKS
from resultsgen.reading.meet import read_meet

# Too much to write as a text; each has a test of its own below, in tests/reading, tests/hostile
# or test_cutting.
ELSEWHERE = {
    "entered-mark-lost", "one-vault-counts",
    "not-utf8", "no-spreadsheet", "several-sheets", "no-such-sheet", "source-twice", "no-source",
    "not-the-encoding", "fixed-and-filled", "until-not-met", "hidden-cells", "no-heading",
    "empty-roster",
    "broken-publication", "not-a-file", "file-too-large",
    "broken-cell", "left-alone", "in-no-team", "no-marks-yet", "table-too-large", "meet-too-large",
    "parted-names", "two-names", "unknown-name", "another-club", "another-name",
    "partly-another-name", "name-twice", "one-name-twice", "publish-not-read",
    "picture-too-large", "team-of-several-bodies", "cut-does-not-fit",
}  # fmt: skip


def test_a_good_meet_has_no_problem(tmp_path: Path) -> None:
    meet, problems = read_meet(write_folder(tmp_path, GOOD))
    assert [str(problem) for problem in problems] == []
    assert meet is not None
    assert len(meet.mark_rows) == 8


@pytest.mark.parametrize("case", SPOILT, ids=lambda case: f"{case.code}: {case.new.strip()[:30]}")
def test_what_is_spoilt_is_told_at_its_place(tmp_path: Path, case: Spoilt) -> None:
    folder = write_folder(tmp_path, GOOD)
    if case.code == "too-many-up":
        spoil(folder, "quali.csv", "3,,,,,,,DNS", "3,VT,11.000,,,,,")
    case.spoil(folder)
    _, problems = read_meet(folder)
    told = [(one.file, one.row, one.column) for one in problems if one.code == case.code]
    assert case.place(folder) in told, [str(problem) for problem in problems]
    assert len(problems) == 1 + case.more, [str(problem) for problem in problems]


def test_a_mark_below_0_where_no_highest_is_known_is_told_its_lowest_alone(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, GOOD)
    spoil(folder, "quali.csv", "12.000", "-12.000")
    assert [one.message for one in read_meet(folder)[1]] == [
        "bib 2 on VT: -12.000, but a mark is at least 0"
    ]


def test_every_code_in_the_program_is_tried() -> None:
    assert {case.code for case in SPOILT} | ELSEWHERE == CODES


def test_every_check_is_a_sentence() -> None:
    for check in CHECKS:
        assert check.__doc__, check.__name__
        assert check.__doc__.splitlines()[0].endswith("."), check.__name__


TWICE = """
== meet.toml ==
title = "Cup"
[[competition]]
id = "women"
title = "Women"
discipline = "women"
apparatus = ["VT", "BB"]
[[competition]]
id = "open"
title = "Open"
discipline = "women"
marks_of = ["women"]
== roster.csv ==
bib,family_name,given_name,club,birth_year,person,publish
3,Brakel,Tove,Ahrental,2015,,
7,BRAKEL,Tove,Ahrental,{row}
== marks.csv ==
bib,VT,BB
3,11.900,12.000
7,11.900,{last}
"""


@pytest.mark.parametrize(
    ("row", "last", "told"),
    [
        ("2015,,", "12.000", "BRAKEL Tove stands on line 2 too, in the same club, with the same"),
        ("2015,,", "", "note: BRAKEL Tove stands on line 2 too, in the same club; delete"),
        (",,", "12.000", "note: BRAKEL Tove stands on line 2 too"),
        (",,no", "12.000", "note: this name stands on line 2 too"),
        ("2014,,", "12.000", ""),
        ("2015,x7,", "12.000", "BRAKEL Tove stands on line 2 too"),
    ],
)
def test_a_gymnast_with_two_rows_is_told_once(
    tmp_path: Path, row: str, last: str, told: str
) -> None:
    meet, problems = read_meet(write_folder(tmp_path, TWICE.format(row=row, last=last)))
    assert meet is not None
    found = [one.message for one in problems] + [f"note: {one.message}" for one in meet.notes]
    assert len(found) == bool(told)
    assert not told or found[0].startswith(told)


def test_two_of_one_name_do_not_hide_a_row_that_stands_twice(tmp_path: Path) -> None:
    rows = "2014,,\n8,Brakel,Tove,Ahrental,2014,,"
    meet, problems = read_meet(write_folder(tmp_path, TWICE.format(row=rows, last="12.000")))
    assert meet is not None
    assert problems == []
    (note,) = meet.notes
    assert (note.row, note.message[:30]) == (4, "Brakel Tove stands on line 3 t")


def test_everything_is_told_at_once(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, GOOD)
    spoil(folder, "meet.toml", 'logo = "logo.svg"', 'logo = "logo.png"')
    spoil(folder, "roster.csv", "COLE", "")
    spoil(folder, "quali.csv", "12.000", "twelve")
    spoil(folder, "quali.csv", "2,BB", "9,BB")
    spoil(folder, "pages/recap.md", "Recap", 'Re"cap')
    _, problems = read_meet(folder)
    assert [(one.file, one.code) for one in problems] == [
        ("meet.toml", "no-such-picture"),
        ("pages/recap.md", "not-toml"),
        ("quali.csv", "not-a-mark"),
        ("quali.csv", "unknown-bib"),
        ("roster.csv", "empty-cell"),
    ]
    assert problems == sorted(problems)


def test_all_that_is_wrong_with_the_settings_is_told_at_once(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, GOOD)
    spoil(folder, "meet.toml", 'title = "Cup"', "title = 5")
    spoil(folder, "meet.toml", "places = 2", "places = 0")
    spoil(folder, "meet.toml", 'rules = "own.toml"', "ruls = 1")
    meet, problems = read_meet(folder)
    assert meet is None
    assert [(problem.row, problem.column) for problem in problems] == [
        (1, "title"),
        (27, "competition[1].cuts[1].places"),
        (43, "competition[3].ruls"),
    ]
    assert "did you mean rules?" in problems[2].message


@pytest.mark.parametrize(
    ("row", "code"),
    [
        ("1,UB,12.400,4.5,8.000,-0.1,,", None),  # A penalty may be printed with a minus sign.
        ("1,UB,12.400,4.5,8.000,0.1,,", None),
        ("1,UB,12.600,4.5,8.000,0.1,,", "wrong-final-mark"),  # It is never added.
        ("1,UB,0.000,0.0,8.266,,,", None),  # An invalid exercise keeps its E on paper.
        ("1,UB,0.000,1.0,2.000,6.0,,", None),  # No mark is below 0.
        ("1,UB,0.000,4.5,8.000,,,", "wrong-final-mark"),
        ("1,UB,12.500,4.5,,,,", None),  # Without E nothing can be compared.
    ],
)
def test_what_adds_up(tmp_path: Path, row: str, code: str | None) -> None:
    folder = write_folder(tmp_path, GOOD)
    spoil(folder, "quali.csv", "1,UB,12.500,4.5,8.000,,,", row)
    assert [problem.code for problem in read_meet(folder)[1]] == ([code] if code else [])


@pytest.mark.parametrize(
    ("row", "told"),
    [("20.000,,", 0), ("20.001,,", 1), ("20.001,10.001,", 1), ("20.001,10.001,10.000", 0)],
)
def test_a_mark_that_no_d_score_gives_has_its_parts(tmp_path: Path, row: str, told: int) -> None:
    folder = write_folder(tmp_path, GOOD)
    spoil(folder, "quali.csv", "12.500,4.5,8.000", row)
    found = [one for one in read_meet(folder)[1] if one.code == "out-of-bounds"]
    assert len(found) == told


def test_the_bounds_themselves_are_within_bounds(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, GOOD)
    spoil(folder, "marks.csv", "9.95", "10.00")
    spoil(folder, "quali.csv", "12.500,4.5,8.000", "10.000,0.0,10.000")
    spoil(folder, "quali.csv", "12.000", "0.000")
    assert read_meet(folder)[1] == []


BONUS = (
    "bib,apparatus,mark,d,e,penalty,bonus,vault,status\n1,VT,13.700,5.0,8.700,0.1,{bonus},,\n"
    "3,,,,,,,,DNS\n2,,,,,,,,DNS\n"
)


@pytest.mark.parametrize(
    ("bonus", "changes", "told"),
    [
        ("0.1", "", "have none"),
        ("0.1", "[rules.international]\nmarks.bonus = true", None),
        ("0.0", "", "give 13.600"),
        ("-0.1", "[rules.international]\nmarks.bonus = true", "never below 0"),
    ],
)
def test_a_bonus_only_where_the_rules_have_one(
    tmp_path: Path, bonus: str, changes: str, told: str | None
) -> None:
    folder = write_folder(tmp_path, GOOD)
    (folder / "quali.csv").write_text(BONUS.format(bonus=bonus))
    spoil(folder, "meet.toml", "[columns.roster]", f"{changes}\n[columns.roster]")
    found = [problem.message for problem in read_meet(folder)[1]]
    assert any(told in message for message in found) if told else found == []


@pytest.mark.parametrize(("highest", "bounds"), [("9", "from 0 to 9.0"), ("8.8", None)])
def test_the_highest_e_is_that_of_the_rules(
    tmp_path: Path, highest: str, bounds: str | None
) -> None:
    folder = write_folder(tmp_path, GOOD)
    spoil(folder, "quali.csv", "12.500,4.5,8.000", "12.500,2.5,10.000" if bounds else "12.500,,")
    changes = f"[rules.international]\nmarks.highest-e = {highest}"
    spoil(folder, "meet.toml", "[columns.roster]", f"{changes}\n[columns.roster]")
    found = [one.message for one in read_meet(folder)[1] if one.code == "out-of-bounds"]
    assert len(found) == bool(bounds)
    assert all(f"E is 10.000, but it is {bounds}" in message for message in found)


def test_what_does_not_add_up_may_be_only_noted(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, GOOD)
    spoil(folder, "quali.csv", "13.700", "13.800")
    spoil(folder, "meet.toml", 'title = "Cup"', 'title = "Cup"\nadding_up = "note"')
    assert read_meet(folder)[1] == []


def test_the_message_about_a_mark_says_whose_and_what(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, GOOD)
    spoil(folder, "quali.csv", "13.700", "13.800")
    (problem,) = read_meet(folder)[1]
    assert str(problem).startswith(
        "quali.csv:2 [mark] bib 1 on VT: final mark 13.800, but D, E and penalty give 13.700;"
    )
    assert problem.value == "13.800"


def test_a_bib_without_its_zeros_is_recognised_in_the_message(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, GOOD)
    spoil(folder, "marks.csv", "007,FX,9.95,", "7,FX,9.95,men")
    (problem,) = read_meet(folder)[1]
    assert problem.message == "bib 7 is not on the roster; the roster has 007"


def test_guests_are_in_no_team_and_do_not_count_as_up(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, GOOD)
    spoil(folder, "quali.csv", "3,,,,,,,DNS", "3,VT,11.000,,,,,")
    spoil(folder, "meet.toml", "3-2-1", "3-1-1")
    spoil(folder, "roster.csv", "women,senior,,,,3", "women,senior,,yes,,3")
    assert read_meet(folder)[1] == []


def test_a_mark_of_nothing_is_no_problem_and_has_no_note(tmp_path: Path) -> None:
    """An invalid vault keeps its E on paper, and penalties take no mark below 0."""
    folder = write_folder(tmp_path, NOTHING)
    lines = judged(folder).competitions[0].by_apparatus["VT"].lines
    told = {line.gymnast.bib: line.routines[0] for line in lines}
    assert {bib: one and (one.mark, one.parts_give) for bib, one in told.items()} == {
        "1": (0, None),
        "2": (0, None),
        "3": (12000, 12500),
    }
    spoil(folder, "meet.toml", "note", "stop")
    assert [(one.code, one.row) for one in read_meet(folder)[1]] == [("wrong-final-mark", 4)]


NOTHING = """
== meet.toml ==
title = "Cup"
adding_up = "note"
[[competition]]
id = "cup"
title = "Cup"
discipline = "women"
ranks = ["apparatus"]
apparatus = ["VT"]
== roster.csv ==
bib,family_name
1,ADAMS
2,BELL
3,COLE
== marks.csv ==
bib,apparatus,mark,d,e,penalty
1,VT,0.000,0.0,8.800,0.1
2,VT,0.000,0.1,0.200,0.5
3,VT,12.000,4.0,8.500,
"""


def test_a_guest_and_one_who_is_out_make_no_team_too_large(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, GOOD)
    rows = ((11, "", ""), (12, "yes", ""), (13, "", "WDR"))
    more = [f"{bib},X,,North,A,women,senior,,{guest},,,{out}\n" for bib, guest, out in rows]
    spoil(folder, "roster.csv", "007,DALE", "".join([*more, "007,DALE"]))
    assert [str(one) for one in read_meet(folder)[1]] == []


TEAMS = """
== meet.toml ==
title = "Cup"
[[competition]]
id = "cup"
title = "Cup"
discipline = "women"
ranks = ["team"]
team = {{ format = "2-2-2" }}
[[competition]]
id = "again"
title = "Again"
discipline = "women"
ranks = ["team"]
team = {{ format = "2-2-2" }}
marks_of = ["cup"]
== roster.csv ==
bib,family_name,club,guest,publish
1,ADAMS,{club},,
2,BELL,,,
3,COLE,,yes,
4,DALE,,,no
== marks.csv ==
bib,VT
1,9
2,9
3,9
4,9
"""


def test_who_is_in_no_team_where_teams_are_ranked_is_told_once(tmp_path: Path) -> None:
    """A guest is meant to be in none; a name that is withheld is not said."""
    meet, problems = read_meet(write_folder(tmp_path, TEAMS.format(club="North")))
    assert meet is not None
    assert problems == []
    assert [str(note) for note in meet.notes] == [
        "roster.csv:2 [club] no team in cup and again, where 2 marks count, having fewer "
        "gymnasts: North (1) (in-no-team)",
        "roster.csv:3 [club] in no team, since club is empty: 2 BELL, 4 (in-no-team)",
    ]


EVENING = Path(__file__).parent / "example_evening"


def test_a_roster_that_is_not_there_is_told_and_nothing_that_follows_from_it(tmp_path) -> None:
    """Squads that start, and the page of a club, of which nobody can be on the roster."""
    for one in EVENING.glob("m*.*"):
        (tmp_path / one.name).write_bytes(one.read_bytes())
    page = '+++\ntitle = "Us"\nclub = "Halsmere Leap"\n+++\n'
    (tmp_path / "pages").mkdir()
    (tmp_path / "pages" / "us.md").write_text(page, "utf-8")
    assert [(one.file, one.code) for one in read_meet(tmp_path)[1]] == [
        ("roster.csv", "no-such-file")
    ]


@pytest.mark.parametrize(("publish", "told"), [("yes", "Bea Torr"), ("no", "bib 2")])
def test_two_marks_of_somebody_whose_bib_was_made_are_told_by_name(tmp_path, publish, told):
    text = f"""
== meet.toml ==
title = "Cup"
bibs = "made"
[[competition]]
id = "cup"
title = "Cup"
discipline = "women"
== roster.csv ==
bib,family_name,given_name,publish
1,Vale,Ada,yes
2,Torr,Bea,{publish}
== marks.csv ==
bib,apparatus,mark
1,VT,9.000
2,VT,9.100
2,VT,9.200
"""
    (problem,) = read_meet(write_folder(tmp_path, text))[1]
    assert problem.message.startswith(f"{told} on VT already has a mark or status on line 3")


@pytest.mark.parametrize(("by", "told"), [("club", ["in-no-team"]), ("team", [])])
def test_a_club_with_fewer_gymnasts_than_count_is_told_as_no_team(tmp_path, by, told):
    text = (
        TEAMS.format(club="North")
        .replace("2,BELL,", "2,BELL,West")
        .replace("4,DALE,", "4,DALE,North")
    )
    text = text.replace('"2-2-2"', f'"2-2-2", by = "{by}"').replace(",club,guest", f",{by},guest")
    results = judged(write_folder(tmp_path, text))
    assert [one.code for one in results.meet.notes] == told
    teams = [line.of.name for line in results.competition("again").team.lines]
    assert teams == (["North"] if told else ["North", "West"])
    message = "no team in cup and again, where 2 marks count, having fewer gymnasts: West (1)"
    assert [one.message for one in results.meet.notes] == [message] * len(told)


@pytest.mark.parametrize(
    ("rows", "codes"),
    [
        ("bib,why,gone\n9,left,yes\n", []),
        ("bib,why,what\n1,entry error,club\n", []),
        ("bib,competition,why\n,again,late\n", []),
        ("bib,competition,why\n1,again,entry error\n", []),
        ("bib,apparatus,why,gone\n9,VT,left,yes\n", ["no-such-column"] * 2),
    ],
)
def test_only_a_correction_of_a_mark_needs_the_columns_of_marks(tmp_path, rows, codes):
    folder = write_folder(tmp_path, TEAMS.format(club="North") + f"== corrections.csv ==\n{rows}")
    assert [one.code for one in read_meet(folder)[1]] == codes


def test_a_team_list_with_no_team_is_a_problem(tmp_path: Path) -> None:
    _, problems = read_meet(write_folder(tmp_path, TEAMS.format(club="")))
    assert [(one.code, one.row, one.column) for one in problems] == [
        ("nobody-in-a-team", 6, "competition[1].ranks"),
        ("nobody-in-a-team", 12, "competition[2].ranks"),
    ]


@pytest.mark.parametrize("part", ["d", "e"])
def test_no_part_is_below_zero_where_parts_are_not_added_up_either(
    tmp_path: Path, part: str
) -> None:
    folder = write_folder(tmp_path, GOOD)
    spoil(folder, "marks.csv", "mark,competition", f"mark,competition,{part}")
    spoil(folder, "marks.csv", "women-final", "women-final,")
    spoil(folder, "marks.csv", "007,FX,9.95,", "007,FX,9.95,,-9.1")
    assert [(one.code, one.row, one.column) for one in read_meet(folder)[1]] == [
        ("out-of-bounds", 3, part)
    ]
