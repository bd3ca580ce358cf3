"""A meet published in steps while it is written: each step is whole, and says of what it is."""

from __future__ import annotations

import csv
import json
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import pytest
from folders import write_folder
from test_cli import RUN, environment

from resultsgen.files.manifest import ManifestError, verified
from resultsgen.meet.problems import MeetProblems
from resultsgen.publishing.build_options import BuildOptions, Published
from resultsgen.publishing.publish import publish
from resultsgen.publishing.stages import OvertakenError, Stages
from resultsgen.publishing.unchanged import published_before

EVENING = Path(__file__).parent / "example_evening"
WITHOUT_BOOKS = BuildOptions(books=False)


class Running:
    """A copy of the evening of which each mark is published when it comes."""

    def __init__(self, folder: Path) -> None:
        self.meet, self.out = folder / "meet", folder / "out"
        shutil.copytree(EVENING, self.meet)
        self.marks = self.meet / "marks.csv"
        self.head, *self.rows = self.marks.read_text("utf-8").splitlines(keepends=True)
        self.stages = Stages(self.meet, self.out, WITHOUT_BOOKS)
        self.enter(30)

    def enter(self, many: int) -> None:
        self.marks.write_text(self.head + "".join(self.rows[:many]), encoding="utf-8")
        self.stages.begin()

    def step(self) -> Published:
        return self.stages.go_on(lambda: False)

    def told(self) -> tuple[int, int]:
        """How many marks the pages show, and how many the tables; the folder is one whole."""
        assert verified(self.out).intact
        with (self.out / "data/routines.csv").open(encoding="utf-8", newline="") as opened:
            in_tables = sum(bool(row["mark"]) for row in csv.DictReader(opened))
        of_gymnasts = (self.out / "gymnasts").glob("women-*.html")
        of_lists = (self.out / f"competitions/evening/{one}.html" for one in APPARATUS)
        counts = [
            sum(len(found.findall(page.read_text("utf-8"))) for page in pages)
            for found, pages in ((OF_GYMNAST, of_gymnasts), (IN_LIST, of_lists))
        ]
        assert counts[0] == counts[1]
        return counts[0], in_tables


APPARATUS = ("vt", "ub", "bb", "fx")
ROW = r'<tr id="{}"[^>]*>(?:(?!</tr>).)*<td class="total">[0-9]'
OF_GYMNAST = re.compile(ROW.format(r"evening-[0-9]+-[A-Z]{2}-1"))
IN_LIST = re.compile(ROW.format(r"[A-Z]{2}-[0-9]+"))


def number_of_tables(out: Path) -> int:
    return int(json.loads((out / "data/results.json").read_text("utf-8"))["publication"])


def test_pages_come_first_and_say_of_which_publication_the_tables_are(tmp_path):
    running = Running(tmp_path)
    first = running.step()
    assert (first.number, running.stages.left) == (1, ())
    before = running.told()
    running.enter(33)
    second = running.step()
    assert (second.number, running.stages.left) == (2, ("tables",))
    pages, tables = running.told()
    assert (before, pages, tables) == ((30, 30), 33, 30)
    said = "The tables are those of publication 1; those of publication 2 follow."
    assert said in (running.out / "downloads.html").read_text("utf-8")
    assert number_of_tables(running.out) == 1
    third = running.step()
    assert (third.number, running.stages.left) == (2, ())
    assert running.told() == (33, 33)
    assert "The tables are" not in (running.out / "downloads.html").read_text("utf-8")
    assert number_of_tables(running.out) == 2
    records = sorted(one.name for one in (running.out / "data/publications").iterdir())
    assert records == ["001.json", "002.json"]


def test_what_steps_made_is_what_one_build_makes(tmp_path):
    running = Running(tmp_path)
    running.step()
    running.enter(40)
    while running.stages.left:
        running.step()
    assert published_before(running.meet, running.out, WITHOUT_BOOKS) is not None
    again = publish(running.meet, running.out, WITHOUT_BOOKS, lambda *_: None)
    assert (again.number, again.changed) == (2, 0)


