"""Whatever stands on a sheet, looking it over ends, drops no cell, and writes settings."""

from __future__ import annotations

import tomllib

from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.utils import range_boundaries

from resultsgen.files.beside import Merged
from resultsgen.intake.meet_file import meet_toml
from resultsgen.intake.outline import look_over
from resultsgen.intake.tables import NamedSheet, tables_in
from resultsgen.publishing.starter import COMPETITIONS, STARTING_FOLDER
from resultsgen.reading.sheets import Sheet

WORDS = (
    "", "", "", "Nr", "Name", "Nom", "Club", "Vault", "VT", "Barren", "Bars", "Floor", "D", "E",
    "E1", "Final", "Total", "Place", "Level 3", "Level 4", "Vale, Ada", "Bea TORR", "Cea Tarr",
    "TV Lohe", "9.1", "9,25", "13.7", "1", "2", "-", "x", "DNS", "Summe", "03/04/2031", "2014",
    '"]', "=1", "\n", "#N/A", "Judge:",
)  # fmt: skip
STARTING = (STARTING_FOLDER / "meet.toml").read_text(encoding="utf-8")


@st.composite
def drawn_sheets(draw: st.DrawFn) -> list[NamedSheet]:
    """One or two sheets of words that clubs write, anywhere, some of them merged."""
    found = []
    for name in draw(st.sampled_from([("Sheet1",), ("Level 3", "Beam"), ("a#b", 'c"]')])):
        width = draw(st.integers(1, 7))
        row = st.lists(st.sampled_from(WORDS), min_size=width, max_size=width)
        heading = draw(st.permutations(["Name", "Nr", "VT", "FX", "Club", "", "Total"]))[:width]
        rows = [*draw(st.lists(row, max_size=3)), heading, *draw(st.lists(row, max_size=9))]
        merged = ()
        if draw(st.booleans()):
            merged = (Merged(draw(st.integers(0, len(rows) - 1)), 0, 1, width),)
        lines = range(1, len(rows) + 1)
        found.append(NamedSheet("a.xlsx", Sheet(name, rows, lines, merged=merged), alone=False))
    return found


@given(drawn_sheets())
@settings(max_examples=60, derandomize=True, deadline=None)
def test_settings_are_written_whatever_stands_there(sheets):
    seen = look_over(sheets)
    if seen.contests:
        written = tomllib.loads(meet_toml(seen, STARTING, COMPETITIONS))
        assert written["competition"]
        assert {"title", "files"} <= written.keys()


@given(drawn_sheets())
@settings(max_examples=60, derandomize=True, deadline=None)
def test_each_filled_cell_is_in_a_table_or_told(sheets):
    told = {sheet.name: set() for sheet in sheets}
    for one in look_over(sheets).left_alone:
        left, top, right, bottom = range_boundaries(one.cells)
        told[one.sheet] |= {
            (row - 1, at - 1) for row in range(top, bottom + 1) for at in range(left, right + 1)
        }
    for sheet in sheets:
        inside = {
            (row, at)
            for table in tables_in(sheet)
            for row in (*table.heading.rows, *table.rows, *table.groups)
            for at in sheet.texts(row)
            if at in table.heading.meant or row in table.groups
        }
        above = min((one.heading.rows[0] for one in tables_in(sheet)), default=0)
        for row in range(len(sheet.rows)):
            for at in sheet.texts(row):
                assert row < above or {(row, at)} & (told[sheet.name] | inside), (row, at)
