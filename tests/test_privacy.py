"""Somebody who withholds the name, and does everything that a gymnast can do: no byte tells who."""

from __future__ import annotations

import csv
import json
import re
import subprocess
import zlib
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from urllib.parse import unquote
from zipfile import ZipFile

import pytest
from folders import judged, write_folder
from lxml import html

from resultsgen.privacy.contents import contents
from resultsgen.privacy.forms import Name, hits, sought, words
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.publish import publish
from resultsgen.reading.meet import read_meet

CUP = """
== meet.toml ==
title = "Lantern Cup"
base_url = "https://results.example.org/cup/"
published = 2031-05-17T12:00:00+02:00
languages = ["en", "de"]

[privacy]
birth_year = true

[[competition]]
id = "senior"
title = "Senior"
discipline = "women"
divisions = ["senior"]
rules = "club-ten"
phase = "qualification"
ranks = ["all-around", "apparatus", "team"]
[competition.team]
format = "3-3-2"
by = "club"
[[competition.cuts]]
name = "Final"
of = "all-around"
places = 2
reserves = 1

[[competition]]
id = "evening"
title = "Evening"
discipline = "women"
divisions = ["evening"]
rules = "club-ten"
ranks = ["all-around", "apparatus"]
[competition.running]
circuit = ["VT", "UB", "BB", "FX"]
starts = { A = "VT" }
== roster.csv ==
bib,family_name,given_name,club,division,squad,start_order,birth_year,publish,coach
1,Adder,Ada,North,senior,A,1,2014,,Umbriel Coachley
2,Bell,Bea,North,senior,A,2,2014,,Umbriel Coachley
3,Cole,Cora,South,senior,A,3,2014,,Umbriel Coachley
4,Zwölfgräßer,Thaïsine,South,senior,A,4,2013,no,Umbriel Coachley
5,Egg,Edda,South,senior,A,5,2014,,Umbriel Coachley
4,Zwölfgräßer,Thaïsine,South,evening,A,1,2013,,Umbriel Coachley
7,Fern,Fia,North,evening,A,2,2014,,Umbriel Coachley
8,Gorse,Gitta,South,evening,A,3,2014,,Umbriel Coachley
44,ZWÖLFGRÄSSER,Thaïsine,West,evening,A,4,2014,no,Umbriel Coachley
== marks.csv ==
bib,competition,apparatus,mark
1,senior,VT,9.000
1,senior,UB,9.000
1,senior,BB,9.000
1,senior,FX,9.000
2,senior,VT,9.100
2,senior,UB,9.000
2,senior,BB,8.900
2,senior,FX,8.900
3,senior,VT,8.900
3,senior,UB,8.900
3,senior,BB,9.000
3,senior,FX,9.000
4,senior,VT,9.000
4,senior,UB,8.900
4,senior,BB,9.300
4,senior,FX,8.550
5,senior,VT,8.000
5,senior,UB,8.000
5,senior,BB,8.000
5,senior,FX,8.000
4,evening,VT,9.500
7,evening,VT,9.500
8,evening,VT,9.000
44,evening,VT,8.000
4,evening,UB,9.000
7,evening,UB,9.100
8,evening,UB,9.100
== incidents.csv ==
bib,competition,apparatus,incident,deduction
4,senior,FX,fall,0.5
== bests.csv ==
record,bib,discipline,division,apparatus,mark
personal,4,women,senior,BB,9.200
== pages/recap.md ==
+++
title = "Recap"
+++
{{ winner("senior", "BB") }} won on the beam; bib 4 is {{ name("women/4") }},
{{ link("women/4") }}. {{ needs("evening", "4") }}
{% for one in podium("senior", "BB") %}{{ one.place }} {{ one.name }}
{% endfor %}
{% for sentence in notable("senior") %}- {{ sentence }}
{% endfor %}
"""
WHO = ("zwölfgräßer", "zwölfgrässer", "thaïsine")
FORMS = (*WHO, "umbriel", "zwolfgra", "zwoelfgr", "thaisine", "thaesine", "zw-lfgr", "tha-sine")


@pytest.fixture(scope="module")
def published(tmp_path_factory) -> Path:
    """The folder after a second publication: a mark of hers corrected, and her name withheld."""
    folder = write_folder(tmp_path_factory.mktemp("privacy") / "meet", CUP.replace(",no,", ",,"))
    out = folder.parent / "out"
    publish(folder, out, BuildOptions(books=False), lambda *_: None)
    assert "Zwölfgräßer" in (out / "data/gymnasts.csv").read_text("utf-8")
    write_folder(folder, CUP)
    marks = folder / "marks.csv"
    marks.write_text(marks.read_text("utf-8").replace("BB,9.300", "BB,9.400"), "utf-8")
    told = "bib,competition,apparatus,old,new,why\n4,senior,BB,9.300,9.400,inquiry\n"
    (folder / "corrections.csv").write_text(told, "utf-8")
    publish(folder, out, BuildOptions(), lambda *_: None)
    return out


