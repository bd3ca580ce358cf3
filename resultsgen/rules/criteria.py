"""What equal totals are told apart by: each criterion one small function of what is compared.

A rule set names its criteria in order (`rulebook/*.toml`). Each is one line in `CRITERIA`, with the
words that page and book print, so that paper and code cannot part, and the lists it fits.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, partial
from typing import NamedTuple

from resultsgen.meet.ruleset import TieList

NO_TOTAL = -1
"""Stands for the all-around total of somebody who has none: below every total there is."""


class Compared(NamedTuple):
    """What one line of a list is compared by: whole thousandths; None: not given.

    `total` is what it is placed by, None for who takes no place. `marks` are those that make it
    up: the apparatus of an all-around, the two vaults of an average, the apparatus totals of a
    team, the one mark of an apparatus. `d` and `e` are the D and E scores of the same parts.
    """

    total: int | None
    marks: tuple[int | None, ...] = ()
    d: tuple[int | None, ...] = ()
    e: tuple[int | None, ...] = ()
    all_around: int | None = None
    """NO_TOTAL for whoever has none; None: it is known of nobody in the list."""
    birth_year: int | None = None
    e_worked_out: bool = False
    """One of the E scores was not given, but worked out."""


@dataclass(frozen=True)
class Criterion:
    """One step: the name in the rulebook, the words on paper, and the value compared.

    `value` is None where it was not given: then this criterion and all after it settle nothing.
    `of` are the lists that it says something of. `count` says of how many parts the value is the
    sum, where the criterion is one of a falling series (best five apparatus, best four ...); the
    words then hold `{count}`. `is_mark` says whether the value is printed as a mark; where it is
    not, `called` is what it is called when it was not given.
    """

    name: str
    words: str
    value: Callable[[Compared], int | None]
    of: tuple[TieList, ...]
    count: int = 0
    is_mark: bool = True
    called: str = ""

    @property
    def of_e(self) -> bool:
        """It compares E scores."""
        return self.name in ("E", "total E", "higher E")


def sum_of_best(line: Compared, count: int) -> int:
    """The sum of the best *count* marks; a part without a mark adds nothing.

    >>> sum_of_best(Compared(None, (14000, None, 13000, 12000)), 2)
    27000
    """
    return sum(sorted((mark for mark in line.marks if mark), reverse=True)[:count])


def _sum_if_known(line: Compared, scores: tuple[int | None, ...]) -> int | None:
    """The sum of D or E scores; not known as soon as a part with a mark lacks its own."""
    known = 0
    for score, mark in zip(scores, line.marks, strict=True):
        if score is not None:
            known += score
        elif mark is not None:
            return None
    return known


def _highest(values: tuple[int | None, ...]) -> int | None:
    """The highest of these; not known as soon as one is not."""
    known = [value for value in values if value is not None]
    return max(known) if known and len(known) == len(values) else None


def total_e(line: Compared) -> int | None:
    """The sum of the E scores of all parts."""
    return _sum_if_known(line, line.e)


def total_d(line: Compared) -> int | None:
    """The sum of the D scores of all parts."""
    return _sum_if_known(line, line.d)


def sum_of_parts(line: Compared) -> int:
    """The sum of both vaults: their average before it is cut or rounded."""
    return sum(mark or 0 for mark in line.marks)


def better_part(line: Compared) -> int | None:
    """The better of the two vaults."""
    return _highest(line.marks)


def higher_e(line: Compared) -> int | None:
    """The higher E score of the two vaults, whichever vault it belongs to."""
    return _highest(line.e)


def higher_d(line: Compared) -> int | None:
    """The higher D score of the two vaults, whichever vault it belongs to."""
    return _highest(line.d)


def all_around_total(line: Compared) -> int | None:
    """The all-around total; below every total for those who have none."""
    return line.all_around


def year_of_birth(line: Compared) -> int | None:
    """The year of birth: the younger gymnast first."""
    return line.birth_year


SUMS: tuple[TieList, ...] = ("all-around", "apparatus", "vault-average", "team", "team-apparatus")
PEOPLE: tuple[TieList, ...] = ("all-around", "apparatus", "vault-average")
VAULTS: tuple[TieList, ...] = ("vault-average",)

CRITERIA = (
    Criterion("total E", "total of the E scores", total_e, SUMS),
    Criterion("total D", "total of the D scores", total_d, SUMS),
    Criterion("E", "E score", total_e, ("apparatus",)),
    Criterion("D", "D score", total_d, ("apparatus",)),
    Criterion("sum of both vaults", "sum of both vaults", sum_of_parts, VAULTS),
    Criterion("better vault", "better vault", better_part, VAULTS),
    Criterion("higher E", "higher E score of the two vaults", higher_e, VAULTS),
    Criterion("higher D", "higher D score of the two vaults", higher_d, VAULTS),
    Criterion("all-around total", "all-around total", all_around_total, PEOPLE[1:]),
    Criterion(
        "younger", "younger gymnast", year_of_birth, PEOPLE, is_mark=False, called="year of birth"
    ),
)
"""Every criterion a rule set may name, beside those of SERIES."""

BEST_PARTS = "best apparatus, one fewer each time"
"""Names the falling series: best n-1 apparatus, best n-2 ... the best one."""

BEST_MARKS = "best marks, one fewer each time"
"""The same of the counting marks of a team on one apparatus."""


@dataclass(frozen=True)
class Series:
    """The words for the last of a falling series and for those before it, and its lists."""

    last: str
    before: str
    of: tuple[TieList, ...]


SERIES = {
    BEST_PARTS: Series("best apparatus", "best {count} apparatus", ("all-around", "team")),
    BEST_MARKS: Series("best mark", "best {count} marks", ("team-apparatus",)),
}


def fitting(of: TieList) -> list[str]:
    """The names of all criteria that say something of a list."""
    series = [name for name, falling in SERIES.items() if of in falling.of]
    return [*series, *(criterion.name for criterion in CRITERIA if of in criterion.of)]


def criteria(names: tuple[str, ...], parts: int) -> tuple[Criterion, ...]:
    """The criteria that a rule set names, for a list whose total has so many parts.

    Raises KeyError with the name where there is no such criterion.
    """
    known = {criterion.name: criterion for criterion in CRITERIA}
    steps: list[Criterion] = []
    for name in names:
        if name in SERIES:
            steps += [_best(name, count) for count in range(parts - 1, 0, -1)]
        else:
            steps.append(known[name])
    return tuple(steps)


@cache
def _best(name: str, count: int) -> Criterion:
    series = SERIES[name]
    words = series.last if count == 1 else series.before
    return Criterion(name, words, partial(sum_of_best, count=count), series.of, count)
