"""Standings on paper: a row for everybody with the total and the place after each rotation."""

from __future__ import annotations

from dataclasses import replace

from resultsgen.live.standings import Standing, Standings
from resultsgen.views.lists.standings import Told
from resultsgen.views.lists.table import Cell, Column, Row, Table
from resultsgen.views.words.wording import Wording


def rotation_table(told: Told) -> Table:
    """One list in one session, in the order after its last rotation."""
    say, after = told.wording.say, told.session.standings
    name = say("Team") if told.listed.kind == "team" else say("Gymnast")
    columns = (
        Column(say("Place"), "place", say("Pl."), width=0.5),
        Column(name, "name", width=2.6),
        *(
            Column(
                say("After rotation {rotation}", rotation=one.rotation),
                "mark",
                say("Rotation {rotation}", rotation=one.rotation),
                width=1.1,
            )
            for one in after
        ),
    )
    last = [line for group in after[-1].groups for line in group]
    rows = tuple(_row(line, told) for line in last)
    return Table(told.id, told.title, columns, rows, legend=_legend(told.wording))


def _row(last: Standing, told: Told) -> Row:
    after = told.session.standings
    leading = last.done == after[-1].leading[0].done
    place = Cell(str(last.place)) if leading else Cell("–", about=told.wording.say("no place"))
    cells = (_cell(one, last.key, told.wording) for one in after)
    row = Row((place, told.lines[last.key], *cells), id=f"{told.id}-{last.key}")
    return row if leading else replace(row, kind="unranked")


def _cell(after: Standings, key: int, wording: Wording) -> Cell:
    """The total so far with its place, the places gained or lost, and how far behind the first."""
    line = after.of(key)
    if line is None:
        return Cell("")
    total = wording.language.mark(line.total)
    if line.done != after.leading[0].done:
        return Cell(total, wording.say("after {done}", done=line.done))
    moved = f"{line.moved:+d}" if line.moved else ""
    behind = f"−{wording.language.mark(line.behind_first)}" if line.behind_first else ""
    return Cell(total, " · ".join(filter(None, (moved, behind))), f"({line.place})")


def _legend(wording: Wording) -> tuple[tuple[str, str], ...]:
    return (
        ("(2)", wording.say("place after the rotation")),
        ("+1", wording.say("places gained since the rotation before")),
        (f"−{wording.language.mark(300)}", wording.say("behind the first")),
    )
