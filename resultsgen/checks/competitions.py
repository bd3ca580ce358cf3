"""What must be true of competitions, their cuts and their teams."""

from __future__ import annotations

import re
from collections.abc import Iterator

from resultsgen.checks.entries import belonging_mask
from resultsgen.checks.keys import key_path
from resultsgen.checks.settings import known_apparatus, on_its_apparatus, setting
from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import DISCIPLINES, Competition, every_bib

CODE = re.compile(r"[A-Za-z0-9]{1,8}")


def numbered(meet: Meet) -> Iterator[tuple[int, Competition]]:
    """The competitions with their number, from 0."""
    return enumerate(meet.settings.competitions)


def every_competition_has_its_own_id(meet: Meet) -> Iterator[Problem]:
    """No two competitions have the same id."""
    seen: set[str] = set()
    for number, one in numbered(meet):
        if one.id in seen:
            path = key_path("competition", number, "id")
            yield setting(path, "id-twice", "another competition has this id; change one", one.id)
        seen.add(one.id)


def disciplines_and_apparatus_are_known(meet: Meet) -> Iterator[Problem]:
    """Each competition's discipline is declared, and each apparatus has a code that we know."""
    disciplines = tuple(dict.fromkeys((*DISCIPLINES, *meet.settings.disciplines)))
    for number, one in numbered(meet):
        if one.discipline not in disciplines:
            path = key_path("competition", number, "discipline")
            message = (
                f"there is no discipline {one.discipline}; there are {', '.join(disciplines)}; "
                "declare others under [disciplines]"
            )
            yield setting(path, "unknown-discipline", message, one.discipline)
        codes = [(key_path("competition", number, "apparatus"), code) for code in one.apparatus]
        for withdrawal_number, withdrawal in enumerate(one.withdrawn):
            path = key_path("competition", number, "withdrawn", withdrawal_number, "apparatus")
            codes += [(path, code) for code in withdrawal.apparatus]
        yield from _unknown_apparatus(meet, codes)
    yield from _codes_that_are_none(meet)


def _unknown_apparatus(meet: Meet, codes: list[tuple[str, str]]) -> Iterator[Problem]:
    known = known_apparatus(meet)
    for path, code in codes:
        if code not in known:
            message = (
                f"there is no apparatus {code}; there are {', '.join(known)}; "
                f'declare it:  [apparatus]  {code} = "Its name"'
            )
            yield setting(path, "unknown-apparatus", message, code)


def _codes_that_are_none(meet: Meet) -> Iterator[Problem]:
    """A code is part of page addresses: letters and digits only."""
    declared = [(key_path("apparatus", code), code) for code in meet.settings.apparatus]
    for name, one in meet.settings.disciplines.items():
        declared += [(key_path("disciplines", name, "apparatus"), code) for code in one.apparatus]
    for path, code in declared:
        if not CODE.fullmatch(code):
            message = f"{code!r} is no apparatus code; use up to eight letters and digits"
            yield setting(path, "no-apparatus-code", message, code)


def competitions_have_gymnasts(meet: Meet) -> Iterator[Problem]:
    """Somebody on the roster belongs to each competition, and to each division it names."""
    if meet.roster.empty or meet.roster["discipline"].eq("").any():
        return  # What keeps them out of it is told already.
    for number, one in numbered(meet):
        own = meet.roster[belonging_mask(one, meet.roster)]
        if own.empty:
            message = (
                f"nobody on the roster is of discipline {one.discipline}"
                f"{' and ' + ' or '.join(one.divisions) if one.divisions else ''}; "
                "compare the words here with those of the roster"
            )
            path = key_path("competition", number, "divisions" if one.divisions else "discipline")
            yield setting(path, "nobody-in-competition", message, one.id)
            continue
        for division in one.divisions:
            if not own["division"].eq(division).any():
                message = f"nobody on the roster is of division {division}"
                path = key_path("competition", number, "divisions")
                yield setting(path, "nobody-in-competition", message, division)


