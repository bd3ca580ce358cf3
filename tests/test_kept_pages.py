"""A page that was filled before is taken again only where nothing that shaped it is otherwise."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from shutil import copytree
from types import SimpleNamespace

import pytest
from folders import judged
from jinja2 import DictLoader, Environment

from resultsgen.data.writing import write_exports
from resultsgen.files import manifest, staging
from resultsgen.files.cache import Cache
from resultsgen.history.arrivals import Arrival
from resultsgen.history.publication import PublishedCompetition, PublishedMark
from resultsgen.live.standings import LiveSession, Standings
from resultsgen.publishing.build_options import BuildOptions, Session
from resultsgen.publishing.publish import publish
from resultsgen.scoring import judging
from resultsgen.scoring.results import Results
from resultsgen.theme.theme import find_theme
from resultsgen.views.lists.rankings import list_table
from resultsgen.views.lists.table import Cell, Column, Filter, Row, Table, TableNote
from resultsgen.views.words.wording import Wording
from resultsgen.website.kept_pages import FilledPages, KeptPages, by_value, put
from resultsgen.website.writing import write_site

EVENING = Path(__file__).parent / "example_evening"
EXAMPLE = Path(__file__).parents[1] / "example_meet"


def site(folder: Path, out: Path, cache: Path | None, theme: str = "standard") -> dict[str, bytes]:
    """Every file of a meet's website and its tables, by its path."""
    return written(judged(folder), folder, out, cache, theme)


def written(
    results: Results, folder: Path, out: Path, cache: Path | None, theme: str = "standard"
) -> dict[str, bytes]:
    write_exports(results, out, cache)
    write_site(results, find_theme(theme, folder), out, cache=cache)
    files = (path for path in out.rglob("*") if path.is_file())
    return {str(path.relative_to(out)): path.read_bytes() for path in files}


@pytest.fixture
def filled(monkeypatch) -> list[str]:
    """The template of each page that is filled, and not taken from what is kept."""
    seen: list[str] = []
    fill = KeptPages._fill

    def noted(self, template, own):
        seen.append(template)
        return fill(self, template, own)

    monkeypatch.setattr(KeptPages, "_fill", noted)
    return seen


def test_every_page_is_filled_once_and_again_by_another_theme_python_or_library(
    tmp_path, filled, monkeypatch
):
    first = site(EVENING, tmp_path / "first", tmp_path / "cache")
    every = len(filled)
    assert every == len([name for name in first if name.endswith(".html")])
    filled.clear()
    assert site(EVENING, tmp_path / "second", tmp_path / "cache") == first
    assert not filled
    other = site(EVENING, tmp_path / "third", tmp_path / "cache", "gala")
    assert other != first
    assert other == site(EVENING, tmp_path / "fourth", None, "gala")
    filled.clear()
    monkeypatch.setattr("resultsgen.website.kept_pages.run_by", lambda: iter(["another"]))
    assert site(EVENING, tmp_path / "fifth", tmp_path / "cache") == first
    assert len(filled) == every


def test_what_is_shown_of_a_competition_is_made_again_only_where_something_of_it_changed(
    tmp_path, monkeypatch
):
    folder = copytree(EXAMPLE, tmp_path / "meet")
    last = judged(folder)
    tables = [list_table(one, one.rankings[0], Wording()) for one in last.competitions]
    marks = (folder / "marks.csv").read_text("utf-8")
    other = marks.replace("9.066,,13.966", "9.056,,13.956", 1)
    assert other != marks
    by_rules, again = judging._judged, []
    monkeypatch.setattr(judging, "_judged", lambda *of: again.append(of) or by_rules(*of))
    from_rows, filled = judging.field, []
    monkeypatch.setattr(judging, "field", lambda *of: filled.append(of) or from_rows(*of))
    for text, same in ((marks, 9), (other, 8), (other, 9), (marks, 8)):
        (folder / "marks.csv").write_text(text, "utf-8")
        again.clear()
        filled.clear()
        last = judged(folder, last)
        made = [list_table(one, one.rankings[0], Wording()) for one in last.competitions]
        assert sum(was is now for was, now in zip(tables, made, strict=True)) == same
        assert (not again) == (not filled) == (same == 9)
        assert max(len(again), len(filled)) < 9
        tables = made


