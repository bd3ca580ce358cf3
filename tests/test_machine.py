"""The machine is told truly: what is there, what is missing, and what to install."""

from __future__ import annotations

import sys

import pytest

from resultsgen.books.press import renderer, workers
from resultsgen.cli import main
from resultsgen.publishing import machine


@pytest.fixture(autouse=True)
def nobody_at_hand(monkeypatch):
    """Each test starts its own workers, and ends them."""
    kept: list[workers.Worker] = []
    monkeypatch.setattr(workers, "AT_HAND", kept)
    yield
    for worker in kept:
        worker.end()


def test_here_everything_is_ready(capsys, monkeypatch, tmp_path):
    monkeypatch.setenv("RESULTSGEN_CACHE", str(tmp_path / "cache"))
    assert main(["machine"]) == 0
    told = capsys.readouterr().out.splitlines()
    assert len(told) == len(machine.NEEDS)
    assert all(line.startswith("ready ") for line in told)
    assert any(str(tmp_path / "cache") in line for line in told)


def test_a_missing_renderer_is_told_with_what_to_install(capsys, monkeypatch, tmp_path):
    monkeypatch.setenv("RESULTSGEN_CACHE", str(tmp_path))
    (tmp_path / "weasyprint.py").write_text("raise OSError('libpango')", encoding="utf-8")
    monkeypatch.syspath_prepend(tmp_path)
    for name in [name for name in sys.modules if name.split(".")[0] == "weasyprint"]:
        monkeypatch.delitem(sys.modules, name)
    assert main(["machine"]) == 3
    told = capsys.readouterr().out
    assert "missing  the renderer of the books" in told
    assert "apt install libpango-1.0-0" in told
    assert "--without-books" in told


@pytest.mark.parametrize(
    ("lacking", "finding", "words"),
    [
        ("_loaded", machine.subsetter, "libharfbuzz-subset0"),
        ("_package", machine.joining, "weasyprint>=70,<71"),
    ],
)
def test_what_is_slower_is_told_with_what_to_install(monkeypatch, lacking, finding, words):
    monkeypatch.setattr(renderer, lacking, lambda _: {"_loaded": None, "_package": "99.0"}[lacking])
    found = finding()
    assert found.state == "slower"
    assert words in found.advice


def test_a_cache_that_cannot_be_written_is_told(monkeypatch, tmp_path):
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    monkeypatch.setenv("RESULTSGEN_CACHE", str(tmp_path / "file"))
    assert machine.kept().state == "slower"
    monkeypatch.setenv("RESULTSGEN_CACHE", "none")
    assert "nothing is kept" in machine.kept().advice


def test_a_renderer_that_breaks_down_is_told(monkeypatch):
    start = workers._start

    def dying():
        worker = start()
        worker.kill()
        return worker

    monkeypatch.setattr(workers, "_start", dying)
    found = machine.trial()
    assert found.state == "missing"
    assert "broke down" in found.advice
