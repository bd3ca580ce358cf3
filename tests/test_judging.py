"""A meet judged: who is listed where, who qualifies, who starts in the final, and what is
uncertain. Each test is a small meet and a claim."""

from __future__ import annotations

import pytest
from folders import in_full, judged, write_folder

from resultsgen.live.competition import live
from resultsgen.meet.competition import Competition
from resultsgen.meet.problems import MeetProblems
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.publish import checked
from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import in_feeding_order, results
from resultsgen.scoring.stated import awaited
from resultsgen.scoring.unsettled import totals_below_0
from resultsgen.views.lists.competitions import state
from resultsgen.views.people.people import people
from resultsgen.views.words.wording import Wording

SETTINGS = """
== meet.toml ==
title = "Test"
[[competition]]
id = "cup"
title = "Cup"
discipline = "women"
apparatus = ["UB", "BB"]
"""
ROSTER = """
== roster.csv ==
bib,family_name,club,federation,guest,entered,status
1,Adams,North,N,,,
2,Bell,North,N,,,
3,Cole,North,N,,,
4,Dean,South,S,,,
5,Eder,South,S,,,
6,Fox,South,S,,,
"""


@pytest.fixture
def meet(tmp_path):
    """Judge a meet folder written as text."""
    return lambda *parts: judged(write_folder(tmp_path, "\n".join(p.strip("\n") for p in parts)))


@pytest.fixture
def unsettled(tmp_path):
    """The codes of what keeps a meet from being published, and where they stand."""

    def found(*parts):
        folder = write_folder(tmp_path, "\n".join(part.strip("\n") for part in parts))
        read, problems = read_meet(folder)
        assert not problems
        return [(one.code, one.file, one.row) for one in results(read)[1]]

    return found


@pytest.mark.parametrize("row", ["1,{},WDR", "1,{},12.000"])
def test_a_competition_in_which_nobody_performs_is_over_as_one_with_marks_is(meet, row):
    roster = "== roster.csv ==\nbib,family_name\n1,Adams"
    marks = "\n".join(row.format(apparatus) for apparatus in ("UB", "BB"))
    (cup,) = meet(SETTINGS, roster, f"== marks.csv ==\nbib,apparatus,mark\n{marks}").competitions
    assert (cup.started, cup.complete) == (True, True)
    assert state(cup, Wording()) == "Finished"


def test_a_competition_of_which_one_withdrew_and_another_is_to_come_has_not_begun(meet):
    roster = "== roster.csv ==\nbib,family_name,status\n1,Adams,WDR\n2,Bell,"
    (cup,) = meet(SETTINGS, roster, "== marks.csv ==\nbib,apparatus,mark").competitions
    assert (cup.started, cup.complete) == (False, False)


def listed(ranking):
    """Place, bib and total or status of each line."""
    return [(line.place, line.gymnast.bib, line.total or line.status) for line in ranking.lines]


def test_unranked_stand_below_in_progress_first_then_dnf_dns_dsq(meet):
    cup = meet(
        SETTINGS,
        ROSTER,
        """
== marks.csv ==
bib,apparatus,mark
1,UB,10.0
1,BB,DNS
2,UB,DNS
2,BB,DNS
3,UB,9.0
3,BB,9.0
4,UB,9.9
4,,DSQ
5,UB,8
""",
    ).competition("cup")
    assert listed(cup.all_around) == [
        (1, "3", 18000),
        (None, "5", ""),
        (None, "6", ""),
        (None, "1", "DNF"),
        (None, "2", "DNS"),
        (None, "4", "DSQ"),
    ]
    assert cup.all_around.to_come == 2


def test_a_disqualified_gymnast_keeps_no_mark_and_places_close_up(meet):
    cup = meet(
        SETTINGS, ROSTER, "== marks.csv ==\nbib,apparatus,mark\n1,UB,10\n1,,DSQ\n2,UB,9\n3,UB,8"
    ).competition("cup")
    assert listed(cup.by_apparatus["UB"])[:2] == [(1, "2", 9000), (2, "3", 8000)]
    assert listed(cup.by_apparatus["UB"])[-1] == (None, "1", "DSQ")


def test_a_guest_stands_by_mark_and_uses_up_no_place(meet):
    cup = meet(
        SETTINGS,
        ROSTER.replace("2,Bell,North,N,,,", "2,Bell,North,N,yes,,"),
        "== marks.csv ==\nbib,apparatus,mark\n1,UB,9\n2,UB,8.5\n3,UB,8",
    ).competition("cup")
    assert listed(cup.by_apparatus["UB"])[:3] == [(1, "1", 9000), (None, "2", 8500), (2, "3", 8000)]


