"""What leaves as data can be read by others, adds up by itself, and runs nothing."""

from __future__ import annotations

import csv
import io
import json
from collections import Counter
from collections.abc import Iterator
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal
from hashlib import sha256
from itertools import pairwise
from pathlib import Path

import frictionless
import jsonschema
import openpyxl
import pytest
from folders import judged, write_folder
from hypothesis import example as such_as
from hypothesis import given
from hypothesis import strategies as st

from resultsgen.data.packing import csv_text
from resultsgen.data.whole import VERSION, schema, schema_text
from resultsgen.data.writing import write_exports
from resultsgen.files.cell_texts import as_meant, harmless
from resultsgen.meet.names import APPARATUS_NAMES
from resultsgen.reading.meet import read_meet

EXAMPLE = Path(__file__).parent.parent / "example_meet"

MEET = """
    == meet.toml ==
    title = "Lantern Cup"
    organiser = "=cmd|'/c calc'!A0"
    published = 2031-05-18T18:00:00+02:00
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["VT", "BB"]
    vaults = 2
    ranks = ["all-around", "apparatus", "team"]
    team = { format = "3-3-2", by = "club", penalties = [{ team = "-North", points = 0.3 }] }
    cuts = [{ name = "+Final", of = "all-around", places = 2, reserves = 1, cap = 1, per = "club" }]
    == roster.csv ==
    bib,family_name,given_name,club,federation,birth_year,guest,publish
    1,=ADAMS(),Ada,-North,N,2011,,
    2,"O'HARA, Ö",@Bea,South,S,2012,,
    3,COLE,"+Cy ""C"" ",-North,N,2013,,
    4,SECRETNAME,Hidden,South,S,2014,,no
    5,GUEST,Gia,South,S,2015,yes,
    6,ABSENT,Al,South,S,2015,,
    == marks.csv ==
    bib,apparatus,vault,mark,d,e,penalty
    1,VT,1,13.700,5.4,8.3,
    1,VT,2,13.401,5.1,8.301,
    1,BB,,12.000,4.0,8.0,
    2,VT,1,13.400,5.0,8.4,
    2,VT,2,13.201,5.0,8.201,
    2,BB,,12.300,4.3,8.3,0.3
    3,VT,1,0.000,0,0,
    3,BB,,11.000,4.0,7.0,
    4,VT,1,11.000,4.0,7.0,
    4,BB,,DNF,,,
    5,VT,1,14.000,5.0,9.0,
    5,BB,,13.000,5.0,8.0,
    6,VT,1,DNS,,,
    6,BB,,DNS,,,
"""


@pytest.fixture(scope="module")
def data(tmp_path_factory):
    """The `data/` folder of the small meet."""
    folder = write_folder(tmp_path_factory.mktemp("meet"), MEET)
    out = tmp_path_factory.mktemp("out")
    write_exports(judged(folder), out)
    return out / "data"


@pytest.fixture(scope="module")
def example(tmp_path_factory):
    """The `data/` folder of the example meet."""
    out = tmp_path_factory.mktemp("example")
    write_exports(judged(EXAMPLE), out)
    return out / "data"


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as opened:
        return list(csv.DictReader(opened))


def whole(folder: Path) -> dict:
    return json.loads((folder / "results.json").read_text("utf-8"))


def test_the_data_package_is_valid_and_every_cell_has_its_type(data, example):
    # The frictionless package checks the descriptor, every hash and size, and every cell.
    for folder in (data, example):
        report = frictionless.validate(str(folder / "datapackage.json"))
        tables = [one for one in report.tasks if one.type == "table"]
        assert report.valid, report.flatten(["name", "message"])
        assert len(tables) == len(list(folder.rglob("*.csv")))


def test_the_data_package_names_every_file_with_its_hash(data):
    described = json.loads((data / "datapackage.json").read_text("utf-8"))
    assert described["$schema"] == "https://datapackage.org/profiles/2.0/datapackage.json"
    listed = {one["path"]: one for one in described["resources"]}
    written = {path.relative_to(data).as_posix() for path in data.rglob("*.csv")}
    assert set(listed) == {*written, "results.json"}
    for name, one in listed.items():
        content = (data / name).read_bytes()
        assert one["bytes"] == len(content)
        assert one["hash"] == "sha256:" + sha256(content).hexdigest()
        assert len({one["name"] for one in listed.values()}) == len(listed)


