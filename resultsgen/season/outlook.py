"""What is decided of a series before its last round: by what the rounds to come can give at most.

Whoever is called sure would be so in every finish of the rounds to come. Equals are taken to be
told apart to the worse, and who is in too few rounds yet to be left out. So a statement may come a
round late, and is never wrong. Where a round has no highest sum, nothing is called decided.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate
from typing import NamedTuple

from resultsgen.season.criteria import RoundPart
from resultsgen.season.series import SeriesLine, SeriesOutlook, SeriesTable, Sure
from resultsgen.season.settings import OverMeets, SeriesSettings

NOBODY = Fraction(0)


@dataclass(frozen=True)
class Giving:
    """What one round to come can give: to one, and to several together."""

    most: Fraction
    each: tuple[Fraction, ...] = ()
    """To the best, the second and so on, where what one has the others have not; else *most*."""

    def to(self, many: int) -> Fraction:
        """The most that so many can have together."""
        if not self.each:
            return self.most * many
        return min(self.most * many, sum(self.each[:many], NOBODY))


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
        return Giving(points[0], tuple(points) if shared else ())
    if shared:
        return Giving(sum(points[: settings.of_club], NOBODY), (sum(points, NOBODY),))
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
    to_come = len(held.rounds) - len(held.held)
    spans = {line.who: _span(line.parts, settings, given, to_come) for line in placed}
    race = _ToCome(settings, given, to_come)
    told = {
        who: _outlook(own, [span for other, span in spans.items() if other != who], race)
        for who, own in spans.items()
    }
    return replace(held, lines=_with(held.lines, told), bound=given.most)


def _with(lines: tuple[SeriesLine, ...], told: dict[str, SeriesOutlook]) -> tuple[SeriesLine, ...]:
    return tuple(line._replace(outlook=told.get(line.who, line.outlook)) for line in lines)


def _span(
    parts: Sequence[RoundPart | None], settings: OverMeets, given: Giving, to_come: int
) -> _Span:
    there = [part.value for part in parts if part]
    least, most = (
        sum(sorted([*there, *more], reverse=True)[: settings.best], NOBODY)
        for more in ([], [given.most] * to_come)
    )
    return _Span(least, most, len(there) >= settings.needed)


class _ToCome(NamedTuple):
    """The rounds to come, and what they give at most."""

    settings: SeriesSettings
    given: Giving
    rounds: int

    def newcomers(self, own: _Span) -> int | None:
        """How many who were in no round yet can end level with it or ahead; None: any number."""
        most = _span((), self.settings, self.given, self.rounds).most
        if self.settings.closed or most < own.least:
            return 0
        if not self.given.each or not own.least:
            return None
        return int(self.rounds * sum(self.given.each, NOBODY) // own.least)

    def passing(self, own: _Span, rivals: list[_Span], new: int, *, level: bool) -> int:
        """How many can end ahead, or *level*, at once: what they lack together must be had."""
        lacks = (max(own.least - rival.least, NOBODY) for rival in rivals if rival.most > own.least
                 or (level and rival.most == own.least))  # fmt: skip
        lacking = sorted([*lacks, *[own.least] * new])
        return max(
            (
                many
                for many, lack in enumerate(accumulate(lacking), start=1)
                if lack < (there := self.rounds * self.given.to(many)) or (level and lack == there)
            ),
            default=0,
        )


def _outlook(own: _Span, rivals: list[_Span], to_come: _ToCome) -> SeriesOutlook:
    settings = to_come.settings
    best = 1 + sum(rival.stays and rival.least > own.most for rival in rivals)
    new = to_come.newcomers(own)
    worst, apart = None, None
    if own.stays and new is not None:
        apart = 1 + to_come.passing(own, rivals, new, level=True)
        # Without a criterion, who is level shares the place.
        worst = apart if settings.ties else 1 + to_come.passing(own, rivals, new, level=False)
    passing = to_come.passing(own, rivals, 0, level=True)
    behind = sum(rival.stays for rival in rivals) - passing if own.stays else 0
    falls = sum(rival.least <= own.most for rival in rivals)
    return SeriesOutlook(
        best, worst, _sure(worst, best, 1), _sure(apart, best, settings.up),
        _down(settings.down, behind, falls if settings.closed and own.stays else None),
    )  # fmt: skip


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
