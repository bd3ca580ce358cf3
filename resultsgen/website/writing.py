"""A site written: every page, and what pages need."""

from __future__ import annotations

from collections.abc import Iterator, MutableMapping
from itertools import islice
from pathlib import Path

from resultsgen.files.cache import Cache
from resultsgen.files.manifest import Stand
from resultsgen.files.pictures import published
from resultsgen.files.staging import write
from resultsgen.language import LANGUAGES
from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import MeetProblems, Problem
from resultsgen.scoring.results import Results
from resultsgen.theme.theme import SCREEN_SCRIPT, Theme
from resultsgen.views.live.just_in import has_just_in
from resultsgen.views.site.attachments import Download, RenderedPage
from resultsgen.views.site.home import meet_view
from resultsgen.views.site.pictures import smaller_pictures
from resultsgen.views.site.site_map import addresses
from resultsgen.views.words.wording import wording
from resultsgen.website.feeds import FEED, crawler_files
from resultsgen.website.for_programs import (
    JUST_IN,
    NEWS,
    feed_text,
    has_feed,
    just_in_text,
    news_json,
)
from resultsgen.website.kept_pages import FilledPages
from resultsgen.website.look import (
    card,
    favicon,
    hashed_address,
    screen_style,
    script,
    write_styled,
)
from resultsgen.website.meet_scripts import TURNS, names_script, turns_script
from resultsgen.website.pages import Subject, home_name
from resultsgen.website.rendering import rendered_pages
from resultsgen.website.scripts import row_scripts
from resultsgen.website.to_come import ROWS_TO_COME, Pages, put_in


def write_site(
    results: Results,
    theme: Theme,
    folder: Path,
    books: tuple[Download, ...] = (),
    tables: tuple[Download, ...] = (),
    pages: tuple[RenderedPage, ...] = (),
    cache: Path | None = None,
    before: Path | None = None,
    held: MutableMapping[str, FilledPages] | None = None,
    known: dict[Stand, str] | None = None,
) -> dict[str, str]:
    """Write every page and what pages need into *folder*; what is so *before* is taken over.

    A process that goes on has *held* pages as they were filled last, and keeps them in the cache.
    By the SHA-256 of each page: what tells it but for what all pages print.
    """
    subjects, kept = tuple(_subjects(results, theme, books, tables, pages)), Cache(cache)
    icon, code = favicon(theme.settings.light).encode(), script(theme).encode()
    made = {"icon": hashed_address("icon.svg", icon), "script": hashed_address("site.js", code)}
    files = {made["icon"]: icon, made["script"]: code}
    if results.meet.settings.screen:
        for name, text in (
            ("screen_style", screen_style(theme)),
            ("screen_script", theme.text(SCREEN_SCRIPT)),
        ):
            kind = "css" if name == "screen_style" else "js"
            made[name] = hashed_address(f"screen.{kind}", text.encode())
            files[made[name]] = text.encode()
    sites: list[Pages] = []
    for subject in subjects:
        names = names_script(subject).encode()
        address = hashed_address("names.js", names)
        files[address] = names
        if results.goes_on:
            files[subject.folder + TURNS] = turns_script(subject).encode()
        drawn = _card(subject, kept)
        files |= drawn
        told = {**made, "names": address, "card": "".join(drawn)}
        rendered = rendered_pages(subject, told, kept, held=held)
        rows, scripts = row_scripts(_with_rows(rendered), subject.folder)
        sites.append(Pages(rendered.filled, rendered.told | rows))
        files |= scripts
    alike = write_styled(sites, theme, kept, folder, before, known)
    shown = (address for site in sites for address in site.filled)
    files |= {one: text.encode() for one, text in _crawlers(subjects[0], tuple(shown)).items()}
    files[NEWS] = news_json(results).encode()
    if has_feed(subjects[0]):
        files[FEED] = feed_text(subjects[0]).encode()
    if has_just_in(results):
        files[JUST_IN] = just_in_text(subjects[0]).encode()
    for address, data in files.items():
        write(folder, address, data, before, known)
    for name, data in published_pictures(results.meet, kept):
        write(folder, f"assets/{name}", data, before, known)
    return alike


def _with_rows(pages: Pages) -> dict[str, str]:
    """The pages of lists in parts, whose rows are to come."""
    return {
        address: put_in(pieces, pages.told).decode()
        for address, (_, _, pieces) in pages.filled.items()
        if any(piece.startswith(ROWS_TO_COME.encode()) for piece in pieces)
    }


def _crawlers(subject: Subject, pages: tuple[str, ...]) -> dict[str, str]:
    listed = subject.results.meet.settings.privacy.search_engines
    return crawler_files(subject.base_url if listed else "", pages)


def printed_everywhere(results: Results) -> tuple[str, ...]:
    """What may be otherwise on all pages of a language: the time of publication, the hour that
    they are as of, and what the way to the first page is called."""
    settings = results.meet.settings
    each = [wording(settings, LANGUAGES[code]) for code in settings.languages]
    views = (meet_view(results, words) for words in each)
    times = (time for view in views for time in (view.published, view.as_of))
    called = (home_name(results, words) for words in each)
    return tuple(dict.fromkeys(filter(None, (*times, *called))))


def published_pictures(meet: Meet, kept: Cache) -> Iterator[tuple[str, bytes]]:
    """Each picture by its place below assets/, and the smaller ones that are offered beside it."""
    for name, path in meet.assets.items():
        smaller = (picture for picture in smaller_pictures(meet) if picture.of == name)
        sizes = {name: (0, 0)} | {one.name: (one.width, one.height) for one in smaller}
        yield from zip(sizes, published(path, kept, sizes.values()), strict=True)


UNTIL_MADE = {
    "icon": "static/icon.svg", "script": "static/site.00000000.js", "names": "static/names.js",
    "card": "", "screen_style": "static/screen.css", "screen_script": "static/screen.00000000.js",
}  # fmt: skip
"""Addresses for pages that nobody is to see."""


def problems_of_pages(
    results: Results, theme: Theme, pages: tuple[RenderedPage, ...]
) -> list[Problem]:
    """What is wrong with the templates of a theme of strangers: one page of each kind is made."""
    if theme.comes_along:
        return []
    try:
        for subject in islice(_subjects(results, theme, (), (), pages), 1):
            rendered_pages(subject, UNTIL_MADE, Cache(None), 1)
    except MeetProblems as told:
        return told.problems
    return []


def _subjects(
    results: Results,
    theme: Theme,
    books: tuple[Download, ...],
    tables: tuple[Download, ...],
    pages: tuple[RenderedPage, ...],
) -> Iterator[Subject]:
    """The site in each language of the meet, the main one first."""
    settings = results.meet.settings
    where = addresses(results)
    for code in settings.languages:
        words = wording(settings, LANGUAGES[code])
        yield Subject(
            results,
            words,
            theme,
            where,
            tuple(book for book in books if book.language in ("", code)),
            tables,
            tuple(page for page in pages if page.site == code),
        )


def _card(subject: Subject, kept: Cache) -> dict[str, bytes]:
    """The picture for shared links by its address; who shows it must be told the whole address."""
    if not subject.base_url:
        return {}
    drawn = card(meet_view(subject.results, subject.wording), subject.theme, kept)
    return {hashed_address("card.png", drawn): drawn} if drawn else {}
