"""A stranger's folder: what lies outside it, what is no file and what is too large stay out."""

from __future__ import annotations

import os
import re
import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from folders import write_folder

from resultsgen.files.opening import LARGEST, file_bytes, largest_of, names_in
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.publish import publish
from resultsgen.publishing.unchanged import inputs, published_before
from resultsgen.reading.meet import read_meet
from resultsgen.reading.pages import MOST_DRAWN
from resultsgen.reading.publications import read_publications, records_that_tell
from resultsgen.theme.checking import MOST_READ

SECRET = "kept-to-myself"

MEET = """
== meet.toml ==
title = "Cup"

[[competition]]
id = "women"
title = "Women"
discipline = "women"
apparatus = ["VT"]
ranks = ["apparatus"]
rules = "own.toml"
== own.toml ==
title = "House rules"
== roster.csv ==
bib,family_name
1,Alder
2,Birch
== marks.csv ==
bib,apparatus,mark
1,VT,13.100
2,VT,12.100
== incidents.csv ==
bib,competition,apparatus,incident,deduction
== bests.csv ==
record,bib,apparatus,mark
== corrections.csv ==
bib,competition,apparatus,old,new,why
== pages/recap.md ==
+++
title = "Recap"
+++
Text
== assets/logo.svg ==
<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1"><path d="M0 0h1v1z"/></svg>
"""

READ = (
    "meet.toml", "own.toml", "roster.csv", "marks.csv", "incidents.csv", "bests.csv",
    "corrections.csv", "pages/recap.md", "assets/logo.svg",
)  # fmt: skip
"""A file of every reader."""

WITHOUT_BOOKS = BuildOptions(books=False)


@pytest.fixture
def meet(tmp_path: Path) -> Path:
    folder = tmp_path / "meet"
    folder.mkdir()
    return write_folder(folder, MEET)


def refused(folder: Path) -> list[tuple[str, str]]:
    """File and code of all that is told, and never what stands outside."""
    _, problems = read_meet(folder)
    assert SECRET not in repr(problems)
    return [(one.file, one.code) for one in problems]


def to_outside(path: Path) -> None:
    outside = path.parents[2] / "outside"
    outside.write_text(SECRET, encoding="utf-8")
    path.symlink_to(outside)


def pipe(path: Path) -> None:
    os.mkfifo(path)


def folder(path: Path) -> None:
    path.mkdir()


def to_nothing(path: Path) -> None:
    path.symlink_to("nobody@machine.1234")


def to_itself(path: Path) -> None:
    path.symlink_to(path.name)


def huge(path: Path) -> None:
    with path.open("wb") as file:
        file.truncate(1_500_000_000)  # Nothing is written; on disk it takes no room.


PUT: tuple[tuple[Callable[[Path], None], str, str], ...] = (
    (to_outside, "outside-the-folder", "outside-the-folder"),
    (pipe, "not-a-file", "no-picture"),
    (folder, "not-a-file", "no-picture"),
    (to_nothing, "not-a-file", "no-picture"),
    (to_itself, "not-a-file", "no-picture"),
    (huge, "file-too-large", "picture-too-large"),
)
"""What is put in the place of a file, and the code that it and a picture get."""


@pytest.mark.parametrize("file", READ)
@pytest.mark.parametrize("put", PUT, ids=lambda put: put[0].__name__)
def test_only_regular_files_of_the_folder_are_read(
    meet: Path, file: str, put: tuple[Callable[[Path], None], str, str]
) -> None:
    make, code, of_picture = put
    (meet / file).unlink()
    make(meet / file)
    told = refused(meet)
    named = "meet.toml" if file == "own.toml" else file
    assert (named, of_picture if file.startswith("assets/") else code) in told


def test_a_device_is_not_opened(tmp_path: Path) -> None:
    (tmp_path / "roster.csv").symlink_to("/dev/zero")
    with pytest.raises(Exception, match="outside"):
        file_bytes(tmp_path, "roster.csv")
    with pytest.raises(Exception, match="no file"):
        file_bytes(Path("/dev"), "zero")


