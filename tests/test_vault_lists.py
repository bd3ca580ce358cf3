"""The vault list of whole meets: two vaults in qualification and final, and what is no average."""

from __future__ import annotations

from pathlib import Path

import pytest
from folders import judged, write_folder

from resultsgen.live.competition import live
from resultsgen.live.notable import notable
from resultsgen.scoring.ranking import Ranking
from resultsgen.scoring.results import CompetitionResults
from resultsgen.views.lists.rankings import list_table
from resultsgen.views.lists.rules import mark_sentences, tie_sentences
from resultsgen.views.words.reasons import tie_sentence
from resultsgen.views.words.wording import Wording

MEET = """
== meet.toml ==
title = "Test"
{changes}
[[competition]]
id = "q"
title = "Qualification"
discipline = "women"
apparatus = ["VT", "UB"]
phase = "qualification"
vaults = 2
[[competition.cuts]]
name = "Final"
of = "apparatus"
to = "final"
places = 2
reserves = 1
cap = 0
[[competition]]
id = "final"
title = "Final"
discipline = "women"
apparatus = ["VT"]
ranks = ["apparatus"]
vaults = 2
entered_from = "q"
== roster.csv ==
bib,family_name,entered
1,Adams,
2,Bell,
3,Cole,
4,Dean,
5,Eder,
== marks.csv ==
bib,apparatus,vault,mark,d,e,status,competition
{marks}
"""

QUALIFICATION = """
1,VT,1,14.000,5.0,9.000,,q
1,VT,2,14.101,5.0,9.101,,q
2,VT,1,14.100,5.0,9.100,,q
2,VT,2,14.000,5.0,9.000,,q
3,VT,1,0.000,0.0,8.266,,q
3,VT,2,13.000,5.0,8.000,,q
4,VT,1,15.000,6.0,9.000,,q
4,VT,2,,,,DNF,q
5,VT,1,14.500,5.5,9.000,,q
"""
UB = "".join(f"{bib},UB,,1{bib}.000,4.0,{6 + bib}.000,,q\n" for bib in (1, 2, 3, 4))


def meet(folder: Path, marks: str, changes: str = "") -> tuple[CompetitionResults, ...]:
    text = MEET.format(marks=marks.strip(), changes=changes)
    return judged(write_folder(folder, text)).competitions


def listed(ranking: Ranking) -> list[tuple[int | None, str, int | str]]:
    return [
        (line.place, line.gymnast.family, line.status or line.total or 0) for line in ranking.lines
    ]


def told(one: CompetitionResults) -> list[str]:
    """The ties of the vault list, in words."""
    names = {start.gymnast.key: start.gymnast.family for start in one.starts}
    ties = one.by_apparatus["VT"].ties
    return [tie_sentence(tie, names.__getitem__, Wording().language) for tie in ties]


def test_only_who_did_two_is_placed_and_an_invalid_one_counts(tmp_path: Path) -> None:
    """0.000 is a mark: Cole is third. Dean did one of two. Eder was never there for two."""
    qualification, _ = meet(tmp_path, QUALIFICATION + UB)
    assert listed(qualification.by_apparatus["VT"]) == [
        (1, "Adams", 14050), (2, "Bell", 14050), (3, "Cole", 6500), (None, "Dean", "DNF"),
    ]  # fmt: skip


def test_a_disqualification_takes_both_vaults_and_enters_nobody_for_a_second(
    tmp_path: Path,
) -> None:
    """Adams did both vaults, Eder one: Adams is on the vault list as disqualified, Eder not."""
    marks = QUALIFICATION + UB + "1,,,,,,DSQ,q\n5,,,,,,DSQ,q\n2,,,,,,WDR,q\n"
    qualification, _ = meet(tmp_path, marks)
    assert listed(qualification.by_apparatus["VT"]) == [
        (1, "Bell", 14050), (2, "Cole", 6500), (None, "Dean", "DNF"), (None, "Adams", "DSQ"),
    ]  # fmt: skip


def test_the_first_vault_counts_for_the_all_around_also_where_it_is_nought(tmp_path: Path) -> None:
    qualification, _ = meet(tmp_path, QUALIFICATION + UB)
    assert qualification.all_around
    assert listed(qualification.all_around)[:4] == [
        (1, "Dean", 29000), (2, "Bell", 26100), (3, "Adams", 25000), (4, "Cole", 13000),
    ]  # fmt: skip


