"""The slips that everybody makes first in a TOML file, and what to write instead."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable

DATE = re.compile(
    r"(?<![\w.:/-])(?:(\d{1,2})[./-] ?(\d{1,2})[./-] ?(\d{4})"
    r"|(\d{4})[./-](\d{1,2})[./-](\d{1,2}))(?![\w:/-]|\.\d)"
)


BRACKETS = re.compile(r"\[[^\[\]]*\]|\[\[[^\[\]]*\]\]")


NUMBER = r"-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?"


QUOTED = re.compile(r""""(?:[^"\\]|\\.)*"|'[^']*'""")


OTHER_QUOTES = (
    "\u201c\u201d\u201e\u201f\u2033\u00ab\u00bb\u2039\u203a\u2018\u2019\u201a\u0060\u00b4"
)
"""What word processors and telephones make of straight quotes."""


OPENS, CLOSES = r"(?<=[=\[,{])(\s*)", r"(?=\s*(?:[,\]}#]|$))"


CURLY = re.compile(f"{OPENS}[{OTHER_QUOTES}]+|[{OTHER_QUOTES}]+{CLOSES}")


def date_meant(text: str) -> str:
    """The first date in a text as TOML has it; empty where there is none, or two could be meant.

    >>> date_meant("15.03.2031"), date_meant("03/15/2031"), date_meant("on 2031-3-5")
    ('2031-03-15', '2031-03-15', '2031-03-05')
    >>> date_meant("03/04/2031"), date_meant("30.02.2031")
    ('', '')
    """
    found = DATE.search(text)
    if not found:
        return ""
    if found[4]:
        return _iso(found[4], found[5], found[6])
    day_first, month_first = _iso(found[3], found[2], found[1]), _iso(found[3], found[1], found[2])
    if "/" in found[0]:  # 03/04 is March in one country and April in another.
        return "" if day_first and month_first else day_first or month_first
    return day_first


def _iso(year: str, month: str, day: str) -> str:
    try:
        return dt.date(int(year), int(month), int(day)).isoformat()
    except ValueError:
        return ""


def mend_of(line: str) -> str:
    """What to write instead of a line that is not TOML; empty where that is not to be seen."""
    bare = QUOTED.sub('""', line).split("#")[0].rstrip()
    return next((mend for slip in SLIPS if (mend := slip(line, bare))), "")


def _curly_quotes(line: str, _bare: str) -> str:
    straight = CURLY.sub(lambda found: f'{found[1] or ""}"', line)
    return f"quotes are straight: write  {straight}" if straight != line else ""


def _another_date(_line: str, bare: str) -> str:
    meant = date_meant(bare)
    if meant:
        return f"a date is year-month-day: write {meant}"
    found = DATE.search(bare)
    return f"{found[0]}: a date is year-month-day, for example 2031-03-15" if found else ""


def _backslash(line: str, _bare: str) -> str:
    if "\\" not in line:
        return ""
    slashes = line.replace("\\", "/")
    return f"a backslash has a meaning of its own in quotes: write  {slashes}"


def _brackets(_line: str, bare: str) -> str:
    if not bare.startswith("[") or "=" in bare or BRACKETS.fullmatch(bare):
        return ""
    name = bare.strip("[] ")
    return f"a head has as many brackets after it: write  [{name}]  or  [[{name}]]"


def _colon(line: str, bare: str) -> str:
    if not re.match(r"\s*[\w.-]+\s*:", bare):
        return ""
    key, _, value = line.partition(":")
    return f"between a setting and its value stands = : write  {key.rstrip()} = {value.strip()}"


def _quotes_inside(line: str, bare: str) -> str:
    if bare.count('"') % 2 or bare.count("'") % 2 or re.search(r'""\s*[^\s,\]}.=]', bare):
        return (
            "a quotation mark is missing, or stands inside of a text: "
            r"""write it "so", and inside of such a text \" """.rstrip()
        )
    return ""


def _seen(pattern: str, mend: str) -> Callable[[str, str], str]:
    """A slip that a pattern finds; what its groups hold is put into what to write instead."""

    def slip(_line: str, bare: str) -> str:
        found = re.search(pattern, bare)
        return mend.format(*found.groups()) if found else ""

    return slip


SLIPS: tuple[Callable[[str, str], str], ...] = (
    _curly_quotes,
    _another_date,
    _backslash,
    _brackets,
    _colon,
    _seen(r"=\s*(-?\d+),(\d+)$", "a decimal sign is a point: write {}.{}"),
    _seen(r"(?i)=\s*(?:yes|on|true)$", "write true"),
    _seen(r"(?i)=\s*(?:no|off|false)$", "write false"),
    _seen(r"=$", 'the value is missing; write "" for none'),
    _seen(r"^\s*([\w-]+(?: +[\w-]+)+)\s*=", 'a name with blanks stands in quotes: write "{}"'),
    _seen(
        r"""^[^{]*=\s*(?:""|[\w.-]+)[\s,;]+[\w.-]+\s*=[^{]*$""",
        "each setting has a line of its own",
    ),
    _quotes_inside,
    _seen(
        rf"=\s*(?!{NUMBER}$)([^\s\"'\[\]{{}},=][^\"'\[\]{{}},=]*)$",
        'a text stands in quotes: write "{}"',
    ),
)
"""Each is given the line, and the line without comments and with its texts emptied."""
