"""What somebody needs, in one line: for the announcer, the wall, a gymnast's page."""

from __future__ import annotations

from pathlib import Path
from shutil import copytree

import pytest
from folders import judged, write_folder

from resultsgen.language import LANGUAGES
from resultsgen.live import competition
from resultsgen.scoring.results import Results
from resultsgen.views.lists.rules import team_sentences
from resultsgen.views.live.needs import need_line
from resultsgen.views.live.needs_sheet import needs_view, team_needs_told
from resultsgen.views.words.wording import Wording

EVENING = Path(__file__).parent / "example_evening"


@pytest.fixture(scope="module")
def evening() -> Results:
    return judged(EVENING)


def line(results: Results, bib: str, language: str = "en") -> str:
    """The line of one gymnast in the only competition."""
    (one,) = results.competitions
    key = next(each.key for each in results.gymnasts.values() if each.bib == bib)
    return need_line(results, one, key, Wording(LANGUAGES[language]))


def test_the_line_says_what_is_enough_as_it_stands_and_what_is_safe(evening: Results) -> None:
    # 37.500 leads and 36.400 is third; bib 20 has 28.100, and the others can still make 37.800.
    assert line(evening, "20") == (
        "All-around: 9.450 is good for 1st place as it stands; 9.750 is safe whatever the others "
        "do. 8.300 is good for shared 3rd place as it stands; 9.400 is safe whatever the others do."
    )


@pytest.mark.parametrize(
    ("language", "told"),
    [
        ("fr", "Concours général : Avec 9,450, 1re place pour l’instant ; assurée avec 9,750, "),
        ("de", "Mehrkampf: Mit 9,450 derzeit 1. Platz; sicher mit 9,750, was die anderen"),
        ("es", "General individual: Con 9,450, por ahora 1.er puesto; asegurado con 9,750, "),
    ],
)
def test_the_line_in_other_languages(evening: Results, language: str, told: str) -> None:
    assert (
        line(evening, "20", language).replace("\xa0", " ").replace("\u202f", " ").startswith(told)
    )


def test_who_is_asked_for_does_not_wait_for_what_others_need(tmp_path, monkeypatch) -> None:
    asked, reckoned = set(), competition.need

    def noted(progress, key, *rest):
        asked.add(key)
        return reckoned(progress, key, *rest)

    monkeypatch.setattr(competition, "need", noted)
    # What was made of an equal competition would be taken again.
    copytree(EVENING, tmp_path, dirs_exist_ok=True)
    settings = (EVENING / "meet.toml").read_text("utf-8").replace("Women, all ages", "Women")
    (tmp_path / "meet.toml").write_text(settings, "utf-8")
    fresh = judged(tmp_path)
    assert line(fresh, "20")
    assert {fresh.gymnasts[key].bib for key in asked} == {"20"}


def test_who_is_done_has_no_line(evening: Results) -> None:
    assert line(evening, "11") == ""


def test_a_team_is_told_its_sum_from_whom_and_which_marks_would_be_dropped(
    evening: Results,
) -> None:
    # Halsmere has 107.950 and would drop 8.600, 8.850, 8.850 and 8.750 for four marks of 10.000:
    # 112.900 at most. Merrowick has 110.650 and would drop 8.600, 9.300 and 9.000, which leaves
    # 83.750: 112.900 - 83.750 = 29.150 is level.
    (one,) = evening.competitions
    first, second = team_needs_told(evening, one, Wording().spoken)
    assert first.name.text == "Gymnastics Merrowick"
    assert [aim.sentence for aim in first.aims] == [
        "Any mark is good for 1st place as it stands; 29.200 in all (9.734 on average) is safe "
        "whatever the others do."
    ]
    assert first.to_go[0] == (
        "Uneven Bars: still to go Greta Orrinshaw; 8.600 is dropped for a better mark."
    )
    assert second.aims[0].mark == "9.450"


ALL_AROUND = """
    == meet.toml ==
    title = "Cup"
    [rules.international]
    marks.step = 0.050
    [[competition]]
    id = "cup"
    title = "Cup"
    discipline = "women"
    phase = "{phase}"
    ranks = ["all-around"]
    running = {{ highest = 16.000 }}
    {cuts}
    == roster.csv ==
    bib,family_name,club
    1,Adamsky,Merrowick
    2,Bellwether,Merrowick
    3,Corvane,Southby
    4,Dunmore,Merrowick
    == marks.csv ==
    bib,apparatus,mark,d,e
    1,VT,14.000,5.0,9.000
    1,UB,13.000,5.0,8.000
    1,BB,13.000,5.0,8.000
    1,FX,13.000,5.0,8.000
    2,VT,13.000,5.0,8.000
    2,UB,13.000,5.0,8.000
    2,BB,13.000,5.0,8.000
    2,FX,13.000,5.0,8.000
    3,VT,12.000,5.0,7.000
    3,UB,12.000,5.0,7.000
    3,BB,12.000,5.0,7.000
    3,FX,12.000,5.0,7.000
    4,VT,13.000,5.0,8.000
    4,UB,12.500,5.0,7.500
    4,BB,12.500,5.0,7.500
"""
CUT = 'cuts = [{ name = "Final", of = "all-around", places = 3, cap = 2, per = "club" }]'


