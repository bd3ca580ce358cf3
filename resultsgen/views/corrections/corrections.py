"""What was corrected: every publication, each correction with its reason, and what it moved."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import accumulate

from resultsgen.history import Corrected, History, Issue
from resultsgen.history.publication import Publication, PublishedMark
from resultsgen.scoring.results import Results
from resultsgen.views.corrections.correction_words import (
    correction_sentence,
    decided,
    moment,
    publication_sentence,
    shown,
    status_of,
    why,
)
from resultsgen.views.corrections.effects import moves_table, withdrawals_table
from resultsgen.views.corrections.published import Names
from resultsgen.views.lists.cells import parts_of
from resultsgen.views.lists.competitions import Link
from resultsgen.views.lists.page_parts import (
    HEADING,
    ONLY,
    WHOLE,
    PagePart,
    by_content,
    by_count,
    parts_of_page,
)
from resultsgen.views.lists.table import Cell, Column, Row, Table
from resultsgen.views.site.addresses import list_target
from resultsgen.views.words.wording import Wording

NOTHING = "–"

CORRECTED, MOVED = 55, 30
"""So many bytes a row of what was corrected takes on a page, and one of what that moved."""

PART = 50
"""So many publications an older part of the page of all of them tells of."""

TOLD = 12
"""So many corrections are told on a page that they touched, the newest ones."""


@dataclass(frozen=True)
class PublicationView:
    """One publication on the page of corrections."""

    number: int
    title: str
    when: str
    sentence: str
    """What it added, corrected and took away, in numbers."""
    status: str
    record: str
    """The address of what it published."""
    tables: tuple[Table, ...]
    """What it corrected, and what that moved; none where it only added."""
    lists: tuple[Link, ...]
    """The lists that are otherwise by its corrections: their pages, and their books."""
    apart: str = ""
    """The address of the page of its own that has its tables; empty: that of all has them."""


def publication_views(results: Results, wording: Wording) -> tuple[PublicationView, ...]:
    """Every publication, the newest first."""
    names = Names(results, wording)
    pages = apart(results.history)
    return tuple(
        _publication(issue, names, pages.get(issue.publication.number, ""))
        for issue in reversed(results.history.issues)
    )


def apart(history: History) -> dict[int, str]:
    """The page of each publication that has one: as soon as newer ones fill that of all.

    Publications do not change any more, so whoever once has a page of its own keeps it.
    """
    newest_first = history.issues[::-1]
    sums = accumulate(_weight(issue) for issue in newest_first)
    return {
        issue.publication.number: f"corrections/{issue.publication.number}.html"
        for issue, so_far in zip(newest_first, sums, strict=True)
        if so_far > WHOLE and _weight(issue) > HEADING
    }


def page_parts(history: History) -> tuple[tuple[str, range], ...]:
    """The pages that tell of publications, the newest first, and the numbers that each tells of.

    Those below the first hold a fixed number, so that whatever lies on one stays there.
    """
    last = history.number
    full = max(0, last // PART - 1)
    older = tuple(
        (f"corrections/from-{begin}.html", range(begin, begin + PART))
        for begin in range((full - 1) * PART + 1, 0, -PART)
    )
    return (("corrections.html", range(full * PART + 1, last + 1)), *older)


def pages_of(history: History) -> dict[int, str]:
    """The page on which each publication is told with its tables."""
    told = {number: page for page, numbers in page_parts(history) for number in numbers}
    return told | apart(history)


def publication_parts(
    views: tuple[PublicationView, ...], history: History, wording: Wording
) -> Iterator[tuple[str, PagePart, tuple[PublicationView, ...]]]:
    """The page of all publications part by part: its address, what it is called, what it shows."""
    parts = page_parts(history)
    for page, numbers in parts:
        held = tuple(without_tables(one) for one in views if one.number in numbers)
        called = by_count(numbers[0], numbers[-1], history.number, wording)
        yield page, called if len(parts) > 1 else ONLY, held


def _weight(issue: Issue) -> int:
    """About how many bytes a publication takes, compressed."""
    moved = issue.effects
    others = (*moved.lines, *moved.ties, *moved.cuts, *issue.changes.withdrawals)
    return HEADING + CORRECTED * len(issue.corrected) + MOVED * len(others)


def without_tables(one: PublicationView) -> PublicationView:
    """What the page of all publications shows of one that has a page of its own."""
    return replace(one, tables=()) if one.apart else one


def own_parts(
    one: PublicationView, wording: Wording
) -> Iterator[tuple[PagePart, tuple[PublicationView]]]:
    """A publication's own page part by part."""
    held = parts_of_page(one.tables)
    for number, pieces in enumerate(held, start=1):
        tables = tuple(piece.table for piece in pieces)
        called = by_content(tables, number, len(held), wording) if len(held) > 1 else ONLY
        yield called, (replace(one, tables=tables),)


