"""A made-up meet in which everything that can be long is long, with names of all lengths."""

from __future__ import annotations

import random
from pathlib import Path

from folders import write_folder

MEET = """
    == meet.toml ==
    title = "A long meet"
    base_url = "https://results.example.org/long/"
    published = 2031-05-18T18:25:00+02:00

    [[competition]]
    id = "day"
    title = "Women"
    discipline = "women"
    phase = "qualification"
    ranks = ["all-around", "apparatus", "team"]
    missing_scores = "share"
    team = { format = "5-5-4", by = "team" }
    cuts = [
        { name = "All-around final", of = "all-around", percent = 50, reserves = 4 },
        { name = "Apparatus finals", of = "apparatus", percent = 50 },
        { name = "Team final", of = "team", percent = 50 },
    ]

    [[competition]]
    id = "evening"
    title = "Women, evening"
    discipline = "women"
    ranks = ["all-around"]
    missing_scores = "share"
    marks = "evening.csv"
    """

SYLLABLES = "ma ri lo ven ta kel sor ni bra gu el dis tho fen wyn ael ior qua zet pir ulm oss hal"
APPARATUS = ("VT", "UB", "BB", "FX")
ROSTER = "bib,family_name,given_name,club,team,federation,session,squad,start_order"
MARKS = "bib,apparatus,rotation,d,e,penalty,mark"


def long_meet(folder: Path, gymnasts: int) -> Path:
    """A meet folder: a qualification that is over, and an evening with a rotation to come.

    Every fourth gymnast is of one club; five are a team; squads of up to 32 go round.
    """
    chance = random.Random(7)
    write_folder(folder, MEET)
    clubs = [f"{_name(chance, 2)} {_name(chance, 3)}" for _ in range(60)]
    roster, day, evening = [ROSTER], [MARKS], [MARKS]
    for bib in range(1, gymnasts + 1):
        club = clubs[0] if bib % 4 == 0 else chance.choice(clubs)
        names = f"{_name(chance, chance.randrange(2, 5))},{_name(chance, chance.randrange(1, 4))}"
        at = f"{bib % 2 + 1},{'ABCD'[bib // 4 % 4]},{bib // 16 + 1}"
        roster.append(f"{bib},{names},{club},Team {bib // 5:03},{'DST'[bib % 3]},{at}")
        day += _routines(chance, bib, 4)
        evening += _routines(chance, bib, 3)
    for name, rows in (("roster", roster), ("marks", day), ("evening", evening)):
        (folder / f"{name}.csv").write_text("\n".join(rows) + "\n")
    return folder


def _name(chance: random.Random, syllables: int) -> str:
    return "".join(chance.choice(SYLLABLES.split()) for _ in range(syllables)).capitalize()


def _routines(chance: random.Random, bib: int, done: int) -> list[str]:
    """The first routines of a gymnast, whose squad begins on an apparatus of its own."""
    rows = []
    for turn in range(done):
        d, e = chance.randrange(30, 62) * 100, chance.randrange(600, 950) * 10
        penalty = chance.choice((0, 0, 0, 100, 300))
        parts = ",".join(f"{one // 1000}.{one % 1000:03}" for one in (d, e, penalty))
        mark = d + e - penalty
        apparatus = APPARATUS[(bib // 4 + turn) % 4]
        rows.append(f"{bib},{apparatus},{turn + 1},{parts},{mark // 1000}.{mark % 1000:03}")
    return rows
