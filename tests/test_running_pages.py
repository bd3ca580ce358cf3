"""What page, book, table and fact say of a meet that runs: the standings, and what is needed."""

from __future__ import annotations

import csv
import json
import re
from collections import defaultdict
from dataclasses import replace
from pathlib import Path

import pytest
from folders import judged, write_folder
from lxml import html
from pypdf import PdfReader
from test_running import DONE, HEAD, MEET

from resultsgen.books.making import write_books
from resultsgen.data.writing import write_exports
from resultsgen.language import ENGLISH
from resultsgen.live.competition import in_front, live
from resultsgen.live.decided import Bound
from resultsgen.live.standings import LiveSession, Standing, Standings
from resultsgen.reading.meet import read_meet
from resultsgen.scoring.results import Results
from resultsgen.theme.theme import find_theme
from resultsgen.views.lists import chapters
from resultsgen.views.lists.standings import session_views
from resultsgen.views.live.announcer import announcer_view
from resultsgen.views.live.decided import bound_sentence
from resultsgen.views.live.leads import course_of_the_lead, highlights, story
from resultsgen.views.live.needs_sheet import needs_view
from resultsgen.views.people.clubs import club_views
from resultsgen.views.people.finding import Asked, NotDecidedError
from resultsgen.views.press import facts
from resultsgen.views.press.notable import notable_facts
from resultsgen.views.site.home import home_view
from resultsgen.views.site.site_map import ANNOUNCER, STANDINGS, list_names
from resultsgen.views.words.wording import Wording
from resultsgen.website.writing import write_site

ROOT = Path(__file__).parent.parent
EVENING, EXAMPLE = ROOT / "tests/example_evening", ROOT / "example_meet"
STANDARD = find_theme("standard")


@pytest.fixture(scope="module")
def evening() -> Results:
    return judged(EVENING)


