"""The yearbook of a season as a PDF: what stands where, whose names do not, and when it is made."""

from __future__ import annotations

import re
from collections import defaultdict

import pikepdf
import pytest
from pypdf import PdfReader
from seasons import example_season, season_told

from resultsgen.books import yearbooks
from resultsgen.publishing.season import publish_season


def told(*_: object) -> None:
    """Nobody asks how far it is."""


@pytest.fixture(scope="module")
def season(tmp_path_factory):
    folder = example_season(tmp_path_factory.mktemp("yearbook") / "season")
    publish_season(folder, folder / "output", told)
    return folder


@pytest.fixture(scope="module")
def pages(season):
    reader = PdfReader(season / "output/books/yearbook-2031.pdf")
    return [re.sub(r"\s+", " ", page.extract_text()) for page in reader.pages]


def test_each_part_stands_in_its_place_and_is_told_in_contents_and_bookmarks(season, pages):
    assert "Yearbook 2031 Five Regions season 2031" in pages[0]
    assert "5 meets · 133 gymnasts · 16 clubs" in pages[0]
    chapters = [
        "Contents", "Champions", "Five Regions League, women senior", "Junior Cup",
        "Cup of Clubs, women senior", "Final of the Regions, women senior", "Meets",
        "Bests of 2031", "Records", "Index of clubs", "Index of gymnasts",
    ]  # fmt: skip
    with pikepdf.open(season / "output/books/yearbook-2031.pdf") as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert str(pdf.docinfo.Title) == "Five Regions season 2031: Yearbook 2031"
        with pdf.open_outline() as outline:
            cover, *others = outline.root
            assert cover.title == "Five Regions season 2031"
            assert [one.title for one in others] == chapters
            (meets,) = (one for one in others if one.title == "Meets")
    titles = [one["title"] for one in season_told(season / "output")["meets"]]
    assert [one.title for one in meets.children] == titles
    for chapter in chapters[1:]:
        page = int(re.search(rf"{re.escape(chapter)} (\d+)", pages[1])[1])
        assert chapter in pages[page - 1]


def test_the_index_has_each_page_on_which_a_gymnast_is_told(season, pages):
    names = [
        f"{one['family_name']} {one['given_name']}"
        for one in season_told(season / "output")["careers"]
        if one["family_name"]
    ]
    on = defaultdict(set)
    last = max(n for n, page in enumerate(pages) if "Index of clubs" in page)
    index = " ".join(pages[last:])
    for number, page in enumerate(pages[1:last], start=2):
        for name in names:
            if names.count(name) == 1 and re.search(rf"{re.escape(name)}(?!\w)", page):
                on[name].add(number)
    assert len(on) > 60
    for name, there in on.items():
        listed = re.search(rf"{re.escape(name)} [^\d]*([\d, –]+)", index)[1]
        found = set()
        for part in listed.strip(" ,").split(", "):
            first, _, end = part.partition("–")
            found |= set(range(int(first), int(end or first) + 1))
        assert found >= there - {1}, name


def test_a_withheld_name_is_nowhere_and_a_book_is_made_where_something_in_it_changed(
    season, monkeypatch
):
    book, people = season / "output/books/yearbook-2031.pdf", season / "people.csv"
    before, rows = book.read_bytes(), people.read_text("utf-8")
    made = []
    wrapped = yearbooks.made_books
    monkeypatch.setattr(
        yearbooks, "made_books", lambda *args: made.append(args) or wrapped(*args)
    )  # fmt: skip
    publish_season(season, season / "output", told)
    assert not made
    people.write_text(f"{rows}Nettlewain Wren,,,,,,,,,,no\n", "utf-8")
    publish_season(season, season / "output", told)
    text = " ".join(page.extract_text() for page in PdfReader(book).pages)
    assert len(made) == 1
    assert "Vanterhoek" in text
    assert "Nettlewain" not in text
    assert "Nettlewain" not in str(PdfReader(book).named_destinations)
    people.write_text(rows, "utf-8")
    publish_season(season, season / "output", told)
    assert book.read_bytes() == before
    publish_season(season, season / "output")
    assert not book.exists()
