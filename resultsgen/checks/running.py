"""What must be true of the way that squads go round."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.checks.competitions import numbered
from resultsgen.checks.entries import belonging_mask
from resultsgen.checks.keys import key_path
from resultsgen.checks.settings import setting
from resultsgen.live.rotations import BYE
from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import Problem


def squads_go_round_stations_that_exist(meet: Meet) -> Iterator[Problem]:
    """A circuit holds apparatus of the competition and byes, and every start is one of them."""
    for number, one in numbered(meet):
        apparatus = meet.settings.apparatus_of(one)
        circuit = one.running.circuit or apparatus
        named = [("circuit", station, apparatus) for station in one.running.circuit]
        named += [("starts", station, circuit) for station in one.running.starts.values()]
        for key, station, known in named:
            if station not in known and not (key == "circuit" and station.startswith(BYE)):
                path = key_path("competition", number, "running", key)
                message = f"there is no station {station} here; there are {', '.join(known)}"
                yield setting(path, "unknown-station", message, station)


def squads_that_start_are_on_the_roster(meet: Meet) -> Iterator[Problem]:
    """Each squad that is given a start has a gymnast of the competition."""
    for number, one in numbered(meet):
        squads = set(meet.roster.loc[belonging_mask(one, meet.roster), "squad"])
        for squad in one.running.starts:
            if squad not in squads:
                path = key_path("competition", number, "running", "starts")
                there = ", ".join(sorted(filter(None, squads))) or "none"
                message = f"no gymnast of the competition is in squad {squad}; squads: {there}"
                yield setting(path, "unknown-squad", message, squad)
