"""Start lists: one table per session and squad, in start order. They exist before any mark."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby

from resultsgen.scoring.results import CompetitionResults, Start, StartList
from resultsgen.views.lists.cells import name_cell
from resultsgen.views.lists.table import Cell, Column, Note, Row, Table
from resultsgen.views.words.wording import Wording


def start_list_tables(competition: CompetitionResults, wording: Wording) -> tuple[Table, ...]:
    """A table for each squad of each session; in a final for each apparatus, or one for all.

    Session, squad and start order of the roster are those of the qualification: a final has the
    order that was drawn, that of rank or that in which people named its starters, and otherwise
    none that the meet folder tells. Nobody starts where the marks are those of others.
    """
    if not competition.competition.has_own_marks:
        return ()
    if competition.start_lists:
        return tuple(
            _final_table(number, one, competition, wording)
            for number, one in enumerate(competition.start_lists, start=1)
        )
    groups = groupby(
        competition.starts, key=lambda start: (start.gymnast.session, start.gymnast.squad)
    )
    tables = []
    for number, ((session, squad), group) in enumerate(groups, start=1):
        members = tuple(group)
        orders = tuple(
            place if start.gymnast.start_order is None else start.gymnast.start_order
            for place, start in enumerate(members, start=1)
        )
        title = squad_title(session, squad, wording)
        tables.append(_squad_table(number, title, members, orders, competition, wording))
    return tuple(tables)


def _final_table(
    number: int, one: StartList, competition: CompetitionResults, wording: Wording
) -> Table:
    """The start list of a final, on one apparatus or in all, and how its order came about."""
    starts = {start.gymnast.key: start for start in competition.starts}
    members = tuple(
        replace(starts[key], apparatus=competition.apparatus) if one.apparatus else starts[key]
        for key in one.keys
    )
    orders = tuple(range(1, len(members) + 1)) if one.by else None
    title = wording.apparatus(one.apparatus) if one.apparatus else ""
    table = _squad_table(number, title, members, orders, competition, wording)
    words = {
        "draw": wording.say("The order was drawn."),
        "rank": wording.say("In order of rank in the qualification, the best first."),
        "reverse rank": wording.say("In order of rank in the qualification, the best last."),
        "given": "",
        "": wording.say("By bib; the start order is not given."),
    }[one.by]
    told = (words, _equals(competition, wording) if one.by in ("rank", "reverse rank") else "")
    return replace(table, notes=tuple(Note("", words) for words in told if words))


def _equals(competition: CompetitionResults, wording: Wording) -> str:
    """How those who are equal in the qualification stand, since no place tells them apart."""
    if competition.equals == "bib":
        return wording.say("Those who are equal there stand by bib, as nothing was drawn.")
    return wording.say("Those who are equal there stand by name, as nothing was drawn.")


def _squad_table(
    number: int,
    title: str,
    starts: tuple[Start, ...],
    orders: tuple[int, ...] | None,
    competition: CompetitionResults,
    wording: Wording,
) -> Table:
    every = competition.apparatus
    some = any(start.apparatus != every for start in starts)
    order = Column(wording.say("Order"), "number", wording.say("No."), width=0.5)
    columns = (
        *((order,) if orders else ()),
        Column(wording.say("Bib"), "text", width=0.5),
        Column(wording.say("Gymnast"), "name", width=3),
        *((Column(wording.say("Apparatus"), "text", width=1.4),) if some else ()),
    )
    numbers = [(Cell(str(place)),) for place in orders] if orders else [()] * len(starts)
    rows = tuple(
        _start_row(f"squad-{number}", ahead, start, every if some else None, wording)
        for ahead, start in zip(numbers, starts, strict=True)
    )
    return Table(f"squad-{number}", title or competition.competition.title, columns, rows)


def squad_title(session: str, squad: str, wording: Wording) -> str:
    """Which session and squad: "Session 1, squad A"; words already in the roster stay alone.

    >>> squad_title("1", "A", Wording()), squad_title("Friday evening", "Squad 2", Wording())
    ('Session 1, squad A', 'Friday evening, Squad 2')
    """
    parts = []
    if session:
        parts.append(session if " " in session else wording.say("Session {name}", name=session))
    if squad:
        first, after = (
            wording.say("Squad {name}", name=squad),
            wording.say("squad {name}", name=squad),
        )
        parts.append(squad if " " in squad else after if parts else first)
    return ", ".join(parts)


def _start_row(
    table: str,
    ahead: tuple[Cell, ...],
    start: Start,
    every: tuple[str, ...] | None,
    wording: Wording,
) -> Row:
    """*every* is given where some are not entered on all apparatus."""
    gymnast = start.gymnast
    name = name_cell(gymnast, wording)
    if gymnast.guest:
        name = replace(name, sub=", ".join(filter(None, (name.sub, wording.say("guest")))))
    entered = wording.say("all") if start.apparatus == every else " ".join(start.apparatus)
    cells = (*ahead, Cell(gymnast.bib), name, *((Cell(entered),) if every else ()))
    return Row(cells, "guest" if gymnast.guest else "ranked", f"{table}-{gymnast.key}")
