"""The books hold every row in its place, are sound PDF, and come out the same every time."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
import time
from fnmatch import fnmatchcase
from functools import lru_cache
from itertools import groupby, pairwise
from pathlib import Path

import pikepdf
import pytest
from folders import judged, write_folder

from resultsgen.books import making
from resultsgen.books.layout import Layout
from resultsgen.books.making import write_books
from resultsgen.books.page_numbers import NumberRooms
from resultsgen.books.press import workers
from resultsgen.books.tables import typeset
from resultsgen.books.volumes import Volume, volumes
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.publish import publish
from resultsgen.theme.theme import find_theme
from resultsgen.views.lists.sections import contents_entries
from resultsgen.views.lists.table import Table
from resultsgen.views.words.wording import wording

ROOT = Path(__file__).parent.parent
EXAMPLE = ROOT / "example_meet"
POINTS = {"A4": (595, 842), "Letter": (612, 792)}

READ = (
    "result-book", "qualification", "start-lists", "women-senior-qualification-*",
    "men-senior-qualification-team", "women-junior-all-around", "women-senior-apparatus-press",
    "women-senior-team-team", "men-senior-apparatus-vt", "club-clube-acucenal", "club-sk-severodol",
)  # fmt: skip
"""The books of the example meet that are looked at: of each kind some; the first has all lists."""

HEADING = 12.0
"""In points: the smallest letters of headings are higher, with what is above and below them."""

MEET = """
    == meet.toml ==
    title = "Lantern <Cup>"
    organiser = "Gymnastics & Friends"
    published = 2031-05-18T18:00:00+02:00
    paper = "Letter"
    base_url = "https://example.org/cup/"
    handouts = ["awards sheet", "ribbons", "wall sheets", "medals"]
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["VT", "BB"]
    vaults = 2
    ranks = ["all-around", "apparatus", "team"]
    team = { format = "3-3-2", by = "club" }
    == roster.csv ==
    bib,family_name,given_name,club,federation
    1,Adams,Ada,North,N
    2,"O'Hara & <Söhne>",Bea,South,S
    3,Verylongfamilyname-Anotherlongfamilyname-Withathirdone,Cymbeline Philippa,North,N
    4,Δέλτα,Дана,North,N
    5,Eve,Ella,South,S
    == marks.csv ==
    bib,apparatus,vault,mark,d,e,penalty
    1,VT,1,13.700,5.4,8.3,
    1,VT,2,13.401,5.1,8.301,
    1,BB,,12.000,4.0,8.0,
    2,VT,1,13.400,5.0,8.4,
    2,VT,2,13.201,5.0,8.201,
    2,BB,,12.300,4.3,8.3,0.3
    3,VT,1,12.000,4.0,8.0,
    3,BB,,11.000,4.0,7.0,
    4,VT,1,11.000,4.0,7.0,
    4,BB,,11.500,4.0,7.5,
    5,VT,1,DNS,,,
    5,BB,,9.000,3.0,6.0,
