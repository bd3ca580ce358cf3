"""Start lists of finals: drawn, by rank, as people named them, or in no order that is told."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from folders import judged, write_folder

from resultsgen.data.writing import write_exports
from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import results
from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.lists.start_lists import start_list_tables
from resultsgen.views.words.wording import Wording

MEET = """
== meet.toml ==
title = "Test"
[[competition]]
id = "q"
title = "Qualification"
discipline = "women"
apparatus = ["UB", "BB"]
phase = "qualification"
[[competition.cuts]]
name = "Apparatus finals"
of = "apparatus"
to = "apparatus"
places = 3
[[competition.cuts]]
name = "Final"
of = "all-around"
to = "final"
places = 2
[[competition]]
id = "apparatus"
title = "Apparatus finals"
discipline = "women"
apparatus = ["UB", "BB"]
ranks = ["apparatus"]
entered_from = "q"
{apparatus}
[[competition]]
id = "final"
title = "Final"
discipline = "women"
apparatus = ["UB", "BB"]
ranks = ["all-around"]
entered_from = "q"
{final}
== roster.csv ==
bib,family_name,federation,session,squad,start_order
1,Adams,N,1,A,4
2,Bell,N,1,A,3
3,Cole,S,1,A,2
4,Dean,S,1,A,1
== marks.csv ==
bib,UB,BB,competition
1,10.000,13.000,q
2,11.000,12.000,q
3,12.000,11.500,q
4,13.000,9.000,q
"""


def meet(folder: Path, apparatus: str = "", final: str = "") -> Path:
    return write_folder(folder, MEET.format(apparatus=apparatus, final=final))


def orders(one: CompetitionResults) -> dict[str, tuple[str, str]]:
    """How each list is ordered, and its bibs."""
    bib = {start.gymnast.key: start.gymnast.bib for start in one.starts}
    return {
        listed.apparatus: (listed.by, " ".join(bib[key] for key in listed.keys))
        for listed in one.start_lists
    }


def test_where_nothing_is_said_they_stand_by_bib_and_no_order_is_printed(tmp_path: Path) -> None:
    whole = judged(meet(tmp_path))
    final = whole.competition("apparatus")
    assert orders(final) == {"UB": ("", "2 3 4"), "BB": ("", "1 2 3")}
    assert orders(whole.competition("final")) == {"": ("", "1 3")}
    assert whole.competition("q").start_lists == ()
    tables = start_list_tables(final, Wording())
    assert [table.caption for table in tables] == ["Uneven Bars", "Balance Beam"]
    assert [column.label for column in tables[0].columns] == ["Bib", "Gymnast"]
    assert tables[0].notes[0].text == "By bib; the start order is not given."


def test_as_drawn_for_each_apparatus(tmp_path: Path) -> None:
    draw = '[competition.draw]\nUB = ["4", "2", "3"]\nBB = ["2", "3", "1"]'
    final = judged(meet(tmp_path, draw)).competition("apparatus")
    assert orders(final) == {"UB": ("draw", "4 2 3"), "BB": ("draw", "2 3 1")}
    table = start_list_tables(final, Wording())[0]
    assert [[cell.text for cell in row.cells[:2]] for row in table.rows] == [
        ["1", "4"], ["2", "2"], ["3", "3"],
    ]  # fmt: skip
    assert table.notes[0].text == "The order was drawn."


def test_a_start_order_may_begin_with_zero(tmp_path: Path) -> None:
    text = MEET.format(apparatus="", final="").replace("1,A,4", "1,A,1").replace("1,A,3", "1,A,0")
    starts = judged(write_folder(tmp_path, text)).competition("q").starts
    assert [start.gymnast.bib for start in starts] == ["2", "1", "4", "3"]


def test_gymnasts_stand_by_their_own_rank_though_there_are_teams(tmp_path: Path) -> None:
    """N is ahead of S: 46 against 45.5; Cole, of S, has the highest all-around total."""
    by_rank = 'start_order = "rank"'
    teams = 'phase = "qualification"\nteam = { format = "2-2-2", by = "federation" }'
    text = MEET.format(apparatus=by_rank, final=by_rank)
    whole = judged(write_folder(tmp_path, text.replace('phase = "qualification"', teams, 1)))
    assert whole.competition("q").team
    assert orders(whole.competition("apparatus"))["UB"] == ("rank", "4 3 2")
    assert orders(whole.competition("final")) == {"": ("rank", "3 1")}


def test_in_a_team_final_the_gymnasts_of_a_team_stand_together_by_its_rank(tmp_path: Path) -> None:
    """S is ahead of N by Dean's 14; the best single gymnasts are of N."""
    two = 'format = "2-2-2", by = "federation"'
    ranks = 'phase = "qualification"\nranks = ["apparatus", "team"]'
    text = MEET.format(apparatus="", final=f'start_order = "rank"\nteam = {{ {two} }}')
    text = text.replace('phase = "qualification"', f"{ranks}\nteam = {{ {two} }}", 1)
    text = text.replace('of = "all-around"', 'of = "team"').replace('["all-around"]', '["team"]')
    whole = judged(write_folder(tmp_path, text.replace("4,13.000,9.000", "4,14.000,9.000")))
    assert [line.id for line in whole.competition("q").team.lines] == ["S", "N"]
    assert orders(whole.competition("final")) == {"": ("rank", "3 4 1 2")}


