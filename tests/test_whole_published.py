"""Every published table from file to placing, and one of them on to page, book and data.

Each is written as a meet folder (`published_meets`), read, checked and judged as a meet is, and
every figure of the paper is looked for in the results. The second half builds a whole result from
the qualification of Tokyo 2020 and finds the paper in what is published.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
from lxml import html
from published_judging import cut_mark
from published_meets import EARLIER, LIST, id_of, write_meet
from published_tables import TABLES, Published
from pypdf import PdfReader

from resultsgen.meet.marks import show_mark
from resultsgen.publishing.publish import BuildOptions, publish
from resultsgen.reading.meet import read_meet
from resultsgen.rules.ties import Step
from resultsgen.scoring.judging import results
from resultsgen.scoring.ranking import Line, Ranking
from resultsgen.scoring.results import CompetitionResults, Results

Test = Callable[[Published, Path], None]


@cache
def judged(id: str, folder: Path) -> Results:
    """A table judged as a meet that has no problem and leaves nothing unsettled."""
    meet, problems = read_meet(write_meet(folder / id, TABLES[id]))
    assert meet is not None
    found, unsettled = results(meet)
    assert problems + unsettled == []
    return found


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("tables")


def of_every(
    chosen: Callable[[Published], bool] = lambda table: True,
) -> Callable[[Test], Test]:
    """One test per table that has what is asked for; its id is the test's."""
    tables = [table for table in TABLES.values() if chosen(table)]
    return pytest.mark.parametrize("table", tables, ids=[table.id for table in tables])


def the_list(one: CompetitionResults) -> Ranking:
    """The one list of a competition."""
    (ranking,) = one.rankings
    return ranking


def lines(table: Published, folder: Path) -> dict[str, Line]:
    """The lines of the judged list, by bib or team, in the order in which they are listed."""
    listed = the_list(judged(table.id, folder).competition(LIST)).lines
    return {one.id: one for one in listed}


def with_a_dot(texts: list[str]) -> list[str]:
    return [text.replace(",", ".") for text in texts]


def by_bib(table: Published, column: str) -> dict[str, str]:
    return dict(zip(table.bibs, with_a_dot(table.column(column)), strict=True))


@of_every()
def test_places(table: Published, folder: Path) -> None:
    """Of a table of which only some rows were read, the first row's printed place is given."""
    printed = table.by_the_rules("place", by_bib(table, "place"))
    ahead = min(int(place) for place in printed.values() if place.isdigit()) - 1
    found = {
        bib: "" if one.place is None else str(one.place + (ahead if table.partial else 0))
        for bib, one in lines(table, folder).items()
    }
    assert found == {bib: "" if place == "G" else place for bib, place in printed.items()}


@of_every()
def test_totals(table: Published, folder: Path) -> None:
    found = {bib: show_mark(one.total) for bib, one in lines(table, folder).items()}
    printed = by_bib(table, "total")
    without = {bib for bib, one in lines(table, folder).items() if one.status}
    assert found == {bib: "" if bib in without else total for bib, total in printed.items()}


@of_every(lambda table: any(row.get("status") for row in table.rows))
def test_statuses(table: Published, folder: Path) -> None:
    found = {bib: one.status for bib, one in lines(table, folder).items()}
    assert found == by_bib(table, "status")


@of_every()
def test_the_list_stands_as_the_paper_does(table: Published, folder: Path) -> None:
    """Those without a place stand by name, and guests among the others by their mark."""
    departs = table.departures("place")
    found = [bib for bib in lines(table, folder) if bib not in departs]
    assert found == [bib for bib in table.bibs if bib not in departs]


@of_every(lambda table: "line" in table.head)
def test_who_goes_through_and_who_is_reserve(table: Published, folder: Path) -> None:
    (cut,) = the_list(judged(table.id, folder).competition(LIST)).cuts
    key = {bib: one.key for bib, one in lines(table, folder).items()}
    marks = {line.key: cut_mark(line.verdict) for line in cut.lines}
    assert {bib: marks[key[bib]] for bib in key} == by_bib(table, "cut")


@of_every()
def test_equal_totals_share_a_place_or_have_a_reason(table: Published, folder: Path) -> None:
    ranking = the_list(judged(table.id, folder).competition(LIST))
    totals: dict[int, list[int]] = {}
    for one in lines(table, folder).values():
        if one.total is not None and one.place is not None:
            totals.setdefault(one.total, []).append(one.key)
    equal = {total: set(keys) for total, keys in totals.items() if len(keys) > 1}
    assert {tie.total: set(tie.keys) for tie in ranking.ties} == equal
    for tie in ranking.ties:
        apart = {frozenset(pair) for step in tie.steps for pair in told_apart_by(step)}
        for key, place in zip(tie.keys, tie.places, strict=True):
            for other, its in zip(tie.keys, tie.places, strict=True):
                assert key == other or (place == its) == (frozenset((key, other)) not in apart)


