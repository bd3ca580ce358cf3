"""axe-core finds nothing on any kind of page: in every theme, light and wide, dark and narrow."""

from __future__ import annotations

import re
import subprocess
from importlib.resources import files
from itertools import chain

import pytest
from browsing import opened, served

from resultsgen.theme.theme import theme_names
from resultsgen.website.pages import PAGES

AXE = (files("axe_playwright_python") / "axe.min.js").read_text(encoding="utf-8")

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]

DRAWN = ["color-contrast", "target-size", "scrollable-region-focusable", "link-in-text-block"]
"""The rules whose answer depends on how wide the page is, and on its colours."""

BY_TEMPLATE = {
    "home.html": ("index.html",),
    "404.html": ("404.html",),
    "results.html": ("results.html",),
    "competition.html": ("competitions/women-senior-team/index.html",),
    "list.html": (
        "competitions/women-senior-all-around/all-around.html",
        "competitions/women-senior-team/team.html",
        "competitions/women-senior-qualification/qualification.html",
        "competitions/women-senior-team/start-list.html",
    ),
    "gymnast.html": ("gymnasts/women-101.html",),
    "index.html": ("clubs/index.html",),
    "club.html": ("clubs/orhegyes-te.html",),
    "text.html": ("pages/press.html",),
    "press.html": ("press.html",),
    "standings.html": ("competitions/women-senior-all-around/standings.html",),
    "announcer.html": ("competitions/women-senior-qualification/announcer.html",),
    "medals.html": ("medals.html",),
    "rules.html": ("rules.html",),
    "downloads.html": ("downloads.html",),
}
"""The pages that are looked at, by their templates."""
KINDS = tuple(chain.from_iterable(BY_TEMPLATE.values()))

NOT_HERE = {"screen.html", "just_in.html", "corrections.html", "embed.html"}
"""Looked at in `test_screen.py`: they want a display, earlier publications, or lists for frames."""

RUN = """([tags, drawn, rules]) => axe.run(document, {
    resultTypes: ["violations"],
    runOnly: rules ? {type: "rule", values: rules} : {type: "tag", values: tags},
    rules: rules ? {} : Object.fromEntries(drawn.map(one => [one, {enabled: false}])),
}).then(found => found.violations.map(one => [
    one.id, one.nodes.slice(0, 3).map(node => node.html + " " + node.failureSummary)]))"""


ALIKE = """told => {
    const seen = JSON.parse(told);
    const own = one => `${one.tagName}.${one.className}[${one.getAttributeNames()}]`;
    const above = one => one.matches("body") ? "" : above(one.parentElement) + own(one);
    const shapes = one => [own(one), ...[...one.children].flatMap(
        child => shapes(child).map(inner => own(one) + inner))];
    for (const row of document.querySelectorAll("body :is(section, tr, li, dl > div)")) {
        if (!row.isConnected) continue;
        const outer = row.tagName + above(row.parentElement), here = {};
        const known = held => held.every(shape => seen[shape] > 1 || here[shape]);
        const held = shapes(row).map(inner => outer + inner);
        if (known(held)) row.remove();
        else for (const part of row.children) {
            const inside = shapes(part).map(inner => outer + own(row) + inner);
            if (known(inside) && !part.querySelector("a, button")) part.replaceChildren();
            else for (const shape of inside) here[shape] = true;
        }
        for (const shape of new Set(held)) seen[shape] = (seen[shape] || 0) + 1;
    }
    return JSON.stringify(seen);
}"""
"""Takes away each row, entry and section of which all but the words stands in two before it, here
or on the pages where so much was seen; and of the others what is in a part like one before it, but
for what is pressed, which must be far enough from what is beside it."""


