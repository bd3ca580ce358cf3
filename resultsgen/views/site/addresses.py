"""What a cell leads to, the file names of people and clubs, and the sizes of pictures.

A view names its target exactly (`gymnast:women/101`, `club:TV Ulmenquell`, `list:ws-q/BB`); site
and book say where that is. A file name holds only letters, digits and hyphens, whatever the name.
"""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Iterator
from hashlib import sha256
from typing import NamedTuple

from resultsgen.files.pictures import narrower
from resultsgen.meet.folder import Meet
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


LOGO_HEIGHT = 120
"""Three times as high as it stands on the pages: enough for the finest screen."""

COLUMN = "(min-width: 44rem) 42rem, 92vw"
"""How wide a picture stands in the text of a page."""


class Smaller(NamedTuple):
    """A picture made smaller: so wide, or so high."""

    name: str
    """Below assets/; in a folder, so that no picture of the meet has it."""
    of: str
    width: int = 0
    height: int = 0


def smaller_pictures(meet: Meet) -> Iterator[Smaller]:
    """Every smaller picture that is offered beside those of the meet."""
    for name, size in meet.sizes.items():
        for width in narrower(size):
            yield Smaller(f"{width}/{name}", name, width)
    if logo_on_pages(meet) != meet.settings.logo:
        yield Smaller(logo_on_pages(meet), meet.settings.logo, height=LOGO_HEIGHT)


def logo_on_pages(meet: Meet) -> str:
    """The logo as the head of each page has it: no larger than it stands there."""
    logo = meet.settings.logo
    size = meet.sizes.get(logo)
    return f"logo/{logo}" if size and size.frames == 1 and size.height > LOGO_HEIGHT else logo


def offered(meet: Meet, name: str) -> Iterator[tuple[int, str]]:
    """The widths of a picture with where each lies, its own the last; none for a drawing."""
    if size := meet.sizes.get(name):
        yield from ((width, f"{width}/{name}") for width in narrower(size))
        yield size.width, name
