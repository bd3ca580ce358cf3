"""Equals: reserves share the number unless the jury put them in order, and lists print them by
name or by bib.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from folders import judged, write_folder

from resultsgen.language import ENGLISH
from resultsgen.live.competition import live
from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import results as results_of
from resultsgen.scoring.results import Results
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.lists.rules import rules_view
from resultsgen.views.lists.start_lists import start_list_tables
from resultsgen.views.words.reasons import cut_mark, cut_sentence
from resultsgen.views.words.wording import Wording

MEET = """
== meet.toml ==
title = "Cup"
{meet}
[[competition]]
id = "q"
title = "Qualification"
discipline = "women"
apparatus = ["VT"]
ranks = ["apparatus"]
[[competition.cuts]]
name = "Final"
of = "apparatus"
to = "f"
places = 2
reserves = 3
{cut}
[[competition]]
id = "f"
title = "Final"
discipline = "women"
apparatus = ["VT"]
ranks = ["apparatus"]
entered_from = "q"
start_order = "rank"
{final}
== roster.csv ==
bib,family_name,club
9,Adder,North
2,Bellow,South
10,Corrin,North
3,Dillow,South
1,Ebbing,West
7,Fennel,West
== marks.csv ==
bib,apparatus,mark,d,e,competition
{marks}
"""
FIRST = {"1": 9, "2": 8, "9": 7, "10": 7, "3": 6, "7": 5}
"""E by bib: 9 and 10 are equal as first reserves."""


def written(folder: Path, e: dict[str, int] = FIRST, **parts: str) -> Path:
    marks = "\n".join(f"{bib},VT,{5 + mark}.000,5.0,{mark}.000,q" for bib, mark in e.items())
    given = {"meet": "", "cut": "", "final": "", **parts}
    return write_folder(folder, MEET.format(marks=marks, **given))


def through(results: Results) -> dict[str, str]:
    ranking = results.competitions[0].by_apparatus["VT"]
    bibs = {line.gymnast.key: line.gymnast.bib for line in ranking.lines}
    return {bibs[one.key]: cut_mark(one.verdict) for one in ranking.cuts[0].lines}


def sentence(results: Results, bib: str) -> str:
    ranking = results.competitions[0].by_apparatus["VT"]
    who = next(line.gymnast.key for line in ranking.lines if line.gymnast.bib == bib)
    cut = ranking.cuts[0]
    line = cut.of(who)
    assert line is not None
    return cut_sentence(
        cut, line, lambda key: shown_name(results.gymnasts[key], Wording()), ENGLISH
    )


def told(folder: Path) -> list[tuple[str, str]]:
    meet, problems = read_meet(folder)
    assert meet is not None
    return [(one.code, one.column) for one in problems or results_of(meet)[1]]


def test_equal_reserves_share_the_number_and_say_so(tmp_path):
    results = judged(written(tmp_path))
    assert through(results) == {"1": "Q", "2": "Q", "9": "R1", "10": "R1", "3": "R3", "7": ""}
    assert sentence(results, "9") == (
        "stands by if somebody withdraws; shares the number with Corrin, since nobody decided "
        "between them"
    )


def test_who_shares_the_last_number_stands_by_as_well(tmp_path):
    results = judged(written(tmp_path, FIRST | {"3": 7, "7": 7}))
    assert list(through(results).values()) == ["Q", "Q", "R1", "R1", "R1", "R1"]


@pytest.mark.parametrize("order", ['["10", "9"]', '{ VT = ["10", "9"] }'])
def test_the_order_of_the_jury_numbers_them_and_is_told(tmp_path, order):
    results = judged(written(tmp_path, cut=f"reserve_order = {order}"))
    assert through(results) == {"1": "Q", "2": "Q", "9": "R2", "10": "R1", "3": "R3", "7": ""}
    assert sentence(results, "9") == (
        "stands by if somebody withdraws; the place is shared: the jury decided the order"
    )


GONE = '[[competition.withdrawn]]\nbib = "1"'
ORDER = 'reserve_order = ["10", "9"]'


def test_one_of_equal_reserves_is_not_called_up_by_an_invented_order(tmp_path):
    assert told(written(tmp_path, final=GONE)) == [
        ("equals-not-decided", "competition[1].cuts[1].reserve_order")
    ]
    results = judged(written(tmp_path, cut=ORDER, final=GONE))
    assert {one.gymnast.bib for one in results.competitions[1].starts} == {"2", "10"}


def test_an_order_to_be_written_keeps_what_is_decided(tmp_path):
    gone = "\n".join(GONE.replace("1", bib) for bib in ("1", "2", "9"))
    meet, _ = read_meet(written(tmp_path, FIRST | {"7": 6}, cut=ORDER, final=gone))
    (open_equals,) = results_of(meet)[1]
    assert 'write  reserve_order = ["10", "9", "3", "7"]  in the order' in open_equals.message


def test_all_equal_reserves_are_called_up_without_an_order(tmp_path):
    both = f'{GONE}\n[[competition.withdrawn]]\nbib = "2"'
    results = judged(written(tmp_path, final=both))
    assert {one.gymnast.bib for one in results.competitions[1].starts} == {"9", "10"}


def test_while_marks_are_to_come_nobody_is_asked_for_an_order(tmp_path):
    e = {bib: mark for bib, mark in FIRST.items() if bib != "7"}
    assert told(written(tmp_path, e, final=GONE)) == []


def test_team_mates_whom_the_cap_parts_are_not_parted_by_name(tmp_path):
    capped = 'cap = 1\nper = "club"'
    e = FIRST | {"9": 9, "10": 9}
    meet, _ = read_meet(written(tmp_path, e, cut=capped))
    (open_equals,) = results_of(meet)[1]
    assert open_equals.message.startswith("bib 9 and bib 10 and bib 1 share place 1")
    assert 'write  reserve_order.VT = ["9", "10", "1"]  in the order' in open_equals.message
    decided = f'{capped}\nreserve_order.VT = ["10", "1", "9"]'
    results = judged(written(tmp_path, e, cut=decided))
    assert through(results) == {"1": "Q", "9": "", "10": "Q", "2": "R1", "3": "", "7": ""}


@pytest.mark.parametrize(
    ("order", "code"),
    [
        ('["9", "3"]', "order-does-not-fit"),
        ('["9"]', "order-does-not-fit"),
        ('["9", "10", "3"]', "order-does-not-fit"),
        ('["9", "88"]', "unknown-bib"),
        ('{ UB = ["9", "10"] }', "unknown-apparatus"),
    ],
)
def test_only_equals_can_be_put_in_order(tmp_path, order, code):
    codes = [one for one, _ in told(written(tmp_path, cut=f"reserve_order = {order}"))]
    assert set(codes) == {code}


def test_an_order_names_all_who_are_equal(tmp_path):
    assert told(written(tmp_path, FIRST | {"3": 7}, cut=ORDER))[0][0] == "order-does-not-fit"


@pytest.mark.parametrize(("equals", "order"), [("name", "1 9 2 10 3 7"), ("bib", "1 2 9 10 3 7")])
def test_lists_print_equals_in_the_order_that_the_meet_sets(tmp_path, equals, order):
    e = FIRST | {"2": 7, "7": 6}
    results = judged(written(tmp_path, e, meet=f'equals = "{equals}"'))
    lines = results.competitions[0].by_apparatus["VT"].lines
    assert [line.gymnast.bib for line in lines] == order.split()
    standing = live(results)["q"].lists["VT"].now
    assert [results.gymnasts[one.key].bib for one in standing.leading] == order.split()
    view = rules_view(results.competitions[0], Wording())
    assert f"Those who are equal stand in order of {equals}." in view.passages[1].sentences
    starts = start_list_tables(results.competitions[1], Wording())[0]
    assert starts.notes[-1].text == (
        f"Those who are equal there stand by {equals}, as nothing was drawn."
    )


def test_a_rule_set_may_list_those_who_did_not_finish_by_their_sum(tmp_path):
    text = """
    == meet.toml ==
    title = "Cup"
    [rules.international]
    unranked.dnf = "sum so far"
    [[competition]]
    id = "w"
    title = "Women"
    discipline = "women"
    ranks = ["all-around"]
    == roster.csv ==
    bib,family_name
    1,Adder
    2,Bellow
    3,Corrin
    4,Dillow
    == marks.csv ==
    bib,VT,UB,BB,FX
    1,9.000,DNF,DNF,DNF
    2,9.000,8.000,DNF,DNF
    3,12.000,DNF,DNF,DNF
    4,DNS,DNS,DNS,DNS
    """
    one = judged(write_folder(tmp_path / "sum", text)).competitions[0]
    assert [line.gymnast.bib for line in one.all_around.lines] == ["2", "3", "1", "4"]
    told = [sentence for passage in rules_view(one, Wording()).passages
            for sentence in passage.sentences]  # fmt: skip
    assert (
        "Those who did not finish stand in order of the sum of their marks, and take no place."
    ) in told
    assert (
        "Those who did not finish stand: in order of the sum of their marks (the rule set: as "
        "equals do)." in told
    )
    usual = text.replace('[rules.international]\n    unranked.dnf = "sum so far"\n', "")
    one = judged(write_folder(tmp_path / "usual", usual)).competitions[0]
    assert [line.gymnast.bib for line in one.all_around.lines] == ["1", "2", "3", "4"]


@pytest.mark.parametrize(("equals", "order"), [("name", "9 2 10 3"), ("bib", "2 3 9 10")])
def test_those_without_a_place_stand_so_as_well(tmp_path, equals, order):
    """With the same sum so far, and with the same status."""
    text = (
        MEET.replace('apparatus = ["VT"]\nranks = ["apparatus"]\n[[', 'ranks = ["all-around"]\n[[')
        .replace('of = "apparatus"\nto = "f"', 'of = "all-around"')
        .split('[[competition]]\nid = "f"')
    )
    folder = text[0] + "== roster.csv ==" + text[1].split("== roster.csv ==")[1]
    marks = "\n".join(f"{bib},VT,13.000,5.0,8.000,q" for bib in ("3", "10", "2", "9"))
    given = folder.format(meet=f'equals = "{equals}"', cut="", marks=marks)
    results = judged(write_folder(tmp_path / "so-far", given))
    ranking = results.competitions[0].all_around
    assert [line.gymnast.bib for line in ranking.lines if line.done] == order.split()
    gone = marks.replace("13.000,5.0,8.000", "DNF,,")
    given = folder.format(meet=f'equals = "{equals}"', cut="", marks=gone)
    results = judged(write_folder(tmp_path / "dnf", given))
    ranking = results.competitions[0].all_around
    found = [line.gymnast.bib for line in ranking.lines if line.status == "DNF"]
    assert found == order.split()
