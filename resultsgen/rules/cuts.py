"""Who qualifies: the list is walked in order of place, with at most so many of one body.

The cap counts qualifiers and reserves together, or qualifiers alone; then those who come after the
last place are reserves whatever their body, and those not eligible before it stay not eligible.
A tie that cannot be broken on the last place lets all of them in, and the reserves stay as many.
Somebody whom the cap keeps out has a place and no mark; the reason is told. Reserves who share a
place share the number, R1 R1 R3, and the last number too, unless the jury put them in order
(`by_jury`); an order by name or bib would be an invention. Team-mates of whom the cap has room for
one share it as well, and are one reserve, R1 R1 R2. Where only the order of the list tells equals
apart who qualify, that is said (`by_order`).
Source: this walk, qualifiers and reserves together, gives all 128 qualification lists of one
corpus of official papers, some of which print `R1 R1 R3` for equals and one an order of its own;
and the printed note "maximum of 2 per National Federation" (`tests/published/`). The cap on
qualifiers alone, shares in per cent and so many of each body are common practice of regional and
national meets.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
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
    of the body, for the reason of somebody not eligible. `by_order`: somebody with the same place
    fared otherwise, and only the order of the list decided; `by_jury`: and the jury decided.
    `level`: the keys of those who share the number of a reserve. `by_tie`: more qualify than
    there are places, since this one and others share the last of them.
    """

    key: int
    outcome: Outcome
    number: int = 0
    ahead: tuple[int, ...] = ()
    by_order: bool = False
    by_jury: bool = False
    level: tuple[int, ...] = ()
    by_tie: bool = False


@dataclass(frozen=True)
class Quota:
    """How many a cut lets through: places, reserves, cap per body (0: none), least total (or None).

    `reserves_count`: the cap counts the reserves as well. `of_each`: places and reserves are those
    of each body, which then needs no cap. `order`: the keys of equals as the jury put them; it
    holds where it has all who share a place.
    """

    places: int
    reserves: int = 0
    cap: int = 0
    minimum: int | None = None
    ties_qualify: bool = True
    reserves_count: bool = True
    of_each: bool = False
    order: tuple[int, ...] = ()