def test_an_average_is_cut_and_the_better_vault_settles_it(tmp_path: Path) -> None:
    """28.101 and 28.100 are both 14.050 as printed, and the printed average is compared."""
    qualification, _ = meet(tmp_path, QUALIFICATION + UB)
    assert told(qualification) == [
        "14.050 each, placed by the better vault: Adams 14.101, Bell 14.100."
    ]


def test_compared_exactly_the_sum_of_both_vaults_is_the_reason(tmp_path: Path) -> None:
    """Bell's better vault is the higher, Adams's sum is."""
    marks = QUALIFICATION.replace("2,VT,1,14.100,5.0,9.100", "2,VT,1,14.200,5.0,9.200").replace(
        "2,VT,2,14.000,5.0,9.000", "2,VT,2,13.900,5.0,8.900"
    )
    printed, _ = meet(tmp_path / "printed", marks + UB)
    assert told(printed) == ["14.050 each, placed by the better vault: Bell 14.200, Adams 14.101."]
    exactly = '[rules.international]\nvault.compare = "exact"'
    exact, _ = meet(tmp_path / "exact", marks + UB, exactly)
    assert listed(exact.by_apparatus["VT"])[:2] == [(1, "Adams", 14050), (2, "Bell", 14050)]
    assert told(exact) == [
        "14.050 each, placed by the sum of both vaults: Adams 28.101, Bell 28.100."
    ]
    assert list(tie_sentences(exact, Wording()))[2].startswith(
        "Average of two vaults: equal totals are told apart by the sum of both vaults, then the "
        "better vault"
    )


def test_compared_exactly_equal_sums_go_on_to_the_better_vault(tmp_path: Path) -> None:
    marks = (
        QUALIFICATION.replace("1,VT,2,14.101,5.0,9.101", "1,VT,2,14.100,5.0,9.100")
        .replace("2,VT,1,14.100,5.0,9.100", "2,VT,1,14.090,5.0,9.090")
        .replace("2,VT,2,14.000,5.0,9.000", "2,VT,2,14.010,5.0,9.010")
    )
    exact, _ = meet(tmp_path, marks + UB, '[rules.international]\nvault.compare = "exact"')
    assert told(exact) == [
        "14.050 each, equal on the sum of both vaults, placed by the better vault: "
        "Adams 14.100, Bell 14.090."
    ]


def test_rounded_where_the_rules_round(tmp_path: Path) -> None:
    changes = '[rules.international]\nvault.averaging = "round"'
    qualification, _ = meet(tmp_path, QUALIFICATION + UB, changes)
    assert listed(qualification.by_apparatus["VT"])[:2] == [
        (1, "Adams", 14051), (2, "Bell", 14050),
    ]  # fmt: skip
    assert told(qualification) == []


FINAL = """
1,VT,1,13.000,5.0,8.000,,final
1,VT,2,13.500,5.0,8.500,,final
2,VT,1,14.000,5.0,9.000,,final
2,VT,2,,,,DNS,final
"""


def test_the_final_needs_two_vaults_of_those_who_went_through(tmp_path: Path) -> None:
    qualification, final = meet(tmp_path, QUALIFICATION + UB + FINAL)
    codes = [one.verdict.outcome for one in qualification.by_apparatus["VT"].cuts[0].lines]
    assert codes == ["qualified", "qualified", "reserve", "unranked"]
    assert listed(final.by_apparatus["VT"]) == [(1, "Adams", 13250), (None, "Bell", "DNF")]


def test_a_second_vault_to_come_leaves_the_list_open(tmp_path: Path) -> None:
    _, final = meet(tmp_path, QUALIFICATION + UB + FINAL.replace("2,VT,2,,,,DNS,final\n", ""))
    ranking = final.by_apparatus["VT"]
    assert ranking.to_come == 1
    assert [(line.place, line.so_far) for line in ranking.lines] == [(1, 13250), (None, 14000)]


