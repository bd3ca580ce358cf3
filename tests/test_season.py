"""A season of several meets: who is who, bests and records, and what is withheld in all of it."""

import gzip
import json
import os
import re
import shutil
import signal
import subprocess
import sys
from base64 import b64decode
from decimal import Decimal
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from string import ascii_letters
from urllib.parse import unquote
from xml.etree import ElementTree

import pytest
from folders import picture, write_folder
from fontTools.ttLib import TTFont
from new_meets import held
from seasons import Start, made_meet, season_of_meets, season_told

from resultsgen.cli import main
from resultsgen.files.cache import KEPT_BYTES
from resultsgen.files.manifest import digest, listed_files
from resultsgen.language import ENGLISH
from resultsgen.meet.problems import MeetProblems, Problem
from resultsgen.publishing.season import publish_season
from resultsgen.publishing.season_people import read_people
from resultsgen.publishing.season_reading import read_season
from resultsgen.publishing.season_results import results_told, same_meets
from resultsgen.season.told import ToldTeam, ToldTeams
from resultsgen.theme.theme import find_theme
from resultsgen.views.season.subject import SeasonSubject
from resultsgen.website.scripts import row_scripts
from resultsgen.website.season_names import Found, pieces, words
from resultsgen.website.season_pages import SORTED, SeasonSite

# Ida moves to another club and keeps her number, Mona is called otherwise from the summer on, two
# are called Nell Orrin, and nobody says whether Tess Umber changed her club.
ROSTERS = {
    "spring": """\
1,Fenwick,Ida,Club Ash,,11
2,Gorse,Mona,Club Ash,,22
3,Orrin,Nell,Club Ash,,33
4,Orrin,Nell,Club Elm,,44
5,Umber,Tess,Club Ash,,
6,Quillon,Zofija,Club Elm,,
""",
    "summer": """\
1,Fenwick,Ida,Club Elm,,11
2,Hazeldon,Mona,Club Ash,,22
3,Orrin,Nell,Club Ash,,33
4,Orrin,Nell,Club Elm,,44
5,Umber,Tess,Club Elm,,
6,Quillon,Zofija,Club Elm,,
""",
    "autumn": """\
1,Fenwick,Ida,Club Elm,,11
2,Hazeldon,Mona,Club Ash,,22
6,Quillon,Zofija,Club Elm,no,
""",
}
MARKS = {
    "spring": {1: "12.100", 2: "12.500", 3: "11.000", 4: "11.350", 5: "10.000", 6: "12.500"},
    "summer": {1: "12.700", 2: "12.400", 3: "11.150", 4: "11.150", 5: "10.450", 6: "9.000"},
    "autumn": {1: "12.700", 2: "13.050", 6: "8.000"},
}
DAYS = {"spring": "2031-03-01", "summer": "2031-07-01", "autumn": "2031-10-01"}


def write_season(folder: Path, meets=tuple(DAYS), extra="") -> Path:
    folder.mkdir()
    listed = ", ".join(f'"meets/{meet}"' for meet in meets)
    (folder / "season.toml").write_text(f'title = "Year 2031"\nmeets = [{listed}]\n{extra}')
    for meet in meets:
        marks = "".join(f"{bib},BB,{mark}\n" for bib, mark in MARKS[meet].items())
        write_folder(
            folder / "meets" / meet,
            f'== meet.toml ==\ntitle = "{meet}"\ndates = [{DAYS[meet]}]\n'
            '[[competition]]\nid = "w"\ntitle = "W"\ndiscipline = "women"\n'
            'rules = "international"\nphase = "final"\napparatus = ["BB"]\n'
            'ranks = ["apparatus"]\nmissing_scores = "share"\n'
            "== roster.csv ==\nbib,family_name,given_name,club,publish,person\n"
            f"{ROSTERS[meet]}== marks.csv ==\nbib,apparatus,mark\n{marks}",
        )
    return folder


def told(folder: Path):
    published = publish_season(folder, folder / "output")
    return season_told(folder / "output"), published


@pytest.fixture
def whole(tmp_path):
    return write_season(tmp_path / "season")


def meets_of(season, name):
    return sorted(
        tuple(one["meets"])
        for one in season["careers"]
        if f"{one['family_name']} {one['given_name']}" == name
    )


def test_who_is_who(whole):
    season, published = told(whole)
    every = ("spring", "summer", "autumn")
    assert meets_of(season, "Fenwick Ida") == [every]
    assert meets_of(season, "Hazeldon Mona") == [every]
    assert [c["earlier_names"] for c in season["careers"] if c["family_name"] == "Hazeldon"] == [
        ["Gorse Mona"]
    ]
    assert meets_of(season, "Orrin Nell") == [("spring", "summer")] * 2
    assert meets_of(season, "Umber Tess") == [("spring",), ("summer",)]
    (question,) = published.questions
    assert "Umber Tess (Club Ash, women)" in question
    assert "Umber Tess (Club Elm, women)" in question


@pytest.mark.parametrize(
    ("answer", "careers", "separator"),
    [("same", 1, ""), ("not the same", 2, ","), ("same", 1, ";")],
)
def test_the_row_that_a_question_gives_answers_it(whole, answer, careers, separator):
    head = "name,club,birth_year,person,is,other_name,other_club,other_birth_year,other_person"
    head = f"{head},now_called,publish\n".replace(",", separator or ",")
    if separator:
        (whole / "people.csv").write_text(head)
    _, published = told(whole)
    row = published.questions[0].rpartition(": ")[2].replace("same", answer)
    (whole / "people.csv").write_text(f"{head}{row}\n")
    season, published = told(whole)
    assert not published.questions
    assert len(meets_of(season, "Umber Tess")) == careers


