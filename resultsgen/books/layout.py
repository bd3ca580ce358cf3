"""From sections to HTML, style sheets and fonts: a volume on its way to the press."""

from __future__ import annotations

import datetime as dt
import mimetypes
import pickle
import unicodedata
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial
from importlib import metadata
from pathlib import Path
from typing import Literal

from resultsgen.books.metadata import About
from resultsgen.books.own_texts import PageEdges
from resultsgen.books.page_numbers import Html
from resultsgen.books.page_ranges import PageRange, side_by_side, stays_whole
from resultsgen.books.press.renderer import versions
from resultsgen.books.press.unit import BOOK_LINK, FIGURES, PAGE, PAGES, STATUS, WHEN
from resultsgen.books.press.workers import BookLook, FontJob, cut_fonts
from resultsgen.books.tables import SetTable, typeset
from resultsgen.files import pictures
from resultsgen.files.cache import Cache, key_of
from resultsgen.history.publication import published_time
from resultsgen.meet.folder import Meet
from resultsgen.meet.settings import MeetSettings, Status
from resultsgen.theme import fonts
from resultsgen.theme.charts import svg
from resultsgen.theme.fonts import Alphabet
from resultsgen.theme.theme import Theme
from resultsgen.views.lists.competitions import status_word
from resultsgen.views.lists.sections import Section
from resultsgen.views.words.wording import Wording

PACKAGE = Path(__file__).parents[1]
DRAWS = ("theme/charts.py", "theme/theme.py", "theme/shipped.py", "theme/templates.py")
"""What pictures and templates are made with, beside what `versions` knows."""

STYLE = "book/book.css"

HIGHEST = 600
"""Pixels: in a book no picture is higher than 30 mm, and hundreds of certificates may show it."""

FACE = '@font-face {{ font-family: "{family}"; font-weight: {weight}; src: url(asset:{name}) }}\n'
FACES = "regular.ttf", "bold.ttf", "display.ttf"

Side = Literal["", "left", "right", "alone"]

STATES: tuple[Literal["provisional", "official"], ...] = ("provisional", "official")

BETWEEN, FIGURES_OF_SUMS = " · ", "0123456789abcdef"
"""What stands between two facts at the foot of a page, and all that a checksum is written in."""

LINK = 'href="#'
"""A link within the book, as templates write it; nowhere else can these characters stand."""


@dataclass(frozen=True)
class SetSection:
    """A section as its template sees it."""

    section: Section
    rows: tuple[tuple[bool, SetTable], ...]
    """The tables as they follow each other; and whether no page break parts one of them."""
    half: Side
    """Where it stands, if it is set in half the measure."""
    starts: bool
    """It begins on a new page."""
    opens: bool
    """The name of its chapter stands above it."""
    again: bool
    """The chapter has been named before, so that its name is no heading."""
    set: str
    """tight, or as is usual."""
    air: float
    """So many points are added above and below each row."""
    below: str
    """When and how far, unless the section before said the same."""
    level: int
    """The level of the heading of a chapter; above it stands the cover, where there is one."""

    @property
    def listed(self) -> bool:
        """It is a list, which is large, and its chapter the competition, which is small."""
        return bool(self.section.chapter) and not self.section.entry


