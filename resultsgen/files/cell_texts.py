"""What a cell may hold: no sign that nobody types, and nothing that a spreadsheet would run."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

CELL = 1_000
"""Signs in a cell."""

MARKS = 6
"""Accents and the like on one letter; no script has more."""

CONTROLS = re.compile(r"[\x00-\x08\x0e-\x1b\x7f-\x84\x86-\x9f]")
"""Signs that nobody types and nothing prints: something was damaged."""


def unfit(text: str) -> str:
    """Why a text is none that anybody would print, in words; empty where it is one.

    >>> unfit("x" * 2000), unfit("a" + "\u0301" * 20), unfit("Ada")
    ('has 2000 signs, and at most 1000 are read', 'has 20 accents on one letter', '')
    >>> unfit("A\x02da")
    'has a hidden sign (U+0002)'
    """
    if len(text) > CELL:
        return f"has {len(text)} signs, and at most {CELL} are read"
    if control := CONTROLS.search(text):
        return f"has a hidden sign (U+{ord(control[0]):04X})"
    most = run = 0
    for sign in "" if text.isascii() else text:
        run = run + 1 if unicodedata.category(sign) in ("Mn", "Me") else 0
        most = max(most, run)
    return f"has {most} accents on one letter" if most > MARKS else ""


SIGN = "[=+\\-@＝＋－＠]"
STARTS = rf"'*+(?:[^\S\t\r\n]*{SIGN}|[\t\r\n])"
GOES_ON = rf"'*+ *{SIGN}"
STARTS_A_FORMULA = re.compile(rf"^(?={STARTS})|(?<=[;\t\r\n])(?={GOES_ON})")
"""Where a spreadsheet begins to read a formula: at the start of a cell, and after what it may
take for the end of one. Wide forms of the signs are read like the narrow ones by some."""

APOSTROPHE = re.compile(rf"^'(?={STARTS})|(?<=[;\t\r\n])'(?={GOES_ON})")
"""The apostrophe that is put before what a spreadsheet would run, and taken off again.

A text that begins with apostrophes before such a sign gets one more, so that what was written is
what is read, whatever it was."""

PLAIN_NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")


@lru_cache(maxsize=2**16)  # Most cells of a meet stand in several tables.
def harmless(cell: str) -> str:
    """A cell with an apostrophe before what a spreadsheet would run; plain numbers stay.

    >>> harmless("=1+1"), harmless("-0.300"), harmless("-Ada"), harmless("TV Ulmenquell")
    ("'=1+1", '-0.300', "'-Ada", 'TV Ulmenquell')
    """
    return cell if PLAIN_NUMBER.fullmatch(cell) else STARTS_A_FORMULA.sub("'", cell)


def as_meant(cell: str) -> str:
    """The cell without the apostrophes that were put there.

    >>> as_meant("'=1+1"), as_meant("-0.300"), as_meant("''-Ada"), as_meant("O'Hara")
    ('=1+1', '-0.300', "'-Ada", "O'Hara")
    """
    return APOSTROPHE.sub("", cell)