def test_a_build_after_a_first_step_makes_what_is_missing(tmp_path):
    """Where the process ended between the steps, nothing passes for published that is not."""
    running = Running(tmp_path)
    running.step()
    running.enter(40)
    running.step()
    assert published_before(running.meet, running.out, WITHOUT_BOOKS) is None
    after = Stages(running.meet, running.out, WITHOUT_BOOKS)
    after.begin()
    published = after.go_on(lambda: False)
    assert (published.number, after.left) == (2, ())
    assert number_of_tables(running.out) == 2


def test_a_change_ends_the_step_behind_the_pages(tmp_path):
    running = Running(tmp_path)
    running.step()
    running.enter(33)
    running.stages.go_on(lambda: True)
    with pytest.raises(OvertakenError):
        running.stages.go_on(lambda: True)
    assert running.stages.left == ("tables",)
    assert (running.told(), number_of_tables(running.out)) == ((33, 30), 1)
    running.enter(35)
    running.step()
    assert running.told() == (35, 30)
    running.step()
    assert running.told() == (35, 35)


@pytest.mark.parametrize("what", ["altered", "gone"])
def test_tables_that_are_not_as_published_are_made_with_the_pages(tmp_path, what):
    running = Running(tmp_path)
    running.step()
    table = running.out / "data/routines.csv"
    table.write_text("altered") if what == "altered" else table.unlink()
    running.enter(33)
    running.step()
    assert (running.told(), number_of_tables(running.out)) == ((33, 33), 2)


NAMED = """
    == meet.toml ==
    title = "Cup"
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["VT"]
    == roster.csv ==
    bib,family_name,given_name,publish
    1,Quillfeather,Ada,{publish}
    2,Birch,Bea,
    == marks.csv ==
    bib,apparatus,mark
    1,VT,13.100
    """


def test_no_table_stays_that_tells_a_name_withheld_by_now(tmp_path):
    meet, out = write_folder(tmp_path / "meet", NAMED.format(publish="")), tmp_path / "out"
    stages = Stages(meet, out, WITHOUT_BOOKS)
    stages.begin()
    stages.go_on(lambda: False)
    assert "Quillfeather" in (out / "data/gymnasts.csv").read_text("utf-8")
    write_folder(meet, NAMED.format(publish="no"))
    stages.begin()
    stages.go_on(lambda: False)
    for path in filter(Path.is_file, out.rglob("*")):
        assert b"Quillfeather" not in path.read_bytes()


def test_what_is_wrong_leaves_the_last_step_and_its_tables(tmp_path):
    running = Running(tmp_path)
    running.step()
    running.enter(33)
    running.step()
    before = running.told()
    (running.meet / "meet.toml").write_text("title = 1\n")
    with pytest.raises(MeetProblems):
        running.step()
    assert running.told() == before


def test_books_come_last_and_those_of_before_stay_until_then(tmp_path):
    meet, out = write_folder(tmp_path / "meet", NAMED.format(publish="")), tmp_path / "out"
    stages = Stages(meet, out, BuildOptions())
    stages.begin()
    assert stages.go_on(lambda: False).books > 0
    before = {path.name: path.read_bytes() for path in (out / "books").rglob("*.pdf")}
    with (meet / "marks.csv").open("a", encoding="utf-8") as marks:
        marks.write("2,VT,12.100\n")
    stages.begin()
    said = "are those of publication 1; those of publication 2 follow."
    told = []
    while stages.left:
        stages.go_on(lambda: False)
        now = {path.name: path.read_bytes() for path in (out / "books").rglob("*.pdf")}
        told.append((number_of_tables(out), now == before))
        pages = (out / "downloads.html", out / "index.html")
        told.append(tuple(page.read_text("utf-8").count(said) for page in pages))
        assert verified(out).intact
    # Tables and books are late; then the books, which home offers too; then nothing.
    assert told == [(1, True), (2, 1), (2, True), (1, 1), (2, False), (0, 0)]


