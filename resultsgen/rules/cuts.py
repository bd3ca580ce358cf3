"""Who goes through: the list is walked in order of place, with at most so many of one body.

The cap counts qualifiers and reserves together. A tie that cannot be broken on the last place
lets all of them in, and the reserves stay as many. Somebody passed over keeps the place and gets
no mark; the reason is told. Reserves who share a place stand in the order of the list, as do
team-mates who share one where the cap has room for only one of them; nothing decides between
them but that order (`by_order`), so that a jury can. Source: this walk gives all 128
qualification lists of one corpus of official papers, and the printed note "maximum of 2 per
National Federation" (`tests/published/`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby, permutations
from typing import Literal

Outcome = Literal["qualified", "reserve", "capped", "below minimum", "beyond", "guest", "unranked"]


@dataclass(frozen=True)
class Candidate:
    """One row of a ranked list: its key, place (None: unranked), total in thousandths and body."""

    key: int
    place: int | None
    total: int | None
    body: str
    guest: bool = False


@dataclass(frozen=True)
class Verdict:
    """What a cut means for one candidate.

    `number` counts the qualifiers or the reserves from 1. `ahead` are the keys of those of the
    same body who fill the cap, for the reason of somebody passed over. `by_order`: somebody with
    the same place fared otherwise, and only the order of the list decided.
    """

    key: int
    outcome: Outcome
    number: int = 0
    ahead: tuple[int, ...] = ()
    by_order: bool = False


@dataclass(frozen=True)
class Line:
    """A qualification line: places, reserves, cap per body (0: none), least total (None: none)."""

    places: int
    reserves: int = 0
    cap: int = 0
    minimum: int | None = None
    ties_go_through: bool = True


def verdicts(candidates: Sequence[Candidate], line: Line) -> tuple[Verdict, ...]:
    """The verdict for each candidate, who stand in order of place."""
    walk = _Walk(line)
    told = [(one, walk.verdict(one)) for one in candidates]
    placed = (pair for pair in told if pair[0].place is not None)
    even = {
        mine.key
        for _, sharing in groupby(placed, key=lambda pair: pair[0].place)
        for (one, mine), (other, theirs) in permutations(sharing, 2)
        if _only_order_decides(one, mine, other, theirs)
    }
    return tuple(replace(verdict, by_order=verdict.key in even) for _, verdict in told)


@dataclass
class _Walk:
    """How far down the list the walk has come: who is in so far, in order, by body."""

    line: Line
    qualified: int = 0
    reserves: int = 0
    last_qualified: int | None = None
    last_taken: int | None = None
    """Places on the list, not numbers of qualifiers."""
    taken: dict[str, list[int]] = field(default_factory=dict)

    def verdict(self, one: Candidate) -> Verdict:
        """The verdict for the next of the list."""
        excluded = _excluded(one, self.line)
        if excluded:
            return Verdict(one.key, excluded)
        outcome = self._wanted(one)
        team_mates = self.taken.setdefault(one.body, [])
        cap_is_full = self.line.cap and one.body and len(team_mates) >= self.line.cap
        if cap_is_full and (outcome != "beyond" or one.place == self.last_taken):
            return Verdict(one.key, "capped", ahead=tuple(team_mates))
        if outcome == "beyond":
            return Verdict(one.key, outcome)
        team_mates.append(one.key)
        self.last_taken = one.place
        return Verdict(one.key, outcome, self._counted(one, outcome))

    def _counted(self, one: Candidate, outcome: Outcome) -> int:
        """The number of the next qualifier or reserve."""
        if outcome == "reserve":
            self.reserves += 1
            return self.reserves
        self.qualified, self.last_qualified = self.qualified + 1, one.place
        return self.qualified

    def _wanted(self, one: Candidate) -> Outcome:
        """What the next of the list would be if there were no cap."""
        tied_with_last = self.line.ties_go_through and one.place == self.last_qualified
        if self.qualified < self.line.places or tied_with_last:
            return "qualified"
        return "reserve" if self.reserves < self.line.reserves else "beyond"


def _only_order_decides(one: Candidate, mine: Verdict, other: Candidate, theirs: Verdict) -> bool:
    """Whether two who share a place fared otherwise for no reason but the order of the list."""
    outcomes = {mine.outcome, theirs.outcome}
    if outcomes == {"reserve"}:
        return True
    if "capped" in outcomes:
        return one.body == other.body and bool(outcomes & {"qualified", "reserve"})
    return len(outcomes) > 1 and outcomes <= {"qualified", "reserve", "beyond"}


def _excluded(one: Candidate, line: Line) -> Outcome | None:
    """Why somebody is not considered at all; None where there is no such reason."""
    if one.guest:
        return "guest"
    if one.place is None or one.total is None:
        return "unranked"
    if line.minimum is not None and one.total < line.minimum:
        return "below minimum"
    return None
