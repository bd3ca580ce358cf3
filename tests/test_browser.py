"""Pages in a real browser: nothing scrolls sideways, nothing is blocked, no script is needed."""

from __future__ import annotations

from pathlib import Path

import pytest
from browsing import opened, served
from playwright.sync_api import expect

from resultsgen.theme.theme import theme_names

KINDS = (
    "index.html",
    "competitions/women-senior-qualification/index.html",
    "competitions/women-senior-qualification/all-around.html",
    "competitions/women-senior-qualification/vt.html",
    "competitions/women-senior-qualification/team.html",
    "competitions/women-senior-qualification/qualification.html",
    "competitions/women-senior-qualification/start-list.html",
    "competitions/men-senior-qualification/all-around.html",
    "gymnasts/index.html",
    "gymnasts/women-101.html",
    "clubs/index.html",
    "clubs/gf-bravalda.html",
    "pages/recap.html",
    "pages/press.html",
    "rules.html",
    "downloads.html",
)


@pytest.fixture(scope="module", params=theme_names())
def site(request, sites) -> Path:
    return sites(request.param)


@pytest.fixture(scope="module")
def address(site):
    with served(site) as there:
        yield there


def test_no_page_scrolls_sideways_or_makes_the_browser_complain(browser, address):
    page, complaints, asked = opened(browser, 320)
    for kind in KINDS:
        page.set_viewport_size({"width": 320, "height": 800})
        page.goto(address + kind)
        for width in (320, 390, 768, 1280):
            page.set_viewport_size({"width": width, "height": 800})
            assert page.evaluate("document.documentElement.scrollWidth") <= width, (kind, width)
    assert complaints == []
    assert all(one.startswith(address) for one in asked)


EDGES = """selector => {
    const seen = [...document.querySelectorAll(selector)].filter(one => one.offsetHeight);
    return [...new Set(seen.map(one => Math.round(one.getBoundingClientRect().right)))];
}"""


def test_a_gymnasts_page_has_one_right_edge_and_her_marks_come_first(browser, address):
    for width in (390, 1280):
        page, _, _ = opened(browser, width, java_script_enabled=False)
        page.goto(address + "gymnasts/women-102.html")
        assert len(page.evaluate(EDGES, ".person :is(.scroll, .entry, .explained, .tellings)")) == 1
        assert page.locator(".matrix tbody tr").first.bounding_box()["y"] <= 400
        parts = page.locator(".entry table").first
        assert not parts.is_visible()
        page.locator(".entry summary").first.click()
        assert parts.is_visible()
        assert len(page.evaluate(EDGES, ".person :is(.scroll, .entry, figure, .tellings)")) == 1


def test_what_has_an_edge_ends_at_the_same_right_edge_on_pages_of_lists(browser, address):
    page, _, _ = opened(browser, 1280)
    boxes = "main :is(.chapters, .list, .scroll, .explained, .corrected)"
    for of in ("all-around", "team", "qualification", "start-list"):
        page.goto(f"{address}{LISTS}{of}.html")
        assert len(page.evaluate(EDGES, boxes)) == 1, of
    page.goto(f"{address}{LISTS}standings.html")
    # A theme may set pictures beside the tables.
    for boxes in (".chapters, .standing", ".standing .scroll, .turn", ".standing, .pictures"):
        assert len(page.evaluate(EDGES, boxes)) == 1, boxes


MOVED = """() => new Promise(told => {
    let sum = 0;
    new PerformanceObserver(list => {
        for (const entry of list.getEntries()) sum += entry.value;
    }).observe({type: "layout-shift", buffered: true});
    setTimeout(() => told(sum), 60) })"""


@pytest.mark.parametrize("width", [320, 1280])
def test_a_page_asks_for_few_files_and_nothing_moves_once_it_is_seen(browser, address, width):
    for kind in (
        "index.html",
        "competitions/women-senior-qualification/all-around.html",
        "gymnasts/index.html",
        "gymnasts/women-101.html",
    ):
        moved = []
        # A busy machine may be late with the font once; what is built so is so every time.
        while len(moved) < 4 and 0 not in moved:
            page, complaints, asked = opened(browser, width)
            page.goto(address + kind)
            page.evaluate("document.fonts.ready")
            moved.append(page.evaluate(MOVED))
            # Page, style sheet with the fonts, script, logo; the icon is asked for by itself.
            assert len(asked) <= 5, asked
            assert complaints == []
        assert 0 in moved, (kind, moved)


