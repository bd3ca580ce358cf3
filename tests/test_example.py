"""What the README of the example meet promises is in its results, worked out by the program."""

from __future__ import annotations

from collections import Counter
from itertools import groupby
from pathlib import Path

import pytest

from resultsgen.history import History
from resultsgen.history.changes import places
from resultsgen.live.bests import Best
from resultsgen.live.competition import live
from resultsgen.live.costs import costs
from resultsgen.live.notable import notable
from resultsgen.meet.names import DISCIPLINES
from resultsgen.publishing.following import with_history
from resultsgen.publishing.recording import next_publication
from resultsgen.reading.meet import read_meet
from resultsgen.reading.publications import read_publications
from resultsgen.rules.ties import Tie
from resultsgen.scoring.judging import results
from resultsgen.scoring.medals import medal_counts
from resultsgen.scoring.ranking import CutLine, Line, Ranking
from resultsgen.scoring.results import Results
from resultsgen.website.meet_pages import rendered_pages

EXAMPLE = Path(__file__).parent.parent / "example_meet"
README = (EXAMPLE / "README.md").read_text(encoding="utf-8")

WOMEN, MEN = "women-senior-qualification", "men-senior-qualification"

# Competition, list, bibs in order of place, their places, and what told the last two apart.
TIES = (
    (WOMEN, "BB", "105 107", (2, 3), "E score"),
    (WOMEN, "UB", "117 122 102", (5, 6, 7), "D score"),
    (WOMEN, "FX", "117 104", (4, 4), ""),
    ("men-senior-apparatus", "HB", "226 230", (2, 2), ""),
    ("women-junior", "BB", "301 316", (6, 6), "unknown"),
    (WOMEN, "VT", "127 134", (4, 5), "better vault"),
    ("women-senior-apparatus", "VT", "102 134", (1, 2), "better vault"),
    (MEN, "VT", "226 205", (2, 3), "higher E score of the two vaults"),
    (MEN, "VT", "215 212", (6, 7), "higher D score of the two vaults"),
    (WOMEN, "all-around", "106 121", (3, 4), "best 3 apparatus"),
    ("women-senior-all-around", "all-around", "118 101", (3, 4), "best 3 apparatus"),
    (WOMEN, "all-around", "133 128", (8, 9), "best 2 apparatus"),
    (MEN, "all-around", "222 203 206", (6, 7, 8), "best 4 apparatus"),
    (MEN, "all-around", "213 201", (1, 2), "total of the E scores"),
    ("men-junior", "all-around", "015 004", (4, 5), "total of the D scores"),
    ("men-junior", "all-around", "019 023", (9, 9), ""),
    ("women-junior", "all-around", "327 324", (6, 6), "unknown"),
    (WOMEN, "UB", "115 130", (10, 10), ""),
)

# Competition, list, bib, what the cut says, and the number among the qualified or the reserves.
CUTS = (
    (WOMEN, "all-around", "102", "capped", 0),
    (WOMEN, "all-around", "132", "guest", 0),
    (MEN, "PH", "211", "qualified", 6),
    (MEN, "PH", "230", "qualified", 7),
    (MEN, "PH", "215", "capped", 0),
    (WOMEN, "UB", "115", "reserve", 1),
    (WOMEN, "UB", "130", "reserve", 1),
    ("women-junior", "all-around", "304", "capped", 0),
    ("women-junior", "all-around", "308", "reserve", 2),
    ("women-junior", "all-around", "316", "below minimum", 0),
)

# Competition and list of the cut, who is out, who is in, and what the cut had said of the latter.
REPLACED = (
    (WOMEN, "all-around", "106", "102", "capped"),
    (WOMEN, "UB", "106", "102", "capped"),
    (WOMEN, "FX", "106", "104", "capped"),
    (WOMEN, "BB", "130", "115", "reserve"),
    (MEN, "all-around", "217", "221", "reserve"),
)

STATUSES = (
    (WOMEN, "all-around", "126", "DNF"),
    (WOMEN, "UB", "126", "DNS"),
    (WOMEN, "VT", "109", "DNF"),
    (WOMEN, "all-around", "135", "WDR"),
    (MEN, "SR", "223", "DNF"),
    (MEN, "all-around", "223", "DNF"),
    (MEN, "all-around", "218", "DSQ"),
    (MEN, "FX", "218", "DSQ"),
    ("men-senior-apparatus", "PB", "222", "DNS"),
    ("women-junior", "UB", "322", "DNS"),
    ("men-junior", "VT", "022", "DNS"),
    ("men-junior", "all-around", "021", "DNS"),
)


