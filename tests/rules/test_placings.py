"""Places are given 1, 2, 2, 4; ahead is who has more, and among equals whom the criteria name."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sheets import RULES, drawn, lines, steps, taken

from resultsgen.rules.criteria import Compared, Criterion
from resultsgen.rules.placings import placings

RULE = st.sampled_from(sorted(RULES))
WIDTH = 4


def places(table: dict[str, list[Any]], rule: str) -> list[int | None]:
    return placings(lines(**table), steps(rule, WIDTH))


def test_a_shared_place_uses_up_the_next() -> None:
    assert places({"marks": [[9], [8], [8], [7]]}, "shared") == [1, 2, 2, 4]


def test_three_may_share_and_the_next_is_sixth() -> None:
    assert places({"marks": [[9], [8], [7], [7], [7], [6]]}, "shared") == [1, 2, 3, 3, 3, 6]


def test_nothing_to_place() -> None:
    assert places({"marks": []}, "all-around") == []


def test_nobody_has_a_total() -> None:
    assert places({"marks": [[None], [None]]}, "all-around") == [None, None]


def test_a_mark_of_nothing_is_placed_and_no_mark_is_not() -> None:
    assert places({"marks": [[0], [None], [13700]]}, "shared") == [2, None, 1]


def test_a_part_without_a_mark_weighs_as_much_as_0_000() -> None:
    """Where a list is placed by what there is: 15.000 on two apparatus, the third missing or 0."""
    table = lines([[10000, 5000, None], [10000, 5000, 0], [9000, 6000, None]])
    by_what_there_is = [line._replace(total=15000) for line in table]
    assert placings(by_what_there_is, steps("team", 4)) == [1, 1, 3]


def test_criteria_are_asked_only_of_those_who_are_tied() -> None:
    """Four lines, two of them equal by total, and these told apart by the first criterion."""
    asked: list[tuple[str, Compared]] = []

    def criterion(name: str) -> Criterion:
        def value(line: Compared) -> int | None:
            asked.append((name, line))
            return line.e[0]

        return Criterion(name, name, value, ())

    table = lines([[9], [8], [8], [None]], [[1], [2], [3], [4]])
    assert placings(table, [criterion("first"), criterion("second")]) == [1, 3, 2, None]
    assert asked == [("first", table[1]), ("first", table[2])]


def test_three_thousandths_apart_are_apart() -> None:
    """As floats 13.165 + 14.2 + 13.5 + 13.4 is less than 13.265 + 14.1 + 13.5 + 13.4."""
    marks = [[13165, 14200, 13500, 13400], [13265, 14100, 13500, 13400]]
    assert [sum(row) for row in marks] == [54265, 54265]
    assert places({"marks": marks}, "shared") == [1, 1]


@given(drawn(width=WIDTH, gaps=True))
def test_without_criteria_places_are_those_of_scipy(table: dict[str, list[Any]]) -> None:
    from scipy.stats import rankdata

    totals = [None if None in row else sum(row) for row in table["marks"]]
    ranked = [-total for total in totals if total is not None]
    expected = iter(rankdata(ranked, method="min").astype(int).tolist())
    by_scipy = [None if total is None else next(expected) for total in totals]
    assert places(table, "shared") == by_scipy


@given(drawn(width=WIDTH, gaps=True), RULE, st.randoms())
def test_the_order_of_the_rows_changes_nothing(
    table: dict[str, list[Any]], rule: str, random: Any
) -> None:
    order = list(range(len(table["marks"])))
    random.shuffle(order)
    before = places(table, rule)
    assert places(taken(table, order), rule) == [before[number] for number in order]


@given(drawn(width=WIDTH), RULE)
def test_a_place_is_one_more_than_the_number_ahead(table: dict[str, list[Any]], rule: str) -> None:
    keys = [key(table, number, rule) for number in range(len(table["marks"]))]
    assert places(table, rule) == [1 + sum(other > own for other in keys) for own in keys]


def key(table: dict[str, list[Any]], row: int, rule: str) -> tuple[int, ...]:
    """What a gymnast is compared by, written out anew: the marks, dropping the lowest each time."""
    marks, e, d = (table[name][row] for name in ("marks", "e", "d"))
    falling = []
    left = sorted(marks)
    while left:
        left.pop(0)
        falling.append(sum(left))
    return (sum(marks), *{
        "shared": [],
        "team": falling,
        "all-around": [*falling, sum(e), sum(d)],
        "apparatus": [sum(e), sum(d)],
        "two vaults": [max(marks), max(e), max(d)],
        "E": [sum(e)], "total E": [sum(e)], "higher E": [max(e)],
        "D": [sum(d)], "total D": [sum(d)], "higher D": [max(d)],
        "better vault": [max(marks)], "sum of both vaults": [],
        "all-around total": [table["all_around"][row]], "younger": [table["birth_year"][row]],
    }[rule])  # fmt: skip


@given(drawn(width=WIDTH), st.data())
def test_one_mark_more_never_costs_a_place(
    table: dict[str, list[Any]], data: st.DataObject
) -> None:
    """The mark may rise by its E or by its D; both rise with it."""
    if not table["marks"]:
        return
    row = data.draw(st.integers(0, len(table["marks"]) - 1))
    part = data.draw(st.integers(0, WIDTH - 1))
    raised_by = data.draw(st.sampled_from(["e", "d"]))
    rule = data.draw(RULE)
    before = places(table, rule)[row]
    better = deepcopy(table)
    for name in ("marks", raised_by):
        better[name][row][part] += data.draw(st.integers(1, 3)) if name == "marks" else 1
    after = places(better, rule)[row]
    assert before is not None
    assert after is not None
    assert after <= before


@given(drawn(width=WIDTH), RULE)
def test_a_shared_place_means_equal_in_everything(table: dict[str, list[Any]], rule: str) -> None:
    found = places(table, rule)
    for one in range(len(found)):
        for other in range(len(found)):
            equal = key(table, one, rule) == key(table, other, rule)
            assert (found[one] == found[other]) == equal


@given(drawn(width=WIDTH, gaps=True), RULE)
def test_who_has_no_total_changes_nobodys_place(table: dict[str, list[Any]], rule: str) -> None:
    ranked = [number for number, row in enumerate(table["marks"]) if None not in row]
    before = places(table, rule)
    assert places(taken(table, ranked), rule) == [before[number] for number in ranked]


@pytest.mark.parametrize("lacking", [0, 1])
def test_a_tie_that_needs_an_e_which_is_not_given_is_shared(lacking: int) -> None:
    """14.000 twice; one E is not known, so neither E nor D can settle it."""
    e: list[list[int | None]] = [[8500], [8400]]
    e[lacking] = [None]
    table = {"marks": [[14000], [14000]], "e": e, "d": [[5500], [5600]]}
    assert places(table, "apparatus") == [1, 1]


def test_one_unknown_e_of_three_lets_all_three_share() -> None:
    """8.500 and 8.400 are known, the third might be above, between or below."""
    table: dict[str, list[Any]] = {
        "marks": [[14000]] * 3,
        "e": [[8400], [8500], [None]],
        "d": [[5600]] * 3,
    }
    assert places(table, "apparatus") == [1, 1, 1]


def test_an_unknown_e_shares_the_place_only_among_its_equals() -> None:
    """Two pairs are tied; of the lower pair one E is not known, the upper pair is settled."""
    marks = [[14000], [14000], [13000], [13000]]
    e: list[list[int | None]] = [[8500], [8600], [None], [8100]]
    d: list[list[int | None]] = [[5500], [5400], [5000], [4900]]
    assert places({"marks": marks, "e": e, "d": d}, "apparatus") == [2, 1, 3, 3]


def test_an_unknown_e_is_not_asked_for_where_the_marks_settle_it() -> None:
    """53.632 twice; the best three are 41.132 and 40.632, and no E is known at all."""
    marks = [[12500, 13700, 13700, 13732], [13000, 13600, 13500, 13532]]
    assert [sum(row) for row in marks] == [53632, 53632]
    assert [sum(row) - min(row) for row in marks] == [41132, 40632]
    assert places({"marks": marks}, "all-around") == [1, 2]
