"""What an incident cost: the mark without it and its places, worked out by hand."""

import pytest
from folders import judged, write_folder
from hypothesis import given, settings
from hypothesis import strategies as st
from running_lists import by_e, cascade, list_of, teams_of

from resultsgen.live.contests import Contest
from resultsgen.live.costs import change, costs, mark_without, without
from resultsgen.live.standings import standing
from resultsgen.meet.folder import Incident
from resultsgen.meet.ruleset import MarkRule, RuleSet
from resultsgen.reading.incidents import figures_for, read_incident_figures
from resultsgen.reading.rulesets import rule_set_names

OPEN, TEN = MarkRule(highest_e="20.000"), MarkRule(highest="10.000")


def incident(deduction, taken_from="E"):
    return Incident("cup", 3, "VT", 1, "fall", deduction, taken_from, "", "", "incidents.csv", 2)


FALL = incident(500)


def changed(now, then, key, steps):
    """What the list of one makes of the list of the other."""
    return change(Contest("apparatus", "VT", now, steps, {}, False, now), then, key)


def test_a_fall_on_the_apparatus():
    # 9.100 with a fall would have been 9.600: from third to first.
    progress = list_of({1: [9500], 2: [9200], 3: [9100]})
    told = changed(progress, without(progress, 3, "VT", [FALL], TEN), 3, ())
    assert (told.place, told.total, told.place_then, told.total_then) == (3, 9100, 1, 9600)


def test_a_fall_in_the_all_around():
    # 18.000 with a fall would have been 18.500, level with the second: they would share it.
    progress = list_of({1: [9500, 9500], 2: [9250, 9250], 3: [9000, 9000]})
    told = changed(progress, without(progress, 3, "VT", [FALL], TEN), 3, ())
    assert (told.place, told.place_then, told.total_then) == (3, 2, 18500)


def test_several_incidents_of_a_routine_add_up_and_the_highest_mark_stays():
    line = incident(100, "penalty")
    assert mark_without(9100, [FALL, line, line], TEN) == 9800
    assert mark_without(9700, [FALL], TEN) == 10000
    assert mark_without(14700, [FALL], OPEN) == 15200


def test_a_fall_is_taken_from_e_so_that_e_breaks_the_tie_it_leads_to():
    # 13.000 with E 7.900 would have been 14.000 with E 8.900: level, and ahead on E.
    fall = incident(1000)
    progress = list_of({1: [14000], 2: [13000]}, e={1: [8500], 2: [7900]}, d={1: [5500], 2: [5100]})
    assert changed(progress, without(progress, 2, "VT", [fall], OPEN), 2, by_e()).place_then == 1
    # A penalty leaves E as it is: level, and behind on E.
    line = incident(1000, "penalty")
    assert changed(progress, without(progress, 2, "VT", [line], OPEN), 2, by_e()).place_then == 2


def test_what_a_fall_cost_the_team():
    # Two of three count. South 9.500 + 9.000 against North 9.400 + 9.200: 18.500 to 18.600.
    # Without the fall 8.700 is 9.200, and counts in the place of the 9.000: 18.700.
    members = list_of({1: [9400], 2: [9200], 3: [8700], 4: [9500], 5: [9000]})
    north_and_south = {0: [1, 2], 1: [3, 4, 5]}
    now = teams_of(members, north_and_south, (3, 2))
    then = teams_of(without(members, 3, "VT", [FALL], TEN), north_and_south, (3, 2))
    told = changed(now, then, 1, ())
    assert (told.place, told.total, told.place_then, told.total_then) == (2, 18500, 1, 18700)


def test_while_marks_are_to_come_only_like_is_compared_with_like():
    # 4 is done with two, the others with one: 9.100 is third of three, and 9.600 would be first.
    half = list_of({1: [9500, None], 2: [9200, None], 3: [9100, None], 4: [9000, 9000]})
    told = changed(half, without(half, 3, "VT", [FALL], TEN), 3, ())
    assert (told.place, told.place_then, told.so_far) == (3, 1, True)
    # Nobody else has done as many as 3: a total, and no place to speak of.
    alone = list_of({1: [9500, 9400], 2: [9200, 9300], 3: [9100, None]})
    told = changed(alone, without(alone, 3, "VT", [FALL], TEN), 3, ())
    assert (told.place, told.place_then, told.total, told.total_then) == (None, None, 9100, 9600)
    whole = list_of({3: [9100, 9000]})
    told = changed(whole, without(whole, 3, "VT", [FALL], TEN), 3, ())
    assert (told.place, told.place_then, told.so_far) == (1, 1, False)


def test_without_a_mark_there_is_nothing_to_explain():
    progress = list_of({1: [9500], 3: [None]})
    told = changed(progress, without(progress, 3, "VT", [FALL], TEN), 3, ())
    assert (told.place, told.place_then) == (None, None)
    assert without(progress, 3, "VT", [FALL], TEN) is progress


def test_e_stays_within_the_highest_and_d_as_it_was():
    # E 9.800 with a fall of 0.500 would have been the highest, 10.000, and level; D decides.
    progress = list_of(
        {1: [14000], 3: [13500]}, e={1: [10000], 3: [9800]}, d={1: [4000], 3: [4100]}
    )
    then = without(progress, 3, "VT", [FALL], MarkRule())
    (part,) = then.lines[3].parts
    assert (part.e, part.d) == (10000, 4100)
    told = changed(progress, then, 3, by_e())
    assert (told.place, told.place_then) == (2, 1)


