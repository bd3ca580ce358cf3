"""The title and the days of a meet, from what stands above its tables."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from resultsgen.intake.columns import Question, SettingsPart, Understood, quoted
from resultsgen.intake.meanings import of_sheets, rest_of, says_nothing
from resultsgen.intake.tables import NamedSheet
from resultsgen.reading.dates import months
from resultsgen.reading.toml_slips import date_meant
from resultsgen.reading.words import heard

SheetCell = tuple[int, int, int]
"""The number of the sheet, the row and the column."""


@dataclass
class Titled:
    """The title and the days, from which cells."""

    title: str = ""
    venue: str = ""
    dates: tuple[str, ...] = ()
    used: set[SheetCell] = field(default_factory=set)
    """Cells above the tables that say these."""
    found: list[str] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)


def titled(sheets: Sequence[NamedSheet], tables: list[Understood]) -> Titled:
    """What the lines above the tables say of the meet; nothing where they say nothing."""
    told = Titled()
    names: list[tuple[SheetCell, str, str, str]] = []
    for number, row, column, text in _above(sheets, tables):
        sheet = sheets[number]
        where = f"{sheet.source} {sheet.cells([row], [column])}"
        date, ambiguous = date_in(text)
        if date and date not in told.dates and len(told.dates) < 2:
            told.dates = tuple(sorted((*told.dates, date)))
            told.found.append(f"{where}: {text}: dates = [{date}]")
        elif ambiguous and not told.dates:
            asked = f"{where}: {text} may be either of two days; none was taken"
            lines = tuple(f"dates = [{one}]" for one in ambiguous)
            told.questions.append(Question(asked, lines, SettingsPart("head")))
        if date:
            told.used.add((number, row, column))
        if title := _title(text, date):
            names.append(((number, row, column), title, date, f"{where}: {text}"))
    for cell, title, _, where in sorted(names, key=lambda one: (is_hall(one[1]), not one[2])):
        if not told.title:
            told.title = title
            told.found.insert(0, f"{where}: title = {quoted(title)}")
        elif is_hall(title) and not told.venue:
            told.venue = title
            told.found.insert(1, f"{where}: venue = {quoted(title)}")
        if title in (told.title, told.venue):
            told.used.add(cell)
    return told


def is_hall(text: str) -> bool:
    """Whether a text names a place for gymnastics, which is no title where there is another.

    >>> is_hall("Sporthalle am Anger"), is_hall("Gymnase des Ormes"), is_hall("Marshall Cup")
    (True, True, False)
    """
    return any(f" {one} " in f" {heard(text)} " for one in of_sheets("halls"))


def _title(text: str, date: str) -> str:
    """The title of a meet in a line, before its day where it says one; empty where it has none.

    >>> _title("Club Championships - Sunday 15th November 2026", "2026-11-15")
    'Club Championships'
    >>> _title("Sonntag, 15.11.2026, Turnhalle", "2026-11-15"), _title("Results 2026", "")
    ('', '')
    """
    if not date:
        found = "" if text.endswith(":") else rest_of(text)
        return "" if says_nothing(found) else found
    words = re.match(r"\D*", text)[0].split()  # type: ignore[index]
    while words and (heard(words[-1]) in {"", *of_sheets("before_days"), *months()}):
        words.pop()
    found = " ".join(words).strip(" -–—:;,|/")
    return found if len(found.split()) > 1 else ""


def _above(
    sheets: Sequence[NamedSheet], tables: list[Understood]
) -> Iterator[tuple[int, int, int, str]]:
    for number, sheet in enumerate(sheets):
        tops = [one.table.heading.rows[0] for one in tables if one.sheet is sheet]
        for row in range(min(tops, default=0)):
            yield from ((number, row, at, text) for at, text in sheet.texts(row).items())


def date_in(text: str) -> tuple[str, tuple[str, ...]]:
    """A date in a text as TOML has it; or the two that it may be.

    >>> date_in("Lindmoor, 15. März 2031"), date_in("03/04/2031")
    (('2031-03-15', ()), ('', ('2031-03-04', '2031-04-03')))
    """
    if date := date_meant(text):
        return date, ()
    if found := re.search(r"(\d{1,2})/(\d{1,2})/(\d{4})", text):
        first, second = f"{int(found[1]):02}", f"{int(found[2]):02}"
        both = (f"{found[3]}-{first}-{second}", f"{found[3]}-{second}-{first}")
        return "", tuple(one for one in both if date_meant(one))
    words = re.split(r"[\s,.]+", heard(text))
    month = next((months()[word] for word in words if word in months()), 0)
    days = [
        int(day[1]) for word in words if (day := re.fullmatch(r"(\d\d?)(?:st|nd|rd|th|er)?", word))
    ]
    years = [word for word in words if re.fullmatch(r"(?:19|20)\d\d", word)]
    if month and len(days) == 1 and len(years) == 1:
        return date_meant(f"{years[0]}-{month:02}-{days[0]:02}"), ()
    return "", ()
