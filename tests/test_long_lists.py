"""Lists too long for one page: what pages weigh, where rows are, and how all of them sort."""

from __future__ import annotations

import csv
import gzip
from dataclasses import replace
from itertools import chain, pairwise
from pathlib import Path

import pytest
from browsing import opened, served
from folders import judged
from hypothesis import given
from hypothesis import strategies as st
from long_meets import long_meet
from lxml import html
from playwright.sync_api import expect
from test_accessibility import ALIKE, AXE, DRAWN, found
from test_publications import MARKS, build, meet, page, with_mark, write_marks
from test_running_pages import EVENING
from test_scripts import column, figures, press
from test_site import EXAMPLE, followed_in, pages_of, parsed

from resultsgen.data import packing
from resultsgen.data.writing import write_exports
from resultsgen.files.cache import Cache, cache_folder
from resultsgen.theme.theme import find_theme, theme_names
from resultsgen.views.lists import page_parts
from resultsgen.views.lists.lists import list_parts, list_views
from resultsgen.views.lists.page_parts import PART, WHOLE, packed, parts_of_page
from resultsgen.views.lists.table import Cell, Column, Row, Table, TableNote
from resultsgen.views.live.costs import Explanation
from resultsgen.views.live.leads import leaders_so_far
from resultsgen.views.people.clubs import narrowed_table
from resultsgen.views.press.press import press_view
from resultsgen.views.site.site_map import addresses
from resultsgen.views.words.wording import Wording, wording
from resultsgen.website.look import cut_fonts, script, stylesheet
from resultsgen.website.pages import PAGES, Subject
from resultsgen.website.site_page import SitePage, in_parts
from resultsgen.website.writing import write_site

GYMNASTS = 900
LISTS = ("all-around", "vt", "ub", "bb", "fx", "team", "qualification", "standings", "start-list")


@pytest.fixture(scope="module")
def long(tmp_path_factory):
    """The results of a long meet."""
    return judged(long_meet(tmp_path_factory.mktemp("meet"), GYMNASTS))


@pytest.fixture(scope="module")
def site(long, tmp_path_factory):
    """Its pages and tables."""
    folder = tmp_path_factory.mktemp("site")
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(packing, "_workbook", lambda *_: b"")  # Nobody looks into them here.
        tables = write_exports(long, folder)
    write_site(long, find_theme("standard"), folder, tables=tables)
    return folder


def parts_in(site: Path, first: str) -> list[Path]:
    """The pages that a list comes in, as its first page names them."""
    page = site / first
    ways = parsed(page).xpath("//nav[contains(@class, 'all')]//a/@href")
    return [(page.parent / way).resolve() for way in ways]


# What they weigh


def test_every_page_of_a_long_meet_weighs_at_most_60_kilobytes_in_every_theme(site):
    texts = {str(one): one.read_text(encoding="utf-8") for one in pages_of(site)}
    heaviest = max(len(gzip.compress(text.encode(), 6)) for text in texts.values())
    assert heaviest > 15_000
    for name in theme_names():
        theme = find_theme(name)
        sheet = stylesheet(theme, cut_fonts(theme, "".join(texts.values()), Cache(cache_folder())))
        around = sum(len(gzip.compress(one.encode(), 6)) for one in (sheet, script(theme)))
        assert heaviest + around <= 60_000, name


def test_no_page_of_a_long_meet_has_more_than_6500_elements(site):
    # Two signs open and end an element: no other page can have more.
    many = [one for one in pages_of(site) if one.read_text("utf-8").count("<") > 6_000]
    assert many
    assert max(parsed(one).xpath("count(//*)") for one in many) <= 6_500


def test_the_rows_of_a_page_are_never_more_than_they_were_taken_for(site):
    """The estimate by columns and rows is above what was made of them."""
    for name in ("all-around", "vt", "team"):
        for one in parts_in(site, f"competitions/day/{name}.html"):
            whole = one.read_bytes()
            (notes,) = parsed(one).xpath("//ul[@class='notes']")
            without = len(gzip.compress(whole.replace(html.tostring(notes), b""), 6))
            assert without <= WHOLE, one


# Which pages there are, and what they are called


@pytest.mark.parametrize("name", LISTS)
def test_each_list_comes_in_parts_at_lasting_addresses(site, name):
    first = f"competitions/day/{name}.html"
    found = parts_in(site, first)
    below = [site / f"competitions/day/{name}.{n}.html" for n in range(2, len(found) + 1)]
    assert len(found) > 1
    assert found == [site / first, *below]
    ranges = [parsed(one).xpath("string(//h1/small)") for one in found]
    titles = [parsed(one).xpath("string(//title)") for one in found]
    assert len(set(ranges)) == len(set(titles)) == len(found)
    for words, title in zip(ranges, titles, strict=True):
        assert f" · {words} · " in title


