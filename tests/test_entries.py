"""How gymnasts and teams are entered: each kind of entry in a small meet, with what becomes of it.

Sums stand beside the claims and are worked out by hand."""

from __future__ import annotations

import pytest
from folders import in_full, judged, write_folder

from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import results
from resultsgen.views.people.clubs import Members

SETTINGS = """
== meet.toml ==
title = "Test"
[[competition]]
id = "cup"
title = "Cup"
discipline = "women"
apparatus = ["UB", "BB"]
ranks = ["all-around", "apparatus", "team"]
rules = "club-ten"
team = {{ format = "{format}", by = "{by}" }}
"""
ROSTER = """
== roster.csv ==
bib,family_name,club,federation,team,guest,entered,status,start_order
1,Adams,North,N,North 1,,,,1
2,Bell,North,N,North 1,,,,2
3,Cole,North,N,North 2,,,,1
4,Dean,South,S,North 2,,,,2
5,Eder,South,N,,,,,
6,Fox,South,S,South,yes,,,
"""
MARKS = """
== marks.csv ==
bib,UB,BB
1,9,8
2,7,9
3,8,8
4,6,5
5,9.5,9.5
6,10,10
"""


@pytest.fixture
def cup(tmp_path):
    """Judge a meet folder written as text; its one competition."""

    def found(*parts):
        folder = write_folder(tmp_path, "\n".join(p.strip("\n") for p in parts))
        return judged(folder).competition("cup")

    return found


def teams(one):
    return [(line.place, line.name, line.total) for line in one.team.lines]


def listed(ranking):
    return [(line.place, line.gymnast.bib, line.total or line.status) for line in ranking.lines]


def test_a_club_has_several_teams_and_mixes_with_another(cup):
    """North 1: 9 + 9; North 2, of North and South: 8 + 8. Guests and those without are in none."""
    one = cup(SETTINGS.format(format="2-2-1", by="team"), ROSTER, MARKS)
    assert teams(one) == [(1, "North 1", 18000), (2, "North 2", 16000)]
    members = {line.name: [who.gymnast.bib for who in line.team.members] for line in one.team.lines}
    assert members == {"North 1": ["1", "2"], "North 2": ["3", "4"]}


def test_whoever_is_in_no_team_is_placed_all_the_same(cup):
    one = cup(SETTINGS.format(format="2-2-1", by="team"), ROSTER, MARKS)
    assert listed(one.all_around)[:3] == [
        (None, "6", 20000), (1, "5", 19000), (2, "1", 17000),
    ]  # fmt: skip


FORMATS = [
    ("6-5-4", [9000, 8000, 7000, 6000, 5000], 30000),
    ("5-4-3", [9000, 8000, 7000, 6000], 24000),
    ("5-3-3", [9000, 8000, 7000], 24000),
    ("4-4-3", [9000, 8000, 7000, 6000], 24000),
    ("4-3-3", [9000, 8000, 7000], 24000),
    ("3-3-3", [9000, 8000, 7000], 24000),
    ("6-6-5", [9000, 8000, 7000, 6000, 5000, 4000], 35000),
    ("7-6-5", [9000, 8000, 7000, 6000, 5000, 4000], 35000),
    ("6-3-3", [9000, 8000, 7000], 24000),
    ("12-12-2", [9000, 8000, 7000, 6000], 17000),
    ("1-1-1", [9000], 9000),
]


@pytest.mark.parametrize(("format", "marks", "total"), FORMATS, ids=[one for one, *_ in FORMATS])
def test_any_format_counts_its_best_on_each_apparatus(cup, format, marks, total):
    size = max(int(format.split("-")[0]) if int(format.split("-")[0]) < 8 else 4, len(marks))
    roster = "".join(f"{bib},G{bib},North,,,,,,\n" for bib in range(1, size + 1))
    rows = "".join(f"{bib},{mark / 1000},\n" for bib, mark in enumerate(marks, start=1))
    one = cup(
        SETTINGS.format(format=format, by="club").replace('["UB", "BB"]', '["UB"]'),
        "== roster.csv ==\nbib,family_name,club,federation,team,guest,entered,status,start_order",
        roster,
        "== marks.csv ==\nbib,UB,BB",
        rows,
    )
    assert teams(one) == [(1, "North", total)]
    count = int(format.split("-")[2])
    assert sum(member.counts[0] for member in one.team.lines[0].team.members) == count


