"""Every published table is reproduced by the rules: sums, totals, places, cuts, teams.

The figures stand in `published/`, each with its source. A test carries the id of its table; a
table that contradicts its own rules says so (`departs`, `anomalies`); `test_published_departures`
shows where and why. The last tests see to it that nothing is left out.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from published_judging import (
    LISTS,
    apparatus_places,
    as_printed,
    compared_lines,
    computed_places,
    computed_totals,
    computed_verdicts,
    counted,
    cut_mark,
    day_marks,
    is_team,
    printed_apparatus_places,
    routines,
    team_marks,
    team_parts,
)
from published_tables import TABLES, Published, compared, steps

from resultsgen.meet.marks import parse_mark, show_mark
from resultsgen.rules.criteria import criteria
from resultsgen.rules.placings import list_status, placings, unranked_order
from resultsgen.rules.ties import ties
from resultsgen.rules.totals import average_of_two, total

COVERED: dict[str, set[str]] = defaultdict(set)
"""The tables that each aspect is tested on."""

Test = Callable[[Published], None]


def reproduces(aspect: str, chosen: Callable[[Published], bool]) -> Callable[[Test], Test]:
    """One test per table that has the aspect; its id is the test's."""
    tables = [table for table in TABLES.values() if chosen(table)]
    COVERED[aspect] = {table.id for table in tables}
    return pytest.mark.parametrize("table", tables, ids=[table.id for table in tables])


# What every table is made of


def has_sums(table: Published) -> bool:
    return any(one.sum_of_parts is not None for _, _, one in routines(table))


@reproduces("sums", has_sums)
def test_d_and_e_and_bonus_less_penalty_give_the_mark(table: Published) -> None:
    for bib, part, one in routines(table):
        given = one.sum_of_parts
        if given is None:
            continue
        departures = table.departures(f"sum of {part}".removesuffix(" of "))
        printed, by_the_rules = departures.get(bib, (one.printed["mark"],) * 2)
        assert one.printed["mark"] == printed, bib
        assert given == parse_mark(by_the_rules), (bib, part)


# Totals


@reproduces("totals", lambda table: table.kind != "apparatus")
def test_totals(table: Published) -> None:
    shown = [show_mark(made) for made in computed_totals(table)]
    assert shown == [text.replace(",", ".") for text in table.column("total")]


@reproduces("averages cut", lambda table: table.kind == "two vaults")
def test_no_average_is_rounded(table: Published) -> None:
    """Where half a thousandth is left over, rounding would print another average."""
    for (first, second), printed in zip(
        table.grid("mark"), table.printed_marks("total"), strict=True
    ):
        rounded = average_of_two(first, second, "round")
        if rounded is not None and printed is not None:
            assert rounded == printed + (first + second) % 2


HALVES_DROPPED = {
    "tok2020-wag-vt-qual": 10,
    "wch2022-mag-vt-qual": 10,
    "wch2023-wag-vt-final": 6,
    "cg2022-wag-vt-final": 2,
    "ech2022-wag-vt-qual": 10,
    "univ2023-wag-vt-qual": 5,
    "pag2023-mag-vt-final": 2,
    "pag2023-mag-vt-qual": 7,
    "cacg2023-wag-vt-qual": 0,
    "og1996-mag-vt-final": 6,
}
"""How many averages end in a half that was dropped; counted by hand or by another program."""


@pytest.mark.parametrize("id", HALVES_DROPPED)
def test_half_thousandths_are_dropped_in_the_printed_averages(id: str) -> None:
    rows = zip(TABLES[id].grid("mark"), TABLES[id].printed_marks("total"), strict=True)
    halves = [sum(marks) - 2 * printed for marks, printed in rows if None not in (*marks, printed)]
    assert halves.count(1) == HALVES_DROPPED[id]


