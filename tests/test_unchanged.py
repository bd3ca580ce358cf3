"""A build is left out only where meet, program and published folder are what they were."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from folders import write_folder
from openpyxl import Workbook

from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.publish import publish
from resultsgen.publishing.unchanged import published_before

MEET = """
    == meet.toml ==
    title = "Cup"

    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["VT"]
    ranks = ["apparatus"]
    == roster.csv ==
    bib,family_name
    1,Alder
    2,Birch
    == marks.csv ==
    bib,apparatus,mark
    1,VT,13.100
    2,VT,12.100
    """

WITHOUT_BOOKS = BuildOptions(books=False)


@pytest.fixture
def published(tmp_path, monkeypatch) -> tuple[Path, Path]:
    """A meet folder and what was published of it."""
    monkeypatch.setenv("RESULTSGEN_CACHE", str(tmp_path / "cache"))
    meet, out = write_folder(tmp_path / "meet", MEET), tmp_path / "out"
    publish(meet, out, WITHOUT_BOOKS, lambda *_: None)
    return meet, out


def test_the_same_meet_is_not_published_twice(published):
    meet, out = published
    again = published_before(meet, out, WITHOUT_BOOKS)
    assert again is not None
    whole = publish(meet, out, WITHOUT_BOOKS, lambda *_: None)
    # A whole build agrees that there is nothing to do.
    assert again == whole
    assert whole.changed == 0


@pytest.mark.parametrize(
    "change",
    [
        lambda meet, out: (meet / "marks.csv").write_text("bib,apparatus,mark\n1,VT,13.200\n"),
        lambda meet, out: (meet / "assets").mkdir() or (meet / "assets/a.svg").write_text("<svg/>"),
        lambda meet, out: (out / "index.html").write_text("altered"),
        lambda meet, out: (out / "index.html").unlink(),
        lambda meet, out: (out / "CNAME").write_text("example.org"),
        lambda meet, out: (out / ".resultsgen.json").unlink(),
        lambda meet, out: os.environ.update(SOURCE_DATE_EPOCH="1900000000"),
    ],
    ids=["mark", "asset", "altered", "gone", "added", "marker", "time"],
)
def test_whatever_changes_there_is_a_build(published, monkeypatch, change):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "")
    meet, out = published
    publish(meet, out, WITHOUT_BOOKS, lambda *_: None)
    assert published_before(meet, out, WITHOUT_BOOKS)
    change(meet, out)
    assert published_before(meet, out, WITHOUT_BOOKS) is None


def test_other_wishes_are_another_build(published):
    meet, out = published
    assert published_before(meet, out, BuildOptions()) is None
    assert published_before(meet, out, BuildOptions("gala", books=False)) is None
    assert published_before(meet, out, BuildOptions(books=False, seal=True)) is None


def test_nothing_heavy_is_imported_where_nothing_is_to_be_done(published):
    meet, out = published
    code = (
        "import sys; from resultsgen.cli import main; "
        f"assert main(['build', {str(meet)!r}, '-o', {str(out)!r}, '--without-books']) == 0; "
        "print(sorted({'pandas', 'jinja2', 'pydantic', 'weasyprint'} & sys.modules.keys()))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert "(0 new or changed)" in done.stdout
    assert done.stdout.splitlines()[-1] == "[]"


def book(path: Path, beam: float) -> None:
    held = Workbook()
    held.active.title = "Vault"
    for row in (["bib", "family_name", "VT"], [1, "Alder", 13.1], [2, "Birch", 12.1]):
        held.active.append(row)
    sheet = held.create_sheet("Beam")
    for row in (["bib", "BB"], [1, beam], [2, 11.5]):
        sheet.append(row)
    held.save(path)


def test_one_changed_sheet_of_a_workbook_is_one_changed_mark(tmp_path, monkeypatch):
    """Roster and marks stand on two sheets of one file; the second changes."""
    monkeypatch.setenv("RESULTSGEN_CACHE", str(tmp_path / "cache"))
    said = 'files = { roster = "a.xlsx#Vault", marks = ["a.xlsx#Vault", "a.xlsx#Beam"] }'
    settings = MEET.replace('title = "Cup"\n', f'title = "Cup"\n    {said}\n', 1)
    settings = settings.replace('["VT"]', '["VT", "BB"]')
    meet, out = write_folder(tmp_path / "meet", settings), tmp_path / "out"
    book(meet / "a.xlsx", 11.0)
    first = publish(meet, out, WITHOUT_BOOKS, lambda *_: None)
    assert published_before(meet, out, WITHOUT_BOOKS) is not None
    book(meet / "a.xlsx", 12.0)
    assert published_before(meet, out, WITHOUT_BOOKS) is None
    second = publish(meet, out, WITHOUT_BOOKS, lambda *_: None)
    assert (first.number, second.number) == (1, 2)
    rows = (out / "data/corrections.csv").read_text("utf-8").splitlines()[1:]
    assert rows == ["2,women,1,BB,1,11.000,12.000,,false,,"]
