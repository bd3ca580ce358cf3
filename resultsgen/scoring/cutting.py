"""The cuts of a list, with those who withdrew and those who were called up in their place."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from itertools import chain

from resultsgen.meet.folder import Meet
from resultsgen.meet.ruleset import CutRule
from resultsgen.meet.settings import Cut, CutBody, Ranked, Withdrawal, bibs_on
from resultsgen.rules.cuts import Candidate, Quota, share, verdicts
from resultsgen.rules.replacements import called_up, held_back, undecided, unfilled
from resultsgen.scoring.field import Field
from resultsgen.scoring.results import CutLine, CutResult, Gymnast

Candidates = Callable[[CutBody], list[Candidate]]


def body(one: Gymnast, kind: CutBody) -> str:
    """The federation, club, team or division that a cut counts a gymnast by."""
    return {
        "federation": one.federation, "club": one.club, "team": one.team, "division": one.division,
    }[kind]  # fmt: skip


def cut_results(
    these: Field,
    of: Ranked,
    apparatus: str,
    candidates: Candidates,
    *,
    complete: bool,
    teams: Mapping[int, str] | None = None,
) -> tuple[CutResult, ...]:
    """Every cut of the competition that is taken from this list; *teams* are the names of teams."""
    found = []
    for cut in these.competition.cuts:
        if cut.of != of or not _is_held(these.meet, cut, apparatus):
            continue
        rows = candidates(cut.per)
        placed = sum(row.place is not None and not row.guest for row in rows)
        quota = quota_of(cut, these.rule_set.cuts, placed)
        called = {row.key: _called(row, these.gymnasts, teams) for row in rows}
        quota = replace(quota, order=_order(cut, apparatus, called))
        absent = _absent(_withdrawals(these.meet, cut), apparatus, called, teams is not None)
        open_equals = undecided(rows, quota, absent) if complete else ()
        lines = _cut_lines(rows, quota, absent)
        found.append(CutResult(cut, apparatus, lines, complete, quota, open_equals))
    return tuple(found)


def _called(row: Candidate, people: dict[int, Gymnast], teams: Mapping[int, str] | None) -> str:
    """What the settings call somebody: the bib, or the name of a team."""
    return people[row.key].bib if teams is None else teams[row.key]


def _order(cut: Cut, apparatus: str, called: dict[int, str]) -> tuple[int, ...]:
    """The keys of equals as the jury put them."""
    named = bibs_on(cut.reserve_order, apparatus)
    known = (key for key, name in called.items() if name in named)
    return tuple(sorted(known, key=lambda key: named.index(called[key])))


def _is_held(meet: Meet, cut: Cut, apparatus: str) -> bool:
    """Whether what a cut leads to has the apparatus of a list; outside this meet it may."""
    settings = meet.settings
    finals = (one for one in settings.competitions if cut.to and one.id == cut.to)
    return not apparatus or all(apparatus in settings.apparatus_of(one) for one in finals)


def quota_of(cut: Cut, rules: CutRule, placed: int) -> Quota:
    """A cut in figures: as the meet sets it, or else as is usual by the rule set.

    *placed* are those with a place, for a share of them.
    """
    usual = rules.usual(cut.of)
    by_rule_set = cut.places is None and cut.percent is None and cut.each is None
    reserves, cap = cut.reserves, cut.cap
    if by_rule_set and usual:
        reserves = usual.reserves if reserves is None else reserves
        cap = usual.cap if cap is None else cap
    return Quota(
        places=_places(cut, usual.places if usual else 0, placed),
        reserves=reserves or 0,
        cap=cap or 0,
        minimum=cut.minimum,
        ties_go_through=rules.tie_on_last_place == "all go through",
        reserves_count=cut.cap_counts == "qualifiers and reserves",
        of_each=cut.each is not None,
    )


def _places(cut: Cut, usual: int, placed: int) -> int:
    """How many go through; of each body, where each has places of its own."""
    if cut.percent is not None:
        return share(placed, cut.percent, cut.rounding)
    return cut.each or cut.places or usual


def _withdrawals(meet: Meet, cut: Cut) -> list[Withdrawal]:
    """Who withdrew from what the cut leads to, in the order that `meet.toml` has them."""
    finals = (one.withdrawn for one in meet.settings.competitions if cut.to and one.id == cut.to)
    return [*cut.withdrawn, *chain.from_iterable(finals)]


def _absent(
    withdrawals: list[Withdrawal], apparatus: str, called: dict[int, str], of_teams: bool
) -> list[int]:
    """The keys of those who withdrew, in the same order; of teams those that are named."""
    found = []
    for one in withdrawals:
        if one.apparatus and apparatus not in one.apparatus:
            continue
        meant = one.team if of_teams else one.bib
        found += [key for key, name in called.items() if name == meant and key not in found]
    return found


def _cut_lines(rows: list[Candidate], quota: Quota, absent: list[int]) -> tuple[CutLine, ...]:
    """The verdicts of the whole list, and who is called up for those who withdrew."""
    first = verdicts(rows, quota)
    called = called_up(rows, quota, absent)
    held = held_back(rows, quota, absent)
    open_places = unfilled(rows, quota, absent)
    return tuple(
        CutLine(
            key=verdict.key,
            verdict=verdict,
            withdrawn=verdict.key in absent
            and verdict.outcome in ("qualified", "reserve", "capped"),
            called_up=verdict.key in called,
            in_place_of=called.get(verdict.key),
            held_back=held.get(verdict.key, ()),
            unfilled=open_places.get(verdict.key),
        )
        for verdict in first
    )