def test_bests_and_records_worked_out_again_with_decimals(whole):
    season, _ = told(whole)
    of = {(mark["meet"], int(mark["entry"])): mark["gymnast"] for mark in season["marks"]}
    made = [
        (meet, of[meet, [*MARKS[meet]].index(bib)], Decimal(mark))
        for meet in DAYS
        for bib, mark in MARKS[meet].items()
    ]
    best: dict[str, Decimal] = {}
    for _, who, mark in made:
        best[who] = max(mark, best.get(who, Decimal(0)))
    # Zofija's name is withheld: each row has a key of its own, and the best row of hers is listed.
    hers = [of[meet, [*MARKS[meet]].index(6)] for meet in DAYS]
    assert len({*hers}) == 3
    for who in sorted(hers, key=lambda who: best[who])[:2]:
        del best[who]
    ranked = {who: 1 + sum(other > mark for other in best.values()) for who, mark in best.items()}
    assert {(b["gymnast"], Decimal(b["mark"]), int(b["place"])) for b in season["bests"]} == {
        (who, mark, ranked[who]) for who, mark in best.items()
    }
    # One event held again has records of its own.
    settings = whole / "season.toml"
    settings.write_text(settings.read_text() + 'same_event = [["summer", "autumn"]]\n')
    again = [r for r in told(whole)[0]["records"] if r["record"] == "meet"]
    assert {(r["among"], r["meet"], r["mark"], r["before"]) for r in again} == {
        ("summer", "summer", "12.700", None), ("summer", "autumn", "13.050", "12.700")
    }  # fmt: skip
    highest, expected = Decimal(0), []
    for meet in DAYS:
        top = max(mark for where, _, mark in made if where == meet)
        if top > highest:
            expected += [(meet, who, mark) for where, who, mark in made
                         if (where, mark) == (meet, top)]  # fmt: skip
            highest = top
    records = [(r["meet"], r["gymnast"], Decimal(r["mark"])) for r in season["records"]]
    assert sorted(records) == sorted(expected)
    assert [r["before"] for r in season["records"]] == [None, None, "12.500", "12.700"]


def test_one_row_withholds_the_name_in_every_meet(whole):
    season, _ = told(whole)
    for path in (whole / "output").rglob("*"):
        if path.is_file():
            held = path.read_bytes().lower()
            assert b"quillon" not in held, path
            assert b"zofija" not in held, path
    assert len(season["marks"]) == sum(map(len, MARKS.values()))
    assert [c["bib"] for c in season["careers"] if c["bib"]] == ["6"] * 3


def test_a_withheld_name_in_a_text_is_told_where_it_stands_with_both_ways_out(whole):
    settings = whole / "season.toml"
    settings.write_text(settings.read_text() + 'organiser = "Friends of Zofija Quillon"\n')
    write_folder(whole, '== pages/a.md ==\n+++\ntitle = "A"\n+++\n\nWell,\nZofija Quillon!\n')
    meet = whole / "meets/spring/meet.toml"
    meet.write_text(meet.read_text().replace('"spring"', '"Quillon-Zofija Cup"'))
    head = "name,club,birth_year,person,is,other_name,other_club,publish\n"
    (whole / "people.csv").write_text(f"{head}Uncle Bob,,,,,,,no\n")
    summer = whole / "meets/summer/meet.toml"
    summer.write_text(summer.read_text().replace("dates", 'place = "Bob Uncle Hall"\ndates'))
    with pytest.raises(MeetProblems) as found:
        told(whole)
    assert [one.place for one in found.value.problems] == [
        "pages/a.md:6", "season.toml:3 [organiser]", "spring [title]", "summer [place]"
    ]  # fmt: skip
    whose = ["autumn", "autumn", "autumn", "people.csv"]
    for one, who in zip(found.value.problems, whose, strict=True):
        assert f"is a name that {who} withholds" in one.message
        assert 'namesakes = ["' in one.message
    summer.write_text(summer.read_text().replace("Bob Uncle Hall", "Hall"))
    (whole / "pages/a.md").unlink()
    settings.write_text(settings.read_text().replace("Friends of Zofija Quillon", "Friends"))
    meet.write_text(meet.read_text() + '[privacy]\nnamesakes = ["Quillon-Zofija"]\n')
    assert told(whole)[1].files


def test_people_csv_withholds_too_and_a_namesake_must_be_settled(whole):
    head = "name,club,birth_year,person,is,other_name,other_club,publish\n"
    (whole / "people.csv").write_text(f'{head}"Orrin, Nell",Club Elm,,44,,,,no\n')
    with pytest.raises(MeetProblems) as found:
        told(whole)
    assert {one.code for one in found.value.problems} == {"withheld-or-not"}
    assert found.value.problems[0].message.startswith("Orrin Nell (Club Ash, 33, women) would be")
    assert not (whole / "output").exists()
    # That the other Nell Orrin is not somebody else says nothing of her.
    (whole / "people.csv").write_text(
        f'{head}"Orrin, Nell",Club Elm,,44,,,,no\n'
        "Orrin Nell,Club Ash,,,not the same,Fenwick Ida,,\n"
    )
    with pytest.raises(MeetProblems) as found:
        told(whole)
    assert {one.code for one in found.value.problems} == {"withheld-or-not"}
    (whole / "people.csv").write_text(
        f'{head}"Orrin, Nell",Club Elm,,44,,,,no\nOrrin Nell,Club Elm,,,not the same,,Club Ash,\n'
    )
    season, _ = told(whole)
    assert meets_of(season, "Orrin Nell") == [("spring", "summer")]