def test_a_part_leads_to_those_beside_it_and_names_itself(site):
    found = parts_in(site, "competitions/day/all-around.html")
    base = "https://results.example.org/long/"
    for before, here, after in zip([None, *found], found, [*found[1:], None], strict=False):
        tree = parsed(here)
        (own,) = tree.xpath("//link[@rel='canonical']/@href")
        assert own == base + str(here.relative_to(site))
        for rel, other in (("prev", before), ("next", after)):
            ways = set(tree.xpath(f"//link[@rel='{rel}']/@href | //a[@rel='{rel}']/@href"))
            assert {(here.parent / way).resolve() for way in ways} == ({other} if other else set())
        current = tree.xpath("//nav[contains(@class, 'page-parts')]//a[@aria-current]/text()")
        first, last, of = tree.xpath("string(//h1/small)").replace(" to ", " of ").split(" of ")
        assert current == [f"{first}–{last}"] * 2
        assert int(of) == GYMNASTS
    assert str(found[-1].relative_to(site)) in (site / "sitemap.xml").read_text()


@pytest.mark.parametrize("address", ["medals.html", "records.html", "series.html"])
def test_a_part_belongs_where_its_page_does(address):
    whole, *parts = in_parts(SitePage(address, "", None), [(page_parts.ONLY, None)] * 3)
    assert {one.belongs for one in parts} == {whole.belongs}
    assert address in whole.belongs


def test_the_index_names_the_first_and_the_last_of_each_part(site):
    found = parts_in(site, "gymnasts/index.html")
    named = parsed(found[0]).xpath("//nav[contains(@class, 'all')]//small/text()")
    assert len(named) == len(found) > 1
    for one, ends in zip(found, named, strict=True):
        names = [a.text_content() for a in parsed(one).xpath("//tbody/tr/th/a")]
        assert ends == f"{names[0]} – {names[-1]}"
    letters = parsed(found[-1]).xpath("//nav[@class='letters']//a")
    firsts = [(a.text, *a.get("href").partition("#")[::2]) for a in letters]
    rows = [(one, row) for one in found for row in parsed(one).xpath("//tbody/tr")]
    expected: dict[str, tuple[Path, str]] = {}
    for one, row in rows:
        expected.setdefault(row.xpath("string(th/a)")[0], (one, row.get("id")))
    assert {
        letter: ((found[-1].parent / page).resolve() if page else found[-1], row)
        for letter, page, row in firsts
    } == expected


def test_a_large_club_has_its_recap_first_and_then_its_results(site):
    (second,) = (site / "clubs").glob("*.2.html")
    recap, *results = parts_in(site, f"clubs/{second.name.replace('.2.', '.')}")
    assert not parsed(recap).xpath("//table")
    assert "112 of the club" in parsed(recap).xpath("string(//dl[@class='cuts'])")
    rows = chain.from_iterable(parsed(one).xpath("//tbody/tr[@class]") for one in results)
    assert sum("team" in row.get("class") for row in rows) == GYMNASTS // 5 + 1
    assert not any(parsed(one).xpath("//textarea") for one in results)


def test_every_link_and_fragment_of_a_long_meet_leads_somewhere(site):
    assert followed_in(site, "https:") > 40_000


# Where the rows are


def exported(site: Path, name: str) -> list[dict[str, str]]:
    with (site / f"data/day/{name}.csv").open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize(
    ("name", "table"),
    [("all-around", "all-around"), ("vt", "apparatus-vt"), ("fx", "apparatus-fx")],
)
def test_all_parts_together_are_the_list_as_it_is_exported(site, name, table):
    rows = [
        (row.xpath("string(./td[@class='place'])")[:4].rstrip("abcdefghijklmnopqrstuvwxyz"), who)
        for one in parts_in(site, f"competitions/day/{name}.html")
        for row in parsed(one).xpath("//tbody/tr")
        for who in row.xpath("./th/a/@href")
    ]
    listed = exported(site, table)
    assert [place for place, _ in rows] == [one["place"] for one in listed]
    bibs = [who.rpartition("-")[2].removesuffix(".html") for _, who in rows]
    assert bibs == [one["bib"] for one in listed]