def test_guests_may_stand_below_all_who_are_placed(meet):
    """One guest has the highest mark, one 0.000; who is in progress stands below both."""
    below = SETTINGS.replace("[[comp", '[rules.international]\nguests.stand = "below"\n[[comp', 1)
    cup = meet(
        below,
        ROSTER.replace("2,Bell,North,N,", "2,Bell,North,N,yes").replace(
            "6,Fox,South,S,", "6,Fox,South,S,yes"
        ),
        "== marks.csv ==\nbib,apparatus,mark\n1,UB,8.5\n2,UB,9\n3,UB,8\n4,UB,DNS\n6,UB,0",
    ).competition("cup")
    order = [(line.place, line.gymnast.bib) for line in cup.by_apparatus["UB"].lines]
    assert order == [(1, "1"), (2, "3"), (None, "2"), (None, "6"), (None, "5"), (None, "4")]


def test_a_guest_stands_behind_whom_she_equals(meet):
    """Adams is the guest, Bell and Cole have as much; Bell and Cole share the first place."""
    cup = meet(
        SETTINGS.replace('apparatus = ["UB", "BB"]', 'apparatus = ["UB"]\nrules = "club-ten"'),
        ROSTER.replace("1,Adams,North,N,", "1,Adams,North,N,yes"),
        "== marks.csv ==\nbib,apparatus,mark\n1,UB,9\n2,UB,9\n3,UB,9\n4,UB,8\n5,UB,7\n6,UB,6",
    ).competition("cup")
    order = [(line.place, line.gymnast.bib) for line in cup.by_apparatus["UB"].lines]
    assert order[:4] == [(1, "2"), (1, "3"), (None, "1"), (3, "4")]


def test_those_in_progress_stand_by_what_they_have_done_and_made(meet):
    """Bibs 2 and 3 have done one apparatus, 3 with the higher mark; 1 has done none."""
    marks = "== marks.csv ==\nbib,UB,BB\n2,8,\n3,,9\n4,7,7\n"
    cup = meet(SETTINGS, ROSTER, marks).competition("cup")
    assert [line.gymnast.bib for line in cup.all_around.lines][:4] == ["4", "3", "2", "1"]


def test_no_all_around_total_tells_routines_apart_while_marks_are_to_come(meet):
    """Bibs 1 and 2 have equal marks on UB; 1 has gone on to BB, where 2 is still to come."""
    rules = 'rules = "club-ten"\n[rules.club-ten]\nties.apparatus.criteria = ["all-around total"]\n'
    marks = "== marks.csv ==\nbib,UB,BB\n1,9,9\n2,9,\n3,8,\n"
    cup = meet(SETTINGS + rules, ROSTER, marks).competition("cup")
    routines = {who.bib: made.place for who, made in cup.routines if made.apparatus == "UB"}
    assert [line.place for line in cup.by_apparatus["UB"].lines[:3]] == [1, 1, 3]
    assert routines == {"1": 1, "2": 1, "3": 3}


def test_starters_that_are_named_in_another_order_stand_in_it_after_a_build_before(tmp_path):
    named, last = ['UB = ["2", "1"]', 'BB = ["1", "2"]'], None
    marks = "== marks.csv ==\nbib,UB,BB\n1,9,9\n2,8,8\n"
    for lines, bibs in ((named, "21"), (named[::-1], "12")):
        starters = "\n".join(("[competition.starters]", *lines))
        last = judged(write_folder(tmp_path, SETTINGS + starters + ROSTER + marks), last)
        assert [start.gymnast.bib for start in last.competition("cup").starts] == [*bibs]


def test_nought_is_a_mark_and_empty_is_not_yet(meet):
    cup = meet(SETTINGS, ROSTER, "== marks.csv ==\nbib,UB,BB\n1,0,9\n2,,8\n3,DNS,7\n").competition(
        "cup"
    )
    assert listed(cup.all_around)[0] == (1, "1", 9000)
    assert [line.status for line in cup.all_around.lines if line.gymnast.bib == "2"] == [""]
    assert [line.status for line in cup.all_around.lines if line.gymnast.bib == "3"] == ["DNF"]