def test_the_order_of_the_meets_changes_nothing_and_a_meet_more_takes_no_start_away(tmp_path):
    there, back = (write_season(tmp_path / n, tuple(o)) for n, o in (("a", DAYS),
                   ("b", reversed(DAYS))))  # fmt: skip
    fewer = write_season(tmp_path / "c", ("spring", "summer"))
    (one, _), (other, _), (less, _) = told(there), told(back), told(fewer)
    assert one == other

    def starts(season):
        return {(m["meet"], m["entry"], m["mark"]) for m in season["marks"]}

    assert starts(less) < starts(one)


def test_a_published_folder_gives_what_its_meet_folder_gives(whole, tmp_path):
    season, _ = told(whole)
    out = tmp_path / "other/meets/spring"
    assert main(["build", str(whole / "meets/spring"), "-o", str(out), "--without-books"]) == 0
    other = out.parent.parent
    for meet in ("summer", "autumn"):
        shutil.copytree(whole / "meets" / meet, other / "meets" / meet)
    shutil.copy(whole / "season.toml", other / "season.toml")
    assert told(other)[0] == season
    # Counted with its meet folder, under another name, it would count twice.
    shutil.copytree(whole / "meets/spring", other / "meets/march")
    settings = other / "season.toml"
    listed = settings.read_text()
    settings.write_text(listed.replace("[", '["meets/march", '))
    with pytest.raises(MeetProblems) as found:
        told(other)
    (twice,) = found.value.problems
    assert twice.code == "meet-twice"
    assert "meets/march and meets/spring hold the same meet" in twice.message
    march = other / "meets/march/meet.toml"
    march.write_text(march.read_text().replace('"spring"', '"March"'))
    (note,) = read_season(other, other / "output").notes
    assert "meets/march and meets/spring hold the same marks of 2031-03-01" in note.message
    march.write_text(march.read_text().replace('"March"', '"spring"'))
    marks = other / "meets/march/marks.csv"
    marks.write_text(re.sub(r"\.\d+", ".025", marks.read_text()))
    read_season(other, other / "output")
    settings.write_text(listed)
    results = out / "data/results.json"
    results.write_text(results.read_text("utf-8").replace("12.100", "12.200"))
    with pytest.raises(MeetProblems) as found:
        told(other)
    assert [one.code for one in found.value.problems] == ["not-as-published"]
    sums = out / "SHA256SUMS"
    listed = sums.read_bytes()
    sums.unlink()
    with pytest.raises(MeetProblems) as found:
        told(other)
    assert [one.message for one in found.value.problems] == [
        "has no list of what was published (SHA256SUMS) that can be read"
    ]
    sums.write_bytes(listed)
    # Published anew by a stranger, with texts that steer, turn and swell.
    given = results.read_text("utf-8")
    spoilt = json.loads(given)
    spoilt["meet"]["title"] = "Cup\x1b[2J"
    spoilt["meet"]["place"] = "x" * 5000
    spoilt["competitions"][0]["title"] = "\0\u202efinal"
    spoilt["gymnasts"][1]["club"] = "Club\nAsh"
    results.write_text(json.dumps(spoilt), "utf-8")
    (out / ".resultsgen.json").unlink()
    sums = out / "SHA256SUMS"
    sums.write_text(re.sub(r"\w+(?=  data/results.json)", digest(results), sums.read_text()))
    with pytest.raises(MeetProblems) as found:
        told(other)
    problems = {one.column: one for one in found.value.problems}
    assert problems.keys() == {
        "meet.title", "meet.place", "competitions[1].title", "gymnasts[2].club"
    }  # fmt: skip
    assert {(one.code, one.file) for one in problems.values()} == {
        ("unfit-text", "spring/data/results.json")
    }
    assert r"'Cup\x1b[2J'" in problems["meet.title"].message
    # And with what cannot be, or does not hang together.
    assert results_told("spring", given.encode(), [])
    for where, value, expected in IMPLAUSIBLE:
        loose = json.loads(given)
        *way, last = (int(key) if key.isdigit() else key for key in where.split("."))
        at = loose
        for key in way:
            at = at[key]
        at[last] = value
        problems = []
        assert results_told("spring", json.dumps(loose).encode(), problems) is None
        assert {(one.code, one.file) for one in problems} == {
            ("unknown-results", "spring/data/results.json")
        }
        assert any(expected in f"[{one.column}] {one.message}" for one in problems), expected


LINES = "competitions.0.by_apparatus.0.lines"
LINE = f"{LINES}.1"
TEAM = {"name": "A", "place": 1, "total": "20.000", "members": [],
        "apparatus": [{"apparatus": "BB", "total": "20.000"}]}  # fmt: skip
