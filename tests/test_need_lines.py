"""What somebody needs, in one line: for the announcer, the wall, a gymnast's page."""

from __future__ import annotations

from pathlib import Path

import pytest
from folders import judged, write_folder

from resultsgen.language import LANGUAGES
from resultsgen.scoring.results import Results
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
        "15.000 is good for 1st place. 15.000 brings level with Adamsky at 53.000, and the tie is "
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
