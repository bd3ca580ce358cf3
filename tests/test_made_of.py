"""What a total is made of, in a whole meet: days added, marks carried, shared, or missing.

Each test is a small meet and a claim; the sums are worked out by hand beside them."""

from __future__ import annotations

import shutil
from decimal import Decimal
from fractions import Fraction
from math import floor

import pytest
from folders import judged, write_folder
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from resultsgen.history import history
from resultsgen.live.competition import in_front, live
from resultsgen.meet.competition import Competition
from resultsgen.publishing.recording import next_publication
from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import in_feeding_order, results
from resultsgen.views.lists.rankings import list_table
from resultsgen.views.lists.rules import mark_sentences
from resultsgen.views.live.leads import compared_lists
from resultsgen.views.people.gymnasts import ByGymnast, marks_table
from resultsgen.views.words.wording import Wording

ROSTER = """
== roster.csv ==
bib,family_name,club,federation,division,guest,entered,status
1,Adams,North,N,junior,,,
2,Bell,North,N,junior,,,
3,Cole,South,S,senior,,,
4,Dean,South,S,senior,,,
"""
TWO_DAYS = """
== meet.toml ==
title = "Test"
[[competition]]
id = "saturday"
title = "Saturday"
discipline = "women"
apparatus = ["UB", "BB"]
rules = "two-day-combined"
marks = "saturday.csv"
[[competition]]
id = "both"
title = "Both days"
discipline = "women"
apparatus = ["UB", "BB"]
rules = "two-day-combined"
days = ["saturday", "sunday"]
{more}
[[competition]]
id = "sunday"
title = "Sunday"
discipline = "women"
apparatus = ["UB", "BB"]
rules = "two-day-combined"
marks = "sunday.csv"
"""
DAYS = """
== saturday.csv ==
bib,UB,BB
1,10,11
2,12,12
3,13,DNS
4,DNS,DNS
== sunday.csv ==
bib,UB,BB
1,11,12.5
2,0,12
3,13,DNS
4,DNS,DNS
"""
CARRIED = """
== meet.toml ==
title = "Test"
[[competition]]
id = "final"
title = "Final"
discipline = "women"
apparatus = ["UB", "BB"]
ranks = ["all-around", "apparatus"]
rules = "ten-mark-carried"
carried_from = ["compulsory", "optional"]
starters = ["1", "2", "3"]
marks = "final.csv"
[[competition]]
id = "compulsory"
title = "Compulsory"
discipline = "women"
apparatus = ["UB", "BB"]
phase = "qualification"
rules = "ten-mark-carried"
marks = "compulsory.csv"
[[competition]]
id = "optional"
title = "Optional"
discipline = "women"
apparatus = ["UB", "BB"]
phase = "qualification"
rules = "ten-mark-carried"
marks = "optional.csv"
== compulsory.csv ==
bib,UB,BB
1,9.875,9.9
2,9.8,9.7
3,9.5,9.5
4,9,9
== optional.csv ==
bib,UB,BB
1,10,9.9
2,9.9,9.8
3,9.5,9.5
4,9,9
"""
SHARED = """
== meet.toml ==
title = "Test"
[[competition]]
id = "open"
title = "All ages"
discipline = "women"
apparatus = ["UB", "BB"]
marks_of = ["juniors", "seniors"]
{more}
[[competition]]
id = "juniors"
title = "Juniors"
discipline = "women"
divisions = ["junior"]
apparatus = ["UB", "BB"]
[[competition]]
id = "seniors"
title = "Seniors"
discipline = "women"
divisions = ["senior"]
apparatus = ["UB", "BB"]
== marks.csv ==
bib,UB,BB
1,10,11
2,12,12
3,13,9
4,DNS,8
"""


@pytest.fixture
def meet(tmp_path):
    """Judge a meet folder written as text."""
    return lambda *parts: judged(write_folder(tmp_path, "\n".join(p.strip("\n") for p in parts)))


@pytest.fixture
def told(tmp_path):
    """All problems of a meet folder: code, file, row, column."""

    def found(*parts):
        folder = write_folder(tmp_path, "\n".join(part.strip("\n") for part in parts))
        read, problems = read_meet(folder)
        judged_too = problems or results(read)[1]
        return [(one.code, one.file, one.row, one.column) for one in judged_too]

    return found


def listed(ranking):
    """Place, bib and total or status of each line."""
    return [(line.place, line.gymnast.bib, line.total or line.status) for line in ranking.lines]


def terms(ranking):
    return {line.gymnast.bib: line.terms for line in ranking.lines}


# Two days added


def test_the_totals_of_two_days_are_added(meet):
    """Bib 1: 21 + 23.5; bib 2: 24 + 12 (0.000 counts); bib 3 on one apparatus: 13 + 13."""
    both = meet(TWO_DAYS.format(more=""), ROSTER, DAYS).competition("both")
    assert listed(both.all_around) == [
        (1, "1", 44500), (2, "2", 36000), (3, "3", 26000), (None, "4", "DNS"),
    ]  # fmt: skip
    assert terms(both.all_around) == {
        "1": (21000, 23500), "2": (24000, 12000), "3": (13000, 13000), "4": (None, None),
    }  # fmt: skip
    assert [(one.kind, one.title) for one in both.all_around.terms] == [
        ("day", "Saturday"), ("day", "Sunday"),
    ]  # fmt: skip
    assert both.complete


def test_an_apparatus_adds_the_marks_of_both_days(meet):
    both = meet(TWO_DAYS.format(more=""), ROSTER, DAYS).competition("both")
    assert listed(both.by_apparatus["UB"]) == [
        (1, "3", 26000), (2, "1", 21000), (3, "2", 12000), (None, "4", "DNS"),
    ]  # fmt: skip
    assert terms(both.by_apparatus["UB"])["2"] == (12000, 0)


