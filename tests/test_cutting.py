"""Cuts of whole meets: every kind of line, each with its own reasons, and who is called up."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest
from folders import judged, write_folder

from resultsgen.data.writing import write_exports
from resultsgen.reading.meet import read_meet
from resultsgen.scoring.ranking import CutResult
from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.lists.qualification import qualification_tables
from resultsgen.views.lists.rankings import list_table
from resultsgen.views.lists.rules import cut_rule_sentence, cut_sentences
from resultsgen.views.lists.table import Table
from resultsgen.views.words.reasons import cut_mark, cut_sentence
from resultsgen.views.words.wording import Wording

SETTINGS = """
== meet.toml ==
title = "Test"
[[competition]]
id = "q"
title = "Qualification"
discipline = "women"
apparatus = ["UB"]
phase = "qualification"
ranks = ["apparatus"]
rules = "{rules}"
{cuts}
"""
LISTS = """
== roster.csv ==
bib,family_name,club,federation,team,division,guest
1,Adams,A,N,,senior,
2,Bell,A,N,,junior,
3,Cole,B,N,,senior,
4,Dean,C,S,,junior,
5,Eder,C,S,,senior,
6,Fox,D,S,,senior,
7,Gray,D,,,junior,
8,Hale,D,E,,senior,yes
== marks.csv ==
bib,apparatus,mark,competition
1,UB,9.900,q
2,UB,9.800,q
3,UB,9.700,q
4,UB,9.600,q
5,UB,9.500,q
6,UB,9.400,q
7,UB,9.300,q
8,UB,9.200,q
"""


def meet(
    folder: Path, cuts: str, rules: str = "club-ten", lists: str = LISTS
) -> CompetitionResults:
    """The qualification, with these cuts; each begins with a name."""
    text = SETTINGS.format(rules=rules, cuts=cuts) + lists
    return judged(write_folder(folder, text)).competition("q")


def only_cut(folder: Path, text: str, rules: str = "club-ten", lists: str = LISTS) -> CutResult:
    head = '[[competition.cuts]]\nname = "Final"\nof = "apparatus"\n'
    return meet(folder, head + text, rules, lists).by_apparatus["UB"].cuts[0]


def marks(cut: CutResult) -> str:
    """Q, R1 ... of each in the order of the list, a point for nothing, + for called up."""
    return " ".join(
        (cut_mark(one.verdict) or ".") + ("+" if one.called_up else "") for one in cut.lines
    )


def reasons(folder: Path, text: str, lists: str = LISTS, *, brief: bool = False) -> dict[str, str]:
    """The sentence of each by family name."""
    head = '[[competition.cuts]]\nname = "Final"\nof = "apparatus"\n'
    one = meet(folder, head + text, lists=lists)
    names = {start.gymnast.key: start.gymnast.family for start in one.starts}
    cut = one.by_apparatus["UB"].cuts[0]
    return {
        names[line.key]: cut_sentence(cut, line, names.__getitem__, Wording().language, brief=brief)
        for line in cut.lines
    }


@pytest.mark.parametrize(
    ("text", "expected", "words"),
    [
        ("places = 2\nreserves = 1", "Q Q R1 . . . . .", "the best 2 qualify, 1 reserve"),
        # Seven are placed: a guest is not. 30 per cent are 2.1 places.
        (
            "percent = 30", "Q Q Q . . . . .",
            "the best 30 per cent of those placed qualify, a fraction of a place counting as "
            "one",
        ),
        (
            'percent = 30\nrounding = "down"', "Q Q . . . . . .",
            "the best 30 per cent of those placed qualify, a fraction of a place counting as "
            "none",
        ),
        # 100 x 7 / 7 leaves no fraction, whichever way it is rounded.
        ("percent = 100", "Q Q Q Q Q Q Q .", "everybody who is placed qualifies"),
        (
            "percent = 100\nminimum = 9.5", "Q Q Q Q Q . . .",
            "everybody who is placed qualifies, a minimum of 9.500 is needed",
        ),
        (
            "each = 1\nreserves = 1", "Q R1 . Q R1 . . .",
            "the best of each federation qualifies, 1 reserve of each federation",
        ),
        (
            'each = 2\nper = "club"', "Q Q Q Q Q Q Q .",
            "the best 2 of each club qualify",
        ),
        (
            'each = 2\nper = "division"', "Q Q Q Q . . . .",
            "the best 2 of each division qualify",
        ),
        (
            "places = 3\nreserves = 2\ncap = 1", "Q . . Q . . Q .",
            "the best 3 qualify, at most 1 per federation, reserves included, 2 reserves",
        ),
        (
            'places = 2\nreserves = 2\ncap = 1\ncap_counts = "qualifiers"', "Q . . Q R1 R2 . .",
            "the best 2 qualify, at most 1 per federation, reserves not counted, 2 reserves",
        ),
    ],
)  # fmt: skip
def test_every_kind_of_line(tmp_path: Path, text: str, expected: str, words: str) -> None:
    cut = only_cut(tmp_path, text)
    assert marks(cut) == expected
    assert cut_rule_sentence(cut, Wording().language) == words


@pytest.mark.parametrize(
    ("text", "equal", "starting", "waiting"),
    [
        # The first reserve is called up: the second stays the second, as every list has it.
        ('withdrawn = [{ bib = "1" }]', "", ["1 Bell", "2 Cole"], ["2 Dean"]),
        # Three are equal, and the jury put Cole before Bell.
        (
            'reserve_order = ["3", "2", "1"]\n[rules.club-ten.cuts]\n'
            'tie_on_last_place = "listed order"',
            "123", ["1 Cole", "2 Bell"], ["1 Adams", "2 Dean"],
        ),
        # Of Dean and Eder, of one club, the cap has room for one: they are one reserve.
        ('cap = 1\nper = "club"', "45", ["1 Adams", "2 Cole"], ["1 Dean", "1 Eder", "2 Fox"]),
    ],
)  # fmt: skip
def test_whoever_starts_or_stands_by_is_called_by_one_number(
    tmp_path: Path, text: str, equal: str, starting: list[str], waiting: list[str]
) -> None:
    lists = LISTS
    for bib in equal:
        lists = re.sub(rf"\n{bib},UB,[0-9.]+", rf"\n{bib},UB,9.650", lists)
    head = '[[competition.cuts]]\nname = "Final"\nof = "apparatus"\nplaces = 2\nreserves = 2\n'
    ranking = meet(tmp_path, head + text, lists=lists).by_apparatus["UB"]
    names = {line.key: line.gymnast.family for line in ranking.lines}
    (cut,) = ranking.cuts
    called = ranking.numbered(cut)
    assert [[f"{number} {names[line.key]}" for number, line in each] for each in called] == [
        starting, waiting,
    ]  # fmt: skip


def test_everybody_has_one_sentence(tmp_path: Path) -> None:
    assert reasons(tmp_path, "places = 3\nreserves = 1\ncap = 2\nminimum = 9.350") == {
        "Adams": "number 1 of the 3 who qualify",
        "Bell": "number 2 of the 3 who qualify",
        "Cole": "not eligible: at most 2 per federation, and Adams and Bell stand before",
        "Dean": "number 3 of the 3 who qualify",
        "Eder": "stands by if somebody withdraws",
        "Fox": "all places and reserves are taken by those before",
        "Gray": "below the minimum of 9.350",
        "Hale": "guest: cannot qualify",
    }


def test_where_each_body_has_its_places_the_reasons_are_of_the_body(tmp_path: Path) -> None:
    found = reasons(tmp_path, "each = 1\nreserves = 1")
    assert found["Adams"] == "the best of one federation"
    assert found["Cole"] == "not eligible: the places of the federation are taken by Adams and Bell"
    assert found["Dean"] == "the best of one federation"
    assert found["Gray"] == "belongs to no federation, and each federation has its own places"


TIED = """
== roster.csv ==
bib,family_name,federation
1,Adams,N
2,Bell,S
3,Cole,E
4,Dean,W
5,Eder,W
== marks.csv ==
bib,apparatus,mark,competition
1,UB,9.900,q
2,UB,9.800,q
3,UB,9.800,q
4,UB,9.800,q
5,UB,9.700,q
"""
AS_WELL = "qualifies as well: the tie for the last place cannot be broken"


def test_all_who_share_the_last_place_have_the_same_reason(tmp_path: Path) -> None:
    """Bell, Cole and Dean are equal; none of them is the second of two."""
    assert reasons(tmp_path, "places = 2\nreserves = 1", TIED) == {
        "Adams": "number 1 of the 4 who qualify",
        "Bell": AS_WELL,
        "Cole": AS_WELL,
        "Dean": AS_WELL,
        "Eder": "stands by if somebody withdraws",
    }


def test_a_tie_before_the_last_place_lets_nobody_in(tmp_path: Path) -> None:
    found = reasons(tmp_path, "places = 4\nreserves = 1", TIED)
    assert found["Dean"] == "number 4 of the 4 who qualify"


def test_where_each_body_has_its_places_a_tie_is_of_the_body(tmp_path: Path) -> None:
    tied = TIED.replace("5,UB,9.700", "5,UB,9.800")
    found = reasons(tmp_path, "each = 1", tied)
    assert (found["Bell"], found["Dean"], found["Eder"]) == (
        "the best of one federation", AS_WELL, AS_WELL
    )  # fmt: skip


def test_fewer_than_the_places_are_told_as_many_as_they_are(tmp_path: Path) -> None:
    found = reasons(tmp_path, "percent = 100\nminimum = 9.750", TIED)
    assert found["Dean"] == "number 4 of the 4 who qualify"
    assert found["Eder"] == "below the minimum of 9.750"


def test_why_nobody_is_called_up_is_told(tmp_path: Path) -> None:
    """Of four who qualify for two places two withdraw; then a third, and a fourth."""
    enough = "nobody is called up: a tie had let in more than there are places"
    found = reasons(tmp_path, "places = 2\n" + gone("1", "3"), TIED)
    assert found["Adams"] == f"number 1 of the 4 who qualify; withdrew; {enough}"
    assert found["Cole"] == f"{AS_WELL}; withdrew; {enough}"
    found = reasons(tmp_path, "places = 2\n" + gone("1", "3", "2", "4"), TIED)
    assert found["Cole"] == f"{AS_WELL}; withdrew; {enough}"
    assert found["Bell"] == f"{AS_WELL}; withdrew"
    assert found["Eder"] == "all places are taken by those before; called up in place of Bell"
    assert found["Dean"] == f"{AS_WELL}; withdrew; nobody is left to be called up"


def test_who_withdrew_or_was_called_up_is_told_so_without_what_no_longer_holds(tmp_path) -> None:
    found = reasons(tmp_path, "places = 2\nreserves = 1\n" + gone("1"), brief=True)
    assert found["Adams"] == "withdrew"
    assert "called up in place of Adams" in found.values()


def test_one_whose_reserve_withdrew_as_well_is_not_said_to_be_left_open(tmp_path: Path) -> None:
    found = reasons(tmp_path, "places = 2\nreserves = 2\n" + gone("1", "3"))
    assert found["Adams"] == "number 1 of the 2 who qualify; withdrew"


def test_several_cuts_of_one_list_have_each_its_own_reasons(tmp_path: Path) -> None:
    text = "".join(
        f'[[competition.cuts]]\nname = "{name}"\nof = "apparatus"\n{line}\n'
        for name, line in (
            ("Final", "places = 2\nreserves = 1\ncap = 1"),
            ("Next championship", 'each = 1\nper = "club"'),
            ("Team selection", "percent = 50\nminimum = 9.650"),
        )
    )
    one = meet(tmp_path, text)
    final, championship, selection = one.by_apparatus["UB"].cuts
    assert marks(final) == "Q . . Q . . R1 ."
    assert marks(championship) == "Q . Q Q . Q . ."
    assert marks(selection) == "Q Q Q . . . . ."
    tables = qualification_tables(one, Wording())
    assert [table.caption.split(":")[0] for table in tables] == [
        "Final", "Next championship", "Team selection",
    ]  # fmt: skip
    assert [reason_beside(table, 0) for table in tables] == ["", "the best of one club", ""]
    assert tables[0].rows[1].cells[-1].text == (
        "not eligible: at most 1 per federation, and Adams stands before"
    )
    assert tables[1].rows[1].cells[-1].text == (
        "not eligible: the places of the club are taken by Adams"
    )


def reason_beside(table: Table, row: int) -> str:
    return table.rows[row].cells[-1].text


def drawn_below(table: Table) -> dict[str, str]:
    """The name of each row below which a cut is drawn, and that of the cut."""
    return {row.cells[1].text: row.cut for row in table.rows if row.cut}


def test_a_cut_is_drawn_below_the_last_who_starts_unless_each_body_has_its_own(tmp_path) -> None:
    head = '[[competition.cuts]]\nname = "{}"\nof = "apparatus"\n'
    text = head.format("Final") + "places = 2\nreserves = 2\n" + gone("2") + "\n"
    one = meet(tmp_path, text + head.format("Club") + 'each = 1\nper = "club"')
    ranking = one.by_apparatus["UB"]
    assert marks(ranking.cuts[0]) == "Q Q R1+ R2 . . . ."
    assert drawn_below(list_table(one, ranking, Wording())) == {"Cole": "Final"}
    final, club = qualification_tables(one, Wording())
    (below,) = drawn_below(final)
    assert (below, drawn_below(club)) == ("Cole", {})
    assert reason_beside(final, 0) == ""
    assert "withdrew" in reason_beside(final, 1)


def test_those_beyond_are_told_in_one_sentence_and_one_by_one_in_the_table(tmp_path: Path) -> None:
    one = meet(tmp_path, '[[competition.cuts]]\nname = "Final"\nof = "apparatus"\nplaces = 2')
    (table,) = qualification_tables(one, Wording())
    assert len(table.rows) == 2
    assert [note.text for note in table.notes] == [
        "Those placed below do not qualify: all places are taken by those before."
    ]


def test_the_usual_cut_of_the_rule_set(tmp_path: Path) -> None:
    """Eight, two of one federation, three reserves: the international apparatus final."""
    cut = only_cut(tmp_path, "", "international")
    assert marks(cut) == "Q Q . Q Q . Q ."
    assert cut_rule_sentence(cut, Wording().language) == (
        "the best 8 qualify, at most 2 per federation, reserves included, 3 reserves, "
        "as is usual by the rule set"
    )
    assert (cut.quota.places, cut.quota.reserves, cut.quota.cap) == (8, 3, 2)
    assert cut.usual


def test_of_the_usual_cut_a_meet_may_set_single_figures(tmp_path: Path) -> None:
    cut = only_cut(tmp_path, "cap = 3\nreserves = 0", "international")
    assert (cut.quota.places, cut.quota.reserves, cut.quota.cap) == (8, 0, 3)


def test_with_places_of_its_own_nothing_is_usual(tmp_path: Path) -> None:
    cut = only_cut(tmp_path, "places = 4", "international")
    assert (cut.quota.places, cut.quota.reserves, cut.quota.cap) == (4, 0, 0)
    assert not cut.usual


def test_the_rules_page_says_that_reserves_keep_their_numbers(tmp_path: Path) -> None:
    head = '[[competition.cuts]]\nname = "Final"\nof = "apparatus"\nplaces = 2\n'
    told = list(cut_sentences(meet(tmp_path, head + "reserves = 2"), Wording()))
    assert told == [
        "Final: the best 2 qualify, 2 reserves.",
        "With a tie for the last place that cannot be broken, all of them qualify.",
        "Equal reserves share the number, unless the jury put them in order.",
        "Reserves keep their numbers when one of them is called up.",
    ]


def gone(*bibs: str) -> str:
    return "withdrawn = [" + ", ".join(f'{{ bib = "{bib}" }}' for bib in bibs) + "]"


@pytest.mark.parametrize(
    ("line", "absent", "expected"),
    [
        # The first reserve is called up, and keeps the number.
        ("places = 2\nreserves = 2", "1", "Q Q R1+ R2 . . . ."),
        # A team-mate whom the cap kept out is nearer than the first reserve.
        ("places = 3\nreserves = 1\ncap = 2", "1", "Q Q .+ Q R1 . . ."),
        # Somebody of another federation withdraws: the cap of the first is still full.
        ("places = 3\nreserves = 1\ncap = 2", "4", "Q Q . Q R1+ . . ."),
        # Each body fills its own places.
        ("each = 1\nreserves = 1", "4", "Q R1 . Q R1+ . . ."),
        # The first reserve cannot start either.
        ("places = 2\nreserves = 2", "1 3", "Q Q R1 R2+ . . . ."),
        # Reserves do not count for the cap, but the first has no room when she is called up.
        (
            'places = 2\nreserves = 3\ncap = 1\ncap_counts = "qualifiers"',
            "1", "Q .+ . Q R1 R2 R3 .",
        ),
        # More withdraw than there are reserves: the next in order.
        ("places = 2\nreserves = 1", "1 2", "Q Q R1+ .+ . . . ."),
    ],
)  # fmt: skip
def test_who_is_called_up(tmp_path: Path, line: str, absent: str, expected: str) -> None:
    assert marks(only_cut(tmp_path, f"{line}\n{gone(*absent.split())}")) == expected


def test_each_is_called_up_in_place_of_one(tmp_path: Path) -> None:
    found = reasons(tmp_path, "places = 2\nreserves = 2\n" + gone("2", "1"))
    assert found["Bell"] == "number 2 of the 2 who qualify; withdrew"
    assert found["Cole"] == "called up in place of Bell"
    assert found["Dean"] == "called up in place of Adams"


def test_a_reserve_who_withdrew_is_told_and_the_next_comes_in(tmp_path: Path) -> None:
    found = reasons(tmp_path, "places = 2\nreserves = 2\n" + gone("1", "3"))
    assert found["Cole"] == "withdrew"
    assert found["Dean"] == "called up in place of Cole"


CAPPED_RESERVES = """
== roster.csv ==
bib,family_name,federation
1,Adams,N
2,Bell,S
3,Cole,N
4,Dean,E
== marks.csv ==
bib,apparatus,mark,competition
1,UB,9.900,q
2,UB,9.800,q
3,UB,9.700,q
4,UB,9.600,q
"""


def test_a_reserve_whom_the_cap_holds_back_is_told_why(tmp_path: Path) -> None:
    line = 'places = 2\nreserves = 2\ncap = 1\ncap_counts = "qualifiers"\n'
    found = reasons(tmp_path, line + gone("2"), CAPPED_RESERVES)
    assert found["Cole"] == ("not called up: at most 1 per federation, and Adams stands before")
    assert found["Dean"] == "called up in place of Bell"


TEAMS = """
== meet.toml ==
title = "Test"
[[competition]]
id = "q"
title = "Qualification"
discipline = "women"
apparatus = ["UB"]
phase = "qualification"
ranks = ["team"]
rules = "club-ten"
[competition.team]
format = "1-1-1"
[[competition.cuts]]
name = "Team final"
of = "team"
to = "final"
places = 2
reserves = 1
[[competition]]
id = "final"
title = "Team final"
discipline = "women"
apparatus = ["UB"]
ranks = ["team"]
rules = "club-ten"
entered_from = "q"
[competition.team]
format = "1-1-1"
[[competition.withdrawn]]
{gone}
== roster.csv ==
bib,family_name,club
0,Adams,North
1,Bell,South
2,Cole,West
== marks.csv ==
bib,apparatus,mark,competition
0,UB,9.900,q
1,UB,9.800,q
2,UB,9.700,q
"""


def test_a_team_withdraws_by_its_name(tmp_path: Path) -> None:
    whole = judged(write_folder(tmp_path, TEAMS.format(gone='team = "South"')))
    ranking = whole.competition("q").team
    assert ranking
    names = {line.key: line.name for line in ranking.lines}
    (cut,) = ranking.cuts
    assert {names[one.key]: (one.withdrawn, one.called_up) for one in cut.lines} == {
        "North": (False, False), "South": (True, False), "West": (False, True),
    }  # fmt: skip
    starts = whole.competition("final").starts
    assert [start.gymnast.bib for start in starts] == ["0", "2"]


def test_a_team_called_up_is_told_as_a_team(tmp_path: Path) -> None:
    whole = judged(write_folder(tmp_path, TEAMS.format(gone='team = "South"')))
    table = list_table(whole.competition("q"), whole.competition("q").team, Wording())
    assert table
    assert [one.text for one in table.notes] == [
        "Qualified, but does not start.",
        "Called up in place of a team that withdrew.",
    ]


def test_a_gymnast_who_withdrew_takes_no_team_out(tmp_path: Path) -> None:
    """Teams and gymnasts are numbered alike; a bib means a gymnast."""
    whole = judged(write_folder(tmp_path, TEAMS.format(gone='bib = "1"')))
    ranking = whole.competition("q").team
    assert ranking
    assert not any(one.withdrawn or one.called_up for one in ranking.cuts[0].lines)


def test_a_gymnast_who_withdrew_does_not_start_for_her_team(tmp_path: Path) -> None:
    text = TEAMS.format(gone='bib = "1"').replace("2,Cole,West", "2,Cole,West\n3,Dean,South")
    whole = judged(write_folder(tmp_path, text.replace('"1-1-1"', '"2-1-1"')))
    starts = whole.competition("final").starts
    assert [start.gymnast.bib for start in starts] == ["0", "3"]


def test_a_team_that_got_through_is_one_with_however_few(tmp_path: Path) -> None:
    """In the final two marks count, and each team has one gymnast."""
    text = TEAMS.format(gone='team = "South"').replace('format = "1-1-1"', 'format = "2-2-2"')
    text = text.replace('format = "2-2-2"', 'format = "1-1-1"', 1) + "0,UB,9.5,final\n"
    final = judged(write_folder(tmp_path, text)).competition("final").team
    assert final
    assert [(line.name, line.total) for line in final.lines] == [("North", 9500), ("West", None)]


@pytest.mark.parametrize(
    ("cut", "told"),
    [
        ('per = "club"\ncap = 1', ["Mix is of several: North, South"]),
        ('per = "federation"\neach = 1', ["Lone is of several: A, none"]),
        ('per = "team"\ncap = 1', []),
        ('per = "club"', []),
        ('per = "division"\ncap = 1', []),
    ],
)
def test_a_team_of_several_clubs_counts_for_none_of_them(
    tmp_path: Path, cut: str, told: list[str]
) -> None:
    text = TEAMS.partition('[[competition]]\nid = "final"')[0]
    text = text.replace('to = "final"\nplaces = 2\nreserves = 1', "places = 2\n" + cut)
    if "each" in cut:
        text = text.replace("places = 2\n", "")
    text = text.replace('"1-1-1"', '"2-2-1"\nby = "team"')
    roster = """== roster.csv ==
