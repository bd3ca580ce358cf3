"""The pages of a competition beside its overview: each list, the cuts, the start lists."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial

from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.lists.all_around import all_around_table
from resultsgen.views.lists.apparatus import apparatus_table
from resultsgen.views.lists.competitions import Link, links, state, when
from resultsgen.views.lists.filters import narrowable
from resultsgen.views.lists.page_parts import ONLY, Stretch, by_content, by_number, stretches_of
from resultsgen.views.lists.qualification import qualification_tables
from resultsgen.views.lists.rules import cut_sentences
from resultsgen.views.lists.start_lists import start_list_tables
from resultsgen.views.lists.table import Table
from resultsgen.views.lists.teams import team_table
from resultsgen.views.live.costs import Explanation, of_routines
from resultsgen.views.site.site_map import NO_LISTS, QUALIFICATION, START_LIST, list_names
from resultsgen.views.words.wording import Wording


@dataclass(frozen=True)
class ListView:
    """A page with one list of a competition, or with its start lists or cuts."""

    title: str
    target: str
    competition: str
    below: tuple[str, ...]
    links: tuple[Link, ...]
    """The pages of the competition, the overview first."""
    sentences: tuple[str, ...]
    tables: tuple[Table, ...]
    several: bool
    """Each table needs a heading of its own."""
    explained: tuple[Explanation, ...] = ()
    """What incidents cost in this list."""


def list_views(
    one: CompetitionResults, wording: Wording, told: tuple[Explanation, ...] = ()
) -> tuple[ListView, ...]:
    """Every page of a competition but its overview."""
    offered = links(one, wording)
    return tuple(
        replace(
            _list_view(name, link, one, offered, wording),
            explained=of_routines(told, one.competition.id, list=name),
        )
        for name, link in zip(list_names(one), offered, strict=True)
        if name not in NO_LISTS
    )


EXPLAINED = 170
"""So many bytes the explanation of a routine takes, compressed."""


def list_stretches(view: ListView, wording: Wording) -> Iterator[tuple[Stretch, ListView]]:
    """The page stretch by stretch; one where all of it fits. Of incidents each has its own."""
    rows = sum(len(table.rows) for table in view.tables)
    held = stretches_of(view.tables, EXPLAINED * len(view.explained) // max(rows, 1))
    if len(held) == 1:
        yield ONLY, view
        return
    for number, pieces in enumerate(held, start=1):
        tables = tuple(piece.table for piece in pieces)
        if view.several:
            called = by_content(tables, number, len(held), wording)
        else:
            called = by_number(tables[0], wording)
        yield called, replace(view, tables=tables, explained=_own(view.explained, tables))


def _own(told: tuple[Explanation, ...], tables: tuple[Table, ...]) -> tuple[Explanation, ...]:
    """The explanations for those who stand in these tables."""
    here = {cell.target for table in tables for row in table.rows for cell in row.cells}
    return tuple(one for one in told if one.target in here)


def _list_view(
    name: str, link: Link, one: CompetitionResults, offered: tuple[Link, ...], wording: Wording
) -> ListView:
    how_far = state(one, wording) if name != START_LIST else ""
    return ListView(
        link.text,
        link.target,
        one.competition.title,
        tuple(filter(None, (when(one, wording), how_far))),
        offered,
        tuple(cut_sentences(one, wording)) if name == QUALIFICATION else (),
        _tables(name, one, wording),
        several=name in (QUALIFICATION, START_LIST),
    )


def _tables(name: str, one: CompetitionResults, wording: Wording) -> tuple[Table, ...]:
    if name == QUALIFICATION:
        return qualification_tables(one, wording)
    if name == START_LIST:
        return start_list_tables(one, wording)
    if name == "team":
        table = team_table(one, wording)
        return (table,) if table else ()
    return _list_of_gymnasts(name, one, wording)


def _list_of_gymnasts(name: str, one: CompetitionResults, wording: Wording) -> tuple[Table, ...]:
    ranking = one.all_around if name == "all-around" else one.by_apparatus[name]
    make = all_around_table if name == "all-around" else partial(apparatus_table, code=name)
    table = make(one, wording=wording)
    if ranking is None or table is None:
        return ()
    below = (beside.line for beside in one.beside_in(ranking))
    return (narrowable(table, [line.gymnast for line in (*ranking.lines, *below)], wording),)