@pytest.mark.parametrize(
    ("given", "told"), [("4,DNS,", ""), ("4,DNS,DNS", "DNS"), ("4,DSQ,", "DSQ"), ("4,,DNF", "")]
)
def test_by_what_there_is_one_apparatus_missed_leaves_the_list_open(meet, given, told):
    """Dean has a mark to come and would be placed by it, but for a disqualification."""
    text = TWO_DAYS.format(more="").replace('"sunday"]', '"saturday"]').split("[[competition]]")
    rules = '== own.toml ==\ntitle = "Own"\n[totals]\nincomplete = "placed by what there is"'
    days = f"== saturday.csv ==\nbib,UB,BB\n1,10,11\n2,12,12\n3,13,9\n{given}"
    one = meet("[[competition]]".join(text[:2]).replace("two-day-combined", "own.toml"),
               rules, ROSTER, days).competition("saturday")  # fmt: skip
    last = one.all_around.lines[-1]
    assert (last.gymnast.bib, last.total, last.status) == ("4", None, told)
    assert one.all_around.to_come == (not told)


def test_who_comes_on_one_day_only_is_placed_by_that_where_the_rules_place_so(meet):
    """Who is missing on Sunday altogether: 24 + nothing."""
    days = DAYS.replace("2,0,12", "2,DNS,DNS")
    both = meet(TWO_DAYS.format(more=""), ROSTER, days).competition("both")
    assert listed(both.all_around)[:3] == [(1, "1", 44500), (2, "3", 26000), (3, "2", 24000)]
    assert [line.done for line in both.all_around.lines] == [4, 2, 2, 0]
    assert [line.needed for line in both.all_around.lines] == [4, 4, 4, 4]


def test_a_rule_set_that_adds_no_days_is_told_or_changed(told, tmp_path):
    text = TWO_DAYS.format(more="").replace("two-day-combined", "international")
    assert told(text, ROSTER, DAYS) == [
        ("links-do-not-fit", "meet.toml", text[: text.index("days =")].count("\n") - 1,
         "competition[2].days"),
    ]  # fmt: skip
    changed = text.replace(
        'title = "Test"', 'title = "Test"\n[rules.international.totals]\ndays = "added"'
    )
    both = judged(
        write_folder(tmp_path / "changed", "\n".join((changed, ROSTER, DAYS)))
    ).competition("both")
    assert listed(both.all_around)[:2] == [(1, "1", 44500), (2, "2", 36000)]


WHOLE = """
== own.toml ==
title = "Two days"
[totals]
days = "added"
[ties.all-around]
criteria = ["best apparatus, one fewer each time", "total E"]
[ties.team-apparatus]
criteria = ["best marks, one fewer each time"]
"""


def whole(text):
    return text.replace("two-day-combined", "own.toml")


def test_who_misses_a_day_has_no_total_where_all_is_needed(meet):
    """Bib 3 lacks BB on both days."""
    both = meet(whole(TWO_DAYS.format(more="")), WHOLE, ROSTER, DAYS).competition("both")
    assert listed(both.all_around) == [
        (1, "1", 44500), (2, "2", 36000), (None, "3", "DNF"), (None, "4", "DNS"),
    ]  # fmt: skip


def test_a_tie_over_two_days_compares_the_apparatus_over_both(meet):
    """Both 46: BB 24 and UB 22 against 23 and 23: the better apparatus over both days leads.

    The best single mark is the other's (13), so that not the marks of one day are compared."""
    days = """
== saturday.csv ==
bib,UB,BB
1,11,12
2,13,10
3,DNS,DNS
4,DNS,DNS
== sunday.csv ==
bib,UB,BB
1,11,12
2,10,13
3,DNS,DNS
4,DNS,DNS
"""
    both = meet(whole(TWO_DAYS.format(more="")), WHOLE, ROSTER, days).competition("both")
    assert listed(both.all_around)[:2] == [(1, "1", 46000), (2, "2", 46000)]
    (tie,) = both.all_around.ties
    assert tie.steps[0].values == (24000, 23000)


def test_the_two_vaults_of_two_days_are_four_vaults(meet):
    """Averages 10 + 9 and 9.75 + 9.25 = 19; first and second vaults add up to 19 each as well.

    The best of the four is bib 2's 10.5; bars are another matter."""
    days = """
== saturday.csv ==
bib,VT,VT2,UB
1,10,10,11
2,10.5,9,9
3,9,,9
4,DNS,,9
== sunday.csv ==
bib,VT,VT2,UB
1,9,9,11
2,8.5,10,9
3,9,,9
4,DNS,,9
"""
    rules = WHOLE.replace("[ties.all-around]", "[ties.vault-average]", 1).replace(
        '"best apparatus, one fewer each time", "total E"', '"better vault"', 1
    )
    text = whole(TWO_DAYS.format(more="")).replace('["UB", "BB"]', '["VT", "UB"]\nvaults = 2')
    both = meet(text, rules, ROSTER, days).competition("both")
    assert listed(both.by_apparatus["VT"]) == [(1, "2", 19000), (2, "1", 19000)]
    (tie,) = both.by_apparatus["VT"].ties
    assert tie.steps[0].values == (10500, 10000)
    assert terms(both.by_apparatus["VT"]) == {"1": (10000, 9000), "2": (9750, 9250)}


def test_who_takes_part_on_one_of_the_days_is_in_all_lists_of_both(meet):
    """Sunday is for seniors alone: the juniors keep what they have of Saturday."""
    text = TWO_DAYS.format(more="").replace(
        'id = "sunday"', 'id = "sunday"\ndivisions = ["senior"]'
    )
    days = DAYS.replace("1,11,12.5\n2,0,12\n", "")
    both = meet(text, ROSTER, days).competition("both")
    assert listed(both.by_apparatus["UB"]) == [
        (1, "3", 26000), (2, "2", 12000), (3, "1", 10000), (None, "4", "DNS"),
    ]  # fmt: skip
    assert listed(both.all_around)[:3] == [(1, "3", 26000), (2, "2", 24000), (3, "1", 21000)]
    assert both.complete


def test_the_days_of_a_person_are_added_whatever_the_division(meet):
    """On both days she starts among the juniors; both are added for the gala alone."""
    text = TWO_DAYS.format(more='divisions = ["gala"]')
    for day in ("saturday", "sunday"):
        text = text.replace(f'id = "{day}"', f'id = "{day}"\ndivisions = ["junior", "senior"]')
    roster = ROSTER.rstrip() + "\n1,Adams,North,N,gala,,,\n"
    both = meet(text, roster, DAYS).competition("both")
    assert listed(both.all_around) == [(1, "1", 44500)]


