"""What is needed: worked examples, and the mark put in to see that it does what was said."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from running_lists import by_e, cascade, list_of, places_of

from resultsgen.live.goals import LEAD, MEDAL, cut, reached
from resultsgen.live.needs import need
from resultsgen.live.standings import standing
from resultsgen.live.tied_marks import Terms, TieOutcome
from resultsgen.rules.criteria import criteria
from resultsgen.rules.cuts import Candidate, Quota, verdicts

STAND = Terms((), 50)


def test_last_up_on_the_grid_of_0_050():
    # Gymnast 1 is done with 37.500. Gymnast 2 has 28.100 and floor to come.
    # 37.500 - 28.100 = 9.400 ties; the next on the grid, 9.450, wins with 37.550.
    progress = list_of({1: [9400, 9300, 9400, 9400], 2: [9400, 9300, 9400, None]})
    found = need(progress, 2, ("FX",), LEAD, STAND)
    assert (found.level_with, found.level_total) == ((1,), 37500)
    assert (found.ties, found.tie.outcome, found.wins) == (9400, "shared", 9450)


def test_0_150_behind_before_the_last_apparatus():
    # 28.050 and 27.900 before floor; the leader has made 9.250, together 37.300.
    # 37.300 - 27.900 = 9.400 = 9.250 + 0.150 ties; 9.450 wins.
    progress = list_of({1: [9350, 9350, 9350, 9250], 2: [9300, 9300, 9300, None]})
    found = need(progress, 2, ("FX",), LEAD, STAND)
    assert (found.ties, found.wins) == (9250 + 150, 9250 + 150 + 50)


@pytest.mark.parametrize(
    ("step", "ties", "wins"),
    [(1, 9425, 9426), (25, 9425, 9450), (50, None, 9450), (100, None, 9500)],
)
def test_the_grid_decides_whether_a_tie_is_possible(step, ties, wins):
    # 37.525 - 28.100 = 9.425 stands on the grids of 0.001 and 0.025 only.
    progress = list_of({1: [9425, 9300, 9400, 9400], 2: [9400, 9300, 9400, None]})
    found = need(progress, 2, ("FX",), LEAD, Terms((), step))
    assert (found.ties, found.wins) == (ties, wins)
    assert [found.within(bound) for bound in (wins - 1, wins)] == [ties is not None, True]


def test_a_shared_second_place():
    # 37.500, 37.300, 37.300 are in. 37.300 - 28.000 = 9.300 ties for second with both: the three
    # share the second place, and each has a medal. One step less is the fourth place. To lead,
    # 37.500 - 28.000 = 9.500 ties, and one step more wins.
    progress = list_of(
        {
            1: [9400, 9300, 9400, 9400],
            2: [9300, 9300, 9300, 9400],
            3: [9400, 9300, 9300, 9300],
            4: [9300, 9300, 9400, None],
        }
    )
    found = need(progress, 4, ("FX",), MEDAL, STAND)
    assert found.level_with == (2, 3)
    assert (found.ties, found.tie.outcome, found.wins) == (9300, "reached", 9300)
    lead = need(progress, 4, ("FX",), LEAD, STAND)
    assert (lead.level_with, lead.ties, lead.wins) == ((1,), 9500, 9550)


def test_fewer_rivals_than_places_make_any_mark_enough():
    progress = list_of({1: [9400], 2: [9300], 3: [None]})
    found = need(progress, 3, ("VT",), MEDAL, STAND)
    assert (found.ties, found.tie, found.wins, found.level_with) == (None, None, 0, ())
    assert (found.key, found.aim, found.level_total) == (3, "medal", None)


def test_any_mark_is_enough_however_close_the_next_one_is():
    # 28.000 before floor against 27.999 in all: ahead already, with nobody to be level with.
    progress = list_of({1: [9000, 9000, 9000, 999], 2: [9500, 9500, 9000, None]})
    found = need(progress, 2, ("FX",), LEAD, STAND)
    assert (found.wins, found.level_with, found.level_total) == (0, (), None)


def test_a_tie_for_the_lead_that_hangs_on_the_e_score():
    # 13.400 has been made with E 8.200. On the grid of 0.050, 13.400 ties and wins on E only
    # from 8.250 up; with E 8.200 the D score decides. 13.450 wins in any case.
    progress = list_of({1: [13400], 2: [None]}, e={1: [8200]}, d={1: [5200]})
    found = need(progress, 2, ("VT",), LEAD, Terms(by_e(), 50))
    assert (found.ties, found.wins) == (13400, 13450)
    tie = found.tie
    assert (tie.outcome, tie.criterion, tie.score) == ("open", "E", "E")
    assert (tie.at_least, tie.even) == (8250, 8200)


def test_to_thousandths_the_e_score_needed_is_one_more():
    progress = list_of({1: [13400], 2: [None]}, e={1: [8200]}, d={1: [5200]})
    assert need(progress, 2, ("VT",), LEAD, Terms(by_e(), 1)).tie.at_least == 8201


def test_a_tie_that_no_e_score_can_win():
    # The leader has E 10.000, the highest: level on E at best, then D decides.
    progress = list_of({1: [13400], 2: [None]}, e={1: [10000]}, d={1: [3400]})
    tie = need(progress, 2, ("VT",), LEAD, Terms(by_e(), 50, 10000)).tie
    assert (tie.outcome, tie.at_least, tie.even) == ("open", None, 10000)


def test_the_highest_e_score_can_just_win_a_tie():
    # E 9.950 is there to be beaten: on the grid of 0.050 only 10.000 does.
    progress = list_of({1: [13400], 2: [None]}, e={1: [9950]}, d={1: [3450]})
    tie = need(progress, 2, ("VT",), LEAD, Terms(by_e(), 50, 10000)).tie
    assert (tie.outcome, tie.at_least, tie.even) == ("open", 10000, 9950)


def test_a_tie_is_lost_where_even_the_highest_e_score_leaves_the_sum_behind():
    # E 9.000 + 9.500 = 18.500 against 8.000 so far: 10.500 would be level, and 10.000 is highest.
    progress = list_of(
        {1: [13000, 13000], 2: [13000, None]},
        e={1: [9000, 9500], 2: [8000, None]},
        d={1: [4000, 3500], 2: [5000, None]},
    )
    tie = need(progress, 2, ("UB",), LEAD, Terms(cascade(2), 100, 10000)).tie
    assert tie == TieOutcome("missed", "total E", "E")


def test_any_e_score_wins_a_tie_where_the_sum_is_ahead_already():
    # E 9.500 so far against 4.700 + 4.700 = 9.400 in all.
    progress = list_of(
        {1: [13000, 13000], 2: [13000, None]},
        e={1: [4700, 4700], 2: [9500, None]},
        d={1: [8300, 8300], 2: [3500, None]},
    )
    tie = need(progress, 2, ("UB",), LEAD, Terms(cascade(2), 100)).tie
    assert tie == TieOutcome("open", "total E", "E", at_least=0, even=None)


def test_the_higher_e_of_two_vaults_has_to_pass_that_of_the_rival():
    # Better vaults and averages are equal; the rival's higher E is 9.200, the own first one 9.000.
    progress = list_of(
        {1: [14000, 14000], 2: [14000, None]},
        e={1: [9200, 9100], 2: [9000, None]},
        averaging="cut",
    )
    steps = criteria(("better vault", "higher E"), 2)
    tie = need(progress, 2, ("UB",), LEAD, Terms(steps, 1)).tie
    assert tie == TieOutcome("open", "higher E", "E", at_least=9201)
    # With 9.200 the place is shared, unless the rules go on to ask for D, which is not given.
    steps = criteria(("better vault", "higher E", "higher D"), 2)
    tie = need(progress, 2, ("UB",), LEAD, Terms(steps, 1)).tie
    assert tie == TieOutcome("open", "higher E", "E", at_least=9201, even=9200, then=None)


def test_a_tie_hangs_on_the_e_score_of_the_one_who_is_level():
    # For a medal place, 5 has to be level with 4, whose E is 8.200; the E of 1 to 3, and the
    # penalty of 3, are not asked for.
    progress = list_of(
        {1: [14000], 2: [13800], 3: [13300], 4: [13400], 5: [None]},
        e={1: [9000], 2: [8800], 3: [9500], 4: [8200]},
        d={1: [5000], 2: [5000], 3: [4000], 4: [5200]},
        penalty={3: 200},
    )
    found = need(progress, 5, ("VT",), MEDAL, Terms(by_e(), 50))
    assert (found.level_with, found.ties, found.wins) == ((4,), 13400, 13450)
    # With E 8.200 a D of 5.200 shares the third place.
    assert found.tie == TieOutcome("open", "E", "E", at_least=8250, even=8200, then=5200)


def test_a_tie_may_hang_on_a_fact_of_the_one_who_is_level():
    # 3 was born in 2012, and would be ahead of 2, born in 2010, but not of 1, born in 2014.
    years = {1: 2014, 2: 2010, 3: 2012}
    progress = list_of({1: [9000], 2: [9500], 3: [None]}, birth_year=years)
    found = need(progress, 3, ("VT",), LEAD, Terms(criteria(("younger",), 1), 50))
    assert (found.ties, found.tie.outcome, found.wins) == (9500, "reached", 9500)


def test_equal_on_everything_the_lead_is_shared():
    progress = list_of({1: [9500], 2: [None]}, birth_year={1: 2012, 2: 2012})
    found = need(progress, 2, ("VT",), LEAD, Terms(criteria(("younger",), 1), 50))
    assert (found.ties, found.tie, found.wins) == (9500, TieOutcome("shared"), 9550)


def test_a_penalty_is_made_up_for_before_there_is_any_mark():
    # 9.000 is in; with 0.300 taken off beforehand 9.300 ties.
    progress = list_of({1: [9000], 2: [None]}, penalty={2: 300})
    found = need(progress, 2, ("VT",), LEAD, STAND)
    assert (found.level_total, found.ties, found.wins) == (9000, 9300, 9350)


def test_marks_up_to_a_bound_can_be_enough_by_a_tie_that_is_open_or_shares_the_lead():
    open_tie = list_of({1: [13400], 2: [None]}, e={1: [8200]}, d={1: [5200]})
    found = need(open_tie, 2, ("VT",), LEAD, Terms(by_e(), 50))
    assert [found.within(bound) for bound in (13399, 13400)] == [False, True]
    shared = need(open_tie, 2, ("VT",), LEAD, STAND)
    assert [shared.within(bound) for bound in (13399, 13400, 13450)] == [False, True, True]
    assert [shared.at_most_ties(bound) for bound in (13400, 13449, 13450)] == [True, True, False]
    cut_off = need(open_tie, 2, ("VT",), cut(Quota(1, ties_qualify=False), {}), STAND)
    assert (cut_off.ties, cut_off.tie.outcome, cut_off.wins) == (13400, "shared", 13450)
    assert [cut_off.within(bound) for bound in (13449, 13450)] == [False, True]


def test_a_rule_that_asks_for_d_first_asks_for_a_d_score():
    progress = list_of({1: [13400], 2: [None]}, e={1: [8200]}, d={1: [5200]})
    tie = need(progress, 2, ("VT",), LEAD, Terms(criteria(("D", "E"), 1), 100)).tie
    assert (tie.score, tie.at_least, tie.even) == ("D", 5300, 5200)


def test_without_the_e_score_of_the_leader_the_tie_stays_open():
    progress = list_of({1: [13400], 2: [None]})
    tie = need(progress, 2, ("VT",), LEAD, Terms(by_e(), 50)).tie
    assert (tie.outcome, tie.criterion, tie.score, tie.at_least) == ("open", "E", "", None)


def test_in_the_all_around_the_tie_is_told_by_the_marks_themselves():
    # 1: 14.0 + 13.0 + 13.0 + 13.0 = 53.0, best three 40.0. With 13.5 gymnast 2 has
    # 13.0 + 13.0 + 13.5 + 13.5 = 53.0 and best three 40.0; best two 27.0 each; best one 14.0
    # against 13.5: the tie is lost. Gymnast 3 needs 15.0: 13.0 + 12.5 + 12.5 + 15.0 = 53.0,
    # best three 40.5: the tie is won, and the mark that ties is enough.
    marks = {
        1: [14000, 13000, 13000, 13000],
        2: [13500, 13000, 13000, None],
        3: [13000, 12500, 12500, None],
    }
    progress = list_of(marks)
    lost = need(progress, 2, ("FX",), LEAD, Terms(cascade(4), 100))
    assert (lost.ties, lost.tie.outcome, lost.wins) == (13500, "missed", 13600)
    won = need(progress, 3, ("FX",), LEAD, Terms(cascade(4), 100))
    assert (won.ties, won.tie.outcome, won.wins) == (15000, "reached", 15000)


def test_in_the_all_around_equal_marks_leave_it_to_the_sum_of_e():
    # Both would have 13.0 four times. E so far 8.1 * 3 = 24.3 against 32.5 in all:
    # 32.5 - 24.3 = 8.2 is even, 8.3 wins on the grid of 0.1.
    progress = list_of(
        {1: [13000] * 4, 2: [13000, 13000, 13000, None]},
        e={1: [8200, 8100, 8100, 8100], 2: [8100, 8100, 8100, None]},
        d={1: [4800, 4900, 4900, 4900], 2: [4900, 4900, 4900, None]},
    )
    tie = need(progress, 2, ("FX",), LEAD, Terms(cascade(4), 100)).tie
    assert (tie.outcome, tie.criterion, tie.even, tie.at_least) == ("open", "total E", 8200, 8300)


def test_several_apparatus_to_come_need_a_sum_and_an_average():
    # 37.500 - 18.800 = 18.700 on two apparatus: 9.350 each ties, 18.750 wins, 9.375 on average.
    progress = list_of({1: [9400, 9300, 9400, 9400], 2: [9400, 9400, None, None]})
    found = need(progress, 2, ("BB", "FX"), LEAD, STAND)
    assert (found.ties, found.wins, found.average) == (18700, 18750, 9375)
    assert found.within(9500)
    assert found.within(9350)  # By a tie, which shares the lead.
    assert not found.within(9349)


def test_with_several_apparatus_to_come_a_tie_is_open_where_the_rules_break_it():
    # 37.500 - 18.800 = 18.700: how it falls on the two apparatus decides, so nobody can say.
    progress = list_of({1: [9400, 9300, 9400, 9400], 2: [9400, 9400, None, None]})
    found = need(progress, 2, ("BB", "FX"), LEAD, Terms(cascade(4), 50))
    assert (found.ties, found.tie, found.wins) == (18700, TieOutcome("open"), 18750)


def test_an_average_is_rounded_up_to_what_is_enough():
    # 37.500 - 9.400 = 28.100 ties on three apparatus; 28.150 wins, and 28.150 / 3 = 9.38333...
    progress = list_of({1: [9400, 9300, 9400, 9400], 2: [9400, None, None, None]})
    found = need(progress, 2, ("UB", "BB", "FX"), LEAD, STAND)
    assert (found.ties, found.wins, found.average) == (28100, 28150, 9384)


def test_even_0_000_can_tie():
    # The rival got 0.000 on bars: 9.000 + 0.000. So would the gymnast; 0.050 wins.
    progress = list_of({1: [9000, 0], 2: [9000, None]})
    found = need(progress, 2, ("UB",), LEAD, STAND)
    assert (found.ties, found.tie.outcome, found.wins) == (0, "shared", 50)


def test_level_with_a_team_mate_at_the_cap_is_not_enough_but_with_another_it_is():
    # Two qualify, one per body, and nobody is ahead of the two who are level.
    quota = Quota(places=2, cap=1)
    assert not reached(cut(quota, {1: "A", 2: "A"}), 2, (), (1,), 9000)
    assert reached(cut(quota, {1: "B", 2: "A"}), 2, (), (1,), 9000)
    # A team-mate is ahead: over the cap, whoever else is level.
    assert not reached(cut(quota, {1: "B", 2: "A", 3: "A"}), 2, (3,), (1,), 9000)


def test_the_rivals_are_those_who_will_have_done_as_many():
    # After beam, only gymnast 1 has done three; the finished gymnast 3 is not compared.
    progress = list_of({1: [9000, 9000, 9000, None], 2: [9000, 9100, None, None], 3: [9900] * 4})
    found = need(progress, 2, ("BB",), LEAD, STAND)
    assert (found.rivals, found.level_total, found.ties, found.wins) == (1, 27000, 8900, 8950)


def test_the_cut_counts_the_federation_cap():
    # Two qualify, one per federation. A1 37.500, A2 37.400, B1 37.000 are in.
    # B2 has to pass B1 (the cap), 37.000 - 28.000 = 9.000 is level with B1, where nothing but
    # the order decides: 9.050. A3 has to pass A1: 37.500 - 28.000 = 9.500, so 9.550.
    # C1 has to pass B1 only, as A2 is over the cap: 9.000 is level and both qualify.
    marks = {
        1: [9500, 9500, 9500, 9000],
        2: [9400, 9500, 9500, 9000],
        3: [9250, 9250, 9250, 9250],
        4: [9500, 9500, 9000, None],
        5: [9500, 9500, 9000, None],
        6: [9500, 9500, 9000, None],
    }
    bodies = {1: "A", 2: "A", 3: "B", 4: "B", 5: "A", 6: "C"}
    goal = cut(Quota(places=2, cap=1), bodies)
    told = {key: need(list_of(marks), key, ("FX",), goal, STAND) for key in (4, 5, 6)}
    assert {key: (one.ties, one.wins) for key, one in told.items()} == {
        4: (9000, 9050),
        5: (9500, 9550),
        6: (9000, 9000),
    }
    assert told[4].tie.outcome == "shared"
    assert told[6].tie.outcome == "reached"


def test_two_of_no_federation_are_no_team_mates():
    goal = cut(Quota(places=2, cap=1), {3: "A"})
    assert not reached(goal, 3, [1, 2], (), 36000)
    assert reached(goal, 1, (), [2], 36000)


def test_level_with_somebody_of_another_federation_she_has_to_be_the_best_of_her_own():
    goal = cut(Quota(places=1, of_each=True), {1: "A", 2: "B", 3: "A"})
    assert not reached(goal, 3, [1], [2], 36000)


def test_where_each_body_has_its_place_only_its_own_are_rivals():
    # One of each: A2 has to pass A1, 37.500 - 28.000; B has 39.000, C nobody and any mark will do.
    marks = {
        1: [9500, 9500, 9500, 9000],
        2: [9500, 9500, 9000, None],
        3: [9750] * 4,
        4: [9000, 9000, 9000, None],
        5: [9000, 9000, 9000, None],
    }
    goal = cut(Quota(places=1, of_each=True), {1: "A", 2: "A", 3: "B", 4: "C", 5: ""})
    found = need(list_of(marks), 2, ("FX",), goal, STAND)
    assert (found.rivals, found.level_with, found.ties, found.wins) == (1, (1,), 9500, 9500)
    assert need(list_of(marks), 4, ("FX",), goal, STAND).wins == 0
    assert need(list_of(marks), 5, ("FX",), goal, STAND) is None


def test_a_tie_for_the_last_place_of_a_cut_may_hang_on_the_e_score():
    # Were both level for good, both would qualify; but E 8.200 is there to be beaten: with
    # 8.300 the second qualifies, with 8.100 not, and with 8.200 the D score decides.
    progress = list_of({1: [13400], 2: [None]}, e={1: [8200]}, d={1: [5200]})
    found = need(progress, 2, ("VT",), cut(Quota(places=1), {}), Terms(by_e(), 100))
    assert (found.ties, found.tie.outcome, found.wins) == (13400, "open", 13500)
    assert (found.tie.even, found.tie.at_least) == (8200, 8300)


def test_the_least_total_of_a_cut():
    # Nobody else is in the way, but 36.000 is asked for: 36.000 - 28.000 = 8.000.
    progress = list_of({1: [9000, 9000, 9000, 8999], 2: [9500, 9500, 9000, None]})
    goal = cut(Quota(places=8, minimum=36000), {})
    found = need(progress, 2, ("FX",), goal, STAND)
    assert (found.level_with, found.ties, found.wins) == ((), None, 8000)
    assert (found.aim, found.level_total) == ("cut", None)


def test_the_least_total_of_a_cut_binds_who_is_alone_in_the_list():
    progress = list_of({2: [9500, 9500, 9000, None]})
    found = need(progress, 2, ("FX",), cut(Quota(places=8, minimum=36000), {}), STAND)
    assert (found.level_with, found.ties, found.wins) == ((), None, 8000)


def test_the_second_vault_counts_half():
    # The leader has (9.400 + 9.300) / 2 = 9.350. After 9.200, 9.500 gives 9.350: level, and the
    # better vault, 9.500, wins. To thousandths, 9.501 gives 9.350 (cut) as well.
    progress = list_of({1: [9400, 9300], 2: [9200, None]}, averaging="cut")
    steps = criteria(("better vault",), 2)
    found = need(progress, 2, ("UB",), LEAD, Terms(steps, 50))
    assert (found.level_total, found.ties, found.tie.outcome, found.wins) == (
        9350,
        9500,
        "reached",
        9500,
    )
    # After 9.450 it takes 9.250, and the better vault is 9.450; after 9.350 it takes 9.350, and
    # 9.400 is better: lost at 9.350, and with 9.351 (9.3505, cut) too: 9.352 wins.
    behind = list_of({1: [9400, 9300], 2: [9350, None]}, averaging="cut")
    found = need(behind, 2, ("UB",), LEAD, Terms(steps, 1))
    assert (found.ties, found.tie.outcome, found.wins) == (9350, "missed", 9352)
    # Rounded, 9.351 (9.3505) gives 9.351 and wins.
    rounded = list_of({1: [9400, 9300], 2: [9350, None]}, averaging="round")
    found = need(rounded, 2, ("UB",), LEAD, Terms(steps, 1))
    assert (found.level_total, found.wins) == (9350, 9351)


def test_a_guest_and_somebody_without_a_place_need_nothing():
    guest = list_of({1: [9000], 2: [None]}, competing={1: True, 2: False})
    assert need(guest, 2, ("VT",), LEAD, STAND) is None
    out = list_of({1: [9000, 9000], 2: [None, None]}, passed={2: [True, False]})
    assert need(out, 2, ("UB",), LEAD, STAND) is None


# Properties: the answer put into the list and placed as the results are.

RULES = {"stand": (), "cascade": cascade(4), "cascade only": cascade(4)[:3]}
grids = st.sampled_from([1, 25, 50, 100])
places = st.sampled_from([LEAD, MEDAL])


@st.composite
def lists(draw, parts=4):
    """Rivals who are done, and gymnast 0 with the last part to come."""
    mark = st.integers(0, 8).map(lambda steps: 9000 + 25 * steps)
    rows = draw(st.lists(st.lists(mark, min_size=parts, max_size=parts), min_size=1, max_size=6))
    own = draw(st.lists(mark, min_size=parts - 1, max_size=parts - 1))
    e = {
        key: [9000 + 25 * draw(st.integers(0, 3)) for _ in range(parts)]
        for key in range(1, len(rows) + 1)
    }
    scores = {0: [9000] * (parts - 1) + [None], **e}
    return {0: [*own, None], **dict(enumerate(rows, 1))}, scores


def with_last(progress, mark, e=None, d=None):
    return progress.with_mark(0, progress.parts[-1], mark, e, d)


def is_outright(progress, steps, goal):
    """Naively: first and alone, or on one of the first three places."""
    found = places_of(progress, steps)
    own = found[0]
    if goal is MEDAL:
        return own <= 3
    return own == 1 and list(found.values()).count(1) == 1


@settings(deadline=None, max_examples=150)
@given(lists(), st.sampled_from(sorted(RULES)), grids, places)
def test_the_mark_told_is_enough_and_one_step_less_is_not(drawn, rule, step, goal):
    marks, e = drawn
    steps = RULES[rule]
    progress = list_of(marks, e=e, d=e)
    found = need(progress, 0, ("FX",), goal, Terms(steps, step))
    assert found.wins % step == 0
    assert is_outright(with_last(progress, found.wins), steps, goal)
    for e_score in (None, 9000, 10000):
        assert is_outright(with_last(progress, found.wins, e_score, e_score), steps, goal)
    below = found.wins - step
    is_open = below == found.ties and found.tie.outcome == "open"
    if below >= 0 and not is_open:
        assert not is_outright(with_last(progress, below), steps, goal)


@settings(deadline=None, max_examples=150)
@given(lists(), st.sampled_from(sorted(RULES)), grids, places)
def test_the_mark_that_ties_gives_the_same_total_and_the_outcome_told(drawn, rule, step, goal):
    marks, e = drawn
    steps = RULES[rule]
    progress = list_of(marks, e=e, d=e)
    found = need(progress, 0, ("FX",), goal, Terms(steps, step))
    if found.ties is None:
        return
    put_in = with_last(progress, found.ties)
    assert put_in.totals[0] == found.level_total
    assert all(put_in.totals[one] == found.level_total for one in found.level_with)
    tie = found.tie
    if tie.outcome != "open":
        assert is_outright(put_in, steps, goal) == (tie.outcome == "reached")
    place = standing(put_in, steps).of(0).place
    if tie.outcome == "shared":
        assert place <= goal.places
    if tie.outcome == "missed":
        assert place > goal.places
    if tie.outcome == "open" and tie.at_least is not None:
        assert is_outright(with_last(progress, found.ties, e=tie.at_least), steps, goal)
        if tie.even is not None and goal is LEAD:
            below = with_last(progress, found.ties, e=tie.even)
            assert not is_outright(below, steps, goal)


@settings(deadline=None, max_examples=150)
@given(lists(parts=1), grids)
def test_the_e_score_told_wins_the_tie_whatever_the_d_score(drawn, step):
    marks, e = drawn
    progress = list_of(marks, e=e, d=e)
    found = need(progress, 0, ("VT",), LEAD, Terms(by_e(), step))
    if found.ties is None:
        assert found.level_total % step
        return
    assert found.tie.outcome == "open"
    for d in (None, 0, 20000):
        assert is_outright(with_last(progress, found.ties, found.tie.at_least, d), by_e(), LEAD)
        low = found.tie.at_least - step
        assert not is_outright(with_last(progress, found.ties, low, 0), by_e(), LEAD)


@settings(deadline=None, max_examples=150)
@given(
    lists(),
    st.integers(1, 4),
    st.integers(0, 2),
    st.integers(0, 2),
    st.lists(st.booleans(), min_size=3, max_size=3),
    st.data(),
)
def test_the_mark_for_the_cut_put_in_goes_through(drawn, count, reserves, cap, kinds, data):
    marks, e = drawn
    bodies = {key: data.draw(st.sampled_from(["A", "B", ""])) for key in marks}
    all_through, reserves_count, of_each = kinds
    quota = Quota(count, reserves, cap, None, all_through, reserves_count, of_each)
    progress = list_of(marks, e=e, d=e)
    steps = RULES[data.draw(st.sampled_from(sorted(RULES)))]
    found = need(progress, 0, ("FX",), cut(quota, bodies), Terms(steps, 25))
    if of_each and not bodies[0]:
        assert found is None
        return

    def qualifies(mark, score):
        """Listed last among those level, as nothing but the order of the list decides there."""
        told = with_last(progress, mark, score, score)
        placed = places_of(told, steps)
        order = sorted(placed, key=lambda key: (placed[key], key == 0, key))
        rows = [Candidate(key, placed[key], told.totals[key], bodies[key]) for key in order]
        return {one.key: one.outcome for one in verdicts(rows, quota)}[0] == "qualified"

    assert all(qualifies(found.wins, score) for score in (0, 9000, 9025, 20000))
    if found.wins >= 25:
        assert not all(qualifies(found.wins - 25, score) for score in (0, 20000))
    if found.tie and found.tie.outcome == "open" and found.tie.score == "E":
        put_in = with_last(progress, found.ties, found.tie.at_least, 0)
        assert put_in.totals[0] == found.level_total
        assert qualifies(found.ties, found.tie.at_least)


@settings(deadline=None, max_examples=300)
@given(
    st.lists(st.sampled_from(["A", "B", "C", ""]), max_size=8),
    st.integers(0, 8),
    st.tuples(st.integers(1, 4), st.integers(0, 2), st.integers(0, 2)),
    st.lists(st.booleans(), min_size=3, max_size=3),
    st.integers(8998, 9002),
)
def test_a_cut_is_reached_as_the_walk_down_the_list_has_it(bodies, before, counts, kinds, total):
    # Those ahead have places of their own; who is level stands before, as the order may have it.
    quota = Quota(*counts, 9000, *kinds)
    every = dict(enumerate([*bodies, "A"]))
    *others, own = every
    ahead, level = others[:before], others[before:]
    goal = cut(quota, every)
    rows = [Candidate(key, place, 9001, every[key]) for place, key in enumerate(ahead, 1)]
    rows += [Candidate(key, len(ahead) + 1, total, every[key]) for key in (*level, own)]
    walked = verdicts(rows, quota)[-1].outcome == "qualified"
    assert reached(goal, own, ahead, level, total) == walked


@settings(deadline=None, max_examples=60)
@given(lists(), st.randoms(use_true_random=False))
def test_the_order_of_the_rows_changes_nothing(drawn, random):
    marks, e = drawn
    rows = list(marks.items())
    random.shuffle(rows)
    terms = Terms(cascade(4), 25)
    first = need(list_of(marks, e=e, d=e), 0, ("FX",), LEAD, terms)
    assert need(list_of(dict(rows), e=e, d=e), 0, ("FX",), LEAD, terms) == first


@settings(deadline=None, max_examples=100)
@given(lists(), st.integers(2, 3), st.data())
def test_the_average_made_on_each_apparatus_is_enough(drawn, count, data):
    marks, _ = drawn
    marks[0] = [*marks[0][: 4 - count], *[None] * count]
    parts = ("VT", "UB", "BB", "FX")[4 - count :]
    progress = list_of(marks)
    found = need(progress, 0, parts, LEAD, Terms((), 25))
    # Any split of the sum will do, and of one step less none will.
    shares = [data.draw(st.integers(0, found.wins)) for _ in parts[1:]]
    for total, enough in ((found.wins, True), (found.wins - 25, False)):
        split = [min(share, total) // count for share in shares]
        split.append(total - sum(split))
        if total < 0:
            continue
        put_in = progress
        for part, mark in zip(parts, split, strict=True):
            put_in = put_in.with_mark(0, part, mark)
        assert is_outright(put_in, (), LEAD) == enough
    put_in = progress
    for part in parts:
        put_in = put_in.with_mark(0, part, found.average)
    assert is_outright(put_in, (), LEAD)


def test_whoever_is_level_has_a_part_in_a_tie_for_a_place_of_each_body():
    # 1 is of the own club; 3, of another, has 13.400 as well and no E score: level with both, all
    # three share the place, and the only place of the club goes by the order of the list.
    progress = list_of({1: [13400], 2: [None], 3: [13400]}, e={1: [8200]}, d={1: [5200]})
    goal = cut(Quota(places=1, of_each=True, ties_qualify=False), {1: "A", 2: "A", 3: "B"})
    found = need(progress, 2, ("VT",), goal, Terms(by_e(), 1))
    assert (found.level_with, found.ties, found.wins) == ((1,), 13400, 13401)
    assert (found.tie.outcome, found.tie.score) == ("open", "")


@settings(deadline=None, max_examples=80)
@given(
    st.lists(
        st.tuples(st.integers(50, 53), st.integers(164, 168), st.integers(0, 1)),
        min_size=1,
        max_size=5,
    ),
    st.sampled_from([LEAD, MEDAL, cut(Quota(2), {}), cut(Quota(2, ties_qualify=False), {})]),
    st.sampled_from([("E", "D"), ("D", "E"), ("E",)]),
)
def test_a_tie_is_enough_with_the_scores_told_and_with_no_others(rivals, goal, names):
    # E on a grid of 0.050, D in tenths; penalties of 0.100 leave the same mark to higher scores.
    d = {key: [100 * tenths] for key, (tenths, _, _) in enumerate(rivals, 1)}
    e = {key: [50 * steps] for key, (_, steps, _) in enumerate(rivals, 1)}
    marks = {key: [d[key][0] + e[key][0] - 100 * taken[2]] for key, taken in enumerate(rivals, 1)}
    steps = criteria(names, 1)
    progress = list_of({0: [None], **marks}, d=d, e=e)
    found = need(progress, 0, ("VT",), goal, Terms(steps, 50, 10000, adds_up=True))
    tie = found.tie
    if tie is None or tie.outcome != "open":
        return

    def enough(e, d):
        put_in = progress.with_mark(0, "VT", found.ties, e, d)
        places = places_of(put_in, steps)
        ahead = [key for key in places if places[key] < places[0]]
        level = [key for key in places if places[key] == places[0] and key]
        return reached(goal, 0, ahead, level, found.ties)

    for own_d in range(4800, 5700, 100):
        for own_e in range(8000, 8800, 50):
            if own_d + own_e < found.ties:
                continue
            first, other = (own_e, own_d) if tie.score == "E" else (own_d, own_e)
            says = tie.at_least is not None and first >= tie.at_least
            says |= first == tie.even and tie.then is not None and other >= tie.then
            assert enough(own_e, own_d) == says, (own_e, own_d)