def told(results: Results, language: str = "en") -> list[str]:
    (one,) = results.competitions
    view = needs_view(results, one, Wording(LANGUAGES[language]))
    return [aim.sentence for gymnast in view.gymnasts for aim in gymnast.aims]


def test_a_tie_says_the_total_and_by_what_it_is_won(tmp_path: Path) -> None:
    # 53.000 - 38.000 = 15.000 is level, and the best three are 40.500 against 40.000. For a medal
    # 48.000 - 38.000 = 10.000 is level with the third, which is enough whatever is compared.
    results = judged(write_folder(tmp_path, ALL_AROUND.format(phase="final", cuts="")))
    first, medal = told(results)
    assert first == (
        "15.000 wins. 15.000 brings level with Adamsky at 53.000, and the tie is "
        "won by the best 3 apparatus."
    )
    assert medal.startswith("10.000 is good for 3rd place. 10.000 brings level with Corvane")


@pytest.mark.parametrize(
    ("language", "told_of_it"),
    [
        (
            "en",
            "14.000 qualifies (Final). 14.000 brings level with Bellwether at 52.000, and the tie "
            "is won by the best 3 apparatus. Adamsky and Bellwether are ahead, and Merrowick has "
            "only 2 places.",
        ),
        (
            "de",
            "Mit 14,000 qualifiziert (Final). Mit 14,000 Gleichstand mit Bellwether (52,000), und "
            "besser nach den besten 3 Geräten. Adamsky und Bellwether liegen davor, und "
            "Merrowick hat nur 2 Plätze.",
        ),
    ],
)
def test_a_cap_says_why_it_asks_for_more(tmp_path: Path, language: str, told_of_it: str) -> None:
    # Three places, two of a club: Dunmore has to pass one of Merrowick, though
    # with 10.050 she would be third.
    text = ALL_AROUND.format(phase="qualification", cuts=CUT)
    assert told_of_it in told(judged(write_folder(tmp_path, text)), language)


FINAL = """
    == meet.toml ==
    title = "Beam"
    [rules.international]
    marks.step = 0.050
    [[competition]]
    id = "beam"
    title = "Beam final"
    discipline = "women"
    apparatus = ["BB"]
    ranks = ["apparatus"]
    running = { allowance = 0.500 }
    == roster.csv ==
    bib,family_name
    101,Adamsky
    107,Bellwether
    108,Corvane
    112,Dunmore
    115,Elmsworth
    == marks.csv ==
    bib,apparatus,mark,d,e,penalty
    108,BB,13.450,5.100,8.350,
    112,BB,13.450,5.200,8.250,
    115,BB,13.450,5.100,8.350,
    107,BB,13.700,5.300,8.400,
"""


def test_what_the_scores_have_to_be_is_what_the_rules_make_of_them(tmp_path: Path) -> None:
    # With E 8.400 as the leader has, D 5.400 and 0.100 taken off give 13.700, and the title. For a
    # medal E 8.350 shares the second place with two, and with less E the fourth is left.
    results = judged(write_folder(tmp_path, FINAL))
    assert told(results) == [
        "13.750 wins. 13.700 brings level with Bellwether, and is enough with E "
        "8.450 or more, or with E 8.400 and D 5.400 or more.",
        "13.500 is good for 2nd place. 13.450 brings level with Corvane, Dunmore and Elmsworth, "
        "and is enough with E 8.350 or more.",
    ]
    after = judged(write_folder(tmp_path / "after", FINAL + "    101,BB,13.700,5.4,8.4,0.1\n"))
    assert after.competitions[0].by_apparatus["BB"].lines[0].gymnast.bib == "101"


def test_the_bound_grows_with_the_best_mark(tmp_path: Path) -> None:
    higher = FINAL.replace("13.700,5.300,8.400", "14.200,5.800,8.400")
    for folder, text, bound in (("before", FINAL, "14.200"), ("after", higher, "14.700")):
        results = judged(write_folder(tmp_path / folder, text))
        told_of_it = needs_view(results, results.competitions[0], Wording()).bound
        assert told_of_it.startswith(f"Taking {bound} as the highest mark that can still come")


