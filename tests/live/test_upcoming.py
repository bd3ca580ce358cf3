"""Who is up next: by rotation and squad, by start list, with two vaults; what is left behind."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest
from folders import judged, write_folder
from running_drawn import drawn

from resultsgen.live.competition import live
from resultsgen.live.upcoming import Upcoming, upcoming
from resultsgen.reading import read_meet
from resultsgen.scoring.judging import results

MEET = """
    == meet.toml ==
    title = "Club evening"
    [[competition]]
    id = "cup"
    title = "Cup"
    discipline = "women"
    {settings}
    == roster.csv ==
    bib,family_name,session,squad,start_order,entered
    1,Adamsky,{session},A,1,{twice}
    2,Bellwether,{session},A,2,
    3,Corvane,{session},A,3,
    4,Dunmore,2,B,1,
    5,Eskdale,2,B,2,
    == marks.csv ==
    bib,apparatus,vault,mark,d,e
"""
CIRCUIT = 'running = { starts = { A = "VT", B = "BB" } }'


def up(
    folder: Path, marks: str, settings: str = CIRCUIT, session: str = "2", twice: str = ""
) -> list[str]:
    """Each apparatus with its squad, its rotation and the bibs: "VT A 1: 1 2 3"."""
    text = MEET.format(settings=settings, session=session, twice=twice)
    rows = (row.split() for row in marks.split(",") if row)
    told = "".join(
        f"    {bib},{part},{vault * (part == 'VT')},12.{bib}00,4.000,8.{bib}00\n"
        for bib, part, vault in rows
    )
    placed = judged(write_folder(folder, text + told))
    (competition,) = live(placed).values()
    bibs = {key: who.bib for key, who in competition.entries.people.items()}
    return [
        f"{one.apparatus} {one.squad} {one.rotation or '-'}: {' '.join(bibs[k] for k in one.keys)}"
        for one in upcoming(competition)
    ]


@pytest.mark.parametrize(
    ("marks", "expected"),
    [
        ("", ["VT A 1: 1 2 3", "BB B 1: 4 5"]),
        ("1 VT 1,4 BB 1", ["VT A 1: 2 3", "BB B 1: 5"]),
        # Squad A is over with vault and goes on to bars; B is still on beam.
        ("1 VT 1,2 VT 1,3 VT 1", ["UB A 2: 1 2 3", "BB B 1: 4 5"]),
        # Another begins: 2, then 3, then 1.
        ("2 VT 1", ["VT A 1: 3 1", "BB B 1: 4 5"]),
        ("2 VT 1,3 VT 1", ["VT A 1: 1", "BB B 1: 4 5"]),
        # 3's vault was left behind: the squad is on bars.
        ("1 VT 1,2 VT 1,1 UB 1", ["VT A 1: 3", "UB A 2: 2 3", "BB B 1: 4 5"]),
    ],
)
def test_a_squad_is_where_its_rotation_is(tmp_path: Path, marks: str, expected: list[str]) -> None:
    assert up(tmp_path, marks) == expected


def test_who_does_two_vaults_stays_up_until_both_are_in(tmp_path: Path) -> None:
    two = CIRCUIT + "\n    vaults = 2"
    assert up(tmp_path, "1 VT 1", two, twice="VT VT2 UB BB FX")[0] == "VT A 1: 1 2 3"
    assert up(tmp_path, "1 VT 1,1 VT 2", two, twice="VT VT2 UB BB FX")[0] == "VT A 1: 2 3"


def test_where_no_rotation_is_known_a_squad_is_where_it_has_begun(tmp_path: Path) -> None:
    every = ["VT A -: 1 2 3", "UB A -: 1 2 3", "BB A -: 1 2 3", "FX A -: 1 2 3"]
    found = up(tmp_path, "4 BB 1", "")
    assert [each for each in found if " A " in each] == every
    assert [each for each in found if " B " in each] == ["BB B -: 5"]
    # Of an apparatus, the squad that is there comes first.
    assert [each for each in found if each.startswith("BB")] == ["BB B -: 5", "BB A -: 1 2 3"]


def test_a_session_begins_when_the_one_before_is_over_or_it_has_a_mark(tmp_path: Path) -> None:
    assert up(tmp_path, "", session="1") == ["VT A 1: 1 2 3"]
    assert up(tmp_path, "4 BB 1", session="1") == ["BB B 1: 5"]
    same = CIRCUIT.replace('"BB"', '"VT"')
    assert up(tmp_path, "1 VT 1,4 VT 1", same, "1") == ["VT B 1: 5", "VT A 1: 2 3"]


def test_a_final_goes_by_its_start_lists(tmp_path: Path) -> None:
    drawn_lists = 'ranks = ["apparatus"]\n    draw = { VT = ["3", "1", "2", "5", "4"] }'
    found = up(tmp_path, "3 VT 1", drawn_lists)
    assert found[0] == "VT  -: 1 2 5 4"
    assert up(tmp_path, "3 VT 1,1 VT 1", drawn_lists)[0] == "VT  -: 2 5 4"


def test_where_teams_alone_are_placed_nobody_goes_up_beyond_as_many_as_may(tmp_path: Path) -> None:
    teams = (
        CIRCUIT
        + """
    ranks = ["team"]
    team = { format = "3-2-1", by = "club" }"""
    )
    text = MEET.replace("squad,start_order", "squad,start_order,club").replace(",A,1,", ",A,1,N,")
    text = text.replace(",A,2,", ",A,2,N,").replace(",A,3,", ",A,3,N,")
    text = text.replace(",B,1,", ",B,1,S,").replace(",B,2,", ",B,2,S,")
    text = text.format(settings=teams, session="2", twice="")
    done = "".join(f"    {bib},VT,,12.000,4.000,8.000\n" for bib in (1, 2))
    placed = judged(write_folder(tmp_path, text + done))
    (competition,) = live(placed).values()
    found = [(one.apparatus, one.squad, len(one.keys)) for one in upcoming(competition)]
    assert found == [("UB", "A", 3), ("BB", "B", 2)]


@pytest.mark.parametrize("seed", range(60))
def test_whoever_has_a_mark_to_come_is_up_before_the_end(seed: int, tmp_path: Path) -> None:
    """Entering what `upcoming` asks for, one after the other, ends a meet, whatever its shape."""
    dice = Random(seed)
    meet = drawn(dice, tmp_path / "drawn")
    folder = meet.write(tmp_path / "at", dice.randint(0, len(meet.rows)))
    read, problems = read_meet(folder)
    assert read, problems
    placed, _ = results(read)
    for running in live(placed).values():
        asked: list[Upcoming] = list(upcoming(running))
        entries = running.entries
        to_come = {
            (key, "VT" if part == "VT2" else part)
            for key in entries.people
            for part, _ in entries.to_come(key)
        }
        found = {(key, one.apparatus) for one in asked for key in one.keys}
        assert found <= to_come
        one = entries.competition
        goes_on = one.competition.has_own_marks and not one.complete
        assert bool(found) == bool(to_come and goes_on)
        assert all(len({*one.keys}) == len(one.keys) > 0 for one in asked)
