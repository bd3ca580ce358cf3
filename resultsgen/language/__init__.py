"""How built-in texts, marks and dates are written in a language.

Every built-in text goes through `say` or `count`, with the English text as its key, so that the
catalogues in `locale/` can translate it; nothing of the meet folder does. A text that a catalogue
lacks stays English.
"""

from __future__ import annotations

import datetime as dt
import functools
import gettext
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from resultsgen.meet.marks import show_mark, show_short

if TYPE_CHECKING:
    from babel import Locale

MINUS = "−"
"""What is read has a minus sign before what is taken off; data have a hyphen."""

CATALOGUES = Path(__file__).parent / "locale"


@functools.cache
def _locale(name: str) -> Locale:
    """What Babel knows by a name, which takes it longer to read than a list to write."""
    from babel.core import Locale

    return Locale.parse(name)


@dataclass(frozen=True)
class Language:
    """One language of the pages."""

    code: str = "en"
    name: str = "English"
    """What its own speakers call it."""
    point: str = "."
    """What stands between the units and the tenths of a mark."""
    locale: str = "en_GB"
    """Whose dates and lists are written."""

    def say(self, message: str, **values: object) -> str:
        """A built-in text with its values put in: `say("{n} gymnasts", n=3)`."""
        text = _text(self.code, message)
        return self._filled(text, values) if values else text

    def count(self, one: str, many: str, n: int, **values: object) -> str:
        """The text for *n* of something, which may hold `{n}`."""
        text = _texts(self.code).ngettext(one, many, n)
        return self._filled(text, {"n": n, **values})

    def mark(self, thousandths: int | None) -> str:
        """A mark with three decimals; empty where there is none."""
        return _shown(thousandths, self.point)

    def short(self, thousandths: int | None) -> str:
        """A D score, penalty or bonus, without needless zeros."""
        return _shown(thousandths, self.point, show_short)

    def size(self, bytes: int) -> str:
        """The size of a file as people say it: 340 kB, 2.3 MB."""
        if bytes < 1_000_000:
            return self.say("{n} kB", n=max(1, round(bytes / 1000)))
        tenths = bytes // 100_000
        return self.say("{n} MB", n=f"{tenths // 10}{self.point}{tenths % 10}")

    def date(self, day: dt.date) -> str:
        """A day in words: 17 May 2031."""
        return self._first_of_month(_date(day, self.locale))

    def moment(self, time: dt.datetime | None) -> str:
        """A day and an hour; empty where nobody says when."""
        return f"{self.date(time.date())}, {time:%H:%M}" if time else ""

    def month(self, day: dt.date) -> str:
        """The month of a day, as short as it is written: May, Oct."""
        from babel.dates import format_skeleton

        return format_skeleton("MMM", day, locale=self.locale)

    def dates(self, days: tuple[dt.date, ...]) -> str:
        """One day or a span: 16–17 May 2031, 30 May – 1 June 2031."""
        from babel.dates import format_skeleton

        if not days:
            return ""
        first, last = days[0], days[-1]
        if first == last:
            return self.date(first)
        if (first.year, first.month) == (last.year, last.month):
            span = _span(first, last, self.locale)
            # Some versions of CLDR set thin spaces around the dash, others none.
            return self._first_of_month(span.replace("\u2009", ""))
        if first.year == last.year:
            begin = format_skeleton("MMMMd", first, locale=self.locale)
            return f"{self._first_of_month(begin)} – {self.date(last)}"
        return f"{self.date(first)} – {self.date(last)}"

    def headed(self, head: str, text: str) -> str:
        """A text after what it is about; one alone where the other is empty."""
        return self.say("{head}: {text}", head=head, text=text) if head and text else head or text

    def listed(self, names: Sequence[str]) -> str:
        """Names in a row: A, B and C."""
        from babel.lists import format_list

        if self.code == "es" and names and SOUNDS_LIKE_I.match(names[-1]):
            most = ", ".join(names[:-1])
            return f"{most} e {names[-1]}" if most else names[-1]
        return format_list(names, locale=_locale(self.locale))

    def _filled(self, text: str, values: Mapping[str, object]) -> str:
        """A sentence with its values; first and third have ordinals of their own: 1re, 3.er."""
        own = SOME_ORDINALS.get(self.code)
        if own and own.usual in text:
            for name in {name for name in values if own.first.fullmatch(str(values[name]))}:
                text = text.replace(f"{{{name}}}{own.usual}", f"{{{name}}}{own.other}")
        return _filled(text, values)

    def _first_of_month(self, date: str) -> str:
        """French has an ordinal for the first of a month alone: 1er mai."""
        return FIRST.sub("1er", date) if self.code == "fr" else date


FIRST = re.compile(r"\b1(?=[  –])")
SOUNDS_LIKE_I = re.compile(r"h?[ií](?![aeo])", re.IGNORECASE)
"""Before such a name Spanish says "e" and not "y": Ana e Inés."""


class Ordinal(NamedTuple):
    """An ending of ordinals in a catalogue, and that of some of them instead."""

    usual: str
    other: str
    first: re.Pattern[str]


SOME_ORDINALS = {
    "fr": Ordinal("e place", "re place", re.compile("1")),
    "es": Ordinal(".º puesto", ".er puesto", re.compile("(.*[^1])?[13]")),
}
ENGLISH = Language()
LANGUAGES = {
    one.code: one
    for one in (
        ENGLISH,
        Language("fr", "Français", ",", "fr"),
        Language("de", "Deutsch", ",", "de"),
        Language("es", "Español", ",", "es"),
    )
}
"""Every language there is, by its code."""


@functools.lru_cache(maxsize=2**14)  # The same marks stand in many lists.
def _shown(
    thousandths: int | None, point: str, show: Callable[[int | None, str], str] = show_mark
) -> str:
    return show(thousandths, point).replace("-", MINUS)


def _filled(text: str, values: Mapping[str, object]) -> str:
    """A sentence with its values in their {places}; other forms of places are for programs."""
    if not _has_plain_places(text):
        raise ValueError(f"a sentence has places such as {{name}} and no others: {text[:80]}")
    return text.format_map(values)


@functools.lru_cache(maxsize=4096)
def _has_plain_places(text: str) -> bool:
    return re.fullmatch(r"(?:[^{}]|\{[a-z_]+\})*+", text) is not None


def to_say(message: str) -> str:
    """A text that is said later, given back as it is; so the catalogues come to know of it."""
    return message


@functools.cache
def _date(day: dt.date, locale: str) -> str:
    from babel.dates import format_date

    return format_date(day, "long", locale)


@functools.cache
def _span(first: dt.date, last: dt.date, locale: str) -> str:
    from babel.dates import format_interval

    return format_interval(first, last, "yMMMMd", locale=locale)


@functools.lru_cache(maxsize=2**13)
def _text(code: str, message: str) -> str:
    """A text in a language; nothing for nothing: the empty key of a catalogue holds its head."""
    return _texts(code).gettext(message) if message else ""


@functools.cache
def _texts(code: str) -> gettext.NullTranslations:
    """The catalogue of a language; for English, and for what a catalogue lacks, the key itself."""
    return gettext.translation("resultsgen", CATALOGUES, [code], fallback=True)
