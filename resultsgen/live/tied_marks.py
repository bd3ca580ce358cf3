"""What the rules of a list make of a mark that would tie: the tie is won, shared, lost, or open.

It is open where the criterion that decides compares an E or D score that is not given yet; then
the least score is told that is enough whatever the other one is, which the mark itself keeps at
or above what is left of it. Everything else follows from the mark.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from resultsgen.live.goals import Goal, reached
from resultsgen.live.old_tables import Sheet, compared, placings, ties
from resultsgen.live.progress import Progress
from resultsgen.rules.criteria import Criterion

BEYOND = 10**9
"""A score above all others."""


@dataclass(frozen=True)
class Terms:
    """How a list breaks ties, the grid that marks stand on, and the highest E (None: open).

    *adds_up*: a mark is D and E less a penalty, and nothing more.
    """

    steps: tuple[Criterion, ...]
    step: int = 1
    highest_e: int | None = None
    adds_up: bool = False


@dataclass(frozen=True)
class Tie:
    """What the rules make of the mark that ties.

    `reached`: it is enough. `shared`: the place is shared, with one too many. `missed`: the tie
    is lost. `open`: `criterion` would decide, and its value is not known yet; where it hangs on
    the `score` of the routine to come, `at_least` is enough (None: beyond the highest), and at
    `even`, if there is one, it hangs on what is compared next.
    """

    outcome: Literal["reached", "shared", "missed", "open"]
    criterion: str = ""
    score: Literal["", "E", "D"] = ""
    at_least: int | None = None
    even: int | None = None


@dataclass(frozen=True)
class TiedMark:
    """A mark of *key* on *part* that gives the same total as *equal* have; *ahead* have more."""

    few: Progress
    """The table of *equal* and *key* alone."""
    key: int
    part: str
    mark: int
    equal: tuple[int, ...]
    ahead: tuple[int, ...]
    goal: Goal
    terms: Terms

    def tie(self) -> Tie:
        """What the rules make of it."""
        sheet = self._sheet()
        if self._is_won(sheet):
            return Tie("reached")
        criterion = self._unsettled(sheet)
        if criterion is not None:
            return self._open(criterion)
        ahead, _ = self._places(sheet)
        return Tie("shared" if self._is_reached(ahead, (), sheet) else "missed")

    def _sheet(self, e: int | None = None, d: int | None = None) -> Sheet:
        put_in = self.few.with_mark(self.key, self.part, self.mark, e, d)
        return put_in.sheet([*self.equal, self.key])

    def _places(self, sheet: Sheet) -> tuple[list[int], list[int]]:
        """Who is ahead and who shares the place, as far as the sheet knows."""
        places = placings(sheet, self.terms.steps).to_dict()
        own = places[self.key]
        better = [one for one in self.equal if places[one] < own]
        return [*self.ahead, *better], [one for one in self.equal if places[one] == own]

    def _is_reached(self, ahead: Sequence[int], level: Sequence[int], sheet: Sheet) -> bool:
        return reached(self.goal, self.key, ahead, level, int(sheet.total.iloc[-1]))

    def _is_won(self, sheet: Sheet) -> bool:
        """Whether it is enough as far as the sheet knows; a tie that is not settled is lost."""
        ahead, level = self._places(sheet)
        if self._unsettled(sheet) is not None:
            ahead, level = [*ahead, *level], []
        return self._is_reached(ahead, level, sheet)

    def _is_enough(self, score: Literal["E", "D"], value: int) -> bool:
        """Whether this score is enough, whatever the other one can be."""
        other = max(0, self.mark - value) if self.terms.adds_up else 0
        return self._is_won(self._scored(score, value, other))

    def _unsettled(self, sheet: Sheet) -> Criterion | None:
        """The criterion that would decide about the gymnast, where it lacks a value."""
        own = len(self.equal)
        for tie in ties(sheet, placings(sheet, self.terms.steps), self.terms.steps):
            for step in tie.steps:
                if step.unknown and own in step.keys:
                    return step.criterion
        return None

    def _open(self, criterion: Criterion) -> Tie:
        """The least E, or else D, that wins the tie, where the criterion compares one of them."""
        e = self._least(criterion, "E")
        if e is not None:
            return self._told(criterion, "E", e, self.terms.highest_e)
        d = self._least(criterion, "D")
        if d is not None:
            return self._told(criterion, "D", d, None)
        return Tie("open", criterion.name)

    def _least(self, criterion: Criterion, score: Literal["E", "D"]) -> int | None:
        """The least score that wins, to the thousandth: just above a value of somebody level."""
        values = [criterion.value(line) for line in compared(self._scored(score, 0))]
        own = values.pop()
        if own is None:
            return None
        known = [value for value in values if value is not None]
        levels = {value - part for value in known for part in (0, own)}
        bars = {0} | {bar for level in levels for bar in (level, level + 1)}
        enough = (bar for bar in sorted(bars) if bar >= 0 and self._is_enough(score, bar))
        return next(enough, None)

    def _scored(self, score: Literal["E", "D"], value: int, other: int | None = None) -> Sheet:
        return self._sheet(value, other) if score == "E" else self._sheet(other, value)

    def _told(
        self, criterion: Criterion, score: Literal["E", "D"], least: int, highest: int | None
    ) -> Tie:
        """The least score that is enough, on the grid; just below it the next may decide."""
        at_least = -(-least // self.terms.step) * self.terms.step
        below = least - 1
        hangs = least > 0 and self._is_won(self._scored(score, below, BEYOND))
        even = below if hangs and below % self.terms.step == 0 else None
        if highest is None or at_least <= highest:
            return Tie("open", criterion.name, score, at_least, even)
        if even is not None and even <= highest:
            return Tie("open", criterion.name, score, None, even)
        return Tie("missed", criterion.name, score)
