"""Each page's view, shown by its template."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from urllib.parse import quote, urlsplit

from resultsgen.charts import svg
from resultsgen.site.pages import PAGES, SitePage, Subject
from resultsgen.views.meets import meet_view

STYLE_TO_COME = "static/the-style-sheet-of-this-site.css"
"""Stands in the pages until the style sheet has its address."""


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
        "books": subject.books,
        "tables": subject.tables,
        "texts": sorted(subject.pages, key=lambda page: (page.order, page.title)),
        "style": STYLE_TO_COME,
        **made,
        "base_url": subject.base_url,
        "ways": ways(subject),
        "draw": lambda chart: svg(chart, subject.theme),
    }
    return {
        page.address: _rendered(environment.get_template(template).render, page, subject, shared)
        for template, pages in PAGES
        for page in pages(subject)
    }


def ways(subject: Subject) -> tuple[tuple[str, str], ...]:
    """The pages that every page leads to: their addresses and names."""
    say = subject.wording.say
    has_clubs = any(target.startswith("club:") for target in subject.where)
    offered = (
        ("index.html", say("Home"), True),
        ("gymnasts/index.html", say("Gymnasts"), True),
        ("clubs/index.html", say("Clubs"), has_clubs),
        ("rules.html", say("Rules"), True),
        ("downloads.html", say("Downloads"), bool(subject.books or subject.tables)),
    )
    return tuple((address, name) for address, name, there in offered if there)


def _rendered(
    render: Callable[..., str], page: SitePage, subject: Subject, shared: dict[str, Any]
) -> str:
    # A host shows 404.html at any depth, so its links start from the root of the host.
    root = page.root if page.address != "404.html" else urlsplit(subject.base_url).path

    def url(address: str) -> str:
        return root + quote(address)

    def href(target: str) -> str:
        return root + quote(subject.where[target])

    return render(shared, page=page, view=page.view, url=url, href=href)
