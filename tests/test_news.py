"""Open pages follow what is published: they ask their own host, and are exchanged in place."""

from __future__ import annotations

import json
import shutil
from copy import copy
from pathlib import Path

import pytest
from browsing import OFTEN, Quiet, opened, served
from folders import write_folder
from playwright.sync_api import Page, expect

from resultsgen.files.markup import GOES_ON, POLICY
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.publish import publish

EVENING = Path(__file__).parent / "example_evening"
LIST = "competitions/evening/vt.html"


class Running:
    """The evening while it is published mark by mark."""

    def __init__(self, folder: Path) -> None:
        self.meet, self.out = folder / "meet", folder / "out"
        shutil.copytree(EVENING, self.meet)
        self.marks = self.meet / "marks.csv"
        self.head, *self.rows = self.marks.read_text("utf-8").splitlines(keepends=True)
        self.publish(30)

    def copied(self, folder: Path) -> Running:
        """The same somewhere else."""
        other = copy(self)
        other.meet, other.out = folder / "meet", folder / "out"
        for one, there in ((self.meet, other.meet), (self.out, other.out)):
            shutil.copytree(one, there, symlinks=True)
        other.marks = other.meet / "marks.csv"
        return other

    def publish(self, many: int) -> None:
        self.marks.write_text(self.head + "".join(self.rows[:many]), encoding="utf-8")
        publish(self.meet, self.out, BuildOptions(books=False), lambda *_: None)


@pytest.fixture(scope="module")
def begun(tmp_path_factory) -> Running:
    return Running(tmp_path_factory.mktemp("begun"))


@pytest.fixture
def running(begun, tmp_path) -> Running:
    """A copy of the evening as it was begun."""
    return begun.copied(tmp_path)


def test_news_tell_the_publication_its_time_and_its_marks(running):
    told = json.loads((running.out / "news.json").read_text("utf-8"))
    time = "2031-11-07T20:05:00+01:00"
    assert told == {"publication": 1, "published": time, "marks": 30, "marks_in_all": 30}
    running.publish(33)
    told = json.loads((running.out / "news.json").read_text("utf-8"))
    assert told == {"publication": 2, "published": time, "marks": 3, "marks_in_all": 33}


def rows(page: Page) -> int:
    return page.locator("tbody td.total").filter(has_text=".").count()


def test_an_open_page_shows_the_next_publication_in_place(running, browser):
    """Sorted, narrowed, scrolled and with the focus somewhere, it stays so."""
    with served(running.out) as address:
        page, complaints, _ = opened(browser, 390, OFTEN)
        page.goto(address + LIST)
        page.evaluate("window.stays = true")
        page.locator("select").first.select_option(index=2)
        page.locator("thead button").nth(1).click()
        page.locator("tbody tr:not([hidden]) a").nth(2).focus()
        page.evaluate("scrollTo({top: 150, behavior: 'instant'})")
        focus = "document.activeElement.textContent"
        held, top = (
            page.evaluate(focus),
            "Math.round(document.activeElement.getBoundingClientRect().top)",
        )
        was, before = page.evaluate(top), rows(page)
        running.publish(36)
        expect(page.get_by_role("status").filter(has_text="New: 6 marks.")).to_be_visible()
        assert rows(page) > before
        assert page.locator("thead th").nth(1).get_attribute("aria-sort") == "ascending"
        assert page.locator("[aria-sort]").count() == 1
        assert page.locator("select").first.evaluate("one => one.selectedIndex") == 2
        assert page.evaluate(focus) == held
        assert abs(page.evaluate(top) - was) <= 1
        assert page.evaluate("window.stays")
        names = page.locator("tbody tr:not([hidden]) a").all_text_contents()
        assert names == sorted(names)
    assert complaints == []


def test_what_is_wrong_with_the_answer_is_no_matter_and_asked_again(running, browser):
    with served(running.out) as address:
        page, complaints, _ = opened(browser, 1280, OFTEN)
        page.goto(address + LIST)
        before = rows(page)
        page.route("**/news.json", lambda route: route.fulfill(status=404, body="gone"))
        page.wait_for_timeout(500)
        page.unroute("**/news.json")
        page.route(f"**/{LIST}", lambda route: route.fulfill(status=404, body="<main>gone</main>"))
        running.publish(36)
        page.wait_for_timeout(500)
        assert rows(page) == before
        page.unroute(f"**/{LIST}")
        expect(page.locator("tbody td.total").filter(has_text=".")).not_to_have_count(before)
    assert all("404" in one for one in complaints)


def test_a_host_that_calls_it_unchanged_hides_nothing(running, browser, monkeypatch):
    """Written in the same second as before, a file is the same to many a host."""
    answer = Quiet.send_head

    def unchanged(self):
        if not self.headers["If-Modified-Since"]:
            return answer(self)
        self.send_response(304)
        return self.end_headers()

    monkeypatch.setattr(Quiet, "send_head", unchanged)
    with served(running.out) as address:
        page, _, _ = opened(browser, 390, OFTEN)
        page.goto(address + LIST)
        before = rows(page)
        running.publish(36)
        expect(page.locator("tbody td.total").filter(has_text=".")).not_to_have_count(before)


def test_nothing_is_asked_from_a_folder(running, browser):
    page, complaints, asked = opened(browser, 1280, OFTEN)
    page.goto((running.out / "index.html").as_uri())
    page.wait_for_timeout(500)
    assert not [one for one in asked if "news" in one]
    assert complaints == []
    home = (running.out / "index.html").read_text("utf-8")
    assert f'content="{GOES_ON}"' in home


OFFICIAL = """
    == meet.toml ==
    title = "Cup"
    [status]
    state = "official"
    signed = [{ name = "A. Quill", role = "Judge" }]
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["VT"]
    == roster.csv ==
    bib,family_name
    1,Alder
    == marks.csv ==
    bib,apparatus,mark
    1,VT,13.100
    """


def test_official_pages_ask_for_nothing_and_may_not(tmp_path):
    publish(
        write_folder(tmp_path / "meet", OFFICIAL),
        tmp_path / "out",
        BuildOptions(books=False),
        lambda *_: None,
    )
    for path in (tmp_path / "out").rglob("*.html"):
        text = path.read_text("utf-8")
        assert (f'content="{POLICY}"' in text, "data-news" in text) == (True, False)
    assert (tmp_path / "out/news.json").exists()


def test_once_all_is_official_an_open_page_asks_no_more(browser, tmp_path):
    provisional = OFFICIAL.replace('"official"', '"provisional"').replace(
        "    signed", "    # signed"
    )
    meet, out, books = tmp_path / "meet", tmp_path / "out", BuildOptions(books=False)
    publish(write_folder(meet, provisional), out, books, lambda *_: None)
    with served(out) as address:
        page, complaints, asked = opened(browser, 1280, OFTEN)
        page.goto(address + "index.html")
        publish(write_folder(meet, OFFICIAL), out, books, lambda *_: None)
        expect(page.locator(".status.official")).to_be_visible()
        many = len(asked)
        page.wait_for_timeout(400)
        assert len(asked) == many
    assert complaints == []