@pytest.fixture(scope="module")
def example() -> Results:
    meet, problems = read_meet(EXAMPLE)
    assert meet is not None, problems
    placed, unsettled = results(meet)
    assert not problems + unsettled, [str(problem) for problem in problems + unsettled]
    return placed


def ranking(example: Results, competition: str, name: str) -> Ranking:
    whole = example.competition(competition)
    chosen = whole.all_around if name == "all-around" else whole.by_apparatus[name]
    assert chosen is not None
    return chosen


def line(example: Results, competition: str, name: str, bib: str) -> Line:
    lines = ranking(example, competition, name).lines
    return next(one for one in lines if one.gymnast.bib == bib)


def cut_line(example: Results, competition: str, name: str, bib: str) -> CutLine:
    key = line(example, competition, name, bib).gymnast.key
    found = ranking(example, competition, name).cuts[0].of(key)
    assert found is not None
    return found


def told_apart(tie: Tie) -> str:
    if not tie.steps:
        return ""
    last = tie.steps[-1]
    return "unknown" if last.unknown else last.criterion.words.format(count=last.criterion.count)


# Competition, apparatus, bib, the mark as published and as corrected, list, place before and now.
CORRECTED = (
    (WOMEN, "FX", "114", "13.066", "13.266", "FX", 5, 2),
    ("women-junior", "UB", "330", "12.303", "12.033", "all-around", 4, 5),
)


@pytest.fixture(scope="module")
def history(example: Results) -> History:
    kept, problems = read_publications(EXAMPLE / "publications")
    assert not problems
    following = next_publication(example, kept, None)
    return with_history(example, (*kept, following)).history


@pytest.mark.parametrize(
    ("competition", "apparatus", "bib", "old", "new", "name", "before", "now"), CORRECTED
)
def test_corrections(
    history: History,
    competition: str,
    apparatus: str,
    bib: str,
    old: str,
    new: str,
    name: str,
    before: int,
    now: int,
) -> None:
    issue = history.issues[-1]
    assert issue.publication.number == 2
    assert len(issue.corrected) == len(CORRECTED)
    one = next(one for one in issue.corrected if one.bib == bib)
    assert (one.competition, one.apparatus, one.old, one.new) == (competition, apparatus, old, new)
    assert len(one.reasons) == 1
    own = {
        line.list: places(line)
        for line in issue.effects.lines
        if (line.competition, line.key) == (competition, one.person)
    }
    assert own[name] == (before, now)


def test_as_many_as_the_readme_says(example: Results) -> None:
    entries = example.meet.entries
    sizes = Counter((one.discipline, one.division) for one in entries)
    assert sizes == {
        ("women", "senior"): 36,
        ("men", "senior"): 30,
        ("women", "junior"): 30,
        ("men", "junior"): 24,
    }
    assert len({one.club for one in entries}) == 14
    assert len({one.federation for one in entries}) == 5
    assert len(example.competitions) == 9
    assert all(one.complete for one in example.competitions)


@pytest.mark.parametrize(("competition", "name", "bibs", "places", "settled_by"), TIES)
def test_ties(
    example: Results,
    competition: str,
    name: str,
    bibs: str,
    places: tuple[int, ...],
    settled_by: str,
) -> None:
    chosen = ranking(example, competition, name)
    keys = [line(example, competition, name, bib).gymnast.key for bib in bibs.split()]
    tie = next(one for one in chosen.ties if keys[0] in one.keys)
    listed = [one.gymnast.key for one in chosen.lines if one.gymnast.key in tie.keys]
    assert [key for key in listed if key in keys] == keys
    assert tuple(line(example, competition, name, bib).place for bib in bibs.split()) == places
    assert told_apart(tie) == settled_by


def test_a_team_tie_is_settled_by_the_best_three_apparatus(example: Results) -> None:
    team = example.competition("women-junior").team
    assert team is not None
    assert [(tie.places, told_apart(tie)) for tie in team.ties] == [((5, 6), "best 3 apparatus")]


@pytest.mark.parametrize(("competition", "name", "bib", "outcome", "number"), CUTS)
def test_cuts(
    example: Results, competition: str, name: str, bib: str, outcome: str, number: int
) -> None:
    verdict = cut_line(example, competition, name, bib).verdict
    assert (verdict.outcome, verdict.number) == (outcome, number)


