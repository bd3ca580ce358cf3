"""Decided or open: worked examples, and thousands of random finishes that must never disagree."""

import random
from dataclasses import replace

import pytest
from running_lists import by_e, cascade, list_of, places_of, teams_of

from resultsgen.live.decided import Bound, Outlook, bound, chances, prospects, rivals
from resultsgen.live.goals import cut
from resultsgen.rules.criteria import BEST_PARTS, criteria
from resultsgen.rules.cuts import Candidate, Quota, verdicts

TEN = Bound(10000, "highest mark of the rules")


def told(progress, steps=(), limit=TEN):
    return {one.key: one for one in prospects(Outlook(progress, limit, steps))}


def test_a_gymnast_who_is_done_and_out_of_reach_has_won():
    # 38.000 is in. Gymnast 2 has 27.900 and at most 10.000 more: 37.900.
    progress = list_of({1: [9500] * 4, 2: [9300, 9300, 9300, None]})
    found = told(progress)
    assert found[1].has_won
    assert not found[2].can_reach(1)
    assert (found[2].best, found[2].worst) == (2, 2)


def test_one_thousandth_less_and_it_is_open():
    # 28.000 and at most 10.000 more is 38.000: a tie. Where ties stand, both would be first; by the
    # best three apparatus, 28.500 to 29.400, gymnast 2 would win.
    progress = list_of({1: [9500] * 4, 2: [9400, 9300, 9300, None]})
    found = told(progress)
    assert found[1].has_won
    assert found[2].can_reach(1)
    these = Outlook(progress, TEN, cascade(4), joined=False)
    by_best = {one.key: one for one in prospects(these)}
    assert not by_best[1].has_won
    assert by_best[2].can_reach(1)


def test_a_tie_at_the_highest_mark_is_settled_by_the_marks_that_would_make_it():
    # Gymnast 2 can draw level with 38.000 only by 10.000 on the last two: 9.000 + 9.000 + 20.000.
    # The best three are 29.000 for both 1 and 2; of the best two 1 has 20.000 as well, then 10.000.
    progress = list_of({1: [10000, 9000, 9000, 10000], 2: [9000, 9000, None, None]})
    these = Outlook(progress, TEN, cascade(4)[:3], joined=False)
    found = {one.key: one for one in prospects(these)}
    assert (found[1].worst, found[2].best) == (1, 1)
    # With 9.100 and 9.900 instead of 9.000 and 10.000, the best three of 1 are 28.900 only.
    progress = list_of({1: [10000, 9100, 9000, 9900], 2: [9000, 9000, None, None]})
    these = Outlook(progress, TEN, cascade(4)[:3], joined=False)
    found = {one.key: one for one in prospects(these)}
    assert (found[1].worst, found[2].best) == (2, 1)
    # Gymnast 1 had the better three, 29.500: 2 can only come second.
    progress = list_of({1: [10000, 10000, 9500, 8500], 2: [9000, 9000, None, None]})
    these = Outlook(progress, TEN, cascade(4)[:3], joined=False)
    found = {one.key: one for one in prospects(these)}
    assert (found[1].worst, found[1].has_won, found[2].best) == (1, True, 2)


def test_the_leader_who_has_still_to_go_has_not_won():
    # 30.000 before the last mark against 29.000 in all: but without a mark there is no total.
    progress = list_of({1: [10000, 10000, 10000, None], 2: [7250] * 4})
    found = told(progress)
    assert (found[1].worst, found[1].has_won) == (1, False)
    assert not found[1].is_sure_of(3)
    assert found[2].can_reach(1)


def test_where_the_rules_place_by_what_there_is_nothing_can_be_lost():
    progress = list_of(
        {1: [10000, 10000, 10000, None], 2: [7250] * 4}, incomplete="placed by what there is"
    )
    assert not told(progress)[2].can_reach(1)


def test_a_medal_place_and_no_medal_any_more():
    progress = list_of({1: [9800] * 4, 2: [9700] * 4, 3: [9600] * 4, 4: [9000, 9000, 9000, None]})
    found = told(progress)
    # At most 27.000 + 10.000 = 37.000, and three stand above with 38.400 at least.
    assert found[3].is_sure_of(3)
    assert not found[4].can_reach(3)


def test_the_place_of_those_who_are_done_is_told_by_the_tie_rule():
    # 13.0 + 12.0 and 12.5 + 12.5: the best apparatus decides.
    progress = list_of({1: [12500, 12500], 2: [13000, 12000]})
    found = told(progress, cascade(2)[:1])
    assert found[2].has_won
    assert not found[1].can_reach(1)


