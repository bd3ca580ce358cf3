"""The page of who speaks, mark by mark: what is said is in sight, and is what the results say."""

from __future__ import annotations

import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from browsing import opened, served
from folders import judged, write_folder
from test_accessibility import ALIKE, AXE, DRAWN, found
from test_running import HEAD, MEET

from resultsgen.files.cache import Cache
from resultsgen.history.publication import Publication
from resultsgen.live.competition import live
from resultsgen.live.upcoming import upcoming
from resultsgen.meet.settings import Screen
from resultsgen.publishing.following import with_history
from resultsgen.publishing.notes import not_handed_out
from resultsgen.publishing.recording import next_publication
from resultsgen.scoring.results import Results
from resultsgen.theme.theme import find_theme
from resultsgen.views.handouts.score_sheets import score_sheets
from resultsgen.views.lists.chapters import start_lists
from resultsgen.views.lists.rankings import list_table
from resultsgen.views.lists.sections import BookSubject
from resultsgen.views.lists.start_lists import start_list_tables
from resultsgen.views.live.announcer import AnnouncerView, announcer_view
from resultsgen.views.live.screen import screen_view
from resultsgen.views.site.home import home_view
from resultsgen.views.site.site_map import addresses
from resultsgen.views.words.wording import Wording, wording
from resultsgen.website import rendering
from resultsgen.website.pages import Subject, announcer
from resultsgen.website.rendering import rendered_pages
from resultsgen.website.site_page import SitePage
from resultsgen.website.writing import UNTIL_MADE, write_site

EVENING = Path(__file__).parent / "example_evening"

MISSING = (
    "14,VT,9.100", "15,UB,9.350", "17,BB,9.200", "19,FX,9.000", "16,UB,8.900", "18,BB,8.800",
    "20,FX,9.400",
)  # fmt: skip
"""The marks that are to come in the example."""
ROWS = (*(EVENING / "marks.csv").read_text("utf-8").split()[1:], *MISSING)


@pytest.fixture(scope="module")
def moments(tmp_path_factory: pytest.TempPathFactory) -> tuple[Results, ...]:
    """The evening before its first mark and after each, as it is published mark by mark."""
    folder = tmp_path_factory.mktemp("evening") / "meet"
    shutil.copytree(EVENING, folder)
    head = "bib,apparatus,mark"
    found: list[Results] = []
    kept: list[Publication] = []
    for count in range(len(ROWS) + 1):
        told = [head, *ROWS[:count], ""]
        (folder / "marks.csv").write_text("\n".join(told), "utf-8")
        results = judged(folder)
        now = next_publication(results, kept, results.meet.settings.published)
        kept = [each for each in kept if each.number < now.number] + [now]
        found.append(with_history(results, kept))
    return tuple(found)


def view_of(results: Results) -> AnnouncerView:
    (one,) = results.competitions
    return announcer_view(results, one, Wording())


@pytest.fixture(scope="module")
def address(moments: tuple[Results, ...], tmp_path_factory: pytest.TempPathFactory) -> str:
    """The site before the last seven marks, in a club's theme."""
    folder = tmp_path_factory.mktemp("site")
    write_site(moments[-1 - len(MISSING)], find_theme("gala"), folder)
    with served(folder) as there:
        yield there


def test_whose_mark_comes_next_is_up_on_her_apparatus(moments: tuple[Results, ...]) -> None:
    for row, results in zip(ROWS, moments, strict=False):
        bib, part, _ = row.split(",")
        (now,) = live(results).values()
        first = {one.apparatus: one.keys[0] for one in reversed(upcoming(now))}
        assert results.gymnasts[first[part]].bib == bib, row


IN_SIGHT = """text => {
    const made = new DOMParser().parseFromString(text, "text/html");
    document.querySelector("main").replaceWith(made.querySelector("main"));
    const first = [...document.querySelectorAll(".aloud li, .upnext .who, .won")].slice(0, 1);
    const up = [...document.querySelectorAll(".upnext .who, .who + .needed")].slice(0, 2);
    return [...first, ...up].map(one => [one.textContent, one.getBoundingClientRect().bottom]);
}"""