def test_no_team_is_parted_from_its_gymnasts(site):
    teams = 0
    for one in parts_in(site, "competitions/day/team.html"):
        kinds = [row.get("class").split()[0] for row in parsed(one).xpath("//tbody/tr")]
        heads = [number for number, kind in enumerate(kinds) if kind == "team"]
        assert heads[0] == 0
        sizes = [end - start - 1 for start, end in pairwise([*heads, len(kinds)])]
        assert set(sizes) <= {1, 4, 5}
        teams += len(heads)
    assert teams == GYMNASTS // 5 + 1


def test_a_gymnasts_page_leads_to_the_row_in_the_right_part(site):
    for bib in (1, 450, GYMNASTS):
        own = site / f"gymnasts/women-{bib}.html"
        ways = parsed(own).xpath("//tbody/tr/th/a/@href")
        assert len(ways) == 6
        for way in ways:
            path, _, row = way.partition("#")
            there = parsed((own.parent / path).resolve())
            (back,) = there.xpath(f"//tr[@id='{row}']/th/a/@href")
            assert back.endswith(f"/women-{bib}.html")


def test_an_incident_is_explained_in_the_part_of_its_row_and_takes_room(long):
    (view,) = (
        one for one in list_views(long.competitions[0], Wording()) if one.target.endswith("/VT")
    )
    targets = [row.cells[1].target for row in view.tables[0].rows]
    whole = list(list_parts(view, Wording()))
    told = tuple(
        Explanation("day", 0, ("VT",), "", target, "", (), (), ()) for target in targets[::2]
    )
    explained = list(list_parts(replace(view, explained=told), Wording()))
    assert len(explained) > 2 * len(whole)
    assert tuple(chain.from_iterable(one.explained for _, one in explained)) == told
    for _, one in explained:
        here = [row.cells[1].target for row in one.tables[0].rows]
        assert [each.target for each in one.explained] == [
            target for target in here if target in targets[::2]
        ]


def test_of_many_still_to_go_the_number_is_told(monkeypatch):
    results = judged(EVENING)
    (one,) = results.competitions
    named = list(leaders_so_far(results, one, Wording()))
    monkeypatch.setattr("resultsgen.views.live.leads.NAMED", 1)
    told = list(leaders_so_far(results, one, Wording()))
    assert len(told) == len(named) == 4
    for before, after in zip(named, told, strict=True):
        who, _, others = before.partition("; still to go: ")
        number = others.count(",") + 1
        assert after == (f"{who}; {number} are still to go." if number > 1 else before)


def test_each_part_has_the_notes_that_its_rows_call_for(site):
    for one in parts_in(site, "competitions/day/vt.html"):
        tree = parsed(one)
        called = {letter for cell in tree.xpath("//tbody//sup/text()") for letter in cell.split()}
        assert set(tree.xpath("//ul[@class='notes']/li/b/text()")) == called


def test_no_mark_moves_a_page(long, tmp_path):
    folder = long_meet(tmp_path, GYMNASTS)
    marks = (folder / "marks.csv").read_text().splitlines()
    marks[1] = ",".join([*marks[1].split(",")[:3], "9.000", "10.000", "0.000", "19.000"])
    (folder / "marks.csv").write_text("\n".join(marks) + "\n")
    changed = judged(folder)

    def made(results) -> tuple[list[str], str]:
        subject = Subject(
            results, wording(results.meet.settings), find_theme("standard"), addresses(results)
        )
        kinds = ("list.html", "standings.html", "announcer.html", "index.html")
        shown = [one for kind, pages in PAGES if kind in kinds for one in pages(subject)]
        return [one.address for one in shown], repr(shown[0].view)

    before, after = made(long), made(changed)
    assert before[0] == after[0]
    assert before[1] != after[1]


