"""Certificates: who gets one, what stands on it, and that each is a page fit for the wall."""

from __future__ import annotations

import random
import re
import subprocess
from collections import Counter
from pathlib import Path

import pikepdf
import pytest
from folders import judged, picture, write_folder
from PIL import Image
from running_drawn import drawn

from resultsgen.books.layout import Layout
from resultsgen.books.making import made_books
from resultsgen.books.volumes import BOOKS, Volume, volumes
from resultsgen.files.cache import Cache
from resultsgen.language import LANGUAGES
from resultsgen.publishing.notes import not_handed_out
from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import results
from resultsgen.scoring.results import Results
from resultsgen.theme.theme import find_theme
from resultsgen.views.handouts.certificates import Certificate
from resultsgen.views.words.wording import Wording, wording

HANDED_OUT = tuple(book for book in BOOKS if "certificates" in book.handouts)

MEET = """
    == meet.toml ==
    title = "Lantern Cup"
    place = "Lindmoor"
    dates = [2031-03-15]
    handouts = ["certificates"]
    [[competition]]
    id = "five"
    title = "Women, level 5"
    discipline = "women"
    divisions = ["5"]
    rules = "club-ten"
    apparatus = ["VT", "BB"]
    ranks = ["all-around", "apparatus", "team"]
    team = { format = "3-3-2", by = "club" }
    [[competition]]
    id = "six"
    title = "Women, level 6"
    discipline = "women"
    divisions = ["6"]
    rules = "club-ten"
    apparatus = ["VT", "BB"]
    ranks = ["all-around"]
    [[competition]]
    id = "final"
    title = "Women, level 6, final"
    discipline = "women"
    divisions = ["6"]
    rules = "club-ten"
    apparatus = ["BB"]
    ranks = ["apparatus"]
    starters = ["7"]
    == roster.csv ==
    bib,family_name,given_name,club,division,guest,publish
    1,Adams,Ada,North,5,,
    2,Berg,Bea,North,5,,
    3,Hiddenfamily,Cyd,South,5,,no
    4,Dorn,Dee,South,5,,
    5,Eve,Ella,North,5,yes,
    6,Frey,Fay,South,5,,
    7,Gale,Gia,North,6,,
    8,Hart,Hal,South,6,,
    1,Adams,Ada,North,6,,
    == marks.csv ==
    competition,bib,apparatus,mark
    five,1,VT,9.500
    five,1,BB,9.000
    five,2,VT,9.000
    five,2,BB,9.500
    five,3,VT,8.000
    five,3,BB,9.500
    five,4,VT,8.000
    five,4,BB,DNS
    five,5,VT,9.900
    five,5,BB,9.900
    five,6,VT,DNS
    five,6,BB,DNS
    six,7,VT,9.100
    six,7,BB,9.200
    six,8,VT,9.300
    six,8,BB,8.000
    six,1,VT,7.000
    six,1,BB,7.000
    final,7,BB,9.400
    """


def given(folder: Path, text: str = MEET, words: Wording | None = None) -> dict[str, Volume]:
    """The volumes of certificates by file."""
    found = judged(write_folder(folder, text))
    words = words or wording(found.meet.settings)
    return {one.file: one for one in volumes(found, words, HANDED_OUT)}


def pages_of(volume: Volume) -> list[Certificate]:
    contents = [section.content for section in volume.sections]
    assert all(isinstance(content, Certificate) for content in contents)
    return contents  # type: ignore[return-value]


def told(page: Certificate) -> list[tuple[str, str, str]]:
    return [(row.list, row.place, row.mark) for group in page.groups for row in group.rows]


def test_everybody_who_performed_has_a_page_for_each_level(tmp_path):
    """Bib 6 did not start; bib 1 is in two levels; bib 7 is in a final beside."""
    made = given(tmp_path)
    every = [(page.name or page.bib, page.level) for page in pages_of(made["certificates"])]
    five, six = "Women, level 5", "Women, level 6"
    assert every == [
        ("Ella Eve", f"{five}, guest"),
        *((name, five) for name in ("Ada Adams", "Bea Berg", "Bib 3", "Dee Dorn")),
        ("Gia Gale", ""),
        ("Hal Hart", six),
        ("Ada Adams", six),
    ]
    clubs = {file: len(pages_of(volume)) for file, volume in made.items()}
    assert clubs == {"certificates": 8, "certificates-north": 5, "certificates-south": 3}
    assert made["certificates-north"].title == "North: Certificates"


