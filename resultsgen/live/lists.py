"""One list of a running competition: how it stands, and what is decided of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from resultsgen.live import decided
from resultsgen.live.decided import Bound, Chance, Outlook, Prospect
from resultsgen.live.goals import Goal
from resultsgen.live.standings import LiveSession, Standing, Standings, by_sum
from resultsgen.scoring.ranking import ListKind

Chances = Mapping[int, Chance]


@dataclass(frozen=True, eq=False)
class LiveList:
    """One list as it stands, and what is decided of it, worked out when it is first asked for."""

    kind: ListKind
    apparatus: str
    """Empty for all-around and team."""
    parts: int
    """How many a whole total has."""
    now: Standings
    so_far: tuple[Standing, ...]
    """By the sum of what there is, however many apparatus are done."""
    unfinished: frozenset[int]
    """Who can take a place and has something to come."""
    to_go: tuple[int, ...]
    """On one apparatus: who is not over with it, in order of start."""
    by_session: Callable[[], tuple[LiveSession, ...]]
    outlook: Outlook | None
    """None: no bound is known, and nothing is decided."""
    highest: int | None
    """The highest mark of the rules, if they have one."""
    goals: dict[str, Goal]
    """The cuts, by name."""

    @property
    def bound(self) -> Bound | None:
        """What prospects and cuts rest on."""
        return self.outlook.bound if self.outlook else None

    @cached_property
    def by_the_rules(self) -> LiveList:
        """The same list where no mark is bounded but by the rules."""
        if self.outlook is None or self.outlook.bound.basis == decided.BY_RULES:
            return self
        free = Bound(self.highest or decided.NEVER_MADE, decided.BY_RULES)
        return replace(self, outlook=replace(self.outlook, bound=free))

    @cached_property
    def sessions(self) -> tuple[LiveSession, ...]:
        """Empty for a list of one apparatus."""
        return self.by_session()

    @cached_property
    def prospects(self) -> tuple[Prospect, ...]:
        return decided.prospects(self.outlook) if self.outlook else ()

    @cached_property
    def cuts(self) -> dict[str, dict[int, Chance]]:
        """What each cut can still mean, by its name and for each key."""
        these = self.outlook
        return (
            {name: decided.chances(these, one) for name, one in self.goals.items()} if these else {}
        )

    @cached_property
    def standing_by(self) -> dict[str, frozenset[int]]:
        """Of each cut, by its name, who is out and may yet be called up."""
        these, cuts = self.outlook, self.cuts
        return {
            name: decided.standing_by(these, self.goals[name], found)
            for name, found in cuts.items()
            if these
        }

    def rivals(self, cut: str, key: int) -> set[int]:
        """Of the same body, those who can keep somebody out of a cut by its cap."""
        these = self.outlook
        return decided.rivals(these, self.goals[cut], key) if these and cut in self.goals else set()

    @property
    def id(self) -> str:
        """What tells it from the others of its competition, as the list that it is of."""
        return self.apparatus or self.kind

    @property
    def first(self) -> tuple[Standing, ...]:
        """Who leads of those who are over with all of it; several where they share the place."""
        whole = (line for line in self.now.leading if line.done == self.parts)
        return tuple(line for line in whole if line.place == 1)

    @property
    def passed_already(self) -> tuple[Standing, ...]:
        """Those who have done less than the leading and have as much as any of them, or more.

        All that there is of both is compared: of teams, also what is no whole apparatus yet.
        """
        compared = {line.key for line in self.now.leading}
        if not compared:
            return self.so_far
        most = max(line.total for line in self.so_far if line.key in compared)
        others = (line for line in self.so_far if line.key not in compared)
        return tuple(line for line in others if line.total >= most)

    @property
    def in_front(self) -> tuple[Standing, ...]:
        """Those who have done most; before them whoever already has as much with less done."""
        passed = {line.key for line in self.passed_already}
        if not passed:
            return self.now.leading
        told = passed.union(line.key for line in self.now.leading)
        return by_sum((one.key, one.done, one.total) for one in self.so_far if one.key in told)