def test_a_team_with_too_few_marks_adds_up_what_there_is(cup):
    """North 1 has one mark of two on UB; no zero is put in."""
    marks = MARKS.replace("2,7,9", "2,DNS,9")
    one = cup(SETTINGS.format(format="2-2-2", by="team"), ROSTER, marks)
    first = next(line for line in one.team.lines if line.name == "North 1")
    assert (first.team.apparatus, first.team.short, first.total) == (
        (9000, 17000),
        (True, False),
        26000,
    )


@pytest.mark.parametrize(("by", "names"), [("club", ["North"]), ("team", ["North 1", "North 2"])])
def test_fewer_than_count_are_a_team_only_where_the_roster_names_it(cup, by, names):
    """Of three that count, the club South has two; so has each team, by its name."""
    one = cup(SETTINGS.format(format="3-3-3", by=by), ROSTER, MARKS)
    assert [line.name for line in one.team.lines] == names


def test_teams_have_places_on_each_apparatus(cup):
    """UB 16 against 14, BB 17 against 13."""
    one = cup(SETTINGS.format(format="2-2-2", by="team"), ROSTER, MARKS)
    assert {line.name: line.team.apparatus_places for line in one.team.lines} == {
        "North 1": (1, 1), "North 2": (2, 2),
    }  # fmt: skip


def test_a_federation_and_a_club_of_one_name_are_two_bodies(cup):
    """The federation N has bibs 1, 2, 3, 5; the club N has bib 4 alone."""
    roster = ROSTER.replace("4,Dean,South,S", "4,Dean,N,S")
    one = cup(SETTINGS.format(format="4-4-1", by="federation"), roster, MARKS)
    assert [line.name for line in one.team.lines] == ["N", "S"]
    assert {who.gymnast.bib for who in one.team.lines[0].team.members} == {"1", "2", "3", "5"}
    club = Members("N", frozenset({3}))
    assert not club.own(one.team.lines[0])
    assert not club.has(one.team.lines[0])
    assert club.own(one.all_around.lines[-1])


def test_one_apparatus_not_started_leaves_the_others_ranked(cup):
    marks = MARKS.replace("1,9,8", "1,9,DNS")
    one = cup(SETTINGS.format(format="2-2-1", by="team"), ROSTER, marks)
    assert (None, "1", "DNF") in listed(one.all_around)
    assert (2, "1", 9000) in listed(one.by_apparatus["UB"])
    assert (None, "1", "DNS") in listed(one.by_apparatus["BB"])


def test_zero_counts_for_gymnast_and_team(cup):
    """0 + 8 and 7 + 9: the team takes 7 and 9."""
    one = cup(SETTINGS.format(format="2-2-2", by="team"), ROSTER, MARKS.replace("1,9,8", "1,0,8"))
    assert (5, "4", 11000) not in listed(one.all_around)
    assert (5, "1", 8000) in listed(one.all_around)
    first = next(line for line in one.team.lines if line.name == "North 1")
    assert (first.total, first.team.short) == (24000, (False, False))


STATUSES = [("DNF", "DNF"), ("DSQ", "DSQ"), ("WDR", "WDR"), ("DNS", "DNS")]


@pytest.mark.parametrize(("given", "told"), STATUSES, ids=[one for one, _ in STATUSES])
def test_a_status_for_the_whole_meet_leaves_no_place(cup, given, told):
    """Given in the marks for all of the competition; marks stay but for the disqualified."""
    marks = MARKS.replace("bib,UB,BB", "bib,UB,BB,status").replace("1,9,8", f"1,,,{given}")
    marks = in_full(marks)
    one = cup(SETTINGS.format(format="2-2-1", by="team"), ROSTER, marks)
    assert (None, "1", told) in listed(one.all_around)
    assert (None, "1", told) in listed(one.by_apparatus["UB"])
    assert teams(one)[0] == (1, "North 1", 16000) or teams(one)[0] == (1, "North 2", 16000)