def test_places_and_marks_of_every_list_stand_there_and_who_shares_a_place(tmp_path):
    pages = {page.name or page.bib: page for page in pages_of(given(tmp_path)["certificates"])[:6]}
    assert told(pages["Bea Berg"]) == [
        ("All-around", "shared 1st place", "18.500"),
        ("Team", "1st place", "37.000"),
        ("Vault", "2nd place", "9.000"),
        ("Balance Beam", "shared 1st place", "9.500"),
    ]
    assert told(pages["Dee Dorn"]) == [
        ("Team", "2nd place", "25.500"),
        ("Vault", "shared 3rd place", "8.000"),
    ]
    assert {place for _, place, _ in told(pages["Ella Eve"])} == {""}
    assert [group.title for group in pages["Gia Gale"].groups] == [
        "Women, level 6",
        "Women, level 6, final",
    ]
    assert told(pages["Gia Gale"])[-1] == ("Balance Beam", "1st place", "9.400")


def test_the_name_stands_in_the_order_of_the_meet(tmp_path):
    for order in ("given first", "family first"):
        text = MEET.replace("handouts", f'names = "{order}"\n    handouts', 1)
        name = pages_of(given(tmp_path, text)["certificates"])[0].name
        assert name == ("Ella Eve" if order == "given first" else "Eve Ella")


def test_only_the_placed_have_one_where_the_meet_says_so(tmp_path):
    text = MEET.replace(
        "handouts", 'certificates = { for = "placed", places = 1 }\n    handouts', 1
    )
    pages = pages_of(given(tmp_path, text)["certificates"])
    assert [page.name or page.bib for page in pages] == [
        "Ada Adams",
        "Bea Berg",
        "Bib 3",
        "Gia Gale",
    ]


def test_nobody_gets_one_while_a_mark_of_the_level_is_to_come(tmp_path):
    """Bib 7 waits for the final, the others of level 6 do not."""
    text = MEET.replace("final,7,BB,9.400\n", "").replace("five,2,BB,9.500\n", "")
    pages = pages_of(given(tmp_path, text)["certificates"])
    assert [page.name for page in pages] == ["Hal Hart", "Ada Adams"]
    (note,) = not_handed_out(judged(tmp_path))
    assert "all who are in Women, level 5, Women, level 6, final: marks" in note
    assert list(not_handed_out(judged(write_folder(tmp_path / "whole", MEET)))) == []


def test_who_signs(tmp_path):
    officials = """
    [[officials]]
    role = "Meet director"
    name = "Bruno Ackerly"
    [[competition]]
    id = "five"
    """
    own = 'certificates = { signatures = ["Coach", "Club"] }\n    handouts'
    plain = 'certificates = { design = "plain" }\n    handouts'
    named = MEET.replace('[[competition]]\n    id = "five"', officials.strip(), 1)
    for text, lines in (
        (MEET, ("",)),
        (named, ("Bruno Ackerly, Meet director",)),
        (named.replace("handouts", own, 1), ("Coach", "Club")),
        (named.replace("handouts", plain, 1), ()),
    ):
        pages = pages_of(given(tmp_path, text)["certificates"])
        assert {page.signatures for page in pages} == {lines}


