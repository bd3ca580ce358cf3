"""Whether a style sheet can set units: it asks for nothing that only a whole book knows.

A unit is always the first page to itself, and a right-hand one. Where a theme's own style needs
more than that, its books are rendered in one piece.
"""

from __future__ import annotations

import re

COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)

PAGE_NUMBER = re.compile(
    r"string\(before\)\s*counter\(page\)\s*string\(between\)\s*counter\(pages\)\s*string\(after\)"
)
"""The one place where a page number may stand: the book writes it there."""

OF_A_BOOK = re.compile(r"counters?\(\s*pages?\b|\btarget-(?:counters?|text)\(|@page[^{]*:", re.I)
"""Numbers of pages, references to other pages, styles for the first page or for left-hand ones."""


def sets_units(css: str) -> bool:
    """A style sheet gives a unit the looks that it has in the book.

    >>> sets_units("@page { @bottom-right { content: counter(page) } }")
    False
    >>> sets_units("@page sheet { margin: 2cm } td:first-child { padding: 0 }")
    True
    """
    return not OF_A_BOOK.search(PAGE_NUMBER.sub("", COMMENT.sub("", css)))
