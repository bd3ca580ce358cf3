"""From sections to HTML, style sheets and fonts: a volume on its way to the press."""

from __future__ import annotations

import datetime as dt
import json
import mimetypes
import unicodedata
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial
from importlib import metadata
from pathlib import Path
from typing import Literal

from resultsgen.books.cross_references import Html
from resultsgen.books.edges import Edges
from resultsgen.books.metadata import About
from resultsgen.books.page_ranges import Gathering
from resultsgen.books.press.taking import BOOK_LINK
from resultsgen.books.press.unit import PAGE, PAGES, STATUS, WHEN
from resultsgen.books.press.versions import versions
from resultsgen.books.press.workers import Chore, Type, done
from resultsgen.books.typesetting import SetTable, typeset
from resultsgen.files import pictures
from resultsgen.files.cache import Cache, key_of
from resultsgen.history.publication import published_time
from resultsgen.meet.folder import Meet
from resultsgen.meet.settings import Status
from resultsgen.theme import fonts
from resultsgen.theme.charts import svg
from resultsgen.theme.theme import Theme
from resultsgen.views.lists.competitions import status_word
from resultsgen.views.lists.sections import Section
from resultsgen.views.words.wording import Wording

PACKAGE = Path(__file__).parents[1]
DRAWS = ("theme/charts.py", "theme/theme.py", "theme/templates.py")
"""What pictures and templates are made with, beside what `versions` knows."""

STYLE = "book/book.css"

FACE = '@font-face {{ font-family: "{family}"; font-weight: {weight}; src: url(asset:{name}) }}\n'
WEIGHTS = {"regular.ttf": "normal", "bold.ttf": "bold"}

STATES: tuple[Literal["provisional", "official"], ...] = ("provisional", "official")

LINK = 'href="#'
"""A link within the book, as templates write it; nowhere else can these characters stand."""


@dataclass(frozen=True)
class Page:
    """A section as its template sees it."""

    section: Section
    tables: tuple[SetTable, ...]
    starts: bool
    """It begins on a new page."""
    opens: bool
    """The name of its chapter stands above it."""
    again: bool
    """The chapter has been named before, so that its name is no heading."""
    level: int
    """The level of the heading of a chapter; above it stands the cover, where there is one."""


