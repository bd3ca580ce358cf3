"""Random meets on their way: what was told beforehand is judged anew once the marks are in.

The marks go through the whole judging, not through the rules that made the promise: a needed mark
ties or wins and one step less does not, and nobody who was called safe loses the place.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from folders import judged, write_folder

from resultsgen.live.competition import LiveCompetition, live
from resultsgen.live.needs import Need
from resultsgen.live.team_needs import team_needs
from resultsgen.meet.folder import Meet
from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import results
from resultsgen.scoring.ranking import Ranking
from resultsgen.scoring.results import CompetitionResults, Results
from resultsgen.views.lists.listing import Listing
from resultsgen.views.lists.qualification import qualification_tables
from resultsgen.views.lists.rankings import list_table
from resultsgen.views.live.decided import decided_lists
from resultsgen.views.words.wording import Wording

APPARATUS = ("VT", "UB", "BB", "FX")
GYMNASTS = 7
STEP = 50
SETTINGS = """
    == meet.toml ==
    title = "Cup"
    [rules.{rules}]
    marks.step = 0.050
    [[competition]]
    id = "cup"
    title = "Cup"
    discipline = "women"
    phase = "final"
    ranks = ["all-around", "apparatus", "team"]
    team = {{ format = "3-3-2", by = "club" }}
    rules = "{rules}"
    missing_scores = "share"
    running = {{ highest = 10.000 }}
    [[competition.cuts]]
    name = "Final"
    of = "all-around"
    places = 2
    reserves = 1
    cap = 1
    per = "club"
    withdrawn = {withdrawn}
    == roster.csv ==
    bib,family_name,club
