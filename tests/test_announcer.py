"""The page of who speaks, mark by mark: what is said is in sight, and is what the results say."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from browsing import opened, served
from folders import judged

from resultsgen.files.cache import Cache
from resultsgen.live.competition import live
from resultsgen.live.upcoming import upcoming
from resultsgen.scoring.results import Results
from resultsgen.theme.theme import find_theme
from resultsgen.views.live.announcer import AnnouncerView, announcer_view
from resultsgen.views.site.site_map import addresses
from resultsgen.views.words.wording import Wording, wording
from resultsgen.website import UNTIL_MADE, rendering, write_site
from resultsgen.website.pages import Subject, announcer
from resultsgen.website.rendering import rendered_pages

EVENING = Path(__file__).parent / "example_evening"

MISSING = (
    "14,VT,9.100", "15,UB,9.350", "17,BB,9.200", "19,FX,9.000", "16,UB,8.900", "18,BB,8.800",
    "20,FX,9.400",
)  # fmt: skip
"""The marks that are to come in the example."""
ROWS = (*(EVENING / "marks.csv").read_text("utf-8").split()[1:], *MISSING)


@pytest.fixture(scope="module")
def moments(tmp_path_factory: pytest.TempPathFactory) -> tuple[Results, ...]:
    """The evening before its first mark and after each, rotation by rotation."""
    folder = tmp_path_factory.mktemp("evening") / "meet"
    shutil.copytree(EVENING, folder)
    head = "bib,apparatus,mark"
    found = []
    for count in range(len(ROWS) + 1):
        told = [head, *ROWS[:count], ""]
        (folder / "marks.csv").write_text("\n".join(told), "utf-8")
        found.append(judged(folder))
    return tuple(found)


def view_of(results: Results) -> AnnouncerView:
    (one,) = results.competitions
    return announcer_view(results, one, Wording())


def test_whose_mark_comes_next_is_up_on_her_apparatus(moments: tuple[Results, ...]) -> None:
    for row, results in zip(ROWS, moments, strict=False):
        bib, part, _ = row.split(",")
        (now,) = live(results).values()
        first = {one.apparatus: one.keys[0] for one in reversed(upcoming(now))}
        assert results.gymnasts[first[part]].bib == bib, row


IN_SIGHT = """text => {
    const made = new DOMParser().parseFromString(text, "text/html");
    document.querySelector("main").replaceWith(made.querySelector("main"));
    const first = [...document.querySelectorAll(".aloud li, .up .who, .won")].slice(0, 1);
    const up = [...document.querySelectorAll(".up .who, .who + .need")].slice(0, 2);
    return [...first, ...up].map(one => [one.textContent, one.getBoundingClientRect().bottom]);
}"""


def test_the_sentence_is_on_the_first_screen_of_a_phone_after_each_mark(
    browser, moments, tmp_path, monkeypatch
) -> None:
    """What is decided, if anything is, and who is up with what she needs; at the end who won."""
    theme = find_theme("gala")
    write_site(moments[-1], theme, tmp_path)
    monkeypatch.setattr(rendering, "PAGES", (("announcer.html", announcer),))
    with served(tmp_path) as address:
        page, complaints, _ = opened(browser, 390)
        page.set_viewport_size({"width": 390, "height": 844})
        page.goto(f"{address}competitions/evening/announcer.html")
        for number, results in enumerate(moments):
            words = wording(results.meet.settings)
            subject = Subject(results, words, theme, addresses(results))
            (text,) = rendered_pages(subject, UNTIL_MADE, Cache(None)).values()
            told = page.evaluate(IN_SIGHT, text)
            assert told, number
            assert all(0 < bottom <= 844 for _, bottom in told), (number, told)
    assert complaints == []
    assert told[0][0].startswith("Ottilie Kestrelle (Gymnastics Merrowick) and Wilma Thornacre")
