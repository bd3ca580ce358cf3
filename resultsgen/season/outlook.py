"""What is decided of a series before its last round: by what the rounds to come can give at most.

Whoever is called sure would be so in every finish of the rounds to come. Equals are taken to be
told apart to the worse, and who is in too few rounds yet to be left out. So a statement may come a
round late, and is never wrong. Where a round has no highest sum, nothing is called decided.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import accumulate
from typing import NamedTuple

from resultsgen.season.criteria import RoundPart
from resultsgen.season.series import SeriesLine, SeriesOutlook, SeriesTable, Sure
from resultsgen.season.settings import OverMeets, SeriesSettings

NOTHING = Fraction(0)


class Giving(NamedTuple):
    """What one round to come can give: to one, and to several together."""

    most: Fraction
    together: tuple[Fraction, ...] = ()
    """To the best, the best two and so on, where what one has the others have not."""

    def to(self, many: int) -> Fraction:
        """The most that so many can have together."""
        if not self.together or not many:
            return self.most * many
        return min(self.most * many, self.together[min(many, len(self.together)) - 1])


def giving(settings: OverMeets) -> Giving | None:
    """What a round to come gives at most; None: nobody knows."""
    points = [Fraction(one) for one in settings.points]
    if settings.count == "matches":
        highest = max(*settings.match_points, settings.draw or 0)
        return Giving(Fraction(highest * settings.matches))
    if settings.count == "totals":
        known = settings.highest if isinstance(settings, SeriesSettings) else None
        return None if known is None else Giving(Fraction(known))
    shared = settings.tied == "share"
    if settings.of != "clubs":
        return Giving(points[0], tuple(accumulate(points)) if shared else ())
    if shared:
        return Giving(sum(points[: settings.of_club], NOTHING), (sum(points, NOTHING),))
    return Giving(points[0] * settings.of_club) if settings.of_club else None


class _Span(NamedTuple):
    """The least and the most that a line can end with, and whether it is sure of a place."""

    least: Fraction
    most: Fraction
    stays: bool


def with_outlook(held: SeriesTable) -> SeriesTable:
    """The table with what is decided of each line."""
    settings = held.settings
    assert isinstance(settings, SeriesSettings)
    placed = [line for line in held.lines if line.place is not None]
    if held.over:
        told = {line.who: _final(line, placed, settings) for line in placed}
        return replace(held, lines=_with(held.lines, told))
    given = giving(settings)
    if given is None or any(
        part.value > given.most for line in placed for part in line.parts if part
    ):
        return held
    race = _Race(placed, settings, given, len(held.rounds) - len(held.held))
    told = {line.who: race.outlook(race.span(line.parts)) for line in placed}
    return replace(held, lines=_with(held.lines, told), bound=given.most)


def _with(lines: tuple[SeriesLine, ...], told: dict[str, SeriesOutlook]) -> tuple[SeriesLine, ...]:
    return tuple(line._replace(outlook=told.get(line.who, line.outlook)) for line in lines)


class _Race:
    """All lines with a place, and the rounds to come."""

    def __init__(
        self, lines: list[SeriesLine], settings: SeriesSettings, given: Giving, rounds: int
    ) -> None:
        self.settings, self.given, self.rounds = settings, given, rounds
        spans = [self.span(line.parts) for line in lines]
        self.behind = sorted(-span.least for span in spans)
        """Of the least that each can end with, the highest first."""
        self.sums = list(accumulate((-one for one in self.behind), initial=NOTHING))
        self.most = sorted(span.most for span in spans)
        self.staying = sorted(span.least for span in spans if span.stays)

    def span(self, parts: Sequence[RoundPart | None]) -> _Span:
        """What a line with these rounds can end with."""
        there = [part.value for part in parts if part]
        least, most = (
            sum(sorted([*there, *more], reverse=True)[: self.settings.best], NOTHING)
            for more in ([], [self.given.most] * self.rounds)
        )
        return _Span(least, most, len(there) >= self.settings.needed)

    def outlook(self, own: _Span) -> SeriesOutlook:
        """What is decided of a line."""
        settings = self.settings
        best = 1 + len(self.staying) - bisect_right(self.staying, own.most)
        new = self.newcomers(own)
        worst, apart = None, None
        if own.stays and new is not None:
            apart = 1 + self.passing(own, new, level=True)
            # Without a criterion, who is level shares the place.
            worst = apart if settings.ties else 1 + self.passing(own, new, level=False)
        stay = len(self.staying) - 1 - self.passing(own, 0, level=True) if own.stays else 0
        falls = len(self.behind) - bisect_left(self.behind, -own.most) - 1
        return SeriesOutlook(
            best, worst, _sure(worst, best, 1), _sure(apart, best, settings.up),
            _down(settings.down, stay, falls if settings.closed and own.stays else None),
        )  # fmt: skip

    def newcomers(self, own: _Span) -> int | None:
        """How many who were in no round yet can end level with it or ahead; None: any number."""
        too_late = self.rounds < self.settings.needed
        if self.settings.closed or too_late or self.span(()).most < own.least:
            return 0
        if not self.given.together or not own.least:
            return None
        return int(self.rounds * self.given.together[-1] // own.least)

    def passing(self, own: _Span, new: int, *, level: bool) -> int:
        """How many others can end ahead, or *level*, at once.

        Each of them must have the most for it, and what they lack together must be there to be
        had: those nearest lack the least.
        """
        find = bisect_left if level else bisect_right
        able = len(self.most) - find(self.most, own.least) - (level or own.most > own.least) + new
        ahead = (bisect_right if level else bisect_left)(self.behind, -own.least)
        first = ahead + (not level)  # With itself, who lacks nothing.

        def had(many: int) -> bool:
            rivals = min(many, len(self.behind))
            lack = own.least * (many - ahead) - (self.sums[rivals] - self.sums[ahead])
            there = self.rounds * self.given.to(many - 1)
            return lack < there or (level and lack == there)

        # The more, the more each further one lacks, and the less there is for each: once too many.
        further = range(first + 1, len(self.behind) + new + 1)
        return min(able, first - 1 + bisect_left(further, True, key=lambda many: not had(many)))


def _sure(worst: int | None, best: int, places: int) -> Sure | None:
    if not places:
        return None
    if worst is not None and worst <= places:
        return "sure"
    return "no" if best > places else "possible"


def _down(places: int, behind: int, falls: int | None) -> Sure | None:
    """Relegation: of nobody behind whom so many stay, and of who cannot leave so many behind."""
    if not places:
        return None
    if behind >= places:
        return "no"
    return "sure" if falls is not None and falls < places else "possible"


def _final(line: SeriesLine, placed: list[SeriesLine], settings: SeriesSettings) -> SeriesOutlook:
    """What the table says once all is over; possible: equals on the line."""
    place = line.place or 0
    level = sum(other.place == place for other in placed)
    behind = sum((other.place or 0) > place for other in placed)
    up: Sure = "sure" if place + level - 1 <= settings.up else "possible"
    down: Sure = "sure" if level + behind <= settings.down else "possible"
    return SeriesOutlook(
        place, place, "sure" if place == 1 else "no",
        ("no" if place > settings.up else up) if settings.up else None,
        ("no" if behind >= settings.down else down) if settings.down else None,
    )  # fmt: skip
