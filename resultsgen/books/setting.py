"""From sections to HTML, style sheets and fonts: a volume on its way to the press."""

from __future__ import annotations

import datetime as dt
import mimetypes
import os
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from resultsgen import fonts
from resultsgen.books.typesetting import SetTable, typeset
from resultsgen.books.workers import Type
from resultsgen.meet import Meet, MeetSettings
from resultsgen.theme import Theme
from resultsgen.views.chapters import Section
from resultsgen.views.competitions import status_word
from resultsgen.views.wording import Wording

STYLE = "book/book.css"

FACE = '@font-face {{ font-family: "{family}"; font-weight: {weight}; src: url(asset:{name}) }}\n'
WEIGHTS = {"regular.ttf": "normal", "bold.ttf": "bold"}


@dataclass(frozen=True)
class Page:
    """A section as its template sees it."""

    section: Section
    tables: tuple[SetTable, ...]
    opens: bool
    """It is the first of its chapter."""
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
        return self.theme.environment("book").get_template("book.html").render

    def html(self, title: str, sections: Iterable[Section], anchors: Collection[str]) -> str:
        """A whole book; its links lead to these anchors."""
        return self._filled(
            title=f"{self.meet.settings.title}: {title}",
            pages=_pages(sections, anchors),
            feet=self._feet,
            lang=self.wording.language.code,
            author=self.meet.settings.organiser,
            created=_w3c(published(self.meet.settings)),
        )

    @cached_property
    def _feet(self) -> Mapping[str, str]:
        """What stands at the edge of every page."""
        settings, language = self.meet.settings, self.wording.language
        time = published(settings)
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

    def type(self, texts: Iterable[str]) -> Type:
        """Style sheets, and as assets the logo and the fonts with the letters of these texts."""
        needed = fonts.characters(texts)
        assets = {
            name: ("font/ttf", fonts.subset(font, needed, "ttf"))
            for name, font in zip(WEIGHTS, self.theme.fonts, strict=True)
        }
        logo = self.meet.settings.logo
        if logo and logo in self.meet.assets:
            kind = mimetypes.guess_type(logo)[0] or "application/octet-stream"
            assets[f"meet/{logo}"] = (kind, self.meet.assets[logo].read_bytes())
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
        files = reversed(self.theme.files(name))
        return "".join(file.read_text(encoding="utf-8") for file in files)


def published(settings: MeetSettings) -> dt.datetime | None:
    """When this was published: from `meet.toml`, else SOURCE_DATE_EPOCH, else nobody says."""
    if settings.published:
        return settings.published
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    is_time = epoch.isdecimal() and len(epoch) <= 11  # Twelve digits may be after the year 9999.
    return dt.datetime.fromtimestamp(int(epoch), dt.UTC) if is_time else None


def _w3c(time: dt.datetime | None) -> str:
    """A time as a PDF carries it; where nobody says in which time zone, the day alone."""
    if time is None:
        return ""
    return time.isoformat(timespec="seconds") if time.tzinfo else time.date().isoformat()


def _pages(sections: Iterable[Section], anchors: Collection[str]) -> Iterable[Page]:
    sections = tuple(sections)
    level = 2 if sections[0].template == "cover" else 1
    before = None
    for section in sections:
        tables = tuple(typeset(table, anchors) for table in section.tables)
        opens = bool(section.chapter) and (before is None or section.chapter != before.chapter)
        yield Page(section, tables, opens, level)
        before = section