@pytest.fixture(scope="module")
def site(evening: Results, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("site")
    write_exports(evening, folder)
    write_site(evening, STANDARD, folder)
    return folder


def words_of(element: html.HtmlElement) -> str:
    return " ".join(element.text_content().split())


def page(site: Path, name: str) -> html.HtmlElement:
    return html.parse(site / "competitions" / "evening" / f"{name}.html").getroot()


# The needs sheet.


def test_the_sheet_has_everybody_with_a_mark_to_come_in_order_of_start(site: Path) -> None:
    needed = page(site, "announcer").xpath("//details/ol[@class='needs']//h3/a")
    names = [words_of(one) for one in needed]
    # Rotation 5 of session 2: squad B on vault, C on bars, D on beam, E on floor; A rests.
    assert names == [
        "Alba Netherby",
        "Greta Orrinshaw",
        "Mina Pellworth",
        "Saskia Quillfeather",
        "Elke Ravensby",
        "Hanne Silverlock",
        "Wilma Thornacre",
    ]


def needs_of(site: Path, name: str) -> list[tuple[str, str, str]]:
    """The list, the mark in large and the sentence of all that one gymnast needs."""
    (own,) = (
        one
        for one in page(site, "announcer").xpath("//details/ol[@class='needs']/li")
        if name in words_of(one.find(".//h3"))
    )
    return [
        (words_of(one.find("dt")), words_of(one.find(".//b")), words_of(one.find(".//span")))
        for one in own.iterfind(".//dl/div")
    ]


def test_the_last_one_up_is_told_the_mark_that_ties_and_the_one_that_wins(site: Path) -> None:
    # Bib 11 is done: 9.400 + 9.300 + 9.400 + 9.400 = 37.500. Bib 20 has 9.400 + 9.300 + 9.400
    # = 28.100 and floor to come: 9.400 ties, and one step of 0.050 more wins. The most that the
    # others can still make is 27.800 and 10.000, and 27.650 and 10.000. Second and third are
    # 36.450 and 36.400: 36.400 - 28.100 = 8.300 shares the third place.
    assert needs_of(site, "Wilma Thornacre")[:2] == [
        (
            "All-around: needs for 1st place",
            "9.450",
            "9.450 is good for 1st place as it stands; 9.750 is safe whatever the others do. "
            "9.400 brings level with Ottilie Kestrelle at 37.500 and shares the place.",
        ),
        (
            "All-around: needs for shared 3rd place",
            "8.300",
            "8.300 is good for shared 3rd place as it stands; 9.400 is safe whatever the others "
            "do. 8.300 brings level with Ilse Brackwen at 36.400, and is enough.",
        ),
    ]


def test_what_is_out_of_reach_is_not_told_there(site: Path) -> None:
    # 37.500 - 26.300 = 11.200 ties for the lead, 10.100 for a medal, and 10.000 is the highest.
    found = [told[:2] for told in needs_of(site, "Alba Netherby")]
    assert found == [
        ("All-around: needs to qualify", "9.500"),
        ("Vault: needs to win", "9.450"),
        ("Vault: needs for shared 3rd place", "9.300"),
    ]


def test_through_is_who_stays_through_and_who_can_still_get_in_is_listed(site: Path) -> None:
    # Two of the club of bib 11 can still pass her 37.500 (27.800 and 27.650, and 10.000 each), and
    # the cap is two. Nobody of the clubs of bibs 1 and 3, 36.450 and 36.400, has a mark to come.
    rows = page(site, "qualification").xpath("//tbody/tr")
    told = {words_of(row.find("th/a")): row.xpath("./td[@class='cut']/b") for row in rows}
    through = {name for name, cell in told.items() if cell and "through" in cell[0].get("class")}
    assert through == {"Aldersyke Runa", "Brackwen Ilse"}
    words = {name: cell[0].text if cell else "" for name, cell in told.items()}
    assert words["Kestrelle Ottilie"] == "in so far"
    assert [*words.values()].count("open") == 7
    why = {
        words_of(row.find("th/a")): words_of(row.xpath("./td[@class='text']")[0]) for row in rows
    }
    assert why["Kestrelle Ottilie"] == (
        "not yet sure: at most 2 per club, and Silverlock Hanne and Orrinshaw Greta can end ahead "
        "or level"
    )
    assert why["Castrow Mabel"] == (
        "qualifies only if somebody withdraws: at most 2 per club, and Aldersyke Runa and Garrowby "
        "Pia stand before"
    )
    assert why["Thornacre Wilma"].startswith("7.700 qualifies as it stands")


def test_teams_stand_in_one_order_on_every_page_and_in_the_text(site: Path) -> None:
    order = ["Gymnastics Merrowick", "Brinwick Gymnasts", "TV Ostermarsk", "Halsmere Leap"]
    rows = page(site, "team").xpath("//tbody/tr[contains(@class, 'team')]")
    assert [words_of(row.find("th")) for row in rows] == order
    assert [words_of(row.find("td")) for row in rows] == ["1", "2", "3", "4"]
    home = html.parse(site / "index.html").getroot()
    listed = home.xpath("//div[contains(@class, 'leading')][h3/a[.='Team']]//li/span[@class='who']")
    assert [words_of(one) for one in listed] == [
        f"{order[0]} 3 marks to come", *order[1:3], f"{order[3]} 4 marks to come",
    ]  # fmt: skip
    (line,) = re.findall("Team, .*", (site / "data/results.txt").read_text("utf-8"))
    at = [line.index(name) for name in order]
    assert at == sorted(at)


def test_what_is_decided_stands_below_the_bound_it_rests_on(site: Path) -> None:
    told = [words_of(one) for one in page(site, "announcer").xpath("//ol[@class='aloud']/li")]
    (bound,) = page(site, "announcer").xpath("//p[@class='rule']")
    assert words_of(bound) == (
        "Taking 10.000, the highest mark of the rules, as the highest that can still come."
    )
    assert (
        told[0]
        == "All-around Sure to qualify (Regional evening): Runa Aldersyke and Ilse Brackwen."
    )


@pytest.mark.parametrize(
    ("bound", "told"),
    [
        (None, "Nothing is called decided"),
        (Bound(15000, "given by the meet"), "Taking 15.000, which the meet gives,"),
        (
            Bound(15000, "best mark and an allowance", 14500, 500),
            "Taking 15.000 as the highest mark that can still come: the best so far, 14.500, and "
            "0.500 more.",
        ),
    ],
)
def test_every_bound_says_what_it_rests_on(bound: Bound | None, told: str) -> None:
    assert bound_sentence(bound, Wording()).startswith(told)


TIE_ON_E = """
    == meet.toml ==
    title = "Cup"
    [rules.international]
    marks.step = 0.050
    [[competition]]
    id = "cup"
    title = "Cup"
    discipline = "women"
    phase = "final"
    apparatus = ["VT"]
    ranks = ["apparatus"]
    rules = "international"
    running = { starts = { A = "VT" } }
    == roster.csv ==
    bib,family_name,squad
    1,Adamsky,A
    2,Bellwether,A
    == marks.csv ==
    bib,apparatus,mark,d,e
    1,VT,13.400,5.2,8.200
"""
STANDS = ("marks.step = 0.050", "marks.step = 0.050\n    ties.apparatus.criteria = []")
"""The same with ties that stand."""


def test_a_tie_that_hangs_on_execution_names_the_e_score(tmp_path: Path) -> None:
    # 13.400 with E 8.200 leads. Level on 13.400 the rules compare E: 8.250 is the next step; then
    # D, which a penalty may raise above 5.200.
    results = judged(write_folder(tmp_path, TIE_ON_E))
    (one,) = results.competitions
    (gymnast,) = needs_view(results, one, Wording()).gymnasts
    assert [(aim.mark, aim.sentence) for aim in gymnast.aims] == [
        (
            "13.450",
            "13.450 wins. 13.400 brings level with Adamsky, and is enough with "
            "E 8.250 or more, or with E 8.200 and D 5.300 or more.",
        )
    ]


def test_where_only_a_tie_is_in_reach_the_mark_that_ties_is_told(tmp_path: Path) -> None:
    # 13.400 leads and nobody is taken to surpass 13.400: level is all that is left. With E the
    # tie may be won; where ties stand the lead is shared.
    bounded = TIE_ON_E.replace("running = {", "running = { highest = 13.400,")
    on_e, stands = (
        needs_view(results, results.competitions[0], Wording()).gymnasts[0].aims[0]
        for results in (
            judged(write_folder(tmp_path / "e", bounded)),
            judged(write_folder(tmp_path / "stands", bounded.replace(*STANDS))),
        )
    )
    assert (on_e.mark, on_e.sentence) == (
        "13.400",
        "13.400 is level at best (1st place). 13.400 brings level with Adamsky, and is enough with "
        "E 8.250 or more, or with E 8.200 and D 5.300 or more.",
    )
    assert (stands.mark, stands.sentence) == (
        "13.400",
        "13.400 is good for shared 1st place. 13.400 brings level with Adamsky and shares the "
        "place.",
    )


def test_the_printed_sheet_is_one_page_with_the_marks_of_the_next(
    evening: Results, tmp_path: Path
) -> None:
    write_books(evening, STANDARD, tmp_path, lambda *_: None, cache=tmp_path / "cache")
    (sheet,) = PdfReader(tmp_path / "evening-needs.pdf").pages
    text = " ".join(sheet.extract_text().split())
    for told in ("Netherby Alba", "9.500", "Taking 10.000", "After them: "):
        assert told in text
    assert "Thornacre Wilma" in text.partition("After them: ")[2]


# The standings.


def sums_by_rotation() -> dict[tuple[str, int, str], int]:
    """What everybody has after each rotation, added up from the files of the example alone."""
    with (EXAMPLE / "roster.csv").open(encoding="utf-8") as file:
        session = {row["bib"]: row["session"] for row in csv.DictReader(file)}
    found: dict[tuple[str, int, str], int] = defaultdict(int)
    with (EXAMPLE / "marks.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            if row["bib"].startswith("1") and row["vault"] != "2" and row["mark"]:
                for rotation in range(int(row["rotation"]), 5):
                    whole = int(row["mark"].replace(".", ""))
                    found[session[row["bib"]], rotation, row["bib"]] += whole
    return found


def test_the_totals_after_each_rotation_are_the_marks_added_up(tmp_path: Path) -> None:
    results = judged(EXAMPLE)
    write_exports(results, tmp_path)
    file = tmp_path / "data" / "women-senior-qualification" / "standings.csv"
    with file.open(encoding="utf-8") as text:
        rows = [row for row in csv.DictReader(text) if row["list"] == "all-around"]
    sums = sums_by_rotation()
    for row in rows:
        assert (
            int(row["total"].replace(".", ""))
            == sums[row["session"], int(row["rotation"]), row["bib"]]
        )
    assert len(rows) > 70


def test_after_each_rotation_a_page_says_who_moved_in_words_and_with_an_arrow(site: Path) -> None:
    (session,) = page(site, "standings").xpath("//*[@id='all-around-1']")
    last = session.find(".//table")
    moved = [
        (words_of(row.find("th/a")), words_of(row.find("td[@class='number']")))
        for row in last.iterfind("tbody/tr")
    ]
    assert moved[0] == ("Aldersyke Runa", "=no change")
    assert moved[3] == ("Hestercombe Ada", "↑ 1up 1 place")
    assert moved[4] == ("Castrow Mabel", "↓ 2down 2 places")


def test_who_has_done_fewer_apparatus_stands_in_a_table_of_those(evening: Results) -> None:
    (one,) = evening.competitions
    first = session_views(one, Wording())[0]
    second = first.rotations[3]
    # After rotation 2, squads D and E have rested once: they have done one apparatus.
    assert second.title == "After rotation 2"
    assert [group.title for group in second.groups] == [
        "2 apparatus done of 4",
        "1 apparatus done of 4",
    ]
    assert [row.cells[1].text for row in second.groups[1].table.rows] == [
        "Jessamy Coralie",
        "Inglemoor Sanne",
        "Hestercombe Ada",
        "Garrowby Pia",
    ]


def test_who_leads_one_of_several_sessions_is_said_to_lead_that_one(site: Path) -> None:
    # Kestrelle of session 2 has 37.500.
    told = [words_of(one) for one in page(site, "standings").xpath("//main//li")]
    assert (
        "Session 1: Aldersyke Runa leads after rotation 5 with 36.450, 0.050 ahead of "
        "Brackwen Ilse." in told
    )
    climbed = [one for one in told if "gained most" in one]
    assert climbed
    assert all(one.startswith("Session ") for one in climbed)


OF_TEAMS = """
    == meet.toml ==
    title = "Match"
    [[competition]]
    id = "cup"
    title = "Cup"
    discipline = "women"
    apparatus = ["VT", "UB"]
    ranks = ["team"]
    team = { format = "2-2-2", by = "club" }
    running = { starts = { A = "VT", B = "VT" } }
    == roster.csv ==
    bib,family_name,club,session,squad
    1,Adamsky,North,1,A
    2,Bellwether,North,1,B
    3,Corvane,South,1,A
    4,Dunmore,South,SESSION,B
    5,Elmsworth,West,2,A
    6,Farrow,West,2,B
    == marks.csv ==
    bib,VT,UB
    6,9.8,9.8
    1,9.0,9.1
    2,9.2,9.3
    3,9.4,9.5
    4,9.6,9.7
    5,9.8,9.8
"""


def test_a_team_alone_in_its_session_leads_nobody_and_who_is_in_several_is_named(tmp_path) -> None:
    def told(session: str) -> dict[str, tuple[str, ...]]:
        text = OF_TEAMS.replace("SESSION", session)
        results = judged(write_folder(tmp_path / session, text))
        facts = notable_facts(results, Wording())
        assert any(fact.kind == "lead" for fact in facts) == (session == "1")
        views = session_views(results.competitions[0], Wording())
        return {view.title: view.sentences for view in views}

    assert told("2") == {
        name: ("Left out: South, with gymnasts in several sessions.",)
        for name in ("Team: Session 1", "Team: Session 2")
    }
    first, second = told("1").values()
    assert first[1] == "South led after every rotation."
    assert second == ()


def test_nobody_led_longest_where_two_led_as_long() -> None:
    names = {1: "Ada", 2: "Bea"}

    def told(*fronts: int) -> list[str]:
        after = [
            Standings(
                rotation, tuple([(Standing(key, rotation, 1, 9000, 0, None, None),)]), 0, True
            )
            for rotation, key in enumerate(fronts, start=1)
        ]
        return [*story(LiveSession("", tuple(after)), names.__getitem__, Wording())]

    assert "Ada led longest: after rotations 1 to 2." in told(1, 1, 2)
    assert not [one for one in told(1, 1, 2, 2) if "longest" in one]


def test_a_page_tells_the_story_of_the_lead() -> None:
    results = judged(EXAMPLE)
    one = results.competition("women-senior-all-around")
    (session,) = session_views(one, Wording())
    assert "The lead changed 3 times" in session.sentences[1]
    assert session.order is not None
    assert session.order.steps == ("1", "2", "3", "4")
    assert [course.places[-1] for course in session.order.courses] == list(range(1, 9))


@pytest.mark.parametrize(
    ("fronts", "always", "told"),
    [
        ({1: (1,), 2: (1,)}, True, "Ada led after every rotation."),
        (
            {2: (1,), 4: (1,)},
            False,
            "Ada led each time that all had done as many apparatus: after rotations 2 and 4.",
        ),
        (
            {1: (1, 2), 2: (1,), 3: (1,)},
            True,
            "The lead was shared at first and passed to nobody else: "
            "Ada and Bea after rotation 1; Ada after rotations 2 and 3.",
        ),
        (
            {1: (1,), 3: (1,), 4: (2,)},
            False,
            "The lead changed once: Ada after rotations 1 and 3; Bea after rotation 4.",
        ),
    ],
)
def test_the_course_of_the_lead_says_what_was_compared(fronts, always, told) -> None:
    after = [
        Standings(
            rotation, (tuple(Standing(key, 1, 1, 9000, 0, None, 100) for key in keys),), 0, True
        )
        for rotation, keys in fronts.items()
    ]
    uneven = () if always else (replace(after[0], rotation=9, level=False),)
    session = LiveSession("", (*after, *uneven))
    assert session.always_level == always
    names = {1: "Ada", 2: "Bea"}.__getitem__
    assert course_of_the_lead(session, names, Wording()) == told


TWO = TIE_ON_E.replace('["VT"]', '["VT", "BB"]').replace('["apparatus"]', '["all-around"]') + (
    "    1,BB,13.400,5.2,8.200\n    2,BB,10.000,2.0,8.000\n"
)
"""Bib 1 is done with 26.800; bib 2 has 10.000 and one to come."""


@pytest.mark.parametrize(
    ("phase", "highest", "told"),
    [
        ("final", "13.400", "Adamsky has won, if no mark above 13.400 comes."),
        ("final", "16.800", "Sure of the first place, if no mark above 16.800 comes: Adamsky."),
        (
            "qualification",
            "13.400",
            "Sure of the first place, if no mark above 13.400 comes: Adamsky.",
        ),
    ],
)
def test_who_is_sure_of_the_first_place_has_won_only_a_final(
    tmp_path, phase, highest, told
) -> None:
    # 10.000 and 16.800 would be level; where ties stand, both would be first.
    cut = f"""running = {{ highest = {highest} }}
    cuts = [{{ name = "F", of = "all-around", places = 1 }}]"""
    text = TWO.replace('running = { starts = { A = "VT" } }', cut).replace(
        "marks.step = 0.050", "marks.step = 0.050\n    ties.all-around.criteria = []"
    )
    results = judged(write_folder(tmp_path, text.replace('"final"', f'"{phase}"')))
    (one,) = results.competitions
    (decided,) = needs_view(results, one, Wording()).decided
    assert decided.sentences[0] == told
    # Of two nobody can miss a medal place, whatever comes.
    assert decided.sentences[1] == (
        "Sure of a medal place: Adamsky."
        if phase == "final"
        else f"Sure to qualify (F), if no mark above {highest} comes: Adamsky."
    )


def test_who_is_sure_whatever_comes_is_told_apart_from_who_rests_on_a_bound(tmp_path) -> None:
    # Bib 3 alone has a mark to come, and can pass bib 1 only with more than there is.
    cut = """running = { highest = 13.400 }
    cuts = [{ name = "F", of = "all-around", places = 2 }]"""
    text = TWO.replace('running = { starts = { A = "VT" } }', cut)
    text = text.replace("    2,Bellwether,A\n", "    2,Bellwether,A\n    3,Corvane,A\n")
    text = text.replace("    2,BB,10.000,2.0,8.000\n", "    2,BB,13.000,5.0,8.000\n")
    text += "    2,VT,13.000,5.0,8.000\n    3,VT,8.000,2.0,6.000\n"
    results = judged(write_folder(tmp_path, text.replace('"final"', '"qualification"')))
    (decided,) = needs_view(results, results.competitions[0], Wording()).decided
    assert decided.decided[-2:] == (
        "Sure to qualify (F): Adamsky.",
        "Sure to qualify (F), if no mark above 13.400 comes: Bellwether.",
    )


def test_who_cannot_be_caught_by_the_rules_has_won(tmp_path: Path) -> None:
    text = TWO.replace("marks.step = 0.050", "marks.step = 0.050\n    marks.highest = 13.400")
    results = judged(write_folder(tmp_path, text))
    (decided,) = needs_view(results, results.competitions[0], Wording()).decided
    assert decided.sentences[0] == "Adamsky has won and can no longer be caught."


def test_many_who_can_still_come_first_are_counted(tmp_path: Path) -> None:
    # 15.000 can still come; bib 2 is done with 13.000 and cannot pass the 13.400 of bib 1.
    others = "".join(f"    {bib},Name {bib},A\n" for bib in range(3, 12))
    text = TIE_ON_E.replace("running = {", "running = { highest = 15.000,")
    text = text.replace("    2,Bellwether,A\n", f"    2,Bellwether,A\n{others}")
    results = judged(write_folder(tmp_path, text + "    2,VT,13.000,5.0,8.000\n"))
    (decided,) = needs_view(results, results.competitions[0], Wording()).decided
    assert decided.sentences[0] == "10 of 11 can still come first."


def test_a_page_is_there_where_it_has_something_to_say(evening: Results) -> None:
    names = {one.competition.id: list_names(one) for one in judged(EXAMPLE).competitions}
    assert STANDINGS not in names["women-junior"]  # Its file of marks has no rotation.
    assert STANDINGS not in names["women-senior-apparatus"]  # No list of several apparatus.
    assert STANDINGS in names["men-junior"]
    assert all(ANNOUNCER in one for one in names.values())  # It says who won.
    assert {STANDINGS, ANNOUNCER} <= set(list_names(evening.competitions[0]))


def test_a_cut_is_called_in_the_language_while_it_is_open(evening: Results) -> None:
    words = Wording(texts={"Regional evening": "Kreisabend", "Women, all ages": "Frauen"})
    for show in (announcer_view, needs_view):
        told = str(show(evening, evening.competitions[0], words))
        assert "Kreisabend" in told
        assert "Regional evening" not in told


def test_the_books_have_the_standings_by_rotation(evening: Results) -> None:
    (section,) = chapters.standings(chapters.BookSubject(evening, Wording()))
    whole = section.tables[0]
    assert [row.cells[1].text for row in whole.rows][:2] == ["Aldersyke Runa", "Brackwen Ilse"]
    assert [cell.text for cell in whole.rows[0].cells[2:]] == [
        "9.100", "18.250", "27.200", "36.450", "36.450",
    ]  # fmt: skip
    assert [cell.place for cell in whole.rows[0].cells[2:]] == ["3", "1", "2", "1", "1"]


# Facts and data.


def test_facts_of_the_running_meet(evening: Results) -> None:
    asked = Asked(evening, ENGLISH)
    after = facts.standing(asked, "evening", 2, session="1")
    assert [(one.place, one.name, one.total) for one in after[:2]] == [
        ("1", "Aldersyke Runa", "18.250"),
        ("1", "Brackwen Ilse", "18.250"),
    ]
    assert facts.needs(asked, "evening", "20") == (
        "9.450 is good for 1st place as it stands; 9.750 is safe whatever the others do. "
        "9.400 brings level with Kestrelle Ottilie at 37.500 and shares the place."
    )
    assert facts.needs(asked, "evening", "14") == (
        "11.250 would be needed, more than can still come."
    )
    assert facts.lead_changes(Asked(judged(EXAMPLE)), "women-senior-all-around") == 3


HALL = """
    == meet.toml ==
    title = "Cup"
    [[competition]]
    id = "cup"
    title = "Cup"
    discipline = "women"
    apparatus = ["UB", "BB"]
    ranks = ["all-around", "apparatus", "team"]
    rules = "club-ten"
    team = { format = "2-2-2", by = "club" }
    running = { starts = { A = "UB" }, highest = 9.800 }
    == roster.csv ==
    bib,family_name,club,squad,guest
    1,Adamsky,North,A,
    2,Bellwether,North,A,
    3,Corvane,South,A,
    4,Dunmore,South,A,
    5,Elsworth,North,A,yes
    == marks.csv ==
    bib,apparatus,mark
    5,UB,9.500
"""
"""A running meet of the club in which so far only a guest has a mark."""


def test_a_page_never_says_of_somebody_with_a_mark_to_come_that_there_is_none(
    tmp_path: Path,
) -> None:
    first = Asked(judged(write_folder(tmp_path / "first", HALL)))
    assert facts.needs(first, "cup", "5") == "Elsworth takes no place."
    with pytest.raises(NotDecidedError, match="another apparatus to do first"):
        facts.needs(first, "cup", "1", "BB")
    later = judged(write_folder(tmp_path / "later", HALL + "    1,UB,9.000\n    2,UB,DNF\n"))
    told = [facts.needs(Asked(later), "cup", *of) for of in (("1", "UB"), ("2",))]
    assert told == ["Uneven Bars: Adamsky has no mark to come.", "Bellwether takes no place."]


def test_after_the_first_of_two_vaults_nobody_leads(tmp_path: Path) -> None:
    # Bib 1 has an average of 13.200 of two vaults, bib 3 one vault of 13.000: more than 13.000 is
    # no lead, but 26.450 of both.
    text = TIE_ON_E.replace("running = {", "vaults = 2\n    running = {")
    text = text.replace("squad\n", "squad,entered\n").replace(",A\n", ",A,VT VT2\n")
    text = text.replace("    == marks", "    3,Corvane,A,VT VT2\n    == marks").replace(
        "d,e\n", "vault\n"
    )
    text = text.replace("13.400,5.2,8.200", "13.400,1") + "    1,VT,13.000,2\n    3,VT,13.000,1\n"
    results = judged(write_folder(tmp_path, text))
    aims = {
        one.name.text: [aim.sentence for aim in one.aims if "1st place" in aim.sentence]
        for one in needs_view(results, results.competitions[0], Wording()).gymnasts
    }
    assert [one.partition(". ")[2] for one in aims["Bellwether"]] == [
        "26.400 in all brings level with Adamsky at 13.200; how the tie falls is open."
    ]
    assert len(aims["Corvane"]) == 1


def test_who_is_to_be_passed_while_on_the_way_asks_for_no_least_total(tmp_path: Path) -> None:
    marks = "    1,UB,8.000\n    2,UB,9.000\n"
    asked = Asked(judged(write_folder(tmp_path, HALL + marks)))
    assert facts.needs(asked, "cup", "1") == (
        "1.001 is good for 1st place as it stands; even 9.800 depends on the others."
    )


def test_where_nobody_leads_yet_a_page_waits(tmp_path: Path) -> None:
    asked = Asked(judged(write_folder(tmp_path, HALL)))
    for listed in ("all-around", "UB", "team"):
        with pytest.raises(NotDecidedError, match="nobody leads"):
            facts.leader(asked, "cup", listed)


def test_a_best_mark_of_a_guest_says_so(tmp_path: Path) -> None:
    results = judged(write_folder(tmp_path, HALL))
    (told,) = facts.notable(Asked(results), "cup", "best-of-day")
    assert told == "Uneven Bars: The best mark so far, women: 9.500 by Elsworth (North, guest)."
    best = [made.names for one in club_views(results, Wording()) for made in one.best_marks]
    assert best == ["Elsworth (guest)"]


def test_a_team_that_has_less_in_all_is_not_said_to_have_passed_the_leaders(
    tmp_path: Path,
) -> None:
    # South has 18.000 on the bars and 8.500 of one on the beam, North 9.700 of one on each: 19.400
    # is more than 18.000, and less than 26.500.
    marks = """    3,UB,9.000
    4,UB,9.000
    3,BB,8.500
    1,UB,9.700
    1,BB,9.700
"""
    results = judged(write_folder(tmp_path, HALL + marks))
    (told,) = [
        one.sentences
        for one in session_views(results.competitions[0], Wording())
        if one.title == "Team"
    ]
    assert [one for one in told if "North" in one] == []


def test_the_highest_that_the_meet_states_counts_where_the_rules_have_a_higher_one(
    tmp_path: Path,
) -> None:
    results = judged(write_folder(tmp_path, HALL))
    assert bound_sentence(live(results)["cup"].bound, Wording()).startswith(
        "Taking 9.800, which the meet gives,"
    )
    _, problems = read_meet(write_folder(tmp_path / "above", HALL.replace("9.500", "9.850")))
    assert [one.code for one in problems] == ["above-the-stated-highest"]
    higher = judged(write_folder(tmp_path / "higher", HALL.replace("9.800", "11.000")))
    assert bound_sentence(live(higher)["cup"].bound, Wording()).startswith(
        "Taking 10.000, the highest mark of the rules,"
    )


def test_what_is_not_there_is_told_with_what_there_is(evening: Results) -> None:
    asked = Asked(evening, ENGLISH)
    with pytest.raises(LookupError, match="there are: 1, 2"):
        facts.standing(asked, "evening", 1)
    with pytest.raises(LookupError, match="there are: 1, 2, 3, 4, 5"):
        facts.standing(asked, "evening", 6, session="1")
    told = facts.needs(asked, "evening", "1")
    assert told == "Aldersyke Runa has no mark to come."


def test_the_whole_results_tell_the_same_as_the_tables(site: Path) -> None:
    whole = json.loads((site / "data" / "results.json").read_text("utf-8"))
    (told,) = whole["competitions"]
    with (site / "data" / "evening" / "needs.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert [(one["wins"], one["words"]) for one in told["needs"]] == [
        (row["wins"], row["words"]) for row in rows
    ]
    with (site / "data" / "evening" / "standings.csv").open(encoding="utf-8") as file:
        totals = [row["total"] for row in csv.DictReader(file)]
    assert totals == [
        line["total"]
        for session in told["standings"]
        for after in session["rotations"]
        for line in after["lines"]
    ]
    assert told["highest"] == "10.000"


def test_a_withheld_name_is_nowhere_while_the_meet_runs(tmp_path: Path) -> None:
    rows = "".join(
        f"    {bib},{part},{mark}\n" for bib, own in DONE.items() for part, mark in own.items()
    )
    roster = MEET.replace("start_order\n", "start_order,publish\n")
    roster = re.sub(r"(,[AB],[0-9])\n", r"\1,\n", roster).replace("A,2,\n", "A,2,no\n")
    results = judged(write_folder(tmp_path / "meet", roster + HEAD + rows))
    write_exports(results, tmp_path)
    write_site(results, STANDARD, tmp_path)
    made = [one for one in tmp_path.rglob("*.*") if "meet" not in one.parts and one.is_file()]
    told = [one.name for one in made if b"Bellwether" in one.read_bytes()]
    assert len(made) > 20
    assert told == []
    sheet = html.parse(tmp_path / "competitions" / "cup" / "announcer.html").getroot()
    assert [words_of(one) for one in sheet.xpath("//details/ol[@class='needs']//h3/a")] == ["Bib 2"]


# What is enough as it stands, and what is safe.

BEAM = """
    == meet.toml ==
    title = "Beam"
    [rules.international]
    marks.step = 0.050
    [[competition]]
    id = "beam"
    title = "Beam"
    discipline = "women"
    apparatus = ["BB"]
    phase = "{phase}"
    ranks = ["apparatus"]
    running = {{ highest = 16.000 }}
    {cuts}
    == roster.csv ==
    bib,family_name,club
    1,Adamsky,North
    2,Bellwether,North
    3,Corvane,South
    4,Dunmore,South
    == marks.csv ==
    bib,apparatus,mark,d,e
    1,BB,14.000,5.500,8.500
    2,BB,{second},{second_d},{second_e}
"""
TWO_THROUGH = 'cuts = [{ name = "Final", of = "apparatus", places = 2, reserves = 0, cap = 0 }]'


def beam(
    folder: Path, more: str = "", second: str = "13.500,5.200,8.300", **settings: str
) -> Results:
    mark, d, e = second.split(",")
    values = {"phase": "final", "cuts": ""} | settings
    text = BEAM.format(second=mark, second_d=d, second_e=e, **values)
    return judged(write_folder(folder, text + more))


def sentences(results: Results) -> dict[tuple[str, str], str]:
    (one,) = results.competitions
    view = needs_view(results, one, Wording())
    return {(each.name.text, aim.mark): aim.sentence for each in view.gymnasts for aim in each.aims}


THIRD = "    3,BB,13.000,5.000,8.000\n"


def test_level_on_e_and_d_a_medal_place_is_shared_and_enough(tmp_path: Path) -> None:
    # 13.000 with E 8.000 leaves D 5.000 or, with a penalty, more: level with the third, or ahead.
    results = beam(tmp_path, THIRD)
    assert sentences(results)["Dunmore", "13.050"] == (
        "13.050 is good for 3rd place. 13.000 brings level with Corvane, and is enough with E "
        "8.000 or more."
    )
    after = beam(tmp_path / "after", THIRD + "    4,BB,13.000,5.000,8.000\n")
    assert [one.place for one in after.competitions[0].by_apparatus["BB"].lines] == [1, 2, 3, 3]


def test_with_equal_e_the_d_score_decides_about_the_lead(tmp_path: Path) -> None:
    # E 8.500 and a penalty of 0.100 leave D 5.600 for 14.000, against 5.500.
    told = sentences(beam(tmp_path, THIRD))["Dunmore", "14.050"]
    assert told == (
        "14.050 wins. 14.000 brings level with Adamsky, and is enough with E "
        "8.550 or more, or with E 8.500 and D 5.600 or more."
    )
    marks = tmp_path / "marks.csv"
    head, *rows = marks.read_text("utf-8").splitlines()
    rows = [f"{head},penalty", *(f"{row}," for row in rows), "4,BB,14.000,5.600,8.500,0.100"]
    marks.write_text("\n".join(rows), "utf-8")
    (after,) = judged(tmp_path).competitions
    assert after.by_apparatus["BB"].lines[0].gymnast.bib == "4"


def test_enough_for_a_cut_as_it_stands_is_not_called_safe(tmp_path: Path) -> None:
    # With 13.050 bib 3 is second of three, and bib 4 can still make 16.000: only more than the
    # 14.000 of the first is safe.
    results = beam(tmp_path, second="13.000,5.000,8.000", phase="qualification", cuts=TWO_THROUGH)
    assert sentences(results)["Corvane", "13.050"] == (
        "13.050 qualifies as it stands (Final); 14.050 is safe whatever the others do. 13.000 "
        "brings level with Bellwether, and is enough with E 8.000 or more."
    )


def test_who_lost_the_tie_for_good_is_not_among_those_who_can_still_come_first(
    tmp_path: Path,
) -> None:
    # Both have 14.000, and bib 2 the lower E: whatever bib 4 makes, bib 1 stays ahead of her.
    results = beam(tmp_path, THIRD, second="14.000,5.600,8.400")
    (decided,) = needs_view(results, results.competitions[0], Wording()).decided
    assert decided.sentences[0] == "Only these can still come first: Adamsky and Dunmore."


# Who leads, and how many are still to come.

LEAGUE = """
    == meet.toml ==
    title = "League"
    [[competition]]
    id = "match"
    title = "Match"
    discipline = "women"
    ranks = ["team"]
    rules = "club-ten"
    team = { format = "3-3-2", by = "club" }
    == roster.csv ==
    bib,family_name,club
    1,Adamsky,North
    2,Bellwether,North
    3,Corvane,North
    4,Dunmore,South
    5,Elmsworth,South
    6,Farrow,South
    == marks.csv ==
    bib,VT,UB,BB,FX
    1,8.0,8.0,8.0,8.0
    2,8.0,8.0,8.0,8.0
    3,8.0,8.0,8.0,8.0
    4,9.5,9.5,9.5,
    5,9.5,9.5,9.5,9.5
    6,,,,9.5
"""


def test_a_team_that_has_less_does_not_lead_because_it_is_through(tmp_path: Path) -> None:
    # North is over with all four, 64.000. South has two marks on three apparatus and two on floor,
    # 76.000, and is over with none: bib 6 can still go up three times, bib 4 once.
    results = judged(write_folder(tmp_path, LEAGUE))
    (match,) = results.competitions
    (team,) = highlights(results, match, 3, Wording())
    assert team.title == "Team, by what there is so far"
    assert [(one.place, one.name, one.total, one.sub) for one in team.rows] == [
        ("1", "South", "76.000", "4 marks to come"),
        ("2", "North", "64.000", ""),
    ]
    (told,) = home_view(results, 3, Wording()).timetable
    assert told.state == "Under way: 2 gymnasts have marks to come"


def test_what_a_team_can_still_make_counts_the_marks_it_has(tmp_path: Path) -> None:
    # Of two marks that count, floor holds 9.500; bib 6 did not start on floor, so that only bib 4
    # can add one, of at most 10.000. On the other three, bib 6 can put 10.000 beside 9.500.
    text = LEAGUE.replace("6,,,,9.5", "6,,,,DNS")
    listed = live(judged(write_folder(tmp_path, text)))["match"].lists["team"]
    south = next(one for one in listed.prospects if one.key == 1)
    assert (south.best, south.worst, south.complete) == (1, 1, False)
    assert [one.total for one in listed.so_far] == [66500, 64000]
    north = next(one for one in listed.prospects if one.key == 0)
    assert (north.best, north.worst) == (2, 2)


def test_all_who_have_a_mark_to_come_on_any_list_are_counted(tmp_path: Path) -> None:
    text = LEAGUE.replace('ranks = ["team"]', 'ranks = ["team", "apparatus"]')
    text = text.replace("3,8.0,8.0,8.0,8.0", "3,8.0,,8.0,8.0")
    (told,) = home_view(judged(write_folder(tmp_path, text)), 3, Wording()).timetable
    assert told.state == "Under way: 3 gymnasts have marks to come"


def test_a_gymnast_who_has_more_with_less_done_leads(tmp_path: Path) -> None:
    text = LEAGUE.replace('ranks = ["team"]', 'ranks = ["all-around", "team"]')
    text = text.replace("1,8.0,8.0,8.0,8.0", "1,7.0,7.0,7.0,7.0")
    text = text.replace("5,9.5,9.5,9.5,9.5", "5,9.5,9.5,9.5,")
    results = judged(write_folder(tmp_path, text.replace("6,,,,9.5", "6,,,,")))
    assert facts.leader(Asked(results, ENGLISH)) == "Bellwether and Corvane"
    lower = text.replace("8.0,8.0,8.0,8.0", "7.1,7.1,7.1,7.1").replace("6,,,,9.5", "6,,,,")
    results = judged(write_folder(tmp_path / "lower", lower))
    # 28.400 with all done, and 28.500 with three.
    assert facts.leader(Asked(results, ENGLISH)) == "Dunmore and Elmsworth"
    # 28.200 with three is compared with nobody who has done all.
    behind = lower.replace("5,9.5,9.5,9.5,", "5,9.4,9.4,9.4,")
    results = judged(write_folder(tmp_path / "behind", behind))
    ranking = results.competition("match").all_around
    assert ranking
    told = [(one.place, one.done, one.total) for one in in_front(results, ranking)]
    assert told == [(1, 3, 28500), (2, 4, 28400), (2, 4, 28400), (4, 4, 28000)]


def test_a_club_tells_places_of_what_has_been_won(tmp_path: Path) -> None:
    # Neither of a list with marks to come, nor of one that leads on to a final.
    for number, (text, told) in enumerate([
        (LEAGUE, False),
        (LEAGUE.replace("6,,,,9.5", "6,8,8,8,9.5").replace("9.5,\n", "9.5,9.5\n"), True),
    ]):  # fmt: skip
        results = judged(write_folder(tmp_path / str(number), text))
        shared = [one.shared for one in club_views(results, Wording())]
        assert [("Team, Match" in one) for one in shared] == [told, told]
    final = text.replace("team = {", 'phase = "qualification"\n    team = {')
    cut = 'cuts = [{ name = "Final", of = "team", places = 1 }]\n    == roster.csv =='
    results = judged(write_folder(tmp_path / "cut", final.replace("== roster.csv ==", cut)))
    assert not any("Team, Match" in one.shared for one in club_views(results, Wording()))


SESSIONS = """
    == meet.toml ==
    title = "Two sessions"
    [[competition]]
    id = "cup"
    title = "Cup"
    discipline = "women"
    rules = "club-ten"
    running = { starts = { A = "VT", B = "VT" } }
    == roster.csv ==
    bib,family_name,session,squad
    1,Adamsky,1,A
    2,Bellwether,1,A
    3,Corvane,2,B
    4,Dunmore,2,B
    5,Elmsworth,2,B
    6,Farrow,2,B
    == marks.csv ==
    bib,VT,UB,BB,FX
    1,9.5,9.5,9.5,9.5
    2,9.4,9.4,9.4,9.4
    3,8.0,9.0,8.5,8.5
    4,8.1,8.2,8.2,8.2
    5,8.2,8.1,8.1,8.1
    6,8.3,8.0,8.0,8.0
"""


def test_a_climb_within_a_session_says_so(tmp_path: Path) -> None:
    results = judged(write_folder(tmp_path, SESSIONS))
    (told,) = (one.sentence for one in notable_facts(results, Wording()) if one.kind == "climb")
    assert told == "Corvane climbed from place 4 to place 1 of session 2 in rotation 2."