def test_the_sentence_is_on_the_first_screen_of_a_phone_after_each_mark(
    browser, address, moments, monkeypatch
) -> None:
    """What is decided, if anything is, and who is up with what she needs; at the end who won."""
    theme = find_theme("gala")
    shown: list[SitePage] = []

    def pages(subject: Subject) -> list[SitePage]:
        shown[:] = announcer(subject)
        return shown

    monkeypatch.setattr(rendering, "PAGES", (("announcer.html", pages),))
    page, complaints, _ = opened(browser, 390)
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(f"{address}competitions/evening/announcer.html")
    for number, results in enumerate(moments):
        subject = Subject(results, wording(results.meet.settings), theme, addresses(results))
        ((_, _, pieces),) = rendered_pages(subject, UNTIL_MADE, Cache(None)).filled.values()
        told = page.evaluate(IN_SIGHT, b"".join(pieces).decode())
        assert told, number
        assert all(0 < bottom <= 844 for _, bottom in told), (number, told)
        if 0 < number < len(ROWS):
            (last,) = shown[0].view.came[:1]
            assert told[0][0] == f"Just in · {last.apparatus} {last.mark} {last.sentence}"
        headings = page.locator("main section > h2").all_text_contents()
        assert ("Leaders" in headings) == (0 < number < len(ROWS)), number
    assert complaints == []
    assert told[0][0].startswith("Ottilie Kestrelle (Gymnastics Merrowick) and Wilma Thornacre")


def test_what_is_said_stands_in_the_order_in_which_it_is_announced(moments) -> None:
    view = view_of(moments[-1 - len(MISSING)])
    assert view.news == (
        ("All-around", "Sure to qualify (Regional evening): Runa Aldersyke and Ilse Brackwen."),
        ("Team", "Sure of a medal place: Brinwick Gymnasts."),
    )
    # Who is out comes last, whatever else is decided.
    out = "Qualify only if somebody withdraws (Regional evening): Mabel Castrow"
    assert view.more[-1][1].startswith(out)
    named = "Sure to qualify (Final): A, B, C, D, E."
    short = "Sure to qualify (Final): A, B, C and 2 more."
    one = replace(view.lists[0], decided=(named,), short=(short,))
    many = replace(view, lists=(one,))
    assert many.news == (("All-around", short),)
    assert many.more[0] == ("All-around", named), "all of them stand where it opens"
    # What was won before the last mark gives way to what was just won.
    names = ("Vault", "Uneven Bars", "Balance Beam", "Floor Exercise")
    leaders = replace(one.leaders, decided=True)
    won = replace(one, leaders=leaders, decided=("Won.",), short=("Won.",), new=False)
    lists = (one, *(replace(won, name=name, new=name == "Uneven Bars") for name in names))
    assert [name for name, *_ in replace(view, lists=lists).decided] == [
        "Uneven Bars", "Floor Exercise", "Balance Beam", "Vault", "All-around",
    ]  # fmt: skip
    bars = view.up[1]
    assert (bars.apparatus, bars.where) == ("Uneven Bars", "Rotation 5 · Squad C")
    assert (bars.first.who.name, bars.first.who.club) == ("Greta Orrinshaw", "Gymnastics Merrowick")
    # 37.500 - 27.650 = 9.850 draws level with the first, whose place is shared then.
    assert next((need.mark, need.list) for need in bars.first.needs) == ("9.900", "All-around")
    assert bars.then
    assert bars.then.who.name == "Mina Pellworth"
    assert view.up[0].then is None
    whole = view.lists[0]
    assert [(row.name, row.total, row.behind) for row in whole.leaders.rows] == [
        ("Ottilie Kestrelle", "37.500", ""),
        ("Runa Aldersyke", "36.450", "−1.050"),
        ("Ilse Brackwen", "36.400", "−1.100"),
    ]


