"""What the lines of a list of any kind are called: gymnasts, or teams."""

from __future__ import annotations

from resultsgen.meet.settings import Ranked
from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.lists.cells import name_cell
from resultsgen.views.lists.table import Cell
from resultsgen.views.site.addresses import club_target
from resultsgen.views.words.wording import Wording


def lines_of(one: CompetitionResults, kind: Ranked, wording: Wording) -> dict[int, Cell]:
    """The name of each line of such a list, by key of gymnast or team."""
    if kind != "team":
        return {start.gymnast.key: name_cell(start.gymnast, wording) for start in one.starts}
    by_club = one.competition.team is not None and one.competition.team.by == "club"
    teams = one.team.lines if one.team else ()
    return {
        line.key: Cell(line.id, target=club_target(line.id) if by_club else "") for line in teams
    }
