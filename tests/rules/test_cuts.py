"""Who qualifies: the walk down the list, its cap, its ties, its reserves, and what it says."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import groupby
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from resultsgen.rules.cuts import Candidate, Quota, Verdict, share, verdicts


def candidates(text: str) -> list[Candidate]:
    """A list written as '1 NOR, 2 SUD, 2 NOR': place and body; '-' for no place, '*' a guest."""
    found = []
    for number, one in enumerate(text.split(", ")):
        place, _, body = one.partition(" ")
        ranked = place.isdigit()
        total = 60000 - 1000 * int(place) if ranked else None
        found.append(
            Candidate(number, int(place) if ranked else None, total, body, guest=place == "*")
        )
    return found


def outcomes(text: str, line: Quota) -> str:
    """The verdicts as a paper prints them, with a word for those who get nothing."""
    words = {"qualified": "Q", "capped": "cap", "below minimum": "low", "beyond": "."}
    return " ".join(
        f"R{one.number}" if one.outcome == "reserve" else words.get(one.outcome, one.outcome)
        for one in verdicts(candidates(text), line)
    )


def test_places_then_reserves_then_nothing() -> None:
    assert outcomes("1 A, 2 B, 3 C, 4 D, 5 E", Quota(2, 2)) == "Q Q R1 R2 ."


def test_the_third_of_a_federation_is_kept_out() -> None:
    assert outcomes("1 A, 2 A, 3 A, 4 B", Quota(3, 0, 2)) == "Q Q cap Q"


def test_the_cap_counts_qualifiers_and_reserves_together() -> None:
    """A has one through and one reserve: its third is no reserve; B is."""
    assert outcomes("1 A, 2 B, 3 A, 4 A, 5 B, 6 C", Quota(2, 3, 2)) == "Q Q R1 cap R2 R3"


def test_the_reason_names_those_who_fill_the_cap() -> None:
    found = verdicts(candidates("1 A, 2 B, 3 A, 4 A"), Quota(3, 1, 2))
    assert found[3] == Verdict(3, "capped", ahead=(0, 2))


def test_a_tie_on_the_last_place_lets_all_in_and_reserves_stay_as_many() -> None:
    assert outcomes("1 A, 2 B, 2 C, 2 D, 5 E, 6 F", Quota(2, 1)) == "Q Q Q Q R1 ."


def test_a_tie_before_the_last_place_adds_nobody() -> None:
    assert outcomes("1 A, 1 B, 3 C, 4 D", Quota(3, 0)) == "Q Q Q ."


def test_a_tie_on_the_last_place_may_be_left_to_the_order_of_the_list() -> None:
    line = Quota(2, 1, ties_qualify=False)
    assert outcomes("1 A, 2 B, 2 C, 2 D", line) == "Q Q R1 R1"
    found = verdicts(candidates("1 A, 2 B, 2 C, 2 D"), line)
    assert [one.by_order for one in found] == [False, True, True, True]


def test_tied_on_the_last_place_but_third_of_the_federation_is_kept_out() -> None:
    """The tie would let her in; the cap does not, and that is the reason told."""
    assert outcomes("1 A, 2 A, 3 B, 3 A", Quota(3, 0, 2)) == "Q Q Q cap"


def test_of_all_who_share_the_last_place_it_is_told_where_they_are_more_than_places() -> None:
    found = verdicts(candidates("1 A, 2 B, 2 C, 4 D"), Quota(2, 1))
    assert [one.by_tie for one in found] == [False, True, True, False]
    found = verdicts(candidates("1 A, 2 B, 2 C, 4 D"), Quota(3, 1))
    assert not any(one.by_tie for one in found)
    # The second of A shares the place and is not eligible.
    found = verdicts(candidates("1 A, 2 B, 2 C, 2 A"), Quota(2, 0, 1))
    assert [one.by_tie for one in found] == [False, True, True, False]


def test_without_a_place_on_the_list_nobody_goes_through_whatever_the_total() -> None:
    found = verdicts([Candidate(9, None, 59000, "A"), *candidates("1 B")], Quota(1))
    assert [one.outcome for one in found] == ["unranked", "qualified"]


def test_the_tie_on_the_last_place_counts_from_the_last_who_went_through() -> None:
    """Place 3 is A's third: not eligible. The last place goes to 4, which two share."""
    assert outcomes("1 A, 2 A, 3 A, 4 B, 4 C, 6 D", Quota(3, 1, 2)) == "Q Q cap Q Q R1"