def readings(path: Path) -> list[bytes]:
    """The bytes of a file, and what any program would unpack from them."""
    data = path.read_bytes()
    if path.suffix == ".xlsx":
        with ZipFile(path) as held:
            return [data, *(held.read(name) for name in held.namelist())]
    if path.suffix == ".pdf":
        written = subprocess.run(
            ["pdftotext", "-raw", path, "-"], capture_output=True, check=True
        ).stdout
        streams = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", data, re.DOTALL)
        return [data, written, *map(unpacked, streams)]
    return [data]


def unpacked(stream: bytes) -> bytes:
    """A stream of a PDF as it reads; as it is where it is not packed."""
    try:
        return zlib.decompress(stream)
    except zlib.error:
        return stream


def said(data: bytes) -> str:
    """What the bytes say however they write a letter, small and unescaped."""
    plain = unquote(unescape(data.decode("utf-8", "ignore"))).lower()
    return re.sub(r"\\u([0-9a-f]{4})", lambda one: chr(int(one[1], 16)), plain)


def of_pdf(data: bytes) -> str:
    """What the strings of a PDF say, in letters or in hexadecimal digits."""
    digits = re.findall(rb"<((?:[0-9A-Fa-f]{2})+)>", data)
    strings = b"\0".join(bytes.fromhex(one.decode()) for one in digits)
    codings = ("latin-1", "utf-16-be", "utf-16-le")
    return "\n".join(
        part.decode(coding, "ignore").lower() for part in (data, strings) for coding in codings
    )


def everything_told(path: Path) -> Iterator[str]:
    for data in readings(path):
        yield said(data)
        if path.suffix == ".pdf":
            yield of_pdf(data)


@pytest.fixture(scope="module")
def told(published) -> dict[Path, str]:
    """All that each file tells, and its own name."""
    return {
        path.relative_to(published): "\n".join((path.name.lower(), *everything_told(path)))
        for path in sorted(published.rglob("*"))
        if path.is_file()
    }


def test_the_way_of_looking_finds_a_name_that_is_published(told):
    """Else nothing found would say nothing."""
    kinds = {path.suffix for path, words in told.items() if "adder" in words}
    assert {".html", ".csv", ".json", ".xlsx", ".txt", ".pdf", ".js"} <= kinds


def test_the_last_look_unpacks_every_kind_of_file(published):
    """It finds a name that is told wherever the other way of looking does."""
    names = sought([(Name("Adder", "Ada"), "1")], [])
    kinds = {
        path.suffix
        for path in published.rglob("*")
        if path.is_file() and any(hits(names, words(text)) for text in contents(path.read_bytes()))
    }
    assert {".html", ".csv", ".json", ".xlsx", ".txt", ".pdf", ".js"} <= kinds


def test_no_byte_and_no_file_name_tells_who_it_is(told):
    assert [(path, form) for path, words in told.items() for form in FORMS if form in words] == []


def test_what_was_done_is_told_by_the_bib_all_the_same(published):
    """Won the beam, third of all, reserve, in a team, tied, fell, corrected, a mark to come."""
    data = published / "data"
    place = {row["bib"]: row["place"] for row in table(data / "senior/all-around.csv")}
    assert place == {"1": "1", "2": "2", "4": "3", "3": "4", "5": "5"}
    beam = table(data / "senior/apparatus-bb.csv")[0]
    assert (beam["bib"], beam["place"], beam["family_name"]) == ("4", "1", "")
    vault = {row["bib"]: row["place"] for row in table(data / "senior/apparatus-vt.csv")}
    assert vault == {"2": "1", "1": "2", "4": "2", "3": "4", "5": "5"}
    for name in ("senior/qualification", "senior/team-marks", "senior/incidents",
                 "corrections", "evening/needs", "evening/standings"):  # fmt: skip
        assert "4" in {row["bib"] for row in table(data / f"{name}.csv")}, name
    press = html.parse(published / "press.html").getroot().text_content()
    assert "Bib 4" in next(one for one in press.splitlines() if "personal best" in one)
    recap = html.parse(published / "pages/recap.html").getroot().text_content()
    assert "Bib 4 won on the beam" in recap
    assert "1 Bib 4" in recap
    assert "Startnr.\u00a04 " in (published / "de/press.html").read_text("utf-8")


def test_a_year_of_birth_that_is_withheld_is_in_no_table(published):
    rows = table(published / "data/gymnasts.csv")
    years = {(row["bib"], row["birth_year"]) for row in rows}
    assert years >= {("1", "2014"), ("4", ""), ("44", "")}
    whole = json.loads((published / "data/results.json").read_text("utf-8"))
    assert '"birth_year": 2013' not in json.dumps(whole)