@pytest.mark.parametrize("seed", range(12))
def test_every_page_tells_what_the_lists_tell(seed, tmp_path):
    """On random meets: as many pages as entries with a mark and none to come, and their places."""
    meet = drawn(random.Random(seed), tmp_path / "drawn")
    meet.files["meet.toml"] = 'handouts = ["certificates"]\n' + meet.files["meet.toml"]
    for number in {len(meet.rows), len(meet.rows) // 2}:
        read, _ = read_meet(meet.write(tmp_path / str(number), number))
        placed, _ = results(read)
        made = volumes(placed, wording(placed.meet.settings), HANDED_OUT)
        pages = [page for one in made if one.file == "certificates" for page in pages_of(one)]
        assert Counter((page.bib, page.name) for page in pages) == wanted(placed)
        for page in pages:
            assert set(told(page)) <= lines_of(placed, page.bib)
        by_club = [page for one in made if one.file != "certificates" for page in pages_of(one)]
        assert sorted(map(repr, by_club)) == sorted(map(repr, pages))


def wanted(placed: Results) -> Counter[tuple[str, str]]:
    """Who has a mark somewhere, and none to come in any competition of the division."""
    found: Counter[tuple[str, str]] = Counter()
    for who in placed.gymnasts.values():
        mine = [
            one for one in placed.competitions if any(who == each.gymnast for each in one.starts)
        ]
        marks = {each.mark for one in mine for whose, each in one.routines if whose == who}
        if all(one.complete for one in mine) and marks - {None}:
            found[f"Bib {who.bib}", f"{who.given} {who.family}".strip()] += 1
    return found


def lines_of(placed: Results, bib: str) -> set[tuple[str, str, str]]:
    """What the lists say of a bib: the name of the list, the place in words and the total."""
    words, found = wording(placed.meet.settings), set()
    mark = words.language.mark
    for one in placed.competitions:
        for ranking in one.rankings:
            name, places = words.list_name(ranking.id), [line.place for line in ranking.lines]
            for line in ranking.lines:
                if bib in {f"Bib {who.bib}" for who in line.of.gymnasts}:
                    told = in_words(line.place, places), mark(line.total)
                    found |= {(name, *told), (f"{name}: {line.name}", *told)}
        for who, routine in one.routines:
            if bib == f"Bib {who.bib}":
                found.add((words.apparatus(routine.apparatus), "", mark(routine.mark)))
    return found


def in_words(place: int | None, places: list[int | None]) -> str:
    if place is None:
        return ""
    ending = {1: "st", 2: "nd", 3: "rd"}.get(place, "th")
    return f"{'shared ' * (places.count(place) > 1)}{place}{ending} place"


# On paper


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    """Fonts that are cut, and pages, of all tests."""
    return Cache(tmp_path_factory.mktemp("cache"))


def printed(
    folder: Path, text: str, theme: str, kept: Cache
) -> tuple[Volume, pikepdf.Pdf, bytes, list[str]]:
    """The certificates of a meet as a PDF, and the text of each page."""
    found = judged(write_folder(folder, text))
    settings = found.meet.settings
    words = wording(settings, LANGUAGES[settings.languages[0]])
    made = volumes(found, words, HANDED_OUT[:1])
    layout = Layout(found.meet, find_theme(theme, folder), words)
    ((volume, pdf, why),) = made_books(made, layout, kept, 1, lambda *_: None)
    assert not why
    path = folder / "certificates.pdf"
    path.write_bytes(pdf)
    done = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, check=True)
    return volume, pikepdf.open(path), bytes(pdf), done.stdout.decode().split("\f")[:-1]


def places(folder: Path) -> list[tuple[float, float, str]]:
    """Each word of the certificates, with where it begins and ends from the upper edge."""
    command = ["pdftotext", "-bbox", folder / "certificates.pdf", "-"]
    boxes = subprocess.run(command, capture_output=True, check=True).stdout.decode()
    found = re.findall(r'yMin="([\d.]+)" xMax="[\d.]+" yMax="([\d.]+)">([^<]*)<', boxes)
    return [(float(high), float(low), word) for high, low, word in found]


@pytest.fixture(scope="module")
def usual(tmp_path_factory, kept):
    """The certificates of the meet in the usual theme."""
    return printed(tmp_path_factory.mktemp("usual"), MEET, "standard", kept)


def test_each_is_a_page_with_the_name_in_large_type(usual):
    volume, pdf, _, texts = usual
    pages = pages_of(volume)
    assert len(pdf.pages) == len(texts) == len(pages)
    for page, text in zip(pages, texts, strict=True):
        shown = page.name or page.bib
        assert text.count(shown) == 1
        assert not any(other.name in text for other in pages if other.name not in ("", page.name))
        for row in told(page):
            assert re.search(r"\s+".join(re.escape(cell) for cell in row if cell), text)
        assert "Lantern Cup" in text
        assert not re.search("Page 1|Provisional", text)
    sizes = [
        float(operands[1])
        for operands, operator in pikepdf.parse_content_stream(pdf.pages[0])
        if str(operator) == "Tf"
    ]
    assert max(sizes) * 0.75 >= 40
    assert pdf.Root.MarkInfo.Marked


