"""How large a table may be, and what a spreadsheet may cost; meet/README.md says the same."""

import re
import unicodedata

ROWS = 100_000
COLUMNS = 200
CELLS = 1_000_000

CELL = 1_000
"""Signs in a cell."""

MARKS = 6
"""Accents and the like on one letter; no script has more."""

UNPACKED = 100_000_000
"""Bytes of an archive when it is unpacked, as its own directory has it."""

MEMORY = 300_000_000
"""Bytes of memory for the process that opens spreadsheets."""

SECONDS = 5
"""Of work on all spreadsheets of a meet."""

PATIENCE = 60
"""Seconds after which a process that does not answer is given up, however busy the machine is."""


def beyond(rows: int, columns: int) -> str:
    """Which limit a table of that size goes beyond, in words; empty where none.

    >>> beyond(3, 16384)
    'it has 16384 columns, and at most 200 are read'
    """
    for what, number, limit in (
        ("columns", columns, COLUMNS),
        ("rows below the heading", rows - 1, ROWS),
        ("cells", rows * columns, CELLS),
    ):
        if number > limit:
            return f"it has {number} {what}, and at most {limit} are read"
    return ""


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
    most = 0 if text.isascii() else _most_marks(text)
    return f"has {most} accents on one letter" if most > MARKS else ""


def _most_marks(text: str) -> int:
    """How many marks stand on the letter that has the most."""
    most = run = 0
    for sign in text:
        run = run + 1 if unicodedata.category(sign) in ("Mn", "Me") else 0
        most = max(most, run)
    return most