@pytest.mark.parametrize("seed", range(2))
def test_every_state_of_a_replay_is_whole_and_of_the_publications_it_names(tmp_path, seed):
    """Marks come singly and several at once, some wrong, and overtake what is being made."""
    drawn, running = random.Random(seed), Running(tmp_path)
    running.stages = Stages(running.meet, running.out, replace(WITHOUT_BOOKS, hold_back=True))
    running.enter(many := 30)
    shown = 0
    for _ in range(8):
        wrong = drawn.random() < 0.25
        more = drawn.randint(1, 3)
        if wrong:
            running.marks.write_text(
                running.head + "".join(running.rows[:many]) + "99,VT,9.000\n", encoding="utf-8"
            )
            running.stages.begin()
        else:
            running.enter(many := many + more)
        while running.stages.left and (drawn.random() < 0.8 or not shown):
            with suppress(OvertakenError):
                published = running.stages.go_on(lambda: drawn.random() < 0.3)
                assert bool(published.held) is wrong
                shown = shown if wrong else many
            pages, tables = running.told()
            assert pages == shown or wrong
            late = tables != pages
            assert (number_of_tables(running.out) < number(running.out)) is late
            page = (running.out / "downloads.html").read_text("utf-8")
            assert ("The tables are those" in page) is late
    running.enter(many)
    while running.stages.left:
        running.step()
    assert running.told() == (many, many)
    kept = sorted(one.name for one in (running.out / "data/publications").iterdir())
    assert kept == [f"{n:03d}.json" for n in range(1, number(running.out) + 1)]


def number(out: Path) -> int:
    return int(json.loads((out / "news.json").read_text("utf-8"))["publication"])


class Watching:
    """The evening while `watch --publish` runs in a process of its own, which may be killed."""

    def __init__(self, folder: Path) -> None:
        self.running = Running.__new__(Running)
        self.running.meet, self.running.out = folder / "meet", folder / "out"
        shutil.copytree(EVENING, folder / "meet")
        self.running.marks = folder / "meet/marks.csv"
        head, *self.rows = self.running.marks.read_text("utf-8").splitlines(keepends=True)
        self.running.marks.write_text(head, encoding="utf-8")
        self.entered = 0
        self.start()

    def start(self) -> None:
        folders = self.running.meet, "--publish", "-o", self.running.out, "--port", 0
        command = [sys.executable, "-c", RUN, "watch", *map(str, folders)]
        self.process = subprocess.Popen(
            command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=environment()
        )

    def enter(self, more: int) -> None:
        for row in self.rows[self.entered : self.entered + more]:
            with self.running.marks.open("a", encoding="utf-8") as file:
                file.write(row)
        self.entered = min(self.entered + more, len(self.rows))

    def kill(self) -> None:
        self.process.kill()
        self.process.wait()

    def wait(self) -> None:
        """Until pages and tables show every mark that was entered."""
        ends = time.monotonic() + 60
        while time.monotonic() < ends:
            # It may be exchanged while it is looked at.
            with suppress(OSError, ValueError, AssertionError, ManifestError):
                if self.running.told() == (self.entered, self.entered):
                    return
            time.sleep(0.1)
        raise AssertionError("not all marks were published")


def killed_again_and_again(folder: Path, times: int, drawn: random.Random) -> None:
    watching = Watching(folder)
    try:
        watching.enter(5)
        watching.wait()
        for _ in range(times):
            watching.enter(drawn.randint(1, 2))
            time.sleep(drawn.uniform(0, 1.5))
            watching.kill()
            told = watching.running.told()
            assert told[1] <= told[0] <= watching.entered
            watching.enter(1)
            watching.start()
        watching.wait()
        kept = sorted(one.name for one in (watching.running.out / "data/publications").iterdir())
        assert kept == [f"{n:03d}.json" for n in range(1, number(watching.running.out) + 1)]
    finally:
        watching.kill()


def test_killed_at_any_moment_nothing_is_lost_and_the_next_start_goes_on(tmp_path):
    killed_again_and_again(tmp_path, 2, random.Random(1))


if __name__ == "__main__":  # By hand: python tests/test_stages.py 30
    with tempfile.TemporaryDirectory() as folder:
        killed_again_and_again(Path(folder), int(sys.argv[1]), random.Random())