def test_a_day_that_was_missed_adds_nothing_to_a_tie(meet):
    """By what there is: UB 10 + nothing, BB 5 + 5 against 5 + 5 twice: 20, equal on the best."""
    rules = WHOLE.replace("[totals]", '[totals]\nincomplete = "placed by what there is"').replace(
        ', "total E"', ""
    )
    days = """
== saturday.csv ==
bib,UB,BB
1,10,5
2,5,5
3,DNS,DNS
4,DNS,DNS
== sunday.csv ==
bib,UB,BB
1,DNS,5
2,5,5
3,DNS,DNS
4,DNS,DNS
"""
    both = meet(whole(TWO_DAYS.format(more="")), rules, ROSTER, days).competition("both")
    assert listed(both.all_around)[:2] == [(1, "1", 20000), (1, "2", 20000)]
    (tie,) = both.all_around.ties
    assert tie.steps == ()
    # One half of BB taken from 1 and from each of 2 in turn: 10 on UB is better than 9.5.
    fewer = days.replace("1,10,5", "1,10,4.5").replace("1,DNS,5", "1,DNS,4.5")
    fewer = fewer.replace("2,5,5", "2,4.75,4.75")
    both = meet(whole(TWO_DAYS.format(more="")), rules, ROSTER, fewer).competition("both")
    assert listed(both.all_around)[:2] == [(1, "1", 19000), (2, "2", 19000)]


def test_where_all_is_needed_an_apparatus_missed_on_one_day_leaves_no_total_for_a_tie(meet):
    """UB 20 each; 9 on BB of one day alone is no all-around total, 8 of both days is one."""
    rules = WHOLE.replace("[ties.team-apparatus]", '[ties.apparatus]\n'
                          'criteria = ["all-around total"]\n[ties.team-apparatus]')  # fmt: skip
    days = """
== saturday.csv ==
bib,UB,BB
1,10,9
2,10,4
3,DNS,DNS
4,DNS,DNS
== sunday.csv ==
bib,UB,BB
1,10,DNS
2,10,4
3,DNS,DNS
4,DNS,DNS
"""
    both = meet(whole(TWO_DAYS.format(more="")), rules, ROSTER, days).competition("both")
    assert listed(both.by_apparatus["UB"])[:2] == [(1, "2", 20000), (2, "1", 20000)]
    assert listed(both.all_around)[:2] == [(1, "2", 28000), (None, "1", "DNF")]


def test_an_apparatus_of_one_of_the_days_counts_as_it_is(meet):
    """On Saturday there is no beam: 11 + 11 + 12.5, and 12.5 on beam. Dean is for bars alone."""
    text = TWO_DAYS.format(more="").replace('apparatus = ["UB", "BB"]', 'apparatus = ["UB"]', 1)
    days = DAYS.replace("bib,UB,BB\n1,10,11\n2,12,12\n3,13,DNS\n4,DNS,DNS",
                        "bib,UB\n1,11\n2,12\n3,13\n4,DNS")  # fmt: skip
    roster = ROSTER.replace("4,Dean,South,S,senior,,,", "4,Dean,South,S,senior,,UB,")
    both = meet(text, roster, days.replace("4,DNS,DNS", "4,DNS,")).competition("both")
    assert listed(both.all_around)[:2] == [(1, "1", 34500), (2, "3", 26000)]
    assert listed(both.by_apparatus["BB"]) == [
        (1, "1", 12500), (2, "2", 12000), (None, "3", "DNS"),
    ]  # fmt: skip


def test_an_apparatus_of_one_of_the_days_is_compared_in_a_tie(meet):
    """Bars 4 + 4 and beam 10 of Sunday alone, against 4.5 + 4.5 and 9: the beam is best."""
    rules = WHOLE.replace("[totals]", '[totals]\nincomplete = "placed by what there is"')
    text = TWO_DAYS.format(more="").replace('apparatus = ["UB", "BB"]', 'apparatus = ["UB"]', 1)
    days = "== saturday.csv ==\nbib,UB\n1,4\n2,4.5\n== sunday.csv ==\nbib,UB,BB\n1,4,10\n2,4.5,9\n"
    roster = ROSTER.split("3,Cole")[0]
    both = meet(whole(text), rules, roster, days).competition("both")
    assert listed(both.all_around) == [(1, "1", 18000), (2, "2", 18000)]


def test_what_is_carried_is_the_persons_whatever_the_division(meet):
    """Adams did the qualification as a junior and has a row of her own for the final."""
    text = CARRIED.replace('id = "final"', 'id = "final"\ndivisions = ["gala"]')
    for one in ("compulsory", "optional"):
        text = text.replace(f'id = "{one}"', f'id = "{one}"\ndivisions = ["junior", "senior"]')
    roster = ROSTER.rstrip() + "\n1,Adams,North,N,gala,,,\n"
    final = meet(
        text.replace('starters = ["1", "2", "3"]\n', ""),
        roster,
        "== final.csv ==\nbib,UB,BB\n1,9.9,9.8\n",
    ).competition("final")
    assert listed(final.by_apparatus["UB"]) == [(1, "1", 19837)]
    assert terms(final.all_around) == {"1": (19837, 19700)}


def teams_over_two_days(saturday, sunday, settings=""):
    """North (1 and 2) and South (3), one mark counting; equal totals are settled by E."""
    rules = WHOLE.replace("[totals]", '[ties.team]\ncriteria = ["total E"]\n[totals]')
    text = whole(
        TWO_DAYS.format(more=f'ranks = ["team"]\nteam = {{ format = "2-2-1" }}\n{settings}')
    )
    days = (f"== {day}.csv ==\nbib,apparatus,mark,d,e\n{marks}\n{_rest(marks)}\n"
            for day, marks in (("saturday", saturday), ("sunday", sunday)))  # fmt: skip
    return text, rules, ROSTER, "".join(days)


def _rest(marks):
    """Nobody starts where no mark is given, so that all are over."""
    every = (f"{bib},{part}," for bib in (1, 2, 3, 4) for part in ("UB", "BB"))
    return "\n".join(f"{one}DNS,," for one in every if one not in marks)


def test_teams_equal_over_two_days_are_told_apart_by_the_e_of_what_counts(meet):
    """10 + 11 and 11 + 10; E 8 + 9 and 8.5 + 8. Of the mark that is dropped no E is asked for."""
    parts = teams_over_two_days(
        "1,UB,10,2,8\n2,UB,9,,\n3,UB,11,2.5,8.5", "1,UB,11,2,9\n3,UB,10,2,8"
    )
    team = meet(*parts).competition("both").team
    assert [(line.place, line.name, line.total) for line in team.lines] == [
        (1, "North", 21000), (2, "South", 21000),
    ]  # fmt: skip
    assert team.ties[0].total == 21000
    assert team.ties[0].steps[0].values == (17000, 16500)


