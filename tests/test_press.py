"""What is told to the press and to clubs: facts in sentences, what incidents cost, recaps."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from folders import judged, write_folder
from lxml import html
from test_site import EXAMPLE, built

from resultsgen.data.running_text import running_texts
from resultsgen.live.bests import Best
from resultsgen.live.costs import costs
from resultsgen.live.notable import Win
from resultsgen.scoring.results import Results
from resultsgen.views.lists import chapters as book_chapters
from resultsgen.views.lists.rankings import list_table
from resultsgen.views.lists.sections import BookSubject
from resultsgen.views.live.costs import explanations
from resultsgen.views.people.clubs import club_views
from resultsgen.views.press.notable import notable_facts
from resultsgen.views.press.press import newsworthy, press_sheet, press_view
from resultsgen.views.site.home import home_view
from resultsgen.views.words.wording import wording

CUP = """
    == meet.toml ==
    title = "Cup <b>&</b>"
    dates = [2031-05-17]
    base_url = "https://example.org/cup/"

    [press]
    contact = ["Press <i>office</i>", "press@example.org"]
    embargo = "Until <noon>"

    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["VT", "BB"]
    ranks = ["all-around", "apparatus", "team"]
    team = { format = "3-3-2", by = "club" }
    day = 2031-05-17

    [[competition.cuts]]
    name = "Trophy"
    of = "all-around"
    places = 1
    reserves = 1
    == roster.csv ==
    bib,family_name,given_name,club,publish
    1,Alder,Ada,North,
    2,Birch,Bea,North,
    3,Cedar,Cleo,North,
    4,Secretname,Dora,South,no
    5,Elm,Eva,South,
    == marks.csv ==
    bib,apparatus,mark,d,e,penalty,rotation
    1,VT,13.000,5.0,8.000,,1
    2,VT,12.900,5.0,7.900,,1
    3,VT,12.800,5.0,7.800,,1
    4,VT,12.700,5.0,7.700,,1
    5,VT,12.000,5.0,7.000,,1
    1,BB,12.500,5.0,7.500,,2
    2,BB,12.500,5.0,7.500,,2
    3,BB,12.400,5.0,7.500,0.1,2
    4,BB,11.500,5.0,6.500,,2
    5,BB,13.600,5.0,8.600,,2
    == incidents.csv ==
    bib,apparatus,incident,deduction,note
    4,BB,fall,,
    3,BB,<u>slip</u>,0.1,noted
    == bests.csv ==
    record,bib,division,apparatus,mark,note
    personal,4,,VT,12.700,
    season,5,,all-around,25.500,Spring <trial>
    meet,,,BB,14.000,
    meet,,,VT,12.950,"Old Name, 2029"
    == pages/north.md ==
    +++
    title = "The hosts"
    club = "North"
    +++
    Welcome to [the recap](recap.md), {{ winner("women") }}.
    == pages/recap.md ==
    +++
    title = "Recap"
    +++
    {% for one in notable("women", "won") %}
    - {{ one }}
    {% endfor %}
    See [the hosts](north.md).
