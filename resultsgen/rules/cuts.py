"""Who goes through: the list is walked in order of place, with at most so many of one body.

The cap counts qualifiers and reserves together, or qualifiers alone; then those who come after the
last place are reserves whatever their body, and those passed over before it stay passed over. A
tie that cannot be broken on the last place lets all of them in, and the reserves stay as many.
Somebody passed over keeps the place and gets no mark; the reason is told. Reserves who share a
place stand in the order of the list, as do team-mates who share one where the cap has room for
only one of them; nothing decides between them but that order (`by_order`), so that a jury can.
Source: this walk, qualifiers and reserves together, gives all 128 qualification lists of one
corpus of official papers, and the printed note "maximum of 2 per National Federation"
(`tests/published/`). The cap on qualifiers alone, shares in per cent and so many of each body are
common practice of regional and national meets.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby, permutations
from typing import Literal

Outcome = Literal[
    "qualified", "reserve", "capped", "below minimum", "beyond", "no body", "guest", "unranked"
]

Rounding = Literal["up", "down"]


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

    `number` counts the qualifiers or the reserves from 1, where each body has places of its own
    within the body. `ahead` are the keys of those of the same body who fill the cap, or the places
    of the body, for the reason of somebody passed over. `by_order`: somebody with the same place
    fared otherwise, and only the order of the list decided. `by_tie`: more go through than there
    are places, since this one and others share the last of them.
    """

    key: int
    outcome: Outcome
    number: int = 0
    ahead: tuple[int, ...] = ()
    by_order: bool = False
    by_tie: bool = False


@dataclass(frozen=True)
class Line:
    """A qualification line: places, reserves, cap per body (0: none), least total (None: none).

    `reserves_count`: the cap counts the reserves as well. `of_each`: places and reserves are those
    of each body, which then needs no cap.
    """

    places: int
    reserves: int = 0
    cap: int = 0
    minimum: int | None = None
    ties_go_through: bool = True
    reserves_count: bool = True
    of_each: bool = False


def share(placed: int, percent: int, rounding: Rounding) -> int:
    """How many places a share of those placed is; a fraction of a place counts as one, or not.

    >>> share(17, 25, "up"), share(17, 25, "down")
    (5, 4)
    """
    return -(-placed * percent // 100) if rounding == "up" else placed * percent // 100


def verdicts(candidates: Sequence[Candidate], line: Line) -> tuple[Verdict, ...]:
    """The verdict for each candidate, who stand in order of place."""
    if line.of_each:
        return _body_by_body(candidates, line)
    walk = _Walk(line)
    told = [(one, walk.verdict(one)) for one in candidates]
    placed = (pair for pair in told if pair[0].place is not None)
    even = {
        mine.key
        for _, sharing in groupby(placed, key=lambda pair: pair[0].place)
        for (one, mine), (other, theirs) in permutations(sharing, 2)
        if _only_order_decides(one, mine, other, theirs)
    }
    return tuple(
        replace(verdict, by_order=verdict.key in even, by_tie=walk.has_let_in(one, verdict))
        for one, verdict in told
    )


def _body_by_body(candidates: Sequence[Candidate], line: Line) -> tuple[Verdict, ...]:
    """Every body has the same line for itself; who is beyond it is told who fills it."""
    own = replace(line, of_each=False, cap=0)
    found = {one.key: _without_body(one, own) for one in candidates if not one.body}
    for body in dict.fromkeys(one.body for one in candidates if one.body):
        told = verdicts([one for one in candidates if one.body == body], own)
        taken = tuple(one.key for one in told if one.outcome in ("qualified", "reserve"))
        found |= {
            one.key: replace(one, outcome="capped", ahead=taken) if one.outcome == "beyond" else one
            for one in told
        }
    return tuple(found[one.key] for one in candidates)


def _without_body(one: Candidate, line: Line) -> Verdict:
    """Where each body has its places, there is none for somebody of no body."""
    return Verdict(one.key, _excluded(one, line) or "no body")


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
        if self._is_capped(one, outcome):
            return Verdict(one.key, "capped", ahead=tuple(team_mates))
        if outcome == "beyond":
            return Verdict(one.key, outcome)
        if outcome == "qualified" or self.line.reserves_count:
            team_mates.append(one.key)
        self.last_taken = one.place
        return Verdict(one.key, outcome, self._counted(one, outcome))

    def has_let_in(self, one: Candidate, verdict: Verdict) -> bool:
        """Whether, once the walk is over, a tie for the last place let in this one and others."""
        more = self.qualified > self.line.places
        return more and verdict.outcome == "qualified" and one.place == self.last_qualified

    def _is_capped(self, one: Candidate, outcome: Outcome) -> bool:
        """Whether the cap is the reason; beside the last one taken it is, further down no more.

        Where it counts the qualifiers alone, the last one taken is the last qualifier.
        """
        line = self.line
        if not line.cap or not one.body or len(self.taken[one.body]) < line.cap:
            return False
        if line.reserves_count:
            return outcome != "beyond" or one.place == self.last_taken
        return outcome == "qualified" or one.place == self.last_qualified

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
