"""The lists of gymnasts, the all-around and each apparatus: what a total is made of, who is in a
list, the order its lines stand in, their ties and cuts.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from resultsgen.meet.parts import SECOND_VAULT
from resultsgen.meet.ruleset import TieList
from resultsgen.rules.placings import list_status, placings, unranked_order
from resultsgen.rules.ties import ties
from resultsgen.rules.totals import average_of_two, carried_total, total
from resultsgen.scoring.cutting import with_cuts
from resultsgen.scoring.field import Field
from resultsgen.scoring.ranking import Line, Ranking, Routine, Term

Parts = tuple[str, ...]

Own = Callable[[Field, int], "int | None"]
"""What one competition by itself gives to the total of a gymnast."""

BOTH_VAULTS = ("VT", SECOND_VAULT)


def all_around(these: Field) -> Ranking:
    """The all-around list: those entered on every apparatus, placed by their total.

    Where the rules place by what there is, everybody is in it; who was disqualified on one
    apparatus takes no place.
    """
    parts, incomplete = these.apparatus, these.rule_set.totals.incomplete

    out_of = {
        field.competition.id: {
            key
            for (key, part), routine in field.routines.items()
            if routine.status == "DSQ" and part in parts
        }
        for field in (these, *these.days, *these.carried)
    }

    def own(field: Field, key: int) -> int | None:
        if key in out_of[field.competition.id]:
            return None
        return total([field.mark(key, part) for part in parts], incomplete)

    out = set[int]().union(*(out_of[day.competition.id] for day in these.sources))
    made = {}
    for key in these.gymnasts:
        if key in these.in_all_around:
            whole, sums = _total(these, key, own)
            made[key] = None if key in out else whole, sums
    return _ranking(these, "", parts, made)


def by_apparatus(these: Field) -> dict[str, Ranking]:
    """The list of each apparatus, in the order of the apparatus."""
    return {
        code: _two_vaults(these) if code == "VT" and these.competition.vaults == 2
        else _one_apparatus(these, code)
        for code in these.apparatus
    }  # fmt: skip


def _one_apparatus(these: Field, code: str) -> Ranking:
    keys = (key for key, parts in these.entered.items() if code in parts)
    made = {key: _total(these, key, lambda field, key: field.mark(key, code)) for key in keys}
    return _ranking(these, code, (code,), made)


def _two_vaults(these: Field) -> Ranking:
    """The vault list where two vaults are needed, placed by their average.

    What is carried into it is of one vault, as it counted for the all-around.
    """
    averaging = these.rule_set.vault.averaging

    def average(field: Field, key: int) -> int | None:
        return average_of_two(field.mark(key, "VT"), field.mark(key, SECOND_VAULT), averaging)

    keys = (key for key, parts in these.entered.items() if SECOND_VAULT in parts)
    made = {
        key: _total(these, key, average, lambda field, key: field.mark(key, "VT")) for key in keys
    }
    ranked = _ranking(these, "VT", BOTH_VAULTS, made)
    apart = these.rule_set.vault.one == "no place" or these.days or these.carried
    return ranked if apart else _with_one_vault_below(these, ranked)


def _with_one_vault_below(these: Field, ranked: Ranking) -> Ranking:
    """The list with those who did one vault, or not both, placed by the first below the others."""
    settled = [line for line in ranked.lines if line.total is not None]
    out = {*(line.key for line in settled), *ranked.coming}
    out |= {
        key for (key, part), routine in these.routines.items()
        if part == SECOND_VAULT and routine.status == "DSQ"
    }  # fmt: skip
    marks = {key: these.mark(key, "VT") for key in these.gymnasts if key not in out}
    made: Totals = {key: (mark, ()) for key, mark in marks.items() if mark is not None}
    alone = _ranking(these, "VT", ("VT",), made)
    ahead = sum(line.place is not None for line in ranked.lines)
    below = [
        replace(
            line,
            place=None if line.place is None else line.place + ahead,
            routines=(*line.routines, these.routines.get((line.key, SECOND_VAULT))),
            below=True,
        )
        for line in alone.lines
    ]
    rest = [line for line in ranked.lines if line.total is None and line.key not in made]
    lines = (*settled, *below, *rest)
    moved = (replace(tie, places=tuple(n + ahead for n in tie.places)) for tie in alone.ties)
    listed = replace(ranked, lines=lines, ties=(*ranked.ties, *moved))
    return with_cuts(listed, these.meet)


Totals = dict[int, tuple["int | None", tuple["int | None", ...]]]
"""By key, the total of each of a list as printed, and the sums that it is made of."""


def _total(
    these: Field, key: int, own: Own, carried: Own | None = None
) -> tuple[int | None, tuple[int | None, ...]]:
    """A total: of the list's own marks, of all days, or with half of what is carried.

    *carried* is what an earlier competition gives, where that is not its own total.
    """
    rules = these.rule_set.totals
    if these.days:
        each = tuple(own(day, key) for day in these.days)
        return total(each, rules.incomplete), each
    final = own(these, key)
    if not these.carried:
        return final, ()
    first, second = ((carried or own)(field, key) for field in these.carried)
    half = average_of_two(first, second, rules.averaging)
    return carried_total(first, second, final, rules.averaging), (half, final)


def terms(these: Field) -> tuple[Term, ...]:
    """What the totals of a competition are the sum of, where that is not its own marks alone."""
    if these.days:
        each = (day.competition for day in these.days)
        return tuple(Term("day", (day.id,), day.title) for day in each)
    if these.carried:
        earlier = tuple(field.competition.id for field in these.carried)
        return (Term("carried", earlier), Term("final", (these.competition.id,)))
    return ()


def _ranking(these: Field, apparatus: str, parts: Parts, made: Totals) -> Ranking:
    """A list in the order it is printed, with its places, ties and cuts.

    A total is what somebody is placed by once nothing is to come: like is compared with like.
    """
    kind: TieList = (
        "all-around" if not apparatus else "vault-average" if len(parts) > 1 else "apparatus"
    )
    made = {
        key: (None if _has_to_go(these, key, parts) else whole, sums)
        for key, (whole, sums) in made.items()
    }
    steps = these.steps(kind, len(parts))
    compared = [these.compared(key, whole, parts) for key, (whole, _) in made.items()]
    places = placings(compared, steps)
    lines = [
        _line(these, key, parts, place, *made[key]) for key, place in zip(made, places, strict=True)
    ]
    lines = in_listing_order(these, lines)
    coming = tuple(line.key for line in lines if line.total is None and not line.status)
    listed = Ranking(
        competition=these.competition.id,
        kind="apparatus" if apparatus else "all-around",
        apparatus=apparatus,
        parts=() if these.days else parts,
        lines=tuple(lines),
        ties=ties(compared, places, steps, list(made)),
        cuts=(),
        coming=coming,
        to_come=len(coming),
        terms=terms(these),
    )
    return with_cuts(listed, these.meet)


def _line(
    these: Field,
    key: int,
    parts: Parts,
    place: int | None,
    whole: int | None,
    sums: tuple[int | None, ...],
) -> Line:
    """What a gymnast did on these parts; on each day, where days are added."""
    routines = tuple([day.routines.get((key, part)) for day in these.sources for part in parts])
    marks = [routine.mark for routine in routines if routine and routine.mark is not None]
    so_far, status = whole, ""
    if whole is None:
        carried = sums[0] if these.carried else None
        so_far = sum(marks) + (carried or 0) if marks else None
        status = status_of(routines)
        if _may_come_in(these, key, parts, status):
            status = ""
    return Line(
        of=these.gymnasts[key],
        place=place,
        total=whole,
        so_far=so_far,
        done=len(marks),
        status=status,
        routines=() if these.days else routines,
        needed=len(routines),
        terms=sums,
    )


def status_of(routines: Sequence[Routine | None]) -> str:
    """The status of somebody who did these on a list; None: not yet, or not entered."""
    done = sum(routine is not None and routine.mark is not None for routine in routines)
    return list_status(done, [routine.status if routine else "" for routine in routines])


def _may_come_in(these: Field, key: int, parts: Parts, status: str) -> bool:
    """Whether who has no mark yet, but a status on one part, can still have a total.

    So it is where the rules place by what there is; not in an average, which needs two vaults.
    """
    by_what_there_is = these.rule_set.totals.incomplete != "no place"
    able = by_what_there_is and status != "DSQ" and SECOND_VAULT not in parts
    return able and _has_to_go(these, key, parts)


def _has_to_go(these: Field, key: int, parts: Parts) -> bool:
    """Whether a part on which somebody is entered has neither mark nor status."""
    return any(day.is_to_come(key, part) for day in these.sources for part in parts)


def in_listing_order(these: Field, lines: Sequence[Line]) -> list[Line]:
    """By place, guests by their mark or below, then those in progress, DNF, DNS, WDR, DSQ.

    The lines come in the order in which the meet prints equals: those who share a place, those
    with one status, and those with the same sum so far (by name in the published lists of six
    apparatus, by bib in those of eight events).
    """
    below = these.rule_set.guests.stand == "below"
    rules = these.rule_set.unranked

    def stands(line: Line) -> tuple[int, ...]:
        if line.status:
            by_sum = line.status == "DNF" and rules.dnf == "sum so far"
            order = unranked_order(line.status, rules.order)
            return (2, order, -(line.so_far or 0) if by_sum else 0)
        if line.total is None:
            return (2, unranked_order("", rules.order), -line.done, -(line.so_far or 0))
        if line.gymnast.guest:
            return (1 if below else 0, -line.total, 1, 0)
        return (0, -line.total, 0, line.place or 0)

    return sorted(lines, key=stands)