def test_tables_are_utf8_with_the_line_ends_of_rfc_4180(data):
    for path in data.rglob("*.csv"):
        text = path.read_bytes().decode("utf-8")
        assert text.endswith("\r\n")
        assert text.count("\n") == text.count("\r\n")
        assert not text.startswith("\ufeff")


def test_no_cell_begins_a_formula_but_plain_negative_numbers_stay(data):
    for path in data.rglob("*.csv"):
        for cell in (c for row in csv.reader(path.open(encoding="utf-8", newline="")) for c in row):
            assert not cell.startswith(("=", "+", "@", "\t", "\r", "-"))
    first = rows(data / "women" / "all-around.csv")
    assert {row["family_name"] for row in first} >= {"'=ADAMS()", "O'HARA, Ö"}
    assert first[-1]["club"] == "South"
    assert (data / "women" / "team.csv").read_text("utf-8").count("'-North") >= 1


@pytest.mark.parametrize(
    ("cell", "written"),
    [
        ("-0.300", "-0.300"),
        ("-3", "-3"),
        ("-3+4", "'-3+4"),
        ("--3", "'--3"),
        ("=1", "'=1"),
        (" =1", "' =1"),
        ("\t=1", "'\t'=1"),
        ("A;=1", "A;'=1"),
        ("A\r\n=1", "A\r\n'=1"),
        ("＝1", "'＝1"),
        ("@SUM(1)", "'@SUM(1)"),
        ("A-B", "A-B"),
        ("13.700", "13.700"),
        ("", ""),
    ],
)
def test_a_cell_that_a_spreadsheet_would_run_gets_an_apostrophe(cell, written):
    assert harmless(cell) == written


@given(st.lists(st.lists(st.text(), min_size=1, max_size=2), max_size=4))
@such_as([[""]])
def test_any_text_comes_back_from_csv_but_for_the_apostrophes(cells):
    back = list(csv.reader(io.StringIO(csv_text(["a", "b"], cells), newline="")))
    assert back == [["a", "b"], *([harmless(cell) for cell in row] for row in cells)]
    for row in back:
        for cell in row:
            assert not cell.lstrip(" ").startswith(("=", "+", "@"))


FORMULAS = st.text(st.sampled_from("=+-@＝'; \t\r\nA1."), max_size=6)


@given(st.text() | FORMULAS)
@such_as("'=1")
@such_as("a;'=1")
@such_as("''")
@such_as(" \r@")
def test_what_was_made_harmless_is_read_as_it_was_meant(cell):
    assert as_meant(harmless(cell)) == cell


def test_the_programs_own_table_is_read_back(tmp_path):
    """The roster that a meet gives out is the roster of the same meet."""
    names = [
        "=1+1",
        "+1",
        "-",
        "-5",
        "-Ada",
        "@SUM(1)",
        "'=1",
        "''-x",
        "a;=1",
        "O'Hara",
        "＝1",
        "'",
    ]
    rows = [[f"{sign}{n}", name, "=g", "-Club"] for n, name in enumerate(names) for sign in "=-b"]
    head = ["bib", "family_name", "given_name", "club"]
    write_folder(
        tmp_path,
        """
        == meet.toml ==
        title = "Lantern Cup"
        [[competition]]
        id = "women"
        title = "Women"
        discipline = "women"
        == marks.csv ==
        bib,VT
        """,
    )
    (tmp_path / "roster.csv").write_text(csv_text(head, rows), encoding="utf-8", newline="")
    meet, problems = read_meet(tmp_path)
    assert not problems, [str(one) for one in problems]
    assert [[getattr(one, name) for name in head] for one in meet.entries] == rows


def text_of(path: Path) -> str:
    """All that stands in a file; of a workbook, every cell."""
    if path.suffix != ".xlsx":
        return path.read_text("utf-8")
    sheets = openpyxl.load_workbook(path).worksheets
    return "\n".join(str(cell) for sheet in sheets for row in sheet.values for cell in row)


def test_a_withheld_name_and_a_year_of_birth_are_nowhere(data):
    for path in data.rglob("*"):
        if path.is_file():
            text = text_of(path)
            assert "SECRETNAME" not in text
            assert "Hidden" not in text
            assert "2011" not in text.replace("2011-", "")
    withheld = [row for row in rows(data / "gymnasts.csv") if row["name_withheld"] == "true"]
    assert [(one["bib"], one["family_name"], one["club"]) for one in withheld] == [
        ("4", "", "South")
    ]