def test_where_several_are_to_come_the_mark_in_large_is_told_to_be_an_average(
    tmp_path: Path, monkeypatch
) -> None:
    monkeypatch.setattr(rendering, "PAGES", (("announcer.html", announcer),))
    text = MEET.replace('["all-around", "apparatus", "team"]', '["all-around"]')
    rows = (f"    2,{part},8.000\n" for part in ("VT", "UB", "BB", "FX"))
    results = judged(write_folder(tmp_path, text + HEAD + "".join(rows)))
    up = view_of(results).up
    needs = [need for one in up for need in one.first.needs]
    averages = [need for need in needs if "on average" in need.sentence]
    assert averages
    assert [need for need in needs if need.unit] == averages
    subject = Subject(results, Wording(), find_theme("gala"), addresses(results))
    ((_, _, pieces),) = rendered_pages(subject, UNTIL_MADE, Cache(None)).filled.values()
    assert f"<b>{averages[0].mark} <small>on average</small></b>" in b"".join(pieces).decode()


def test_after_the_last_mark_it_says_who_won_and_who_goes_through(moments) -> None:
    view = view_of(moments[-1])
    assert (view.up, view.needs, view.bound) == ((), (), "")
    assert [one.name for one in view.lists][:3] == ["All-around", "Team", "Vault"]
    whole, team, *_ = view.lists
    # Bib 20: 28.100 + 9.400 = 37.500, as bib 11 has.
    assert whole.decided[0] == (
        "Ottilie Kestrelle (Gymnastics Merrowick) and Wilma Thornacre (Halsmere Leap) share the "
        "first place with 37.500."
    )
    assert team.decided[0].startswith("Gymnastics Merrowick won with 111.400, 2.250 ahead of")
    (cut,) = whole.cuts
    # Bib 12 is placed fourth, and the cap keeps her out.
    assert [(place, who.name) for place, who, _ in cut.starting] == [
        ("1", "Ottilie Kestrelle"),
        ("1", "Wilma Thornacre"),
        ("3", "Greta Orrinshaw"),
        ("5", "Runa Aldersyke"),
        ("6", "Ilse Brackwen"),
        ("7", "Pia Garrowby"),
    ]
    assert [(number, who.name) for number, who, _ in cut.reserves] == [
        ("1st reserve", "Ada Hestercombe"), ("2nd reserve", "Freya Lambrook"),
    ]  # fmt: skip


def test_how_a_name_is_said_stands_beside_it_and_a_withheld_one_nowhere(tmp_path: Path) -> None:
    text = MEET.replace("start_order\n", "start_order,pronounced,publish\n")
    for row, more in (("North,A,1", "AH-dam,"), ("South,A,2", "BELL,no")):
        text = text.replace(f"{row}\n", f"{row},{more}\n")
    text = re.sub(r"(,B,[0-9])\n", r"\1,,\n", text)
    view = view_of(judged(write_folder(tmp_path, text + HEAD + "    1,VT,9.400\n")))
    first = {one.apparatus: one.first.who for one in view.up}
    assert first["Vault"].name == "Bib 2"
    assert not re.search("Bellwether|BELL", repr(view))
    assert view.lists[0].leaders.rows[0].said == "AH-dam"


def test_in_a_team_final_who_is_up_stands_for_her_team(tmp_path: Path) -> None:
    # The better of two counts: South is done with 32.000, North has 16.000 and two to come.
    text = MEET.replace('["all-around", "apparatus", "team"]', '["team"]')
    text = re.sub("    cuts = .*\n", "", text)
    rows = [f"{bib},{part},8.000" for bib in "24" for part in ("VT", "UB", "BB", "FX")]
    rows += [f"{bib},{part},8.000" for bib in "13" for part in ("VT", "UB")]
    view = view_of(
        judged(write_folder(tmp_path, text + HEAD + "".join(f"    {row}\n" for row in rows)))
    )
    beam = next(one for one in view.up if one.apparatus == "Balance Beam")
    assert beam.first.who.club == "North"
    assert beam.first.needs[0].mark
    assert "South" in beam.first.needs[0].sentence


