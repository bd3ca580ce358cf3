"""Which rows of the corrections give the reason of a change."""

from __future__ import annotations

from collections.abc import Iterable

from resultsgen.history import MarkChange
from resultsgen.meet import Correction


class Reasons:
    """All that was told of corrections; a row about one mark is the reason of one change."""

    def __init__(self, told: Iterable[Correction]) -> None:
        self._told = tuple(told)
        self.used: set[Correction] = set()

    def of_mark(self, change: MarkChange) -> tuple[Correction, ...]:
        """The rows that lead from the old mark to the new one; else what is told of all of them."""
        key = (change.competition, *change.key)
        own = [one for one in self._told if one[:4] == key and one not in self.used]
        return self._take(_chain(own, *change.texts) or self._of_all(change))

    def _of_all(self, change: MarkChange) -> list[Correction]:
        """Rows about everything that the gymnast, or the competition, has."""
        bib, (_, new) = change.key[0], change.texts
        return [
            one
            for one in self._told
            if not one.apparatus
            and one.competition == change.competition
            and one.bib in ("", bib)
            and one.new in ("", new)
            and (not one.gone or not new)
        ]

    def of_gone(self, competition: str = "", bib: str = "") -> tuple[Correction, ...]:
        """The rows that say of a gymnast, or of a competition, that it is gone on purpose."""
        return self._take(
            one
            for one in self._told
            if one.gone
            and not one.apparatus
            and one.bib == bib
            and (bib or one.competition == competition)
        )

    def of_competition(self, id: str) -> tuple[Correction, ...]:
        """The rows about a competition as a whole."""
        return self._take(
            one for one in self._told if one.competition == id and not one.bib and not one.gone
        )

    def _take(self, rows: Iterable[Correction]) -> tuple[Correction, ...]:
        taken = tuple(rows)
        self.used.update(taken)
        return taken


def _chain(rows: list[Correction], old: str, new: str) -> list[Correction]:
    """The first rows in a row that lead from *old* to *new*; none where there are none."""
    for start, first in enumerate(rows):
        if first.old != old:
            continue
        chain = [first]
        for one in rows[start + 1 :]:
            if chain[-1].new == new:
                break
            if one.old == chain[-1].new:
                chain.append(one)
        if chain[-1].new == new:
            return chain
    return []