def test_reserves_who_share_a_place_share_the_number() -> None:
    """As a European paper of 2023 prints them: R1 R1 R3."""
    found = verdicts(candidates("1 A, 2 B, 2 C, 4 D"), Quota(1, 3))
    assert [one.number for one in found] == [1, 1, 1, 3]
    assert [one.level for one in found] == [(), (2,), (1,), ()]
    assert not any(one.by_order or one.by_jury for one in found)
    assert outcomes("1 A, 2 B, 3 C, 3 D, 3 E, 6 F", Quota(1, 2)) == "Q R1 R2 R2 R2 ."


def test_the_jury_may_put_equal_reserves_in_order() -> None:
    """As an Asian paper of 2023 prints them: R2 R3; of three the last then stands by no more."""
    line = Quota(1, 2, order=(2, 1))
    found = verdicts(candidates("1 A, 2 B, 2 C, 4 D"), line)
    assert [one.number for one in found] == [1, 2, 1, 0]
    assert [one.by_jury for one in found] == [False, True, True, False]
    assert not any(one.by_order or one.level for one in found)
    assert outcomes("1 A, 2 B, 2 C, 2 D", replace(line, order=(3, 1, 2))) == "Q R2 . R1"


def test_an_order_of_some_of_the_equals_alone_decides_nothing() -> None:
    assert outcomes("1 A, 2 B, 2 C, 2 D", Quota(1, 3, order=(2, 1))) == "Q R1 R1 R1"


def test_the_jury_decides_between_team_mates_as_well() -> None:
    found = verdicts(candidates("1 A, 2 A, 2 A, 4 B"), Quota(3, 0, 2, order=(2, 1)))
    assert [one.outcome for one in found] == ["qualified", "capped", "qualified", "qualified"]
    assert [one.by_jury for one in found] == [False, True, True, False]
    assert found[1].ahead == (0, 2)


def test_the_jury_decides_between_team_mates_of_whom_one_may_stand_by() -> None:
    found = verdicts(candidates("1 A, 2 A, 2 A, 4 B"), Quota(1, 2, 2, order=(2, 1)))
    assert [one.outcome for one in found] == ["qualified", "capped", "reserve", "reserve"]
    assert [one.by_jury for one in found] == [False, True, True, False]


def test_team_mates_who_share_a_place_where_the_cap_has_room_for_one() -> None:
    found = verdicts(candidates("1 A, 2 A, 2 A, 4 B"), Quota(3, 0, 2))
    assert [one.outcome for one in found] == ["qualified", "qualified", "capped", "qualified"]
    assert [one.by_order for one in found] == [False, True, True, False]


def test_team_mates_who_share_a_place_where_one_is_reserve_and_one_too_many() -> None:
    found = verdicts(candidates("1 A, 2 A, 2 A"), Quota(1, 2, 2))
    assert [one.outcome for one in found] == ["qualified", "reserve", "reserve"]
    assert [one.level for one in found] == [(), (2,), (1,)]
    assert outcomes("1 A, 2 A, 2 A, 4 B", Quota(1, 2, 2)) == "Q R1 R1 R2"
    assert outcomes("1 A, 2 A, 2 A, 4 B", Quota(1, 2, 2, order=(2, 1))) == "Q cap R1 R2"


def test_kept_out_beside_somebody_of_another_federation_is_no_matter_of_order() -> None:
    found = verdicts(candidates("1 A, 2 A, 3 B, 3 A"), Quota(3, 0, 2))
    assert not any(one.by_order for one in found)


