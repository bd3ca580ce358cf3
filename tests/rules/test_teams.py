"""A team adds its best C marks on each apparatus and takes its penalty off the sum."""

from __future__ import annotations

from itertools import combinations
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from sheets import steps

from resultsgen.rules.criteria import Compared
from resultsgen.rules.placings import placings
from resultsgen.rules.totals import counting, team_total, total

Marks = list[list[int | None]]
ROW = st.lists(st.integers(0, 4) | st.none(), min_size=2, max_size=2)
TEAM = st.lists(ROW, min_size=1, max_size=9)


def judged(
    marks: Marks, count: int, penalty: int = 0
) -> tuple[list[list[bool]], list[int | None], int | None]:
    """Whether each mark counts and the total, apparatus by apparatus; the total of the team."""
    columns = [list(column) for column in zip(*marks, strict=True)]
    found = [counting(column, count) for column in columns]
    parts = [
        total([column[row] for row in rows], "placed by what there is")
        for column, rows in zip(columns, found, strict=True)
    ]
    counts = [[row in rows for row in range(len(marks))] for rows in found]
    return counts, parts, team_total(parts, penalty)


def test_dropping_is_per_apparatus_not_per_gymnast() -> None:
    """Three of four count: 13 + 12 + 11 = 36 and 14 + 13 + 12 = 39; each drops another."""
    marks: Marks = [[13000, 9000], [12000, 14000], [11000, 13000], [10000, 12000]]
    counts, parts, whole = judged(marks, 3)
    assert counts[0] == [True, True, True, False]
    assert counts[1] == [False, True, True, True]
    assert parts == [36000, 39000]
    assert whole == 75000


def test_too_few_marks_add_up_what_there_is() -> None:
    """Two marks where three count: 12.333 + 12.033 = 24.366"""
    _, parts, whole = judged([[12333, None], [12033, None]], 3)
    assert parts == [24366, None]
    assert whole == 24366


def test_a_mark_of_nothing_counts_and_no_mark_does_not() -> None:
    counts, parts, _ = judged([[0], [None], [None]], 3)
    assert counts[0] == [True, False, False]
    assert parts == [0]


def test_a_team_without_any_mark_has_no_total() -> None:
    assert judged([[12000]], 3)[2] == 12000
    assert judged([[None]], 3, penalty=300)[2] is None


def test_the_penalty_is_taken_from_the_team() -> None:
    """223.767 - 1.000 = 222.767"""
    assert judged([[223767]], 3, penalty=1000)[2] == 222767
    assert judged([[222799]], 3)[2] == 222799


def test_of_two_equal_marks_on_the_line_the_earlier_counts() -> None:
    counts, _, _ = judged([[12000], [13000], [12000], [12000]], 2)
    assert counts[0] == [True, True, False, False]


def test_among_many_the_earlier_of_equals_counts_as_well() -> None:
    """Thirty with 9 and 8 in turn: the first three with 9."""
    counts, _, _ = judged([[9, 9], [8, 8]] * 15, 3)
    assert [row for row, counted in enumerate(counts[0]) if counted] == [0, 2, 4]
    assert counts[1] == counts[0]


def test_the_counting_marks_stand_best_first() -> None:
    """14, 13 and 13 of 13, 9, 14 and 13: of equal marks the earlier stands first."""
    assert counting([13, 9, 14, 13], 3) == [2, 0, 3]
    assert counting([None, 12], 3) == [1]


def test_a_tie_of_teams_drops_the_lowest_apparatus_total() -> None:
    """40 + 42 + 41 = 39 + 42 + 42 = 123; the best two are 83 and 84."""
    lines = [Compared(123, (40, 42, 41)), Compared(123, (39, 42, 42))]
    assert placings(lines, steps("team", 3)) == [2, 1]


@given(TEAM, st.integers(1, 4))
def test_no_other_choice_of_marks_gives_a_team_more(marks: Marks, count: int) -> None:
    """The apparatus total is the most that any C marks of the team on it add up to."""
    counts, parts, whole = judged(marks, count)
    for apparatus in range(2):
        there = [row[apparatus] for row in marks if row[apparatus] is not None]
        size = min(count, len(there))
        most = max((sum(some) for some in combinations(there, size)), default=0)
        assert parts[apparatus] == (most if there else None)
        assert sum(counts[apparatus]) == size
    assert (whole or 0) == sum(part or 0 for part in parts)


@given(TEAM, st.integers(1, 4), st.randoms())
def test_the_order_of_the_gymnasts_changes_no_total(marks: Marks, count: int, random: Any) -> None:
    mixed = list(marks)
    random.shuffle(mixed)
    assert judged(mixed, count)[1:] == judged(marks, count)[1:]


@given(TEAM, st.integers(1, 4), st.data())
def test_a_higher_mark_never_costs_the_team(marks: Marks, count: int, data: st.DataObject) -> None:
    number = data.draw(st.integers(0, len(marks) - 1))
    mark = marks[number][0]
    if mark is None:
        return
    better = [list(row) for row in marks]
    better[number][0] = mark + 1
    before, after = judged(marks, count)[2], judged(better, count)[2]
    assert before is not None
    assert after is not None
    assert after >= before
