"""What a club hands out: which sheets there are, where they stand, and what they show."""

from __future__ import annotations

import random
import re
import subprocess
import zipfile
from collections import Counter
from contextlib import nullcontext
from dataclasses import replace
from decimal import Decimal
from io import BytesIO
from pathlib import Path

import pytest
from folders import judged, write_folder
from lxml import html
from PIL import Image
from pypdf import PdfReader
from running_drawn import drawn
from zxingcpp import read_barcodes

from resultsgen.books.layout import Layout
from resultsgen.books.making import made_books
from resultsgen.books.volumes import BOOKS, Volume, volumes
from resultsgen.files.cache import Cache
from resultsgen.language import LANGUAGES
from resultsgen.meet.marks import show_mark
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.publish import publish
from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import results
from resultsgen.scoring.medals import MedalLine, medal_counts
from resultsgen.theme.theme import find_theme
from resultsgen.views.handouts.awards import awards
from resultsgen.views.handouts.medals import medal_view
from resultsgen.views.handouts.wall_sheets import wall_sheets
from resultsgen.views.lists.sections import BookSubject
from resultsgen.views.people.clubs import club_views
from resultsgen.views.site.attachments import Download
from resultsgen.views.words.wording import Wording, wording
from resultsgen.website.writing import write_site

WITHOUT_BOOKS = BuildOptions(books=False)


def test_nothing_is_made_to_be_handed_out_unless_the_meet_names_it(meet_folder):
    """
    == meet.toml ==
    title = "Lantern Cup"
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["BB"]
    == roster.csv ==
    bib,family_name,given_name,club
    1,Adams,Ada,North
    == marks.csv ==
    bib,apparatus,mark
    1,BB,12.000
    """
    results = judged(meet_folder)
    made = volumes(results, wording(results.meet.settings))
    usual = volumes(results, wording(results.meet.settings), [b for b in BOOKS if not b.handouts])
    assert made == usual
    assert "To hand out" not in {volume.group for volume in made}


# The medal count


COUNTED = """
    == meet.toml ==
    title = "Lantern Cup"
    handouts = ["medals"]
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    rules = "club-ten"
    apparatus = ["BB", "FX"]
    ranks = ["apparatus", "team"]
    team = { format = "3-3-2", by = "team" }
    [[competition]]
    id = "first"
    title = "Qualification"
    discipline = "women"
    rules = "club-ten"
    apparatus = ["VT"]
    ranks = ["apparatus"]
    phase = "qualification"
    == roster.csv ==
    bib,family_name,given_name,club,federation,team,guest,publish
    1,Adams,Ada,North,AA,Lights,,
    2,Berg,Bea,South,BB,Lights,,
    3,Cole,Cyd,South,BB,Lamps,,no
    4,Dorn,Dee,,BB,Lamps,,
    5,Eve,Ella,North,AA,,yes,
    == marks.csv ==
    competition,bib,apparatus,mark
    women,1,BB,9.500
    women,2,BB,9.500
    women,3,BB,9.000
    women,4,BB,8.000
    women,5,BB,9.900
    women,1,FX,7.000
    women,2,FX,7.500
    women,3,FX,8.000
    women,4,FX,9.000
    women,5,FX,9.900
    first,1,VT,9.000
    """


def test_medals_are_counted_as_they_are_given(tmp_path):
    """Beam: 1 and 2 share gold, no silver, 3 bronze. Floor: 4, 3, 2. Lamps before Lights."""
    counts = {count.by: count for count in medal_counts(judged(write_folder(tmp_path, COUNTED)))}
    clubs, federations = counts["club"], counts["federation"]
    assert clubs.lines == (MedalLine(1, "South", (1, 1, 2)), MedalLine(2, "North", (1, 0, 0)))
    assert clubs.of_none == (2, 1, 0)
    assert federations.lines == (MedalLine(1, "BB", (3, 1, 2)), MedalLine(2, "AA", (1, 0, 0)))
    assert federations.of_none == (0, 1, 0)


