"""Volumes become PDF: units from the cache or the press, joined; or, if need be, whole books."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from resultsgen.books.appendix import Attachment
from resultsgen.books.edges import Edges
from resultsgen.books.joining import Joined, Part, joined_book
from resultsgen.books.setting import PageNumbers, Setting
from resultsgen.books.style import sets_units
from resultsgen.books.volumes import Volume
from resultsgen.cache import Cache, key_of
from resultsgen.press.failures import PressError
from resultsgen.press.unit import Unit, from_kept_form
from resultsgen.press.versions import can_join, versions
from resultsgen.press.workers import NOT_JOINABLE, Press, Sheet, Type

Told = Callable[[int, int, str], None]
"""Told how many sheets are rendered, of how many, and the name of the last."""

TAKEN_APART = b"-"
"""Stands for what was rendered, once the unit has been made of it: memory holds it once."""

SHIFT = 11.3
"""In a book that is bound, text stands so many points (4 mm) nearer to the outer edge."""

ATTEMPTS = 5
"""So often page numbers may make the contents longer, and this change the page numbers."""


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
    _done: int = 0
    _of: int = 0
    _made: dict[Sheet, bytes] = field(default_factory=dict)
    _units: dict[Sheet, Unit] = field(default_factory=dict)

    @cached_property
    def anchors_key(self) -> str:
        """Changes when there is something else to lead to."""
        return key_of(*sorted(self.anchors))

    def key(self, sheet: Sheet) -> str:
        """What a sheet is kept under in the cache."""
        return key_of(sheet.make, self.type.key, versions(), sheet.html)

    def made(self, sheets: Iterable[Sheet]) -> Mapping[Sheet, bytes]:
        """What came of these sheets, of this time or an earlier one."""
        waiting = []
        for sheet in dict.fromkeys(sheets):
            if sheet in self._made:
                continue
            kept = self.cache.get(self.key(sheet))
            if kept is None:
                waiting.append(sheet)
            else:
                self._made[sheet] = kept
        self._of += len(waiting)
        for sheet, made in self.press.rendered(waiting):
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


@dataclass(frozen=True)
class Draft:
    """A volume and the sheets that its gatherings are rendered from."""

    volume: Volume
    sheets: tuple[Sheet, ...]
    late: frozenset[int]
    """In which of them page numbers stand."""


def bound(
    volumes: tuple[Volume, ...],
    setting: Setting,
    cache: Cache,
    workers: int,
    told: Told,
    *,
    plain: bool = False,
    attachments: Sequence[Attachment] = (),
) -> Iterator[tuple[Volume, bytes | bytearray]]:
    """Each volume with its PDF; *plain* renders each in one piece, as the renderer does it."""
    anchors = frozenset(name for volume in volumes for name in volume.anchors)
    drafts = [_draft(volume, setting, anchors) for volume in volumes]
    type = setting.type((sheet.html for draft in drafts for sheet in draft.sheets), cache)
    edges = setting.edges(type, cache)
    plain = plain or not can_join() or not all(map(sets_units, type.css))
    with Press(type, workers) as press:
        binding = Binding(setting, press, type, cache, told, anchors, edges)
        if not plain:
            binding.made(
                sheet
                for draft in drafts
                if not cache.has(_book_key(binding, draft))
                for sheet in draft.sheets
            )
        for draft in drafts:
            try:
                yield draft.volume, _kept_book(binding, draft, plain, attachments)
            except LookupError as problem:
                raise PressError(f"{draft.volume.title}: {problem.args[0]}") from problem


def _draft(volume: Volume, setting: Setting, anchors: frozenset[str]) -> Draft:
    """The sheets as they are while no page number is known."""
    sheets, late = [], set()
    for rank, one in enumerate(volume.gatherings):
        numbers = PageNumbers()
        sheets.append(Sheet(one.name, setting.unit_html(one, anchors, numbers), "unit"))
        if numbers.asked:
            late.add(rank)
    return Draft(volume, tuple(sheets), frozenset(late))


def _numbered(draft: Draft, binding: Binding, known: Mapping[str, int]) -> Draft:
    """The sheets with these page numbers."""
    numbers = PageNumbers(known)
    sheets = (
        Sheet(sheet.name, binding.setting.unit_html(one, binding.anchors, numbers), "unit")
        if rank in draft.late
        else sheet
        for rank, (sheet, one) in enumerate(zip(draft.sheets, draft.volume.gatherings, strict=True))
    )
    return replace(draft, sheets=tuple(sheets))


def _book_key(binding: Binding, draft: Draft) -> str:
    """What a book is kept under that is made of its sheets alone; empty for any other.

    Where page numbers stand in the text, other sheets come of them.
    """
    if draft.late or draft.volume.has_cover:
        return ""
    about = binding.setting.about(draft.volume.title)
    roles = (str(one.again) for one in draft.volume.gatherings)
    told = (str(about), binding.edges.status, binding.edges.when, binding.anchors_key)
    return key_of("joined", versions(), *told, *map(binding.key, draft.sheets), *roles)


def _kept_book(
    binding: Binding, draft: Draft, plain: bool, attachments: Sequence[Attachment]
) -> bytes | bytearray:
    """The PDF of one volume: as it was made before if nothing in it has changed."""
    key = "" if plain else _book_key(binding, draft)
    if key and (kept := binding.cache.get(key)):
        return kept
    made = _book(binding, draft, plain, attachments)
    if key:
        binding.cache.put(key, made)
    return made


def _book(
    binding: Binding, draft: Draft, plain: bool, attachments: Sequence[Attachment]
) -> bytes | bytearray:
    """The PDF of one volume."""
    if plain or NOT_JOINABLE in (binding.made(draft.sheets)[sheet] for sheet in draft.sheets):
        return _plain_book(binding, draft.volume)
    volume = draft.volume
    return joined_book(
        _settled(binding, draft),
        binding.setting.about(volume.title),
        binding.edges,
        {name: data for name, (_, data) in binding.type.assets.items()},
        binding.anchors,
        binding.cache,
        shift=SHIFT if volume.has_cover else 0,
        attachments=attachments if volume.has_cover else (),
    )


def _settled(binding: Binding, draft: Draft) -> Joined:
    """The units in their order, with the right page numbers where these stand in the text."""
    joined, numbers = _joined(binding, draft), None
    for _ in range(ATTEMPTS):
        if not draft.late or joined.page_numbers == numbers:
            return joined
        numbers = joined.page_numbers
        joined = _joined(binding, _numbered(draft, binding, numbers))
    raise LookupError(f"{draft.volume.title}: its page numbers never come to rest")


def _joined(binding: Binding, draft: Draft) -> Joined:
    binding.made(draft.sheets)
    lowered = 1 if draft.volume.has_cover else 0
    return Joined(
        tuple(
            Part(binding.unit(sheet), binding.key(sheet), lowered if rank else 0, one.again)
            for rank, (sheet, one) in enumerate(
                zip(draft.sheets, draft.volume.gatherings, strict=True)
            )
        )
    )


def _plain_book(binding: Binding, volume: Volume) -> bytes:
    """The same in one piece."""
    known: Mapping[str, int] | None = None
    for _ in range(ATTEMPTS):
        numbers = PageNumbers(known)
        html = binding.setting.html(volume.title, volume.gatherings, volume.anchors, numbers)
        if not numbers.asked:
            break
        sheet = Sheet(volume.title, html, "page numbers")
        found = json.loads(binding.made([sheet])[sheet])
        if found == known:
            break
        known = found
    sheet = Sheet(volume.title, html, "book")
    return binding.made([sheet])[sheet]