def test_whatever_changes_gives_what_is_given_without_anything_kept(tmp_path, filled):
    """One change after the other; each shapes few pages or all of them."""
    folder = copytree(EVENING, tmp_path / "meet")
    last = judged(folder)
    written(last, folder, tmp_path / "before", tmp_path / "cache")
    every = len(filled)
    again = {}
    for number, (file, old, new) in enumerate(
        (
            ("marks.csv", "4,UB,8.600", "4,UB,8.650"),
            ("marks.csv", "13,VT,9.050", "13,VT,9.050\n14,VT,9.100"),
            ("roster.csv", "Castrow", "Castrell"),
            ("roster.csv", "4,Dunswold,Tessa,TV Ostermarsk", "4,Dunswold,Tessa,TV Ostermark"),
            ("meet.toml", "places = 6", "places = 5"),
            ("meet.toml", "marks.step = 0.050", "marks.step = 0.010"),
            ("meet.toml", "Club Evening 2031", "Club Night 2031"),
            ("meet.toml", 'venue = "Old Corn Hall"', 'languages = ["fr"]'),
        )
    ):
        text = (folder / file).read_text("utf-8")
        assert old in text
        (folder / file).write_text(text.replace(old, new, 1), "utf-8")
        filled.clear()
        last = judged(folder, last)
        kept = written(last, folder, tmp_path / f"{number}-kept", tmp_path / "cache")
        again[new] = len(filled)
        assert kept == site(folder, tmp_path / f"{number}-anew", None)
    assert 0 < again["4,UB,8.650"] < every
    assert again["Club Night 2031"] >= every


@pytest.mark.parametrize(
    "other",
    [
        {"id": "b"}, {"caption": "b"}, {"columns": (Column("b", "mark"),)}, {"rows": ()},
        {"rows": (Row((Cell("a", note="b"),)),)}, {"rows": (Row((Cell("a"),), id="b"),)},
        {"notes": ()}, {"notes": (TableNote("a", "b"),)}, {"legend": ()}, {"filters": ()},
        {"filters": (Filter("a", "b", ("c",)),)}, {"first": 2}, {"of": 1},
    ],
)  # fmt: skip
def test_whatever_of_a_table_is_another_it_is_told_from_it(other):
    held = Table(
        "a", "a", (Column("a", "mark"),), (Row((Cell("a"),)),), (TableNote("a", "a"),),
        (("a", "a"),), (Filter("a", "a", ("a",)),),
    )  # fmt: skip
    assert by_value(replace(held)) == by_value(held) != by_value(replace(held, **other))


def test_marks_that_came_are_told_by_the_competition_that_they_came_with():
    before = PublishedCompetition(id="a", entered_from="", marks=(), lists=())
    shown = Arrival(2, before, "women/1", PublishedMark("1", "VT", 1, 9000, *[None] * 4, ""), None)
    other = replace(shown, competition=before.model_copy(update={"facts": {"title": "A"}}))
    again = replace(shown, competition=before.model_copy())
    assert by_value(again) == by_value(shown) != by_value(other)
    many = (shown.mark,) * 900
    assert len(by_value(replace(shown, before=before.model_copy(update={"marks": many})))) < 900


def test_a_session_is_told_by_what_it_holds_and_once():
    standings = (Standings(1, ((),) * 900, 0, level=True),)
    one, other = LiveSession("1", standings), LiveSession("2", standings)
    assert by_value(one) == by_value(LiveSession("1", standings)) != by_value(other)
    assert len(by_value(one)) < 900


def test_a_process_that_goes_on_lets_go_of_pages_in_a_language_that_is_no_more(tmp_path):
    folder, session = copytree(EVENING, tmp_path / "meet"), Session()
    settings, main = folder / "meet.toml", (folder / "meet.toml").read_text("utf-8")
    kept = []
    for more in ('languages = ["en", "fr"]', 'languages = ["fr", "en"]', 'venue = "Elsewhere"'):
        settings.write_text(main.replace('venue = "Old Corn Hall"', more), "utf-8")
        publish(
            folder, tmp_path / "out", BuildOptions(books=False, session=session), lambda *_: None
        )
        kept.append({*session.pages})
    assert [len(each) for each in kept] == [2, 2, 1]
    assert kept[0] == kept[1] > kept[2]


