"""The page numbers that templates ask for, each of which is a link to what it is the page of.

While a unit is rendered no number is known, so it gets room for as many as there may be, with as
many figures.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from html import escape
from urllib.parse import quote

from resultsgen.books.own_texts import in_ranges, pages_of
from resultsgen.books.page_ranges import PageRange
from resultsgen.books.press.unit import BETWEEN_TARGETS, COMMA, FIGURE, NOT, PAGES_LINK
from resultsgen.files.cache import key_of
from resultsgen.views.lists.sections import gymnast_rows

A = '<a href="{}">{}</a>'


@dataclass(frozen=True)
class Html:
    """Something that a template shows as it is."""

    html: str

    def __html__(self) -> str:
        return self.html


class KnownNumbers:
    """The page numbers of a whole book, as templates ask for them, where each page is known."""

    def __init__(self, known: Mapping[str, int]) -> None:
        self._known = known

    def __call__(self, *targets: str, besides: str = "") -> Html:
        """Each page that any of these stands on, once and in order, but for that of another."""
        told = in_ranges(pages_of((*targets, *_but(besides)), self._known))
        return Html(COMMA.join(A.format(f"#{escape(at)}", text) for text, at in told))


class NumberRooms:
    """Room for page numbers, as templates ask for them, in a book of these page ranges."""

    def __init__(self, ranges: Sequence[PageRange]) -> None:
        # An estimate of several pages may well be wrong by one in three.
        self._most = [together.pages + together.pages // 3 for together in ranges]
        self._figures = len(str(sum(together.pages for together in ranges)))
        self._stands_in = {
            target: rank
            for rank, together in enumerate(ranges)
            for section in together.sections
            for _, target in gymnast_rows(section)
        }
        self.asked = False
        """Some template wanted a number."""

    @cached_property
    def key(self) -> str:
        """Tells apart two books that leave room otherwise."""
        stands_in = (f"{target} {rank}" for target, rank in sorted(self._stands_in.items()))
        return key_of(str(self._figures), str(self._most), *stands_in)

    def __call__(self, *targets: str, besides: str = "") -> Html:
        """Room for the pages that these may be on."""
        if not targets:
            return Html("")
        self.asked = True
        inside = Counter(self._stands_in.get(target, target) for target in targets)
        many = {
            rank: min(rows, self._most[rank]) if isinstance(rank, int) else 1
            for rank, rows in inside.items()
        }
        if besides:
            many[self._stands_in.get(besides, besides)] -= 1
        # Of a range there are two numbers.
        alone = {x for x, n in many.items() if isinstance(x, int) and n == self._most[x] == 1}
        within = sum(rank - 1 in alone and rank + 1 in alone for rank in alone)
        count = max(1, sum(many.values()) - within)
        address = PAGES_LINK + BETWEEN_TARGETS.join(map(quote, (*targets, *_but(besides))))
        return Html(A.format(address, COMMA.join([FIGURE * self._figures] * count)))


def _but(target: str) -> tuple[str, ...]:
    """What leaves out the page that this is on."""
    return (NOT + target,) if target else ()
