"""Pages as they were filled before, taken again where nothing that shaped them is otherwise.

A page is shaped by its template, by what it shows (its view), by where everything lies, and by
what all pages share. Of the last a page is asked while it is filled, so that a new number of the
publication fills anew only the pages that tell it. The themes of strangers are filled each time.
"""

from __future__ import annotations

import pickle
from collections.abc import Callable, Mapping
from typing import Any

from jinja2 import Environment
from jinja2.runtime import Context

from resultsgen.files.cache import Cache, code_digest, key_of
from resultsgen.theme.theme import Theme


def by_value(value: object) -> bytes:
    """The bytes that a value is put together from again: never the same for others.

    Equal values may give others, where one has a text twice and the other two that are alike; then
    a page is filled once more than it had to be.
    """
    return pickle.dumps(value, pickle.HIGHEST_PROTOCOL)


class KeptPages:
    """Fills templates of a theme that comes along, or takes what they gave before.

    *shared* is what all pages are told beside their own; *where* whatever else links depend on.
    """

    def __init__(
        self, theme: Theme, environment: Environment, shared: Mapping[str, Any], cache: Cache
    ) -> None:
        self._cache = cache if theme.comes_along else Cache(None)
        self._environment = environment
        self._shared = shared
        self._look = key_of(code_digest(), theme.digest("site")) if theme.comes_along else ""
        self._values: dict[str, str] = {}
        self._asked: set[str] = set()
        if theme.comes_along:
            environment.context_class = self._noting()

    def filled(self, template: str, shapes: tuple[Any, ...], own: Mapping[str, Any]) -> str:
        """The page that *template* makes of what is shared and its *own*, which *shapes* tell."""
        if not self._look:
            return self._fill(template, own)
        key = key_of("page", self._look, template, by_value(shapes))
        if kept := self._cache.get(key):
            asked, told, text = kept.decode().split("\n", 2)
            if self._told(asked.split()) == told:
                return text
        self._asked.clear()
        text = self._fill(template, own)
        names = sorted(self._asked & self._shared.keys())
        self._cache.put(key, "\n".join((" ".join(names), self._told(names), text)).encode())
        return text

    def _fill(self, template: str, own: Mapping[str, Any]) -> str:
        return self._environment.get_template(template).render(self._shared, **own)

    def _told(self, names: list[str]) -> str:
        """The digest of what these names stand for on all pages."""
        for name in names:
            if name not in self._values:
                value = self._shared.get(name)
                self._values[name] = "" if callable(value) else key_of(by_value(value))
        return key_of(*(f"{name} {self._values[name]}" for name in names))

    def _noting(self) -> type[Context]:
        note: Callable[[str], None] = self._asked.add

        class Noting(Context):
            """What a template is told, noting what it asked for."""

            def resolve_or_missing(self, key: str) -> Any:
                note(key)
                return super().resolve_or_missing(key)

        return Noting
