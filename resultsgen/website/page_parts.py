"""The parts that a long page comes in: where each lies, and what it is called."""

from __future__ import annotations

from dataclasses import dataclass

from resultsgen.views.lists.page_parts import PagePart
from resultsgen.website.to_come import ROWS_TO_COME


@dataclass(frozen=True)
class PageParts:
    """The addresses and names of all parts of a page, and which of them this one is."""

    each: tuple[tuple[str, PagePart], ...]
    here: int
    sorts: bool
    """They are one list, which can be sorted and narrowed as a whole."""

    @property
    def rows(self) -> str:
        """Stands in the pages of a list until its rows have an address; empty where none sorts."""
        return f"{ROWS_TO_COME}{self.each[0][0]}.js" if self.sorts else ""

    @property
    def words(self) -> str:
        """What this one is called on its page."""
        return self.each[self.here][1].words

    @property
    def before(self) -> str:
        """The address of the one before; empty on the first."""
        return self.each[self.here - 1][0] if self.here else ""

    @property
    def after(self) -> str:
        """The address of the one after; empty on the last."""
        return self.each[self.here + 1][0] if self.here + 1 < len(self.each) else ""


def part_address(address: str, number: int) -> str:
    """Where a part of a page lies: no other page can be there, as their names have no dot.

    >>> part_address("gymnasts/index.html", 1), part_address("gymnasts/index.html", 2)
    ('gymnasts/index.html', 'gymnasts/index.2.html')
    """
    return address if number == 1 else f"{address.removesuffix('.html')}.{number}.html"
