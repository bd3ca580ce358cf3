"""A series: what its rounds add up to, who is where, and why, in exact fractions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import groupby
from typing import Literal, NamedTuple

from resultsgen.meet.marks import show_mark
from resultsgen.season.criteria import (
    CRITERIA,
    Match,
    RoundPart,
    SeriesCriterion,
    SeriesEntry,
    Value,
)
from resultsgen.season.settings import OverMeets

State = Literal["held", "running", "to come"]
Sure = Literal["sure", "possible", "no"]
Parts = Mapping[str, RoundPart]
"""What a round gives, by whose it is."""


class Round(NamedTuple):
    """One round: a list of a meet. It counts once no mark of it is to come."""

    id: str
    """As the settings name it: june-cup, or june-cup/women-final."""
    meet: str
    competitions: tuple[str, ...]
    title: str
    """Of the meet, or of the calendar."""
    state: State
    parts: Parts
    """Of a round that runs, how it stands so far, which adds nothing."""

    @property
    def matches(self) -> tuple[Match, ...]:
        """The matches of a league, each once."""
        return tuple(dict.fromkeys(match for part in self.parts.values() for match in part.matches))


class SeriesStep(NamedTuple):
    """What one criterion did to lines that were equal until then: their values, the best first."""

    criterion: SeriesCriterion
    who: tuple[str, ...]
    values: tuple[Value, ...]


class SeriesTie(NamedTuple):
    """Lines with an equal sum, in order of place; those with one place share it."""

    who: tuple[str, ...]
    places: tuple[int, ...]
    steps: tuple[SeriesStep, ...]
    """Only the criteria that told somebody apart."""


class SeriesOutlook(NamedTuple):
    """What holds whatever the rounds to come bring; None where that is not known."""

    best: int | None = None
    """No better place can be reached."""
    worst: int | None = None
    """No worse place can come."""
    first: Sure | None = None
    up: Sure | None = None
    """Promotion; None where nobody is promoted, or nothing is known."""
    down: Sure | None = None
    """Relegation; when all is over, possible: a tie on the line, that the criteria leave."""


NOTHING_KNOWN = SeriesOutlook()


class SeriesLine(NamedTuple):
    """One line of the table."""

    place: int | None
    """None: it was in too few rounds, and cannot be in enough any more."""
    who: str
    """The key of a career, or the name of the team or club."""
    parts: tuple[RoundPart | None, ...]
    """For each round that was held, in order."""
    sum: Fraction
    """Of what counts, in thousandths."""
    behind: Fraction
    """Less than the first."""
    before: int | None
    """The place after the round before the last; None: had none."""
    outlook: SeriesOutlook = NOTHING_KNOWN

    @property
    def gained(self) -> int | None:
        """How many places it went up with the last round; None: there is nothing to compare."""
        return self.before - self.place if self.before and self.place else None


@dataclass(frozen=True)
class SeriesTable:
    """A series as it stands after the rounds that were held."""

    settings: OverMeets
    rounds: tuple[Round, ...]
    """All, in order; also those to come."""
    lines: tuple[SeriesLine, ...]
    ties: tuple[SeriesTie, ...]
    order: tuple[Mapping[str, int], ...]
    """The places after each round that was held."""
    bound: Fraction | None = None
    """The most that a round to come can give; None: not known, and nothing is called decided."""

    @cached_property
    def held(self) -> tuple[Round, ...]:
        """The rounds that count."""
        return tuple(one for one in self.rounds if one.state == "held")

    @property
    def over(self) -> bool:
        """No round is to come."""
        return len(self.held) == len(self.rounds)


def points_by_place(
    places: Mapping[str, int], points: Sequence[int], *, each: bool
) -> dict[str, Fraction]:
    """The points of each place; equals share those of their places exactly, or *each* get the best.

    >>> points_by_place({"A": 1, "B": 2, "C": 2}, [5000, 3000, 2000], each=False)["C"]
    Fraction(2500, 1)
    """
    equals: dict[int, list[str]] = {}
    for who, place in places.items():
        equals.setdefault(place, []).append(who)
    given = {}
    for place, sharing in equals.items():
        taken = points[place - 1 : place if each else place - 1 + len(sharing)]
        given[place] = Fraction(sum(taken), 1 if each else len(sharing))
    return {who: given[place] for who, place in places.items()}


def counting(parts: Sequence[RoundPart | None], best: int | None) -> tuple[RoundPart | None, ...]:
    """The rounds of a line with what is dropped: all but the best; of equal ones the later."""
    there = [number for number, part in enumerate(parts) if part]
    ordered = sorted(there, key=lambda number: -_value(parts[number]))
    counted = set(ordered[:best])
    return tuple(
        part and part._replace(counts=number in counted) for number, part in enumerate(parts)
    )


def _value(part: RoundPart | None) -> Fraction:
    return part.value if part else Fraction(0)


def sum_of(parts: Sequence[RoundPart | None]) -> Fraction:
    """What counts, added."""
    return sum((part.value for part in parts if part and part.counts), Fraction(0))


def table(settings: OverMeets, rounds: tuple[Round, ...]) -> SeriesTable:
    """The table after the rounds that were held, without what is decided of those to come."""
    held = [one.parts for one in rounds if one.state == "held"]
    stages = [_stage(settings, held[: many + 1], len(rounds)) for many in range(len(held))]
    order = tuple(
        {line.who: place for line, place in stage.lines if place is not None} for stage in stages
    )
    if not stages:
        return SeriesTable(settings, rounds, (), (), ())
    sums = {line.who: sum_of(line.parts) for line, _ in stages[-1].lines}
    first = max((sums[who] for who in order[-1]), default=Fraction(0))
    before = order[-2] if len(order) > 1 else {}
    lines = tuple(
        SeriesLine(place, line.who, line.parts, sums[line.who], first - sums[line.who],
                   before.get(line.who))
        for line, place in stages[-1].lines
    )  # fmt: skip
    return SeriesTable(settings, rounds, lines, stages[-1].ties, order)


class _Stage(NamedTuple):
    """The table after some rounds: each line with its place, the best first, and its ties."""

    lines: tuple[tuple[SeriesEntry, int | None], ...]
    ties: tuple[SeriesTie, ...]


def _stage(settings: OverMeets, held: Sequence[Parts], rounds: int) -> _Stage:
    everybody = sorted({who for parts in held for who in parts})
    lines = [
        SeriesEntry(who, counting([parts.get(who) for parts in held], settings.best))
        for who in everybody
    ]
    to_come = rounds - len(held)
    able = [line for line in lines if len(line.there) + to_come >= settings.needed]
    placed: list[tuple[SeriesEntry, int | None]] = []
    ties = []
    for equals in _equals(able, [sum_of(line.parts) for line in able]):
        groups, steps = _told_apart(equals, _criteria(settings.ties))
        own: list[tuple[SeriesEntry, int | None]] = []
        for sharing in groups:
            place = len(placed) + len(own) + 1
            own += [(line, place) for line in sharing]
        if len(own) > 1:
            who, places = tuple(line.who for line, _ in own), tuple(p or 0 for _, p in own)
            ties.append(SeriesTie(who, places, tuple(steps)))
        placed += own
    beside = [line for line in lines if len(line.there) + to_come < settings.needed]
    beside.sort(key=lambda line: -sum_of(line.parts))
    return _Stage((*placed, *((line, None) for line in beside)), tuple(ties))


def _criteria(names: tuple[str, ...]) -> tuple[SeriesCriterion, ...]:
    known = {one.name: one for one in CRITERIA}
    return tuple(known[name] for name in names)


def _told_apart(
    equals: list[SeriesEntry], criteria: Sequence[SeriesCriterion]
) -> tuple[list[list[SeriesEntry]], list[SeriesStep]]:
    """Those still equal together, the best first, and what told them apart."""
    if len(equals) == 1 or not criteria:
        return [equals], []
    values = [criteria[0].value(line, equals) for line in equals]
    groups = list(_equals(equals, values))
    steps: list[SeriesStep] = []
    if len(groups) > 1:
        of = {line.who: value for line, value in zip(equals, values, strict=True)}
        who = [line.who for group in groups for line in group]
        steps.append(SeriesStep(criteria[0], tuple(who), tuple(of[one] for one in who)))
    told: list[list[SeriesEntry]] = []
    for group in groups:
        apart, further = _told_apart(group, criteria[1:])
        told += apart
        steps += further
    return told, steps


def _equals(lines: Sequence[SeriesEntry], values: Sequence[object]) -> Iterator[list[SeriesEntry]]:
    """Lines with the same value together, the highest first; in each the order stays."""
    pairs = sorted(zip(values, lines, strict=True), key=lambda pair: pair[0], reverse=True)  # type: ignore[arg-type,return-value]
    for _, group in groupby(pairs, key=lambda pair: pair[0]):
        yield [line for _, line in group]


def shown_points(thousandths: Fraction, point: str = ".") -> str:
    """Points as they are printed: no decimals where none are needed, and what none hold as 8 1/3.

    >>> [shown_points(Fraction(points, 3)) for points in (75000, 37500, 25000)]
    ['25', '12.5', '8 1/3']
    """
    if thousandths.denominator == 1:
        return show_mark(int(thousandths), point).rstrip("0").removesuffix(point)
    whole, rest = divmod(abs(thousandths) / 1000, 1)
    sign = "-" if thousandths < 0 else ""
    return sign + " ".join(filter(None, (str(whole) if whole else "", str(rest))))


def shown_value(
    value: Value, criterion: SeriesCriterion, settings: OverMeets, point: str = "."
) -> str:
    """What a criterion compared, as it is printed."""
    if criterion.shown == "mark":
        return show_mark(int(value[0]), point)
    if criterion.shown == "sum":
        return shown_sum(value[0], settings, point)
    if criterion.shown == "points":
        return shown_points(value[0], point)
    return "-".join(str(abs(one)) for one in value)


def shown_sum(thousandths: Fraction, settings: OverMeets, point: str = ".") -> str:
    """What a series adds, as it is printed: totals as marks."""
    if settings.count == "totals":
        return show_mark(int(thousandths), point)
    return shown_points(thousandths, point)
