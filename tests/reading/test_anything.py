"""Whatever stands in a meet folder, it is told and never raised."""

from __future__ import annotations

from pathlib import Path

import pytest
from folders import write_folder
from hypothesis import example, given, settings
from hypothesis import strategies as st
from spoilt_meets import GOOD

from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import Problem
from resultsgen.reading.meet import read_meet

FILES = ("meet.toml", "own.toml", "roster.csv", "quali.csv", "marks.csv", "pages/recap.md")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_folder(tmp_path_factory.mktemp("meet"), GOOD)


def read_with(folder: Path, file: str, held: bytes) -> tuple[Meet | None, list[Problem]]:
    """Read the folder with other bytes in one file, and put it right again."""
    good = (folder / file).read_bytes()
    (folder / file).write_bytes(held)
    try:
        return read_meet(folder)
    finally:
        (folder / file).write_bytes(good)


@pytest.mark.parametrize("file", [*FILES, "assets/logo.svg"])
@settings(max_examples=20)
@given(held=st.binary(max_size=60))
@example(held=b"")
@example(held=b'"')
@example(held=b"\xff\xfe")
@example(held=b"\xff\xfea")
def test_any_bytes(folder: Path, file: str, held: bytes) -> None:
    read_with(folder, file, held)


@pytest.mark.parametrize("file", FILES)
@given(
    at=st.floats(0, 1),
    cut=st.integers(0, 12),
    put=st.text(st.sampled_from("\n\r\t,;\"'=[]{}#+.-0159 DNSVTab\u00e9\u0000\ufeff"), max_size=6),
)
@settings(max_examples=40)
def test_a_slip_anywhere(folder: Path, file: str, at: float, cut: int, put: str) -> None:
    good = (folder / file).read_text(encoding="utf-8")
    begin = int(at * len(good))
    spoilt = good[:begin] + put + good[begin + cut :]
    meet, problems = read_with(folder, file, spoilt.encode())
    assert meet is not None or problems
    assert problems == sorted(problems)
    assert all(problem.message for problem in problems)


@pytest.mark.parametrize("file", FILES)
def test_no_file_at_all(tmp_path: Path, file: str) -> None:
    folder = write_folder(tmp_path, GOOD)
    (folder / file).unlink()
    _, problems = read_meet(folder)
    missing = [problem.code for problem in problems]
    assert missing == ([] if file.startswith("pages") else ["no-such-file"]), problems


@pytest.mark.parametrize("file", FILES)
def test_a_folder_in_place_of_a_file(tmp_path: Path, file: str) -> None:
    folder = write_folder(tmp_path, GOOD)
    (folder / file).unlink()
    (folder / file).mkdir()
    assert read_meet(folder)[1]
