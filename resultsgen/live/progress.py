"""A list while the meet runs: what each has done, in which rotation, and what is to come.

Whoever has a mark on a part, or a status instead, is over with it. Only those over with
equally many parts can be compared; the rule set says whether somebody who lacks a mark for good
is placed at all. Source: a common practice of running results, as rotations differ by squad.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

from resultsgen.meet.marks import Averaging, Incomplete
from resultsgen.rules.criteria import Compared
from resultsgen.rules.totals import counting


class LivePart(NamedTuple):
    """An apparatus, or one of two vaults: what was done there, None where there is nothing."""

    mark: int | None = None
    e: int | None = None
    d: int | None = None
    rotation: int | None = None
    """When it is done; None: nobody knows."""
    passed: bool = False
    """It is over without a mark."""

    @property
    def over(self) -> bool:
        """Nothing is to come."""
        return self.passed or self.mark is not None


@dataclass(frozen=True)
class ToGo:
    """One apparatus on which a team has marks to come."""

    apparatus: str
    keys: tuple[int, ...]
    """Who can still go up, in order of start."""
    marks: int
    """How many of them may."""
    counting: tuple[int, ...]
    """The marks that count so far, the best first."""
    count: int
    """How many count."""

    @property
    def dropped(self) -> int | None:
        """What the next mark has to surpass to count; None where a place for it is free."""
        return self.counting[-1] if len(self.counting) == self.count else None

    @property
    def can_count(self) -> int:
        """How many marks can still come and count."""
        return min(self.marks, self.count)

    @property
    def all_count(self) -> bool:
        """There is a place for every mark to come."""
        return len(self.counting) + self.marks <= self.count


class OpenParts(NamedTuple):
    """What parts that are not over hold already, and what can still come into them."""

    held: int
    """The marks that count there so far."""
    kept: int
    """Those of them that would still count beside the best that can come."""
    marks: int
    """How many marks can still come and count."""
    counted: int
    """How many marks count so far, on parts that are over too."""
    to_go: tuple[ToGo, ...] = ()
    """Of a team, each apparatus where more may go up."""


class LiveLine(NamedTuple):
    """What one gymnast or team has done so far, part by part, in thousandths."""

    key: int
    parts: tuple[LivePart, ...]
    competing: bool = True
    """False for a guest, who takes no place."""
    penalty: int = 0
    """What is taken off the total."""
    all_around: int | None = None
    """As `Compared` has it."""
    birth_year: int | None = None
    of_team: OpenParts | None = None
    """Of a team, whose parts hold several marks each."""

    @property
    def done(self) -> int:
        """How many parts are over."""
        return sum(part.over for part in self.parts)

    @property
    def has_mark(self) -> bool:
        """There is a mark on a part that is over."""
        return any(part.mark is not None for part in self.parts)

    @property
    def sum(self) -> int:
        """The sum of the marks there are, less the penalty."""
        return sum(part.mark or 0 for part in self.parts) - self.penalty

    @property
    def coming(self) -> OpenParts:
        """What can still come; a part of a gymnast holds one mark."""
        return self.of_team or OpenParts(0, 0, len(self.parts) - self.done, self.done)

    def filled(self, mark: int) -> LiveLine:
        """The same with this mark on every part that is to come."""
        parts = (part if part.over else part._replace(mark=mark) for part in self.parts)
        return self._replace(parts=tuple(parts))


@dataclass(frozen=True)
class Progress:
    """The lines of a list by key; `averaging`: how two vaults make the total, None: a sum."""

    parts: tuple[str, ...]
    lines: Mapping[int, LiveLine]
    incomplete: Incomplete = "no place"
    averaging: Averaging | None = None

    @cached_property
    def in_it(self) -> dict[int, LiveLine]:
        """Who can take a place: no guest, and nobody who lacks a mark for good where that rules."""
        all_needed = self.incomplete == "no place"
        return {
            key: line
            for key, line in sorted(self.lines.items())
            if line.competing and not (all_needed and any(part.passed for part in line.parts))
        }

    @cached_property
    def totals(self) -> dict[int, int]:
        """What each is compared by so far, of those who can take a place and have a mark."""
        return {key: self.total(line.sum) for key, line in self.in_it.items() if line.has_mark}

    @cached_property
    def done(self) -> dict[int, int]:
        """How many parts each is over with."""
        return {key: line.done for key, line in self.lines.items()}

    @cached_property
    def furthest(self) -> int:
        """The most parts that somebody who can take a place is over with."""
        return max((self.done[key] for key in self.in_it), default=0)

    @cached_property
    def unfinished(self) -> frozenset[int]:
        """Those who can take a place and have something to come."""
        return frozenset(key for key in self.in_it if self.done[key] < len(self.parts))

    @cached_property
    def ranked(self) -> list[list[tuple[int, int]]]:
        """Those over with so many parts at most: minus the total and the key, the best first."""
        rows = sorted((-total, key) for key, total in self.totals.items())
        most = range(len(self.parts) + 1)
        return [[row for row in rows if self.done[row[1]] <= done] for done in most]

    @property
    def level(self) -> bool:
        """All who can take a place have done as many parts."""
        return len({self.done[key] for key in self.in_it}) == 1

    def total(self, total: int) -> int:
        """What the sum of the marks makes: itself, or the average of two vaults."""
        if self.averaging is None:
            return total
        return (total + (self.averaging == "round")) // 2

    def to_come(self, key: int) -> tuple[str, ...]:
        """The parts that somebody is not over with."""
        pairs = zip(self.parts, self.lines[key].parts, strict=True)
        return tuple(name for name, part in pairs if not part.over)

    def compared(self, lines: Iterable[LiveLine]) -> list[Compared]:
        """What the rules compare of these lines."""
        found = []
        for line in lines:
            marks, e, d, *_ = zip(*line.parts, strict=True)
            total, year = self.total(line.sum), line.birth_year
            found.append(Compared(total, marks, d, e, line.all_around, year))
        return found

    @cached_property
    def by_key(self) -> dict[int, Compared]:
        """The same of each line."""
        return dict(zip(self.lines, self.compared(self.lines.values()), strict=True))

    def of(self, lines: Iterable[LiveLine]) -> Progress:
        """The same list with only these lines."""
        return replace(self, lines={line.key: line for line in lines})

    def after(self, rotation: int) -> Progress:
        """The same list as it stood once this rotation was over.

        What was done in a rotation nobody knows does not show, except a status that leaves its
        gymnast without a place: that one may as well hold from the start.
        """
        keeps = self.incomplete == "no place"

        def then(part: LivePart) -> LivePart:
            turn = part.rotation
            if turn is not None and turn <= rotation:
                return part
            return LivePart(rotation=turn, passed=part.passed and keeps and turn is None)

        lines = self.lines.values()
        return self.of(line._replace(parts=tuple(map(then, line.parts))) for line in lines)

    def filled(self, mark: int) -> Progress:
        """The same list once everybody has made this mark on all that is to come."""
        return self.of(line.filled(mark) for line in self.lines.values())

    def with_mark(
        self, key: int, name: str, mark: int | None, e: int | None = None, d: int | None = None
    ) -> Progress:
        """The same list with one mark put in, or in the place of another; None: none."""
        line, at = self.lines[key], self.parts.index(name)
        part = line.parts[at]._replace(mark=mark, e=e, d=d, passed=False)
        parts = (*line.parts[:at], part, *line.parts[at + 1 :])
        return replace(self, lines={**self.lines, key: line._replace(parts=parts)})


def team_progress(
    members: Progress,
    teams: Mapping[int, Sequence[int]],
    entered: Mapping[int, Collection[str]],
    format: tuple[int, int],
    penalties: Mapping[int, int],
) -> Progress:
    """The teams of these gymnasts, whose keys *teams* hold by the key of the team.

    *entered* names the parts of each gymnast; *format* is how many go up on an apparatus and how
    many count. A team is over with an apparatus once as many as may go up have a mark there or
    nobody entered is still to come; before that, its marks there are not compared. Its rotation
    is that of the last of them.
    """
    lines = {}
    for key, gymnasts in sorted(teams.items()):
        each = [
            _team_part(
                name, {gymnast: members.lines[gymnast].parts[at] for gymnast in gymnasts},
                entered, *format,
            )
            for at, name in enumerate(members.parts)
        ]  # fmt: skip
        to_go = tuple(left for _, left in each if left.marks)
        of_team = OpenParts(
            sum(sum(one.counting) for one in to_go),
            sum(sum(one.counting[: one.count - one.can_count]) for one in to_go),
            sum(one.can_count for one in to_go),
            sum(len(left.counting) for _, left in each),
            to_go,
        )
        parts = tuple(part for part, _ in each)
        lines[key] = LiveLine(key, parts, penalty=penalties.get(key, 0), of_team=of_team)
    return Progress(members.parts, lines, "placed by what there is")


def _team_part(
    name: str,
    made: Mapping[int, LivePart],
    entered: Mapping[int, Collection[str]],
    up: int,
    count: int,
) -> tuple[LivePart, ToGo]:
    """An apparatus of a team, and what is to go on it."""
    marks = [part.mark for part in made.values()]
    best = tuple(marks[place] or 0 for place in counting(marks, count))
    free = max(up - sum(mark is not None for mark in marks), 0)
    keys = tuple(
        key for key, part in made.items() if name in entered.get(key, ()) and not part.over
    )
    left = ToGo(name, keys, min(free, len(keys)), best, count)
    turns = [part.rotation for part in made.values() if part.over and part.rotation is not None]
    part = LivePart(
        mark=sum(best) if best and not left.marks else None,
        rotation=max(turns, default=None),
        passed=not best and not left.marks,
    )
    return part, left