def test_over_the_cap_beside_the_last_reserve_the_cap_is_the_reason() -> None:
    """Whether she stands before or after the last reserve of her own place on the list."""
    assert outcomes("1 A, 2 A, 2 B, 4 A", Quota(1, 1, 1)) == "Q cap R1 ."
    assert outcomes("1 A, 2 B, 2 A, 4 A", Quota(1, 1, 1)) == "Q R1 cap ."


def test_without_a_body_there_is_no_cap() -> None:
    assert outcomes("1 , 2 , 3 ", Quota(3, 0, 1)) == "Q Q Q"


def test_a_cap_of_nothing_is_no_cap() -> None:
    assert outcomes("1 A, 2 A, 3 A", Quota(3, 0, 0)) == "Q Q Q"


def test_guests_and_those_without_a_place_take_no_place_of_the_cut() -> None:
    assert outcomes("1 A, * A, 2 A, - A, - B", Quota(2, 1, 2)) == "Q guest Q unranked unranked"


def test_below_the_minimum_nobody_qualifies_and_the_minimum_itself_does() -> None:
    assert outcomes("1 A, 2 B, 3 C", Quota(3, 1, minimum=58000)) == "Q Q low"


def test_below_the_minimum_nobody_fills_the_cap() -> None:
    low_first = [replace(one, total=0) if one.key == 0 else one for one in candidates("1 A, 2 A")]
    found = verdicts(low_first, Quota(1, 0, 1, minimum=1))
    assert [one.outcome for one in found] == ["below minimum", "qualified"]


def test_nobody_at_all() -> None:
    assert verdicts([], Quota(8, 3, 2)) == ()


def test_a_team_mate_kept_out_is_the_one_who_replaces_a_withdrawn_qualifier() -> None:
    """Without the first of A, its third qualifies, ahead of R1; else R1 would."""
    rows = candidates("1 A, 2 A, 3 A, 4 B, 5 C")
    line = Quota(3, 1, 2)
    assert [one.outcome for one in verdicts(rows, line)][2] == "capped"
    again = {one.key: one.outcome for one in verdicts(rows[1:], line)}
    assert again == {1: "qualified", 2: "qualified", 3: "qualified", 4: "reserve"}


def test_the_cap_may_count_the_qualifiers_alone() -> None:
    """A's third is not eligible before the last place; its fourth comes after it and is reserve."""
    line = Quota(3, 2, 2, reserves_count=False)
    assert outcomes("1 A, 2 A, 3 A, 4 B, 5 A, 6 B", line) == "Q Q cap Q R1 R2"


def test_reserves_who_do_not_count_fill_no_cap() -> None:
    assert outcomes("1 A, 2 B, 3 B, 4 B", Quota(1, 2, 1, reserves_count=False)) == "Q R1 R2 ."


def test_where_reserves_do_not_count_team_mates_of_the_last_qualifier_may_all_stand_by() -> None:
    line = Quota(2, 2, 2, ties_qualify=False, reserves_count=False)
    assert outcomes("1 B, 2 A, 2 A, 2 A", line) == "Q Q R1 R1"


def test_beside_the_last_qualifier_the_cap_is_the_reason_whatever_the_order() -> None:
    line = Quota(2, 1, 1, ties_qualify=False, reserves_count=False)
    assert outcomes("1 A, 1 A, 3 B, 3 A, 3 A", line) == "Q cap Q cap cap"
    assert outcomes("1 A, 1 A, 3 A, 3 A, 3 B", line) == "Q cap cap cap Q"


def test_team_mates_who_are_kept_out_alike_are_no_matter_of_order() -> None:
    found = verdicts(candidates("1 A, 2 A, 2 A, 4 B"), Quota(3, 0, 1))
    assert [one.outcome for one in found] == ["qualified", "capped", "capped", "qualified"]
    assert not any(one.by_order for one in found)