WITHOUT_SQUADS = """
    == meet.toml ==
    title = "Cup"
    [[competition]]
    id = "cup"
    title = "Cup"
    discipline = "women"
    ranks = ["all-around", "apparatus"]
    == roster.csv ==
    bib,family_name
    1,Adamsky
    2,Bellwether
    3,Corvane
    == marks.csv ==
    bib,apparatus,mark,d,e
    1,VT,13.000,5.0,8.0
    1,UB,12.000,5.0,7.0
    2,VT,12.500,5.0,7.5
    2,BB,13.000,5.0,8.0
"""


FINAL = """
    cuts = [{ name = "Final", of = "apparatus", to = "final", places = 2, reserves = 1 }]
    [[competition]]
    id = "final"
    title = "Final"
    discipline = "women"
    phase = "final"
    ranks = ["apparatus"]
    entered_from = "cup"
    withdrawn = [{ bib = "1" }]
"""


def test_nobody_is_up_in_a_final_and_nothing_of_it_is_handed_out_while_what_fills_it_runs(
    tmp_path: Path,
) -> None:
    text = WITHOUT_SQUADS.replace("    == roster.csv", FINAL + "    == roster.csv")
    text = text.replace("    title =", '    handouts = ["score sheets"]\n    title =', 1)
    text = re.sub(r"(\n    \d,[A-Z]+,.*)", r"\1,cup", text.replace(",d,e", ",d,e,competition"))
    results, wording = judged(write_folder(tmp_path, text)), Wording()
    final = results.competition("final")
    assert final.start_lists
    view = announcer_view(results, final, wording)
    running = results.competition("cup").competition.title
    assert (view.up, view.below[-1]) == ((), f"To come: {running} still runs")
    tables = start_list_tables(final, wording)
    assert {table.notes[0].text for table in tables} == {f"As it stands: {running} still runs."}
    printed = BookSubject(results, wording, final)
    assert [*start_lists(printed), *score_sheets(printed)] == []
    told = f"start lists and score sheets of Final are not printed: {running} still runs"
    assert [*not_handed_out(results)] == [told]
    named = text.replace('withdrawn = [{ bib = "1" }]', 'starters = ["2"]')
    results = judged(write_folder(tmp_path / "named", named))
    final = results.competition("final")
    assert announcer_view(results, final, wording).up
    assert [*start_lists(BookSubject(results, wording, final))]


def test_who_is_up_is_told_what_she_needs_there_and_on_no_other_apparatus(tmp_path: Path) -> None:
    results = judged(write_folder(tmp_path, WITHOUT_SQUADS))
    view = view_of(results)
    first = {one.apparatus: one.first for one in view.up}
    assert {on: (one.who.name, [need.list for need in one.needs]) for on, one in first.items()} == {
        "Vault": ("Corvane", ["Vault"]),
        "Uneven Bars": ("Bellwether", ["Uneven Bars"]),
        "Balance Beam": ("Corvane", ["Balance Beam"]),
        "Floor Exercise": ("Adamsky", []),
    }
    (needed,) = screen_view(results, Screen(show=("needs",)), Wording()).panels
    assert [line.above for line in needed.lines] == ["Vault", "Uneven Bars", "Balance Beam"]
    assert all(line.below.startswith(f"{line.above}: ") for line in needed.lines)


