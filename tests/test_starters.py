"""Who starts in a final: by apparatus as people named them, and substitutes of one competition."""

from __future__ import annotations

from pathlib import Path

import pytest
from folders import judged, write_folder

from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import results as results_of
from resultsgen.scoring.results import CompetitionResults

MEET = """
== meet.toml ==
title = "Cup"
[[competition]]
id = "q"
title = "Qualification"
discipline = "women"
apparatus = ["VT", "UB"]
ranks = ["all-around", "apparatus", "team"]
team = {{ format = "3-2-2" }}
{qualification}
[[competition.cuts]]
name = "Apparatus finals"
of = "apparatus"
to = "a"
places = 2
[[competition.cuts]]
name = "Team final"
of = "team"
to = "t"
places = 1
cap = 0
[[competition]]
id = "a"
title = "Apparatus finals"
discipline = "women"
apparatus = ["VT", "UB"]
ranks = ["apparatus"]
entered_from = "q"
{apparatus}
[[competition]]
id = "t"
title = "Team final"
discipline = "women"
apparatus = ["VT", "UB"]
ranks = ["team"]
team = {{ format = "3-2-2" }}
entered_from = "q"
{team}
== roster.csv ==
bib,family_name,club
1,Adder,North
2,Bellow,North
3,Corrin,South
4,Dillow,South
5,Ebbing,North
6,Fennel,South
== marks.csv ==
bib,competition,VT,UB
1,q,13.000,12.000
2,q,12.500,12.500
3,q,12.000,11.000
4,q,11.000,11.500
{marks}
"""
APART = "[competition.entered]\n5 = []\n6 = []"


def written(folder: Path, **parts: str) -> Path:
    given = {"qualification": "", "apparatus": "", "team": "", "marks": "", **parts}
    return write_folder(folder, MEET.format(**given))


def told(folder: Path) -> list[tuple[str, str]]:
    meet, problems = read_meet(folder)
    assert meet is not None
    return [(one.code, one.message) for one in problems or results_of(meet)[1]]


def starting(one: CompetitionResults) -> dict[str, str]:
    return {start.gymnast.bib: " ".join(start.apparatus) for start in one.starts}


def test_starters_by_apparatus_leave_the_others_to_the_cut(tmp_path):
    """Bib 3 comes in on the vault alone, where 2 does not start; on the bars the cut decides."""
    folder = written(
        tmp_path, qualification=APART, apparatus='starters.VT = ["3", "1"]',
        marks="3,a,12.100,\n1,a,13.000,12.000\n2,a,,12.100",
    )  # fmt: skip
    final = judged(folder).competition("a")
    assert starting(final) == {"1": "VT UB", "2": "UB", "3": "VT"}
    lists = {code: (len(one.lines), one.to_come) for code, one in final.by_apparatus.items()}
    assert lists == {"VT": (2, 0), "UB": (2, 0)}
    order = [final.start_lists[0].keys, final.start_lists[1].keys]
    assert [[key + 1 for key in keys] for keys in order] == [[3, 1], [1, 2]]
    assert [one.by for one in final.start_lists] == ["given", ""]


def test_all_cuts_that_lead_to_a_final_let_in(tmp_path):
    """The best on each apparatus, and the best of South; the best in the all-around besides."""
    more = """
[[competition.cuts]]
name = "One of each"
of = "apparatus"
to = "a"
each = 1
per = "club"
[[competition.cuts]]
name = "The best"
of = "all-around"
to = "a"
places = 1
cap = 0
"""
    final = judged(written(tmp_path, qualification=APART + more)).competition("a")
    assert starting(final) == {"1": "VT UB", "2": "VT UB", "3": "VT", "4": "UB"}


def test_the_message_about_a_mark_in_a_final_leads_to_the_starters_of_its_apparatus(tmp_path):
    ((code, message),) = told(written(tmp_path, qualification=APART, marks="3,a,12.100,"))
    assert code == "not-in-the-final"
    assert 'starters.VT = ["3", ...]' in message


def test_a_substitute_is_in_the_team_final_alone_and_needs_no_status(tmp_path):
    """Bib 5 is of North, which is through; bib 6 of South, which is not."""
    final = '[competition.entered]\n5 = ["UB"]\n6 = ["UB"]\n2 = ["VT"]'
    marks = "1,t,13.000,12.000\n2,t,12.000,\n5,t,,11.000"
    results = judged(written(tmp_path, qualification=APART, team=final, marks=marks))
    assert set(starting(results.competition("q"))) == {"1", "2", "3", "4"}
    assert results.competition("q").complete
    assert starting(results.competition("t")) == {"1": "VT UB", "2": "VT", "5": "UB"}
    assert results.competition("t").complete
    team = results.competition("t").team
    assert [line.total for line in team.lines] == [13_000 + 12_000 + 12_000 + 11_000]


def test_nobody_starts_in_a_team_final_where_the_roster_does_not_enter_her(tmp_path):
    folder = written(tmp_path, marks="5,q,12.100,")
    entered = {"bib": "entered", "2": "UB", "5": "UB VT2"}
    rows = (folder / "roster.csv").read_text("utf-8").splitlines()
    told = [f"{row},{entered.get(row.split(',')[0], '')}\n" for row in rows if row]
    (folder / "roster.csv").write_text("".join(told), "utf-8")
    marks = (folder / "marks.csv").read_text("utf-8").replace("2,q,12.500,", "2,q,,")
    (folder / "marks.csv").write_text(marks, "utf-8")
    results = judged(folder)
    assert starting(results.competition("t")) == {"1": "VT UB", "2": "UB", "5": "VT UB"}


def test_whoever_is_taken_out_of_a_competition_has_no_mark_there(tmp_path):
    found = told(written(tmp_path, qualification=APART, marks="5,q,11.000,"))
    assert [code for code, _ in found] == ["unknown-bib"]
    final = '[competition.entered]\n5 = ["UB"]'
    found = told(written(tmp_path / "t", qualification=APART, team=final, marks="5,t,11.000,"))
    assert [code for code, _ in found] == ["not-entered"]


@pytest.mark.parametrize(
    ("entered", "code"),
    [("5 = []\n88 = []", "unknown-bib"), ('5 = ["HB"]', "unknown-apparatus")],
)
def test_entries_are_of_somebody_and_of_an_apparatus(tmp_path, entered, code):
    folder = written(tmp_path, qualification=f"[competition.entered]\n6 = []\n{entered}")
    assert [one for one, _ in told(folder)] == [code]


def test_starters_are_of_an_apparatus_of_the_competition(tmp_path):
    folder = written(tmp_path, qualification=APART, apparatus='starters.HB = ["1"]')
    assert [one for one, _ in told(folder)] == ["unknown-apparatus"]


@pytest.mark.parametrize("wrong", ["starters = [5]", 'starters = "5"', 'starters.VT = "5"',
                                   "starters.VT = [5]", "starters = 5"])  # fmt: skip
def test_bibs_that_are_no_text_in_a_list_are_one_problem(tmp_path, wrong):
    meet, problems = read_meet(written(tmp_path, qualification=APART, apparatus=wrong))
    assert meet is None
    assert [(one.code, one.column) for one in problems] == [
        ("wrong-setting", "competition[2].starters")
    ]
    assert '["5", "12"]' in problems[0].message
