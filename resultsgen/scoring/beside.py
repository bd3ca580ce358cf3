"""The marks that no list of their competition takes: shown beside a list, with why."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.scoring.results import (
    Beside,
    CompetitionResults,
    Gymnast,
    Line,
    Routine,
    Why,
)

Shown = tuple[int, str, int]
"""The key of a gymnast, an apparatus and the number of the vault."""


def beside(one: CompetitionResults) -> tuple[Beside, ...]:
    """A line for each gymnast with such marks, in order of name; a second vault has its own.

    Where the marks are those of other competitions, they show there.
    """
    home = one.home
    if home is None or not one.competition.has_own_marks:
        return ()
    shown = set(_shown(one))
    found: dict[tuple[int, Why], dict[str, Routine]] = {}
    people: dict[int, Gymnast] = {}
    for who, routine in one.routines:
        if (who.key, routine.apparatus, routine.vault) not in shown:
            people[who.key] = who
            found.setdefault((who.key, _why(one, who, routine)), {})[routine.apparatus] = routine
    order = [start.gymnast.key for start in one.starts]
    return tuple(
        Beside(_line(people[key], home.parts, routines), why)
        for (key, why), routines in sorted(found.items(), key=lambda pair: order.index(pair[0][0]))
    )


def _line(who: Gymnast, parts: tuple[str, ...], routines: dict[str, Routine]) -> Line:
    marks = [one.mark for one in routines.values() if one.mark is not None]
    return Line(
        of=who,
        place=None,
        total=None,
        so_far=sum(marks) if marks else None,
        done=len(marks),
        status="",
        routines=tuple(routines.get(part) for part in parts),
        needed=len(parts),
    )


def _shown(one: CompetitionResults) -> Iterator[Shown]:
    """Which routines stand in a line of a list."""
    for ranking in one.rankings:
        for who, routines in (each for line in ranking.lines for each in line.performed):
            yield from ((who.key, each.apparatus, each.vault) for each in routines if each)


def _why(one: CompetitionResults, who: Gymnast, routine: Routine) -> Why:
    if routine.vault == 2:
        return "second vault"
    if one.by_apparatus:
        return "one vault"
    if one.all_around:
        return "not in the all-around"
    return "guest" if who.guest else "no team"