@pytest.mark.parametrize("second", ["0.000", "14.000"])
def test_an_invalid_vault_is_no_missing_one(tmp_path: Path, second: str) -> None:
    marks = FINAL.replace("2,VT,2,,,,DNS,final", f"2,VT,2,{second},,,,final")
    _, final = meet(tmp_path, QUALIFICATION + UB + marks)
    assert final.by_apparatus["VT"].to_come == 0
    assert all(line.place for line in final.by_apparatus["VT"].lines)


BELOW = '[rules.international]\nvault.one = "below two"'


def test_a_rule_set_may_place_one_vault_below_two(tmp_path: Path) -> None:
    """Dean did one of two and Eder one; both marks are higher than every average."""
    marks = QUALIFICATION + UB
    results = judged(write_folder(tmp_path, MEET.format(marks=marks.strip(), changes=BELOW)))
    qualification, final = results.competitions
    ranking = qualification.by_apparatus["VT"]
    assert listed(ranking) == [
        (1, "Adams", 14050), (2, "Bell", 14050), (3, "Cole", 6500),
        (4, "Dean", 15000), (5, "Eder", 14500),
    ]  # fmt: skip
    assert [line.below for line in ranking.lines] == [False, False, False, True, True]
    assert (ranking.to_come, qualification.beside) == (0, ())
    assert {start.gymnast.family for start in final.starts} == {"Adams", "Bell"}
    outcomes = [line.verdict.outcome for line in ranking.cuts[0].lines]
    assert outcomes == ["qualified", "qualified", "reserve", "beyond", "beyond"]
    table = list_table(qualification, ranking, Wording())
    assert "One vault: placed below those with two." in [note.text for note in table.notes]
    sentences = list(mark_sentences(qualification, Wording()))
    assert "Those who did one vault are placed below them, by its mark." in sentences
    firsts = [one for one in notable(results) if one.list == "VT" and one.kind == "first"]
    assert [(one.fact.keys, one.fact.margin) for one in firsts] == [((0,), 0)]
    now = live(results)["q"].lists["VT"].now
    assert [one.key for one in now.leading] == [0, 1, 2]


def test_equal_single_vaults_below_are_told_apart_as_on_an_apparatus(tmp_path: Path) -> None:
    marks = QUALIFICATION.replace("5,VT,1,14.500,5.5,9.000", "5,VT,1,15.000,5.9,9.100") + UB
    qualification, _ = meet(tmp_path, marks, BELOW)
    assert listed(qualification.by_apparatus["VT"])[3:] == [(4, "Eder", 15000), (5, "Dean", 15000)]
    assert told(qualification)[-1] == (
        "15.000 each, placed by the E score: Eder 9.100, Dean 9.000."
    )
    assert qualification.by_apparatus["VT"].ties[-1].places == (4, 5)


def test_a_second_vault_that_was_disqualified_leaves_no_single_one_to_be_placed(
    tmp_path: Path,
) -> None:
    marks = QUALIFICATION.replace("4,VT,2,,,,DNF,q", "4,VT,2,,,,DSQ,q") + UB
    qualification, _ = meet(tmp_path, marks, BELOW)
    last = listed(qualification.by_apparatus["VT"])[3:]
    assert [(place, name) for place, name, _ in last] == [(4, "Eder"), (None, "Dean")]


def test_who_may_still_do_the_second_vault_is_not_placed_by_one(tmp_path: Path) -> None:
    marks = (QUALIFICATION + UB).replace("4,VT,2,,,,DNF,q\n", "")
    text = MEET.format(marks=marks.strip(), changes=BELOW).replace("4,Dean,", "4,Dean,VT VT2 UB")
    ranking = judged(write_folder(tmp_path, text)).competitions[0].by_apparatus["VT"]
    assert listed(ranking)[3:] == [(4, "Eder", 14500), (None, "Dean", 0)]
    assert ranking.to_come == 1


def test_a_list_with_nobody_in_it_says_so(tmp_path: Path) -> None:
    """Two vaults are asked, and nobody did a second."""
    one, _ = meet(tmp_path, "1,VT,1,14.000,5.0,9.000,,q\n1,UB,,11.000,4.0,7.000,,q")
    table = list_table(one, one.by_apparatus["VT"], Wording())
    assert table.rows == ()
    assert [note.text for note in table.notes] == ["Nobody is in this list."]