rows = st.lists(
    st.lists(st.integers(0, 6).map(lambda steps: 9000 + 50 * steps), min_size=2, max_size=2),
    min_size=2,
    max_size=6,
)


@settings(deadline=None, max_examples=60)
@given(rows, st.integers(0, 4))
def test_nobody_is_worse_off_without_an_incident(marks, tenths):
    progress = list_of(dict(enumerate(marks)))
    fall = incident(100 * tenths)
    told = changed(progress, without(progress, 0, "VT", [fall], OPEN), 0, cascade(2)[:1])
    # Naively: one more than those with more, or as much and a better best mark.
    own = [marks[0][0] + 100 * tenths, marks[0][1]]
    ahead = sum((sum(one), max(one)) > (sum(own), max(own)) for one in marks[1:])
    assert told.place_then == 1 + ahead
    assert told.place_then <= told.place
    assert told.total_then == sum(own)


@settings(deadline=None, max_examples=60)
@given(rows, st.integers(1, 500))
def test_putting_the_mark_back_undoes_the_change(marks, deduction):
    progress = list_of(dict(enumerate(marks)))
    then = without(progress, 1, "UB", [incident(deduction)], OPEN)
    back = then.with_mark(1, "UB", marks[1][1])
    assert standing(back, cascade(2)) == standing(progress, cascade(2))
    assert back == progress


# Whole meets.

TWO_VAULTS = """
    == meet.toml ==
    title = "Cup"
    [[competition]]
    id = "cup"
    title = "Cup"
    discipline = "women"
    apparatus = ["VT", "BB"]
    vaults = 2
    ranks = ["all-around", "apparatus", "team"]
    team = { format = "3-3-2", by = "federation" }
    == roster.csv ==
    bib,family_name,club,federation,entered
    1,Adamsky,Lindmoor,N,
    2,Bellwether,Lindmoor,N,
    3,Corvane,Hartsee,,
    4,Dunmore,Hartsee,S,BB
    5,Eastlake,Hartsee,S,
    == marks.csv ==
    bib,apparatus,vault,mark,d,e
    1,VT,1,13.000,5.0,8.000
    1,VT,2,12.000,4.0,8.000
    1,BB,,12.000,4.0,8.000
    2,VT,1,12.800,5.0,7.800
    2,BB,,11.500,4.0,7.500
    3,VT,1,12.500,5.0,7.500
    3,VT,2,11.900,4.0,7.900
    3,BB,,11.000,4.0,7.000
    4,BB,,11.800,4.0,7.800
    5,VT,1,12.100,5.0,7.100
    5,BB,,11.200,4.0,7.200
"""


@pytest.mark.parametrize(
    ("incident", "lists"),
    [
        # The beam counts in all but the vault list.
        ("1,BB,", {("apparatus", "BB"), ("all-around", ""), ("team", "")}),
        # The second vault counts in the vault list alone.
        ("1,VT,2", {("apparatus", "VT")}),
        # Bib 2 has one vault, and so is outside the vault list.
        ("2,VT,1", {("all-around", ""), ("team", "")}),
        # Bib 3 is of no team.
        ("3,BB,", {("apparatus", "BB"), ("all-around", "")}),
        # Bib 4 starts on beam alone, and so is outside the all-around.
        ("4,BB,", {("apparatus", "BB"), ("team", "")}),
    ],
)
def test_an_incident_on_an_apparatus_or_gymnast_outside_a_list_leaves_the_list_alone(
    tmp_path, incident, lists
):
    file = f"    == incidents.csv ==\n    bib,apparatus,vault,incident\n    {incident},fall\n"
    (cost,) = costs(judged(write_folder(tmp_path, TWO_VAULTS + file)))
    assert cost.mark_then == cost.mark + 1000
    assert {(one.kind, one.apparatus) for one in cost.lists} == lists
    assert all(one.total_then > one.total for one in cost.lists)


# The figures that ship.

KNOWN = read_incident_figures()


@pytest.mark.parametrize("figures", KNOWN, ids=lambda one: one.title)
def test_every_figure_says_where_it_comes_from(figures):
    assert all(one.source and one.deduction > 0 for one in figures.incident)
    names = [one.name for one in figures.incident]
    assert len(set(names)) == len(names)
    assert set(figures.rule_sets) <= set(rule_set_names())


def test_a_fall_costs_what_the_rule_set_makes_it_cost():
    ten = RuleSet(title="", marks={"highest": "10.000"})
    open_ended = RuleSet(title="")
    assert figures_for("own.toml", ten, KNOWN).figure("fall").deduction == 500
    assert figures_for("international", open_ended, KNOWN).figure("fall").deduction == 1000
    assert figures_for("open-ended-2006", open_ended, KNOWN).figure("fall").deduction == 800
    assert figures_for("own.toml", ten, KNOWN).figure("no such thing") is None
    twenty = RuleSet(title="", marks={"highest": "20.000"})
    assert figures_for("own.toml", twenty, KNOWN) is None
