"""Who has no place is DNF, DNS, WDR or DSQ, and the list below the ranked stands in that order."""

from __future__ import annotations

import pytest

from resultsgen.rules.placings import list_status, unranked_order


@pytest.mark.parametrize(
    ("done", "parts", "status"),
    [
        (4, ["", "", "", ""], ""),
        (2, ["", "", "", ""], ""),
        (3, ["DNS", "", "", ""], "DNF"),
        (3, ["DNF", "", "", ""], "DNF"),
        (3, ["WDR", "", "", ""], "DNF"),
        (0, ["DNS", "DNS", "DNS", "DNS"], "DNS"),
        (0, ["WDR", "WDR", "WDR", "WDR"], "WDR"),
        (0, ["WDR", "DNS", "DNS", "DNS"], "DNS"),
        (0, ["DNF", "DNS", "DNS", "DNS"], "DNF"),
        (1, ["", "DNS"], "DNF"),
        (0, ["DNS", "DNS"], "DNS"),
        (0, ["WDR"], "WDR"),
        (3, ["", "", "", "DSQ"], "DSQ"),
        (0, ["DSQ", "DNS", "DNS", "DNS"], "DSQ"),
        (0, [], ""),
    ],
)
def test_the_status_on_a_list(done: int, parts: list[str], status: str) -> None:
    assert list_status(done, parts) == status


def test_the_order_below_the_ranked() -> None:
    order = ("DNF", "DNS", "WDR", "DSQ")
    mixed = ["DSQ", "", "WDR", "DNF", "DNS"]
    assert sorted(mixed, key=lambda one: unranked_order(one, order)) == ["", *order]


def test_another_order_and_what_it_does_not_name_stands_last() -> None:
    mixed = ["DNF", "DSQ", "DNS", ""]
    found = sorted(mixed, key=lambda one: unranked_order(one, ("DNS", "DNF")))
    assert found == ["", "DNS", "DNF", "DSQ"]
