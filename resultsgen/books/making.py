"""Volumes become PDF: units from the cache or the press, joined; or, if need be, whole books.

To set sections takes several times as long as to tell whether they have been set before. So their
HTML is kept too, under all that shapes it: what they show, what they can lead to, and the layout.
"""

from __future__ import annotations

import json
import pickle
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import chain
from pathlib import Path

from resultsgen.books.joining import BookPart, JoinedUnits, joined_book
from resultsgen.books.layout import Layout
from resultsgen.books.metadata import Attachment, is_joined
from resultsgen.books.own_texts import PageEdges
from resultsgen.books.page_numbers import Html, KnownNumbers, NumberRooms
from resultsgen.books.press import PressError
from resultsgen.books.press.renderer import can_join, installed, known, versions
from resultsgen.books.press.unit import Unit
from resultsgen.books.press.workers import NOT_JOINABLE, BookLook, PressJob, Workers
from resultsgen.books.volumes import Volume, volumes
from resultsgen.files.cache import Cache, key_of
from resultsgen.files.staging import write
from resultsgen.language import LANGUAGES
from resultsgen.scoring.results import Results
from resultsgen.theme.theme import Theme
from resultsgen.views.site.addresses import language_folder
from resultsgen.views.site.attachments import Download
from resultsgen.views.words.wording import wording

Progress = Callable[[int, int, str], None]
"""Told how many jobs of the press are done, of how many, and the name of the last."""

TAKEN_APART = b"-"
"""Stands for what was rendered, once the unit has been made of it: memory holds it once."""

ATTEMPTS = 5
"""So often page numbers may make the contents longer, and this change the page numbers."""

OF_ANOTHER_FONT = "since a letter comes from a font of this machine"

COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)

PAGE_NUMBER = re.compile(
    r"string\(before\)\s*counter\(page\)\s*string\(between\)\s*counter\(pages\)\s*string\(after\)"
)
"""The one place where a page number may stand: the book writes it there."""

OF_A_BOOK = re.compile(r"counters?\(\s*pages?\b|\btarget-(?:counters?|text)\(|@page[^{]*:", re.I)
"""Numbers of pages, references to other pages, styles for the first page or for left-hand ones."""


def write_books(
    results: Results,
    theme: Theme,
    folder: Path,
    progress: Progress,
    *,
    workers: int = 0,
    cache: Path | None = None,
    plain: bool = False,
    attachments: Sequence[Attachment] = (),
) -> tuple[Download, ...]:
    """Write every book of a meet into a folder; what did not change comes from the cache.

    Each language has all of them, those but the main one in a folder of their own. *workers* is
    how many processes render; 0 is one for each core. *plain* renders each book in one piece. The
    complete book carries the *attachments*.
    """
    kept = Cache(cache)
    written: list[Download] = []
    for code in results.meet.settings.languages:
        words = wording(results.meet.settings, LANGUAGES[code])
        place = language_folder(code, results.meet.settings.languages)
        (folder / place).mkdir(parents=True, exist_ok=True)
        layout = Layout(results.meet, theme, words, results.history.number, checksum(results))
        books = made_books(
            volumes(results, words), layout, kept, workers, progress,
            plain=plain, attachments=attachments,
        )  # fmt: skip
        for volume, pdf, why in books:
            file = f"{place}{volume.file}.pdf"
            write(folder, file, pdf)
            address = f"{folder.name}/{file}"
            offered = Download(address, volume.title, len(pdf), code, volume.group, volume.target)
            written.append(replace(offered, in_one_piece=why, holds=volume.holds))
    kept.prune()
    return tuple(written)


def checksum(results: Results) -> str:
    """The same eight figures for the same marks and places, and most likely for no others."""
    marks = (
        f"{judged.competition.id} {who.key} {routine}"
        for judged in results.competitions
        for who, routine in judged.routines
    )
    lines = (
        f"{judged.competition.id} {ranking.id} {line.key} {line.place} {line.total} {line.status}"
        for judged in results.competitions
        for ranking in judged.rankings
        for line in ranking.lines
    )
    return key_of(*marks, *lines)[:8]