def test_teams_equal_on_one_apparatus_over_two_days_compare_the_best_marks_of_both(meet):
    """10 + 12 and 11 + 11 on bars: the best mark is North's 12. By D, 2 + 3, South is ahead."""
    text, rules, roster, days = teams_over_two_days(
        "1,UB,10,2,8\n3,UB,11,3,8", "1,UB,12,3,9\n3,UB,11,3,8"
    )
    team = meet(text, rules.replace("total E", "total D"), roster, days).competition("both").team
    assert [(line.place, line.name, line.total) for line in team.lines] == [
        (1, "South", 22000), (2, "North", 22000),
    ]  # fmt: skip
    assert {line.name: line.team.apparatus_places[0] for line in team.lines} == {
        "North": 1,
        "South": 2,
    }


@pytest.mark.parametrize("day", [0, 1])
def test_an_e_that_lacks_on_one_of_the_days_leaves_the_teams_tied(told, day):
    days = ["1,UB,10,2,8\n3,UB,11,2.5,8.5", "1,UB,11,2,9\n3,UB,10,2,8"]
    days[day] = days[day].replace("2,8\n", ",\n").replace("2,9\n", ",\n")
    assert "tie-not-settled" in [code for code, *_ in told(*teams_over_two_days(*days))]


def test_a_team_without_a_mark_on_one_day_has_that_of_the_other(meet):
    """South on BB: nothing on Saturday, 9 on Sunday."""
    days = DAYS.replace("3,13,DNS\n4,DNS,DNS\n", "3,13,9\n4,DNS,DNS\n").replace(
        "3,13,9", "3,13,DNS", 1
    )
    both = meet(TWO_DAYS.format(more=TEAM), ROSTER, days).competition("both")
    assert {line.name: line.team.apparatus for line in both.team.lines}["South"] == (26000, 9000)


def test_what_a_club_was_fined_on_one_day_is_not_the_federations_of_the_same_name(meet):
    fined = 'team = { format = "2-2-1", by = "club", penalties = [{ team = "N", points = 1 }] }'
    text = TWO_DAYS.format(more=TEAM.replace('"club"', '"federation"')).replace(
        'marks = "saturday.csv"', f'marks = "saturday.csv"\n{fined}'
    )
    text = text.replace('team = "South"', 'team = "S"')
    both = meet(text, ROSTER.replace("North,N", "N,N"), DAYS).competition("both")
    assert [(line.name, line.total) for line in both.team.lines] == [("N", 47500), ("S", 25900)]


TEAM = """
ranks = ["team"]
team = { format = "2-2-1", by = "club", penalties = [{ team = "South", points = 0.1 }] }
"""


def test_teams_count_day_by_day_and_both_days_are_added(meet):
    """North: Saturday 12 + 12, Sunday 11 + 12.5; South: 13, and 13 less 0.1."""
    both = meet(TWO_DAYS.format(more=TEAM), ROSTER, DAYS).competition("both")
    assert [(one.place, one.name, one.total, one.terms) for one in both.team.lines] == [
        (1, "North", 47500, (24000, 23500)),
        (2, "South", 25900, (13000, 13000)),
    ]
    north = both.team.lines[0]
    assert north.team.apparatus == (23000, 24500)
    counting = {(one.gymnast.bib, one.day): one.counts for one in north.team.members}
    assert counting == {
        ("1", "saturday"): (False, False),
        ("1", "sunday"): (True, True),
        ("2", "saturday"): (True, True),
        ("2", "sunday"): (False, False),
    }
    assert both.team.lines[1].team.short == (False, True)


def test_what_was_taken_from_a_team_on_one_day_stays_taken(meet):
    text = TWO_DAYS.format(more=TEAM).replace(
        'marks = "saturday.csv"', 'marks = "saturday.csv"\nteam = { format = "2-2-1", '
        'penalties = [{ team = "South", points = 0.3, reason = "late" }] }',
    )  # fmt: skip
    south = meet(text, ROSTER, DAYS).competition("both").team.lines[1]
    assert (south.total, south.team.penalty, south.terms) == (25600, 400, (12700, 13000))
    assert south.team.penalty_reason == "late"


def test_while_the_second_day_runs_its_marks_are_to_come(meet):
    both = meet(
        TWO_DAYS.format(more=TEAM.replace('["team"]', '["team", "all-around"]')),
        ROSTER,
        DAYS.replace("1,11,12.5", "1,11,"),
    ).competition("both")
    assert both.all_around.to_come == 1
    assert both.team.to_come == 1
    # Only who is over with both days has a place, however much the others have.
    assert [(line.place, line.id, line.total, line.so_far, line.done) for line in
            both.all_around.lines[:3]] == [
        (1, "2", 36000, 36000, 4), (2, "3", 26000, 26000, 2), (None, "1", None, 32000, 3),
    ]  # fmt: skip
    assert [(line.place, line.name, line.total, line.so_far, line.done, line.needed) for line in
            both.team.lines] == [
        (None, "North", None, 47000, 3, 4), (1, "South", 25900, 25900, 2, 4),
    ]  # fmt: skip
    # Teams stand by what there is, and are shown so, each with what is to come.
    assert [*both.team.places.values()] == [1, 2]
    assert [line.to_come for line in both.team.lines] == [1, 0]


def test_between_the_days_those_are_compared_who_have_as_many_marks(meet):
    """Saturday: bib 2 has 24, bib 1 21; bib 3 has bars alone, and 4 does not start."""
    placed = meet(TWO_DAYS.format(more=""), ROSTER, DAYS.split("== sunday.csv ==")[0] +
                  "== sunday.csv ==\nbib,UB,BB\n")  # fmt: skip
    ranking = placed.competition("both").all_around
    told = {
        title: [(one.place, one.key, one.total) for one in lines]
        for title, lines in compared_lists(placed, ranking, Wording())
    }
    assert [*told.items()] == [
        ("All-around, after 2 of 4 apparatus", [(1, 1, 24000), (2, 0, 21000)]),
        ("All-around, after 1 of 4 apparatus", [(1, 2, 13000)]),
    ]  # fmt: skip
    assert [line.key for line in in_front(placed, ranking)] == [1, 0]


