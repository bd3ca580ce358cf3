"""A list while the meet runs: what each has done, in which rotation, and what is to come.

Whoever has a mark on a part, or a status in its stead, is over with it. Only those over with
equally many parts can be compared; the rule set says whether somebody who lacks a mark for good
is placed at all. Source: a common practice of running results, as rotations differ by squad.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from resultsgen.meet.marks import Averaging, Incomplete
from resultsgen.rules.criteria import Compared
from resultsgen.rules.teams import counting

Numbers = tuple[int | None, ...]
"""A whole number for each part; None where there is none."""


@dataclass(frozen=True)
class OpenParts:
    """What parts that are not over hold already, and what can still come into them."""

    held: int
    """The marks that count there so far."""
    kept: int
    """Those of them that would still count beside the best that can come."""
    marks: int
    """How many marks can still come and count."""


@dataclass(frozen=True)
class LiveLine:
    """What one gymnast or team has done so far, part by part, in thousandths.

    `passed`: the parts that are over without a mark. `rotation`: when each part is done, None
    where that is not known. `competing`: False for a guest, who takes no place. `penalty`: what
    is taken off the total.
    """

    key: int
    marks: Numbers
    e: Numbers
    d: Numbers
    passed: tuple[bool, ...]
    rotation: Numbers
    competing: bool = True
    penalty: int = 0
    all_around: int | None = None
    """As `Compared` has it."""
    birth_year: int | None = None
    open_parts: OpenParts | None = None
    """Of a team, whose parts hold several marks each."""

    @cached_property
    def over(self) -> tuple[bool, ...]:
        """Which parts are over."""
        pairs = zip(self.marks, self.passed, strict=True)
        return tuple(passed or mark is not None for mark, passed in pairs)

    @cached_property
    def done(self) -> int:
        """How many parts are over."""
        return sum(self.over)

    @property
    def complete(self) -> bool:
        """Nothing is to come."""
        return self.done == len(self.marks)

    @cached_property
    def has_mark(self) -> bool:
        """There is a mark on a part that is over."""
        return any(mark is not None for mark in self.marks)

    @cached_property
    def sum(self) -> int:
        """The sum of the marks there are, less the penalty."""
        return sum(mark or 0 for mark in self.marks) - self.penalty

    @property
    def coming(self) -> OpenParts:
        """What can still come; a part of a gymnast holds one mark."""
        return self.open_parts or OpenParts(0, 0, len(self.marks) - self.done)

    def filled(self, mark: int) -> LiveLine:
        """The same with this mark on every part that is to come."""
        pairs = zip(self.marks, self.over, strict=True)
        return replace(self, marks=tuple(own if over else mark for own, over in pairs))

    def with_part(self, at: int, mark: int | None, e: int | None, d: int | None) -> LiveLine:
        """The same with one mark put in, or in the place of another; None: none."""
        return replace(
            self,
            marks=_put(self.marks, at, mark),
            e=_put(self.e, at, e),
            d=_put(self.d, at, d),
            passed=(*self.passed[:at], False, *self.passed[at + 1 :]),
        )

    def after(self, rotation: int, *, keeps_unknown: bool) -> LiveLine:
        """The same as it stood once a rotation was over.

        *keeps_unknown*: a status of a rotation that nobody knows may as well hold from the start.
        """
        shown = [turn is not None and turn <= rotation for turn in self.rotation]
        if all(shown):
            return self
        return replace(
            self,
            marks=_shown(self.marks, shown),
            e=_shown(self.e, shown),
            d=_shown(self.d, shown),
            passed=tuple(
                passed and (is_shown or (keeps_unknown and turn is None))
                for passed, is_shown, turn in zip(self.passed, shown, self.rotation, strict=True)
            ),
        )


def _put(numbers: Numbers, at: int, number: int | None) -> Numbers:
    return (*numbers[:at], number, *numbers[at + 1 :])


def _shown(numbers: Numbers, shown: Sequence[bool]) -> Numbers:
    return tuple(one if here else None for one, here in zip(numbers, shown, strict=True))


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
            if line.competing and not (all_needed and any(line.passed))
        }

    @cached_property
    def totals(self) -> dict[int, int]:
        """What each is compared by so far, of those who can take a place and have a mark."""
        return {key: self.total(line.sum) for key, line in self.in_it.items() if line.has_mark}

    @property
    def level(self) -> bool:
        """All who can take a place have done as many parts."""
        return len({line.done for line in self.in_it.values()}) == 1

    def total(self, total: int) -> int:
        """What the sum of the marks makes: itself, or the average of two vaults."""
        if self.averaging is None:
            return total
        return (total + (self.averaging == "round")) // 2

    def to_come(self, key: int) -> tuple[str, ...]:
        """The parts that somebody is not over with."""
        pairs = zip(self.parts, self.lines[key].over, strict=True)
        return tuple(part for part, over in pairs if not over)

    def compared(self, keys: Iterable[int]) -> list[Compared]:
        """What is compared among these, who are placed."""
        return [self.as_compared(self.lines[key]) for key in keys]

    def as_compared(self, line: LiveLine) -> Compared:
        """What the rules compare of a line."""
        total = self.total(line.sum)
        return Compared(total, line.marks, line.d, line.e, line.all_around, line.birth_year)

    def after(self, rotation: int) -> Progress:
        """The same list as it stood once this rotation was over.

        What was done in a rotation nobody knows does not show, except a status that leaves its
        gymnast without a place.
        """
        keeps = self.incomplete == "no place"
        return self._of(line.after(rotation, keeps_unknown=keeps) for line in self.lines.values())

    def only(self, keys: Iterable[int]) -> Progress:
        """The same list with only these lines."""
        return self._of(self.lines[key] for key in keys)

    def filled(self, mark: int) -> Progress:
        """The same list once everybody has made this mark on all that is to come."""
        return self._of(line.filled(mark) for line in self.lines.values())

    def with_mark(
        self, key: int, part: str, mark: int | None, e: int | None = None, d: int | None = None
    ) -> Progress:
        """The same list with one mark put in, or in the place of another; None: none."""
        changed = self.lines[key].with_part(self.parts.index(part), mark, e, d)
        return replace(self, lines={**self.lines, key: changed})

    def _of(self, lines: Iterable[LiveLine]) -> Progress:
        return replace(self, lines={line.key: line for line in lines})


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
    lines = {
        key: _team_line(
            key,
            members.parts,
            [(members.lines[one], entered.get(one, ())) for one in teams[key]],
            format,
            penalties.get(key, 0),
        )
        for key in sorted(teams)
    }
    return Progress(members.parts, lines, "placed by what there is")


def _team_line(
    key: int,
    parts: tuple[str, ...],
    members: list[tuple[LiveLine, Collection[str]]],
    format: tuple[int, int],
    penalty: int,
) -> LiveLine:
    up, count = format
    marks: list[int | None] = []
    passed, rotation, held, kept, coming = [], [], 0, 0, 0
    for at, part in enumerate(parts):
        given = [line.marks[at] for line, _ in members]
        counts = [given[position] or 0 for position in counting(given, count)]
        waiting = sum(part in entered and not line.over[at] for line, entered in members)
        made = sum(mark is not None for mark in given)
        free = min(max(up - made, 0), waiting)
        marks.append(sum(counts) if made and not free else None)
        passed.append(not made and not free)
        turns = [line.rotation[at] for line, _ in members if line.over[at]]
        rotation.append(max((turn for turn in turns if turn is not None), default=None))
        if free:
            more = min(free, count)
            held, coming = held + sum(counts), coming + more
            kept += sum(counts[: count - more])
    nothing = (None,) * len(parts)
    return LiveLine(
        key, tuple(marks), nothing, nothing, tuple(passed), tuple(rotation),
        penalty=penalty, open_parts=OpenParts(held, kept, coming),
    )  # fmt: skip
