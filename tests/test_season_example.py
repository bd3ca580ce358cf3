"""The example season, whose bests and records are worked out again from its tables of marks."""

from __future__ import annotations

import csv
import re
import shutil
import tomllib
from collections import defaultdict
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import NamedTuple

import frictionless
import pytest
from browsing import opened, served
from folders import judged
from pyarrow import parquet
from seasons import ROUNDS, example_season, season_told
from test_accessibility import ALIKE, AXE, DRAWN, UNREAD, found

from resultsgen.cli import main
from resultsgen.data.parquet import THOUSANDTHS
from resultsgen.live.notable import notable
from resultsgen.meet.problems import MeetProblems
from resultsgen.publishing.season import publish_season
from resultsgen.publishing.season_bests import that_are_read, write_bests
from resultsgen.reading.tables import ROWS_OF

CALLED = {
    "Kesselbräth, Odette": "Vanterhoek, Odette",
    "Oberseelander, Mechthild": "Oberseeländer, Mechthild",
}
WITHHELD = "Grießwetter, Dorothea"
OUR = {
    "start_no": "bib", "station": "apparatus", "final": "mark", "age_group": "division",
    "Floor": "FX", "Pommel": "PH", "Rings": "SR", "Vault": "VT", "P bars": "PB", "H bar": "HB",
    "w": "women", "m": "men",
}  # fmt: skip
CODES = ("VT", "UB", "BB", "FX", "PH", "SR", "PB", "HB")


class Made(NamedTuple):
    """A mark or a total, as the tables of a meet have it."""

    day: str
    meet: str
    competition: str
    who: tuple[str, ...]
    discipline: str
    division: str
    list: str
    mark: Decimal


@pytest.fixture(scope="module")
def season(tmp_path_factory):
    folder = example_season(tmp_path_factory.mktemp("example") / "season")
    published = publish_season(folder, folder / "output")
    return folder, published, season_told(folder / "output")


def test_no_question_is_open_and_who_is_who_is_as_the_readme_says(season):
    _, published, told = season
    assert not published.questions
    assert [one["meet"] for one in told["meets"]] == list(ROUNDS)
    of = defaultdict(list)
    for career in told["careers"]:
        of[f"{career['family_name']}, {career['given_name']}"].append(career)
    (moved,), (renamed,) = of["Nettlewain, Wren"], of["Vanterhoek, Odette"]
    assert moved["clubs"] == ["Tumbleford GC", "TV Ulmenquell"]
    assert renamed["earlier_names"] == ["Kesselbräth Odette"]
    assert moved["meets"] == renamed["meets"] == list(ROUNDS)
    assert len(of["Oberseeländer, Mechthild"]) == 1
    assert [len(one["meets"]) for one in of["Halvorsmo, Liv"]] == [4, 4]
    assert {one["meets"][0] for one in of[", "]} == set(ROUNDS)
    marks = [one for one in told["marks"] if one["meet"] == "lantern-meet"]
    assert len([one for one in marks if one["list"] != "all-around"]) > 700


def table(path: Path) -> list[dict[str, str]]:
    text = path.read_text("utf-8-sig")
    rows = csv.DictReader(text.splitlines(), delimiter=";" if ";" in text else ",")
    return [
        {OUR.get(key, key): OUR.get(value, value) for key, value in row.items()} for row in rows
    ]


def mark_of(text: str) -> Decimal | None:
    try:
        return Decimal(text.replace(",", "."))
    except InvalidOperation:  # DNS, or nothing.
        return None