def test_who_withdraws_half_way_keeps_the_marks_there_are(cup):
    """UB is done and counts there; BB was injured before the withdrawal and stays so."""
    marks = MARKS.replace("bib,UB,BB", "bib,apparatus,mark,status").split("1,9,8")[0]
    rows = "1,UB,9,\n1,,,WDR\n2,UB,7,\n2,BB,,DNF\n2,,,WDR\n3,UB,8,\n3,BB,8,\n"
    one = cup(SETTINGS.format(format="2-2-1", by="team"), ROSTER, marks + rows)
    assert listed(one.by_apparatus["UB"])[:3] == [(1, "1", 9000), (2, "3", 8000), (3, "2", 7000)]
    told = {bib: status for _, bib, status in listed(one.by_apparatus["BB"])}
    assert (told["1"], told["2"]) == ("WDR", "DNF")
    assert (None, "1", "DNF") in listed(one.all_around)
    adams = next(line for line in one.all_around.lines if line.gymnast.bib == "1")
    assert [(routine.mark, routine.status) for routine in adams.routines] == [
        (9000, ""), (None, "WDR"),
    ]  # fmt: skip


def test_a_status_on_the_roster_is_for_the_whole_meet_beside_those_of_the_marks(cup):
    roster = ROSTER.replace("1,Adams,North,N,North 1,,,,1", "1,Adams,North,N,North 1,,,WDR,1")
    marks = MARKS.replace("bib,UB,BB", "bib,UB,BB,status").replace("1,9,8\n", "")
    marks = in_full(marks.replace("2,7,9", "2,,,DNS"))
    one = cup(SETTINGS.format(format="2-2-1", by="team"), roster, marks)
    assert (None, "1", "WDR") in listed(one.all_around)
    assert (None, "2", "DNS") in listed(one.all_around)


def test_a_team_of_which_nobody_started_is_listed_last_by_what_all_of_it_are(cup):
    """North 1 withdrew as a whole; of North 2 one did not start and one withdrew."""
    marks = MARKS.replace("bib,UB,BB", "bib,UB,BB,status").replace("1,9,8", "1,,,WDR")
    marks = in_full(marks.replace("2,7,9", "2,,,WDR").replace("3,8,8", "3,,,DNS"))
    out = marks.replace("4,6,5,", "4,,,WDR")
    one = cup(SETTINGS.format(format="2-2-1", by="team"), ROSTER, out)
    assert [(line.place, line.name, line.status) for line in one.team.lines] == [
        (None, "North 1", "WDR"), (None, "North 2", ""),
    ]  # fmt: skip
    one = cup(SETTINGS.format(format="2-2-1", by="team"), ROSTER, marks)
    assert [(line.place, line.name) for line in one.team.lines] == [
        (1, "North 2"), (None, "North 1"),
    ]  # fmt: skip


def test_once_as_many_have_been_up_as_may_a_team_has_no_mark_to_come(cup):
    """Two of the four of the federation N go up on each apparatus: the others will not."""
    settings = SETTINGS.format(format="4-2-2", by="federation")
    roster = ROSTER.replace("4,Dean,South,S", "4,Dean,South,N").replace(
        "5,Eder,South,N", "5,Eder,,"
    )
    marks = "== marks.csv ==\nbib,UB,BB\n1,9,\n2,8,9\n3,,8\n"
    team = cup(settings, roster, marks).team
    assert [(line.name, line.total) for line in team.lines] == [("N", 34000)]
    assert team.to_come == 0
    assert cup(settings, roster, marks.replace("2,8", "2,")).team.to_come == 1


def test_several_penalties_of_a_team_add_up_and_are_of_no_other(cup):
    penalties = """
[[competition.team.penalties]]
team = "North 1"
points = 0.1
reason = "Late"
[[competition.team.penalties]]
team = "North 1"
points = 0.3
reason = "Attire"
"""
    settings = SETTINGS.format(format="2-2-1", by="team").replace(
        'team = { format = "2-2-1", by = "team" }',
        '[competition.team]\nformat = "2-2-1"\nby = "team"' + penalties,
    )
    one = cup(settings, ROSTER, MARKS)
    told = [(line.name, line.total, line.team.penalty_reason) for line in one.team.lines]
    assert told == [("North 1", 17600, "Late; Attire"), ("North 2", 16000, "")]
    assert {line.terms for line in one.team.lines} == {()}