def test_who_goes_through_a_finished_list_is_told_while_others_run_and_after(
    tmp_path: Path, monkeypatch
) -> None:
    """With the place in the list, who withdrew, and who was called up for her."""
    monkeypatch.setattr(rendering, "PAGES", (("announcer.html", announcer),))
    text = WITHOUT_SQUADS.replace("    == roster.csv", FINAL + "    == roster.csv")
    text = re.sub("(    [0-9],(VT|UB|BB),.*)", r"\1,cup", text + "    3,VT,12.000,5.0,7.0\n")
    text = text.replace("mark,d,e", "mark,d,e,competition")
    results = judged(write_folder(tmp_path, text))
    view = announcer_view(results, results.competitions[0], Wording())
    assert view.up
    (vault,) = (one for one in view.lists if one.leaders.decided)
    (through,) = vault.cuts
    assert through.gone == "Withdrew: Adamsky."
    assert [(number, who.name, note) for number, who, note in through.starting] == [
        ("2", "Bellwether", ""), ("3", "Corvane", "called up in place of Adamsky"),
    ]  # fmt: skip
    subject = Subject(results, Wording(), find_theme("gala"), addresses(results))
    ((_, _, pieces), *_) = rendered_pages(subject, UNTIL_MADE, Cache(None)).filled.values()
    assert "called up in place of Adamsky" in b"".join(pieces).decode()


def test_a_final_says_itself_who_starts_in_whose_place(tmp_path: Path) -> None:
    text = WITHOUT_SQUADS.replace("    == roster.csv", FINAL + "    == roster.csv")
    text = re.sub("(    [0-9],(VT|UB|BB),.*)", r"\1,cup", text + "    3,VT,12.000,5.0,7.0\n")
    text = text.replace("mark,d,e", "mark,d,e,competition")
    results = judged(write_folder(tmp_path, text))
    final, told = results.competitions[1], "Corvane starts in place of Adamsky, who withdrew."
    assert announcer_view(results, final, Wording()).stand_ins == (("Vault", told),)
    vault, *others = start_list_tables(final, Wording())
    assert vault.notes[0].text == told
    table = list_table(final, final.by_apparatus["VT"], Wording())
    assert [note.text for note in table.notes] == [told]
    assert not any("in place of" in note.text for one in others for note in one.notes)


def test_nobody_is_said_to_start_where_people_named_others(tmp_path: Path) -> None:
    named = FINAL + '    starters = { VT = ["2"] }\n'
    text = WITHOUT_SQUADS.replace("    == roster.csv", named + "    == roster.csv")
    text = re.sub("(    [0-9],(VT|UB|BB),.*)", r"\1,cup", text + "    3,VT,12.000,5.0,7.0\n")
    results = judged(write_folder(tmp_path, text.replace("mark,d,e", "mark,d,e,competition")))
    view = announcer_view(results, results.competitions[1], Wording())
    assert view.stand_ins == (("Vault", "Withdrew: Adamsky."),)


@pytest.mark.parametrize(
    ("of", "ranks", "withdrawn", "told"),
    [
        ("team", "all-around", 'team = "North"', ("Team", "South starts in place of North")),
        ("all-around", "all-around", 'bib = "1"', ("All-around", "Bell starts in place of Adams")),
        ("all-around", "apparatus", 'bib = "1"', ("Vault", "Bell starts in place of Adams")),
    ],
)
def test_who_stands_in_is_told_in_the_list_that_it_is_of(tmp_path, of, ranks, withdrawn, told):
    """Or in each apparatus of a final that has no such list."""
    lists = """
    discipline = "women"
    ranks = ["all-around", "team"]
    apparatus = ["VT"]
    team = { format = "1-1-1" }
    """
    text = f"""
    == meet.toml ==
    title = "Cup"
    [[competition]]
    id = "cup"
    title = "Cup"{lists}
    cuts = [{{ name = "Final", of = "{of}", to = "final", places = 1, reserves = 1 }}]
    [[competition]]
    id = "final"
    title = "Final"
    phase = "final"
    entered_from = "cup"
    withdrawn = [{{ {withdrawn} }}]{lists.replace("all-around", ranks)}
    == roster.csv ==
    bib,family_name,club
    1,Adams,North
    2,Bell,South
    == marks.csv ==
    bib,apparatus,mark,competition
    1,VT,13.000,cup
    2,VT,12.500,cup
    """
    results = judged(write_folder(tmp_path, text))
    list, words = told
    view = announcer_view(results, results.competitions[1], Wording())
    assert view.stand_ins == ((list, f"{words}, who withdrew."),)