def test_a_specialist_is_not_in_the_all_around(meet):
    cup = meet(
        SETTINGS,
        ROSTER.replace("6,Fox,South,S,,,", "6,Fox,South,S,,BB,"),
        "== marks.csv ==\nbib,apparatus,mark\n6,BB,9",
    ).competition("cup")
    assert "6" not in [line.gymnast.bib for line in cup.all_around.lines]
    assert listed(cup.by_apparatus["BB"])[0] == (1, "6", 9000)
    assert "6" not in [line.gymnast.bib for line in cup.by_apparatus["UB"].lines]


def test_the_first_vault_counts_for_the_all_around_and_both_for_the_vault_list(meet):
    cup = meet(
        SETTINGS.replace('["UB", "BB"]', '["VT"]\nvaults = 2'),
        ROSTER,
        """
== marks.csv ==
bib,apparatus,mark,vault
1,VT,14.733,1
1,VT,14.966,2
2,VT,14.800,
3,VT,14.000,1
3,VT,DNS,2
""",
    ).competition("cup")
    # (14.733 + 14.966) / 2 = 14.8495, cut to 14.849; bib 2 was not entered for two vaults.
    assert listed(cup.by_apparatus["VT"]) == [(1, "1", 14849), (None, "3", "DNF")]
    # In the all-around the first vault alone counts: 14.800 is ahead of 14.733.
    assert listed(cup.all_around)[:3] == [(1, "2", 14800), (2, "1", 14733), (3, "3", 14000)]


def test_where_all_is_needed_one_apparatus_missed_is_the_end_of_it(meet):
    """Bell has bars to come, and no total whatever she makes there."""
    cup = meet(SETTINGS, ROSTER.split("3,Cole")[0], "== marks.csv ==\nbib,UB,BB\n1,10,11\n2,,DNS")
    one = cup.competition("cup")
    assert listed(one.all_around)[-1] == (None, "2", "DNS")
    assert (one.all_around.to_come, one.by_apparatus["UB"].to_come) == (0, 1)


QUALIFICATION = """
== meet.toml ==
title = "Test"
[[competition]]
id = "qualification"
title = "Qualification"
discipline = "women"
apparatus = ["BB"]
phase = "qualification"
ranks = ["apparatus"]
cuts = [{ name = "Final", of = "apparatus", to = "final", places = 3, cap = 2, reserves = 2 }]
[[competition]]
id = "final"
title = "Final"
discipline = "women"
apparatus = ["BB"]
ranks = ["apparatus"]
entered_from = "qualification"
"""
MARKS = """
== marks.csv ==
bib,apparatus,mark,competition,e,d
1,BB,10,qualification,8,2
2,BB,9.5,qualification,7.5,2
3,BB,9,qualification,7,2
4,BB,8.5,qualification,6.5,2
5,BB,8,qualification,6,2
6,BB,8,qualification,6,2
"""


def starting(placed):
    return sorted(start.gymnast.bib for start in placed.competition("final").starts)


def test_the_third_of_a_federation_is_passed_over_for_the_final(meet):
    placed = meet(QUALIFICATION, ROSTER, MARKS)
    cut = placed.competition("qualification").by_apparatus["BB"].cuts[0]
    assert [line.verdict.outcome for line in cut.lines] == [
        "qualified", "qualified", "capped", "qualified", "reserve", "reserve",
    ]  # fmt: skip
    assert starting(placed) == ["1", "2", "4"]


def test_a_team_mate_passed_over_comes_in_for_one_who_withdrew(meet):
    withdrawn = '[[competition.withdrawn]]\nbib = "1"'
    assert starting(meet(QUALIFICATION, withdrawn, ROSTER, MARKS)) == ["2", "3", "4"]


@pytest.mark.parametrize(("order", "called"), [(["5", "6"], "5"), (["6", "5"], "6")])
def test_of_two_reserves_with_one_place_the_one_that_the_jury_says_is_called_up(
    meet, order, called
):
    withdrawn = '[[competition.withdrawn]]\nbib = "4"'
    decided = QUALIFICATION.replace("reserves = 2", f"reserves = 2, reserve_order = {order}")
    # Bib 3 stays out: two of federation N are in. Bibs 5 and 6 share place 5.
    assert starting(meet(decided, withdrawn, ROSTER, MARKS)) == ["1", "2", called]