IMPLAUSIBLE = [
    ("version", "2.0", "[version] is of the format '2.0', and 1.x is read"),
    ("version", None, "[version] cannot be read as results of this format: must be a text"),
    ("apparatus", [], "[competitions[1].by_apparatus[1].lines[1].routines] BB is not among"),
    ("competitions.0.marks_of", ["w"], "[competitions[1].marks_of] w has no marks that could"),
    ("competitions.0.days", ["x", "y"], "[competitions[1].days] y has no marks that could count"),
    ("competitions.0.day", "2030-03-01", "[competitions[1].day] 2030-03-01 is none of the days"),
    ("meet.title", " ", "[meet.title] cannot be read"),
    ("meet.last_day", "2030-03-01", "[meet.last_day] the last day is before the first"),
    ("meet.first_day", "0031-03-01", "this format: no meet was or will be on 0031-03-01"),
    ("gymnasts.0.birth_year", 31, "[gymnasts[1].birth_year] cannot be read"),
    ("gymnasts.0.entry", 1, "[gymnasts] two gymnasts have one entry"),
    (f"{LINE}.entry", 99, "lines[2].entry] a list names somebody who is not among"),
    (f"{LINE}.place", 0, "place] cannot be read as results of this format: must be at least 1"),
    (f"{LINE}.place", -3, "lines[2].place] cannot be read"),
    (f"{LINE}.total", "12.400", "lines[2].total] 12.400 is not the sum of what counts, 12.500"),
    (f"{LINE}.routines.0.mark", "100.001", "routines[1].mark] cannot be read"),
    (f"{LINE}.routines.0.mark", "-1.000", "routines[1].mark] cannot be read"),
    (f"{LINE}.routines.0.vault", 3, "routines[1].vault] cannot be read"),
    (
        "competitions.0.not_ranked",
        [{"entry": 0, "routines": [{"apparatus": "BB", "vault": 1, "mark": None, "place": None}]}],
        "[competitions[1].not_ranked[1].routines] one routine on BB has 12.200 in one list and no",
    ),
    (
        "competitions.0.team",
        {"lines": [{"name": "A", "place": 1, "total": "20.000", "members": [], "penalty": "0.300",
                    "apparatus": [{"apparatus": "BB", "total": "20.000"}]}]},
        "[competitions[1].team.lines[1].total] 20.000 is not the sum of what counts, 19.700",
    ),
    (f"{LINE}.entry", 1, "lines[2].entry] stands in this list before"),
    (f"{LINE}.routines", [{"apparatus": "BB", "vault": 1, "mark": "12.500", "place": 1}] * 2,
     "lines[2].routines] one routine on BB stands twice in one line"),
    ("competitions.0.team", {"lines": [TEAM, TEAM]}, "team.lines[2].name] stands in this list"),
    ("competitions.0.team", {"lines": [{**TEAM, "members": [{"entry": 0}, {"entry": 0}]}]},
     "team.lines[1].members[2].entry] stands in this list before"),
    ("competitions.0.team", {"lines": [{**TEAM, "place": 2}]}, "team.lines[1].place] 2 is no"),
    (f"{LINES}.0.place", 5, "lines[1].place] 5 is no place for 12.500 here: it gives 1 to 2"),
    ("competitions.0.team", {"lines": [{**TEAM, "place": 2}, {**TEAM, "place": 2, "name": "B"}]},
     "team.lines[1].place] 2 is no place where 0 have a better one"),
    (f"{LINES}.2.place", 1, "lines[3].place] 1 is no place for 12.200 here: it gives 3"),
    (f"{LINES}.0.total", None, "lines[1].place] 1 is a place without a total"),
    ("competitions.0.by_apparatus.0.apparatus", "UB", "by_apparatus[1].apparatus] UB is not among"),
    ("competitions.0.id", "../../../tmp/x", "[competitions[1].id] cannot be read"),
    ("apparatus.0.code", "../x", "[apparatus[1].code] cannot be read"),
    ("publication", 0, "[publication] cannot be read"),
    (f"{LINE}.total", "١٢.٥٠٠", "lines[2].total] cannot be read"),
    (f"{LINE}.routines.0.mark", "１２.500", "routines[1].mark] cannot be read"),
]  # fmt: skip
"""What is written where into the results of a meet, and what is told of it."""


def test_a_meet_is_judged_again_only_when_something_of_it_changed(whole, tmp_path, monkeypatch):
    monkeypatch.setenv("RESULTSGEN_CACHE", str(tmp_path / "kept"))
    season, _ = told(whole)
    with monkeypatch.context() as patch:
        patch.setattr("resultsgen.publishing.publish.checked", None)
        assert told(whole)[0] == season
    monkeypatch.setattr("resultsgen.publishing.season.who_is_who", None)  # No roster changes.
    marks = whole / "meets/summer/marks.csv"
    marks.write_text(marks.read_text().replace("12.700", "12.750"))
    changed, published = told(whole)
    assert changed != season
    assert published.changed
    assert published.since == "1 meet changed (summer)"
    assert told(whole)[1].since == ""
    (whole / "people.csv").write_text("name,publish\nUncle Bob,no\n")
    with pytest.raises(TypeError):
        told(whole)


def test_two_whom_rows_make_one_are_told_once_they_come_into_one_list(tmp_path, monkeypatch):
    monkeypatch.setenv("RESULTSGEN_CACHE", str(tmp_path / "kept"))
    season = write_season(tmp_path / "season", ["spring"])
    settings, roster = (season / "meets/spring" / one for one in ("meet.toml", "roster.csv"))
    head, competition = settings.read_text().split("[[competition]]")
    other = competition.replace('"w"', '"v"') + 'divisions = ["B"]\n'
    both = f'[[competition]]{competition}divisions = ["A"]\n[[competition]]{other}'
    settings.write_text(head + both)
    rows = ROSTERS["spring"].replace("\n", ",A\n").replace("11,A", "11,B")
    rows = f"bib,family_name,given_name,club,publish,person,division\n{rows}"
    roster.write_text(rows.replace("Zofija,Club Elm,,,A", "Zofija,Club Elm,,,B"))
    (season / "people.csv").write_text("name,is,other_name\nUmber Tess,same,Quillon Zofija\n")
    assert not told(season)[1].questions
    roster.write_text(rows)
    with pytest.raises(MeetProblems) as found:
        told(season)
    assert [one.code for one in found.value.problems] == ["twice-in-a-list"]


