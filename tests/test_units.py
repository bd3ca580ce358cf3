"""Books joined from units: the same text as whole ones, sound, rendered once and kept."""

from __future__ import annotations

import io
import os
import re
import shutil
import subprocess
import sys
import tomllib
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from importlib import metadata
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import numpy
import pikepdf
import pydyf
import pytest
from folders import judged, write_folder
from fontTools.ttLib import TTFont
from pdfua import validate

from resultsgen.books import making
from resultsgen.books.joining import BookPart, JoinedUnits
from resultsgen.books.layout import Layout
from resultsgen.books.making import OF_ANOTHER_FONT, write_books
from resultsgen.books.metadata import is_joined
from resultsgen.books.own_texts import WrittenNumbers, pages_of
from resultsgen.books.press import PressError, workers
from resultsgen.books.press.renderer import KNOWN
from resultsgen.books.press.unit import (
    FIGURES,
    NumberRoom,
    PageReference,
    TextStyle,
    Unit,
    UnitPage,
)
from resultsgen.books.volumes import BOOKS, volumes
from resultsgen.files.cache import Cache
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.extras import in_one_piece
from resultsgen.publishing.publish import publish
from resultsgen.scoring.results import Results
from resultsgen.theme.fonts import ALWAYS, glyphs_alone, subset
from resultsgen.theme.theme import find_theme
from resultsgen.views.lists.sections import row_target
from resultsgen.views.site.addresses import gymnast_target
from resultsgen.views.site.attachments import Download
from resultsgen.views.words.wording import wording

ROOT = Path(__file__).parent.parent
FONT = ROOT / "themes" / "standard" / "fonts" / "NotoSans-SemiCondensed.ttf"

MEET = """
    == meet.toml ==
    title = "Lantern (Cup)"
    organiser = "Gymnastics & Friends"
    published = 2031-05-18T18:00:00+02:00
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["VT", "BB"]
    ranks = ["all-around", "apparatus", "team"]
    team = { format = "3-3-2", by = "team" }
    == roster.csv ==
    bib,family_name,given_name,club,federation,team
    1,Adams,Ada,North,N,North
    2,"O'Hara & <Söhne>",Bea,South,S,South
    3,Verylongfamilyname-Anotherlongfamilyname,Cymbeline Philippa,North,N,North
    4,Δέλτα,Дана,North,N,North
    "5""%20\\+2",Eve,Ella,South,S,South
"""
MARKS = "bib,apparatus,mark,d,e\n"
GYMNASTS = 46


def quiet(*_: object) -> None:
    """Progress that nobody wants to hear of."""