def test_a_clubs_page_has_the_medals_of_the_count_and_none_of_a_qualification(tmp_path):
    more = "".join(f"    first,{bib},VT,8.{bib}00\n" for bib in range(2, 6))
    found = judged(write_folder(tmp_path, COUNTED.rstrip(" ") + more))
    assert found.competition("first").complete
    shown = {view.name: dict(view.medals) for view in club_views(found, Wording())}
    assert shown == {
        "North": {"Gold": 1},
        "South": {"Gold": 1, "Silver": 1, "Bronze": 2},
    }


def test_a_competition_that_is_not_awarded_is_in_no_count_and_the_page_says_so(tmp_path):
    text = COUNTED.replace('id = "women"', 'id = "women"\n    medals = false')
    found = judged(write_folder(tmp_path, text))
    assert [(count.lines, count.of_none) for count in medal_counts(found)] == [((), (0, 0, 0))] * 2
    assert medal_view(found, Wording()).rule[-1] == "Not awarded, and not counted: Women."


@pytest.mark.parametrize("seed", range(12))
def test_there_are_as_many_medals_as_placed_first_to_third(seed, tmp_path):
    dice = random.Random(seed)
    meet = drawn(dice, tmp_path / "drawn")
    for number in {len(meet.rows), len(meet.rows) // 2}:
        read, _ = read_meet(meet.write(tmp_path / str(number), number))
        placed, _ = results(read)
        lists = [one for judged in placed.competitions if judged.competition.phase == "final"
                 for one in judged.rankings if not one.to_come]  # fmt: skip
        each = Counter(line.place for one in lists for line in one.lines)
        for count in medal_counts(placed):
            gold, silver, bronze = zip(
                *(line.medals for line in count.lines), count.of_none, strict=True
            )
            assert (sum(gold), sum(silver), sum(bronze)) == (each[1], each[2], each[3])
            assert all(line.body for line in count.lines)
            ordered = [(line.place, line.medals) for line in count.lines]
            better = [sum(medals > own for _, medals in ordered) for _, own in ordered]
            assert [place for place, _ in ordered] == [1 + ahead for ahead in better]
            assert ordered == sorted(ordered)


def test_the_medals_stand_on_a_page_in_the_book_and_in_a_table(tmp_path):
    folder = write_folder(tmp_path / "meet", COUNTED)
    publish(folder, tmp_path / "out", WITHOUT_BOOKS, lambda *_: None)
    table = (tmp_path / "out" / "data" / "medals.csv").read_text("utf-8").splitlines()
    wanted = ["club,1,South,1,1,2,4", "club,2,North,1,0,0,1", "club,,,2,1,0,3"]
    assert table[1:4] == wanted
    page = html.parse(tmp_path / "out" / "medals.html").getroot()
    shown = [[cell.text_content() for cell in row] for row in page.xpath("//tbody/tr")]
    assert shown[:2] == [["1", "South", "1", "1", "2", "4"], ["2", "North", "1", "0", "0", "1"]]
    assert "2 gold, 1 silver, 0 bronze" in page.text_content()
    home = html.parse(tmp_path / "out" / "index.html").getroot()
    assert home.xpath("//nav//a[@href='medals.html']")
    sections = {one.id: one for one in volumes(judged(folder), Wording())[0].sections}
    texts = [[cell.text for cell in row.cells] for row in sections["medals"].tables[0].rows]
    assert texts == shown[:2]


def test_no_medal_is_given_before_a_list_is_finished(tmp_path):
    text = COUNTED.replace("women,4,BB,8.000", "women,4,BB,").replace("women,4,FX,9.000\n", "")
    found = judged(write_folder(tmp_path, text))
    assert [(count.lines, count.of_none) for count in medal_counts(found)] == [((), (0, 0, 0))] * 2
    view = medal_view(found, Wording())
    assert view.rule[-1] == "3 lists are not finished, and not counted yet."
    assert [note.text for note in view.tables[0].notes] == ["No medal has been won yet."]


# The awards sheet


AWARDED = """
    == meet.toml ==
    title = "Lantern Cup"
    handouts = ["awards sheet", "ribbons"]
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    rules = "club-ten"
    apparatus = ["VT", "UB", "BB", "FX"]
    ranks = ["all-around", "apparatus"]
    == roster.csv ==
    bib,family_name,given_name,club,guest,publish,pronounced
    4,Dorn,Dee,North,,,DORN like corn
    1,Adams,Ada,North,,,
    2,"Berg & <b>",Bea,South,,,
    3,Zweibrück,Quillana,South,,no,TSVY-brook
    5,Eve,Ella,North,yes,,
    6,Fay,Flo,North,,,
    == marks.csv ==
    bib,VT,UB,BB,FX
    1,9.5,9.0,9.5,
    2,9.5,8.0,8.0,7.0
    3,8.0,8.5,8.0,7.0
    4,7.0,8.0,8.0,7.0
    5,9.9,9.9,9.9,9.9
    6,DNS,DNS,DNS,DNS
    """


def sheets(folder: Path, handout: str) -> list[tuple[Volume, bytes]]:
    """The books that a meet hands out under this name, with their PDFs."""
    results = judged(folder)
    words = wording(results.meet.settings)
    layout = Layout(results.meet, find_theme(results.meet.settings.theme, folder), words)
    wanted = volumes(results, words, [book for book in BOOKS if handout in book.handouts])
    made = made_books(wanted, layout, Cache(None), 1, lambda *_: None)
    return [(volume, bytes(pdf)) for volume, pdf, why in made if not why]


def printed(pdf: bytes, page: int | None = None) -> list[tuple[str, float]]:
    """Every text of a PDF, or of one page, in order with the size of its type."""
    found: list[tuple[str, float]] = []

    def visit(text: str, cm: list[float], tm: list[float], _: object, size: float) -> None:
        if text.strip():
            found.append((text.strip(), round(abs(size * tm[3] * cm[3]), 1)))

    pages = PdfReader(BytesIO(pdf)).pages
    for one in pages if page is None else [pages[page]]:
        one.extract_text(visitor_text=visit)
    return found


def shown(pdf: bytes) -> str:
    """The text of a PDF in one line."""
    told = subprocess.run(
        ["pdftotext", "-raw", "-", "-"], input=pdf, capture_output=True, check=True
    )
    return " ".join(told.stdout.decode().split())


def test_the_presenter_reads_third_second_first_and_ties_are_said(tmp_path):
    [(_, pdf)] = sheets(write_folder(tmp_path, AWARDED), "awards sheet")
    text = shown(pdf)

    def told(after: str, before: str) -> str:
        return text.partition(f" {after} ")[2].partition(f" {before}")[0]

    assert told("Vault", "Lantern") == (
        "Third place Bib 3 South 8.000 "
        "First place Two share first place; there is no second place. "
        "Ada Adams North 9.500 Bea Berg & <b> South 9.500"
    )
    assert told("Uneven Bars", "Second") == (
        "Third place Two share third place. "
        "Bea Berg & <b> South 8.000 Dee Dorn DORN like corn North 8.000"
    )
    beam = told("Balance Beam", "Floor")
    assert beam.startswith("Second place 3 share second place; there is no third place.")
    assert "First place Ada Adams North 9.500" in beam
    waits = "Marks are still to come: no awards yet."
    assert told("Floor Exercise", "Lantern") == f"{waits} Ribbons {waits}"
    for nobody in ("Ella Eve", "Quillana", "TSVY", "Fay Flo"):
        assert nobody not in text
    sizes = [size for text, size in printed(pdf) if re.search("Adams|Berg|Dorn|Bib 3", text)]
    assert len(sizes) >= 8
    assert min(sizes) >= 16


def test_who_performed_gets_a_ribbon_in_the_order_of_the_roster(tmp_path):
    folder = write_folder(tmp_path, AWARDED.replace("1,9.5,9.0,9.5,", "1,9.5,9.0,9.5,DNS"))
    sections = awards(BookSubject(judged(folder), Wording()))
    [ribbons] = [one.content.called for one in sections if one.template == "ribbons"]
    assert [one.name for one in ribbons] == [
        "Dee Dorn", "Ada Adams", "Bea Berg & <b>", "Bib 3", "Ella Eve",
    ]  # fmt: skip
    assert [one.said for one in ribbons] == ["DORN like corn", "", "", "", ""]
    assert not any(one.mark for one in ribbons)


@pytest.mark.parametrize("seed", range(6))
def test_whoever_is_placed_first_to_third_is_called_and_nobody_else(seed, tmp_path):
    meet = drawn(random.Random(seed), tmp_path / "drawn")
    for number in {len(meet.rows), len(meet.rows) // 2}:
        read, _ = read_meet(meet.write(tmp_path / str(number), number))
        assert read is not None
        settings = read.settings.model_copy(update={"handouts": ("awards sheet",)})
        placed, _ = results(replace(read, settings=settings))
        sections = {one.id: one.content for one in awards(BookSubject(placed, Wording()))}
        lists = {
            f"{judged.competition.id}/awards-{one.id}": one
            for judged in placed.competitions
            for one in judged.rankings
            if judged.competition.phase == "final" and one.lines
        }
        assert list(sections) == list(lists)
        for id, ranking in lists.items():
            called = [(who.name, who.mark) for step in sections[id].steps for who in step.called]
            assert called == [
                (line.name, show_mark(line.total))
                for place in (3, 2, 1)
                for line in ranking.lines
                if line.place == place and not ranking.to_come
            ]
            assert bool(sections[id].told) == (not called)


def test_how_a_name_is_said_stands_where_it_is_announced_and_nowhere_else(tmp_path):
    folder = write_folder(tmp_path / "meet", AWARDED)
    publish(folder, tmp_path / "out", WITHOUT_BOOKS, lambda *_: None)
    meet = judged(folder)
    for volume in volumes(meet, wording(meet.meet.settings)):
        assert ("DORN" in repr(volume)) == (volume.file == "awards-sheet")
        assert "TSVY" not in repr(volume)
    files = [path for path in (tmp_path / "out").rglob("*") if path.is_file()]
    assert "Dorn" in (tmp_path / "out" / "data" / "gymnasts.csv").read_text("utf-8")
    for path in files:
        with zipfile.ZipFile(path) if path.suffix == ".xlsx" else nullcontext() as packed:
            parts = [packed.read(name) for name in packed.namelist()] if packed else []
        whole = b"".join((path.read_bytes(), *parts))
        assert (b"DORN" in whole) == (path.name == "announcer.html"), path
        assert b"TSVY" not in whole


# Wall sheets


WALL = """
== meet.toml ==
title = "Lantern Cup"
languages = ["fr", "en"]
base_url = "https://example.org/lantern-cup"
handouts = ["wall sheets"]
[[competition]]
id = "women"
title = "Women"
discipline = "women"
rules = "club-ten"
apparatus = ["BB", "FX"]
ranks = ["apparatus"]
== roster.csv ==
bib,family_name,given_name,club,guest,publish,entered
{roster}
== marks.csv ==
bib,BB,FX
{marks}
"""

LONG = "Verylongfamilyname-Anotherlongfamilyname-Withathirdone"
NAMES = {
    6: "Zweibrück,Quillana",
    2: f"{LONG},Cymbeline Philippa",
    3: '"<script>alert(1)</script> & ""Eve""",Ada',
    4: f"{60 * chr(77)},",
}
CLUBS = ("TV Ulmenquell", "North", "Turnverein Sankt Wendelin 1887 eingetragener Verein")


def wall_meet(folder: Path) -> Path:
    """Forty on beam, eight of them on floor; with a long name, a hostile one, a guest and one that
    is withheld. A mark is to come on beam."""
    roster, marks = [], []
    for n in range(1, 41):
        name, entered = NAMES.get(n, f"Winterfeld{n},Anastasia"), "BB" if n > 8 else ""
        roster.append(f"{n},{name},{CLUBS[n % 3]},{'yes' * (n == 5)},{'no' * (n == 6)},{entered}")
        beam = "" if n == 40 else Decimal(9900 - 38 * (n // 2)) / 1000
        marks.append(f"{n},{beam},{'' if entered else '9.0'}")
    text = WALL.replace("{roster}", "\n".join(roster)).replace("{marks}", "\n".join(marks))
    return write_folder(folder, text)


def test_a_wall_sheet_has_every_row_in_large_type_and_a_code_to_its_list(tmp_path):
    folder = wall_meet(tmp_path / "meet")
    [(volume, pdf)] = sheets(folder, "wall sheets")
    texts = [printed(pdf, n) for n in range(len(volume.sections))]
    pages = [" ".join(text for text, _ in page) for page in texts]
    assert len(PdfReader(BytesIO(pdf)).pages) == len(volume.sections)
    lists = [one.id.split("/")[2] for one in volume.sections]
    base = "https://example.org/lantern-cup/en/competitions/women"
    assert codes(pdf, tmp_path) == [[f"{base}/{name.lower()}.html"] for name in lists]
    for ranking, count in zip(judged(folder).competitions[0].rankings, (40, 8), strict=True):
        held = [n for n, name in enumerate(lists) if name == ranking.id]
        parts = [volume.sections[n].content.part for n in held]
        assert parts == [f"{n} of {len(held)}" * (len(held) > 1) for n in range(1, len(held) + 1)]
        rows = [row for n in held for row in volume.sections[n].tables[0].rows]
        assert len(rows) == len(ranking.lines) == count
        text, end = bare(" ".join(pages[n] for n in held)), 0
        for row, line in zip(rows, ranking.lines, strict=True):
            place, name, *_ = (bare(cell.text) for cell in row.cells)
            assert name == bare(line.name)
            assert line.place is None or place == str(line.place)
            end = text.index(place + name, end) + len(place + name)
    small = [text for page in texts for text, size in page if size < 16]
    assert small
    assert not [text for text in small if re.search(r"Winterfeld|Wendelin|Bib|9[.,]\d", text)]
    assert "Under way" in pages[0]
    assert "Under way" not in pages[-1]


def codes(pdf: bytes, folder: Path) -> list[list[str]]:
    """What a telephone reads from a picture of each page."""
    draw = ["pdftoppm", "-r", "80", "-png", "-", folder / "page"]
    subprocess.run(draw, input=pdf, check=True)
    return [[code.text for code in read_barcodes(Image.open(path))]
            for path in sorted(folder.glob("page-*.png"))]  # fmt: skip


def bare(text: str) -> str:
    """Text without any space, since a line may break anywhere."""
    return "".join(text.split())


def test_without_an_address_a_wall_sheet_has_no_code(tmp_path):
    folder = wall_meet(tmp_path)
    text = (folder / "meet.toml").read_text("utf-8")
    (folder / "meet.toml").write_text(re.sub("base_url.*\n", "", text), "utf-8")
    results = judged(folder)
    held = wall_sheets(BookSubject(results, Wording(), results.competitions[0]))
    assert {one.content.code for one in held} == {None}


def test_what_is_handed_out_stands_by_itself_among_the_downloads(tmp_path):
    """A list has its own book as its printed form, not a sheet for the wall."""
    folder = wall_meet(tmp_path / "meet")
    results = judged(folder)
    words = wording(results.meet.settings, LANGUAGES["en"])
    made = volumes(results, words)
    books = [Download(f"books/{v.file}.pdf", v.title, 1, "en", v.group, v.target) for v in made]
    write_site(results, find_theme("standard"), tmp_path / "out", tuple(books), ())
    page = html.parse(tmp_path / "out" / "en" / "downloads.html").getroot()
    [section] = page.xpath("//section[h2='To hand out']")
    assert section.xpath(".//tbody/tr/th/text()") == ["Women: Wall sheets"]
    assert {volume.file for volume in made if volume.group == "To hand out"} == {
        "women-wall-sheets"
    }
    assert not [v for v in made if v.target and v.group == "To hand out"]
