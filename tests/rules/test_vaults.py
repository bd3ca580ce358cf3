"""The vault ranking takes the average of two vaults; only those who did two are ranked."""

from __future__ import annotations

from typing import Any

import pandas as pd
from hypothesis import given
from hypothesis import strategies as st
from sheets import drawn, integers, steps

from resultsgen.rules.placings import placings
from resultsgen.rules.ties import Sheet
from resultsgen.rules.vaults import vault_averages


def averages(rows: list[list[int | None]], averaging: Any = "cut") -> list[int | None]:
    both = integers(rows, 2)
    found = vault_averages(both[0], both[1], averaging)
    return [None if pd.isna(value) else int(value) for value in found]


def places(rows: list[list[int | None]]) -> list[int | None]:
    both = integers(rows, 2)
    nothing = both.mask(both.notna())
    compared = Sheet(vault_averages(both[0], both[1], "cut"), both, nothing, nothing)
    found = placings(compared, steps("two vaults", 2))
    return [None if pd.isna(place) else int(place) for place in found]


def test_the_average_is_cut_to_thousandths() -> None:
    """(14.733 + 14.966) / 2 = 14.8495"""
    assert averages([[14733, 14966]]) == [14849]
    assert averages([[14733, 14966]], "round") == [14850]


def test_an_invalid_vault_is_nought_and_counts() -> None:
    """(0.000 + 12.666) / 2 = 6.333"""
    assert averages([[0, 12666]]) == [6333]
    assert averages([[0, 0]]) == [0]


def test_one_vault_alone_has_no_average_and_no_place() -> None:
    rows = [[14000, None], [0, None], [12000, 12000], [None, None]]
    assert averages(rows) == [None, None, 12000, None]
    assert places(rows) == [None, None, 1, None]


def test_averages_equal_as_printed_are_a_tie_and_the_better_vault_settles_it() -> None:
    """29.699 and 29.698 both give 14.849: the better vaults are 14.966 and 15.000."""
    assert averages([[14733, 14966], [14698, 15000]]) == [14849, 14849]
    assert places([[14733, 14966], [14698, 15000]]) == [2, 1]


@given(drawn(width=2))
def test_the_order_of_the_two_vaults_changes_no_place(table: dict[str, list[Any]]) -> None:
    turned = [row[::-1] for row in table["marks"]]
    assert places(table["marks"]) == places(turned)


@given(st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6)), max_size=8))
def test_cutting_moves_nobody_past_somebody_with_a_higher_sum(
    rows: list[tuple[int, int]],
) -> None:
    found = averages([list(row) for row in rows])
    for one, mine in zip(rows, found, strict=True):
        for other, theirs in zip(rows, found, strict=True):
            assert mine is not None
            assert theirs is not None
            assert not (sum(one) > sum(other) and mine < theirs)
