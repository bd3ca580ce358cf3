"""What the script adds to the pages: lists that are sorted and narrowed, names that are found."""

from __future__ import annotations

import json
import re

import pytest
from browsing import opened, served
from folders import write_folder
from playwright.sync_api import expect
from test_site import built

ALL_AROUND = "competitions/men-senior-qualification/all-around.html"


@pytest.fixture(scope="module")
def address(sites):
    with served(sites("standard")) as there:
        yield there


def column(page, number: int) -> list[str]:
    """What leads somewhere in every cell of a column that is shown, or else its whole text."""
    return page.evaluate(
        """number => [...document.querySelectorAll("tbody tr:not([hidden])")]
            .map(row => row.cells[number])
            .map(cell => (cell.querySelector("a") || cell).textContent.trim())""",
        number,
    )


def figures(texts: list[str]) -> list[int | None]:
    """Marks in thousandths; None where there is none."""
    found = (re.match(r"\d+\.\d{3}", text) for text in texts)
    return [int(one.group().replace(".", "")) if one else None for one in found]


def press(page, head: int) -> None:
    page.locator("thead").first.locator("button").nth(head).click()


def test_a_mark_is_sorted_highest_first_then_lowest_then_officially_again(browser, address):
    page, complaints, _ = opened(browser, 1280)
    page.goto(address + ALL_AROUND)
    official = column(page, 1)
    heads = page.locator("thead th")
    for order, backwards in (("descending", True), ("ascending", False)):
        press(page, 3)
        assert heads.nth(3).get_attribute("aria-sort") == order
        assert page.locator("[aria-sort]").count() == 1
        marks = figures(column(page, 3))
        there = [mark for mark in marks if mark is not None]
        assert there == sorted(there, reverse=backwards)
        # Who has no mark stands last either way.
        assert marks[len(there) :] == [None] * (len(marks) - len(there))
        assert order in page.inner_text(".tools [role=status]")
        names = column(page, 1)
        for mark in set(there):
            equal = [name for name, one in zip(names, marks, strict=True) if one == mark]
            assert equal == sorted(equal, key=official.index)
    press(page, 3)
    assert column(page, 1) == official
    assert page.locator("[aria-sort]").count() == 0
    assert complaints == []


def test_places_are_sorted_as_numbers_and_names_as_the_language_does(browser, address):
    page, _, _ = opened(browser, 1280)
    page.goto(address + ALL_AROUND)
    press(page, 1)
    names = column(page, 1)
    ordered = page.evaluate("names => [...names].sort(new Intl.Collator('en').compare)", names)
    assert names == ordered
    assert names != sorted(names)
    press(page, 0)
    found = (re.match(r"\d+", text) for text in column(page, 0))
    places = [int(place.group()) for place in found if place]
    assert places == sorted(places)
    assert places[-1] >= 10


def test_a_team_keeps_its_gymnasts_when_teams_are_sorted(browser, address):
    page, _, _ = opened(browser, 1280)
    page.goto(address + "competitions/women-senior-qualification/team.html")
    teams = """() => { const found = {}; let team;
        for (const row of document.querySelectorAll("tbody tr")) {
            const name = row.cells[1].textContent;
            if (row.classList.contains("team")) found[team = name] = [];
            else found[team].push(name);
        } return found }"""
    before = page.evaluate(teams)
    press(page, 1)
    after = page.evaluate(teams)
    assert after == before
    assert list(after) != list(before)


def test_a_list_is_narrowed_and_comes_back(browser, address):
    page, _, _ = opened(browser, 390)
    page.goto(address + "gymnasts/index.html")
    everybody = column(page, 1)
    clubs = page.locator("select[aria-label=Club]")
    club = clubs.locator("option").nth(3).inner_text()
    clubs.select_option(label=club)
    assert set(column(page, 2)) == {club}
    shown = len(column(page, 1))
    assert f"{shown} of {len(everybody)} shown" in page.inner_text(".tools [role=status]")
    page.click("text=Official order")
    assert column(page, 1) == everybody
    assert clubs.input_value() == ""