def test_how_people_csv_begins_is_told_only_where_there_is_none(whole):
    assert any("people-to-begin" in one for one in told(whole)[1].notes)
    (whole / "people.csv").write_text("name,seen,is,other_name\n")
    _, published = told(whole)
    assert published.questions
    assert not any("people-to-begin" in one for one in published.notes)


def test_what_is_new_and_gone_since_the_last_time_is_told(whole, tmp_path, capsys):
    assert main(["season", str(whole), "--without-books"]) == 0
    assert "Since" not in capsys.readouterr().out
    for meet in ("c", "b", "a"):
        shutil.copytree(whole / "meets/summer", whole / "meets" / meet)
    shutil.rmtree(whole / "meets/summer")
    listed = ", ".join(f'"meets/{one}"' for one in ("spring", "autumn", "a", "b", "c"))
    (whole / "season.toml").write_text(f'title = "S"\nmeets = [{listed}]\n')
    for meet in "abc":
        settings = whole / "meets" / meet / "meet.toml"
        settings.write_text(settings.read_text().replace('title = "summer"', f'title = "{meet}"'))
    assert main(["season", str(whole), "--without-books"]) == 0
    told = "Since the last time: 3 meets new (a, b, c); 1 meet gone (summer).\n"
    assert told in capsys.readouterr().out


@pytest.mark.parametrize("beside", [True, False])
def test_tables_that_nothing_changed_stay_and_one_that_somebody_changed_is_written_anew(
    whole, tmp_path, monkeypatch, beside
):
    monkeypatch.setattr("resultsgen.website.side_by_side._may_be_copied", lambda: beside)
    monkeypatch.setenv("RESULTSGEN_CACHE", str(tmp_path / "kept"))
    told(whole)
    table = whole / "output/data/marks/2031.csv"
    before, file = table.read_bytes(), table.stat().st_ino
    with monkeypatch.context() as none:
        none.delattr("resultsgen.data.season.parquet")
        assert told(whole)[1].changed == 0
    assert table.stat().st_ino == file
    table.write_bytes(before.replace(b"12.100", b"19.100"))
    assert told(whole)[1].changed == 1
    assert table.read_bytes() == before
    os.truncate(table, len(before) - 1)
    assert told(whole)[1].changed == 1
    for kept in (tmp_path / "kept").glob("*/*"):  # Torn, and of no use.
        kept.write_bytes(kept.read_bytes()[:-1])
    assert told(whole)[1].changed == 0
    assert table.read_bytes() == before


@pytest.mark.skipif(sys.platform != "linux", reason="no copy is made here")
def test_of_a_copy_that_was_killed_half_a_table_is_written_anew(whole, tmp_path, monkeypatch):
    here, write = os.getpid(), Path.write_bytes

    def half(path, data):
        if os.getpid() != here and path.name == "2031.csv":
            write(path, data[:99])
            (tmp_path / "killed").touch()
            os.kill(os.getpid(), signal.SIGKILL)
        return write(path, data)

    monkeypatch.setenv("RESULTSGEN_CACHE", str(tmp_path / "kept"))
    monkeypatch.setattr("resultsgen.website.side_by_side._may_be_copied", lambda: True)
    monkeypatch.setattr(Path, "write_bytes", half)
    season, published = told(whole)
    assert (tmp_path / "killed").exists()
    assert [len(MARKS[meet]) for meet in DAYS] == [
        len([row for row in season["marks"] if row["meet"] == meet]) for meet in DAYS
    ]
    assert published.changed == published.files


def test_the_cache_of_a_season_without_books_does_not_grow_for_ever(whole, tmp_path, monkeypatch):
    kept = tmp_path / "kept"
    monkeypatch.setenv("RESULTSGEN_CACHE", str(kept))
    told(whole)
    unused = next(kept.glob("*")) / "long-unused"
    unused.touch()
    os.truncate(unused, KEPT_BYTES)
    os.utime(unused, (0, 0))
    assert told(whole)[1].changed == 0
    assert not unused.exists()
    monkeypatch.setattr("resultsgen.publishing.season.KEPT_OF_A_MEET", KEPT_BYTES)
    unused.touch()
    os.truncate(unused, KEPT_BYTES)
    told(whole)
    assert unused.exists()  # There is room for so many meets.


def test_what_is_wrong_is_told_and_nothing_published(whole, capsys):
    settings = whole / "season.toml"
    settings.write_text(settings.read_text() + 'organizer = "x"\n')
    assert main(["season", str(whole)]) == 1
    assert "season.toml:3 [organizer]" in capsys.readouterr().out
    settings.write_text('title = "Y"\nmeets = ["meets/*", "winter", "../x"]\ncompare = [["u9"]]\n')
    assert main(["season", str(whole)]) == 1
    assert "winter is not there" in capsys.readouterr().out
    settings.write_text('title = "Y"\nmeets = ["meets/*"]\nsame_event = [["spring", "may"]]\n')
    assert main(["season", str(whole)]) == 1
    assert "[same_event[1][2]] there is no meet may in the season" in capsys.readouterr().out
    settings.write_text('title = "Y"\nmeets = ["meets/*"]\ncompare = [["u9"]]\n')
    assert main(["season", str(whole)]) == 1
    assert "no meet has the rule set u9" in capsys.readouterr().out
    settings.write_text('title = "Y"\nmeets = ["meets/*"]\n')
    text = '+++\ntitle = "A"\n+++\n\n{{ winner() }}\n[b](b.md) ![c](assets/c.png)\n'
    write_folder(whole, f"== pages/a.md ==\n{text}")
    assert main(["season", str(whole)]) == 1
    told = capsys.readouterr().out
    for code in ("5 page-text", "6 page-link", "6 page-picture"):
        row, name = code.split()
        assert f"pages/a.md:{row}" in told
        assert name in told
    assert not (whole / "output").exists()


