"""Lists to be placed: written out by hand, or drawn from small ranges, so that ties occur."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hypothesis import strategies as st

from resultsgen.rules.criteria import (
    BEST_PARTS,
    CRITERIA,
    NO_TOTAL,
    Compared,
    Criterion,
    criteria,
)
from resultsgen.rules.totals import total

Rows = Sequence[Sequence[int | None]]

RULES = {
    "all-around": (BEST_PARTS, "total E", "total D"),
    "apparatus": ("E", "D"),
    "two vaults": ("better vault", "higher E", "higher D"),
    "team": (BEST_PARTS,),
    "shared": (),
    **{criterion.name: (criterion.name,) for criterion in CRITERIA},
}
"""The rules of whole lists, and every criterion alone."""


def lines(
    marks: Rows,
    e: Rows | None = None,
    d: Rows | None = None,
    all_around: Sequence[int | None] | None = None,
    birth_year: Sequence[int | None] | None = None,
) -> list[Compared]:
    """A list whose total is the sum of its marks; without a total where one is missing."""
    empty: Rows = [[None] * len(row) for row in marks]
    nothing: list[int | None] = [None] * len(marks)
    whole = all_around and [NO_TOTAL if one is None else one for one in all_around]
    rows = zip(marks, d or empty, e or empty, whole or nothing, birth_year or nothing, strict=True)
    return [
        Compared(total(own, "no place"), tuple(own), tuple(its_d), tuple(its_e), around, year)
        for own, its_d, its_e, around, year in rows
    ]


def steps(rule: str, width: int) -> tuple[Criterion, ...]:
    """The criteria of one of RULES, for lists of so many parts."""
    return criteria(RULES[rule], width)


@st.composite
def drawn(draw: st.DrawFn, *, width: int = 4, gaps: bool = False) -> dict[str, list[Any]]:
    """Marks, E, D and facts of up to nine gymnasts, each from 0 to 3; with gaps if asked for."""
    count = draw(st.integers(0, 9))
    value = st.integers(0, 3) | st.none() if gaps else st.integers(0, 3)
    rows = st.lists(st.lists(value, min_size=width, max_size=width), min_size=count, max_size=count)
    facts = st.lists(value, min_size=count, max_size=count)
    scores = {"marks": draw(rows), "e": draw(rows), "d": draw(rows)}
    return scores | {"all_around": draw(facts), "birth_year": draw(facts)}


def taken(table: dict[str, list[Any]], order: Sequence[int]) -> dict[str, list[Any]]:
    """The same rows in another order."""
    return {name: [rows[number] for number in order] for name, rows in table.items()}
