"""The codes that tables use, in words; a table's legend names only those it holds."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from resultsgen.language import to_say
from resultsgen.views.lists.table import Cell, Column, Row
from resultsgen.views.words.wording import Wording
from resultsgen.views.words.words import STATUS_WORDS

PARTS = {
    "D": to_say("D score, difficulty"),
    "E": to_say("E score, execution"),
    "P": to_say("penalty"),
    "B": to_say("bonus"),
}
GUEST = to_say("out of competition, takes no place")
RESERVE = re.compile(r"R[0-9]+")


def legend(
    columns: tuple[Column, ...], rows: Iterable[Row], wording: Wording
) -> tuple[tuple[str, str], ...]:
    """The codes that occur in these cells, with their meaning."""
    return codes([(columns, rows)], wording)


def codes(
    tables: Iterable[tuple[tuple[Column, ...], Iterable[Row]]], wording: Wording
) -> tuple[tuple[str, str], ...]:
    """The codes that occur in several tables, given as their columns and rows."""
    headings: set[str] = set()
    cells: list[tuple[Cell, Column]] = []
    for columns, rows in tables:
        headings |= {column.label for column in columns}
        cells += [pair for row in rows for pair in zip(row.cells, columns, strict=True)]
    shown = [cell for cell, _ in cells]
    marks = [cell for cell, column in cells if column.kind in ("mark", "total")]
    return (
        *_parts(headings | _parts_below(marks), wording),
        *_cut_codes({cell.text for cell, column in cells if column.kind == "cut"}, wording),
        *_standings({cell.text for cell in shown}, wording),
        *_figures(shown, wording),
    )


def _parts_below(marks: list[Cell]) -> set[str]:
    """The codes of the parts in the second line of marks: "D 5.4" is a code and its figure."""
    pairs = (pair.split("\u00a0") for cell in marks for pair in cell.sub.split(" "))
    return {pair[0] for pair in pairs if len(pair) == 2}


def _parts(codes: set[str], wording: Wording) -> Iterator[tuple[str, str]]:
    """D, E, P and B, in a heading of their own or under a mark."""
    for code, words in PARTS.items():
        if code in codes:
            yield code, wording.say(words)


def _cut_codes(codes: set[str], wording: Wording) -> Iterator[tuple[str, str]]:
    """Q, and the reserves in a row."""
    if "Q" in codes:
        yield "Q", wording.say("qualified")
    reserves = sorted((code for code in codes if RESERVE.fullmatch(code)), key=_number)
    if reserves:
        words = wording.language.count("reserve", "reserves, in this order", len(reserves))
        yield ", ".join(reserves), words


def _number(reserve: str) -> int:
    return int(reserve[1:])


def _standings(codes: set[str], wording: Wording) -> Iterator[tuple[str, str]]:
    """Statuses, guests, and what else stands where a number would."""
    guest = wording.say("guest")
    for code, words in (*STATUS_WORDS.items(), (guest, GUEST), ("·", "no mark")):
        if code in codes:
            yield code, wording.say(words)


def _figures(cells: list[Cell], wording: Wording) -> Iterator[tuple[str, str]]:
    """How a figure is set apart; a theme strikes through the marks that do not count."""
    if any(cell.place for cell in cells):
        yield "(1)", wording.say("place on the apparatus")
    if any(cell.dropped for cell in cells):
        yield wording.say("struck through"), wording.say("does not count for the team")