def share(placed: int, percent: int, rounding: Rounding) -> int:
    """How many places a share of those placed is; a fraction of a place counts as one, or not.

    >>> share(17, 25, "up"), share(17, 25, "down")
    (5, 4)
    """
    return -(-placed * percent // 100) if rounding == "up" else placed * percent // 100


def verdicts(candidates: Sequence[Candidate], quota: Quota) -> tuple[Verdict, ...]:
    """The verdict for each candidate, who stand in order of place."""
    if quota.of_each:
        return _body_by_body(candidates, quota)
    equals: dict[int, list[Candidate]] = {}
    for candidate in candidates:
        if candidate.place is not None and not candidate.guest:
            equals.setdefault(candidate.place, []).append(candidate)
    decided = frozenset(
        place
        for place, sharing in equals.items()
        if {other.key for other in sharing}.issubset(quota.order)
    )
    walk = _Walk(quota, decided)
    found = {each.key: walk.verdict(each) for each in _as_decided(candidates, equals, walk)}
    told = []
    for candidate in candidates:
        verdict, sharing = found[candidate.key], equals.get(candidate.place or 0, [])
        if len(sharing) > 1:
            verdict = _beside_equals(candidate, sharing, found, by_jury=candidate.place in decided)
        if walk.has_let_in(candidate, verdict):
            verdict = replace(verdict, by_tie=True)
        told.append(verdict)
    return tuple(told)


def _beside_equals(
    candidate: Candidate, equals: list[Candidate], found: dict[int, Verdict], *, by_jury: bool
) -> Verdict:
    """The verdict with what decided between this one and those with the same place."""
    mine = found[candidate.key]
    apart = any(_only_order_decides(candidate, mine, other, found[other.key]) for other in equals)
    others = (found[other.key] for other in equals if other.key != candidate.key)
    level = tuple(other.key for other in others if mine.outcome == other.outcome == "reserve")
    if by_jury:
        return replace(mine, by_jury=apart or bool(level))
    return replace(mine, by_order=apart, level=level)


def _as_decided(
    candidates: Sequence[Candidate], equals: dict[int, list[Candidate]], walk: _Walk
) -> list[Candidate]:
    """The list with the equals of whom the jury decided in that order."""
    order = walk.quota.order
    waiting: dict[int | None, Iterator[Candidate]] = {
        place: iter(sorted(equals[place], key=lambda each: order.index(each.key)))
        for place in walk.decided
    }
    return [
        next(waiting[each.place]) if each.place in waiting and not each.guest else each
        for each in candidates
    ]


def _body_by_body(candidates: Sequence[Candidate], quota: Quota) -> tuple[Verdict, ...]:
    """Every body has the same quota for itself; who is beyond it is told who fills it."""
    own = replace(quota, of_each=False, cap=0)
    found = {
        each.key: Verdict(each.key, _excluded(each, own) or "no body")
        for each in candidates
        if not each.body
    }
    for body in dict.fromkeys(each.body for each in candidates if each.body):
        told = verdicts([each for each in candidates if each.body == body], own)
        taken = tuple(
            verdict.key for verdict in told if verdict.outcome in ("qualified", "reserve")
        )
        found |= {
            verdict.key: replace(verdict, outcome="capped", ahead=taken)
            if verdict.outcome == "beyond"
            else verdict
            for verdict in told
        }
    return tuple(found[each.key] for each in candidates)


@dataclass
class _Walk:
    """How far down the list the walk has come: who is in so far, in order, by body."""

    quota: Quota
    decided: frozenset[int]
    qualified: int = 0
    reserves: int = 0
    last_number: int = 0
    """Of a reserve."""
    last_qualified: int | None = None
    last_reserve: int | None = None
    bodies_of_last: set[str] = field(default_factory=set)
    """Of the reserves on that place."""
    last_taken: int | None = None
    """Places on the list, not numbers of qualifiers."""
    taken: dict[str, list[int]] = field(default_factory=dict)

    def verdict(self, candidate: Candidate) -> Verdict:
        """The verdict for the next of the list."""
        excluded = _excluded(candidate, self.quota)
        if excluded:
            return Verdict(candidate.key, excluded)
        outcome = self._wanted(candidate)
        team_mates = self.taken.setdefault(candidate.body, [])
        if self._is_capped(candidate, outcome):
            if self._shares(candidate) and candidate.body in self.bodies_of_last:
                return Verdict(candidate.key, "reserve", self.last_number)
            return Verdict(candidate.key, "capped", ahead=tuple(team_mates))
        if outcome == "beyond":
            return Verdict(candidate.key, outcome)
        if outcome == "qualified" or self.quota.reserves_count:
            team_mates.append(candidate.key)
        self.last_taken = candidate.place
        return Verdict(candidate.key, outcome, self._counted(candidate, outcome))

    def has_let_in(self, candidate: Candidate, verdict: Verdict) -> bool:
        """Whether, once the walk is over, a tie for the last place let in this one and others."""
        more = self.qualified > self.quota.places
        return more and verdict.outcome == "qualified" and candidate.place == self.last_qualified

    def _is_capped(self, candidate: Candidate, outcome: Outcome) -> bool:
        """Whether the cap is the reason; beside the last one taken it is, further down no more.

        Where it counts the qualifiers alone, the last one taken is the last qualifier.
        """
        quota = self.quota
        if not quota.cap or not candidate.body or len(self.taken[candidate.body]) < quota.cap:
            return False
        if quota.reserves_count:
            return outcome != "beyond" or candidate.place == self.last_taken
        return outcome == "qualified" or candidate.place == self.last_qualified

    def _counted(self, candidate: Candidate, outcome: Outcome) -> int:
        """The number of the next qualifier or reserve."""
        if outcome == "reserve":
            self.reserves += 1
            if not self._shares(candidate):
                self.last_number = self.reserves
                self.bodies_of_last = set()
            self.last_reserve = candidate.place
            self.bodies_of_last.add(candidate.body)
            return self.last_number
        self.qualified, self.last_qualified = self.qualified + 1, candidate.place
        return self.qualified

    def _wanted(self, candidate: Candidate) -> Outcome:
        """What the next of the list would be if there were no cap."""
        tied_with_last = self.quota.ties_qualify and candidate.place == self.last_qualified
        if self.qualified < self.quota.places or tied_with_last:
            return "qualified"
        stands_by = self.reserves < self.quota.reserves or self._shares(candidate)
        return "reserve" if stands_by else "beyond"

    def _shares(self, candidate: Candidate) -> bool:
        """Whether the next is level with the last reserve, and nobody decided between them."""
        return candidate.place == self.last_reserve and candidate.place not in self.decided


def _only_order_decides(
    candidate: Candidate, mine: Verdict, other: Candidate, theirs: Verdict
) -> bool:
    """Whether two who share a place fared otherwise for no reason but the order of the list."""
    outcomes = {mine.outcome, theirs.outcome}
    if "capped" in outcomes:
        return candidate.body == other.body and bool(outcomes & {"qualified", "reserve"})
    return len(outcomes) > 1 and outcomes <= {"qualified", "reserve", "beyond"}


def _excluded(candidate: Candidate, quota: Quota) -> Outcome | None:
    """Why somebody is not considered at all; None where there is no such reason."""
    if candidate.guest:
        return "guest"
    if candidate.place is None or candidate.total is None:
        return "unranked"
    if quota.minimum is not None and candidate.total < quota.minimum:
        return "below minimum"
    return None
