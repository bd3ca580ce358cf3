"""Start lists, which exist before any mark, and the schedule of the competitions."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from itertools import count, groupby

from resultsgen.language import to_say
from resultsgen.scoring.people import natural
from resultsgen.scoring.ranking import Gymnast
from resultsgen.scoring.results import CompetitionResults, Results, Start
from resultsgen.views.lists.cells import (
    bib_cells,
    bib_columns,
    name_cell,
    name_column,
    shown_name,
)
from resultsgen.views.lists.table import Cell, Column, Row, Table, TableNote
from resultsgen.views.words.wording import Wording


def schedule_table(results: Results, wording: Wording) -> Table:
    """A row for each competition: day, time, how many start; those without a day at the end."""
    say, language = wording.say, wording.language
    columns = (
        Column(say("Competition"), "name", width=3),
        Column(say("Day"), "text", width=1.4),
        Column(say("Time"), "text", width=0.8),
        Column(say("Gymnasts"), "number", width=0.8),
    )

    def begins(judged: CompetitionResults) -> tuple[object, ...]:
        """When it begins; what begins together stays in the order of the meet."""
        day, time = judged.competition.day, judged.competition.time
        return day is None, day or dt.date.min, not time, natural(time)

    rows = []
    for one in sorted(results.competitions, key=begins):
        competition = one.competition
        day = language.date(competition.day) if competition.day else ""
        texts = (wording.called(competition.title), day, competition.time, str(len(one.starts)))
        rows.append(Row(tuple(map(Cell, texts)), id=f"competition-{competition.id}"))
    return Table("schedule", say("Schedule"), columns, tuple(rows))


def start_list_tables(competition: CompetitionResults, wording: Wording) -> tuple[Table, ...]:
    """A table for each squad of each session; in a final for each apparatus, or one for all.

    Session, squad and start order of the roster are those of the qualification: a final has the
    order that was drawn, that of rank or that in which people named its starters, and otherwise
    none that the meet folder tells. Nobody starts where the marks are those of others.
    """
    if not competition.competition.has_own_marks:
        return ()
    make = _final_tables if competition.start_lists else _squad_tables
    return tuple(make(competition, wording))


def _squad_tables(competition: CompetitionResults, wording: Wording) -> Iterator[Table]:
    for number, (session, squad, members, orders) in enumerate(squads(competition), start=1):
        title = squad_title(session, squad, wording)
        yield _start_table(number, title, members, orders, competition, wording)


def squads(judged: CompetitionResults) -> Iterator[tuple[str, str, tuple[Start, ...], list[int]]]:
    """Session, squad, who is in it, and their numbers in the start order, as listed if not said."""
    groups = groupby(judged.starts, lambda start: (start.gymnast.session, start.gymnast.squad))
    for (session, squad), group in groups:
        members = tuple(group)
        given = (start.gymnast.start_order for start in members)
        orders = [place if own is None else own for place, own in enumerate(given, start=1)]
        yield session, squad, members, orders


def starter_cell(who: Gymnast, wording: Wording) -> Cell:
    """Who starts; below the name also that it is a guest."""
    name, guest = name_cell(who, wording), wording.say("guest") if who.guest else ""
    return name._replace(sub=", ".join(filter(None, (name.sub, guest))))


def _final_tables(competition: CompetitionResults, wording: Wording) -> Iterator[Table]:
    """The start list of a final, on one apparatus or in all, team by team where teams alone are
    ranked; and how its order came about."""
    starts, number = {start.gymnast.key: start for start in competition.starts}, count(1)
    for listed in competition.start_lists:
        members = tuple(starts[key] for key in listed.keys)
        if listed.apparatus:
            members = tuple(replace(start, apparatus=competition.apparatus) for start in members)
        orders = {key: place for place, key in enumerate(listed.keys, start=1)}
        title = wording.apparatus(listed.apparatus) if listed.apparatus else ""
        *tables, table = (
            _start_table(
                next(number), part, those,
                [orders[start.gymnast.key] for start in those] if listed.by else [],
                competition, wording,
            )
            for part, those in _by_team(title, members, competition)
        )  # fmt: skip
        lists = (listed.apparatus,) if listed.apparatus else ("all-around", "team")
        told = [text for each in lists for text in stand_ins_told(competition, each, wording)]
        if competition.waits_for:
            runs = wording.called(competition.waits_for)
            told += [wording.say("As it stands: {competition} still runs.", competition=runs)]
        told += [wording.say(ORDERS[listed.by])] if listed.by in ORDERS else []
        if not (listed.by or wording.bibs_worn):
            told[-1:] = [wording.say("The start order is not given.")]
        if listed.equals:
            told.append(
                wording.say(
                    "Those who are equal there stand by bib, as nothing was drawn."
                    if competition.equals == "bib"
                    else "Those who are equal there stand by name, as nothing was drawn."
                )
            )
        yield from tables
        yield replace(table, notes=tuple(TableNote("", words) for words in told))


def stand_ins_told(final: CompetitionResults, list: str, wording: Wording) -> Iterator[str]:
    """Who starts there in whose place, and in whose place nobody does."""
    gone = []
    for one in final.stand_ins:
        name = shown_name(one.gone, wording)
        if one.list != list:
            continue
        if one.called_up:
            by = shown_name(one.called_up, wording)
            yield wording.say(
                "{name} starts in place of {names}, who withdrew.", name=by, names=name
            )
        else:
            gone.append(name)
    if gone:
        yield wording.say("Withdrew: {names}.", names=wording.language.listed(gone))


def _by_team(
    title: str, starts: tuple[Start, ...], competition: CompetitionResults
) -> Iterator[tuple[str, tuple[Start, ...]]]:
    """Those who start, by team where nothing but teams is ranked and everybody is in one."""
    lines = competition.team.lines if competition.team else ()
    teams = {member.gymnast.key: line.id for line in lines for member in line.team.members}
    keys = {start.gymnast.key for start in starts}
    if title or competition.all_around or competition.by_apparatus or not keys <= teams.keys():
        yield title, starts
        return
    for name in dict.fromkeys(teams[start.gymnast.key] for start in starts):
        yield name, tuple(start for start in starts if teams[start.gymnast.key] == name)


ORDERS = {
    "draw": to_say("The order was drawn."),
    "rank": to_say("In order of place in the qualification, the best first."),
    "reverse rank": to_say("In order of place in the qualification, the best last."),
    "": to_say("By bib; the start order is not given."),
}
"""How the order of a start list came about; one that was named by people says nothing."""


def _start_table(
    number: int, title: str, starts: tuple[Start, ...], orders: list[int],
    competition: CompetitionResults, wording: Wording,
) -> Table:  # fmt: skip
    """Who starts; the apparatus only where some are not entered on all of them."""
    say, every, id = wording.say, competition.apparatus, f"squad-{number}"
    some = any(start.apparatus != every for start in starts)
    columns = (
        *((Column(say("Order"), "number", width=0.5),) if orders else ()),
        *bib_columns(wording),
        name_column(False, wording, 3),
        *((Column(say("Apparatus"), "text", width=1.4),) if some else ()),
    )
    rows = []
    for place, start in enumerate(starts):
        gymnast = start.gymnast
        entered = say("all") if start.apparatus == every else " ".join(start.apparatus)
        cells = (
            *((Cell(str(orders[place])),) if orders else ()),
            *bib_cells(gymnast, wording),
            starter_cell(gymnast, wording),
            *((Cell(entered),) if some else ()),
        )
        id_of_row = f"{id}-{gymnast.key}"
        rows.append(Row(cells, "guest" if gymnast.guest else "ranked", id_of_row))
    return Table(id, title or wording.called(competition.competition.title), columns, tuple(rows))


def turn_title(rotation: int | None, *where: str, wording: Wording) -> str:
    """The rotation, if it is known, and what else says where: "Rotation 3 · Balance Beam"."""
    turn = wording.say("Rotation {rotation}", rotation=rotation) if rotation else ""
    return " · ".join(filter(None, (turn, *where)))


def squad_title(session: str, squad: str, wording: Wording) -> str:
    """Which session and squad: "Session 1, squad A"; words already in the roster stay alone.

    >>> squad_title("1", "A", Wording()), squad_title("Friday evening", "Squad 2", Wording())
    ('Session 1, squad A', 'Friday evening, Squad 2')
    """
    session, squad = wording.called(session), wording.called(squad)
    parts = []
    if session:
        parts.append(session if " " in session else wording.say("Session {name}", name=session))
    if squad:
        words = wording.say("squad {name}" if session else "Squad {name}", name=squad)
        parts.append(squad if " " in squad else words)
    return ", ".join(parts)