def test_where_everybody_withdrew_nothing_is_headed_as_decided(tmp_path: Path) -> None:
    gone = "".join(f"    {bib},{code},WDR\n" for bib in "1234" for code in ("VT", "UB", "BB", "FX"))
    results = judged(write_folder(tmp_path / "meet", MEET + HEAD + gone))
    write_site(results, find_theme("standard"), tmp_path)
    (page,) = tmp_path.rglob("announcer.html")
    assert "Decided" not in page.read_text("utf-8")


def test_a_final_for_which_nobody_is_left_is_not_to_come(tmp_path: Path) -> None:
    """All of the qualification have a status."""
    rows = "".join(f"    {bib},{code},WDR\n" for bib in "123" for code in ("VT", "UB", "BB", "FX"))
    text = WITHOUT_SQUADS.replace("    == roster.csv", FINAL + "    == roster.csv")
    text = text.replace('withdrawn = [{ bib = "1" }]', "")
    text = text[: text.index("    == marks.csv")] + "    == marks.csv ==\n"
    text += "    bib,apparatus,mark,competition\n"
    write_folder(tmp_path / "meet", text + rows.replace("WDR", "WDR,cup"))
    told = home_view(judged(tmp_path / "meet"), 3, Wording())
    assert [line.kind for line in told.timetable] == ["done", "done"]
    assert not any("To come" in line.open for column in told.board for line in column.lines)


def test_of_a_title_without_a_mark_the_first_page_says_that_it_is_to_come(tmp_path: Path) -> None:
    (column,) = home_view(judged(write_folder(tmp_path, WITHOUT_SQUADS)), 3, Wording()).board
    told = {line.title.text: (bool(line.winners), line.open) for line in column.lines}
    assert told["Balance Beam"] == (True, "as it stands")
    assert told["Floor Exercise"] == (False, "To come")


def test_the_wall_says_of_each_apparatus_who_is_up_once_as_the_announcer_does(tmp_path) -> None:
    # All four squads begin on vault.
    text = re.sub(r"starts = \{ .* \} \}", 'starts = { A = "VT", B = "VT" } }', MEET)
    results = judged(write_folder(tmp_path, text + HEAD + "    1,VT,9.000\n"))
    (up,) = screen_view(results, Screen(show=("up next",)), Wording()).panels
    assert [line.above for line in up.lines] == [one.apparatus for one in view_of(results).up]
    assert len({line.above for line in up.lines}) == len(up.lines)


def test_a_gymnasts_page_and_who_looks_for_her_are_told_when_she_is_up(browser, address) -> None:
    page, complaints, _ = opened(browser, 390)
    page.goto(f"{address}gymnasts/women-16.html")
    told = page.locator(".coming").inner_text()
    assert told.startswith("Rotation 5 · Uneven Bars: number 2 to go")
    assert "9.450" in told
    page.locator(".find input").fill("16")
    page.locator(".find li").first.wait_for()
    page.wait_for_function("document.querySelectorAll('.find li small').length > 1")
    assert "number 2 to go. All-around: 9.450 qualifies" in page.locator(".find li").inner_text()
    assert complaints == []


def test_axe_finds_nothing_on_the_page_while_it_runs(browser, address) -> None:
    page, complaints, _ = opened(browser, 1280)
    page.goto(f"{address}competitions/evening/announcer.html")
    page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
    page.evaluate(AXE)
    assert found(page, None) == []
    page.evaluate(ALIKE, "{}")
    for width, scheme in ((1280, "light"), (320, "dark"), (390, "light"), (900, "dark")):
        page.set_viewport_size({"width": width, "height": 844})
        page.emulate_media(color_scheme=scheme)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert found(page, DRAWN) == []
    assert complaints == []
