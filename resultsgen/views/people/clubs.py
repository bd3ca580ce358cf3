"""A club's page, its recap of the meet: best places, finals, best marks, and all its results."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import groupby

from resultsgen.live.notable import complete_lists
from resultsgen.scoring.results import CompetitionResults, Line, Ranking, Results
from resultsgen.views.lists.cells import legend, shown_name
from resultsgen.views.lists.competitions import Link, when
from resultsgen.views.lists.members import Members
from resultsgen.views.lists.page_parts import ONLY, PagePart, by_content, parts_of_page
from resultsgen.views.lists.rankings import list_table
from resultsgen.views.lists.table import Cell, Note, Row, Table, called, letter
from resultsgen.views.people.club_lists import Shown, leading, shown
from resultsgen.views.people.people import clubs
from resultsgen.views.people.recap import (
    BestMark,
    Final,
    best_marks,
    finals,
    made_marks,
    own_facts,
    shared_text,
    starters,
)
from resultsgen.views.press.attachments import RenderedPage
from resultsgen.views.press.notable import Chapter, chapters, notable_facts
from resultsgen.views.site.addresses import club_target, gymnast_target, list_target
from resultsgen.views.site.site_map import OVERVIEW
from resultsgen.views.words.wording import Wording


@dataclass(frozen=True)
class Placing:
    """One of the first three places of a list, held by a gymnast or team of the club."""

    place: str
    name: str
    total: str
    list: Link
    competition: str


@dataclass(frozen=True)
class ClubEntry:
    """What a club did in one competition."""

    title: Link
    when: str
    tables: tuple[Table, ...]


@dataclass(frozen=True)
class ClubView:
    """One club in the whole meet."""

    name: str
    target: str
    gymnasts: str
    introductions: tuple[RenderedPage, ...]
    """The Markdown pages that introduce it."""
    placings: tuple[Placing, ...]
    finals: tuple[Final, ...]
    best_marks: tuple[BestMark, ...]
    chapters: tuple[Chapter, ...]
    """What is worth telling of it."""
    shared: str
    """A text to paste elsewhere."""
    entries: tuple[ClubEntry, ...]


Lists = tuple[tuple[CompetitionResults, tuple[Shown, ...]], ...]
"""The competitions with the lists that a club's page shows part of."""

First = tuple[CompetitionResults, Ranking, tuple[Line, ...]]
"""A list, and its lines in the first three places."""


def club_views(
    results: Results, wording: Wording, pages: tuple[RenderedPage, ...] = ()
) -> Iterator[ClubView]:
    """The page of each club, by name."""
    facts = notable_facts(results, wording)
    known, made = tuple(starters(results, wording)), made_marks(results)
    lists: Lists = tuple((one, tuple(_lists(one, wording))) for one in results.competitions)
    first = [
        (listed.competition, listed.ranking, leading(listed.ranking))
        for listed in complete_lists(results)
        if listed.won
    ]
    keys: dict[str, set[int]] = {}
    for gymnast in results.gymnasts.values():
        keys.setdefault(gymnast.club, set()).add(gymnast.key)
    for club in clubs(results):
        members = Members(club, frozenset(keys[club]))
        told = chapters(own_facts(facts, members, results), wording)
        yield replace(
            _view(members, results, first, lists, wording),
            finals=tuple(finals(known, members, wording)),
            best_marks=tuple(best_marks(made, results, members, wording)),
            chapters=told,
            introductions=_introducing(club, pages),
        )


def club_parts(view: ClubView, wording: Wording) -> Iterator[tuple[PagePart, ClubView]]:
    """The recap with all results; of a club with too many the recap, and then they in parts."""
    places = [(entry, each) for entry in view.entries for each in entry.tables]
    held = parts_of_page([table for _, table in places])
    if len(held) == 1:
        yield ONLY, view
        return
    finals_in_short = tuple(_in_short(one, wording) for one in view.finals)
    yield PagePart(wording.say("Overview"), ""), replace(view, entries=(), finals=finals_in_short)
    results = ClubView(view.name, view.target, view.gymnasts, (), (), (), (), (), "", ())
    for number, pieces in enumerate(held, start=2):
        called = by_content([one.table for one in pieces], number, len(held) + 1, wording)
        entries = tuple(
            replace(entry, tables=tuple(one.table for one in group))
            for entry, group in groupby(pieces, key=lambda one: places[one.number][0])
        )
        yield called, replace(results, entries=entries)


