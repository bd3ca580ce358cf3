"""Qualification over several meets: who has the standard, and who of them has a place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, NamedTuple

from resultsgen.rules.cuts import Candidate, Outcome, Quota, Verdict, verdicts
from resultsgen.season.criteria import RoundPart
from resultsgen.season.series import SeriesLine, SeriesTable
from resultsgen.season.settings import QualificationSettings


class QualifyingLine(NamedTuple):
    """What a qualification means for one line of its list."""

    line: SeriesLine
    body: str
    """The club or federation, that of the newest round."""
    reached: tuple[str, ...]
    """The rounds in which the standard was reached; none where there is no standard."""
    outcome: Outcome | Literal["no standard"]
    number: int = 0
    """Of those who qualify, or of the reserves."""
    ahead: tuple[str, ...] = ()
    """Who fills the cap of the body, where that is the reason."""
    verdict: Verdict | None = None
    """What the list means; None: without the standard it is not asked."""


@dataclass(frozen=True)
class Qualification:
    """A qualification as it stands after the rounds that were held."""

    settings: QualificationSettings
    ranking: SeriesTable
    lines: tuple[QualifyingLine, ...]
    """In the order of the ranking."""

    @property
    def over(self) -> bool:
        """Nothing of it can change any more."""
        return self.ranking.over


def qualification(
    settings: QualificationSettings, ranking: SeriesTable, body_of: Mapping[str, str]
) -> Qualification:
    """Who qualifies by this ranking: those with the standard walk as in the cuts of a meet."""
    reached = {line.who: reached_in(line, ranking, settings) for line in ranking.lines}
    standard = settings.mark is not None or settings.place is not None
    asked = [
        number for number, line in enumerate(ranking.lines)
        if line.place is not None and (not standard or len(reached[line.who]) >= settings.times)
    ]  # fmt: skip
    candidates = [
        Candidate(number, line.place, int(line.sum), body_of.get(line.who, ""))
        for number in asked for line in [ranking.lines[number]]
    ]  # fmt: skip
    places = len(candidates) if settings.places is None else settings.places
    quota = Quota(places, settings.reserves, settings.cap)
    told = {verdict.key: verdict for verdict in verdicts(candidates, quota)}
    lines = []
    for number, line in enumerate(ranking.lines):
        own = QualifyingLine(line, body_of.get(line.who, ""), reached[line.who], "no standard")
        if verdict := told.get(number):
            ahead = tuple(ranking.lines[key].who for key in verdict.ahead)
            own = own._replace(
                outcome=verdict.outcome, number=verdict.number, ahead=ahead, verdict=verdict
            )
        elif line.place is None:
            own = own._replace(outcome="unranked")
        lines.append(own)
    return Qualification(settings, ranking, tuple(lines))


def reached_in(
    line: SeriesLine, ranking: SeriesTable, settings: QualificationSettings
) -> tuple[str, ...]:
    """The rounds in which a line reached the mark, or the place, that the standard asks for."""
    return tuple(
        one.id
        for one, part in zip(ranking.held, line.parts, strict=True)
        if part and has_standard(part, settings)
    )


def has_standard(part: RoundPart, settings: QualificationSettings) -> bool:
    """The mark or the place is enough."""
    by_mark = settings.mark is not None and (part.total or 0) >= settings.mark
    return by_mark or (settings.place is not None and (part.place or 10**9) <= settings.place)