def test_both_who_share_a_place_for_good_have_it():
    # 13.400 twice, and ties stand: both have won, and the third is third.
    found = told(list_of({1: [13400], 2: [13400], 3: [13000]}))
    assert [(one.best, one.worst, one.has_won) for one in found.values()] == [
        (1, 1, True),
        (1, 1, True),
        (3, 3, False),
    ]


def test_a_part_of_a_team_holds_as_many_marks_as_count():
    # Three marks of at most 10.000 are to come on one apparatus, and 0.300 is taken off.
    members = list_of({1: [None], 2: [None], 3: [None], 4: [None]})
    teams = teams_of(members, {7: [1, 2, 3, 4]}, (4, 3), penalty={7: 300})
    (found,) = Outlook(teams, TEN, ()).ranges
    assert (found.low, found.high, found.complete) == (-300, 29700, False)


def test_the_last_mark_of_a_team_brings_a_tie_that_its_apparatus_settle():
    # 0 has 18.300 and 9.500, and at most 9.400 to come: 37.200 like 1, of which 18.900 on one.
    rows = {1: [9200, 9500], 2: [9100, None], 3: [9400, 9300], 4: [9300, 9200]}
    limit = Bound(9400, "given by the meet")
    for best, ahead in ((9300, False), (9600, True)):
        # With 9.600 + 9.400 = 19.000 on one apparatus and 18.200 on the other, 1 stays ahead.
        rows[3], rows[4] = [best, 18700 - best], [9400, 9100]
        teams = teams_of(list_of(rows), {0: (1, 2), 1: (3, 4)}, (2, 2))
        these = Outlook(teams, limit, criteria((BEST_PARTS,), 2), joined=False)
        assert prospects(these)[1].has_won is ahead


def test_level_on_the_last_place_is_open_where_only_one_of_them_goes_through():
    progress = list_of({1: [13400], 2: [13400]})
    told_of = {}
    for both in (True, False):
        goal = cut(Quota(places=1, ties_qualify=both), {})
        found = chances(Outlook(progress, TEN, ()), goal)
        told_of[both] = [*found.values()]
    assert told_of == {True: ["in", "in"], False: ["open", "open"]}


def test_a_tie_that_lacks_an_e_score_is_not_decided():
    # 13.400 twice, and the rules ask for E: as it stands they share, but nobody has won yet.
    progress = list_of({1: [13400], 2: [13400]}, e={1: [8200]}, d={1: [5200]})
    found = told(progress, by_e())
    assert {key: (one.best, one.worst, one.has_won) for key, one in found.items()} == {
        1: (1, 2, False),
        2: (1, 2, False),
    }


def test_a_tie_that_somebody_may_join_is_not_decided():
    # 1 is ahead of 2 on E. Should 3 make 13.400 too and no E be given, all three would share.
    progress = list_of(
        {1: [13400], 2: [13400], 3: [None]}, e={1: [8200], 2: [8100]}, d={1: [5200], 2: [5300]}
    )
    high = Bound(16000, "given by the meet")
    assert told(progress, by_e(), high)[2].best == 1
    # The bound itself is within reach.
    just = Bound(13400, "given by the meet")
    assert told(progress, by_e(), just)[2].best == 1
    # Out of reach of 13.400, 3 changes nothing about it.
    low = Bound(13000, "given by the meet")
    found = told(progress, by_e(), low)
    assert found[1].has_won
    assert found[2].best == found[2].worst == 2


def test_a_tie_that_0_000_joins_is_not_decided():
    # 1 is ahead of 2 on E with 20.000 each; 3 has 20.000 already, and 0.000 may come without an E.
    progress = list_of(
        {1: [10000, 10000], 2: [10000, 10000], 3: [20000, None]},
        e={1: [8200, 8200], 2: [8200, 8100]},
        d={1: [2000, 2000], 2: [2000, 2000]},
    )
    assert told(progress, cascade(2)[1:])[1].worst == 3


def test_who_is_over_with_everything_and_has_no_mark_takes_no_place():
    progress = list_of(
        {1: [9000], 2: [None]}, passed={2: [True]}, incomplete="placed by what there is"
    )
    assert [(one.key, one.best, one.worst) for one in told(progress).values()] == [(1, 1, 1)]


def test_the_bound_tells_what_it_rests_on():
    assert bound(10000, 15000, 14800, 500) == Bound(10000, "highest mark of the rules")
    assert bound(None, 15000, 14800, 500) == Bound(15000, "given by the meet")
    assert bound(None, None, 14800, 500) == Bound(15300, "best mark and an allowance", 14800, 500)
    assert bound(None, None, 14800, None) is None
    assert bound(None, None, None, 500) is None


