"""Whatever a club's workbook is like, each filled cell is in the results or was told."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterator
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from new_meets import begun, run
from openpyxl.utils import range_boundaries
from random_workbooks import Drawn, Place, drawn_workbooks, written

from resultsgen.meet.folder import Meet
from resultsgen.reading.meet import read_meet


@given(drawn_workbooks())
@settings(max_examples=20, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
def test_each_filled_cell_is_used_or_told(drawn: Drawn) -> None:
    with tempfile.TemporaryDirectory() as place:
        path = written(Path(place), drawn)
        done = begun(Path(place, "meet"), [path])
        if done.code == 1 and not drawn.marks:  # Names alone may be anything.
            assert "No table of gymnasts" in done.told
            return
        assert done.code == 0, done.told
        told = done.told + run("check", Path(place, "meet")).told
        meet, problems = read_meet(Path(place, "meet"))
    assert meet is not None, problems
    lost = list(_lost(drawn, meet, told))
    assert not lost, f"{lost}\n{told}"
    theirs = {(*_key(who), code, held) for who, code, held in drawn.marks.values()}
    made = {(*row[:3], row[4]) for row in _marks(meet) if row[3] == "mark"}
    assert not made - theirs, f"{made - theirs}\n{told}"


def _lost(drawn: Drawn, meet: Meet, told: str) -> Iterator[str]:
    """Every cell that is neither in the meet that was read nor told."""
    marks = set(_marks(meet))
    texts = {text for entry in meet.entries for text in map(str, entry)}
    for sheet, cell in drawn.cells():
        at = sheet, cell.row, cell.column
        text = drawn.tokens.get(at, str(cell.value))
        if at in drawn.used or _is_told(told, drawn, at, text):
            continue
        if at in drawn.marks:
            who, code, held = drawn.marks[at]
            there = (*_key(who), code, "mark", held) in marks
        elif at in drawn.parts:
            who, code, part, held = drawn.parts[at]
            there = (*_key(who), code, part, held) in marks
        elif at in drawn.tokens:
            there = False
        else:
            there = text in texts or all(part in texts for part in re.split(r",? ", text))
        if not there:
            yield f"{sheet} {cell.coordinate} {text}"


def _key(who: tuple[str, str]) -> tuple[str, str]:
    return who[0].casefold(), who[1].casefold()


def _marks(meet: Meet) -> Iterator[tuple[str, str, str, str, int | str]]:
    """Each mark and its parts by the name of the gymnast."""
    for row in meet.mark_rows:
        if row.gymnast is None:
            continue
        entry = meet.entries[row.gymnast]
        who = entry.family_name.casefold(), entry.given_name.casefold()
        for part, held in (("mark", row.mark), ("d", row.d), ("e", row.e), ("mark", row.status)):
            if held not in (None, ""):
                yield *who, row.apparatus, part, held


def _is_told(told: str, drawn: Drawn, at: Place, text: str) -> bool:
    """A line has the text with its row or a range, or the heading as a column left alone."""
    heading = drawn.headed.get(at, text if at in drawn.headings else "")
    return any(
        (text in line and _names(line, *at[1:]))
        or (heading and heading in line and "left alone" in line)
        for line in told.splitlines()
    )


RANGE = re.compile(r"\b([A-Z]{1,2}\d+(?::[A-Z]{1,2}\d+)?)\b")


def _names(line: str, row: int, column: int) -> bool:
    """The line has the number of the row, or the cell, or a range around it."""
    if re.search(rf":{row}\b|\brows? {row}\b|^workbook\S*\.csv:\d+ \[", line):  # Of a copy too.
        return True
    for found in RANGE.findall(line):
        left, top, right, bottom = range_boundaries(found)
        if left <= column <= right and top <= row <= bottom:
            return True
    return False