def made_books(
    volumes: tuple[Volume, ...],
    layout: Layout,
    cache: Cache,
    workers: int,
    progress: Progress,
    *,
    plain: bool = False,
    attachments: Sequence[Attachment] = (),
) -> Iterator[tuple[Volume, bytes | bytearray, str]]:
    """Each volume with its PDF, and why that was rendered in one piece, if it was.

    *plain* renders each so, as the renderer does it.
    """
    anchors = frozenset(name for volume in volumes for name in volume.anchors)
    shape = key_of("html", layout.key, *sorted(anchors))
    jobs = {volume.file: _jobs(volume, layout, anchors, shape, cache) for volume in volumes}
    look, edges = layout.look((job.html for book in jobs.values() for job in book), cache)
    why = "as asked" if plain else _why_plain(look)
    with Workers(look, workers) as press:
        making = Bookmaking(
            layout, press, look, cache, progress, anchors, shape, edges, attachments
        )
        if not why:
            # Books are joined while the press is at the units of the next. In each, what takes
            # long begins first, so that no core waits for another at the end.
            waiting = (x for x in volumes if not cache.has(making.book_key(x, jobs[x.file])))
            longest_first = (sorted(jobs[x.file], key=lambda job: -len(job.html)) for x in waiting)
            making.begin(chain.from_iterable(longest_first))
        for volume in volumes:
            try:
                made = making.plain_book(volume) if why else making.book(volume, jobs[volume.file])
                yield volume, made, why or ("" if is_joined(made) else OF_ANOTHER_FONT)
            except LookupError as problem:
                raise PressError(f"{volume.title}: {problem.args[0]}") from problem


def _jobs(
    volume: Volume, layout: Layout, anchors: frozenset[str], shape: str, cache: Cache
) -> tuple[PressJob, ...]:
    """What the press has to do for a volume: a unit for each of its page ranges.

    HTML that leaves room for page numbers is kept with this room.
    """
    rooms = NumberRooms(volume.page_ranges)
    jobs = []
    for together in volume.page_ranges:
        shown = key_of(shape, repr(together.sections))
        kept = cache.get(shown) or cache.get(key_of(shown, rooms.key))
        if kept:
            html = kept.decode()
        else:
            rooms.asked = False
            html = layout.unit_html(together, anchors, rooms)
            cache.put(key_of(shown, rooms.key) if rooms.asked else shown, html.encode())
        jobs.append(PressJob(together.name, html, "unit"))
    return tuple(jobs)


def _why_plain(look: BookLook) -> str:
    """Why no book of this look can be joined; empty where each can."""
    if not can_join():
        return f"since {installed()}, and how to join books is known of {known()}"
    if not all(map(sets_units, look.css)):
        return "since the theme's style needs the whole book"
    return ""


def sets_units(css: str) -> bool:
    """A style sheet gives a unit the looks that it has in the book: it asks for nothing that only
    a whole book knows. A unit is always the first page to itself, and a right-hand one.

    >>> sets_units("@page { @bottom-right { content: counter(page) } }")
    False
    >>> sets_units("@page sheet { margin: 2cm } td:first-child { padding: 0 }")
    True
    """
    return not OF_A_BOOK.search(PAGE_NUMBER.sub("", COMMENT.sub("", css)))


