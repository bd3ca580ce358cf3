"""The first page: the board of titles, what is on, and where it all stands; in a browser."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from browsing import opened
from folders import judged, picture, write_folder
from lxml import html
from PIL import Image
from test_site import EXAMPLE

from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.publish import publish
from resultsgen.theme.theme import theme_names
from resultsgen.views.site.board import board
from resultsgen.views.site.home import home_view
from resultsgen.views.site.thread import thread
from resultsgen.views.words.wording import Wording
from resultsgen.website.pages import home_name

EVENING = Path(__file__).parent / "example_evening"

CUP = """
== meet.toml ==
title = "Cup"

[[competition]]
id = "seniors"
title = "Senior women, qualification"
discipline = "women"
divisions = ["senior"]
apparatus = ["VT", "BB"]
phase = "qualification"
ranks = ["all-around", "apparatus"]

[[competition.cuts]]
name = "Final"
of = "apparatus"
places = 2
to = "final"

[[competition]]
id = "juniors"
title = "Junior women"
discipline = "women"
divisions = ["junior"]
apparatus = ["VT", "BB"]
rules = "club-ten"
day = 2031-05-17

[[competition]]
id = "final"
title = "Senior women, apparatus final"
discipline = "women"
apparatus = ["VT", "BB"]
entered_from = "seniors"
ranks = ["apparatus"]
day = 2031-05-18
time = "14:00"
== roster.csv ==
bib,family_name,division,publish
1,Alder,senior,
2,Birch,senior,
3,Cedar,junior,
4,Dogwood,junior,no
== marks.csv ==
bib,competition,apparatus,d,e,mark
1,seniors,VT,5.0,8.0,13.000
2,seniors,VT,5.0,7.0,12.000
1,seniors,BB,5.0,6.0,11.000
2,seniors,BB,5.0,7.0,12.000
3,juniors,VT,,,9.000
4,juniors,VT,,,9.000
4,juniors,BB,,,8.000
"""


@pytest.fixture
def cup(tmp_path):
    return judged(write_folder(tmp_path, CUP))


def test_each_group_has_a_column_and_each_title_a_line(cup):
    """A final counts before the qualification; what has no final is decided where it is ranked."""
    told = {
        column.heading: [
            (line.title.text, [who.text for who in line.winners], line.total, line.open)
            for line in column.lines
        ]
        for column in board(cup, Wording())
    }
    assert told == {
        "Senior women": [
            ("All-around", ["Alder"], "24.000", ""),
            ("Vault", [], "", "18 May 2031, 14:00"),
            ("Balance Beam", [], "", "18 May 2031, 14:00"),
        ],
        "Junior women": [
            ("All-around", ["Bib 4"], "17.000", "as it stands"),
            ("Vault", ["Bib 4", "Cedar"], "9.000", ""),
            ("Balance Beam", ["Bib 4"], "8.000", "as it stands"),
        ],
    }
    together = [
        [[line.title.text for line in group] for group in column.groups]
        for column in board(cup, Wording())
    ]
    assert together == [
        [["All-around"], ["Vault", "Balance Beam"]], [["All-around"], ["Vault"], ["Balance Beam"]],
    ], "day and hour are said once"  # fmt: skip


def test_a_photograph_stands_beside_the_winners_in_each_width_there_is(tmp_path):
    named = 'title = "Cup"\npicture = "hall.jpg"\ntheme = "gala"'
    folder = write_folder(tmp_path / "cup", CUP.replace('title = "Cup"', named))
    (folder / "assets").mkdir()
    (folder / "assets" / "hall.jpg").write_bytes(picture("JPEG", (1200, 800)))
    publish(folder, tmp_path / "out", BuildOptions(books=False), lambda *_: None)
    (shown,) = html.parse(tmp_path / "out" / "index.html").xpath("//main//img")
    at = [one.split() for one in shown.get("srcset").split(", ")]
    assert at[-1] == [shown.get("src"), "1200w"] == ["assets/hall.jpg", "1200w"]
    widths = {f"{Image.open(tmp_path / 'out' / address).width}w": width for address, width in at}
    assert len(widths) > 1
    assert widths == {width: width for width in widths}


def test_while_marks_are_to_come_the_sentence_of_a_title_says_who_leads(cup):
    told = {
        line.title.target: line.told
        for results in (cup, judged(EVENING))
        for column in board(results, Wording())
        for line in column.lines
    }
    assert told["list:juniors/all-around"] == "Bib 4 is the first to be placed, with 17.000."
    assert told["list:juniors/VT"] == "Bib 4 and Cedar share the first place with 9.000."
    assert told["list:final/VT"] == ""
    ahead = "Kestrelle Ottilie leads with 37.500, 1.050 ahead of Aldersyke Runa."
    assert told["list:evening/all-around"] == ahead
    shared = "Kestrelle Ottilie shares the lead with Thornacre Wilma, 9.400 each."
    assert told["list:evening/VT"] == shared


@pytest.mark.parametrize(
    ("at", "name", "here", "steps"),
    [
        ("seniors", "BB", 0, ["list:seniors/overview", "list:final/BB"]),
        ("final", "BB", 1, ["list:seniors/BB", "list:final/overview"]),
        ("seniors", "all-around", 0, ["list:seniors/overview", "list:final/overview"]),
        ("final", "start-list", 1, ["list:seniors/start-list", "list:final/overview"]),
    ],
)
def test_a_thread_leads_to_the_same_list_of_the_other_phases(cup, at, name, here, steps):
    found = thread(cup, cup.competition(at), name, Wording())
    assert found is not None
    assert (found.heading, found.here) == ("Senior women", here)
    assert [step.target for step in found.steps] == steps
    of_beam = ": Balance Beam" if name == "BB" else ""
    words = ["Qualification", "Apparatus final"]
    words[1 - here] += of_beam
    assert [step.text for step in found.steps] == words


def test_where_a_phase_has_no_name_beside_what_all_have_in_common_titles_stay_whole(tmp_path):
    titles = ["Senior women", "Senior women apparatus final"]
    text = CUP.replace("Senior women, qualification", titles[0])
    text = text.replace("Senior women, apparatus final", titles[1])
    cup = judged(write_folder(tmp_path, text))
    found = thread(cup, cup.competition("final"), "start-list", Wording())
    assert found is not None
    assert (found.heading, [step.text for step in found.steps]) == ("", titles)


def test_nobody_is_a_winner_before_a_list_is_decided(cup, tmp_path):
    # Without an all-around every title waits for the final, though a qualification is over.
    text = CUP.replace('ranks = ["all-around", "apparatus"]', 'ranks = ["apparatus"]')
    waits = judged(write_folder(tmp_path, text)).competition
    meets = [replace(cup, competitions=some) for some in (
        cup.competitions, (cup.competition("seniors"),), (waits("seniors"), waits("final")),
    )]  # fmt: skip
    assert [home_name(one, Wording()) for one in meets] == ["Live", "First places", "Overview"]
    boards = [home_view(one, 3, Wording()).heading for one in meets[:2]]
    assert boards == ["Leaders", "First places"]


def test_what_has_one_phase_has_no_thread(cup):
    assert thread(cup, cup.competition("juniors"), "all-around", Wording()) is None


def test_of_two_finals_of_the_same_gymnasts_each_has_its_line(tmp_path):
    text = CUP.replace('id = "juniors"', 'id = "juniors"\nranks = ["all-around"]')
    again = """