def test_no_withheld_name_is_in_any_byte(usual):
    _, pdf, raw, texts = usual
    assert "Bib 3" in texts[3]
    streams = b"".join(one.read_bytes() for one in pdf.objects if isinstance(one, pikepdf.Stream))
    for told in (raw, streams, "".join(texts).encode()):
        assert not re.search(b"Hiddenfamily|Cyd", told)


LONGEST = """
    == meet.toml ==
    title = "International Lantern Cup of the Gymnastics Youth of Lower Lindmoor"
    place = "Lindmoor"
    dates = [2031-05-31, 2031-06-01]
    languages = ["de"]
    paper = "Letter"
    logo = "logo.png"
    handouts = ["certificates"]
    [certificates]
    picture = "hall.png"
    signatures = ["Wettkampfleitung", "Oberkampfgericht", "Vereinsvorsitz"]
    [[competition]]
    id = "first"
    title = "Men, first day"
    discipline = "men"
    rules = "club-ten"
    ranks = ["all-around", "apparatus", "team"]
    team = { format = "3-3-2", by = "team" }
    [[competition]]
    id = "second"
    title = "Men, second day"
    discipline = "men"
    rules = "club-ten"
    == roster.csv ==
    bib,family_name,given_name,club,team
    1,Obersteinhagen-Wintermantel,Maximilian Alexander,Gymnasts of Lower Lindmoor,North and South
    == marks.csv ==
    competition,bib,FX,PH,SR,VT,PB,HB
    first,1,9.100,9.200,9.300,9.400,9.500,9.600
    second,1,9.100,9.200,9.300,9.400,9.500,9.600
    """


@pytest.mark.parametrize("theme", ["standard", "gala", "bulletin"])
def test_the_longest_still_fits_on_a_sheet_and_nothing_is_printed_over(theme, tmp_path, kept):
    """On Letter, the lower of both papers, with a name of two lines, logo and picture."""
    (tmp_path / "assets").mkdir()
    for name in ("logo.png", "hall.png"):
        (tmp_path / "assets" / name).write_bytes(picture(size=(400, 300)))
    _, pdf, _, (text,) = printed(tmp_path, LONGEST, theme, kept)
    assert len(pdf.pages) == 1
    assert "und 5 weitere Listen" in text
    (end,) = [low for _, low, word in places(tmp_path) if word == "Listen"]
    assert end < min(high for high, _, word in places(tmp_path) if word == "International")


def test_a_picture_is_in_the_file_once_however_many_show_it(tmp_path, kept):
    (tmp_path / "assets").mkdir()
    Image.new("RGBA", (900, 900), (0, 0, 128, 90)).save(tmp_path / "assets" / "logo.png")
    _, pdf, *_ = printed(
        tmp_path, MEET.replace("place", 'logo = "logo.png"\n    place', 1), "gala", kept
    )
    shown = [page.get_images() for page in pdf.pages]
    assert len(shown) == 8
    assert all(len(images) == 1 for images in shown)
    assert len({image.objgen for images in shown for image in images.values()}) == 1
    pictures = [
        (int(one.Width), int(one.Height))
        for one in pdf.objects
        if isinstance(one, pikepdf.Stream) and one.get("/Subtype") == "/Image"
    ]
    assert pictures == [(600, 600)] * 2  # The picture, and its mask.


def test_on_paper_of_the_club_itself_the_upper_part_stays_free(tmp_path, kept):
    plain = 'certificates = { design = "plain", top = 120 }\n    handouts'
    volume, *_ = printed(tmp_path, MEET.replace("handouts", plain, 1), "gala", kept)
    # The letters of a large line have room above them that its height does not count.
    assert min(high for high, _, _ in places(tmp_path)) >= 117 / 25.4 * 72
    assert all("Certificate" not in (page.word, page.name) for page in pages_of(volume))
