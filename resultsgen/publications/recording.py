"""What a publication keeps of the results."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator

from resultsgen.publication import (
    Publication,
    PublishedCompetition,
    PublishedCut,
    PublishedLine,
    PublishedList,
    PublishedMark,
    PublishedTie,
    Through,
)
from resultsgen.results import (
    CompetitionResults,
    CutResult,
    Gymnast,
    Line,
    Ranking,
    Results,
    Routine,
    TeamLine,
    TeamRanking,
)
from resultsgen.views.rankings import list_id

NameOf = Callable[[int], str]


def record(
    results: Results, number: int, published: dt.datetime | None, *, sealed: bool = False
) -> Publication:
    """The publication of that number that these results make."""
    settings = results.meet.settings
    persons = dict.fromkeys(one.person for one in results.gymnasts.values())
    return Publication(
        number=number,
        published=published,
        state=settings.status.state,
        sealed=sealed,
        signed=settings.status.signed,
        gymnasts=tuple(sorted(persons)),
        competitions=tuple(_competition(one) for one in results.competitions),
        corrections=tuple(row.told for row in results.meet.corrections),
    )


def _competition(one: CompetitionResults) -> PublishedCompetition:
    return PublishedCompetition(
        id=one.competition.id,
        entered_from=one.competition.entered_from,
        marks=_marks(one) if one.competition.has_own_marks else (),
        lists=tuple(_list(ranking) for ranking in one.rankings),
        marks_from=tuple(id for id in one.competition.fed_by if id != one.competition.entered_from),
    )


def _marks(one: CompetitionResults) -> tuple[PublishedMark, ...]:
    """The marks that are entered for a competition; those of others are kept with them."""
    return tuple(_mark(gymnast, routine) for gymnast, routine in one.routines)


def _mark(gymnast: Gymnast, routine: Routine) -> PublishedMark:
    return PublishedMark(
        gymnast.bib, routine.apparatus, routine.vault, routine.mark, routine.d, routine.e,
        routine.penalty, routine.bonus, routine.status,
    )  # fmt: skip


def _list(ranking: Ranking | TeamRanking) -> PublishedList:
    names = _names(ranking)
    lines: tuple[Line | TeamLine, ...] = ranking.lines
    return PublishedList(
        id=list_id(ranking),
        lines=tuple(
            PublishedLine(who, one.place, one.total, one.status)
            for who, one in zip(names.values(), lines, strict=True)
        ),
        ties=tuple(
            PublishedTie(tuple(names[key] for key in tie.keys), tie.places) for tie in ranking.ties
        ),
        cuts=tuple(
            PublishedCut(name=cut.cut.name, lines=tuple(_through(cut, names.__getitem__)))
            for cut in ranking.cuts
        ),
    )


def _names(ranking: Ranking | TeamRanking) -> dict[int, str]:
    """What a publication calls each line, in their order: the team's name, or the bib."""
    if isinstance(ranking, TeamRanking):
        return {line.key: line.name for line in ranking.lines}
    return {line.gymnast.key: line.gymnast.bib for line in ranking.lines}


def _through(cut: CutResult, name_of: NameOf) -> Iterator[Through]:
    """Those who go through, stand by, or were passed over by the cap."""
    for one in cut.lines:
        outcome = one.verdict.outcome
        if outcome in ("qualified", "reserve", "capped"):
            starts = one.called_up or (outcome == "qualified" and not one.withdrawn)
            number = one.verdict.number if outcome == "reserve" else 0
            yield Through(name_of(one.key), outcome, number, starts)
