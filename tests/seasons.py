"""The example of a season, and made-up meets of one list as seasons know them."""

from __future__ import annotations

import csv
import datetime as dt
import json
import shutil
from collections.abc import Iterable
from pathlib import Path
from typing import Any, NamedTuple

import jsonschema

from resultsgen.data.season import season_schema
from resultsgen.meet.problems import Problem
from resultsgen.season.facts import SeasonMeet, appearances, facts
from resultsgen.season.season import RowsWritten, Season, careers_of, look_alikes
from resultsgen.season.settings import PEOPLE, SeasonSettings
from resultsgen.season.settling import PeopleRow, against, settle
from resultsgen.season.told import (
    ToldApparatus,
    ToldCompetition,
    ToldGymnast,
    ToldLine,
    ToldMeet,
    ToldRanking,
    ToldResults,
    ToldRoutine,
    ToldRules,
)
from resultsgen.season.who import KnownPeople, identity, who_is_who

HERE = Path(__file__).parent
EXAMPLE_MEET = HERE.parent / "example_meet"
ROUNDS = ("kornblume-cup", "vernal-cup", "lantern-meet", "haselbrueck-cup", "harvest-final")
"""Its meets in order of time."""

NOT_COPIED = shutil.ignore_patterns("output", "publications", ".*")


def example_season(folder: Path) -> Path:
    """The example season in a folder of its own; what was published of its meets stays behind."""
    shutil.copytree(HERE / "example_season", folder, ignore=NOT_COPIED)
    shutil.copytree(EXAMPLE_MEET, folder / "meets/lantern-meet", ignore=NOT_COPIED)
    return folder


def season_told(out: Path) -> dict[str, Any]:
    """What is published of a season: season.json, and the rows of the tables marks and bests."""
    told = json.loads((out / "data/season.json").read_text("utf-8"))
    jsonschema.validate(told, season_schema())
    for name in ("marks", "bests"):
        texts = (path.read_text("utf-8") for path in sorted((out / "data" / name).glob("*.csv")))
        told[name] = [row for text in texts for row in csv.DictReader(text.splitlines())]
    return told


class Start(NamedTuple):
    """A row of the roster of a made-up meet, with its mark on beam."""

    family: str
    club: str = "Club Ash"
    birth_year: int | None = None
    person: str = ""
    mark: int | None = 12_000
    division: str = ""
    withheld: bool = False
    guest: bool = False


def made_meet(
    id: str, day: int, starts: Iterable[Start], rules: str = "international"
) -> SeasonMeet:
    """A meet of one day and one list, as its `results.json` would tell it."""
    rows = tuple(enumerate(starts))
    date = dt.date(2031, 1, 1) + dt.timedelta(days=day)
    gymnasts = tuple(
        ToldGymnast(
            entry, str(entry + 1), "" if one.withheld else one.family, "", one.withheld, one.club,
            "", "women", one.division, one.birth_year, one.guest, one.person,
        )
        for entry, one in rows
    )  # fmt: skip
    lines = tuple(
        ToldLine(entry, None, one.mark, 1, 1, (ToldRoutine("BB", 1, one.mark, None),))
        for entry, one in rows
    )
    ranking = ToldRanking("BB", ("BB",), (), lines)
    held = ToldCompetition(
        "w", "W", "women", "final", None, True, (), (), ToldRules(rules, rules.title()), None,
        (ranking,), None, (),
    )  # fmt: skip
    meet = ToldMeet(id, "", date, date, "", "official")
    beam = (ToldApparatus("BB", "Beam"),)
    told = ToldResults("resultsgen results", "1.10", meet, beam, gymnasts, (held,))
    return SeasonMeet(id, id, "", date, date, "", True, True, told)


def season_of_meets(
    meets: Iterable[SeasonMeet], rows: Iterable[PeopleRow] = (), **settings: Any
) -> tuple[Season, list[Problem], KnownPeople]:
    """The season of made-up meets, what is wrong with it, and who is who."""
    held = facts(meets)
    people_of = [row for meet in held.meets for row in appearances(meet.id, meet.results)]
    there = tuple(sorted({identity(row) for row in people_of}, key=lambda one: one.order))
    printed = {identity(row): f"{row.family} {row.given}".strip() for row in people_of}
    people, problems = settle(rows, there, printed)
    known = who_is_who(people_of, people.settled, dict(people.called))
    problems += against(rows, known, people.settled, held, printed)
    columns = RowsWritten(tuple(one.name for one in PEOPLE), ",")
    problems += look_alikes(known, people, printed, columns)
    made = SeasonSettings(title="S", meets=("*",), **settings)
    return Season(made, held, *careers_of(known, people)), problems, known