def test_a_filter_is_there_only_where_a_list_has_more_than_one(browser, address):
    page, _, _ = opened(browser, 1280)
    page.goto(address + ALL_AROUND)
    for select in page.locator(".tools select").all():
        assert select.locator("option").count() > 2
    page.goto(address + "clubs/index.html")
    assert page.locator(".tools select").count() == 0


@pytest.mark.parametrize("way", ["http", "file"])
def test_a_gymnast_is_found_by_keys_from_any_page_without_accents(browser, address, sites, way):
    page, complaints, _ = opened(browser, 390)
    start = address if way == "http" else sites("standard").as_uri() + "/"
    page.goto(start + ALL_AROUND)
    field = page.get_by_role("combobox", name="Find a gymnast, club, bib or list")
    field.focus()
    page.keyboard.type("tjarn")
    page.get_by_role("option").first.wait_for()
    assert field.get_attribute("aria-expanded") == "true"
    assert "Tjärnlöv Sørin" in page.get_by_role("option").first.inner_text()
    page.keyboard.press("ArrowDown")
    active = field.get_attribute("aria-activedescendant")
    assert page.locator(f"#{active}").get_attribute("aria-selected") == "true"
    page.keyboard.press("Enter")
    page.wait_for_url("**/gymnasts/*.html")
    expect(page.locator("h1")).to_have_text("Tjärnlöv Sørin")
    assert complaints == []


def test_escape_closes_what_was_found_and_then_empties_the_field(browser, address):
    page, _, _ = opened(browser, 1280)
    page.goto(address + "index.html")
    field = page.locator(".find input")
    field.focus()
    page.keyboard.type("226")
    page.get_by_role("option").first.wait_for()
    page.keyboard.press("Escape")
    assert page.get_by_role("option").count() == 0
    assert field.get_attribute("aria-expanded") == "false"
    assert field.input_value() == "226"
    page.keyboard.press("Escape")
    assert field.input_value() == ""
    page.keyboard.type("nobody-is-called-so")
    assert page.inner_text(".find [role=status]") == "Nothing of this name or bib."


def test_the_names_come_with_the_first_focus_and_nothing_is_remembered(browser, address):
    page, _, asked = opened(browser, 1280)
    page.goto(address + "index.html")
    assert not [one for one in asked if "names" in one]
    page.locator(".find input").focus()
    page.wait_for_function("document.querySelector('script[src*=names]')")
    page.goto(address + ALL_AROUND)
    press(page, 2)
    kept = page.evaluate("[localStorage.length, sessionStorage.length, document.cookie]")
    assert kept == [0, 0, ""]
    page.reload()
    assert page.locator("[aria-sort]").count() == 0


def test_without_script_there_is_no_control_and_every_row(browser, address):
    page, _, _ = opened(browser, 390, java_script_enabled=False)
    page.goto(address + ALL_AROUND)
    assert page.locator("button, select, input").count() == 0
    assert not page.locator(".find").is_visible()
    assert not page.locator(".tools").is_visible()
    assert page.locator("tbody tr").count() == 18


def test_the_names_are_those_of_the_roster_and_lead_to_their_pages(sites):
    site = sites("standard")
    (file,) = site.glob("static/names.*.js")
    told = json.loads(re.search(r"detail:(.*)\}\)\);", file.read_text(encoding="utf-8")).group(1))
    for folder in ("clubs", "gymnasts"):
        pages = {page.stem for page in (site / folder).glob("*.html")} - {"index"}
        assert {one[0] for one in told[folder]} == pages
    lists = {one[0] for one in told["pages"] if one[0].startswith("competitions/")}
    assert lists == {str(one.relative_to(site)) for one in (site / "competitions").rglob("*.html")}
    greek = next(one for one in told["gymnasts"] if one[1].startswith("Κυματοφώτη"))
    assert greek[-1] == "Kymatofoti Evanthia"


