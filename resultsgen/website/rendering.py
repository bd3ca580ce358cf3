"""Each page's view, shown by its template."""

from __future__ import annotations

import posixpath
from collections.abc import Callable, Iterable, MutableMapping
from dataclasses import replace
from functools import lru_cache, partial
from itertools import islice
from typing import Any
from urllib.parse import quote

from markupsafe import escape

from resultsgen.files.cache import Cache, key_of
from resultsgen.theme.charts import svg
from resultsgen.views.corrections.corrections import newest
from resultsgen.views.lists.lists import ListView
from resultsgen.views.site.addresses import in_language, list_target
from resultsgen.views.site.attachments import printed_forms
from resultsgen.views.site.home import meet_view
from resultsgen.views.site.site_map import OVERVIEW
from resultsgen.website.feeds import FEED
from resultsgen.website.for_programs import has_feed, structured_data
from resultsgen.website.kept_pages import FilledPages, KeptPages, by_value
from resultsgen.website.pages import PAGES, Subject, ways
from resultsgen.website.site_page import SitePage, framing, versions_of, way_to_root
from resultsgen.website.to_come import (
    HOME_TO_COME,
    HOUR_TO_COME,
    NAMES_TO_COME,
    STYLE_TO_COME,
    TIME_TO_COME,
    Pages,
)

NEWEST = 3
"""So many of the newest corrections stand on the first page."""


def rendered_pages(
    subject: Subject,
    made: dict[str, str],
    cache: Cache,
    most: int | None = None,
    held: MutableMapping[str, FilledPages] | None = None,
) -> Pages:
    """The HTML of every page, and what is to come in it but for the address of the style sheet.

    *made* has the addresses of the icon, the scripts, and the picture for shared links; of each
    kind there are no more pages than *most*.
    """
    meet = meet_view(subject.results, subject.wording)
    on_top, unfolded = ways(subject)
    to_come = {NAMES_TO_COME: made["names"]}
    if subject.theme.comes_along:  # A stranger's may show them otherwise than they are.
        (first, called), *others = on_top
        on_top = ((first, HOME_TO_COME), *others)
        anew = {TIME_TO_COME: meet.published, HOUR_TO_COME: meet.as_of, HOME_TO_COME: called}
        to_come |= {stands: str(escape(meant)) for stands, meant in anew.items()}
        meet = replace(
            meet,
            published=TIME_TO_COME if meet.published else "",
            as_of=HOUR_TO_COME if meet.as_of else "",
        )
    shared = {
        "meet": meet,
        "goes_on": subject.results.goes_on,
        "say": subject.wording.language.say,
        "language": subject.wording.language,
        "books": tuple(book for book in subject.books if not book.group),
        "printed": printed_forms(subject.books),
        "tables": subject.tables,
        "texts": subject.own_pages,
        "style": STYLE_TO_COME,
        **made,
        "names": NAMES_TO_COME,
        "base_url": subject.base_url + subject.folder if subject.base_url else "",
        "host": subject.base_url,
        "ways": on_top,
        "more": unfolded,
        "number": subject.results.history.number,
        "corrected": newest(subject.results, subject.wording, NEWEST),
        "feed": FEED if has_feed(subject) else "",
        "draw": lambda chart: svg(chart, subject.theme),
    }
    pages = KeptPages(subject.theme, subject.theme.environment("site"), shared, cache, held)
    links = lru_cache(partial(_links, subject, pages.row))
    where = key_of(by_value((subject.where, subject.base_url, subject.wording.language)))
    filled = {}
    for template, made_of in PAGES:
        for page in islice(made_of(subject), most):
            root, own = _own(page, subject)
            told = {**own, **links(root)}
            filled[subject.folder + page.address] = pages.filled(template, (where, own), told)
            pages.rows |= _rows_of(page)
    pages.keep()
    return Pages(filled, {one.encode(): meant.encode() for one, meant in to_come.items()})


def _rows_of(page: SitePage) -> dict[tuple[str, str], str]:
    """Where each row of a list is."""
    if not isinstance(page.view, ListView):
        return {}
    rows = (row for table in page.view.tables for row in table.rows)
    return {(page.view.target, row.id): page.address for row in rows}


def _links(
    subject: Subject, found: Callable[[str, str], str | None], root: str
) -> dict[str, Callable[..., Any]]:
    """How pages of one depth link to an address, to a target, and to where in it a gymnast is."""

    @lru_cache(None)
    def url(address: str) -> str:
        return root + quote(in_language(address, subject.folder))

    @lru_cache(None)
    def href(target: str) -> str:
        return url(subject.where[target])

    def at(key: int) -> Callable[[str], str]:
        def near(target: str) -> str:
            row = f"{target.rpartition('/')[2]}-{key}"
            page = found(target, row)
            return f"{url(page)}#{row}" if page else href(target)

        return near

    return {"url": url, "href": href, "at": at, **framing(subject.theme)}


def _own(page: SitePage, subject: Subject) -> tuple[str, dict[str, Any]]:
    """The way from a page to the root, and what its template is told of it alone."""
    root = way_to_root(page, subject.folder, subject.base_url)
    settings, here = subject.results.meet.settings, subject.wording.language.code
    versions = versions_of(page, settings.languages, here, subject.base_url or root, root)
    told, held = structured_data(page, subject), held_sentences(page, subject)
    own = {"page": page, "view": page.view, "versions": versions, "structured": told, "held": held}
    return root, own


def held_sentences(page: SitePage, subject: Subject) -> tuple[str, ...]:
    """What is held back of what a page shows, on home of everything: where, but not what is wrong.

    A page of a competition also tells of those that fill it.
    """
    if not subject.results.meet.held:
        return ()
    folders = {
        judged.competition.id: posixpath.dirname(
            subject.where[list_target(judged.competition.id, OVERVIEW)]
        )
        for judged in subject.results.competitions
    }
    here = {id for id, folder in folders.items() if page.address.startswith(f"{folder}/")}
    of = {one.id: one for one in subject.results.meet.settings.competitions}
    return tuple(
        subject.wording.say(
            "New marks of {competition} are held back until this is mended: {places}.",
            competition=subject.wording.called(of[held.competition].title),
            places=listed_places(one.place for one in held.why),
        )
        for held in subject.results.meet.held
        if page.address == "index.html"
        or any(held.competition in (id, *of[id].fed_by) for id in here)
    )


def listed_places(places: Iterable[str]) -> str:
    """The first of them, each once.

    >>> listed_places(["m.csv:7", "m.csv:7", "m.csv:8", "m.csv:9"])
    'm.csv:7, m.csv:8, m.csv:9'
    >>> listed_places(f"m.csv:{row}" for row in range(5))
    'm.csv:0, m.csv:1, m.csv:2, …'
    """
    each = [*dict.fromkeys(places)]
    return ", ".join([*each[:SHOWN], *["…"] * (len(each) > SHOWN)])


SHOWN = 3
"""So many places are named where marks are to be mended."""
