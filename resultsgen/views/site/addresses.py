"""What a cell leads to, the file names of people and clubs, and where a language lies.

A view names its target exactly (`gymnast:women/101`, `club:TV Ulmenquell`, `list:ws-q/BB`); site
and book say where that is. A file name holds only letters, digits and hyphens, whatever the name.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING

from resultsgen.views.words.alphabet import in_latin

if TYPE_CHECKING:
    from resultsgen.scoring.ranking import Gymnast

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

    It has lower-case ASCII letters and digits with hyphens between, at most 60. One that is not
    alone with its plain name, or has none, bears a piece of the name's hash.

    >>> file_names(["TV Ährental", "ΑΓΣ", "Łódź", "CON"])
    {'CON': 'con-a3dbc4b6', 'TV Ährental': 'tv-ahrental', 'Łódź': 'lodz', 'ΑΓΣ': 'ags'}
    """
    plain = {}
    for name in sorted(set(names)):
        plain[name] = re.sub(r"[^a-z0-9]+", "-", in_latin(name).lower()).strip("-")[:60].strip("-")
    taken = Counter(plain.values())
    found = {}
    for name, short in plain.items():
        if not short or taken[short] > 1 or RESERVED.fullmatch(short):
            short = "-".join(filter(None, (short, sha256(name.encode()).hexdigest()[:8])))
        found[name] = short
    return found


def language_folder(code: str, languages: Sequence[str]) -> str:
    """Where the pages of a language lie: the main one at the root, others in fr/, de/ ..."""
    return "" if code == languages[0] else f"{code}/"


def with_slash(base_url: str) -> str:
    """Where a site is published, with a slash at its end; empty where nobody said."""
    return base_url.rstrip("/") + "/" if base_url else ""


def in_language(address: str, folder: str) -> str:
    """Where an address leads from the pages in *folder*: pages to their own language.

    What is no page is there once for all languages.
    """
    return folder + address if address.endswith(".html") or not address else address


@dataclass(frozen=True)
class Link:
    """A text that leads somewhere."""

    text: str
    target: str
    short: str = ""