PARTS = """
    == meet.toml ==
    title = "Parts"
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["VT", "BB"]
    vaults = 2
    rules = "bonus"
    ranks = ["all-around", "apparatus", "team"]
    team = { format = "2-2-2", by = "club" }
    == roster.csv ==
    bib,family_name,club,birth_year
    1,ADAMS,North,2011
    2,BROWN,North,2012
    == marks.csv ==
    bib,apparatus,vault,mark,d,e,penalty,bonus
    1,VT,1,13.800,5.100,8.200,0.300,0.800
    1,VT,2,13.300,4.900,8.100,0.400,0.700
    1,BB,1,13.000,5.200,7.600,0.200,0.400
    2,VT,1,12.850,4.600,8.000,0.250,0.500
    2,VT,2,12.950,4.700,7.900,0.150,0.500
    2,BB,1,12.300,5.000,7.100,0.100,0.300
    """
WHOLE_MARK = ("mark", "d", "e", "penalty", "bonus")


def every_routine(held: object, entry: int = 0) -> Iterator[tuple[int, dict]]:
    """Each routine that stands anywhere in `results.json`, with the entry it stands under."""
    if isinstance(held, dict):
        entry = held.get("entry", entry)
        if {*WHOLE_MARK} <= held.keys():
            yield entry, held
        held = list(held.values())
    if isinstance(held, list):
        for one in held:
            yield from every_routine(one, entry)


def test_mark_d_e_penalty_and_bonus_stand_under_their_own_headings_everywhere(tmp_path):
    folder = write_folder(tmp_path, PARTS)
    write_exports(judged(folder), tmp_path)
    given = {
        (row["bib"], row["apparatus"], row["vault"]): {part: row[part] for part in WHOLE_MARK}
        for row in rows(folder / "marks.csv")
    }
    compared = Counter()
    for path in sorted((tmp_path / "data").rglob("*.csv")):
        for row in rows(path):
            for head in row:
                code, _, part = head.rpartition("_")
                if code and part == "bonus":  # VT_bonus, VT2_bonus, BB_bonus
                    key = (row["bib"], code[:2], code[2:] or "1")
                    told = {one: row[f"{code}_{one}"] for one in WHOLE_MARK[1:]}
                    assert {"mark": row[code], **told} == given[key], (path.name, row)
                    compared[path.name] += 1
                elif head == "bonus":
                    key = (row["bib"], row["apparatus"], row.get("vault") or "1")
                    assert {one: row[one] for one in WHOLE_MARK} == given[key], (path.name, row)
                    compared[path.name] += 1
    assert compared == {
        "all-around.csv": 4, "apparatus-bb.csv": 2, "apparatus-vt.csv": 4,
        "routines.csv": 6, "team-marks.csv": 4,
    }  # fmt: skip
    told = whole(tmp_path / "data")
    bibs = {one["entry"]: one["bib"] for one in told["gymnasts"]}
    held = list(every_routine(told["competitions"]))
    assert len(held) == 4 + 6 + 4
    for entry, one in held:
        key = (bibs[entry], one["apparatus"], str(one["vault"]))
        assert {part: one[part] for part in WHOLE_MARK} == given[key]


def test_years_of_birth_are_told_only_where_the_meet_says_so(tmp_path):
    for said, years in (("", {None}), ("privacy = { birth_year = true }", {2011, 2012})):
        text = PARTS.replace('title = "Parts"', f'title = "Parts"\n    {said}')
        folder = write_folder(tmp_path, text)
        write_exports(judged(folder), tmp_path)
        data = tmp_path / "data"
        assert {one["birth_year"] for one in whole(data)["gymnasts"]} == years
        assert ("birth_year" in rows(data / "gymnasts.csv")[0]) == bool(said)


FORMATS = {
    "1.11": "5f8cb0e19bf620e8336a7619d813fb0adc5339f10ebe37e5d3f0bc0ab5c54533",
}
"""The SHA-256 of the schema without its words, of each version: no line changes."""


def test_the_format_stays_as_long_as_its_version_does():
    shape = schema()
    shape.pop("title")  # It has the version.
    for part in (shape, *shape["$defs"].values()):
        part.pop("description")
        for described in part["properties"].values():
            described.pop("description")
    digest = sha256(json.dumps(shape).encode()).hexdigest()
    assert FORMATS.get(VERSION) == digest, "raise VERSION and add a line to FORMATS; change none"


def test_the_schema_lies_beside_the_results_and_describes_every_field(example):
    assert (example / "results.schema.json").read_text("utf-8") == schema_text()
    parts = [schema(), *schema()["$defs"].values()]
    for part in parts:
        assert part["description"]
        for name, described in part["properties"].items():
            assert described.get("description"), f"{part['title']}: {name}"