def finals_are_filled_by_a_cut(meet: Meet) -> Iterator[Problem]:
    """What a competition is entered from exists, and has a cut that leads to it."""
    by_id = {one.id: one for _, one in numbered(meet)}
    for number, one in numbered(meet):
        path = key_path("competition", number, "entered_from")
        if not one.entered_from:
            continue
        source = by_id.get(one.entered_from)
        if source is None:
            message = f"there is no competition {one.entered_from}; there are {', '.join(by_id)}"
            yield setting(path, "unknown-competition", message, one.entered_from)
        elif not one.starters and one.id not in [cut.to for cut in source.cuts]:
            message = (
                f"{source.id} has no cut that leads here: add  to = {one.id!r}  to one of its "
                "cuts, or name the starters"
            )
            yield setting(path, "no-cut-leads-here", message, one.entered_from)


def a_team_competition_has_a_team_format(meet: Meet) -> Iterator[Problem]:
    """Where teams are ranked there is a format, and no more count than go up than are in a team."""
    for number, one in numbered(meet):
        if "team" in one.ranks and one.team is None:
            path = key_path("competition", number, "ranks")
            message = (
                "teams are ranked, but there is no format, and the rule set has no usual one: "
                'add  team = { format = "5-4-3" }'
            )
            yield setting(path, "no-team-format", message, one.id)
        if one.team and not 1 <= one.team.count <= one.team.up <= one.team.size:
            path = key_path("competition", number, "team", "format")
            message = (
                f"{one.team.format} is no team format; it is size-up-count, "
                "with no more counting than up and no more up than in the team: 5-4-3"
            )
            yield setting(path, "no-team-format", message, one.team.format)


def team_penalties_name_a_team(meet: Meet) -> Iterator[Problem]:
    """A team penalty is taken from a team that the roster has in that competition."""
    for number, one in numbered(meet):
        if one.team is None or meet.roster.empty:
            continue
        own = meet.roster[belonging_mask(one, meet.roster)]
        teams = sorted(set(own[one.team.by]) - {""})
        for penalty_number, penalty in enumerate(one.team.penalties):
            if penalty.team not in teams:
                path = key_path("competition", number, "team", "penalties", penalty_number, "team")
                message = f"there is no {one.team.by} {penalty.team}; there are {', '.join(teams)}"
                yield setting(path, "unknown-team", message, penalty.team)


def starters_are_on_the_roster(meet: Meet) -> Iterator[Problem]:
    """Starters, and those in a draw, are bibs of the competition's discipline and divisions."""
    if meet.roster.empty:
        return
    for number, one in numbered(meet):
        bibs = set(meet.roster.loc[belonging_mask(one, meet.roster), "bib"])
        named = [(("starters",), bib) for bib in every_bib(one.starters)]
        drawn = [(("draw", part), bib) for part, order in one.draw.items() for bib in order]
        above = key_path("competition", number, "starters")
        yield from on_its_apparatus(meet, one, one.starters, above)
        for path, bib in [*named, *drawn]:
            if bib not in bibs:
                message = f"bib {bib} is not on the roster of {one.id}; correct it here or there"
                yield setting(key_path("competition", number, *path), "unknown-bib", message, bib)


def what_a_competition_enters_is_in_it(meet: Meet) -> Iterator[Problem]:
    """Who has entries of a competition's own is on its roster, and they are of its apparatus."""
    for number, one in numbered(meet):
        codes = meet.settings.apparatus_of(one)
        parts = (*codes, "VT2") if "VT" in codes else codes
        rows = belonging_mask(one.model_copy(update={"entered": {}}), meet.roster)
        bibs = set(meet.roster.loc[rows, "bib"])
        for bib, entered in one.entered.items():
            path = key_path("competition", number, "entered", bib)
            if bib not in bibs and not meet.roster.empty:
                message = f"bib {bib} is not on the roster of {one.id}; correct it here or there"
                yield setting(path, "unknown-bib", message, bib)
            for code in entered:
                if codes and code not in parts:
                    message = f"{one.id} has no apparatus {code}; it has {', '.join(codes)}"
                    yield setting(path, "unknown-apparatus", message, code)


def an_order_by_rank_has_a_qualification(meet: Meet) -> Iterator[Problem]:
    """Who start in order of their rank were ranked in a qualification that fills the final."""
    for number, one in numbered(meet):
        if one.start_order != "as listed" and not one.entered_from:
            message = (
                f"{one.id} starts by {one.start_order}, but is filled from no qualification: add "
                "entered_from, or write  [competition.draw]  or  starters"
            )
            path = key_path("competition", number, "start_order")
            yield setting(path, "no-rank-to-start-by", message, one.start_order)
