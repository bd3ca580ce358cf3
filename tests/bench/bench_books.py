"""How long the books take, what they weigh, and how that compares with plain rendering.

    PYTHONPATH=.:tests python tests/bench/bench_books.py [COMPETITIONS] [WORKERS]

A meet of 26 competitions is made up, whose complete book has about 200 pages. Told are, each
measured in a process of its own and all in one run:

* the complete book rendered plainly: one document, by the renderer with its defaults, untagged
  and tagged;
* the same from units: made fresh, with nothing changed, and after one changed mark, as a new
  process and in one that has made it before;
* all books of the example meet: fresh, and after one changed mark;
* how many pages its complete book has in each theme, and how well they are filled.

What was made after the change is compared with what is made of it without a cache, so that nothing
fast but wrong is measured.
"""

from __future__ import annotations

import gc
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from resultsgen.books.layout import Layout
from resultsgen.books.making import made_books, write_books
from resultsgen.books.page_numbers import NumberRooms
from resultsgen.books.press.workers import AT_HAND, get_ready
from resultsgen.books.volumes import BOOKS, volumes
from resultsgen.files.cache import Cache
from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import results
from resultsgen.scoring.results import Results
from resultsgen.theme.theme import find_theme, theme_names
from resultsgen.views.words.wording import wording

EXAMPLE = Path(__file__).parents[2] / "example_meet"
MOST_PAGES, FILLED = 55, 0.85
"""What is asked of the complete book of the example meet in every theme."""

MARGINS = {"bulletin": (24, 18)}
"""Above and below, where a theme has its own."""

GYMNASTS = 36
APPARATUS = ("VT", "UB", "BB", "FX")
FAMILY = ("Ash", "Birk", "Corn", "Dorn", "Elm", "Farn", "Gale", "Hazel", "Iris", "Junip")
ENDING = ("well", "ford", "by", "stead", "mere", "wick", "holm", "ley", "croft", "dale")
GIVEN = ("Ada", "Bea", "Cleo", "Dora", "Edda", "Fay", "Gro", "Hild", "Ida", "June", "Kaja", "Lene")
CLUBS = ("TV Auenried", "GC Bellmoor", "SC Corvale", "TuS Dornach", "GK Elmsund", "AG Farnholt")


