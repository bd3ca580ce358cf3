"""How long it takes from a mark to the page that shows it, while a meet is published as it runs.

    PYTHONPATH=.:tests python tests/bench/bench_publishing.py [MARKS]
    PYTHONPATH=.:tests python tests/bench/bench_publishing.py example [MARKS]

A made-up meet of 24 in four squads, 96 marks, one after the other by `watch --publish` in a process
of its own, and a browser whose open page asks for news ten times a second. Told are the median
and the worst of three times: until the folder is exchanged, until the open page shows the mark,
and the processor's for each publication with its tables. With `example` it is the example meet,
made provisional, at the end of its qualification; then no page is open. After each mark, while
nothing else is done, Python-Markdown reads one and the same text: how many times as long all took
is what can be compared from machine to machine, and from one hour to another.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from itertools import islice
from pathlib import Path

from browsing import ARGUMENTS, OFTEN, served
from folders import write_folder
from markdown import markdown
from playwright.sync_api import Page, sync_playwright
from test_cli import RUN, environment

APPARATUS = ("VT", "UB", "BB", "FX")
MEET = """
    == meet.toml ==
    title = "Four squads"
    published = "now"
    base_url = "https://example.org/cup/"
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    ranks = ["all-around", "apparatus", "team"]
    [competition.team]
    format = "6-5-3"
    by = "club"
    [competition.running]
    starts = {{ A = "VT", B = "UB", C = "BB", D = "FX" }}
    allowance = 1.000
    == roster.csv ==
    bib,family_name,given_name,club,squad,start_order
    {roster}
    == marks.csv ==
    bib,apparatus,mark,d,e
    """
SHOWN = """[...document.querySelectorAll("td.mark")].filter(
    (one) => /[0-9]{2}[.]/.test(one.textContent)).length"""
EXAMPLE = Path(__file__).parents[2] / "example_meet"
PEER = "Python-Markdown"
ITS_TEXT = "".join(
    f"## Lane {n}\n\nSome *words* of [a page](page{n}.html) with `code`, and **more**.\n\n"
    f"* one\n* two, {n}\n\n"
    for n in range(200)
)
IS_EXAMPLE = "example" in sys.argv
MARKS = next((int(word) for word in sys.argv if word.isdecimal()), 24 if IS_EXAMPLE else 96)


def roster() -> str:
    each = (f"{101 + n},Gymnast{n:02},Ada,Club {n % 4},{'ABCD'[n // 6]},{n % 6 + 1}"
            for n in range(24))  # fmt: skip
    return "\n    ".join(each)


def rows() -> Iterator[str]:
    """The marks in the order of the meet: four rotations, in each six of every squad."""
    for turn in range(96):
        rotation, squad = turn // 24, turn % 4
        bib = 101 + 6 * squad + turn % 24 // 4
        mark, d = 11_000 + (bib * 37 + rotation * 411) % 2_500, 4_500 + bib % 10 * 100
        values = ",".join(f"{value / 1000:.3f}" for value in (mark, d, mark - d))
        yield f"{bib},{APPARATUS[(squad + rotation) % 4]},{values}\n"


def spent(process: int) -> float:
    """The processor's seconds of a process."""
    times = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    return (int(times[11]) + int(times[12])) / os.sysconf("SC_CLK_TCK")


def example(meet: Path) -> list[str]:
    """The example meet before its last marks of the qualification, which are given."""
    shutil.copytree(EXAMPLE, meet, ignore=shutil.ignore_patterns("publications"))
    settings = (meet / "meet.toml").read_text("utf-8").replace('"official"', '"provisional"', 1)
    settings = re.sub("(?m)^published = .*", 'published = "now"', settings)
    (meet / "meet.toml").write_text(settings, "utf-8")
    _lines_kept(meet / "marks_finals.csv", 1)
    _lines_kept(meet / "incidents.csv", 3)  # The others are of later marks.
    return _lines_kept(meet / "marks.csv", -MARKS)


def _lines_kept(file: Path, many: int) -> list[str]:
    """So many lines of a file stay; the others."""
    lines = file.read_text("utf-8").splitlines(keepends=True)
    file.write_text("".join(lines[:many]), "utf-8")
    return lines[many:]


@contextmanager
def opened(out: Path) -> Iterator[Page]:
    """The all-around, open in a browser."""
    with served(out) as address, sync_playwright() as play:
        chromium = shutil.which("chromium") or shutil.which("chromium-browser")
        browser = play.chromium.launch(executable_path=chromium, args=[*ARGUMENTS])
        page = browser.new_page()
        page.add_init_script(OFTEN)
        page.goto(f"{address}competitions/women/all-around.html")
        yield page


def measured(
    meet: Path, out: Path, lines: list[str], page: Page | None, process: int
) -> Iterator[tuple[float, ...]]:
    for row in lines:
        before_it = _told(out)
        before, begun = spent(process), time.perf_counter()
        with (meet / "marks.csv").open("a") as file:
            file.write(row)
        while _told(out) == before_it:
            time.sleep(0.005)
        exchanged = time.perf_counter() - begun
        pages = spent(process) - before
        while page and page.evaluate(SHOWN) <= before_it["marks_in_all"]:
            time.sleep(0.01)
        seen = time.perf_counter() - begun
        while " follow.</p>" in (out / "downloads.html").read_text("utf-8"):
            time.sleep(0.02)
        # What lies about is cleared away after the tables; in a hall the next mark comes later.
        busy = before
        while busy != spent(process):
            busy = spent(process)
            time.sleep(0.3)
        yield exchanged, pages, seen, busy - before, timed_peer()


def timed_peer() -> float:
    """The seconds that a piece of work takes here and now which this program has no part in."""
    begun = time.perf_counter()
    markdown(ITS_TEXT)
    return time.perf_counter() - begun


def _told(out: Path) -> dict[str, int]:
    return json.loads((out / "news.json").read_text())


def main(folder: Path) -> None:
    meet, out = folder / "meet", folder / "out"
    if IS_EXAMPLE:
        lines = example(meet)
    else:
        write_folder(meet, MEET.format(roster=roster()))
        lines = [*islice(rows(), MARKS)]
    words = "watch", str(meet), "--publish", "-o", str(out), "--port", "0"
    own = environment(RESULTSGEN_CACHE=str(folder / "cache"))
    with subprocess.Popen(
        [sys.executable, "-c", RUN, *words], stdout=subprocess.DEVNULL, env=own
    ) as watching:
        try:
            while not (out / "news.json").exists():
                time.sleep(0.1)
            with nullcontext() if IS_EXAMPLE else opened(out) as page:
                times: list[tuple[float, ...]] = []
                for one in measured(meet, out, lines, page, watching.pid):
                    times.append(one)
                    print(len(times), *(f"{seconds:.2f}" for seconds in one), flush=True)
                names = "folder", "its processor time", "open page", "processor with tables", PEER
                peer = statistics.median(one[-1] for one in times)
                for what, found in zip(names, zip(*times, strict=True), strict=True):
                    median, worst = statistics.median(found), max(found)
                    told = f"median {median:.3f} s, {median / peer:.1f} times {PEER}'s {peer:.3f} s"
                    print(f"{what}: {told}, worst {worst:.2f} s of {len(found)}")
        finally:
            watching.terminate()


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        main(Path(folder))
