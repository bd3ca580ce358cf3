"""What the pictures show: numbers, labels and a text that says the same; `charts` draws them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from hashlib import sha256

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