def test_a_published_folder_with_nothing_in_its_results_is_told(tmp_path):
    write_folder(tmp_path, '== season.toml ==\ntitle = "Y"\nmeets = "x"\n')
    (tmp_path / "x/data").mkdir(parents=True)
    (tmp_path / "x/data/results.json").touch()
    (tmp_path / "x/SHA256SUMS").write_text(f"{sha256().hexdigest()}  data/results.json\n")
    with pytest.raises(MeetProblems) as found:
        read_season(tmp_path, tmp_path / "output")
    assert [one.code for one in found.value.problems] == ["unknown-results"]


@pytest.mark.parametrize(
    ("held", "told"),
    [
        (b"nam,is\nAsh,same\n", "nam, is; rename one"),
        (
            b"name,publsh\nAsh,no\n",
            "did you mean publish? Correct the heading, call it something else",
        ),
        (b"name;name\nAsh;Ash\n", "mean the same; rename or delete one of them"),
        ("name,publish\nÅse,no\n".encode("cp1252"), "(in a spreadsheet: CSV UTF-8)"),
    ],
)
def test_of_people_csv_nothing_is_to_be_said_in_settings_that_a_season_has_not(
    tmp_path, held, told
):
    write_folder(tmp_path, '== season.toml ==\ntitle = "Y"\nmeets = "x"\n')
    (tmp_path / "people.csv").write_bytes(held)
    problems: list[Problem] = []
    read_people(tmp_path, problems)
    assert next(one.message for one in problems).endswith(told)


def test_one_meet_under_two_titles_is_told_as_long_as_most_of_its_marks_are_the_same():
    def told(*marks: int) -> list[str]:
        starts = [[Start(name, mark=mark) for name, mark in zip("ABC", each, strict=True)]
                  for each in ((12_000, 11_000, 10_000), marks)]  # fmt: skip
        meets = ((Path(id), made_meet(id, 0, held)) for id, held in zip("ab", starts, strict=True))
        return [one.code for one in same_meets("season.toml", meets)]

    assert told(12_000, 11_000, 9_000) == ["meet-twice"]
    assert told(12_000, 10_500, 9_000) == []


@pytest.mark.parametrize(("pattern", "ids"), [
    ("*/*", {"2030-cup", "2031-cup"}), ("**", {"2030-cup", "2031-cup"}), ("2031/*", {"cup"}),
    ("*/cup/output", {"2030-cup"}), ("2030/cup", {"cup"}),
])  # fmt: skip
def test_one_event_of_two_years_is_known_by_the_folders_that_a_pattern_leaves_open(
    whole, tmp_path, pattern, ids
):
    folder = tmp_path / "years"
    for year, meet in (("2030", "spring"), ("2031", "summer")):
        shutil.copytree(whole / "meets" / meet, folder / year / "cup")
    published = folder / "2030/cup/output"
    assert main(["build", str(folder / "2030/cup"), "-o", str(published), "--without-books"]) == 0
    (folder / "season.toml").write_text(f'title = "S"\nmeets = ["{pattern}"]\n')
    assert {one.id for one in read_season(folder, folder / "output").sources} == ids


def test_a_meet_known_by_folders_above_it_is_compared_with_those_that_are_one_event(
    whole, tmp_path, monkeypatch
):
    folder = tmp_path / "years"
    for year, meet in (("2030", "spring"), ("2031", "summer")):
        shutil.copytree(whole / "meets" / meet, folder / year / "cup")
    settings = 'title = "S"\nmeets = ["*/*"]\nsame_event = [["2030-cup", "2031-cup"]]\n'
    (folder / "season.toml").write_text(settings)
    monkeypatch.chdir(folder / "2031/cup")
    assert main(["season", "../..", "--bests", "."]) == 0
    records = [line.split(",")[0] for line in Path("season_bests.csv").read_text().splitlines()]
    assert "meet" in records


def test_what_somebody_else_put_into_a_published_season_is_told(whole, capsys):
    for told in ("", "carried over from the published folder, and not made here: robot.txt"):
        assert main(["season", str(whole), "--without-books"]) == 0
        assert ("carried" in (said := capsys.readouterr().out)) == bool(told)
        assert told in said
        (whole / "output/robot.txt").touch()


def test_neither_a_meet_nor_a_season_is_published_in_the_place_of_the_other(whole, capsys):
    meet, season = whole / "published", whole / "output"
    assert main(["build", str(whole / "meets/spring"), "-o", str(meet), "--without-books"]) == 0
    assert main(["season", str(whole), "--without-books"]) == 0
    before = held(meet), held(season)
    capsys.readouterr()
    assert main(["season", str(whole), "-o", str(meet), "--without-books"]) == 3
    assert f"{meet} was published of a meet; choose another folder" in capsys.readouterr().err
    assert main(["build", str(whole / "meets/spring"), "-o", str(season)]) == 3
    assert f"{season} was published of a season; choose another folder" in capsys.readouterr().err
    assert (held(meet), held(season)) == before