def test_nobody_is_called_up_where_a_tie_had_let_one_more_in(meet):
    marks = (
        MARKS.replace("4,BB,8.5,qualification,6.5,2", "4,BB,8,qualification,6,2")
        .replace("5,BB,8,", "5,BB,8.5,")
        .replace("8.5,qualification,6,2", "8,qualification,6,2")
    )
    withdrawn = '[[competition.withdrawn]]\nbib = "1"'
    # Bibs 4, 5 and 6 share the last place, but the cap lets only two of federation S in: four
    # are through for three places, so one withdrawal leaves the final full.
    decided = 'reserves = 2, reserve_order = ["5", "4", "6"]'
    settings = QUALIFICATION.replace("reserves = 2", decided)
    assert starting(meet(settings, withdrawn, ROSTER, marks)) == ["2", "4", "5"]


FINALS = """
== meet.toml ==
title = "Test"
[[competition]]
id = "q"
title = "Qualification"
discipline = "women"
apparatus = ["UB", "BB"]
phase = "qualification"
rules = "club-ten"
cuts = [
    { name = "Championship", of = "all-around", places = 5 },
    { name = "On apparatus", of = "apparatus", to = "apparatus", places = 2 },
    { name = "Best", of = "all-around", to = "all-around", places = 1 },
    { name = "Best of each", of = "all-around", to = "all-around", each = 1 },
]
[[competition]]
id = "apparatus"
title = "Apparatus finals"
discipline = "women"
apparatus = ["UB", "BB"]
ranks = ["apparatus"]
rules = "club-ten"
entered_from = "q"
withdrawn = [{ bib = "1", apparatus = ["BB"] }, { bib = "4" }]
[[competition]]
id = "all-around"
title = "All-around final"
discipline = "women"
apparatus = ["UB", "BB"]
ranks = ["all-around"]
rules = "club-ten"
entered_from = "q"
"""
BOTH = """
== marks.csv ==
bib,UB,BB,competition
1,9,9,q
2,8,8,q
3,7,7,q
4,9,8.5,q
5,6,6,q
6,5,DNS,q
"""


def test_several_cuts_may_lead_to_one_final(meet):
    """Adams is the best of all and of N, Dean of S; a cut that leads elsewhere adds nobody."""
    final = meet(FINALS, ROSTER, BOTH).competition("all-around")
    assert [start.gymnast.bib for start in final.starts] == ["1", "4"]
    assert [line.gymnast.bib for line in final.all_around.lines] == ["1", "4"]


def test_gymnasts_who_got_through_by_themselves_are_no_team(meet):
    """Adams and Dean, the one starter of each club where two marks count."""
    team = 'ranks = ["all-around", "team"]\nteam = { format = "2-2-2" }'
    text = FINALS.replace('ranks = ["all-around"]', team)
    assert meet(text, ROSTER, BOTH).competition("all-around").team.lines == ()


def test_who_withdraws_from_one_final_or_apparatus_starts_in_the_others(meet):
    """Adams is not on BB, Dean on none; on each apparatus the next comes in for them."""
    finals = meet(FINALS, ROSTER, BOTH).competition("apparatus").by_apparatus
    assert {code: [line.gymnast.bib for line in one.lines] for code, one in finals.items()} == {
        "UB": ["1", "2"],
        "BB": ["2", "3"],
    }


def test_who_withdraws_from_one_apparatus_of_an_all_around_final_starts_on_the_other(meet):
    gone = 'entered_from = "q"\nwithdrawn = [{ bib = "1", apparatus = ["BB"] }]\n'
    text = FINALS.removesuffix('entered_from = "q"\n') + gone
    starts = meet(text, ROSTER, BOTH).competition("all-around").starts
    assert {one.gymnast.bib: one.apparatus for one in starts} == {"1": ("UB",), "4": ("UB", "BB")}


def test_a_mark_on_an_apparatus_that_she_does_not_start_on_is_a_problem(unsettled):
    """Adams is in the final on UB alone."""
    assert unsettled(FINALS, ROSTER, BOTH.rstrip() + "\n1,9,,apparatus") == []
    assert unsettled(FINALS, ROSTER, BOTH.rstrip() + "\n1,,9,apparatus") == [
        ("not-in-the-final", "marks.csv", 8)
    ]


def test_a_cut_is_final_once_no_mark_of_its_list_is_to_come(meet):
    """Fox has still to go on BB: the list of UB is complete, that of BB and the all-around not."""
    one = meet(FINALS, ROSTER, BOTH.replace("6,5,DNS", "6,5,")).competition("q")
    lists = {ranking.apparatus: ranking.cuts[0].final for ranking in one.rankings}
    assert lists == {"": False, "UB": True, "BB": False}


