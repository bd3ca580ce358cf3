"""The Markdown pages of a season: text and pictures, with no facts such as those of a meet have."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from functools import partial
from pathlib import PurePosixPath

from resultsgen.meet.pages import Page
from resultsgen.meet.problems import Problem
from resultsgen.views.site.addresses import language_folder
from resultsgen.views.site.attachments import RenderedPage
from resultsgen.website.markup import safe_html

ASKED = re.compile(r"\{[{%]")


def season_texts(
    pages: Sequence[Page], pictures: Collection[str], languages: Sequence[str]
) -> tuple[tuple[RenderedPage, ...], list[Problem]]:
    """Every page in each language of the site, and what is wrong in any of them."""
    problems: dict[Problem, None] = {}
    rendered = []
    for site in languages:
        wanted = (site, *languages)
        for slug in dict.fromkeys(page.slug for page in pages):
            versions = (page for page in pages if page.slug == slug)
            page = min(versions, key=lambda one: wanted.index(one.language))
            html, wrong = _made(page, pages, pictures, language_folder(site, languages))
            problems |= dict.fromkeys(wrong)
            rendered.append(
                RenderedPage(page.slug, page.title, html, page.date, page.language, site)
            )
    return tuple(rendered), list(problems)


def _made(
    page: Page, pages: Sequence[Page], pictures: Collection[str], folder: str
) -> tuple[str, list[Problem]]:
    problems = list(_asked(page))
    told = partial(_referred, page, {one.slug for one in pages}, pictures, folder, problems)
    return safe_html(page.body, told), problems


def _asked(page: Page) -> Iterator[Problem]:
    for number, line in enumerate(page.body.splitlines(), start=page.first_line):
        if ASKED.search(line):
            message = "pages of a season call on no facts; write the text itself, without braces"
            yield Problem(page.file, number, "", "page-text", message)


def _referred(
    page: Page, slugs: set[str], pictures: Collection[str], folder: str, problems: list[Problem],
    tag: str, value: str,
) -> dict[str, str]:  # fmt: skip
    """Pictures come from assets/; a link to a Markdown file leads to its page."""
    path = PurePosixPath(value.removeprefix("../"))
    if tag == "img":
        name = str(path).removeprefix("assets/")
        if "assets/" in value and name in pictures:
            return {"src": f"{'../' * folder.count('/')}../assets/{name}"}
        message = f"there is no picture {value}; put it into assets/ and write assets/its-name"
        code = "page-picture"
    elif ":" in value or path.suffix != ".md":
        return {"href": value}
    elif (slug := path.name.partition(".")[0]) in slugs:
        return {"href": f"{slug}.html"}
    else:
        message, code = f"there is no page {value}", "page-link"
    lines = enumerate(page.body.splitlines(), start=page.first_line)
    row = next((number for number, line in lines if value in line), page.first_line)
    problems.append(Problem(page.file, row, "", code, message))
    return {}
