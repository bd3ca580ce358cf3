"""How the marks of a gymnast went, apparatus by apparatus, as a picture of lines."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from resultsgen.season.bests import Comparable
from resultsgen.season.facts import ALL_AROUND, Achieved
from resultsgen.views.lists.charts import FEWEST, Course, OrderChart, scale_of
from resultsgen.views.season.subject import SeasonSubject

NAMED = 7
"""So many steps have a name, that none stands over another."""


def marks_over_time(
    made: Mapping[Comparable, Sequence[Achieved]], subject: SeasonSubject
) -> OrderChart | None:
    """The best mark of each meet on each apparatus; None where there are too few to show a way."""
    lists = {of: marks for of, marks in made.items() if of.list != ALL_AROUND}
    shown = {of: marks for of, marks in lists.items() if len({one.meet for one in marks}) >= FEWEST}
    meets = [meet.id for meet in subject.season.facts.meets]
    there = {one.meet for marks in shown.values() for one in marks}
    steps = [meet for meet in meets if meet in there]
    if not shown:
        return None
    best: dict[Comparable, dict[str, int]] = {of: {} for of in shown}
    for of, marks in shown.items():
        for one in marks:
            best[of][one.meet] = max(one.mark, best[of].get(one.meet, 0))
    scale = scale_of([mark for marks in best.values() for mark in marks.values()])
    top, show = scale[-1], subject.language.mark
    last = {of: next(marks[meet] for meet in reversed(steps) if meet in marks)
            for of, marks in best.items()}  # fmt: skip
    ordered = sorted(best, key=lambda of: (-last[of], of))
    courses = tuple(
        Course(
            subject.list_of(of),
            tuple(top - best[of][meet] if meet in best[of] else None for meet in steps),
            show(last[of]),
        )
        for of in ordered
    )
    told = (
        subject.language.headed(subject.list_of(of), ", ".join(map(show, best[of].values())))
        for of in ordered
    )
    margins = tuple((top - mark, subject.language.short(mark)) for mark in reversed(scale))
    return OrderChart("; ".join(told), _named(steps, subject), courses, margins)


def _named(steps: Sequence[str], subject: SeasonSubject) -> tuple[str, ...]:
    """The month of each meet, or its year where there are several; none twice, and not too many."""
    first = [subject.meets[meet].first for meet in steps]
    years = len({day.year for day in first}) > 1
    named = [str(day.year) if years else subject.language.month(day) for day in first]
    at = [number for number, name in enumerate(named) if named.index(name) == number]
    kept = set(at[:: -(-len(at) // NAMED)])
    return tuple(name if number in kept else "" for number, name in enumerate(named))