def test_a_folder_of_pictures_that_is_a_link_shows_nothing(meet: Path) -> None:
    (meet.parent / "private").mkdir()
    (meet / "assets/logo.svg").rename(meet.parent / "private/logo.svg")
    (meet / "assets").rmdir()
    (meet / "assets").symlink_to(meet.parent / "private")
    assert refused(meet) == [("assets/logo.svg", "outside-the-folder")]


def test_records_of_publications_that_lie_elsewhere_are_not_read(tmp_path: Path) -> None:
    (tmp_path / "private").mkdir()
    (tmp_path / "private/001.json").write_text(f'{{"{SECRET}": 1}}', encoding="utf-8")
    (tmp_path / "meet").mkdir()
    (tmp_path / "meet/publications").symlink_to(tmp_path / "private")
    _, (problem,) = read_publications(tmp_path / "meet/publications")
    assert (problem.code, SECRET in problem.message) == ("broken-publication", False)
    assert "outside" in problem.message


def test_what_nobody_asks_for_is_left_alone(meet: Path) -> None:
    os.mkfifo(meet / "queue")
    to_nothing(meet / ".#marks.csv")
    to_nothing(meet / "pages/.#recap.md")
    to_outside(meet / "roster.old")
    huge(meet / "film.mp4")
    (meet / "backup.csv").mkdir()
    (meet / "round").symlink_to(".")
    done = threading.Event()

    def build() -> None:
        publish(meet, meet.parent / "out", WITHOUT_BOOKS, lambda *_: None)
        done.set()

    threading.Thread(target=build, daemon=True).start()
    assert done.wait(60), "the build hangs"
    assert published_before(meet, meet.parent / "out", WITHOUT_BOOKS)


def test_a_build_is_done_again_when_a_link_leads_elsewhere(meet: Path) -> None:
    (meet / "a.svg").write_text("a", encoding="utf-8")
    (meet / "b.svg").write_text("b", encoding="utf-8")
    (meet / "now.svg").symlink_to("a.svg")
    before = inputs(meet, meet.parent / "out")
    (meet / "now.svg").unlink()
    (meet / "now.svg").symlink_to("b.svg")
    assert inputs(meet, meet.parent / "out") != before


def test_records_are_looked_through_in_parts(tmp_path: Path) -> None:
    """All words of a record at once would fill memory; a name over an edge is in the next part."""
    parts: list[str] = []
    (tmp_path / "001.json").write_text("x" * 999_995 + "Ada Vale" + "x" * 3_000_000)
    assert records_that_tell(tmp_path, lambda text: "Ada Vale" in text) == ["001.json"]
    assert not records_that_tell(tmp_path, lambda text: bool(parts.append(text)))
    assert (len(parts), max(map(len, parts)) < 1_100_000) == (5, True)


@pytest.mark.parametrize("ending", [*LARGEST, ".csv"])
def test_each_kind_has_a_largest_size(tmp_path: Path, ending: str) -> None:
    name = f"a{ending}"
    with (tmp_path / name).open("wb") as file:
        file.truncate(largest_of(name))
    assert len(file_bytes(tmp_path, name)) == largest_of(name)
    with (tmp_path / name).open("ab") as file:
        file.write(b"x")
    with pytest.raises(Exception, match="larger than"):
        file_bytes(tmp_path, name)


def test_hidden_files_are_no_files_of_a_folder(tmp_path: Path) -> None:
    for name in ("b.md", "a.md", ".#a.md", "a.md~", "c.txt"):
        (tmp_path / name).touch()
    assert names_in(tmp_path, "", ".md") == ["a.md", "b.md"]


def test_the_readme_says_each_largest_size() -> None:
    text = (Path(__file__).parents[2] / "resultsgen/meet/README.md").read_text(encoding="utf-8")
    said = text[text.index("each kind has a largest size") :].partition("\n\n")[0]
    sizes = [int(n) * {"MB": 10**6, "kB": 1000}[u] for n, u in re.findall(r"(\d+) (MB|kB)", said)]
    order = (
        ".toml",
        ".csv",
        ".png",
        ".svg",
        MOST_DRAWN,
        ".json",
        ".html",
        ".css",
        ".ttf",
        MOST_READ,
    )
    assert sizes == [one if isinstance(one, int) else largest_of(f"a{one}") for one in order]
    assert {largest_of(f"a{ending}") for ending in LARGEST} <= {*sizes}
