"""Lists that are decided, and what a fact worth telling is made of."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from resultsgen.live import notable as rule
from resultsgen.live.leads import Lead, Reign
from resultsgen.live.standings import Cluster, Standing
from resultsgen.rules.ties import Tie
from resultsgen.scoring.results import CompetitionResults, Line, Ranking, Results


@dataclass(frozen=True)
class LeadStory:
    """Who led after each rotation of a session, and how often the lead changed."""

    session: str
    leads: tuple[Lead, ...]
    changes: tuple[Lead, ...]
    longest: tuple[Reign, ...]
    always_level: bool
    """After every rotation all had done as many apparatus; the others have no one leader."""


@dataclass(frozen=True)
class BestOfDay:
    """The highest mark on an apparatus in all competitions of a discipline on one day."""

    day: dt.date | None
    discipline: str
    best: rule.BestMark


Told = (
    rule.Win
    | Cluster
    | Tie
    | BestOfDay
    | rule.AllApparatus
    | rule.Sweep
    | rule.Climb
    | LeadStory
    | rule.Best
)


@dataclass(frozen=True)
class Notable:
    """One fact; the list is that of an apparatus, else the all-around or the teams."""

    kind: str
    competition: str
    list: str
    """BB, all-around, team; empty: of the whole competition."""
    fact: Told
    note: str = ""
    """What the meet's own table says beside a best."""


@dataclass(frozen=True)
class Decided:
    """A list whose marks are all in, and its places as standings."""

    one: CompetitionResults
    ranking: Ranking
    lines: tuple[Standing, ...]

    @property
    def name(self) -> str:
        """BB, all-around, team."""
        return self.ranking.id

    @property
    def won(self) -> bool:
        """Its first has won; in a qualification, where a cut leads on, nobody has."""
        return self.one.competition.phase == "final" or not self.ranking.cuts

    def tell(self, kind: str, fact: Told) -> Notable:
        """A fact of this list."""
        return Notable(kind, self.one.competition.id, self.name, fact)


@lru_cache(maxsize=1)
def decided(results: Results) -> tuple[Decided, ...]:
    """Every list that is complete and in which somebody is placed."""
    return tuple(
        Decided(one, ranking, lines)
        for one in results.competitions
        for ranking in one.rankings
        if ranking.to_come == 0 and (lines := standings_of(ranking.lines))
    )


def standings_of(lines: Sequence[Line]) -> tuple[Standing, ...]:
    """The places of a list with the margins between them.

    One vault, placed below those with two, is in no margin with an average.
    """
    placed = [
        (line.key, line.place, line.total)
        for line in lines
        if line.place is not None and line.total is not None and not line.below
    ]
    first_of = {place: total for _, place, total in reversed(placed)}
    order = sorted(first_of)
    better, worse = dict(pairwise(order[::-1])), dict(pairwise(order))

    def margin(total: int, place: int | None) -> int | None:
        return None if place is None else abs(first_of[place] - total)

    return tuple(
        Standing(
            key=key,
            done=0,
            place=place,
            total=total,
            behind_first=first_of[1] - total,
            behind_next=margin(total, better.get(place)),
            ahead_of_next=margin(total, worse.get(place)),
        )
        for key, place, total in placed
    )
