"""Volumes become PDF: what was rendered before comes from the cache, the rest from the press."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.books.setting import Setting
from resultsgen.books.versions import versions
from resultsgen.books.volumes import Volume
from resultsgen.books.workers import Press, Sheet
from resultsgen.cache import Cache, key_of


def bound(
    made: tuple[Volume, ...], setting: Setting, cache: Cache, workers: int
) -> Iterator[tuple[Volume, bytes]]:
    """Each volume with its PDF, in the order in which they are ready; unchanged ones first."""
    sheets = {
        Sheet(one.title, setting.html(one.title, one.sections, one.anchors)): one for one in made
    }
    type = setting.type(sheet.html for sheet in sheets)
    keys = {sheet: key_of("book", type.key, versions(), sheet.html) for sheet in sheets}
    waiting = []
    for sheet, volume in sheets.items():
        if pdf := cache.get(keys[sheet]):
            yield volume, pdf
        else:
            waiting.append(sheet)
    with Press(type, workers) as press:
        for sheet, pdf in press.rendered(waiting):
            cache.put(keys[sheet], pdf)
            yield sheets[sheet], pdf
