"""Every state that a meet can be in is built whole: site, data and books, not only judged.

Random meets (`running_drawn.py`) are published as the marks come in; whatever is raised fails, as
the folders drawn have no problems.
"""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest
from folders import judged, write_folder
from running_drawn import drawn

from resultsgen.books.layout import Layout
from resultsgen.books.page_numbers import NumberRooms
from resultsgen.books.volumes import volumes
from resultsgen.meet.problems import MeetProblems
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.publish import publish
from resultsgen.theme.theme import find_theme
from resultsgen.views.words.wording import Wording

EVENING = Path(__file__).parent / "example_evening"
STANDARD = find_theme("standard")


def published(folder: Path, out: Path) -> Path:
    """The site and the data, and every book as far as the press."""
    publish(folder, out, BuildOptions(books=False), lambda *_: None)
    results = judged(folder)
    layout = Layout(results.meet, STANDARD, Wording())
    for one in volumes(results, Wording()):
        assert layout.html(one.title, one.page_ranges, one.anchors, NumberRooms(one.page_ranges))
    return out


BETWEEN_THE_DAYS = """
    == meet.toml ==
    title = "Two weekends"
    [[competition]]
    id = "w1"
    title = "First weekend"
    discipline = "women"
    marks = "first.csv"
    rules = "two-day-combined"
    [[competition]]
    id = "w2"
    title = "Second weekend"
    discipline = "women"
    marks = "second.csv"
    rules = "two-day-combined"
    [[competition]]
    id = "sum"
    title = "Both weekends"
    discipline = "women"
    days = ["w1", "w2"]
    rules = "two-day-combined"
    == roster.csv ==
    bib,family_name,club
    1,Adamsky,Lindmoor
    2,Bellwether,Hartsee
    == first.csv ==
    bib,VT,UB,BB,FX
    1,9.1,9.0,9.2,9.3
    2,9.0,9.0,9.0,9.5
    == second.csv ==
    bib,VT,UB,BB,FX
"""
GUEST_FIRST = """
    == meet.toml ==
    title = "Cup"
    [[competition]]
    id = "cup"
    title = "Cup"
    discipline = "women"
    rules = "club-ten"
    running = { starts = { 1 = "VT" } }
    == roster.csv ==
    bib,family_name,club,squad,guest
    1,Adamsky,Lindmoor,1,yes
    2,Bellwether,Lindmoor,1,
    == marks.csv ==
    bib,apparatus,mark
    1,VT,9.100
"""
WITHDREW = """
    == meet.toml ==
    title = "Cup"
    [[competition]]
    id = "cup"
    title = "Cup"
    discipline = "women"
    rules = "club-ten"
    == roster.csv ==
    bib,family_name,club
    1,Adamsky,Lindmoor
    2,Bellwether,Lindmoor
    == marks.csv ==
    bib,apparatus,mark,status,rotation
    1,VT,9.100,,1
    1,,,WDR,
"""


@pytest.mark.parametrize("text", [BETWEEN_THE_DAYS, GUEST_FIRST, WITHDREW])
def test_a_state_that_stopped_a_build_is_published(tmp_path: Path, text: str) -> None:
    out = published(write_folder(tmp_path / "meet", text), tmp_path / "out")
    assert (out / "data" / "results.json").is_file()


def test_random_meets_are_published_as_their_marks_come_in(tmp_path: Path) -> None:
    made, refused = 0, set()
    for seed in range(3):
        dice = random.Random(seed)
        meet = drawn(dice, tmp_path / f"{seed}")
        for count in sorted(dice.sample(range(len(meet.rows) + 1), 2)):
            try:
                published(meet.write(tmp_path / f"{seed}", count), tmp_path / f"{seed}-out")
                made += 1
            except MeetProblems as found:
                refused |= {one.code for one in found.problems}
    assert made > 3
    assert refused <= {"equals-not-decided"}  # What the jury has to decide is no fault of ours.


def test_an_evening_is_published_as_its_marks_come_in(tmp_path: Path) -> None:
    folder = shutil.copytree(EVENING, tmp_path / "meet")
    rows = (folder / "marks.csv").read_text("utf-8").splitlines(keepends=True)
    for count in (2, 40):
        (folder / "marks.csv").write_text("".join(rows[:count]), "utf-8")
        published(folder, tmp_path / "out")
