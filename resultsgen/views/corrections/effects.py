"""What a publication's corrections moved: places, ties and cuts, before and after."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from resultsgen.history import Issue
from resultsgen.history.changes import CutChange, LineChange, TieChange, places
from resultsgen.history.publication import PublishedVerdict
from resultsgen.views.corrections.published import Names
from resultsgen.views.lists.table import Cell, Column, Note, Row, Table
from resultsgen.views.words.wording import Wording

NOTHING = "–"


def moves_table(issue: Issue, names: Names) -> Table:
    """Each place, tie and cut that corrections moved."""
    cells = [
        *(_place(one, names) for one in issue.effects.lines),
        *(_tie(one, names) for one in issue.effects.ties),
        *(_cut(one, names) for one in issue.effects.cuts),
    ]
    title = names.wording.say("What publication {n} moved", n=issue.publication.number)
    return _table(issue, "moved", title, cells, names.wording, tuple(_notes(issue, names.wording)))


def withdrawals_table(issue: Issue, names: Names) -> Table:
    """Who withdrew from what a cut leads to, and who moves up for it."""
    cells = [_cut(one, names) for one in issue.changes.withdrawals]
    title = names.wording.say(
        "Withdrawals, and who moves up, in publication {n}", n=issue.publication.number
    )
    return _table(issue, "withdrew", title, cells, names.wording)


def _table(
    issue: Issue,
    kind: str,
    title: str,
    cells: list[tuple[Cell, ...]],
    wording: Wording,
    notes: tuple[Note, ...] = (),
) -> Table:
    columns = (
        Column(wording.say("Who"), "name", width=3.4),
        Column(wording.say("Before"), "text", width=1.6),
        Column(wording.say("Now"), "text", width=1.6),
    )
    id = f"{kind}-{issue.publication.number}"
    rows = tuple(Row(row, id=f"{id}-{number}") for number, row in enumerate(cells, start=1))
    return Table(id, title, columns, rows, notes=notes)


def _notes(issue: Issue, wording: Wording) -> Iterator[Note]:
    added = {change.competition for change in issue.changes.added}
    if any(one.competition in added for one in issue.corrected):
        text = wording.say(
            "Where marks were added at the same time, places count only those to whom none was "
            "added, and neither teams nor cuts are told."
        )
        yield Note("", text)


def _place(one: LineChange, names: Names) -> tuple[Cell, ...]:
    before, now = (_place_words(place, names.wording) for place in places(one))
    return (names.of_list(one.competition, one.list, one.key), before, now)


def _place_words(place: int | None, wording: Wording) -> Cell:
    return Cell(wording.say("place {n}", n=place) if place else NOTHING)


def _tie(one: TieChange, names: Names) -> tuple[Cell, ...]:
    who = [names.of_list(one.competition, one.list, each).text for each in one.key]
    return (
        Cell(names.wording.language.listed(who), names.list(one.competition, one.list)),
        _tie_words(one.old, names.wording),
        _tie_words(one.new, names.wording),
    )


def _tie_words(given: tuple[int, ...] | None, wording: Wording) -> Cell:
    """Nothing; or that their totals are equal, and which places they have."""
    if not given:
        return Cell(NOTHING)
    if len(set(given)) == 1:
        return Cell(wording.say("tied, place {n} shared", n=given[0]))
    listed = wording.language.listed([str(place) for place in sorted(given)])
    return Cell(wording.say("tied, places {places}", places=listed))


def _cut(one: CutChange, names: Names) -> tuple[Cell, ...]:
    cut, key = one.key
    who = names.of_list(one.competition, one.list, key)
    return (
        replace(who, sub=names.wording.language.headed(cut, who.sub)),
        _cut_words(one.old, names.wording),
        _cut_words(one.new, names.wording),
    )


def _cut_words(one: PublishedVerdict | None, wording: Wording) -> Cell:
    if one is None:
        return Cell(wording.say("not through"))
    if one.outcome == "reserve":
        return Cell(
            wording.say("called up") if one.starts else wording.say("reserve {n}", n=one.number)
        )
    if one.outcome == "capped":
        return Cell(wording.say("called up") if one.starts else wording.say("passed over"))
    return Cell(wording.say("goes through") if one.starts else wording.say("withdrew"))