@reproduces("day totals", lambda table: table.kind == "two days")
def test_day_totals(table: Published) -> None:
    for day in ("first day", "second day"):
        each = [day_marks(table, row, day) for row in table.rows]
        shown = [show_mark(total(marks, "placed by what there is")) for marks in each]
        assert shown == table.column(day)


@reproduces("carried over", lambda table: table.kind == "carried over")
def test_half_of_the_qualification_is_carried_over(table: Published) -> None:
    both = zip(*(table.printed_marks(name) for name in ("compulsory", "optional")), strict=True)
    averaging = table.rules.totals.averaging
    carried = [show_mark(average_of_two(*marks, averaging)) for marks in both]
    assert carried == table.column("carried over")


# Places


@reproduces("places", lambda table: True)
def test_places(table: Published) -> None:
    printed = dict(zip(table.bibs, table.column("place"), strict=True))
    taken = {bib: "" if place == "G" else place for bib, place in printed.items()}
    found = as_printed(table, computed_places(table))
    assert found == table.by_the_rules("place", taken)


@reproduces("order of input", lambda table: True)
def test_the_order_of_the_rows_changes_no_place(table: Published) -> None:
    turned = Published(table.head, table.rows[::-1])
    assert as_printed(turned, computed_places(turned)) == as_printed(table, computed_places(table))


@reproduces("reasons", lambda table: True)
def test_every_tie_has_its_reason(table: Published) -> None:
    """Who shares a place is equal on all criteria; who does not was told apart by one of them."""
    lines = compared_lines(table)
    criteria_used = steps(table, LISTS[table.kind], len(lines[0].marks))
    for tie in ties(lines, computed_places(table), criteria_used):
        apart = {tuple(sorted(pair)) for pair in told_apart(tie)}
        for a, place_a in zip(tie.keys, tie.places, strict=True):
            for b, place_b in zip(tie.keys, tie.places, strict=True):
                assert (a == b or place_a == place_b) == (tuple(sorted((a, b))) not in apart)


def told_apart(tie: Any) -> Iterator[tuple[int, int]]:
    for step in tie.steps:
        pairs = list(zip(step.keys, step.values, strict=True))
        yield from ((a, b) for a, one in pairs for b, two in pairs if one > two)


# Who has no place, and how the list stands


def status_of(table: Published, row: dict[str, Any]) -> str:
    if table.kind in ("all-around", "two vaults"):
        cells = [table.cell(row, part) for part in table.parts]
        done = sum(one["mark"] is not None for one in cells)
        return list_status(done, [one.status for one in cells])
    return list_status(0, [row["status"]])


@reproduces("statuses", lambda table: any(row.get("status") for row in table.rows))
def test_statuses(table: Published) -> None:
    """One apparatus missing is DNF, all missing DNS, one vault of two DNF, and no place."""
    assert [status_of(table, row) for row in table.rows] == table.column("status")
    without = [row["place"] == "" for row in table.rows]
    assert without == [row["status"] != "" for row in table.rows]
    assert without == [place is None for place in computed_places(table)]


@reproduces("order of the list", lambda table: True)
def test_the_list_stands_in_order(table: Published) -> None:
    """By place; guests by mark, after an equal mark; below, those without a place by status.

    Those who share a place stand in order of name, which the tables here do not hold.
    """
    places, sums = computed_places(table), computed_totals(table)
    order = table.rules.unranked.order
    departs = table.departures("place")
    stands = []
    for row, place, own in zip(table.rows, places, sums, strict=True):
        if row.get("status"):
            stands.append((1, unranked_order(row["status"], order), 0, 0))
        elif row.get("bib") not in departs:
            stands.append((0, -own, row["place"] == "G", place or 0))
    assert stands == sorted(stands)


@reproduces("guests", lambda table: "G" in table.column("place"))
def test_guests_take_no_place(table: Published) -> None:
    places = computed_places(table)
    guests = [row["place"] == "G" for row in table.rows]
    assert {place for place, guest in zip(places, guests, strict=True) if guest} == {None}
    without = Published(table.head, tuple(row for row in table.rows if row["place"] != "G"))
    others = [place for place, guest in zip(places, guests, strict=True) if not guest]
    assert computed_places(without) == others


