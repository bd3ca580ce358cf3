"""What must be true of cuts, of the finals they fill, and of those who withdraw."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.checks.competitions import numbered, withdrawn_from
from resultsgen.checks.keys import in_settings, unknown
from resultsgen.checks.roster import gymnasts_of
from resultsgen.files.toml_keys import SettingPath
from resultsgen.meet.competition import Competition, Cut, every_bib
from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import Problem


def cuts_of(meet: Meet) -> Iterator[tuple[SettingPath, Competition, Cut]]:
    """Every cut with its competition, and how it is named in `meet.toml`."""
    for at, competition in numbered(meet):
        for number, cut in enumerate(competition.cuts):
            yield (*at, "cuts", number), competition, cut


def each_cut_of_a_list_has_its_own_name(meet: Meet) -> Iterator[Problem]:
    """No two cuts of one list have the same name, by which they are known."""
    seen: set[tuple[SettingPath, str, str]] = set()
    for at, _, cut in cuts_of(meet):
        named = (at[:-1], cut.of, cut.name)
        if named in seen:
            message = f"another cut of {cut.of} here has this name; change one"
            yield in_settings((*at, "name"), "cut-twice", message, cut.name)
        seen.add(named)


def finals_are_filled_by_a_cut(meet: Meet) -> Iterator[Problem]:
    """What a competition is entered from exists, and has a cut that leads to it."""
    by_id = meet.settings.by_id
    for at, final in numbered(meet):
        source, where = by_id.get(final.entered_from), (*at, "entered_from")
        if final.entered_from and source is None:
            yield unknown(where, "competition", final.entered_from, by_id)
        elif source and not final.starters and final.id not in [cut.to for cut in source.cuts]:
            message = (
                f"{source.id} has no cut that leads here: add  to = {final.id!r}  to one of its "
                "cuts, or name the starters"
            )
            yield in_settings(where, "no-cut-leads-here", message, final.entered_from)


def an_order_by_rank_has_a_qualification(meet: Meet) -> Iterator[Problem]:
    """Who start in order of their rank were ranked in a qualification that fills the final."""
    for at, final in numbered(meet):
        if final.start_order != "as listed" and not final.entered_from:
            message = (
                f"{final.id} starts by {final.start_order}, but is filled from no qualification: "
                "add entered_from, or write  [competition.draw]  or  starters"
            )
            where = (*at, "start_order")
            yield in_settings(where, "no-rank-to-start-by", message, final.start_order)


def cuts_lead_to_competitions(meet: Meet) -> Iterator[Problem]:
    """Where a cut leads to exists, and is filled from it (or by those who are named)."""
    by_id = meet.settings.by_id
    for at, competition, cut in cuts_of(meet):
        final = by_id.get(cut.to)
        if cut.to and final is None:
            yield unknown((*at, "to"), "competition", cut.to, by_id)
        elif final and final.entered_from != competition.id and not (final.starters or final.draw):
            message = (
                f"{cut.to} is not filled from here: add  entered_from = {competition.id!r}  to it"
            )
            yield in_settings((*at, "to"), "cut-leads-nowhere", message, cut.to)


def a_cut_fits_where_it_leads(meet: Meet) -> Iterator[Problem]:
    """A final has the discipline, divisions, apparatus and lists of those who get there."""
    by_id = meet.settings.by_id
    for at, competition, cut in cuts_of(meet):
        final = by_id.get(cut.to, competition)
        for lacking in _lacking(meet, competition, cut, final) if final is not competition else ():
            message = f"{cut.to} has no {lacking}, which this cut is for; correct either"
            yield in_settings((*at, "to"), "cut-does-not-fit", message, cut.to)


def _lacking(meet: Meet, source: Competition, cut: Cut, final: Competition) -> Iterator[str]:
    if final.discipline != source.discipline:
        yield f"discipline {source.discipline}"
        return
    if final.divisions and not (source.divisions and {*source.divisions} <= {*final.divisions}):
        others = [name for name in source.divisions if name not in final.divisions]
        yield f"division {', '.join(others)}" if others else "division but its own"
    if cut.of == "apparatus":
        codes = meet.settings.apparatus_of(source)
        if not set(codes) & set(meet.settings.apparatus_of(final)):
            yield ", ".join(codes)
        if "apparatus" not in final.ranks:
            yield "lists of apparatus"


def a_cut_is_taken_from_a_list(meet: Meet) -> Iterator[Problem]:
    """A cut is of a list that its competition ranks."""
    for at, competition, cut in cuts_of(meet):
        if cut.of not in competition.ranks:
            message = f"{competition.id} does not rank {cut.of}; add it to ranks, or change the cut"
            yield in_settings((*at, "of"), "cut-without-list", message, cut.of)


def a_cut_says_how_many_go_through(meet: Meet) -> Iterator[Problem]:
    """A cut has one of places, percent and each, or its rule set has a usual cut."""
    for at, competition, cut in cuts_of(meet):
        given = cut.says_how_many
        if len(given) > 1:
            message = f"{' and '.join(given)} both say how many qualify: keep one of them"
            yield in_settings((*at, given[-1]), "cut-not-clear", message, cut.name)
        elif not given and meet.rule_sets[competition.id].cuts.usual(cut.of) is None:
            message = (
                f"how many qualify is not said, and {competition.rules} has no usual cut for "
                f"{cut.of}: add  places = 8"
            )
            yield in_settings((*at, "places"), "cut-not-clear", message, cut.name)
        elif cut.each is not None and cut.cap:
            message = f"each {cut.per} has places of its own, so that a cap says nothing: delete it"
            yield in_settings((*at, "cap"), "cut-not-clear", message, cut.name)


def _counts_bodies(meet: Meet, competition: Competition, cut: Cut) -> bool:
    """Whether a cut has a cap, be it the usual one of the rule set, or places for each body."""
    usual = None if cut.says_how_many else meet.rule_sets[competition.id].cuts.usual(cut.of)
    return bool(cut.each or (usual.cap if usual and cut.cap is None else cut.cap))


def a_cut_counts_by_what_the_roster_tells(meet: Meet) -> Iterator[Problem]:
    """Where a cut has a cap or places for each body, the roster names the bodies."""
    for at, competition, cut in cuts_of(meet):
        own = gymnasts_of(competition, meet)
        nobody_has_one = own and not any(getattr(gymnast, cut.per) for gymnast in own)
        if nobody_has_one and _counts_bodies(meet, competition, cut):
            message = (
                f"the cut counts by {cut.per}, and the roster names none for {competition.id}: "
                f'fill the column, write  per = "club"  or another, or  cap = 0'
            )
            yield in_settings((*at, "per"), "body-not-given", message, cut.per)


def a_team_that_a_cut_counts_is_of_one_body(meet: Meet) -> Iterator[Problem]:
    """Where a cut counts teams by club or federation, no team is made of several."""
    for at, competition, cut in cuts_of(meet):
        team_by = competition.team.by if competition.team and cut.of == "team" else ""
        if not team_by or not _counts_bodies(meet, competition, cut):
            continue
        bodies: dict[str, set[str]] = {}
        for gymnast in gymnasts_of(competition, meet):
            if not gymnast.guest and (team := getattr(gymnast, team_by)):
                bodies.setdefault(team, set()).add(getattr(gymnast, cut.per) or "none")
        for team, its in bodies.items():
            if len(its) > 1:
                message = (
                    f"the cut counts teams by {cut.per}, and {team} is of several: "
                    f'{", ".join(sorted(its))}; write  per = "team"  or  cap = 0'
                )
                yield in_settings((*at, "per"), "team-of-several-bodies", message, cut.per)


def teams_in_order_are_on_the_roster(meet: Meet) -> Iterator[Problem]:
    """A team that is put in order among equals is one of the competition."""
    for at, competition, cut in cuts_of(meet) if meet.entries else ():
        if cut.of != "team":
            continue
        by = competition.team.by if competition.team else "bib"
        known = {getattr(gymnast, by) for gymnast in gymnasts_of(competition, meet)}
        for name in every_bib(cut.reserve_order):
            if name not in known:
                message = (
                    f"team {name} is not on the roster of {competition.id}; correct it here or "
                    "there"
                )
                yield in_settings((*at, "reserve_order"), "unknown-team", message, name)


def those_withdrawn_are_known(meet: Meet) -> Iterator[Problem]:
    """Who withdrew is either a bib or a team, and a team is one of the competition."""
    for at, competition in numbered(meet) if meet.entries else ():
        own = gymnasts_of(competition, meet) if [*withdrawn_from(competition)] else []
        teams = {
            team for gymnast in own for team in (gymnast.team, gymnast.club, gymnast.federation)
        } - {""}
        for where, gone in withdrawn_from(competition):
            if bool(gone.bib) == bool(gone.team):
                message = "who withdrew is not clear: write either  bib  or  team"
                code = "wrong-setting" if gone.bib else "missing-setting"
                yield in_settings((*at, *where, "bib"), code, message, gone.bib)
            elif gone.team and gone.team not in teams:
                yield unknown((*at, *where, "team"), "team", gone.team, sorted(teams))


def those_withdrawn_were_to_start(meet: Meet) -> Iterator[Problem]:
    """Who withdrew from a competition got there by a cut, and is not named as starting."""
    to = {cut.to for _, _, cut in cuts_of(meet)}
    for at, competition in numbered(meet):
        for number, gone in enumerate(competition.withdrawn):
            where = (*at, "withdrawn", number, "bib")
            if competition.id not in to and not competition.entered_from:
                message = (
                    f"no cut leads to {competition.id}, so that nobody moves up here; say it where "
                    "the cut leads to, in the cut, or as WDR or DNS in the marks"
                )
                name = gone.bib or gone.team
                yield in_settings(where, "withdrawn-does-not-fit", message, name)
            elif gone.bib and not gone.apparatus and gone.bib in every_bib(competition.starters):
                message = f"bib {gone.bib} withdrew, and is named in starters; take one of them out"
                yield in_settings(where, "withdrawn-does-not-fit", message, gone.bib)
