"""The running meet from a meet folder: the same list as the results, and needs that hold true."""

from __future__ import annotations

from pathlib import Path

import pytest
from folders import judged, write_folder

from resultsgen.live.competition import LiveCompetition, live
from resultsgen.live.needs import Need
from resultsgen.scoring.results import Results

EXAMPLE = Path(__file__).parent.parent / "example_meet"

MEET = """
    == meet.toml ==
    title = "Club evening"
    [[competition]]
    id = "cup"
    title = "Cup"
    discipline = "women"
    rules = "grid.toml"
    team = { format = "2-2-1", by = "club" }
    ranks = ["all-around", "apparatus", "team"]
    cuts = [{ name = "Regional final", of = "all-around", places = 1, cap = 1, per = "club" }]
    running = { starts = { A = "VT", B = "BB" } }
    == grid.toml ==
    title = "Marks of ten in steps of 0.050"
    [marks]
    composition = "single"
    highest = 10.000
    step = 0.050
    == roster.csv ==
    bib,family_name,club,squad,start_order
    1,Adamsky,North,A,1
    2,Bellwether,South,A,2
    3,Corvane,North,B,1
    4,Dunmore,South,B,2
"""
HEAD = "    == marks.csv ==\n    bib,apparatus,mark\n"

# Squad A: VT UB BB FX. Squad B: BB FX VT UB. Before the last mark of the meet:
#   1: 9.400 9.300 9.400 9.400 = 37.500     3: BB 9.300 FX 9.300 VT 9.300 UB 9.300 = 37.200
#   2: 9.400 9.300 9.400 and FX to come     4: BB 9.000 FX 9.000 VT 9.000 UB 9.000 = 36.000
DONE = {
    "1": {"VT": "9.400", "UB": "9.300", "BB": "9.400", "FX": "9.400"},
    "2": {"VT": "9.400", "UB": "9.300", "BB": "9.400"},
    "3": {"BB": "9.300", "FX": "9.300", "VT": "9.300", "UB": "9.300"},
    "4": {"BB": "9.000", "FX": "9.000", "VT": "9.000", "UB": "9.000"},
}


def built(folder: Path, marks: dict[str, dict[str, str]]) -> Results:
    rows = [
        f"    {bib},{part},{mark}\n" for bib, own in marks.items() for part, mark in own.items()
    ]
    return judged(write_folder(folder, MEET + HEAD + "".join(rows)))


def with_mark(bib: str, part: str, mark: int) -> dict[str, dict[str, str]]:
    text = f"{mark // 1000}.{mark % 1000:03d}"
    return {one: own | ({part: text} if one == bib else {}) for one, own in DONE.items()}


@pytest.fixture
def last_up(tmp_path: Path) -> LiveCompetition:
    """The meet before its last mark."""
    return live(built(tmp_path, DONE))["cup"]


def needed(these: LiveCompetition, list: str, aim: str) -> Need:
    (gymnast,) = these.needs
    (found,) = (need for need in gymnast.needs if (need.list, need.aim) == (list, aim))
    return found


def test_the_squads_start_tells_the_rotations(last_up: LiveCompetition) -> None:
    (session,) = last_up.lists["all-around"].sessions
    first, _, _, last = session.standings
    # After the first rotation: squad A on vault 9.400 each, squad B on beam 9.300 and 9.000.
    assert [(line.key, line.place, line.total) for line in first.leading] == [
        (0, 1, 9400),
        (1, 1, 9400),
        (2, 3, 9300),
        (3, 4, 9000),
    ]
    # After the last, 2 has done three and forms a group of its own.
    assert [[line.key for line in group] for group in last.groups] == [[0, 2, 3], [1]]
    assert last.to_come == 1


def test_the_last_one_up(last_up: LiveCompetition) -> None:
    (gymnast,) = last_up.needs
    assert (gymnast.key, gymnast.rotation, gymnast.apparatus) == (1, 4, "FX")
    # 37.500 - 28.100 = 9.400 ties, 9.450 wins; on floor 9.400 leads as well.
    lead = needed(last_up, "all-around", "lead")
    assert (lead.ties, lead.wins) == (9400, 9450)
    floor = needed(last_up, "FX", "lead")
    assert (floor.ties, floor.wins) == (9400, 9450)
    # One place, one per club, of which 1 (North) is ahead: level with her both qualify.
    cut = needed(last_up, "all-around", "cut")
    assert (cut.cut, cut.wins, cut.tie.outcome) == ("Regional final", 9400, "reached")


