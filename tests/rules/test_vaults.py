"""The vault ranking takes the average of two vaults; only those who did two are ranked."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from sheets import RULES, drawn

from resultsgen.rules.criteria import Compared, criteria
from resultsgen.rules.placings import placings
from resultsgen.rules.totals import average_of_two


def averages(rows: list[list[int | None]], averaging: Any = "cut") -> list[int | None]:
    return [average_of_two(first, second, averaging) for first, second in rows]


EXACT = ("sum of both vaults", *RULES["two vaults"])


def places(
    rows: list[list[int | None]],
    averaging: Any = "cut",
    rule: tuple[str, ...] = RULES["two vaults"],
) -> list[int | None]:
    zero = [tuple(None if mark is None else 0 for mark in row) for row in rows]
    compared = [
        Compared(average, tuple(row), scores, scores)
        for average, row, scores in zip(averages(rows, averaging), rows, zero, strict=True)
    ]
    return placings(compared, criteria(rule, 2))


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


PAIRS = st.lists(st.lists(st.integers(0, 6), min_size=2, max_size=2), max_size=8)
WAYS = st.sampled_from(["cut", "round"])


@given(PAIRS, WAYS)
def test_compared_exactly_the_sum_of_both_places_whatever_is_cut(
    rows: list[list[int | None]], averaging: str
) -> None:
    keys = [(sum(row), max(row)) for row in rows]  # type: ignore[arg-type, type-var]
    expected = [1 + sum(other > own for other in keys) for own in keys]
    assert places(rows, averaging, EXACT) == expected


@given(PAIRS, WAYS, st.sampled_from([RULES["two vaults"], EXACT]), st.data())
def test_a_higher_vault_never_costs_a_place(
    rows: list[list[int | None]], averaging: str, rule: tuple[str, ...], data: st.DataObject
) -> None:
    if not rows:
        return
    row, vault = data.draw(st.integers(0, len(rows) - 1)), data.draw(st.integers(0, 1))
    before = places(rows, averaging, rule)[row]
    mark = rows[row][vault]
    assert mark is not None
    rows[row][vault] = mark + data.draw(st.integers(1, 3))
    after = places(rows, averaging, rule)[row]
    assert before is not None
    assert after is not None
    assert after <= before


@given(PAIRS, WAYS, st.sampled_from([RULES["two vaults"], EXACT]), st.randoms())
def test_the_order_of_the_rows_changes_nothing(
    rows: list[list[int | None]], averaging: str, rule: tuple[str, ...], random: Any
) -> None:
    order = list(range(len(rows)))
    random.shuffle(order)
    before = places(rows, averaging, rule)
    after = places([rows[number] for number in order], averaging, rule)
    assert after == [before[number] for number in order]