def made_in(folder: Path) -> list[Made]:
    """Every mark and whole total of a meet, without guests."""
    settings = tomllib.loads((folder / "meet.toml").read_text("utf-8"))
    roster = {row["bib"]: row for row in table(folder / "roster.csv")}
    found = []
    out = {row["bib"] for path in folder.glob("marks*.csv") for row in table(path)
           if row.get("status") == "DSQ"}  # fmt: skip
    for held in settings["competition"]:
        day = str(held.get("day", settings["dates"][0]))
        sums: dict[str, dict[str, Decimal]] = defaultdict(dict)
        for row in table(folder / held.get("marks", "marks.csv")):
            who = roster[row["bib"]]
            mine = (who["discipline"], who["division"]) == (
                held["discipline"], held["divisions"][0]
            )  # fmt: skip
            if (
                not mine
                or row["bib"] in out
                or row.get("competition", held["id"]) != held["id"]
                or who.get("guest")
            ):
                continue
            long = {row["apparatus"]: row["mark"]} if "apparatus" in row else row
            name = f"{who['family_name']}, {who['given_name']}"
            key = (CALLED.get(name, name), who["club"] if "Halvorsmo" in name else "")
            key = ("", folder.name, row["bib"]) if name == WITHHELD else key
            one = Made(day, folder.name, held["id"], key, who["discipline"], who["division"], "",
                       Decimal(0))  # fmt: skip
            for code in CODES:
                if (mark := mark_of(long.get(code) or "")) is not None:
                    found.append(one._replace(list=code, mark=mark))
                    if row.get("vault", "") in ("", "1"):
                        sums[row["bib"]][code] = mark
                        whole = one._replace(list="all-around", mark=sum(sums[row["bib"]].values()))
                        if len(sums[row["bib"]]) == (4 if who["discipline"] == "women" else 6):
                            found.append(whole) if "all-around" in held["ranks"] else None
    return found


def names_of(told) -> dict[str, tuple[str, ...]]:
    """Whom the tables of marks call so, by what the season has."""
    return {
        one["gymnast"]: (
            (f"{one['family_name']}, {one['given_name']}",
             one["club"] if one["family_name"] == "Halvorsmo" else "")
            if one["family_name"] else ("", one["meets"][0], one["bib"])
        ) for one in told["careers"]
    }  # fmt: skip


def best_of_each(made: list[Made]) -> list[Made]:
    """The first of her highest marks of each, also of who is withheld."""
    highest: dict[object, Made] = {}
    for one in made:
        person = one.who if one.who[0] else WITHHELD
        if person not in highest or one.mark > highest[person].mark:
            highest[person] = one
    return [*highest.values()]


SERIES = {"league": "senior", "junior-cup": "junior", "clubs": "senior"}


def test_bests_and_records_worked_out_again_with_decimals(season):
    folder, _, told = season
    names = names_of(told)
    of: dict[tuple[str, ...], list[Made]] = defaultdict(list)
    for meet in ROUNDS:
        for one in made_in(folder / "meets" / meet):
            of["", one.discipline, "", one.list].append(one)
            of["", one.discipline, one.division, one.list].append(one)
            if meet != "lantern-meet" and one.discipline == "women":
                for series, division in SERIES.items():
                    if one.division == division:
                        of[series, "women", "", one.list].append(one)
    bests, records = [], []
    for key, made in of.items():
        highest = best_of_each(made)
        for one in () if key[0] else highest:
            place = 1 + sum(other.mark > one.mark for other in highest)
            bests.append((*key[1:], one.who, one.mark, place))
        until: Decimal | None = None
        for day in sorted({one.day for one in made}):
            top = max(one.mark for one in made if one.day == day)
            if until is None or top > until:
                records += {(*key, one.who, top, until, day, one.meet, one.competition)
                            for one in made if (one.day, one.mark) == (day, top)}  # fmt: skip
                until = top

    def list_of(row):
        return row["discipline"], row["division"], row["list"], names[row["gymnast"]]

    assert sorted(bests) == sorted(
        (*list_of(row), Decimal(row["mark"]), int(row["place"])) for row in told["bests"]
    )
    assert len(bests) > 600
    assert {(row["record"], row["among"]) for row in told["records"]} == {
        ("all meets", ""), *(("series", series) for series in SERIES)
    }  # fmt: skip
    assert {
        (
            row["among"],
            *list_of(row),
            Decimal(row["mark"]),
            row["before"] and Decimal(row["before"]),
            row["day"],
            row["meet"],
            row["competition"],
        )
        for row in told["records"]
    } == set(records)
    beam = [row["mark"] for row in told["records"]
            if not row["among"] and list_of(row)[:3] == ("women", "", "BB")]  # fmt: skip
    assert beam == ["12.800", "13.966", "14.033"]