def test_the_cut_with_a_cap_is_in_open_or_out():
    # Two places, one per body. A1 is done with 38.000; A2 can reach 37.900 at most and is out
    # through the cap whatever it makes. B can still qualify.
    progress = list_of({1: [9500] * 4, 2: [9300, 9300, 9300, None], 3: [9000, 9000, 9000, None]})
    goal = cut(Quota(places=2, cap=1), {1: "A", 2: "A", 3: "B"})
    found = chances(Outlook(progress, TEN, ()), goal)
    assert found == {1: "in", 2: "out", 3: "open"}
    # One of a club who can end level is one, not two: the cap has room for both.
    lines = {1: [9000, 9000, 9000, None], 2: [9000, 9000, 9000, 0]}
    these = Outlook(list_of(lines, incomplete="placed by what there is"), TEN, ())
    goals = [cut(Quota(places=8, cap=cap), {1: "A", 2: "A"}) for cap in (1, 2)]
    assert [rivals(these, goal, 1) for goal in goals] == [{2}, set()]


def test_a_total_below_the_least_that_qualifies_is_out():
    progress = list_of({1: [8000, 8000, 8000, None], 2: [9000] * 4})
    goal = cut(Quota(places=8, minimum=35000), {})
    found = chances(Outlook(progress, TEN, ()), goal)
    # At most 34.000.
    assert found == {1: "out", 2: "in"}


# Random finishes: marks from few values, so that ties occur; some do not finish.


def half_way(rng, rules):
    people = rng.randint(2, 7)
    values = [9500 + 100 * number for number in range(6)]
    marks, e = {}, {}
    for key in range(people):
        done = rng.choice([2, 3, 3, 4, 4, 4])
        marks[key] = [rng.choice(values) for _ in range(done)] + [None] * (4 - done)
        e[key] = [rng.choice([8000, 8100, None]) if mark else None for mark in marks[key]]
    return list_of(marks, e=e, d=e, incomplete=rules)


def passed(progress, key, part):
    """The same list once somebody did not finish a part."""
    line = progress.lines[key]
    parts = tuple(
        each._replace(passed=True) if name == part else each
        for name, each in zip(progress.parts, line.parts, strict=True)
    )
    return replace(progress, lines={**progress.lines, key: line._replace(parts=parts)})


def finish(rng, progress, limit):
    """Everybody makes the marks to come, up to the bound, or does not finish."""
    done = progress
    for key in progress.lines:
        for part in progress.to_come(key):
            if rng.random() < 0.15:
                done = passed(done, key, part)
            else:
                mark = rng.choice([0, 9000, 9500, 9700, limit])
                done = done.with_mark(key, part, mark, rng.choice([8000, 8100, None]), 8000)
    return done


@pytest.mark.parametrize("rules", ["no place", "placed by what there is"])
@pytest.mark.parametrize("seed", range(6))
def test_what_is_decided_never_turns_out_wrong(rules, seed):
    rng = random.Random(seed)
    steps = cascade(4)
    claims = 0
    for _ in range(20):
        progress = half_way(rng, rules)
        limit = Bound(10000, "given by the meet")
        these = Outlook(progress, limit, steps)
        found = prospects(these)
        bodies = {key: rng.choice("AB") for key in progress.lines}
        quota = Quota(
            places=rng.randint(1, 3),
            reserves=1,
            cap=rng.randint(0, 2),
            minimum=rng.choice([None, 37000]),
            ties_qualify=rng.random() < 0.5,
            reserves_count=rng.random() < 0.5,
            of_each=rng.random() < 0.3,
        )
        through = chances(these, cut(quota, bodies))
        for _ in range(12):
            done = finish(rng, progress, limit.mark)
            placed = places_of(done, steps)
            for one in found:
                place = placed.get(one.key)
                assert place is not None or not one.has_won
                if place is not None:
                    assert one.best <= place <= one.worst
                    claims += one.worst - one.best < len(placed) - 1
            order = sorted(placed, key=lambda key: (placed[key], rng.random()))
            rows = [Candidate(key, placed[key], done.totals[key], bodies[key]) for key in order]
            outcome = {one.key: one.outcome for one in verdicts(rows, quota)}
            for key, chance in through.items():
                if chance == "in":
                    assert outcome[key] == "qualified"
                if chance == "out":
                    assert outcome.get(key) != "qualified"
                claims += chance != "open"
    assert claims > 300