def table(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


ROSTER = """
== meet.toml ==
title = "Cup"
[[competition]]
id = "one"
title = "One"
discipline = "women"
divisions = ["one"]
rules = "club-ten"
[[competition]]
id = "two"
title = "Two"
discipline = "women"
divisions = ["two"]
rules = "club-ten"
== roster.csv ==
bib,family_name,given_name,club,division,publish
1,Vale,Ada,North,one,no
1,Vale,Ada,North,two,yes
9,VALE,Ada,North,two,
2,Vale,Ada,South,one,
== marks.csv ==
bib,competition,apparatus,mark
1,one,VT,9.000
"""


def test_one_row_withholds_the_name_in_all_rows_of_the_person_and_in_no_others(tmp_path):
    """Whoever has another bib is known by name and club; one of another club is said to be two."""
    said = 'title = "Cup"\n[privacy]\nnamesakes = ["Ada Vale"]'
    told = judged(write_folder(tmp_path, ROSTER.replace('title = "Cup"', said, 1)))
    names = {(one.bib, one.division): one.name for one in told.gymnasts.values()}
    assert names == {
        ("1", "one"): "Bib 1", ("1", "two"): "Bib 1", ("9", "two"): "Bib 9",
        ("2", "one"): "Vale Ada",
    }  # fmt: skip


ALIKE = (
    ROSTER.partition("== roster.csv ==")[0]
    + """
== roster.csv ==
bib,family_name,given_name,club,division,publish
4,Zweibrück,Quillana Mae,South,one,no
{rows}
== marks.csv ==
bib,competition,apparatus,mark
"""
)
LIKE_HER = (
    "4,Zweibruck,Quillana,South,two,",
    "11,ZWEIBRUECK,Quillana,South,two,yes",
    "12,Quillana,Zweibrück,South,two,",
    "13,Quillana Zweibrück,,South,two,",
    '14,"Zweibrück, Quillana Joy",,South,two,',
    "15,Zweibrück-Orm,Quillana,South,two,",
    "16,ＺＷＥＩＢＲÜＣＫ,Mae,South,two,",
    "17,Zweibrück,Quillana Mae,North,two,",
)
OTHERS = (
    "21,Zweibrück,Bea,South,two,",
    "22,Adder,Quillana,South,two,",
    "23,Zweibrück,,South,two,",
    "24,Zweibrücker,Quillana,South,two,",
)


def test_rows_that_look_like_one_that_is_withheld_are_problems_until_they_are_said_to_be_two(
    tmp_path,
):
    """Without accent, with ue, without the second name, swapped, in one column, at another club."""
    folder = write_folder(tmp_path, ALIKE.format(rows="\n".join((*LIKE_HER, *OTHERS))))
    _, problems = read_meet(folder)
    rows = range(3, 3 + len(LIKE_HER))
    told = [(one.code, one.row, one.column) for one in problems]
    assert told == [("looks-withheld", row, "publish") for row in rows]
    named = ", ".join(re.search(r"namesakes = \[(.*?)\]", one.message)[1] for one in problems)
    settings = (folder / "meet.toml").read_text("utf-8").replace('title = "Cup"', f'''title = "Cup"
[privacy]
namesakes = [{named}]''', 1)  # fmt: skip
    (folder / "meet.toml").write_text(settings, "utf-8")
    there = judged(folder).gymnasts.values()
    assert [one.division for one in there if one.published] == ["two"] * len((*LIKE_HER, *OTHERS))


TEXTS = """
== pages/recap.md ==
+++
title = "Well done, Ana-Zoë Ørsted"
+++
We saw Ørsted,
Ana Zoe, and ANA ZOË ØRSTED
twice. Ana Zoe was first; Ana Zoetrope Ørsted was not there.
== incidents.csv ==
bib,competition,apparatus,incident,deduction,note
1,one,VT,fall,0.5,Ana-Zoë Ørsted fell
== corrections.csv ==
bib,competition,apparatus,old,new,why,who
1,one,VT,8.900,9.000,inquiry,Family Ørsted Ana-Zoë
"""


def test_texts_that_name_her_are_told_line_by_line(tmp_path):
    own = ROSTER.replace("1,Vale,Ada,North", "1,Ørsted,Ana-Zoë,North")
    write_folder(tmp_path, own + TEXTS.removeprefix("\n"))
    _, problems = read_meet(tmp_path)
    assert [(one.file, one.row, one.column, one.code) for one in problems] == [
        ("corrections.csv", 2, "who", "withheld-name"),
        ("incidents.csv", 2, "note", "withheld-name"),
        ("pages/recap.md", 0, "title", "withheld-name"),
        ("pages/recap.md", 5, "", "withheld-name"),
    ]
