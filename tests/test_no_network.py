"""Nothing is fetched: a whole build, in this process and its workers, never asks for a socket."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from folders import write_folder
from test_cli import ROOT, RUN
from xlsxwriter import Workbook

WATCHMAN = """
import os, sys

def refuse(event, arguments):
    # An audit hook hears of every socket (Python's documentation, table of audit events).
    if event.startswith("socket."):
        with open(os.environ["WATCHED"], "a") as heard:
            heard.write(event + "\\n")
        raise OSError("no network here")

sys.addaudithook(refuse)
with open(os.environ["WATCHED"], "a") as heard:
    heard.write("begun\\n")
"""


def watched(folder: Path, program: str, *arguments: str) -> tuple[int, list[str]]:
    """How a Python ends, and what was heard of it and of every Python that it started."""
    (folder / "watchman").mkdir()
    # Python imports a module of this name before everything else.
    (folder / "watchman" / "sitecustomize.py").write_text(WATCHMAN)
    more = {
        "PYTHONPATH": os.pathsep.join((str(folder / "watchman"), str(ROOT))),
        "RESULTSGEN_CACHE": "none",
        "WATCHED": str(folder / "heard"),
    }
    done = subprocess.run(
        [sys.executable, "-c", program, *arguments],
        capture_output=True,
        check=False,
        env=os.environ | more,
    )
    return done.returncode, (folder / "heard").read_text().splitlines()


MEET = """
    == meet.toml ==
    title = "Cup"
    logo = "a.svg"
    base_url = "https://example.org/cup/"
    published = 2031-05-18T18:25:00+02:00
    files.marks = "marks.xlsx"

    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["VT"]
    ranks = ["apparatus"]
    == roster.csv ==
    bib,family_name
    1,Alder
    == assets/a.svg ==
    <svg xmlns="http://www.w3.org/2000/svg"/>
    == pages/recap.md ==
    +++
    title = "Recap"
    +++
    ![A picture](assets/a.svg) [elsewhere](https://example.org/)
    """


def test_a_whole_build_and_its_workers_ask_for_no_socket(tmp_path):
    """Also that a logo needs no organiser to have books."""
    meet = write_folder(tmp_path / "meet", MEET)
    with Workbook(meet / "marks.xlsx") as book:
        sheet = book.add_worksheet()
        sheet.write_row(0, 0, ["bib", "apparatus", "mark"])
        sheet.write_row(1, 0, ["1", "VT", 13.1])
    code, heard = watched(tmp_path, RUN, "build", str(meet), "--jobs", "1")
    assert code == 0
    assert len(heard) >= 2  # This process, a worker for books, perhaps others.
    assert set(heard) == {"begun"}
    assert (meet / "output" / "feed.xml").exists()
    assert list((meet / "output" / "books").glob("*.pdf"))


@pytest.mark.parametrize(
    "asking",
    [
        "import socket; socket.socket()",
        "import socket; socket.getaddrinfo('localhost', 80)",
        "import subprocess, sys; subprocess.run([sys.executable, '-c', 'import _socket; "
        "_socket.socket()'])",
    ],
)
def test_whoever_asked_would_be_heard(tmp_path, asking):
    _, heard = watched(tmp_path, asking)
    assert [one for one in heard if one.startswith("socket.")]