MATCH = """
    == meet.toml ==
    title = "Match"
    [[competition]]
    id = "match"
    title = "Match"
    discipline = "women"
    apparatus = ["VT", "UB"]
    ranks = ["team"]
    rules = "club-ten"
    team = { format = "3-3-3", by = "club" }
    == roster.csv ==
    bib,family_name,club
    1,Adamsky,North
    2,Bellwether,North
    3,Corvane,North
    4,Dunmore,South
    5,Elmsworth,South
    6,Farrow,South
    == marks.csv ==
    bib,VT,UB
    1,9.0,9.0
    2,9.0,9.0
    3,9.0,
    4,9.1,9.1
    5,9.0,9.0
    6,9.0,
"""


def test_teams_with_as_many_marks_to_come_are_compared_as_they_stand(tmp_path: Path) -> None:
    results = judged(write_folder(tmp_path, MATCH))
    teams = [*team_needs_told(results, results.competitions[0], Wording())]
    assert [(one.name.text, one.next) for one in teams] == [
        ("South", "0.200 ahead of North, with as many marks that can still count"),
        ("North", "0.200 behind South, with as many marks that can still count"),
    ]
    assert [one.to_go for one in teams] == [
        ("Uneven Bars: still to go Farrow; every mark counts.",),
        ("Uneven Bars: still to go Corvane; every mark counts.",),
    ]


def test_a_mark_that_can_only_replace_another_makes_teams_not_alike(tmp_path: Path) -> None:
    # Two of three count: South has both on vault, North one; a mark each is to come that can count.
    text = MATCH.replace("3-3-3", "3-3-2").replace("3,9.0,", "3,,8.0").replace("6,9.0,", "6,,9.2")
    text = text.replace("    2,Bellwether,North\n", "").replace("    2,9.0,9.0\n", "")
    results = judged(write_folder(tmp_path, text))
    teams = [*team_needs_told(results, results.competitions[0], Wording())]
    assert [(one.name.text, one.next) for one in teams] == [("South", "")]


def test_of_the_one_mark_that_counts_it_is_not_told_as_of_several(tmp_path: Path) -> None:
    text = MATCH.replace("3-3-3", "3-3-1").replace(",9.0\n", ",\n").replace(",9.1\n", ",\n")
    results = judged(write_folder(tmp_path, text))
    competition = results.competitions[0]
    (one, _) = team_needs_told(results, competition, Wording())
    assert one.to_go == (
        "Uneven Bars: still to go Dunmore, Elmsworth and Farrow; the best mark counts.",
    )
    rule, *_ = team_sentences(competition, Wording())
    assert rule.startswith("3 in a team, 3 of them on each apparatus, the best mark counts.")


def test_the_last_up_of_a_team_of_three_is_told_what_wins(tmp_path: Path) -> None:
    # South has 27.100 and 26.800, 53.900 in all; North has 45.000: 8.900 is level.
    text = MATCH.replace("6,9.0,", "6,9.0,8.7")
    results = judged(write_folder(tmp_path, text))
    (north,) = team_needs_told(results, results.competitions[0], Wording())
    assert [aim.sentence for aim in north.aims] == [
        "8.901 wins. 8.900 brings level with South at 53.900 and shares the place."
    ]


def test_of_several_marks_of_a_team_it_is_told_which_of_them_is_enough_alone(tmp_path) -> None:
    # Two of three count. South has 18.100 and 18.100, North 18.000 and 18.000: with 9.201 it drops
    # 9.000. In all 18.201 adds as much however it falls.
    text = MATCH.replace("3-3-3", "3-3-2").replace("6,9.0,", "6,8.0,8.0")
    text = text.replace("3,9.0,\n", "").replace("    4,9.1", "4,9.1")
    results = judged(write_folder(tmp_path, text))
    (north,) = team_needs_told(results, results.competitions[0], Wording())
    assert north.aims[0].sentence.startswith(
        "18.201 in all (9.101 on average) wins. 9.201 on Vault alone is enough too. 18.200 in all "
    )
    # Where every mark counts, that is said with the sum.
    text = MATCH.replace("2,9.0,9.0", "2,9.0,").replace("5,9.0,9.0", "5,9.0,2.0")
    results = judged(write_folder(tmp_path, text.replace("6,9.0,", "6,9.0,2.0")))
    (north,) = team_needs_told(results, results.competitions[0], Wording())
    assert north.aims[0].sentence.startswith("4.201 in all (2.101 on average) wins. 4.200 in all ")


