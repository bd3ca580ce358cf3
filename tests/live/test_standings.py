"""Standings after each rotation: like with like, movement, margins, leads."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from running_lists import MEN, WOMEN, by_e, cascade, list_of, teams_of, together

from resultsgen.live.contests import rotations
from resultsgen.live.standings import (
    LiveSession,
    Standing,
    Standings,
    standing,
    standings,
    tightest,
    within,
)
from resultsgen.rules.criteria import criteria

# Thousandths; after each rotation the sums are
#   1: 13.0  26.0  38.0  52.0
#   2: 12.0  26.5  39.5  52.5
#   3: 12.5  25.0  39.0  51.0
THREE = {
    1: [13000, 13000, 12000, 14000],
    2: [12000, 14500, 13000, 13000],
    3: [12500, 12500, 14000, 12000],
}


def test_places_and_movement_after_each_rotation():
    after = standings(together(THREE), cascade(4))
    order = [[line.key for line in one.leading] for one in after]
    assert order == [[1, 3, 2], [2, 1, 3], [2, 3, 1], [2, 1, 3]]
    assert [line.moved for line in after[0].leading] == [None, None, None]
    assert {line.key: line.moved for line in after[1].leading} == {2: 2, 1: -1, 3: -1}
    assert {line.key: line.before for line in after[2].leading} == {2: 1, 3: 3, 1: 2}


def test_margins_to_the_first_and_to_the_next():
    last = standings(together(THREE), cascade(4))[3]
    first, second, third = last.leading
    assert (first.behind_first, first.behind_next, first.ahead_of_next) == (0, None, 500)
    assert (second.behind_first, second.behind_next, second.ahead_of_next) == (500, 500, 1000)
    assert (third.behind_first, third.behind_next, third.ahead_of_next) == (1500, 1000, None)


def test_who_led_how_long_and_where_the_lead_changed():
    session = LiveSession("", standings(together(THREE), cascade(4)))
    assert [(one.rotation, one.keys, one.margin) for one in session.leads] == [
        (1, (1,), 500),
        (2, (2,), 500),
        (3, (2,), 500),
        (4, (2,), 500),
    ]
    assert [one.rotation for one in session.lead_changes] == [2]
    (reign,) = session.longest_reigns
    assert (reign.key, reign.first, reign.last, reign.rotations) == (2, 2, 4, 3)


def test_the_closest_neighbours_and_all_who_are_close_to_the_first():
    after = standings(together({1: [13000], 2: [12900], 3: [12850], 4: [12700], 5: [10000]}), ())
    group = after[0].leading
    pair = tightest(group, 2)
    assert (pair.keys, pair.spread) == ((2, 3), 50)  # 12.900 and 12.850
    four = within(group, 300)
    assert (four.first_place, four.last_place, four.spread) == (1, 4, 300)
    assert within(group, 100).keys == (1, 2)
    assert within(group, 50) is None
    assert tightest(group, 6) is None


def test_a_running_tie_is_broken_as_the_rules_break_it_on_what_there_is():
    # 13.0 + 12.0 and 12.5 + 12.5 are both 25.000; the best one of the two is 13.0.
    after = standings(
        together({1: [12500, 12500, 12000, 12000], 2: [13000, 12000, 12000, 12000]}), cascade(4)
    )
    assert [(line.key, line.place) for line in after[1].leading] == [(2, 1), (1, 2)]
    assert after[1].leading[0].ahead_of_next == 0


def test_equals_share_a_place_where_ties_stand():
    now = standing(list_of({1: [9500], 2: [9500], 3: [9400]}), ())
    assert now.rotation == 0
    assert [line.place for line in now.leading] == [1, 1, 3]
    assert now.leading[1].behind_next is None
    assert now.leading[2].behind_next == 100


def test_before_the_first_mark_there_is_no_standing():
    assert standings(together({1: [None, None], 2: [None, None]}), ()) == ()
    # The first marks are those of rotation 2, after a bye.
    rotation = {1: [3, 2], 2: [3, 2]}
    late = list_of({1: [None, 9000], 2: [None, 9100]}, rotation=rotation)
    assert [one.rotation for one in standings(late, ())] == [2]


def test_those_who_have_done_less_form_a_group_of_their_own():
    # After rotation 2 of a circuit with a bye, gymnast 3 has rested once.
    circuit = ("VT", "UB", "bye")
    marks = {1: [13000, 12000], 2: [12000, 12500], 3: [14000, None]}
    turns = {1: rotations(circuit, "VT"), 2: rotations(circuit, "VT"), 3: rotations(circuit, "bye")}
    rotation = {key: [turn["VT"], turn["UB"]] for key, turn in turns.items()}
    assert rotation[3] == [2, 3]
    second = standings(list_of(marks, rotation=rotation), ())[1]
    assert [[(line.key, line.place, line.done) for line in group] for group in second.groups] == [
        [(1, 1, 2), (2, 2, 2)],
        [(3, 1, 1)],
    ]
    assert not second.level
    assert LiveSession("", (second,)).leads == ()


def test_movement_counts_only_those_compared_both_times():
    # Mid-way through rotation 2 only the last two of rotation 1 have gone on: 3 passes 2,
    # so 3 gains one place and 2 loses one, although both stand higher than before.
    progress = together({1: [14000, None], 2: [13000, 12000], 3: [12000, 13500]})
    first, second = standings(progress, ())
    assert [line.key for line in first.leading] == [1, 2, 3]
    assert [(line.key, line.place, line.before, line.moved) for line in second.leading] == [
        (3, 1, 3, 1),
        (2, 2, 2, -1),
    ]
    assert second.to_come == 1


def test_movement_leaves_out_those_who_had_done_fewer_before():
    # Rotation 1: 1, 2 and 4 have been, 3 rested. Rotation 2: 1 and 3 (now one each) are "after 1"
    # as 1 and 4 rest, and 2 has two. 1 was second and is second, but of others: of those compared
    # both times, 1 and 4, nobody passed the other.
    marks = {1: [9000, None], 2: [9500, 9000], 3: [None, 9300], 4: [8000, None]}
    rotation = {1: [1, 3], 2: [1, 2], 3: [3, 2], 4: [1, 3]}
    first, second = standings(list_of(marks, rotation=rotation), ())[:2]
    assert [(line.key, line.place) for line in first.leading] == [(2, 1), (1, 2), (4, 3)]
    after_one = second.groups[1]
    assert [(line.key, line.place, line.moved) for line in after_one] == [
        (3, 1, None),
        (1, 2, 0),
        (4, 3, 0),
    ]


def test_movement_needs_somebody_who_was_compared_before():
    # After rotation 2, 1 has done two and 2 has done one; after rotation 3, both have done two.
    marks = {1: [9000, 9000], 2: [8000, 8000]}
    rotation = {1: [1, 2], 2: [1, 3]}
    _, second, third = standings(list_of(marks, rotation=rotation), ())
    assert [len(group) for group in second.groups] == [1, 1]
    assert [(one.key, one.before, one.moved) for one in third.leading] == [
        (1, 1, None),
        (2, 1, None),
    ]


def test_drawing_level_changes_the_lead_and_being_left_alone_in_front_does_not():
    # 1 leads by 0.1, 2 draws level, then 1 goes ahead again.
    after = standings(together({1: [9500, 9400, 9500], 2: [9400, 9500, 9400]}), ())
    session = LiveSession("", after)
    assert [one.keys for one in session.leads] == [(1,), (1, 2), (1,)]
    assert [one.rotation for one in session.lead_changes] == [2]
    assert [(one.key, one.rotations) for one in session.longest_reigns] == [(1, 3)]


def led_by(fronts):
    """A session in which these led after each rotation."""
    return LiveSession(
        "",
        tuple(
            Standings(
                number, (tuple(Standing(key, 1, 1, 9000, 0, None, 100) for key in keys),), 0, True
            )
            for number, keys in enumerate(fronts, 1)
        ),
    )


def test_the_longest_reigns_are_all_that_are_equally_long_the_earliest_first():
    # 9 led after rotations 1 and 2, 5 after 3, 1 and 4 together after 4 and 5.
    fronts = [(9,), (9,), (5,), (4, 1), (4, 1)]
    reigns = led_by(fronts).longest_reigns
    found = [(one.key, one.first, one.last, one.rotations) for one in reigns]
    assert found == [(9, 1, 2, 2), (1, 4, 5, 2), (4, 4, 5, 2)]
    assert led_by([]).longest_reigns == ()


def test_who_comes_back_to_the_lead_starts_a_new_reign():
    fronts = [(1,), (2,), (1,), (1,)]
    reigns = led_by(fronts).longest_reigns
    assert [(one.key, one.first, one.rotations) for one in reigns] == [(1, 3, 2)]


def test_a_gymnast_who_did_not_start_on_an_apparatus_is_placed_only_before():
    marks = {1: [14000, None], 2: [13000, 13000]}
    progress = together(marks, passed={1: [False, True]})
    first, second = standings(progress, ())
    assert [line.key for line in first.leading] == [1, 2]
    assert [line.key for line in second.leading] == [2]
    # Two were compared before, one is left: nobody moved.
    assert second.leading[0].moved is None
    assert second.level


def test_where_the_rules_place_by_what_there_is_such_a_gymnast_stays_in_the_list():
    progress = together(
        {1: [14000, None], 2: [13000, 500]},
        passed={1: [False, True]},
        incomplete="placed by what there is",
    )
    assert [line.key for line in standings(progress, ())[1].leading] == [1, 2]


def test_marks_of_a_rotation_nobody_knows_do_not_show():
    rotation = {1: [1, 2], 2: [1, None]}
    found = standings(list_of({1: [9000, 9000], 2: [8000, 9500]}, rotation=rotation), ())
    assert [[[line.key for line in group] for group in one.groups] for one in found] == [
        [[1, 2]],
        [[1], [2]],
    ]


@pytest.mark.parametrize(
    ("rules", "done", "leading"),
    [("no place", {1: 2, 2: 1}, [2]), ("placed by what there is", {1: 1, 2: 1}, [1, 2])],
)
def test_a_status_of_an_unknown_rotation_shows_where_it_leaves_without_a_place(
    rules, done, leading
):
    rotation = {1: [1, None], 2: [1, 2]}
    marks, passed = {1: [9000, None], 2: [8000, 8500]}, {1: [False, True]}
    progress = list_of(marks, passed=passed, rotation=rotation, incomplete=rules)
    after = progress.after(1)
    assert {key: line.done for key, line in after.lines.items()} == done
    assert [line.key for line in standing(after, (), 1).leading] == leading


@pytest.mark.parametrize("score", ["e", "d"])
def test_a_running_tie_is_not_broken_by_scores_to_come(score):
    scores = {score: {1: [8000, 8000], 2: [8000, 8500]}}
    progress = together({1: [9000, 9000], 2: [9000, 9000]}, **scores)
    steps = criteria((f"total {score.upper()}",), 2)
    found = standings(progress, steps)
    assert [[line.place for line in one.leading] for one in found] == [[1, 1], [1, 2]]


def test_a_mark_in_the_place_of_a_status_is_a_mark():
    progress = list_of({1: [None]}, passed={1: [True]})
    assert [*progress.in_it] == []
    assert [*progress.with_mark(1, "VT", 9000).in_it] == [1]


def test_of_a_guest_no_mark_is_waited_for():
    progress = together({1: [14000], 2: [None], 3: [None]}, competing={1: True, 2: False, 3: True})
    now = standing(progress, (), 1)
    assert now.to_come == 1
    assert now.of(2) is None


def test_a_guest_takes_no_place():
    progress = list_of({1: [14000], 2: [13000]}, competing={1: False, 2: True})
    assert [(line.key, line.place) for line in standing(progress, ()).leading] == [(2, 1)]


def test_a_team_is_compared_once_it_is_over_with_an_apparatus():
    # Two count of three up. North VT: 13.0 + 12.5 = 25.5, South VT: 12.0 + 12.0 = 24.0, but one
    # of South is still to go, so that only North is over with the vault.
    members = together({1: [13000], 2: [12500], 3: [12000], 4: [12000], 5: [11000], 6: [None]})
    north_and_south = {0: [1, 2, 3], 1: [4, 5, 6]}
    now = standing(teams_of(members, north_and_south, (3, 2), penalty={0: 300}), ())
    assert [(line.key, line.total) for line in now.leading] == [(0, 25200)]  # 25.500 - 0.300
    members = members.with_mark(6, "VT", 13600)
    # South: 13.6 + 12.0 = 25.6, the 11.0 is dropped.
    after = standings(teams_of(members, north_and_south, (3, 2), penalty={0: 300}), ())[0]
    assert [(line.key, line.total) for line in after.leading] == [(1, 25600), (0, 25200)]


def test_a_team_is_over_once_as_many_have_been_up_as_may():
    # Four are entered for three to go up: after three the fourth can add nothing.
    members = together({1: [13000], 2: [12500], 3: [12000], 4: [None]})
    assert teams_of(members, {7: [1, 2, 3, 4]}, (3, 2)).totals == {7: 25500}
    waiting = teams_of(members, {7: [1, 2, 3, 4]}, (4, 2))
    assert waiting.totals == {}
    assert waiting.to_come(7) == ("VT",)


def test_a_team_is_over_in_the_rotation_of_its_last():
    # Of both teams one goes in rotation 1 and one in rotation 2; one of team 8 is still to go.
    rotation = {1: [1], 2: [2], 3: [1], 4: [2]}
    members = list_of({1: [9200], 2: [9100], 3: [9000], 4: [None]}, rotation=rotation)

    def told(these):
        found = standings(teams_of(these, {7: [1, 2], 8: [3, 4]}, (2, 1)), ())
        return [(one.rotation, [line.key for line in one.leading]) for one in found]

    assert told(members) == [(2, [7])]
    assert told(members.with_mark(4, "VT", 9300)) == [(2, [8, 7])]


def test_whoever_is_not_needed_for_a_team_does_not_make_it_late():
    # One of two goes up for team 7, in rotation 1; 3, of no team, goes in rotation 3.
    rotation = {1: [1], 2: [2], 3: [3]}
    members = list_of({1: [9200], 2: [None], 3: [9100]}, rotation=rotation)
    assert [part.rotation for part in teams_of(members, {7: [1, 2]}, (1, 1)).lines[7].parts] == [1]


def test_a_team_of_which_no_rotation_is_known_has_none():
    members = list_of({1: [9200], 2: [9100]})
    assert [part.rotation for part in teams_of(members, {7: [1, 2]}, (2, 2)).lines[7].parts] == [
        None
    ]


def test_a_team_that_is_over_with_an_apparatus_without_a_mark_keeps_its_place():
    # Team 7 has nobody on bars, and is over with it; team 8 was given no penalty.
    members = together({1: [13000, None], 2: [12000, 500]}, passed={1: [False, True]})
    teams = teams_of(members, {7: [1], 8: [2]}, (1, 1), penalty={7: 100})
    assert [(one.key, one.place, one.total) for one in standing(teams, ()).leading] == [
        (7, 1, 12900),
        (8, 2, 12500),
    ]
    assert teams.to_come(7) == ()
    assert [part.passed for part in teams.lines[7].parts] == [False, True]
    assert teams.parts == ("VT", "UB")


def test_squads_wrap_round_and_rest_where_the_circuit_has_a_bye():
    assert rotations(WOMEN, "BB") == {"VT": 3, "UB": 4, "BB": 1, "FX": 2}
    assert sorted(rotations(MEN, "SR").values()) == [1, 2, 3, 4, 5, 6]
    with_byes = ("VT", "UB", "bye", "BB", "FX", "bye 2")
    assert rotations(with_byes, "bye 2") == {"VT": 2, "UB": 3, "BB": 5, "FX": 6}


def test_a_start_that_is_no_part_of_the_circuit_tells_nothing():
    assert rotations(("VT", "UB"), "BB") == {}


@pytest.mark.parametrize("start", MEN)
def test_no_two_squads_meet_on_an_apparatus(start):
    tables = [rotations(MEN, other) for other in MEN]
    for part in MEN:
        assert sorted(table[part] for table in tables) == [1, 2, 3, 4, 5, 6]


small = st.lists(
    st.lists(st.integers(0, 3).map(lambda tenths: 12000 + 100 * tenths), min_size=4, max_size=4),
    min_size=1,
    max_size=7,
)


@settings(deadline=None, max_examples=60)
@given(small, st.data())
def test_the_standing_agrees_with_a_naive_count(rows, data):
    starts = data.draw(st.lists(st.sampled_from(WOMEN), min_size=len(rows), max_size=len(rows)))
    marks = dict(enumerate(rows))
    turns = [rotations(WOMEN, start) for start in starts]
    rotation = {key: [turn[part] for part in WOMEN] for key, turn in enumerate(turns)}
    for one in standings(list_of(marks, rotation=rotation), cascade(4)):
        sofar = {
            key: [
                mark
                for part, mark in zip(WOMEN, row, strict=True)
                if rotations(WOMEN, starts[key])[part] <= one.rotation
            ]
            for key, row in marks.items()
        }
        for key, own in sofar.items():
            # Total, then the best 3, 2, 1 of the marks so far: compare as tuples.
            def told(row):
                best = sorted(row)[::-1]
                return (sum(row), *(sum(best[:count]) for count in (3, 2, 1)))

            ahead = sum(told(other) > told(own) for other in sofar.values())
            line = one.of(key)
            assert (line.place, line.total, line.done) == (1 + ahead, sum(own), one.rotation)


@settings(deadline=None, max_examples=40)
@given(small, st.randoms(use_true_random=False))
def test_the_order_of_the_rows_changes_nothing(rows, random):
    marks = dict(enumerate(rows))
    shuffled = list(marks.items())
    random.shuffle(shuffled)
    assert standings(together(marks), cascade(4)) == standings(together(dict(shuffled)), cascade(4))


@settings(deadline=None, max_examples=40)
@given(small)
def test_movement_adds_up_to_nothing_where_no_place_is_shared(rows):
    for one in standings(together(dict(enumerate(rows))), cascade(4))[1:]:
        places = [line.place for line in one.leading]
        before = [line.before for line in one.leading]
        if len(set(places)) == len(places) and len(set(before)) == len(before):
            assert all(line.moved == line.before - line.place for line in one.leading if line.moved)
            assert sum(line.moved or 0 for line in one.leading) == 0


def test_the_e_score_breaks_a_running_tie_on_an_apparatus():
    progress = list_of({1: [13400], 2: [13400]}, e={1: [8100], 2: [8200]})
    assert [line.key for line in standing(progress, by_e()).leading] == [2, 1]
