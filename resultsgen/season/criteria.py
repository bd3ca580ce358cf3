"""What equal lines of a series are told apart by: each criterion one small function of a line."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, NamedTuple

Value = tuple[Fraction, ...]
"""SeriesEntry from the front, the higher first."""

Shown = Literal["number", "sum", "points", "mark", "places"]


class Side(NamedTuple):
    """A team in one match."""

    who: str
    total: int | None
    points: Fraction
    sets: Fraction
    """Set points: of each apparatus by the totals there."""
    apparatus: tuple[int | None, ...]


class Match(NamedTuple):
    """Teams against each other in one competition; the best side first."""

    competition: str
    apparatus: tuple[str, ...]
    sides: tuple[Side, ...]

    def side(self, who: str) -> Side:
        """That of a team."""
        return next(side for side in self.sides if side.who == who)

    def points_of(self, who: str, opponents: set[str]) -> Fraction:
        """Match points, where the match was against one of these."""
        against = {side.who for side in self.sides} & opponents
        return self.side(who).points if against else Fraction(0)


class RoundPart(NamedTuple):
    """What one round gives to one who took part in it."""

    place: int | None
    total: int | None
    """As the meet has it, in thousandths; of a club the sum of those who count."""
    value: Fraction
    """What it adds, in thousandths: points, the total, or match points."""
    counts: bool = True
    """False: one of the worst rounds, and dropped."""
    matches: tuple[Match, ...] = ()
    entry: int | None = None
    """Of a gymnast the row of the roster there."""


class SeriesEntry(NamedTuple):
    """A line that is equal to others: whose it is, and its rounds in order; None: not there."""

    who: str
    parts: tuple[RoundPart | None, ...]

    @property
    def there(self) -> list[RoundPart]:
        """The rounds in which it took part."""
        return [part for part in self.parts if part]


Equals = Sequence[SeriesEntry]


@dataclass(frozen=True)
class SeriesCriterion:
    """One step: its name in season.toml, the words on paper, and what is compared."""

    name: str
    words: str
    value: Callable[[SeriesEntry, Equals], Value]
    shown: Shown = "number"
    of: Literal["", "places", "matches"] = ""
    """Only where there are places in the rounds, or matches."""


def _places(line: SeriesEntry) -> list[int]:
    return [part.place for part in line.there if part.place]


def most_firsts(line: SeriesEntry, _: Equals) -> Value:
    """How often it came first."""
    return (Fraction(_places(line).count(1)),)


def best_places(line: SeriesEntry, _: Equals) -> Value:
    """More first places, then more second places, and so on."""
    return tuple(Fraction(-place) for place in sorted(_places(line)))


def best_round(line: SeriesEntry, _: Equals) -> Value:
    """The most that one round gave."""
    return (max((part.value for part in line.there), default=Fraction(0)),)


def last_round(line: SeriesEntry, _: Equals) -> Value:
    """What the last round gave; nothing, where it was not there."""
    part = line.parts[-1] if line.parts else None
    return (part.value if part else Fraction(0),)


def all_rounds(line: SeriesEntry, _: Equals) -> Value:
    """The sum with the rounds that are dropped."""
    return (sum((part.value for part in line.there), Fraction(0)),)


def more_rounds(line: SeriesEntry, _: Equals) -> Value:
    """In how many rounds it was."""
    return (Fraction(len(line.there)),)


def best_total(line: SeriesEntry, _: Equals) -> Value:
    """The highest total or mark of a round."""
    return (Fraction(max((part.total or 0 for part in line.there), default=0)),)


def sum_of_totals(line: SeriesEntry, _: Equals) -> Value:
    """The sum of the totals or marks of the rounds that count."""
    return (Fraction(sum(part.total or 0 for part in line.there if part.counts)),)


def wins(line: SeriesEntry, _: Equals) -> Value:
    """How many matches it won alone."""
    return (Fraction(sum(won(match, line.who) for match in _matches(line))),)


def won(match: Match, who: str) -> bool:
    """Nobody has as many points of the match."""
    own = match.side(who).points
    return all(side.points < own for side in match.sides if side.who != who)


def _matches(line: SeriesEntry) -> list[Match]:
    return [match for part in line.there for match in part.matches]


def set_points(line: SeriesEntry, _: Equals) -> Value:
    """The set points that were won."""
    return (sum((match.side(line.who).sets for match in _matches(line)), Fraction(0)),)


def set_difference(line: SeriesEntry, _: Equals) -> Value:
    """The set points won less those of the others."""
    all_sets = (side.sets for match in _matches(line) for side in match.sides)
    return (2 * set_points(line, ())[0] - sum(all_sets, Fraction(0)),)


def between_them(line: SeriesEntry, equals: Equals) -> Value:
    """The match points from matches with those who are equal to it."""
    others = {one.who for one in equals} - {line.who}
    points = (match.points_of(line.who, others) for match in _matches(line))
    return (sum(points, Fraction(0)),)


CRITERIA = (
    SeriesCriterion("most firsts", "the number of first places", most_firsts, of="places"),
    SeriesCriterion(
        "best places",
        "the first places, then the second places, and so on",
        best_places,
        "places",
        of="places",
    ),
    SeriesCriterion("best round", "the best single round", best_round, "sum"),
    SeriesCriterion("last round", "the last round", last_round, "sum"),
    SeriesCriterion("all rounds", "the sum of all rounds, with what is dropped", all_rounds, "sum"),
    SeriesCriterion("more rounds", "the number of rounds", more_rounds),
    SeriesCriterion("best total", "the highest total of a round", best_total, "mark"),
    SeriesCriterion(
        "sum of totals", "the sum of the totals of the rounds that count", sum_of_totals, "mark"
    ),
    SeriesCriterion("wins", "the number of matches won", wins, of="matches"),
    SeriesCriterion("set points", "the set points", set_points, "points", of="matches"),
    SeriesCriterion(
        "set difference",
        "the set points less those of the others",
        set_difference,
        "points",
        of="matches",
    ),
    SeriesCriterion(
        "between them", "the match points against each other", between_them, "points", of="matches"
    ),
)
"""Every criterion that the ties of a series may name."""