def test_nothing_is_told_of_how_added_days_run(meet):
    placed = meet(TWO_DAYS.format(more=""), ROSTER, DAYS)
    assert live(placed)["both"].lists == {}
    assert live(placed)["both"].needs == ()
    saturday = live(placed)["saturday"].lists["all-around"].now
    assert [one.total for one in saturday.leading] == [24000, 21000, 13000]


# Carried over


def test_half_of_both_qualification_marks_is_carried_into_the_final(meet):
    """Bib 1 on UB: (9.875 + 10) / 2 = 9.937|5, and 9.9; all-around (19.775 + 19.9) / 2 = 19.837|5.
    Bib 2 on UB: 9.850 + 10; all-around (19.5 + 19.7) / 2 = 19.6."""
    final = meet(
        CARRIED, ROSTER, "== final.csv ==\nbib,UB,BB\n1,9.9,9.8\n2,10,10\n3,9.5,9.5\n"
    ).competition("final")
    assert listed(final.by_apparatus["UB"]) == [(1, "2", 19850), (2, "1", 19837), (3, "3", 19000)]
    assert terms(final.by_apparatus["UB"])["1"] == (9937, 9900)
    assert listed(final.all_around) == [(1, "2", 39600), (2, "1", 39537), (3, "3", 38000)]
    assert terms(final.all_around)["1"] == (19837, 19700)
    assert [one.kind for one in final.all_around.terms] == ["carried", "final"]
    assert final.all_around.terms[0].competitions == ("compulsory", "optional")


def test_equal_totals_with_what_is_carried_share_the_place(meet):
    final = meet(
        CARRIED, ROSTER, "== final.csv ==\nbib,UB,BB\n1,9.9,9.8\n2,9.987,10\n3,9.5,9.5\n"
    ).competition("final")
    assert listed(final.by_apparatus["UB"])[:2] == [(1, "1", 19837), (1, "2", 19837)]


def test_two_vaults_of_a_final_are_averaged_before_half_is_added(meet):
    """(9.9 + 9.975) / 2 = 9.937|5 carried; (9.937 + 10) / 2 = 9.968|5; together 19.905."""
    text = CARRIED.replace('["UB", "BB"]', '["VT"]').replace('"all-around", "apparatus"',
                                                              '"apparatus"')  # fmt: skip
    text = text.replace('starters = ["1", "2", "3"]', 'starters = ["1", "2"]\nvaults = 2')
    text = text.split("== compulsory.csv")[0] + (
        "== compulsory.csv ==\nbib,VT\n1,9.9\n2,9.8\n3,9\n4,9\n"
        "== optional.csv ==\nbib,VT\n1,9.975\n2,9.8\n3,9\n4,9\n"
        "== final.csv ==\nbib,VT,VT2\n1,9.937,10\n2,9.9,9.9\n"
    )
    vault = meet(text, ROSTER).competition("final").by_apparatus["VT"]
    assert listed(vault) == [(1, "1", 19905), (2, "2", 19700)]
    assert terms(vault)["1"] == (9937, 9968)


def test_a_mark_in_a_final_needs_what_is_carried_into_it(told):
    text = CARRIED.replace("2,9.9,9.8", "2,9.9,DNS")
    found = told(text, ROSTER, "== final.csv ==\nbib,UB,BB\n1,9,9\n2,10,9\n3,9.5,9.5\n")
    assert found == [("nothing-to-carry", "final.csv", 3, "mark")]


def test_before_a_final_nothing_is_carried_yet(meet):
    final = meet(CARRIED, ROSTER, "== final.csv ==\nbib,UB,BB\n1,9.9,\n").competition("final")
    assert listed(final.all_around) == [(None, "1", ""), (None, "2", ""), (None, "3", "")]
    assert [line.so_far for line in final.all_around.lines] == [29737, None, None]
    assert final.all_around.to_come == 3


def test_a_running_final_leads_with_what_is_carried(meet):
    """Bib 2 has the better mark, bib 1 the better total; bib 3 needs what lies between."""
    placed = meet(CARRIED, ROSTER, "== final.csv ==\nbib,UB,BB\n1,9.9,9.8\n2,9.95,9.9\n3,,9.5\n")
    uneven = live(placed)["final"].lists["UB"].now
    assert [(one.key, one.total) for one in uneven.leading] == [(0, 19837), (1, 19800)]
    need = live(placed)["final"].needs[0].needs[-1]
    assert need.key == 2
    lead = [
        need for need in live(placed)["final"].needs[0].needs
        if need.list == "UB" and need.aim == "lead"
    ]  # fmt: skip
    assert lead[0].wins == 19837 - 9500 + 1 or lead[0].ties == 19837 - 9500


def test_carried_marks_stand_in_the_order_of_judging() -> None:
    def one(id, **more):
        return Competition(id=id, title=id, discipline="women", **more)

    meet = (
        one("final", entered_from="both", carried_from=("a", "b")),
        one("both", days=("a", "b")),
        one("open", marks_of=("b",)),
        one("a"),
        one("b"),
    )
    order = [found.id for found in in_feeding_order(meet)]
    assert order == ["a", "b", "both", "open", "final"]


TEN_MARK_ERA = """
== meet.toml ==
title = "Test"
[[competition]]
id = "final"
title = "Final"
discipline = "women"
apparatus = ["UB", "BB"]
ranks = ["apparatus"]
rules = "ten-mark-carried"
entered_from = "both"
carried_from = ["compulsory", "optional"]
marks = "final.csv"
[[competition]]
id = "both"
title = "Team, and who qualifies"
discipline = "women"
apparatus = ["UB", "BB"]
ranks = ["all-around", "apparatus", "team"]
phase = "qualification"
rules = "ten-mark-carried"
days = ["compulsory", "optional"]
team = { format = "2-2-2", by = "federation" }
cuts = [{ name = "Final", of = "apparatus", to = "final", places = 2 }]
[[competition]]
id = "compulsory"
title = "Compulsory"
discipline = "women"
apparatus = ["UB", "BB"]
phase = "qualification"
rules = "ten-mark-carried"
marks = "compulsory.csv"
[[competition]]
id = "optional"
title = "Optional"
discipline = "women"
apparatus = ["UB", "BB"]
phase = "qualification"
rules = "ten-mark-carried"
marks = "optional.csv"
== compulsory.csv ==
bib,UB,BB
1,9.875,9.9
2,9.8,9.7
3,9.5,9.95
4,9,9
== optional.csv ==
bib,UB,BB
1,10,9.9
2,9.9,9.8
3,9.5,9.95
4,9,9
== final.csv ==
bib,UB,BB
1,9.9,9.8
2,10,
3,,9.9
"""