"""


def quiet(*_: object) -> None:
    """Progress that nobody wants to hear of."""


def written(meet: Path, folder: Path, cache: Path | None, count: int = 2) -> dict[str, bytes]:
    """The books of a meet by file name."""
    results = judged(meet)
    theme = find_theme(results.meet.settings.theme, meet)
    write_books(results, theme, folder, quiet, workers=count, cache=cache)
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def told(folder: Path) -> tuple[Volume, ...]:
    """What the books of a meet hold."""
    results = judged(folder)
    return volumes(results, wording(results.meet.settings))


def some_volumes(*about: object) -> tuple[Volume, ...]:
    """Of those of the example meet some of each kind; of another meet all."""
    held = volumes(*about)
    some = tuple(one for one in held if any(fnmatchcase(one.file, name) for name in READ))
    return some if len(held) > 40 else held


def run(*command: object) -> str:
    """What a command prints; it must not fail."""
    done = subprocess.run([str(part) for part in command], capture_output=True, check=True)
    return done.stdout.decode()


@lru_cache
def pages(book: Path, how: str = "-layout") -> list[str]:
    """The text of each page; a book in its place stays as it is."""
    return run("pdftotext", how, book, "-").split("\f")[:-1]


@lru_cache
def boxes(book: Path) -> list[list[tuple[float, float, float, float, str]]]:
    """Each word of each page after its left, upper, right and lower edge, in points."""
    form = r'xMin="(-?[\d.]+)" yMin="(-?[\d.]+)" xMax="(-?[\d.]+)" yMax="(-?[\d.]+)">(.*?)</word>'
    told = run("pdftotext", "-bbox", book, "-").split("<page ")[1:]
    return [
        [(*map(float, edges), text) for *edges, text in re.findall(form, page)] for page in told
    ]


def bare(text: str) -> str:
    """Text without any space, since a line may break anywhere."""
    return re.sub(r"\s", "", text)


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    """The folder of the small meet."""
    return write_folder(tmp_path_factory.mktemp("small"), MEET)


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    """The cache that the books of both meets are made with."""
    return tmp_path_factory.mktemp("cache")


@pytest.fixture(scope="module")
def shelf(tmp_path_factory, small, kept):
    """Books of both meets, rendered once: what they hold, and their folder."""
    made = []
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(making, "volumes", some_volumes)
        for meet in (small, EXAMPLE):
            folder = tmp_path_factory.mktemp("books")
            books = written(meet, folder, kept)
            held = [one for one in told(meet) if f"{one.file}.pdf" in books]
            made += [(volume, folder / f"{volume.file}.pdf") for volume in held]
    return made


@pytest.fixture(scope="module")
def complete(shelf):
    """The whole book of the example meet."""
    return [(volume, path) for volume, path in shelf if volume.file == "result-book"][1]


def lines(table: Table) -> list[str]:
    """Each row of a table without any space; below a name, what the line under the row means."""
    below = [column.kind == "name" for column in table.columns]
    return [
        bare(
            "".join(
                cell.text + cell.note + cell.place + cell.sub + (row.cut or row.reserves) * named
                for cell, named in zip(row.cells, below, strict=True)
            )
        )
        for row in table.rows
    ]


def rows(volume: Volume) -> list[str]:
    """Each row of each table of a book, in order."""
    return [row for section in volume.sections for table in section.tables for row in lines(table)]


def test_every_row_stands_in_every_book_in_its_order(shelf):
    for volume, path in shelf:
        text, end = bare("\n".join(pages(path, "-raw"))), 0
        wanted = rows(volume)
        assert wanted or volume.file == "awards-sheet", volume.title
        for row in wanted:
            start = text.find(row, end)
            assert start >= 0, f"{volume.title}: {row} is not there, or not after the row before"
            end = start + len(row)


def test_a_page_break_parts_no_row_and_nothing_gets_between_two(shelf):
    for volume, path in shelf:
        text = "\f".join(bare(page) for page in pages(path, "-raw"))
        for section in volume.sections:
            for table in section.tables:
                # A long one goes on in the next column, below its heads.
                heads = bare("".join(one.short or one.label for one in table.columns))
                between = rf"([^\f]*\f[^\f]*?{f'|{re.escape(heads)}' * section.columned})?"
                for upper, lower in pairwise(lines(table)):
                    parted = f"{re.escape(upper)}{between}{re.escape(lower)}"
                    assert re.search(parted, text), f"{volume.title}: {upper} and {lower}"


def test_the_small_all_around_book_holds_the_figures_added_by_hand(shelf):
    (path,) = [path for _, path in shelf if path.name == "women-all-around.pdf"]
    text = " ".join("\n".join(pages(path)).split())
    # By hand, the first vault counting for the all-around:
    # 13.700 + 12.000, 13.400 + 12.300, 12.000 + 11.000, 11.000 + 11.500.
    for name, total in (("Adams Ada", "25.700"), ("Δέλτα Дана", "22.500")):
        assert re.search(f"{name}.*? {re.escape(total)}", text), name
    order = [text.index(name) for name in ("Adams", "O'Hara & <Söhne>", "Cymbeline", "Δέλτα")]
    assert order[:2] == sorted(order[:2]) or order[:2] == sorted(order[:2], reverse=True)
    assert max(order[:2]) < order[2] < order[3]
    assert text.count("25.700") >= 2
    assert text.count("23.000") == 1


def test_every_page_says_its_number_its_status_its_meet_and_its_time(shelf):
    for volume, path in shelf:
        texts = pages(path, "-raw")
        official = path.parent == shelf[-1][1].parent
        for number, text in enumerate(texts, start=1):
            assert f"Page {number} of {len(texts)}" in text, (volume.title, number)
            assert ("Official" if official else "Provisional") in text
            assert ("Merrowick Lantern Meet 2031" if official else "Lantern <Cup>") in text
            assert "18 May 2031, 18:" in text


def bookmarks(path: Path) -> list[tuple[str, list[str]]]:
    """The bookmarks of a book, each with those below it."""
    with pikepdf.open(path) as pdf, pdf.open_outline() as outline:
        return [(one.title, [below.title for below in one.children]) for one in outline.root]


def test_the_bookmarks_are_the_chapters_and_their_sections(shelf):
    for volume, path in shelf:
        wanted = []
        for chapter, inside in groupby(volume.sections, key=lambda section: section.chapter):
            if chapter:
                wanted.append((chapter, [one.entry or one.title for one in inside]))
            else:
                wanted += [(one.title, []) for one in inside]
        assert bookmarks(path) == wanted, volume.title


def test_the_contents_lead_to_the_pages_that_hold_what_they_say(complete):
    volume, path = complete
    texts = pages(path)
    # Behind what is listed stand the title of the meet, with its year, and the page number.
    listed = re.findall(r"^(.*\S) (\d+)$", pages(path, "-raw")[1], re.MULTILINE)[:-2]
    entries = list(contents_entries(volume.sections))
    assert [title for title, _ in listed] == [entry.title for entry in entries]
    for title, page in listed:
        assert bare(title) in bare(texts[int(page) - 1]), f"page {page} has no heading {title}"


def test_the_links_of_the_contents_go_where_the_numbers_say(complete):
    _, path = complete
    with pikepdf.open(path) as pdf:
        numbers = {page.obj.objgen: number for number, page in enumerate(pdf.pages, start=1)}
        names = list(pdf.Root.Names.Dests.Names)
        places = {
            str(name): numbers[place[0].objgen]
            for name, place in zip(names[::2], names[1::2], strict=True)
        }
        links = [
            (
                float(link.Rect[0]) > POINTS["A4"][0] / 2,
                -float(link.Rect[1]),
                places[str(link.Dest)],
            )
            for link in pdf.pages[1].obj.Annots
        ]
    printed = [int(n) for n in re.findall(r" (\d+)$", pages(path, "-raw")[1], re.MULTILINE)[:-2]]
    led = [number for _, _, number in sorted(links)]
    assert len(led) >= 2 * len(printed)  # The title of each line and its number.
    assert [n for n, _ in groupby(led)] == [n for n, _ in groupby(printed)]


def test_the_complete_book_has_no_nearly_empty_page(complete):
    texts = pages(complete[1])
    assert len(texts) <= 55
    for number, text in enumerate(texts[1:-1], start=2):
        lines = [line for line in text.splitlines() if line.strip()]
        assert len(lines) >= 10, f"page {number} of {len(texts)}:\n{text}"


def filled(book: Path, above: float = 25, below: float = 20) -> list[float]:
    """How far down the last word of each page stands between heads and foot, which have so many
    millimetres."""
    top, bottom = above / 25.4 * 72, (297 - below) / 25.4 * 72
    ends = ([lower for *_, lower, _ in page] for page in boxes(book))
    return [(max(y for y in page if y <= bottom + 1) - top) / (bottom - top) for page in ends]


def test_the_pages_of_the_complete_book_are_filled(complete):
    """In one theme; tests/bench/bench_books.py asks the same of every theme."""
    how_far = filled(complete[1])
    assert sum(how_far) / len(how_far) >= 0.85
    assert min(how_far) >= 0.4


def test_a_press_sheet_is_one_page_and_the_book_of_a_list_goes_on_below_it(shelf):
    counted = {path.stem: len(pages(path, "-raw")) for _, path in shelf}
    assert {many for name, many in counted.items() if name.endswith("press")} == {1}
    assert counted["women-senior-qualification-all-around"] == 3
    assert counted["men-senior-qualification-team"] == 2


def test_the_cut_is_drawn_below_the_last_who_goes_through(shelf):
    for volume, _ in shelf:
        for table in [table for section in volume.sections for table in section.tables]:
            styles = [row.style for block in typeset(table, ()).blocks for row in block.rows]
            drawn = [number for number, style in enumerate(styles) if "drawn" in style.split()]
            assert drawn == [number for number, row in enumerate(table.rows) if row.cut]
            for number in drawn:
                through = [n for n, style in enumerate(styles) if "qualified" in style.split()]
                assert through[-1] <= number


def test_no_name_is_broken_within_a_word(shelf):
    for volume, path in shelf:
        there = set(re.findall(r"[^\s-]+", "\n".join(pages(path, "-raw"))))
        for table in [table for section in volume.sections for table in section.tables]:
            named = [n for n, column in enumerate(table.columns) if column.kind == "name"]
            for cell in (row.cells[number] for row in table.rows for number in named):
                assert set(re.findall(r"[^\s-]+", cell.text)) <= there, (volume.title, cell.text)


def test_no_type_is_smaller_than_seven_points_and_the_smallest_is_in_ink(complete):
    told = run("pdftohtml", "-xml", "-stdout", "-i", "-zoom", "3", complete[1])
    found = re.findall(r'<fontspec id="\d+" size="(\d+)" family="\S+" color="(#\w+)"', told)
    assert min(int(size) for size, _ in found) == 7 * 3
    ink = find_theme("standard").settings.light.ink
    assert {colour for size, colour in found if int(size) == 7 * 3} == {ink}


def test_no_heading_stands_alone_at_the_end_of_a_page_or_column(complete):
    volume, path = complete
    headings = {section.entry or section.title for section in volume.sections if section.chapter}
    headings |= {table.caption for section in volume.sections for table in section.tables}
    for number, page in enumerate(boxes(path)[1:], start=2):
        words = [(left, upper, lower, text) for left, upper, _, lower, text in page]
        inside = [word for word in words if word[2] < 842 - 18 / 25.4 * 72]
        for left in (0, POINTS["A4"][0] / 2):
            column = [word for word in inside if left <= word[0] < left + POINTS["A4"][0] / 2]
            lowest = sorted({round(bottom) for _, _, bottom, _ in column})[-2:]
            ends = [[word for word in column if round(word[2]) == line] for line in lowest]
            last = " ".join(word[3] for word in ends[-1])
            for these in () if re.fullmatch(r"[\d. ]+", last) else ends:  # The axis of a picture.
                # The name of a cut, which may be the last line of a page, is smaller.
                if max(bottom - top for _, top, bottom, _ in these) > HEADING:
                    assert " ".join(word[3] for word in these) not in headings, number


def test_books_are_sound_tagged_and_know_their_title_and_language(shelf):
    for volume, path in shelf:
        run("qpdf", "--check", path)
        with pikepdf.open(path) as pdf:
            assert str(pdf.Root.Lang) == "en"
            assert bool(pdf.Root.MarkInfo.Marked)
            assert str(pdf.docinfo["/Title"]).endswith(f": {volume.title}")
            assert pdf.Root.ViewerPreferences.DisplayDocTitle


def test_fonts_are_embedded_and_text_can_be_read_out(shelf):
    for _, path in shelf:
        lines = run("pdffonts", path).splitlines()[2:]
        assert lines
        for line in lines:
            # Embedded, cut down to the letters needed, and with a table that says which they are.
            assert re.search(r" yes +yes +yes ", line), line


def paper_of(path: Path, shelf: list[tuple[Volume, Path]]) -> str:
    """What the meet of a book has in its settings; that of the example is the last."""
    return "A4" if path.parent == shelf[-1][1].parent else "Letter"


def test_the_paper_is_what_the_meet_says(shelf):
    for volume, path in shelf:
        size = POINTS[paper_of(path, shelf)]
        with pikepdf.open(path) as pdf:
            boxes = [[float(edge) for edge in page.mediabox] for page in pdf.pages]
        assert {(round(r - x), round(t - b)) for x, b, r, t in boxes} == {size}, volume.title


def test_a_bound_book_has_its_wider_margin_inside(shelf):
    for volume, path in shelf:
        with pikepdf.open(path) as pdf:
            lefts = [float(page.mediabox[0]) for page in pdf.pages]
        # Page 1 is a right-hand page, so that its text stands 4 mm further to the right.
        shift = 4 / 25.4 * 72 if volume.file == "result-book" else 0
        for number, left in enumerate(lefts, start=1):
            assert left == pytest.approx(-shift if number % 2 else shift, abs=0.1), volume.title


def test_nothing_reaches_beyond_the_edges_of_the_page(shelf):
    for volume, path in shelf:
        own = {"result-book": 11, "women-wall-sheets": 12}
        edge = own.get(volume.file, 15) / 25.4 * 72
        width = POINTS[paper_of(path, shelf)][0]
        for page in boxes(path):
            for left, _, right, _, word in page:
                assert left >= edge - 1, (volume.title, word)
                assert right <= width - edge + 1, (volume.title, word)


def test_marks_that_do_not_count_are_struck_through_and_explained(complete):
    results = judged(EXAMPLE)
    layout = Layout(results.meet, find_theme("standard"), wording(results.meet.settings))
    volume = complete[0]
    numbers = NumberRooms(volume.page_ranges)
    html = layout.html(volume.title, volume.page_ranges, volume.anchors, numbers)
    dropped = [
        cell.text
        for section in volume.sections
        for table in section.tables
        for row in table.rows
        for cell in row.cells
        if cell.dropped
    ]
    assert dropped
    assert re.findall(r"<s>(.*?)</s>", html) == dropped
    assert "does not count for the team" in " ".join("\n".join(pages(complete[1])).split())


# The same every time


@pytest.fixture(scope="module")
def first(shelf):
    """The books of the small meet, rendered by two workers, by file name."""
    return {path.name: path.read_bytes() for _, path in shelf[:11]}


def test_an_unchanged_book_is_not_rendered_again(small, first, kept, tmp_path, monkeypatch):
    monkeypatch.setattr(workers, "_start", lambda: pytest.fail("a worker was started"))
    monkeypatch.setattr(Layout, "unit_html", lambda *_: pytest.fail("a section was set"))
    assert written(small, tmp_path / "second", kept) == first


def test_a_spoilt_entry_of_the_cache_is_made_anew_and_the_same_by_one_worker(
    small, first, kept, tmp_path
):
    cache = shutil.copytree(kept, tmp_path / "cache")
    entries = [path for path in cache.rglob("*") if path.is_file()]
    assert len(entries) > len(first)
    for number, path in enumerate(entries):
        whole = path.read_bytes()
        path.write_bytes((whole[:-9], b"", b"junk" + whole)[number % 3])
    assert written(small, tmp_path / "second", cache, 1) == first


def test_a_changed_mark_changes_the_book(first, kept, tmp_path):
    changed = write_folder(tmp_path / "meet", MEET.replace("5,BB,,9.000,3.0", "5,BB,,9.100,3.1"))
    asked: list[str] = []
    results, theme = judged(changed), find_theme("standard")
    write_books(
        results, theme, tmp_path / "second", lambda done, of, name: asked.append(name), cache=kept
    )
    # Each sheet says of which results it is; those that do not show the mark are not set again.
    for name, book in first.items():
        assert book != (tmp_path / "second" / name).read_bytes(), name
    assert "Women · Balance Beam" in asked
    assert not [name for name in asked if name.startswith("North") or "Start list" in name]


# When something breaks


def test_a_worker_that_dies_is_told_with_its_unit_and_the_old_books_stay(
    small, shelf, kept, tmp_path, monkeypatch
):
    monkeypatch.setenv("RESULTSGEN_CACHE", str(kept))
    out = tmp_path / "out"
    publish(small, out, BuildOptions(), quiet)
    monkeypatch.setenv("RESULTSGEN_CACHE", "none")
    before = {path: path.read_bytes() for path in out.rglob("*") if path.is_file()}
    answer = workers.Worker.answer

    def dying(worker: workers.Worker, name: str, *messages: object) -> object:
        if any(isinstance(one, workers.PressJob) for one in messages):
            worker.process.kill()
        return answer(worker, name, *messages)

    monkeypatch.setattr(workers.Worker, "answer", dying)
    names = "|".join({re.escape(one.name) for book in told(small) for one in book.page_ranges})
    with pytest.raises(workers.PressError, match=f"^({names}): the renderer broke down"):
        publish(small, out, BuildOptions(), quiet)
    assert before == {path: path.read_bytes() for path in out.rglob("*") if path.is_file()}


def living(process: str) -> list[str]:
    """State and parent of a process; nothing of one that ended, even if nobody asked for it yet."""
    try:
        state, parent = Path("/proc", process, "stat").read_text().rpartition(")")[2].split()[:2]
    except OSError:
        return []
    return [state, parent] if state != "Z" else []


def children(process: int) -> set[str]:
    """The processes that this one has started and that still live."""
    every = (path.name for path in Path("/proc").glob("[0-9]*"))
    return {one for one in every if living(one)[1:] == [str(process)]}


def waited(condition, seconds: float = 30) -> bool:
    """Whether it became true in time."""
    end = time.monotonic() + seconds
    while not condition() and time.monotonic() < end:
        time.sleep(0.05)
    return bool(condition())


def test_ctrl_c_leaves_no_worker(tmp_path):
    # A process that was started in the background may have been told to ignore Ctrl-C.
    code = (
        "import signal, sys; signal.signal(signal.SIGINT, signal.default_int_handler); "
        "from resultsgen.cli import main; sys.exit(main())"
    )
    command = [sys.executable, "-c", code, "build", str(EXAMPLE), "-o", str(tmp_path / "out")]
    path = os.pathsep.join(filter(None, (str(ROOT), *sys.path)))
    process = subprocess.Popen(
        command,
        env={**os.environ, "PYTHONPATH": path, "RESULTSGEN_CACHE": "none"},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
    )
    try:
        assert waited(lambda: children(process.pid))
        started = children(process.pid)
        process.send_signal(signal.SIGINT)
        said = process.communicate(timeout=30)[1].decode()
    finally:
        process.kill()
    assert process.returncode != 0
    assert "Traceback" not in said
    assert waited(lambda: not any(map(living, started)))
    assert not (tmp_path / "out").exists()
