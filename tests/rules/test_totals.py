"""What a total is: the sum of all its marks, or of those there are; halves are cut or rounded."""

from __future__ import annotations

from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal
from fractions import Fraction

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sheets import integers

from resultsgen.meet.marks import show_mark
from resultsgen.rules.totals import (
    all_around_totals,
    average_of_two,
    carried_totals,
    running_totals,
    totals,
)

MARK = st.integers(0, 20000)
ROWS = st.lists(st.lists(MARK | st.none(), min_size=4, max_size=4), min_size=1, max_size=6)


def one(value: int | None) -> pd.Series[int]:
    return pd.Series([pd.NA if value is None else value], dtype="Int64")


def listed(found: pd.Series[int]) -> list[int | None]:
    assert str(found.dtype) == "Int64"
    return [None if pd.isna(value) else int(value) for value in found]


def test_the_total_is_the_sum_of_all_apparatus() -> None:
    """13.165 + 14.200 + 13.500 + 13.400 = 54.265"""
    assert listed(all_around_totals(integers([[13165, 14200, 13500, 13400]], 4))) == [54265]


def test_one_missing_apparatus_is_no_total_and_nought_is_a_mark() -> None:
    marks = integers([[13000, None, 12000, 11000], [13000, 0, 12000, 11000]], 4)
    assert listed(all_around_totals(marks)) == [None, 36000]


def test_the_rows_keep_their_names() -> None:
    marks = integers([[13000, 12000], [14000, 0]], 2).set_axis([31, 12])
    assert all_around_totals(marks).to_dict() == {31: 25000, 12: 14000}


def test_what_there_is_adds_up_and_nothing_at_all_is_no_total() -> None:
    marks = integers([[13000, None, 0, None], [None] * 4, [0, None, None, None]], 4)
    assert listed(running_totals(marks)) == [13000, None, 0]


@pytest.mark.parametrize(
    ("incomplete", "expected"),
    [("no place", [None, 4]), ("placed by what there is", [3, 4])],
)
def test_the_rule_set_says_what_a_missing_mark_does(
    incomplete: str, expected: list[int | None]
) -> None:
    assert listed(totals(integers([[3, None], [2, 2]], 2), incomplete)) == expected  # type: ignore[arg-type]


def test_a_list_without_anybody() -> None:
    assert listed(all_around_totals(integers([], 4))) == []
    assert listed(running_totals(integers([], 4))) == []


def test_half_a_thousandth_is_cut_or_rounded_up() -> None:
    """(9.875 + 10.000) / 2 = 9.9375"""
    assert listed(average_of_two(one(9875), one(10000), "cut")) == [9937]
    assert listed(average_of_two(one(9875), one(10000), "round")) == [9938]


def test_a_whole_average_is_the_same_cut_or_rounded() -> None:
    assert listed(average_of_two(one(9900), one(9950), "cut")) == [9925]
    assert listed(average_of_two(one(9900), one(9950), "round")) == [9925]


def test_without_both_marks_there_is_no_average() -> None:
    assert listed(average_of_two(one(9900), one(None), "cut")) == [None]
    assert listed(average_of_two(one(None), one(9900), "cut")) == [None]


def test_half_the_qualification_is_carried_into_the_final() -> None:
    """(9.875 + 10.000) / 2 = 9.937 (rounded 9.938), and 9.987 in the final: 19.924 (19.925)"""
    assert listed(carried_totals(one(9875), one(10000), one(9987), "cut")) == [19924]
    assert listed(carried_totals(one(9875), one(10000), one(9987), "round")) == [19925]


def test_who_lacks_the_final_mark_has_no_total() -> None:
    assert listed(carried_totals(one(9875), one(10000), one(None), "cut")) == [None]


@given(ROWS)
def test_sums_are_those_of_decimal(rows: list[list[int | None]]) -> None:
    marks = integers(rows, 4)
    for row, whole, so_far in zip(
        rows, all_around_totals(marks), running_totals(marks), strict=True
    ):
        there = [Decimal(value) / 1000 for value in row if value is not None]
        assert pd.isna(whole) == (len(there) < 4)
        assert pd.isna(so_far) == (not there)
        if there:
            assert show_mark(int(so_far)) == f"{sum(there):.3f}"
        if len(there) == 4:
            assert show_mark(int(whole)) == f"{sum(there):.3f}"


@given(MARK, MARK)
def test_averages_are_those_of_fractions_and_decimal(first: int, second: int) -> None:
    exact = Fraction(first + second, 2)
    thousandth = Decimal("0.001")
    printed = (Decimal(first) + Decimal(second)) / 2000
    cut = listed(average_of_two(one(first), one(second), "cut"))[0]
    rounded = listed(average_of_two(one(first), one(second), "round"))[0]
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
    before = listed(running_totals(integers(rows, 4)))
    better = [list(cells) for cells in rows]
    better[row][part] = (rows[row][part] or 0) + 7
    after = listed(running_totals(integers(better, 4)))
    rises = [(one or 0) - (other or 0) for one, other in zip(after, before, strict=True)]
    assert rises == [7 if number == row else 0 for number in range(len(rows))]
