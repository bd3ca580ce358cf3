"""Publications and corrections: numbered, compared, explained; nothing vanishes, nothing changes
without a word.
"""

from __future__ import annotations

import copy
import csv
import json
import shutil
from itertools import pairwise
from pathlib import Path

import feedparser
import pytest
from folders import judged, write_folder
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree, html

from resultsgen import cli
from resultsgen.books.volumes import BOOKS
from resultsgen.files.lock import AnotherBuildError
from resultsgen.files.staging import staged
from resultsgen.history import Corrected, History, Issue, history
from resultsgen.history.changes import LineChange, changes, places
from resultsgen.history.effects import Effects
from resultsgen.history.publication import Publication
from resultsgen.history.records import Reader, tree
from resultsgen.meet.problems import MeetProblems
from resultsgen.publishing import publish as publishing
from resultsgen.publishing.build_options import BuildOptions, Session
from resultsgen.publishing.following import with_history
from resultsgen.publishing.publish import publish
from resultsgen.publishing.recording import next_publication, record
from resultsgen.reading.meet import read_meet
from resultsgen.reading.publications import read_publications
from resultsgen.views.corrections.correction_words import publication_sentence
from resultsgen.views.lists import chapters
from resultsgen.views.words.wording import Wording, wording

CUP = """
== meet.toml ==
title = "Lantern Cup"
base_url = "https://results.example.org/lantern-cup/"
published = 2031-05-17T12:00:00+02:00

[status]
state = "provisional"

[[status.signed]]
name = "Leocadia Brandquist"
role = "President of the jury"
time = "17 May 2031, 18:10"

[[competition]]
id = "women"
title = "Women"
discipline = "women"
rules = "club-ten"
phase = "qualification"
ranks = ["all-around", "apparatus", "team"]

[competition.team]
format = "2-2-2"
by = "club"

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
bib,apparatus,mark
"""

MARKS = (
    ("1", "VT", "9.000"), ("2", "VT", "8.900"), ("3", "VT", "8.800"), ("4", "VT", "8.700"),
    ("1", "UB", "8.000"), ("2", "UB", "8.100"), ("3", "UB", "8.050"), ("4", "UB", "8.600"),
    ("1", "BB", "9.100"), ("2", "BB", "8.950"), ("3", "BB", "9.200"), ("4", "BB", "8.500"),
    ("1", "FX", "8.850"), ("2", "FX", "8.900"), ("3", "FX", "8.900"), ("4", "FX", "8.750"),
)  # fmt: skip
"""Totals: Adder 34.950, Bell 34.850, Cole 34.950, Dale 34.550."""


def meet(folder: Path) -> Path:
    return write_folder(folder / "meet", CUP)


def write_marks(meet: Path, marks: tuple[tuple[str, str, str], ...]) -> None:
    rows = "".join(f"{','.join(row)}\n" for row in marks)
    (meet / "marks.csv").write_text(f"bib,apparatus,mark\n{rows}", encoding="utf-8")


def with_mark(bib: str, apparatus: str, mark: str) -> tuple[tuple[str, str, str], ...]:
    """All marks, one of them another; an empty one is left out."""
    other = ((b, a, mark if (b, a) == (bib, apparatus) else m) for b, a, m in MARKS)
    return tuple(row for row in other if row[2])


def tell(meet: Path, *rows: str) -> None:
    head = "bib,competition,apparatus,old,new,why,who,when,gone\n"
    (meet / "corrections.csv").write_text(head + "".join(f"{row}\n" for row in rows), "utf-8")


def set_up(meet: Path, old: str, new: str) -> None:
    settings = meet / "meet.toml"
    held = settings.read_text("utf-8")
    assert old in held
    settings.write_text(held.replace(old, new), "utf-8")


def make_official(meet: Path) -> None:
    set_up(meet, 'state = "provisional"', 'state = "official"')


def build(meet: Path, **options: bool) -> Path:
    """Publish into `out` beside the meet."""
    out = meet.parent / "out"
    publish(meet, out, BuildOptions(books=False, **options), lambda *_: None)
    return out


def refused(meet: Path, **options: bool) -> list[str]:
    """The codes of the problems; and the published folder is byte for byte what it was."""
    before = content(meet.parent / "out")
    with pytest.raises(MeetProblems) as found:
        build(meet, **options)
    assert content(meet.parent / "out") == before
    return [problem.code for problem in found.value.problems]


def content(folder: Path) -> dict[str, bytes]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def kept(out: Path) -> tuple[Publication, ...]:
    publications, problems = read_publications(out / "data" / "publications")
    assert not problems
    return publications