def test_of_equal_marks_the_one_earlier_in_start_order_counts(cup):
    """Start numbers of the whole meet may be high; who has none stands behind."""
    roster = """
== roster.csv ==
bib,family_name,club,federation,team,guest,entered,status,start_order
9,Adams,North,N,Team,,,,
10,Bell,North,N,Team,,,,
1,Cole,North,N,Team,,,,150
2,Dean,North,N,Team,,,,149
"""
    one = cup(SETTINGS.format(format="4-4-3", by="team"), roster,
              "== marks.csv ==\nbib,UB,BB\n9,8,8\n10,8,8\n1,8,8\n2,8,8\n")  # fmt: skip
    members = one.team.lines[0].team.members
    assert [(who.gymnast.bib, who.counts[0]) for who in members] == [
        ("2", True), ("1", True), ("9", True), ("10", False),
    ]  # fmt: skip


def test_who_is_disqualified_counts_for_no_team(cup):
    marks = MARKS.replace("bib,UB,BB", "bib,UB,BB,status").replace("1,9,8", "1,9,8,DSQ")
    one = cup(SETTINGS.format(format="2-2-1", by="team"), ROSTER, in_full(marks))
    first = next(line for line in one.team.lines if line.name == "North 1")
    assert first.total == 16000
    assert (None, "1", "DSQ") in listed(one.by_apparatus["BB"])


def test_a_guest_is_in_no_team_and_takes_no_place(cup):
    one = cup(SETTINGS.format(format="2-2-1", by="team"), ROSTER, MARKS)
    assert listed(one.by_apparatus["UB"])[:2] == [(None, "6", 10000), (1, "5", 9500)]
    assert "South" not in {line.name for line in one.team.lines}


def test_no_more_may_go_up_than_the_format_says_whosever_the_marks_are(tmp_path):
    """The list of all ages counts teams of juniors and seniors, by marks entered elsewhere."""
    folder = write_folder(
        tmp_path,
        """
== meet.toml ==
title = "Test"
[[competition]]
id = "all"
title = "All"
discipline = "women"
apparatus = ["UB"]
ranks = ["team"]
marks_of = ["junior", "senior"]
team = { format = "3-1-1", by = "club" }
[[competition]]
id = "junior"
title = "Junior"
discipline = "women"
divisions = ["junior"]
apparatus = ["UB"]
[[competition]]
id = "senior"
title = "Senior"
discipline = "women"
divisions = ["senior"]
apparatus = ["UB"]
== roster.csv ==
bib,family_name,club,division
1,Adams,North,junior
2,Bell,North,senior
== marks.csv ==
bib,UB,competition
1,9,junior
2,8,senior
""",
    )
    _, problems = read_meet(folder)
    assert [(one.code, one.row) for one in problems] == [("too-many-up", 3)]


def test_a_person_in_both_of_the_divisions_counts_once_among_all(tmp_path):
    """Bib 1 does both; her entry as senior stands for her among the seniors of all."""
    folder = write_folder(
        tmp_path,
        """
== meet.toml ==
title = "Test"
[[competition]]
id = "all"
title = "All, in the list of the seniors"
discipline = "women"
divisions = ["senior"]
apparatus = ["UB"]
ranks = ["apparatus", "team"]
marks_of = ["junior", "senior"]
team = { format = "2-2-1", by = "club" }
[[competition]]
id = "junior"
title = "Junior"
discipline = "women"
divisions = ["junior"]
apparatus = ["UB"]
[[competition]]
id = "senior"
title = "Senior"
discipline = "women"
divisions = ["senior"]
apparatus = ["UB"]
== roster.csv ==
bib,family_name,club,division
1,Adams,North,junior
1,Adams,North,senior
2,Bell,North,senior
== marks.csv ==
bib,UB,competition
1,9,junior
1,8,senior
2,8.5,senior
""",
    )
    meet, problems = read_meet(folder)
    assert not problems
    placed, unsettled = results(meet)
    assert not unsettled
    assert listed(placed.competition("all").by_apparatus["UB"]) == [(1, "2", 8500), (2, "1", 8000)]
