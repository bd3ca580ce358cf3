"""The site of a season: which pages it has, and how they are rendered and written."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache, partial
from typing import Any, NamedTuple
from urllib.parse import quote

from jinja2 import Environment

from resultsgen.files.cache import code_digest, key_of, run_by
from resultsgen.season.bests import told_by_year
from resultsgen.theme.charts import svg
from resultsgen.theme.theme import Theme
from resultsgen.views.lists.page_parts import TablePart, by_content, index_parts, parted
from resultsgen.views.lists.table import Table
from resultsgen.views.season.bests import bests_index, bests_view, records_view, year_view
from resultsgen.views.season.clubs import club_view, clubs_table
from resultsgen.views.season.gymnasts import career_view, gymnasts_letters, gymnasts_table
from resultsgen.views.season.home import season_head, season_home
from resultsgen.views.season.meets import all_meets_table, days, meet_view
from resultsgen.views.season.page import SeasonView
from resultsgen.views.season.series import tables_over_meets
from resultsgen.views.season.series_places import series_index
from resultsgen.views.season.series_places import shows as series_places
from resultsgen.views.season.subject import OF_A_MEET, SeasonSubject, bests_target, years_of
from resultsgen.views.site.addresses import club_target, in_language, language_folder, with_slash
from resultsgen.views.site.attachments import RenderedPage
from resultsgen.website.feeds import FEED
from resultsgen.website.site_page import (
    SitePage,
    framing,
    in_parts,
    versions_of,
    way_to_root,
    with_letters,
)
from resultsgen.website.to_come import STYLE_TO_COME

Rendered = Iterator[SitePage]

SORTED = 1500
"""Of so many rows all can be fetched at once, which sorting needs, in less than 60 kB."""


def _view_page(tell: Callable[[], SeasonView], subject: SeasonSubject) -> Rendered:
    """A page of headings and tables, in parts where it is long."""
    view = tell()
    tables = [one.table for one in view.texts if one.table]

    def show(held: tuple[TablePart, ...], number: int) -> SeasonView:
        own = {piece.number: piece.table for piece in held}
        with_table = (one for one in view.texts if one.table)
        texts = (replace(one, table=own[at]) for at, one in enumerate(with_table) if at in own)
        return replace(view, texts=tuple(texts), board=view.board if number == 1 else ())

    page = SitePage(subject.where[view.target], view.title, view)
    yield from in_parts(page, parted(view, tables, show, by_content, subject.wording))


class SeasonUnit(NamedTuple):
    """Pages that are made together, and what they show; None: that is not told beforehand."""

    name: str
    template: str
    pages: Callable[[], Rendered]
    shows: object = None


def season_units(subject: SeasonSubject) -> Iterator[SeasonUnit]:
    """Every page."""
    say = subject.wording.say

    def index(name: str, title: str, table: Callable[[SeasonSubject], Table]) -> Rendered:
        held = table(subject)
        page = SitePage(subject.where[f"page:{name}"], title, held)
        sorts = len(held.rows) <= SORTED
        pages = in_parts(page, index_parts(held, subject.wording), sorts=sorts)
        yield from with_letters(pages, gymnasts_letters(subject) if name == "gymnasts" else ())

    yield SeasonUnit("home", "season_home.html", partial(_home, subject))
    everybody = [
        (
            one.key,
            one.family,
            one.given,
            one.clubs[:1],
            len(one.meets),
            years_of(subject.season.facts.years(one.rows)),
        )
        for one in subject.season.careers
        if not one.withheld
    ]
    addresses = [
        subject.where[target]
        for key, _, _, clubs, *_ in everybody
        for target in (f"person:{key}", *map(club_target, clubs))
    ]
    for name, title, table, shows in (
        ("meets", say("Meets"), all_meets_table, None),
        ("gymnasts", say("Gymnasts"), gymnasts_table, repr((everybody, addresses))),
        ("clubs", say("Clubs"), clubs_table, None),
    ):
        yield SeasonUnit(name, "index.html", partial(index, name, title, table), shows)
    for target, view, drawn in _views(subject):
        yield SeasonUnit(target, "season.html", partial(_view_page, view, subject), drawn)
    if language_folder(subject.language.code, subject.season.settings.languages) == "":
        lost = SitePage("404.html", say("Page not found"), None)
        yield SeasonUnit("404", "404.html", partial(_alone, lost), "")


def _home(subject: SeasonSubject) -> Rendered:
    yield SitePage("index.html", subject.season.settings.title, season_home(subject))


def _views(subject: SeasonSubject) -> Iterator[tuple[str, Callable[[], SeasonView], object]]:
    """What each page is about, what it tells, and what that follows from."""
    heads, where, season = subject.heads, subject.where, subject.season
    broken: dict[str, list[object]] = defaultdict(list)
    for group, sets in subject.records.items():
        for held in sets:
            for one in held.marks:
                broken[one.meet].append((group.kind, group.id, held.of, held.before, one.entry))
    for at, meet in enumerate(season.facts.meets):
        near = [one[:5] for one in season.facts.meets[max(at - 1, 0) : at + 2]]
        shows: object = (heads[meet.id], meet.digest, broken[meet.id], near)
        yield f"meet:{meet.id}", partial(meet_view, meet, subject), shows
    for career in season.careers:
        if not career.withheld:
            target = f"person:{career.key}"
            marks = subject.marks_of(career.rows)
            places = series_places(career.key, season)
            were = " ".join(map(heads.__getitem__, career.meets))
            shows = " ".join((tuple.__repr__(career), where[target], were, marks, places))
            yield target, partial(career_view, career, subject), shows
    for club, rows in subject.by_club.items():
        meets = dict.fromkeys(meet for meet, _ in rows)
        marks = subject.marks_of(rows)
        shows = (
            where[club_target(club)], rows, [heads[meet] for meet in meets], marks,
            series_places(club, season),
        )  # fmt: skip
        yield club_target(club), partial(club_view, club, subject), shows
    yield "page:bests", partial(bests_index, subject), None
    yield from _bests(subject)
    yield "page:records", partial(records_view, subject), None
    if any(subject.over_meets.values()):
        yield "page:series", partial(series_index, subject), None
    for number, view in enumerate(tables_over_meets(subject)):
        yield f"over:{number}", partial(_as_it_is, view), None


def _bests(subject: SeasonSubject) -> Iterator[tuple[str, Callable[[], SeasonView], object]]:
    told_by = told_by_year(subject.season)
    for of in subject.comparable:
        told = {year: _told(made, subject) for year, made in told_by[of].items()}
        yield bests_target(of), partial(bests_view, of, subject), (told, bool(subject.years))
        for year in told if subject.years else ():
            view = partial(year_view, of, year, subject)
            yield bests_target(of, year), view, (sorted(told), told[year])


def _told(made: Mapping[str, list[str]], subject: SeasonSubject) -> str:
    """What tells marks, and all that pages show with them, from how they were before."""
    return key_of(*(" ".join((subject.heads[meet], *told)) for meet, told in made.items()))


def _alone(page: SitePage) -> Rendered:
    yield page


def _as_it_is(view: SeasonView) -> SeasonView:
    return view


@dataclass(frozen=True)
class SeasonSite:
    """What all pages of a season in one language share."""

    subject: SeasonSubject
    theme: Theme
    noindex: bool
    texts: tuple[RenderedPage, ...] = ()
    """The Markdown pages of the season."""

    @property
    def folder(self) -> str:
        """Where the pages of this language lie."""
        return language_folder(self.subject.language.code, self.subject.season.settings.languages)

    @property
    def base(self) -> str:
        """Where the site will be published, with a slash at its end; empty where nobody said."""
        return with_slash(self.subject.season.settings.base_url)

    @property
    def feed(self) -> str:
        """The address of the feed; empty where there can be none."""
        return FEED if self.base and self.subject.season.facts.meets else ""

    def ways(self) -> tuple[tuple[str, str], ...]:
        """The ways that stand on every page."""
        say = self.subject.wording.say
        return (
            ("index.html", say("Results")),
            *((("series.html", say("Series")),) if self._has_series else ()),
            ("meets/index.html", say("Meets")),
            ("gymnasts/index.html", say("Gymnasts")),
            ("clubs/index.html", say("Clubs")),
            *(() if self._has_series else self._marks()),
        )

    def more(self) -> tuple[tuple[str, str], ...]:
        """What stands below the other ways: the pages of the season, and marks beside series."""
        texts = tuple((f"pages/{text.slug}.html", text.title) for text in self.texts)
        return (*(self._marks() if self._has_series else ()), *texts)

    @property
    def _has_series(self) -> bool:
        return any(self.subject.over_meets.values())

    def _marks(self) -> tuple[tuple[str, str], ...]:
        say = self.subject.wording.say
        return ("bests/index.html", say("Bests")), ("records.html", say("Records"))

    def units(self) -> Iterator[SeasonUnit]:
        """Every page of the site."""
        yield from season_units(self.subject)
        for text in self.texts:
            page = SitePage(f"pages/{text.slug}.html", text.title, text)
            yield SeasonUnit(f"text:{text.slug}", "text.html", partial(_alone, page), repr(text))

    def filler(self, made: dict[str, str]) -> SeasonFiller:
        """What fills the pages; *made* are the addresses of what pages need."""
        subject = self.subject
        shared = {
            "meet": season_head(subject, noindex=self.noindex),
            "goes_on": False,
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
        }
        season = subject.season
        shaped_by = key_of(
            code_digest(), self.theme.digest("site"), subject.language.code,
            repr((shared, season.settings, season.facts.apparatus, list(subject.comparable))),
            repr(subject.rule_titles), *run_by(),
        )  # fmt: skip
        said = {
            "say": subject.wording.say,
            "language": subject.language,
            "draw": lambda chart: svg(chart, self.theme),
        }
        return SeasonFiller(self, shared | said, shaped_by if self.theme.comes_along else "")

    def links(self, root: str) -> dict[str, Any]:
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

        return {"url": url, "href": href, **framing(self.theme)}


@dataclass(frozen=True)
class SeasonFiller:
    """Fills the templates of a season in one language."""

    site: SeasonSite
    shared: Mapping[str, Any]
    shaped_by: str
    """The digest of what shapes every page; empty where no page may stay."""

    @cached_property
    def _environment(self) -> Environment:
        made = self.site.theme.environment("site")
        if "kept" in made.globals:  # No table is on two pages of a season, nor made twice.
            made = made.overlay()
            made.globals = {name: one for name, one in made.globals.items() if name != "kept"}
        return made

    @cached_property
    def _links(self) -> Callable[[str], dict[str, Any]]:
        return lru_cache(self.site.links)

    def get_ready(self) -> None:
        """Make what pages are filled with, before copies of this process would each make it."""
        assert self._environment
        for meet in self.site.subject.season.facts.meets[:1]:
            days(meet, self.site.subject)  # What a language needs to write dates.

    def made_from(self, unit: SeasonUnit) -> str:
        """What tells a unit from how it was before; empty where that is not known."""
        if not self.shaped_by or unit.shows is None:
            return ""
        shows = unit.shows if isinstance(unit.shows, str) else repr(unit.shows)
        return key_of(self.shaped_by, unit.template, shows)

    def filled(self, unit: SeasonUnit) -> dict[str, str]:
        """The HTML of the pages of a unit by their addresses."""
        site, subject = self.site, self.site.subject
        template, texts = self._environment.get_template(unit.template), {}
        for page in unit.pages():
            root = way_to_root(page, site.folder, site.base)
            versions = versions_of(
                page, subject.season.settings.languages, subject.language.code, site.base or root,
                root,
            )  # fmt: skip
            own = {"page": page, "view": page.view, "versions": versions, **self._links(root)}
            texts[site.folder + page.address] = template.render(self.shared, **own)
        return texts