@pytest.mark.parametrize(("mark", "places"), [(9350, (1, 2)), (9400, (1, 1)), (9450, (2, 1))])
def test_the_mark_built_into_the_meet_does_what_was_told(
    tmp_path: Path, mark: int, places: tuple[int, int]
) -> None:
    whole = built(tmp_path, with_mark("2", "FX", mark)).competitions[0].all_around
    assert whole is not None
    by_bib = {line.gymnast.bib: line.place for line in whole.lines}
    assert (by_bib["1"], by_bib["2"]) == places
    assert whole.cuts[0].of(1) is not None
    through = whole.cuts[0].of(1).verdict.outcome == "qualified"
    assert through == (mark >= 9400)


def test_what_is_decided_before_the_last_mark(last_up: LiveCompetition) -> None:
    whole = last_up.lists["all-around"]
    assert whole.bound is not None
    assert (whole.bound.mark, whole.bound.basis) == (10000, "highest mark of the rules")
    # 2 can reach 38.100 or do not finish: 1 is first or second, 3 second or third.
    ranges = {one.key: (one.best, one.worst) for one in whole.prospects}
    assert ranges == {0: (1, 2), 1: (1, 4), 2: (2, 3), 3: (3, 4)}
    assert whole.cuts == {"Regional final": {0: "open", 1: "open", 2: "out", 3: "out"}}


def test_the_leaders_and_who_has_still_to_go(last_up: LiveCompetition) -> None:
    assert [line.key for line in last_up.lists["FX"].first] == [0]
    assert [line.key for line in last_up.lists["VT"].first] == [0, 1]
    assert last_up.lists["FX"].to_go == (1,)
    assert last_up.lists["VT"].to_go == ()


def test_who_share_the_lead_and_who_has_still_to_go(tmp_path: Path) -> None:
    # 1 and 3 have 9.500 on floor, 4 has 9.000; 2 is still to go. Nobody has been on vault.
    marks = {"1": {"FX": "9.500"}, "3": {"FX": "9.500"}, "4": {"FX": "9.000"}}
    lists = live(built(tmp_path, marks))["cup"].lists
    assert [line.key for line in lists["FX"].first] == [0, 2]
    assert lists["FX"].to_go == (1,)
    assert (lists["VT"].first, lists["VT"].to_go) == ((), (0, 1, 2, 3))


def test_a_rotation_given_with_the_mark_is_kept(tmp_path: Path) -> None:
    # By their squad 1 would be on vault in rotation 1; 4 is in a squad whose start nobody gave.
    text = (MEET + "    == marks.csv ==\n    bib,apparatus,mark,rotation\n").replace("B,2", "C,2")
    entries = live(judged(write_folder(tmp_path, text + "    1,VT,9.400,4\n")))["cup"].entries
    assert [entries.rotation(0, part) for part in ("VT", "UB")] == [4, 2]
    assert entries.rotation(2, "FX") == 2
    assert entries.rotation(3, "FX") is None


def test_the_teams_stand_by_the_apparatus_they_are_over_with(last_up: LiveCompetition) -> None:
    team = last_up.lists["team"]
    # One mark counts. North: 9.400 + 9.300 + 9.400 + 9.400 = 37.500, over with all four; South
    # is over with three: 9.400 + 9.300 + 9.400 = 28.100, and has at most 10.000 to come.
    groups = [[(line.key, line.total, line.done) for line in one] for one in team.now.groups]
    assert groups == [[(0, 37500, 4)], [(1, 28100, 3)]]
    assert [(one.key, one.best, one.worst) for one in team.prospects] == [
        (0, 1, 2),
        (1, 1, 2),
    ]


def test_a_team_that_is_out_of_reach_has_won(tmp_path: Path) -> None:
    # South has 9.000 three times and at most 10.000 to come, 37.000; North has 37.500.
    weaker = DONE | {"2": {"VT": "9.000", "UB": "9.000", "BB": "9.000"}}
    team = live(built(tmp_path, weaker))["cup"].lists["team"]
    assert [(one.key, one.has_won) for one in team.prospects] == [(0, True), (1, False)]


# The example meet: the running list agrees with the results once all marks are in.


@pytest.fixture(scope="module")
def example() -> Results:
    return judged(EXAMPLE)


def test_where_all_are_done_the_running_list_is_the_list_of_the_results(example: Results) -> None:
    compared = 0
    for one, now in zip(example.competitions, live(example).values(), strict=True):
        for ranking in (ranking for ranking in one.rankings if not ranking.of_teams):
            told = now.lists[ranking.id]
            placed = {line.gymnast.key: line.place for line in ranking.lines if line.place}
            totals = {line.gymnast.key: line.total for line in ranking.lines if line.place}
            lines = [line for line in told.now.leading if line.done == len(ranking.parts)]
            assert {line.key: line.place for line in lines} == placed
            assert {line.key: line.total for line in lines} == totals
            compared += len(placed)
    assert compared > 500