@pytest.mark.parametrize(
    ("settings", "expected"),
    [
        (
            'meets = "meets/*"\norganiser = " "\n[[calendar]]\nid = "a"\ntitle = " \\t"\n'
            "dates = [2031-01-01]",
            "6 [calendar[1].title] title is empty; fill it in",
        ),
        ('meets = ["."]', '2 [meets[1]] "." is the season folder itself; name folders inside'),
        ('meets = ["meets/*",\n""]', '2 [meets[2]] "" is an empty name; name folders inside'),
        ('meets = "*"', "2 [meets] leads to no meet at all"),
        ('meets = "output/meets/*"', "2 [meets[1]] output/meets/* is where the season itself is"),
        ('meets = "meets/*/y"', "2 [meets[1]] meets/*/y leads to nothing in the season folder;"),
        ('meets = "meets/*"\nbase_url = "javascript:alert(1)"', "3 [base_url] base_url must be"),
        ('meets = "meets/*"\nbase_url = "https://[::1"', "3 [base_url] base_url must be"),
        ('meets = "meets/*"\nbase_url = \'https://a.org/"\'', "3 [base_url] base_url must be"),
        (
            'meets = "meets/*"\nlanguages = 5',
            '3 [languages] languages must be a list in brackets: ["en"]',
        ),
        (
            'meets = "meets/*"\norganiser = ["x"]',
            '3 [organiser] organiser must be a text in quotes: "..."',
        ),
    ],
)
def test_a_wrong_setting_is_told_with_its_line(tmp_path, settings, expected):
    (tmp_path / "season.toml").write_text(f'title = "Y"\n{settings}\n')
    (tmp_path / "meets/x").mkdir(parents=True)
    with pytest.raises(MeetProblems) as found:
        read_season(tmp_path, tmp_path / "output")
    assert f"season.toml:{expected}" in str(found.value.problems[0])


def test_nothing_is_looked_for_inside_of_a_meet_or_of_what_is_published(whole):
    for folder in ("output/meets/spring/data", "old/data", "old/meets/spring/data", "drafts/a/b"):
        (whole / folder).mkdir(parents=True)
    (whole / "output/meets/spring/data/results.json").touch()
    (whole / "old/data/season.json").touch()
    (whole / "meets/spring/output/data").mkdir(parents=True)
    (whole / "season.toml").write_text('title = "Y"\nmeets = ["**"]\nsearch_engines = "no"\n')
    read = read_season(whole, whole / "output")
    assert [one.id for one in read.sources] == ["meets-autumn", "meets-spring", "meets-summer"]
    assert [one.message.split()[2] for one in read.notes] == ["drafts", "old"]
    assert not read.settings.search_engines


JUDGE = (
    "checks", "history", "live", "scoring", "rules.placings", "meet.folder", "meet.settings",
    "reading.meet", "reading.tables", "views.live", "views.people", "views.press", "website.pages",
)  # fmt: skip


def test_of_published_folders_nothing_is_imported_that_judges_a_meet(whole):
    for meet in DAYS:
        assert main(["build", str(whole / "meets" / meet), "--without-books"]) == 0
        shutil.move(whole / "meets" / meet / "output", whole / "published" / meet)
    (whole / "season.toml").write_text('title = "Y"\nmeets = ["published/*"]\n')
    arguments = ["season", str(whole), "--without-books"]
    program = f"import sys; from resultsgen.cli import main; main({arguments}); print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True)
    assert (whole / "output/bests/index.html").is_file()
    names = "|".join(JUDGE).replace(".", "[.]")
    judge = re.compile(rf"resultsgen[.](?:{names})(?![\w])")
    assert not [one for one in done.stdout.decode().split() if judge.match(one)]


def test_the_sites_of_the_meets_lie_below_but_for_one_that_tells_a_withheld_name(whole):
    for meet in ("spring", "autumn"):
        assert main(["build", str(whole / "meets" / meet), "--without-books"]) == 0
    _, published = told(whole)
    out = whole / "output"
    own, laid = whole / "meets/autumn/output", out / "meets/autumn"
    listed = listed_files(own)
    assert all((laid / name).samefile(own / name) for name in listed)
    assert not (out / "meets/spring").exists()
    notes = {note.partition(":")[0]: note for note in published.notes}
    assert notes.keys() == {"spring", "summer", "people.csv"}
    assert "clubs/club-" in notes["spring"]
    for path in out.rglob("*"):
        assert path.is_dir() or b"quillon" not in path.read_bytes().lower(), path
    page = (out / "gymnasts/hazeldon-mona-women.html").read_text("utf-8")
    assert 'href="../meets/autumn/competitions/w/bb.html#BB-1"' in page
    assert 'href="../meets/spring.html"' in page
    marks = whole / "meets/autumn/marks.csv"
    marks.write_text(marks.read_text().replace("13.050", "13.100"))
    _, published = told(whole)
    assert not laid.exists()
    assert any("is not what the meet folder gives now" in note for note in published.notes)


def pages_of(meets):
    """What each unit of a season's pages is made from, and what it gives."""
    made, _, _ = season_of_meets(meets)
    site = SeasonSite(SeasonSubject(made, ENGLISH, {}), find_theme("standard"), False)
    filler = site.filler({"icon": "i.svg", "script": "s.js", "names": "n.js"})
    return {unit.name: (filler.made_from(unit), filler.filled(unit)) for unit in site.units()}


def of_team(meet, name):
    (held,) = meet.head.competitions
    held = held._replace(team=ToldTeams((ToldTeam(name, 1, 20_000, (), ()),)))
    return meet._replace(head=meet.head._replace(competitions=(held,)))


