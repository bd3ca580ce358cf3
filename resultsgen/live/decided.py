"""What is decided and what is open: the best and the worst place that anybody can still take.

It rests on an upper bound of a mark, which is always told with it: the highest mark of the rules,
a bound that the meet gives, or the best mark so far plus an allowance. Somebody with apparatus to
come may yet not finish, and then takes no place where the rules say so; a place counts as lost
only to those who cannot lose their total any more. Ties that are not settled count against what
is claimed. Corrections of marks that are in are not foreseen. Source: arithmetic.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from operator import attrgetter
from typing import Literal

from resultsgen.live.goals import Goal, reached
from resultsgen.live.progress import LiveLine, Progress
from resultsgen.rules.criteria import Criterion
from resultsgen.rules.placings import placings
from resultsgen.rules.ties import ties

Basis = Literal["highest mark of the rules", "given by the meet", "best mark and an allowance"]
BY_RULES: Basis = "highest mark of the rules"
NEVER_MADE = 10**9


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
        return Bound(highest, BY_RULES)
    return own


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


Chance = Literal["in", "open", "out"]
"""What a cut can still mean for somebody."""


@dataclass(frozen=True)
class Range:
    """The totals that somebody can end with; *sure*: at least the lower one cannot be lost."""

    key: int
    low: int
    high: int
    complete: bool
    sure: bool


_low, _high = attrgetter("low"), attrgetter("high")


Settled = Literal["won", "shared", "lost", "open"]


@dataclass(frozen=True)
class Outlook:
    """What everybody can end with in a list, and so who can end ahead of whom.

    *joined*: somebody may come level without the values that settle a tie, which then is none.
    """

    progress: Progress
    bound: Bound
    steps: tuple[Criterion, ...]
    joined: bool = True

    @cached_property
    def ranges(self) -> tuple[Range, ...]:
        """What each of those can end with who can still take a place."""
        found, total = [], self.progress.total
        placed_already = self.progress.incomplete == "placed by what there is"
        for line in self.progress.in_it.values():
            coming, so_far = line.coming, line.sum
            has_some, complete = line.has_mark or coming.held > 0, not coming.marks
            low = total(so_far + coming.held)
            high = total(so_far + coming.kept + coming.marks * self.bound.mark)
            if has_some or not complete:
                sure = complete or (placed_already and has_some)
                found.append(Range(line.key, low, high, complete, sure))
        return tuple(found)

    @cached_property
    def places(self) -> dict[int, int]:
        """The places among those who are complete."""
        lines = [self.progress.lines[each.key] for each in self.ranges if each.complete]
        places = placings(self.progress.compared(lines), self.steps)
        return {line.key: place or 0 for line, place in zip(lines, places, strict=True)}

    @cached_property
    def loose(self) -> frozenset[int]:
        """Keys in a tie that is not settled, or that somebody still to go may unsettle."""
        lines = self.progress.compared(self.progress.lines[key] for key in self.places)
        coming = [each for each in self.ranges if self.joined and not each.complete]
        return frozenset(
            key
            for tie in ties(lines, [*self.places.values()], self.steps, [*self.places])
            if tie.unsettled or any(each.low <= tie.total <= each.high for each in coming)
            for key in tie.keys
        )

    @cached_property
    def _by_low(self) -> list[Range]:
        """Those who are sure of something, by the least of it."""
        return sorted((each for each in self.ranges if each.sure), key=_low)

    @cached_property
    def _by_high(self) -> list[Range]:
        """Everybody by the most that each can make."""
        return sorted(self.ranges, key=_high)

    def surely_ahead(self, asked: Range) -> list[int]:
        """Those who stay ahead even of the most that somebody can still make."""
        as_much, more = _others(self._by_low, _low, asked.high, asked)
        won = [other for other in as_much if self._between(other, asked, most=asked) == "won"]
        return [other.key for other in (*more, *won)]

    def possibly_ahead(self, asked: Range) -> list[int]:
        """Those who can still end ahead of the least that somebody then has, or tie with it."""
        as_much, more = _others(self._by_high, _high, asked.low, asked)
        if asked.complete:
            ways = ("won", "open")
            as_much = [each for each in as_much if self._between(each, asked, most=each) in ways]
        return [other.key for other in (*more, *as_much)]

    def level(self, asked: Range) -> list[int]:
        """Those who share the place for good with somebody complete, or can at most share it."""
        as_much, _ = _others(self._by_high, _high, asked.low, asked)
        return [each.key for each in as_much if self._between(each, asked, most=each) == "shared"]

    def _tells(self, line: LiveLine) -> bool:
        """The marks that would bring it level are known: of an average not, of a team the last."""
        of_several = line.of_team and line.coming.marks > 1
        return not (self.joined or self.progress.averaging or of_several)

    def _between(self, first: Range, second: Range, most: Range) -> Settled:
        """What the rules make of an equal total of two, if one of them makes the *most*.

        It is open where more than the marks is asked for, or where other marks give the same. The
        other has nothing to come, or adds nothing to the total: no criterion falls by that.
        """
        both_complete = first.complete and second.complete
        if both_complete and second.key not in self.loose:
            return _won(self.places[first.key], self.places[second.key])
        if not self.steps:
            return "shared"
        lines = [self.progress.lines[each.key] for each in (first, second)]
        if both_complete or not all(map(self._tells, lines)):
            return "open"
        for at, each in enumerate((first, second)):
            coming = lines[at].coming
            if coming.marks and (each is most or coming.held):
                gain = (each.high - each.low) // coming.marks if each is most else 0
                lines[at] = lines[at].filled(coming.held + gain)
        compared = self.progress.compared(lines)
        places = placings(compared, self.steps)
        if any(tie.unsettled for tie in ties(compared, places, self.steps)):
            return "open"
        return _won(*(place or 0 for place in places))


def _won(first: int, second: int) -> Settled:
    return "won" if first < second else "lost" if first > second else "shared"


def _others(
    ordered: list[Range], of: Callable[[Range], int], total: int, asked: Range
) -> tuple[list[Range], list[Range]]:
    """All others who have as much as a total, and those who have more."""
    start, end = bisect_left(ordered, total, key=of), bisect_right(ordered, total, key=of)
    as_much = [other for other in ordered[start:end] if other is not asked]
    return as_much, [other for other in ordered[end:] if other is not asked]


def rivals(these: Outlook, goal: Goal, key: int) -> set[int]:
    """Who of the same body can end ahead or level, where they are as many as its cap has room for.

    Then nothing is decided for this one, however many places there are.
    """
    asked = next((each for each in these.ranges if each.key == key), None)
    if not goal.cap or asked is None:
        return set()
    own = goal.own(key, (*these.possibly_ahead(asked), *these.level(asked)))
    return own if len(own) >= goal.cap else set()


def prospects(these: Outlook) -> tuple[Prospect, ...]:
    """The best and the worst place of everybody."""
    found = []
    for each in these.ranges:
        best, worst = 1 + len(these.surely_ahead(each)), 1 + len(these.possibly_ahead(each))
        found.append(Prospect(each.key, best, worst, each.complete))
    return tuple(found)


def chances(these: Outlook, goal: Goal) -> dict[int, Chance]:
    """Who is in, who is out, and for whom a cut is still open, by key; nobody who withdrew.

    Who can at most be called up for somebody who withdrew already is not out.
    """
    found: dict[int, Chance] = {}
    for each in these.ranges:
        if each.key in goal.absent:
            continue
        found[each.key] = "open"
        before = (key for key in these.surely_ahead(each) if key not in goal.absent)
        if not reached(goal, each.key, before, (), each.high):
            found[each.key] = "out"
        elif each.complete:
            ahead, level = these.possibly_ahead(each), these.level(each)
            if reached(goal, each.key, ahead, level, each.low):
                found[each.key] = "in"
    return found


def standing_by(these: Outlook, goal: Goal, found: Mapping[int, Chance]) -> frozenset[int]:
    """Who is out of a cut as found, and may yet be called up if somebody withdraws, by key.

    As far down as reserves can be, to the end where there are none; nobody is kept out for good by
    a cap, since a team-mate may withdraw. A tie can let in as many as are not out.
    """
    quota, keys = goal.quota, set[int]()
    if quota is None:
        return frozenset()
    for each in these.ranges:
        if found.get(each.key) != "out" or not goal.is_open_to(each.key, each.high):
            continue
        before = [key for key in these.surely_ahead(each) if key not in goal.absent]
        ahead = goal.rivals(each.key, before)
        through = max(goal.places, goal.taken([key for key in ahead if found[key] != "out"]))
        if not quota.reserves or goal.taken(ahead) < through + quota.reserves:
            keys.add(each.key)
    return frozenset(keys)
