"""Which pages the site has: PAGES, and what each of them shows."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from resultsgen.scoring.results import Results
from resultsgen.theme.theme import Theme
from resultsgen.views.corrections.corrections import (
    newest,
    own_parts,
    publication_parts,
    publication_views,
    sentences_by_page,
)
from resultsgen.views.handouts.medals import has_medals, medal_parts, medal_view
from resultsgen.views.lists.competitions import competition_view
from resultsgen.views.lists.lists import list_parts, list_views
from resultsgen.views.lists.page_parts import index_parts
from resultsgen.views.lists.rules import rule_sets
from resultsgen.views.lists.standings import standings_parts, standings_view
from resultsgen.views.live.announcer import announcer_parts, announcer_view
from resultsgen.views.live.costs import explanations
from resultsgen.views.live.just_in import by_publication, has_just_in, just_in
from resultsgen.views.live.leads import all_leaders
from resultsgen.views.live.screen import screen_view
from resultsgen.views.people.clubs import club_parts, club_views
from resultsgen.views.people.gymnasts import gymnast_views
from resultsgen.views.people.indexes import clubs_table, gymnasts_table, initials
from resultsgen.views.press.press import has_press_page, press_view
from resultsgen.views.site.addresses import language_folder, list_target, with_slash
from resultsgen.views.site.attachments import Download, RenderedPage
from resultsgen.views.site.board import board_name, title_line
from resultsgen.views.site.downloads import downloads as offered
from resultsgen.views.site.home import (
    home_view,
    timetable,
)
from resultsgen.views.site.site_map import OVERVIEW, STANDINGS, is_announced
from resultsgen.views.site.thread import thread
from resultsgen.views.words.wording import Wording
from resultsgen.website.page_parts import PageParts
from resultsgen.website.site_page import SitePage, in_parts, with_letters

MEDAL_PAGE, JUST_IN_PAGE, SCREEN = "medals.html", "just-in.html", "screen.html"
EMBEDDED = 50
"""So many places stand in a list that is framed; it leads to the whole."""


@dataclass(frozen=True)
class Subject:
    """What the site is about."""

    results: Results
    wording: Wording
    theme: Theme
    where: dict[str, str]
    books: tuple[Download, ...] = ()
    tables: tuple[Download, ...] = ()
    pages: tuple[RenderedPage, ...] = ()

    @property
    def folder(self) -> str:
        """Where the pages of this language lie: at the root for the main one, else in fr/."""
        return language_folder(self.wording.language.code, self.results.meet.settings.languages)

    @property
    def own_pages(self) -> tuple[RenderedPage, ...]:
        """The Markdown pages in their order; those that introduce a club stand on its page."""
        own = (page for page in self.pages if not page.club)
        return tuple(sorted(own, key=lambda page: (page.order, page.title)))

    @property
    def base_url(self) -> str:
        """Where the site will be published, with a slash at its end; empty where nobody said."""
        return with_slash(self.results.meet.settings.base_url)


Pages = Callable[[Subject], Iterator[SitePage]]


def home(subject: Subject) -> Iterator[SitePage]:
    """The first page: how far the meet is, every competition at a glance, news, downloads."""
    leaders = subject.theme.settings.options.leaders
    view = home_view(subject.results, leaders, subject.wording)
    yield SitePage("index.html", subject.wording.called(subject.results.meet.settings.title), view)


def all_results(subject: Subject) -> Iterator[SitePage]:
    """Every competition in order of time, with its lists."""
    view = timetable(subject.results, subject.wording)
    yield SitePage("results.html", subject.wording.say("Results"), view)


def competitions(subject: Subject) -> Iterator[SitePage]:
    """The overview of each competition."""
    for judged in subject.results.competitions:
        view = competition_view(subject.results, judged, 3, subject.wording)
        through = thread(subject.results, judged, OVERVIEW, subject.wording)
        yield SitePage(subject.where[view.target], view.title, view, thread=through)


def lists(subject: Subject) -> Iterator[SitePage]:
    """Every list, cut and start list of every competition."""
    told = explanations(subject.results, subject.wording)
    corrected = sentences_by_page(subject.results, subject.wording)
    for judged in subject.results.competitions:
        first = {
            list_target(judged.competition.id, ranking.id): title_line(
                subject.results, judged, ranking, subject.wording
            )
            for ranking in judged.rankings
        }
        for view in list_views(judged, subject.wording, told):
            page = SitePage(
                subject.where[view.target], view.title, view, view.competition,
                corrected.get(view.target, ()), lead=first.get(view.target),
                thread=thread(
                    subject.results, judged, view.target.rpartition("/")[2], subject.wording
                ),
            )  # fmt: skip
            views = list_parts(view, subject.wording)
            yield from in_parts(page, views, sorts=not view.several)


def standings(subject: Subject) -> Iterator[SitePage]:
    """How each competition stood after each rotation, where rotations are known."""
    for judged in subject.results.competitions:
        if judged.rotations_known:
            view = standings_view(subject.results, judged, subject.wording)
            page = SitePage(
                subject.where[view.target], view.title, view, view.competition,
                thread=thread(subject.results, judged, STANDINGS, subject.wording),
            )  # fmt: skip
            yield from in_parts(page, standings_parts(view, subject.wording))


def announcer(subject: Subject) -> Iterator[SitePage]:
    """What is said of each competition that has marks of its own."""
    for judged in subject.results.competitions:
        if is_announced(judged):
            view = announcer_view(subject.results, judged, subject.wording)
            told = newest(
                subject.results, subject.wording.spoken, competition=judged.competition.id
            )
            page = SitePage(subject.where[view.target], view.title, view, view.competition, told)
            yield from in_parts(page, announcer_parts(view, subject.wording))


def newest_marks(subject: Subject) -> Iterator[SitePage]:
    """The marks that came with the last publications, and what each means."""
    if has_just_in(subject.results):
        view = tuple(by_publication(just_in(subject.results, subject.wording)))
        yield SitePage(JUST_IN_PAGE, subject.wording.say("Just in"), view)


def gymnasts(subject: Subject) -> Iterator[SitePage]:
    """One page per gymnast."""
    corrected = sentences_by_page(subject.results, subject.wording)
    for view in gymnast_views(subject.results, subject.wording):
        told = corrected.get(view.target, ())
        yield SitePage(subject.where[view.target], view.name, view, corrections=told)


def clubs(subject: Subject) -> Iterator[SitePage]:
    """One page per club."""
    for view in club_views(subject.results, subject.wording, subject.pages):
        page = SitePage(subject.where[view.target], view.name, view)
        yield from in_parts(page, club_parts(view, subject.wording))


def indexes(subject: Subject) -> Iterator[SitePage]:
    """All gymnasts, all clubs."""
    say, first = subject.wording.say, initials(subject.results)
    offered = (
        ("gymnasts/index.html", say("Gymnasts"), gymnasts_table(subject.results, subject.wording)),
        ("clubs/index.html", say("Clubs"), clubs_table(subject.results, subject.wording)),
    )
    for address, title, table in offered:
        if table.rows:
            views = index_parts(table, subject.wording)
            pages = in_parts(SitePage(address, title, table), views, sorts=True)
            yield from with_letters(pages, first if address.startswith("gymnasts/") else ())


def texts(subject: Subject) -> Iterator[SitePage]:
    """The Markdown pages of the meet folder."""
    for page in subject.own_pages:
        yield SitePage(subject.where[f"page:{page.slug}"], page.title, page)


def rules(subject: Subject) -> Iterator[SitePage]:
    """The rules in plain words: each rule set once, and where competitions differ."""
    views = rule_sets(subject.results.competitions, subject.wording)
    yield SitePage("rules.html", subject.wording.say("Rules"), views)


def press(subject: Subject) -> Iterator[SitePage]:
    """What a reporter wants without looking."""
    if has_press_page(subject.results):
        places = subject.theme.settings.options.leaders
        view = press_view(subject.results, subject.tables, places, subject.wording)
        told = newest(subject.results, subject.wording)
        yield SitePage("press.html", subject.wording.say("Press"), view, corrections=told)


def medals(subject: Subject) -> Iterator[SitePage]:
    """The medals by club and federation, where the meet wants them counted."""
    if has_medals(subject.results):
        view = medal_view(subject.results, subject.wording)
        page = SitePage(MEDAL_PAGE, subject.wording.say("Medals"), view)
        yield from in_parts(page, medal_parts(view, subject.wording))


def corrections(subject: Subject) -> Iterator[SitePage]:
    """Every publication, and what it corrected."""
    if subject.results.history.issues:
        title = subject.wording.say("Corrections")
        views = publication_views(subject.results, subject.wording)
        parts = tuple(publication_parts(views, subject.results.history, subject.wording))
        each = tuple((address, called) for address, called, _ in parts)
        for here, (address, _, held) in enumerate(parts):
            others = PageParts(each, here, sorts=False) if len(parts) > 1 else None
            yield SitePage(address, title, held, parts=others)
        for one in views:
            if one.apart:
                page = SitePage(one.apart, one.title, (one,), title)
                yield from in_parts(page, own_parts(one, subject.wording))


def downloads(subject: Subject) -> Iterator[SitePage]:
    """Books and tables to take away."""
    if subject.books or subject.tables:
        view = offered(
            subject.results, subject.books, subject.tables, frames(subject), subject.wording
        )
        yield SitePage("downloads.html", subject.wording.say("Downloads"), view)


def embeds(subject: Subject) -> Iterator[SitePage]:
    """Each list by itself for a frame on another site, where the meet wants that."""
    if subject.results.meet.settings.embeds:
        for judged in subject.results.competitions:
            title = subject.wording.called(judged.competition.title)
            for view in all_leaders(subject.results, judged, EMBEDDED, subject.wording):
                name = subject.wording.list_name(view.target.rpartition("/")[2])
                yield SitePage(embedded(view.target, subject), name, view, title)


def embedded(target: str, subject: Subject) -> str:
    """Where the list of a target lies once more, for a frame."""
    return subject.where[target].replace("competitions/", "embed/", 1)


def frames(subject: Subject) -> tuple[tuple[str, str], ...]:
    """Where each list for a frame lies, and what it is called; none where the meet wants none."""
    return tuple((page.address, f"{page.above}, {page.title}") for page in embeds(subject))


def screen(subject: Subject) -> Iterator[SitePage]:
    """The page for a display in the hall, where the meet has one."""
    if wanted := subject.results.meet.settings.screen:
        view = screen_view(subject.results, wanted, subject.wording)
        yield SitePage(SCREEN, subject.wording.say("For the hall"), view)


def not_found(subject: Subject) -> Iterator[SitePage]:
    """What a host shows where there is no page; it knows no language but the main one."""
    if not subject.folder:
        yield SitePage("404.html", subject.wording.say("Page not found"), None)


PAGES: tuple[tuple[str, Pages], ...] = (
    ("list.html", lists),
    ("home.html", home),
    ("results.html", all_results),
    ("competition.html", competitions),
    ("standings.html", standings),
    ("just_in.html", newest_marks),
    ("announcer.html", announcer),
    ("gymnast.html", gymnasts),
    ("club.html", clubs),
    ("index.html", indexes),
    ("text.html", texts),
    ("medals.html", medals),
    ("rules.html", rules),
    ("press.html", press),
    ("corrections.html", corrections),
    ("downloads.html", downloads),
    ("embed.html", embeds),
    ("screen.html", screen),
    ("404.html", not_found),
)
"""Which pages are made: a template of the theme's `site` folder, and the pages it shows; lists come
first, since others lead to their rows."""


Ways = tuple[tuple[str, str], ...]
"""Pages that every page leads to: their addresses and names."""


def home_name(results: Results, wording: Wording) -> str:
    """What the way to the first page is called."""
    is_on = any(judged.in_progress for judged in results.competitions)
    return wording.say("Live") if is_on else board_name(results, wording)


def ways(subject: Subject) -> tuple[Ways, Ways]:
    """The ways that stand on every page, and those that unfold below them as More."""
    say = subject.wording.say
    has_clubs = any(target.startswith("club:") for target in subject.where)
    offered = (
        ("index.html", home_name(subject.results, subject.wording), True),
        ("results.html", say("Results"), True),
        ("gymnasts/index.html", say("Gymnasts"), bool(subject.results.gymnasts)),
        ("clubs/index.html", say("Clubs"), has_clubs),
    )
    more = (
        (JUST_IN_PAGE, say("Just in"), has_just_in(subject.results)),
        (MEDAL_PAGE, say("Medals"), has_medals(subject.results)),
        ("rules.html", say("Rules"), True),
        ("press.html", say("Press"), has_press_page(subject.results)),
        ("corrections.html", say("Corrections"), bool(subject.results.history.issues)),
        ("downloads.html", say("Downloads"), bool(subject.books or subject.tables)),
        *((subject.where[f"page:{page.slug}"], page.title, True) for page in subject.own_pages),
    )
    first, unfolded = (
        tuple((address, name) for address, name, there in each if there) for each in (offered, more)
    )
    return first, unfolded
