"""Who is up next: by rotation and squad, by start list, with two vaults; what is left behind."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

import pytest
from folders import judged, write_folder
from running_drawn import PARTS, drawn

from resultsgen.live.competition import live
from resultsgen.live.upcoming import Upcoming, upcoming
from resultsgen.reading.meet import read_meet
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
        goes_on &= one.started or not one.waits_for
        assert bool(found) == bool(to_come and goes_on)
        assert all(len({*one.keys}) == len(one.keys) > 0 for one in asked)


@dataclass(frozen=True)
class Going:
    """One who goes up in the hall: nobody but the hall knows where a squad begins each time."""

    bib: int
    part: str
    rotation: int
    mark: bool
    """Otherwise she does not start, and the marks say so."""


class Hall:
    """A meet as those see it who stand in the hall: squads that go round, one after the other."""

    def __init__(self, dice: Random) -> None:
        self.dice, self.tells = dice, dice.random() < 0.7
        self.vaults = dice.choice((1, 2))
        stations = [*PARTS, *["bye"] * dice.choice((0, 0, 1))]
        self.circuit, self.roster, bibs = stations, list[str](), iter(range(1, 99))
        self.squads: dict[tuple[int, str], list[Going]] = {}
        self.starts = {squad: dice.choice(stations) for squad in "ABC"[: dice.randint(1, 3)]}
        self.shifted = dice.random() < 0.5
        for session in range(1, dice.randint(1, 2) + 1):
            for squad in self.starts:
                self.squads[session, squad] = [*self._round(session, squad, bibs)]

    def _round(self, session: int, squad: str, bibs: Iterator[int]) -> Iterator[Going]:
        """What a squad does from its start to its end, and the lines of its roster."""
        people = []
        for place in range(1, self.dice.randint(1, 5) + 1):
            own = [part for part in PARTS if self.dice.random() < 0.9] or ["BB"]
            if "VT" in own and self.vaults == 2 and self.dice.random() < 0.4:
                own.insert(1, "VT2")
            people.append((next(bibs), own))
            bib, entered = people[-1][0], " ".join(own)
            self.roster.append(f"{bib},Name {bib},{session},{squad},{place},{entered}")
        first = self.circuit.index(self.starts[squad])
        for turn in range(len(self.circuit)):
            begins = turn % len(people) if self.shifted else 0
            station = self.circuit[(first + turn) % len(self.circuit)]
            for bib, own in (*people[begins:], *people[:begins]):
                starts = self.dice.random() < 0.93
                for part in (station, f"{station}2"):
                    if part in own:
                        yield Going(bib, part, turn + 1, starts)

    def moment(self) -> tuple[str, dict[str, tuple[list[Going], bool]]]:
        """The meet folder at some moment, and what each squad of its session has still to do; with
        whether somebody of it has a mark where it is."""
        session = self.dice.randint(1, max(number for number, _ in self.squads))
        done, left = list[Going](), dict[str, tuple[list[Going], bool]]()
        for (number, squad), each in self.squads.items():
            at = self.dice.randint(0, len(each)) if number == session else 0
            at = len(each) if number < session else at
            done += each[:at]
            if number == session and each[at:]:
                turn = each[at].rotation
                begun = any(one.mark and one.rotation == turn for one in each[:at])
                left[squad] = each[at:], begun
        for (number, squad), each in self.squads.items() if not left else ():
            if number == session + 1:
                left[squad] = each, False
        told = ", ".join(f'{squad} = "{start}"' for squad, start in self.starts.items())
        circuit = ", ".join(f'"{station}"' for station in self.circuit)
        running = f"running = {{ circuit = [{circuit}], starts = {{ {told} }} }}" * self.tells
        rows = "".join(
            f"    {one.bib},{one.part[:2]},{'2' * (one.part == 'VT2')},"
            + ("12.000,4.000,8.000,\n" if one.mark else ",,,DNS\n")
            for one in done
        )
        text = HALL.format(settings=f"vaults = {self.vaults}\n    {running}")
        roster = "".join(f"    {line}\n" for line in self.roster)
        return (
            f"{text}{roster}    == marks.csv ==\n    bib,apparatus,vault,mark,d,e,status\n{rows}",
            left,
        )


HALL = """
    == meet.toml ==
    title = "Cup"
    [[competition]]
    id = "cup"
    title = "Cup"
    discipline = "women"
    {settings}
    == roster.csv ==
    bib,family_name,session,squad,start_order,entered
"""


def seen_in_the_hall(seed: int, folder: Path) -> int:
    """Compare what is told at one moment with what the hall sees; how many squads there were."""
    hall = Hall(Random(seed))
    text, left = hall.moment()
    (running,) = live(judged(write_folder(folder, text))).values()
    if running.entries.competition.complete:  # No list takes the single vaults that are left.
        return 0
    bibs = {key: int(who.bib) for key, who in running.entries.people.items()}
    told = [(one.squad, one.apparatus, one.rotation, [bibs[key] for key in one.keys])
            for one in upcoming(running)]  # fmt: skip
    for squad, (to_do, begun) in left.items():
        now = [one for one in to_do if one.rotation == to_do[0].rotation]
        order = [*dict.fromkeys(one.bib for one in now)]
        own = [one for one in told if one[0] == squad]
        here = [one for one in own if one[1] == now[0].part[:2]]
        assert len(here) == 1, (seed, squad, own, now)
        assert sorted(here[0][3]) == sorted(order), (seed, squad, here, order)
        assert here[0][2] == (now[0].rotation if hall.tells else None), (seed, squad, own)
        assert len(own) == 1 or not (hall.tells or begun), (seed, squad, own, now)
        if begun or not hall.shifted:
            assert here[0][3] == order, (seed, squad, here, order)
    assert {one[0] for one in told} == left.keys(), (seed, told, left)
    return len(left)


def test_who_is_up_is_who_stands_there_in_the_hall(tmp_path: Path) -> None:
    assert sum(seen_in_the_hall(seed, tmp_path / f"{seed}") for seed in range(120)) > 150


if __name__ == "__main__":  # python FILE 0 2000 tries more.
    with TemporaryDirectory() as base:
        seeds = range(*map(int, sys.argv[1:3]))
        print(sum(seen_in_the_hall(seed, Path(base) / f"{seed}") for seed in seeds))