def test_one_apparatus_may_be_drawn_already(tmp_path: Path) -> None:
    draw = 'start_order = "rank"\ndraw = { BB = ["2", "3", "1"] }'
    final = judged(meet(tmp_path, draw)).competition("apparatus")
    assert orders(final) == {"UB": ("rank", "4 3 2"), "BB": ("draw", "2 3 1")}


@pytest.mark.parametrize(
    ("order", "bars", "both"), [("rank", "4 3 2", "3 1"), ("reverse rank", "2 3 4", "1 3")]
)
def test_by_rank_in_the_qualification(tmp_path: Path, order: str, bars: str, both: str) -> None:
    """All-around: 3 has 23.500, 1 has 23.000 as 2 has; 1 by the better apparatus."""
    setting = f'start_order = "{order}"'
    whole = judged(meet(tmp_path, setting, setting))
    assert orders(whole.competition("apparatus"))["UB"] == (order, bars)
    assert orders(whole.competition("final")) == {"": (order, both)}


@pytest.mark.parametrize(("order", "bars"), [("rank", "4 3 2"), ("reverse rank", "3 2 4")])
def test_who_shares_a_place_stands_by_name_whichever_is_first(
    tmp_path: Path, order: str, bars: str
) -> None:
    """Cole (3) and Zell (2) have 11 on bars; on beam all places are different."""
    text = MEET.format(apparatus=f'start_order = "{order}"', final="").replace("2,Bell", "2,Zell")
    text = text.replace('phase = "q', 'missing_scores = "share"\nphase = "q', 1)
    text = text.replace("3,12.000", "3,11.000")
    final = judged(write_folder(tmp_path, text)).competition("apparatus")
    assert orders(final)["UB"] == (order, bars)
    told = [
        [note.text for note in table.notes[1:]] for table in start_list_tables(final, Wording())
    ]
    assert told == [["Those who are equal there stand by name, as nothing was drawn."], []]


def test_a_draw_for_the_whole_final(tmp_path: Path) -> None:
    final = judged(meet(tmp_path, "", 'draw.all = ["3", "1"]')).competition("final")
    assert orders(final) == {"": ("draw", "3 1")}


def test_as_people_named_the_starters(tmp_path: Path) -> None:
    final = judged(meet(tmp_path, "", 'starters = ["4", "1", "3"]')).competition("final")
    assert orders(final) == {"": ("given", "4 1 3")}


def test_named_starters_by_rank_and_who_has_none_is_last(tmp_path: Path) -> None:
    final = 'starters = ["4", "1", "3"]\nstart_order = "rank"'
    assert orders(judged(meet(tmp_path, "", final)).competition("final")) == {"": ("rank", "3 1 4")}


def test_without_a_qualification_those_drawn_are_the_starters(tmp_path: Path) -> None:
    """So people can say who starts on which apparatus."""
    folder = meet(tmp_path, '[competition.draw]\nUB = ["4", "1"]\nBB = ["2", "3", "1"]')
    settings = (folder / "meet.toml").read_text(encoding="utf-8")
    first = settings.replace('entered_from = "q"\n', "", 1)
    (folder / "meet.toml").write_text(first, encoding="utf-8")
    final = judged(folder).competition("apparatus")
    assert orders(final) == {"UB": ("draw", "4 1"), "BB": ("draw", "2 3 1")}
    assert [len(ranking.lines) for ranking in final.by_apparatus.values()] == [2, 3]


@pytest.mark.parametrize(
    ("draw", "words"),
    [
        ('UB = ["4", "2"]', "on UB: bib 3 starts but is not drawn"),
        ('UB = ["4", "2", "3", "1"]', "on UB: bib 1 does not start"),
        ('UB = ["4", "2", "3", "2"]', "on UB: bib 2 is drawn twice"),
        ('VT = ["4", "2", "3"]', "there is no start list VT; there are UB, BB"),
        ('all = ["4", "2", "3"]', "there is no start list all; there are UB, BB"),
    ],
)
def test_a_draw_has_just_those_who_start(tmp_path: Path, draw: str, words: str) -> None:
    read, problems = read_meet(meet(tmp_path, f"[competition.draw]\n{draw}"))
    assert not problems
    assert read
    (problem,) = results(read)[1]
    assert (problem.code, problem.file) == ("draw-does-not-fit", "meet.toml")
    assert problem.column.startswith("competition[2].draw.")
    assert problem.message.startswith(words)


def test_a_draw_adds_nobody_to_the_starters_whom_people_named(tmp_path: Path) -> None:
    final = 'starters = ["4", "1", "3"]\n[competition.draw]\nUB = ["4", "1", "2"]'
    folder = meet(tmp_path, "", final)
    read, _ = read_meet(folder)
    assert read
    whole, told = results(read)
    assert [start.gymnast.bib for start in whole.competition("final").starts] == ["4", "1", "3"]
    assert "on UB: bib 3 starts but is not drawn" in told[0].message


def test_the_table_of_starts_has_a_row_for_each_start(tmp_path: Path) -> None:
    draw = '[competition.draw]\nUB = ["4", "2", "3"]'
    write_exports(judged(meet(tmp_path / "meet", draw)), tmp_path)
    text = (tmp_path / "data/apparatus/start-list.csv").read_text(encoding="utf-8")
    rows = [(row["apparatus"], row["start_order"], row["bib"])
            for row in csv.DictReader(text.splitlines())]  # fmt: skip
    assert rows == [
        ("UB", "1", "4"), ("UB", "2", "2"), ("UB", "3", "3"),
        ("BB", "", "1"), ("BB", "", "2"), ("BB", "", "3"),
    ]  # fmt: skip