def test_a_page_works_from_a_folder_without_script(browser, site):
    page, complaints, asked = opened(browser, 390, java_script_enabled=False)
    page.goto((site / "index.html").as_uri())
    page.click("text=Women senior, qualification >> nth=0")
    page.click(".chapters >> text=All-around")
    expect(page.locator("h1")).to_have_text("All-around")
    page.click("tbody tr:first-child th a")
    assert page.locator("h1").count() == 1
    assert page.locator("table").count() >= 1
    assert complaints == []
    assert all(one.startswith("file:") for one in asked)


def test_the_font_of_the_theme_is_used(browser, address):
    page, _, _ = opened(browser, 1280)
    page.goto(address + "index.html")
    page.evaluate("document.fonts.ready")
    loaded = page.evaluate("[...document.fonts].map(font => font.status)")
    # A theme may have one of its own for titles.
    assert len(loaded) in (2, 3)
    assert set(loaded) == {"loaded"}


@pytest.mark.parametrize("width", [320, 1280])
def test_a_table_of_a_text_page_sets_its_columns_as_written_and_breaks_no_figure(
    browser, address, width
):
    page, _, _ = opened(browser, width)
    page.goto(address + "pages/press.html")
    row = page.locator(".text table tbody tr").first
    set_as = row.evaluate("row => [...row.cells].map(cell => getComputedStyle(cell).textAlign)")
    assert set_as == ["left", "left", "right", "right"]
    page.goto(address + "pages/information.html")
    lines = page.evaluate("""[...document.querySelectorAll(".text tbody td:nth-child(2)")].map(
        cell => { const words = document.createRange(); words.selectNodeContents(cell);
                  return words.getClientRects().length })""")
    assert lines == [1] * 8


@pytest.mark.parametrize("width", [320, 390])
def test_place_name_and_total_stay_in_view_on_a_phone(browser, address, width):
    page, _, _ = opened(browser, width)
    page.goto(address + "competitions/men-senior-qualification/all-around.html")
    region = page.locator(".scroll")
    assert region.evaluate("region => region.scrollWidth > region.clientWidth")
    for left in (0, 150, 10_000):
        region.evaluate("(region, left) => region.scrollLeft = left", left)
        boxes = [page.locator(f"tbody tr:first-child .{kind}").bounding_box()
                 for kind in ("place", "name", "total")]  # fmt: skip
        assert all(box["x"] >= -1 and box["x"] + box["width"] <= width + 1 for box in boxes), left
        assert boxes[1]["x"] + boxes[1]["width"] <= boxes[2]["x"]
    # What lies half below the total fades, and the last mark stands clear of that.
    faded = page.locator("tbody tr:first-child .total").evaluate(
        "cell => parseFloat(getComputedStyle(cell, '::before').width)"
    )
    last = page.locator("tbody tr:first-child .mark").last
    padding = last.evaluate("cell => parseFloat(getComputedStyle(cell).paddingRight)")
    assert 0 < faded <= padding
    # D and E stand in a line each at most.
    assert page.locator("tbody tr:first-child .grid").first.bounding_box()["height"] <= 36
    # Between name and total at least one whole mark is seen at a time.
    mark = page.locator("tbody tr:first-child .mark").first.bounding_box()
    assert boxes[2]["x"] - boxes[1]["x"] - boxes[1]["width"] >= mark["width"] - 1
    name = page.locator("tbody .name a", has_text="Zwetschkenrieth")
    lines = """name => { const word = new Range(); word.selectNodeContents(name.firstChild);
                         return word.getClientRects().length }"""
    assert name.evaluate(lines) == 1


def test_the_first_tab_reaches_the_skip_link_and_the_table_can_be_scrolled_by_keys(
    browser, address
):
    page, _, _ = opened(browser, 390)
    page.goto(address + "competitions/men-senior-qualification/all-around.html")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"
    page.locator(".scroll").focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_timeout(500)
    assert page.locator(".scroll").evaluate("region => region.scrollLeft") > 0


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_page_follows_the_readers_choice_of_light_or_dark(browser, site, address, scheme):
    page, _, _ = opened(browser, 1280, color_scheme=scheme)
    page.goto(address + "index.html")
    colour = page.evaluate("getComputedStyle(document.body).backgroundColor")
    red, green, blue = (int(part) for part in colour[4:-1].split(","))
    assert (red + green + blue > 600) == (scheme == "light")