def test_a_process_that_goes_on_knows_what_it_published_only_while_it_stands_so(
    tmp_path, monkeypatch
):
    folder, out, read = copytree(EVENING, tmp_path / "meet"), tmp_path / "out", []
    digest = manifest.digest
    monkeypatch.setattr(manifest, "digest", lambda path: read.append(path.name) or digest(path))
    monkeypatch.setattr(staging, "digest", manifest.digest)
    options = BuildOptions(books=False, session=Session())
    rules, tables = (out / name for name in ("rules.html", "data/results.json"))
    for spoilt in (False, False, True):
        for file in (rules, tables) if spoilt else ():
            file.write_bytes(file.read_bytes()[::-1])
        if spoilt:
            (out / "CNAME").write_text("example.org", "utf-8")
        read.clear()
        publish(folder, out, options, lambda *_: None)
        assert read.count("CNAME") == spoilt
        assert read.count("rules.html") == spoilt
        assert manifest.verified(out).intact
        assert rules.read_bytes().startswith(b"<!doctype html>")


def test_a_name_is_written_anew_where_another_part_of_it_is_given(tmp_path):
    folder, name = copytree(EVENING, tmp_path / "meet"), b"Dunswold <i>Tessa</i>"
    before = site(folder, tmp_path / "before", None)
    roster = (folder / "roster.csv").read_text("utf-8").replace("Dunswold,Tessa", "Dunswold Tessa,")
    (folder / "roster.csv").write_text(roster, "utf-8")
    after = site(folder, tmp_path / "after", None)
    assert [any(name in page for page in pages.values()) for pages in (before, after)] == [1, 0]


def test_no_page_is_filled_again_for_another_name_of_the_first_one(tmp_path, filled, monkeypatch):
    site(EVENING, tmp_path / "before", tmp_path / "cache")
    filled.clear()
    monkeypatch.setattr("resultsgen.website.pages.home_name", lambda *_: "Won & done")
    kept = site(EVENING, tmp_path / "kept", tmp_path / "cache")
    assert len(filled) < 3
    assert kept == site(EVENING, tmp_path / "anew", None)
    assert b">Won &amp; done</a>" in kept["rules.html"]


def test_a_theme_of_strangers_may_write_what_all_pages_print_in_its_own_way(tmp_path):
    folder = copytree(EVENING, tmp_path / "meet")
    (folder / "mine" / "site").mkdir(parents=True)
    (folder / "mine" / "theme.toml").write_text('title = "Mine"', "utf-8")
    foot = "{% block foot %}<p>{{ meet.published | upper }}</p>{% endblock %}"
    template = f'{{% extends "standard/page.html" %}}{foot}'
    (folder / "mine" / "site" / "page.html").write_text(template, "utf-8")
    page = site(folder, tmp_path / "out", None, "mine")["rules.html"]
    assert b"<p>7 NOVEMBER 2031, 20:05</p>" in page


def test_a_page_is_filled_again_where_a_row_that_it_leads_to_is_elsewhere(tmp_path):
    theme = SimpleNamespace(comes_along=True, digest=lambda part: part)
    shared = {"language": "en", "meet": SimpleNamespace(title="Cup")}

    def filled(places: dict[tuple[str, str], str]) -> str:
        environment = Environment(loader=DictLoader({"one": "{{ row('list', '7') }} {{ many() }}"}))
        pages = KeptPages(theme, environment, shared, Cache(tmp_path))
        pages.rows |= places
        _, _, pieces = pages.filled(
            "one", ("shape",), {"row": pages.row, "many": lambda: next(many)}
        )
        pages.keep()
        return b"".join(pieces).decode()

    many = iter(range(9))
    assert filled({}) == "None 0"
    assert filled({("list", "8"): "a.html"}) == "None 0"
    assert filled({("list", "7"): "a.html"}) == "a.html 1"
    assert filled({("list", "7"): "b.html", ("list", "8"): "a.html"}) == "b.html 2"
    assert filled({("list", "7"): "b.html"}) == "b.html 2"


def test_pages_of_a_theme_of_strangers_are_never_kept(tmp_path):
    theme = SimpleNamespace(comes_along=False, digest=lambda part: part)
    held: dict[str, FilledPages] = {}
    environment = Environment(loader=DictLoader({"one": "{{ many() }}"}))
    many = iter(range(9))
    for number in range(2):
        pages = KeptPages(theme, environment, {}, Cache(tmp_path / "cache"), held)
        _, _, pieces = pages.filled("one", ("shape",), {"many": lambda: next(many)})
        assert pieces == (f"{number}".encode(),)
        pages.keep()
        put(Cache(tmp_path / "cache"), held)
    assert held == {}
    assert [*tmp_path.iterdir()] == []