def told(out: Path) -> History:
    meet, problems = read_meet(out.parent / "meet")
    assert meet is not None, problems
    return history(kept(out), [row.correction for row in meet.corrections])


def page(out: Path, name: str) -> str:
    return " ".join(html.parse(out / name).getroot().text_content().split())


# A meet replayed mark by mark


def test_a_whole_meet_replayed_mark_by_mark(tmp_path):
    folder = meet(tmp_path)
    for number in range(1, len(MARKS) + 2):
        write_marks(folder, MARKS[: number - 1])
        out = build(folder)
        last = told(out).issues[-1]
        assert last.publication.number == number
        assert len(kept(out)) == number
        assert last.corrected == ()
        assert [(change.old, change.new and change.new.text) for change in last.changes.added] == (
            [(None, MARKS[number - 2][2])] if number > 1 else []
        )
        published = {mark.key: mark.text for mark in last.publication.competitions[0].marks}
        assert published == {(bib, code, 1): mark for bib, code, mark in MARKS[: number - 1]}
    # Nothing of an earlier publication was touched by a later one.
    for old, new in pairwise(kept(out)):
        assert len(new.competitions[0].marks) == len(old.competitions[0].marks) + 1
    # Adder and Cole both have 34.950 and share the first place; Bell is third.
    lines = kept(out)[-1].competitions[0].lists[0].lines
    assert [(line.who, line.place, line.total) for line in lines] == [
        ("1", 1, 34950), ("3", 1, 34950), ("2", 3, 34850), ("4", 4, 34550),
    ]  # fmt: skip
    assert "1 mark added" in page(out, "corrections.html")
    assert not json.loads((out / "data" / "results.json").read_text())["corrections"]


def test_building_again_gives_the_same_number_and_the_same_bytes(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS[:6])
    build(folder)
    write_marks(folder, MARKS)
    before = content(build(folder))
    assert content(build(folder)) == before
    # Another time of publication or another word in a title is no other result.
    set_up(folder, "12:00:00", "13:00:00")
    out = build(folder)
    assert [one.number for one in kept(out)] == [1, 2]
    assert kept(out)[1].published.hour == 12


def test_a_process_that_goes_on_reads_back_the_very_publication_that_it_made(tmp_path):
    folder, session = meet(tmp_path), Session()
    for many in (10, 11):
        write_marks(folder, MARKS[:many])
        publish(folder, tmp_path / "out", BuildOptions(books=False, session=session), lambda *_: 0)
        assert kept(tmp_path / "out")[-1] is session.judged.history.issues[-1].publication
    old, new = (
        {held.id: held for held in one.competitions[0].lists} for one in kept(tmp_path / "out")
    )
    assert {id for id in new if old[id] is not new[id]} == {"BB"}


def test_a_record_with_its_facts_in_another_order_is_read_as_it_stands(tmp_path):
    told = tree(record(judged(meet(tmp_path)), 1, None))
    held = copy.deepcopy(told)
    women = held["competitions"]["women"]
    women["facts"] = dict(reversed(women["facts"].items()))
    first, again = (Reader().publication(each) for each in (told, held))
    assert first == again
    assert [*again.competitions[0].facts] == [*reversed(first.competitions[0].facts)]


