"""The page of downloads: a row for each thing, a column for each kind of file, the whole first."""

from __future__ import annotations

import pytest
from folders import judged
from lxml import html
from test_site import EXAMPLE

from resultsgen.data.writing import write_exports
from resultsgen.theme.theme import find_theme
from resultsgen.views.site.attachments import Download, Title
from resultsgen.views.site.downloads import downloads
from resultsgen.views.words.wording import wording
from resultsgen.website.writing import write_site

OF = "women-junior"


@pytest.fixture(scope="module")
def example():
    return judged(EXAMPLE)


def test_every_file_is_offered_once_and_beside_what_shows_the_same(example, tmp_path):
    site = tmp_path
    write_site(example, find_theme("standard"), site, (), write_exports(example, site))
    tree = html.fromstring((site / "downloads.html").read_bytes())
    offered = [link for link in tree.xpath("//main//a/@href") if link.startswith("data/")]
    there = {path.relative_to(site).as_posix() for path in (site / "data").rglob("*.*")}
    assert len(offered) == len(set(offered))
    assert set(offered) == {one for one in there if "publications/" not in one}
    for row in tree.xpath("//table//tr[th/a]"):
        page = row.xpath("th/a/@href")[0].split("/")
        for file in row.xpath("td/a/@href"):
            assert file.split("/")[1] == page[1]
    headings = tree.xpath("//main//h2/text()")
    assert headings == ["The whole meet", "Each competition in one file", "List by list"]


def test_files_of_one_list_stand_in_one_row_and_in_the_columns_of_their_kinds(example):
    book = Download("books/vt.pdf", "Vault", 2, target=f"list:{OF}/VT")
    table = Download("data/vt.csv", Title("Vault", "Juniors"), 1, target=f"list:{OF}/VT")
    beside = Download("data/team-marks.csv", Title("marks of the teams"), 1,
                      target=f"list:{OF}/team-marks")  # fmt: skip
    whole = Download("data/all.xlsx", Title("all tables"), 1, target=f"list:{OF}/overview")
    club = Download("books/club.pdf", "A club", 1, group="Clubs", target="club:A club")
    words = wording(example.meet.settings)
    view = downloads(example, (book, club), (table, beside, whole), (), words)
    assert view.meet is None
    assert [row.name for row in view.competitions.rows] == ["Women junior"]
    [of] = view.lists
    assert of.kinds == ("PDF", "CSV")
    assert [(row.name, row.files) for row in of.rows] == [
        ("Vault", (book, table)),
        ("Marks of the teams", (None, beside)),
    ]
    assert [one.title for one in view.others] == ["Clubs"]


def test_where_each_row_has_one_file_the_kind_stands_beside_it(example):
    files = [Download(f"data/x.{kind}", kind, 1) for kind in ("csv", "json")]
    view = downloads(example, (), files, (), wording(example.meet.settings))
    assert view.meet.kinds == ()
    assert [row.files for row in view.meet.rows] == [(one,) for one in files]


def test_two_files_of_one_name_and_kind_are_both_offered(example):
    files = [Download(f"data/{name}.csv", "Gymnasts", 1) for name in "ab"]
    view = downloads(example, (), files, (), wording(example.meet.settings))
    assert [file for row in view.meet.rows for file in row.files] == files