def test_the_third_reserve_of_the_trophy_is_missing(example: Results) -> None:
    cut = ranking(example, "women-junior", "all-around").cuts[0]
    reserves = [one for one in cut.lines if one.verdict.outcome == "reserve"]
    assert (cut.cut.reserves, len(reserves)) == (3, 2)


def test_the_second_team_of_a_region_is_passed_over(example: Results) -> None:
    team = example.competition(WOMEN).team
    assert team is not None
    verdicts = {one.key: one.verdict.outcome for one in team.cuts[0].lines}
    assert [(one.name, verdicts[one.key]) for one in team.lines[:3]] == [
        ("Dorrane", "qualified"),
        ("Dorrane II", "capped"),
        ("Suvena", "qualified"),
    ]


@pytest.mark.parametrize(("competition", "name", "out", "into", "outcome"), REPLACED)
def test_replacements(
    example: Results, competition: str, name: str, out: str, into: str, outcome: str
) -> None:
    cut = ranking(example, competition, name).cuts[0]
    final = ranking(example, cut.cut.to, name)
    starting = {one.gymnast.bib for one in final.lines}
    absent, called = (cut_line(example, competition, name, bib) for bib in (out, into))
    assert (absent.withdrawn, called.called_up, called.verdict.outcome) == (True, True, outcome)
    assert (out in starting, into in starting) == (False, True)
    assert len(starting) == cut.cut.places


@pytest.mark.parametrize(
    ("competition", "apparatus", "by", "bibs"),
    [
        ("women-senior-apparatus", "VT", "draw", "121 134 104 117 102 127"),
        ("women-senior-apparatus", "FX", "draw", "114 133 101 119 104 117"),
        ("men-senior-all-around", "", "reverse rank", None),
        ("men-senior-apparatus", "PH", "", None),
    ],
)
def test_start_orders(
    example: Results, competition: str, apparatus: str, by: str, bibs: str | None
) -> None:
    lists = example.competition(competition).start_lists
    (listed,) = (one for one in lists if one.apparatus == apparatus)
    assert listed.by == by
    starting = [example.gymnasts[key].bib for key in listed.keys]
    ranked = [line.gymnast.bib for line in ranking(example, MEN, "all-around").lines]
    if by == "reverse rank":
        assert starting == sorted(starting, key=ranked.index, reverse=True)
    else:
        assert starting == (bibs.split() if bibs else sorted(starting, key=int))


@pytest.mark.parametrize(("competition", "name", "bib", "status"), STATUSES)
def test_statuses(example: Results, competition: str, name: str, bib: str, status: str) -> None:
    found = line(example, competition, name, bib)
    assert (found.place, found.status) == (None, status)


@pytest.mark.parametrize(("competition", "bib"), [(WOMEN, "132"), ("men-junior", "008")])
def test_guests_stand_by_their_mark_and_take_no_place(
    example: Results, competition: str, bib: str
) -> None:
    lines = ranking(example, competition, "all-around").lines
    at = [one.gymnast.bib for one in lines].index(bib)
    before, guest, after = lines[at - 1 : at + 2]
    assert guest.gymnast.guest
    assert guest.place is None
    assert before.place is not None
    assert after.place == before.place + 1
    team = example.competition(competition).team
    assert team is not None
    assert bib not in {one.gymnast.bib for every in team.lines for one in every.team.members}


def test_nought_is_a_mark(example: Results) -> None:
    vault = line(example, MEN, "all-around", "230").routines[3]
    assert vault is not None
    assert (vault.apparatus, vault.mark, vault.status) == ("VT", 0, "")
    others = [
        one.routines[3].place or 0
        for one in ranking(example, MEN, "all-around").lines
        if one.routines[3] and one.gymnast.bib != "230"
    ]
    assert vault.place is not None
    assert vault.place > max(others)
    assert line(example, MEN, "all-around", "230").place == 16


def test_half_a_thousandth_is_cut(example: Results) -> None:
    found = line(example, WOMEN, "VT", "117")
    marks = [one.mark for one in found.routines if one]
    assert (marks, found.total) == ([14_333, 13_266], 13_799)


def test_the_team_penalty_is_taken_from_the_team(example: Results) -> None:
    team = example.competition(MEN).team
    assert team is not None
    penalised = [one for one in team.lines if one.team.penalty]
    assert [one.name for one in penalised] == ["Suvena"]
    found = penalised[0]
    assert found.total == sum(one or 0 for one in found.team.apparatus) - 300


