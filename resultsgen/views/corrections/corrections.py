"""What was corrected: every publication, each correction with its reason, and what it moved."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import accumulate, islice

from resultsgen.history import Corrected, History, Issue
from resultsgen.history.changes import CutChange, TieChange, places
from resultsgen.history.publication import Publication, PublishedMark, PublishedVerdict
from resultsgen.meet.parts import part_of
from resultsgen.scoring.results import Results
from resultsgen.views.corrections.correction_words import (
    NOTHING,
    PublishedNames,
    correction_sentence,
    decided,
    publication_sentence,
    published_names,
    shown,
    status_of,
    why,
)
from resultsgen.views.lists.cells import parts_of
from resultsgen.views.lists.page_parts import (
    HEADING,
    ONLY,
    WHOLE,
    PagePart,
    TablePart,
    by_content,
    by_count,
    parted,
)
from resultsgen.views.lists.table import Cell, Column, Table, TableNote, plain_table
from resultsgen.views.site.addresses import Link, list_target
from resultsgen.views.words.wording import Wording, place_words

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
    names = published_names(results, wording)
    pages = apart(results.history)
    return tuple(
        PublicationView(
            publication.number,
            wording.say("Publication {n}", n=publication.number),
            wording.language.moment(publication.published),
            publication_sentence(issue, wording),
            status_of(publication, wording),
            record_address(publication),
            _tables(issue, names),
            # Those that show a corrected mark, or in which corrections moved a place.
            tuple(
                Link(names.lists[target], target)
                for target in dict.fromkeys(
                    (
                        *(page for each in issue.corrected for page in names.pages(each)),
                        *(list_target(line.competition, line.list) for line in issue.effects.lines),
                    )
                )
                if target in names.lists
            ),
            pages.get(publication.number, ""),
        )
        for issue in reversed(results.history.issues)
        for publication in [issue.publication]
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


def _weight(issue: Issue) -> int:
    """About how many bytes a publication takes, compressed."""
    moved = issue.effects
    others = (*moved.lines, *moved.ties, *moved.cuts, *issue.changes.withdrawals)
    return HEADING + CORRECTED * len(issue.corrected) + MOVED * len(others)


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
    """The page of all publications part by part: its address, what it is called, what it shows.

    Of one that has a page of its own, no tables.
    """
    parts = page_parts(history)
    shown = [replace(view, tables=()) if view.apart else view for view in views]
    for page, numbers in parts:
        called = by_count(numbers[0], numbers[-1], history.number, wording)
        held = tuple(view for view in shown if view.number in numbers)
        yield page, called if len(parts) > 1 else ONLY, held


def own_parts(
    view: PublicationView, wording: Wording
) -> Iterator[tuple[PagePart, tuple[PublicationView]]]:
    """A publication's own page part by part."""

    def show(pieces: tuple[TablePart, ...], _: int) -> tuple[PublicationView]:
        return (replace(view, tables=tuple(piece.table for piece in pieces)),)

    return parted((view,), view.tables, show, by_content, wording)


def record_address(publication: Publication) -> str:
    """Where on the site the record of a publication lies."""
    return f"data/publications/{publication.number:03d}.json"


# The sentences on other pages


def sentences_by_page(results: Results, wording: Wording) -> dict[str, tuple[str, ...]]:
    """For each page that a correction touched (its target), a sentence on each, newest first."""
    names = published_names(results, wording)
    found: dict[str, list[str]] = {}
    for corrected in results.history.corrected:
        sentence = correction_sentence(corrected, names)
        for target in names.pages(corrected):
            found.setdefault(target, []).append(sentence)
    for sentences in found.values():
        more, count = len(sentences) - TOLD, wording.language.count
        if more > 0:
            sentences[TOLD:] = [count("{n} correction more.", "{n} corrections more.", more)]
    return {target: tuple(sentences) for target, sentences in found.items()}


def newest(
    results: Results, wording: Wording, most: int = TOLD, competition: str = ""
) -> tuple[str, ...]:
    """The newest corrections, of all or of one competition, in a sentence each."""
    names = published_names(results, wording)
    told = (one for one in results.history.corrected if competition in ("", one.competition))
    return tuple(correction_sentence(corrected, names) for corrected in islice(told, most))


# The tables


def correction_tables(results: Results, wording: Wording) -> Iterator[Table]:
    """The tables of every publication that has any, the first one first."""
    names = published_names(results, wording)
    for issue in results.history.issues:
        yield from _tables(issue, names)