bib,family_name,club,federation,division,team
1,Adams,North,A,senior,Mix
2,Bell,South,A,senior,Mix
3,Cole,South,A,senior,Lone
4,Dean,South,,senior,Lone
== marks.csv ==
bib,apparatus,mark,competition
1,UB,9.900,q
"""
    _, problems = read_meet(write_folder(tmp_path, text + roster))
    assert {one.code for one in problems} <= {"team-of-several-bodies"}
    assert [one.message.partition(", and ")[2].partition(";")[0] for one in problems] == told


def test_the_table_of_the_qualification_has_a_reason_in_every_row(tmp_path: Path) -> None:
    text = SETTINGS.format(
        rules="club-ten",
        cuts='[[competition.cuts]]\nname = "Final"\nof = "apparatus"\nplaces = 2\ncap = 1',
    )
    write_exports(judged(write_folder(tmp_path / "meet", text + LISTS)), tmp_path)
    with (tmp_path / "data/q/qualification.csv").open(encoding="utf-8") as table:
        rows = list(csv.DictReader(table))
    assert len(rows) == 8
    assert all(row["reason"] for row in rows)


TO_A_FINAL = """
== meet.toml ==
title = "Test"
[[competition]]
id = "q"
title = "Qualification"
discipline = "women"
{divisions}
phase = "qualification"
ranks = ["all-around", "apparatus"]
[[competition.cuts]]
name = "Final"
of = "{of}"
to = "f"
places = 2
[[competition]]
id = "f"
title = "Final"
entered_from = "q"
{final}
== roster.csv ==
bib,family_name,discipline,division
1,Adams,women,senior
2,Bell,women,junior
3,Cole,men,senior
== marks.csv ==
bib,UB
"""


@pytest.mark.parametrize(
    ("of", "divisions", "final", "told"),
    [
        ("apparatus", "", 'discipline = "men"', "f has no discipline women"),
        ("apparatus", "", 'discipline = "women"\napparatus = ["VT", "UB", "BB"]', None),
        (
            "apparatus", "", 'discipline = "women"\napparatus = ["TR"]',
            "f has no VT, UB, BB, FX",
        ),
        (
            "apparatus", "", 'discipline = "women"\nranks = ["all-around"]',
            "f has no lists of apparatus",
        ),
        (
            "all-around", "", 'discipline = "women"\ndivisions = ["senior"]',
            "f has no division but its own",
        ),
        (
            "all-around", 'divisions = ["senior", "junior"]',
            'discipline = "women"\ndivisions = ["senior"]', "f has no division junior",
        ),
        ("all-around", "", 'discipline = "women"\napparatus = ["UB"]', None),
        (
            "all-around", 'divisions = ["senior"]',
            'discipline = "women"\ndivisions = ["senior", "junior"]', None,
        ),
    ],
)  # fmt: skip
def test_a_final_has_what_the_cut_to_it_is_for(
    tmp_path: Path, of: str, divisions: str, final: str, told: str | None
) -> None:
    text = TO_A_FINAL.format(of=of, divisions=divisions, final=final)
    _, problems = read_meet(write_folder(tmp_path, text))
    found = [one.message for one in problems if one.code == "cut-does-not-fit"]
    assert found == ([f"{told}, which this cut is for; correct either"] if told else [])


@pytest.mark.parametrize(
    ("way", "expected"),
    [("all qualify", "Q Q Q R1 . . . ."), ("listed order", "Q Q R1 . . . . .")],
)
def test_a_tie_for_the_last_place_is_left_to_the_rule_set(
    tmp_path: Path, way: str, expected: str
) -> None:
    rules = f'== own.toml ==\ntitle = "Own"\n[cuts]\ntie_on_last_place = "{way}"'
    lists = LISTS.replace("3,UB,9.700", "3,UB,9.800") + rules
    assert marks(only_cut(tmp_path, "places = 2\nreserves = 1", "own.toml", lists)) == expected


def test_a_cut_is_of_the_lists_whose_apparatus_the_final_has(tmp_path: Path) -> None:
    """Only the vault has a final, so that nobody qualifies on the other apparatus."""
    text = TO_A_FINAL.format(
        of="apparatus", divisions="", final='discipline = "women"\napparatus = ["VT"]'
    )
    text = text.replace("3,Cole,men,senior\n", "").replace("bib,UB\n", "")
    qualification = judged(
        write_folder(tmp_path, text + "bib,competition,VT,UB\n1,q,9.0,9.5\n2,q,9.1,9.4\n")
    ).competition("q")
    assert {code: len(one.cuts) for code, one in qualification.by_apparatus.items()} == {
        "VT": 1, "UB": 0, "BB": 0, "FX": 0,
    }  # fmt: skip
