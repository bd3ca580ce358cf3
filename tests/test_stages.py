"""A meet published in steps while it is written: each step is whole, and says of what it is."""

from __future__ import annotations

import csv
import json
import re
import shutil
from pathlib import Path

import pytest
from folders import write_folder

from resultsgen.files.manifest import verified
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
    said = "These files are those of publication 1; those of publication 2 follow."
    assert said in (running.out / "downloads.html").read_text("utf-8")
    assert number_of_tables(running.out) == 1
    third = running.step()
    assert (third.number, running.stages.left) == (2, ())
    assert running.told() == (33, 33)
    assert "These files are" not in (running.out / "downloads.html").read_text("utf-8")
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
