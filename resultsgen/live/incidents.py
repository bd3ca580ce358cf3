"""What an incident cost: the mark without it, and the places that mark would have had.

Everything else stays as it was. It explains a result and is none itself. A deduction is taken
from the E score or as a penalty; without it the mark is higher by so much, up to the highest
that the rules know. Source: arithmetic; the deductions are in `rulebook/incidents/`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import pandas as pd

from resultsgen.live.progress import Progress, plain
from resultsgen.live.standings import standing
from resultsgen.rules.criteria import Criterion

TakenFrom = Literal["E", "penalty"]


@dataclass(frozen=True)
class Incident:
    """What happened to one gymnast on one apparatus, and its deduction in thousandths."""

    key: int
    part: str
    name: str
    deduction: int
    taken_from: TakenFrom = "E"


@dataclass(frozen=True)
class Highest:
    """The highest mark and the highest E score that the rules know; None: open."""

    mark: int | None = None
    e: int | None = None


@dataclass(frozen=True)
class Change:
    """Where somebody stands in a list, and would stand with other marks; None: nowhere."""

    key: int
    place: int | None
    total: int | None
    place_then: int | None
    total_then: int | None
    so_far: bool = False
    """Marks are to come; the places are among those who have done as many apparatus."""


def mark_without(mark: int, incidents: Sequence[Incident], highest: Highest) -> int:
    """The mark without these incidents."""
    return _at_most(mark + sum(one.deduction for one in incidents), highest.mark)


def without(progress: Progress, incidents: Sequence[Incident], highest: Highest) -> Progress:
    """The same list without these incidents; a routine without a mark stays as it is."""
    routines: dict[tuple[int, str], list[Incident]] = {}
    for one in incidents:
        routines.setdefault((one.key, one.part), []).append(one)
    for (key, part), these in routines.items():
        if part in progress.parts and key in progress.marks.index:
            progress = _mended(progress, key, part, these, highest)
    return progress


def _mended(
    progress: Progress, key: int, part: str, incidents: list[Incident], highest: Highest
) -> Progress:
    mark = _number(progress.marks, key, part)
    if mark is None:
        return progress
    in_e = sum(one.deduction for one in incidents if one.taken_from == "E")
    e = _number(progress.e, key, part)
    return progress.with_mark(
        key,
        part,
        mark_without(mark, incidents, highest),
        None if e is None else _at_most(e + in_e, highest.e),
        _number(progress.d, key, part),
    )


def change(now: Progress, then: Progress, key: int, steps: tuple[Criterion, ...]) -> Change:
    """What other marks in the same list change for one gymnast or team.

    While marks are to come, whoever has nobody to be compared with has no place.
    """
    place, total = _stands(now, key, steps)
    place_then, total_then = _stands(then, key, steps)
    so_far = not all(now.complete(one) for one in now.in_it)
    return Change(key, place, total, place_then, total_then, so_far)


def _stands(
    progress: Progress, key: int, steps: tuple[Criterion, ...]
) -> tuple[int | None, int | None]:
    """Place and total among those who have done as many."""
    stands = standing(progress, steps)
    for group in stands.groups:
        for line in group:
            if line.key == key:
                alone = len(group) == 1 and not stands.level
                return None if alone else line.place, line.total
    return None, None


def _at_most(value: int, highest: int | None) -> int:
    return value if highest is None else min(value, highest)


def _number(table: pd.DataFrame, key: int, part: str) -> int | None:
    return plain(table[part]).get(key)