"""
# Totals: 1 25.500, 2 25.400, 3 25.200, 4 24.200, 5 25.600.


@pytest.fixture(scope="module")
def cup(tmp_path_factory) -> Results:
    return judged(write_folder(tmp_path_factory.mktemp("cup"), CUP))


@pytest.fixture(scope="module")
def site(tmp_path_factory) -> Path:
    folder = write_folder(tmp_path_factory.mktemp("meet"), CUP)
    return built(folder, tmp_path_factory.mktemp("site"))


def told(results: Results, kind: str) -> list[str]:
    """The sentences of one kind, each after its list."""
    facts = notable_facts(results, wording(results.meet.settings))
    return [f"{one.list_name}: {one.sentence}" for one in facts if one.kind == kind]


def test_winners_in_sentences(cup):
    # A cut is taken from the all-around of this final: it has been won all the same.
    assert told(cup, "won") == [
        "All-around: Elm Eva (South) won with 25.600, 0.100 ahead of Alder Ada (North).",
        "Vault: Alder Ada (North) won with 13.000, 0.100 ahead of Birch Bea (North).",
        "Balance Beam: Elm Eva (South) won with 13.600, 1.100 ahead of Alder Ada (North) "
        "and Birch Bea (North).",
        "Team: North won with 50.900, 1.100 ahead of South.",
    ]
    assert told(cup, "first") == []


def test_ties_sweeps_bests_of_the_day(cup):
    assert told(cup, "tie") == [
        "Balance Beam: 12.500 each, Alder Ada and Birch Bea share place 2, equal on every "
        "criterion."
    ]
    assert told(cup, "sweep") == [
        "Vault: North took all medal places: Alder Ada, Birch Bea and Cedar Cleo."
    ]
    assert told(cup, "best-of-day") == [
        "Vault: The best mark of 17 May 2031, women: 13.000 by Alder Ada (North).",
        "Balance Beam: The best mark of 17 May 2031, women: 13.600 by Elm Eva (South).",
    ]


def test_ties_of_a_qualification_have_their_reason_too(tmp_path):
    text = CUP.replace('title = "Women"', 'title = "Women"\n    phase = "qualification"', 1)
    text = text.replace("places = 1", "places = 3").replace("1,BB,12.500,5.0", "1,BB,12.600,5.1")
    placed = judged(write_folder(tmp_path, text.replace("2,BB,12.500,5.0", "2,BB,12.700,5.2")))
    assert "came first with 25.600, level with Alder" in told(placed, "first")[0]
    assert told(placed, "tie")[0].startswith("All-around: 25.600 each, placed by the best")
    # No final follows here: who came first in the all-around is the first to tell.
    front = newsworthy(notable_facts(placed, wording(placed.meet.settings)), placed)
    assert (front[0].kind, front[0].list_name) == ("first", "All-around")


ALL_LEVEL = """
    == meet.toml ==
    title = "Cup"
    [[competition]]
    id = "cup"
    title = "Cup"
    discipline = "women"
    apparatus = ["VT"]
    ranks = ["apparatus"]
    rules = "club-ten"
    == roster.csv ==
    bib,family_name
    1,Ash
    2,Bay
    3,Cob
    4,Dew
    == marks.csv ==
    bib,apparatus,mark
    1,VT,9.000
    2,VT,9.000
    3,VT,9.000
    4,VT,9.000
