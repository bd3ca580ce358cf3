"""The head of a Markdown page, and where its text begins."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from folders import write_folder

from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.pages import read_pages

SETTINGS = MeetSettings.model_validate(
    {"title": "Cup", "competition": [{"id": "w", "title": "W", "discipline": "women"}]}
)


def test_pages_in_order_with_their_heads(tmp_path: Path) -> None:
    write_folder(
        tmp_path,
        """
        == pages/news.md ==
        +++
        title = "News"
        +++
        Text
        == pages/recap.md ==
        +++
        title = "Recap"
        date = 2031-05-18
        language = "en"
        order = 1
        +++

        # Sunday
        +++
        == pages/ignored.txt ==
        nothing
        """,
    )
    pages, problems = read_pages(tmp_path, SETTINGS, [])
    assert not problems
    assert [(page.slug, page.title, page.order) for page in pages] == [
        ("recap", "Recap", 1),
        ("news", "News", 100),
    ]
    assert pages[0].date == dt.date(2031, 5, 18)
    assert pages[0].body.splitlines() == ["", "# Sunday", "+++"]
    held = (tmp_path / pages[0].file).read_text().splitlines()
    assert held[pages[0].first_line - 1 :] == pages[0].body.splitlines()
    assert pages[1].body == "Text"


def test_a_byte_order_mark_and_other_ends_of_lines_are_no_matter(tmp_path: Path) -> None:
    (tmp_path / "pages").mkdir()
    text = '\ufeff+++\r\ntitle = "A"\r\n+++\r\nText\r\n'
    (tmp_path / "pages/a.md").write_bytes(text.encode())
    (page,), problems = read_pages(tmp_path, SETTINGS, [])
    assert not problems
    assert (page.title, page.body, page.first_line) == ("A", "Text", 4)


def test_a_head_that_never_ends_or_has_mistakes_is_told_with_its_line(tmp_path: Path) -> None:
    write_folder(
        tmp_path,
        """
        == pages/a.md ==
        +++
        title = "A"
        == pages/b.md ==
        +++
        titel = "B"
        order = true
        +++
        """,
    )
    pages, problems = read_pages(tmp_path, SETTINGS, [])
    assert pages == ()
    assert [(one.file, one.row, one.column, one.code) for one in problems] == [
        ("pages/a.md", 1, "", "no-page-head"),
        ("pages/b.md", 1, "title", "missing-setting"),
        ("pages/b.md", 3, "order", "wrong-setting"),
        ("pages/b.md", 2, "titel", "unknown-setting"),
    ]


def test_no_pages_is_no_problem(tmp_path: Path) -> None:
    assert read_pages(tmp_path, SETTINGS, []) == ((), [])


def test_a_page_in_each_language_is_one_page(tmp_path: Path) -> None:
    settings = SETTINGS.model_copy(update={"languages": ("en", "fr")})
    write_folder(
        tmp_path,
        """
        == pages/recap.md ==
        +++
        title = "Recap"
        +++
        == pages/recap.fr.md ==
        +++
        title = "Résumé"
        +++
        == pages/recap.de.md ==
        +++
        title = "Rückblick"
        +++
        == pages/welcome.fr.md ==
        +++
        title = "Welcome"
        language = "en"
        +++
        == pages/zweimal.md ==
        +++
        title = "Again"
        language = "fr"
        +++
        == pages/zweimal.fr.md ==
        +++
        title = "Again"
        +++
        """,
    )
    pages, problems = read_pages(tmp_path, settings, ())
    assert [(page.slug, page.language) for page in pages if page.slug == "recap"] == [
        ("recap", "de"),
        ("recap", "fr"),
        ("recap", "en"),
    ]
    assert [(one.file, one.row, one.code, one.value) for one in problems] == [
        ("pages/recap.de.md", 1, "unknown-language", "de"),
        ("pages/welcome.fr.md", 3, "unknown-language", "fr"),
        ("pages/zweimal.md", 1, "page-twice", "fr"),
    ]