def test_series_worked_out_again_with_decimals(season):
    folder, _, told = season
    rounds = [one for one in ROUNDS if one != "lantern-meet"]
    names = names_of(told)
    points = dict(enumerate(map(Decimal, [12, 10, 8, 7, 6, 5, 4, 3, 2, 1]), start=1))
    values = {name: defaultdict(list) for name in ("league", "junior-cup", "clubs")}
    for meet in rounds:
        made = [one for one in made_in(folder / "meets" / meet)
                if (one.discipline, one.list) == ("women", "all-around")]  # fmt: skip
        clubs = defaultdict(list)
        for one in made:
            who = one.who if one.who[0] else "withheld"
            if one.division == "junior":
                values["junior-cup"][who].append(one.mark)
                continue
            place = 1 + sum(other.mark > one.mark for other in made if other.division == "senior")
            values["league"][who].append(points.get(place, Decimal(0)))
            clubs[club_of(folder, meet, one.who)].append(points.get(place, Decimal(0)))
        for club, own in clubs.items():
            values["clubs"][club].append(sum(sorted(own, reverse=True)[:2]))
    for name, best, needed in (("league", 4, 1), ("junior-cup", 3, 3), ("clubs", 4, 1)):
        sums = {who: sum(sorted(own, reverse=True)[:best]) for who, own in values[name].items()}
        counted = [total for who, total in sums.items() if len(values[name][who]) >= needed]
        lines = [row for row in told["series_lines"] if row["series"] == name]
        assert {
            (who if who[0] else "withheld", Decimal(row["sum"]), row["place"])
            for row in lines for who in [names.get(row["who"], row["who"])]
        } == {
            (who, total, 1 + sum(other > total for other in counted)
             if len(values[name][who]) >= needed else None)
            for who, total in sums.items()
        }, name  # fmt: skip
    league = [row for row in told["series_lines"] if row["series"] == "league"]
    assert [(row["sum"], row["place"], row["before"]) for row in league[:2]] == [
        ("42", 1, 2), ("40", 2, 1)
    ]  # fmt: skip
    out = folder / "output"
    pages = [*out.glob("gymnasts/*.html"), *out.glob("clubs/*.html")]
    stands = [page for page in pages if 'id="in-0"' in page.read_text("utf-8")]
    bibs = {one["gymnast"] for one in told["careers"] if one["name_withheld"]}
    assert len(stands) == len({row["who"] for row in told["series_lines"]} - bibs)
    index = (out / "series.html").read_text("utf-8")
    assert all(f'href="series/{one}.html"' in index for one in values)
    spring = (out / "meets/vernal-cup.html").read_text("utf-8")
    near = re.findall(r'id="beside-\d.*?href="[./a-z]*/([a-z-]+)[.]', spring)
    assert near == [ROUNDS[0], ROUNDS[2]]
    champion = (out / "gymnasts/nettlewain-wren-women.html").read_text("utf-8")
    assert re.search(r'series/league.html">[^<]+</a><small[^>]*>Final, 4 rounds', champion)


