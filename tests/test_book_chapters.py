"""The chapters and books beside the lists: index, codes, schedule, press summary, clubs."""

from __future__ import annotations

import re
import subprocess
from functools import cache
from itertools import pairwise
from pathlib import Path
from urllib.parse import unquote

import pikepdf
import pytest
from folders import judged, write_folder
from lxml import html

from resultsgen.books import making
from resultsgen.books.making import write_books
from resultsgen.books.page_ranges import page_ranges
from resultsgen.books.press import PressError
from resultsgen.books.tables import typeset
from resultsgen.books.volumes import Volume, volumes
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.publish import publish
from resultsgen.theme.theme import find_theme
from resultsgen.views.lists import book_frame
from resultsgen.views.lists.rankings import list_table
from resultsgen.views.lists.sections import (
    BookSubject,
    Indexed,
    Section,
    index_entries,
    index_sections,
)
from resultsgen.views.words.wording import wording

ROOT = Path(__file__).parent.parent

MEET = """
    == meet.toml ==
    title = "Lantern Cup"
    theme = "{theme}"
    paper = "{paper}"
    published = 2031-05-18T18:00:00+02:00
    [press]
    contact = ["Press office", "press@example.org"]
    embargo = "Until 18 May 2031, 19:00"
    [[competition]]
    id = "late"
    title = "Women, evening"
    discipline = "women"
    divisions = ["late"]
    ranks = ["all-around", "apparatus"]
    day = 2031-05-18
    time = "19:30"
    [[competition]]
    id = "early"
    title = "Women, morning"
    discipline = "women"
    divisions = ["early"]
    ranks = ["all-around", "apparatus", "team"]
    team = {{ format = "6-6-3", by = "club" }}
    day = 2031-05-18
    time = "9:00"
    [[competition.cuts]]
    name = "Final"
    of = "all-around"
    places = 8
    reserves = 2
    reserve_order = ["39", "79", "119"]
    == roster.csv ==
    bib,family_name,given_name,club,division,squad,publish
"""
"""A meet whose start list, all-around and index are longer than a page."""

GYMNASTS, CLUBS = 120, 11
READ = ("00", "07", "10")
"""The clubs whose books are made."""

WITHHELD = "Hiddenfamilyname"


def quiet(*_: object) -> None:
    """Progress that nobody wants to hear of."""


def roster() -> str:
    """Half of the gymnasts in each competition, one with a name that must not be told."""
    return "".join(
        f"{bib},{WITHHELD if bib == 7 else f'Family{bib:03}'},Given{'name' * (bib % 5)},"
        f"Gymnastics Club of Lower Town {bib % CLUBS:02},{'early' if bib % 2 else 'late'},"
        f"{bib % 8},{'no' if bib == 7 else 'yes'}\n"
        for bib in range(1, GYMNASTS + 1)
    )


def shown(mark: int) -> str:
    """A mark as a table has it."""
    return f"{mark // 1000}.{mark % 1000:03}"


def marks(step: int = 613) -> str:
    """Few different marks, so that there are many ties."""
    rows = [
        f"{bib},{code},{shown(total)},5.000,{shown(total - 5000)}"
        for bib in range(1, GYMNASTS + 1)
        for number, code in enumerate(("VT", "UB", "BB", "FX"))
        for total in [9000 + (bib * step + number * 97) % 40 * 100]
    ]
    return "bib,apparatus,mark,d,e\n" + "\n".join(rows) + "\n"


def folder(place: Path, theme: str = "standard", paper: str = "A4") -> Path:
    """The meet in a folder of its own."""
    made = write_folder(place, MEET.format(theme=theme, paper=paper))
    told = made / "roster.csv"
    told.write_text(told.read_text("utf-8") + roster(), encoding="utf-8")
    (made / "marks.csv").write_text(marks(), encoding="utf-8")
    return made


def told(meet: Path) -> dict[str, Volume]:
    """What the books of a meet hold, by file name."""
    results = judged(meet)
    return {one.file: one for one in volumes(results, wording(results.meet.settings))}


def some_volumes(*about: object) -> tuple[Volume, ...]:
    """Of the books of clubs those that are looked at."""
    return tuple(v for v in volumes(*about) if v.file[:5] != "club-" or v.file[-2:] in READ)


def written(meet: Path, place: Path, cache: Path | None = None) -> dict[str, Path]:
    """The books of a meet by file name."""
    results = judged(meet)
    made = write_books(results, find_theme(results.meet.settings.theme), place, quiet, cache=cache)
    return {Path(one.address).stem: place / Path(one.address).name for one in made}