def test_those_who_fare_alike_are_no_matter_of_order() -> None:
    found = verdicts(candidates("1 A, 1 B, 3 C, 4 D, 4 E"), Quota(3))
    assert [one.outcome for one in found] == ["qualified"] * 3 + ["beyond"] * 2
    assert not any(one.by_order for one in found)


def test_kept_out_or_beyond_is_no_matter_of_order() -> None:
    """Neither qualifies, whoever stands first."""
    line = Quota(2, 0, 1, ties_qualify=False)
    found = verdicts(candidates("1 A, 2 B, 2 A, 2 C"), line)
    assert [one.outcome for one in found] == ["qualified", "qualified", "capped", "beyond"]
    assert [one.by_order for one in found] == [False, True, False, True]


def test_a_line_of_places_alone() -> None:
    """No reserves, no cap, no minimum; ties qualify."""
    assert Quota(8) == Quota(8, 0, 0, None, True, True, False)


def test_so_many_of_each_body_with_reserves_of_its_own() -> None:
    line = Quota(1, 1, of_each=True)
    assert outcomes("1 A, 2 A, 3 A, 4 B, 5 , 6 B, - C", line) == "Q R1 cap Q no body R1 unranked"


def test_beyond_the_places_of_a_body_qualifier_and_reserve_are_the_reason() -> None:
    found = verdicts(candidates("1 A, 2 A, 3 , 4 A"), Quota(1, 1, of_each=True))
    assert found[2:] == (Verdict(2, "no body"), Verdict(3, "capped", ahead=(0, 1)))


def test_a_tie_on_the_last_place_of_a_body_lets_all_of_that_body_in() -> None:
    assert outcomes("1 NOR, 2 SUD, 2 NOR, 2 NOR", Quota(2, 0, of_each=True)) == "Q Q Q Q"


def test_where_each_body_has_its_places_a_cap_says_nothing() -> None:
    assert outcomes("1 A, 2 A", Quota(2, 0, 1, of_each=True)) == "Q Q"


def test_no_places_at_all() -> None:
    """A small share of a small field, rounded down."""
    assert share(9, 10, "down") == 0
    assert outcomes("1 A, 2 B", Quota(0, 1)) == "R1 ."


@given(st.integers(0, 10**6), st.integers(1, 100))
def test_a_share_is_exact(placed: int, percent: int) -> None:
    exact = Fraction(placed * percent, 100)
    assert share(placed, percent, "up") == math.ceil(exact)
    assert share(placed, percent, "down") == math.floor(exact)


@given(st.integers(0, 500), st.integers(1, 99), st.sampled_from(["up", "down"]))
def test_a_greater_share_or_field_is_never_fewer(placed: int, percent: int, way: Any) -> None:
    assert share(placed, percent, way) <= share(placed, percent + 1, way)
    assert share(placed, percent, way) <= share(placed + 1, percent, way)
    assert share(placed, 100, way) == placed


# The same, told otherwise

TOTALS = st.lists(
    st.tuples(st.integers(0, 5), st.sampled_from(["A", "B", "C", ""]), st.sampled_from("rrrrrgu")),
    max_size=10,
)
LINES = st.builds(
    Quota,
    places=st.integers(1, 4),
    reserves=st.integers(0, 3),
    cap=st.integers(0, 2),
    minimum=st.none() | st.integers(0, 3),
    ties_qualify=st.booleans(),
    reserves_count=st.booleans(),
    of_each=st.booleans(),
)


def ranked(rows: list[tuple[int, str, str]]) -> list[Candidate]:
    """In order of total: r is ranked, g a guest among them, u unranked at the end."""
    rows = sorted(rows, key=lambda row: (row[2] == "u", -row[0]))
    taken = [total for total, _, kind in rows if kind == "r"]
    return [
        Candidate(
            key,
            1 + sum(other > total for other in taken) if kind == "r" else None,
            None if kind == "u" else total,
            body,
            guest=kind == "g",
        )
        for key, (total, body, kind) in enumerate(rows)
    ]


