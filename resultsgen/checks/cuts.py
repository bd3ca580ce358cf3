"""What must be true of cuts, and of those who withdraw."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.checks.competitions import numbered
from resultsgen.checks.entries import belonging_mask
from resultsgen.checks.keys import key_path
from resultsgen.checks.settings import on_its_apparatus, setting
from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import Competition, Cut, Withdrawal, every_bib


def cuts_of(meet: Meet) -> Iterator[tuple[Competition, Cut, str]]:
    """Every cut with its competition, and how it is named in `meet.toml`."""
    for number, one in numbered(meet):
        for cut_number, cut in enumerate(one.cuts):
            yield one, cut, key_path("competition", number, "cuts", cut_number)


def cuts_lead_to_competitions(meet: Meet) -> Iterator[Problem]:
    """Where a cut leads to exists, and is filled from it (or by those who are named)."""
    by_id = {one.id: one for _, one in numbered(meet)}
    for one, cut, path in cuts_of(meet):
        if not cut.to:
            continue
        final = by_id.get(cut.to)
        if final is None:
            message = f"there is no competition {cut.to}; there are {', '.join(by_id)}"
            yield setting(f"{path}.to", "unknown-competition", message, cut.to)
        elif final.entered_from != one.id and not (final.starters or final.draw):
            message = f"{cut.to} is not filled from here: add  entered_from = {one.id!r}  to it"
            yield setting(f"{path}.to", "cut-leads-nowhere", message, cut.to)


def a_cut_fits_where_it_leads(meet: Meet) -> Iterator[Problem]:
    """A final has the discipline, divisions, apparatus and lists of those who get there."""
    by_id = {one.id: one for _, one in numbered(meet)}
    for one, cut, path in cuts_of(meet):
        final = by_id.get(cut.to, one)
        for lacking in _lacking(meet, one, cut, final) if final is not one else ():
            message = f"{cut.to} has no {lacking}, which this cut is for; correct either"
            yield setting(f"{path}.to", "cut-does-not-fit", message, cut.to)


def _lacking(meet: Meet, one: Competition, cut: Cut, final: Competition) -> Iterator[str]:
    """What a final does not have of what a cut is taken from."""
    if final.discipline != one.discipline:
        yield f"discipline {one.discipline}"
        return
    if final.divisions and not (one.divisions and set(one.divisions) <= set(final.divisions)):
        others = [name for name in one.divisions if name not in final.divisions]
        yield f"division {', '.join(others)}" if others else "division but its own"
    if cut.of == "apparatus":
        there = meet.settings.apparatus_of(final)
        codes = meet.settings.apparatus_of(one)
        if not set(codes) & set(there):
            yield ", ".join(codes)
        if "apparatus" not in final.ranks:
            yield "lists of apparatus"


def a_cut_is_taken_from_a_list(meet: Meet) -> Iterator[Problem]:
    """A cut is of a list that its competition ranks."""
    for one, cut, path in cuts_of(meet):
        if cut.of not in one.ranks:
            message = f"{one.id} does not rank {cut.of}; add it to ranks, or change the cut"
            yield setting(f"{path}.of", "cut-without-list", message, cut.of)


def a_cut_says_how_many_go_through(meet: Meet) -> Iterator[Problem]:
    """A cut has one of places, percent and each, or its rule set has a usual cut."""
    for one, cut, path in cuts_of(meet):
        given = [name for name in ("places", "percent", "each") if getattr(cut, name) is not None]
        if len(given) > 1:
            message = f"{' and '.join(given)} both say how many go through: keep one of them"
            yield setting(f"{path}.{given[-1]}", "cut-not-clear", message, cut.name)
        elif not given and meet.rule_sets[one.id].cuts.usual(cut.of) is None:
            message = (
                f"how many go through is not said, and {one.rules} has no usual cut for "
                f"{cut.of}: add  places = 8"
            )
            yield setting(f"{path}.places", "cut-not-clear", message, cut.name)
        elif cut.each is not None and cut.cap:
            message = f"each {cut.per} has places of its own, so that a cap says nothing: delete it"
            yield setting(f"{path}.cap", "cut-not-clear", message, cut.name)


def a_cut_counts_by_what_the_roster_tells(meet: Meet) -> Iterator[Problem]:
    """Where a cut has a cap or places for each body, the roster names the bodies."""
    if meet.roster.empty:
        return
    for one, cut, path in cuts_of(meet):
        own = meet.roster[belonging_mask(one, meet.roster)]
        if _counts_bodies(meet, one, cut) and not own.empty and own[cut.per].eq("").all():
            message = (
                f"the cut counts by {cut.per}, and the roster names none for {one.id}: fill the "
                f'column, write  per = "club"  or another, or  cap = 0'
            )
            yield setting(f"{path}.per", "body-not-given", message, cut.per)


def _counts_bodies(meet: Meet, one: Competition, cut: Cut) -> bool:
    """Whether a cut has a cap, be it the usual one of the rule set, or places for each body."""
    usual = meet.rule_sets[one.id].cuts.usual(cut.of)
    is_usual = cut.places is None and cut.percent is None and cut.each is None
    return bool(cut.each or (usual.cap if usual and is_usual and cut.cap is None else cut.cap))


def a_team_that_a_cut_counts_is_of_one_body(meet: Meet) -> Iterator[Problem]:
    """Where a cut counts teams by club or federation, no team is made of several."""
    for one, cut, path in cuts_of(meet):
        if cut.of != "team" or one.team is None or not _counts_bodies(meet, one, cut):
            continue
        own = meet.roster[belonging_mask(one, meet.roster) & ~meet.roster["guest"]]
        bodies = own[own[one.team.by].ne("")].groupby(one.team.by)[cut.per].unique()
        for team, of in bodies[bodies.map(len) > 1].items():
            message = (
                f"the cut counts teams by {cut.per}, and {team} is of several: "
                f"{', '.join(sorted(body or 'none' for body in of))}; write  "
                'per = "team"  or  cap = 0'
            )
            yield setting(f"{path}.per", "team-of-several-bodies", message, cut.per)


def those_withdrawn_are_on_the_roster(meet: Meet) -> Iterator[Problem]:
    """Who withdrew is a bib, or a team, of the competition's discipline and divisions."""
    if meet.roster.empty:
        return
    for number, one in numbered(meet):
        yield from _withdrawn(meet, one, one.withdrawn, key_path("competition", number))
    for one, cut, path in cuts_of(meet):
        yield from _withdrawn(meet, one, cut.withdrawn, path)


