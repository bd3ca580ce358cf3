"""Notable facts, each with the numbers it rests on."""

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st
from running_lists import cascade, list_of, together

from resultsgen.live.bests import Best, beaten, best_marks
from resultsgen.live.climbs import Climb, climbs, climbs_by_rotation
from resultsgen.live.notable import AllApparatus, Sweep, Win, all_apparatus, sweep, win
from resultsgen.live.standings import standing, standings, tightest
from resultsgen.meet.folder import BestSoFar


def placed(marks, steps=()):
    """The list of these marks in order of place."""
    return standing(list_of(marks), steps).leading


def test_the_winner_and_the_margin():
    assert win(placed({1: [9400], 2: [9550], 3: [9400]})) == Win((2,), 9550, 150, (1, 3))


def test_winners_who_share_the_place():
    # 9.550 twice; the next, third, has 9.400.
    assert win(placed({1: [9550], 2: [9550], 3: [9400]})) == Win((1, 2), 9550, 150, (3,))


def test_a_win_by_the_tie_rule_has_no_margin():
    found = win(placed({1: [12500, 12500], 2: [13000, 12000]}, cascade(2)[:1]))
    assert found == Win((2,), 25000, 0, (1,))


def test_a_winner_alone_and_nobody_at_all():
    assert win(placed({1: [9400], 2: [None]})) == Win((1,), 9400, None, ())
    assert win(placed({1: [None]})) is None


def test_the_closest_finishes():
    # 9.500, 9.450, 9.425, 9.100: two within 0.025, three within 0.075, four within 0.400.
    lines = placed({1: [9500], 2: [9450], 3: [9425], 4: [9100]})
    found = [tightest(lines, count) for count in (2, 3, 4)]
    assert [(one.keys, one.first_place, one.spread) for one in found] == [
        ((2, 3), 2, 25),
        ((1, 2, 3), 1, 75),
        ((1, 2, 3, 4), 1, 400),
    ]


def test_the_biggest_climb_from_rotation_to_rotation():
    # 4 goes from fourth (9.0) to second (9.0 + 9.9 = 18.9): two places; nobody gains more.
    marks = {1: [9900, 9500], 2: [9500, 9000], 3: [9400, 9000], 4: [9000, 9900]}
    assert climbs_by_rotation(standings(together(marks), ())) == (Climb(4, 4, 2, 1, 2),)


def test_a_rotation_that_leaves_them_unequal_tells_of_no_climb():
    # 1 has not been on bars yet: 3 passes 2, but it is no standing of all.
    marks = {1: [9900, None], 2: [9500, 9000], 3: [9400, 9900]}
    assert climbs_by_rotation(standings(together(marks), ())) == ()


def test_the_biggest_climb_from_qualification_to_final():
    # Of those in the final, 7 was third (fifth in all) and is first: two places.
    qualification = {1: 1, 3: 2, 5: 3, 6: 4, 7: 5}
    final = {7: 1, 1: 2, 3: 3}
    assert climbs(qualification, final) == (Climb(7, 3, 1),)
    assert climbs(final, final) == ()


def test_a_clean_sweep_of_one_club():
    lines = placed({1: [9500], 2: [9400], 3: [9300], 4: [9200]})
    assert sweep(lines, {1: "A", 2: "A", 3: "A", 4: "B"}) == Sweep("A", (1, 2, 3))
    assert sweep(lines, {1: "A", 2: "B", 3: "A", 4: "A"}) is None
    assert sweep(lines, {4: "B"}) is None
    assert sweep(lines[:2], {1: "A", 2: "A"}) is None


def test_a_shared_bronze_belongs_to_the_medals():
    lines = placed({1: [9500], 2: [9400], 3: [9300], 4: [9300]})
    assert sweep(lines, {1: "A", 2: "A", 3: "A", 4: "B"}) is None
    assert sweep(lines, dict.fromkeys((1, 2, 3, 4), "A")) == Sweep("A", (1, 2, 3, 4))


def test_one_gymnast_wins_all_apparatus():
    lists = {"VT": placed({1: [9500], 2: [9400]}), "UB": placed({1: [9000], 2: [9000]})}
    assert all_apparatus(lists) == (AllApparatus(1, ("VT", "UB"), ("UB",)),)
    lists["BB"] = placed({1: [8000], 2: [8100]})
    assert all_apparatus(lists) == ()
    assert all_apparatus({"VT": lists["VT"]}) == ()


def test_the_best_mark_on_each_apparatus():
    made = [(2, 9500, "day-1"), (1, 9400, "day-1"), (1, 9500, "day-2"), (3, 0, "day-1")]
    assert best_marks(made) == ((1, 2), 9500, "day-1")


def test_bests_that_are_beaten_or_equalled():
    vault = [(1, 9500, "cup"), (2, 9600, "cup")]

    def told(record, gymnasts, best, made, apparatus="VT"):
        row = BestSoFar(record, gymnasts, "women", "", apparatus, best, "", 2)
        return [fact for fact, _ in beaten(row, made)]

    assert told("personal", (1,), 9450, vault[:1]) == [Best("personal", 1, "VT", 9500, 9450)]
    (season,) = told("season", (2,), 9600, vault[1:])
    assert (season, season.equalled) == (Best("season", 2, "VT", 9600, 9600), True)
    assert told("personal", (2,), 9650, vault[1:]) == []
    (record,) = told("meet", (), 9400, vault)
    assert (record, record.equalled) == (Best("meet", 2, "VT", 9600, 9400), False)
    assert told("meet", (), 9400, []) == []
    total = told("personal", (1,), 36950, [(1, 37000, "cup")], "")
    assert total == [Best("personal", 1, "", 37000, 36950)]
    # Of one who is entered twice, the best of both rows, told of the first.
    assert told("personal", (4, 1), 9400, [(4, 9500, "cup"), (1, 9300, "cup")]) == [
        Best("personal", 1, "VT", 9500, 9400)
    ]


rows = st.lists(
    st.lists(st.integers(0, 5).map(lambda steps: 9000 + 100 * steps), min_size=3, max_size=3),
    min_size=2,
    max_size=7,
)


@settings(deadline=None, max_examples=60)
@given(rows)
def test_no_other_neighbours_are_closer(marks):
    lines = placed(dict(enumerate(marks)))
    totals = sorted((sum(row) for row in marks), reverse=True)
    for count in range(2, len(totals) + 1):
        cluster = tightest(lines, count)
        spreads = [totals[at] - totals[at + count - 1] for at in range(len(totals) - count + 1)]
        assert cluster.spread == min(spreads)


@settings(deadline=None, max_examples=60)
@given(rows)
def test_a_climb_is_the_greatest_difference_of_places(marks):
    found = standings(together(dict(enumerate(marks))), ())
    gains = [
        then.of(line.key).place - line.place
        for then, now in pairwise(found)
        for line in now.leading
    ]
    told = climbs_by_rotation(found)
    assert max([one.gained for one in told], default=0) == max(0, *gains)
    for one in told:
        after = {standing.rotation: standing for standing in found}
        assert after[one.before].of(one.key).place == one.place_before
        assert after[one.after].of(one.key).place == one.place_after