def test_a_championship_of_the_ten_mark_era_from_compulsories_to_finals(meet):
    """Both days are added for teams and cuts; half of both is carried into the finals.

    Team N: compulsory 19.675 + 19.6, optional 19.9 + 19.7; UB: 1 (19.875), 2 (19.7) qualify."""
    placed = meet(TEN_MARK_ERA, ROSTER)
    both = placed.competition("both")
    assert [(one.name, one.total, one.terms) for one in both.team.lines] == [
        ("N", 78875, (39275, 39600)),
        ("S", 74900, (37450, 37450)),
    ]
    assert listed(both.all_around)[0] == (1, "1", 39675)
    final = placed.competition("final")
    assert listed(final.by_apparatus["UB"]) == [(1, "2", 19850), (2, "1", 19837)]
    assert listed(final.by_apparatus["BB"]) == [(1, "3", 19850), (2, "1", 19700)]


# Marks shared by several competitions


def test_one_routine_counts_in_its_age_group_and_among_all(meet):
    placed = meet(SHARED.format(more=""), ROSTER)
    assert listed(placed.competition("juniors").all_around) == [(1, "2", 24000), (2, "1", 21000)]
    assert listed(placed.competition("seniors").all_around) == [(1, "3", 22000), (None, "4", "DNF")]
    assert listed(placed.competition("open").all_around) == [
        (1, "2", 24000), (2, "3", 22000), (3, "1", 21000), (None, "4", "DNF"),
    ]  # fmt: skip
    places = {one.gymnast.bib: one.routines[0].place
              for one in placed.competition("open").by_apparatus["UB"].lines
              if one.routines[0].mark}  # fmt: skip
    assert places == {"1": 3, "2": 2, "3": 1}


TWICE = """
== meet.toml ==
title = "Test"
[[competition]]
id = "juniors"
title = "Juniors"
discipline = "women"
divisions = ["junior"]
apparatus = ["UB", "BB"]
[[competition]]
id = "guests"
title = "Seniors, by their marks as juniors"
discipline = "women"
divisions = ["senior"]
apparatus = ["UB", "BB"]
marks_of = ["juniors"]
[[competition]]
id = "seniors"
title = "Seniors"
discipline = "women"
divisions = ["senior"]
apparatus = ["UB", "BB"]
== marks.csv ==
bib,competition,UB,BB
1,juniors,10,11
2,juniors,12,12
2,seniors,11,11
3,seniors,13,9
4,seniors,DNS,8
"""


def test_a_person_entered_in_two_divisions_is_met_by_either_row(meet):
    """Bib 2 is on the roster as junior and as senior, and does both: one person, two entries.

    As a senior 11 + 11 loses the tie to 13 + 9, by the better apparatus."""
    placed = meet(TWICE, ROSTER + "2,Bell,North,N,senior,,,\n")
    seniors = placed.competition("seniors").all_around
    assert listed(placed.competition("juniors").all_around) == [(1, "2", 24000), (2, "1", 21000)]
    assert listed(seniors)[:2] == [(1, "3", 22000), (2, "2", 22000)]
    assert listed(placed.competition("guests").all_around) == [(1, "2", 24000)]
    entries = [one for one in placed.gymnasts.values() if one.bib == "2"]
    assert len(entries) == 2
    assert len({one.person for one in entries}) == 1


def test_a_mark_is_entered_once_and_not_for_all_ages(told):
    text = SHARED.format(more="").replace(
        "bib,UB,BB\n1,10,11", "bib,competition,UB,BB\n1,open,10,11"
    )
    text = text.replace("2,12,12\n3,13,9\n4,DNS,8", "2,,12,12")
    found = told(text, ROSTER)
    assert {code for code, *_ in found} == {"marks-of-another"}
    assert found[0] == ("marks-of-another", "marks.csv", 2, "competition")


def test_who_is_only_in_the_list_of_all_is_in_no_competition(told):
    found = told(SHARED.format(more=""), ROSTER + "5,Eder,South,S,children,,,\n")
    assert found == [("in-no-competition", "roster.csv", 6, "division")]


GALA = """
[[competition]]
id = "gala"
title = "Gala"
discipline = "women"
divisions = ["gala"]
apparatus = ["UB", "BB"]
ranks = ["all-around"]
rules = "club-ten"
marks_of = ["juniors", "seniors"]
"""


def test_who_is_in_a_shared_list_by_another_row_is_in_a_competition(meet, told):
    """The gala takes the marks of those who are entered for it as well; others have none there."""
    roster = ROSTER + "2,Bell,North,N,gala,,,\n"
    text = SHARED.format(more='divisions = ["junior", "senior"]' + GALA)
    placed = meet(text, roster)
    assert listed(placed.competition("gala").all_around) == [(1, "2", 24000)]
    found = told(text, roster + "9,Eder,South,S,gala,,,\n")
    assert found == [("in-no-competition", "roster.csv", 7, "division")]


def test_no_routine_counts_twice_among_all(told):
    text = SHARED.format(more="").replace(
        'divisions = ["senior"]', 'divisions = ["senior", "junior"]'
    )
    text = text.replace("bib,UB,BB\n1,10,11\n2,12,12\n3,13,9\n4,DNS,8",
                        "bib,competition,UB,BB\n1,juniors,10,11\n1,seniors,10,11")  # fmt: skip
    found = told(text, ROSTER)
    assert found == [("second-mark", "marks.csv", 3, "BB"), ("second-mark", "marks.csv", 3, "UB")]


# Places without all marks

BY_WHAT_THERE_IS = """
== meet.toml ==
title = "Test"
[[competition]]
id = "cup"
title = "Cup"
discipline = "women"
apparatus = ["UB", "BB"]
rules = "own.toml"
== own.toml ==
title = "By what there is"
[totals]
incomplete = "placed by what there is"
"""