def naive(rows: Sequence[Candidate], line: Quota) -> dict[int, str]:
    """Take out who cannot go, then who is over the cap, and cut what is left into pieces."""
    able = [
        one
        for one in rows
        if not one.guest and one.place and (one.total or 0) >= (line.minimum or 0)
    ]
    if not line.of_each:
        return cut_up(able, line)
    found = {}
    for body in {one.body for one in able if one.body}:
        found |= cut_up([one for one in able if one.body == body], replace(line, cap=0))
    return found


def cut_up(able: list[Candidate], line: Quota) -> dict[int, str]:
    within = [
        one
        for number, one in enumerate(able)
        if not (line.cap and one.body)
        or sum(other.body == one.body for other in able[:number]) < line.cap
    ]
    through = within[: line.places]
    last = through[-1].place if len(through) == line.places else None
    if line.ties_qualify and last:
        through = [one for one in within if (one.place or 0) <= last]
    behind = within[len(through) :]
    if not line.reserves_count:  # All who come after the last one through; beside her as above.
        end = able.index(through[-1]) if last else len(able)
        full = {one.body for one in through if one.body and line.cap}
        full = {body for body in full if sum(one.body == body for one in through) >= line.cap}
        behind = [one for one in able[end + 1 :] if one.place != last or one.body not in full]
    found = {}
    for one in behind:
        ahead = sum((other.place or 0) < (one.place or 0) for other in behind)
        if ahead < line.reserves:
            found[one.key] = f"R{ahead + 1}"
    if line.reserves_count:  # Equal team-mates of whom the cap has room for some are level.
        level = {(one.place, one.body): found[one.key] for one in behind if one.key in found}
        found |= {
            one.key: level[one.place, one.body]
            for one in able
            if one not in within and (one.place, one.body) in level
        }
    return found | {one.key: "Q" for one in through}


def marks(rows: Sequence[Candidate], line: Quota) -> dict[int, str]:
    found = {}
    for one in verdicts(rows, line):
        if one.outcome in ("qualified", "reserve"):
            found[one.key] = "Q" if one.outcome == "qualified" else f"R{one.number}"
    return found


@given(TOTALS, LINES)
def test_the_walk_agrees_with_cutting_the_list_into_pieces(
    rows: list[tuple[int, str, str]], line: Quota
) -> None:
    assert marks(ranked(rows), line) == naive(ranked(rows), line)


@given(TOTALS, LINES)
def test_nobody_outside_is_ahead_of_somebody_inside_but_for_a_stated_reason(
    rows: list[tuple[int, str, str]], line: Quota
) -> None:
    table = ranked(rows)
    found = verdicts(table, line)
    inside = [
        one.place
        for one, verdict in zip(table, found, strict=True)
        if verdict.outcome in ("qualified", "reserve")
    ]
    for one, verdict in zip(table, found, strict=True):
        if verdict.outcome == "capped":
            full = line.places + line.reserves if line.of_each else line.cap
            assert len(verdict.ahead) >= full if line.of_each else len(verdict.ahead) == full
            assert {table[key].body for key in verdict.ahead} == {one.body}
            assert all((table[key].place or 0) <= (one.place or 0) for key in verdict.ahead)
        elif verdict.outcome == "no body":
            assert line.of_each
            assert not one.body
        elif verdict.outcome == "beyond":
            assert not line.of_each
            assert all((place or 0) <= (one.place or 0) for place in inside)
        else:
            assert not verdict.ahead


@given(TOTALS, LINES)
def test_no_body_has_more_than_its_cap(rows: list[tuple[int, str, str]], line: Quota) -> None:
    table = ranked(rows)
    body = {one.key: one.body for one in table}
    counted = {  # Reserves of one body who share a number are level: the cap has room for one.
        (body[key], key if mark == "Q" else mark)
        for key, mark in marks(table, line).items()
        if mark == "Q" or line.reserves_count
    }
    taken = Counter(body for body, _ in counted if body)
    assert not line.cap or line.of_each or all(count <= line.cap for count in taken.values())