# Apparatus places inside all-around lists


def has_apparatus_places(table: Published) -> bool:
    return table.kind == "all-around" and "place" in table.head["routine"]


@reproduces(
    "apparatus places, all-around final",
    lambda table: has_apparatus_places(table) and table.phase == "final",
)
def test_apparatus_places_of_an_all_around_final(table: Published) -> None:
    for part in table.apparatus:
        found = as_printed(table, apparatus_places(table, part))
        assert found == printed_apparatus_places(table, part), part


@reproduces(
    "apparatus places, all-around qualification",
    lambda table: has_apparatus_places(table) and table.phase == "qualification",
)
def test_apparatus_places_of_an_all_around_qualification(table: Published) -> None:
    """Specialists, who are not in the list, hold places too: order and sharing must agree."""
    for part in table.apparatus:
        texts = printed_apparatus_places(table, part).values()
        printed = [int(text) if text else None for text in texts]
        found = apparatus_places(table, part)
        assert [place is None for place in found] == [place is None for place in printed]
        there = sorted({place for place in found if place is not None})
        there_printed = sorted({place for place in printed if place is not None})
        as_ranked = dict(zip([None, *there], [None, *there_printed], strict=True))
        assert [as_ranked[place] for place in found] == printed, part
        assert all(own <= its for own, its in zip(there, there_printed, strict=True))


SAME_MARKS = {
    ("wch2022-mag-aa-qual", "PB"): "wch2022-mag-pb-qual",
    ("tok2020-wag-aa-qual", "FX"): "tok2020-wag-fx-qual",
    ("cg2022-mag-aa-qual", "FX"): "cg2022-mag-fx-qual",
}


@pytest.mark.parametrize(("all_around", "part"), SAME_MARKS, ids=[id for id, _ in SAME_MARKS])
def test_apparatus_places_agree_between_two_papers(all_around: str, part: str) -> None:
    """The place in brackets is the one of the apparatus list, wrong rows included."""
    apparatus = TABLES[SAME_MARKS[all_around, part]]
    listed = dict(zip(apparatus.bibs, apparatus.column("place"), strict=True))
    for row in TABLES[all_around].rows:
        cell = TABLES[all_around].cell(row, part)
        if not cell.status:
            assert cell.printed["place"] == listed[row["bib"]]


@pytest.mark.parametrize(
    ("all_around", "vaults"),
    [
        ("wch2022-mag-aa-qual", "wch2022-mag-vt-qual"),
        ("tok2020-wag-aa-qual", "tok2020-wag-vt-qual"),
    ],
)
def test_the_first_vault_counts_for_the_all_around(all_around: str, vaults: str) -> None:
    two = TABLES[vaults]
    first = {row["bib"]: two.cell(row, "first vault")["mark"] for row in two.rows}
    second = {row["bib"]: two.cell(row, "second vault")["mark"] for row in two.rows}
    in_both = [row for row in TABLES[all_around].rows if row["bib"] in first]
    assert len(in_both) > 8
    for row in in_both:
        assert TABLES[all_around].cell(row, "VT")["mark"] == first[row["bib"]]
    assert any((second[row["bib"]] or 0) > (first[row["bib"]] or 0) for row in in_both)


E_FIRST_MISPLACES = {
    "tok2020-wag-aa-qual": {"337", "309", "373", "303"},
    "wch2022-mag-aa-qual": {"165", "163"},
    "wch2022-wag-aa-final": {"478", "559"},
    "cg2022-mag-aa-qual": {"132", "151", "152", "153"},
    "cg2022-wag-aa-qual": {"331", "337"},
}