@pytest.fixture(scope="module")
def meet(tmp_path_factory):
    """The folder of the meet."""
    return folder(tmp_path_factory.mktemp("meet"))


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    """The cache that its books are made with."""
    return tmp_path_factory.mktemp("cache")


@pytest.fixture(scope="module")
def books(meet, kept, tmp_path_factory):
    """Its books."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(making, "volumes", some_volumes)
        return written(meet, tmp_path_factory.mktemp("books"), kept)


@cache
def pages(book: Path) -> list[str]:
    """The text of each page without any space, since a line may break anywhere."""
    done = subprocess.run(["pdftotext", "-raw", book, "-"], capture_output=True, check=True)
    return [re.sub(r"\s", "", page) for page in done.stdout.decode().split("\f")[:-1]]


def section(volume: Volume, id: str) -> Section:
    """One section of a book."""
    return next(one for one in volume.sections if one.id == id)


# Which books there are


def test_the_books_and_their_file_names(meet, books):
    lists = ("vt", "ub", "bb", "fx", "all-around", "press")
    wanted = {"result-book", "qualification", "start-lists", "early-team"}
    wanted |= {f"{one}-{name}" for one in ("early", "late") for name in lists}
    clubs = {f"club-gymnastics-club-of-lower-town-{n:02}" for n in range(CLUBS)}
    assert set(told(meet)) == wanted | clubs
    assert set(books) == wanted | {one for one in clubs if one.endswith(READ)}


def test_books_of_one_kind_hold_what_the_complete_book_holds(meet, books):
    volumes = told(meet)
    # Below the text of a page stand the title of the meet, the head and the foot.
    whole = [page.rpartition("LanternCup")[0] for page in pages(books["result-book"])]
    for name in ("qualification", "start-lists"):
        assert set(volumes[name].sections) < set(volumes["result-book"].sections)
        inside = [page.rpartition("LanternCup")[0] for page in pages(books[name])]
        assert all(inside)
        assert all(any(page in one for one in whole) for page in inside)


def test_downloads_are_filed_by_competition_and_clubs_and_home_has_the_main_ones(
    meet, books, kept, tmp_path, monkeypatch
):
    monkeypatch.setenv("RESULTSGEN_CACHE", str(kept))
    monkeypatch.setattr(making, "volumes", some_volumes)
    out = tmp_path / "out"
    publish(meet, out, BuildOptions(), quiet)
    tree = html.fromstring((out / "downloads.html").read_bytes())
    groups = tree.xpath("//main//h3//text()")
    assert groups == ["Women, evening", "Women, morning"]
    main = ["books/result-book.pdf", "books/qualification.pdf", "books/start-lists.pdf"]
    whole = "//section[h2 = 'The whole meet']//a/@href"
    assert [one for one in tree.xpath(whole) if one.endswith(".pdf")] == main
    assert len(tree.xpath("//section[h2 = 'Clubs']//tbody/tr")) == len(READ)
    home = html.fromstring((out / "index.html").read_bytes())
    assert [one for one in home.xpath("//a/@href") if one.endswith(".pdf")] == main
    _assert_pages_lead_to_their_sheets(out)


def _assert_pages_lead_to_their_sheets(out: Path) -> None:
    """What a page without a book of its own leads to: a named place in one, where it stands."""
    led = set()
    for at in (out / "competitions").glob("*/*.html"):
        (link,) = html.fromstring(at.read_bytes()).xpath("//*[@class='paper']/a/@href") or [""]
        address, _, name = link.partition("#nameddest=")
        if name:
            book, page = (at.parent / address).resolve(), f"list:{at.parent.name}/{at.stem}"
            assert unquote(name) == page
            with pikepdf.open(book) as pdf:
                places = list(map(str, pdf.Root.Names.Dests.Names[::2]))
            assert page in places
            led.add((at.stem, book.stem))
    assert led == {("qualification", "qualification"), ("start-list", "start-lists")}


# The index of gymnasts


def index_of(book: Path) -> dict[str, list[tuple[str, int]]]:
    """For each gymnast the page numbers and ranges that the index prints, the main one first, and
    the pages they lead to."""
    found: dict[str, list[tuple[str, int]]] = {}
    with pikepdf.open(book) as pdf:
        numbers = {page.obj.objgen: number for number, page in enumerate(pdf.pages, start=1)}
        names = list(pdf.Root.Names.Dests.Names)
        places = {
            str(name): numbers[place[0].objgen]
            for name, place in zip(names[::2], names[1::2], strict=True)
        }
        for link in (link for page in pdf.pages for link in page.obj.get("/Annots", [])):
            row = re.search(r"gymnast:[^/]*/[^/]*", target := str(link.Dest))
            if row:
                found.setdefault(row[0], []).append((str(link.Contents), places[target]))
    return found


def test_the_index_names_every_page_with_a_row_of_a_gymnast_and_no_other(meet, books):
    results = judged(meet)
    texts = pages(books["result-book"])
    index = index_of(books["result-book"])
    people = {f"gymnast:{one.person}": one for one in results.gymnasts.values()}
    assert index.keys() == people.keys()
    for target, numbers in index.items():
        one = people[target]
        name = one.name if one.published else f"Bib {one.bib}"
        spans = [[*map(int, text.split("–"))] for text, _ in numbers]
        printed = [number for span in spans for number in range(span[0], span[-1] + 1)]
        assert printed[1:] == sorted({*printed[1:]} - {printed[0]}), name
        assert [span[0] for span in spans] == [led for _, led in numbers], name
        assert all(name.replace(" ", "") in texts[number - 1] for number in printed), name
        # Where the club stands behind the name, this is a row and no note; but for the index
        # itself, where a number follows.
        row = re.compile(re.escape(f"{name}{one.club}".replace(" ", "")) + r"(?!\d+,)")
        rows = {number for number, text in enumerate(texts, start=1) if row.search(text)}
        assert len(rows) > 3, name
        assert rows <= set(printed), name


def test_the_index_prints_the_names_with_their_numbers(meet, books):
    results = judged(meet)
    volume = told(meet)["result-book"]
    text = "".join(pages(books["result-book"]))
    index = index_of(books["result-book"])
    subject = BookSubject(results, wording(results.meet.settings))
    for entry in index_entries(volume.sections, subject):
        gymnast = re.search(r"gymnast:[^/]*/[^/]*", entry.rows[0])[0]
        (main, _), *others = index[gymnast]
        numbers = main + ",".join(printed for printed, _ in others)
        body = f"{entry.bib}·{entry.body}" if entry.bib else entry.body
        assert f"{entry.name}{body}{numbers}".replace(" ", "") in text, entry.name


def test_a_long_index_is_in_sections_named_after_the_first_and_last_in_them(meet):
    results = judged(meet)
    subject = BookSubject(results, wording(results.meet.settings))
    names = [f"Family{number:03}" for number in range(401)]
    entries = tuple(Indexed(f"{one} Given", one, "", "", "", ()) for one in names)
    index = next(book_frame.index(subject))
    parts = list(index_sections(index, entries, subject.wording))
    assert [one.title for one in parts] == [
        "Family000 – Family132",
        "Family133 – Family266",
        "Family267 – Family400",
    ]
    assert [entry for one in parts for entry in one.content] == list(entries)
    assert {one.chapter for one in parts} == {"Index of gymnasts"}
    assert [one.id for one in parts] == ["index", "index-2", "index-3"]
    assert len(list(page_ranges(tuple(parts)))) == 3
    (whole,) = index_sections(index, entries[:200], subject.wording)
    assert (whole.title, whole.chapter) == ("Index of gymnasts", "")


def test_a_withheld_name_stands_in_no_book_and_its_bib_in_the_index(meet, books):
    for name, book in books.items():
        assert WITHHELD not in "".join(pages(book)), name
    volume = told(meet)["result-book"]
    assert section(volume, "index").content[-1].name == "Bib 7"
    assert "Bib7" in "".join(pages(books["result-book"])[-6:])


# Codes and schedule


def test_the_page_of_codes_has_every_code_that_a_table_explains(meet):
    volume = told(meet)["result-book"]
    codes = section(volume, "codes")
    listed = {row.cells[0].text for table in codes.tables for row in table.rows}
    used = {code for one in volume.sections for table in one.tables for code, _ in table.legend}
    # "R1" alone is part of "R1, R2".
    assert {code for code in used if not code.startswith("R")} <= listed
    assert {"VT", "UB", "BB", "FX", "D", "E", "Q", "R1, R2"} <= listed


def test_the_schedule_is_in_the_order_of_time(meet, books):
    volume = told(meet)["result-book"]
    (table,) = section(volume, "schedule").tables
    assert [[cell.text for cell in row.cells] for row in table.rows] == [
        ["Women, morning", "18 May 2031", "9:00", "60"],
        ["Women, evening", "18 May 2031", "19:30", "60"],
    ]


# The press summary


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("theme", ["standard", "gala", "bulletin"])
def test_a_press_summary_is_one_page_in_every_theme(theme, paper, tmp_path, monkeypatch):
    made = folder(tmp_path / "meet", theme, paper)
    results = judged(made)
    only = [one for one in volumes(results, wording(results.meet.settings)) if "press" in one.file]
    monkeypatch.setattr(making, "volumes", lambda *_: tuple(only))
    for name, book in written(made, tmp_path / "books").items():
        (text,) = pages(book)
        assert "press@example.org" in text, name
        assert "Until18May2031,19:00" in text, name


SMALL = """
    == meet.toml ==
    title = "Lantern Cup"
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["VT"]
    phase = "final"
    ranks = ["apparatus"]
    == roster.csv ==
    bib,family_name,given_name,club
    1,Adams,Ada,North
    2,Brand,Bea,South
    3,{third},Cleo,North
    == marks.csv ==
    bib,apparatus,mark,d,e
    1,VT,13.100,5.0,8.1
    2,VT,13.100,5.2,7.9
    3,VT,12.500,5.0,7.5
