"""The starting folder has no problem, is judged, and overwrites nothing."""

from __future__ import annotations

import os
from itertools import product
from pathlib import Path

import pytest
from folders import judged

from resultsgen.meet.columns import MARKS, ROSTER
from resultsgen.publishing.starter import (
    DISCIPLINES,
    FORMATS,
    STARTING_FOLDER,
    Discipline,
    Format,
    new_meet,
)
from resultsgen.website.meet_pages import rendered_pages


def test_a_new_meet_has_no_problem_and_shows_something(tmp_path: Path) -> None:
    new_meet(tmp_path / "cup")
    results = judged(tmp_path / "cup")
    (competition,) = results.competitions
    assert competition.complete
    assert competition.all_around is not None
    assert {line.status for line in competition.all_around.lines} == {"", "DNF"}
    assert any(line.gymnast.guest for line in competition.all_around.lines)
    assert any(tie.shared for tie in competition.all_around.ties)
    assert competition.team is not None
    pages, problems = rendered_pages(results)
    assert not problems
    assert [page.slug for page in pages] == ["recap"]


def test_a_new_meet_has_all_files(tmp_path: Path) -> None:
    new_meet(tmp_path)
    names = {str(path.relative_to(tmp_path)) for path in tmp_path.rglob("*") if path.is_file()}
    assert names == {
        "README.md", "marks.csv", "meet.schema.json", "meet.toml", "pages/recap.md", "roster.csv",
    }  # fmt: skip


@pytest.mark.parametrize(("discipline", "format"), list(product(DISCIPLINES, FORMATS)))
def test_each_discipline_and_format_makes_a_meet_that_builds(
    tmp_path: Path, discipline: Discipline, format: Format
) -> None:
    new_meet(tmp_path, discipline, format)
    results = judged(tmp_path)
    assert rendered_pages(results)[1] == []
    first = results.competitions[0]
    assert first.competition.discipline == first.competition.id == discipline
    assert all(one.complete for one in results.competitions)
    assert (first.team is not None) == (format == "teams")
    if format == "finals":
        (cut,) = first.all_around.cuts
        final = {start.gymnast.key for start in results.competitions[1].starts}
        assert final == {one.key for one in cut.lines if one.verdict.outcome == "qualified"}
        assert any(one.verdict.outcome == "capped" for one in cut.lines)


def test_the_new_folder_has_the_modes_of_the_umask(tmp_path: Path) -> None:
    before = os.umask(0o077)
    try:
        new_meet(tmp_path / "meet")
    finally:
        os.umask(before)
    made = [tmp_path / "meet", *(tmp_path / "meet").rglob("*")]
    assert {path.stat().st_mode & 0o777 for path in made} == {0o600, 0o700}


def test_what_is_there_is_never_overwritten(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    with pytest.raises(FileExistsError, match="is not empty; name a new or an empty folder"):
        new_meet(tmp_path)
    with pytest.raises(FileExistsError, match="is not empty"):
        new_meet(tmp_path / "mine.txt")
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_its_readme_tells_every_column() -> None:
    readme = (STARTING_FOLDER / "README.md").read_text(encoding="utf-8")
    for column in (*ROSTER, *MARKS):
        assert f"`{column.name}`" in readme, column.name
