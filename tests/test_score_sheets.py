"""Blank score sheets: who stands on which, in which order, and that they need no marks."""

from __future__ import annotations

import random
import re
import subprocess
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pikepdf
import pytest
from folders import judged, write_folder
from running_drawn import drawn

from resultsgen.books.layout import Layout
from resultsgen.books.making import made_books
from resultsgen.books.volumes import BOOKS, Volume, volumes
from resultsgen.files.cache import Cache
from resultsgen.publishing.notes import not_handed_out
from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import results
from resultsgen.scoring.results import Results
from resultsgen.theme.theme import find_theme
from resultsgen.views.handouts.score_sheets import LINES, ScoreSheet
from resultsgen.views.words.wording import wording

HANDED_OUT = tuple(book for book in BOOKS if "score sheets" in book.handouts)

MEET = """
    == meet.toml ==
    title = "Lantern Cup"
    handouts = ["score sheets"]
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["VT", "UB", "BB"]
    vaults = 2
    day = 2031-03-15
    time = "10:00"
    running = { starts = { B = "UB" } }
    == roster.csv ==
    bib,family_name,given_name,club,session,squad,start_order,entered,publish
    1,Adams,Ada,North,1,A,2,,
    2,Berg,Bea,South,1,A,1,VT BB,
    3,Hiddenfamily,Cyd,South,1,B,1,,no
    4,Dorn,Dee,North,2,A,,UB,
    == marks.csv ==
    bib,apparatus,mark
    """


def sheets(placed: Results) -> list[ScoreSheet]:
    """The sheets of a meet in their order."""
    return [page for one in volumes(placed, wording(placed.meet.settings), HANDED_OUT)
            for page in pages_of(one)]  # fmt: skip


def pages_of(volume: Volume) -> list[ScoreSheet]:
    contents = [section.content for section in volume.sections]
    assert all(isinstance(content, ScoreSheet) for content in contents)
    return contents  # type: ignore[return-value]


def test_each_squad_has_a_sheet_on_each_apparatus_in_its_rotations(tmp_path):
    """Where nobody says where a squad begins, apparatus stand as listed, and no rotation."""
    when = "15 March 2031, 10:00"
    told = [
        (one.facts, one.apparatus, [row.before for row in one.rows])
        for one in sheets(judged(write_folder(tmp_path, MEET)))
    ]
    first, second, third = "Session 1, squad A", "Session 1, squad B", "Session 2, squad A"
    assert told == [
        ((first, when), "Vault", [("1", "2"), ("2", "1")]),
        ((first, when), "Uneven Bars", [("2", "1")]),
        ((first, when), "Balance Beam", [("1", "2"), ("2", "1")]),
        ((second, "Rotation 1", when), "Uneven Bars", [("1", "3")]),
        ((second, "Rotation 2", when), "Balance Beam", [("1", "3")]),
        ((second, "Rotation 3", when), "Vault", [("1", "3")]),
        ((third, when), "Uneven Bars", [("1", "4")]),
    ]


def test_two_vaults_have_two_lines_and_the_parts_are_those_of_the_rules(tmp_path):
    vault, bars, *_ = sheets(judged(write_folder(tmp_path, MEET)))
    assert {row.lines for row in vault.rows} == {("1st vault", "2nd vault")}
    assert {row.lines for row in bars.rows} == {("",)}
    assert vault.parts == ("D", "E", "Penalty", "Final mark")
    for rules, parts in (
        ("bonus", ("D", "E", "Bonus", "Penalty", "Final mark")),
        ("club-ten", ("Remarks", "Penalty", "Final mark")),
    ):
        text = MEET.replace("vaults = 2", f'rules = "{rules}"')
        assert {one.parts for one in sheets(judged(write_folder(tmp_path, text)))} == {parts}


FIRST, LAST = (
    ("Alders", "Brack", "Castr", "Duns", "Estr"),
    ("wick", "gaard", "moor", "feld", "holm"),
)
FAMILIES = [first + last for last in LAST for first in FIRST]


def crowd(folder: Path, count: int) -> Results:
    """A meet of so many without squads, with long names."""
    rows = "".join(
        f"    {bib},{FAMILIES[bib % 25]}-Wintermantelhausen,{FAMILIES[bib // 5]},"
        "Gymnasts of Lower Lindmoor and District,,,,,\n"
        for bib in range(10, 10 + count)
    )
    head, _, _ = MEET.replace('running = { starts = { B = "UB" } }', "").partition("    1,Adams")
    return judged(
        write_folder(folder, head + rows + "    == marks.csv ==\n    bib,apparatus,mark\n")
    )


