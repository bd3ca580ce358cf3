"""What somebody with apparatus to come needs: the mark that ties, the least that is enough as it
stands, and the least that is safe whatever the others do.

The rivals are those who will have done as many apparatus, and whoever has as much with fewer. Marks
stand on a grid; for one apparatus to come the mark is exact, for several it is their sum, and the
average of it. A mark is safe if it is enough though all others make the highest mark on all they
have to come. Source: arithmetic on the rules of the list.

What becomes of a mark that ties, `live/tied_marks.py` says.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import islice, takewhile

from resultsgen.live.goals import Aim, Goal, reached
from resultsgen.live.progress import LiveLine, Progress
from resultsgen.live.tied_marks import Terms, TiedMark, TieOutcome


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
    tie: TieOutcome | None
    wins: int
    """The least that is enough as it stands, whatever the E and D scores; 0: any mark."""
    others_to_come: bool = False
    """Somebody else has marks to come in the list."""
    safe: int | None = None
    """The least that is enough whatever the others do; None: nobody knows."""
    place: int | None = None
    """The place that it gives as it stands; None where the rules have to tell equals apart."""
    shared: bool = False
    """Others have that place too."""
    places: int = 1
    """How many there are to be had, and..."""
    field: int = 0
    """...how many others can take one of them."""
    capped: tuple[int, ...] = ()
    """Those ahead who fill what a cut leaves to their body, where that is why it asks for more."""
    body: str = ""
    """The club, federation or team that it is then about."""
    last: bool = True
    """Nothing of the list is to come after it."""
    safe_shared: int | None = None
    """The least with which nobody can pass, though the lead may be shared; None: nobody knows."""
    marks: int = 0
    """Of a team: how many marks can still count; else it is one on each apparatus."""
    alone: tuple[int, str] = (0, "")
    """Of a team: the least single mark that is enough without the others, and on what; and..."""
    alone_safe: tuple[int, str] = (0, "")
    """...the least that is so whatever the other teams do."""
    list: str = ""
    """BB, all-around."""
    cut: str = ""
    """The name of the cut; empty: it is about none."""

    @property
    def count(self) -> int:
        """Of how many marks it is the sum."""
        return self.marks or len(self.apparatus)

    @property
    def average(self) -> int:
        """The least average that is enough, rounded up to a thousandth."""
        return self.average_of(self.wins)

    def average_of(self, mark: int) -> int:
        """What a sum of marks asks of each, rounded up to a thousandth."""
        return -(-mark // self.count)

    def within(self, bound: int) -> bool:
        """Whether marks up to this bound can be enough, be it by a tie."""
        return self.wins <= bound * self.count or self.at_most_ties(bound)

    def at_most_ties(self, bound: int) -> bool:
        """Whether a tie, open or for a shared lead, is all that marks up to this bound can give."""
        if self.ties is None or self.tie is None:
            return False
        worth = self.tie.outcome == "open" or (self.aim == "lead" and self.tie.outcome == "shared")
        return worth and self.ties <= bound * self.count < self.wins


def need(
    progress: Progress,
    key: int,
    apparatus: tuple[str, ...],
    goal: Goal,
    terms: Terms,
    full: Progress | None = None,
) -> Need | None:
    """What *key* needs on these apparatus for the goal; None for those whom no mark can help.

    *full* is the list once all make the highest mark on all they have to come, if there is one.
    """
    if key not in progress.in_it or not apparatus or not goal.is_for(key):
        return None
    others_to_come = len(progress.unfinished) > (key in progress.unfinished)
    contest = Contender(progress, progress.lines[key], apparatus, goal, terms)
    found = replace(contest.need, others_to_come=others_to_come)
    if apparatus != progress.to_come(key):
        return found
    if not others_to_come:
        return replace(found, safe=found.wins)
    safe, safe_shared = contest.safe_among(full) if full else (None, None)
    return replace(found, safe=safe, safe_shared=safe_shared)


@dataclass(frozen=True)
class Contender:
    """One gymnast, and all others of a list, as they stand or at their best."""

    progress: Progress
    """What it has of the gymnast does not count."""
    own: LiveLine
    apparatus: tuple[str, ...]
    goal: Goal
    terms: Terms

    @cached_property
    def done(self) -> int:
        """How many parts will be over."""
        return self.own.done + len(self.apparatus)

    @cached_property
    def others(self) -> list[tuple[int, int]]:
        """Minus the total and the key of all who will not have done more, the best first."""
        ranked, key = self.progress.ranked[self.done], self.own.key
        if key not in self.progress.totals:
            return ranked
        own = bisect_left(ranked, (-self.progress.totals[key], key))
        return ranked[:own] + ranked[own + 1 :]

    @cached_property
    def against(self) -> list[tuple[int, int]]:
        """Those of them who can take it away."""
        if not self.goal.of_each:
            return self.others
        rivals = {*self.goal.rivals(self.own.key, (key for _, key in self.others))}
        return [row for row in self.others if row[1] in rivals]

    @property
    def rivals(self) -> int:
        """How many of these have done as many."""
        if not self.goal.of_each:
            return len(self.progress.ranked[self.done]) - len(self.progress.ranked[self.done - 1])
        return sum(self.progress.done[key] == self.done for _, key in self.against)

    @property
    def field(self) -> int:
        """How many others can take it away, however much they have done."""
        in_it = self.progress.in_it
        return len(self.goal.rivals(self.own.key, in_it.keys() - {self.own.key}))

    @cached_property
    def so_far(self) -> int:
        """What the gymnast has."""
        return self.own.sum

    def total_with(self, mark: int) -> int:
        """The total with a mark (or a sum of marks) more."""
        return self.progress.total(self.so_far + mark)

    @cached_property
    def least(self) -> int:
        """The least total that is enough even if every tie is lost."""
        lowest, many = max(self.total_with(0), self.goal.minimum or 0), 1
        while many < len(self.against) and self._is_enough_behind(many):
            many *= 2
        counts = range(min(many, len(self.against)) + 1)
        ahead = bisect_left(counts, True, key=lambda count: not self._is_enough_behind(count))
        return lowest if ahead == len(counts) else max(lowest, 1 - self.against[ahead - 1][0])

    @cached_property
    def capped(self) -> tuple[int, ...]:
        """Those of the own body who have to be passed, where without its cap less would do."""
        quota, body = self.goal.quota, self.goal.bodies.get(self.own.key)
        if not quota or not quota.cap or not body:
            return ()
        free = replace(self, goal=replace(self.goal, quota=replace(quota, cap=0)))
        same = (key for _, key in self.against if self.goal.bodies.get(key) == body)
        return tuple(islice(same, quota.cap)) if free.least < self.least else ()

    def _is_enough_behind(self, count: int) -> bool:
        """Whether so many of those who can take it away may be ahead."""
        ahead = [key for _, key in self.against[:count]]
        return reached(self.goal, self.own.key, ahead, (), self.goal.minimum or 0)

    def with_total(self, total: int, rows: list[tuple[int, int]]) -> tuple[list[int], list[int]]:
        """Those who have it: who will have done as many, and who has done fewer."""
        done, start = self.progress.done, bisect_left(rows, (-total, -1))
        equal = [key for minus, key in takewhile(lambda row: row[0] == -total, rows[start:])]
        as_many = sorted(key for key in equal if done[key] == self.done)
        return as_many, [key for key in equal if done[key] < self.done]

    @cached_property
    def level(self) -> tuple[int, ...]:
        """Those just below the least total: level with them, the tie rule decides.

        Nobody, where it is the minimum of the cut that asks for so much, or any mark is enough.
        """
        if self.least <= max(self.total_with(0), self.goal.minimum or 0):
            return ()
        return tuple(self.with_total(self.least - 1, self.against)[0])

    @property
    def target(self) -> int | None:
        """The total that they have."""
        return self.least - 1 if self.level else None

    @cached_property
    def tying(self) -> tuple[int, ...]:
        """The marks that give the target, and..."""
        return tuple(mark for mark in self._below if self.total_with(mark) == self.target)

    @cached_property
    def passes(self) -> int:
        """...the least that gives more, whatever a tie comes to."""
        return self._below.stop

    @cached_property
    def _below(self) -> range:
        """The marks of the grid from about the target to the least that is enough in any case."""
        total = self.least if self.target is None else self.target
        least = total if self.progress.averaging is None else 2 * total - 1
        step = self.terms.step
        first = last = -(-max(0, least - self.so_far) // step) * step
        while self.total_with(last) < self.least:
            last += step
        return range(first, last, step)

    @cached_property
    def ties(self) -> int | None:
        """The least mark that ties."""
        return self.tying[0] if self.tying else None

    @property
    def tie(self) -> TieOutcome | None:
        """What happens then."""
        if self.ties is None:
            return None
        if self.open:
            return TieOutcome("open")
        if not self.terms.steps:
            return TieOutcome("reached" if self._wins(self.ties) else "shared")
        return self._tied(self.ties).outcome()

    @cached_property
    def wins(self) -> int:
        """The least mark that is enough whatever the scores."""
        return next((mark for mark in self.tying if self._wins(mark)), self.passes)

    def _wins(self, mark: int) -> bool:
        """Whether it is enough to tie with this mark."""
        return not self.open and self._tied(mark).is_reached

    def _tied(self, mark: int) -> TiedMark:
        own = self.total_with(mark)
        # Whoever is level has a part in how the tie is settled; with fewer parts, is still to pass.
        equal, _ = self.with_total(own, self.others)
        ahead = [key for _, key in self.against[: bisect_left(self.against, (-own, -1))]]
        return TiedMark(self, mark, equal, ahead + self.with_total(own, self.against)[1])

    def place(self, mark: int) -> tuple[int | None, bool]:
        """The place with such a mark, and whether it is shared; None where that is open."""
        own = self.total_with(mark)
        equal, fewer = self.with_total(own, self.others)
        ahead = [key for _, key in self.others[: bisect_left(self.others, (-own, -1))]] + fewer
        if not equal or not self.terms.steps:
            return 1 + len(ahead), bool(equal)
        return (None, False) if self.open else TiedMark(self, mark, equal, ahead).place()

    @property
    def need(self) -> Need:
        """What is needed as it stands."""
        place, shared = self.place(self.wins)
        return Need(
            self.own.key, self.goal.aim, self.apparatus, self.rivals, self.level, self.target,
            self.ties, self.tie, self.wins, place=place, shared=shared, places=self.goal.places,
            field=self.field, capped=self.capped, body=self.goal.bodies.get(self.own.key, ""),
        )  # fmt: skip

    def safe_among(self, full: Progress) -> tuple[int, int | None]:
        """What is safe, and for the lead what is so at worst shared.

        *full*: the list once all others make the highest mark on all they have to come.
        """
        safe = replace(self, progress=full)
        level = replace(safe, goal=replace(self.goal, shared=True))
        return safe.wins, level.wins if self.goal.aim == "lead" else None

    @property
    def open(self) -> bool:
        """Of a sum on several apparatus a tie is, as soon as the rules ask for more than it."""
        return (len(self.apparatus) > 1 or not self.terms.marks_tell) and bool(self.terms.steps)
