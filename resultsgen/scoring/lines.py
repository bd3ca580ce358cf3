"""The lines of a list: what each total is made of, the order they stand in, and their ties."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace

import pandas as pd

from resultsgen.live.old_tables import Sheet, cells, compared
from resultsgen.rules.criteria import Criterion
from resultsgen.rules.statuses import list_status, unranked_order
from resultsgen.rules.ties import Tie, ties
from resultsgen.scoring.field import Field
from resultsgen.scoring.people import whole
from resultsgen.scoring.results import Line, Routine, Term
from resultsgen.scoring.tables import SECOND_VAULT


@dataclass(frozen=True)
class Made:
    """The totals of a list as printed, and the sums that they are made of."""

    totals: pd.Series[int]
    terms: tuple[pd.Series[int], ...] = ()


def terms(these: Field) -> tuple[Term, ...]:
    """What the totals of a competition are the sum of, where that is not its own marks alone."""
    if these.days:
        each = (day.competition for day in these.days)
        return tuple(Term("day", (one.id,), one.title) for one in each)
    if these.carried:
        earlier = tuple(one.competition.id for one in these.carried)
        return (Term("carried", earlier), Term("final", (these.competition.id,)))
    return ()


def _routines(these: Field, key: int, parts: tuple[str, ...]) -> tuple[Routine | None, ...]:
    """What a gymnast did on these parts; on each day, where days are added."""
    return tuple(one.routines.get((key, part)) for one in these.sources for part in parts)


def line(these: Field, key: int, parts: tuple[str, ...], place: object, made: Made) -> Line:
    routines = _routines(these, key, parts)
    marks = [one.mark for one in routines if one is not None and one.mark is not None]
    known = whole(made.totals[key])
    each = tuple(whole(term[key]) for term in made.terms)
    status = list_status(len(marks), [one.status if one else "" for one in routines])
    return Line(
        of=these.gymnasts[key],
        place=whole(place),
        total=known,
        so_far=_so_far(these, marks, each) if known is None else known,
        done=len(marks),
        status="" if known is not None or _may_come_in(these, key, parts, status) else status,
        routines=() if these.days else routines,
        needed=len(routines),
        terms=each,
    )


def _so_far(these: Field, marks: list[int], terms: tuple[int | None, ...]) -> int | None:
    """The sum of the marks there are, with what is carried into them; None without a mark."""
    carried = terms[0] if these.carried else None
    return sum(marks) + (carried or 0) if marks else None


def is_to_come(these: Field, line: Line, parts: tuple[str, ...]) -> bool:
    """Somebody has neither a total nor a status, or could still add a mark to the total."""
    if line.total is None or these.rule_set.totals.incomplete == "no place":
        return line.total is None and not line.status
    return _has_to_go(these, line.gymnast.key, parts)


def _may_come_in(these: Field, key: int, parts: tuple[str, ...], status: str) -> bool:
    """Whether who has no mark yet, but a status on one part, can still have a total.

    So it is where the rules place by what there is; not in an average, which needs two vaults.
    """
    by_what_there_is = these.rule_set.totals.incomplete != "no place"
    able = by_what_there_is and status != "DSQ" and SECOND_VAULT not in parts
    return able and _has_to_go(these, key, parts)


def _has_to_go(these: Field, key: int, parts: tuple[str, ...]) -> bool:
    """Whether a part on which somebody is entered has neither mark nor status."""
    return any(
        day.entered.loc[key, part] and (key, part) not in day.routines
        for day in these.sources
        for part in parts
        if part in day.entered
    )


def in_listing_order(these: Field, lines: Sequence[Line]) -> list[Line]:
    """By place, guests by their mark or below, then those in progress, DNF, DNS, WDR, DSQ.

    The lines come in the order in which the meet prints equals: those who share a place, those
    with one status, and those with the same sum so far (by name in the published lists of six
    apparatus, by bib in those of eight events).
    """
    below = these.rule_set.guests.stand == "below"
    rules = these.rule_set.unranked
    order = rules.order

    def stands(line: Line) -> tuple[int, ...]:
        if line.status:
            by_sum = line.status == "DNF" and rules.dnf == "sum so far"
            return (2, unranked_order(line.status, order), -(line.so_far or 0) if by_sum else 0)
        if line.total is None:
            return (2, unranked_order("", order), -line.done, -(line.so_far or 0))
        if line.gymnast.guest:
            return (1 if below else 0, -line.total, 1, 0)
        return (0, -line.total, 0, line.place or 0)

    return sorted(lines, key=stands)


def with_e_worked_out(these: Field, keys: Iterable[int], parts: Sequence[str]) -> set[int]:
    """Those of whom an E score on these parts was not given and was worked out, on whatever day."""
    wanted = set(keys)
    return {
        key
        for day in these.sources
        for (key, part), one in day.routines.items()
        if key in wanted and part in parts and one.e_worked_out is not None
    }


def keyed_ties(
    sheet: Sheet,
    places: pd.Series[int],
    steps: tuple[Criterion, ...],
    worked_out: Collection[int] = (),
) -> tuple[Tie, ...]:
    """The ties of a sheet by key; *worked_out* are those of whom an E score was worked out."""
    keys = [int(one) for one in sheet.total.index]
    lines = [
        replace(line, e_worked_out=key in worked_out)
        for key, line in zip(keys, compared(sheet), strict=True)
    ]
    return ties(lines, cells(places), steps, keys)