def test_the_head_of_a_table_stays_while_the_page_scrolls(browser, address):
    page, _, _ = opened(browser, 1280)
    page.goto(address + "competitions/women-senior-qualification/all-around.html")
    page.evaluate("scrollTo({top: 900, behavior: 'instant'})")
    assert page.evaluate("scrollY") > 800
    assert page.locator("thead th").first.bounding_box()["y"] == pytest.approx(0, abs=1)


LISTS = "competitions/women-senior-qualification/"
SEEN = """() => [...document.querySelectorAll("main tbody tr")]
    .map(row => row.getBoundingClientRect())
    .filter(box => box.bottom <= innerHeight).map(box => box.top)"""


@pytest.mark.parametrize("script", [True, False])
def test_the_head_of_a_list_leaves_the_screen_to_its_rows(browser, address, script):
    page, _, _ = opened(browser, 390, java_script_enabled=script)
    page.set_viewport_size({"width": 390, "height": 844})
    for of, lowest in (
        (LISTS + "all-around.html", 340),
        (LISTS + "qualification.html", 420),
        (LISTS + "standings.html", 420),
        ("competitions/men-senior-qualification/standings.html", 420),
        ("competitions/women-senior-all-around/all-around.html", 340),
    ):
        page.goto(address + of)
        assert page.evaluate(SEEN)[0] <= lowest, of
    page.set_viewport_size({"width": 1280, "height": 800})
    page.goto(address + LISTS + "all-around.html")
    assert len(page.evaluate(SEEN)) >= 9
    for of in ("women-senior-qualification", "men-senior-qualification"):
        page.goto(address + f"competitions/{of}/all-around.html")
        heights = "rows => rows.map(row => row.offsetHeight)"
        rows = page.locator("tbody tr:not(.drawn, .ended)")
        assert max(rows.evaluate_all(heights)) <= 44, of


def test_the_way_one_is_on_is_in_view_on_a_phone_and_each_is_large_enough_to_be_hit(
    browser, address
):
    page, _, _ = opened(browser, 320)
    page.goto(address + LISTS + "start-list.html")
    sides = "links => links.flatMap(link => [link.offsetWidth, link.offsetHeight])"
    assert min(page.locator(".strip a, .tools select").evaluate_all(sides)) >= 24
    for of, strip in ((LISTS, ".chapters"), ("competitions/women-senior-apparatus/", ".thread")):
        page.goto(f"{address}{of}start-list.html")
        here = page.locator(f"{strip} [aria-current]").bounding_box()
        assert here["x"] >= 0
        assert here["x"] + here["width"] <= 320
    # The field of the search shows one word; once somebody types, it takes the whole line.
    word = "field => getComputedStyle(field, '::before').content"
    assert '"Find"' in page.locator(".find").evaluate(word)
    page.locator(".find input").focus()
    field = page.locator(".find input").bounding_box()
    assert field["width"] > 250
    assert page.locator(".find").evaluate(word) == "none"
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    for width in (780, 900, 1280):
        page.set_viewport_size({"width": width, "height": 800})
        page.goto(address + "competitions/men-senior-qualification/all-around.html")
        assert all(page.locator(f"{one} :is(ul, ol)").evaluate("one => one.offsetHeight") <= 44
                   for one in (".chapters", ".thread")), width  # fmt: skip
        assert page.locator("tbody tr:first-child .cut").bounding_box()["x"] < width - 32, width


def test_who_comes_from_a_title_sees_the_row_and_whose_list_it_is(browser, address):
    page, _, _ = opened(browser, 390)
    page.goto(address + "index.html")
    page.locator(".board dt a", has_text="Balance Beam").first.click()
    row = page.locator("tr:target")
    expect(row).to_be_in_viewport()
    expect(page.locator("h1")).to_be_in_viewport()
    expect(row.locator(".place")).to_have_text("1")