"""
ROSTER = "".join(f"    {bib},Name {bib},{'ABC'[bib % 3]}\n" for bib in range(1, GYMNASTS + 1))
ROWS = "".join(
    f"    {bib},{part},9.500,1.5,8.000\n" for bib in range(1, GYMNASTS + 1) for part in APPARATUS
)
RULES = (("club-ten", ""), ("international", "24"))
"""The rules, and who has withdrawn from what the cut leads to."""


@pytest.fixture(scope="module", params=RULES)
def whole(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Meet:
    """A meet in which every mark is 9.500, for others to be put in."""
    rules, gone = request.param
    withdrawn = "[" + ", ".join(f'{{ bib = "{bib}", reason = "ankle" }}' for bib in gone) + "]"
    text = SETTINGS.format(rules=rules, withdrawn=withdrawn) + ROSTER + "    == marks.csv ==\n"
    folder = tmp_path_factory.mktemp(rules)
    meet, problems = read_meet(write_folder(folder, f"{text}    bib,apparatus,mark,d,e\n{ROWS}"))
    assert meet is not None, problems
    return meet


Marks = dict[tuple[int, str], tuple[int, int] | None]
"""Mark and E score in thousandths, by key and apparatus; None: did not start."""


def judged_with(meet: Meet, marks: Marks) -> Results:
    """The meet with these marks and no others."""
    rows = []
    for row in meet.mark_rows:
        if (row.gymnast, row.apparatus) in marks:
            given = marks[row.gymnast, row.apparatus]
            mark, e = given or (None, None)
            d = mark - e if given else None
            rows.append(row._replace(mark=mark, d=d, e=e, status="" if given else "DNS"))
    return results(replace(meet, mark_rows=tuple(rows)))[0]


def drawn(dice: random.Random) -> Marks:
    """Marks from few values, so that ties occur, each with one of two D scores."""
    found: Marks = {}
    for key in range(GYMNASTS):
        for part in APPARATUS:
            mark = dice.randrange(9000, 9300, STEP)
            found[key, part] = (mark, mark - dice.choice((1500, 1600)))
    return found


def ranking_of(one: CompetitionResults, need: Need) -> Ranking:
    return next(ranking for ranking in one.rankings if ranking.id == need.list)


def is_reached(placed: Results, key: int, need: Need) -> bool:
    """First alone, or on one of the first three places, or through whatever the order."""
    ranking = ranking_of(placed.competition("cup"), need)
    if need.cut:
        line = ranking.cuts[0].of(key)
        assert line is not None
        return line.verdict.outcome == "qualified" and not line.verdict.by_order
    own = ranking.by_key.get(key)
    assert own is not None
    assert own.place is not None
    if need.aim == "medal":
        return own.place <= 3
    return own.place == 1 and sum(one.place == 1 for one in ranking.lines) == 1


@pytest.mark.parametrize("seed", range(8))
def test_the_mark_told_to_the_last_one_up_is_enough_and_one_step_less_is_not(
    whole: Meet, seed: int
) -> None:
    dice = random.Random(seed)
    marks = drawn(dice)
    last = (dice.randrange(GYMNASTS), dice.choice(APPARATUS))
    before = judged_with(whole, {pair: mark for pair, mark in marks.items() if pair != last})
    (needs,) = live(before)["cup"].needs
    assert (needs.key, needs.apparatus) == last

    def reached(need: Need, mark: int, e: int) -> bool:
        return is_reached(judged_with(whole, marks | {last: (mark, e)}), last[0], need)

    for need in needs.needs:
        tie = need.tie
        assert reached(need, need.wins, max(need.wins - 3000, 0)), need
        if need.wins >= STEP and need.ties != need.wins - STEP:
            assert not reached(need, need.wins - STEP, need.wins - STEP), need
        if need.ties is None or tie is None or need.ties == need.wins:
            continue
        if tie.outcome in ("shared", "missed"):
            assert not reached(need, need.ties, need.ties - 1500), need
        if tie.at_least is not None and tie.score == "E":
            assert reached(need, need.ties, tie.at_least), need
            if tie.at_least - STEP != tie.even:
                assert not reached(need, need.ties, tie.at_least - STEP), need


def finish(dice: random.Random, marks: Marks, whole: Marks) -> Marks:
    """Everybody makes a mark up to 10.000, or does not start."""
    found = dict(marks)
    for pair in whole.keys() - marks.keys():
        mark = dice.choice((0, 8500, 9000, 9250, 9600, 10000))
        found[pair] = (mark, max(mark - 1500, 0)) if dice.random() < 0.9 else None
    return found


@pytest.mark.parametrize("seed", range(8))
def test_what_was_called_decided_holds_however_the_meet_ends(whole: Meet, seed: int) -> None:
    dice = random.Random(seed)
    marks = drawn(dice)
    pairs = sorted(marks)
    coming = set(dice.sample(pairs, dice.randint(1, 4)))
    before = {pair: mark for pair, mark in marks.items() if pair not in coming}
    running = judged_with(whole, before)
    listed = live(running)["cup"].lists["all-around"]
    (chances,) = listed.cuts.values()
    one = running.competition("cup")
    assert one.all_around is not None
    printed = Listing(one.all_around, one, Wording())
    lines = one.all_around.cuts[0].lines
    through = {line.key for line in lines if printed.cut_state(0, line)[0] == "Q"}
    never = {line.key for line in lines if "no longer" in printed.cut_sentence(0, line)}
    out = {key for key, chance in chances.items() if chance == "out"}
    never |= out - listed.standing_by["Final"]
    rows = {row.id: row for row in qualification_tables(one, Wording())[0].rows}
    unfinished = [line.gymnast.key for line in one.all_around.lines if line.total is None]
    assert all(f"cut-all-around-1-{key}" in rows for key in unfinished if key in chances)
    for _ in range(8):
        ended = judged_with(whole, finish(dice, before, marks)).competition("cup").all_around
        assert ended is not None
        places = {line.gymnast.key: line.place for line in ended.lines}
        for one in listed.prospects:
            place = places[one.key]
            if place is not None:
                assert one.best <= place <= one.worst
            assert place is not None or not one.complete
        starting = {line.key for line in ended.cuts[0].starting}
        assert through <= starting
        assert not never & starting.union(line.key for line in ended.cuts[0].waiting)
        for key, chance in chances.items():
            assert key in starting or chance != "in"
            assert key not in starting or chance != "out"


def split(dice: random.Random, total: int, pairs: list[tuple[int, str]]) -> Marks:
    """A sum of marks, none above 10.000, as it falls on these routines."""
    found: Marks = {}
    for number, pair in enumerate(pairs, start=1):
        left = 10000 * (len(pairs) - number)
        mark = dice.randrange(max(0, total - left), min(10000, total) + 1, STEP)
        found[pair] = (mark, max(mark - dice.choice((1500, 4000)), 0))
        total -= mark
    return found


def needed_of(now: LiveCompetition) -> Iterator[tuple[int, Need, list[tuple[int, str]]]]:
    """Everything that is needed, by whom, and the routines that it is about."""
    for gymnast in now.needs:
        for need in gymnast.needs:
            yield gymnast.key, need, [(gymnast.key, part) for part in need.apparatus]
    for team in team_needs(now):
        pairs = [
            (key, one.apparatus)
            for one in team.to_go
            for key in one.keys[: min(one.marks, one.count)]
        ]
        for need in team.needs:
            yield team.key, need, pairs


@pytest.mark.parametrize("seed", range(10))
def test_what_is_safe_never_fails_however_the_others_end(whole: Meet, seed: int) -> None:
    dice = random.Random(seed)
    marks = drawn(dice)
    coming = set(dice.sample(sorted(marks), dice.randint(2, 6)))
    before = {pair: mark for pair, mark in marks.items() if pair not in coming}
    for key, need, pairs in needed_of(live(judged_with(whole, before))["cup"]):
        for safe, is_shared in ((need.safe, False), (need.safe_shared, True)):
            if safe is None or safe > 10000 * len(pairs):
                continue
            for _ in range(2):
                ended = finish(dice, before, marks) | split(dice, safe, pairs)
                placed = judged_with(whole, ended)
                own = ranking_of(placed.competition("cup"), need).by_key[key]
                assert own.place == 1 if is_shared else is_reached(placed, key, need), need


@pytest.mark.parametrize("seed", range(5))
def test_who_has_no_mark_yet_needs_what_is_found_for_each_alone(whole: Meet, seed: int) -> None:
    dice = random.Random(seed)
    marks = drawn(dice)
    running = judged_with(whole, dict(dice.sample(sorted(marks.items()), dice.randint(1, 12))))
    together = live(running)["cup"]
    for one in together.needs:
        assert one.needs == LiveCompetition(together.entries).needs_of(one.key)


CALLED_UP = """
    == meet.toml ==
    title = "Cup"
    [[competition]]
    id = "q"
    title = "Women"
    discipline = "women"
    phase = "qualification"
    apparatus = ["VT", "BB"]
    rules = "club-ten"
    ranks = ["all-around"]
    running = { highest = 10 }
    [[competition.cuts]]
    name = "Final"
    of = "all-around"
    places = 2
    reserves = 1
    cap = 1
    per = "club"
    withdrawn = [{ bib = "1" }]
    == roster.csv ==
    bib,family_name,given_name,club
    1,Aone,Ann,Alpha
    2,Atwo,Amy,Alpha
    3,Bone,Bea,Beta
    4,Btwo,Bia,Beta
    5,Cone,Cat,Gamma
    6,Done,Dot,Delta
    == marks.csv ==
    bib,apparatus,mark
    1,VT,9.9
    1,BB,9.9
    2,VT,9.8
    2,BB,9.8
    3,VT,9.7
    3,BB,
    4,VT,9.0
    4,BB,9.0
    5,VT,8.9
    5,BB,8.9
    6,VT,9.5
    6,BB,8.0
