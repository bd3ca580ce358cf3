"""The lists of gymnasts: the all-around and each apparatus."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import pandas as pd

from resultsgen.judging.cutting import body, cut_results
from resultsgen.judging.field import SECOND_VAULT, Field, facts, whole
from resultsgen.meet import CutBody, Ranked
from resultsgen.results import CutResult, Line, Ranking, Routine, Term, Tie
from resultsgen.rules.cuts import Candidate
from resultsgen.rules.placings import placings
from resultsgen.rules.statuses import list_status, unranked_order
from resultsgen.rules.ties import Criterion, Sheet, criteria, ties
from resultsgen.rules.totals import average_of_two, totals
from resultsgen.rules.vaults import vault_averages


@dataclass(frozen=True)
class _Made:
    """The totals of a list as printed, and the sums that they are made of."""

    totals: pd.Series[int]
    terms: tuple[pd.Series[int], ...] = ()


Own = Callable[[Field], "pd.Series[int]"]
"""What one competition by itself gives to a total."""


def _made(these: Field, own: Own, carried: Own | None = None) -> _Made:
    """The totals: of the list's own marks, of all days, or with half of what is carried.

    *carried* is what an earlier competition gives, where that is not its own total.
    """
    rules = these.rule_set.totals
    if these.days:
        each = [own(day) for day in these.days]
        return _Made(totals(pd.concat(each, axis=1), rules.incomplete), tuple(each))
    final = own(these)
    if these.carried:
        first, second = ((carried or own)(one) for one in these.carried)
        half = average_of_two(first, second, rules.averaging)
        return _Made((half + final).astype("Int64"), (half, final))
    return _Made(final)


def all_around(these: Field) -> Ranking:
    """The all-around list: those entered on every apparatus, placed by their total.

    Where the rules place by what there is, everybody is in it; who was disqualified on one
    apparatus takes no place.
    """
    keys = [key for key in these.gymnasts if key in these.in_all_around]
    parts = list(these.apparatus)
    incomplete = these.rule_set.totals.incomplete

    def out(one: Field) -> pd.Series[bool]:
        return (one.status.reindex(columns=parts).loc[keys] == "DSQ").any(axis=1)

    def own(one: Field) -> pd.Series[int]:
        marks = one.numbers["mark"].reindex(columns=parts).loc[keys]
        return totals(marks, incomplete).mask(out(one))

    made = _made(these, own)
    anywhere = pd.concat([out(one) for one in these.sources], axis=1).any(axis=1)
    made = replace(made, totals=made.totals.mask(anywhere))
    return _ranking(these, "", tuple(parts), _sheet(these, made.totals, keys, parts), made)


def by_apparatus(these: Field) -> dict[str, Ranking]:
    """The list of each apparatus, in the order of the apparatus."""
    return {
        code: _two_vaults(these) if code == "VT" and these.competition.vaults == 2
        else _one_apparatus(these, code)
        for code in these.apparatus
    }  # fmt: skip


def _one_apparatus(these: Field, code: str) -> Ranking:
    """The list of one apparatus, placed by the mark."""
    keys = list(these.entered.index[these.entered[code]])
    made = _made(these, lambda one: _marks(one, code).loc[keys])
    return _ranking(these, code, (code,), _sheet(these, made.totals, keys, [code]), made)


def _marks(one: Field, part: str) -> pd.Series[int]:
    """The marks on one part; none where the competition does not have it."""
    return one.numbers["mark"].reindex(columns=[part]).astype("Int64")[part]


def _two_vaults(these: Field) -> Ranking:
    """The vault list where two vaults are needed, placed by their average.

    What is carried into it is of one vault, as it counted for the all-around.
    """
    keys = list(these.entered.index[these.entered[SECOND_VAULT]])
    parts = ["VT", SECOND_VAULT]
    averaging = these.rule_set.vault.averaging

    def average(one: Field) -> pd.Series[int]:
        first, second = (_marks(one, part).loc[keys] for part in parts)
        return vault_averages(first, second, averaging)

    made = _made(these, average, lambda one: _marks(one, "VT").loc[keys])
    return _ranking(these, "VT", tuple(parts), _sheet(these, made.totals, keys, parts), made)


def _sheet(these: Field, compared: pd.Series[int], keys: list[int], parts: list[str]) -> Sheet:
    """What ties are told apart by: the list's own marks, or those of all days.

    In an all-around the marks of one apparatus are one part, on however many days. Two vaults of
    each day are so many vaults.
    """

    def table(name: str) -> pd.DataFrame:
        if parts == ["VT", SECOND_VAULT] and these.days:
            each = [one.numbers[name].reindex(columns=parts).loc[keys] for one in these.days]
            return pd.concat(each, axis=1, keys=range(len(each))).astype("Int64")
        return these.numbers[name].loc[keys, parts]

    compared = these.competing(compared)
    return Sheet(compared, table("mark"), table("e"), table("d"), facts(these).loc[keys])


def _steps(these: Field, ranked: Ranked | str, parts: int) -> tuple[Criterion, ...]:
    rule = these.rule_set.tie_rule(ranked, these.competition.phase)  # type: ignore[arg-type]
    return criteria(rule.criteria, parts)


def _ranking(
    these: Field, apparatus: str, parts: tuple[str, ...], sheet: Sheet, made: _Made
) -> Ranking:
    """A list in the order it is printed, with its places, ties and cuts."""
    kind = "all-around" if not apparatus else "vault-average" if len(parts) > 1 else "apparatus"
    steps = _steps(these, kind, len(parts))
    places = placings(sheet, steps)
    lines = [_line(these, key, parts, places[key], made) for key in made.totals.index]
    lines = in_listing_order(these, lines)
    to_come = sum(_is_to_come(these, line, parts) for line in lines)
    return Ranking(
        competition=these.competition.id,
        kind="apparatus" if apparatus else "all-around",
        apparatus=apparatus,
        parts=() if these.days else parts,
        lines=tuple(lines),
        ties=keyed_ties(sheet, places, steps, {line.gymnast.key: line.total for line in lines}),
        cuts=_cuts(these, apparatus, lines, complete=not to_come),
        to_come=to_come,
        terms=terms(these),
    )


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


def _line(these: Field, key: int, parts: tuple[str, ...], place: object, made: _Made) -> Line:
    routines = _routines(these, key, parts)
    marks = [one.mark for one in routines if one is not None and one.mark is not None]
    known = whole(made.totals[key])
    each = tuple(whole(term[key]) for term in made.terms)
    status = list_status(len(marks), [one.status if one else "" for one in routines])
    return Line(
        gymnast=these.gymnasts[key],
        place=whole(place),
        total=known,
        so_far=_so_far(these, marks, each) if known is None else known,
        done=len(marks),
        status="" if known is not None else status,
        routines=() if these.days else routines,
        needed=len(routines),
        terms=each,
    )


def _so_far(these: Field, marks: list[int], terms: tuple[int | None, ...]) -> int | None:
    """The sum of the marks there are, with what is carried into them; None without a mark."""
    carried = terms[0] if these.carried else None
    return sum(marks) + (carried or 0) if marks else None


def _is_to_come(these: Field, line: Line, parts: tuple[str, ...]) -> bool:
    """Somebody has neither a total nor a status, or could still add a mark to the total."""
    if line.total is None or these.rule_set.totals.incomplete == "no place":
        return line.total is None and not line.status
    key = line.gymnast.key
    return any(
        day.entered.loc[key, part] and (key, part) not in day.routines
        for day in these.sources
        for part in parts
        if part in day.entered
    )


def in_listing_order(these: Field, lines: Sequence[Line]) -> list[Line]:
    """By place, guests by their mark or below, then those in progress, DNF, DNS, WDR, DSQ.

    The lines come in order of name, which also orders those who share a place, and those with
    one status (as in the published all-around and two-vault lists).
    """
    below = these.rule_set.guests.stand == "below"
    order = these.rule_set.unranked.order

    def stands(line: Line) -> tuple[int, ...]:
        if line.status:
            return (2, unranked_order(line.status, order))
        if line.total is None:
            return (2, unranked_order("", order), -line.done, -(line.so_far or 0))
        if line.gymnast.guest:
            return (1 if below else 0, -line.total, 1, 0)
        return (0, -line.total, 0, line.place or 0)

    return sorted(lines, key=stands)


def keyed_ties(
    sheet: Sheet,
    places: pd.Series[int],
    steps: tuple[Criterion, ...],
    totals: dict[int, int | None],
) -> tuple[Tie, ...]:
    """The ties of a sheet with keys in the stead of row positions, and the total as printed."""
    key = [int(one) for one in sheet.total.index]
    return tuple(
        Tie(
            total=totals[key[tie.rows[0]]] or 0,
            keys=tuple(key[row] for row in tie.rows),
            places=tie.places,
            steps=tuple(
                replace(step, rows=tuple(key[row] for row in step.rows)) for step in tie.steps
            ),
        )
        for tie in ties(sheet, places, steps)
    )


def _cuts(
    these: Field, apparatus: str, lines: Sequence[Line], *, complete: bool
) -> tuple[CutResult, ...]:
    def candidates(per: CutBody) -> list[Candidate]:
        return [
            Candidate(
                key=line.gymnast.key,
                place=line.place,
                total=line.total,
                body=body(line.gymnast, per),
                guest=line.gymnast.guest,
            )
            for line in lines
        ]

    of: Ranked = "apparatus" if apparatus else "all-around"
    return cut_results(these, of, apparatus, candidates, complete=complete)
