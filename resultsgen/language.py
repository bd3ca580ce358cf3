"""How built-in texts, marks and dates are written in a language.

Every built-in text goes through `say`, with the English text as its key, so that a catalogue can
translate it; nothing of the meet folder does.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from resultsgen.marks import show_mark, show_short

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July",
    "August", "September", "October", "November", "December",
)  # fmt: skip


@dataclass(frozen=True)
class Language:
    """One language of the pages; English is the only one so far."""

    code: str = "en"
    point: str = "."

    def say(self, message: str, **values: object) -> str:
        """A built-in text with its values put in: `say("{n} gymnasts", n=3)`."""
        return message.format(**values) if values else message

    def count(self, one: str, many: str, n: int, **values: object) -> str:
        """The singular or the plural text for *n*, which may hold `{n}`."""
        return self.say(one if n == 1 else many, n=n, **values)

    def mark(self, thousandths: int | None) -> str:
        """A mark with three decimals; empty where there is none."""
        return show_mark(thousandths, self.point)

    def short(self, thousandths: int | None) -> str:
        """A D score, penalty or bonus, without needless noughts."""
        return show_short(thousandths, self.point)

    def date(self, day: dt.date) -> str:
        """A day in words: 17 May 2031."""
        return f"{day.day} {self.say(MONTHS[day.month - 1])} {day.year}"

    def dates(self, days: tuple[dt.date, ...]) -> str:
        """One day or a span: 16–17 May 2031, 30 May – 1 June 2031."""
        if not days:
            return ""
        first, last = days[0], days[-1]
        if first == last:
            return self.date(first)
        if (first.year, first.month) == (last.year, last.month):
            return f"{first.day}–{self.date(last)}"
        if first.year == last.year:
            return f"{first.day} {self.say(MONTHS[first.month - 1])} – {self.date(last)}"
        return f"{self.date(first)} – {self.date(last)}"

    def listed(self, names: list[str]) -> str:
        """Names in a row: A, B and C."""
        if len(names) < 2:
            return "".join(names)
        return self.say("{most} and {last}", most=", ".join(names[:-1]), last=names[-1])


ENGLISH = Language()
