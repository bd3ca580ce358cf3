"""The website: which pages there are, and how they are written.

Every page is a view shown by a template of the theme. Links are relative and name their file, so
that the folder works on any host, in any subfolder, and from a USB stick.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any
from urllib.parse import quote, urlsplit
from xml.sax.saxutils import escape

from resultsgen.fonts import characters, subset
from resultsgen.language import ENGLISH, Language
from resultsgen.results import Results
from resultsgen.theme import Colours, Theme
from resultsgen.views.attachments import Download, RenderedPage
from resultsgen.views.clubs import club_views
from resultsgen.views.competitions import competition_view
from resultsgen.views.gymnasts import gymnast_views
from resultsgen.views.indexes import clubs_table, gymnasts_table
from resultsgen.views.lists import list_views
from resultsgen.views.meets import meet_view
from resultsgen.views.rules import rules_view
from resultsgen.views.site_map import addresses
from resultsgen.views.wording import Wording, wording

STYLE_TO_COME = "static/the-style-sheet-of-this-site.css"
"""Stands in the pages until the style sheet has its address."""


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


@dataclass(frozen=True)
class SitePage:
    """One page: its address, its title, and what its template shows."""

    address: str
    title: str
    view: Any
    above: str = ""
    """What its title in the browser names after its own: the competition."""

    @property
    def root(self) -> str:
        """The way from the page to the first page's folder."""
        return "../" * self.address.count("/")


Pages = Callable[[Subject], Iterator[SitePage]]


def home(subject: Subject) -> Iterator[SitePage]:
    """The first page: every competition at a glance, news, downloads."""
    leaders = subject.theme.settings.options.leaders
    views = tuple(
        competition_view(one, leaders, subject.wording) for one in subject.results.competitions
    )
    yield SitePage("index.html", subject.results.meet.settings.title, views)


def competitions(subject: Subject) -> Iterator[SitePage]:
    """The overview of each competition."""
    for one in subject.results.competitions:
        view = competition_view(one, 3, subject.wording)
        yield SitePage(subject.where[view.target], view.title, view)


def lists(subject: Subject) -> Iterator[SitePage]:
    """Every list, cut and start list of every competition."""
    for one in subject.results.competitions:
        for view in list_views(one, subject.wording):
            yield SitePage(subject.where[view.target], view.title, view, view.competition)


def gymnasts(subject: Subject) -> Iterator[SitePage]:
    """One page per gymnast."""
    for view in gymnast_views(subject.results, subject.wording):
        yield SitePage(subject.where[view.target], view.name, view)


def clubs(subject: Subject) -> Iterator[SitePage]:
    """One page per club."""
    for view in club_views(subject.results, subject.wording):
        yield SitePage(subject.where[view.target], view.name, view)


def indexes(subject: Subject) -> Iterator[SitePage]:
    """All gymnasts, all clubs."""
    say = subject.wording.say
    table = gymnasts_table(subject.results, subject.wording)
    yield SitePage("gymnasts/index.html", say("Gymnasts"), table)
    table = clubs_table(subject.results, subject.wording)
    if table.rows:
        yield SitePage("clubs/index.html", say("Clubs"), table)


def texts(subject: Subject) -> Iterator[SitePage]:
    """The Markdown pages of the meet folder."""
    for page in subject.pages:
        yield SitePage(subject.where[f"page:{page.slug}"], page.title, page)


def rules(subject: Subject) -> Iterator[SitePage]:
    """The rules of each competition in plain words."""
    views = tuple(rules_view(one, subject.wording) for one in subject.results.competitions)
    yield SitePage("rules.html", subject.wording.say("Rules"), views)


def downloads(subject: Subject) -> Iterator[SitePage]:
    """Books and tables to take away."""
    if subject.books or subject.tables:
        yield SitePage("downloads.html", subject.wording.say("Downloads"), None)


def not_found(subject: Subject) -> Iterator[SitePage]:
    """What a host shows where there is no page."""
    yield SitePage("404.html", subject.wording.say("Page not found"), None)


PAGES: tuple[tuple[str, Pages], ...] = (
    ("home.html", home),
    ("competition.html", competitions),
    ("list.html", lists),
    ("gymnast.html", gymnasts),
    ("club.html", clubs),
    ("index.html", indexes),
    ("text.html", texts),
    ("rules.html", rules),
    ("downloads.html", downloads),
    ("404.html", not_found),
)
"""Which pages are made: a template of the theme's `site` folder, and the pages it shows."""


def write_site(
    results: Results,
    theme: Theme,
    folder: Path,
    books: tuple[Download, ...] = (),
    tables: tuple[Download, ...] = (),
    pages: tuple[RenderedPage, ...] = (),
    language: Language = ENGLISH,
) -> None:
    """Write every page and what pages need into *folder*."""
    words = wording(results.meet.settings, language)
    subject = Subject(results, words, theme, addresses(results), books, tables, pages)
    icon = favicon(theme.settings.light).encode()
    icon_address = hashed_address("icon.svg", icon)
    shown = rendered_pages(subject, icon_address)
    fonts = {
        hashed_address(f"{font.stem}.woff2", data): data for font, data in _fonts(theme, shown)
    }
    style = stylesheet(theme, tuple(fonts)).encode()
    style_address = hashed_address("site.css", style)
    for address, text in shown.items():
        # Which letters the fonts need is known once all pages are there; only then has the style
        # sheet that names them an address.
        _write(folder / address, text.replace(STYLE_TO_COME, style_address).encode())
    for address, data in {icon_address: icon, style_address: style, **fonts}.items():
        _write(folder / address, data)
    for address, text in crawler_files(subject, tuple(shown)).items():
        _write(folder / address, text.encode())
    for name, file in results.meet.assets.items():
        _write(folder / "assets" / name, file.read_bytes())