def test_numbers_that_nobody_wears_stand_on_none(tmp_path):
    text = MEET.replace("handouts", 'bibs = "made"\n    handouts', 1)
    found = sheets(judged(write_folder(tmp_path, text)))
    assert {one.headings for one in found} == {("Order", "Gymnast")}
    assert [(*row.before, row.name) for row in found[0].rows] == [
        ("1", "Berg Bea"),
        ("2", "Adams Ada"),
    ]


def test_without_squads_a_long_list_is_parted_evenly(tmp_path):
    every = sheets(crowd(tmp_path, 2 * LINES + 1))
    found = [one for one in every if one.apparatus == "Uneven Bars"]
    assert [len(one.rows) for one in found] == [8, 8, 9]
    assert [row.before[1] for one in found for row in one.rows] == [str(10 + n) for n in range(25)]
    assert [one.facts[-1] for one in found] == ["Sheet 1 of 3", "Sheet 2 of 3", "Sheet 3 of 3"]


def test_none_is_made_once_all_marks_are_in(tmp_path):
    text = (
        MEET.replace('["VT", "UB", "BB"]', '["UB"]').replace("vaults = 2", "").replace("VT BB", "")
    )
    marks = "".join(f"{bib},UB,9.000,4.000,5.000\n    " for bib in (1, 2, 3, 4))
    found = judged(write_folder(tmp_path, text.replace("mark\n", "mark,d,e\n") + marks))
    assert sheets(found) == []
    told = "score sheets of Women are left out: no mark is to come there"
    assert list(not_handed_out(found)) == [told]
    assert list(not_handed_out(judged(write_folder(tmp_path, MEET)))) == []


@pytest.mark.parametrize("seed", range(12))
def test_everybody_stands_once_where_they_are_entered(seed, tmp_path):
    """On random meets without a mark: each gymnast on each apparatus, and nobody elsewhere."""
    meet = drawn(random.Random(seed), tmp_path / "drawn")
    meet.files["meet.toml"] = 'handouts = ["score sheets"]\n' + meet.files["meet.toml"]
    read, _ = read_meet(meet.write(tmp_path / "none", 0))
    placed, _ = results(read)
    words = wording(placed.meet.settings)
    found = Counter(
        (one.competition, one.apparatus, row.before[1])
        for one in sheets(placed)
        for row in one.rows
    )
    assert found == Counter(
        (one.competition.title, words.apparatus(code), start.gymnast.bib)
        for one in placed.competitions
        if one.competition.has_own_marks
        for start in one.starts
        for code in start.apparatus
    )
    assert found


def printed(found: Results, folder: Path) -> tuple[list[ScoreSheet], list[str], bytes]:
    """The sheets of a meet, the text of each page, and all that the PDF holds."""
    words = wording(found.meet.settings)
    layout = Layout(found.meet, find_theme("standard", folder), words)
    made = volumes(found, words, HANDED_OUT)
    ((volume, pdf, why),) = made_books(made, layout, Cache(None), 1, lambda *_: None)
    assert not why
    path = folder / "sheets.pdf"
    path.write_bytes(pdf)
    shown = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, check=True)
    held = (
        one.read_bytes() for one in pikepdf.open(path).objects if isinstance(one, pikepdf.Stream)
    )
    return pages_of(volume), shown.stdout.decode().split("\f")[:-1], b"".join((pdf, *held))


def test_the_fullest_sheet_is_one_page(tmp_path):
    """As many lines as there may be, with long names and clubs, on the lower of both papers."""
    found = crowd(tmp_path, LINES)
    settings = found.meet.settings.model_copy(update={"paper": "Letter"})
    found = replace(found, meet=replace(found.meet, settings=settings))
    pages, texts, _ = printed(found, tmp_path)
    assert [len(page.rows) for page in pages] == [6, 6, LINES, LINES]
    assert [text.count("Wintermantelhausen") for text in texts] == [6, 6, LINES, LINES]
    assert all("Judge" in text for text in texts)


def test_no_withheld_name_is_in_any_byte(tmp_path):
    pages, texts, held = printed(judged(write_folder(tmp_path, MEET)), tmp_path)
    assert len(texts) == len(pages) == 7
    assert "Bib 3" in texts[3]
    for told in (held, "".join(texts).encode()):
        assert not re.search(b"Hiddenfamily|Cyd", told)
