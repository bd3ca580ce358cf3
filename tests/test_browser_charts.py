"""Pictures as a browser draws them: all of their words in view, and each stands out enough."""

from __future__ import annotations

import pytest
from browsing import opened, served
from test_theme import contrast

from resultsgen.theme.theme import theme_names

STANDINGS = "competitions/women-senior-all-around/standings.html"
GYMNAST = "gymnasts/women-101.html"

DRAWN = """() => {
    const hex = colour => "#" + colour.match(/\\d+/g).slice(0, 3)
        .map(part => Number(part).toString(16).padStart(2, "0")).join("");
    const ground = one => {
        const own = getComputedStyle(one).backgroundColor;
        return own === "rgba(0, 0, 0, 0)" ? ground(one.parentElement) : own;
    };
    return [...document.querySelectorAll(".chart")].map(chart => ({
        ground: hex(ground(chart)),
        width: chart.viewBox.baseVal.width,
        height: chart.viewBox.baseVal.height,
        words: [...chart.querySelectorAll("text")].map(one => {
            const {x, y, width, height} = one.getBBox();
            const {fill, stroke} = getComputedStyle(one);
            return {text: one.textContent, x, y, width, height, fill: hex(fill), stroke};
        }),
        lines: [...chart.querySelectorAll("path:not(.grid, .own)")]
            .map(one => hex(getComputedStyle(one).stroke)),
    }));
}"""


@pytest.mark.parametrize("name", theme_names())
def test_names_in_pictures_are_whole_and_words_and_lines_stand_out(browser, sites, name):
    with served(sites(name)) as there:
        for scheme in ("light", "dark"):
            page, _, _ = opened(browser, 1280, color_scheme=scheme)
            for address in (STANDINGS, GYMNAST):
                page.goto(there + address)
                charts = page.evaluate(DRAWN)
                assert charts
                for chart in charts:
                    for word in chart["words"]:
                        assert word["x"] >= 0, word
                        assert word["x"] + word["width"] <= chart["width"], word
                        assert word["y"] + word["height"] <= chart["height"] + 4, word
                        assert word["stroke"] == "none", word
                        assert contrast(word["fill"], chart["ground"]) >= 4.5, word
                    assert chart["lines"]
                    assert min(contrast(one, chart["ground"]) for one in chart["lines"]) >= 4.5


def test_the_first_picture_is_the_points_behind_and_both_name_everybody(browser, sites):
    with served(sites("standard")) as there:
        page, _, _ = opened(browser, 1280)
        page.goto(there + STANDINGS)
        behind, order = page.evaluate(DRAWN)[:2]
        rows = page.locator(".standing").first.locator("tbody").first.locator("tr")
        margins = [row.locator(".number").nth(1).inner_text() for row in rows.all()[1:8]]
        names = [row.locator(".name a").inner_text() for row in rows.all()[:8]]
    for chart in (behind, order):
        words = [word["text"] for word in chart["words"]]
        assert set(names) <= set(words)
    assert set(margins) <= {word["text"] for word in behind["words"]}


def test_lines_of_pictures_take_the_colours_that_the_reader_forces(browser, sites):
    with served(sites("standard")) as there:
        page, _, _ = opened(browser, 1280, color_scheme="dark", forced_colors="active")
        page.goto(there + STANDINGS)
        charts = page.evaluate(DRAWN)
    assert charts
    for chart in charts:
        assert len(set(chart["lines"])) == 1
        assert contrast(chart["lines"][0], chart["ground"]) >= 15
