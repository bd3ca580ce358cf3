"""A meet that is being written, published in steps: the pages first, then what lies beside them.

Each step is a whole publication of the same number. Until tables and books follow, those of before
stay, and the page that offers them says of which publication they are. What comes first after a
start is made in one step, whatever an earlier process left undone. A change that comes while tables
or books are being made ends that step, and the pages go first again.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from resultsgen.files.cache import Cache, cache_folder
from resultsgen.meet.problems import NotPublishedError
from resultsgen.publishing.build_options import BuildOptions, Extras, Published, Session
from resultsgen.publishing.publish import publish
from resultsgen.website.kept_pages import put

STEPS = ("pages", "tables", "books")


class OvertakenError(NotPublishedError):
    """Something changed meanwhile."""


class Stages:
    """What is still to be done, and the doing of it."""

    def __init__(self, meet_folder: Path, out: Path, options: BuildOptions) -> None:
        self._meet_folder, self._out = meet_folder, out
        self._session = Session()
        self._options = replace(options, session=self._session)
        self._made: tuple[Extras, Extras] | None = None
        self.left: tuple[str, ...] = ()

    def begin(self) -> None:
        """Something changed: all is to be done."""
        steps = STEPS if self._options.books else STEPS[:2]
        self.left = steps if self._made else steps[-1:]

    def go_on(self, overtaken: Callable[[], bool]) -> Published:
        """Do what is next; what keeps it from being done is raised, as `publish` does."""
        step = self.left[0]

        def ends(*_: object) -> None:
            if step != "pages" and self._made and overtaken():
                raise OvertakenError("something changed meanwhile")

        published = publish(self._meet_folder, self._out, self._for(step), ends)
        self._made, self.left = published.extras, self.left[1:]
        if not self.left:
            put(Cache(cache_folder()), self._session.pages)
        return published

    def _for(self, step: str) -> BuildOptions:
        tables, books = self._made or (None, None)
        return replace(
            self._options,
            tables_stay=tables if step == "pages" else None,
            books_stay=books if step != "books" and self._options.books else None,
        )