@dataclass
class Bookmaking:
    """Everything at hand to make the books of one meet in one language."""

    layout: Layout
    press: Workers
    look: BookLook
    cache: Cache
    progress: Progress
    anchors: frozenset[str]
    """What links may lead to, in whichever book."""
    shape: str
    """Changes with these and with the layout."""
    edges: PageEdges
    attachments: Sequence[Attachment]
    _done: int = 0
    _of: int = 0
    _begun: set[PressJob] = field(default_factory=set)
    _coming: Iterator[tuple[PressJob, bytes]] = field(default_factory=lambda: iter(()))
    _made: dict[PressJob, bytes] = field(default_factory=dict)
    _units: dict[PressJob, Unit] = field(default_factory=dict)

    def key(self, job: PressJob) -> str:
        """What comes of a job is kept under it in the cache."""
        return key_of(job.make, self.look.key, versions(), job.html)

    def book_key(self, volume: Volume, jobs: Sequence[PressJob]) -> str:
        """What a book is kept under: all that it is made of."""
        about, edges = str(self.layout.about(volume.title)), self.edges
        told = (str(volume.has_cover), *volume.holds, about, edges.status, edges.when, self.shape)
        roles = (f"{together.again}" for together in volume.page_ranges)
        attached = (part for x in self._attached(volume) for part in (x.name, x.title, x.contents))
        return key_of(
            "joined", *volume.holds, versions(), *told, *map(self.key, jobs), *roles, *attached
        )

    def begin(self, jobs: Iterable[PressJob]) -> None:
        """Let the press begin with those of these jobs that are neither kept nor begun."""
        waiting = []
        for job in dict.fromkeys(jobs):
            if job in self._begun:
                continue
            self._begun.add(job)
            kept = self.cache.get(self.key(job))
            if kept is None:
                waiting.append(job)
            else:
                self._made[job] = kept
        if waiting:
            self._of += len(waiting)
            self._coming = chain(self._coming, self.press.rendered(waiting))

    def made(self, jobs: Sequence[PressJob]) -> Mapping[PressJob, bytes]:
        """What came of these jobs, of this time or an earlier one; what is not there comes."""
        self.begin(jobs)
        for wanted in jobs:
            while wanted not in self._made:
                job, made = next(self._coming)
                self._made[job] = made
                self.cache.put(self.key(job), made)
                self._done += 1
                self.progress(self._done, self._of, job.name)
        return self._made

    def book(self, volume: Volume, jobs: Sequence[PressJob]) -> bytes | bytearray:
        """The PDF of one volume: as it was made before if nothing in it has changed.

        It is joined if all of its units can be.
        """
        key = self.book_key(volume, jobs)
        if kept := self.cache.get(key):
            return kept
        made = self.made(jobs)
        if NOT_JOINABLE in (made[job] for job in jobs):
            book: bytes | bytearray = self.plain_book(volume)
        else:
            parts = (
                BookPart(self._unit(job), self.key(job), together.again)
                for job, together in zip(jobs, volume.page_ranges, strict=True)
            )
            book = joined_book(
                JoinedUnits(tuple(parts)),
                self.layout.about(volume.title),
                self.edges,
                {name: data for name, (_, data) in self.look.assets.items()},
                self.anchors,
                self._outlines,
                self.cache,
                named=volume.holds,
                has_cover=volume.has_cover,
                attachments=self._attached(volume),
            )
        self.cache.put(key, book)
        return book

    def plain_book(self, volume: Volume) -> bytes:
        """The same in one piece."""

        def html(number: Callable[..., Html]) -> str:
            return self.layout.html(volume.title, volume.page_ranges, volume.anchors, number)

        rooms = NumberRooms(volume.page_ranges)
        whole, known = html(rooms), None
        for _ in range(ATTEMPTS):
            if not rooms.asked:
                break
            job = PressJob(volume.title, whole, "page numbers")
            found = json.loads(self.made([job])[job])
            if found == known:
                break
            known = found
            whole = html(KnownNumbers(known))
        job = PressJob(volume.title, whole, "book")
        return self.made([job])[job]

    def _unit(self, job: PressJob) -> Unit:
        """The unit that came of a job."""
        if job not in self._units:
            self._units[job] = pickle.loads(self._made[job])
            self._made[job] = TAKEN_APART
        return self._units[job]

    def _outlines(self, font: bytes, shown: frozenset[int]) -> bytes:
        """The file that a PDF has of a font; what was cut for another book is the same for this."""
        key = key_of("outlines", versions(), font, str(sorted(shown)))
        return self.cache.kept_or_made(key, lambda: self.press.outlines(font, shown))

    def _attached(self, volume: Volume) -> Sequence[Attachment]:
        """What is attached to a volume."""
        return self.attachments if volume.has_cover else ()
