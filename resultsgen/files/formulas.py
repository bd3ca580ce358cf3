"""Cells that a spreadsheet would run: an apostrophe is put before them, and taken off again.

A text that begins with apostrophes before such a sign gets one more, so that what was written is
what is read, whatever it was.
"""

from __future__ import annotations

import re
from functools import lru_cache

SIGN = "[=+\\-@＝＋－＠]"
STARTS = rf"'*+(?:[^\S\t\r\n]*{SIGN}|[\t\r\n])"
GOES_ON = rf"'*+ *{SIGN}"
STARTS_A_FORMULA = re.compile(rf"^(?={STARTS})|(?<=[;\t\r\n])(?={GOES_ON})")
"""Where a spreadsheet begins to read a formula: at the start of a cell, and after what it may
take for the end of one. Wide forms of the signs are read like the narrow ones by some."""

APOSTROPHE = re.compile(rf"^'(?={STARTS})|(?<=[;\t\r\n])'(?={GOES_ON})")
"""The apostrophe that was put there."""

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
