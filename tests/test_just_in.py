"""Just in: what came with each publication and what it means, the same for ever."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from folders import write_folder
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree, html

from resultsgen.history.arrivals import arrivals
from resultsgen.live.competition import live
from resultsgen.meet.settings import Screen
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.following import with_history
from resultsgen.publishing.publish import publish
from resultsgen.publishing.recording import next_publication
from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import results
from resultsgen.views.corrections.corrections import newest
from resultsgen.views.live.announcer import announcer_view
from resultsgen.views.live.just_in import AT_ONCE, as_it_stands, in_the_feed, just_in
from resultsgen.views.live.screen import screen_view
from resultsgen.views.words.wording import Wording

CUP = """
== meet.toml ==
title = "Lantern Cup"
base_url = "https://results.example.org/lantern-cup/"
published = 2031-05-17T12:00:00+02:00

[[competition]]
id = "women"
title = "Women"
discipline = "women"
phase = "qualification"

[[competition.cuts]]
name = "Final"
of = "all-around"
places = 2
reserves = 1
== roster.csv ==
bib,family_name,given_name,club,publish
1,Adder,Ada,North,
2,Bell,Bea,North,
3,Cole,Cora,South,
4,Dale,Dora,South,no
== marks.csv ==
"""
HEAD = "bib,apparatus,d,e,mark\n"
ROWS = (
    "1,VT,4.0,9.000,13.000", "2,VT,4.1,8.900,13.000", "3,VT,4.0,8.500,12.500", "4,VT,5,9.0,14.000",
    "1,UB,4.0,8.000,12.000", "2,UB,4.0,8.100,12.100", "3,UB,4.0,8.100,12.100", "4,UB,4,8.0,12.000",
    "1,BB,4.0,8.100,12.100", "2,BB,4.0,7.950,11.950", "3,BB,4.0,8.200,12.200", "4,BB,4,8.5,12.500",
    "1,FX,4.0,7.850,11.850", "2,FX,4.0,7.900,11.900", "3,FX,4.0,7.900,11.900", "4,FX,4,7.0,11.000",
)  # fmt: skip


@pytest.fixture
def folder(tmp_path) -> Path:
    return write_folder(tmp_path / "meet", CUP)


def put(folder: Path, rows: tuple[str, ...], head: str = HEAD) -> None:
    (folder / "marks.csv").write_text(head + "".join(f"{row}\n" for row in rows), "utf-8")


def build(folder: Path) -> Path:
    out = folder.parent / "out"
    publish(folder, out, BuildOptions(books=False), lambda *_: None)
    return out


def replayed(folder: Path, steps, head: str = HEAD) -> tuple:
    """The results after each step, each with the history of all before."""
    kept = []
    for rows in steps:
        put(folder, rows, head)
        meet, problems = read_meet(folder)
        assert meet, problems
        judged, _ = results(meet)
        found = next_publication(judged, kept, meet.settings.published)
        kept = [each for each in kept if each.number < found.number] + [found]
        yield with_history(judged, kept)


def said(folder: Path, *steps: tuple[str, ...]) -> list[str]:
    *_, last = replayed(folder, steps)
    return [one.sentence for one in just_in(last, Wording())]


def test_the_first_mark_and_then_one_that_takes_the_lead(folder):
    assert said(folder, ROWS[2:3]) == ["Vault: Cole Cora is the first to be placed, with 12.500."]
    told = said(folder, ROWS[2:3], ROWS[1:3])
    assert told[0] == "Vault: Bell Bea takes the lead with 13.000, 0.500 ahead of Cole Cora."
    assert told[1] == "Vault: Cole Cora is the first to be placed, with 12.500."


def test_equals_are_told_with_what_settled_them(folder):
    """Rules of the international set: equal marks on an apparatus go by E, then D."""
    first, second, *_ = said(folder, ROWS[:1], (ROWS[1], ROWS[0]))
    assert first == (
        "Vault: Bell Bea is in 2nd place with 13.000, level with Adder Ada: the higher E score "
        "decides."
    )
    assert second == "Vault: Adder Ada is the first to be placed, with 13.000."


@pytest.mark.parametrize("first", ["younger", "total D"])
def test_no_score_is_said_to_decide_what_was_decided_before_it(folder, first):
    """Bell is the younger and has the higher D score, Adder the higher E score."""
    settings = folder / "meet.toml"
    criteria = f'[rules.international]\nties.apparatus.criteria = ["{first}", "E"]\n'
    settings.write_text(settings.read_text("utf-8") + criteria, "utf-8")
    with_columns(folder, "birth_year", "2010", "2014", "2012", "2011")
    told, *_ = said(folder, ROWS[:1], (ROWS[1], ROWS[0]))
    assert told.endswith("level with Adder Ada: the rules for equal totals decide.")


def test_a_shared_place_and_the_running_all_around(folder):
    told = said(folder, ROWS[:6], ROWS[:7])
    assert told[0] == (
        "Uneven Bars: Cole Cora shares the lead with Bell Bea, 12.100 each. "
        "All-around, after 2 of 4 apparatus: Cole Cora is in 3rd place with 24.600, 0.400 behind "
        "Adder Ada."
    )


def test_who_has_the_same_total_by_a_lower_score_shares_no_place(folder):
    rows = ("1,UB,4.5,7.600,12.100", ROWS[5], ROWS[6])
    told = said(folder, rows[:2], rows)
    assert told[0] == "Uneven Bars: Cole Cora shares the lead with Bell Bea, 12.100 each."


def test_a_guest_leads_no_all_around_and_moves_nobody_down_in_it(folder):
    roster = folder / "roster.csv"
    head, first, *others = roster.read_text("utf-8").splitlines()
    text = "\n".join([f"{head},guest", f"{first},yes", *(f"{other}," for other in others)])
    roster.write_text(text, "utf-8")
    told = said(folder, ROWS[:5], ROWS[:7])
    assert not any("All-around" in one and "Adder" in one for one in told)
    assert "Cole Cora is in 2nd place with 24.600, 0.500 behind Bell Bea." in told[0]


def test_a_mark_of_a_guest_is_said_to_be_one_on_the_wall_and_wherever_it_comes(folder):
    head, first, *others = (folder / "roster.csv").read_text("utf-8").splitlines()
    text = "\n".join([f"{head},guest", f"{first},yes", *(f"{other}," for other in others)])
    (folder / "roster.csv").write_text(text + "\n", "utf-8")
    *_, last = replayed(folder, [ROWS[:1], ROWS[:2]])
    (wall,) = screen_view(last, Screen(show=("just in",)), Wording()).panels
    assert [line.name for line in wall.lines] == ["Bell Bea", "Adder Ada"]
    assert [line.below.startswith("guest · Vault") for line in wall.lines] == [False, True]
    page = html.parse(build(folder) / "just-in.html").getroot()
    told = [who.text_content() for who in page.xpath("//main//*[@class='who']")]
    assert told == ["Bell Bea", "Adder Ada (guest)"]


def test_nobody_is_told_to_lead_after_some_apparatus_where_others_are_further(folder):
    hers = ROWS[::4]
    told = said(folder, hers, (*hers, ROWS[1]), (*hers, ROWS[1], ROWS[5]))
    assert told[0] == "Uneven Bars: Bell Bea takes the lead with 12.100, 0.100 ahead of Adder Ada."


def test_the_running_all_around_breaks_ties_as_the_standings_do(folder):
    rows = (*ROWS[:2], ROWS[4], "2,UB,4.0,8.000,12.000")
    *_, last = replayed(folder, [rows[:3], rows])
    first = just_in(last, Wording())[0]
    # 13.000 + 12.000 each, and E 9.000 + 8.000 against 8.900 + 8.000.
    assert first.sentence.endswith(
        "All-around, after 2 of 4 apparatus: Bell Bea is in 2nd place with 25.000, level with "
        "Adder Ada: the rules for equal totals decide."
    )
    now = live(last)["women"].lists["all-around"].now
    assert first.all_around
    assert first.all_around.place == now.of(first.key).place == 2


def test_the_running_all_around_of_a_publication_stays_though_marks_are_corrected(folder):
    with (folder / "meet.toml").open("a", encoding="utf-8") as settings:
        settings.write('[rules.international]\ntotals.incomplete = "placed by what there is"\n')
    head = "bib,apparatus,d,e,penalty,mark,status\n"
    ada = ("1,VT,4.0,9.000,,13.000,", "1,UB,4.0,8.000,,12.000,")
    bea = ("2,VT,4.1,8.900,,13.000,", "2,UB,4.0,8.000,,12.000,")
    parts = "2,VT,4.1,9.100,0.2,13.000,"  # The E score is another, the mark is not.
    dns = "3,VT,4.0,8.000,,12.000,", "3,UB,,,,,DNS"
    shown = (*ada, *bea, *dns)
    (first,) = replayed(folder, [shown], head)
    before = {one.arrival.key: one.sentence for one in just_in(first, Wording())}
    for later in ((*ada, parts, bea[1], *dns), shown[:-1]):
        *_, last = replayed(folder, [shown, later], head)
        told = [one for one in just_in(last, Wording()) if one.arrival.number == 1]
        assert len(told) >= 4
        assert all(one.sentence == before[one.arrival.key] for one in told)


def with_columns(folder: Path, heading: str, *cells: str) -> None:
    roster = folder / "roster.csv"
    lines = roster.read_text("utf-8").splitlines()
    both = zip(lines, (heading, *cells), strict=True)
    roster.write_text("".join(f"{line},{more}\n" for line, more in both), "utf-8")


def test_a_later_session_has_an_all_around_of_its_own_until_totals_are_whole(folder):
    with_columns(folder, "session", "1", "1", "2", "2")
    first = tuple(row for row in ROWS if row[0] in "12")
    told = said(folder, first, (*first, *ROWS[2:4], *ROWS[6:7]), (*first, *ROWS[2:4], *ROWS[6:8]))
    assert told[0].endswith(
        "All-around, after 2 of 4 apparatus: Bib 4 leads with 26.000, 1.400 ahead of Cole Cora."
    )


def test_where_rotations_are_known_those_who_are_further_are_taken_as_they_were(folder):
    with_columns(folder, "squad", "A", "A", "B", "B")
    settings = (folder / "meet.toml").read_text("utf-8")
    starts = 'phase = "qualification"\nrunning = { starts = { A = "VT", B = "BB" } }'
    settings = settings.replace('phase = "qualification"', starts)
    (folder / "meet.toml").write_text(settings, "utf-8")
    before = (ROWS[0], ROWS[4], ROWS[8], ROWS[10])  # Ada after three rotations, Cora after one.
    told = said(folder, before, (*before, ROWS[14]))
    assert told[0].endswith(
        "All-around, after 2 of 4 apparatus: Cole Cora is in 2nd place with 24.100, 0.900 behind "
        "Adder Ada."
    )


def test_the_last_mark_says_who_came_first_and_who_is_through(folder):
    first, *_ = said(folder, ROWS[:-1], ROWS)
    assert first == (
        "Floor Exercise: Bib 4 is in 4th place with 11.000, 0.850 behind Adder Ada. "
        "All-around: Bib 4 came first with 49.500, 0.550 ahead of Adder Ada. Through: Final."
    )


def test_a_status_that_ends_a_list_says_who_is_first(folder):
    head, dns = HEAD.replace("mark", "mark,status"), "4,VT,,,,DNS"
    *_, last = replayed(
        folder,
        [ROWS[1:2], ROWS[1:3], (*ROWS[1:3], "1,VT,,,,DNS"), (*ROWS[1:3], "1,VT,,,,DNS", dns)],
        head,
    )
    first, second, *_ = just_in(last, Wording())
    assert (first.name, first.mark) == ("Bib 4", "DNS")
    assert first.sentence == "Vault: Bell Bea came first with 13.000, 0.500 ahead of Cole Cora."
    assert second.mark == "12.500", "the status before decided nothing"
    assert in_the_feed(last, last.history.issues[-1], Wording()) == (f"Women: {first.sentence}",)


def test_the_last_mark_says_who_is_reserve_as_it_is_read_out(folder):
    first, *_ = said(folder, (*ROWS[:13], *ROWS[14:]), ROWS)
    assert first.endswith(" 1st reserve: Final.")


def test_a_first_vault_where_two_are_asked_is_told_as_such(folder):
    settings = (folder / "meet.toml").read_text("utf-8")
    two = settings.replace('id = "women"', 'id = "women"\nvaults = 2')
    (folder / "meet.toml").write_text(two, "utf-8")
    first, second = "1,VT,1,4.0,9.000,13.000", "1,VT,2,4.0,8.000,12.000"
    heading = HEAD.replace("apparatus", "apparatus,vault")

    def told(*rows: str) -> list[str]:
        steps = [tuple(rows[: many + 1]) for many in range(len(rows))]
        kept = []
        for step in steps:
            (folder / "marks.csv").write_text(heading + "\n".join(step) + "\n", "utf-8")
            judged, _ = results(read_meet(folder)[0])
            kept.append(next_publication(judged, kept, judged.meet.settings.published))
        return [one.sentence for one in just_in(with_history(judged, kept), Wording())]

    alone = "Vault: Adder Ada has 13.000 on the first vault; the list goes by two."
    assert told(first) == [alone]
    assert told(first, second) == [
        "Vault: Adder Ada came first with 12.500.", alone,
    ]  # fmt: skip


CORRECTED = (*ROWS[:2], "3,VT,4.0,9.100,13.100", ROWS[4])
"""Cora has 13.100 where 12.500 was published, and leads."""


def test_a_corrected_mark_comes_again_in_the_place_of_the_one_it_was(folder):
    *_, last = replayed(folder, [ROWS[:3], (*ROWS[:3], ROWS[4]), CORRECTED])
    first, *others = just_in(last, Wording())
    assert (first.name, first.mark) == ("Cole Cora", "13.100")
    assert first.sentence == (
        "Corrected: Cole Cora, Vault, 13.100 instead of 12.500 (no reason given). "
        "Vault: Cole Cora takes the lead with 13.100, 0.100 ahead of Adder Ada."
    )
    assert [(one.name, one.mark) for one in others] == [
        ("Adder Ada", "12.000"), ("Bell Bea", "13.000"), ("Adder Ada", "13.000"),
    ]  # fmt: skip
    # The feed tells it as a correction, and no page begins for it.
    assert in_the_feed(last, last.history.issues[-1], Wording()) == ()
    *_, gone = replayed(folder, [ROWS[:3], (*ROWS[:3], ROWS[4]), (*ROWS[:2], ROWS[4])])
    assert "12.500" not in {one.mark for one in just_in(gone, Wording())}
    *_, at_once = replayed(folder, [ROWS, (*ROWS[:-1], "4,FX,4,8.0,12.000")])
    assert just_in(at_once, Wording()) == ()


def test_nobody_says_aloud_that_no_reason_was_given(folder):
    *_, came = replayed(folder, [ROWS[:4], CORRECTED[:3]])
    view = announcer_view(came, came.competition("women"), Wording())
    assert view.came[0].sentence == "Withdrawn: Bib 4, Vault, 14.000."
    told = [*(one.sentence for one in view.came), *(text for _, text in view.corrected)]
    assert "reason" not in " ".join(told)
    assert "(no reason given)" in just_in(came, Wording())[0].sentence


def test_a_mark_that_is_none_any_more_and_who_is_taken_out_are_told_too(folder):
    shown = ROWS[:4]
    head, dns = HEAD.replace("mark", "mark,status"), "2,VT,,,,DNS"
    *_, last = replayed(folder, [shown, (ROWS[0], dns, *shown[2:])], head)
    first, *others = just_in(last, Wording())
    assert (first.name, first.mark, first.sentence) == (
        "Bell Bea", "DNS",
        "Corrected: Bell Bea, Vault, DNS instead of 13.000 (no reason given).",
    )  # fmt: skip
    assert "Bell Bea" not in {one.name for one in others}
    (panel,) = screen_view(last, Screen(show=("just in",)), Wording()).panels
    assert (panel.lines[0].below, panel.lines[0].mark) == ("Vault · Corrected", "DNS")
    roster = folder / "roster.csv"
    steps = [shown, (ROWS[0], *shown[2:])]
    *_, gone = replayed(folder, steps)
    assert just_in(gone, Wording())[0].sentence.startswith("Withdrawn: Bell Bea, Vault, 13.000")
    (panel,) = screen_view(gone, Screen(show=("just in",)), Wording()).panels
    assert panel.lines[0].below == "Vault · Mark withdrawn", "she did not withdraw"
    found = replayed(folder, steps)
    next(found)
    roster.write_text(roster.read_text("utf-8").replace("2,Bell,Bea,North,\n", ""), "utf-8")
    (*_, out) = found
    first = just_in(out, Wording())[0]
    assert first.sentence == "Withdrawn: Bib 2, Women (no reason given)."
    (panel,) = screen_view(out, Screen(show=("just in",)), Wording()).panels
    assert (panel.lines[0].name, panel.lines[0].below) == ("Bib 2", "Withdrawn")


def test_what_was_taken_out_is_told_while_it_is_so(folder):
    shown, rest, dns = ROWS[:3], (ROWS[0], ROWS[2]), "2,VT,,,,DNS"
    head, roster = HEAD.replace("mark", "mark,status"), folder / "roster.csv"
    whole = roster.read_text("utf-8")
    without = whole.replace("2,Bell,Bea,North,\n", "")

    def marks(*steps: tuple[str, tuple[str, ...]]) -> list[tuple[str, str]]:
        found = replayed(folder, [rows for _, rows in steps], head)
        for text, _ in steps:
            roster.write_text(text, "utf-8")
            last = next(found)
        return [(one.name, one.mark) for one in just_in(last, Wording())]

    others = [("Cole Cora", "12.500"), ("Adder Ada", "13.000")]
    # The routine is there again, with a status; then she is, with all that she had.
    assert marks((whole, shown), (whole, rest), (whole, (*rest, dns))) == others
    again = marks((whole, shown), (without, rest), (whole, shown))
    assert again == [("Bell Bea", "13.000"), *others]
    # Of who is gone no status is told from before.
    gone = marks((whole, shown), (whole, (*rest, dns)), (without, rest))
    assert gone == [("Bib 2", "–"), *others]


def test_who_is_taken_out_is_said_where_she_was_to_start_and_nowhere_else(folder):
    settings, roster = folder / "meet.toml", folder / "roster.csv"
    more = '[[competition]]\nid = "{}"\ntitle = "More"\ndiscipline = "{}"\n'
    with settings.open("a", encoding="utf-8") as text:
        text.write(more.format("again", "women") + more.format("men", "men"))
    with_columns(folder, "discipline", *["women"] * 4)
    with roster.open("a", encoding="utf-8") as text:
        text.write("5,Elm,Eli,North,,men\n")
    found = replayed(folder, [["1,VT,9.000,women"]] * 2, "bib,apparatus,mark,competition\n")
    next(found)
    whole = roster.read_text("utf-8")
    roster.write_text(whole.replace("2,Bell,Bea,North,,women\n", ""), "utf-8")
    last = next(found)
    views = [announcer_view(last, one, Wording()) for one in last.competitions]
    said = (("Publication 2", "Withdrawn: Bib 2."),)
    assert [view.corrected for view in views] == [said, said, ()]


def test_a_correction_that_is_taken_back_says_so(folder):
    *_, last = replayed(folder, [ROWS, (*ROWS[:-1], "4,FX,4,8.0,12.000"), ROWS])
    back, first = newest(last, Wording())
    assert first == (
        "Corrected: Bib 4, Floor Exercise, 12.000 instead of 11.000 (no reason given)."
    )
    assert back == (
        "Correction taken back: Bib 4, Floor Exercise, 11.000 again, not 12.000 (no reason given)."
    )
    view = announcer_view(last, last.competitions[0], Wording())
    # Nothing is to come, and it is said before who came first.
    said = "Correction taken back: Bib 4, Floor Exercise, 11.000 again, not 12.000."
    assert view.corrected == (("Publication 3", said),)


def test_who_speaks_and_who_writes_are_told_what_was_corrected(folder):
    for rows in (ROWS[:3], CORRECTED):
        put(folder, rows)
        out = build(folder)
    for name in ("competitions/women/announcer.html", "press.html"):
        (told,) = html.parse(out / name).getroot().xpath("//*[@class='corrected']/p[1]")
        assert told.text_content().startswith("Corrected: "), name
        assert "13.100 instead of 12.500 (no reason given)." in told.text_content()


def test_beside_the_lists_a_mark_has_the_place_that_they_give_it(folder):
    level = "4,VT,4.0,9.100,13.100"
    *_, last = replayed(folder, [ROWS[:2], CORRECTED[:3], (*CORRECTED[:3], level)])
    told = [one.sentence for one in as_it_stands(last, Wording(), 3)]
    assert told == [
        "Vault: Bib 4 and Cole Cora share the first place with 13.100.",
        "Vault: Cole Cora and Bib 4 share the first place with 13.100.",
        "Vault: Bell Bea is in 4th place with 13.000, level with Adder Ada: the higher E score "
        "decides.",
    ]
    (panel,) = screen_view(last, Screen(show=("just in",)), Wording()).panels
    assert [line.below.replace("\xa0", " ") for line in panel.lines][:3] == [
        "Vault · shared 1st place", "Vault · shared 1st place", "Vault · 4th place",
    ]  # fmt: skip
    *_, two = replayed(folder, [ROWS[:6], ROWS[:7]])
    (panel,) = screen_view(two, Screen(show=("just in",)), Wording()).panels
    # Nothing but a place stays in one line: upright, a display has no room for more.
    assert panel.lines[0].below == (
        "Uneven Bars · shared\xa01st\xa0place · All-around, after 2 of 4 apparatus: 3rd\xa0place"
    )
    # The page of all of them keeps what was said, with the publication that said it.
    assert [one.sentence for one in just_in(last, Wording())][1] == (
        "Vault: Cole Cora takes the lead with 13.100, 0.100 ahead of Adder Ada."
    )


def test_the_last_rows_of_the_file_stand_first(folder):
    *_, last = replayed(folder, [ROWS[:4], ROWS[:9]])
    told = [(one.name, one.arrival.mark.apparatus) for one in just_in(last, Wording())]
    assert told[:5] == [
        ("Adder Ada", "BB"), ("Bib 4", "UB"), ("Cole Cora", "UB"), ("Bell Bea", "UB"),
        ("Adder Ada", "UB"),
    ]  # fmt: skip
    assert told[5:] == [("Bib 4", "VT"), ("Cole Cora", "VT"), ("Bell Bea", "VT"),
                        ("Adder Ada", "VT")]  # fmt: skip


@given(st.permutations(ROWS), st.lists(st.integers(1, 4), min_size=4, max_size=8))
@settings(max_examples=8, deadline=None)
def test_what_was_told_of_a_publication_stays_whatever_comes(tmp_path_factory, rows, counts):
    """Marks in any order, a correction at the end: every text of before is there again."""
    folder = write_folder(tmp_path_factory.mktemp("cup") / "meet", CUP)
    ends = [sum(counts[: n + 1]) for n in range(len(counts))]
    steps = [tuple(rows[:end]) for end in ends]
    steps.append(tuple(row.replace(",12.100", ",12.200") for row in rows[: ends[-1]]))
    told: dict[int, tuple[str, ...]] = {}
    for held in replayed(folder, steps):
        for issue in held.history.issues:
            now = in_the_feed(held, issue, Wording())
            assert told.setdefault(issue.publication.number, now) == now
    assert any(told.values())


def entries(out: Path) -> dict[str, bytes]:
    feed = etree.parse(out / "feed.xml").getroot()
    return {one.findtext("{*}id"): etree.tostring(one) for one in feed.iterfind("{*}entry")}


def test_an_entry_of_the_feed_never_changes_byte_for_byte(folder):
    """Mark by mark, then a corrected mark, then a corrected name."""
    published: dict[str, bytes] = {}
    steps = [ROWS[:end] for end in range(1, len(ROWS) + 1, 3)]
    steps.append((*ROWS[:4], "1,UB,4.0,8.900,12.900", *ROWS[5:]))
    for rows in steps:
        put(folder, rows)
        now = entries(build(folder))
        assert {id: now[id] for id in now if id in published} == {
            id: text for id, text in published.items() if id in now
        }
        published |= now
    roster = folder / "roster.csv"
    roster.write_text(roster.read_text("utf-8").replace("Bell,Bea", "Belle,Bea"), "utf-8")
    now = entries(build(folder))
    kept = {id: text for id, text in published.items() if "/publication/" in id and id in now}
    assert {id: now[id] for id in kept} == kept
    assert sum(b"Bell Bea" in text for text in kept.values()) > 2
    assert any(b"Belle Bea" in text for text in now.values())


def test_page_home_and_json_tell_it_and_name_nobody_who_is_withheld(folder):
    put(folder, ROWS[:3])
    build(folder)
    put(folder, ROWS[:5])
    out = build(folder)
    page = html.parse(out / "just-in.html").getroot()
    marks = page.xpath("//*[@class='arrivals']/li")
    told = [" ".join(one.text_content().split()) for one in marks]
    assert told[0].startswith("12.000 D 4.0 E 8.000 Adder Ada North Uneven Bars, Women")
    assert told[1].startswith("14.000 D 5.0 E 9.000 Bib 4 South Vault, Women")
    held = json.loads((out / "just-in.json").read_text("utf-8"))
    assert [one["mark"] for one in held["marks"]][:2] == ["12.000", "14.000"]
    first, second = held["marks"][:2]
    assert first["on_apparatus"] == {"place": 1, "total": "12.000"}
    assert first["all_around"] == {"place": 1, "total": "25.000", "apparatus_done": 2}
    assert second["name"] == "Bib 4"
    assert second["page"].startswith("https://results.example.org/lantern-cup/competitions/women/")
    assert "Dale" not in "".join(
        path.read_text("utf-8") for path in (out / "just-in.html", out / "just-in.json")
    )
    documented = (Path(__file__).parents[1] / "resultsgen/data/README.md").read_text("utf-8")
    for field in {*held, *first}:
        assert f"`{field}`" in documented


def test_of_a_meet_that_was_published_at_once_nothing_is_just_in(folder):
    put(folder, ROWS)
    out = build(folder)
    assert not (out / "just-in.html").exists()
    assert not (out / "just-in.json").exists()


def test_of_many_marks_at_once_the_feed_tells_the_number(folder):
    rows = "".join(f"{bib},Name{bib},Given,Club,\n" for bib in range(5, 5 + AT_ONCE))
    with (folder / "roster.csv").open("a", encoding="utf-8") as roster:
        roster.write(rows)
    many = tuple(f"{bib},VT,4.0,8.{bib:03d},12.{bib:03d}" for bib in range(5, 5 + AT_ONCE))
    *_, last = replayed(folder, [ROWS[:1], (*ROWS[:1], *many), (*ROWS[:2], *many)])
    told = [len(in_the_feed(last, issue, Wording())) for issue in last.history.issues]
    assert told == [1, AT_ONCE, 1]
    *_, last = replayed(folder, [ROWS[:1], (*ROWS[:2], *many)])
    assert [len(in_the_feed(last, each, Wording())) for each in last.history.issues] == [1, 0]
    assert len(just_in(last, Wording())) == AT_ONCE + 2


def test_marks_that_were_there_before_do_not_come_again(folder):
    *_, last = replayed(folder, [ROWS[:3], ROWS[:3], ROWS[:5]])
    came = [[one.person for one in each] for _, each in arrivals(last.history.issues)]
    assert [len(each) for each in came] == [3, 2]
    assert said(folder, ROWS[:0]) == []


# Lists for frames


def test_a_list_for_a_frame_stands_alone_and_leads_to_the_site(folder):
    settings = folder / "meet.toml"
    settings.write_text(f"embeds = true\n{settings.read_text('utf-8')}", "utf-8")
    put(folder, ROWS[:5])
    out = build(folder)
    page = html.parse(out / "embed/women/vt.html").getroot()
    assert [" ".join(one.text_content().split()) for one in page.iter("li")] == [
        "1 Bib 4 South 14.000", "2 Adder Ada North 13.000", "3 Bell Bea North 13.000",
        "4 Cole Cora South 12.500",
    ]  # fmt: skip
    links = list(page.iter("a"))
    assert {link.get("target") for link in links} == {"_top"}
    for link in links:
        assert (out / "embed/women" / link.get("href")).resolve().is_file()
    assert not page.xpath("//header | //footer | //nav")
    assert "Lantern Cup" in page.text_content()
    assert "Provisional" in page.text_content()
    assert page.xpath("//meta[@name='robots']/@content") == ["noindex"]
    line = html.parse(out / "downloads.html").getroot().xpath("//code")[1].text
    frame = html.fragment_fromstring(line)
    assert frame.get("src") == "https://results.example.org/lantern-cup/embed/women/vt.html"
    assert frame.get("title") == "Women, Vault"
    assert "embed/" not in (out / "sitemap.xml").read_text("utf-8")