def test_the_whole_results_follow_their_schema(data, example):
    # jsonschema is the other opinion on both.
    jsonschema.Draft202012Validator.check_schema(schema())
    for folder in (data, example):
        jsonschema.validate(whole(folder), schema())
        assert whole(folder)["version"] == VERSION


def test_what_an_incident_cost_is_an_explanation_beside_the_results(example):
    # The beam of bib 102 in the qualification: a fall, 1.0 from E, and 0.1 for being over time.
    results = whole(example)
    bibs = {one["entry"]: one["bib"] for one in results["gymnasts"]}
    (one,) = (
        told
        for told in results["competitions"][0]["explanations"]
        if (bibs[told["entry"]], told["apparatus"]) == ("102", "BB")
    )
    assert [(row["what"], row["deduction"], row["taken_from"]) for row in one["incidents"]] == [
        ("fall", "1.000", "E"),
        ("over time", "0.100", "penalty"),
    ]
    assert Decimal(one["mark_without"]) - Decimal(one["mark"]) == Decimal("1.100")
    assert one["words"][0].startswith("Without them, the mark would be ")
    held = rows(example / "women-senior-qualification" / "incidents.csv")
    (row,) = (row for row in held if row["bib"] == "102")
    assert row["note"] == "after the side aerial"


def test_the_schema_refuses_a_mark_that_is_a_number(data):
    spoilt = whole(data)
    spoilt["competitions"][0]["all_around"]["lines"][0]["total"] = 25.7
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(spoilt, schema())


def gymnast_lists(results: dict) -> list[dict]:
    return [
        ranking
        for one in results["competitions"]
        for ranking in (one["all_around"], *one["by_apparatus"])
        if ranking
    ]


def total_of(ranking: dict, line: dict) -> Decimal | None:
    """The total of a line worked out from its marks alone; None where one is missing."""
    marks = [routine and routine["mark"] for routine in line["routines"]]
    if any(mark is None for mark in marks):
        return None
    total = sum((Decimal(mark) for mark in marks), Decimal(0))
    if ranking["total_is"] == "sum":
        return total
    rounding = ROUND_DOWN if ranking["total_is"].endswith("cut") else ROUND_HALF_UP
    return (total / 2).quantize(Decimal("0.001"), rounding)


def test_every_total_can_be_worked_out_from_the_whole_results_alone(data, example):
    worked_out = 0
    for folder in (data, example):
        for ranking in gymnast_lists(whole(folder)):
            for line in ranking["lines"]:
                expected = total_of(ranking, line)
                told = None if line["total"] is None else Decimal(line["total"])
                assert told == expected, (ranking["apparatus"], line)
                worked_out += expected is not None
    assert worked_out > 500


def test_every_place_outside_a_tie_is_one_more_than_the_number_with_a_higher_total(data, example):
    for folder in (data, example):
        results = whole(folder)
        guests = {one["entry"] for one in results["gymnasts"] if one["guest"]}
        lists = [(r, "entry") for r in gymnast_lists(results)]
        lists += [(one["team"], "key") for one in results["competitions"] if one["team"]]
        for ranking, key in lists:
            placed = [line for line in ranking["lines"] if line["place"] is not None]
            tied = {one for tie in ranking["ties"] for one in tie["keys"]}
            totals = [Decimal(line["total"]) for line in placed]
            for line in placed:
                assert key != "entry" or line["entry"] not in guests
                ahead = 1 + sum(total > Decimal(line["total"]) for total in totals)
                alike = totals.count(Decimal(line["total"]))
                assert (line[key] in tied) == (alike > 1)
                assert ahead <= line["place"] < ahead + alike


def test_every_tie_is_settled_by_the_values_that_are_told(example):
    settled = 0
    for ranking in gymnast_lists(whole(example)):
        for tie in ranking["ties"]:
            assert tie["reason"].endswith(".")
            place = dict(zip(tie["keys"], tie["places"], strict=True))
            assert tie["shared"] == (max(Counter(tie["places"]).values()) > 1)
            for criterion in tie["criteria"]:
                values = criterion["values"]
                for better, worse in pairwise(values):
                    if None in (better["value"], worse["value"]):
                        continue
                    assert Decimal(better["value"]) >= Decimal(worse["value"])
                    if Decimal(better["value"]) > Decimal(worse["value"]):
                        assert place[better["key"]] < place[worse["key"]]
                        settled += 1
    assert settled > 3