@given(TOTALS, LINES, st.data())
def test_a_withdrawal_removes_no_other_qualifier(
    rows: list[tuple[int, str, str]], line: Quota, data: st.DataObject
) -> None:
    table = ranked(rows)
    through = [key for key, mark in marks(table, line).items() if mark == "Q"]
    if not through:
        return
    absent = data.draw(st.sampled_from(through))
    again = marks([one for one in table if one.key != absent], line)
    assert {key for key in through if key != absent} <= {
        key for key, mark in again.items() if mark == "Q"
    }


@given(TOTALS, LINES, st.randoms())
def test_only_those_marked_by_order_depend_on_the_order_of_equals(
    rows: list[tuple[int, str, str]], line: Quota, random: Any
) -> None:
    table = ranked(rows)
    mixed: list[Candidate] = []
    for _, group in groupby(table, key=lambda one: (one.place is None, one.total, one.place)):
        sharing = list(group)
        random.shuffle(sharing)
        mixed += sharing
    before = {one.key: one for one in verdicts(table, line)}
    after = {one.key: one for one in verdicts(mixed, line)}
    for key, verdict in before.items():
        if not verdict.by_order:
            assert after[key].outcome == verdict.outcome
            assert verdict.outcome != "reserve" or after[key].number == verdict.number


@given(TOTALS, LINES)
def test_qualifiers_and_reserves_are_counted_from_one(
    rows: list[tuple[int, str, str]], line: Quota
) -> None:
    table = ranked(rows)
    found = verdicts(table, line)
    groups = {one.body for one in table} if line.of_each else {None}
    for body in groups:
        own = [
            verdict
            for one, verdict in zip(table, found, strict=True)
            if body is None or one.body == body
        ]
        numbers = [one.number for one in own if one.outcome == "qualified"]
        assert numbers == list(range(1, len(numbers) + 1))
        numbers = [one.number for one in own if one.outcome == "reserve"]
        assert all(1 <= one <= 1 + sum(other < one for other in numbers) for one in numbers)
    assert all(one.number == 0 for one in found if one.outcome not in ("qualified", "reserve"))


@pytest.mark.parametrize("places", [1, 2, 3])
def test_more_places_take_nobody_away(places: int) -> None:
    rows = candidates("1 A, 2 A, 2 B, 4 A, 5 C, 5 B, 7 C")
    fewer = {key for key, mark in marks(rows, Quota(places, 0, 2)).items() if mark == "Q"}
    more = {key for key, mark in marks(rows, Quota(places + 1, 0, 2)).items() if mark == "Q"}
    assert fewer <= more


@given(TOTALS, LINES, st.data())
def test_a_higher_total_never_takes_a_qualifier_out(
    rows: list[tuple[int, str, str]], line: Quota, data: st.DataObject
) -> None:
    """The gymnast who is raised: she qualifies still, or for the first time.

    With the places of ties at the mercy of the list's order, she is put first among her equals.
    """
    if not rows:
        return
    chosen = data.draw(st.integers(0, len(rows) - 1))
    named = [
        (total, body, kind, number == chosen) for number, (total, body, kind) in enumerate(rows)
    ]
    raised = [(one[0] + one[3], *one[1:]) for one in named]
    before, after = _through(named, line), _through(raised, line)
    assert not before or after


def _through(rows: list[tuple[int, str, str, bool]], line: Quota) -> bool:
    """Whether the one who is marked qualifies, first among her equals."""
    rows = sorted(rows, key=lambda row: (row[2] == "u", -row[0], not row[3]))
    table = ranked([row[:3] for row in rows])
    who = next(number for number, row in enumerate(rows) if row[3])
    return marks(table, line).get(table[who].key) == "Q"