def those_in_order_are_on_the_roster(meet: Meet) -> Iterator[Problem]:
    """Who is put in order among equals is a bib of the competition, or a team of it."""
    if meet.roster.empty:
        return
    for one, cut, path in cuts_of(meet):
        own = meet.roster[belonging_mask(one, meet.roster)]
        of, code = ("team", "unknown-team") if cut.of == "team" else ("bib", "unknown-bib")
        known = set(own[one.team.by if cut.of == "team" and one.team else "bib"])
        for name in every_bib(cut.reserve_order):
            if name not in known:
                message = f"{of} {name} is not on the roster of {one.id}; correct it here or there"
                yield setting(f"{path}.reserve_order", code, message, name)
        yield from on_its_apparatus(meet, one, cut.reserve_order, f"{path}.reserve_order")


def those_withdrawn_were_to_start(meet: Meet) -> Iterator[Problem]:
    """Who withdrew from a competition got there by a cut, and is not named as starting."""
    to = {cut.to for _, cut, _ in cuts_of(meet)}
    for number, one in numbered(meet):
        for place, gone in enumerate(one.withdrawn):
            path = key_path("competition", number, "withdrawn", place, "bib")
            if one.id not in to and not one.entered_from:
                message = (
                    f"no cut leads to {one.id}, so that nobody moves up here; say it where the cut "
                    "leads to, in the cut, or as WDR or DNS in the marks"
                )
                yield setting(path, "withdrawn-does-not-fit", message, gone.bib or gone.team)
            elif gone.bib and not gone.apparatus and gone.bib in every_bib(one.starters):
                message = f"bib {gone.bib} withdrew, and is named in starters; take one of them out"
                yield setting(path, "withdrawn-does-not-fit", message, gone.bib)


def _withdrawn(
    meet: Meet, one: Competition, withdrawn: tuple[Withdrawal, ...], above: str
) -> Iterator[Problem]:
    own = meet.roster[belonging_mask(one, meet.roster)]
    bibs = set(own["bib"])
    teams = {*own["team"], *own["club"], *own["federation"]} - {""}
    for place, gone in enumerate(withdrawn):
        path = f"{above}.{key_path('withdrawn', place)}"
        if bool(gone.bib) == bool(gone.team):
            message = "who withdrew is not clear: write either  bib  or  team"
            code = "wrong-setting" if gone.bib else "missing-setting"
            yield setting(f"{path}.bib", code, message, gone.bib)
        elif gone.bib and gone.bib not in bibs:
            message = f"bib {gone.bib} is not on the roster of {one.id}; correct it here or there"
            yield setting(f"{path}.bib", "unknown-bib", message, gone.bib)
        elif gone.team and gone.team not in teams:
            message = f"there is no team {gone.team}; there are {', '.join(sorted(teams))}"
            yield setting(f"{path}.team", "unknown-team", message, gone.team)