@pytest.mark.parametrize(
    ("typed", "name", "sub", "leads"),
    [
        ("evanthia kymatofoti", "Κυματοφώτη Ευανθία", "ΓΣ", "/gymnasts/*.html"),
        ("all-around men qual", "Men", "List", "/" + ALL_AROUND),
        ("rules", "Rules", "Page", "/rules.html"),
    ],
)
def test_names_in_latin_letters_lists_and_pages_are_found(
    browser, address, typed, name, sub, leads
):
    page, complaints, _ = opened(browser, 1280)
    page.goto(address + "index.html")
    page.locator(".find input").focus()
    page.keyboard.type(typed)
    first = page.get_by_role("option").first
    expect(first).to_contain_text(name)
    expect(first).to_contain_text(sub)
    page.keyboard.press("Enter")
    page.wait_for_url("**" + leads)
    assert complaints == []


LONG = """
    == meet.toml ==
    title = "A long list"

    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["VT", "FX"]
    ranks = ["all-around"]
    == roster.csv ==
    bib,family_name,given_name,club
    {roster}
    == marks.csv ==
    bib,apparatus,mark
    {marks}
    """


@pytest.fixture(scope="module")
def long_list(tmp_path_factory):
    """A list of 300, so that it comes in sections: the vaults run against the totals."""
    bibs = range(1, 301)
    roster = "\n    ".join(f"{bib},Gymnast {bib:03},Ada,Club {bib % 7}" for bib in bibs)
    marks = "\n    ".join(
        f"{bib},VT,{8 + bib / 1000:.3f}\n    {bib},FX,{14 - bib / 500:.3f}" for bib in bibs
    )
    folder = write_folder(
        tmp_path_factory.mktemp("long"), LONG.replace("{roster}", roster).replace("{marks}", marks)
    )
    with served(built(folder, tmp_path_factory.mktemp("site"))) as there:
        yield there + "competitions/women/all-around.html"


def test_a_long_list_comes_in_sections_with_heads_and_is_sorted_across_them(browser, long_list):
    page, complaints, _ = opened(browser, 1280)
    page.goto(long_list)
    rows = "tables => tables.map(table => table.tBodies[0].rows.length)"
    sections = page.locator(".section table")
    assert sections.evaluate_all(rows) == [50] * 6
    captions = page.locator("caption").all_text_contents()
    told = [caption.partition(", ")[2] for caption in captions]
    assert told == [f"{first} to {first + 49}" for first in range(1, 301, 50)]
    widths = sections.evaluate_all(
        "tables => tables.map(t => [...t.rows[0].cells].map(cell => cell.offsetWidth).join())"
    )
    assert len(set(widths)) == 1
    press(page, 2)
    vaults = figures(column(page, 2))
    assert len(vaults) == 300
    assert vaults == sorted(vaults, reverse=True)
    assert page.locator("[aria-sort]").count() == 6
    # Narrowed to a club of 43, one section is left.
    page.locator("select").select_option(index=2)
    assert len(column(page, 1)) == 43
    assert page.locator(".section:visible").count() == 1
    assert complaints == []


def test_the_total_of_a_long_list_stays_in_view_on_a_phone(browser, long_list):
    page, _, _ = opened(browser, 320)
    page.goto(long_list)
    for kind in ("place", "name", "total"):
        box = page.locator(f"tbody tr:first-child .{kind}").first.bounding_box()
        assert box["x"] >= 0, kind
        assert box["x"] + box["width"] <= 320, kind
        assert box["width"] > 30, kind


def test_a_link_into_a_long_list_reaches_its_row(browser, long_list):
    page, _, _ = opened(browser, 390, reduced_motion="reduce")
    page.goto(long_list)
    last = page.locator("tbody tr").last.get_attribute("id")
    page.goto(f"{long_list}#{last}")
    page.wait_for_timeout(300)
    box = page.locator(f"#{last}").bounding_box()
    assert 0 <= box["y"] <= 800