def test_every_team_total_is_the_sum_of_its_counting_marks_less_the_penalty(data, example):
    teams = 0
    for folder in (data, example):
        for one in whole(folder)["competitions"]:
            if not one["team"]:
                continue
            count = int(one["team"]["format"].split("-")[2])
            for line in one["team"]["lines"]:
                teams += 1
                check_team(line, count)
    assert teams > 8


def check_team(line: dict, count: int) -> None:
    total = -Decimal(line["penalty"])
    for number, apparatus in enumerate(line["apparatus"]):
        marks = [
            Decimal(member["routines"][number]["mark"])
            for member in line["members"]
            if member["routines"][number] and member["routines"][number]["mark"] is not None
        ]
        counted = [
            Decimal(member["routines"][number]["mark"])
            for member in line["members"]
            if member["counts"][number]
        ]
        assert sorted(counted) == sorted(marks, reverse=True)[:count][::-1]
        assert apparatus["short"] == (len(marks) < count)
        assert apparatus["total"] is None or Decimal(apparatus["total"]) == sum(counted)
        total += sum(counted)
    assert line["total"] is None or Decimal(line["total"]) == total


def test_the_csv_tables_say_the_same_as_the_whole_results(example):
    results = whole(example)
    bibs = {one["entry"]: one["bib"] for one in results["gymnasts"]}
    for one in results["competitions"]:
        if one["all_around"]:
            told = rows(example / one["id"] / "all-around.csv")
            expected = [
                (bibs[line["entry"]], str(line["place"] or ""), line["total"] or "")
                for line in one["all_around"]["lines"]
            ]
            assert [(row["bib"], row["place"], row["total"]) for row in told] == expected
        for ranking in one["by_apparatus"]:
            told = rows(example / one["id"] / f"apparatus-{ranking['apparatus'].lower()}.csv")
            expected = [
                (bibs[line["entry"]], line["total"] or "", str(line["place"] or ""))
                for line in ranking["lines"]
            ]
            assert [(row["bib"], row["total"], row["place"]) for row in told] == expected


def test_a_workbook_has_every_table_and_every_mark_to_the_thousandth(data):
    # openpyxl reads what XlsxWriter wrote: a second program on the same file.
    for folder, book in (("women", "women/women.xlsx"), ("", "meet.xlsx")):
        workbook = openpyxl.load_workbook(data / book)
        tables = list((data / folder).glob("*.csv"))
        assert sorted(workbook.sheetnames) == sorted(path.stem for path in tables)
        for path in tables:
            told = list(csv.reader(path.open(encoding="utf-8", newline="")))
            cells = list(workbook[path.stem].iter_rows())
            assert [[_as_in_csv(cell) for cell in row] for row in cells] == told


def _as_in_csv(cell) -> str:
    """What stands for a cell of a workbook in CSV."""
    if cell.value is None:
        return ""
    if isinstance(cell.value, bool):
        return "true" if cell.value else "false"
    if cell.number_format == "0.000":
        return f"{cell.value:.3f}"
    assert cell.data_type != "f"
    return harmless(str(cell.value))


def test_running_text_has_each_list_in_one_line(data):
    text = (data / "women" / "women.txt").read_text("utf-8").splitlines()
    assert text[:4] == ["Lantern Cup", "Provisional results", "", "Women"]
    beam = [line for line in text if line.startswith("Balance Beam — ")]
    assert beam == [
        "Balance Beam — 1. O'HARA, Ö @Bea (South) 12.300; 2. =ADAMS() Ada (-North) 12.000; "
        '3. COLE +Cy "C" (-North) 11.000. Guests: GUEST Gia (South) 13.000. '
        "Did not finish: Bib 4 (South). Did not start: ABSENT Al (South)."
    ]


def test_routines_stand_once_each_with_mark_or_status(example):
    told = rows(example / "routines.csv")
    keys = Counter((row["competition"], row["bib"], row["apparatus"], row["vault"]) for row in told)
    assert set(keys.values()) == {1}
    for row in told:
        assert bool(row["mark"]) != bool(row["status"])
        assert row["apparatus"] in APPARATUS_NAMES


def test_the_same_results_give_the_same_bytes(data, tmp_path):
    write_exports(judged(write_folder(tmp_path / "again", MEET)), tmp_path / "out")
    for path in data.rglob("*.*"):
        again = tmp_path / "out" / "data" / path.relative_to(data)
        assert again.read_bytes() == path.read_bytes()
