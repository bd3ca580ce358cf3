"""How long it takes from a mark to the page that shows it, while a meet is published as it runs.

    PYTHONPATH=.:tests python tests/bench/bench_publishing.py

A made-up meet of 24 in four squads, 96 marks, one after the other by `watch --publish` in a process
of its own, and a browser whose open page asks for news ten times a second. Told are the median
and the worst of three times: until the folder is exchanged, until the open page shows the mark,
and the processor's for each publication with its tables.
"""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from browsing import ARGUMENTS, OFTEN, served
from folders import write_folder
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
MARKS = int(sys.argv[1]) if len(sys.argv) > 1 else 96


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


def measured(meet: Path, out: Path, page: Page, process: int) -> Iterator[tuple[float, ...]]:
    for number, row in zip(range(1, MARKS + 1), rows(), strict=False):
        before, begun = spent(process), time.perf_counter()
        with (meet / "marks.csv").open("a") as file:
            file.write(row)
        while f'"marks_in_all": {number}}}' not in (out / "news.json").read_text():
            time.sleep(0.005)
        exchanged = time.perf_counter() - begun
        while page.evaluate(SHOWN) != number:
            time.sleep(0.01)
        seen = time.perf_counter() - begun
        while not _tables(out, number):
            time.sleep(0.02)
        yield exchanged, seen, spent(process) - before


def _tables(out: Path, number: int) -> bool:
    return (out / "data/routines.csv").read_text("utf-8").count("\n") == number + 1


def main(folder: Path) -> None:
    meet, out = write_folder(folder / "meet", MEET.format(roster=roster())), folder / "out"
    words = "watch", str(meet), "--publish", "-o", str(out), "--port", "0"
    own = environment(RESULTSGEN_CACHE=str(folder / "cache"))
    with subprocess.Popen(
        [sys.executable, "-c", RUN, *words], stdout=subprocess.DEVNULL, env=own
    ) as watching:
        try:
            while not (out / "news.json").exists():
                time.sleep(0.1)
            with opened(out) as page:
                times: list[tuple[float, ...]] = []
                for one in measured(meet, out, page, watching.pid):
                    times.append(one)
                    print(len(times), *(f"{seconds:.2f}" for seconds in one), flush=True)
                names = "folder", "open page", "processor"
                for what, found in zip(names, zip(*times, strict=True), strict=True):
                    told = f"median {statistics.median(found):.2f} s, worst {max(found):.2f} s"
                    print(f"{what}: {told} of {len(found)}")
        finally:
            watching.terminate()


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        main(Path(folder))
