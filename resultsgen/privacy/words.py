"""A text as names are compared: small Latin letters, whatever stands between words left out."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

OTHER_SIGN = re.compile(r"[^\x00-\x7f]")
WORD = re.compile(
    r"[a-z]{2,}"
    r"|[a-z](?![.\s])|(?<=\S)[a-z]"  # Not the initial of a second name.
    r"|[0-9]+"
    r"|(?:(?<=[a-z][a-z])|(?<![a-z]))[.!?](?=\s)"
)
CAPITAL_IN_A_WORD = re.compile(r"(?<=[^\W\d_A-Z])(?=[A-Z])")
"""Where a word begins in #AdaVale; names of other alphabets are hardly written so."""

UMLAUTS = (("ae", "a"), ("oe", "o"), ("ue", "u"), ("aa", "a"))
"""Written for ä, ö, ü and å; both ways of writing are compared as the letter without its dots."""


def words(text: str) -> list[str]:
    """The words of a text; numbers and ends of sentences, over which no name goes on, are kept.

    >>> words("Zoë Müller-Strauß, 2 née O’Neil. Was O. Neil")
    ['zo', 'muller', 'strauss', '2', 'nee', 'o', 'neil', '.', 'was', 'neil']
    >>> words("Zoe Mueller") == words("ZOË Mu\u00adller") == words("Зоэ Muller")
    True
    """
    return WORD.findall(folded(CAPITAL_IN_A_WORD.sub("-", text)))


def folded(text: str) -> str:
    """Small letters without accents, written in Latin letters if they are others."""
    plain = text.casefold()
    if not plain.isascii():
        plain = OTHER_SIGN.sub(lambda found: _latin(found[0]), plain)
    for written, meant in UMLAUTS:
        plain = plain.replace(written, meant)
    return plain


def as_written(*names: str) -> str:
    """A name as it is written, whatever its letter case and blanks.

    >>> as_written("Vale ", "Ada  Marie") == as_written("VALE ada marie")
    True
    """
    return " ".join(" ".join(names).casefold().split())


@lru_cache(maxsize=2**14)
def _latin(sign: str) -> str:
    """One sign in Latin letters; nothing for an accent, a soft hyphen and other unseen signs.

    A picture is no word, though it has a name; one that shows a letter is that letter.
    """
    plain = "".join(one for one in unicodedata.normalize("NFKD", sign) if _is_seen(one)).casefold()
    if not plain.isascii():
        from anyascii import anyascii

        plain = anyascii(plain).lower()
    if unicodedata.category(sign) == "So" and len(plain.strip("()")) != 1:
        return " "
    return f" {plain} " if "CJK" in unicodedata.name(sign, "") else plain


def _is_seen(sign: str) -> bool:
    return unicodedata.category(sign) not in ("Mn", "Me", "Cf")
