"""CSV text as RFC 4180 has it, with no cell that a spreadsheet would run as a formula."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable
from functools import lru_cache

SIGN = "[=+\\-@＝＋－＠]"
STARTS_A_FORMULA = re.compile(rf"^(?=\s*{SIGN}|[\t\r\n])|(?<=[;\t\r\n])(?= *{SIGN})")
"""Where a spreadsheet begins to read a formula: at the start of a cell, and after what it may
take for the end of one. Wide forms of the signs are read like the narrow ones by some."""

PLAIN_NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")


@lru_cache(maxsize=2**16)  # Most cells of a meet stand in several tables.
def harmless(cell: str) -> str:
    """A cell with an apostrophe before what a spreadsheet would run; plain numbers stay.

    >>> harmless("=1+1"), harmless("-0.300"), harmless("-Ada"), harmless("TV Ulmenquell")
    ("'=1+1", '-0.300', "'-Ada", 'TV Ulmenquell')
    """
    return cell if PLAIN_NUMBER.fullmatch(cell) else STARTS_A_FORMULA.sub("'", cell)


def csv_text(head: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """A whole file: commas, CRLF, quotes only where they are needed."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    for row in (head, *rows):
        writer.writerow([harmless(cell) for cell in row])
    return text.getvalue()
