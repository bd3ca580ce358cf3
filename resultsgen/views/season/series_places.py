"""The series of a season in short: all on one page, and where somebody stands, for their own."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from functools import lru_cache

from resultsgen.season.qualifying import Qualification
from resultsgen.season.season import Season
from resultsgen.season.series import SeriesLine, SeriesTable
from resultsgen.views.lists.places import NO_PLACE, place_column
from resultsgen.views.lists.table import Cell, Column, plain_table
from resultsgen.views.season.page import SeasonText, SeasonView, SeriesFirst
from resultsgen.views.season.series import FIRST, after, first_of_series, line_cell
from resultsgen.views.season.series_words import shown
from resultsgen.views.season.subject import SeasonSubject


@lru_cache(maxsize=2)
def lines_of(season: Season) -> Mapping[str, list[tuple[SeriesTable, SeriesLine]]]:
    """The lines of everybody, by the key of a career or the name of a club or team."""
    found: dict[str, list[tuple[SeriesTable, SeriesLine]]] = defaultdict(list)
    for held in season.series:
        for line in held.lines:
            found[line.who].append((held, line))
    return found


def shows(who: str, season: Season) -> str:
    """What tells these lines from how they were before."""
    return repr([
        (held.settings.id, held.settings.title, held.settings.count, line.place, line.sum,
         len(held.held), len(held.rounds))
        for held, line in lines_of(season).get(who, ())
    ])  # fmt: skip


def in_series(who: str, subject: SeasonSubject) -> Iterator[SeasonText]:
    """The place in each series, if it is in one."""
    say, found = subject.wording.say, lines_of(subject.season).get(who, ())
    columns = (
        place_column(subject.wording),
        Column(say("Series"), "name", width=3),
        Column(say("Sum"), "total"),
    )
    rows = (
        (
            str(line.place or NO_PLACE),
            Cell(held.settings.title, after(held, subject), target=f"series:{held.settings.id}"),
            shown(line.sum, held.settings, subject.language),
        )
        for held, line in found
    )
    if found:
        yield SeasonText(say("Series"), plain_table("series", say("Series"), columns, rows, "in"))


def series_index(subject: SeasonSubject) -> SeasonView:
    """The first of each series, and of those who qualify."""
    firsts = [first_of_series(held, subject) for held in subject.season.series]
    firsts += [_qualified(held, subject) for held in subject.season.qualifications]
    return SeasonView(subject.wording.say("Series"), "page:series", (), firsts=tuple(firsts))


def _qualified(held: Qualification, subject: SeasonSubject) -> SeriesFirst:
    rows = (
        (
            "Q",
            line_cell(one.line.who, subject),
            shown(one.line.sum, held.settings, subject.language),
        )
        for one in held.lines
        if one.outcome == "qualified"
    )
    return SeriesFirst(
        held.settings.title, f"qualification:{held.settings.id}", after(held.ranking, subject),
        tuple(rows)[:FIRST],
    )  # fmt: skip
