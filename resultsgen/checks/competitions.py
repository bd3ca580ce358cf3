"""What must be true of competitions: their gymnasts, teams, starters and squads."""

from __future__ import annotations

import re
from collections.abc import Iterator

from resultsgen.checks.keys import in_settings, unknown
from resultsgen.checks.roster import bibs_of, gymnasts_of
from resultsgen.checks.settings import known_apparatus
from resultsgen.files.toml_keys import SettingPath
from resultsgen.meet.competition import BYE, Bibs, Competition, Withdrawal, every_bib
from resultsgen.meet.folder import Meet
from resultsgen.meet.names import DISCIPLINES
from resultsgen.meet.parts import parts_of
from resultsgen.meet.problems import Problem

CODE = re.compile(r"[A-Za-z0-9]{1,8}")


def numbered(meet: Meet) -> Iterator[tuple[SettingPath, Competition]]:
    """The competitions, each with how it is named in `meet.toml`."""
    for number, competition in enumerate(meet.settings.competitions):
        yield ("competition", number), competition


def _not_on_the_roster(at: SettingPath, bib: str, competition: Competition) -> Problem:
    message = f"bib {bib} is not on the roster of {competition.id}; correct it here or there"
    return in_settings(at, "unknown-bib", message, bib)


def _no_apparatus(
    at: SettingPath, competition: Competition, code: str, codes: tuple[str, ...]
) -> Problem:
    message = f"{competition.id} has no apparatus {code}; it has {', '.join(codes)}"
    return in_settings(at, "unknown-apparatus", message, code)


def every_competition_has_its_own_id(meet: Meet) -> Iterator[Problem]:
    """No two competitions have the same id."""
    seen: set[str] = set()
    for at, competition in numbered(meet):
        if competition.id in seen:
            message = "another competition has this id; change one"
            yield in_settings((*at, "id"), "id-twice", message, competition.id)
        seen.add(competition.id)


def competitions_take_place_while_the_meet_does(meet: Meet) -> Iterator[Problem]:
    """The day of a competition is one of the days of the meet, where both are given."""
    dates = sorted(meet.settings.dates)
    for at, competition in numbered(meet):
        if dates and competition.day and not dates[0] <= competition.day <= dates[-1]:
            days = " to ".join(str(day) for day in dict.fromkeys(dates))
            message = f"not a day of the meet, which is on {days}; correct the day, or dates"
            yield in_settings((*at, "day"), "day-outside", message, str(competition.day))


def disciplines_and_apparatus_are_known(meet: Meet) -> Iterator[Problem]:
    """Each competition's discipline is declared, and each apparatus has a code that we know."""
    disciplines = dict.fromkeys((*DISCIPLINES, *meet.settings.disciplines))
    known = known_apparatus(meet)
    for at, competition in numbered(meet):
        if competition.discipline not in disciplines:
            mend = "; declare others under [disciplines]"
            where = (*at, "discipline")
            yield unknown(where, "discipline", competition.discipline, disciplines, mend)
        codes = [((*at, "apparatus"), code) for code in competition.apparatus]
        for number, withdrawal in enumerate(competition.withdrawn):
            where = (*at, "withdrawn", number, "apparatus")
            codes += [(where, code) for code in withdrawal.apparatus]
        for where, code in codes:
            if code not in known:
                mend = f'; declare it:  [apparatus]  {code} = "Its name"'
                yield unknown(where, "apparatus", code, known, mend)


def codes_are_part_of_addresses(meet: Meet) -> Iterator[Problem]:
    """A code that the meet declares is part of page addresses: letters and digits only."""
    declared: list[tuple[SettingPath, str]] = [
        (("apparatus", code), code) for code in meet.settings.apparatus
    ]
    for name, discipline in meet.settings.disciplines.items():
        at = ("disciplines", name, "apparatus")
        declared += [(at, code) for code in discipline.apparatus]
    for where, code in declared:
        if not CODE.fullmatch(code):
            message = f"{code!r} is no apparatus code; use up to eight letters and digits"
            yield in_settings(where, "no-apparatus-code", message, code)


def competitions_have_gymnasts(meet: Meet) -> Iterator[Problem]:
    """Somebody on the roster belongs to each competition, and to each division it names."""
    if not meet.entries or not all(gymnast.discipline for gymnast in meet.entries):
        return  # What keeps them out of it is told already.
    for at, competition in numbered(meet):
        there = {gymnast.division for gymnast in gymnasts_of(competition, meet)}
        divisions = competition.divisions
        if not there:
            message = (
                f"nobody on the roster is of discipline {competition.discipline}"
                f"{' and ' + ' or '.join(divisions) if divisions else ''}; "
                "compare the words here with those of the roster"
            )
            where = (*at, "divisions" if divisions else "discipline")
            yield in_settings(where, "nobody-in-competition", message, competition.id)
        for division in divisions if there else ():
            if division not in there:
                message = f"nobody on the roster is of division {division}"
                where = (*at, "divisions")
                yield in_settings(where, "nobody-in-competition", message, division)