def told_apart_by(step: Step) -> list[tuple[int, int]]:
    pairs = list(zip(step.keys, step.values, strict=True))
    return [(a, b) for a, one in pairs for b, two in pairs if one > two]


@of_every(lambda table: table.kind in EARLIER)
def test_what_each_total_is_made_of(table: Published, folder: Path) -> None:
    columns = ("carried over", "final") if table.kind == "carried over" else EARLIER[table.kind]
    for number, column in enumerate(columns):
        found = {bib: show_mark(one.terms[number]) for bib, one in lines(table, folder).items()}
        assert found == by_bib(table, column), column


@of_every(lambda table: table.kind == "two days")
def test_each_day_is_a_list_of_its_own(table: Published, folder: Path) -> None:
    found = judged(table.id, folder)
    for day in EARLIER["two days"]:
        ranking = found.competition(id_of(day)).all_around
        assert ranking is not None
        listed = {line.gymnast.bib: show_mark(line.total) for line in ranking.lines}
        assert listed == by_bib(table, day)


@of_every(lambda table: table.kind == "all-around" and table.phase == "final")
def test_places_on_each_apparatus_of_an_all_around_final(table: Published, folder: Path) -> None:
    """A table that prints none, or of which rows are missing, has none to compare."""
    if "place" not in table.head["routine"]:
        return
    for number, part in enumerate(table.apparatus):
        printed = {row["bib"]: table.cell(row, part).printed.get("place", "") for row in table.rows}
        found = {}
        for bib, line in lines(table, folder).items():
            routine = line.routines[number] if line.routines else None
            found[bib] = str(routine.place) if routine and routine.place else ""
        assert found == table.by_the_rules(f"place on {part}", printed), part


@of_every(lambda table: table.kind == "team")
def test_teams_count_what_the_paper_counts(table: Published, folder: Path) -> None:
    """Apparatus totals, places on each apparatus where printed, and the marks that are dropped."""
    found = lines(table, folder)
    for row in table.rows:
        line = found[row["team"]]
        assert [show_mark(total) for total in line.team.apparatus] == row["apparatus totals"]
        if row["apparatus places"]:
            assert [str(place) for place in line.team.apparatus_places] == row["apparatus places"]
        for number in range(len(table.apparatus)):
            dropped = [
                one.gymnast.bib
                for one in line.team.members
                if one.routines[number] is not None and not one.counts[number]
            ]
            assert sorted(dropped) == sorted(row["dropped"][number] if row["dropped"] else [])


def test_no_table_is_left_out() -> None:
    """All of them are judged whole: there is none that a meet folder cannot hold."""
    assert len(TABLES) == 51
    assert {table.kind for table in TABLES.values()} == {
        "all-around", "apparatus", "two vaults", "team", "two days", "carried over",
    }  # fmt: skip


@pytest.fixture(scope="module")
def table() -> Published:
    return TABLES["tok2020-wag-aa-qual"]


@pytest.fixture(scope="module")
def published(tmp_path_factory: pytest.TempPathFactory, table: Published) -> Path:
    folder = tmp_path_factory.mktemp("published")
    write_meet(folder / "meet", table)
    publish(folder / "meet", folder / "out", BuildOptions(), lambda *_: None)
    return folder / "out"


KINDS = ("place", "name", "total")


def printed(table: Published) -> list[tuple[str, str, str, str]]:
    """Place, bib, total or status, and Q or R of every row of the paper, in its order."""
    return [
        (row["place"], row["bib"], row["total"] or row["status"], row["cut"])
        for row in table.rows
        if row["place"]
    ]


def test_the_page_shows_the_paper(published: Path, table: Published) -> None:
    page = html.parse(str(published / "competitions/list/all-around.html"))
    shown = []
    for row in page.xpath("//tbody/tr"):
        place, name, total = (row.xpath(f"./*[@class='{kind}']")[0] for kind in KINDS)
        bib = re.search(r"Gymnast \d+ (\d+)", name.text_content())
        through = row.xpath("string(./td[@class='cut']/b/@data-code)")
        assert bib
        if place.text and place.text.isdigit():
            shown.append((place.text, bib[1], total.text_content(), through))
    assert shown == printed(table)


def test_the_book_shows_the_paper(published: Path, table: Published) -> None:
    books = list((published / "books").glob("*all-around*.pdf"))
    assert len(books) == 1
    text = " ".join(page.extract_text() for page in PdfReader(books[0]).pages)
    order = re.findall(r"Gymnast \d+ (\d+)", text)
    bibs = [row["bib"] for row in table.rows]
    ranked = [bib for _, bib, *_ in printed(table)]
    assert [bib for bib in dict.fromkeys(order) if bib in ranked] == ranked
    assert set(bibs) <= set(order)
    for _, _, total, _ in printed(table):
        assert total in text


def test_the_data_hold_the_paper(published: Path, table: Published) -> None:
    path = published / "data/list/all-around.csv"
    rows = list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))
    held = [(row["place"], row["bib"], row["total"]) for row in rows if row["place"]]
    assert held == [(place, bib, total) for place, bib, total, _ in printed(table)]
