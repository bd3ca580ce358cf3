"""Published tables replayed rotation by rotation: the last standing is the printed order.

The papers print no rotations, so the squads are ours: by their place in the printed list, each
starting on another apparatus in Olympic order. What stands after each rotation is compared with
a count that adds up the printed marks, and what stands at the end with the printed places.
"""

from __future__ import annotations

from itertools import starmap

import pytest
from published_tables import TABLES, Published, steps

from resultsgen.live.contests import rotations
from resultsgen.live.goals import LEAD
from resultsgen.live.needs import need
from resultsgen.live.progress import LiveLine, LivePart, Progress
from resultsgen.live.standings import LiveSession, standings
from resultsgen.live.tied_marks import Terms

ALL_AROUND = [
    table
    for table in TABLES.values()
    if table.kind == "all-around" and not table.partial and len(table.rows) > 5
]


def running(table: Published) -> Progress:
    """The table with squads in turn on each apparatus; a status passes over its part."""
    lines = {}
    for key, (marks, e, d) in enumerate(zip(*map(table.grid, ("mark", "e", "d")), strict=True)):
        turn = rotations(table.apparatus, table.apparatus[key % len(table.apparatus)])
        turns = [turn[part] for part in table.apparatus]
        passed = [mark is None for mark in marks]
        lines[key] = LiveLine(
            key, tuple(starmap(LivePart, zip(marks, e, d, turns, passed, strict=True)))
        )
    return Progress(tuple(table.apparatus), lines)


def printed_places(table: Published) -> dict[int, int]:
    places = table.by_the_rules("place", dict(zip(table.bibs, table.column("place"), strict=True)))
    return {row: int(place) for row, place in enumerate(places.values()) if place.isdigit()}


@pytest.mark.parametrize("table", ALL_AROUND, ids=lambda table: table.id)
def test_the_last_rotation_is_the_printed_order(table):
    found = standings(running(table), steps(table, "all-around", len(table.apparatus)))
    assert [one.rotation for one in found] == list(range(1, len(table.apparatus) + 1))
    assert {line.key: line.place for line in found[-1].leading} == printed_places(table)
    assert found[-1].level


@pytest.mark.parametrize("table", ALL_AROUND, ids=lambda table: table.id)
def test_after_each_rotation_the_printed_marks_add_up_to_the_standing(table):
    found = standings(running(table), steps(table, "all-around", len(table.apparatus)))
    for one in found:
        for line in (line for group in one.groups for line in group):
            turn = rotations(table.apparatus, table.apparatus[line.key % len(table.apparatus)])
            so_far = [part for part in table.apparatus if turn[part] <= one.rotation]
            marks = [table.cell(table.rows[line.key], part)["mark"] for part in so_far]
            assert line.total == sum(marks)
            assert line.done == len(so_far)


def test_the_lead_of_an_olympic_final_apparatus_by_apparatus():
    # Vault: BRA 15.300; bars: USA 14.600 + 15.300 = 29.900 against BRA 15.300 + 14.666 = 29.966;
    # beam: USA 43.733, BRA 43.632; floor: USA 57.433, BRA 57.298 (as printed).
    table = TABLES["tok2020-wag-aa-final"]
    lines = {}
    for key, line in running(table).lines.items():
        parts = (part._replace(rotation=number) for number, part in enumerate(line.parts, 1))
        lines[key] = line._replace(parts=tuple(parts))
    together = Progress(tuple(table.apparatus), lines)
    session = LiveSession("", standings(together, steps(table, "all-around", 4)))
    names = [[table.rows[key]["federation"] for key in one.keys] for one in session.leads]
    assert names == [["BRA"], ["BRA"], ["USA"], ["USA"]]
    assert [one.rotation for one in session.lead_changes] == [3]
    assert [one.margin for one in session.leads] == [100, 66, 101, 135]


def test_what_the_second_of_an_olympic_final_needed_on_floor():
    # 57.433 - 43.632 = 13.801 ties; best three 43.733 against 43.632 + 13.801 - 13.666 = 43.767,
    # so that the tie would have been won. She made 13.666.
    table = TABLES["tok2020-wag-aa-final"]
    before = running(table).with_mark(1, "FX", None)
    found = need(before, 1, ("FX",), LEAD, Terms(steps(table, "all-around", 4)))
    assert (found.ties, found.tie.outcome, found.wins) == (13801, "reached", 13801)
    assert table.cell(table.rows[1], "FX")["mark"] == 13666