@pytest.mark.parametrize("id", E_FIRST_MISPLACES)
def test_all_around_ties_are_not_broken_by_e_first(id: str) -> None:
    table = TABLES[id]
    by_e = as_printed(table, placings(compared_lines(table), criteria(("total E", "total D"), 1)))
    printed = dict(zip(table.bibs, table.column("place"), strict=True))
    assert {bib for bib in printed if by_e[bib] != printed[bib]} == E_FIRST_MISPLACES[id]


# Cuts


@reproduces("cuts", lambda table: "line" in table.head)
def test_who_goes_through_and_who_is_reserve(table: Published) -> None:
    found = computed_verdicts(table)
    printed = dict(zip(table.bibs, table.column("cut"), strict=True))
    assert {bib: cut_mark(verdict) for bib, verdict in found.items()} == printed


@reproduces("not eligible", lambda table: "line" in table.head)
def test_who_is_passed_over_has_a_full_cap_ahead(table: Published) -> None:
    body = dict(zip(table.bibs, table.column("team" if table.kind == "team" else "federation"),
                    strict=True))  # fmt: skip
    found = computed_verdicts(table)
    for bib, verdict in found.items():
        ahead = [table.bibs[key] for key in verdict.ahead]
        if verdict.outcome != "capped":
            assert not ahead
            continue
        assert len(ahead) == table.head["line"]["cap"]
        assert {body[one] for one in ahead} == {body[bib]}
        assert all(found[one].outcome in ("qualified", "reserve") for one in ahead)


PASSED_OVER = {
    "tok2020-wag-aa-qual": "381 393 397 396 324 337 378 342 351 306 379",
    "tok2020-wag-vt-qual": "397",
    "tok2020-wag-fx-qual": "383 378 394 397",
    "wch2022-wag-bb-qual": "521 590",
    "cg2022-mag-aa-qual": "153 125",
    "cg2022-wag-aa-qual": "341 337 324 345 325",
    "cg2022-mag-fx-qual": "145 125",
    "ech2023-mag-pb-qual": "254",
    "ag2023-mag-fx-qual": "037 031",
    "univ2023-wag-vt-qual": "058 096",
    "cacg2023-wag-vt-qual": "223",
    "og2016-wag-fx-qual": "G4",
}


@reproduces("who is not eligible", lambda table: "line" in table.head)
def test_the_gymnasts_passed_over_by_the_cap(table: Published) -> None:
    found = computed_verdicts(table)
    passed_over = {bib for bib, verdict in found.items() if verdict.outcome == "capped"}
    assert passed_over == set(PASSED_OVER.get(table.id, "").split())


def test_a_tie_on_the_last_place_lets_nine_through_ech2023_mag_pb_qual() -> None:
    found = computed_verdicts(TABLES["ech2023-mag-pb-qual"]).values()
    assert sum(verdict.outcome == "qualified" for verdict in found) == 9
    assert sum(verdict.outcome == "reserve" for verdict in found) == 3


def test_only_the_paper_says_how_even_reserves_stand_ag2023_mag_fx_qual() -> None:
    table = TABLES["ag2023-mag-fx-qual"]
    found = computed_verdicts(table)
    even = {bib for bib, verdict in found.items() if verdict.by_jury}
    assert even == set(table.head["reserve_order"])
    places = dict(zip(table.bibs, table.column("place"), strict=True))
    assert len(even) == 2
    assert len({places[bib] for bib in even}) == 1
    assert {cut_mark(found[bib]) for bib in even} <= {"R1", "R2", "R3"}


def test_who_starts_in_the_final_once_two_have_withdrawn_tok2020_wag_aa_final() -> None:
    """The walk without the withdrawn fills both: a team-mate whom the cap kept out, and R1."""
    qualification, final = TABLES["tok2020-wag-aa-qual"], TABLES["tok2020-wag-aa-final"]
    started = set(final.bibs)
    first = computed_verdicts(qualification)
    through = {bib for bib, verdict in first.items() if verdict.outcome == "qualified"}
    again = computed_verdicts(qualification, frozenset(through - started))
    assert {bib for bib, verdict in again.items() if verdict.outcome == "qualified"} == started
    called_up = started - through
    assert {cut_mark(first[bib]) or first[bib].outcome for bib in called_up} == {"R1", "capped"}