def test_who_takes_no_place_counts_for_no_share(meet):
    """Five have all-around totals: 40 per cent are 2; of six they would be 2.4, that is 3."""
    one = meet(FINALS.replace("places = 5", "percent = 40"), ROSTER, BOTH).competition("q")
    through = one.all_around.cuts[0].lines
    assert sum(line.verdict.outcome == "qualified" for line in through) == 2


def test_starters_named_by_people_are_taken_as_they_are(meet):
    placed = meet(QUALIFICATION, 'starters = ["6", "3"]', ROSTER, MARKS)
    assert [one.gymnast.bib for one in placed.competition("final").starts] == ["6", "3"]


def test_a_mark_of_somebody_who_is_not_in_the_final_is_a_problem(unsettled):
    found = unsettled(QUALIFICATION, ROSTER, MARKS.rstrip() + "\n3,BB,9,final,7,2")
    assert found == [("not-in-the-final", "marks.csv", 8)]


def test_a_status_for_all_of_a_final_is_for_those_who_start_there_alone(tmp_path):
    """Bib 1 is in the final and withdraws from it; bib 3 is not in it, wherever it is."""
    marks = MARKS.replace("competition,e,d", "competition,e,d,status")
    marks = in_full(marks) + "1,,,final,,,DNS\n3,,,final,,,DNS"
    text = "\n".join((QUALIFICATION, ROSTER, marks))
    read, problems = read_meet(write_folder(tmp_path, text))
    assert not problems
    (problem,) = results(read)[1]
    assert (problem.code, problem.row) == ("not-in-the-final", 9)
    assert problem.message.startswith("bib 3 has a mark in 'final' but does not start there")


def test_a_mark_on_an_apparatus_one_does_not_start_on_names_it(tmp_path):
    text = "\n".join((QUALIFICATION, ROSTER, MARKS.rstrip(), "3,BB,9,final,7,2"))
    read, _ = read_meet(write_folder(tmp_path, text))
    (problem,) = results(read)[1]
    assert problem.message.startswith("bib 3 has a mark on BB in 'final' but does not start there")


def test_a_bib_named_as_a_starter_is_that_of_the_division(meet):
    """Bib 1 is worn by a junior and a senior; the final is one of the seniors."""
    final = meet(
        SETTINGS.replace('discipline = "women"', 'discipline = "women"\ndivisions = ["senior"]')
        + 'starters = ["1"]\n[[competition]]\nid = "junior"\ntitle = "Junior"\n'
        + 'discipline = "women"\ndivisions = ["junior"]\n',
        "== roster.csv ==\nbib,family_name,division\n1,Adams,junior\n1,Bell,senior\n",
        "== marks.csv ==\nbib,UB,competition\n1,9,cup\n",
    ).competition("cup")
    assert [start.gymnast.family for start in final.starts] == ["Bell"]


def test_a_tie_that_needs_an_e_score_not_given_is_a_problem(unsettled):
    marks = "== marks.csv ==\nbib,UB,BB\n1,9,8\n2,9,7"
    assert unsettled(SETTINGS, ROSTER, marks) == [("tie-not-settled", "marks.csv", 2)]


def test_the_tie_is_told_at_the_first_mark_of_those_tied_with_what_lacks(tmp_path):
    """A mark of somebody else stands before theirs; of Cole the E score is there."""
    marks = "bib,apparatus,mark,d,e\n1,UB,8,,\n2,UB,9,,\n3,UB,9,2,7\n2,BB,9,,"
    text = "\n".join((SETTINGS, 'ranks = ["apparatus"]', ROSTER, f"== marks.csv ==\n{marks}"))
    (problem,) = results(read_meet(write_folder(tmp_path, text))[0])[1]
    assert (problem.file, problem.row, problem.column) == ("marks.csv", 3, "")
    assert problem.message.startswith(
        "bib 2 and bib 3 are tied on 9.000 in 'cup' (UB list); the rules settle it by the E score, "
        "which is not given for bib 2: fill it in"
    )


def test_or_it_is_shared_where_the_meet_says_so(meet):
    marks = "== marks.csv ==\nbib,UB,BB\n1,9,8\n2,9,7"
    cup = meet(SETTINGS, 'missing_scores = "share"', ROSTER, marks).competition("cup")
    assert listed(cup.by_apparatus["UB"])[:2] == [(1, "1", 9000), (1, "2", 9000)]


