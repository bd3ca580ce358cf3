"""Start lists: one table per session and squad, in start order. They exist before any mark."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import groupby

from resultsgen.results import CompetitionResults, Start
from resultsgen.views.cells import name_cell
from resultsgen.views.table import Cell, Column, Row, Table
from resultsgen.views.wording import Wording


def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """Figures inside a text in order of size: squad 2 before squad 10.

    >>> sorted(["10", "2", "A2", "A10"], key=natural)
    ['2', '10', 'A2', 'A10']
    """
    pieces = re.findall(r"[0-9]+|[^0-9]+", text)
    return tuple((0, int(one), "") if one.isdecimal() else (1, 0, one) for one in pieces)


def start_list_tables(competition: CompetitionResults, wording: Wording) -> tuple[Table, ...]:
    """A table for each squad of each session."""
    starts = sorted(competition.starts, key=_order)
    groups = groupby(starts, key=lambda start: (start.gymnast.session, start.gymnast.squad))
    return tuple(
        _squad_table(number, session, squad, tuple(group), competition, wording)
        for number, ((session, squad), group) in enumerate(groups, start=1)
    )


def _order(start: Start) -> tuple[object, ...]:
    gymnast = start.gymnast
    given = gymnast.start_order
    return (
        natural(gymnast.session),
        natural(gymnast.squad),
        given is None,
        given or 0,
        natural(gymnast.bib),
        gymnast.key,
    )


def _squad_table(
    number: int,
    session: str,
    squad: str,
    starts: tuple[Start, ...],
    competition: CompetitionResults,
    wording: Wording,
) -> Table:
    every = competition.apparatus
    some = any(start.apparatus != every for start in starts)
    columns = (
        Column(wording.say("Order"), "number", wording.say("No."), width=0.5),
        Column(wording.say("Bib"), "text", width=0.5),
        Column(wording.say("Gymnast"), "name", width=3),
        *((Column(wording.say("Apparatus"), "text", width=1.4),) if some else ()),
    )
    rows = tuple(
        _start_row(f"squad-{number}", place, start, every if some else None, wording)
        for place, start in enumerate(starts, start=1)
    )
    caption = squad_title(session, squad, wording) or competition.competition.title
    return Table(f"squad-{number}", caption, columns, rows)


def squad_title(session: str, squad: str, wording: Wording) -> str:
    """Which session and squad: "Session 1, squad A"; words already in the roster stay alone.

    >>> squad_title("1", "A", Wording()), squad_title("Friday evening", "Squad 2", Wording())
    ('Session 1, squad A', 'Friday evening, Squad 2')
    """
    parts = []
    if session:
        parts.append(session if " " in session else wording.say("Session {name}", name=session))
    if squad:
        word = wording.say("squad {name}") if parts else wording.say("Squad {name}")
        parts.append(squad if " " in squad else word.format(name=squad))
    return ", ".join(parts)


def _start_row(
    table: str, place: int, start: Start, every: tuple[str, ...] | None, wording: Wording
) -> Row:
    """*every* is given where some are not entered on all apparatus."""
    gymnast = start.gymnast
    order = gymnast.start_order if gymnast.start_order is not None else place
    name = name_cell(gymnast, wording)
    if gymnast.guest:
        name = replace(name, sub=", ".join(filter(None, (name.sub, wording.say("guest")))))
    entered = wording.say("all") if start.apparatus == every else " ".join(start.apparatus)
    cells = (Cell(str(order)), Cell(gymnast.bib), name, *((Cell(entered),) if every else ()))
    return Row(cells, "guest" if gymnast.guest else "ranked", f"{table}-{gymnast.key}")