def test_one_mark_of_a_team_is_told_to_be_enough_alone_where_only_what_is_safe_is_told(
    tmp_path,
) -> None:
    # Two of three count. South can still come to 19.100 and 17.100; North has 36.000.
    text = MATCH.replace("3-3-3", "3-3-2").replace("6,9.0,", "6,,8.0")
    text = (
        text.replace("3,9.0,\n", "").replace("    4,9.1", "4,9.1").replace("5,9.0,9.0", "5,8.0,8.0")
    )
    results = judged(write_folder(tmp_path, text))
    (north, *_) = team_needs_told(results, results.competitions[0], Wording())
    assert north.aims[0].sentence == (
        "18.201 in all (9.101 on average) wins whatever the others do. 9.201 on Vault alone is "
        "enough too."
    )


def test_before_the_first_marks_nobody_is_told_to_make_the_highest_there_is(tmp_path) -> None:
    copytree(EVENING, tmp_path, dirs_exist_ok=True)
    heading, first, *_ = (EVENING / "marks.csv").read_text("utf-8").splitlines(keepends=True)
    for marks in (heading, heading + first):
        (tmp_path / "marks.csv").write_text(marks, "utf-8")
        results = judged(tmp_path)
        told = [line(results, one.bib) for one in results.gymnasts.values()]
        assert not any("medal place whatever the others do" in text for text in told)
    assert "Vault: 9.150 is good for 1st place as it stands" in line(results, "2")


def test_a_cap_asks_for_no_mark_that_only_passes_who_has_not_finished(tmp_path: Path) -> None:
    # Ada has 13.000 with the bars to come, Pia 12.800 with the vault: 0.201 would pass her.
    results = judged(write_folder(tmp_path, """
        == meet.toml ==
        title = "Trials"
        [[competition]]
        id = "women"
        title = "Women"
        discipline = "women"
        phase = "qualification"
        apparatus = ["VT", "UB"]
        ranks = ["all-around"]
        running = { highest = 15.0 }
        cuts = [{ name = "Final", of = "all-around", places = 2, cap = 1, per = "club" }]
        == roster.csv ==
        bib,family_name,given_name,club
        1,Quenn,Ada,North
        2,Quenn,Pia,North
        3,Orsk,Cleo,South
        4,Tamber,Dora,West
        == marks.csv ==
        bib,apparatus,mark,d,e
        1,VT,13.000,5.0,8.0
        2,UB,12.800,5.0,7.8
        3,VT,12.000,5.0,7.0
        4,VT,11.500,5.0,6.5
        """))  # fmt: skip
    assert not line(results, "2")


LATE = """
    == meet.toml ==
    title = "Late"
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["VT", "UB", "FX"]
    ranks = ["all-around"]
    rules = "international"
    running = { circuit = ["VT", "UB", "FX"], starts = { A = "VT", B = "UB" }, highest = 14.5 }
    == roster.csv ==
    bib,family_name,session,squad
    1,Ambrel,1,A
    2,Corvane,1,A
    3,Jarrowin,1,A
    4,Fennick,1,B
    5,Dunmarsh,2,A
    == marks.csv ==
    bib,apparatus,mark,d,e,rotation
    1,VT,13.500,5.0,8.5,
    2,VT,13.200,5.0,8.2,
    4,UB,13.000,5.0,8.0,
    1,UB,13.300,5.0,8.3,
"""


def test_the_lead_after_an_apparatus_is_over_those_who_are_further_as_they_stood_then(
    tmp_path: Path,
) -> None:
    results = judged(write_folder(tmp_path, LATE))
    for bib in "35":
        assert "13.501 is good for the lead after Vault" in line(results, bib)
    assert "13.600 is good for the lead after Uneven Bars" in line(results, "2")


@pytest.mark.parametrize(
    "changes",
    [
        # At rest first, she is on vault when the others have done two.
        {
            '"FX"], starts = {': '"FX", "bye"], starts = { C = "bye",',
            "Dunmarsh,2,A": "Dunmarsh,2,C",
        },
        # Nobody knows when Fennick was on bars.
        {', B = "UB"': "", "Fennick,1,B": "Fennick,1,"},
    ],
)
def test_where_it_is_not_known_how_others_stood_no_lead_is_told(
    tmp_path: Path, changes: dict[str, str]
) -> None:
    text = LATE
    for there, changed in changes.items():
        text = text.replace(there, changed)
    told = line(judged(write_folder(tmp_path, text)), "5")
    assert told
    assert "the lead after Vault" not in told


def test_where_it_takes_the_highest_mark_there_is_it_is_told_once(tmp_path: Path) -> None:
    text = LATE.replace("1,VT,13.500,5.0,8.5", "1,VT,14.499,5.5,8.999").replace(
        "all-around", "apparatus"
    )
    results = judged(write_folder(tmp_path, text))
    assert line(results, "3") == "Vault: 14.500 is good for 1st place as it stands."
