"""Page numbers as templates ask for them: each is a link to what it is the page of.

While a unit is rendered no number is known, so it gets room for as many as there may be, with as
many figures. That is estimated; if it should not be enough, numbers are set narrower.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from html import escape
from urllib.parse import quote

from resultsgen.books.numbering import pages_of
from resultsgen.books.page_ranges import Gathering
from resultsgen.books.press.placeholders import BETWEEN_TARGETS, PAGES_LINK
from resultsgen.books.press.unit import COMMA, FIGURE
from resultsgen.files.cache import key_of
from resultsgen.views.lists.sections import gymnast_rows

A = '<a href="{}">{}</a>'


@dataclass(frozen=True)
class Html:
    """Something that a template shows as it is."""

    html: str

    def __html__(self) -> str:
        return self.html


class PageNumbers:
    """The page numbers of a whole book, where each thing is on the page that is known."""

    def __init__(self, known: Mapping[str, int]) -> None:
        self._known = known

    def __call__(self, *targets: str) -> Html:
        """Each page that any of these stands on, once and in order."""
        links = (A.format(f"#{escape(one)}", page) for page, one in pages_of(targets, self._known))
        return Html(COMMA.join(links))


class Rooms:
    """Room for page numbers in a book of these gatherings."""

    def __init__(self, gatherings: Sequence[Gathering]) -> None:
        # An estimate of several pages may well be wrong by one in three.
        self._most = [one.pages + one.pages // 3 for one in gatherings]
        self._figures = len(str(sum(one.pages for one in gatherings)))
        self._stands_in = {
            target: rank
            for rank, one in enumerate(gatherings)
            for section in one.sections
            for _, target in gymnast_rows(section)
        }
        self.asked = False
        """Some template wanted a number."""

    @cached_property
    def key(self) -> str:
        """Tells apart two books that leave room otherwise."""
        stands_in = (f"{target} {rank}" for target, rank in sorted(self._stands_in.items()))
        return key_of(str(self._figures), str(self._most), *stands_in)

    def __call__(self, *targets: str) -> Html:
        """Room for the pages that these may be on."""
        if not targets:
            return Html("")
        self.asked = True
        inside = Counter(self._stands_in.get(target, target) for target in targets)
        count = sum(
            min(many, self._most[rank]) if isinstance(rank, int) else 1
            for rank, many in inside.items()
        )
        address = PAGES_LINK + BETWEEN_TARGETS.join(map(quote, targets))
        return Html(A.format(address, COMMA.join([FIGURE * self._figures] * count)))
