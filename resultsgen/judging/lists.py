"""The lists of gymnasts: the all-around, each apparatus, and the start list."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pandas as pd

from resultsgen.judging.cutting import body, cut_results
from resultsgen.judging.field import SECOND_VAULT, Field, apparatus_sheet, facts, whole
from resultsgen.meet import CutBody, Ranked
from resultsgen.results import CutResult, Line, Ranking, Start, Tie, natural
from resultsgen.rules.cuts import Candidate
from resultsgen.rules.placings import placings
from resultsgen.rules.statuses import list_status, unranked_order
from resultsgen.rules.ties import Criterion, Sheet, criteria, ties
from resultsgen.rules.totals import all_around_totals
from resultsgen.rules.vaults import vault_averages


def all_around(these: Field) -> Ranking:
    """The all-around list: those entered on every apparatus, placed by their total."""
    keys = [key for key in these.gymnasts if key in these.in_all_around]
    parts = list(these.apparatus)
    marks = these.numbers["mark"].loc[keys, parts]
    totals = all_around_totals(marks)
    sheet = Sheet(
        these.competing(totals),
        marks,
        these.numbers["e"].loc[keys, parts],
        these.numbers["d"].loc[keys, parts],
        facts(these).loc[keys],
    )
    steps = _steps(these, "all-around", len(parts))
    return _ranking(these, "", tuple(parts), sheet, totals, steps)


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
    chosen = pd.Index(list(these.gymnasts)).get_indexer(pd.Index(keys))
    sheet = apparatus_sheet(these, code).rows(chosen)
    totals = these.numbers["mark"].loc[keys, code]
    return _ranking(these, code, (code,), sheet, totals, _steps(these, "apparatus", 1))


def _two_vaults(these: Field) -> Ranking:
    """The vault list where two vaults are needed, placed by their average."""
    keys = list(these.entered.index[these.entered[SECOND_VAULT]])
    parts = ["VT", SECOND_VAULT]
    marks = these.numbers["mark"].loc[keys, parts]
    averages = vault_averages(marks["VT"], marks[SECOND_VAULT], these.rule_set.vault.averaging)
    sheet = Sheet(
        these.competing(averages),
        marks,
        these.numbers["e"].loc[keys, parts],
        these.numbers["d"].loc[keys, parts],
        facts(these).loc[keys],
    )
    steps = _steps(these, "vault-average", 2)
    return _ranking(these, "VT", tuple(parts), sheet, averages, steps)


def _steps(these: Field, ranked: Ranked | str, parts: int) -> tuple[Criterion, ...]:
    rule = these.rule_set.tie_rule(ranked, these.competition.phase)  # type: ignore[arg-type]
    return criteria(rule.criteria, parts)


def _ranking(
    these: Field,
    apparatus: str,
    parts: tuple[str, ...],
    sheet: Sheet,
    totals: pd.Series[int],
    steps: tuple[Criterion, ...],
) -> Ranking:
    """A list in the order it is printed. *totals* are shown; the sheet's are what is compared."""
    places = placings(sheet, steps)
    lines = [_line(these, key, parts, places[key], totals[key]) for key in totals.index]
    lines = in_listing_order(these, lines)
    to_come = sum(_is_to_come(line) for line in lines)
    return Ranking(
        competition=these.competition.id,
        kind="apparatus" if apparatus else "all-around",
        apparatus=apparatus,
        parts=parts,
        lines=tuple(lines),
        ties=keyed_ties(sheet, places, steps, {line.gymnast.key: line.total for line in lines}),
        cuts=_cuts(these, apparatus, lines, complete=not to_come),
        to_come=to_come,
    )


def _line(these: Field, key: int, parts: tuple[str, ...], place: object, total: object) -> Line:
    routines = tuple(these.routines.get((key, part)) for part in parts)
    marks = [one.mark for one in routines if one is not None and one.mark is not None]
    known = whole(total)
    status = list_status(len(marks), [one.status if one else "" for one in routines])
    return Line(
        gymnast=these.gymnasts[key],
        place=whole(place),
        total=known,
        so_far=sum(marks) if known is None and marks else known,
        done=len(marks),
        status="" if known is not None else status,
        routines=routines,
    )


def _is_to_come(line: Line) -> bool:
    return line.total is None and not line.status


def in_listing_order(these: Field, lines: Sequence[Line]) -> list[Line]:
    """By place, guests by their mark or below, then those in progress, DNF, DNS, WDR, DSQ.

    The lines come in order of name, which also orders those who share a place.
    """
    below = these.rule_set.guests.stand == "below"
    order = these.rule_set.unranked.order

    def stands(line: Line) -> tuple[int, ...]:
        if line.total is None:
            so_far = -(line.so_far or 0)
            return (2, unranked_order(line.status, order), -line.done, so_far)
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


def start_list(these: Field) -> tuple[Start, ...]:
    """Who starts and where: by session, squad, start order, bib; a final as people named it."""
    parts = [part for part in these.entered.columns if part != SECOND_VAULT]
    entered = these.entered[parts].to_dict("index")
    starts = [
        Start(one, tuple(part for part in parts if entered[key][part]))
        for key, one in these.gymnasts.items()
    ]
    named = these.competition.starters
    if named:
        return tuple(sorted(starts, key=lambda start: named.index(start.gymnast.bib)))
    if these.competition.entered_from:
        return tuple(sorted(starts, key=_by_bib))
    return tuple(sorted(starts, key=_start_order))


def _by_bib(start: Start) -> tuple[object, ...]:
    return (natural(start.gymnast.bib), start.gymnast.key)


def _start_order(start: Start) -> tuple[object, ...]:
    """Those without a start order of their own stand behind those who have one."""
    one = start.gymnast
    given = one.start_order
    return (natural(one.session), natural(one.squad), given is None, given or 0, *_by_bib(start))
