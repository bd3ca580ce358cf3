"""Pages as they were filled before, taken again where nothing that shaped them is otherwise.

A page is shaped by its template, by what it shows (its view), by where everything lies, and by
what all pages share, with the place of each row of a list. Of the last a page is asked while it is
filled, so that a new number of the publication fills anew only the pages that tell it, and a new
row only those that lead to it. The themes of strangers are filled each time.
"""

from __future__ import annotations

import io
import marshal
import pickle
from collections.abc import Callable, Mapping, MutableMapping
from typing import Any

from jinja2 import Environment

from resultsgen.files.cache import Cache, code_digest, key_of, run_by
from resultsgen.files.once import Once
from resultsgen.history.publication import PublishedCompetition
from resultsgen.live.standings import LiveSession
from resultsgen.theme.fonts import signs
from resultsgen.theme.shipped import Direct
from resultsgen.theme.theme import Theme
from resultsgen.views.lists.table import Table
from resultsgen.views.people.gymnasts import GymnastEntry, MarksMatrix
from resultsgen.website.to_come import Page, parted


def by_value(value: object) -> bytes:
    """The bytes that tell a value, of tables and the like their digest: never the same for others.

    Equal values may give others, where one has a text twice and the other two that are alike; then
    a page is filled once more than it had to be.
    """
    told = io.BytesIO()
    pickler = pickle.Pickler(told, pickle.HIGHEST_PROTOCOL)
    pickler.dispatch_table = BY_DIGEST
    pickler.dump(value)
    return told.getvalue()


_digest = Once(lambda held: key_of(pickle.dumps(held, pickle.HIGHEST_PROTOCOL)), most=2**8)
BY_DIGEST: dict[type, Any] = {
    kind: lambda thing: (type(thing), (thing.digest,))
    for kind in (Table, GymnastEntry, MarksMatrix)
} | {
    kind: lambda held: (type(held), (_digest(held),))
    for kind in (PublishedCompetition, LiveSession)
}
"""Many of them are those of the last build, and their digest is known."""


Filled = tuple[tuple[str, ...], tuple[tuple[str, str], ...], str, Page]
"""What a page asked for of all that is shared, and of rows; the digest of that, and the page."""
FilledPages = dict[str, Filled]
"""By template and what shapes the page alone."""


def put(cache: Cache, held: Mapping[str, FilledPages]) -> None:
    """Keep filled pages, by what shapes all of them, for another process."""
    for key, pages in held.items():
        cache.put(key, marshal.dumps(pages))


class KeptPages:
    """Fills templates of a theme that comes along, or takes what they gave before.

    *shared* is what all pages are told beside their own; `rows` has where rows of lists are so far.
    `keep` lets go of pages that are no more.
    """

    def __init__(
        self,
        theme: Theme,
        environment: Environment,
        shared: Mapping[str, Any],
        cache: Cache,
        held: MutableMapping[str, FilledPages] | None = None,
    ) -> None:
        self._environment = environment
        self._shared = shared
        self.rows: dict[tuple[str, str], str] = {}
        self._asked: set[str] | None = None
        self._led: set[tuple[str, str]] = set()
        self._values: dict[str, str] = {}
        self._asked_for: dict[tuple[str, ...], str] = {}
        self._cache, self._held, self._key = cache, held, ""
        self._before: FilledPages = {}
        self._now: FilledPages = {}
        if theme.comes_along:
            self._asked = set()
            environment.context_class = self._noting(self._asked.add)
            self._key = key_of(
                "pages", code_digest(), theme.digest("site"), by_value(shared["language"]),
                by_value(shared["meet"].title), *run_by(),
            )  # fmt: skip
            if held and self._key in held:
                self._before = held[self._key]
            elif kept := cache.get(self._key):
                self._before = marshal.loads(kept)

    def filled(self, template: str, shapes: tuple[Any, ...], own: Mapping[str, Any]) -> Page:
        """The page that *template* makes of what is shared and its *own*, which *shapes* tell."""
        if self._asked is None:
            return self._fill(template, own)
        key = key_of(template, by_value(shapes))
        found = self._before.get(key)
        if not found or self._told(*found[:2]) != found[2]:
            self._asked.clear()
            self._led.clear()
            page = self._fill(template, own)
            asked = tuple(sorted(self._asked & self._shared.keys())), tuple(sorted(self._led))
            found = (*asked, self._told(*asked), page)
        self._now[key] = found
        return found[3]

    def row(self, target: str, row: str) -> str | None:
        """The page on which a row of a list is, if that is known by now."""
        self._led.add((target, row))
        return self.rows.get((target, row))

    def keep(self) -> None:
        """Keep the pages as they are now for the next time."""
        if not self._key:
            return
        if self._held is not None:
            self._held[self._key] = self._now
        elif self._now != self._before:
            put(self._cache, {self._key: self._now})

    def _fill(self, template: str, own: Mapping[str, Any]) -> Page:
        page = self._environment.get_template(template).render(self._shared, **own).encode()
        return key_of("page", page), signs(page), parted(page)

    def _told(self, names: tuple[str, ...], rows: tuple[tuple[str, str], ...]) -> str:
        """The digest of what these names stand for on all pages, and of where these rows are."""
        if names not in self._asked_for:
            self._asked_for[names] = key_of(*(f"{name} {self._value(name)}" for name in names))
        return key_of(self._asked_for[names], *(self.rows.get(row) or "" for row in rows))

    def _value(self, name: str) -> str:
        if name not in self._values:
            value = self._shared.get(name)
            self._values[name] = "" if callable(value) else key_of(by_value(value))
        return self._values[name]

    def _noting(self, note: Callable[[str], None]) -> type[Direct]:
        class Noting(Direct):
            """What a template is told, noting what it asked for."""

            def resolve_or_missing(self, key: str) -> Any:
                note(key)
                return super().resolve_or_missing(key)

        return Noting