@dataclass(frozen=True)
class Layout:
    """A meet and a theme: how any section of any of its books is set."""

    meet: Meet
    theme: Theme
    wording: Wording
    publication: int = 0
    """Which one it is; 0: nothing has been published."""
    checksum: str = ""
    """Told at the foot of every page, so that two sheets of different results never look alike."""

    @cached_property
    def _filled(self) -> Callable[..., str]:
        filled = self.theme.environment("book").get_template("book.html").render
        return partial(filled, draw=lambda chart: svg(chart, self.theme))

    def html(
        self,
        title: str,
        ranges: Sequence[PageRange],
        anchors: Collection[str],
        number: Callable[..., Html],
    ) -> str:
        """A whole book; its links lead to these anchors."""
        about = self.about(title)
        level = 2 if ranges[0].sections[0].template == "cover" else 1
        return self._filled(
            title=about.title,
            pages=[page for together in ranges for page in _set(together, anchors, level)],
            feet=self._feet,
            lang=about.language,
            author=about.author,
            created=about.created,
            number=number,
        )

    def unit_html(
        self, together: PageRange, anchors: Collection[str], number: Callable[..., Html]
    ) -> str:
        """A page range by itself: the book will say where it stands and what it goes on with."""
        html = self._filled(
            title=together.name,
            pages=list(_set(replace(together, again=False), anchors, 1)),
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
            self.wording.language.headed(self.wording.called(settings.title), title),
            self.wording.called(settings.organiser),
            self.wording.language.code,
            _w3c(published_time(settings)),
        )

    @cached_property
    def _feet(self) -> Mapping[str, str]:
        """What stands at the edge of every page."""
        settings, language = self.meet.settings, self.wording.language
        time, status = published_time(settings), status_word(settings.status, self.wording)
        number = language.say("Publication {n}", n=self.publication) if self.publication else ""
        before, _, rest = language.say("Page {n} of {pages}", n="\0", pages="\1").partition("\0")
        between, _, after = rest.partition("\1")
        return {
            "meet": self.wording.called(settings.title),
            "status": BETWEEN.join(filter(None, (status, number))),
            "when": BETWEEN.join(filter(None, (language.moment(time), self.checksum))),
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
        drawn = metadata.version("segno")
        theme = self.theme.settings, self.theme.comes_along, self.theme.trusted
        told = repr(self._blank_feet), self.wording.language.code, repr(theme)
        return key_of(*told, *filled, drawn, *code, *templates)

    def _edge_words(self) -> Iterator[str]:
        """All that may come to stand at the edge of a page, so that no other font is needed."""
        language = self.wording.language
        yield from (FIGURES, FIGURES_OF_SUMS, BETWEEN, language.say("Publication {n}", n=0))
        yield from (status_word(Status(state=state), self.wording) for state in STATES)
        yield from (language.date(dt.date(2000, month, 1)) for month in range(1, 13))

    def look(self, texts: Iterable[str], cache: Cache) -> tuple[BookLook, PageEdges]:
        """Style sheets, and as assets pictures and the fonts with the letters of these texts; and
        what the book writes at the edges of its pages, in these fonts."""
        needed = fonts.characters(map(_letters, (*texts, *self._edge_words())))
        cut = _cut([face.file for face in self.theme.faces], needed, cache)
        small = dict(zip(FACES, cut, strict=False))
        assets = {name: ("font/ttf", font) for name, (font, _) in small.items()}
        for name in pictures_in_books(self.meet.settings):
            kind = mimetypes.guess_type(name)[0] or "application/octet-stream"
            size = self.meet.sizes.get(name)
            high = HIGHEST if size and size.frames == 1 and size.height > HIGHEST else 0
            made = pictures.published(self.meet.assets[name], cache, [(0, high)])
            assets[f"meet/{name}"] = (kind, next(made))
        # Of a style sheet first what the theme is based on, then its own.
        sheets = self._values(), "".join(reversed(self.theme.texts(STYLE)))
        alphabets = {name: alphabet for name, (_, alphabet) in small.items()}
        edges = PageEdges(self._feet["status"], self._feet["when"], alphabets)
        return BookLook(sheets, assets), edges

    def _values(self) -> str:
        """The theme's fonts, colours and the paper, for the style sheets to use."""
        settings = self.theme.settings
        faces = "".join(
            FACE.format(family=face.family, weight=face.weight, name=name)
            for name, face in zip(FACES, self.theme.faces, strict=False)
        )
        colours = settings.light.model_dump(by_alias=True).items()
        named = (*colours, *settings.type.properties.items(), ("size", self.meet.settings.paper))
        values = "; ".join(f"--{name}: {value}" for name, value in named)
        return f"{faces}:root {{ {values} }}\n"


def pictures_in_books(settings: MeetSettings) -> Iterator[str]:
    """The pictures of `assets/` that books show: the logo, and that of certificates."""
    own = settings.certificates.picture if "certificates" in settings.handouts else ""
    return filter(None, dict.fromkeys((settings.logo, own)))


def _w3c(time: dt.datetime | None) -> str:
    """A time as a PDF carries it; where nobody says in which time zone, the day alone."""
    if time is None:
        return ""
    return time.isoformat(timespec="seconds") if time.tzinfo else time.date().isoformat()


def _letters(text: str) -> str:
    """Each letter once; a text in which accents stand by themselves is left as it is."""
    return "".join(set(text)) if unicodedata.is_normalized("NFC", text) else text


def _cut(
    files: Sequence[Path], needed: frozenset[str], cache: Cache
) -> list[tuple[bytes, Alphabet]]:
    """Fonts with the needed letters alone; opening a whole one takes longer than a page."""
    letters = "".join(sorted(needed))
    keys = [key_of("font", font.read_bytes(), letters, versions()) for font in files]
    kept = [cache.get(key) for key in keys]
    if None in kept:
        made = cut_fonts([FontJob(font, needed) for font in files])
        for key, font in zip(keys, made, strict=True):
            cache.put(key, pickle.dumps(font))
        return made
    return [pickle.loads(font) for font in kept if font]


SIDES: tuple[Side, Side] = ("left", "right")


def _new(
    legend: tuple[tuple[str, str], ...], told: set[tuple[str, str]]
) -> tuple[tuple[str, str], ...]:
    """The codes that have not been explained, which now have been."""
    fresh = tuple(code for code in legend if code not in told)
    told.update(fresh)
    return fresh


def _set(together: PageRange, anchors: Collection[str], level: int) -> Iterator[SetSection]:
    chapter, before = None, ""
    told: set[tuple[str, str]] = set()
    for row in side_by_side(together.sections, together.room):
        for section, side in zip(row, SIDES, strict=False):
            seen: Counter[str] = Counter()
            pairs = section.columned
            alone = section.beside == "sections" and len(row) < min(2, len(together.sections))
            narrow = pairs or alone or len(row) > 1
            tables = [typeset(one, anchors, section.id, seen, narrow) for one in section.tables]
            if together.pages == 1:
                # Codes are explained once on a page.
                tables = [replace(one, legend=_new(one.legend, told)) for one in tables]
            rows = tuple(
                (stays_whole(one, together.room, narrow, pairs and len(tables) > 1), table)
                for one, table in zip(section.tables, tables, strict=True)
            )
            first = chapter is None
            opens = bool(section.chapter) and section.chapter != chapter
            half: Side = side if len(row) > 1 else "alone" if alone else ""
            below = section.below if opens or section.below != before else ""
            again = first and together.again
            yield SetSection(
                section,
                rows,
                half,
                first,
                opens,
                again,
                together.set,
                together.air,
                below,
                level,
            )
            chapter, before = section.chapter, section.below or before
