"""Volumes become PDF: units from the cache or the press, joined; or, if need be, whole books."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import chain

from resultsgen.books.appendix import Attachment
from resultsgen.books.cross_references import Html, PageNumbers, Rooms
from resultsgen.books.draft_numbers import Draft, Drafting
from resultsgen.books.edges import Edges
from resultsgen.books.joining import Joined, Part, joined_book
from resultsgen.books.layout import Setting
from resultsgen.books.metadata import is_joined
from resultsgen.books.press.failures import PressError
from resultsgen.books.press.unit import Unit, from_kept_form
from resultsgen.books.press.versions import can_join, installed, known, versions
from resultsgen.books.press.workers import NOT_JOINABLE, Press, Sheet, Type
from resultsgen.books.style import sets_units
from resultsgen.books.volumes import Volume
from resultsgen.files.cache import Cache, key_of

Told = Callable[[int, int, str], None]
"""Told how many sheets are rendered, of how many, and the name of the last."""

TAKEN_APART = b"-"
"""Stands for what was rendered, once the unit has been made of it: memory holds it once."""

SHIFT = 11.3
"""In a book that is bound, text stands so many points (4 mm) nearer to the outer edge."""

ATTEMPTS = 5
"""So often page numbers may make the contents longer, and this change the page numbers."""


OF_ANOTHER_FONT = "since a letter comes from a font of this machine"


@dataclass
class Binding:
    """Everything at hand to bind the volumes of one meet."""

    setting: Setting
    press: Press
    type: Type
    cache: Cache
    told: Told
    anchors: frozenset[str]
    """What links may lead to, in whichever book."""
    edges: Edges
    attachments: Sequence[Attachment]
    _done: int = 0
    _of: int = 0
    _begun: set[Sheet] = field(default_factory=set)
    _coming: Iterator[tuple[Sheet, bytes]] = field(default_factory=lambda: iter(()))
    _made: dict[Sheet, bytes] = field(default_factory=dict)
    _units: dict[Sheet, Unit] = field(default_factory=dict)

    @cached_property
    def anchors_key(self) -> str:
        """Changes when there is something else to lead to."""
        return key_of(*sorted(self.anchors))

    def key(self, sheet: Sheet) -> str:
        """What a sheet is kept under in the cache."""
        return key_of(sheet.make, self.type.key, versions(), sheet.html)

    def attached(self, volume: Volume) -> Sequence[Attachment]:
        """What is attached to a volume."""
        return self.attachments if volume.has_cover else ()

    def book_key(self, draft: Draft) -> str:
        """What a book is kept under: all that it is made of."""
        volume, edges = draft.volume, self.edges
        told = (str(self.setting.about(volume.title)), edges.status, edges.when, self.anchors_key)
        roles = (f"{one.again}" for one in volume.gatherings)
        attached = (x for one in self.attached(volume) for x in (one.name, one.title, one.contents))
        sheets = map(self.key, draft.sheets)
        bound = str(volume.has_cover)
        return key_of("joined", versions(), bound, *told, *sheets, *roles, *attached)

    def begin(self, sheets: Iterable[Sheet]) -> None:
        """Let the press begin with those of these sheets that are neither kept nor begun."""
        waiting = []
        for sheet in dict.fromkeys(sheets):
            if sheet in self._begun:
                continue
            self._begun.add(sheet)
            kept = self.cache.get(self.key(sheet))
            if kept is None:
                waiting.append(sheet)
            else:
                self._made[sheet] = kept
        if waiting:
            self._of += len(waiting)
            self._coming = chain(self._coming, self.press.rendered(waiting))

    def made(self, sheets: Sequence[Sheet]) -> Mapping[Sheet, bytes]:
        """What came of these sheets, of this time or an earlier one; what is not there comes."""
        self.begin(sheets)
        for wanted in sheets:
            while wanted not in self._made:
                sheet, made = next(self._coming)
                self._made[sheet] = made
                self.cache.put(self.key(sheet), made)
                self._done += 1
                self.told(self._done, self._of, sheet.name)
        return self._made

    def unit(self, sheet: Sheet) -> Unit:
        """The unit that came of a sheet."""
        if sheet not in self._units:
            self._units[sheet] = from_kept_form(self._made[sheet])
            self._made[sheet] = TAKEN_APART
        return self._units[sheet]


def bound(
    volumes: tuple[Volume, ...],
    setting: Setting,
    cache: Cache,
    workers: int,
    told: Told,
    *,
    plain: bool = False,
    attachments: Sequence[Attachment] = (),
) -> Iterator[tuple[Volume, bytes | bytearray, str]]:
    """Each volume with its PDF, and why that was rendered in one piece, if it was.

    *plain* renders each so, as the renderer does it.
    """
    anchors = frozenset(name for volume in volumes for name in volume.anchors)
    drafting = Drafting(setting, anchors, cache)
    drafts = [drafting.draft(volume) for volume in volumes]
    type = setting.type((sheet.html for draft in drafts for sheet in draft.sheets), cache)
    edges = setting.edges(type, cache)
    why = _why_plain(type) if not plain else "as asked"
    with Press(type, workers) as press:
        binding = Binding(setting, press, type, cache, told, anchors, edges, attachments)
        if not why:
            # Books are joined while the press is at the sheets of the next. In each, what takes
            # long begins first, so that no core waits for another at the end.
            waiting = (one for one in drafts if not cache.has(binding.book_key(one)))
            binding.begin(sheet for one in waiting for sheet in sorted(one.sheets, key=_ease))
        for draft in drafts:
            try:
                made = _plain_book(binding, draft.volume) if why else _kept(binding, draft)
                yield draft.volume, made, why or ("" if is_joined(made) else OF_ANOTHER_FONT)
            except LookupError as problem:
                raise PressError(f"{draft.volume.title}: {problem.args[0]}") from problem


def _why_plain(type: Type) -> str:
    """Why no book of this type can be joined; empty where each can."""
    if not can_join():
        return f"since {installed()}, and how to join books is known of {known()}"
    if not all(map(sets_units, type.css)):
        return "since the theme's style needs the whole book"
    return ""


def _ease(sheet: Sheet) -> int:
    return -len(sheet.html)


def _kept(binding: Binding, draft: Draft) -> bytes | bytearray:
    """The PDF of one volume: as it was made before if nothing in it has changed."""
    key = binding.book_key(draft)
    if kept := binding.cache.get(key):
        return kept
    made = _book(binding, draft)
    binding.cache.put(key, made)
    return made


def _book(binding: Binding, draft: Draft) -> bytes | bytearray:
    """The PDF of one volume, joined if all of its units can be."""
    made, volume = binding.made(draft.sheets), draft.volume
    if NOT_JOINABLE in (made[sheet] for sheet in draft.sheets):
        return _plain_book(binding, volume)
    lowered = 1 if volume.has_cover else 0
    parts = (
        Part(binding.unit(sheet), binding.key(sheet), lowered if rank else 0, one.again)
        for rank, (sheet, one) in enumerate(zip(draft.sheets, volume.gatherings, strict=True))
    )
    return joined_book(
        Joined(tuple(parts)),
        binding.setting.about(volume.title),
        binding.edges,
        {name: data for name, (_, data) in binding.type.assets.items()},
        binding.anchors,
        binding.cache,
        shift=SHIFT if volume.has_cover else 0,
        attachments=binding.attached(volume),
    )


def _plain_book(binding: Binding, volume: Volume) -> bytes:
    """The same in one piece."""

    def html(number: Callable[..., Html]) -> str:
        return binding.setting.html(volume.title, volume.gatherings, volume.anchors, number)

    rooms = Rooms(volume.gatherings)
    whole, known = html(rooms), None
    for _ in range(ATTEMPTS):
        if not rooms.asked:
            break
        sheet = Sheet(volume.title, whole, "page numbers")
        found = json.loads(binding.made([sheet])[sheet])
        if found == known:
            break
        known = found
        whole = html(PageNumbers(known))
    sheet = Sheet(volume.title, whole, "book")
    return binding.made([sheet])[sheet]