UNREAD = """([drawn, told]) => {
    const read = new Set(JSON.parse(told)), grounds = new Map([[null, ""]]);
    const ground = one => {
        if (!grounds.has(one)) {
            const { backgroundColor, backgroundImage, opacity, position, filter, mixBlendMode }
                = getComputedStyle(one);
            const own = [
                backgroundColor, backgroundImage, opacity, position, filter, mixBlendMode].join();
            const bare = own === "rgba(0, 0, 0, 0),none,1,static,none,normal";
            grounds.set(one, (bare ? "" : own + "/") + ground(one.parentElement));
        }
        return grounds.get(one);
    };
    const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    const marked = {};
    for (const one of document.querySelectorAll("[data-look]")) one.removeAttribute("data-look");
    while (texts.nextNode()) {
        const one = texts.currentNode.parentElement;
        if (!texts.currentNode.data.trim() || !one.checkVisibility()) continue;
        const { color, fontSize, fontWeight, textShadow } = getComputedStyle(one);
        const look = [color, fontSize, fontWeight, textShadow, ground(one)].join();
        if (read.has(look) || one.dataset.look || marked[look] > 1) continue;
        one.dataset.look = look;
        marked[look] = (marked[look] || 0) + 1;
    }
    const unread = Object.keys(marked).length > 0;
    const rules = drawn.filter(rule => rule !== "color-contrast" || unread);
    if (!rules.length) return [[], told];
    axe.configure({rules: [{id: "color-contrast", selector: "[data-look]"}]});
    return axe.run(document, {
        elementRef: true, runOnly: {type: "rule", values: rules},
    }).then(found => {
        const passed = found.passes.find(one => one.id === "color-contrast");
        for (const { element } of passed ? passed.nodes : []) read.add(element.dataset.look);
        return [found.violations.map(one => [one.id, one.nodes.slice(0, 3).map(
            node => node.html + " " + node.failureSummary)]), JSON.stringify([...read])];
    });
}"""
"""What is found by these rules, the contrast of two texts of a kind alone, and of none where one of
its kind has passed: the same in colour, size and weight, and in what lies below them."""


def found(page, rules: list[str] | None) -> list[object]:
    """What axe finds wrong on a page as it is shown now; without rules, by all but those DRAWN."""
    return page.evaluate(RUN, [TAGS, DRAWN, rules])


def test_every_kind_of_page_is_looked_at_or_named():
    assert BY_TEMPLATE.keys() | NOT_HERE == {template for template, _ in PAGES}
    assert BY_TEMPLATE.keys().isdisjoint(NOT_HERE)


LETTERS_APART = """() => {
    const apart = new CSSStyleSheet();
    apart.replaceSync("* { line-height: 1.5 !important; letter-spacing: 0.12em !important; "
        + "word-spacing: 0.16em !important } p { margin-bottom: 2em !important }");
    document.adoptedStyleSheets = [apart];
    const clips = one => /BUTTON|SELECT/.test(one.tagName)
        || /hidden|clip/.test(getComputedStyle(one).overflowX);
    const cut = [...document.querySelectorAll("body *")].filter(one =>
        !one.closest(".unseen, .skip, svg") && one.scrollWidth > one.clientWidth + 1 && clips(one));
    const width = document.documentElement.scrollWidth;
    document.adoptedStyleSheets = [];
    return [width, cut.map(one => one.outerHTML.slice(0, 200))];
}"""
"""How wide the page is then, and what is cut off. WCAG 2.2, 1.4.12: so far apart may a reader set
letters, words and lines."""


@pytest.fixture(scope="module", params=theme_names())
def looked_at(request, browser, sites):
    """What axe finds on each page in a theme, and what is cut off where letters are set apart."""
    wrong: list[object] = []
    cut: list[object] = []
    with served(sites(request.param)) as address:
        page, _, _ = opened(browser, 1280)
        seen, read = "{}", "[]"
        for kind in KINDS:
            page.set_viewport_size({"width": 320, "height": 800})
            page.emulate_media(color_scheme="light")
            page.goto(address + kind)
            width, parts = page.evaluate(LETTERS_APART)
            cut += [(kind, width, parts)] if width > 320 or parts else []
            page.evaluate(AXE)
            # What a page is made of is the same in every theme, width and colour, and so is where
            # targets are in every colour.
            if request.param == "standard":
                page.set_viewport_size({"width": 1280, "height": 800})
                wrong += [(kind, one) for one in found(page, None)]
            seen = page.evaluate(ALIKE, seen)
            for scheme, width, rules in (
                ("light", 1280, DRAWN), ("dark", 1280, DRAWN[:1]),
                ("dark", 320, DRAWN), ("light", 320, DRAWN[:1]),
            ):  # fmt: skip
                page.emulate_media(color_scheme=scheme)
                page.set_viewport_size({"width": width, "height": 800})
                told, read = page.evaluate(UNREAD, [rules, read])
                wrong += [(kind, scheme, width, one) for one in told]
    return wrong, cut


