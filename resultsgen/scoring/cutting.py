"""The cuts of a list, with those who withdrew and those who were called up in their place."""

from __future__ import annotations

from dataclasses import replace

from resultsgen.meet.competition import Cut, CutBody, bibs_on
from resultsgen.meet.folder import Meet
from resultsgen.meet.ruleset import CutRule
from resultsgen.rules.cuts import Candidate, Quota, share
from resultsgen.rules.replacements import Withdrawals
from resultsgen.scoring.ranking import CutLine, CutResult, Gymnast, Ranking


def body(gymnast: Gymnast, kind: CutBody) -> str:
    """The federation, club, team or division that a cut counts a gymnast by."""
    return str(getattr(gymnast, kind))


def with_cuts(ranking: Ranking, meet: Meet) -> Ranking:
    """The list with every cut of its competition that is taken from it."""
    competition = meet.settings.by_id[ranking.competition]
    rules = meet.rule_sets[competition.id].cuts
    cuts = (
        _cut(ranking, cut, rules, meet)
        for cut in competition.cuts
        if cut.of == ranking.kind and _is_held(meet, cut, ranking.apparatus)
    )
    return replace(ranking, cuts=tuple(cuts))


def _is_held(meet: Meet, cut: Cut, apparatus: str) -> bool:
    """Whether what a cut leads to has the apparatus of a list; outside this meet it may."""
    final = meet.settings.by_id.get(cut.to)
    return not (apparatus and final) or apparatus in meet.settings.apparatus_of(final)


def _cut(ranking: Ranking, cut: Cut, rules: CutRule, meet: Meet) -> CutResult:
    """One cut: the verdicts of the whole list, and who is called up for those who withdrew."""
    rows = [
        Candidate(
            line.key, line.place, line.total, body(line.of.gymnasts[0], cut.per), line.of.guest
        )
        for line in ranking.lines
    ]
    placed = sum(row.place is not None and not row.guest for row in rows)
    quota = replace(quota_of(cut, rules, placed), order=_jury_order(cut, ranking))
    absent = _absent(cut, ranking, meet)
    gone = Withdrawals(rows, quota, absent)
    called, held, open_places, ahead = gone.called_up, gone.held_back, gone.unfilled, gone.kept_out
    lines = (
        CutLine(
            key=verdict.key,
            verdict=replace(verdict, ahead=ahead.get(verdict.key, verdict.ahead))
            if verdict.outcome == "capped"
            else verdict,
            withdrawn=verdict.key in absent
            and verdict.outcome in ("qualified", "reserve", "capped"),
            called_up=verdict.key in called,
            in_place_of=called.get(verdict.key),
            held_back=held.get(verdict.key, ()),
            unfilled=open_places.get(verdict.key),
        )
        for verdict in gone.first
    )
    complete = not ranking.to_come
    open_equals = gone.undecided if complete else ()
    return CutResult(
        cut, ranking.apparatus, tuple(lines), complete, quota, open_equals, tuple(absent)
    )


def quota_of(cut: Cut, rules: CutRule, placed: int) -> Quota:
    """A cut in figures: as the meet sets it, or else as is usual by the rule set.

    *placed* are those with a place, for a share of them. Where each body has places of its own,
    so many qualify of each.
    """
    usual = rules.usual(cut.of)
    reserves, cap = cut.reserves, cut.cap
    if usual and not cut.says_how_many:
        reserves = usual.reserves if reserves is None else reserves
        cap = usual.cap if cap is None else cap
    places = cut.each or cut.places or (usual.places if usual else 0)
    if cut.percent is not None:
        places = share(placed, cut.percent, cut.rounding)
    return Quota(
        places=places,
        reserves=reserves or 0,
        cap=cap or 0,
        minimum=cut.minimum,
        ties_qualify=rules.tie_on_last_place == "all qualify",
        reserves_count=cut.cap_counts == "qualifiers and reserves",
        of_each=cut.each is not None,
    )


def _jury_order(cut: Cut, ranking: Ranking) -> tuple[int, ...]:
    """The keys of equals as the jury put them."""
    named = bibs_on(cut.reserve_order, ranking.apparatus)
    known = (line for line in ranking.lines if line.id in named)
    return tuple(line.key for line in sorted(known, key=lambda line: named.index(line.id)))


def _absent(cut: Cut, ranking: Ranking, meet: Meet) -> list[int]:
    """The keys of those who withdrew from what the cut leads to, as `meet.toml` has them.

    Of teams those that are named.
    """
    final = meet.settings.by_id.get(cut.to)
    found: dict[int, None] = {}
    for gone in (*cut.withdrawn, *(final.withdrawn if final else ())):
        if not gone.apparatus or ranking.apparatus in gone.apparatus:
            meant = gone.team if ranking.of_teams else gone.bib
            found |= {line.key: None for line in ranking.lines if line.id == meant}
    return list(found)