def _publication(issue: Issue, names: Names, page: str) -> PublicationView:
    one, wording = issue.publication, names.wording
    tables = _tables(issue, names)
    return PublicationView(
        one.number,
        wording.say("Publication {n}", n=one.number),
        moment(one.published, wording),
        publication_sentence(issue, wording),
        status_of(one, wording),
        record_address(one),
        tables,
        _lists(issue, names),
        page,
    )


def _tables(issue: Issue, names: Names) -> tuple[Table, ...]:
    """What was corrected, what that moved, and who withdrew; those that say anything."""
    tables = (
        corrections_table(issue, names),
        moves_table(issue, names),
        withdrawals_table(issue, names),
    )
    return tuple(table for table in tables if table.rows)


def _lists(issue: Issue, names: Names) -> tuple[Link, ...]:
    """The lists that show a corrected mark, or in which corrections moved a place."""
    moved = (list_target(line.competition, line.list) for line in issue.effects.lines)
    shown = (target for one in issue.corrected for target in names.pages(one))
    targets = dict.fromkeys((*shown, *moved))
    return tuple(Link(names.lists[target], target) for target in targets if target in names.lists)


def record_address(one: Publication) -> str:
    """Where on the site the record of a publication lies."""
    return f"data/publications/{one.number:03d}.json"


def corrections_table(issue: Issue, names: Names) -> Table:
    """Every correction of a publication: what was published, what stands now, and why."""
    say = names.wording.say
    columns = (
        Column(say("Gymnast"), "name", width=3),
        Column(say("Published"), "mark", width=1.1),
        Column(say("Corrected"), "mark", width=1.1),
        Column(say("Why"), "text", width=2),
    )
    id = f"corrected-{issue.publication.number}"
    rows = tuple(
        Row(_cells(one, names), id=f"{id}-{number}")
        for number, one in enumerate(issue.corrected, start=1)
    )
    title = say("Corrections in publication {n}", n=issue.publication.number)
    return Table(id, title, columns, rows)


def _cells(one: Corrected, names: Names) -> tuple[Cell, ...]:
    change = one.change
    old, new = (change.old, change.new) if change else (None, None)
    return (
        names.corrected(one),
        Cell(one.old or NOTHING) if one.what else _mark(one.old, old, new, names.wording),
        _now(one, names.wording),
        Cell(why(one, names.wording), "; ".join(decided(given) for given in one.reasons)),
    )


def _now(one: Corrected, wording: Wording) -> Cell:
    """What stands in the place of what was published."""
    if one.gone:
        return Cell(wording.say("withdrawn"))
    change = one.change
    if one.what or not change:
        return Cell(one.new or NOTHING) if one.what else _mark(one.new, None, None, wording)
    return _mark(one.new, change.new, change.old, wording)


def _mark(
    text: str, mark: PublishedMark | None, other: PublishedMark | None, wording: Wording
) -> Cell:
    """A mark or a status, with its parts where both marks have some."""
    parts = parts_of(mark, wording) if mark and other and mark[4:8] != other[4:8] else ""
    return Cell(shown(text, wording) or NOTHING, parts)


def sentences_by_page(results: Results, wording: Wording) -> dict[str, tuple[str, ...]]:
    """For each page that a correction touched (its target), a sentence on each, newest first."""
    names = Names(results, wording)
    found: dict[str, list[str]] = {}
    for one in results.history.corrected:
        sentence = correction_sentence(one, names)
        for target in names.pages(one):
            found.setdefault(target, []).append(sentence)
    return {target: _newest(sentences, wording) for target, sentences in found.items()}


def _newest(sentences: list[str], wording: Wording) -> tuple[str, ...]:
    """The newest sentences of a page, and how many there are beside them."""
    more = len(sentences) - TOLD
    if more <= 0:
        return tuple(sentences)
    beside = wording.language.count("{n} correction more.", "{n} corrections more.", more)
    return (*sentences[:TOLD], beside)


def newest(results: Results, wording: Wording, most: int) -> tuple[str, ...]:
    """The newest corrections in a sentence each."""
    names = Names(results, wording)
    corrected = results.history.corrected[:most]
    return tuple(correction_sentence(one, names) for one in corrected)


def correction_tables(results: Results, wording: Wording) -> Iterator[Table]:
    """The tables of every publication that has any, the first one first."""
    names = Names(results, wording)
    for issue in results.history.issues:
        yield from _tables(issue, names)
