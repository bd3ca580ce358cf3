"""A page of the site, of a meet or a season: where it lies, its parts, its languages."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any
from urllib.parse import quote, urlsplit

from resultsgen.language import LANGUAGES
from resultsgen.views.lists.page_parts import PagePart
from resultsgen.views.site.addresses import language_folder
from resultsgen.views.site.honours import BoardLine
from resultsgen.views.words.alphabet import Alphabets
from resultsgen.website.page_parts import PageParts, part_address

if TYPE_CHECKING:
    from resultsgen.theme.theme import Theme
    from resultsgen.views.site.thread import Thread

MORE = "more"

FOLDERS = {
    "index.html": "index.html",
    "results.html": "results.html",
    "competitions": "results.html",
    "gymnasts": "gymnasts/index.html",
    "clubs": "clubs/index.html",
    "meets": "meets/index.html",
    "bests": "bests/index.html",
    "records.html": "records.html",
    "series.html": "series.html",
    "series": "series.html",
    "qualification": "series.html",
    "404.html": "",
}
"""The way that pages belong to by where they lie; all others are found under More."""

ALONE = re.compile(r"(?:[a-z]{2}/)?(?:embed/|screen[.]html)")
"""Addresses of pages that stand by themselves, in a frame or on a wall."""


@dataclass(frozen=True)
class SitePage:
    """One page: its address, its title, and what its template shows."""

    address: str
    """The same in every language, inside the folder of the language."""
    title: str
    view: Any
    above: str = ""
    """What its title in the browser names after its own: the competition."""
    corrections: tuple[str, ...] = ()
    """What was corrected of it since it was first published."""
    parts: PageParts | None = None
    """Where it is one of several that are too long for one page."""
    lead: BoardLine | None = None
    """Who is first on the list that it shows."""
    letters: tuple[tuple[tuple[str, str, str], ...], ...] = ()
    """Of an index each letter of each alphabet, with the page and the row where it begins."""
    thread: Thread | None = None
    """The phases of those whose competition it shows, where there are several."""

    @property
    def alone(self) -> bool:
        """It stands by itself, in a frame or on a wall, and is not to be found by searching."""
        return bool(ALONE.match(self.address))

    @property
    def belongs(self) -> tuple[str, str]:
        """The way of its folder, or More; and the page of which it is a part, if it is."""
        first = self.parts.each[0][0] if self.parts else self.address
        folder = first.rpartition("/")[0]
        return FOLDERS.get(first.partition("/")[0], MORE), f"{folder}.html" if folder else first


def in_parts(
    page: SitePage, views: Iterable[tuple[PagePart, Any]], *, sorts: bool = False
) -> Iterator[SitePage]:
    """The page with its only view; or several pages, the first at its address, others beside it."""
    called, shown = zip(*views, strict=True)
    if len(shown) == 1:
        yield replace(page, view=shown[0])
        return
    places = (part_address(page.address, number) for number in range(1, len(shown) + 1))
    each = tuple(zip(places, called, strict=True))
    for here, view in enumerate(shown):
        yield replace(page, address=each[here][0], view=view, parts=PageParts(each, here, sorts))


def with_letters(pages: Iterable[SitePage], alphabets: Alphabets) -> Iterator[SitePage]:
    """The pages of an index, with the way to the first of each letter."""
    held = tuple(pages)
    at = {row.id: page.address for page in held for row in page.view.rows}
    letters = tuple(
        tuple((letter, at[row], row) for letter, row in alphabet.items()) for alphabet in alphabets
    )
    return (replace(page, letters=letters) for page in held)


def way_to_root(page: SitePage, folder: str, base_url: str) -> str:
    """The way from a page, whose language lies in *folder*, to the root of the site."""
    if page.address == "404.html":  # A host shows it at any depth: its links start from the root.
        return urlsplit(base_url).path
    return "../" * (folder + page.address).count("/")


@dataclass(frozen=True)
class Version:
    """A page in one of the languages."""

    code: str
    language: str
    """The name of the language in itself."""
    link: str
    url: str
    """The link for other programs: with the host, where that is known."""
    here: bool


def versions_of(
    page: SitePage, languages: Sequence[str], here: str, base: str, root: str
) -> tuple[Version, ...]:
    """The page in every language, the main one first; none where there is only one."""
    if len(languages) == 1 or page.address == "404.html":
        return ()
    return tuple(
        Version(
            code,
            LANGUAGES[code].name,
            root + quote(address),
            base + quote(address),
            code == here,
        )
        for code in languages
        for address in [language_folder(code, languages) + page.address]
    )


def framing(theme: Theme) -> dict[str, Callable[..., str]]:
    """For a theme that comes along: what fills a macro once for all pages that tell it the same."""
    return {"framed": lru_cache(None)(lambda macro, *of: macro(*of))} if theme.comes_along else {}
