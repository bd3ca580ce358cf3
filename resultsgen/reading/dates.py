"""Marks of which a spreadsheet made a date or a time while they were typed: 9.5 became 9 May."""

from __future__ import annotations

import datetime as dt
import re
from functools import cache

from resultsgen.meet.marks import parse_mark
from resultsgen.reading.words import heard

MONTHS = (
    "January janvier Januar enero",
    "February février Februar febrero",
    "March mars März Maerz mrz marzo",
    "April avril abril",
    "May mai mayo",
    "June juin Juni junio",
    "July juillet Juli julio",
    "August août agosto",
    "September septembre septiembre",
    "October octobre Oktober octubre",
    "November novembre noviembre",
    "December décembre Dezember diciembre",
)
"""In English, French, German and Spanish."""

DAYS = dt.date(1899, 12, 30)
"""A spreadsheet counts days from here; the date without its format is that number."""

BETWEEN = range(dt.date(1930, 1, 1).toordinal(), dt.date(2100, 1, 1).toordinal())
"""What a spreadsheet takes two numbers for: the years that two digits stand for."""

FORMS = (
    re.compile(r"(?P<year>\d{4})-(?P<month>\d\d?)-(?P<day>\d\d?)(?:[T ]00:00(?::00)?)?"),
    re.compile(r"(?P<day>\d\d?)\. ?(?P<month>\d\d?)\. ?(?P<year>\d{4}|\d\d)"),
    re.compile(r"(?P<day>\d\d?)[-. ]+(?P<name>[^\W\d]{3,10})\.?(?:[- ]+(?P<year>\d{4}|\d\d))?"),
    re.compile(r"(?P<name>[^\W\d]{3,10})[-. ]+(?P<year>\d{4}|\d\d)"),
    re.compile(r"(?P<days>[2-7]\d{4})"),
)
TIME = re.compile(r"(?:PT)?0?(\d\d?)[:H](\d\d)(?:[:M]00S?)?")


def mark_meant(text: str) -> str:
    """What was probably typed, in words, where a text is a date or a time; else empty.

    >>> mark_meant("09.05.2031")
    'the spreadsheet made a date of it, 9 May; was it 9.5'
    >>> mark_meant("Sep-25"), mark_meant("09:30:00")
    ('the spreadsheet made a date of it, September 2025; was it 9.25 or 1.9', \
'the spreadsheet made a time of it, 9:30; was it 9.30')
    >>> mark_meant("31.12"), mark_meant("13.70001")
    ('', '')
    """
    if time := TIME.fullmatch(text):
        typed = (f"{int(time[1])}.{time[2]}",)
        made, shown = "time", f"{int(time[1])}:{time[2]}"
    elif date := _date(text):
        # Two numbers are a day and a month, or a month and a year, whose day is then the first.
        of_month = (f"{date.month}.{date.year % 100:02d}",) if date.day == 1 else ()
        typed = (*of_month, f"{date.day}.{date.month}")
        made, month = "date", MONTHS[date.month - 1].split()[0]
        shown = f"{month} {date.year}" if date.day == 1 else f"{date.day} {month}"
    else:
        return ""
    likely = " or ".join(one for one in typed if parse_mark(one) is not None)
    return f"the spreadsheet made a {made} of it, {shown}; was it {likely}"


@cache
def months() -> dict[str, int]:
    """The number of each month by its name, and by three letters or more that it begins with.

    >>> months()["sept"], months()["marz"], months().get("mayfield"), months().get("jui")
    (9, 3, None, None)
    """
    numbers: dict[str, set[int]] = {}
    for number, words in enumerate(MONTHS, start=1):
        for word in map(heard, words.split()):
            for end in range(3, len(word) + 1):
                numbers.setdefault(word[:end], set()).add(number)
    return {word: held.pop() for word, held in numbers.items() if len(held) == 1}


def _date(text: str) -> dt.date | None:
    """The date that a text is, as spreadsheets write it."""
    found = next((one for form in FORMS if (one := form.fullmatch(text))), None)
    parts = found.groupdict() if found else {}
    try:
        if "days" in parts:
            date = DAYS + dt.timedelta(int(parts["days"]))
        else:
            year = parts["year"] or "2000"
            century = "" if len(year) == 4 else "20" if year < "30" else "19"
            month = parts.get("month") or months().get(heard(parts["name"]), 0)
            date = dt.date(int(century + year), int(month), int(parts.get("day") or 1))
    except (KeyError, ValueError):
        return None
    return date if date.toordinal() in BETWEEN else None
