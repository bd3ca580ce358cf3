"""A mark is a whole number of thousandths, read and shown without loss."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from resultsgen.meet.marks import parse_mark, show_mark, show_short

marks = st.integers(-999_999, 999_999)


@given(marks, st.sampled_from(".,"))
def test_what_is_shown_is_read_back(mark: int, point: str) -> None:
    assert parse_mark(show_mark(mark, point)) == mark
    assert parse_mark(show_short(mark, point)) == mark


@given(marks)
def test_a_mark_is_shown_as_decimal_shows_it(mark: int) -> None:
    assert Decimal(show_mark(mark)) == Decimal(mark) / 1000
    assert len(show_mark(mark).partition(".")[2]) == 3


@given(st.decimals(0, 999, places=3), st.integers(0, 3))
def test_every_way_of_printing_a_mark_is_read(mark: Decimal, decimals: int) -> None:
    printed = f"{mark:.{decimals}f}"
    assert parse_mark(printed) == Fraction(printed) * 1000


@given(marks, marks)
def test_equal_marks_are_printed_alike_and_only_those(one: int, other: int) -> None:
    assert (show_mark(one) == show_mark(other)) == (one == other)


@pytest.mark.parametrize(
    ("text", "thousandths"),
    [
        ("0", 0), ("0.0", 0), ("0,000", 0), ("10", 10000), ("9.5", 9500), (" 13,7 ", 13700),
        ("-0.1", -100), ("−0.1", -100), ("–0,3", -300), ("+1", 1000), ("007.5", 7500),
    ],
)  # fmt: skip
def test_what_is_a_mark(text: str, thousandths: int) -> None:
    assert parse_mark(text) == thousandths


@pytest.mark.parametrize(
    "text",
    ["", ".", "13.", ".5", "13.7000", "1e1", "1 3", "1.234.5", "1,234.5", "inf", "nan", "DNS",
     "__.___", "- 1", "0x1", "1000", "13'700", "--1"],
)  # fmt: skip
def test_what_is_none(text: str) -> None:
    assert parse_mark(text) is None


def test_no_mark_is_shown_as_nothing_and_nought_is_not() -> None:
    assert (show_mark(None), show_mark(0)) == ("", "0.000")