"""


def test_four_with_the_same_total_do_not_lie_within_nothing(tmp_path):
    found = told(judged(write_folder(tmp_path, ALL_LEVEL)), "together")
    assert found == ["Vault: Ash, Bay, Cob and Dew are level."]


def test_climbs_and_the_course_of_the_lead(cup):
    # After vault 5 was last; with 25.600 she is first: four places.
    assert told(cup, "climb") == [
        "All-around: Elm Eva (South) climbed from place 5 to place 1 in rotation 2."
    ]
    assert told(cup, "lead") == [
        "All-around: The lead changed once: Alder Ada after rotation 1; Elm Eva after rotation 2.",
        "Team: North led after every rotation.",
    ]


def test_bests_against_the_table_and_a_withheld_name_by_its_bib(cup):
    # 14.000 on beam stands; the personal best of bib 4 is equalled, and no name is told.
    assert told(cup, "record") == [
        "Vault: Bib 4 (South) made 12.700 and equalled the personal best, 12.700.",
        "All-around: Elm Eva (South) made 25.600, a season’s best; it was 25.500 (Spring <trial>).",
        "Vault: Alder Ada (North) made 13.000, a record of the meet; it was 12.950 "
        "(Old Name, 2029).",
    ]


def test_a_fact_keeps_the_numbers_it_rests_on(cup):
    facts = notable_facts(cup, wording(cup.meet.settings))
    wins = [one.rests_on.fact for one in facts if one.kind == "won"]
    assert all(isinstance(one, Win) for one in wins)
    assert [(one.total, one.margin) for one in wins] == [
        (25_600, 100), (13_000, 100), (13_600, 1_100), (50_900, 1_100),
    ]  # fmt: skip
    assert all(isinstance(one.rests_on.fact, Best) for one in facts if one.kind == "record")
    assert facts[0].kind == "won"


def test_a_best_mark_of_the_day_is_one_so_far_until_its_apparatus_is_over(tmp_path):
    without = re.sub(r"    5,BB.*\n", "", CUP).replace(', {{ winner("women") }}', "")
    running = judged(write_folder(tmp_path, without))
    assert told(running, "best-of-day") == [
        "Vault: The best mark of 17 May 2031, women: 13.000 by Alder Ada (North).",
        "Balance Beam: The best mark of 17 May 2031 so far, women: 12.500 by Alder Ada (North) "
        "and Birch Bea (North).",
    ]


def test_nobody_has_won_while_marks_are_to_come(meet_folder):
    """
    == meet.toml ==
    title = "Cup"
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["VT", "BB"]
    == roster.csv ==
    bib,family_name,club
    1,Alder,North
    2,Birch,South
    == marks.csv ==
    bib,apparatus,mark,d,e
    1,VT,13.000,5.0,8.000
    2,VT,12.000,5.0,7.000
    1,BB,11.000,5.0,6.000
    """
    results = judged(meet_folder)
    words = wording(results.meet.settings)
    assert told(results, "won") == ["Vault: Alder (North) won with 13.000, 1.000 ahead of "
                                    "Birch (South)."]  # fmt: skip
    view = press_view(results, (), 3, words)
    first = view.running[0].leaders[0]
    # Who has done more is not compared with who has done less.
    assert (first.title, first.decided) == ("All-around, of those who have finished", False)
    assert [(one.place, one.name, one.total) for one in first.rows] == [("1", "Alder", "24.000")]
    lines = home_view(results, 3, words).timetable
    assert [(one.kind, one.title.text) for one in lines] == [("going", "Women")]


def test_more_people_to_ask_than_fit_on_the_sheet_leave_no_room_for_a_list(tmp_path):
    people = ", ".join(f'"Reporter {number}"' for number in range(46))
    crowded = CUP.replace('["Press <i>office</i>", "press@example.org"]', f"[{people}]")
    results = judged(write_folder(tmp_path, crowded))
    table, sheet = press_sheet(
        results, results.competition("women"), wording(results.meet.settings)
    )
    assert (table.rows, len(sheet.contact)) == ((), 46)


def test_text_and_sheet_of_a_running_meet_compare_like_with_like(tmp_path):
    # The beam of bib 5 is to come: South has 12.700 + 12.000 on vault and 11.500 on beam. Teams
    # stand by what there is, with what is to come; gymnasts among those who have done as many.
    without = re.sub(r"    5,BB.*\n", "", CUP).replace(', {{ winner("women") }}', "")
    running = judged(write_folder(tmp_path, without))
    words = wording(running.meet.settings)
    (_, _, text), _ = running_texts(running, words)
    lists = dict(line.split(" — ", 1) for line in text.splitlines() if " — " in line)
    to_come = " As it stands: marks are still to come."
    told = [each for each in lists.items() if each[0].startswith(("Team", "All"))]
    assert told == [
        ("Team, by what there is so far",
         "1. North 50.900; 2. South 36.200 (1 mark to come)." + to_come),
        ("All-around, of those who have finished", "1. Alder Ada (North) 25.500; 2. Birch Bea "
         "(North) 25.400; 3. Cedar Cleo (North) 25.200; 4. Bib 4 (South) 24.200."),
        ("All-around, after 1 of 2 apparatus", "1. Elm Eva (South) 12.000." + to_come),
    ]  # fmt: skip
    table, _ = press_sheet(running, running.competition("women"), words)
    rows = [[cell.text for cell in row.cells] for row in table.rows]
    assert rows[:3] == [
        ["", "All-around, of those who have finished (as it stands)", "", ""],
        ["1", "Alder Ada", "25.500", ""],
        ["2", "Birch Bea", "25.400", "−0.100"],
    ]
    at = rows.index(["", "Team, by what there is so far (as it stands)", "", ""])
    assert rows[at + 1 :] == [["1", "North", "50.900", ""], ["2", "South", "36.200", "−14.700"]]
    assert table.rows[-1].cells[1].sub == "1 mark to come"
    team = list_table(running.competition("women"), running.competition("women").team, words)
    shown = [[cell.text for cell in row.cells] for row in team.rows if row.kind == "team"]
    assert [(cells[0], cells[1], cells[-1]) for cells in shown] == [
        ("1", "North", "50.900"), ("2", "South", "36.200"),
    ]  # fmt: skip


def test_what_incidents_cost_in_sentences(cup):
    found = {one.name: one for one in explanations(cup, wording(cup.meet.settings))}
    # Bib 4: 11.500 + 1.000 = 12.500 with E 7.500, level with two on beam. 25.200 in all is level
    # with bib 3, whose best mark (12.800 to 12.700) decides. The team: 24.700 + 13.600 + 12.500.
    withheld = found["Bib 4"]
    assert withheld.happened == ("fall, −1.0",)
    assert withheld.sentences == (
        "Without it, the mark would be 12.500 instead of 11.500.",
        "On the apparatus that would be place 2 instead of 5.",
        "In the all-around that would be 25.200; the place would stay 5.",
        "The team would have 50.800; its place would stay 2.",
    )
    assert withheld.sources[0].startswith("A common figure; its source: ")
    # Bib 3: 12.400 + 0.1 = 12.500; E 7.600 puts her ahead of the two with E 7.500.
    given = found["Cedar Cleo"]
    assert given.happened == ("<u>slip</u>, −0.1 (noted)",)
    assert given.sentences[:2] == (
        "Without it, the mark would be 12.500 instead of 12.400.",
        "On the apparatus that would be place 2 instead of 4.",
    )
    assert given.sources == ("The deduction is as the meet gives it.",)


def test_falls_of_one_gymnast_on_two_apparatus_are_told_each_by_itself(tmp_path):
    text = CUP.replace("    4,BB,fall,,", "    5,VT,fall,,\n    5,BB,fall,0.5,")
    placed = judged(write_folder(tmp_path, text.replace("    3,BB,<u>slip</u>,0.1,noted\n", "")))
    found = explanations(placed, wording(placed.meet.settings))
    # The vault cost four places, the beam, which she won, none: the greater loss stands first.
    assert [(one.routine, one.happened, one.sentences[0]) for one in found] == [
        ("Vault", ("fall, −1.0",), "Without it, the mark would be 13.000 instead of 12.000."),
        (
            "Balance Beam",
            ("fall, −0.5",),
            "Without it, the mark would be 14.100 instead of 13.600.",
        ),
    ]


def test_incidents_stand_in_order_of_what_was_lost(tmp_path):
    # Bib 2: 13.100 on vault wins. Bib 4: from place 5 to 2 on beam. Bib 3: 12.950 on vault, from
    # place 3 to 2. Bib 5 is first on beam and in all; her team, 50.800, stays behind 50.900.
    rows = "5,BB,fall,1.0,\n    3,VT,slip,0.15,\n    4,BB,fall,1.0,\n    2,VT,slip,0.2,"
    text = CUP.replace("4,BB,fall,,\n    3,BB,<u>slip</u>,0.1,noted", rows)
    placed = judged(write_folder(tmp_path, text))
    assert [(placed.gymnasts[one.gymnast].bib, one.lost) for one in costs(placed)] == [
        ("2", (True, True, 1, 200)),
        ("4", (False, True, 3, 1000)),
        ("3", (False, True, 1, 150)),
        ("5", (False, False, 0, 1000)),
    ]


def test_the_complete_book_explains_incidents_and_says_that_it_is_no_result(cup, tmp_path):
    (section,) = book_chapters.incidents(BookSubject(cup, wording(cup.meet.settings)))
    assert section.below.startswith("An explanation, not a result")
    (table,) = section.tables
    told = [[cell.text for cell in row.cells] for row in table.rows]
    assert ["Bib 4", "fall, −1.0"] in [cells[:2] for cells in told]
    assert "Secretname" not in str(told)
    assert "The deduction is as the meet gives it." in [note.text for note in table.notes]
    without = judged(write_folder(tmp_path, CUP.replace("== incidents.csv ==", "== notes.csv ==")))
    assert not list(book_chapters.incidents(BookSubject(without, wording(without.meet.settings))))


def test_what_incidents_cost_while_marks_are_to_come(tmp_path):
    # The beam of bib 5 is to come. Bib 4 is one of four who have done both; beside bib 5, and
    # beside South with its one apparatus, there is nobody to be compared with.
    text = re.sub(r"    5,BB.*\n", "", CUP).replace(', {{ winner("women") }}', "")
    text = text.replace("    4,BB,fall,,", "    4,BB,fall,,\n    5,VT,fall,,")
    placed = judged(write_folder(tmp_path, text))
    found = {one.name: one for one in explanations(placed, wording(placed.meet.settings))}
    assert found["Bib 4"].sentences[1:] == (
        "On the apparatus that would be place 1 so far, instead of 4.",
        "In the all-around that would be 25.200 so far; the place of those with as many apparatus "
        "done would stay 4.",
    )
    assert found["Elm Eva"].sentences == (
        "Without it, the mark would be 13.000 instead of 12.000.",
        "On the apparatus that would be place 1 instead of 5.",
    )


def test_incidents_change_no_result(cup, tmp_path):
    without = CUP.replace("== incidents.csv ==", "== notes.csv ==")
    other = judged(write_folder(tmp_path, without))
    assert not costs(other)
    for one, same in zip(cup.competitions, other.competitions, strict=True):
        assert one.all_around.lines == same.all_around.lines
        assert one.by_apparatus == same.by_apparatus


def test_the_press_page(site):
    text = (site / "press.html").read_text("utf-8")
    page = html.fromstring(text)
    assert "Press <i>office</i>" in page.text_content()
    assert "Until <noon>" not in page.text_content()  # It is of what is printed or pasted.
    assert "<i>office" not in text
    assert "<u>slip" not in text
    assert "Secretname" not in text
    for link in page.xpath("//main//a/@href"):
        target = link.partition("#")
        if target[0]:
            assert (site / target[0]).is_file(), link
        else:
            assert page.xpath("//*[@id=$id]", id=target[2]), link
    headings = [one.text_content() for one in page.xpath("//main//h2")]
    assert headings[0] == "First to tell"
    front, (folded,) = page.xpath("//main/section[1]//li"), page.xpath("//details[summary/h3]")
    assert len(front) == 10
    assert "open" not in folded.attrib
    assert "An explanation, not a result" in page.text_content()


def test_ten_facts_stand_in_front_and_the_rest_is_folded_with_nothing_lost(cup):
    words = wording(cup.meet.settings)
    view, facts = press_view(cup, (), 3, words), notable_facts(cup, words)
    assert [one.kind for one in view.first] == [
        "won", *["record"] * 2, *["won"] * 2, "sweep", "tie", "climb", *["lead"] * 2,
    ]  # fmt: skip
    # Who won the all-around comes first, and of the other winners the team before an apparatus.
    names = [one.list_name for one in view.first if one.kind == "won"]
    assert names == ["All-around", "Team", "Vault"]
    rest = [fact for one in view.folded for fact in one.facts]
    said = [(one.about, one.sentence) for one in (*rest, *view.first)]
    assert sorted(said) == sorted({(one.about, one.sentence) for one in facts})
    assert sum(len(one.explained) for one in view.folded) == len(explanations(cup, words))


def test_facts_in_front_are_of_finals_first_and_said_once():
    results = judged(EXAMPLE)
    words = wording(results.meet.settings)
    found = newsworthy(notable_facts(results, words), results)
    champions = [(one.kind, one.rests_on.list) for one in found[:4]]
    assert champions == [("won", "all-around")] * 4
    assert [one.sentence.split(" (")[0] for one in found[:4]] == [
        "Kesselbräth Odette", "Tjärnlöv Sørin", "Immergrün Juniper", "Umberfold Gawain",
    ]  # fmt: skip
    # The same mark equalled the season's best as well.
    assert found[4].sentence.endswith(
        "made 14.200, a record of the meet; it was 14.100 (Quendolin Ashby, 2029)."
    )
    for kind in {one.kind for one in found[4:]}:
        own = [one for one in found[4:] if one.kind == kind]
        assert len(own) <= 2
    assert len({(one.about, one.sentence) for one in found}) == 10
    bests = (
        best._replace(record="series") if best.record == "meet" else best
        for best in results.meet.bests
    )
    results = replace(results, meet=replace(results.meet, bests=tuple(bests)))
    found = newsworthy(notable_facts(results, words), results)
    assert "made 14.200, a record of the series; it was 14.100" in found[4].sentence


def test_a_clubs_page_is_its_recap(site, cup):
    page = html.fromstring((site / "clubs" / "north.html").read_text("utf-8"))
    text = " ".join(page.text_content().split())
    assert "The hosts Welcome to the recap, Elm Eva." in text
    assert "In the finals Women: Trophy in reserve: Alder Ada" in text
    assert page.xpath("//main//a[text()='the recap']/@href") == ["../pages/recap.html"]
    shared = page.xpath("string(//textarea)")
    assert shared.startswith("North at Cup <b>&</b>, 17 May 2031: 3 gymnasts.\n1. ")
    assert shared.endswith("\nhttps://example.org/cup/clubs/north.html")
    assert len(shared) <= 500
    header = " ".join(page.xpath("string(//header[@class='top'])").split())
    assert "3 gymnasts Gold 2 Silver 4 Bronze 2 1 Alder Ada" in header
    own = html.parse(site / "gymnasts" / "women-3.html").xpath("string(//ul[@class='titles'])")
    assert " ".join(own.split()) == "1 Women: Team 50.900 3 Women: Vault 12.800"
    view = {one.name: one for one in club_views(cup, wording(cup.meet.settings))}["South"]
    assert [(one.apparatus, one.mark, one.names) for one in view.best_marks] == [
        ("Vault", "12.700", "Bib 4"),
        ("Balance Beam", "13.600", "Elm Eva"),
    ]


def test_a_team_of_two_clubs_stands_on_the_pages_of_both_and_is_the_title_of_neither(meet_folder):
    """
    == meet.toml ==
    title = "Cup"
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["VT"]
    ranks = ["team"]
    team = { format = "2-2-2", by = "team" }
    == roster.csv ==
    bib,family_name,club,team
    1,ALDER,North,Both
    2,BIRCH,South,Both
    3,CEDAR,South,South two
    4,DAMSON,South,South two
    == marks.csv ==
    bib,apparatus,mark
    1,VT,13.000
    2,VT,13.000
    3,VT,12.000
    4,VT,12.000
    """
    results = judged(meet_folder)
    view = {one.name: one for one in club_views(results, wording(results.meet.settings))}
    assert [one.name for one in view["North"].placings] == []
    assert [one.name for one in view["South"].placings] == ["South two"]
    teams = {
        name: [row.cells[1].text for row in one.entries[0].tables[0].rows if row.kind == "team"]
        for name, one in view.items()
    }
    assert teams == {"North": ["Both"], "South": ["Both", "South two"]}


def test_an_introduction_is_no_page_by_itself(site):
    assert not (site / "pages" / "north.html").exists()
    home = (site / "index.html").read_text("utf-8")
    assert "The hosts" not in home
    recap = html.fromstring((site / "pages" / "recap.html").read_text("utf-8"))
    assert recap.xpath("//main//a[text()='the hosts']/@href") == ["../clubs/north.html"]
    assert len(recap.xpath("//main//li")) == 4


def test_a_text_to_share_stays_short(meet_folder):
    """
    == meet.toml ==
    title = "Cup"
    [[competition]]
    id = "men"
    title = "Men of all the regions far and wide who came to the hall"
    discipline = "men"
    == roster.csv ==
    bib,family_name,given_name,club
    1,Bartholomew-Featherstonehaugh,Maximilian Alexander,North
    2,Cholmondeley-Marjoribanks,Ferdinand Augustus,North
    == marks.csv ==
    bib,FX,PH,SR,VT,PB,HB
    1,12,12,12,12,12,12
    2,11,11,11,11,11,11
    """
    results = judged(meet_folder)
    (view,) = club_views(results, wording(results.meet.settings))
    assert len(view.placings) == 14
    assert 250 < len(view.shared) <= 420
    assert re.fullmatch(r"North at Cup: 2 gymnasts\.(\n1\. .+?: \d+\.000\.)+", view.shared)


def test_reserves_whom_nobody_put_in_order_have_one_number_in_the_text(tmp_path):
    results = judged(write_folder(tmp_path, """
        == meet.toml ==
        title = "Cup"
        [[competition]]
        id = "women"
        title = "Women"
        discipline = "women"
        apparatus = ["VT"]
        missing_scores = "share"
        ranks = ["all-around"]
        cuts = [{ name = "Final", of = "all-around", places = 1, reserves = 3 }]
        == roster.csv ==
        bib,family_name
        1,Alder
        2,Birch
        3,Cedar
        4,Dale
        == marks.csv ==
        bib,apparatus,mark
        1,VT,13.000
        2,VT,12.000
        3,VT,12.000
        4,VT,11.000
        """))  # fmt: skip
    (_, _, text), _ = running_texts(results, wording(results.meet.settings))
    assert "Reserves: 1st reserve Birch; 1st reserve Cedar; 3rd reserve Dale." in text
    assert "Final — Alder. " in text
