"""The site of a season: which pages it has, and how they are rendered and written."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from pathlib import Path
from typing import Any
from urllib.parse import quote, urlsplit

from resultsgen.files.cache import Cache
from resultsgen.files.staging import write
from resultsgen.season.facts import SeasonMeet
from resultsgen.theme.charts import svg
from resultsgen.theme.theme import Theme
from resultsgen.views.lists.page_parts import PagePart, TablePart, by_content, parted
from resultsgen.views.people.indexes import index_parts
from resultsgen.views.season.bests import bests_index, bests_views, records_view
from resultsgen.views.season.clubs import club_views, clubs_table
from resultsgen.views.season.gymnasts import career_view, gymnasts_table
from resultsgen.views.season.home import season_head, season_home
from resultsgen.views.season.meets import board, days, meet_view, meets_table, state
from resultsgen.views.season.series import tables_over_meets
from resultsgen.views.season.subject import OF_A_MEET, SeasonSubject, SeasonView
from resultsgen.views.site.site_map import folder_of, in_language
from resultsgen.website.for_programs import (
    ENTRIES,
    FEED,
    atom_entry,
    atom_feed,
    crawler_files,
    lasting_name,
)
from resultsgen.website.kept_pages import KeptPages
from resultsgen.website.look import (
    STYLE_TO_COME,
    favicon,
    hashed_address,
    script,
    write_styled,
)
from resultsgen.website.pages import SitePage, in_parts
from resultsgen.website.rendering import versions_of
from resultsgen.website.scripts import with_rows
from resultsgen.website.season_names import NAMES, season_names

Rendered = Iterator[SitePage]


def _view_page(view: SeasonView, subject: SeasonSubject) -> Rendered:
    """A page of headings and tables, in parts where it is long."""
    tables = [one.table for one in view.texts if one.table]

    def show(held: tuple[TablePart, ...], number: int) -> SeasonView:
        own = {piece.number: piece.table for piece in held}
        with_table = (one for one in view.texts if one.table)
        texts = (replace(one, table=own[at]) for at, one in enumerate(with_table) if at in own)
        return replace(view, texts=tuple(texts))

    words: Callable[..., PagePart] = partial(by_content, wording=subject.wording)
    page = SitePage(subject.where[view.target], view.title, view)
    yield from in_parts(page, parted(view, tables, show, words))


def season_pages(subject: SeasonSubject) -> Iterator[tuple[str, SitePage]]:
    """Every page with its template."""
    say = subject.wording.say
    yield (
        "season_home.html",
        SitePage("index.html", subject.season.settings.title, season_home(subject)),
    )
    for name, title, table in (
        ("meets", say("Meets"), meets_table(subject)),
        ("gymnasts", say("Gymnasts"), gymnasts_table(subject)),
        ("clubs", say("Clubs"), clubs_table(subject)),
    ):
        page = SitePage(subject.where[f"page:{name}"], title, table)
        for part in in_parts(page, index_parts(table, subject.wording), sorts=True):
            yield "index.html", part
    for view in _views(subject):
        for page in _view_page(view, subject):
            yield "season.html", page
    if folder_of(subject.language.code, subject.season.settings.languages) == "":
        yield "404.html", SitePage("404.html", say("Page not found"), None)


def _views(subject: SeasonSubject) -> Iterator[SeasonView]:
    for meet in subject.season.facts.meets:
        yield meet_view(meet, subject)
    for career in subject.season.careers:
        if not career.withheld:
            yield career_view(career, subject)
    yield from club_views(subject)
    yield bests_index(subject)
    yield from bests_views(subject)
    yield records_view(subject)
    yield from tables_over_meets(subject)


@dataclass(frozen=True)
class SeasonSite:
    """What all pages of a season in one language share."""

    subject: SeasonSubject
    theme: Theme
    noindex: bool

    @property
    def folder(self) -> str:
        """Where the pages of this language lie."""
        return folder_of(self.subject.language.code, self.subject.season.settings.languages)

    @property
    def base(self) -> str:
        """Where the site will be published, with a slash at its end; empty where nobody said."""
        given = self.subject.season.settings.base_url
        return given.rstrip("/") + "/" if given else ""

    @property
    def feed(self) -> str:
        """The address of the feed; empty where there can be none."""
        return FEED if self.base and self.subject.season.facts.meets else ""

    def ways(self) -> tuple[tuple[str, str], ...]:
        """The ways that stand on every page."""
        say = self.subject.wording.say
        return (
            ("index.html", say("Newest results")),
            ("meets/index.html", say("Meets")),
            ("gymnasts/index.html", say("Gymnasts")),
            ("clubs/index.html", say("Clubs")),
            ("bests/index.html", say("Bests")),
            ("records.html", say("Records")),
        )

    def more(self) -> tuple[tuple[str, str], ...]:
        """The tables over several meets, below the other ways."""
        return tuple(
            (self.subject.where[f"{kind}:{id}"], held.settings.title)
            for kind, tables in self.subject.over_meets.items()
            for id, held in tables.items()
        )

    def rendered(self, made: dict[str, str], cache: Cache) -> dict[str, str]:
        """The HTML of every page by its address, but for the address of the style sheet."""
        subject = self.subject
        shared = {
            "meet": season_head(subject, noindex=self.noindex),
            "goes_on": False,
            "say": subject.wording.say,
            "language": subject.language,
            "style": STYLE_TO_COME,
            **made,
            "card": "",
            "base_url": self.base + self.folder if self.base else "",
            "host": self.base,
            "ways": self.ways(),
            "more": self.more(),
            "held": (),
            "structured": "",
            "feed": self.feed,
            "draw": lambda chart: svg(chart, self.theme),
        }
        pages = KeptPages(self.theme, self.theme.environment("site"), shared, cache)
        links = lru_cache(self._links)
        texts = {}
        for template, page in season_pages(subject):
            root = "../" * (self.folder + page.address).count("/")
            if page.address == "404.html":
                root = urlsplit(self.base).path
            settings = subject.season.settings
            versions = versions_of(
                page, settings.languages, subject.language.code, self.base or root, root
            )
            own = {"page": page, "view": page.view, "versions": versions}
            shapes = (own, subject.language.code, self.base)
            texts[self.folder + page.address] = pages.filled(
                template, shapes, {**own, **links(root)}
            )
        pages.keep()
        return texts

    def _links(self, root: str) -> dict[str, Any]:
        """How pages of one depth link to an address and to a target."""

        @lru_cache(None)
        def url(address: str) -> str:
            return root + quote(in_language(address, self.folder))

        @lru_cache(None)
        def href(target: str) -> str:
            if target.startswith(OF_A_MEET):
                address, _, row = target.removeprefix(OF_A_MEET).partition("#")
                there = address if "://" in address else root + quote(address)
                return f"{there}#{quote(row)}" if row else there
            return url(self.subject.where[target])

        return {"url": url, "href": href}


def write_season_site(
    sites: tuple[SeasonSite, ...], folder: Path, before: Path, cache: Path | None
) -> None:
    """Write every page and what pages need; what is so *before* is taken over."""
    theme, kept = sites[0].theme, Cache(cache)
    icon, code = favicon(theme.settings.light).encode(), script(theme).encode()
    made = {"icon": hashed_address("icon.svg", icon), "script": hashed_address("site.js", code)}
    files = {made["icon"]: icon, made["script"]: code}
    shown: dict[str, str] = {}
    for site in sites:
        names = season_names(site.subject, (*site.ways(), *site.more()))
        files |= {site.folder + address: data for address, data in names.items()}
        own = {**made, "names": site.folder + NAMES}
        whole, rows = with_rows(site.rendered(own, kept), site.folder)
        shown |= whole
        files |= rows
    write_styled(shown, theme, kept, folder, before)
    base = "" if sites[0].noindex else sites[0].base
    files |= {one: text.encode() for one, text in crawler_files(base, tuple(shown)).items()}
    if sites[0].feed:
        files[FEED] = feed_of_meets(sites[0].subject, sites[0].base).encode()
    for address, data in files.items():
        write(folder, address, data, before)


def feed_of_meets(subject: SeasonSubject, base: str) -> str:
    """The newest meets with their winners, each dated by its publication, or else its last day."""
    settings = subject.season.settings
    told = {meet: _updated(meet) for meet in reversed(subject.season.facts.meets)}
    entries = []
    for meet in list(told)[:ENTRIES]:
        winners = (
            subject.language.headed(f"{column.heading}, {line.title.text}", f"{names} {line.total}")
            for column in board(meet, subject)
            for line in column.lines
            for names in [subject.language.listed([who.text for who in line.winners])]
            if line.winners
        )
        about = ", ".join(filter(None, (days(meet, subject), meet.place, state(meet, subject))))
        name = lasting_name(base, meet.first.isoformat(), f"meets/{meet.id}")
        link = base + quote(subject.where[f"meet:{meet.id}"])
        summary = ". ".join((about, *winners))
        entries.append(atom_entry(name, meet.title, told[meet], link, f"{summary}."))
    name = lasting_name(base, subject.season.facts.meets[0].first.isoformat(), "feed")
    about_all = (name, settings.title, max(told.values()))
    author = settings.organiser or settings.title
    return atom_feed(about_all, author, subject.language.code, base, "meets/index.html", entries)


def _updated(meet: SeasonMeet) -> str:
    time = meet.results.meet.published
    return time.isoformat(timespec="seconds") if time and time.tzinfo else f"{meet.last}T00:00:00Z"
