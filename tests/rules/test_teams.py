"""A team adds its best C marks on each apparatus and takes its penalty off the sum."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import pandas as pd
from hypothesis import given
from hypothesis import strategies as st
from sheets import integers, steps

from resultsgen.rules.criteria import Sheet
from resultsgen.rules.placings import placings
from resultsgen.rules.teams import apparatus_totals, counting, counting_marks, team_totals

Marks = list[list[int | None]]
ROW = st.lists(st.integers(0, 4) | st.none(), min_size=2, max_size=2)
TEAMS = st.lists(st.tuples(st.sampled_from(["North", "South", None]), ROW), max_size=9)


def team_column(names: list[str | None]) -> pd.Series[Any]:
    return pd.Series([pd.NA if name is None else name for name in names], dtype="object")


def judged(
    names: list[str | None], marks: Marks, count: int, penalties: dict[str, int] | None = None
) -> tuple[pd.DataFrame, pd.DataFrame, pd.Series[int]]:
    """Which marks count, the totals on each apparatus, the team totals."""
    table, team = integers(marks, len(marks[0]) if marks else 2), team_column(names)
    counts = counting(table, team, count)
    parts = apparatus_totals(table, team, counts)
    taken = pd.Series(penalties or {}, dtype="Int64")
    return counts, parts, team_totals(parts, taken)


def test_dropping_is_per_apparatus_not_per_gymnast() -> None:
    """Three of four count: 13 + 12 + 11 = 36 and 14 + 13 + 12 = 39; each drops another."""
    marks: Marks = [[13000, 9000], [12000, 14000], [11000, 13000], [10000, 12000]]
    counts, parts, sums = judged(["North"] * 4, marks, 3)
    assert counts[0].to_list() == [True, True, True, False]
    assert counts[1].to_list() == [False, True, True, True]
    assert parts.loc["North"].to_list() == [36000, 39000]
    assert sums["North"] == 75000


def test_too_few_marks_add_up_what_there_is() -> None:
    """Two marks where three count: 12.333 + 12.033 = 24.366"""
    _, parts, sums = judged(["North"] * 2, [[12333, None], [12033, None]], 3)
    assert parts.loc["North"].to_list() == [24366, pd.NA]
    assert sums["North"] == 24366


def test_a_mark_of_nothing_counts_and_no_mark_does_not() -> None:
    counts, parts, _ = judged(["North"] * 3, [[0], [None], [None]], 3)
    assert counts[0].to_list() == [True, False, False]
    assert parts.loc["North", 0] == 0


def test_a_team_without_any_mark_has_no_total() -> None:
    _, _, sums = judged(["North", "South"], [[12000], [None]], 3, {"South": 300})
    assert sums["North"] == 12000
    assert pd.isna(sums["South"])


def test_the_penalty_is_taken_from_the_team_and_none_named_is_none() -> None:
    """223.767 - 1.000 = 222.767; the other team is named nowhere."""
    names: list[str | None] = ["North", "South"]
    _, _, sums = judged(names, [[223767], [222799]], 3, {"North": 1000})
    assert sums.to_dict() == {"North": 222767, "South": 222799}
    assert str(sums.dtype) == "Int64"


def test_a_penalty_of_a_team_that_is_not_there_adds_no_team() -> None:
    _, _, sums = judged(["North"], [[12000]], 3, {"West": 1000})
    assert sums.to_dict() == {"North": 12000}


def test_of_two_equal_marks_on_the_line_the_earlier_counts() -> None:
    counts, _, _ = judged(["North"] * 4, [[12000], [13000], [12000], [12000]], 2)
    assert counts[0].to_list() == [True, True, False, False]


def test_in_a_list_of_many_the_earlier_of_equals_counts_as_well() -> None:
    """Thirty of each of two teams, with 9 and 8 in turn: the first three with 9 of each."""
    names: list[str | None] = ["North", "South"] * 30
    marks = (
        integers([[9, 9], [9, 9], [8, 8], [8, 8]] * 15, 2)
        .set_axis(range(100, 160), axis=0)
        .set_axis(["UB", "BB"], axis=1)
    )
    team = team_column(names).set_axis(marks.index)
    counts = counting(marks, team, 3)
    assert [number for number in counts.index if counts.loc[number, "UB"]] == [
        100,
        101,
        104,
        105,
        108,
        109,
    ]
    assert counts["BB"].equals(counts["UB"].rename("BB"))


def test_who_is_in_no_team_counts_for_none() -> None:
    counts, parts, _ = judged([None, "North"], [[15000], [12000]], 3)
    assert counts[0].to_list() == [False, True]
    assert parts.index.to_list() == ["North"]


def test_nobody_is_in_a_team() -> None:
    counts, parts, sums = judged([None, None], [[15000], [12000]], 3)
    assert not counts.to_numpy().any()
    assert len(parts) == len(sums) == 0


def test_the_counting_marks_stand_best_first_and_their_scores_beside_them() -> None:
    """North counts 14 and 13 of four, South one alone; of equal marks the earlier stands first."""
    team = team_column(["South", "North", "North", "North", None, "North"])
    marks = integers([[12], [13], [9], [14], [15], [13]], 1)[0]
    e = integers([[7], [8], [6], [9], [9], [5]], 1)[0]
    counts = counting(marks.to_frame(), team, 3)[0]
    found = counting_marks(marks, marks, team, counts)
    assert {name: found.loc[name].to_list() for name in found.index} == {
        "North": [14, 13, 13],
        "South": [12, pd.NA, pd.NA],
    }
    assert counting_marks(e, marks, team, counts).loc["North"].to_list() == [9, 8, 5]
    assert [(name, str(kind)) for name, kind in found.dtypes.items()] == [
        (0, "Int64"),
        (1, "Int64"),
        (2, "Int64"),
    ]


def test_a_tie_of_teams_drops_the_lowest_apparatus_total() -> None:
    """40 + 42 + 41 = 39 + 42 + 42 = 123; the best two are 83 and 84."""
    parts = integers([[40, 42, 41], [39, 42, 42]], 3)
    nothing = parts.mask(parts.notna())
    sums = parts.sum(axis=1).astype("Int64")
    assert placings(Sheet(sums, parts, nothing, nothing), steps("team", 3)).to_list() == [2, 1]


@given(TEAMS, st.integers(1, 4))
def test_no_other_choice_of_marks_gives_a_team_more(
    rows: list[tuple[str | None, list[int | None]]], count: int
) -> None:
    """The apparatus total is the most that any C marks of the team on it add up to."""
    names, marks = [name for name, _ in rows], [row for _, row in rows]
    counts, parts, sums = judged(names, marks, count)
    for name in parts.index:
        for apparatus in parts.columns:
            own = [row[apparatus] for team, row in rows if team == name]
            there = [mark for mark in own if mark is not None]
            size = min(count, len(there))
            most = max((sum(some) for some in combinations(there, size)), default=0)
            total = parts.loc[name, apparatus]
            assert pd.isna(total) if not there else total == most
            assert counts[apparatus][team_column(names) == name].sum() == size
    assert sums.fillna(0).to_list() == parts.fillna(0).sum(axis=1).to_list()


@given(TEAMS, st.integers(1, 4), st.randoms())
def test_the_order_of_the_gymnasts_changes_no_total(
    rows: list[tuple[str | None, list[int | None]]], count: int, random: Any
) -> None:
    mixed = list(rows)
    random.shuffle(mixed)
    totals = [
        judged([name for name, _ in some], [row for _, row in some], count)[2].to_dict()
        for some in (rows, mixed)
    ]
    assert str(totals[0]) == str(totals[1])


@given(TEAMS, st.integers(1, 4), st.data())
def test_a_higher_mark_never_costs_the_team(
    rows: list[tuple[str | None, list[int | None]]], count: int, data: st.DataObject
) -> None:
    if not rows:
        return
    number = data.draw(st.integers(0, len(rows) - 1))
    name, row = rows[number]
    if name is None or row[0] is None:
        return
    better = [list(cells) for _, cells in rows]
    better[number][0] = row[0] + 1
    names = [team for team, _ in rows]
    before = judged(names, [cells for _, cells in rows], count)[2]
    after = judged(names, better, count)[2]
    assert after[name] >= before[name]
    assert after.drop(name).equals(before.drop(name))