@dataclass(frozen=True)
class Setting:
    """A meet and a theme: how any section of any of its books is set."""

    meet: Meet
    theme: Theme
    wording: Wording

    @cached_property
    def _filled(self) -> Callable[..., str]:
        filled = self.theme.environment("book").get_template("book.html").render
        return partial(filled, draw=lambda chart: svg(chart, self.theme))

    def html(
        self,
        title: str,
        gathered: Iterable[Gathering],
        anchors: Collection[str],
        number: Callable[..., Html],
    ) -> str:
        """A whole book; its links lead to these anchors."""
        gathered = tuple(gathered)
        about = self.about(title)
        level = 2 if gathered[0].sections[0].template == "cover" else 1
        return self._filled(
            title=about.title,
            pages=[page for one in gathered for page in _pages(one, anchors, level)],
            feet=self._feet,
            lang=about.language,
            author=about.author,
            created=about.created,
            number=number,
        )

    def unit_html(
        self, one: Gathering, anchors: Collection[str], number: Callable[..., Html]
    ) -> str:
        """A gathering by itself: the book will say where it stands and what it goes on with."""
        html = self._filled(
            title=one.name,
            pages=list(_pages(replace(one, again=False), anchors, 1)),
            feet=self._blank_feet,
            lang=self.wording.language.code,
            author="",
            created="",
            number=number,
        )
        return html.replace(LINK, f'href="{BOOK_LINK}')

    def about(self, title: str) -> About:
        """What a book of this title says of itself."""
        settings = self.meet.settings
        return About(
            self.wording.language.headed(settings.title, title),
            settings.organiser,
            self.wording.language.code,
            _w3c(published_time(settings)),
        )

    @cached_property
    def _feet(self) -> Mapping[str, str]:
        """What stands at the edge of every page."""
        settings, language = self.meet.settings, self.wording.language
        time = published_time(settings)
        before, _, rest = language.say("Page {n} of {pages}", n="\0", pages="\1").partition("\0")
        between, _, after = rest.partition("\1")
        return {
            "meet": settings.title,
            "status": status_word(settings.status, self.wording),
            "when": f"{language.date(time.date())}, {time:%H:%M}" if time else "",
            "before": before,
            "between": between,
            "after": after,
        }

    @cached_property
    def _blank_feet(self) -> Mapping[str, str]:
        """The same, where the book has still to say what stands there."""
        before, between = self._feet["before"] + PAGE, self._feet["between"] + PAGES
        decided = {"status": STATUS, "when": WHEN, "before": before, "between": between}
        return {**self._feet, **decided}

    @cached_property
    def key(self) -> str:
        """Changes with all that makes HTML of what a section shows."""
        templates = (part for template in self.theme.templates("book") for part in template)
        code = ((PACKAGE / name).read_bytes() for name in DRAWS)
        filled = metadata.version("jinja2"), metadata.version("markupsafe"), versions()
        theme = self.theme.settings, self.theme.comes_along, self.theme.trusted
        told = repr(self._blank_feet), self.wording.language.code, repr(theme)
        return key_of(*told, *filled, *code, *templates)

    def edges(self, type: Type, cache: Cache) -> Edges:
        """What the book writes at the edges of its pages, in the fonts of this type."""
        alphabets = _alphabets([type.assets[name][1] for name in WEIGHTS], cache)
        known = dict(zip(WEIGHTS, alphabets, strict=True))
        return Edges(self._feet["status"], self._feet["when"], known)

    def _edge_words(self) -> Iterator[str]:
        """All that may come to stand at the edge of a page, so that no other font is needed."""
        language = self.wording.language
        yield from (status_word(Status(state=state), self.wording) for state in STATES)
        yield from (language.date(dt.date(2000, month, 1)) for month in range(1, 13))

    def type(self, texts: Iterable[str], cache: Cache) -> Type:
        """Style sheets, and as assets the logo and the fonts with the letters of these texts."""
        needed = fonts.characters(map(_letters, (*texts, *self._edge_words())))
        small = _small(self.theme.fonts, needed, cache)
        assets = {name: ("font/ttf", font) for name, font in zip(WEIGHTS, small, strict=True)}
        logo = self.meet.settings.logo
        if logo and logo in self.meet.assets:
            kind = mimetypes.guess_type(logo)[0] or "application/octet-stream"
            made = pictures.published(self.meet.assets[logo], cache, [(0, 0)])
            assets[f"meet/{logo}"] = (kind, next(made))
        return Type((self._values(), self._sheet(STYLE)), assets)

    def _values(self) -> str:
        """The theme's fonts, colours and the paper, for the style sheets to use."""
        settings = self.theme.settings
        faces = "".join(
            FACE.format(family=settings.type.family, weight=weight, name=name)
            for name, weight in WEIGHTS.items()
        )
        colours = settings.light.model_dump(by_alias=True).items()
        values = "".join(f"--{name}: {value}; " for name, value in colours)
        return (
            f'{faces}:root {{ {values}--family: "{settings.type.family}"; '
            f"--size: {self.meet.settings.paper} }}\n"
        )

    def _sheet(self, name: str) -> str:
        """A style sheet of the theme: first what it is based on, then its own."""
        return "".join(reversed(self.theme.texts(name)))


def _w3c(time: dt.datetime | None) -> str:
    """A time as a PDF carries it; where nobody says in which time zone, the day alone."""
    if time is None:
        return ""
    return time.isoformat(timespec="seconds") if time.tzinfo else time.date().isoformat()


def _letters(text: str) -> str:
    """Each letter once; a text in which accents stand by themselves is left as it is."""
    return "".join(set(text)) if unicodedata.is_normalized("NFC", text) else text


def _small(files: Sequence[Path], needed: frozenset[str], cache: Cache) -> list[bytes]:
    """Fonts with the needed letters alone; opening a whole one takes longer than a page."""
    letters = "".join(sorted(needed))
    keys = [key_of("font", font.read_bytes(), letters, versions()) for font in files]
    return _kept(keys, [Chore("small", (font, needed, "ttf")) for font in files], cache)


def _alphabets(files: Sequence[bytes], cache: Cache) -> list[dict[str, tuple[int, float]]]:
    """The glyph and the width of each letter of each font."""
    keys = [key_of("alphabet", font) for font in files]
    told = map(json.loads, _kept(keys, [Chore("glyphs", (font,)) for font in files], cache))
    return [{letter: (glyph, width) for letter, (glyph, width) in one.items()} for one in told]


def _kept(keys: list[str], chores: list[Chore], cache: Cache) -> list[bytes]:
    """What came of these chores earlier, or does now."""
    kept = [cache.get(key) for key in keys]
    made = iter(done([chore for one, chore in zip(kept, chores, strict=True) if one is None]))
    outcome = [next(made) if one is None else one for one in kept]
    for key, one, before in zip(keys, outcome, kept, strict=True):
        if before is None:
            cache.put(key, one)
    return outcome


def _pages(one: Gathering, anchors: Collection[str], level: int) -> Iterator[Page]:
    chapter = None
    for section in one.sections:
        seen: Counter[str] = Counter()
        tables = tuple(typeset(table, anchors, section.id, seen) for table in section.tables)
        first = chapter is None
        opens = bool(section.chapter) and section.chapter != chapter
        yield Page(section, tables, first, opens, first and one.again, level)
        chapter = section.chapter
