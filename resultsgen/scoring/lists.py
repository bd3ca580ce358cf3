"""The lists of gymnasts: the all-around and each apparatus."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import pandas as pd

from resultsgen.live.old_tables import (
    Sheet,
    average_of_two,
    carried_totals,
    only,
    placings,
    totals,
    vault_averages,
)
from resultsgen.meet.ruleset import TieList
from resultsgen.meet.settings import CutBody, Ranked
from resultsgen.rules.criteria import Criterion, criteria
from resultsgen.rules.cuts import Candidate
from resultsgen.scoring.cutting import body, cut_results
from resultsgen.scoring.field import Field
from resultsgen.scoring.lines import (
    Made,
    in_listing_order,
    is_to_come,
    keyed_ties,
    line,
    terms,
    with_e_worked_out,
)
from resultsgen.scoring.results import CutResult, Line, Ranking
from resultsgen.scoring.tables import SECOND_VAULT

Own = Callable[[Field], "pd.Series[int]"]
"""What one competition by itself gives to a total."""


def _made(these: Field, own: Own, carried: Own | None = None) -> Made:
    """The totals: of the list's own marks, of all days, or with half of what is carried.

    *carried* is what an earlier competition gives, where that is not its own total.
    """
    rules = these.rule_set.totals
    if these.days:
        each = [own(day) for day in these.days]
        return Made(totals(pd.concat(each, axis=1), rules.incomplete), tuple(each))
    final = own(these)
    if these.carried:
        first, second = ((carried or own)(one) for one in these.carried)
        half = average_of_two(first, second, rules.averaging)
        whole = carried_totals(first, second, final, rules.averaging)
        return Made(whole, (half, final))
    return Made(final)


def all_around(these: Field) -> Ranking:
    """The all-around list: those entered on every apparatus, placed by their total.

    Where the rules place by what there is, everybody is in it; who was disqualified on one
    apparatus takes no place.
    """
    keys = [key for key in these.gymnasts if key in these.in_all_around]
    parts = list(these.apparatus)
    incomplete = these.rule_set.totals.incomplete

    def out(one: Field) -> pd.Series[bool]:
        status = one.status.reindex(columns=parts).loc[keys]
        return pd.Series((status.to_numpy() == "DSQ").any(axis=1), index=status.index)

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
    ranked = _ranking(these, "VT", tuple(parts), _sheet(these, made.totals, keys, parts), made)
    apart = these.rule_set.vault.one == "no place" or these.days or these.carried
    return ranked if apart else _with_one_vault_below(these, ranked)


def _with_one_vault_below(these: Field, ranked: Ranking) -> Ranking:
    """The list with those who did one vault, or not both, placed by the first below the others."""
    settled = {one.gymnast.key for one in ranked.lines if one.total is not None}
    out = {*settled, *ranked.coming, *these.status.index[these.status[SECOND_VAULT].eq("DSQ")]}
    marks = _marks(these, "VT")
    keys = [key for key in these.gymnasts if key not in out and not pd.isna(marks[key])]
    made = Made(marks.loc[keys])
    alone = _ranking(these, "VT", ("VT",), _sheet(these, made.totals, keys, ["VT"]), made)
    ahead = sum(one.place is not None for one in ranked.lines)
    second = (these.routines.get((one.gymnast.key, SECOND_VAULT)) for one in alone.lines)
    below = [
        replace(
            one,
            place=None if one.place is None else one.place + ahead,
            routines=(*one.routines, other),
            below=True,
        )
        for one, other in zip(alone.lines, second, strict=True)
    ]
    rest = [one for one in ranked.lines if one.total is None and one.gymnast.key not in keys]
    lines = [*(one for one in ranked.lines if one.total is not None), *below, *rest]
    ties = (replace(tie, places=tuple(place + ahead for place in tie.places)) for tie in alone.ties)
    return replace(
        ranked,
        lines=tuple(lines),
        ties=(*ranked.ties, *ties),
        cuts=_cuts(these, "VT", lines, complete=not ranked.coming),
    )


def _sheet(these: Field, compared: pd.Series[int], keys: list[int], parts: list[str]) -> Sheet:
    """What ties are told apart by: the list's own marks, or those of all days.

    In an all-around the marks of one apparatus are one part, on however many days. Two vaults of
    each day are so many vaults.
    """

    def table(name: str) -> pd.DataFrame:
        if parts == ["VT", SECOND_VAULT] and these.days:
            each = [one.numbers[name].reindex(columns=parts) for one in these.days]
            return pd.concat(each, axis=1, keys=range(len(each))).astype("Int64")
        return only(these.numbers[name], parts)

    rows = these.entered.index.get_indexer(pd.Index(keys))
    compared = these.competing(compared)
    return Sheet(compared, table("mark"), table("e"), table("d"), these.facts, rows)


def _steps(these: Field, of: TieList, parts: int) -> tuple[Criterion, ...]:
    rule = these.rule_set.tie_rule(of, these.competition.phase)
    return criteria(rule.criteria, parts)


def _ranking(
    these: Field, apparatus: str, parts: tuple[str, ...], sheet: Sheet, made: Made
) -> Ranking:
    """A list in the order it is printed, with its places, ties and cuts."""
    kind: TieList = (
        "all-around" if not apparatus else "vault-average" if len(parts) > 1 else "apparatus"
    )
    steps = _steps(these, kind, len(parts))
    places = placings(sheet, steps)
    lines = [line(these, key, parts, places[key], made) for key in made.totals.index]
    lines = in_listing_order(these, lines)
    coming = tuple(line.gymnast.key for line in lines if is_to_come(these, line, parts))
    return Ranking(
        competition=these.competition.id,
        kind="apparatus" if apparatus else "all-around",
        apparatus=apparatus,
        parts=() if these.days else parts,
        lines=tuple(lines),
        ties=keyed_ties(
            sheet,
            places,
            steps,
            with_e_worked_out(these, made.totals.index, parts),
        ),
        cuts=_cuts(these, apparatus, lines, complete=not coming),
        coming=coming,
        to_come=len(coming),
        terms=terms(these),
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
