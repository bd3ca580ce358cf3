"""Every routine of a competition once, whichever of its lists show it."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.results import CompetitionResults, Gymnast, Routine


def routines(competition: CompetitionResults) -> tuple[tuple[Gymnast, Routine], ...]:
    """Who did what, by apparatus, in the order of the roster, the first vault before the second.

    Only what has a mark or a status: a gymnast who has not started yet has no routine.
    """
    found = {
        (competition.apparatus.index(routine.apparatus), gymnast.key, routine.vault): (
            gymnast,
            routine,
        )
        for gymnast, routine in _shown(competition)
        if routine.mark is not None or routine.status
    }
    return tuple(found[key] for key in sorted(found))


def _shown(competition: CompetitionResults) -> Iterator[tuple[Gymnast, Routine]]:
    """The routines of all lists; the apparatus lists come last, since they know the places.

    Where days are added, the routines are those of the days.
    """
    teams = competition.team.lines if competition.team else ()
    members = (member for team in teams for member in team.members if not member.day)
    lines = (
        line
        for ranking in (competition.all_around, *competition.by_apparatus.values())
        if ranking
        for line in ranking.lines
    )
    for gymnast, shown in (
        *((member.gymnast, member.routines) for member in members),
        *((line.gymnast, line.routines) for line in lines),
    ):
        yield from ((gymnast, routine) for routine in shown if routine)