def test_everybody_is_placed_by_the_marks_there_are(meet):
    """Bib 3 is entered on BB only; bib 4 was disqualified on one apparatus."""
    cup = meet(
        BY_WHAT_THERE_IS,
        ROSTER.replace("3,Cole,South,S,senior,,,", "3,Cole,South,S,senior,,BB,"),
        "== marks.csv ==\nbib,UB,BB\n1,10,DNS\n2,5,4\n3,,9.5\n4,DSQ,9\n",
    ).competition("cup")
    assert listed(cup.all_around) == [
        (1, "1", 10000), (2, "3", 9500), (3, "2", 9000), (None, "4", "DSQ"),
    ]  # fmt: skip
    assert [(line.done, line.needed) for line in cup.all_around.lines][:3] == [(1, 2)] * 2 + [
        (2, 2)
    ]
    assert cup.all_around.to_come == 0


def test_who_could_still_add_a_mark_is_not_done(meet):
    placed = meet(BY_WHAT_THERE_IS, ROSTER, "== marks.csv ==\nbib,UB,BB\n1,10,DNS\n2,,4\n3,1,2\n")
    cup = placed.competition("cup")
    assert cup.all_around.to_come == 2
    now = live(placed)["cup"].lists["all-around"].now
    assert [(one.key, one.total) for one in now.leading] == [(0, 10000), (2, 3000)]


# Teams on one apparatus


def test_equal_teams_on_one_apparatus_are_told_apart_where_the_rules_say_how(meet):
    """Both 21 on UB: the better counting mark is 11 against 10.5. Both 20 on BB: 10 each."""
    team = 'ranks = ["team"]\nteam = { format = "2-2-2", by = "club" }'
    cup = meet(
        BY_WHAT_THERE_IS.replace('rules = "own.toml"', 'rules = "own.toml"\n' + team),
        '[ties.team-apparatus]\ncriteria = ["best marks, one fewer each time"]',
        ROSTER,
        "== marks.csv ==\nbib,UB,BB\n1,10.5,10\n2,10.5,10\n3,10,10\n4,11,10\n",
    ).competition("cup")
    north, south = sorted(cup.team.lines, key=lambda line: line.name)
    assert (north.team.apparatus_places, south.team.apparatus_places) == ((2, 1), (1, 1))
    (tie,) = cup.team.apparatus_ties["UB"]
    assert [step.values for step in tie.steps] == [(11000, 10500)]
    assert cup.team.apparatus_ties["BB"][0].shared


def test_an_e_score_that_would_settle_it_must_be_given(told):
    """The teams' total of E on UB lacks that of bib 2."""
    team = 'ranks = ["team"]\nteam = { format = "2-2-2", by = "club" }'
    found = told(
        BY_WHAT_THERE_IS.replace('rules = "own.toml"', 'rules = "own.toml"\n' + team),
        '[ties.team-apparatus]\ncriteria = ["total E"]',
        ROSTER,
        "== marks.csv ==\nbib,apparatus,mark,d,e\n1,UB,10,2,8\n2,UB,10,,\n",
        "3,UB,10,2,8\n4,UB,10,2,8\n",
    )
    assert found == [("tie-not-settled", "marks.csv", 2, "")]


# Reckoned a second time


MARKS = st.one_of(st.none(), st.integers(0, 10_000), st.sampled_from([9_500, 9_875, 10_000]))
TWO_COLUMNS = st.lists(st.tuples(*[MARKS] * 4), min_size=4, max_size=4)
SLOW = settings(max_examples=10, deadline=None,
                suppress_health_check=[HealthCheck.function_scoped_fixture])  # fmt: skip


def csv_of(rows, first):
    """The marks of a day: UB and BB of bibs 1 to 4; no mark is DNS."""
    cells = [
        ",".join("DNS" if mark is None else f"{mark / 1000:.3f}" for mark in row[first : first + 2])
        for row in rows
    ]
    return "\n".join(["bib,UB,BB", *(f"{bib},{cell}" for bib, cell in enumerate(cells, start=1))])


def fresh(tmp_path, *parts):
    folder = tmp_path / "meet"
    shutil.rmtree(folder, ignore_errors=True)
    return judged(write_folder(folder, "\n".join(part.strip("\n") for part in parts)))


@SLOW
@given(rows=TWO_COLUMNS)
def test_two_days_are_the_sums_that_decimals_give(tmp_path, rows):
    """By what there is; a place is one more than those with more, so that equal totals share it."""
    both = fresh(
        tmp_path, TWO_DAYS.format(more=""), ROSTER,
        f"== saturday.csv ==\n{csv_of(rows, 0)}", f"== sunday.csv ==\n{csv_of(rows, 2)}",
    ).competition("both")  # fmt: skip
    sums = {
        str(bib): sum((Decimal(mark) / 1000 for mark in row if mark is not None), Decimal(0))
        for bib, row in enumerate(rows, start=1)
        if any(mark is not None for mark in row)
    }
    expected = {
        bib: (1 + sum(other > total for other in sums.values()), total)
        for bib, total in sums.items()
    }
    found = {
        line.gymnast.bib: (line.place, Decimal(line.total) / 1000)
        for line in both.all_around.lines
        if line.total is not None
    }
    assert found == expected


@SLOW
@given(rows=TWO_COLUMNS, final=st.lists(st.integers(0, 10_000), min_size=3, max_size=3))
def test_what_is_carried_is_the_floor_of_an_exact_half(tmp_path, rows, final):
    """Half of compulsory and optional as a fraction, what is below a thousandth dropped."""
    rows = [tuple(5_000 if mark is None else mark for mark in row) for row in rows]
    settings_text = CARRIED.split("== compulsory.csv")[0]
    made = "\n".join(f"{bib},{mark / 1000:.3f},1" for bib, mark in enumerate(final, start=1))
    found = fresh(
        tmp_path, settings_text, ROSTER,
        f"== compulsory.csv ==\n{csv_of(rows, 0)}", f"== optional.csv ==\n{csv_of(rows, 2)}",
        f"== final.csv ==\nbib,UB,BB\n{made}",
    ).competition("final").by_apparatus["UB"]  # fmt: skip
    for line in found.lines:
        row = rows[int(line.gymnast.bib) - 1]
        half = floor(Fraction(row[0] + row[2], 2))
        assert line.total == half + final[int(line.gymnast.bib) - 1]
    totals = [line.total for line in found.lines]
    assert totals == sorted(totals, reverse=True)
    assert [line.place for line in found.lines] == [
        1 + sum(other > total for other in totals) for total in totals
    ]


