"""A page as the browser prints it: measured on the PDF that it makes."""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO

import pytest
from browsing import opened, served
from pypdf import PdfReader
from test_books import boxes

from resultsgen.theme.theme import theme_names

FOLDER = "competitions/women-senior-qualification/"
MEN = "competitions/men-senior-qualification/"
SHEETS = {("A4", False): (595, 842), ("A4", True): (842, 595), ("Letter", False): (612, 792)}
"""By paper, and whether it lies across: in points."""
EDGE = 12 / 25.4 * 72
SMALLEST = 6.25
"""In points: the letters that lead to a note; all other text has 7 and more."""


@dataclass(frozen=True)
class Word:
    """What is written in a PDF, where its base line begins from above, and how large, in points."""

    text: str
    x: float
    y: float
    size: float


def printed(page, address: str, paper: str = "A4", across: bool = False) -> list[list[Word]]:
    """The words of each sheet of a page."""
    page.goto(address)
    pdf = page.pdf(format=paper, landscape=across, prefer_css_page_size=True)
    found: list[list[Word]] = []
    for sheet in PdfReader(BytesIO(pdf)).pages:
        width, height = (float(side) for side in sheet.mediabox[2:])
        assert (width, height) == pytest.approx(SHEETS[paper, across], abs=1)
        words: list[Word] = []

        def note(text, matrix, at, _, size, words=words, height=height):
            if text.strip():
                x, y = matrix[0] * at[4] + matrix[4], matrix[3] * at[5] + matrix[5]
                words.append(Word(text.strip(), x, height - y, size * matrix[0]))

        sheet.extract_text(visitor_text=note)
        found.append(words)
    return found


@pytest.fixture(scope="module", params=theme_names())
def page(request, browser, sites):
    with served(sites(request.param)) as there:
        one, _, _ = opened(browser, 1280)
        one.there = there
        yield one


def rows_of(page) -> list[dict]:
    """The rows of the open page: the family name, the second line and the letters of notes."""
    return page.evaluate(
        """() => [...document.querySelectorAll("tbody tr")].map(row => ({
            name: row.querySelector(".name a").firstChild.textContent.trim(),
            sub: row.querySelector(".name small").textContent.trim(),
            notes: [...row.querySelectorAll("sup")].map(one => one.textContent.trim()),
        }))"""
    )


@pytest.mark.parametrize(
    ("folder", "paper", "across"),
    [(FOLDER, "A4", True), (MEN, "A4", False), (MEN, "Letter", False)],
)
def test_18_rows_are_on_a_sheet_notes_stand_in_their_rows_and_second_lines_are_smaller(
    page, folder, paper, across
):
    """Four marks beside each other, or six; the paper as the browser has it."""
    sheets = printed(page, f"{page.there}{folder}all-around.html", paper, across)
    rows = rows_of(page)
    counts, noted = [], 0
    for words in sheets:
        column = next((word.x for word in words if word.text == "Gymnast"), 0)
        there = {word.text: word for word in words if abs(word.x - column) < 1}
        names = [there[row["name"]] for row in rows if row["name"] in there]
        ends = [*(name.y for name in names[1:]), SHEETS[paper, across][1]]
        counts.append(len(names))
        for name, end in zip(names, ends, strict=False):
            row = next(one for one in rows if one["name"] == name.text)
            lines = [word for word in words if name.y - 5 < word.y < end - 5]
            sub = min((w for w in lines if w.y > name.y), key=lambda w: (w.y, w.x))
            assert row["sub"].startswith(sub.text), lines
            assert SMALLEST < sub.size < name.size
            letters = [word for word in lines if word.text in row["notes"] and word.y <= name.y]
            assert [word.text for word in letters] == row["notes"]
            noted += len(letters)
        # A sheet on which something is too wide is made smaller by the browser as a whole.
        assert min(word.size for word in words) > SMALLEST
    assert counts[0] >= 18
    assert sum(counts) == len(rows)
    assert noted > 4


@pytest.mark.parametrize("kind", ["all-around", "team"])
def test_on_an_upright_sheet_nothing_is_cut_off_and_no_name_is_broken(page, kind, tmp_path):
    page.goto(f"{page.there}{MEN}{kind}.html")
    names = page.evaluate(
        """() => [...document.querySelectorAll("tbody .name a")].map(one => one.innerText)"""
    )
    page.pdf(path=tmp_path / "page.pdf", format="A4", prefer_css_page_size=True)
    placed = [word for sheet in boxes(tmp_path / "page.pdf") for word in sheet]
    assert names
    assert max(right for _, _, right, _, _ in placed) <= SHEETS["A4", False][0] - EDGE + 1
    lines = {(word, y) for _, y, _, _, word in placed}
    for name in names:
        first, *others = name.split()
        heights = {y for word, y in lines if word == first}
        assert any(all((word, y) in lines for word in others) for y in heights), name


def test_no_sheet_ends_with_the_head_of_a_table_and_type_has_seven_points(page):
    sheets = printed(page, f"{page.there}{FOLDER}qualification.html")
    assert len(sheets) > 2
    for words in sheets:
        for head in (word for word in words if word.text == "Gymnast"):
            below = [w for w in words if w.x == head.x and w.size > head.size and w.y > head.y]
            assert len(below) >= 2, words[-8:]
        assert all(word.size >= 7 or len(word.text) == 1 for word in words)


@pytest.mark.parametrize("kind", ["all-around", "qualification", "start-list", "team"])
def test_nothing_that_leads_elsewhere_or_sorts_is_printed(page, kind):
    page.goto(f"{page.there}{FOLDER}{kind}.html")
    page.emulate_media(media="print")
    seen = page.evaluate(
        """() => [...document.querySelectorAll("nav, button, select, input, .paper")]
            .filter(one => one.checkVisibility() && one.offsetWidth).map(one => one.outerHTML)"""
    )
    page.emulate_media(media="null")
    assert seen == []