def test_of_two_equal_marks_one_counts(example: Results) -> None:
    team = example.competition(MEN).team
    assert team is not None
    members = next(one.team.members for one in team.lines if one.name == "Kaldmark")
    bar = {
        one.gymnast.bib: (one.routines[5].mark, one.counts[5]) for one in members if one.routines[5]
    }
    assert bar["206"][0] == bar["210"][0]
    assert sorted((bar["206"][1], bar["210"][1])) == [False, True]


@pytest.mark.parametrize(
    ("competition", "apparatus"), [("women-junior", "UB"), ("men-junior", "VT")]
)
def test_a_team_with_too_few_marks_adds_up_what_there_is(
    example: Results, competition: str, apparatus: str
) -> None:
    team = example.competition(competition).team
    assert team is not None
    at = team.parts.index(apparatus)
    assert [one.team.short[at] for one in team.lines] == [False] * (len(team.lines) - 1) + [True]
    short = team.lines[-1]
    marks = [one.routines[at].mark for one in short.team.members if one.routines[at]]
    given = [mark for mark in marks if mark is not None]
    assert (len(given), sum(given)) == (2, short.team.apparatus[at])


def test_a_withheld_name_keeps_its_place(example: Results) -> None:
    withheld = [one for one in example.gymnasts.values() if not one.published]
    assert [one.name for one in withheld] == ["Bib 320"]
    assert line(example, "women-junior", "all-around", "320").place == 4


def test_the_medals_are_counted_by_club_and_by_region(example: Results) -> None:
    clubs, regions = medal_counts(example)
    assert (regions.lines[0].body, regions.lines[0].medals) == ("DOR", (17, 14, 12))
    assert "DOR 17 gold, 14 silver, 12 bronze" in README
    assert regions.of_none == (0, 0, 0)
    teams = [line for one in example.competitions if one.team and one.competition.phase == "final"
             for line in one.team.lines if (line.place or 9) <= 3]  # fmt: skip
    mixed = [line for line in teams if len({who.club for who in line.of.gymnasts}) > 1]
    assert sum(clubs.of_none) == len(mixed) > 0


def test_specialists_are_in_no_all_around_list(example: Results) -> None:
    specialists = {one.bib for one in example.meet.entries if one.entered}
    for competition in (WOMEN, MEN):
        listed = {one.gymnast.bib for one in ranking(example, competition, "all-around").lines}
        assert not listed & specialists
    assert len(specialists) == 25


def test_names_are_as_difficult_as_promised(example: Results) -> None:
    by_bib = {one.bib: one for one in example.gymnasts.values()}
    assert len(by_bib["304"].family) == 30
    assert (by_bib["015"].given, by_bib["001"].bib) == ("", "001")
    assert all("-" in by_bib[bib].family for bib in ("118", "005"))
    assert all("’" in by_bib[bib].family for bib in ("110", "211"))


def test_penalties_are_printed_with_and_without_a_sign() -> None:
    rows = [row.split(",") for row in (EXAMPLE / "marks.csv").read_text("utf-8").splitlines()]
    at = rows[0].index("penalty")
    signs = {row[at][:1] == "-" for row in rows[1:] if row[at]}
    assert signs == {True, False}


# Competition, list, session, and the lead after each change: rotation and bib or team.
LEADS = (
    (WOMEN, "all-around", "1", ()),
    (WOMEN, "all-around", "2", ((3, "101"),)),
    ("women-senior-all-around", "all-around", "", ((2, "102"), (3, "121"), (4, "102"))),
    (MEN, "all-around", "4", ((5, "201"), (6, "213"))),
    ("women-senior-team", "team", "", ()),
)


@pytest.mark.parametrize(("competition", "name", "session", "changes"), LEADS)
def test_how_the_lead_changed(
    example: Results,
    competition: str,
    name: str,
    session: str,
    changes: tuple[tuple[int, str], ...],
) -> None:
    listed = live(example)[competition].lists[name]
    (found,) = (one for one in listed.sessions if one.session == session)
    bibs = {key: one.bib for key, one in example.gymnasts.items()}
    assert tuple((one.rotation, bibs[one.keys[0]]) for one in found.lead_changes) == changes


