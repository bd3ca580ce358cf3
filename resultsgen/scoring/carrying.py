"""That everybody who performs in a final has the marks that are carried into it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from resultsgen.meet.problems import Problem
from resultsgen.scoring.field import Field


def nothing_to_carry(these: Field) -> Iterator[Problem]:
    """A problem for the marks in a final to which those of one qualification are lacking."""
    if not these.carried:
        return
    marks = these.meet.marks
    own = marks["competition"].eq(these.competition.id) & marks["mark"].notna()
    rows: Iterable[Any] = marks[own & marks["vault"].eq(1)].itertuples()
    lacking: dict[str, list[Any]] = {}
    for row in rows:
        if row.gymnast not in these.gymnasts:
            continue  # That it is nobody's here is told already.
        for one in these.carried:
            if (row.gymnast, row.apparatus) not in one.routines or (
                one.routines[row.gymnast, row.apparatus].mark is None
            ):
                lacking.setdefault(one.competition.id, []).append(row)
    for earlier, those in lacking.items():
        yield _problem(these, those, earlier)


def _problem(these: Field, rows: list[Any], earlier: str) -> Problem:
    first, parts = rows[0], dict[str, list[str]]()
    for row in rows:
        parts.setdefault(row.bib, []).append(row.apparatus)
    whose = "; ".join(f"bib {bib} on {', '.join(own)}" for bib, own in parts.items())
    return Problem(
        first.file,
        first.line,
        "mark",
        "nothing-to-carry",
        f"marks in {these.competition.id!r} to which none in {earlier!r} is given that half of is "
        f"carried into them: {whose}; enter those marks, or correct the bibs here",
        first.bib,
    )
