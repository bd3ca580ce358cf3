"""The best marks of a day, and those that beat or equal the best so far."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from resultsgen.meet.folder import BestSoFar
from resultsgen.scoring.results import CompetitionResults, Results


@dataclass(frozen=True)
class BestOfDay:
    """The highest mark on an apparatus in all competitions of a discipline on one day."""

    day: dt.date | None
    discipline: str
    keys: tuple[int, ...]
    """All who made it, guests included."""
    mark: int
    so_far: bool = False
    """Marks on the apparatus are to come that day."""


@dataclass(frozen=True)
class Best:
    """A mark (or total, with no apparatus) that beats or equals the best so far."""

    record: Literal["season", "personal", "meet", "series", "all meets"]
    key: int
    apparatus: str
    mark: int
    best_so_far: int
    note: str = ""
    """What the meet's own table says beside it."""

    @property
    def equalled(self) -> bool:
        """Level with the best, not above."""
        return self.mark == self.best_so_far


def best_marks(made: Sequence[MarkMade]) -> tuple[tuple[int, ...], int, str]:
    """All who made the highest of these marks, the mark, and where it was made first."""
    best = max(mark for _, mark, _ in made)
    first = [(key, id) for key, mark, id in made if mark == best]
    return tuple(sorted({key for key, _ in first})), best, first[0][1]


def beaten(row: BestSoFar, made: Sequence[MarkMade]) -> Iterator[tuple[Best, str]]:
    """What beats or equals one row of the table of bests, of the marks that it is about.

    Of a record of the meet only the highest mark counts, and all who made it; of a gymnast, entered
    in whatever divisions, the highest of hers.
    """
    keys, mark, where = best_marks(made) if made else ((), -1, "")
    if mark >= row.mark:
        for key in (min(row.gymnasts),) if row.gymnasts else keys:
            yield Best(row.record, key, row.apparatus, mark, row.mark, row.note), where


MarkMade = tuple[int, int, str]
"""A mark or total: whose, how much, and the id of the competition."""


def marks_made(competitions: Iterable[CompetitionResults]) -> dict[str, list[MarkMade]]:
    """All marks and totals by apparatus, the totals by an empty one.

    A total of several days, or with marks carried into it, is no best of one competition.
    """
    found: dict[str, list[MarkMade]] = {}
    for one in (one for one in competitions if one.competition.has_own_marks):
        totals = one.all_around.lines if one.all_around and not one.all_around.terms else ()
        rows = [("", line.key, line.total) for line in totals]
        rows += [(routine.apparatus, who.key, routine.mark) for who, routine in one.routines]
        for code, key, mark in rows:
            if mark is not None:
                found.setdefault(code, []).append((key, mark, one.competition.id))
    return found


def counts_for(row: BestSoFar, key: int, results: Results) -> bool:
    """Whether marks are compared with a record of everybody, which a guest breaks not."""
    who = results.gymnasts[key]
    own_division = not row.division or row.division.casefold() == who.division.casefold()
    return not who.guest and own_division and row.discipline == who.discipline
