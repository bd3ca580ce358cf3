"""What an honours board shows: a line for each title."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby, takewhile

from resultsgen.views.site.addresses import Link


@dataclass(frozen=True)
class BoardLine:
    """One title: whose it is, or who leads, and with what; or when it is decided."""

    title: Link
    whole: bool
    """It is the all-around."""
    winners: tuple[Link, ...]
    total: str
    open: str
    """What is to be said of it while it is not decided."""
    told: str
    """Who won it, or leads, and by how much, in a sentence."""
    key: int | None = None
    """The row of the list to which the title leads: that of who is first."""


@dataclass(frozen=True)
class BoardColumn:
    """The titles of those who compete with each other."""

    heading: str
    lines: tuple[BoardLine, ...]

    @property
    def groups(self) -> tuple[tuple[BoardLine, ...], ...]:
        """Each line by itself; those that follow each other and wait for the same, together."""

        def waits(numbered: tuple[int, BoardLine]) -> str | int:
            number, line = numbered
            return line.open if line.open and not line.winners else number

        each = groupby(enumerate(self.lines), waits)
        return tuple(tuple(line for _, line in held) for _, held in each)


def heading(titles: list[str]) -> str:
    """What titles have in common in whole words at their beginning; one alone is itself.

    >>> heading(["Women senior, team final", "Women senior, all-around final"])
    'Women senior'
    """
    if len(titles) == 1:
        return titles[0]
    each = zip(*(title.split() for title in titles), strict=False)
    words = (them[0] for them in takewhile(lambda them: len(set(them)) == 1, each))
    return " ".join(words).rstrip(" ,:;·–-") or ", ".join(titles)
