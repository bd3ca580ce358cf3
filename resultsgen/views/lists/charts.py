"""What the pictures show: numbers, labels and a text that says the same; `charts` draws them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from hashlib import sha256

from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.words.wording import Wording

FEWEST = 3
"""Fewer marks than this are read sooner than a picture of them."""


@dataclass(frozen=True, slots=True)
class Course:
    """The places of one gymnast or team, or thousandths behind the leader, one for each step.

    None: not compared there.
    """

    name: str
    places: tuple[int | None, ...]
    end: str = ""
    """What stands before the name, where it is not the last place."""


@dataclass(frozen=True, slots=True)
class OrderChart:
    """After each rotation, as lines, the places or what is between each and the leader.

    The course that ends first stands first.
    """

    text: str
    """What somebody hears who cannot see it."""
    steps: tuple[str, ...]
    courses: tuple[Course, ...]
    scale: tuple[tuple[int, str], ...] = ()
    """The margins that are written at the side, and how; none where places are drawn."""


class FieldMarks(tuple[int, ...]):
    """The marks of a field on one apparatus, lowest first.

    The page of everybody in the field has them: what tells one page from another has their digest.
    """

    @cached_property
    def digest(self) -> bytes:
        """The SHA-256 of these marks."""
        return sha256(repr(tuple(self)).encode()).digest()

    def __reduce__(self) -> tuple[type[FieldMarks], tuple[bytes]]:
        return FieldMarks, (self.digest,)


@dataclass(frozen=True, slots=True)
class Spread:
    """The marks on one apparatus, in thousandths, and the one that stands out."""

    label: str
    marks: FieldMarks
    own: int
    value: str
    """The mark that stands out, as it is printed."""


@dataclass(frozen=True, slots=True)
class SpreadChart:
    """How marks lie, a row for each apparatus on one scale."""

    text: str
    rows: tuple[Spread, ...]
    scale: tuple[tuple[int, str], ...]
    """The marks that are written below, and how."""


@dataclass(frozen=True, slots=True)
class QrCode:
    """An address as a square of modules, which a telephone reads."""

    text: str
    address: str


Chart = OrderChart | SpreadChart | QrCode


@dataclass(frozen=True)
class Marks:
    """The marks of one competition: for each apparatus its name and the marks, lowest first."""

    by_apparatus: dict[str, tuple[str, FieldMarks]]
    scale: tuple[tuple[int, str], ...]
    zeros: bool
    """Whether marks of zero were left out: beside them all others would be one spot."""


def marks_of(judged: CompetitionResults, wording: Wording) -> Marks:
    """What the pictures of a competition are drawn from; of two vaults the first."""
    made: dict[str, list[int]] = {code: [] for code in judged.by_apparatus}
    for _, routine in judged.routines:
        if routine.vault == 1 and routine.mark is not None and routine.apparatus in made:
            made[routine.apparatus].append(routine.mark)
    zeros = any(0 in marks for marks in made.values())
    found = {
        code: (wording.apparatus("VT1" if len(ranking.parts) > 1 else code), marks)
        for code, ranking in judged.by_apparatus.items()
        if len(marks := FieldMarks(sorted(filter(None, made[code])))) >= FEWEST
    }
    scale = scale_of([mark for _, marks in found.values() for mark in marks]) if found else ()
    return Marks(found, tuple((mark, wording.language.short(mark)) for mark in scale), zeros)


def spread_of_marks(marks: Marks, wording: Wording) -> SpreadChart | None:
    """How the marks on each apparatus lie, with the best; None where there are too few."""
    best = {code: lie[-1] for code, (_, lie) in marks.by_apparatus.items()}
    lead = wording.say("The marks on each apparatus, the best of them named.")
    return _spread_chart(best, marks, lead, wording)


def among_all_marks(own: Mapping[str, int], marks: Marks, wording: Wording) -> SpreadChart | None:
    """One gymnast's marks, by apparatus, among those of everybody."""
    lead = wording.say("The gymnast's own marks among all marks on each apparatus.")
    return _spread_chart(own, marks, lead, wording)


def strips(chart: SpreadChart) -> dict[str, SpreadChart]:
    """Each row by itself, to stand at the end of a row that says whose it is."""
    return {
        row.label: SpreadChart(f"{row.label}: {row.value}", (bare,), chart.scale)
        for row in chart.rows
        for bare in [replace(row, label="", value="")]
    }


def _spread_chart(
    named: Mapping[str, int], marks: Marks, lead: str, wording: Wording
) -> SpreadChart | None:
    show, rows, told = wording.language.mark, [], [lead]
    for code, (name, lie) in marks.by_apparatus.items():
        if own := named.get(code):
            rows.append(Spread(name, lie, own, show(own)))
            told.append(
                wording.say(
                    "{apparatus}: {mark}, of marks from {lowest} to {highest}.",
                    apparatus=name, mark=show(own), lowest=show(lie[0]), highest=show(lie[-1]),
                )
            )  # fmt: skip
    if marks.zeros:
        told.append(wording.say("Marks of zero are left out of the picture."))
    return SpreadChart(" ".join(told), tuple(rows), marks.scale) if rows else None


def scale_of(marks: list[int]) -> tuple[int, ...]:
    """At most six round marks that enclose all of these.

    >>> scale_of([11_250, 13_900])
    (11000, 12000, 13000, 14000)
    """
    low, high = min(marks), max(marks)
    for step in (100, 200, 500, 1_000, 2_000, 5_000, 10_000, 20_000):
        first, last = low // step * step, -(-high // step) * step
        if last - first <= 5 * step:
            return tuple(range(first, max(last, first + step) + 1, step))
    return (low, high + 1)
