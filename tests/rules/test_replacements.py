"""Who is called up for those who withdraw, told otherwise than the code does it."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby

from hypothesis import assume, given
from hypothesis import strategies as st
from test_cuts import LINES, TOTALS, candidates, marks, ranked

from resultsgen.rules.cuts import Candidate, Quota
from resultsgen.rules.replacements import Withdrawals


def gone(rows: str | list[Candidate], line: Quota, absent: list[int]) -> Withdrawals:
    """A list, written out or drawn, without those *absent*."""
    return Withdrawals(candidates(rows) if isinstance(rows, str) else rows, line, absent)


def test_the_first_reserve_is_called_up() -> None:
    assert gone("1 A, 2 B, 3 C, 4 D", Quota(2, 2), [1]).called_up == {2: 1}


def test_a_team_mate_kept_out_comes_before_the_reserves() -> None:
    rows = candidates("1 A, 2 A, 3 A, 4 B, 5 C")
    assert gone(rows, Quota(3, 1, 2), [0]).called_up == {2: 0}
    assert gone(rows, Quota(3, 1, 2), [3]).called_up == {4: 3}


def test_nobody_is_called_up_for_one_more_whom_a_tie_let_in() -> None:
    assert gone("1 A, 2 B, 2 C, 4 D", Quota(2, 1), [0]).called_up == {}
    assert gone("1 A, 2 B, 2 C, 4 D", Quota(2, 1), [0, 1]).called_up == {3: 1}


def test_one_more_whom_a_tie_let_in_lets_no_team_mate_kept_out_in() -> None:
    """Four places, five through by the tie: without the first there are four still."""
    rows = candidates("1 A, 2 A, 3 A, 4 B, 5 C, 5 D")
    assert gone(rows, Quota(4, 0, 2), [0]).called_up == {}
    assert gone(rows, Quota(4, 0, 2), [0, 4]).called_up == {2: 4}


def test_no_more_are_called_up_than_places_are_open_whoever_was_kept_out() -> None:
    """Three places, four through by the tie: without two of them one place is open."""
    rows = candidates("1 A, 2 A, 3 B, 4 B, 5 C, 5 D")
    assert gone(rows, Quota(3, 0, 1), [0, 2]).called_up == {1: 2}


def test_a_reserve_who_is_gone_too_is_passed() -> None:
    assert gone("1 A, 2 B, 3 C", Quota(1, 2), [0, 1]).called_up == {2: 1}
    assert gone("1 A, 2 B, 3 C", Quota(1, 2), [1, 0]).called_up == {2: 0}


def test_each_body_fills_its_own_places() -> None:
    rows = candidates("1 A, 2 A, 3 B, 4 B")
    assert gone(rows, Quota(1, 1, of_each=True), [2]).called_up == {3: 2}


def test_a_reserve_is_held_back_by_the_cap_only_if_the_next_is_called_up() -> None:
    line = Quota(2, 2, 1, reserves_count=False)
    assert gone("1 A, 2 B, 3 A, 4 C", line, [1]).held_back == {2: (0,)}
    assert gone("1 A, 2 B, 3 A, 4 C", line, [0]).held_back == {}
    assert gone("1 A, 2 B, 3 A, 4 C", line, []).held_back == {}
    assert gone("1 A, 2 B, 3 A", line, [1]).held_back == {}


def test_somebody_kept_out_who_is_no_reserve_is_not_held_back() -> None:
    line = Quota(2, 1, 1, reserves_count=False)
    assert gone("1 A, 2 A, 3 B, 4 C", line, [2]).held_back == {}


def test_who_is_kept_out_is_told_of_those_who_fill_the_cap_after_a_withdrawal() -> None:
    """The third of A starts for the second, and keeps out the fourth."""
    rows = candidates("1 A, 2 A, 3 A, 4 B, 5 A, 6 C")
    assert gone(rows, Quota(4, 1, 2), []).kept_out == {}
    assert gone(rows, Quota(4, 1, 2), [1]).kept_out == {4: (0, 2)}
    assert gone(rows, Quota(4, 1, 2), [3]).kept_out == {2: (0, 1), 4: (0, 1)}


def test_two_reserves_who_are_both_called_up_hold_nobody_back() -> None:
    line = Quota(2, 2, 1, reserves_count=False)
    assert gone("1 A, 2 B, 3 C, 4 D", line, [0, 1]).held_back == {}


def test_of_two_who_are_called_up_each_has_the_place_of_one() -> None:
    assert gone("1 A, 2 B, 3 C, 4 D", Quota(2, 2), [0, 1]).called_up == {2: 0, 3: 1}


def test_somebody_kept_out_is_not_held_back_however_many_reserves_come_in() -> None:
    """The second of A is no reserve; the reserves C and D are, of whom D starts in the end."""
    line = Quota(2, 2, 1, reserves_count=False)
    rows = candidates("1 A, 2 A, 3 B, 4 C, 5 D")
    assert gone(rows, line, [2, 3]).called_up == {4: 3}
    assert gone(rows, line, [2, 3]).held_back == {}
    # Without the first of A her team-mate comes in, and C for B.
    assert gone(rows, line, [0, 2]).called_up == {1: 0, 3: 2}
    assert gone(rows, line, [0, 2]).held_back == {}


def test_a_place_stays_open_for_a_tie_that_let_in_more_or_for_want_of_anybody() -> None:
    tied = candidates("1 A, 2 B, 2 C")
    assert gone(tied, Quota(2), [0]).unfilled == {0: "enough"}
    assert gone(tied, Quota(2), [0, 1]).unfilled == {0: "enough", 1: "nobody left"}
    assert gone("1 A, 2 B, 2 C, 4 D", Quota(2, 1), [0, 1]).unfilled == {0: "enough"}
    assert gone("1 A, 2 B, 3 C", Quota(2, 1), [0, 1]).unfilled == {1: "nobody left"}


def test_no_place_is_open_where_nobody_who_would_start_withdrew() -> None:
    rows = candidates("1 A, 2 B, 3 C")
    assert gone(rows, Quota(1, 2), []).unfilled == {}
    assert gone(rows, Quota(1, 2), [1]).unfilled == {}
    # The second is called up for the first, withdraws as well, and the third comes in.
    assert gone(rows, Quota(1, 2), [0, 1]).unfilled == {}


def test_where_each_body_has_its_places_those_of_the_others_fill_none() -> None:
    assert gone("1 A, 2 B", Quota(1, of_each=True), [0]).unfilled == {0: "nobody left"}


def test_equal_team_mates_of_whom_the_cap_has_room_for_one_are_undecided() -> None:
    rows = candidates("1 A, 2 A, 2 A, 4 B")
    assert gone(rows, Quota(3, 0, 2), []).undecided == ((1, 2),)
    assert gone(rows, Quota(3, 0, 2, order=(2, 1)), []).undecided == ()
    assert gone("1 A, 2 A, 2 B, 4 B", Quota(3, 0, 2), []).undecided == ()


def test_equal_reserves_of_whom_one_is_called_up_are_undecided() -> None:
    rows = candidates("1 A, 2 B, 2 C, 4 D")
    assert gone(rows, Quota(1, 2), []).undecided == ()
    assert gone(rows, Quota(1, 2), [0]).undecided == ((1, 2),)
    assert gone(rows, Quota(1, 2, order=(2, 1)), [0]).undecided == ()
    assert gone(rows, Quota(1, 2), [0, 1]).undecided == ()


def test_both_are_told_who_are_undecided_at_the_cap_and_who_are_when_called_up() -> None:
    rows = candidates("1 A, 1 A, 3 B, 3 C, 5 D, 5 E")
    assert gone(rows, Quota(2, 2, 1), []).undecided == ((0, 1),)
    assert gone(rows, Quota(2, 2, 1), [2]).undecided == ((0, 1),)
    assert gone(rows, Quota(2, 2, 1), [2, 3]).undecided == ((0, 1), (4, 5))


def test_where_the_rule_takes_the_order_of_the_list_nobody_is_undecided_at_the_last_place() -> None:
    assert gone("1 A, 1 B, 3 C", Quota(1, ties_qualify=False), []).undecided == ()


def test_two_pairs_of_equals_are_told_apart() -> None:
    rows = candidates("1 A, 1 A, 3 B, 3 B")
    assert gone(rows, Quota(2, 0, 1), []).undecided == ((0, 1), (2, 3))


@st.composite
def withdrawals(draw: st.DrawFn) -> tuple[list[Candidate], Quota, list[int]]:
    """A list, a line, and some who withdraw, in some order."""
    table, line = ranked(draw(TOTALS)), draw(LINES)
    keys = [one.key for one in table]
    chosen = st.lists(st.sampled_from(keys), unique=True, max_size=4) if keys else st.just([])
    return table, line, draw(chosen)


def through(table: list[Candidate], line: Quota) -> set[int]:
    return {key for key, mark in marks(table, line).items() if mark == "Q"}


@given(withdrawals())
def test_who_starts_is_who_qualifies_without_the_absent(
    drawn: tuple[list[Candidate], Quota, list[int]],
) -> None:
    """Without the absent the same line lets just these in; but for ties that let in more."""
    table, line, absent = drawn
    called = gone(table, line, absent).called_up
    starting = (through(table, line) - set(absent)) | set(called)
    present = [one for one in table if one.key not in absent]
    again = through(present, line)
    assert starting <= again
    if not line.ties_qualify:
        assert starting == again


@given(withdrawals())
def test_no_other_qualifier_is_taken_out_and_each_is_called_up_for_one(
    drawn: tuple[list[Candidate], Quota, list[int]],
) -> None:
    table, line, absent = drawn
    called = gone(table, line, absent).called_up
    assert not set(called) & (through(table, line) | set(absent))
    assert set(called.values()) <= set(absent)
    assert len(set(called.values())) == len(called)


@given(withdrawals(), st.randoms(use_true_random=False))
def test_the_order_of_withdrawing_changes_only_whose_place_it_is(
    drawn: tuple[list[Candidate], Quota, list[int]], random: object
) -> None:
    table, line, absent = drawn
    mixed = list(absent)
    random.shuffle(mixed)  # type: ignore[attr-defined]
    assert set(gone(table, line, absent).called_up) == set(gone(table, line, mixed).called_up)


@given(withdrawals(), st.randoms(use_true_random=False))
def test_where_nobody_is_undecided_the_order_of_equals_changes_nothing(
    drawn: tuple[list[Candidate], Quota, list[int]], random: object
) -> None:
    """But for the rule that takes the order of the list."""
    table, line, absent = drawn
    line = replace(line, ties_qualify=True)
    assume(not gone(table, line, absent).undecided)
    mixed: list[Candidate] = []
    for _, group in groupby(table, key=lambda one: (one.place is None, one.total, one.place)):
        sharing = list(group)
        random.shuffle(sharing)  # type: ignore[attr-defined]
        mixed += sharing
    assert through(mixed, line) == through(table, line)
    assert set(gone(mixed, line, absent).called_up) == set(gone(table, line, absent).called_up)
