"""What somebody needs, in one line: for the announcer, the wall, a gymnast's page."""

from __future__ import annotations

from pathlib import Path

import pytest
from folders import judged

from resultsgen.language import LANGUAGES
from resultsgen.scoring.results import Results
from resultsgen.views.live.needs import need_line
from resultsgen.views.live.needs_sheet import team_needs_told
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
