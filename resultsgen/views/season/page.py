"""What a page of a season shows: texts and tables under headings, and sites that it leads to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from resultsgen.views.lists.charts import OrderChart
from resultsgen.views.lists.table import Cell, Table
from resultsgen.views.site.addresses import Link
from resultsgen.views.site.honours import BoardColumn


class MeetSite(NamedTuple):
    """The own site of a meet: below this one, or elsewhere."""

    root: str
    """Where it begins: meets/spring/, or a whole address."""
    files: frozenset[str]
    """Its files; none are known of one elsewhere."""

    @property
    def elsewhere(self) -> bool:
        """It is not part of what is published here."""
        return not self.files


@dataclass(frozen=True)
class SeasonText:
    """Sentences and a table under a heading."""

    title: str
    table: Table | None = None
    sentences: tuple[str, ...] = ()
    chart: OrderChart | None = None
    more: Link | None = None
    sorts: bool = False
    kind: str = ""
    """How it is set: matrix, where marks stand by apparatus."""


@dataclass(frozen=True)
class SeriesFirst:
    """The first of a series, for the first page of the season."""

    title: str
    target: str
    after: str
    """How many rounds were held."""
    rows: tuple[tuple[str, Cell, str], ...]
    """The place, whose it is, and the sum."""


@dataclass(frozen=True)
class SeasonView:
    """One page of a season: what it is about, and what it tells."""

    title: str
    target: str
    texts: tuple[SeasonText, ...]
    over: tuple[Link, ...] = ()
    facts: tuple[str, ...] = ()
    links: tuple[Link, ...] = ()
    """Pages that belong together, this one among them."""
    whole: Link | None = None
    """Where all of it is told."""
    board: tuple[BoardColumn, ...] = ()
    """Who won."""
    firsts: tuple[SeriesFirst, ...] = ()
    """The first of several series."""