def test_records_of_earlier_publications_stay_as_they_were(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    first = (build(folder) / "data" / "publications" / "001.json").read_bytes()
    write_marks(folder, with_mark("2", "BB", "9.000"))
    out = build(folder)
    assert (out / "data" / "publications" / "001.json").read_bytes() == first
    assert kept(out)[0].competitions[0].marks[9].text == "8.950"


# Corrections


def own_lines(issue: Issue, one: Corrected) -> list[LineChange]:
    """The lines of whose mark was corrected that corrections moved."""
    lines = (line for line in issue.effects.lines if line.key == one.person)
    return [line for line in lines if line.competition == one.competition]


def test_a_correction_with_its_reason_and_what_it_moved(tmp_path):
    """Bell's beam 8.950 becomes 9.100: 34.850 + 0.150 = 35.000, above 34.950; she wins alone."""
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    build(folder)
    write_marks(folder, with_mark("2", "BB", "9.100"))
    tell(folder, "2,women,BB,8.950,9.100,inquiry,Superior jury,17 May 2031 13:10,")
    out = build(folder)
    issue = told(out).issues[-1]
    (one,) = issue.corrected
    assert (one.bib, one.apparatus, one.old, one.new) == ("2", "BB", "8.950", "9.100")
    assert [row.why for row in one.reasons] == ["inquiry"]
    all_around = [line for line in issue.changes.lines if line.list == "all-around"]
    assert {line.key: places(line) for line in all_around} == {"women/2": (3, 1)} | {
        "women/1": (1, 2), "women/3": (1, 2),
    }  # fmt: skip
    assert {line.list for line in own_lines(issue, one)} == {"all-around", "BB"}
    # Adder and Cole, who both went through, are tied for the second place now.
    ties = [tie for tie in issue.changes.ties if tie.list == "all-around"]
    assert [(tie.key, tie.old, tie.new) for tie in ties] == [
        (("women/1", "women/3"), (1, 1), (2, 2))
    ]
    cuts = {cut.key[1]: (cut.old and cut.old.outcome, cut.new and cut.new.outcome)
            for cut in issue.changes.cuts}  # fmt: skip
    assert cuts["women/2"] == ("reserve", "qualified")
    sentence = "Corrected: Bell Bea, Balance Beam, 9.100 instead of 8.950 (inquiry)."
    for name in ("index.html", "gymnasts/women-2.html", "competitions/women/bb.html",
                 "competitions/women/all-around.html", "competitions/women/team.html",
                 "competitions/women/qualification.html"):  # fmt: skip
        assert sentence in page(out, name), name
    assert sentence not in page(out, "competitions/women/vt.html")
    assert sentence not in page(out, "gymnasts/women-1.html")
    shown = page(out, "corrections.html")
    for words in ("Publication 2", "8.950", "9.100", "inquiry", "Superior jury, 17 May 2031 13:10",
                  "3rd place", "1st place", "reserve 1", "qualifies"):  # fmt: skip
        assert words in shown
    with (out / "data" / "corrections.csv").open(encoding="utf-8", newline="") as table:
        (row,) = csv.DictReader(table)
    assert (row["publication"], row["old"], row["new"], row["why"]) == (
        "2", "8.950", "9.100", "inquiry",
    )  # fmt: skip
    (given,) = json.loads((out / "data" / "results.json").read_text("utf-8"))["corrections"]
    assert (given["old"], given["new"], given["why"]) == ("8.950", "9.100", ["inquiry"])


def test_the_complete_book_has_a_chapter_of_corrections(cup):
    first = recorded(cup, [], 1)
    words = wording(judged(cup).meet.settings)
    unchanged = with_history(judged(cup), [first])
    assert list(chapters.corrections(chapters.BookSubject(unchanged, words))) == []
    second = recorded(cup, [(9, 9100)], 2)
    results = with_history(judged(cup), [first, second])
    (section,) = chapters.corrections(chapters.BookSubject(results, words))
    assert section.title == "Corrections since the first publication"
    corrected, moved = section.tables
    assert [cell.text for cell in corrected.rows[0].cells] == [
        "Bell Bea", "8.950", "9.100", "no reason given",
    ]  # fmt: skip
    assert ("Bell Bea", "3rd place", "1st place") in {
        tuple(cell.text for cell in row.cells) for row in moved.rows
    }
    assert chapters.corrections in next(book for book in BOOKS if book.of == "meet").chapters


def test_a_provisional_change_without_a_reason_says_so_until_one_is_given(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    build(folder)
    write_marks(folder, with_mark("1", "VT", "9.050"))
    out = build(folder)
    assert "9.050 instead of 9.000 (no reason given)" in page(out, "index.html")
    tell(folder, "1,women,VT,9.000,9.050,entry error,,,")
    out = build(folder)
    assert [len(issue.corrected) for issue in told(out).issues] == [0, 1, 0]
    assert "9.050 instead of 9.000 (entry error)" in page(out, "index.html")


def test_a_mark_corrected_twice_keeps_both_reasons(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    build(folder)
    tell(folder, "1,women,VT,9.000,9.050,entry error,,,", "1,women,VT,9.050,8.950,review,,,")
    write_marks(folder, with_mark("1", "VT", "8.950"))
    (one,) = told(build(folder)).issues[-1].corrected
    assert [row.why for row in one.reasons] == ["entry error", "review"]


def test_two_corrections_with_reasons_in_an_official_meet(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    make_official(folder)
    build(folder)
    changed = dict.fromkeys(with_mark("2", "BB", "9.100"))
    write_marks(folder, tuple(("3", "FX", "8.850") if row[:2] == ("3", "FX") else row
                              for row in changed))  # fmt: skip
    tell(folder, "2,women,BB,8.950,9.100,inquiry,,,")
    assert refused(folder) == ["change-without-reason"]
    tell(folder, "2,women,BB,8.950,9.100,inquiry,,,", "3,women,FX,8.900,8.850,entry error,,,")
    out = build(folder)
    assert {one.bib for one in told(out).issues[-1].corrected} == {"2", "3"}


def test_an_official_change_without_a_reason_is_refused(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    make_official(folder)
    build(folder)
    write_marks(folder, with_mark("2", "BB", "9.000"))
    assert refused(folder) == ["change-without-reason"]
    # The reason of another gymnast's mark is none.
    tell(folder, "1,women,BB,9.100,9.100,inquiry,,,")
    assert refused(folder) == ["change-without-reason"]


def test_official_places_moved_by_no_mark_need_a_reason(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    make_official(folder)
    build(folder)
    penalty = '[[competition.team.penalties]]\nteam = "North"\npoints = 0.3\n\n[[competition.cuts]]'
    set_up(folder, "[[competition.cuts]]", penalty)
    assert refused(folder) == ["change-without-reason"]
    tell(folder, ",women,,,,team clothing not alike,Superior jury,,")
    told_of = page(build(folder), "corrections.html")
    assert "team clothing not alike" in told_of
    assert "Womenplaces, totals or qualifiers" in told_of


def test_equals_put_in_order_on_one_apparatus_correct_no_other_list(tmp_path):
    folder = meet(tmp_path)
    set_up(folder, 'of = "all-around"\nplaces = 2\nreserves = 1', 'of = "apparatus"\nplaces = 1')
    set_up(folder, "places = 1", "places = 1\nreserves = 2")
    write_marks(folder, with_mark("4", "FX", "9.500"))
    build(folder)
    set_up(folder, "reserves = 2", 'reserves = 2\nreserve_order.FX = ["3", "2"]')
    out = build(folder)
    told = "Corrected: Women, qualification: Final, order of equals, Floor Exercise: 3, 2 instead"
    lists = sorted(path.stem for path in (out / "competitions" / "women").glob("*.html"))
    assert {"vt", "all-around", "team"} <= set(lists)
    lists.remove("announcer")
    said = [name for name in lists if told in page(out, f"competitions/women/{name}.html")]
    assert said == ["fx", "qualification"]


def test_official_qualifiers_changed_by_no_mark_need_a_reason(tmp_path):
    """With a cap of one per club, Bell of North makes way; no mark is another."""
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    make_official(folder)
    build(folder)
    set_up(folder, "reserves = 1", 'reserves = 1\ncap = 1\nper = "club"')
    assert refused(folder) == ["change-without-reason"]
    tell(folder, ",women,,,,the cap was forgotten,Superior jury,,")
    told_of = page(build(folder), "corrections.html")
    assert "Corrections in publication 2" in told_of
    assert "the cap was forgotten" in told_of


def test_a_withdrawal_is_no_correction_and_is_told_as_one(tmp_path):
    """Adder and Cole qualify, Bell is reserve: when Adder withdraws, Bell is called up."""
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    make_official(folder)
    build(folder)
    withdrawn = 'reserves = 1\nwithdrawn = [{ bib = "1", reason = "injury" }]'
    set_up(folder, "reserves = 1", withdrawn)
    out = build(folder)
    issue = told(out).issues[-1]
    assert (issue.corrected, issue.effects) == ((), Effects())
    assert {one.key[1] for one in issue.changes.withdrawals} == {"women/1", "women/2"}
    shown = page(out, "corrections.html")
    assert "1 withdrawal" in shown
    assert "Withdrawals, and who moves up, in publication 2" in shown
    assert "qualifieswithdrew" in shown
    assert "reserve 1called up" in shown
    assert "What publication 2 moved" not in shown


def test_a_reserve_who_withdraws_is_told_as_well(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    make_official(folder)
    build(folder)
    set_up(folder, "reserves = 1", 'reserves = 1\nwithdrawn = [{ bib = "2" }]')
    out = build(folder)
    issue = told(out).issues[-1]
    assert (issue.corrected, issue.effects) == ((), Effects())
    shown = page(out, "corrections.html")
    assert "1 withdrawal" in shown
    assert "reserve 1withdrew" in shown
    set_up(folder, '\nwithdrawn = [{ bib = "2" }]', "")
    assert "withdrewreserve 1" in page(build(folder), "corrections.html")


def test_who_has_withdrawn_is_not_told_again_wherever_a_mark_moves_her(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    set_up(folder, "reserves = 1", 'reserves = 1\nwithdrawn = [{ bib = "2" }]')
    build(folder)
    # The reserve would be through now.
    write_marks(folder, with_mark("2", "VT", "9.100"))
    issue = told(build(folder)).issues[-1]
    assert ([one.bib for one in issue.corrected], issue.changes.withdrawals) == (["2"], ())
    assert "withdr" not in publication_sentence(issue, Wording())


def test_corrections_and_marks_added_at_the_same_time_are_told_apart(tmp_path):
    """Vault is in for 1, 2, 3. Then 3 is corrected above 2, and 4 makes the best vault of all.

    Among those there before, 3 goes from place 3 to place 2 and 2 from 2 to 3; that 4 is first,
    and that 1 is second by it, no correction moved. On bars all marks are new.
    """
    folder = meet(tmp_path)
    first = (("1", "VT", "9.000"), ("2", "VT", "8.900"), ("3", "VT", "8.800"))
    write_marks(folder, first)
    build(folder)
    bars = tuple((bib, "UB", f"8.{bib}00") for bib in "1234")
    write_marks(folder, (*first[:2], ("3", "VT", "8.950"), ("4", "VT", "9.500"), *bars))
    out = build(folder)
    issue = told(out).issues[-1]
    assert {(one.list, one.key, places(one)) for one in issue.effects.lines} == {
        ("VT", "women/3", (3, 2)), ("VT", "women/2", (2, 3)),
    }  # fmt: skip
    (one,) = issue.corrected
    assert [(line.list, places(line)) for line in own_lines(issue, one)] == [("VT", (3, 2))]
    assert "neither teams nor cuts are told" in page(out, "corrections.html")


def test_a_publication_says_that_the_results_became_official_and_who_signed(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    build(folder)
    make_official(folder)
    shown = page(build(folder), "corrections.html")
    assert "the results are official now" in shown
    assert (
        "Official, signed by Leocadia Brandquist, President of the jury, 17 May 2031, 18:10"
        in shown
    )
    build(folder, seal=True)
    assert [one.became for one in told(folder.parent / "out").issues] == ["", "official", "sealed"]


@pytest.mark.parametrize(
    ("row", "code"),
    [
        ("2,women,BB,8.900,9.000,inquiry,,,", "old-mark-not-published"),
        ("2,women,BB,8.950,9.050,inquiry,,,", "correction-not-made"),
        ("7,women,BB,8.950,9.000,inquiry,,,", "unknown-bib"),
    ],
)
def test_a_correction_that_does_not_agree_is_told(tmp_path, row, code):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    build(folder)
    write_marks(folder, with_mark("2", "BB", "9.000"))
    tell(folder, row)
    assert refused(folder) == [code]


def test_a_mark_that_was_forgotten_may_be_told_as_well(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS[:-1])
    build(folder)
    write_marks(folder, MARKS)
    tell(folder, "4,women,FX,,8.750,forgotten,,,")
    assert "Added: Bib 4, Floor Exercise, 8.750 (forgotten)." in page(build(folder), "index.html")


def test_a_disqualification_is_one_row_for_all_marks(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    make_official(folder)
    build(folder)
    with (folder / "marks.csv").open("a", encoding="utf-8") as marks:
        marks.write("3,,DSQ\n")
    assert refused(folder) == ["change-without-reason"] * 4
    tell(folder, "3,women,,,DSQ,decision of the jury,Superior jury,,")
    corrected = told(build(folder)).issues[-1].corrected
    assert {(one.bib, one.new, len(one.reasons)) for one in corrected} == {("3", "DSQ", 1)}


def test_corrections_made_before_the_first_publication_are_told(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    tell(folder, "2,women,BB,8.900,8.950,inquiry,,,")
    out = build(folder)
    assert "8.950 instead of 8.900 (inquiry)" in page(out, "index.html")
    before = content(out)
    assert content(build(folder)) == before


# Nothing vanishes


def test_a_mark_that_is_gone_is_a_problem_until_it_is_meant(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    build(folder)
    write_marks(folder, with_mark("3", "FX", ""))
    assert refused(folder) == ["published-and-gone"]
    tell(folder, "3,women,FX,8.900,,entered twice,,,yes")
    out = build(folder)
    assert "Withdrawn: Cole Cora, Floor Exercise, 8.900 (entered twice)" in page(out, "index.html")


def test_a_mark_may_be_taken_away_by_the_option(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    build(folder)
    write_marks(folder, with_mark("3", "FX", ""))
    out = build(folder, allow_removal=True)
    (one,) = told(out).issues[-1].corrected
    assert (one.old, one.new, one.gone, one.reasons) == ("8.900", "", True, ())


@pytest.mark.parametrize(
    ("had", "shown"), [(1, "Vault 8.700"), (2, "Vault 8.700; Uneven Bars 8.600")]
)
def test_of_who_is_taken_out_it_is_told_which_marks_were_published(had, shown, tmp_path):
    folder, of_dale = meet(tmp_path), [row for row in MARKS if row[0] == "4"]
    others = tuple(row for row in MARKS if row[0] != "4")
    write_marks(folder, (*others, *of_dale[:had]))
    build(folder)
    roster = folder / "roster.csv"
    roster.write_text(roster.read_text("utf-8").replace("4,Dale,Dora,South,no\n", ""), "utf-8")
    write_marks(folder, others)
    tell(folder, "4,,,,,entered by mistake,,,yes")
    told_of = page(build(folder), "corrections.html")
    assert f"{shown}withdrawn" in told_of.replace(" withdrawn", "withdrawn"), told_of


def test_of_a_finished_list_without_places_nobody_is_said_to_be_placed_later(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, tuple((bib, apparatus, "WDR") for bib, apparatus, _ in MARKS))
    told_of = page(build(folder), "competitions/women/index.html")
    assert "Finished" in told_of
    assert "Nobody is placed." in told_of
    assert "yet" not in told_of


def test_the_option_is_no_reason_for_official_results(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    make_official(folder)
    build(folder)
    write_marks(folder, with_mark("3", "FX", "DNS"))
    assert refused(folder, allow_removal=True) == ["change-without-reason"]


def test_a_gymnast_who_is_gone_is_a_problem_until_it_is_meant(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, tuple(row for row in MARKS if row[0] != "4"))
    build(folder)
    set_roster = folder / "roster.csv"
    set_roster.write_text(set_roster.read_text("utf-8").replace("4,Dale,Dora,South,no\n", ""))
    assert refused(folder) == ["published-and-gone"]
    tell(folder, "4,,,,,entered by mistake,,,yes")
    out = build(folder)
    assert told(out).issues[-1].changes.gymnasts_gone == ("women/4",)
    assert "Withdrawn: Bib 4, Women (entered by mistake)" in page(out, "index.html")


def test_a_competition_that_is_gone_is_a_problem_until_it_is_meant(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    build(folder)
    set_up(folder, 'id = "women"', 'id = "ladies"')
    assert refused(folder) == ["published-and-gone"]
    tell(folder, ",women,,,,another name,,,yes")
    assert told(build(folder)).issues[-1].changes.competitions_gone == ("women",)


# Records


@pytest.mark.parametrize("lost", ["data/publications", "data/publications/001.json", "SHA256SUMS"])
def test_a_published_folder_that_has_lost_its_records_is_told(tmp_path, lost):
    """The way on is another folder, which begins with publication 1."""
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    gone = build(folder) / lost
    shutil.rmtree(gone) if gone.is_dir() else gone.unlink()
    assert refused(folder) == ["broken-publication"]
    publish(folder, tmp_path / "another", BuildOptions(books=False), lambda *_: None)
    assert [one.number for one in kept(tmp_path / "another")] == [1]


@pytest.mark.parametrize("broken", [b"", b"{}", b"[1, 2]", b'{"number": 1}', b"\xff", None])
def test_a_broken_record_is_told_and_nothing_is_lost(tmp_path, broken):
    folder = meet(tmp_path)
    write_marks(folder, MARKS[:4])
    build(folder)
    write_marks(folder, MARKS)
    out = build(folder)
    first = out / "data" / "publications" / "001.json"
    first.unlink() if broken is None else first.write_bytes(broken)
    assert refused(folder) == ["broken-publication"]


def test_two_builds_at_once_do_not_publish_under_one_number(tmp_path, monkeypatch):
    folder = meet(tmp_path)
    out = build(folder)
    write_marks(folder, MARKS[:1])

    def meanwhile(*arguments: object) -> object:
        """Another build publishes just before this one has the folder to itself."""
        monkeypatch.undo()
        write_marks(folder, MARKS[:2])
        build(folder)
        return staged(*arguments)

    monkeypatch.setattr(publishing, "staged", meanwhile)
    with pytest.raises(AnotherBuildError):
        build(folder)
    assert [len(one.competitions[0].marks) for one in kept(out)] == [0, 2]


def test_a_record_under_another_number_is_told(tmp_path):
    folder = meet(tmp_path)
    out = build(folder)
    first = out / "data" / "publications" / "001.json"
    first.rename(first.with_name("002.json"))
    assert refused(folder) == ["broken-publication", "broken-publication"]


def test_a_new_folder_goes_on_from_what_the_meet_folder_holds(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    out = build(folder)
    shutil.copytree(out / "data" / "publications", folder / "publications")
    shutil.rmtree(out)
    write_marks(folder, with_mark("2", "BB", "9.000"))
    assert [one.number for one in kept(build(folder))] == [1, 2]


def test_a_withheld_name_is_in_no_record_and_no_feed(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    build(folder)
    write_marks(folder, with_mark("4", "BB", "8.700"))
    out = build(folder)
    for name, data in content(out).items():
        assert b"Dale" not in data, name
        assert b"Dora" not in data, name
    assert "Corrected: Bib 4, Balance Beam" in page(out, "index.html")
    assert "Bib 4" in (out / "feed.xml").read_text("utf-8")


def test_a_record_has_what_is_printed_of_people_and_of_the_withheld_nothing(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    people = {one.person: one for one in kept(build(folder))[0].gymnasts}
    assert people["women/1"].facts == {"name": "Adder Ada", "club": "North"}
    assert people["women/4"] == ("women/4", "4", ("women",), {})


# Properties, on the results alone

grid = st.integers(0, 200).map(lambda steps: 8000 + 5 * steps)
edits = st.lists(st.tuples(st.integers(0, len(MARKS) - 1), grid), max_size=6)


@pytest.fixture(scope="module")
def cup(tmp_path_factory) -> Path:
    return meet(tmp_path_factory.mktemp("cup"))


def recorded(cup: Path, made: list[tuple[int, int]], number: int) -> Publication:
    """The publication of the meet with some marks replaced."""
    marks = list(MARKS)
    for which, mark in made:
        marks[which] = (*marks[which][:2], f"{mark // 1000}.{mark % 1000:03d}")
    write_marks(cup, tuple(marks))
    return record(judged(cup), number, None)


@settings(max_examples=20)
@given(made=edits)
def test_putting_a_mark_back_undoes_the_change(cup, made):
    old, new, back = (recorded(cup, each, n) for n, each in enumerate(([], made, []), start=1))
    there, again = changes(old, new), changes(new, back)
    assert not changes(old, back)
    for kind in ("changed", "lines", "ties", "cuts"):
        assert {(one.list, one.key, one.old, one.new) for one in getattr(there, kind)} == {
            (one.list, one.key, one.new, one.old) for one in getattr(again, kind)
        }


@settings(max_examples=20)
@given(made=edits)
def test_a_record_read_back_is_the_same(cup, made):
    one = recorded(cup, made, 1)
    assert Publication.model_validate_json(one.model_dump_json()) == one


@settings(max_examples=20)
@given(made=edits)
def test_the_number_goes_up_just_where_something_changed(cup, made):
    first = recorded(cup, [], 1)
    recorded(cup, made, 1)
    results = judged(cup)
    following = next_publication(results, [first], None)
    assert (following.number == 2) == bool(changes(first, following))
    assert next_publication(results, [first, following][: following.number], None) == following
    assert with_history(results, [first]).history.number == 1


# The feed

ATOM = "{http://www.w3.org/2005/Atom}"


def test_the_feed_keeps_the_rules_of_rfc_4287(tmp_path):
    """RFC 4287, 4.1.1 and 4.1.2: what a feed and an entry must have, and once only."""
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    build(folder)
    write_marks(folder, with_mark("2", "BB", "9.000"))
    out = build(folder)
    feed = etree.parse(out / "feed.xml").getroot()
    assert feed.tag == f"{ATOM}feed"
    for node in (feed, *feed.findall(f"{ATOM}entry")):
        for needed in ("id", "title", "updated"):
            assert len(node.findall(f"{ATOM}{needed}")) == 1
        links = [(link.get("rel"), link.get("type")) for link in node.findall(f"{ATOM}link")]
        assert len(links) == len(set(links))
        for link in node.findall(f"{ATOM}link"):
            assert link.get("href").startswith("https://results.example.org/lantern-cup/")
    assert feed.find(f"{ATOM}author/{ATOM}name").text
    ids = [node.text for node in feed.iter(f"{ATOM}id")]
    assert len(ids) == len(set(ids)) > 4
    assert all(id.startswith("tag:results.example.org,2031-05-17:/lantern-cup/") for id in ids)
    assert feed.find(f"{ATOM}updated").text == "2031-05-17T12:00:00+02:00"


def test_the_feed_is_read_back_and_its_ids_stay(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    before = feedparser.parse((build(folder) / "feed.xml").read_bytes())
    write_marks(folder, with_mark("2", "BB", "9.000"))
    out = build(folder)
    after = feedparser.parse((out / "feed.xml").read_bytes())
    assert not after.bozo
    assert after.version == "atom10"
    assert after.feed.title == "Lantern Cup"
    titles = [entry.title for entry in after.entries]
    facts = [entry for entry in after.entries if "/fact/" in entry.id]
    assert [title for title in titles if title not in {entry.title for entry in facts}] == [
        "Publication 2: 1 correction",
        "Corrected: Bell Bea, Balance Beam, 9.000 instead of 8.950 (no reason given).",
        "Publication 1: The first publication",
    ]
    assert before.entries[0].id in {entry.id for entry in after.entries}
    places = [entry.link.partition("/lantern-cup/")[2].partition("#") for entry in after.entries]
    for page, _, anchor in places:
        held = html.parse(out / page).getroot()
        assert not anchor or anchor in {node.get("id") for node in held.iter()}
    assert "feed.xml" in (out / "index.html").read_text("utf-8")


def test_the_feed_tells_who_was_first_with_the_publication_that_decided_it(tmp_path):
    """The vault is over in publication 1, all else in 2; 3 corrects Cole to the best vault mark.

    From then on only publication 3 tells of the vault.
    """
    folder = meet(tmp_path)

    def facts(out: Path) -> list[str]:
        entries = etree.parse(out / "feed.xml").getroot().iterfind("{*}entry")
        told = [(one.findtext("{*}id"), one.findtext("{*}summary")) for one in entries]
        of = {id.rpartition("/publication/")[2].partition("/")[0] for id, _ in told}
        return [
            " ".join(text for id, text in told if f"/publication/{number}/fact/" in id)
            for number in sorted(of)
        ]

    vault = "Women: Vault: Adder Ada (North) won with 9.000, 0.100 ahead of Bell Bea (North)."
    write_marks(folder, tuple(row for row in MARKS if row[1] == "VT"))
    assert [vault in one for one in facts(build(folder))] == [True]
    write_marks(folder, MARKS)
    first, second = facts(build(folder))
    assert vault in first
    assert vault not in second
    assert "Women: Balance Beam: Cole Cora (South) won with 9.200" in second
    write_marks(folder, with_mark("3", "VT", "9.100"))
    first, second, third = facts(build(folder))
    assert "Vault" not in first + second
    assert "Women: Vault: Cole Cora (South) won with 9.100" in third
    assert "Dale" not in first + second + third


@pytest.mark.parametrize(
    "line",
    [
        'base_url = "https://results.example.org/lantern-cup/"\n',
        "published = 2031-05-17T12:00:00+02:00\n",
    ],
)
def test_there_is_no_feed_without_an_address_or_a_time(tmp_path, monkeypatch, line):
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    folder = meet(tmp_path)
    set_up(folder, line, "")
    out = build(folder)
    assert not (out / "feed.xml").exists()
    assert "feed.xml" not in (out / "index.html").read_text("utf-8")


# Sealing and verifying


def test_only_official_results_are_sealed(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    build(folder)
    assert refused(folder, seal=True) == ["not-official"]


def test_sealed_results_stay_official_and_change_by_corrections_only(tmp_path):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    make_official(folder)
    out = build(folder, seal=True)
    assert "Official, sealed" in page(out, "corrections.html")
    set_up(folder, 'state = "official"', 'state = "provisional"')
    write_marks(folder, with_mark("2", "BB", "9.000"))
    assert sorted(refused(folder)) == ["change-without-reason", "sealed-results"]
    make_official(folder)
    assert refused(folder) == ["change-without-reason"]
    tell(folder, "2,women,BB,8.950,9.000,inquiry,,,")
    assert kept(build(folder))[-1].sealed


def verify(out: Path, capsys) -> tuple[int, list[str]]:
    capsys.readouterr()
    code = cli.main(["verify", str(out)])
    return code, capsys.readouterr().out.splitlines()


def test_verify_tells_changed_missing_and_added_files(tmp_path, capsys):
    folder = meet(tmp_path)
    write_marks(folder, MARKS)
    out = build(folder)
    code, said = verify(out, capsys)
    assert code == 0
    assert said[-1].endswith("files and their list as published, 0 changed, 0 missing, 0 added.")
    held = bytearray((out / "index.html").read_bytes())
    held[100] ^= 1
    (out / "index.html").write_bytes(held)
    (out / "rules.html").unlink()
    (out / "data" / "extra file.csv").write_text("1")
    code, said = verify(out, capsys)
    assert code == 1
    assert said[:-1] == ["changed: index.html", "missing: rules.html", "added: data/extra file.csv"]


def test_verify_needs_a_published_folder(tmp_path, capsys):
    assert cli.main(["verify", str(tmp_path / "nowhere")]) == 2
    assert cli.main(["verify", str(tmp_path)]) == 2
    (tmp_path / "SHA256SUMS").write_text("this is no digest\n")
    assert cli.main(["verify", str(tmp_path)]) == 2
    assert "line 1" in capsys.readouterr().err
