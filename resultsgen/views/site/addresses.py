"""What a cell leads to, and the file names that people and clubs are given.

A view names its target exactly (`gymnast:women/101`, `club:TV Ulmenquell`, `list:ws-q/BB`); site
and book say where that is. A file name holds only letters, digits and hyphens, whatever the name.
"""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable
from hashlib import sha256

from resultsgen.scoring.results import Gymnast

RESERVED = re.compile(r"con|prn|aux|nul|index|(com|lpt)[0-9]")
"""Names that Windows keeps for itself, with or without an ending; and our own index."""


def gymnast_target(gymnast: Gymnast) -> str:
    """The person, the same for every entry of the same gymnast."""
    return f"gymnast:{gymnast.person}"


def club_target(club: str) -> str:
    """The club, by its name exactly as the roster writes it."""
    return f"club:{club}"


def list_target(competition: str, name: str) -> str:
    """A list of a competition: an apparatus code, all-around, team, standings ..."""
    return f"list:{competition}/{name}"


def file_names(names: Iterable[str]) -> dict[str, str]:
    """A file name without ending for each name, lasting: it depends on the names alone.

    >>> file_names(["TV Ährental", "ΑΓΣ", "Łódź", "CON"])
    {'CON': 'con-a3dbc4b6', 'TV Ährental': 'tv-ahrental', 'Łódź': 'lodz', 'ΑΓΣ': 'ags'}
    """
    plain = {name: _plain(name) for name in sorted(set(names))}
    taken = Counter(plain.values())
    return {name: _told_apart(name, short, taken[short]) for name, short in plain.items()}


def _plain(name: str) -> str:
    """The name in lower-case ASCII letters and digits with hyphens between, at most 60."""
    return re.sub(r"[^a-z0-9]+", "-", _latin(name).lower()).strip("-")[:60].strip("-")


def _latin(name: str) -> str:
    """The name without accents, and written in Latin letters if it is in others."""
    letters = unicodedata.normalize("NFKD", name)
    bare = "".join(letter for letter in letters if not unicodedata.combining(letter))
    if bare.isascii():
        return bare
    from anyascii import anyascii

    return anyascii(bare)


def _told_apart(name: str, plain: str, sharing: int) -> str:
    """The plain name, or with a piece of the exact name's hash where it is not one of its own."""
    if plain and sharing == 1 and not RESERVED.fullmatch(plain):
        return plain
    return "-".join(filter(None, (plain, sha256(name.encode()).hexdigest()[:8])))
