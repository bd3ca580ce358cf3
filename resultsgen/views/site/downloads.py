"""What there is to take away: a row for each thing, a column for each kind of file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from resultsgen.scoring.results import Results
from resultsgen.views.lists.competitions import links
from resultsgen.views.site.addresses import list_target
from resultsgen.views.site.attachments import Download, filed
from resultsgen.views.site.site_map import OVERVIEW
from resultsgen.views.words.wording import Wording

KINDS = ("PDF", "XLSX", "CSV", "TXT", "JSON")
"""The kinds of files in the order of their columns; any other kind follows."""


@dataclass(frozen=True)
class Offer:
    """A row: what it is, the page that shows the same, and its file of each kind."""

    name: str
    target: str
    files: tuple[Download | None, ...]


@dataclass(frozen=True)
class Matrix:
    """What is offered of the meet, of a competition, or of a group."""

    title: str
    target: str
    kinds: tuple[str, ...]
    """None where each row has one file, of this or that kind."""
    rows: tuple[Offer, ...]


@dataclass(frozen=True)
class Downloads:
    """Everything that is offered: what is whole first, then list by list, then the rest."""

    meet: Matrix | None
    competitions: Matrix | None
    """One row for each: all of it in short, in one file."""
    lists: tuple[Matrix, ...]
    others: tuple[Matrix, ...]
    """Of clubs, and what is handed out."""
    frames: tuple[tuple[str, str], ...]


def downloads(
    results: Results,
    books: Iterable[Download],
    tables: Iterable[Download],
    frames: tuple[tuple[str, str], ...],
    wording: Wording,
) -> Downloads:
    """Books and tables, filed by what they show."""
    say, files = wording.say, (*books, *tables)
    pages = {judged.competition.id: links(judged, wording) for judged in results.competitions}
    names = {link.target: link.text for of in pages.values() for link in of}
    titles = {
        list_target(judged.competition.id, OVERVIEW): wording.called(judged.competition.title)
        for judged in results.competitions
    }
    lists: list[Matrix] = []
    for id, of in pages.items():
        own = [one for one in files if _competition(one) == id and one.target not in titles]
        overview = list_target(id, OVERVIEW)
        order = {link.target: names[link.target] for link in of}
        lists += _matrix(titles[overview], overview, own, order, wording)
    rest = filed(one for one in files if not _competition(one))
    whole = [one for one in files if one.target in titles]
    return Downloads(
        next(_matrix(say("The whole meet"), "", rest.pop("", ()), {}, wording), None),
        next(_matrix(say("Each competition in one file"), "", whole, titles, wording), None),
        tuple(lists),
        tuple(one for group in rest for one in _matrix(group, "", rest[group], {}, wording)),
        frames,
    )


def _competition(one: Download) -> str:
    """The id of the competition that it is of; empty: it is of none."""
    kind, _, page = one.target.partition(":")
    return page.partition("/")[0] if kind == "list" else ""


def _matrix(
    title: str, target: str, files: Iterable[Download], names: Mapping[str, str], wording: Wording
) -> Iterator[Matrix]:
    """Files in rows, those with a page under its name and in the order of *names*; none of none."""
    rows: dict[str, dict[str, Download]] = {name: {} for name in names}
    for file in files:
        key = file.target if file.target in names else file.named(wording)
        row = rows.setdefault(key, {})
        if file.kind in row:
            row = rows.setdefault(file.address, {})
        row[file.kind] = file
    held = {kind for row in rows.values() for kind in row}
    kinds = tuple(sorted(held, key=lambda kind: (*KINDS, kind).index(kind)))
    if len(kinds) > 1 and all(len(row) < 2 for row in rows.values()):
        kinds = ()
    offers = tuple(
        Offer(
            names.get(key) or next(iter(row.values())).named(wording),
            key if key in names else "",
            tuple(row.get(kind) for kind in kinds) or tuple(row.values()),
        )
        for key, row in rows.items()
        if row
    )
    if offers:
        yield Matrix(title, target, kinds, offers)