def test_step_by_step_comes_what_a_first_build_gives_and_nothing_of_a_withheld_name(
    season, tmp_path, monkeypatch
):
    monkeypatch.setattr("resultsgen.website.side_by_side._may_be_copied", lambda: True)
    folder = example_season(tmp_path / "season")
    out, there = folder / "output", folder / "meets"
    shutil.move(there / "lantern-meet", tmp_path)
    publish_season(folder, out)
    shutil.move(tmp_path / "lantern-meet", there)
    withheld = ("Vanterhoek Odette", "Oberseeländer Mechthild", "Immergrün Juniper")
    before = {}
    for file, text, other in (
        ("meets/harvest-final/marks.csv", "103,13.733", "103,13.999"),
        ("meets/harvest-final/roster.csv", "Wren,Tumbleford GC", "Wrenna,Zebra GC"),
        ("people.csv", "", "".join(f"{name},,,,,,,,,,no\n" for name in withheld)),
    ):
        before[file] = (folder / file).read_text("utf-8")
        assert text in before[file]
        changed = before[file].replace(text, other) if text else before[file] + other
        (folder / file).write_text(changed, "utf-8")
    publish_season(folder, out)
    told, whole = (
        b"".join(files_of(one).values()).decode("utf-8", "replace").casefold()
        for one in (out, season[0] / "output")
    )
    for name in ("vanterhoek", "kesselbräth", "oberseeländer", "oberseelander", "immergrün"):
        assert name in whole
        assert name not in told
    assert "immergrun" not in told  # In the address of a page.
    for file, text in before.items():
        (folder / file).write_text(text, "utf-8")
    publish_season(folder, out)
    assert files_of(out) == files_of(season[0] / "output")


def test_the_next_meet_is_compared_with_what_was_before_it(season, tmp_path, monkeypatch):
    folder = tmp_path / "season"
    shutil.copytree(season[0], folder)
    meet = folder / "meets/harvest-final"
    assert main(["season", str(folder), "--bests", str(meet)]) == 0
    text = (meet / "season_bests.csv").read_text("utf-8")
    assert "Dorothea" not in text
    roster = {row["bib"]: f"{row['family_name']}, {row['given_name']}"
              for row in table(meet / "roster.csv")}  # fmt: skip
    earlier = [one for at in ROUNDS[:4] for one in made_in(folder / "meets" / at)]
    rows = list(csv.DictReader(text.splitlines()))
    personal = {(row["bib"], row["apparatus"]): Decimal(row["mark"])
                for row in rows if row["record"] == "personal"
                and "Halvorsmo" not in roster[row["bib"]]}  # fmt: skip
    assert personal == {
        (bib, one.list): max(other.mark for other in earlier if other.who == one.who
                             and (other.discipline, other.list) == (one.discipline, one.list))
        for bib, name in roster.items() if name != WITHHELD and "Halvorsmo" not in name
        for one in earlier if one.who[0] == CALLED.get(name, name)
    }  # fmt: skip
    assert 'all meets,,women,,BB,13.966,"Maribel Eldergrave, Merrowick Lantern Meet 2031' in text
    told = [one for one in rows if one["record"] == "series" and one["apparatus"] == "BB"]
    assert {(one["division"], re.split(":|, (?=Coupe)", one["note"])[0]) for one in told} == {
        ("senior", "Five Regions League, women senior"), ("senior", "Cup of Clubs, women senior"),
        ("junior", "Junior Cup"),  # By one whose name is withheld.
    }  # fmt: skip
    # No more rows than a meet reads.
    monkeypatch.setitem(ROWS_OF, "bests", len(rows) - 1)
    with pytest.raises(MeetProblems):
        write_bests(folder, meet)
    assert that_are_read((("personal",), ("season",)) * (len(rows) - 1)) == (
        (("personal",),) * (len(rows) - 1),
        (f"{len(rows) - 1} season's bests left out: a meet reads at most {len(rows) - 1} rows",),
    )
    monkeypatch.undo()
    # What cannot be put in place leaves nothing beside it.
    written = meet / "season_bests.csv"
    written.unlink()
    written.mkdir()
    with pytest.raises(IsADirectoryError):
        write_bests(folder, meet)
    assert not [*meet.glob(".*")]
    written.rmdir()
    written.write_text(text, "utf-8")
    settings = meet / "meet.toml"
    named = settings.read_text("utf-8").replace(
        "[privacy]", '[files]\nbests = "season_bests.csv"\n[privacy]'
    )
    settings.write_text(named, "utf-8")
    told = {(one.fact.record, one.fact.mark) for one in notable(judged(meet))
            if one.kind == "record" and one.list == "BB"}  # fmt: skip
    assert ("all meets", 14_033) in told
    assert ("personal", 14_033) in told