def test_the_greatest_climb_and_whose_rotations_are_unknown(example: Results) -> None:
    men = live(example)[MEN].lists["all-around"]
    lines = [line for group in men.sessions[0].standings[1].groups for line in group]
    moved = {example.gymnasts[line.key].bib: line.moved for line in lines}
    assert moved["212"] == max(one or 0 for one in moved.values()) == 8
    assert not example.competition("women-junior").rotations_known


def test_squads_go_round_in_olympic_order(example: Results) -> None:
    """Squad n starts on the n-th apparatus and moves on by one each rotation."""
    given = [row for row in example.meet.mark_rows if None not in (row.rotation, row.gymnast)]
    first_day = [row for row in given if row.competition in (WOMEN, MEN, "men-junior")]
    assert len(first_day) > 400
    for row in first_day:
        entry = example.meet.entries[row.gymnast]
        order = DISCIPLINES[entry.discipline]
        turn = (int(entry.squad) + row.rotation - 2) % len(order)
        assert row.apparatus == order[turn]


# Competition, bib, apparatus, the mark and the mark without, and each list with both places.
COSTS = (
    ("women-senior-all-around", "101", "FX", 13_100, 13_200, {"all-around": (4, 3)}),
    (
        WOMEN,
        "102",
        "BB",
        12_000,
        13_100,
        {"apparatus": (23, 5), "all-around": (5, 3), "team": (1, 1)},
    ),
    ("men-senior-apparatus", "222", "HB", 12_166, 12_466, {"apparatus": (6, 6)}),
)


@pytest.mark.parametrize("case", COSTS, ids=lambda case: f"{case[0]} {case[2]} {case[1]}")
def test_what_incidents_cost(example: Results, case) -> None:
    competition, bib, code, mark, without, places = case
    found = [
        one for one in costs(example)
        if one.competition == competition and one.apparatus == code
        and example.gymnasts[one.gymnast].bib == bib
    ]  # fmt: skip
    assert [(one.mark, one.mark_then) for one in found] == [(mark, without)]
    told = {one.kind: (one.place, one.place_then) for one in found[0].lists}
    assert told == places


# Record, bib, apparatus, the mark, what it was before, and where it was made.
BESTS = (
    ("personal", "102", "", 53_865, 53_400, "women-senior-all-around"),
    ("season", "121", "UB", 14_200, 14_200, "women-senior-all-around"),
    ("meet", "121", "UB", 14_200, 14_100, "women-senior-all-around"),
    ("meet", "102", "VT", 14_533, 14_533, "women-senior-apparatus"),
)


def test_bests_that_were_beaten_or_equalled(example: Results) -> None:
    found = [
        (
            one.fact.record, example.gymnasts[one.fact.key].bib, one.fact.apparatus,
            one.fact.mark, one.fact.best_so_far, one.competition,
        )
        for one in notable(example)
        if isinstance(one.fact, Best)
    ]  # fmt: skip
    assert found == list(BESTS)


def test_pages_know_all_their_facts(example: Results) -> None:
    pages, problems = rendered_pages(example)
    assert [str(problem) for problem in problems] == []
    slugs = [page.slug for page in pages]
    assert slugs == ["recap", "press", "gymnastics-merrowick", "information"]


def test_the_readme_names_every_file_and_column() -> None:
    for path in sorted(EXAMPLE.rglob("*")):
        if path.is_file() and path.name != "README.md" and path.suffix != ".png":
            assert path.name in README, path.name
    for path in EXAMPLE.glob("*.csv"):
        heading = path.read_text(encoding="utf-8-sig").splitlines()[0]
        for column in heading.replace(";", ",").split(","):
            assert f"`{column}`" in README, (path.name, column)


def test_the_readme_names_every_tie_that_is_checked_here() -> None:
    for competition, name, bibs, *_ in TIES:
        rows = [row for row in README.splitlines() if f"`{competition}`" in row]
        apparatus = [row for row in rows if name == "all-around" or name in row]
        assert any(all(bib in row for bib in bibs.split()[-2:]) for row in apparatus), bibs


def test_rows_stand_in_order_of_place(example: Results) -> None:
    """Places never fall from one row to the next, guests and those without a place aside."""
    for competition in example.competitions:
        for chosen in competition.rankings:
            places = [one.place for one in chosen.lines if one.place is not None]
            assert places == sorted(places)
            for place, same in groupby(places):
                assert places.index(place) == place - 1, (competition.competition.id, list(same))
