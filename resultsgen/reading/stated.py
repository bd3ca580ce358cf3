"""Totals and places that a table of marks says: no marks, and compared with the judging."""

from __future__ import annotations

import re
from typing import Literal

from resultsgen.meet.folder import Stated
from resultsgen.meet.marks import parse_mark
from resultsgen.meet.problems import MOST, Note, first_of
from resultsgen.reading.belonging import Belonging
from resultsgen.reading.tables import ReadTable

PLACE = re.compile(r"(?:[T=] ?)?([1-9][0-9]{0,4})(?: ?[=.]|st|nd|rd|th|er|re|ère|e|º|ª)?", re.I)


def place_in(text: str) -> int | None:
    """A place as lists write it; None for anything else.

    >>> [place_in(text) for text in ("2", "2=", "=2", "T2", "2.", "1er", "2 to 3", "-")]
    [2, 2, 2, 2, 2, 1, None, None]
    """
    found = PLACE.fullmatch(text)
    return int(found[1]) if found else None


def stated_in(
    table: ReadTable, name: str, apparatus: list[str], whose: list[Belonging]
) -> list[Stated]:
    """What a column says of each gymnast; what is neither is told as left alone."""
    if name not in table.columns:
        return []
    heading = table.headings.get(name, name)
    kind: Literal["total", "place"] = "total" if name == "total" else "place"
    read = table.read(name, parse_mark if kind == "total" else place_in)
    cells = enumerate(zip(table.column(name), read, strict=True))
    unread = [(table.lines[row], text) for row, (text, value) in cells if text and value is None]
    unread += [(one.row, one.value or "no value") for one in table.broken if one.column == heading]
    table.broken = [one for one in table.broken if one.column != heading]
    if unread:
        shown = first_of([f"{text} (row {line})" for line, text in sorted(unread)], MOST)
        message = f"left alone, for it is no {kind}: {shown}"
        where = table.file, table.heading_line, heading
        table.problems.append(Note(*where, "left-alone", message))
    rows = zip(table.lines, read, apparatus, whose, strict=True)
    return [
        Stated(table.file, line, heading, one.gymnast, one.competition, code, kind, value)
        for line, value, code, one in rows
        if value is not None and one.gymnast is not None
    ]
