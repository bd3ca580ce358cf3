"""The schedule: every competition in the order in which they take place."""

from __future__ import annotations

import datetime as dt

from resultsgen.scoring.results import CompetitionResults, Results, natural
from resultsgen.views.lists.table import Cell, Column, Row, Table
from resultsgen.views.words.wording import Wording


def schedule_table(results: Results, wording: Wording) -> Table:
    """A row for each competition: day, time, how many start; those without a day at the end."""
    say = wording.say
    columns = (
        Column(say("Competition"), "name", width=3),
        Column(say("Day"), "text", width=1.4),
        Column(say("Time"), "text", width=0.8),
        Column(say("Gymnasts"), "number", width=0.8),
    )
    ordered = sorted(results.competitions, key=_begins)
    rows = tuple(_row(one, wording) for one in ordered)
    return Table("schedule", say("Schedule"), columns, rows)


def _begins(one: CompetitionResults) -> tuple[object, ...]:
    """When it begins; what begins together stays in the order of the meet."""
    day = one.competition.day
    return (
        day is None,
        day or dt.date.min,
        not one.competition.time,
        natural(one.competition.time),
    )


def _row(one: CompetitionResults, wording: Wording) -> Row:
    competition = one.competition
    cells = (
        Cell(competition.title),
        Cell(wording.language.date(competition.day) if competition.day else ""),
        Cell(competition.time),
        Cell(str(len(one.starts))),
    )
    return Row(cells, id=f"competition-{competition.id}")
