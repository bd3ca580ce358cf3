"""An E score that a tie needs and that is not given is worked out where the rules say how."""

from __future__ import annotations

from pathlib import Path

import pytest
from folders import judged, write_folder

from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import results as results_of
from resultsgen.scoring.results import Results
from resultsgen.views.lists.lists import list_views
from resultsgen.views.words.wording import Wording

MEET = """
== meet.toml ==
title = "Cup"
[[competition]]
id = "w"
title = "Women"
discipline = "women"
apparatus = ["UB"]
ranks = {ranks}
{settings}
== roster.csv ==
bib,family_name,club
1,Adder,North
2,Bellow,South
3,Corrin,South
== marks.csv ==
bib,apparatus,mark,d,e,penalty,bonus
{marks}
"""
EQUAL = "1,UB,13.000,5.0,,{0},\n2,UB,13.000,5.1,,0.3,\n3,UB,11.000,5.0,6.000,,"


def folder(tmp_path: Path, marks: str, settings: str = "", ranks: str = '["apparatus"]') -> Path:
    return write_folder(tmp_path, MEET.format(marks=marks, settings=settings, ranks=ranks))


def places(results: Results) -> dict[str, int | None]:
    ranking = results.competitions[0].by_apparatus["UB"]
    return {line.gymnast.bib: line.place for line in ranking.lines}


def codes(path: Path) -> list[str]:
    meet, problems = read_meet(path)
    assert meet is not None
    return [one.code for one in problems or results_of(meet)[1]]


def test_e_is_worked_out_from_mark_d_and_penalty_and_the_list_says_so(tmp_path):
    results = judged(folder(tmp_path, EQUAL.format("")))
    assert places(results) == {"1": 2, "2": 1, "3": 3}  # E 8.000 and 8.200.
    notes = list_views(results.competitions[0], Wording())[0].tables[0].notes
    assert [one.text for one in notes] == [
        "13.000 each, placed by the E score: Bellow 8.200, Adder 8.000; the E score of Adder and "
        "Bellow was not given and is worked out from the mark, the D score and the penalty."
    ]
    routines = [routine for _, routine in results.competitions[0].routines]
    assert [one.e for one in routines] == [None, None, 6000]


@pytest.mark.parametrize(
    "marks",
    [
        EQUAL.format("").replace("0.3", ""),  # No penalty is told of anybody.
        EQUAL.format("").replace("5.1", ""),  # No D score.
        EQUAL.format("").replace("5.1", "1.0"),  # E would be above 10.
    ],
)
def test_what_cannot_be_worked_out_is_asked_for(tmp_path, marks):
    assert codes(folder(tmp_path, marks)) == ["tie-not-settled"]


def test_where_the_rules_add_a_bonus_it_must_be_told_as_well(tmp_path):
    settings = 'rules = "bonus"'
    assert codes(folder(tmp_path / "a", EQUAL.format(""), settings)) == ["tie-not-settled"]
    told = EQUAL.format("").replace("0.3,\n", "0.3,0.500\n")
    results = judged(folder(tmp_path / "b", told, settings))
    assert places(results) == {"1": 1, "2": 2, "3": 3}  # E 8.000 and 7.700.