def a_team_competition_has_a_team_format(meet: Meet) -> Iterator[Problem]:
    """Where teams are ranked there is a format, and no more count than go up than are in a team."""
    for at, competition in numbered(meet):
        team = competition.team
        if "team" in competition.ranks and team is None:
            message = (
                "teams are ranked, but there is no format, and the rule set has no usual one: "
                'add  team = { format = "5-4-3" }'
            )
            yield in_settings((*at, "ranks"), "no-team-format", message, competition.id)
        if team and not 1 <= team.count <= team.up <= team.size:
            message = (
                f"{team.format} is no team format; it is size-up-count, "
                "with no more counting than up and no more up than in the team: 5-4-3"
            )
            yield in_settings((*at, "team", "format"), "no-team-format", message, team.format)


def team_penalties_name_a_team(meet: Meet) -> Iterator[Problem]:
    """A team penalty is taken from a team that the roster has in that competition."""
    for at, competition in numbered(meet):
        team = competition.team
        if team is None or not meet.entries:
            continue
        own = gymnasts_of(competition, meet)
        teams = sorted({getattr(gymnast, team.by) for gymnast in own} - {""})
        for number, penalty in enumerate(team.penalties):
            if penalty.team not in teams:
                message = f"there is no {team.by} {penalty.team}; there are {', '.join(teams)}"
                where = (*at, "team", "penalties", number, "team")
                yield in_settings(where, "unknown-team", message, penalty.team)


def those_named_are_on_the_roster(meet: Meet) -> Iterator[Problem]:
    """Starters, and those drawn, withdrawn or put in order, are bibs of the competition.

    Those that are given by apparatus are so by its apparatus.
    """
    for at, competition in numbered(meet) if meet.entries else ():
        bibs, codes = bibs_of(competition, meet), meet.settings.apparatus_of(competition)
        for where, bib in _named(competition):
            if bib not in bibs:
                yield _not_on_the_roster((*at, *where), bib, competition)
        given: list[tuple[SettingPath, Bibs]] = [(("starters",), competition.starters)]
        for number, cut in enumerate(competition.cuts):
            given.append((("cuts", number, "reserve_order"), cut.reserve_order))
        for where, order in given:
            for code in order if isinstance(order, dict) else ():
                if code not in codes:
                    yield _no_apparatus((*at, *where, code), competition, code, codes)


def _named(competition: Competition) -> Iterator[tuple[SettingPath, str]]:
    """Every bib that the settings of a competition name, and where."""
    yield from ((("starters",), bib) for bib in every_bib(competition.starters))
    for part, order in competition.draw.items():
        yield from ((("draw", part), bib) for bib in order)
    for where, gone in withdrawn_from(competition):
        if gone.bib and not gone.team:
            yield (*where, "bib"), gone.bib
    for number, cut in enumerate(competition.cuts):
        if cut.of != "team":
            where = ("cuts", number, "reserve_order")
            yield from ((where, bib) for bib in every_bib(cut.reserve_order))


def withdrawn_from(competition: Competition) -> Iterator[tuple[SettingPath, Withdrawal]]:
    """Who withdrew from a competition, or from where its cuts lead, and how that is named."""
    for place, gone in enumerate(competition.withdrawn):
        yield ("withdrawn", place), gone
    for number, cut in enumerate(competition.cuts):
        for place, gone in enumerate(cut.withdrawn):
            yield ("cuts", number, "withdrawn", place), gone


def what_a_competition_enters_is_in_it(meet: Meet) -> Iterator[Problem]:
    """Who has entries of a competition's own is on its roster, and they are of its apparatus."""
    for at, competition in numbered(meet):
        codes = meet.settings.apparatus_of(competition)
        parts = parts_of(codes)
        bibs = bibs_of(competition.model_copy(update={"entered": {}}), meet)
        for bib, entered in competition.entered.items():
            where = (*at, "entered", bib)
            if bib not in bibs and meet.entries:
                yield _not_on_the_roster(where, bib, competition)
            for code in entered:
                if codes and code not in parts:
                    yield _no_apparatus(where, competition, code, codes)


def squads_go_round_stations_that_exist(meet: Meet) -> Iterator[Problem]:
    """A circuit holds apparatus of the competition and byes, and every start is one of them."""
    for at, competition in numbered(meet):
        apparatus, running = meet.settings.apparatus_of(competition), competition.running
        circuit = running.circuit or apparatus
        named = [("circuit", name, apparatus) for name in circuit if not name.startswith(BYE)]
        named += [("starts", station, circuit) for station in running.starts.values()]
        for key, station, known in named:
            if station not in known:
                message = f"there is no station {station} here; there are {', '.join(known)}"
                yield in_settings((*at, "running", key), "unknown-station", message, station)


def squads_that_start_are_on_the_roster(meet: Meet) -> Iterator[Problem]:
    """Each squad that is given a start has a gymnast of the competition."""
    for at, competition in numbered(meet) if meet.entries else ():
        squads = {gymnast.squad for gymnast in gymnasts_of(competition, meet)}
        for squad in competition.running.starts:
            if squad not in squads:
                there = ", ".join(sorted(filter(None, squads))) or "none"
                message = f"no gymnast of the competition is in squad {squad}; squads: {there}"
                yield in_settings((*at, "running", "starts"), "unknown-squad", message, squad)