def test_an_official_meet_has_no_mark_to_come(unsettled):
    settings = SETTINGS.replace(
        'title = "Test"',
        'title = "Test"\n[status]\nstate = "official"\nsigned = [{ name = "Nora Vey" }]',
        1,
    )
    marks = "== marks.csv ==\nbib,UB,BB\n1,9,8\n2,9,\n3,8,8\n4,7,7\n5,6,6\n6,5,5"
    roster = ROSTER.replace("2,Bell,North,N,,,", "2,Bell,North,N,,,")
    codes = {code for code, *_ in unsettled(settings, roster, marks)}
    assert "official-but-not-finished" in codes


@pytest.mark.parametrize(
    ("missing", "told"),
    [(2, "bib 1, 2):"), (5, "bib 1, 2, 3, 4, 5):"), (6, "bib 1, 2, 3, 4, 5 and 1 more):")],
)
def test_of_a_list_that_is_not_finished_the_first_few_are_named(tmp_path, missing, told):
    status = '[status]\nstate = "official"\nsigned = [{ name = "Nora Vey" }]'
    settings = SETTINGS.replace('title = "Test"', f'title = "Test"\n{status}', 1)
    text = "\n".join((settings, 'ranks = ["all-around"]', ROSTER, "== marks.csv ==\nbib,UB,BB\n"))
    rows = "".join(f"{bib},{bib},{bib}\n" for bib in range(missing + 1, 7))
    (problem,) = results(read_meet(write_folder(tmp_path, text + rows))[0])[1]
    assert (problem.file, problem.column, problem.value) == (
        "meet.toml",
        "status.state",
        "official",
    )
    assert f"still to come in 'cup' (all-around list: {told} " in problem.message


TEAMS = SETTINGS + 'ranks = ["team"]\nteam = { format = "3-3-2" }\n'


def test_a_team_counts_its_best_marks_on_each_apparatus_less_the_penalty(meet):
    penalty = (
        '[[competition.team.penalties]]\nteam = "North"\npoints = 0.3\nreason = "Late line-up"'
    )
    settings = TEAMS.replace('team = { format = "3-3-2" }', '[competition.team]\nformat = "3-3-2"')
    marks = "== marks.csv ==\nbib,UB,BB\n1,9,5\n2,8,6\n3,7,7\n4,8,8\n5,8,DNS\n6,DNS,8"
    team = meet(settings, penalty, ROSTER, marks).competition("cup").team
    north, south = team.lines[1], team.lines[0]
    # North 9 + 8 and 7 + 6, less 0.3 = 29.7; South 8 + 8 and 8 + 8 = 32.
    assert (north.name, north.team.apparatus, north.total) == ("North", (17000, 13000), 29700)
    assert (south.name, south.team.apparatus, south.total) == ("South", (16000, 16000), 32000)
    assert [member.counts for member in north.team.members] == [
        (True, False), (True, True), (False, True),
    ]  # fmt: skip


@pytest.mark.parametrize(("points", "told"), [("17", []), ("17.1", ["North has the total -0.100"])])
def test_a_team_from_which_more_is_taken_than_it_has_is_told(meet, points, told):
    settings = TEAMS.replace(
        '{ format = "3-3-2" }',
        f"""{{ format = "1-1-1", penalties = [
        {{ team = "North", points = {points}, reason = "Late" }}] }}""",
    )
    roster = "== roster.csv ==\nbib,family_name,club\n1,Adams,North"
    results = meet(settings, roster, "== marks.csv ==\nbib,UB,BB\n1,9,8")
    notes = [one.message.partition(",")[0] for one in totals_below_0(results)]
    assert notes == told


def test_a_club_with_fewer_gymnasts_than_count_is_no_team(meet):
    roster = ROSTER.replace("5,Eder,South", "5,Eder,East").replace("6,Fox,South", "6,Fox,East")
    team = meet(TEAMS, roster, "== marks.csv ==\nbib,UB,BB\n1,9,9").competition("cup").team
    assert [line.name for line in team.lines] == ["North", "East"]


def test_competitions_are_judged_after_those_that_fill_them():
    def one(id, source=""):
        return Competition(id=id, title=id, discipline="women", entered_from=source)

    order = in_feeding_order((one("a", "c"), one("b"), one("c", "b")))
    assert [competition.id for competition in order] == ["b", "c", "a"]


