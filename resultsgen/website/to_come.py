"""What is to come in a page that is filled already: it is told when all pages are there, or anew
with each publication, for which no page is then filled again."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import NamedTuple

STYLE_TO_COME = "static/the-style-sheet-of-this-site"
NAMES_TO_COME = "static/the-names-of-this-site"
TIME_TO_COME = "static/the-time-of-this-site"
HOUR_TO_COME = "static/the-hour-of-this-site"
HOME_TO_COME = "static/the-way-home-of-this-site"
ROWS_TO_COME = "static/the-rows-of/"
"""They all begin alike, by which they are found quickly."""

TO_COME = re.compile(rb'(static/the-(?:[a-z-]+-of-this-site|rows-of/[^"]*))')


def parted(page: bytes) -> tuple[bytes, ...]:
    """A page in pieces; what is to come is each time a piece by itself."""
    return tuple(TO_COME.split(page))


def put_in(pieces: Iterable[bytes], told: Mapping[bytes, bytes]) -> bytes:
    """The page with what came."""
    return b"".join([told.get(piece, piece) for piece in pieces])


Page = tuple[str, str, tuple[bytes, ...]]
"""The digest of a page as it was filled, what fonts need of it, and the page in pieces."""


class Pages(NamedTuple):
    """The pages of a language by their addresses, and what is to be put into them."""

    filled: dict[str, Page]
    told: dict[bytes, bytes]