"""


def test_a_press_summary_tells_the_first_of_each_list_with_margins_and_ties(tmp_path):
    meet = write_folder(tmp_path / "meet", SMALL.format(third="Cole"))
    (text,) = pages(written(meet, tmp_path / "books")["women-press"])
    # By hand: the tie goes to the higher E score, 8.100; 13.100 - 12.500.
    assert "1AdamsAdaNorth13.1002BrandBeaSouth13.1003ColeCleoNorth12.500−0.600" in text
    assert "Tiesandhowtheyweresettled" in text
    assert "placedbytheEscore:AdamsAda8.100,BrandBea7.900." in text


def test_of_many_who_share_a_place_a_press_summary_tells_how_many_more(books):
    (text,) = pages(books["early-press"])
    assert re.search(r"and\d+more", text)


# The book of a club


def test_a_club_book_has_all_marks_of_its_gymnasts_and_nobody_elses_rows(meet, books):
    results = judged(meet)
    for number in READ:
        club = f"Gymnastics Club of Lower Town {number}"
        name = f"club-gymnastics-club-of-lower-town-{number}"
        text = "".join(pages(books[name]))
        own = {one.person for one in results.gymnasts.values() if one.club == club}
        entries = [one for one in told(meet)[name].sections if one.id.startswith("entry-")]
        rows = [row for one in entries for table in one.tables for row in table.rows]
        targets = {cell.target for row in rows for cell in row.cells if "gymnast:" in cell.target}
        assert targets == {f"gymnast:{one}" for one in own}
        for competition in results.competitions:
            for line in competition.all_around.lines:
                if line.gymnast.club == club:
                    for routine in line.routines:
                        assert shown(routine.mark) in text
        assert len(pages(books[name])) <= 4


def test_the_names_in_the_index_are_in_the_order_of_the_site(meet):
    names = [one.name for one in section(told(meet)["result-book"], "index").content]
    assert all(upper < lower for upper, lower in pairwise(names[:-1]))


# Letters


def test_a_letter_that_no_font_has_is_told_and_never_a_box(tmp_path):
    made = write_folder(tmp_path / "meet", SMALL.format(third="Co\U0010fffdle"))
    with pytest.raises(PressError, match=r"no font .* U\+10FFFD.* “Co\S*le Cleo”"):
        written(made, tmp_path / "books")


GUESTS = """
    == meet.toml ==
    title = "Cup"
    [[competition]]
    id = "cup"
    title = "Cup"
    discipline = "women"
    apparatus = ["VT"]
    ranks = ["apparatus"]
    == roster.csv ==
    bib,family_name,guest
    1,Ash,
    2,Bay,yes
    3,Cob,yes
    4,Dew,
    == marks.csv ==
    bib,VT
    1,9.000
    2,8.000
    3,DNS
    4,DNS
"""


def test_the_word_guest_has_room_where_she_has_no_total_too(tmp_path):
    """Rows in which it stands have the class that sets it small, and are without a place all the
    same: the line above them is drawn once."""
    results = judged(write_folder(tmp_path, GUESTS))
    (cup,) = results.competitions
    table = list_table(cup, cup.rankings[0], wording(results.meet.settings))
    assert [row.kind for row in table.rows] == ["ranked", "guest", "guest unranked", "unranked"]
    told = [row.style.split() for block in typeset(table, ()).blocks for row in block.rows]
    assert [("guest" in one, "first" in one) for one in told[1:]] == [
        (True, False), (True, True), (False, False),
    ]  # fmt: skip