def test_a_bib_worn_in_two_age_groups_is_two_persons_and_one_name_is_one(meet):
    cup = meet(
        SETTINGS
        + """divisions = ["junior"]
[[competition]]
id = "senior"
title = "Senior"
discipline = "women"
divisions = ["senior"]
""",
        """
== roster.csv ==
bib,family_name,given_name,division,publish
1,Adams,Ada,junior,
1,Bell,Bea,senior,
2,Cole,Cora,junior,no
2,COLE,Cora,senior,
""",
        """
== marks.csv ==
bib,apparatus,mark,competition
1,UB,10.0,cup
""",
    )
    persons = [cup.gymnasts[key].person for key in range(4)]
    assert persons == ["women/1/junior", "women/1/senior", "women/2", "women/2"]
    pages = [{one.bib for one in person.entries} for person in people(cup)]
    assert sorted(map(sorted, pages)) == [["1"], ["1"], ["2"]]


TIES = """
== meet.toml ==
title = "Test"
[[competition]]
id = "cup"
title = "Cup"
discipline = "women"
apparatus = ["VT", "BB"]
vaults = 2
rules = "own.toml"
phase = "{phase}"
ranks = ["all-around", "apparatus"]
[competition.team]
by = "club"
format = "1-1-1"
== own.toml ==
title = "Own"
[ties.all-around]
criteria = ["total E"]
[ties.apparatus]
criteria = ["E"]
[ties.vault-average]
criteria = ["higher E"]
[ties.team]
criteria = ["total E"]
[ties.team-apparatus]
criteria = ["total E"]
[final-ties.all-around]
criteria = []
== roster.csv ==
bib,family_name,club
1,Adams,North
2,Bell,South
== marks.csv ==
bib,apparatus,vault,mark,d,e
1,VT,1,13,5,8
1,VT,2,13,5,8
1,BB,1,13,5,8
2,VT,1,13,4,9
2,VT,2,13,4,9
2,BB,1,13,4,9
"""


@pytest.mark.parametrize(("phase", "places"), [("qualification", [2, 1]), ("final", [1, 1])])
def test_where_ties_of_finals_stand_they_stand_in_every_list(meet, phase, places):
    found = meet(TIES.format(phase=phase))
    cup, runs = found.competition("cup"), live(found)["cup"]
    for one in (cup.all_around, *cup.by_apparatus.values()):
        lines = sorted(one.lines, key=lambda line: line.gymnast.bib)
        assert [line.place for line in lines] == places
    lines = sorted(cup.all_around.lines, key=lambda line: line.gymnast.bib)
    assert [line.routines[0].place for line in lines] == places
    assert [(one.kind, one.apparatus) for one in cup.rankings[:3]] == [
        ("all-around", ""), ("apparatus", "VT"), ("apparatus", "BB"),
    ]  # fmt: skip
    teams = sorted(cup.team.lines, key=lambda line: line.name)
    assert [(one.place, *one.team.apparatus_places) for one in teams] == [
        (one,) * 3 for one in places
    ]
    assert [len(one.steps) for one in runs.contests] == [places[0] - 1] * 4


def test_the_place_beside_a_mark_is_told_apart_as_the_rules_say(meet):
    """E 8 each; the higher D is ahead."""
    rows = "bib,apparatus,mark,d,e,penalty\n1,UB,13,5,8,0\n2,UB,13,5.2,8,0.2"
    cup = meet(SETTINGS, ROSTER, f"== marks.csv ==\n{rows}").competition("cup")
    routines = {line.gymnast.bib: line.routines[0] for line in cup.all_around.lines}
    assert [routines[bib].place for bib in "12"] == [2, 1]


def test_the_younger_is_ahead_wherever_she_stands_on_the_roster(meet):
    """The roster is not in the order of names, and holds somebody of another competition."""
    rules = '== own.toml ==\ntitle = "Own"\n[ties.apparatus]\ncriteria = ["younger"]'
    roster = """
== roster.csv ==
bib,family_name,discipline,birth_year
3,Young,men,1990
1,Zander,women,2010
2,Adams,women,2012
"""
    marks = "== marks.csv ==\nbib,UB,BB\n1,9,8\n2,9,9"
    text = SETTINGS.replace('discipline = "women"', 'discipline = "women"\nrules = "own.toml"')
    men = '[[competition]]\nid = "men"\ntitle = "Men"\ndiscipline = "men"\napparatus = ["PH"]\n'
    cup = meet(text, men, rules, roster, marks.replace("BB\n", "BB,competition\n")
               .replace(",8\n", ",8,cup\n") + ",cup").competition("cup")  # fmt: skip
    assert listed(cup.by_apparatus["UB"]) == [(1, "2", 9000), (2, "1", 9000)]


