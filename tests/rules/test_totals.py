"""What a total is: the sum of all its marks, or of those there are; halves are cut or rounded."""

from __future__ import annotations

from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from resultsgen.meet.marks import show_mark
from resultsgen.rules.totals import average_of_two, carried_total, total

MARK = st.integers(0, 20000)
Rows = list[list[int | None]]
ROWS = st.lists(st.lists(MARK | st.none(), min_size=4, max_size=4), min_size=1, max_size=6)


def all_there(rows: Rows) -> list[int | None]:
    return [total(row, "no place") for row in rows]


def what_there_is(rows: Rows) -> list[int | None]:
    return [total(row, "placed by what there is") for row in rows]


def test_the_total_is_the_sum_of_all_apparatus() -> None:
    """13.165 + 14.200 + 13.500 + 13.400 = 54.265"""
    assert all_there([[13165, 14200, 13500, 13400]]) == [54265]


def test_one_missing_apparatus_is_no_total_and_zero_is_a_mark() -> None:
    marks: Rows = [[13000, None, 12000, 11000], [13000, 0, 12000, 11000]]
    assert all_there(marks) == [None, 36000]


def test_what_there_is_adds_up_and_nothing_at_all_is_no_total() -> None:
    marks: Rows = [[13000, None, 0, None], [None] * 4, [0, None, None, None]]
    assert what_there_is(marks) == [13000, None, 0]


@pytest.mark.parametrize(
    ("incomplete", "expected"),
    [("no place", [None, 4]), ("placed by what there is", [3, 4])],
)
def test_the_rule_set_says_what_a_missing_mark_does(
    incomplete: str, expected: list[int | None]
) -> None:
    assert [total(row, incomplete) for row in ([3, None], [2, 2])] == expected  # type: ignore[arg-type]


def test_half_a_thousandth_is_cut_or_rounded_up() -> None:
    """(9.875 + 10.000) / 2 = 9.9375"""
    assert average_of_two(9875, 10000, "cut") == 9937
    assert average_of_two(9875, 10000, "round") == 9938


def test_a_whole_average_is_the_same_cut_or_rounded() -> None:
    assert average_of_two(9900, 9950, "cut") == 9925
    assert average_of_two(9900, 9950, "round") == 9925


def test_without_both_marks_there_is_no_average() -> None:
    assert average_of_two(9900, None, "cut") is None
    assert average_of_two(None, 9900, "cut") is None


def test_half_the_qualification_is_carried_into_the_final() -> None:
    """(9.875 + 10.000) / 2 = 9.937 (rounded 9.938), and 9.987 in the final: 19.924 (19.925)"""
    assert carried_total(9875, 10000, 9987, "cut") == 19924
    assert carried_total(9875, 10000, 9987, "round") == 19925


def test_who_lacks_the_final_mark_has_no_total() -> None:
    assert carried_total(9875, 10000, None, "cut") is None


@given(ROWS)
def test_sums_are_those_of_decimal(rows: Rows) -> None:
    for row in rows:
        there = [Decimal(value) / 1000 for value in row if value is not None]
        whole, so_far = all_there([row])[0], what_there_is([row])[0]
        assert (whole is None) == (len(there) < 4)
        assert (so_far is None) == (not there)
        if there:
            assert show_mark(so_far) == f"{sum(there):.3f}"
        if len(there) == 4:
            assert show_mark(whole) == f"{sum(there):.3f}"


@given(MARK, MARK)
def test_averages_are_those_of_fractions_and_decimal(first: int, second: int) -> None:
    exact = Fraction(first + second, 2)
    thousandth = Decimal("0.001")
    printed = (Decimal(first) + Decimal(second)) / 2000
    cut = average_of_two(first, second, "cut")
    rounded = average_of_two(first, second, "round")
    assert show_mark(cut) == str(printed.quantize(thousandth, ROUND_DOWN))
    assert show_mark(rounded) == str(printed.quantize(thousandth, ROUND_HALF_UP))
    assert cut is not None
    assert rounded is not None
    assert cut <= exact <= rounded
    assert rounded - cut == (first + second) % 2


@given(ROWS, st.data())
def test_a_total_rises_by_what_a_mark_rises(
    rows: list[list[int | None]], data: st.DataObject
) -> None:
    row = data.draw(st.integers(0, len(rows) - 1))
    part = data.draw(st.integers(0, 3))
    if rows[row][part] is None:
        return
    before = what_there_is(rows)
    better = [list(cells) for cells in rows]
    better[row][part] = (rows[row][part] or 0) + 7
    after = what_there_is(better)
    rises = [(one or 0) - (other or 0) for one, other in zip(after, before, strict=True)]
    assert rises == [7 if number == row else 0 for number in range(len(rows))]
