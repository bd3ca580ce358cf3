"""A published table through the whole tool: files in, page, book and data out.

Source: Olympic Games Tokyo 2020, women's all-around qualification, the organiser's official
results paper (`tests/published/tok2020-wag-aa-qual.json` names the document and its code).
"""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest
from lxml import html
from published_tables import TABLES, Published
from pypdf import PdfReader

from resultsgen.builds import Wishes
from resultsgen.publish import publish

SETTINGS = """
title = "A published qualification"
published = 2021-07-25T22:02:00
[[competition]]
id = "qualification"
title = "Women, qualification"
discipline = "women"
phase = "qualification"
ranks = ["all-around"]
[[competition.cuts]]
name = "All-around final"
of = "all-around"
places = {places}
reserves = {reserves}
cap = {cap}
"""


def write_table(folder: Path, table: Published) -> None:
    """The table as a meet folder: each gymnast by bib and federation, each routine as printed."""
    folder.mkdir()
    (folder / "meet.toml").write_text(SETTINGS.format(**table.head["line"]), encoding="utf-8")
    with (folder / "roster.csv").open("w", encoding="utf-8", newline="") as file:
        roster = csv.writer(file)
        roster.writerow(["bib", "family_name", "federation"])
        # In order of bib, so that no order of the paper comes in by the input.
        for row in sorted(table.rows, key=lambda row: row["bib"]):
            roster.writerow([row["bib"], f"Gymnast {row['bib']}", row["federation"]])
    with (folder / "marks.csv").open("w", encoding="utf-8", newline="") as file:
        marks = csv.writer(file)
        marks.writerow(["bib", "apparatus", "mark", "d", "e", "penalty"])
        for row in sorted(table.rows, key=lambda row: row["bib"]):
            for part in table.parts:
                cell = table.cell(row, part)
                numbers = [cell.printed.get(name, "") for name in ("mark", "d", "e", "penalty")]
                marks.writerow([row["bib"], part, cell.status or numbers[0], *numbers[1:]])


@pytest.fixture(scope="module")
def table() -> Published:
    return TABLES["tok2020-wag-aa-qual"]


@pytest.fixture(scope="module")
def published(tmp_path_factory: pytest.TempPathFactory, table: Published) -> Path:
    folder = tmp_path_factory.mktemp("published")
    write_table(folder / "meet", table)
    publish(folder / "meet", folder / "out", Wishes(), lambda *_: None)
    return folder / "out"


KINDS = ("place", "name", "total")


def printed(table: Published) -> list[tuple[str, str, str, str]]:
    """Place, bib, total or status, and Q or R of every row of the paper, in its order."""
    return [
        (row["place"], row["bib"], row["total"] or row["status"], row["cut"])
        for row in table.rows
        if row["place"]
    ]


def test_the_page_shows_the_paper(published: Path, table: Published) -> None:
    page = html.parse(str(published / "competitions/qualification/all-around.html"))
    shown = []
    for row in page.xpath("//tbody/tr"):
        place, name, total = (row.xpath(f"./*[@class='{kind}']")[0] for kind in KINDS)
        bib = re.search(r"Gymnast (\d+)", name.text_content())
        through = row.xpath("string(./td[@class='cut']/b)")
        assert bib
        if place.text and place.text.isdigit():
            shown.append((place.text, bib[1], total.text_content(), through))
    assert shown == printed(table)


def test_the_book_shows_the_paper(published: Path, table: Published) -> None:
    books = list((published / "books").glob("*all-around*.pdf"))
    assert len(books) == 1
    text = " ".join(page.extract_text() for page in PdfReader(books[0]).pages)
    order = re.findall(r"Gymnast (\d+)", text)
    bibs = [row["bib"] for row in table.rows]
    ranked = [bib for _, bib, *_ in printed(table)]
    assert [bib for bib in dict.fromkeys(order) if bib in ranked] == ranked
    assert set(bibs) <= set(order)
    for _, _, total, _ in printed(table):
        assert total in text


def test_the_data_hold_the_paper(published: Path, table: Published) -> None:
    path = published / "data/qualification/all-around.csv"
    rows = list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))
    held = [(row["place"], row["bib"], row["total"]) for row in rows if row["place"]]
    assert held == [(place, bib, total) for place, bib, total, _ in printed(table)]