def files_of(out: Path) -> dict[str, bytes]:
    """Every published file but the marker."""
    found = (path for path in out.rglob("*") if path.is_file() and path.name[0] != ".")
    return {path.relative_to(out).as_posix(): path.read_bytes() for path in found}


def test_the_data_package_describes_every_table(season):
    data = season[0] / "output/data"
    report = frictionless.validate(str(data / "datapackage.json"))
    assert report.valid, report.flatten(["name", "message"])
    assert len([one for one in report.tasks if one.type == "table"]) == len([*data.rglob("*.csv")])


def test_the_tables_that_grow_are_there_as_parquet_with_the_same_values(season, monkeypatch):
    out = season[0] / "output/data"
    files = [*out.rglob("*.parquet")]
    assert {one.relative_to(out).as_posix() for one in files} == {
        "gymnasts.parquet", "marks/2031.parquet", "bests/women.parquet", "bests/men.parquet"
    }  # fmt: skip
    for path in files:
        held = parquet.read_table(path)
        rows = table(path.with_suffix(".csv"))
        assert held.column_names == [*rows[0]]
        for name in held.column_names:
            told = held[name].to_pylist()
            if held.schema.field(name).metadata.get(b"unit") == THOUSANDTHS:
                told = [None if one is None else f"{one // 1000}.{one % 1000:03}" for one in told]
            shown = ["" if one is None else str(one).lower() for one in told]
            assert shown == [row[name].removeprefix("'").lower() for row in rows], (path, name)
    assert not any("Dorothea" in str(parquet.read_table(one).to_pylist()) for one in files)
    monkeypatch.setattr("resultsgen.data.season.writes_parquet", lambda: "")
    publish_season(season[0], season[0] / "plain")
    assert not [*(season[0] / "plain").rglob("*.parquet")]
    shutil.rmtree(season[0] / "plain")


def club_of(folder: Path, meet: str, who: tuple[str, ...]) -> str:
    called = {new: old for old, new in CALLED.items()}
    (club,) = {
        row["club"] for row in table(folder / "meets" / meet / "roster.csv")
        if f"{row['family_name']}, {row['given_name']}" in (who[0], called.get(who[0]))
        and row["club"].startswith(who[1])
    }  # fmt: skip
    return club


PAGES = (
    "index.html", "meets/lantern-meet.html", "gymnasts/nettlewain-wren-women.html",
    "series/league.html",
)  # fmt: skip


def test_its_pages_are_accessible_and_no_anchor_stands_twice(season, browser):
    folder, _, _ = season
    with served(folder / "output") as address:
        page, _, _ = opened(browser, 1280)
        seen, read = "{}", "[]"
        for name in PAGES:
            page.goto(address + name)
            ids = page.evaluate("[...document.querySelectorAll('[id]')].map(one => one.id)")
            assert len(ids) == len(set(ids)), name
            page.evaluate(AXE)
            assert found(page, None) == [], name
            seen = page.evaluate(ALIKE, seen)
            for width in (320, 1280):
                page.set_viewport_size({"width": width, "height": 800})
                wrong, read = page.evaluate(UNREAD, [DRAWN, read])
                assert wrong == [], (name, width)


def test_a_gymnast_is_found_by_name_and_club_and_told_with_both(season, browser):
    with served(season[0] / "output") as address:
        page, _, _ = opened(browser, 1280)
        page.goto(address + "records.html")
        page.locator(".find input").focus()
        page.keyboard.type("wren tumble")
        option = page.get_by_role("option").first
        option.wait_for()
        assert option.inner_text().split("\n") == ["Nettlewain Wren", "Tumbleford GC"]
        assert option.locator("i").inner_text() == "Wren"
        option.click()
        page.wait_for_url("**/gymnasts/nettlewain-wren-women.html")
