"""Each page's view, shown by its template."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, partial
from typing import Any
from urllib.parse import quote, urlsplit

from resultsgen.charts import svg
from resultsgen.language import LANGUAGES
from resultsgen.site.feed import FEED, has_feed
from resultsgen.site.pages import PAGES, SitePage, Subject
from resultsgen.site.structured import structured_data
from resultsgen.views.corrections import newest
from resultsgen.views.meets import meet_view
from resultsgen.views.press import has_press_page
from resultsgen.views.site_map import in_language, language_folder

Link = Callable[[str], str]

STYLE_TO_COME = "static/the-style-sheet-of-this-site.css"
"""Stands in the pages until the style sheet has its address."""

NEWEST = 3
"""So many of the newest corrections stand on the first page."""


def rendered_pages(subject: Subject, made: dict[str, str]) -> dict[str, str]:
    """The HTML of every page by its address, but for the address of the style sheet.

    *made* has the icon and the addresses of the scripts.
    """
    environment = subject.theme.environment("site")
    meet = meet_view(subject.results, subject.wording)
    shared = {
        "meet": meet,
        "say": subject.wording.say,
        "language": subject.wording.language,
        "books": tuple(book for book in subject.books if not book.group),
        "printed": {book.target: book for book in subject.books if book.target},
        "tables": subject.tables,
        "texts": subject.own_pages,
        "style": STYLE_TO_COME,
        **made,
        "base_url": subject.base_url + subject.folder if subject.base_url else "",
        "ways": ways(subject),
        "number": subject.results.history.number,
        "corrected": newest(subject.results, subject.wording, NEWEST),
        "feed": FEED if has_feed(subject) else "",
        "draw": lambda chart: svg(chart, subject.theme),
    }
    links = cache(partial(_links, subject))
    return {
        subject.folder + page.address: _rendered(
            environment.get_template(template).render, page, subject, links, shared
        )
        for template, pages in PAGES
        for page in pages(subject)
    }


def _links(subject: Subject, root: str) -> tuple[Link, Link]:
    """How pages of one depth link to an address, and to a target; each link is made once."""

    @cache
    def url(address: str) -> str:
        return root + quote(in_language(address, subject.folder))

    @cache
    def href(target: str) -> str:
        return url(subject.where[target])

    return url, href


def ways(subject: Subject) -> tuple[tuple[str, str], ...]:
    """The pages that every page leads to: their addresses and names."""
    say = subject.wording.say
    has_clubs = any(target.startswith("club:") for target in subject.where)
    offered = (
        ("index.html", say("Home"), True),
        ("gymnasts/index.html", say("Gymnasts"), True),
        ("clubs/index.html", say("Clubs"), has_clubs),
        ("rules.html", say("Rules"), True),
        ("press.html", say("Press"), has_press_page(subject.results)),
        ("corrections.html", say("Corrections"), bool(subject.results.history.corrected)),
        ("downloads.html", say("Downloads"), bool(subject.books or subject.tables)),
    )
    return tuple((address, name) for address, name, there in offered if there)


def _rendered(
    render: Callable[..., str],
    page: SitePage,
    subject: Subject,
    links: Callable[[str], tuple[Link, Link]],
    shared: dict[str, Any],
) -> str:
    # A host shows 404.html at any depth, so its links start from the root of the host.
    depth = (subject.folder + page.address).count("/")
    root = "../" * depth if page.address != "404.html" else urlsplit(subject.base_url).path
    url, href = links(root)
    versions = _versions(page, subject, root)
    told = structured_data(page, subject)
    return render(
        shared, page=page, view=page.view, url=url, href=href, versions=versions, structured=told
    )


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


def _versions(page: SitePage, subject: Subject, root: str) -> tuple[Version, ...]:
    """The page in every language, the main one first; none where there is only one."""
    settings = subject.results.meet.settings
    if len(settings.languages) == 1 or page.address == "404.html":
        return ()
    return tuple(
        Version(
            code,
            LANGUAGES[code].name,
            root + quote(address),
            (subject.base_url or root) + quote(address),
            code == subject.wording.language.code,
        )
        for code in settings.languages
        for address in [language_folder(code, settings) + page.address]
    )