"""


def test_whoever_is_called_up_or_stands_by_is_told_what_holds_while_marks_are_to_come(
    tmp_path: Path,
) -> None:
    running = judged(write_folder(tmp_path, CALLED_UP))
    one, wording = running.competition("q"), Wording()
    assert one.all_around is not None
    (table,) = qualification_tables(one, wording)
    told = {row.cells[1].text: (row.cells[3].text, row.cells[4].text) for row in table.rows}
    assert told["Atwo Amy"] == ("(Q)", "as it stands, called up in place of Aone Ann")
    assert told["Cone Cat"] == ("(R1)", "qualifies only if somebody withdraws")
    assert "Done Dot" not in told
    assert [note.text for note in table.notes] == ["Those placed below can no longer qualify."]
    notes = [note.text for note in list_table(one, one.all_around, wording).notes]
    assert notes == ["Withdrew.", "As it stands, called up in place of a gymnast who withdrew."]
    (decided,) = decided_lists(one, live(running)["q"], wording)
    assert decided.out == (
        "Qualifies only if somebody withdraws (Final): Cone Cat.",
        "Can no longer qualify (Final): Done Dot.",
    )


@pytest.mark.parametrize(
    ("places", "why"), [(2, ": at most 1 per club, and Aone Ann stands before"), (1, "")]
)
def test_a_cap_or_having_no_reserves_leaves_what_a_withdrawal_can_give(
    tmp_path: Path, places: int, why: str
) -> None:
    # Nobody but Aone Ann, with 19.800, can be first: Bone Bea has 9.700 and a mark to come.
    text = CALLED_UP.replace("reserves = 1", "reserves = 0")
    text = text.replace("places = 2", f"places = {places}")
    text = text.replace('withdrawn = [{ bib = "1" }]', "")
    running = judged(write_folder(tmp_path, text))
    one, wording = running.competition("q"), Wording()
    assert one.all_around is not None
    listing = Listing(one.all_around, one, wording)
    lines = listing.ranking.cuts[0].lines
    told = {listing.names[line.key]: listing.cut_sentence(0, line) for line in lines}
    alone = "qualifies only if somebody withdraws"
    assert (told["Atwo Amy"], told["Done Dot"]) == (alone + why, alone)
    if places == 1:
        (table,) = qualification_tables(one, wording)
        assert "Done Dot" not in {row.cells[1].text for row in table.rows}
        notes = [note.text for note in table.notes]
        assert notes == ["Those placed below qualify only if somebody withdraws."]
    (decided,) = decided_lists(one, live(running)["q"], wording)
    (said,) = decided.out
    assert " only if somebody withdraws (Final): Atwo Amy" in said


def test_a_year_that_would_stop_the_publication_leaves_the_order_of_equals_decided(tmp_path):
    """The third may come level, and lacks a year: then nothing is published before it is given."""
    meet = """
== meet.toml ==
title = "Test"
[rules.international]
ties.apparatus.criteria = ["younger"]
[[competition]]
id = "cup"
title = "Cup"
discipline = "women"
apparatus = ["UB"]
running = { highest = 10.000 }
ranks = ["apparatus"]
== roster.csv ==
bib,family_name,birth_year
1,Adams,2012
2,Bell,2010
3,Cole,
== marks.csv ==
bib,apparatus,mark
1,UB,9.000
2,UB,9.000
"""
    prospects = live(judged(write_folder(tmp_path, meet)))["cup"].lists["UB"].prospects
    assert [(one.best, one.worst) for one in prospects][:2] == [(1, 2), (2, 3)]