ELM = made_meet("elm", 9, [Start("Elm", "Club Elm")])
SPELT = made_meet("b", 1, [Start("Ash", "TV Ulm", person="1")])


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (  # A list without a mark in the only other year.
            [made_meet("a", 0, [Start("Ash", division="u12"), Start("Elm", division="u14")]),
             made_meet("b", 400, [Start("Elm", division="u14")])],
            [made_meet("a", 0, [Start("Ash", division="u12"), Start("Elm", division="u14")])],
        ),
        (  # Two spellings of a club have addresses apart, until an old meet is mended.
            [made_meet("a", 0, [Start("Ash", "TV-Ulm", person="1")]), SPELT],
            [made_meet("a", 0, [Start("Ash", "TV Ulm", person="1")]), SPELT],
        ),
        (  # A team is called as a club that has a page only from another meet.
            [of_team(made_meet("a", 0, [Start("Ash")]), "Club Elm"), SPELT, ELM],
            [of_team(made_meet("a", 0, [Start("Ash")]), "Club Elm"), SPELT],
        ),
    ],
)  # fmt: skip
def test_a_page_stays_only_where_it_would_be_the_same_again(before, after):
    for these, those in ((before, after), (after, before)):
        kept, made = pages_of(these), pages_of(those)
        stay = [name for name in made if made[name][0] and made[name][0] == kept.get(name, "-")[0]]
        assert stay
        for name in stay:
            assert kept[name][1] == made[name][1], name


LINK = re.compile(r'(?:href|src)="([^":#]+)(?:#([^"]+))?"')


def test_every_link_leads_somewhere_also_in_a_theme_of_strangers(whole):
    assert main(["build", str(whole / "meets/autumn"), "--without-books"]) == 0
    settings = whole / "season.toml"
    settings.write_text(
        settings.read_text() + 'languages = ["en", "de"]\ntheme = "own"\n'
        'base_url = "https://example.org/"\n'
        '[[series]]\nid = "s"\ntitle = "S"\nrounds = ["spring", "summer", "autumn"]\nlist = "BB"\n'
        'count = "totals"\nbest = 2\nup = 1\n[[qualification]]\nid = "q"\ntitle = "Q"\n'
        'rounds = ["spring", "winter"]\nlist = "BB"\nplaces = 2\n[[calendar]]\n'
        'id = "winter"\ntitle = "W"\n'
        "dates = [2031-12-01]\n"
    )
    with pytest.raises(MeetProblems) as found:
        told(whole)
    assert [one.code for one in found.value.problems] == ["unknown-theme"]
    write_folder(
        whole,
        '== pages/recap.md ==\n+++\ntitle = "Recap"\n+++\n[all](../meets/index.html), [us](us.md)\n'
        '== pages/us.md ==\n+++\ntitle = "Us"\n+++\n![here](assets/hall.png)\n',
    )
    (whole / "assets").mkdir()
    (whole / "assets/hall.png").write_bytes(picture())
    (whole / "own").mkdir()
    (whole / "own/theme.toml").write_text('title = "Own"\nbased-on = "gala"\n')
    told(whole)
    out = whole / "output"
    (sheet,) = (out / "static").glob("site.*.css")
    for font in re.findall(r"woff2;base64,([^\"]+)", sheet.read_text("utf-8")):
        with TTFont(BytesIO(b64decode(font))) as face:
            assert {*map(ord, ascii_letters)} <= {*face.getBestCmap()}
    feed = ElementTree.parse(out / "feed.xml").getroot()
    linked = {link.get("href") for link in feed.iter("{http://www.w3.org/2005/Atom}link")}
    assert linked >= {f"https://example.org/meets/{meet}.html" for meet in DAYS}
    for page in {*out.rglob("*.html")} - {out / "404.html"}:
        for path, row in LINK.findall(page.read_text("utf-8")):
            there = page.parent / unquote(path)
            assert there.is_file(), (page, path)
            assert not row or f'id="{row}"' in there.read_text("utf-8"), (page, path, row)


def test_in_pieces_every_name_is_found_by_its_words():
    sounds = ("ka", "mi", "lo", "Éz", "Тих", "ße", "nu", "o")
    each = (Found(f"gymnasts/{a}{b}{c}.html", f"{a}{b} {c}{a}", "", ())
            for a in sounds for b in sounds for c in sounds)  # fmt: skip
    found = (*each, *(Found(f"gymnasts/{n}.html", f"Kalo {n}", "", ()) for n in range(300)))
    held = pieces(found)
    assert len(held) > 20
    for one in found:
        for word in words(one.name):
            assert any(one in held[key] for key in held if word.startswith(key)), (one, word)


@pytest.mark.parametrize("more", [0, 1])
def test_a_list_is_sorted_as_long_as_all_its_rows_take_no_more_than_a_page(more):
    letters = str.maketrans("0123456789", "aéibrovuns")
    starts = [Start(f"{n * 79193} {n * 10472977}".translate(letters), f"Gymnastics {n % 90}")
              for n in range(SORTED + more)]  # fmt: skip
    made, _, _ = season_of_meets([made_meet("m", 1, starts)])
    site = SeasonSite(SeasonSubject(made, ENGLISH, {}), find_theme("standard"), False)
    unit = next(one for one in site.units() if one.name == "gymnasts")
    needed = {"icon": "i.svg", "script": "s.js", "names": "n.js"}
    pages = site.filler(needed).filled(unit)
    told, rows = row_scripts(pages, "")
    assert len(told) == len(rows)
    assert len(pages) > 2
    for page in pages.values():
        assert ("too long to be sorted" in page) == (more > 0)
        assert ('class="tools' in page) == (more == 0)
    assert len(rows) == 1 - more
    for one in (*rows.values(), *(page.encode() for page in pages.values())):
        assert len(gzip.compress(one, 6)) < 60_000