def test_the_parts_of_marks_stand_on_columns_of_their_own(browser, address):
    page, _, _ = opened(browser, 1280)
    for of in ("women-senior-qualification", "men-senior-qualification"):
        page.goto(address + f"competitions/{of}/all-around.html")
        edges = """(cells, part) => [...new Set(cells.map(cell => cell.querySelector(part))
            .filter(Boolean).map(one => Math.round(one.getBoundingClientRect().left)))]"""
        cells = page.locator("tbody td:nth-child(3)")
        found = [len(cells.evaluate_all(edges, part)) for part in (".pl", "em")]
        assert found[0] == 1
        assert found[1] <= 1
        ends = """cells => [...new Set(cells.map(cell => cell.querySelector(".grid")?.firstChild)
            .filter(Boolean).map(text => { const range = new Range();
                range.setStart(text, 0); range.setEnd(text, text.data.trimEnd().length);
                const box = range.getBoundingClientRect();
                return `${Math.round(box.left)} ${Math.round(box.right)}` }))]"""
        assert len(cells.evaluate_all(ends)) == 1


def test_forced_colours_leave_the_current_place_the_medals_the_cut_and_the_focus(browser, address):
    page, _, _ = opened(browser, 1280, forced_colors="active")
    page.goto(address + "competitions/women-senior-apparatus/bb.html")
    current = page.locator(".strip a, .band .more summary").evaluate_all(
        """links => links.map(one => [one.hasAttribute("aria-current"),
            getComputedStyle(one).borderBottomColor !== "rgb(255, 255, 255)"])"""
    )
    assert all(here == seen for here, seen in current), current
    medals = page.locator(".podium > .place").evaluate_all(
        """cells => cells.map(cell => {
            const disc = getComputedStyle(cell, "::before");
            const bar = getComputedStyle(cell).borderLeftWidth;
            return [bar, disc.backgroundColor, disc.borderTopWidth].join(" ");
        })"""
    )
    assert len(set(medals)) == len(medals) == 3
    page.goto(address + LISTS + "all-around.html")
    linked = page.locator("tbody tr").nth(1)
    around = """row => [...row.cells].map(cell => getComputedStyle(cell))
        .map(cell => `${cell.borderTopWidth} ${cell.borderBottomWidth}`).join(" ")"""
    seen = linked.evaluate(around)
    page.evaluate("id => location.hash = id", linked.get_attribute("id"))
    assert linked.evaluate(around) != seen, "the row that a link leads to is marked"
    plain = page.locator("tbody tr").nth(2)
    assert page.locator(".drawn").evaluate(around) != plain.evaluate(around)
    for kind in (".skip", ".ways a", ".find input", ".thread a", ".chapters a", "select",
                 "thead button", ".scroll", ".name a"):  # fmt: skip
        page.keyboard.press("Tab")  # so that the browser shows what has the focus
        page.locator(kind).first.focus()
        ring = page.locator(kind).first.evaluate(
            "one => [getComputedStyle(one).outlineStyle, getComputedStyle(one).outlineColor]"
        )
        assert ring[0] == "solid", kind
        assert ring[1] != "rgb(255, 255, 255)", kind


def test_the_cut_is_drawn_in_the_official_order_and_in_no_other(browser, address):
    page, _, _ = opened(browser, 390)
    page.goto(address + LISTS + "all-around.html")
    style = """row => {
        const line = getComputedStyle(row.cells[1]);
        return `${line.borderBottomWidth} ${line.borderBottomStyle}`;
    }"""
    drawn = page.locator(".drawn")
    assert drawn.evaluate_all("rows => rows.length") == 1
    cut = drawn.evaluate(style)
    assert cut in ("5px double", "4px dashed", "3px solid")
    below = page.locator(".drawn ~ .ended > .name")
    assert below.evaluate("name => getComputedStyle(name, '::after').content") == '"Reserves"'
    page.locator("thead .total button").click()
    assert drawn.evaluate(style) == "1px solid"
    assert below.evaluate("name => getComputedStyle(name, '::after').content") == "none"
    page.locator(".tools button").click()
    assert drawn.evaluate(style) == cut


def test_a_start_list_without_apparatus_keeps_its_names_beside_their_numbers(browser, address):
    page, _, _ = opened(browser, 1280)
    for final in ("apparatus", "team"):
        page.goto(f"{address}competitions/women-senior-{final}/start-list.html")
        row = page.locator("tbody tr").first
        bib, name = row.locator(".text").first.bounding_box(), row.locator(".name").bounding_box()
        assert bib["width"] < 120
        assert name["x"] < 320