def rendered_pages(subject: Subject, icon: str) -> dict[str, str]:
    """The HTML of every page by its address, but for the address of the style sheet."""
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
        "icon": icon,
        "base_url": base_url(subject),
        "ways": ways(subject),
    }
    return {
        page.address: _rendered(environment.get_template(template).render, page, subject, shared)
        for template, pages in PAGES
        for page in pages(subject)
    }


def ways(subject: Subject) -> tuple[tuple[str, str], ...]:
    """The pages that every page leads to: their addresses and names."""
    has_clubs = any(target.startswith("club:") for target in subject.where)
    offered = (
        ("index.html", "Home", True),
        ("gymnasts/index.html", "Gymnasts", True),
        ("clubs/index.html", "Clubs", has_clubs),
        ("rules.html", "Rules", True),
        ("downloads.html", "Downloads", bool(subject.books or subject.tables)),
    )
    return tuple((address, subject.wording.say(name)) for address, name, there in offered if there)


def _rendered(
    render: Callable[..., str], page: SitePage, subject: Subject, shared: dict[str, Any]
) -> str:
    # A host shows 404.html at any depth, so its links start from the root of the host.
    root = page.root if page.address != "404.html" else urlsplit(base_url(subject)).path

    def url(address: str) -> str:
        return root + quote(address)

    def href(target: str) -> str:
        return root + quote(subject.where[target])

    return render(shared, page=page, view=page.view, url=url, href=href)


def base_url(subject: Subject) -> str:
    """Where the site will be published, with a slash at its end; empty where nobody said."""
    given = subject.results.meet.settings.base_url
    return given.rstrip("/") + "/" if given else ""


def hashed_address(name: str, data: bytes) -> str:
    """An address that changes with what is in the file, so that a browser may keep it for ever."""
    stem, _, ending = name.rpartition(".")
    return f"static/{stem}.{sha256(data).hexdigest()[:8]}.{ending}"


def _fonts(theme: Theme, shown: dict[str, str]) -> Iterator[tuple[Path, bytes]]:
    """The fonts, cut down to the letters of all pages."""
    needed = characters(shown.values())
    for font in dict.fromkeys(theme.fonts):
        yield font, subset(font, needed, "woff2")


def stylesheet(theme: Theme, fonts: tuple[str, ...]) -> str:
    """The colours and fonts of the theme, its style sheet, and what its layers add to it."""
    settings = theme.settings
    faces = "".join(
        f'@font-face{{font-family:"{settings.type.family}";font-weight:{weight};'
        f'font-display:swap;src:url("{Path(font).name}") format("woff2")}}\n'
        for font, weight in zip(fonts, ("400", "700"), strict=False)
    )
    added = reversed(theme.files("static/extra.css"))
    sheets = (theme.file("static/site.css"), *added)
    return "".join(
        (
            f':root{{color-scheme:light dark;--family:"{settings.type.family}";',
            f"{_properties(settings.light)}}}\n",
            f"@media (prefers-color-scheme:dark){{:root{{{_properties(settings.dark)}}}}}\n",
            faces,
            *(sheet.read_text(encoding="utf-8") for sheet in sheets),
        )
    )


def _properties(colours: Colours) -> str:
    """The colours as custom properties: --paper:#f6f7f5;--sheet:#ffffff"""
    return ";".join(
        f"--{name}:{value}" for name, value in colours.model_dump(by_alias=True).items()
    )


def favicon(colours: Colours) -> str:
    """Two bars of uneven height in the colours of the theme."""
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32">'
        f'<rect width="32" height="32" rx="7" fill="{colours.band}"/>'
        f'<path d="M6 11h20M6 21h12" stroke="{colours.on_band}" stroke-width="4" '
        'stroke-linecap="round"/></svg>\n'
    )


def crawler_files(subject: Subject, pages: tuple[str, ...]) -> dict[str, str]:
    """robots.txt, and with a base_url the map of the site.

    Pages that must not be listed say so themselves; a crawler has to read them to learn it, so
    robots.txt keeps nobody out.
    """
    base = base_url(subject)
    robots = "User-agent: *\nDisallow:\n"
    if not base or not subject.results.meet.settings.privacy.search_engines:
        return {"robots.txt": robots}
    urls = "".join(
        f"<url><loc>{escape(base + quote(page))}</loc></url>\n"
        for page in pages
        if page != "404.html"
    )
    return {
        "robots.txt": f"{robots}Sitemap: {base}sitemap.xml\n",
        "sitemap.xml": '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">\n{urls}</urlset>\n',
    }


def _write(path: Path, data: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