def test_nothing_is_found_on_any_kind_of_page(looked_at):
    assert looked_at[0] == []


def test_nothing_is_cut_off_where_letters_are_set_apart(looked_at):
    assert looked_at[1] == []


@pytest.mark.parametrize("theme", theme_names())
def test_a_sorted_column_can_be_read_in_every_theme(browser, sites, theme):
    with served(sites(theme)) as address:
        page, _, _ = opened(browser, 1280)
        page.goto(address + "competitions/women-senior-all-around/all-around.html")
        page.evaluate(AXE)
        page.locator("thead button").nth(2).click()
        page.locator("thead button").nth(3).hover()
        page.evaluate(ALIKE, "{}")
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            assert found(page, ["color-contrast"]) == [], scheme


def test_what_the_script_opens_is_accessible_too(browser, sites):
    with served(sites("standard")) as address:
        page, _, _ = opened(browser, 390)
        page.goto(address + "gymnasts/index.html")
        page.locator(".find input").focus()
        page.keyboard.type("tum")
        page.get_by_role("option").first.wait_for()
        page.keyboard.press("ArrowDown")
        page.evaluate(AXE)
        assert found(page, None) == []
        page.evaluate(ALIKE, "{}")
        assert found(page, DRAWN) == []


def test_focus_is_seen_and_not_covered_by_the_heads(browser, sites):
    with served(sites("standard")) as address:
        page, _, _ = opened(browser, 1280)
        page.goto(address + "competitions/men-senior-qualification/all-around.html")
        link = page.locator("tbody th a").nth(12)
        link.focus()
        page.keyboard.press("Shift+Tab")
        page.keyboard.press("Tab")
        page.wait_for_timeout(400)
        style = link.evaluate("one => getComputedStyle(one).outlineStyle")
        assert style == "solid"
        top = link.bounding_box()["y"]
        head = page.locator("thead th").nth(1).bounding_box()
        assert top >= head["y"] + head["height"] or top + 10 < head["y"]


def test_nothing_moves_for_who_asked_for_less_motion(browser, sites):
    page, _, _ = opened(browser, 390, reduced_motion="reduce")
    page.goto((sites("standard") / "index.html").as_uri())
    assert page.evaluate("getComputedStyle(document.documentElement).scrollBehavior") == "auto"


def test_a_printed_page_has_neither_ways_nor_controls(browser, sites):
    page, _, _ = opened(browser, 1280)
    page.goto((sites("standard") / "gymnasts/index.html").as_uri())
    page.emulate_media(media="print")
    for hidden in (".ways", ".find", ".tools", ".skip"):
        assert not page.locator(hidden).first.is_visible(), hidden
    assert page.locator("tbody tr").last.is_visible()


def test_a_printed_list_has_its_head_on_every_page(browser, sites, tmp_path):
    page, _, _ = opened(browser, 1280)
    page.goto((sites("gala") / "competitions/women-senior-qualification/all-around.html").as_uri())
    page.pdf(path=tmp_path / "printed.pdf", format="A5", landscape=True)
    shown = ["pdftotext", "-layout", tmp_path / "printed.pdf", "-"]
    text = subprocess.run(shown, capture_output=True, check=True).stdout.decode()
    pages = [one for one in text.split("\f") if re.search(r"^ *\d+ +\S+.* \d\d\.\d{3}", one, re.M)]
    assert len(pages) > 1
    assert all(re.search(r"Place +Gymnast +Vault", one) for one in pages)