NAMED = 24
"""Of more than so many of a large club who go through the number is told, and no names."""


def _in_short(one: Final, wording: Wording) -> Final:
    """A final in which many start, with their number."""
    if len(one.starting) <= NAMED:
        return one
    many = wording.language.count("{n} of the club", "{n} of the club", len(one.starting))
    return replace(one, starting=(many,))


def _introducing(club: str, pages: tuple[RenderedPage, ...]) -> tuple[RenderedPage, ...]:
    return tuple(sorted((one for one in pages if one.club == club), key=lambda one: one.order))


def _lists(one: CompetitionResults, wording: Wording) -> Iterator[Shown]:
    """The team list and the all-around; of what these do not show, each apparatus."""
    for ranking in filter(None, (one.team, one.all_around)):
        yield shown(one, ranking, list_table(one, ranking, wording))
    everywhere = {line.key for line in one.all_around.lines} if one.all_around else set()
    for ranking in one.by_apparatus.values():
        yield shown(one, ranking, list_table(one, ranking, wording)).beyond(everywhere)


def _view(
    members: Members, results: Results, first: list[First], lists: Lists, wording: Wording
) -> ClubView:
    persons = {gymnast_target(results.gymnasts[key]) for key in members.keys}
    placings = tuple(placing for one in first for placing in _placings(one, members, wording))
    gymnasts = wording.language.count("{n} gymnast", "{n} gymnasts", len(persons))
    entries = (_entry(one, tables, members, wording) for one, tables in lists)
    return ClubView(
        members.club,
        club_target(members.club),
        gymnasts,
        (),
        placings,
        (),
        (),
        (),
        shared_text(members.club, gymnasts, _told(placings, wording), results, wording),
        tuple(entry for entry in entries if entry.tables),
    )


def _told(placings: tuple[Placing, ...], wording: Wording) -> list[str]:
    """The places in sentences, the best first."""
    return [
        wording.say(
            "{place}. {name}, {list}, {competition}: {total}.",
            place=one.place,
            name=one.name,
            list=one.list.text,
            competition=one.competition,
            total=one.total,
        )
        for one in sorted(placings, key=lambda one: int(one.place))
    ]


def _placings(first: First, members: Members, wording: Wording) -> Iterator[Placing]:
    """The first three places of a list that are the club's; it has been won, not qualified in."""
    one, ranking, lines = first
    link = Link(wording.list_name(ranking.id), list_target(one.competition.id, ranking.id))
    for line in lines:
        if members.own(line):
            total = wording.language.mark(line.total)
            name = shown_name(line.of, wording)
            yield Placing(str(line.place), name, total, link, one.competition.title)


def _entry(
    one: CompetitionResults,
    lists: tuple[Shown, ...],
    members: Members,
    wording: Wording,
) -> ClubEntry:
    narrowed = (narrowed_table(one.table, one.rows_of(members), wording) for one in lists)
    title = Link(one.competition.title, list_target(one.competition.id, OVERVIEW))
    return ClubEntry(title, when(one, wording), tuple(table for table in narrowed if table.rows))


def narrowed_table(table: Table, rows: tuple[Row, ...], wording: Wording) -> Table:
    """Some rows of a table, with the notes and codes that these rows call for, lettered anew."""
    letters = {mark: letter(number) for number, mark in enumerate(called(rows))}
    texts = {note.mark: note.text for note in table.notes}
    return replace(
        table,
        id=f"{table.id}-{rows[0].id}" if rows else table.id,
        rows=tuple(_relettered(row, letters) for row in rows),
        notes=tuple(Note(new, texts[old]) for old, new in letters.items()),
        legend=legend(table.columns, rows, wording),
    )


def _relettered(row: Row, letters: dict[str, str]) -> Row:
    """The row with the new letters, and without the anchor it has on the page of its list."""
    cells = (_with_letters(cell, letters) if cell.note else cell for cell in row.cells)
    return replace(row, cells=tuple(cells), id="")


def _with_letters(cell: Cell, letters: dict[str, str]) -> Cell:
    return replace(cell, note=" ".join(letters[mark] for mark in cell.note.split()))