def test_the_running_teams_are_the_teams_of_the_results(example: Results) -> None:
    for one, now in zip(example.competitions, live(example).values(), strict=True):
        if one.team is None or one.team.to_come:
            continue
        placed = {line.key: (line.place, line.total) for line in one.team.lines if line.place}
        assert {
            line.key: (line.place, line.total) for line in now.lists["team"].now.leading
        } == placed


def test_the_last_rotation_of_each_session_is_as_it_stands_now(example: Results) -> None:
    for now in live(example).values():
        whole = now.lists.get("all-around")
        for session in whole.sessions if whole else ():
            for line in session.standings[-1].leading if session.standings else ():
                final = whole.now.of(line.key)
                assert final is not None
                assert line.total == final.total
                assert line.place <= final.place


DRAWN = """
    == meet.toml ==
    title = "Apparatus finals"
    [[competition]]
    id = "finals"
    title = "Finals"
    discipline = "women"
    apparatus = ["VT", "BB"]
    ranks = ["apparatus"]
    draw = { VT = ["3", "4", "1"], BB = ["2", "4", "1"] }
    == roster.csv ==
    bib,family_name,entered
    1,Adamsky,VT BB
    2,Bellwether,BB
    3,Corvane,VT
    4,Dunmore,VT BB
    == marks.csv ==
    bib,apparatus,mark
    3,VT,13.000
"""


def test_in_a_final_they_are_up_as_drawn(tmp_path: Path) -> None:
    # The vault comes first: 4 and 1 are still to go on it, then 2 begins on beam.
    placed = judged(write_folder(tmp_path, DRAWN))
    bibs = {key: one.bib for key, one in placed.gymnasts.items()}
    now = live(placed)["finals"]
    assert [bibs[one.key] for one in now.needs] == ["4", "1", "2"]
    to_go = {code: [bibs[key] for key in one.to_go] for code, one in now.lists.items()}
    assert to_go == {"VT": ["4", "1"], "BB": ["2", "4", "1"]}


@pytest.mark.parametrize(
    ("line", "goal"),
    [
        ("percent = 50", None),  # Of how many, nobody knows before all are placed.
        ('each = 1, per = "club"', (1, True)),
        ("places = 2", (2, False)),
    ],
)
def test_a_cut_is_a_goal_where_its_places_are_known(
    tmp_path: Path, line: str, goal: tuple[int, bool] | None
) -> None:
    text = (MEET + HEAD).replace('places = 1, cap = 1, per = "club"', line)
    results = judged(write_folder(tmp_path, text + "    1,VT,9.400\n"))
    (contest,) = (one for one in live(results)["cup"].contests if one.kind == "all-around")
    found = contest.cuts.get("Regional final")
    assert (found and found.quota and (found.quota.places, found.quota.of_each)) == goal


SPECIALISTS = """
    == meet.toml ==
    title = "Cup"
    [rules.club-ten]
    vault.averaging = "round"
    ties.vault-average.criteria = ["all-around total"]
    [[competition]]
    id = "before"
    title = "Before"
    discipline = "women"
    phase = "qualification"
    apparatus = ["VT", "BB"]
    ranks = ["apparatus"]
    rules = "club-ten"
    [[competition.cuts]]
    name = "Final"
    of = "apparatus"
    to = "cup"
    places = 2
    [[competition]]
    id = "cup"
    title = "Cup"
    discipline = "women"
    phase = "final"
    apparatus = ["VT", "BB"]
    ranks = ["apparatus"]
    vaults = 2
    rules = "club-ten"
    entered_from = "before"
    marks = "final.csv"
    == roster.csv ==
    bib,family_name,club
    1,Adamsky,A
    2,Bell,B
    3,Cole,C
    == marks.csv ==
    bib,apparatus,mark
    1,VT,9.500
    2,VT,9.400
    3,VT,9.300
    1,BB,9.000
    2,BB,9.500
    3,BB,9.900
    == final.csv ==
    bib,apparatus,vault,mark
    1,VT,,9.000
    1,VT,2,9.000
    2,VT,,9.000
    2,BB,,9.500
    3,BB,,9.900
    """


def test_who_comes_for_one_apparatus_is_not_waited_for_in_the_all_around(tmp_path):
    """8.999 makes 9.000 of two vaults, level; she has 18.500 in all, and the other no total."""
    results = judged(write_folder(tmp_path, SPECIALISTS))
    (second,) = (key for key, who in results.gymnasts.items() if who.bib == "2")
    needs = live(results)["cup"].needs_of(second)
    assert [(one.ties, one.tie and one.tie.outcome) for one in needs if one.aim == "lead"] == [
        (8999, "reached")
    ]
