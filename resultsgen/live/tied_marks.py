"""What the rules of a list make of a mark that would tie: won, shared, lost, or open.

It is open where the criterion that decides compares an E or D score that is not given yet; then
the least score is told that is enough whatever the other one is, which the mark itself keeps at or
above what is left of it. Everything else follows from the mark. Source: arithmetic on the rules.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal, NamedTuple

from resultsgen.live.goals import reached
from resultsgen.rules.criteria import Compared, Criterion
from resultsgen.rules.placings import placings
from resultsgen.rules.ties import Step, ties

if TYPE_CHECKING:
    from resultsgen.live.needs import Contender

TENTH = 100
BEYOND = 10**9
"""A score above all others."""


@dataclass(frozen=True)
class Terms:
    """How a list breaks ties, the grid that marks stand on, and the highest E (None: open).

    *adds_up*: a mark is D and E less a penalty, and nothing more. *marks_tell*: one part to come
    settles a tie; of a team not while several marks are.
    """

    steps: tuple[Criterion, ...]
    step: int = 1
    highest_e: int | None = None
    adds_up: bool = False
    marks_tell: bool = True


@dataclass(frozen=True)
class TieOutcome:
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
    then: int | None = None
    """At `even`, the least of the other score that is enough; None: it may be neither."""
    by: tuple[Criterion, ...] = field(default=(), compare=False)
    """What it is won or lost by, or hangs on; nothing where the place is shared or is enough."""


class AmongEquals(NamedTuple):
    """Who is ahead and who shares the place, what is not known, and the steps that told apart."""

    ahead: list[int]
    level: list[int]
    unknown: Criterion | None
    steps: list[Step]


@dataclass(frozen=True)
class TiedMark:
    """A mark of a contest that gives the same total as *equal* have; *ahead* have more."""

    contest: Contender
    mark: int
    equal: list[int]
    ahead: list[int]

    def outcome(self) -> TieOutcome:
        """What the rules make of it."""
        around = self._around(self._lines(None, None))
        if self._is_reached(around):
            return TieOutcome("reached", by=self._won_by(around))
        if around.unknown is None:
            if self._reaches(around.ahead):  # It would be enough were it no tie.
                return TieOutcome("shared")
            return TieOutcome("missed", by=self._lost_by(around))
        criterion, highest_e = around.unknown, self.contest.terms.highest_e
        e = self._least(criterion, "E")
        if e is not None:
            return self._open(criterion, "E", e, highest_e)
        d = self._least(criterion, "D")
        if d is not None:
            return self._open(criterion, "D", d, None)
        return TieOutcome("open", criterion.name, by=(criterion,))

    def _won_by(self, around: AmongEquals) -> tuple[Criterion, ...]:
        """What told the gymnast from all who are level, if that is nobody's place but her own."""
        is_first = len(around.ahead) == len(self.ahead) and not around.level
        return tuple(step.criterion for step in around.steps) if is_first else ()

    def _lost_by(self, around: AmongEquals) -> tuple[Criterion, ...]:
        """What first put somebody ahead."""
        behind = (
            step.criterion
            for step in around.steps
            if step.values[step.keys.index(len(self.equal))] != step.values[0]
        )
        return tuple(list(behind)[:1])

    def _lines(self, e: int | None, d: int | None) -> list[Compared]:
        """What is compared, once the mark has these scores; the gymnast last.

        A part of a team holds other marks already.
        """
        progress, own = self.contest.progress, self.contest.own
        name = self.contest.apparatus[0]
        mark = self.mark + (own.parts[progress.parts.index(name)].mark or 0)
        with_mark = progress.of([own]).with_mark(own.key, name, mark, e, d).lines.values()
        return [*map(progress.by_key.__getitem__, self.equal), *progress.compared(with_mark)]

    def _scored(
        self, score: Literal["E", "D"], value: int, other: int | None = None
    ) -> list[Compared]:
        return self._lines(value, other) if score == "E" else self._lines(other, value)

    @property
    def is_reached(self) -> bool:
        """It is enough, as far as is known."""
        if self.contest.terms.steps:
            return self._is_reached(self._around(self._lines(None, None)))
        return self._reaches(self.ahead, self.equal)

    def place(self) -> tuple[int | None, bool]:
        """The place, and whether it is shared; None where a value that decides is not known."""
        around = self._around(self._lines(None, None))
        return (None, False) if around.unknown else (1 + len(around.ahead), bool(around.level))

    def _around(self, lines: list[Compared]) -> AmongEquals:
        """How the gymnast stands among those who are level, as far as is known."""
        steps, own = self.contest.terms.steps, len(self.equal)
        places = placings(lines, steps)
        told = [
            step for tie in ties(lines, places, steps) for step in tie.steps if own in step.keys
        ]
        around = list(zip(self.equal, places, strict=False))
        return AmongEquals(
            self.ahead + [key for key, place in around if (place or 0) < (places[own] or 0)],
            [key for key, place in around if place == places[own]],
            next((step.criterion for step in told if step.unknown), None),
            [step for step in told if not step.unknown],
        )

    def _is_reached(self, around: AmongEquals) -> bool:
        """Whether it is enough as far as is known; a tie that is not settled is lost."""
        if around.unknown:
            return self._reaches([*around.ahead, *around.level])
        return self._reaches(around.ahead, around.level)

    def _reaches(self, ahead: Sequence[int], level: Sequence[int] = ()) -> bool:
        """Whether it is enough with these ahead, and these level for good."""
        total = self.contest.total_with(self.mark)
        return reached(self.contest.goal, self.contest.own.key, ahead, level, total)

    def _is_enough(self, score: Literal["E", "D"], value: int, beside: int | None = None) -> bool:
        """Whether this score is enough, with that beside it or whatever the other one can be."""
        least = max(0, self.mark - value) if self.contest.terms.adds_up else 0
        other = least if beside is None else beside
        return self._is_reached(self._around(self._scored(score, value, other)))

    def _least(
        self, criterion: Criterion, score: Literal["E", "D"], beside: int | None = None
    ) -> int | None:
        """The least score that wins, to the thousandth: just above a value of somebody level.

        *beside*: the other score; None: whatever it can be.
        """
        *values, own = (criterion.value(line) for line in self._scored(score, 0))
        if own is None:
            return None
        levels = {value - part for value in values if value is not None for part in (0, own)}
        bars = sorted({0} | {bar for level in levels for bar in (level, level + 1) if bar > 0})
        return next((bar for bar in bars if self._is_enough(score, bar, beside)), None)

    def _open(
        self, criterion: Criterion, score: Literal["E", "D"], least: int, highest: int | None
    ) -> TieOutcome:
        """The least score that is enough, on the grid; just below it the next may decide."""
        step, below = self.contest.terms.step, least - 1
        at_least: int | None = -(-least // step) * step
        around = self._around(self._scored(score, below, BEYOND))
        hangs = least > 0 and (self._is_reached(around) or around.unknown is not None)
        even = (
            below if hangs and below % step == 0 and (highest is None or below <= highest) else None
        )
        if highest is not None and at_least is not None and at_least > highest:
            if even is None:
                return TieOutcome("missed", criterion.name, score, by=(criterion,))
            at_least = None
        then = None if even is None else self._then(score, even)
        return TieOutcome("open", criterion.name, score, at_least, even, then, (criterion,))

    def _then(self, score: Literal["E", "D"], even: int) -> int | None:
        """With this score, the least of the other one that is enough, on the grid; D in tenths."""
        other: Literal["E", "D"] = "D" if score == "E" else "E"
        step = self.contest.terms.step if other == "E" else TENTH
        found = (self._least(criterion, other, even) for criterion in self.contest.terms.steps)
        least = min((bar for bar in found if bar is not None), default=None)
        return None if least is None else -(-least // step) * step
