"""Volumes as drafts: the sheets that their gatherings are rendered from.

To set a section takes several times as long as to tell whether it has been set before. So its HTML
is kept, under all that shapes it: what it shows, what it can lead to, the templates and the theme.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from resultsgen.books.cross_references import Rooms
from resultsgen.books.layout import Setting
from resultsgen.books.page_ranges import Gathering
from resultsgen.books.press.workers import Sheet
from resultsgen.books.volumes import Volume
from resultsgen.files.cache import Cache, key_of


@dataclass(frozen=True)
class Draft:
    """A volume and the sheets that its gatherings are rendered from."""

    volume: Volume
    sheets: tuple[Sheet, ...]


@dataclass(frozen=True)
class Drafting:
    """How gatherings become sheets, in books that have these anchors."""

    setting: Setting
    anchors: frozenset[str]
    cache: Cache

    @cached_property
    def _key(self) -> str:
        return key_of("html", self.setting.key, *sorted(self.anchors))

    def draft(self, volume: Volume) -> Draft:
        """A volume with its sheets."""
        rooms = Rooms(volume.gatherings)
        sheets = (Sheet(one.name, self._html(one, rooms), "unit") for one in volume.gatherings)
        return Draft(volume, tuple(sheets))

    def _html(self, one: Gathering, rooms: Rooms) -> str:
        """The HTML of a gathering; what leaves room for page numbers is kept with this room."""
        shown = key_of(self._key, repr(one.sections))
        kept = self.cache.get(shown) or self.cache.get(key_of(shown, rooms.key))
        if kept:
            return kept.decode()
        rooms.asked = False
        html = self.setting.unit_html(one, self.anchors, rooms)
        self.cache.put(key_of(shown, rooms.key) if rooms.asked else shown, html.encode())
        return html
