"""How a tie is told apart, criterion by criterion, and the story of it that page and book print."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sheets import RULES, drawn, lines, steps

from resultsgen.rules.criteria import (
    BEST_MARKS,
    BEST_PARTS,
    CRITERIA,
    NO_TOTAL,
    Compared,
    criteria,
    fitting,
    sum_of_best,
)
from resultsgen.rules.placings import placings
from resultsgen.rules.ties import Tie, ties


def story(table: list[Compared], names: tuple[str, ...]) -> tuple[Tie, ...]:
    named = criteria(names, len(table[0].marks))
    return ties(table, placings(table, named), named)


def places(table: list[Compared], *names: str) -> list[int | None]:
    return placings(table, criteria(names, len(table[0].marks)))


def by(name: str, table: list[Compared]) -> list[int | None]:
    """The value of one criterion for each line."""
    criterion = next(one for one in CRITERIA if one.name == name)
    return [criterion.value(line) for line in table]


def best(count: int, table: list[Compared]) -> list[int]:
    return [sum_of_best(line, count) for line in table]


def test_all_around_the_lower_worst_mark_is_ahead() -> None:
    """12 + 14 + 14 + 15 = 13 + 14 + 14 + 14 = 55; the best three are 43 and 42."""
    table = lines([[13000, 14000, 14000, 14000], [12000, 14000, 14000, 15000]])
    assert best(3, table) == [42000, 43000]
    assert places(table, BEST_PARTS) == [2, 1]


def test_all_around_the_best_five_may_be_equal_and_the_best_four_settle_it() -> None:
    """Totals 21; the best five 20 and 20; the best four 18 and 17."""
    table = lines([[1, 2, 4, 4, 5, 5], [1, 3, 4, 4, 4, 5]])
    assert [best(count, table) for count in (6, 5, 4)] == [
        [21, 21], [20, 20], [18, 17],
    ]  # fmt: skip
    (tie,) = story(table, (BEST_PARTS,))
    assert (tie.keys, tie.places) == ((0, 1), (1, 2))
    (step,) = tie.steps
    assert step.criterion.words.format(count=step.criterion.count) == "best 4 apparatus"
    assert step.values == (18, 17)
    assert [before.count for before in step.equal_on] == [5]


def test_all_around_equal_apparatus_go_on_to_e_then_d() -> None:
    """Marks 3 and 3; E 5 + 1 = 6 and 3 + 2 = 5; with equal E, D 4 + 0 and 2 + 3."""
    marks = [[3, 3], [3, 3], [3, 3]]
    e = [[5, 1], [3, 2], [4, 2]]
    d = [[2, 2], [9, 9], [2, 3]]
    assert places(lines(marks, e, d), BEST_PARTS, "total E", "total D") == [2, 3, 1]


def test_apparatus_the_higher_e_is_ahead_then_the_higher_d() -> None:
    """14.000 three times: E 8.5; E 8.4 with D 5.7 (penalty 0.1), E 8.4 with D 5.6."""
    table = lines([[14000], [14000], [14000]], [[8400], [8500], [8400]], [[5600], [5500], [5700]])
    assert places(table, "E", "D") == [3, 1, 2]


def test_two_vaults_the_better_one_is_ahead_against_the_sum_of_e() -> None:
    """13.7 + 12.766 against 13.4 + 13.066: both 26.466; the E of the second is higher."""
    marks = [[13700, 12766], [13400, 13066]]
    e = [[8900, 8766], [9000, 8966]]
    assert [sum(row) for row in marks] == [26466, 26466]
    assert places(lines(marks, e, e), "better vault", "higher E", "higher D") == [1, 2]


def test_two_vaults_the_higher_single_e_may_belong_to_the_lesser_vault() -> None:
    """Better vaults 14 and 14; the highest E is 9.2, on the second vault of the second."""
    marks, e = [[14000, 13000], [14000, 13000]], [[9100, 9000], [8800, 9200]]
    assert places(lines(marks, e, e), "better vault", "higher E") == [2, 1]


def test_the_higher_single_d_comes_last() -> None:
    marks, e, d = [[14000, 13000]] * 2, [[9000, 9000]] * 2, [[5000, 4000], [4600, 5400]]
    assert places(lines(marks, e, d), "better vault", "higher E", "higher D") == [2, 1]


def test_the_all_around_total_settles_an_apparatus_and_none_is_below_any() -> None:
    table = lines([[9000]] * 3, all_around=[36000, None, 0])
    assert places(table, "all-around total") == [1, 3, 2]
    assert by("all-around total", table) == [36000, NO_TOTAL, 0]
    two_ties = lines([[8000]] * 2 + [[9000]] * 2, all_around=[None, 0, None, 0])
    assert places(two_ties, "all-around total") == [4, 3, 2, 1]


def test_the_younger_is_ahead_and_an_unknown_year_settles_nothing() -> None:
    known = lines([[9000]] * 2, birth_year=[2012, 2014])
    assert places(known, "younger") == [2, 1]
    assert places(lines([[9000]] * 2, birth_year=[2012, None]), "younger") == [1, 1]


@pytest.mark.parametrize("name", ["all-around total", "younger"])
def test_a_fact_that_the_list_does_not_hold_settles_nothing(name: str) -> None:
    (tie,) = story(lines([[9000]] * 2), (name,))
    assert tie.places == (1, 1)
    assert tie.unsettled is not None


def test_an_apparatus_that_was_not_done_needs_no_e() -> None:
    """Placed by what there is: 12 alone, or 6 + 6; the E scores there are add up to 8 and 9."""
    parts = lines([[12, None], [6, 6]], [[8, None], [4, 5]])
    both = [line._replace(total=12) for line in parts]
    assert by("total E", both) == [8, 9]


def test_a_missing_e_beside_a_mark_is_unknown() -> None:
    table = lines([[6, 6]], [[4, None]], [[2, None]])
    assert by("total E", table) == [None]
    assert by("higher E", table) == [None]
    assert by("better vault", table) == [6]


def test_lines_that_have_keys_are_told_by_them() -> None:
    """Gymnasts 31 and 12 are tied; the E of the second was worked out, and decided."""
    table = lines([[14], [14], [13]], [[8], [9], [9]])
    table[1] = table[1]._replace(e_worked_out=True)
    named = criteria(("E",), 1)
    (tie,) = ties(table, placings(table, named), named, [31, 12, 5])
    assert (tie.keys, tie.places, tie.worked_out) == ((12, 31), (1, 2), (12,))
    assert tie.steps[0].keys == (12, 31)
    assert ties(table, placings(table, ()), (), [31, 12, 5])[0].worked_out == ()


def test_a_missing_e_leaves_other_ties_as_they_are() -> None:
    """Two ties, at 14 and at 12: in the first an E is missing, in the second 9 is ahead of 8."""
    table = lines([[7, 7]] * 2 + [[6, 6]] * 2, [[8, 8], [8, None], [7, 8], [9, 7]])
    assert by("higher E", table) == [8, None, 8, 9]
    assert places(table, "higher E") == [1, 1, 4, 3]


def test_an_unknown_criterion_is_named() -> None:
    with pytest.raises(KeyError, match="by lot"):
        criteria(("by lot",), 4)


def test_the_falling_series_ends_with_the_best_apparatus() -> None:
    counts = [one.count for one in criteria((BEST_PARTS, "total E"), 4)]
    assert counts == [3, 2, 1, 0]
    assert criteria((BEST_PARTS,), 1) == ()
    names = [one.name for one in criteria(("total E", BEST_PARTS, "total D"), 2)]
    assert names == ["total E", BEST_PARTS, "total D"]
    assert criteria((BEST_PARTS,), 2)[0].words == "best apparatus"
    assert [one.words for one in criteria((BEST_PARTS,), 3)] == [
        "best {count} apparatus",
        "best apparatus",
    ]


def test_what_tells_teams_apart_on_one_apparatus() -> None:
    assert fitting("team-apparatus") == [BEST_MARKS, "total E", "total D"]


def test_every_criterion_has_a_name_of_its_own_and_words() -> None:
    names = [one.name for one in CRITERIA]
    assert len(set(names)) == len(names)
    assert all(one.words for one in CRITERIA)


def test_the_story_of_four_who_are_equal() -> None:
    """One is ahead by E; of the other three one by D; two share the third place."""
    table = lines([[14]] * 4, [[8], [9], [8], [8]], [[5], [5], [6], [5]])
    (tie,) = story(table, ("E", "D"))
    assert (tie.total, tie.keys, tie.places) == (14, (1, 2, 0, 3), (1, 2, 3, 3))
    by_e, by_d = tie.steps
    assert (by_e.criterion.name, by_e.keys, by_e.values) == ("E", (1, 2, 0, 3), (9, 8, 8, 8))
    assert (by_d.criterion.name, by_d.keys, by_d.values) == ("D", (2, 0, 3), (6, 5, 5))
    assert (by_e.equal_on, by_d.equal_on) == ((), ())
    assert tie.asked is True
    assert tie.unsettled is None


def test_the_story_goes_on_with_the_next_criterion_among_those_still_equal() -> None:
    """Totals 40; the best three 35, 33 and 33; of these two the best two are 24 and 23."""
    table = lines([[5, 11, 12, 12], [7, 10, 11, 12], [7, 9, 12, 12]])
    (tie,) = story(table, (BEST_PARTS,))
    assert (tie.keys, tie.places) == ((0, 2, 1), (1, 2, 3))
    assert [(step.criterion.count, step.keys, step.values) for step in tie.steps] == [
        (3, (0, 2, 1), (35, 33, 33)),
        (2, (2, 1), (24, 23)),
    ]


def test_in_a_large_tie_those_still_equal_stay_in_the_order_of_the_list() -> None:
    many = range(60)
    (tie,) = story(lines([[14]] * 60, [[8 + number % 2] for number in many]), ("E",))
    (step,) = tie.steps
    assert step.keys == tie.keys == (*many[1::2], *many[::2])


def test_the_story_ends_where_a_value_is_not_given() -> None:
    table = lines([[14], [14]], [[8], [None]], [[5], [6]])
    (tie,) = story(table, ("E", "D"))
    assert tie.places == (1, 1)
    assert tie.unsettled is not None
    assert tie.unsettled.criterion.name == "E"
    assert tie.unsettled.values == (8, None)


def test_the_story_says_on_what_they_were_equal_before_a_value_is_not_given() -> None:
    (tie,) = story(lines([[14], [14]], [[8], [8]], [[5], [None]]), ("E", "D"))
    assert tie.unsettled is not None
    assert tie.unsettled.criterion.name == "D"
    assert [one.name for one in tie.unsettled.equal_on] == ["E"]


def test_a_tie_without_a_criterion_has_no_steps() -> None:
    (tie,) = story(lines([[14], [14], [13]]), ())
    assert (tie.keys, tie.places, tie.steps, tie.asked) == ((0, 1), (1, 1), (), False)


def test_a_tie_on_nothing_is_one_as_any_other() -> None:
    (tie,) = story(lines([[0], [0], [14]]), ())
    assert (tie.total, tie.places, tie.shared) == (0, (2, 2), True)
    (apart,) = story(lines([[14], [14]], [[8], [9]]), ("E",))
    assert apart.shared is False


def test_who_has_no_total_is_in_no_tie() -> None:
    assert story(lines([[None], [None], [14]]), ()) == ()


def test_the_ties_stand_in_order_of_place() -> None:
    found = story(lines([[7], [9], [7], [9], [8]]), ())
    assert [(tie.total, tie.places) for tie in found] == [(9, (1, 1)), (7, (4, 4))]


@given(drawn(width=4))
def test_the_cascade_is_dropping_the_lowest_mark_again_and_again(
    table: dict[str, list[Any]],
) -> None:
    """Who is ahead in all-around is told by a sort that knows nothing of sums of the best."""
    found = lines(**table)
    rows = range(len(table["marks"]))

    def ahead(one: int, other: int) -> bool:
        a, b = sorted(table["marks"][one]), sorted(table["marks"][other])
        while a and sum(a) == sum(b):
            del a[0], b[0]
        return sum(a) > sum(b)

    expected = [1 + sum(ahead(other, one) for other in rows) for one in rows]
    assert placings(found, steps("team", 4)) == expected


@given(drawn(width=4, gaps=True), st.sampled_from(sorted(RULES)))
def test_the_story_agrees_with_the_places(table: dict[str, list[Any]], rule: str) -> None:
    """Each pair of a tie is told apart by exactly one step, or shares the place."""
    compared = lines(**table)
    found = placings(compared, steps(rule, 4))
    told = ties(compared, found, steps(rule, 4))
    for tie in told:
        assert list(tie.places) == sorted(tie.places)
        assert [found[row] for row in tie.keys] == list(tie.places)
        for one, place in zip(tie.keys, tie.places, strict=True):
            for other, its in zip(tie.keys, tie.places, strict=True):
                apart = [step for step in tie.steps if settles(step, one, other)]
                assert len(apart) == (place < its)
    in_ties = {row for tie in told for row in tie.keys}
    totals = [line.total for line in compared]
    assert in_ties == {
        row for row, total in enumerate(totals) if total is not None and totals.count(total) > 1
    }


def settles(step: Any, one: int, other: int) -> bool:
    """Whether a step puts *one* ahead of *other*; a step with an unknown value puts nobody."""
    value = dict(zip(step.keys, step.values, strict=True))
    if step.unknown or one not in value or other not in value:
        return False
    return bool(value[one] > value[other])
