"""The all-around list: a mark with its place on each apparatus, and the total."""

from __future__ import annotations

from resultsgen.scoring.results import CompetitionResults, Line
from resultsgen.views.lists.cells import mark_cell, mark_columns
from resultsgen.views.lists.rankings import Listing, ranking_table
from resultsgen.views.lists.table import Cell, Column, Table
from resultsgen.views.words.notes import Notes
from resultsgen.views.words.wording import Wording


def all_around_table(competition: CompetitionResults, wording: Wording) -> Table | None:
    """The whole list; None where the competition does not rank the all-around."""
    ranking = competition.all_around
    if ranking is None:
        return None

    def marks(line: Line, notes: Notes) -> tuple[Cell, ...]:
        return tuple(mark_cell(routine, notes, wording) for routine in line.routines)

    total = Column(wording.say("Total"), "total", width=1.1)
    return ranking_table(
        Listing(ranking, competition, wording), mark_columns(ranking.parts, wording), total, marks
    )