@SLOW
@given(rows=TWO_COLUMNS)
def test_sharing_marks_changes_none_and_its_own_lists_stay(tmp_path, rows):
    """The list of all ages has the total that each has in the own age group."""
    text = SHARED.format(more="").split("== marks.csv")[0]
    text = text.replace('discipline = "women"', 'discipline = "women"\nrules = "club-ten"')
    placed = fresh(tmp_path, text, ROSTER, f"== marks.csv ==\n{csv_of(rows, 0)}")
    ours = {
        line.gymnast.bib: (line.total, line.status)
        for one in ("juniors", "seniors")
        for line in placed.competition(one).all_around.lines
    }
    everybody = placed.competition("open").all_around.lines
    assert {line.gymnast.bib: (line.total, line.status) for line in everybody} == ours


# What is shown of it


def shown(table):
    """The texts of a table: its headings, then its rows."""
    headings = [column.label for column in table.columns]
    return [headings, *([cell.text for cell in row.cells] for row in table.rows)]


def test_the_list_of_two_days_shows_each_day_and_the_sum(meet):
    both = meet(TWO_DAYS.format(more=""), ROSTER, DAYS).competition("both")
    table = list_table(both, both.all_around, Wording())
    assert shown(table) == [
        ["Place", "Gymnast", "Saturday", "Sunday", "Total"],
        ["1", "Adams", "21.000", "23.500", "44.500"],
        ["2", "Bell", "24.000", "12.000", "36.000"],
        ["3", "Cole", "13.000", "13.000", "26.000"],
        ["–", "Dean", "", "", "DNS"],
    ]
    assert [row.cells[-1].sub for row in table.rows] == ["", "", "2 marks of 4", ""]


def test_the_list_of_a_final_shows_what_is_carried(meet):
    final = meet(
        CARRIED, ROSTER, "== final.csv ==\nbib,UB,BB\n1,9.9,9.8\n2,10,10\n3,9.5,9.5\n"
    ).competition("final")
    assert shown(list_table(final, final.by_apparatus["UB"], Wording()))[:2] == [
        ["Place", "Gymnast", "Carried", "Final", "Total"],
        ["1", "Bell", "9.850", "10.000", "19.850"],
    ]
    assert shown(list_table(final, final.all_around, Wording()))[2] == [
        "2", "Adams", "9.900", "9.800", "19.837", "19.700", "39.537",
    ]  # fmt: skip


def test_a_gymnast_sees_what_each_total_is_made_of(meet):
    placed = meet(CARRIED, ROSTER, "== final.csv ==\nbib,UB,BB\n1,9.9,9.8\n2,10,10\n3,9.5,9.5\n")
    final = placed.competition("final")
    table = marks_table(final.starts[0], ByGymnast(final, Wording()))
    assert shown(table) == [
        ["Apparatus", "Mark", "Place"],
        ["Uneven Bars", "9.900", ""],
        ["Uneven Bars: Carried", "9.937", ""],
        ["Uneven Bars: Final", "9.900", ""],
        ["Uneven Bars, total", "19.837", "2"],
        ["Balance Beam", "9.800", ""],
        ["Balance Beam: Carried", "9.900", ""],
        ["Balance Beam: Final", "9.800", ""],
        ["Balance Beam, total", "19.700", "2"],
        ["All-around: Carried", "19.837", ""],
        ["All-around: Final", "19.700", ""],
        ["All-around", "39.537", "2"],
    ]


def test_a_gymnast_sees_the_days_that_are_added(meet):
    both = meet(TWO_DAYS.format(more=TEAM), ROSTER, DAYS).competition("both")
    assert both.routines == ()
    more = TEAM.replace('["team"]', '["all-around", "team"]')
    both = meet(TWO_DAYS.format(more=more), ROSTER, DAYS).competition("both")
    start = next(one for one in both.starts if one.gymnast.bib == "2")
    assert shown(marks_table(start, ByGymnast(both, Wording()))) == [
        ["Apparatus", "Mark", "Place"],
        ["All-around: Saturday", "24.000", ""],
        ["All-around: Sunday", "12.000", ""],
        ["All-around", "36.000", "2"],
    ]


def test_the_teams_of_two_days_show_every_mark_of_each(meet):
    both = meet(TWO_DAYS.format(more=TEAM), ROSTER, DAYS).competition("both")
    table = list_table(both, both.team, Wording())
    assert shown(table)[:3] == [
        ["Place", "Team and gymnast", "Uneven Bars", "Balance Beam", "Saturday", "Sunday", "Total"],
        ["1", "North", "23.000", "24.500", "24.000", "23.500", "47.500"],
        ["", "Adams", "10.000", "11.000", "", "", ""],
    ]
    assert [row.cells[1].sub for row in table.rows[1:3]] == ["N, Saturday", "N, Sunday"]
    assert len({row.id for row in table.rows}) == len(table.rows)


def test_the_rules_say_what_a_total_is_made_of(meet):
    both = meet(TWO_DAYS.format(more=""), ROSTER, DAYS).competition("both")
    assert "The totals of Saturday and Sunday are added." in mark_sentences(both, Wording())
    final = meet(CARRIED, ROSTER, "== final.csv ==\nbib,UB,BB\n1,9.9,9.8\n").competition("final")
    assert "Half of the two marks of the qualification is carried into the final." in (
        mark_sentences(final, Wording())
    )


# What is kept of each publication


def test_a_mark_is_kept_where_it_is_entered_and_moves_what_it_counts_in(tmp_path):
    """A mark of a junior is corrected once, and is reason enough for the list of all ages."""

    def published(name, mark):
        text = "\n".join((SHARED.format(more="").replace("1,10,11", f"1,{mark},11"), ROSTER))
        return judged(write_folder(tmp_path / name, text))

    first = next_publication(published("before", "10"), (), None)
    kept = {one.id: len(one.marks) for one in first.competitions}
    assert kept == {"open": 0, "juniors": 4, "seniors": 4}
    second = next_publication(published("after", "12.5"), (first,), None)
    corrected = history((first, second)).issues[1].corrected
    assert [(one.competition, one.bib, one.apparatus) for one in corrected] == [
        ("juniors", "1", "UB")
    ]