@pytest.fixture(scope="module")
def meet(tmp_path_factory):
    """A meet whose lists are longer than a page."""
    folder = write_folder(tmp_path_factory.mktemp("meet"), MEET)
    others = [
        f"{bib},Family{bib},Given,Club {bib % 3},N,Team {bib // 3}"
        for bib in range(6, GYMNASTS + 1)
    ]
    roster = folder / "roster.csv"
    roster.write_text(roster.read_text("utf-8") + "\n".join(others) + "\n", encoding="utf-8")
    marks = [
        f"{worn},{code},{mark // 1000}.{mark % 1000:03},5.0,{mark // 1000 - 5}.{mark % 1000:03}"
        for bib in range(1, GYMNASTS + 1)
        for worn in ['"5""%20\\+2"' if bib == 5 else bib]
        for code in ("VT", "BB")
        for mark in [9000 + (bib * 613 + len(code + "x" * (code == "BB")) * 97) % 4000]
    ]
    (folder / "marks.csv").write_text(MARKS + "\n".join(marks) + "\n", encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    """The same with a few gymnasts and one mark, where it matters not how long a list is."""
    folder = write_folder(tmp_path_factory.mktemp("small"), MEET)
    (folder / "marks.csv").write_text(f"{MARKS}1,VT,9.000,5.0,4.000\n", encoding="utf-8")
    return folder


def made(meet: Path, folder: Path, **options: object) -> dict[str, Path]:
    """The books of a meet by file name."""
    told = write_books(
        judged(meet), find_theme("standard"), folder, quiet, **{"cache": None, **options}
    )
    return {Path(one.address).stem: folder / Path(one.address).name for one in told}


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    """The cache that the books are made with."""
    return tmp_path_factory.mktemp("cache")


@pytest.fixture(scope="module")
def first(tmp_path_factory, meet, kept):
    """The books, joined from units, and of how many units each step of the press was told."""
    asked: list[int] = []
    folder = tmp_path_factory.mktemp("units")
    told = write_books(
        judged(meet), find_theme("standard"), folder, lambda done, of, _: asked.append(of),
        cache=kept,
    )  # fmt: skip
    return {Path(one.address).stem: folder / Path(one.address).name for one in told}, asked


@pytest.fixture(scope="module")
def books(first):
    """Joined from units."""
    return first[0]


@pytest.fixture(scope="module")
def complete(books):
    """The complete book, opened."""
    with pikepdf.open(books["result-book"]) as pdf:
        yield pdf


@pytest.fixture
def complete_alone(monkeypatch):
    """Of all books none but the complete one is made, since none else is looked at."""
    monkeypatch.setattr(making, "volumes", lambda *about: volumes(*about)[:1])


def theme_with(place: Path, file: str, text: str) -> str:
    """A theme that differs from the standard one in one file."""
    (place / "book").mkdir(parents=True, exist_ok=True)
    (place / "theme.toml").write_text('title = "A"\nbased-on = "standard"\n', encoding="utf-8")
    (place / "book" / file).write_text(text, encoding="utf-8")
    return str(place)


def words(book: Path) -> list[list[str]]:
    """The words of each page, in the order in which they stand in the file."""
    told = subprocess.run(["pdftotext", "-raw", book, "-"], capture_output=True, check=True)
    return [page.split() for page in told.stdout.decode().split("\f")[:-1]]


def drawn(book: Path, first: int) -> numpy.ndarray:
    """The pages from this one on as they look, in shades of grey."""
    asked = ("pdftoppm", "-f", str(first), "-r", "72", "-gray", book)
    told = subprocess.run(asked, capture_output=True, check=True).stdout
    return numpy.frombuffer(told, "u1").astype(int)


def test_units_and_whole_books_have_the_same_text_on_every_page(
    meet, books, kept, tmp_path, monkeypatch
):
    """One of each kind: the list of an apparatus, a club."""
    alike = {"women-bb", "club-south", *(f"club-club-{number}" for number in range(3))}
    monkeypatch.setattr(
        making, "volumes", lambda *told: tuple(v for v in volumes(*told) if v.file not in alike)
    )
    plain = made(meet, tmp_path, plain=True, cache=kept)
    assert plain.keys() == books.keys() - alike
    for name, book in ((name, books[name]) for name in plain):
        assert (is_joined(book.read_bytes()), is_joined(plain[name].read_bytes())) == (True, False)
        assert words(book) == words(plain[name]), name
        if name != "result-book":  # It is bound: its text stands elsewhere.
            last = len(words(book))
            # A letter may stand a thousandth of a point elsewhere, which tints its edge.
            assert abs(drawn(book, last) - drawn(plain[name], last)).max() < 60, name
    assert len(words(books["result-book"])) > 8


def test_another_time_and_status_render_nothing_but_who_signed(meet, books, kept, tmp_path):
    later = shutil.copytree(meet, tmp_path / "later")
    text = (later / "meet.toml").read_text("utf-8").replace("05-18T18:00", "12-24T21:41")
    signed = '[status]\nstate = "official"\n[[status.signed]]\nname = "Jo"\nrole = "Referee"\n'
    (later / "meet.toml").write_text(text.replace("[[competition]]", signed + "[[competition]]"))
    asked: list[str] = []
    write_books(
        judged(later), find_theme("standard"), tmp_path / "after",
        lambda done, of, name: asked.append(name), cache=kept,
    )  # fmt: skip
    assert sorted(asked) == ["Codes", "Lantern (Cup)"]  # Who signs does so below the codes.
    for name, book in books.items():
        last = len(words(book))
        for number, (old, new) in enumerate(
            zip(words(book), words(tmp_path / "after" / book.name), strict=True), start=1
        ):
            foot = ["Official", "24", "December", "2031,", "21:41"]
            assert old[-11:-6] == ["Provisional", "18", "May", "2031,", "18:00"], name
            assert new[-11:-6] == foot, name
            assert new[-6:] == old[-6:], "the same results have the same checksum"
            signed = name == "result-book" and number in (1, last)
            assert old[:-11] == new[:-11] or signed, name


def test_the_versions_are_installed_for_which_it_is_known_how_to_join():
    wanted = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["dependencies"]
    for name, version in KNOWN.items():
        lowest = version.rstrip(".")
        *above, last = map(int, lowest.split("."))
        highest = ".".join(map(str, (*above, last + 1)))
        assert f"{name}>={lowest},<{highest}" in wanted


def why(told: tuple[Download, ...]) -> set[str]:
    """Why books were rendered in one piece."""
    return {one.in_one_piece for one in told}


def test_another_version_of_the_renderer_gets_whole_books(meet, kept, tmp_path, monkeypatch):
    asked = []
    monkeypatch.setattr(making, "can_join", lambda: False)
    monkeypatch.setattr(making, "joined_book", lambda *_, **__: pytest.fail("joined"))
    monkeypatch.setattr(
        making.Bookmaking, "plain_book", lambda _, volume: asked.append(volume.title) or b"%PDF"
    )
    told = write_books(judged(meet), find_theme("standard"), tmp_path, quiet, cache=kept)
    assert asked == [one.title for one in told]
    assert why(told) == {
        f"since weasyprint {metadata.version('weasyprint')} and pydyf {pydyf.__version__}, "
        "and how to join books is known of weasyprint 70.x and pydyf 0.13.x"
    }
    assert in_one_piece(told).startswith(f"{len(told)} in one piece and without attached tables, ")


@pytest.mark.parametrize(
    "style",
    [
        "@page:left { margin-left: 3cm }",
        "@page sheet :first { margin-top: 5cm }",
        "@page { @top-right { content: counter( page ) } }",
        "a::after { content: target-counter(attr(href), page) }",
    ],
)
def test_a_style_that_needs_the_whole_book_gets_it(meet, kept, tmp_path, monkeypatch, style):
    theme = theme_with(tmp_path / "theme", "book.css", style)
    monkeypatch.setattr(making.Bookmaking, "plain_book", lambda *_: b"whole")
    told = write_books(judged(meet), find_theme(theme), tmp_path, quiet, cache=kept)
    assert {path.read_bytes() for path in tmp_path.glob("*.pdf")} == {b"whole"}
    assert why(told) == {"since the theme's style needs the whole book"}


def test_a_letter_of_another_font_gets_a_whole_book(meet, tmp_path, monkeypatch):
    monkeypatch.setattr(
        workers.Workers,
        "rendered",
        lambda _, sheets: ((sheet, workers.NOT_JOINABLE) for sheet in sheets),
    )
    monkeypatch.setattr(making.Bookmaking, "plain_book", lambda _, volume: volume.title.encode())
    told = write_books(judged(meet), find_theme("standard"), tmp_path, quiet, cache=None)
    assert (tmp_path / "result-book.pdf").read_bytes() == b"Result book"
    assert why(told) == {OF_ANOTHER_FONT}


def test_what_our_templates_write_is_xml_too(meet, tmp_path, monkeypatch):
    """So it is read quickly; what is not would still be read, only slowly."""
    asked: list[workers.PressJob] = []

    def rendered(_, sheets):
        asked.extend(sheets)
        return ((sheet, workers.NOT_JOINABLE) for sheet in sheets)

    monkeypatch.setattr(workers.Workers, "rendered", rendered)
    monkeypatch.setattr(making.Bookmaking, "plain_book", lambda *_: b"")
    made(meet, tmp_path)
    assert len(asked) > 20
    for sheet in asked:
        ElementTree.fromstring(sheet.html)


def test_a_theme_may_write_html_that_is_no_xml(small, kept, tmp_path):
    """The parser of the standard library and that of the renderer read the same."""
    results, text = judged(small), find_theme("standard").text("book/parts.html")
    assert text.count("/>") == 1
    theme = theme_with(tmp_path / "theme", "parts.html", text.replace("/>", ">"))
    asked: list[str] = []
    for name in ("standard", theme):
        asked.clear()
        made = complete_book(results, name, kept, lambda done, of, name: asked.append(name))
        (tmp_path / f"{Path(name).name}.pdf").write_bytes(made)
    assert asked
    book, again = tmp_path / "standard.pdf", tmp_path / "theme.pdf"
    assert words(book) == words(again)
    assert (drawn(book, 1) == drawn(again, 1)).all()


def test_what_two_books_share_is_rendered_once(meet, first):
    results = judged(meet)
    together = [
        pages.sections
        for volume in volumes(results, wording(results.meet.settings))
        for pages in volume.page_ranges
    ]
    # The lists are in the complete book and in their own.
    assert len(set(together)) < len(together)
    assert first[1][-1] == len(set(together))


# Each file is sound


def test_every_font_is_in_a_file_once(books):
    for book in books.values():
        told = subprocess.run(["pdffonts", book], capture_output=True, check=True, text=True)
        names = [line.split()[0] for line in told.stdout.splitlines()[2:]]
        assert 1 <= len(names) == len(set(names)) <= 2, book.name


def test_a_checker_of_accessible_pdf_finds_nothing(books):
    # pdfua 0.1 checks 16 of the 106 rules of PDF/UA-1 that a machine can check.
    for book in books.values():
        assert not list(validate(book).findings), book.name


def kids(element: pikepdf.Object) -> list[pikepdf.Object]:
    """What an element holds."""
    inside = element.get("/K", [])
    return list(inside) if isinstance(inside, pikepdf.Array) else [inside]


def elements(element: pikepdf.Object) -> list[pikepdf.Object]:
    """An element and all below it."""
    found = [element]
    for kid in kids(element):
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            assert kid.P.objgen == element.objgen
            found += elements(kid)
    return found


def ways_back(pdf: pikepdf.Pdf) -> dict[int, pikepdf.Object]:
    """From the number of a page or link to the elements of what is there; the tree is sorted."""
    back = {}
    for leaf in pdf.Root.StructTreeRoot.ParentTree.Kids:
        numbers = [int(number) for number in list(leaf.Nums)[::2]]
        assert numbers == sorted(numbers)
        assert (
            numbers[:: len(numbers) - 1 or 1]
            == [int(limit) for limit in leaf.Limits][: len(numbers)]
        )
        back.update(zip(numbers, list(leaf.Nums)[1::2], strict=True))
    assert list(back) == sorted(back)
    return back


def marked(page: pikepdf.Page) -> set[int]:
    """The numbers of the pieces of text of a page; all other text is an artifact."""
    numbers, inside = set(), []
    for operands, operator in pikepdf.parse_content_stream(page):
        if str(operator) in ("BDC", "BMC"):
            assert not inside
            inside = [str(operands[0])]
            if len(operands) > 1 and "/MCID" in operands[1]:
                numbers.add(int(operands[1]["/MCID"]))
                inside = ["tagged"]
        elif str(operator) == "EMC":
            inside = []
        elif str(operator) in ("Tj", "TJ"):
            assert inside in (["tagged"], ["/Artifact"])
    return numbers


def test_every_piece_of_text_leads_to_its_tag_and_back(complete):
    back = ways_back(complete)
    for page in complete.pages:
        owners = back[int(page.obj.StructParents)]
        assert marked(page) == set(range(len(owners)))
        for number, owner in enumerate(owners):
            assert number in [int(kid) for kid in kids(owner) if isinstance(kid, int)]


def test_every_link_leads_to_its_tag_and_back_and_is_told_in_words(complete):
    back = ways_back(complete)
    links = [link for page in complete.pages for link in page.obj.get("/Annots", [])]
    assert len(links) > 10
    for link in links:
        owner = back[int(link.StructParent)]
        assert str(owner.S) == "/Link"
        leading = [kid for kid in kids(owner) if isinstance(kid, pikepdf.Dictionary)]
        assert [kid.Obj.objgen for kid in leading] == [link.objgen]
        assert int(link.F) == 4
        assert str(link.Contents)


def test_tables_have_heads_with_scope_and_headings_skip_no_level(complete):
    found = elements(complete.Root.StructTreeRoot.K)
    kinds = Counter(str(one.S) for one in found)
    assert kinds["/Table"] > 5
    assert kinds["/H1"] == 1
    for one in found:
        if str(one.S) == "/TH":
            assert str(one.A.Scope) in ("/Row", "/Column")
    levels = [int(str(one.S)[2]) for one in found if re.fullmatch("/H[1-6]", str(one.S))]
    assert levels[0] == 1
    assert all(lower <= upper + 1 for upper, lower in pairwise(levels))


def test_pages_are_labelled_as_they_are_numbered(complete):
    labels = complete.Root.PageLabels.Nums
    assert [int(labels[0]), str(labels[1].S)] == [0, "/D"]
    assert [page.label for page in complete.pages] == [
        str(number) for number in range(1, len(complete.pages) + 1)
    ]


def test_bookmarks_lead_to_the_page_that_holds_what_they_say(books, complete):
    numbers = {page.obj.objgen: number for number, page in enumerate(complete.pages)}
    told = subprocess.run(
        ["pdftotext", "-layout", books["result-book"], "-"], capture_output=True, check=True
    )
    texts = told.stdout.decode().split("\f")
    with complete.open_outline() as outline:
        lines = [(one, below) for one in outline.root for below in (one, *one.children)]
    assert len(lines) > 8
    for _, line in lines:
        assert line.title in texts[numbers[line.destination[0].objgen]]


def test_the_book_says_what_it_is_built_to_follow(complete):
    assert str(complete.docinfo["/CreationDate"]) == "D:20310518180000+02'00'"
    with complete.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as told:
        assert told["pdfuaid:part"] == "1"
        assert (told["pdfaid:part"], told["pdfaid:conformance"]) == ("3", "A")
        assert told["dc:title"] == "Lantern (Cup): Result book"
        assert told["dc:language"] == {"en"}
        assert told["xmp:CreateDate"] == "2031-05-18T18:00:00+02:00"
    (intent,) = complete.Root.OutputIntents
    assert str(intent.S) == "/GTS_PDFA1"
    assert b"sRGB" in intent.DestOutputProfile.read_bytes()
    assert complete.trailer.ID[0] == complete.trailer.ID[1]


def test_the_complete_book_carries_the_tables_as_they_are_published(
    meet, books, kept, tmp_path, monkeypatch
):
    monkeypatch.setenv("RESULTSGEN_CACHE", str(kept))
    out = tmp_path / "out"
    publish(meet, out, BuildOptions(), quiet)
    tables = {
        "-".join(path.relative_to(out / "data").parts): path.read_bytes()
        for path in (out / "data").rglob("*.csv")
    }
    with pikepdf.open(out / "books" / "result-book.pdf") as pdf:
        assert {
            name: one.get_file().read_bytes() for name, one in pdf.attachments.items()
        } == tables
        assert len(pdf.Root.AF) == len(tables) >= 4
        assert {str(one.AFRelationship) for one in pdf.Root.AF} == {"/Data"}
    with pikepdf.open(out / "books" / "women-vt.pdf") as pdf:
        assert not pdf.attachments


def test_a_name_given_twice_is_where_it_first_stands():
    # As in a document that the renderer makes in one piece.
    page = UnitPage(595, 842, 2, 3, (), (), 0)
    unit = Unit((page,), {"name": (0, 700.0)}, {}, (), (), (), {}, (), 4, b"", (), {})
    joined = JoinedUnits((BookPart(unit, "a", False), BookPart(unit, "b", False)))
    assert joined.page_numbers == {"name": 1}
    assert joined.places({"name", "other"}) == {"name": joined.place(0, 0, 700.0)}


def test_one_large_unit_makes_no_room_for_the_others():
    page = UnitPage(595, 842, 2, 3, (), (), 0)
    numbers = range(2, 60_000)
    large = Unit((page,), {}, {}, (), (), (), {}, (), 4, b"", tuple(numbers), {})
    small = Unit((page,), {}, {}, (), (), (), {}, (), 4, b"", (2, 3, 4), {})
    joined = JoinedUnits((BookPart(large, "a", False), *(BookPart(small, "b", False),) * 300))
    assert joined.bases[1] - joined.bases[0] >= len(numbers)
    assert len(set(joined.bases)) == 302
    assert joined.bases[-1] < 100_000


def complete_book(
    results: Results, theme: str, cache: Path | None, progress=quiet, only=(), **how
) -> bytes:
    """The complete book alone, in a theme, or only some of its sections."""
    words = wording(results.meet.settings)
    layout = Layout(results.meet, find_theme(theme), words)
    (whole,) = volumes(results, words, BOOKS[:1])
    held = tuple(one for one in whole.sections if not only or one.id in only)
    found = (replace(whole, sections=held),)
    ((_, book, _),) = making.made_books(found, layout, Cache(cache), 0, progress, **how)
    return bytes(book)


def test_a_page_number_of_any_row_is_that_of_the_page_where_it_stands(meet, tmp_path):
    results = judged(meet)
    who = gymnast_target(next(one for one in results.gymnasts.values() if one.name == "Eve Ella"))
    lists = [f"list:women/{name}" for name in ("VT", "BB", "all-around")]
    rows = [row_target(name, who) for name in lists]
    lines = [f'<p>Eve is on {{{{ number("{row}") }}}}</p>' for row in rows]
    theme = theme_with(tmp_path / "theme", "signatures.html", "".join(lines))
    for plain in (False, True):
        book = complete_book(results, theme, None, only=(*lists, "signatures"), plain=plain)
        told = subprocess.run(
            ["pdftotext", "-layout", "-", "-"], input=book, capture_output=True, check=True
        )
        texts = told.stdout.decode().split("\f")[:-1]
        numbers = [int(number) for number in re.findall(r"Eve is on (\d+)", texts[-1])]
        assert numbers[:2] == sorted(set(numbers[:2]))
        for number, title in zip(numbers, ("Vault", "Balance Beam", "All-around"), strict=True):
            assert "Eve Ella" in texts[number - 1]
            assert title in texts[number - 1]


def test_where_all_pages_move_nothing_is_rendered_again_for_their_numbers(small, kept, tmp_path):
    title = "<h1>{{ page.section.title }}</h1>"
    asked: list[str] = []

    def book(cover: str, cache: Path | None) -> Path:
        theme = theme_with(tmp_path / "theme", "cover.html", cover)
        asked.clear()
        made = complete_book(results, theme, cache, lambda done, of, name: asked.append(name))
        (tmp_path / "result-book.pdf").write_bytes(made)
        return tmp_path / "result-book.pdf"

    results = judged(small)
    before = numbers_of(book(f"{title}<p>More</p>", kept), "Eve Ella")
    later = book(f'{title}<p style="break-before: page">More</p>', kept)
    assert asked == ["Lantern (Cup)"]
    made = later.read_bytes()
    assert numbers_of(later, "Eve Ella") == [number + 1 for number in before]
    assert book(f'{title}<p style="break-before: page">More</p>', None).read_bytes() == made


def numbers_of(book: Path, name: str) -> list[int]:
    """What the index tells of somebody."""
    told = subprocess.run(["pdftotext", "-raw", book, "-"], capture_output=True, check=True)
    line = re.findall(rf"^{name} .* S ((?:\d+(?:–\d+)?,? ?)+)$", told.stdout.decode(), re.M)[-1]
    return [int(number) for number in re.findall(r"\d+", line)]


STYLE = TextStyle(7.5, 0, (0, 0, 0), "F", {letter: (ord(letter), 500) for letter in FIGURES})


def numbered(
    targets: tuple[str, ...], rooms: tuple[NumberRoom, ...], pages: dict[str, int]
) -> WrittenNumbers:
    """The page numbers of a unit that has nothing but these."""
    page = UnitPage(595, 842, 2, 3, (), (), 0)
    references = (PageReference(targets, rooms),)
    unit = Unit((page,), {}, {}, (), (STYLE,), references, {}, (), 4, b"", (2, 3, 4), {})
    return WrittenNumbers(unit, 100, [pages_of(targets, pages)])


def room(numbers: int, width: float) -> NumberRoom:
    """Room for so many numbers."""
    return NumberRoom(page=0, x=10, y=20, width=width, numbers=numbers, style=0, owner=4)


def printed(numbers: WrittenNumbers, rank: int) -> str:
    """What stands in a room."""
    glyphs = re.findall(rb"<([0-9a-f]+)> Tj", numbers.decided[f"N{rank}"])
    return "".join(bytes.fromhex(one.decode()).decode("utf-16-be") for one in glyphs)


def test_of_several_things_on_a_page_the_number_is_printed_once():
    made = numbered(("a", "b", "c", "d"), (room(3, 100), room(1, 30)), dict(a=7, b=12, c=7, d=9))
    assert [printed(made, rank) for rank in range(2)] == ["7, 9, 12", ""]
    links = [made.objects[link].decode() for link in made.links[0]]
    assert [re.search(r"/Contents\((\d+)\)/Dest\((\w)\)", one).groups() for one in links] == [
        ("7", "a"),
        ("9", "d"),
        ("12", "b"),
    ]
    assert made.decided["T1"] == b""


def test_numbers_go_on_in_the_next_line():
    made = numbered(("a", "b", "c"), (room(2, 60), room(1, 30)), dict(a=7, b=12, c=130))
    assert [printed(made, rank) for rank in range(2)] == ["7, 12,", "130"]


def test_of_too_many_numbers_the_widest_line_takes_the_most():
    rooms = (room(1, 30), room(3, 100), room(1, 30))
    targets = ("a", "b", "c", "d", "e", "f")
    made = numbered(targets, rooms, dict(zip(targets, range(1, 13, 2), strict=True)))
    assert [printed(made, rank) for rank in range(3)] == ["1,", "3, 5, 7, 9,", "11"]


def test_from_three_pages_on_a_range_is_told_and_a_page_told_elsewhere_is_not():
    pages = dict(a=7, b=8, c=9, d=11, e=12, f=20)
    made = numbered(("a", "b", "c", "d", "e", "f", "!f"), (room(7, 100),), pages)
    assert printed(made, 0) == "7–9, 11, 12"
    links = [made.objects[link].decode("utf-16-be", "replace") for link in made.links[0]]
    assert len(links) == 3


def test_where_there_is_too_little_room_numbers_are_narrower_and_none_is_lost():
    # Twelve letters of 5 pixels each.
    made = numbered(("a", "b", "c"), (room(2, 27.5),), dict(a=7, b=120, c=1300))
    assert printed(made, 0) == "7, 120, 1300"
    assert b" 46 Tz" in made.decided["N0"]
    boxes = [made.objects[link] for link in made.links[0]]
    rights = [float(re.search(rb"Rect\[\S+ \S+ (\S+) ", box)[1]) for box in boxes]
    assert rights == sorted(rights)
    assert rights[-1] == pytest.approx((10 + 27.5) * 0.75, abs=0.01)


# What goes wrong


def test_a_link_to_nothing_in_a_theme_fails_the_build(small, tmp_path):
    template = '{{ "" }}<p><a href="#nowhere">x</a></p>'
    theme = theme_with(tmp_path / "theme", "signatures.html", template)
    for plain in (False, True):
        with pytest.raises(PressError, match="nowhere"):
            write_books(
                judged(small), find_theme(theme), tmp_path / "books", quiet,
                cache=None, plain=plain,
            )  # fmt: skip


def test_workers_leave_nothing_behind_and_what_is_large_is_loaded_there(small, tmp_path):
    scratch = tmp_path / "scratch"
    scratch.mkdir()
    script = (
        "import sys, pathlib; from folders import judged\n"
        "from resultsgen.books.making import write_books\n"
        "from resultsgen.theme.theme import find_theme\n"
        "write_books(judged(pathlib.Path(sys.argv[1])), find_theme('standard'), "
        "pathlib.Path(sys.argv[2]), lambda *_: None, cache=None)\n"
        "assert not {'fontTools', 'weasyprint'} & set(sys.modules)"
    )
    path = os.pathsep.join(filter(None, sys.path))
    subprocess.run(
        [sys.executable, "-c", script, small, tmp_path / "books"],
        env={**os.environ, "PYTHONPATH": path, "TMPDIR": str(scratch)}, check=True,
    )  # fmt: skip
    assert (tmp_path / "books" / "result-book.pdf").is_file()
    assert not list(scratch.iterdir())


@pytest.mark.usefixtures("complete_alone")
def test_two_builds_at_once_do_not_disturb_each_other(small, tmp_path):
    cache = tmp_path / "cache"
    with ThreadPoolExecutor(2) as both:
        first, second = both.map(
            lambda name: made(small, tmp_path / name, cache=cache, workers=1), ("a", "b")
        )
    alone = made(small, tmp_path / "alone", workers=1)
    for name, book in alone.items():
        assert book.read_bytes() == first[name].read_bytes() == second[name].read_bytes()


# Fonts


def test_a_font_keeps_the_outlines_that_are_shown_and_their_parts():
    whole = subset(FONT, ALWAYS | {"Ç", "ő"}, "ttf")
    before = TTFont(io.BytesIO(whole))
    letters = before.getBestCmap()
    shown = frozenset(before.getGlyphID(letters[ord(letter)]) for letter in "Aaő1")
    small = glyphs_alone(whole, shown)
    after = TTFont(io.BytesIO(small))
    names = before.getGlyphOrder()
    parts = {
        part.glyphName
        for number in shown
        for part in getattr(before["glyf"][names[number]], "components", ())
    }
    kept = {names[number] for number in shown} | parts | {".notdef"}
    order = after.getGlyphOrder()
    assert kept <= set(names[: len(order)])
    for number, name in enumerate(names[: len(order)]):
        outline = after["glyf"][order[number]]
        if name in kept:
            theirs = before["glyf"][name].getCoordinates(before["glyf"])
            assert list(outline.getCoordinates(after["glyf"])[0]) == list(theirs[0])
            assert after["hmtx"][order[number]] == before["hmtx"][name]
        else:
            assert outline.numberOfContours == 0
    assert len(small) < len(whole) / 3
    assert glyphs_alone(whole, shown) == small
