"""Names in the order of an index: letter by letter, alphabet by alphabet."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from functools import lru_cache


@lru_cache(maxsize=2**14)
def folded(name: str) -> str:
    """A name as an index orders it: without accents, case and apostrophes.

    Letters that are no Latin ones come after Z, in the order of their own alphabet.

    >>> folded("Ørsløv"), folded("O’Ferranly"), folded("Þóra Æsa"), folded("Ξένη")
    ('orslov', 'oferranly', 'thora aesa', 'ξενη')
    """
    letters = unicodedata.normalize("NFKD", name.casefold())
    return "".join(
        in_latin(letter).lower() if letter <= LAST_LATIN else letter
        for letter in letters
        if not unicodedata.combining(letter) and letter not in APOSTROPHES
    )


LAST_LATIN, APOSTROPHES = "\u024f", "'’ʼ‘"

AT_A_GLANCE = 30
"""So many names are found without their letters."""

Alphabets = tuple[dict[str, str], ...]


def letters(names: Iterable[tuple[str, str]]) -> Alphabets:
    """The letters that names begin with, alphabet by alphabet, each with the row of the first."""
    found: dict[str, dict[str, str]] = {}
    held = tuple(names)
    for name, row in held:
        if letter := folded(name)[:1].upper():
            alphabet = unicodedata.name(letter, "").partition(" ")[0]
            found.setdefault(alphabet, {}).setdefault(letter, row)
    return tuple(found.values()) if len(held) > AT_A_GLANCE else ()


def in_latin(name: str) -> str:
    """A name in plain Latin letters.

    >>> in_latin("Łódź"), in_latin("Κυματοφώτη"), in_latin("Аглая")
    ('Lodz', 'Kymatofoti', 'Aglaya')
    """
    if name.isascii():
        return name
    letters = unicodedata.normalize("NFKD", name)
    latin = "".join(letter for letter in letters if not unicodedata.combining(letter))
    if not latin.isascii():
        from anyascii import anyascii

        latin = anyascii(latin)
    return latin
