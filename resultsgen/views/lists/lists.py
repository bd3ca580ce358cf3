"""The pages of a competition beside its overview: each list, the cuts, the start lists."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from operator import attrgetter

from resultsgen.scoring.people import natural
from resultsgen.scoring.ranking import Gymnast
from resultsgen.scoring.results import CompetitionResults, made_once
from resultsgen.views.lists.competitions import PageHead, page_head
from resultsgen.views.lists.page_parts import PagePart, TablePart, by_content, by_number, parted
from resultsgen.views.lists.qualification import qualification_tables
from resultsgen.views.lists.rankings import list_table
from resultsgen.views.lists.rules import cut_sentences
from resultsgen.views.lists.start_lists import start_list_tables
from resultsgen.views.lists.table import Filter, Table
from resultsgen.views.live.costs import Explanation, of_routines
from resultsgen.views.site.site_map import NO_LISTS, QUALIFICATION, START_LIST, list_names
from resultsgen.views.words.alphabet import folded
from resultsgen.views.words.wording import Wording


@dataclass(frozen=True)
class ListView(PageHead):
    """A page with one list of a competition, or with its start lists or cuts."""

    sentences: tuple[str, ...]
    tables: tuple[Table, ...]
    several: bool
    """Each table needs a heading of its own."""
    explained: tuple[Explanation, ...]
    """What incidents cost in this list."""


def list_views(
    judged: CompetitionResults, wording: Wording, explained: tuple[Explanation, ...] = ()
) -> tuple[ListView, ...]:
    """Every page of a competition but its overview."""
    return tuple(
        ListView(
            **vars(page_head(judged, name, wording)),
            sentences=tuple(cut_sentences(judged, wording)) if name == QUALIFICATION else (),
            tables=_tables(judged, name, wording),
            several=name in (QUALIFICATION, START_LIST),
            explained=of_routines(explained, judged.competition.id, list=name),
        )
        for name in list_names(judged)
        if name not in NO_LISTS
    )


@made_once
def _tables(judged: CompetitionResults, name: str, wording: Wording) -> tuple[Table, ...]:
    if name == QUALIFICATION:
        return qualification_tables(judged, wording)
    if name == START_LIST:
        return start_list_tables(judged, wording)
    ranking = next(ranking for ranking in judged.rankings if ranking.id == name)
    table = list_table(judged, ranking, wording)
    if ranking.of_teams:
        return (table,)
    lines = (*ranking.lines, *(beside.line for beside in judged.beside_in(ranking)))
    return (narrowable(table, [line.gymnast for line in lines], wording),)


def narrowable(table: Table, gymnasts: Sequence[Gymnast], wording: Wording) -> Table:
    """The table with a filter for each thing in which the gymnasts of its rows differ."""
    say = wording.say
    offered: tuple[tuple[str, str, Callable[[Gymnast], str], Callable[[str], str]], ...] = (
        (say("Club"), say("All clubs"), attrgetter("club"), str),
        (say("Federation"), say("All federations"), attrgetter("federation"), str),
        (say("Division"), say("All divisions"), attrgetter("division"), wording.called),
        (say("Session"), say("All sessions"), attrgetter("session"), wording.called),
    )
    filters, filed = [], []
    for label, everything, of, called in offered:
        values = [of(gymnast) for gymnast in gymnasts]
        names = sorted(set(filter(None, values)), key=lambda name: (natural(folded(name)), name))
        if len(names) > 1:
            filters.append(Filter(label, everything, tuple(map(called, names))))
            numbers = {name: str(number) for number, name in enumerate(names)}
            filed.append([numbers.get(value, "-") for value in values])
    if not filters:
        return table
    rows = (
        row._replace(filed=" ".join(places))
        for row, places in zip(table.rows, zip(*filed, strict=True), strict=True)
    )
    return replace(table, filters=tuple(filters), rows=tuple(rows))


EXPLAINED = 170
"""So many bytes the explanation of a routine takes, compressed."""


def list_parts(view: ListView, wording: Wording) -> Iterator[tuple[PagePart, ListView]]:
    """The page part by part; one where all of it fits. Of incidents each has its own."""

    def part(pieces: tuple[TablePart, ...], _: int) -> ListView:
        tables = tuple(piece.table for piece in pieces)
        here = {cell.target for table in tables for row in table.rows for cell in row.cells}
        own = tuple(routine for routine in view.explained if routine.target in here)
        return replace(view, tables=tables, explained=own)

    rows = sum(len(table.rows) for table in view.tables)
    more = EXPLAINED * len(view.explained) // max(rows, 1)
    called = by_content if view.several else by_number
    return parted(view, view.tables, part, called, wording, more)
