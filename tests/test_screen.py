"""The page for a display in the hall: what it turns through, and that it is read from far away."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from browsing import opened, served
from test_accessibility import AXE, DRAWN, UNREAD, found

from resultsgen.meet.settings import Screen
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.publish import checked, publish
from resultsgen.theme.theme import theme_names
from resultsgen.views.live.screen import PANELS, screen_view
from resultsgen.views.words.wording import Wording

EVENING = Path(__file__).parent / "example_evening"
SIZES = ((1920, 1080), (1280, 720), (3840, 2160), (1080, 1920))


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    """The running evening with a display, published with three marks less and one that was wrong,
    and then with all."""
    folder = tmp_path_factory.mktemp("hall") / "meet"
    shutil.copytree(EVENING, folder)
    settings, marks = folder / "meet.toml", folder / "marks.csv"
    text = settings.read_text("utf-8")
    rows = marks.read_text("utf-8").splitlines(keepends=True)
    made: dict[str, Path] = {}

    def site(theme: str) -> Path:
        if theme not in made:
            out = made[theme] = folder.parent / theme
            settings.write_text(
                'base_url = "https://example.org/"\nembeds = true\n'
                + text.replace('theme = "gala"', f'theme = "{theme}"')
                + "\n[screen]\nseconds = 100\n",
                "utf-8",
            )
            for held in ([*rows[:-4], rows[-4].replace("9.400", "9.350")], rows):
                marks.write_text("".join(held), "utf-8")
                publish(folder, out, BuildOptions(books=False), lambda *_: None)
        return made[theme]

    return site


def test_the_panels_stand_as_the_meet_wants_them_and_empty_ones_are_left_out():
    results, _ = checked(EVENING, EVENING / "output", BuildOptions(books=False))
    view = screen_view(results, Screen(show=("up next", "leaders")), Wording())
    kinds = [panel.kind for panel in view.panels]
    assert kinds == ["up", *["leaders"] * 6]
    first, whole = view.panels[:2]
    assert [line.above for line in first.lines] == sorted(
        (line.above for line in first.lines),
        key=["Vault", "Uneven Bars", "Balance Beam", "Floor Exercise"].index,
    )
    assert whole.title == "All-around, as it stands"
    assert whole.lines[0].mark == "37.500"
    assert any(line.done == "3 of 4" and not line.place for line in whole.lines)
    assert set(PANELS) == set(Screen().show)


def test_before_the_first_mark_it_says_who_begins(tmp_path):
    folder = tmp_path / "meet"
    shutil.copytree(EVENING, folder)
    (folder / "marks.csv").write_text("bib,apparatus,mark\n", "utf-8")
    results, _ = checked(folder, folder / "output", BuildOptions(books=False))
    (panel,) = screen_view(results, Screen(), Wording()).panels
    assert (panel.kind, len(panel.lines)) == ("up", 4)  # Five squads, two of them on one apparatus.


def rows_shown(page) -> list[str]:
    """The rows that are seen, each whole: inside the display, and nothing of it cut off."""
    return page.evaluate(
        """() => [...document.querySelectorAll(".now li:not([hidden])")].map((row) => {
          const { top, bottom, left, right } = row.getBoundingClientRect();
          const list = row.parentElement.getBoundingClientRect();
          const whole = top >= list.top - 1 && bottom <= list.bottom + 1 && left >= 0
            && right <= innerWidth && bottom <= innerHeight && row.scrollWidth <= row.clientWidth;
          return whole ? row.textContent : `CUT OFF: ${row.textContent}`;
        })"""
    )


def smallest(page) -> float:
    """The lowest type that is seen, as a share of the shorter side."""
    return page.evaluate(
        """() => Math.min(...[...document.querySelectorAll(".now *")]
          .filter((one) => [...one.childNodes].some((each) => each.data && each.data.trim()))
          .map((one) => parseFloat(getComputedStyle(one).fontSize)))
          / Math.min(innerWidth, innerHeight)"""
    )


@pytest.mark.parametrize("theme", theme_names())
def test_a_whole_round_shows_every_line_whole_in_large_type(browser, built, theme):
    address = (built(theme) / "screen.html").as_uri()
    for width, height in SIZES if theme == "standard" else SIZES[:1]:
        page, complaints, _ = opened(browser, width, reduced_motion="reduce")
        page.set_viewport_size({"width": width, "height": height})
        page.goto(address)
        page.locator(".now").wait_for()
        every = page.evaluate("[...document.querySelectorAll('li')].map((row) => row.textContent)")
        seen: list[str] = []
        while len(seen) < len(every):
            now = rows_shown(page)
            assert now
            assert now == every[len(seen) : len(seen) + len(now)]
            assert smallest(page) >= 0.0499
            seen += now
            page.keyboard.press("ArrowRight")
        assert rows_shown(page)[0] == every[0]
        assert page.evaluate("[scrollY, document.documentElement.scrollHeight > innerHeight]") == [
            0, False,
        ]  # fmt: skip
        assert page.evaluate("getComputedStyle(document.body).colorScheme") == "dark"
        assert not complaints


def test_the_leader_is_read_where_the_display_is_a_tenth_as_large(browser, built):
    page, _, _ = opened(browser, 1920)
    page.set_viewport_size({"width": 1920, "height": 1080})
    page.goto((built("standard") / "screen.html").as_uri())
    page.locator(".now").wait_for()
    for part in (".who b", ".sum"):
        size = page.evaluate(
            f"parseFloat(getComputedStyle(document.querySelector('.now .leader {part}')).fontSize)"
        )
        assert size / 10 >= 11


def test_without_script_all_panels_stand_below_each_other(browser, built):
    page, _, _ = opened(browser, 1280, java_script_enabled=False)
    page.goto((built("standard") / "screen.html").as_uri())
    panels = page.locator(".panel")
    assert panels.count() > 6
    tops = panels.evaluate_all("each => each.map(one => one.getBoundingClientRect().top)")
    assert tops == sorted(set(tops))
    assert panels.last.is_visible()


def test_it_turns_by_itself_and_a_key_holds_it(browser, built):
    page, _, _ = opened(browser, 1280, clock=True)
    page.goto((built("standard") / "screen.html").as_uri())
    page.locator(".now").wait_for()
    title = "document.querySelector('.now li:not([hidden])').textContent"
    first = page.evaluate(title)
    page.clock.run_for(101_000)
    second = page.evaluate(title)
    assert second != first
    page.keyboard.press(" ")
    page.clock.run_for(500_000)
    assert page.evaluate(title) == second
    page.keyboard.press(" ")
    assert page.evaluate(title) != second
    assert (built("standard") / "static").is_dir()
    script = next((built("standard") / "static").glob("screen.*.js"))
    assert script.stat().st_size <= 3_000


def test_a_new_publication_is_shown_by_itself_with_what_came_first(browser, built, tmp_path):
    out = tmp_path / "out"
    shutil.copytree(built("standard"), out)
    with served(out) as address:
        page, complaints, _ = opened(browser, 1280, clock=True)
        page.goto(f"{address}screen.html")
        page.locator(".now").wait_for()
        assert page.locator(".now h2").text_content() != "Just in"
        held = (out / "screen.html").read_text("utf-8")
        told = held.replace('data-number="2"', 'data-number="3"').replace("9.400", "9.425")
        (out / "screen.html").write_text(told, "utf-8")
        news = (out / "news.json").read_text("utf-8")
        (out / "news.json").write_text(
            news.replace('"publication": 2', '"publication": 3'), "utf-8"
        )
        page.clock.run_for(21_000)
        page.locator(".now.came").wait_for()
        assert "9.425" in page.locator("main").text_content()
        assert not complaints


@pytest.mark.parametrize("theme", theme_names())
def test_nothing_is_found_on_the_pages_of_a_running_meet(browser, built, theme):
    with served(built(theme)) as address:
        page, _, _ = opened(browser, 1280, reduced_motion="reduce")
        shown, read = (
            ("index", "just-in", "corrections", "embed/evening/all-around", "screen"),
            "[]",
        )
        for kind in shown:
            page.set_viewport_size({"width": 1280, "height": 800})
            page.emulate_media(color_scheme="light")
            page.goto(f"{address}{kind}.html")
            page.evaluate(AXE)
            if theme == "standard":
                assert found(page, None) == [], kind
            for scheme, width in (("light", 1280), ("dark", 320)):
                page.emulate_media(color_scheme=scheme)
                page.set_viewport_size({"width": width, "height": 800})
                wrong, read = page.evaluate(UNREAD, [DRAWN, read])
                assert wrong == [], (kind, scheme, width)
            assert page.evaluate("document.documentElement.scrollWidth") <= 320
