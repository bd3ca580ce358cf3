"""The codes that stand in tables, with their meaning."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from resultsgen.language import to_say
from resultsgen.views.lists.table import Cell, Column, Row
from resultsgen.views.words.wording import Wording

STATUS_WORDS = {
    "DNS": to_say("did not start"),
    "DNF": to_say("did not finish"),
    "DSQ": to_say("disqualified"),
    "WDR": to_say("withdrew"),
}

NOT_YET = "·"

PARTS = {
    "D": to_say("D score, difficulty"),
    "E": to_say("E score, execution"),
    "P": to_say("penalty"),
    "B": to_say("bonus"),
}

GUEST = to_say("out of competition, takes no place")

RESERVE, SO_FAR = re.compile(r"R[0-9]+"), re.compile(r"\(R[0-9]+\)")


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
    cells: list[Cell] = []
    below: set[str] = set()
    cuts: set[str] = set()
    for columns, rows in tables:
        headings |= {column.label for column in columns}
        held = [row.cells for row in rows]
        for column, each in zip(columns, zip(*held, strict=True), strict=bool(held)):
            cells += each
            if column.kind in ("mark", "total"):
                below |= {cell.sub for cell in each}
            elif column.kind == "cut":
                cuts |= {cell.text for cell in each}
    # In the second line of a mark "D 5.4" is a code and its figure.
    pairs = (pair.split("\u00a0") for sub in below for pair in sub.split(" "))
    headings |= {pair[0] for pair in pairs if len(pair) == 2}
    so_far = [code for code in sorted(cuts) if SO_FAR.fullmatch(code)]
    reserves = sorted(filter(RESERVE.fullmatch, cuts), key=lambda reserve: int(reserve[1:]))
    return (
        *((code, wording.say(words)) for code, words in PARTS.items() if code in headings),
        *([("Q", wording.say("qualified"))] if "Q" in cuts else ()),
        *_in_order(reserves, wording),
        *([("(Q)", wording.say("in so far"))] if "(Q)" in cuts else ()),
        *([(", ".join(so_far), wording.say("in reserve so far"))] if so_far else ()),
        *([("?", wording.say("can still qualify"))] if "?" in cuts else ()),
        *_other_codes(cells, wording),
    )


def _in_order(reserves: list[str], wording: Wording) -> Iterator[tuple[str, str]]:
    if reserves:
        words = wording.language.count("reserve", "reserves, in this order", len(reserves))
        yield ", ".join(reserves), words


def _other_codes(cells: list[Cell], wording: Wording) -> Iterator[tuple[str, str]]:
    """What else stands where a number would; and how a figure is set apart.

    A theme strikes through the marks that do not count.
    """
    texts = {cell.text for cell in cells}
    for code, words in (
        *STATUS_WORDS.items(),
        (wording.say("guest"), GUEST),
        (NOT_YET, to_say("no mark")),
    ):
        if code in texts:
            yield code, wording.say(words)
    if any(cell.place for cell in cells):
        yield wording.say("beside a mark"), wording.say("place on the apparatus")
    if any(cell.dropped for cell in cells):
        yield wording.say("struck through"), wording.say("does not count for the team")