[[competition]]
id = "evening"
title = "Junior evening"
discipline = "women"
divisions = ["junior"]
apparatus = ["VT"]
rules = "club-ten"
ranks = ["all-around"]
"""
    results = judged(write_folder(tmp_path, text.replace("== roster.csv", f"{again}== roster.csv")))
    _, juniors = board(results, Wording())
    assert [line.title.text for line in juniors.lines] == [
        "All-around, Junior women", "All-around, Junior evening",
    ]  # fmt: skip
    assert juniors.heading == "Junior"


def test_what_is_on_says_who_leads_who_can_still_come_and_what_is_needed(cup):
    view = home_view(cup, 3, Wording())
    (on,) = view.running
    assert (on.title.text, on.state) == ("Junior women", "1 mark to come")
    assert on.up == (("Balance Beam", "Cedar"),)
    (whole,) = on.lists
    first, second = whole.rows
    assert (first.leader.place, first.leader.name, first.done, first.need) == ("1", "Bib 4", "", "")
    assert (second.leader.place, second.leader.name, second.done) == ("", "Cedar", "1 of 2")
    assert second.need.startswith("8.")
    assert [(line.kind, line.title.text) for line in view.timetable] == [
        ("done", "Senior women, qualification"),
        ("going", "Junior women"),
        ("ahead", "Senior women, apparatus final"),
    ]


@pytest.mark.parametrize("theme", theme_names())
def test_all_titles_stand_on_one_screen_and_the_first_at_the_top_of_a_phone(browser, sites, theme):
    address = (sites(theme) / "index.html").as_uri()
    titles = sum(len(column.lines) for column in board(judged(EXAMPLE), Wording()))
    assert titles == 28
    for width, deepest in ((1280, 800), (390, 1600)):
        page, complaints, _ = opened(browser, width)
        page.goto(address)
        lines = page.locator(".board dl > div")
        assert lines.count() == titles
        ends = lines.evaluate_all("each => each.map(one => one.getBoundingClientRect().toJSON())")
        assert max(box["bottom"] for box in ends) <= deepest
        assert ends[0]["y"] <= 340
        assert page.locator(".board .sum").count() == titles
        assert not complaints