@given(st.lists(st.integers(0, WHOLE // 3), min_size=1, max_size=60))
def test_parts_follow_each_other_and_none_is_too_long(weights):
    held = list(packed(weights))
    assert [one for part in held for one in part] == list(range(len(weights)))
    assert all(sum(weights[one] for one in part) <= WHOLE for part in held)
    if sum(weights) <= WHOLE:
        assert len(held) == 1
    # None but the last could have taken the next one.
    for part, after in pairwise(held):
        assert sum(weights[one] for one in part) + weights[after.start] > PART


@given(st.lists(st.integers(0, 6), min_size=1, max_size=300))
def test_pieces_of_a_table_are_the_table(teams):
    rows = [
        Row((Cell(f"{team}-{n}"),), "member" if n else "team")
        for team, members in enumerate(teams)
        for n in range(members + 1)
    ]
    table = Table("t", "T", tuple(Column("", "mark") for _ in range(9)), tuple(rows))
    held = [piece.table for pieces in parts_of_page((table,)) for piece in pieces]
    assert [row for one in held for row in one.rows] == rows
    assert all(one.rows[0].kind == "team" for one in held)
    numbers = [(section.first, section.last) for one in held for section in one.sections]
    assert numbers[0][0] == 1
    assert numbers[-1][1] == len(teams)
    assert all(after == last + 1 for (_, last), (after, _) in pairwise(numbers))


def test_a_cell_that_calls_for_two_notes_has_both_wherever_its_row_stands():
    rows = tuple(Row((Cell(str(n), note=note),)) for n, note in enumerate(("a", "b c", "c")))
    notes = tuple(TableNote(mark, f"Note {mark}.") for mark in "abc")
    table = Table("t", "T", (Column("", "mark"),), rows, notes)
    narrowed = narrowed_table(table, rows[1:], Wording())
    assert [cell.note for row in narrowed.rows for cell in row.cells] == ["a b", "b"]
    assert [(note.mark, note.text) for note in narrowed.notes] == [
        ("a", "Note b."), ("b", "Note c."),
    ]  # fmt: skip


# In a browser


@pytest.fixture(scope="module")
def address(site):
    with served(site) as there:
        yield there


def told(page, words: str) -> None:
    page.locator(".tools [role=status]", has_text=words).wait_for()


@pytest.mark.parametrize("way", ["http", "file"])
def test_a_list_is_sorted_and_narrowed_over_all_its_parts(browser, site, address, way):
    page, complaints, asked = opened(browser, 1280)
    start = address if way == "http" else site.as_uri() + "/"
    page.goto(f"{start}competitions/day/all-around.2.html")
    shown = ".scroll:not([hidden]) tbody tr:not([hidden])"
    own = page.locator(shown).count()
    assert not [one for one in asked if "rows" in one]
    press(page, 2)
    told(page, "Sorted by Vault, descending.")
    marks = figures(column(page, 2))
    assert len(marks) == GYMNASTS
    assert marks == sorted(marks, reverse=True)
    assert [one for one in asked if "rows" in one]
    # Nothing on the page speaks of a part any more, and the first rows are at hand.
    assert page.locator(".page-parts:visible, .range:visible").count() == 0
    notes = page.locator(".notes b").all_text_contents()
    called = page.locator("td sup").all_text_contents()
    assert sorted(notes) == sorted(set(" ".join(called).split()))
    assert notes == sorted(notes, key=lambda letters: (len(letters), letters))
    club = page.locator("select[aria-label=Club]")
    club.select_option(index=3)
    name = club.locator("option").nth(3).inner_text()
    told(page, f"of {GYMNASTS} shown")
    kept = page.locator(shown).all_inner_texts()
    assert 0 < len(kept) < 40
    assert all(name in one for one in kept)
    page.click("text=Official order")
    told(page, "In the official order.")
    assert page.locator(shown).count() == own
    assert page.locator(".page-parts:visible").count() == 2
    assert page.inner_text("h1 small").startswith("151 to 300")
    assert complaints == []


def test_links_of_rows_from_other_parts_lead_to_their_pages(browser, site):
    page, _, _ = opened(browser, 1280)
    for kind in ("competitions/day/vt.html", "gymnasts/index.2.html"):
        page.goto((site / kind).as_uri())
        press(page, 1)
        told(page, "Sorted by Gymnast")
        found = page.locator("tbody a").evaluate_all("all => all.map(one => one.href)")
        assert len(found) >= GYMNASTS
        there = {one.as_uri() for one in pages_of(site)}
        assert set(found) <= there


def test_where_the_other_rows_do_not_come_the_page_says_so_and_sorts_its_own(browser, address):
    page, _, _ = opened(browser, 390)
    page.route("**/rows.*.js", lambda route: route.abort())
    page.goto(f"{address}competitions/day/all-around.2.html")
    own = len(column(page, 1))
    press(page, 2)
    told(page, "Only the rows of this page: the rest of the list could not be fetched.")
    marks = figures(column(page, 2))
    assert len(marks) == own
    assert marks == sorted(marks, reverse=True)
    assert page.locator(".page-parts:visible").count() == 2


def test_an_address_of_a_row_that_is_elsewhere_by_now_is_followed(browser, site, address):
    last = parts_in(site, "competitions/day/vt.html")[-1]
    row = parsed(last).xpath("//tbody/tr/@id")[-1]
    page, _, _ = opened(browser, 390)
    page.goto(f"{address}competitions/day/vt.html#{row}")
    page.wait_for_url(f"**/{last.name}#{row}")
    assert page.locator(f"#{row}").is_visible()


def test_without_script_the_parts_and_their_links_are_there(browser, address):
    page, _, _ = opened(browser, 390, java_script_enabled=False)
    page.goto(f"{address}competitions/day/all-around.html")
    page.locator(".page-parts.all a[rel=next]").click()
    expect(page.locator("h1 small")).to_have_text(f"151 to 300 of {GYMNASTS}")
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


@pytest.mark.parametrize("kind", ["day/all-around.2", "evening/announcer.2"])
def test_axe_finds_nothing_on_a_part(browser, address, kind):
    page, _, _ = opened(browser, 1280)
    page.goto(f"{address}competitions/{kind}.html")
    page.evaluate(AXE)
    assert found(page, None) == []
    for width in (320, 1280):
        page.set_viewport_size({"width": width, "height": 800})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.evaluate(ALIKE, "{}")
    for scheme, width in (("light", 1280), ("dark", 320)):
        page.emulate_media(color_scheme=scheme)
        page.set_viewport_size({"width": width, "height": 800})
        assert found(page, DRAWN) == [], (scheme, width)


# Publications, and several languages


def test_publications_that_moved_much_have_pages_of_their_own(tmp_path, monkeypatch):
    monkeypatch.setattr("resultsgen.views.corrections.corrections.WHOLE", 250)
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    build(folder)
    for new in ("9.100", "9.200", "9.300"):
        write_marks(folder, with_mark("1", "VT", new))
        out = build(folder)
    overview = parsed(out / "corrections.html")
    assert overview.xpath("//section/@id") == [f"publication-{n}" for n in (4, 3, 2, 1)]
    assert overview.xpath("//a[starts-with(@href, 'corrections/')]/@href") == [
        "corrections/3.html", "corrections/2.html",
    ]  # fmt: skip
    assert "9.1009.200" in page(out, "corrections/3.html").replace(" ", "")
    feed = (out / "feed.xml").read_text(encoding="utf-8")
    assert "/corrections.html#corrected-4-1" in feed
    assert "/corrections/3.html#corrected-3-1" in feed
    assert parsed(out / "corrections/3.html").xpath("//tr[@id='corrected-3-1']")


def test_a_page_tells_its_newest_corrections_and_how_many_more_there_are(tmp_path, monkeypatch):
    monkeypatch.setattr("resultsgen.views.corrections.corrections.TOLD", 2)
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    build(folder)
    for new in ("9.100", "9.200", "9.300", "9.400"):
        write_marks(folder, with_mark("1", "VT", new))
        out = build(folder)
    told = parsed(out / "competitions/women/vt.html").xpath("//section[@class='corrected']/p")
    sentences = [one.text_content() for one in told]
    assert "9.400 instead of 9.300" in sentences[0]
    assert "9.300 instead of 9.200" in sentences[1]
    assert sentences[2] == "2 corrections more."


def test_the_press_page_says_how_many_incidents_are_explained_elsewhere(monkeypatch):
    results = judged(EXAMPLE)
    whole = press_view(results, (), 3, Wording())
    assert whole.beside == ""
    monkeypatch.setattr("resultsgen.views.press.press.EXPLAINED", 1)
    view = press_view(results, (), 3, Wording())
    told = [sum(len(one.explained) for one in each.folded) for each in (whole, view)]
    more = told[0] - 1
    assert told[1] == 1
    assert view.beside == f"{more} routines more are explained on the pages of their lists."


def test_a_list_in_parts_is_sorted_in_each_language(browser, tmp_path, monkeypatch):
    monkeypatch.setattr(page_parts, "WHOLE", 7_000)
    monkeypatch.setattr(page_parts, "PART", 6_000)
    folder = long_meet(tmp_path / "meet", 120)
    settings = folder / "meet.toml"
    settings.write_text('languages = ["en", "fr"]\n' + settings.read_text())
    out = tmp_path / "out"
    write_site(judged(folder), find_theme("standard"), out)
    page, complaints, _ = opened(browser, 1280)
    page.goto((out / "fr/competitions/day/all-around.2.html").as_uri())
    assert page.inner_text("h1 small").endswith(" sur 120")
    press(page, 2)
    told(page, "Tri par")
    hrefs = page.locator("tbody a").evaluate_all("all => all.map(one => one.href)")
    assert len(hrefs) == 120
    assert set(hrefs) <= {one.as_uri() for one in (out / "fr").rglob("*.html")}
    other = page.locator(".languages a").first.get_attribute("href")
    assert other == "../../../competitions/day/all-around.2.html"
    assert complaints == []