def made_up(folder: Path, competitions: int) -> Path:
    """A meet folder of so many competitions, always the same."""
    folder.mkdir(parents=True)
    settings, roster, marks = [], [], []
    for number in range(competitions):
        settings += [
            "[[competition]]",
            f'id = "c{number}"',
            f'title = "Division {number + 1}"',
            'discipline = "women"',
            f'divisions = ["{number + 1}"]',
            'ranks = ["all-around", "apparatus"]',
        ]
        for bib in range(number * GYMNASTS + 1, (number + 1) * GYMNASTS + 1):
            roster.append(_on_the_roster(bib, number))
            marks += [_mark(bib, code) for code in APPARATUS]
    head = 'title = "Open meet"\npaper = "A4"\n'
    (folder / "meet.toml").write_text(head + "\n".join(settings) + "\n", encoding="utf-8")
    lines = ["bib,family_name,given_name,club,federation,division", *roster]
    (folder / "roster.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    lines = ["bib,apparatus,mark,d,e", *marks]
    (folder / "marks.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return folder


def _on_the_roster(bib: int, competition: int) -> str:
    name = FAMILY[bib % 10] + ENDING[bib // 10 % 10]
    given = f"{GIVEN[bib % 12]} {GIVEN[bib // 12 % 12]}"
    return f"{bib},{name},{given},{CLUBS[bib % 6]},{CLUBS[bib % 6][:2].upper()},{competition + 1}"


def _mark(bib: int, code: str) -> str:
    difficulty = 35 + (bib * 7 + APPARATUS.index(code) * 11) % 24
    execution = 7000 + (bib * 7919 + APPARATUS.index(code) * 104729) % 2300
    total = difficulty * 100 + execution
    return f"{bib},{code},{_shown(total)},{difficulty / 10},{_shown(execution)}"


def _shown(thousandths: int) -> str:
    return f"{thousandths // 1000}.{thousandths % 1000:03}"


def corrected(source: Path, folder: Path, file: str) -> Path:
    """A copy of a meet folder in which the last final mark of a file is a point lower."""
    shutil.copytree(source, folder)
    marks = folder / file
    head, *rows, last = marks.read_text(encoding="utf-8").splitlines()
    names, cells = head.split(","), last.split(",")
    lowered = ("mark", "e") if "mark" in names else names[-1:]
    for column in map(names.index, lowered):
        whole, _, decimals = cells[column].partition(".")
        cells[column] = f"{int(whole) - 1}.{decimals}"
    marks.write_text("\n".join([head, *rows, ",".join(cells)]) + "\n", encoding="utf-8")
    return folder


def judged(folder: Path) -> Results:
    """The results of a meet folder."""
    meet, problems = read_meet(folder)
    assert meet is not None, problems
    return results(meet)[0]


def complete_book(
    meet: Results, cache: Path | None, workers: int, theme: str = "standard"
) -> bytes:
    """The complete book from units."""
    words = wording(meet.meet.settings)
    layout = Layout(meet.meet, find_theme(theme), words)
    ((_, pdf, *_),) = made_books(
        volumes(meet, words, BOOKS[:1]), layout, Cache(cache), workers, lambda *_: None
    )
    return pdf


def plain_book(meet: Results, tagged: bool) -> bytes:
    """The complete book as the renderer makes it of one document, with its defaults."""
    from resultsgen.books.press.renderer import VARIANT, Renderer

    words = wording(meet.meet.settings)
    layout = Layout(meet.meet, find_theme("standard"), words)
    (volume,) = volumes(meet, words, BOOKS[:1])
    html = layout.html(
        volume.title, volume.page_ranges, volume.anchors, NumberRooms(volume.page_ranges)
    )
    look, _ = layout.look([html], Cache(None))
    renderer = Renderer(look.css, look.assets)
    variant = {"pdf_variant": VARIANT} if tagged else {}
    pdf: bytes = renderer._html(html).write_pdf(
        stylesheets=renderer._css, font_config=renderer._fonts, **variant
    )
    return pdf


# Each measurement is a process of its own; this is what happens in it.


def measured(work: Callable[[], object]) -> dict[str, float]:
    """Seconds of the work, and the memory of this process and of the largest that it started."""
    start = time.perf_counter()
    work()
    seconds = time.perf_counter() - start
    peaks = [peak(worker.process.pid) for worker in AT_HAND]
    return {
        "seconds": seconds,
        "here": peak(os.getpid()),
        "worker": max(peaks, default=0),
    }


def peak(process: int) -> float:
    """The most memory that a process had so far, in megabytes, as Linux counts it."""
    status = Path(f"/proc/{process}/status").read_text(encoding="utf-8")
    return int(status.partition("VmHWM:")[2].split()[0]) / 1024


def plain(meet: str, out: str, tagged: str) -> dict[str, float]:
    """One document."""
    asked = judged(Path(meet))
    return measured(lambda: Path(out).write_bytes(plain_book(asked, tagged == "tagged")))


def units(meet: str, out: str, cache: str, workers: str) -> dict[str, float]:
    """From units; as in a build, a worker gets ready while the meet is read."""
    gc.disable()
    get_ready()
    asked = judged(Path(meet))
    kept = Path(cache) if cache else None
    return measured(lambda: Path(out).write_bytes(complete_book(asked, kept, int(workers))))


def again(meet: str, changed: str, out: str, cache: str, workers: str) -> dict[str, float]:
    """From units, in a process that has just made the same book before the change, as `watch`."""
    get_ready()
    before, after = judged(Path(meet)), judged(Path(changed))
    complete_book(before, Path(cache), int(workers))
    return measured(lambda: Path(out).write_bytes(complete_book(after, Path(cache), int(workers))))


def shelf(meet: str, out: str, cache: str, workers: str) -> dict[str, float]:
    """All books of a meet, as in a build."""
    gc.disable()
    get_ready()
    asked = judged(Path(meet))
    kept = Path(cache) if cache else None
    return measured(
        lambda: write_books(
            asked, find_theme("standard"), Path(out), lambda *_: None,
            workers=int(workers), cache=kept,
        )
    )  # fmt: skip


def themed(meet: str, out: str, theme: str, workers: str) -> dict[str, float]:
    """The complete book in a theme."""
    asked = judged(Path(meet))
    return measured(lambda: Path(out).write_bytes(complete_book(asked, None, int(workers), theme)))


KINDS = {"plain": plain, "units": units, "again": again, "shelf": shelf, "themed": themed}


def run(kind: str, *arguments: object) -> dict[str, Any]:
    """One measurement; *whole* is the time from the start of the process to its end."""
    command = [sys.executable, __file__, "--measure", kind, *map(str, arguments)]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    start = time.perf_counter()
    done = subprocess.run(command, env=environment, stdout=subprocess.PIPE, check=True)
    told: dict[str, Any] = json.loads(done.stdout)
    told["whole"] = time.perf_counter() - start
    return told


def line(title: str, told: dict[str, Any], pages: int, size: int | None = None) -> None:
    """One line of the table."""
    weight = f"{size / 1e6:6.2f} MB" if size else ""
    print(
        f"{title:30} {told['seconds']:7.2f} s {pages / told['seconds']:6.1f} pages/s "
        f"{told['whole']:7.2f} s whole process "
        f"{told['here']:6.0f} MB here {told['worker']:6.0f} MB worker {weight}",
        flush=True,
    )


def pages_of(book: Path) -> int:
    """How many pages a book has; what counts them is loaded only here, as it takes memory too."""
    from pypdf import PdfReader

    return len(PdfReader(book).pages)


def main(competitions: int, workers: int) -> None:
    """Measure, compare, and tell."""
    with tempfile.TemporaryDirectory() as place:
        work = Path(place)
        _made_up_meet(work, competitions, workers)
        _example_meet(work, workers)
        _filled_pages(work, workers)


def _made_up_meet(work: Path, competitions: int, workers: int) -> None:
    meet = made_up(work / "meet", competitions)
    changed = corrected(meet, work / "changed", "marks.csv")
    book, cache = work / "book.pdf", work / "cache"
    told = {
        "plain": run("plain", meet, work / "plain.pdf", ""),
        "plain, tagged": run("plain", meet, work / "tagged.pdf", "tagged"),
        "units, tagged": run("units", meet, book, cache, workers),
        "nothing changed": run("units", meet, work / "same.pdf", cache, workers),
    }
    shutil.copytree(cache, work / "cache2")
    told["one changed mark"] = run("units", changed, work / "new.pdf", cache, workers)
    told["the same, kept running"] = run(
        "again", meet, changed, work / "again.pdf", work / "cache2", workers
    )
    run("units", changed, work / "proof.pdf", "", workers)
    assert book.read_bytes() == (work / "same.pdf").read_bytes()
    proof = (work / "proof.pdf").read_bytes()
    assert proof == (work / "new.pdf").read_bytes() == (work / "again.pdf").read_bytes()
    assert proof != book.read_bytes()
    pages = pages_of(book)
    sizes = {"plain": "plain.pdf", "plain, tagged": "tagged.pdf", "units, tagged": "book.pdf"}
    print(f"The complete book of a made-up meet, {pages} pages")
    for title, one in told.items():
        size = (work / sizes[title]).stat().st_size if title in sizes else None
        line(title, one, pages, size)
    for sentence in _ratios(told, work):
        print(sentence)


def _ratios(told: dict[str, dict[str, Any]], work: Path) -> Iterator[str]:
    seconds = {title: one["seconds"] for title, one in told.items()}
    fresh = seconds["units, tagged"]
    yield f"as fast as plain, untagged and tagged: {seconds['plain'] / fresh:.2f}, " + (
        f"{seconds['plain, tagged'] / fresh:.2f} times"
    )
    for title in ("one changed mark", "the same, kept running"):
        yield f"{title}: 1/{seconds['plain, tagged'] / seconds[title]:.0f} of plain, tagged"
    ratio = (work / "book.pdf").stat().st_size / (work / "tagged.pdf").stat().st_size
    yield f"size: {ratio:.2f} of plain, tagged"


def _example_meet(work: Path, workers: int) -> None:
    changed = corrected(EXAMPLE, work / "example", "marks_junior_women.csv")
    cache = work / "example-cache"
    first = run("shelf", EXAMPLE, work / "first", cache, workers)
    second = run("shelf", changed, work / "second", cache, workers)
    run("shelf", changed, work / "proved", "", workers)
    before, after, proof = (_files(work / name) for name in ("first", "second", "proved"))
    assert after == proof
    pages = sum(pages_of(path) for path in (work / "first").iterdir())
    differing = sum(after[name] != before.get(name) for name in after)
    print(f"All {len(before)} books of the example meet, {pages} pages")
    line("fresh", first, pages, sum(map(len, before.values())))
    line(f"one changed mark, {differing} books", second, pages)


def _filled_pages(work: Path, workers: int) -> None:
    from test_books import filled

    for theme in theme_names():
        book = work / f"{theme}.pdf"
        run("themed", EXAMPLE, book, theme, workers)
        how_far = filled(book, *MARGINS.get(theme, ()))
        mean = sum(how_far) / len(how_far)
        print(f"{theme}: {len(how_far)} pages, filled {mean:.3f}, the emptiest {min(how_far):.2f}")
        assert len(how_far) <= MOST_PAGES
        assert mean >= FILLED


def _files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


if __name__ == "__main__":
    if sys.argv[1:2] == ["--measure"]:
        print(json.dumps(KINDS[sys.argv[2]](*sys.argv[3:])))
    else:
        asked = [int(one) for one in sys.argv[1:]]
        main(*asked, *(26, 0)[len(asked) :])
