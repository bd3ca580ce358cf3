"""A list while the meet runs: what each has done, in which rotation, and what is to come.

Whoever has a mark on a part, or a status in its stead, is over with it. Only those over with
equally many parts can be compared; the rule set says whether somebody who lacks a mark for good
is placed at all. Source: a common practice of running results, as rotations differ by squad.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np
import pandas as pd

from resultsgen.live.old_tables import (
    Booleans,
    Integers,
    Sheet,
    Teams,
    apparatus_totals,
    cells,
    column,
    counting,
    parts_of,
    table,
    without,
)
from resultsgen.meet.marks import Averaging, Incomplete

NEVER = np.iinfo(np.int64).max
"""Stands for a rotation that nobody knows: later than all others."""


@dataclass(frozen=True)
class Room:
    """What parts that are not over hold already, and what can still come into them."""

    held: int
    """The marks that count there so far."""
    kept: int
    """Those of them that would still count beside the best that can come."""
    marks: int
    """How many marks can still come and count."""


@dataclass(frozen=True)
class Progress:
    """Tables with a row per gymnast or team and a column per part, marks in Int64 thousandths.

    `passed`: the parts that are over without a mark. `rotation`: when each part is done, `<NA>`
    where that is not known. `competing`: False for a guest, who takes no place. `penalty`: what
    is taken off a total. `averaging`: how the total is made from two vaults; None: a sum.
    """

    marks: pd.DataFrame
    e: pd.DataFrame
    d: pd.DataFrame
    passed: pd.DataFrame
    rotation: pd.DataFrame
    competing: pd.Series[bool]
    penalty: pd.Series[int]
    facts: pd.DataFrame
    incomplete: Incomplete = "no place"
    averaging: Averaging | None = None
    rooms: Mapping[int, Room] = field(default_factory=dict)
    """Of a team, whose parts hold several marks each."""

    @property
    def parts(self) -> tuple[str, ...]:
        """The parts in their order."""
        return tuple(str(part) for part in self.marks.columns)

    @cached_property
    def _parts(self) -> tuple[Integers, Booleans]:
        """The marks as numbers, and where there is none."""
        return parts_of(self.marks)

    @property
    def lacking(self) -> Booleans:
        """Where there is no mark."""
        return self._parts[1]

    @cached_property
    def over(self) -> pd.DataFrame:
        """Which parts each is over with."""
        over = ~self._parts[1] | self.passed.to_numpy(dtype=bool)
        return pd.DataFrame(over, index=self.marks.index, columns=self.marks.columns)

    @cached_property
    def done(self) -> dict[int, int]:
        """How many parts each is over with."""
        counted = self.over.to_numpy().sum(axis=1).tolist()
        return dict(zip(self.marks.index.tolist(), counted, strict=True))

    @cached_property
    def sums(self) -> dict[int, int]:
        """The sum of the marks there are, less the penalty; those without a mark are missing."""
        numbers, lacking = self._parts
        given = ~lacking.all(axis=1)
        sums = numbers.sum(axis=1) - self.penalty.to_numpy(dtype="int64")
        keys = self.marks.index.to_numpy()[given].tolist()
        return dict(zip(keys, sums[given].tolist(), strict=True))

    @cached_property
    def in_it(self) -> tuple[int, ...]:
        """Who can take a place: no guest, and nobody who lacks a mark for good where that rules."""
        out = ~self.competing.to_numpy(dtype=bool)
        if self.incomplete == "no place":
            out = out | self.passed.to_numpy(dtype=bool).any(axis=1)
        return tuple(sorted(self.marks.index[~out].tolist()))

    @cached_property
    def totals(self) -> dict[int, int]:
        """What each is compared by so far, of those who can take a place."""
        return {key: self.total(self.sums[key]) for key in self.in_it if key in self.sums}

    def total(self, total: int) -> int:
        """What the sum of the marks makes: itself, or the average of two vaults."""
        if self.averaging is None:
            return total
        return (total + (self.averaging == "round")) // 2

    def to_come(self, key: int) -> tuple[str, ...]:
        """The parts that somebody is not over with."""
        over = self.over.loc[[key]].to_numpy(dtype=bool)[0].tolist()
        return tuple(part for part, is_over in zip(self.parts, over, strict=True) if not is_over)

    def room(self, key: int) -> Room:
        """What can still come; a part of a gymnast holds one mark."""
        return self.rooms.get(key) or Room(0, 0, len(self.to_come(key)))

    def filled(self, keys: Iterable[int], mark: int) -> Progress:
        """The same list once these have made this mark on all that is to come for them."""
        fill = (~self.over).mul(self.marks.index.isin(list(keys)), axis=0)
        return replace(self, marks=self.marks.mask(fill, mark))

    def complete(self, key: int) -> bool:
        """Nothing is to come."""
        return self.done[key] == len(self.parts)

    def sheet(self, keys: list[int]) -> Sheet:
        """What is compared among these, who are placed."""
        index = pd.Index(keys)
        rows = self.marks.index.get_indexer(index)
        totals = column([self.totals[key] for key in keys], index)
        return Sheet(totals, self.marks, self.e, self.d, self.facts, rows)

    def after(self, rotation: int) -> Progress:
        """The same list as it stood once this rotation was over.

        What was done in a rotation nobody knows does not show, except a status that leaves its
        gymnast without a place: that one may as well hold from the start.
        """
        numbers = self.rotation.to_numpy(dtype="int64", na_value=NEVER)
        hidden = numbers > rotation
        known = numbers != NEVER if self.incomplete == "no place" else True
        passed = self.passed.to_numpy(dtype=bool) & ~(hidden & known)
        return replace(
            self,
            marks=without(self.marks, hidden),
            e=without(self.e, hidden),
            d=without(self.d, hidden),
            passed=pd.DataFrame(passed, index=self.marks.index, columns=self.marks.columns),
        )

    def only(self, keys: list[int]) -> Progress:
        """The same list with only these rows."""
        if keys == self.marks.index.tolist():
            return self
        return replace(
            self,
            marks=self.marks.loc[keys],
            e=self.e.loc[keys],
            d=self.d.loc[keys],
            passed=self.passed.loc[keys],
            rotation=self.rotation.loc[keys],
            competing=self.competing.loc[keys],
            penalty=self.penalty.loc[keys],
            facts=self.facts.loc[keys],
        )

    def with_mark(
        self, key: int, part: str, mark: int | None, e: int | None = None, d: int | None = None
    ) -> Progress:
        """The same list with one mark put in, or in the place of another; None: none."""
        passed = self.passed.copy()
        passed.loc[key, part] = False
        return replace(
            self,
            marks=_with(self.marks, key, part, mark),
            e=_with(self.e, key, part, e),
            d=_with(self.d, key, part, d),
            passed=passed,
        )


def progress(marks: pd.DataFrame, **others: Any) -> Progress:
    """A list of which only some tables are given; the others are empty."""
    nothing = without(marks, np.ones(marks.shape, dtype=bool))
    bare = Progress(
        marks=marks,
        e=nothing,
        d=nothing,
        passed=pd.DataFrame(False, index=marks.index, columns=marks.columns),
        rotation=nothing,
        competing=pd.Series(True, index=marks.index),
        penalty=pd.Series(0, index=marks.index, dtype="Int64"),
        facts=pd.DataFrame(index=marks.index),
    )
    return replace(bare, **others)


def team_progress(
    members: Progress,
    entered: pd.DataFrame,
    team: pd.Series[Any],
    format: tuple[int, int],
    penalty: pd.Series[int],
) -> Progress:
    """The teams of these gymnasts; *format* is how many go up on an apparatus and how many count.

    A team is over with an apparatus once as many as may go up have a mark there or nobody entered
    is still to come; before that, its marks there are not compared. Its rotation is that of the
    last of them.
    """
    up, count = format
    marks, teams = members.marks, Teams.of(team)
    totals, lacking = parts_of(apparatus_totals(marks, team, counting(marks, team, count)))
    been = members.over.to_numpy()
    waiting = teams.sums(entered.to_numpy(dtype=bool) & ~been)
    free = np.minimum(np.maximum(up - teams.sums(~members.lacking), 0), waiting)
    over = free == 0
    return progress(
        table(totals, lacking | ~over, teams.names, marks.columns),
        rotation=_last_rotation(members, teams),
        passed=pd.DataFrame(over & lacking, index=teams.names, columns=marks.columns),
        penalty=penalty.reindex(teams.names, fill_value=0).astype("Int64"),
        incomplete="placed by what there is",
        rooms=dict(_rooms(members, teams, np.minimum(free, count), count)),
    )


def _rooms(
    members: Progress, teams: Teams, coming: Integers, count: int
) -> Iterator[tuple[int, Room]]:
    """Of each team, what the parts hold on which so many marks that count can still come."""
    numbers, lacking = parts_of(members.marks)
    for team, key in enumerate(teams.names.tolist()):
        own, held, kept = teams.codes == team, 0, 0
        for part in np.flatnonzero(coming[team]).tolist():
            given = numbers[own & ~lacking[:, part], part]
            best = sorted(given.tolist(), reverse=True)[:count]
            held, kept = held + sum(best), kept + sum(best[: count - coming[team, part]])
        yield key, Room(held, kept, int(coming[team].sum()))


def _last_rotation(members: Progress, teams: Teams) -> pd.DataFrame:
    """The last rotation in which somebody of a team was over with each apparatus."""
    rotations, unknown = parts_of(members.rotation)
    known = members.over.to_numpy() & ~unknown
    last = teams.highest(np.where(known, rotations, 0))
    return table(last, teams.sums(known) == 0, teams.names, members.marks.columns)


def plain(numbers: pd.Series[int]) -> dict[int, int]:
    """The numbers of a column by key, those that are missing left out."""
    keys = numbers.index.tolist()
    return {key: one for key, one in zip(keys, cells(numbers), strict=True) if one is not None}


def _with(table: pd.DataFrame, key: int, part: str, value: int | None) -> pd.DataFrame:
    changed = table.copy()
    changed.loc[key, part] = pd.NA if value is None else value
    return changed
