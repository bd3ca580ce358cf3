"""The time of publication where the environment gives it, or the clock."""

from __future__ import annotations

import datetime as dt
import json
import re
from pathlib import Path

import pytest
from folders import write_folder

from resultsgen.history.publication import published_time
from resultsgen.meet.competition import Competition
from resultsgen.meet.problems import MeetProblems
from resultsgen.meet.settings import MeetSettings
from resultsgen.privacy.contents import contents
from resultsgen.publishing import last_look
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.last_look import look_through
from resultsgen.publishing.publish import publish
from resultsgen.reading.meet import read_meet
from resultsgen.website.kept_pages import KeptPages

CUP = Competition(id="cup", title="Cup", discipline="women")


@pytest.mark.parametrize(
    ("epoch", "told"),
    [
        ("0", dt.datetime(1970, 1, 1, tzinfo=dt.UTC)),
        ("1936828800", dt.datetime(2031, 5, 18, tzinfo=dt.UTC)),
        ("9" * 17, None),
        ("9" * 5000, None),
        ("yesterday", None),
        ("-1", None),
        ("", None),
    ],
)
def test_what_is_no_time_says_nothing(
    monkeypatch: pytest.MonkeyPatch, epoch: str, told: dt.datetime | None
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", epoch)
    assert published_time(MeetSettings(title="Cup", competition=(CUP,))) == told


MEET = """
    == meet.toml ==
    title = "Cup"
    published = "now"
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["VT"]
    ranks = ["apparatus"]
    == roster.csv ==
    bib,family_name
    1,Alder
    2,Birch
    3,Cedar
    == marks.csv ==
    bib,apparatus,mark
    1,VT,13.100
    """
HOURS = ("1936828800", "1936832400")


def printed(out: Path) -> set[str]:
    """The times that pages print."""
    found = (re.findall(r"Published ([^<]*)</p>", page.read_text("utf-8"))
             for page in out.rglob("*.html"))  # fmt: skip
    return {one for these in found for one in these}


def built(meet: Path, out: Path) -> None:
    publish(meet, out, BuildOptions(books=False), lambda *_: None)


def test_now_is_asked_of_the_clock_once_for_each_publication(tmp_path, monkeypatch):
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    meet, out = write_folder(tmp_path / "meet", MEET), tmp_path / "out"
    before = dt.datetime.now().astimezone().replace(microsecond=0)
    built(meet, out)
    kept = json.loads((out / "data/publications/001.json").read_text("utf-8"))["published"]
    time = dt.datetime.fromisoformat(kept)
    assert before <= time <= dt.datetime.now().astimezone()
    assert printed(out) == {f"{time.day} {time:%B %Y, %H:%M}"}
    for file, name in (("data/datapackage.json", "created"), ("news.json", "published")):
        told = json.loads((out / file).read_text("utf-8"))[name]
        assert dt.datetime.fromisoformat(told) == time


def test_a_clock_that_was_turned_back_is_told(tmp_path, monkeypatch):
    meet, out = write_folder(tmp_path / "meet", MEET), tmp_path / "out"
    monkeypatch.setenv("SOURCE_DATE_EPOCH", HOURS[1])
    assert publish(meet, out, BuildOptions(books=False), lambda *_: None).notes == ()
    write_folder(meet, MEET + "2,VT,12.900\n    ")
    monkeypatch.setenv("SOURCE_DATE_EPOCH", HOURS[0])
    (note,) = publish(meet, out, BuildOptions(books=False), lambda *_: None).notes
    assert note.startswith("this publication is of 2031-05-18 00:00:00, and the one before of ")


def test_a_build_that_changes_nothing_keeps_the_time_and_another_tells_its_own(
    tmp_path, monkeypatch
):
    meet, out = write_folder(tmp_path / "meet", MEET), tmp_path / "out"
    monkeypatch.setenv("SOURCE_DATE_EPOCH", HOURS[0])
    built(meet, out)
    assert printed(out) == {"18 May 2031, 00:00"}
    content = {path: path.read_bytes() for path in out.rglob("*") if path.is_file()}
    monkeypatch.setenv("SOURCE_DATE_EPOCH", HOURS[1])
    built(meet, out)
    assert {path: path.read_bytes() for path in out.rglob("*") if path.is_file()} == content
    with (meet / "marks.csv").open("a", encoding="utf-8") as marks:
        marks.write("2,VT,12.100\n")
    built(meet, out)
    assert printed(out) == {"18 May 2031, 01:00"}


def test_another_time_fills_no_page_anew(tmp_path, monkeypatch):
    """But those that tell of all publications; each page prints the new one."""
    monkeypatch.setenv("RESULTSGEN_CACHE", str(tmp_path / "cache"))
    meet, out = write_folder(tmp_path / "meet", MEET), tmp_path / "out"
    monkeypatch.setenv("SOURCE_DATE_EPOCH", HOURS[0])
    built(meet, out)
    filled = []
    fill = KeptPages._fill
    monkeypatch.setattr(
        KeptPages, "_fill", lambda self, name, own: filled.append(name) or fill(self, name, own)
    )
    monkeypatch.setenv("SOURCE_DATE_EPOCH", HOURS[1])
    with (meet / "marks.csv").open("a", encoding="utf-8") as marks:
        marks.write("2,VT,12.100\n")
    built(meet, out)
    assert "rules.html" not in filled
    assert "list.html" in filled
    assert printed(out) == {"18 May 2031, 01:00"}


WITHHELD = (
    MEET.replace("bib,family_name", "bib,family_name,given_name,publish")
    .replace("1,Alder", "1,Quillfeather,Ada,no")
    .replace("2,Birch", "2,Birch,Bea,")
    .replace("3,Cedar", "3,Cedar,Cleo,")
)


@pytest.mark.parametrize(
    ("digest", "time", "told"),
    [("one", "14:33", False), ("another", "14:33", True), ("one", "Quillfeather Ada", True)],
)
def test_a_page_of_another_time_alone_is_not_looked_through_again(
    tmp_path, monkeypatch, digest, time, told
):
    """But a name in it is found, and one in the time itself."""
    meet, _ = read_meet(write_folder(tmp_path / "meet", WITHHELD))
    folder, kept = tmp_path / "out", tmp_path / "cache"
    folder.mkdir()
    (folder / "index.html").write_text("<p>Published 14:32</p>")
    look_through(meet, kept, folder, {"index.html": "one"}, ("14:32",))
    (folder / "index.html").write_text(f"<p>Published {time}</p><p>Quillfeather Ada</p>")
    looked = []
    monkeypatch.setattr(last_look, "contents", lambda *each: looked.append(1) or contents(*each))
    if told:
        with pytest.raises(MeetProblems):
            look_through(meet, kept, folder, {"index.html": digest}, (time,))
    else:
        look_through(meet, kept, folder, {"index.html": digest}, (time,))
    assert bool(looked) is (digest == "another")


LATE = """
    [[competition]]
    id = "late"
    title = "Late"
    discipline = "women"
    apparatus = ["VT"]
    ranks = ["apparatus"]
    marks = "late.csv"
    == late.csv ==
    bib,apparatus,mark
    2,VT,12.000
"""


def test_a_running_competition_that_is_as_it_was_is_not_looked_through_for_the_hour_it_is_as_of(
    tmp_path, monkeypatch
):
    monkeypatch.setenv("RESULTSGEN_CACHE", str(tmp_path / "cache"))
    text = WITHHELD.replace("    == roster.csv ==", f"{LATE[1:]}    == roster.csv ==")
    meet, out = write_folder(tmp_path / "meet", text), tmp_path / "out"
    looked: list[str] = []
    texts = last_look._texts
    monkeypatch.setattr(
        last_look,
        "_texts",
        lambda path, names: looked.append("/".join(path.parts[-2:])) or texts(path, names),
    )
    for hour, row in zip(HOURS, ("", "3,VT,12.100\n"), strict=True):
        looked.clear()
        monkeypatch.setenv("SOURCE_DATE_EPOCH", hour)
        with (meet / "marks.csv").open("a", encoding="utf-8") as marks:
            marks.write(row)
        built(meet, out)
    assert "as of 01:00" in (out / "competitions/late/index.html").read_text("utf-8")
    assert "women/index.html" in looked
    assert "late/index.html" not in looked
