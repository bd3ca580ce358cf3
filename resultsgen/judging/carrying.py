"""That everybody who performs in a final has the marks that are carried into it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from resultsgen.judging.field import Field
from resultsgen.problems import Problem


def nothing_to_carry(these: Field) -> Iterator[Problem]:
    """A problem for each mark in a final to which a mark of the qualification is lacking."""
    if not these.carried:
        return
    marks = these.meet.marks
    own = marks["competition"].eq(these.competition.id) & marks["mark"].notna()
    rows: Iterable[Any] = marks[own & marks["vault"].eq(1)].itertuples()
    for row in rows:
        if row.gymnast not in these.gymnasts:
            continue  # That it is nobody's here is told already.
        for one in these.carried:
            if (row.gymnast, row.apparatus) not in one.routines or (
                one.routines[row.gymnast, row.apparatus].mark is None
            ):
                yield _problem(these, row, one.competition.id)


def _problem(these: Field, row: Any, earlier: str) -> Problem:
    return Problem(
        row.file,
        row.line,
        "mark",
        "nothing-to-carry",
        f"bib {row.bib} has a mark on {row.apparatus} in {these.competition.id!r}, but none in "
        f"{earlier!r} that half of is carried into it; enter that mark, or correct the bib here",
        row.bib,
    )
