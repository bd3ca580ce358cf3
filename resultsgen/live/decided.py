"""What is decided and what is open: the best and the worst place that anybody can still take.

It rests on an upper bound of a mark, which is always told with it: the highest mark of the rules,
a bound that the meet gives, or the best mark so far plus an allowance. Somebody with apparatus to
come may yet not finish, and then takes no place where the rules say so; a place counts as lost
only to those who cannot lose their total any more. Ties that are not settled count against what
is claimed. Corrections of marks that are in are not foreseen. Source: arithmetic.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from resultsgen.live.goals import Goal, reached
from resultsgen.live.old_tables import placings, ties
from resultsgen.live.progress import Progress, plain
from resultsgen.rules.criteria import Criterion

Basis = Literal["highest mark of the rules", "given by the meet", "best mark and an allowance"]


@dataclass(frozen=True)
class Bound:
    """The mark that nobody is taken to surpass, and what it rests on."""

    mark: int
    basis: Basis
    best: int | None = None
    allowance: int | None = None


def bound(
    highest: int | None, given: int | None, best: int | None, allowance: int | None
) -> Bound | None:
    """The bound of the meet, given or from the best mark so far; of the rules if that is lower."""
    own = None
    if given is not None:
        own = Bound(given, "given by the meet")
    elif best is not None and allowance is not None:
        own = Bound(best + allowance, "best mark and an allowance", best, allowance)
    if highest is not None and (own is None or highest <= own.mark):
        return Bound(highest, "highest mark of the rules")
    return own


@dataclass(frozen=True)
class Range:
    """The totals that somebody can end with; *sure*: at least the lower one cannot be lost."""

    key: int
    low: int
    high: int
    complete: bool
    sure: bool


@dataclass(frozen=True)
class Prospect:
    """The best and worst place somebody can end on; the worst holds if all marks are made."""

    key: int
    best: int
    worst: int
    complete: bool
    """No mark is to come."""

    @property
    def has_won(self) -> bool:
        """First, alone or shared, whatever the others do."""
        return self.complete and self.worst == 1

    def can_reach(self, places: int) -> bool:
        """Whether a place so good is still possible."""
        return self.best <= places

    def is_sure_of(self, places: int) -> bool:
        """Whether a place so good is certain."""
        return self.complete and self.worst <= places


@dataclass(frozen=True)
class Chance:
    """What a cut can still mean for somebody."""

    key: int
    verdict: Literal["in", "open", "out"]


def ranges(progress: Progress, bound: Bound) -> tuple[Range, ...]:
    """What each of those who can take a place can end with."""
    by_what_there_is = progress.incomplete == "placed by what there is"
    found = []
    for key in progress.in_it:
        so_far = progress.sums.get(key, -int(progress.penalty[key]))
        room = progress.room(key)
        found.append(
            Range(
                key,
                low=progress.total(so_far + room.held),
                high=progress.total(so_far + room.kept + room.marks * bound.mark),
                complete=not room.marks,
                sure=not room.marks
                or (by_what_there_is and (key in progress.sums or room.held > 0)),
            )
        )
    return tuple(found)


@dataclass(frozen=True)
class Field:
    """The ranges of everybody, and the places among those who are complete."""

    ranges: dict[int, Range]
    places: dict[int, int]
    loose: frozenset[int]
    """Keys in a tie that is not settled, or that somebody with apparatus to come may unsettle."""
    progress: Progress
    steps: tuple[Criterion, ...]
    joined: bool

    def surely_ahead(self, one: Range) -> list[int]:
        """Those who stay ahead even of the most that somebody can still make."""
        return [other.key for other in self._others(one) if other.sure and self._beats(other, one)]

    def possibly_ahead(self, one: Range) -> list[int]:
        """Those who can still end ahead of the least that somebody then has, or tie with it."""
        return [other.key for other in self._others(one) if self._can_beat(other, one)]

    def level(self, one: Range) -> list[int]:
        """Those who share the place for good, or can at most share it."""
        return [other.key for other in self._others(one) if self._can_share(other, one)]

    def _others(self, one: Range) -> list[Range]:
        return [other for other in self.ranges.values() if other.key != one.key]

    def _beats(self, other: Range, one: Range) -> bool:
        if self._settled(one, other):
            return self.places[other.key] < self.places[one.key]
        equal = other.low == one.high
        return other.low > one.high or (equal and self._tie(other, one, most=one) == "won")

    def _can_beat(self, other: Range, one: Range) -> bool:
        if self._settled(one, other):
            return self.places[other.key] < self.places[one.key]
        if other.high > one.low or not one.complete:
            return other.high >= one.low
        return other.high == one.low and self._tie(other, one, most=other) in ("won", "open")

    def _can_share(self, other: Range, one: Range) -> bool:
        if self._settled(one, other):
            return self.places[other.key] == self.places[one.key]
        equal = one.complete and other.high == one.low
        return equal and self._tie(other, one, most=other) == "shared"

    def _settled(self, one: Range, other: Range) -> bool:
        """Nothing can change any more about which of the two is ahead."""
        tied = one.low == other.low and one.key in self.loose
        return one.complete and other.complete and not tied

    def _tie(
        self, one: Range, other: Range, most: Range
    ) -> Literal["won", "shared", "lost", "open"]:
        """What the rules make of an equal total, if one of the two makes the *most*.

        It is open where more than the marks is asked for, or where other marks give the same. The
        other has nothing to come, or adds nothing to the total: no criterion falls by that.
        """
        if not self.steps:
            return "shared"
        known = self.progress.averaging is None and not self.progress.rooms
        if self.joined or not known or (one.complete and other.complete):
            return "open"
        filled = self.progress
        if not most.complete:
            mark = (most.high - most.low) // len(filled.to_come(most.key))
            filled = filled.filled([most.key], mark)
        sheet = filled.sheet([one.key, other.key])
        places = placings(sheet, self.steps)
        if any(tie.unsettled for tie in ties(sheet, places, self.steps)):
            return "open"
        first, second = plain(places)[one.key], plain(places)[other.key]
        return "won" if first < second else "lost" if first > second else "shared"


def field(
    ranges: tuple[Range, ...],
    progress: Progress,
    steps: tuple[Criterion, ...],
    *,
    joined: bool = True,
) -> Field:
    """The ranges, with the places of the complete as the rules of the list give them.

    *joined*: somebody may come level without the values that settle a tie, which then is none.
    """
    complete = [one.key for one in ranges if one.complete and one.key in progress.totals]
    sheet = progress.sheet(complete)
    places = placings(sheet, steps)
    coming = [one for one in ranges if joined and not one.complete]
    loose = {
        complete[row]
        for tie in ties(sheet, places, steps)
        if tie.unsettled or any(one.low <= tie.total <= one.high for one in coming)
        for row in tie.keys
    }
    by_key = {one.key: one for one in ranges if not one.complete or one.key in complete}
    return Field(by_key, plain(places), frozenset(loose), progress, steps, joined)


def prospects(these: Field) -> tuple[Prospect, ...]:
    """The best and the worst place of everybody."""
    return tuple(
        Prospect(
            one.key,
            1 + len(these.surely_ahead(one)),
            1 + len(these.possibly_ahead(one)),
            one.complete,
        )
        for one in these.ranges.values()
    )


def chances(these: Field, goal: Goal) -> tuple[Chance, ...]:
    """Who is in, who is out, and for whom a cut is still open."""
    return tuple(Chance(one.key, _verdict(these, one, goal)) for one in these.ranges.values())


def _verdict(these: Field, one: Range, goal: Goal) -> Literal["in", "open", "out"]:
    if not reached(goal, one.key, these.surely_ahead(one), (), one.high):
        return "out"
    level = these.level(one)
    if one.complete and reached(goal, one.key, these.possibly_ahead(one), level, one.low):
        return "in"
    return "open"