# Teams


@reproduces("team apparatus totals", is_team)
def test_team_totals_on_each_apparatus(table: Published) -> None:
    found = [[show_mark(own) for own in row] for row in team_parts(table)]
    assert found == table.column("apparatus totals")


@reproduces(
    "team apparatus places",
    lambda table: is_team(table) and all(row["apparatus places"] for row in table.rows),
)
def test_team_places_on_each_apparatus(table: Published) -> None:
    columns = zip(*team_parts(table), strict=True)
    for number, (part, column) in enumerate(zip(table.apparatus, columns, strict=True)):
        lines = [compared(own, [own]) for own in column]
        places = placings(lines, steps(table, "team-apparatus", 1))
        printed = [row["apparatus places"][number] for row in table.rows]
        assert [str(place) for place in places] == printed, part


@reproduces("counting marks", is_team)
def test_counting_and_dropped_marks(table: Published) -> None:
    """The best C count, the bibs of the others are those whom the sums leave out; B are up."""
    up, count = (int(digit) for digit in table.head["format"].split("-")[1:])
    for row in table.rows:
        bibs = [bib for bib, *_ in row["gymnasts"]]
        for number, marks in enumerate(team_marks(table, row)):
            own = [position for position, mark in enumerate(marks) if mark is not None]
            counts = counted(table, marks)
            dropped = [bibs[position] for position in own if position not in counts]
            part = table.apparatus[number]
            assert len(own) <= up
            assert len(counts) == min(count, len(own))
            assert dropped == (row["dropped"][number] if row["dropped"] else []), part


# Nothing is left out

COUNTS = {
    "apparatus places, all-around final": 3,
    "apparatus places, all-around qualification": 4,
    "averages cut": 10,
    "carried over": 5,
    "counting marks": 5,
    "cuts": 20,
    "day totals": 1,
    "guests": 2,
    "order of input": 51,
    "order of the list": 51,
    "not eligible": 20,
    "places": 51,
    "reasons": 51,
    "statuses": 12,
    "sums": 40,
    "team apparatus places": 3,
    "team apparatus totals": 5,
    "totals": 29,
    "who is not eligible": 20,
}
"""How many tables each aspect is tested on."""


def test_every_table_is_anonymous_and_names_its_source() -> None:
    for table in TABLES.values():
        source = table.head["source"]
        assert source["document"]
        assert source.get("path") or source.get("address") or source.get("read")
        assert table.id == table.head["id"]
        for bib in table.bibs:
            assert len(bib) <= 4


def test_no_table_and_no_aspect_is_left_out() -> None:
    """Which tables have what is told by their columns and cells, apart from what is tested."""
    rows = {id: table.rows for id, table in TABLES.items()}

    def with_column(name: str) -> set[str]:
        return {id for id, own in rows.items() if name in own[0]}

    def with_cell(name: str) -> set[str]:
        return {id for id, own in rows.items() if any(row.get(name) for row in own)}

    having = {
        "totals": {id for id, one in TABLES.items() if one.kind != "apparatus"},
        "cuts": with_cell("cut"),
        "statuses": with_cell("status"),
        "guests": {id for id, own in rows.items() if any(row["place"] == "G" for row in own)},
        "counting marks": with_column("gymnasts"),
        "team apparatus totals": with_column("gymnasts"),
        "team apparatus places": with_cell("apparatus places"),
        "carried over": with_column("carried over"),
        "day totals": with_column("second day"),
        "averages cut": with_column("second vault"),
    }
    assert {aspect: COVERED[aspect] for aspect in having} == having
    assert len(TABLES) == 51
    for aspect in ("places", "reasons", "order of the list", "order of input"):
        assert COVERED[aspect] == set(TABLES)
    assert {aspect: len(ids) for aspect, ids in COVERED.items()} == COUNTS