def test_no_all_around_total_is_behind_any_however_good_the_marks_there_are(meet):
    """Adams has 18 on two apparatus and is not on the third; Bell has 11 on all three."""
    rules = '== own.toml ==\ntitle = "Own"\n[ties.apparatus]\ncriteria = ["all-around total"]'
    text = SETTINGS.replace('["UB", "BB"]', '["UB", "BB", "FX"]\nrules = "own.toml"')
    marks = "== marks.csv ==\nbib,UB,BB,FX\n1,9,9,DNS\n2,9,1,1"
    cup = meet(text, rules, ROSTER.split("3,Cole")[0], marks).competition("cup")
    assert listed(cup.by_apparatus["UB"]) == [(1, "2", 9000), (2, "1", 9000)]


OFFICIAL = SETTINGS.replace(
    'title = "Test"',
    'title = "Test"\n[status]\nstate = "official"\nsigned = [{ name = "Nora Vey" }]',
    1,
)


def test_what_the_judging_finds_in_the_settings_has_its_line_and_is_told_once(tmp_path):
    """Marks are to come in the all-around and on both apparatus; the state stands on line 3."""
    marks = "== marks.csv ==\nbib,UB,BB\n1,9,\n2,,8.5"
    folder = write_folder(tmp_path, "\n".join(one.strip("\n") for one in (OFFICIAL, ROSTER, marks)))
    with pytest.raises(MeetProblems) as found:
        checked(folder, folder / "output", BuildOptions())
    told = [(one.code, one.file, one.row) for one in found.value.problems]
    assert told == [("official-but-not-finished", "meet.toml", 3)]
    message = found.value.problems[0].message
    assert "all-around list: bib 1, 2" in message
    assert "UB list: bib 2" in message


def test_the_same_who_do_not_start_in_a_final_are_one_problem(tmp_path):
    """Bibs 2 and 3 have marks on both apparatus of a final for bib 1; bib 4 on one of them."""
    settings = SETTINGS + 'starters = ["1"]\nmissing_scores = "share"'
    marks = "== marks.csv ==\nbib,UB,BB\n1,9,8\n2,8,8\n3,7,7\n4,,7"
    text = "\n".join(part.strip("\n") for part in (settings, ROSTER, marks))
    read, problems = read_meet(write_folder(tmp_path, text))
    assert not problems
    told = [(one.row, one.message.split(";")[0]) for one in results(read)[1]]
    assert told == [
        (3, "bib 2, 3 have marks on UB in 'cup' but do not start there"),
        (3, "bib 2, 3, 4 have marks on BB in 'cup' but do not start there"),
    ]
    text = text.replace("\n4,,7", "\n4,6,7")
    (problem,) = results(read_meet(write_folder(tmp_path, text))[0])[1]
    assert problem.message.endswith(
        'starters.UB = ["2", "3", "4", ...] and starters.BB = ["2", "3", "4", ...]'
    )


def test_where_no_e_score_is_given_at_all_ties_are_one_problem(unsettled):
    marks = "== marks.csv ==\nbib,UB,BB\n1,9,8\n2,9,7\n3,8,8\n4,8,6"
    assert unsettled(SETTINGS, ROSTER, marks) == [("tie-not-settled", "marks.csv", 2)]


AWAITED = """
    == meet.toml ==
    title = "Cup"
    [[competition]]
    id = "cup"
    title = "Cup"
    discipline = "women"
    apparatus = ["VT", "UB", "BB"]
    rules = "club-ten"
    ranks = ["all-around", "apparatus"]
    == roster.csv ==
    bib,family_name,given_name,publish
    1,Ash,Ada,
    2,Bay,Bea,
    3,Cob,Cleo,{publish}
    == marks.csv ==
    bib,VT,UB,BB
    1,9.000,9.000,9.000
    2,9.000,9.000,{last}
    3,DNS,{two},
"""


@pytest.mark.parametrize(
    ("last", "two", "publish", "told"),
    [
        ("9.000", "", "", "Cob Cleo has DNS here and nothing on UB, BB, for which cup still waits"),
        ("9.000", "", "no", "bib 3 has DNS here"),
        ("", "", "", ""),  # Somebody else has a mark to come.
        ("9.000", "9.000", "", ""),  # She has begun.
    ],
)
def test_for_whom_alone_a_meet_waits_is_told(tmp_path, last, two, publish, told):
    text = AWAITED.format(last=last, two=two, publish=publish)
    found = [str(one) for one in awaited(judged(write_folder(tmp_path, text)))]
    assert len(found) == bool(told)
    assert not told or found[0].startswith(f"marks.csv:4 [VT] {told}")
