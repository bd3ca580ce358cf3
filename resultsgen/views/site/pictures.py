"""The sizes in which pictures are offered, and where each lies."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from resultsgen.files.pictures import narrower
from resultsgen.meet.folder import Meet

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
