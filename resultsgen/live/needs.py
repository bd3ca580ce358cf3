"""What somebody with apparatus to come needs: the mark that ties, the least that is enough as it
stands, and the least that is safe whatever the others do.

The rivals are those who will have done as many apparatus, and whoever has as much with fewer. Marks
stand on a grid; for one apparatus to come the mark is exact, for several it is their sum, and the
average of it. What happens at the mark that ties, the rules of the list say
(`live/tied_marks.py`), so that it may be enough by itself. A mark is safe if it is enough though
all others make the highest mark on all they have to come. Source: arithmetic on the rules of the
list.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass

from resultsgen.live.goals import Aim, Goal, reached
from resultsgen.live.progress import Progress
from resultsgen.live.tied_marks import Terms, Tie, TiedMark


@dataclass(frozen=True)
class Need:
    """What one gymnast needs for one goal, in thousandths; sums where several are to come."""

    key: int
    aim: Aim
    apparatus: tuple[str, ...]
    rivals: int
    """How many rivals have done as many as the gymnast then will have."""
    level_with: tuple[int, ...]
    """Those whose total has to be matched or passed; empty where it is not about rivals."""
    level_total: int | None
    ties: int | None
    """The mark that gives this total; None where the grid has none."""
    tie: Tie | None
    wins: int
    """The least that is enough as it stands, whatever the E and D scores; 0: any mark."""
    others_to_come: bool = False
    """Somebody else has marks to come in the list."""
    safe: int | None = None
    """The least that is enough whatever the others do; None: nobody knows."""

    @property
    def average(self) -> int:
        """The least average that is enough, rounded up to a thousandth."""
        return self.average_of(self.wins)

    def average_of(self, mark: int) -> int:
        """What a sum of marks asks for on each apparatus, rounded up to a thousandth."""
        return -(-mark // len(self.apparatus))

    def within(self, bound: int) -> bool:
        """Whether marks up to this bound can be enough, be it by a tie."""
        return self.wins <= bound * len(self.apparatus) or self.at_most_ties(bound)

    def at_most_ties(self, bound: int) -> bool:
        """Whether a tie, open or for a shared lead, is all that marks up to this bound can give."""
        if self.ties is None or self.tie is None:
            return False
        worth = self.tie.outcome == "open" or (self.aim == "lead" and self.tie.outcome == "shared")
        return worth and self.ties <= bound * len(self.apparatus) < self.wins


def need(
    progress: Progress,
    key: int,
    apparatus: tuple[str, ...],
    goal: Goal,
    terms: Terms,
    highest: int | None = None,
) -> Need | None:
    """What *key* needs on these apparatus for the goal; None for those whom no mark can help.

    No mark to come is above the *highest*, if there is one.
    """
    if key not in progress.in_it or not apparatus or not goal.is_for(key):
        return None
    contest = _contest(progress, key, apparatus, goal, terms)
    least = contest.least_total()
    level = contest.level_below(least)
    target = least - 1 if level else None
    ties, tie, wins = _marks(contest, least, target)
    others = [one for one in progress.in_it if one != key and not progress.complete(one)]
    safe = None
    if apparatus == progress.to_come(key):
        safe = _safe(contest, others, highest) if others else wins
    return Need(
        key, goal.aim, apparatus, len(contest.rivals), level, target, ties, tie, wins,
        bool(others), safe,
    )  # fmt: skip


def _safe(contest: _Contest, others: list[int], highest: int | None) -> int | None:
    """The least mark that is enough though the others make the highest on all they have to come."""
    if highest is None:
        return None
    full = contest.progress.filled(others, highest)
    worst = _contest(full, contest.key, contest.apparatus, contest.goal, contest.terms)
    least = worst.least_total()
    return _marks(worst, least, least - 1 if worst.level_below(least) else None)[2]


def _marks(contest: _Contest, least: int, target: int | None) -> tuple[int | None, Tie | None, int]:
    """The least mark that ties, what happens then, and the least mark that is enough."""
    ties, first = None, None
    for mark in contest.grid_from(least if target is None else target):
        if contest.total_with(mark) >= least:
            return ties, first, mark
        tie = contest.tie(mark)
        if ties is None:
            ties, first = mark, tie
        if tie.outcome == "reached":
            return ties, first, mark
    raise AssertionError("the grid has no end")


@dataclass(frozen=True)
class _Contest:
    """One gymnast against those who will have done as many."""

    progress: Progress
    key: int
    apparatus: tuple[str, ...]
    goal: Goal
    terms: Terms
    rivals: tuple[int, ...]
    as_many: tuple[int, ...]
    """All who will have done as many: whoever is level has a part in how a tie is settled."""
    unfinished: tuple[int, ...]
    """Those who will have done fewer; level with somebody, they are still to pass."""
    so_far: int

    def total_with(self, mark: int) -> int:
        """The total with a mark (or a sum of marks) more."""
        return self.progress.total(self.so_far + mark)

    def least_total(self) -> int:
        """The least total that is enough even if every tie is lost."""
        lowest, minimum = self.total_with(0), self.goal.minimum
        bars = {lowest} | {self.progress.totals[one] + 1 for one in self._others}
        bars |= {minimum} if minimum is not None else set()
        ordered = sorted(bar for bar in bars if bar >= lowest)
        return ordered[bisect_left(ordered, True, key=self._is_enough)]

    @property
    def _others(self) -> tuple[int, ...]:
        return (*self.rivals, *self.unfinished)

    def _is_enough(self, total: int) -> bool:
        ahead = [one for one in self._others if self.progress.totals[one] >= total]
        return reached(self.goal, self.key, ahead, (), total)

    def level_below(self, least: int) -> tuple[int, ...]:
        """Those just below the least total: level with them, the tie rule decides.

        Nobody, where it is the minimum of the cut that asks for so much, or any mark is enough.
        """
        minimum = self.goal.minimum
        if least <= self.total_with(0) or (minimum is not None and least <= minimum):
            return ()
        return self._with_total(least - 1)

    def _with_total(self, total: int) -> tuple[int, ...]:
        return tuple(sorted(one for one in self.rivals if self.progress.totals[one] == total))

    def grid_from(self, total: int) -> Iterator[int]:
        """The marks (or sums of marks) on the grid that give at least this total, upwards."""
        step = self.terms.step
        least = total if self.progress.averaging is None else 2 * total - 1
        mark = -(-max(0, least - self.so_far) // step) * step
        while True:
            if self.total_with(mark) >= total:
                yield mark
            mark += step

    def tie(self, mark: int) -> Tie:
        """What the rules make of a mark that gives an equal total.

        Of a sum on several apparatus it is open as soon as the rules look at more than the total.
        """
        if len(self.apparatus) > 1 and self.terms.steps:
            return Tie("open")
        totals, own = self.progress.totals, self.total_with(mark)
        equal = tuple(sorted(one for one in self.as_many if totals[one] == own))
        ahead = tuple(one for one in self._others if totals[one] > own)
        ahead += tuple(one for one in self.unfinished if totals[one] == own)
        if not self.terms.steps:
            return self._stands(equal, ahead, own)
        few = self.progress.only([*equal, self.key])
        part = self.apparatus[0]
        return TiedMark(few, self.key, part, mark, equal, ahead, self.goal, self.terms).tie()

    def _stands(self, equal: tuple[int, ...], ahead: tuple[int, ...], total: int) -> Tie:
        """What a tie comes to where no tie is broken: it is enough, or there is one too many."""
        return Tie("reached" if reached(self.goal, self.key, ahead, equal, total) else "shared")


def _contest(
    progress: Progress, key: int, apparatus: tuple[str, ...], goal: Goal, terms: Terms
) -> _Contest:
    done = progress.done[key] + len(apparatus)
    totals = progress.totals
    done_by = {one: progress.done[one] for one in totals if one != key}
    as_many = tuple(one for one, count in done_by.items() if count == done)
    rivals = goal.rivals(key, as_many)
    unfinished = goal.rivals(key, [one for one, count in done_by.items() if count < done])
    so_far = progress.sums.get(key, -int(progress.penalty[key]))
    return _Contest(
        progress,
        key,
        apparatus,
        goal,
        terms,
        tuple(rivals),
        as_many,
        tuple(unfinished),
        so_far,
    )