def _tables(issue: Issue, names: PublishedNames) -> tuple[Table, ...]:
    """What was corrected, what that moved, and who withdrew; those that say anything."""
    say, n = names.wording.say, issue.publication.number
    why_columns = (
        Column(say("Gymnast"), "name", width=3),
        Column(say("Published"), "mark", width=1.1),
        Column(say("Corrected"), "mark", width=1.1),
        Column(say("Why"), "text", width=2),
    )
    columns = (
        Column(say("Who"), "name", width=3.4),
        Column(say("Before"), "text", width=1.6),
        Column(say("Now"), "text", width=1.6),
    )

    def place_cell(place: int | None) -> Cell:
        return Cell(place_words(place, False, names.wording) if place else NOTHING)

    moved = (
        *(
            (names.of_list(line.competition, line.list, line.key), *map(place_cell, places(line)))
            for line in issue.effects.lines
        ),
        *(_tie_cells(tie, names) for tie in issue.effects.ties),
        *(_cut_cells(cut, names) for cut in issue.effects.cuts),
    )
    withdrew = [_cut_cells(cut, names) for cut in issue.changes.withdrawals]
    tables = (
        ("corrected", say("Corrections in publication {n}", n=n), why_columns,
         [_corrected_cells(corrected, names) for corrected in issue.corrected], ()),
        ("moved", say("What publication {n} moved", n=n), columns, moved,
         tuple(_notes(issue, names.wording))),
        ("withdrew", say("Withdrawals, and who moves up, in publication {n}", n=n), columns,
         withdrew, ()),
    )  # fmt: skip
    return tuple(
        replace(plain_table(f"{kind}-{n}", title, heads, cells, f"{kind}-{n}", 1), notes=notes)
        for kind, title, heads, cells, notes in tables
        if cells
    )


def _notes(issue: Issue, wording: Wording) -> Iterator[TableNote]:
    added = {change.competition for change in issue.changes.added}
    if any(corrected.competition in added for corrected in issue.corrected):
        text = wording.say(
            "Where marks were added at the same time, places count only those to whom none was "
            "added, and neither teams nor cuts are told."
        )
        yield TableNote("", text)


def _corrected_cells(corrected: Corrected, names: PublishedNames) -> tuple[Cell, ...]:
    wording = names.wording
    if corrected.what:
        was, now = (Cell(text or NOTHING) for text in names.old_and_new(corrected))
    else:
        change = corrected.change
        old, new = (change.old, change.new) if change else (None, None)
        was, now = _mark(corrected.old, old, new, wording), _mark(corrected.new, new, old, wording)
    if corrected.had:
        was = Cell("", "; ".join(_named_mark(mark, wording) for mark in corrected.had))
    if corrected.gone:
        now = Cell(wording.say("withdrawn"))
    given = "; ".join(decided(row) for row in corrected.reasons)
    return (names.corrected(corrected), was, now, Cell(why(corrected, wording), given))


def _named_mark(mark: PublishedMark, wording: Wording) -> str:
    """A mark of somebody who is gone, and on what it was."""
    where = wording.apparatus(part_of(mark.apparatus, mark.vault)) if mark.apparatus else ""
    return f"{where} {shown(mark.text, wording)}".strip()


def _mark(
    text: str, mark: PublishedMark | None, other: PublishedMark | None, wording: Wording
) -> Cell:
    parts = parts_of(mark, wording) if mark and other and mark[4:8] != other[4:8] else ""
    return Cell(shown(text, wording) or NOTHING, parts)


def _tie_cells(change: TieChange, names: PublishedNames) -> tuple[Cell, ...]:
    """Before and now: nothing; or that their totals are equal, and which places they have."""
    say, listed = names.wording.say, names.wording.language.listed
    who = listed([names.of_list(change.competition, change.list, key).text for key in change.key])
    cells = [Cell(who, names.list(change.competition, change.list))]
    for given in (change.old, change.new):
        text = NOTHING
        if given and len(set(given)) == 1:
            text = say("tied, place {n} shared", n=given[0])
        elif given:
            text = say("tied, places {places}", places=listed([*map(str, sorted(given))]))
        cells.append(Cell(text))
    return tuple(cells)


def _cut_cells(change: CutChange, names: PublishedNames) -> tuple[Cell, ...]:
    cut, key = change.key
    who = names.of_list(change.competition, change.list, key)
    return (
        who._replace(sub=names.wording.language.headed(names.wording.called(cut), who.sub)),
        Cell(_verdict_words(change.old, names.wording)),
        Cell(_verdict_words(change.new, names.wording)),
    )


def _verdict_words(verdict: PublishedVerdict | None, wording: Wording) -> str:
    say = wording.say
    if verdict is None:
        return say("does not qualify")
    if verdict.withdrew:
        return say("withdrew")
    if verdict.outcome == "qualified":
        return say("qualifies")
    if verdict.starts:
        return say("called up")
    if verdict.outcome == "reserve":
        return say("reserve {n}", n=verdict.number)
    return say("not eligible")
