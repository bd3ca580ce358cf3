"""A mark is a whole number of thousandths: read, shown and averaged here, and never a float.

A mark is printed with at most three decimals, so thousandths hold every mark exactly, and two
marks are equal if and only if they are printed alike.
"""

from __future__ import annotations

import re
from typing import Literal

STATUSES = ("DNF", "DNS", "DSQ", "WDR")
"""What stands where a mark would: did not finish, did not start, disqualified, withdrawn."""

Averaging = Literal["cut", "round"]
Incomplete = Literal["no place", "placed by what there is"]
"""What becomes of a gymnast who lacks a mark: no total and no place, or the sum there is."""

# At most three digits before the sign: the largest total a team can have is below 1000.
PRINTED = re.compile(r"([+\-−–]?)(\d{1,3})(?:[.,](\d{1,3}))?")


def parse_mark(text: str) -> int | None:
    """Thousandths of a printed mark, with a point or a comma; None where the text is no mark.

    >>> parse_mark("13.7"), parse_mark("13,700"), parse_mark("0"), parse_mark("13.7001")
    (13700, 13700, 0, None)
    """
    found = PRINTED.fullmatch(text.strip())
    if not found:
        return None
    sign, whole, thousandths = found.groups()
    mark = int(whole) * 1000 + int((thousandths or "").ljust(3, "0"))
    return -mark if sign in ("-", "−", "–") else mark


def parse_part(text: str) -> int | None:
    """Thousandths of a part of a mark, before whose point nothing need stand; a mark says more.

    >>> parse_part(".3"), parse_part("-,3"), parse_mark(".3")
    (300, -300, None)
    """
    return parse_mark(re.sub(r"^\s*([+\-−–]?)(?=[.,])", r"\g<1>0", text))


def show_mark(thousandths: int | None, point: str = ".") -> str:
    """A mark as it is printed, always with three decimals; the empty text where there is none.

    >>> show_mark(9950), show_mark(0), show_mark(-300, ","), show_mark(None)
    ('9.950', '0.000', '-0,300', '')
    """
    if thousandths is None:
        return ""
    sign = "-" if thousandths < 0 else ""
    whole, rest = divmod(abs(thousandths), 1000)
    return f"{sign}{whole}{point}{rest:03d}"


def show_short(thousandths: int | None, point: str = ".") -> str:
    """A mark with its trailing zeros left out but one decimal kept: difficulty, penalty, bonus.

    >>> show_short(5400), show_short(116), show_short(0)
    ('5.4', '0.116', '0.0')
    """
    shown = show_mark(thousandths, point)
    return re.sub(r"0{1,2}$", "", shown)
