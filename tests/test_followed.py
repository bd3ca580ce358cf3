"""What follows a publication: who is who, what else than marks is a correction, what is refused."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from folders import write_folder
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from resultsgen.data.tables import EXPORTS
from resultsgen.data.writing import write_records
from resultsgen.history.publication import Publication
from resultsgen.history.records import FORMAT, tree
from resultsgen.meet.problems import MeetProblems
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.notes import old_copies
from resultsgen.publishing.publish import checked, publish
from resultsgen.reading.publications import read_publications
from resultsgen.scoring.results import Results
from resultsgen.views.corrections.correction_words import (
    PublishedNames,
    correction_sentence,
    publication_sentence,
)
from resultsgen.views.people.finding import Asked, found_person
from resultsgen.views.site.addresses import gymnast_target
from resultsgen.views.words.wording import wording

CUP = """
== meet.toml ==
title = "Lantern Cup"
place = "Lindmoor"
dates = [2031-05-17]

[status]
state = "official"

[[status.signed]]
name = "Leocadia Brandquist"

[[officials]]
role = "Head judge"
name = "Odo Vane"

[[competition]]
id = "women"
title = "Women"
discipline = "women"
rules = "club-ten"
phase = "qualification"
apparatus = ["VT", "BB"]
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
bib,family_name,given_name,club,publish,status
1,Adder,Ada,North,,
2,Bell,Bea,North,,
3,Cole,Cora,South,,
4,Dale,Dora,South,no,
== marks.csv ==
bib,VT,BB
1,9.000,9.100
2,8.900,8.950
3,8.800,9.200
4,8.700,8.500
"""


@pytest.fixture(scope="module")
def published_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = write_folder(tmp_path_factory.mktemp("cup") / "meet", CUP)
    follow(folder)
    return folder


@pytest.fixture
def cup(tmp_path: Path, published_once: Path) -> Path:
    """An official meet that was published once."""
    return shutil.copytree(published_once, tmp_path / "meet")


def judged_after(folder: Path, **options: bool) -> Results:
    """The meet as it follows what was published; MeetProblems where it may not."""
    return checked(folder, folder / "output", BuildOptions(books=False, **options))[0]


def follow(folder: Path, **options: bool) -> Results:
    """The same, and its records are kept as a build keeps them."""
    results = judged_after(folder, **options)
    shutil.rmtree(folder / "output", ignore_errors=True)
    write_records(results, folder / "output")
    return results


def refused(folder: Path, **options: bool) -> list[str]:
    with pytest.raises(MeetProblems) as found:
        judged_after(folder, **options)
    return [problem.code for problem in found.value.problems]


def edit(folder: Path, file: str, *pairs: tuple[str, str]) -> None:
    text = (folder / file).read_text("utf-8")
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new)
    (folder / file).write_text(text, "utf-8")


def tell(folder: Path, *rows: str) -> None:
    head = "bib,competition,apparatus,old,new,why,gone,what\n"
    (folder / "corrections.csv").write_text(head + "".join(f"{row}\n" for row in rows), "utf-8")


def make_provisional(folder: Path) -> None:
    edit(folder, "meet.toml", ('"official"', '"provisional"'))
    shutil.rmtree(folder / "output")
    follow(folder)


def kept(folder: Path) -> tuple[Publication, ...]:
    publications, problems = read_publications(folder / "output" / "data" / "publications")
    assert not problems
    return publications


def corrected(results: Results) -> list[tuple[str, str, str, str]]:
    found = results.history.issues[-1].corrected
    return [(one.bib, one.apparatus or one.what, one.old, one.new) for one in found]


def reasons(results: Results) -> list[set[str]]:
    """What is said of the changes of each publication."""
    return [
        {row.why for one in issue.corrected for row in one.reasons}
        for issue in results.history.issues
    ]


def said(folder: Path) -> str:
    with pytest.raises(MeetProblems) as found:
        judged_after(folder)
    return " ".join(problem.message for problem in found.value.problems)


SWAPPED = (("1,Adder,Ada", "1,X,X"), ("2,Bell,Bea", "2,Adder,Ada"), ("1,X,X", "1,Bell,Bea"))

# What is told, and needs a reason once it is official

ELSEWISE = (
    ("roster.csv", (("Cole,Cora", "Colt,Cora"),), "3,,,,,entry error,,name",
     ("3", "name", "Cole Cora", "Colt Cora")),
    ("roster.csv", (("Cora,South", "Cora,East"), ("Dora,South", "Dora,East")),
     "3,,,,,entry error,,club|,women,,,,entry error,,", ("3", "club", "South", "East")),
    ("meet.toml", (('"Lantern Cup"', '"Lantern Cup 2031"'),), ",,,,,sponsor,,title",
     ("", "title", "Lantern Cup", "Lantern Cup 2031")),
    ("meet.toml", (('"Lindmoor"', '"Lindmoor Hall"'),), ",,,,,entry error,,place",
     ("", "place", "Lindmoor", "Lindmoor Hall")),
    ("meet.toml", (("05-17]", "05-18]"),), ",,,,,entry error,,dates",
     ("", "dates", "2031-05-17", "2031-05-18")),
    ("meet.toml", (("Odo Vane", "Ida Vane"),), ",,,,,entry error,,officials",
     ("", "officials", "Head judge: Odo Vane", "Head judge: Ida Vane")),
    ("meet.toml", (("Brandquist", "Blandquist"),), ",,,,,entry error,,signed",
     ("", "signed", "Leocadia Brandquist", "Leocadia Blandquist")),
    ("meet.toml", (('title = "Women"', 'title = "Ladies"'),), ",women,,,,review,,",
     ("", "title", "Women", "Ladies")),
    ("meet.toml", (("reserves = 1", "reserves = 0"),), ",women,,,,review,,",
     ("", "cuts.Final.reserves", "1", "0")),
    ("meet.toml", (('"club-ten"', '"international"'), ("reserves = 1", "reserves = 1")),
     ",women,,,,review,,", ("", "rules", "club-ten", "international")),
)  # fmt: skip


@pytest.mark.parametrize(("file", "pairs", "rows", "told"), ELSEWISE)
def test_whatever_is_printed_otherwise_is_told_and_needs_a_reason(cup, file, pairs, rows, told):
    edit(cup, file, *pairs)
    assert set(refused(cup)) == {"change-without-reason"}
    tell(cup, *rows.split("|"))
    results = follow(cup)
    assert results.history.number == 2
    assert told in corrected(results)
    assert all(one.reasons for one in results.history.issues[-1].corrected)


def test_an_entry_of_the_rules_is_told_by_its_name(cup):
    edit(cup, "meet.toml", ("[status]", "[rules.club-ten]\nmarks.step = 0.05\n\n[status]"))
    assert refused(cup) == ["change-without-reason"]
    tell(cup, ",women,,,,review,,")
    assert corrected(follow(cup)) == [("", "rules.marks.step", "", "0.050")]


def test_what_is_otherwise_is_said_in_a_sentence(cup):
    edit(cup, "roster.csv", ("Cole,Cora", "Colt,Cora"))
    edit(
        cup, "meet.toml", ('"Lantern Cup"', '"Lantern Cup 2031"'), ("reserves = 1", "reserves = 0")
    )
    tell(cup, "3,,,,,entry error,,name", ",,,,,sponsor,,title", ",women,,,,review,,")
    results = follow(cup)
    names = PublishedNames(results, wording(results.meet.settings))
    assert [correction_sentence(one, names) for one in results.history.issues[-1].corrected] == [
        "Corrected: Lantern Cup 2031, title: Lantern Cup 2031 instead of Lantern Cup (sponsor).",
        "Corrected: Colt Cora, name: Colt Cora instead of Cole Cora (entry error).",
        "Corrected: Women, qualification: Final, reserves: 0 instead of 1 (review).",
        "Corrected: places, totals or qualifiers of Women (review).",
    ]


def test_a_row_excuses_nothing_that_is_changed_later(cup):
    edit(cup, "roster.csv", ("Cole,Cora", "Colt,Cora"))
    tell(cup, "3,,,,,entry error,,name")
    follow(cup)
    edit(cup, "roster.csv", ("Colt,Cora", "Colt,Carla"))
    assert refused(cup) == ["change-without-reason"]
    tell(cup, "3,,,,,entry error,,name", "3,,,,,entry error,,name")
    assert corrected(follow(cup)) == [("3", "name", "Colt Cora", "Colt Carla")]


def test_two_names_exchanged_are_marks_that_are_others(cup):
    """Adder was published with 9.000 and 9.100, and would be with 8.900 and 8.950."""
    edit(cup, "roster.csv", *SWAPPED)
    assert set(refused(cup)) == {"change-without-reason"}
    tell(cup, ",women,,,,names exchanged,,", ",,,,,names exchanged,,bib")
    told = corrected(follow(cup))
    assert ("2", "VT", "9.000", "8.900") in told
    assert ("1", "VT", "8.900", "9.000") in told
    assert ("2", "bib", "1", "2") in told


@pytest.mark.parametrize("more", ["", "5,Olive,Oda,South,,DNS\n", "5,Olive,Oda,North,,DNS\n"])
def test_a_row_of_the_roster_hides_no_other_change(cup, more):
    with (cup / "roster.csv").open("a") as roster:
        roster.write(more)
    if more:
        assert judged_after(cup).history.issues[-1].corrected == ()
    penalty = '[[competition.team.penalties]]\nteam = "North"\npoints = 0.5\n\n[[competition.cuts]]'
    edit(cup, "meet.toml", ("[[competition.cuts]]", penalty))
    assert refused(cup) == ["change-without-reason"]


def test_somebody_added_who_has_marks_needs_a_reason_for_each(cup):
    with (cup / "roster.csv").open("a") as roster, (cup / "marks.csv").open("a") as marks:
        roster.write("5,Olive,Oda,South,,\n")
        marks.write("5,9.900,9.900\n")
    edit(cup, "meet.toml", ('"2-2-2"', '"3-3-2"'))
    assert refused(cup) == ["change-without-reason"] * 3
    tell(cup, "5,women,VT,,9.900,forgotten,,", "5,women,BB,,9.900,forgotten,,",
         ",women,,,,three in a team,,")  # fmt: skip
    assert ("5", "VT", "", "9.900") in corrected(follow(cup))


def test_a_withheld_gymnast_in_another_club_moves_teams_by_no_mark(cup):
    edit(cup, "roster.csv", ("Dale,Dora,South", "Dale,Dora,North"), ("Bell,Bea,North", "Bell,Bea,"))
    edit(cup, "roster.csv", ("Bell,Bea,,", "Bell,Bea,South,"))
    assert "change-without-reason" in refused(cup)
    tell(cup, "2,,,,,entry error,,club")
    assert refused(cup) == ["change-without-reason"]


# Who is who


def test_bibs_that_were_exchanged_change_no_mark_and_no_address(cup):
    make_provisional(cup)
    edit(cup, "roster.csv", ("1,Adder", "9,Adder"), ("2,Bell", "1,Bell"), ("9,Adder", "2,Adder"))
    edit(cup, "marks.csv", ("1,9.0", "9,9.0"), ("2,8.9", "1,8.9"), ("9,9.0", "2,9.0"))
    results = follow(cup)
    assert corrected(results) == [("2", "bib", "1", "2"), ("1", "bib", "2", "1")]
    assert {one.bib: gymnast_target(one) for one in results.gymnasts.values()} == {
        "2": "gymnast:women/1", "1": "gymnast:women/2", "3": "gymnast:women/3",
        "4": "gymnast:women/4",
    }  # fmt: skip
    assert judged_after(cup).history.number == 2
    asked = Asked(results)
    assert found_person(asked, "women/1").name == "Bell Bea"


def test_a_withheld_gymnast_alone_left_over_has_another_bib(cup):
    make_provisional(cup)
    edit(cup, "roster.csv", ("4,Dale", "44,Dale"))
    edit(cup, "marks.csv", ("4,8.7", "44,8.7"))
    assert corrected(judged_after(cup)) == [("44", "bib", "4", "44")]


def test_a_bib_with_a_slash_is_a_bib(cup):
    make_provisional(cup)
    for file in ("roster.csv", "marks.csv"):
        edit(cup, file, ("\n4,", "\n4/1,"))
    tell(cup, "4,,,,,new bib,,bib")
    shutil.rmtree(cup / "output")
    (cup / "corrections.csv").unlink()
    follow(cup)
    edit(cup, "marks.csv", ("4/1,8.700", "4/1,8.750"))
    assert corrected(follow(cup)) == [("4/1", "VT", "8.700", "8.750")]
    assert kept(cup)[1].competitions[0].marks[3].bib == "4/1"


AGES = """
== meet.toml ==
title = "Two Ages"

[[competition]]
id = "juniors"
title = "Juniors"
discipline = "women"
divisions = ["junior"]
apparatus = ["VT"]
ranks = ["apparatus"]

[[competition]]
id = "seniors"
title = "Seniors"
discipline = "women"
divisions = ["senior"]
apparatus = ["VT"]
ranks = ["apparatus"]
== roster.csv ==
bib,family_name,given_name,division,club
1,Alder,Ann,junior,Ash
1,Maple,Mia,senior,Oak
2,Nutt,Nell,senior,Oak
== marks.csv ==
bib,competition,apparatus,mark
1,juniors,VT,13.0
1,seniors,VT,14.0
2,seniors,VT,11.0
"""


def addresses(results: Results) -> dict[str, str]:
    return {one.name: one.person for one in results.gymnasts.values()}


def test_who_withdraws_is_whoever_did_and_the_other_keeps_her_address(tmp_path):
    folder = write_folder(tmp_path / "meet", AGES)
    before = addresses(follow(folder))
    edit(folder, "roster.csv", ("1,Alder,Ann,junior,Ash\n", "3,Beech,Bo,junior,Ash\n"))
    edit(folder, "marks.csv", ("1,juniors,VT,13.0\n", "3,juniors,VT,13.0\n"))
    results = follow(folder, allow_removal=True)
    after = addresses(results)
    assert after["Maple Mia"] == before["Maple Mia"] == "women/1/senior"
    (gone,) = results.history.issues[-1].corrected
    assert (gone.person, gone.competition, gone.bib) == ("women/1/junior", "juniors", "1")


def test_nobody_gets_an_address_because_another_wears_the_bib(tmp_path):
    folder = write_folder(tmp_path / "meet", AGES)
    edit(folder, "roster.csv", ("1,Alder,Ann,junior,Ash", "5,Alder,Ann,junior,Ash"))
    edit(folder, "marks.csv", ("1,juniors", "5,juniors"))
    assert addresses(follow(folder))["Maple Mia"] == "women/1"
    with (folder / "roster.csv").open("a") as roster:
        roster.write("1,Elm,Eve,junior,Ash\n")
    found = addresses(follow(folder))
    assert (found["Maple Mia"], found["Elm Eve"]) == ("women/1", "women/1/junior")


# What is no correction, and what is asked


def test_whoever_does_not_start_has_no_marks_added(cup):
    with (cup / "roster.csv").open("a") as roster:
        roster.write("5,Olive,Oda,East,,DNS\n")
    results = judged_after(cup)
    said = publication_sentence(results.history.issues[-1], wording(results.meet.settings))
    assert said == "1 gymnast without a mark, 1 gymnast added"


def test_a_removal_that_was_allowed_once_is_published(cup):
    make_provisional(cup)
    edit(cup, "marks.csv", ("3,8.800,9.200", "3,8.800,"))
    assert refused(cup) == ["published-and-gone"]
    follow(cup, allow_removal=True)
    assert judged_after(cup).history.number == 2
    (cup / "pages").mkdir()
    (cup / "pages" / "news.md").write_text('+++\ntitle = "News"\n+++\nNew text.\n')
    assert judged_after(cup).history.number == 2


def test_what_is_set_before_the_first_total_is_no_correction(cup):
    """Nor is a club that was not given, or an official who was not named, until it is official."""
    make_provisional(cup)
    marks = (cup / "marks.csv").read_text("utf-8")
    (cup / "marks.csv").write_text("bib,VT,BB\n1,,\n", "utf-8")
    shutil.rmtree(cup / "output")
    follow(cup)
    edit(cup, "meet.toml", ('"Women"', '"Ladies"'), ("reserves = 1", "reserves = 2"))
    edit(cup, "roster.csv", ("Cole,Cora,South", "Colt,Cora,"))
    assert corrected(follow(cup)) == []
    (cup / "marks.csv").write_text(marks, "utf-8")
    follow(cup)
    edit(cup, "roster.csv", ("Colt,Cora,", "Colt,Cora,South"))
    assert [one for one in corrected(judged_after(cup)) if one[0]] == []
    edit(cup, "roster.csv", ("Colt,Cora,", "Cole,Cora,"))
    told = [one for one in corrected(judged_after(cup)) if one[0]]
    assert told == [("3", "name", "Colt Cora", "Cole Cora")]


def test_another_meet_is_asked_about(cup):
    make_provisional(cup)
    edit(cup, "meet.toml", ('"Lantern Cup"', '"Harvest Cup"'), ("2031-05-17", "2032-05-15"))
    edit(cup, "marks.csv", ("9.000", "9.300"))
    assert refused(cup) == ["another-meet"]
    tell(cup, ",,,,,moved,,title", ",,,,,moved,,dates")
    assert ("1", "VT", "9.000", "9.300") in corrected(judged_after(cup))


def test_a_reason_that_was_told_stays(cup):
    edit(cup, "marks.csv", ("3,8.800", "3,8.850"))
    tell(cup, "3,women,VT,8.800,8.850,inquiry of her coach,,")
    follow(cup)
    (cup / "corrections.csv").unlink()
    assert refused(cup) == ["published-and-gone"]
    tell(cup, "3,women,VT,8.800,8.850,inquiry,,")
    assert judged_after(cup).history.number == 2


def test_of_whoever_is_gone_no_row_has_to_stay(cup):
    edit(cup, "marks.csv", ("3,8.800", "3,8.850"))
    tell(cup, "3,women,VT,8.800,8.850,inquiry,,")
    follow(cup)
    edit(cup, "roster.csv", ("3,Cole,Cora,South,,\n", ""))
    edit(cup, "marks.csv", ("3,8.850,9.200\n", ""))
    tell(cup, "3,,,,,not a member,yes,")
    assert [one[:2] for one in corrected(follow(cup))] == [("3", "")]


def test_a_row_about_what_is_as_it_was_is_told(cup):
    tell(cup, "3,,,,,entry error,,name")
    assert "is as it was published" in said(cup)
    shutil.rmtree(cup / "output")
    assert "nothing was published here yet" in said(cup)
    assert refused(cup) == ["correction-not-made"]


def test_who_is_gone_is_told_with_the_row_that_says_so(cup):
    edit(cup, "roster.csv", ("3,Cole,Cora,South,,\n", ""))
    edit(cup, "marks.csv", ("3,8.800,9.200\n", ""))
    assert "its row has the bib, and yes under 'gone'" in said(cup)


def test_a_row_told_with_a_change_is_no_reason_of_an_older_one(cup):
    """Until it is told with no change of its own: then it is a reason that comes late."""
    make_provisional(cup)
    edit(cup, "meet.toml", ("reserves = 1", "reserves = 0"))
    follow(cup)
    edit(cup, "meet.toml", ("places = 2", "places = 1"))
    tell(cup, ",women,,,,fewer may go,,")
    assert reasons(follow(cup)) == [set(), set(), {"fewer may go"}]
    tell(cup, ",women,,,,fewer may go,,", ",women,,,,no room for reserves,,")
    assert reasons(follow(cup))[1:3] == [{"no room for reserves"}, {"fewer may go"}]


def test_equal_rows_that_come_late_are_each_the_reason_of_one_change(cup):
    make_provisional(cup)
    for mark in ("8.850", "8.800", "8.850"):
        old = "8.800" if mark == "8.850" else "8.850"
        edit(cup, "marks.csv", (f"3,{old}", f"3,{mark}"))
        follow(cup)
    rows = ("8.800,8.850,first", "8.850,8.800,second", "8.800,8.850,third")
    tell(cup, *(f"3,women,VT,{row},," for row in rows))
    issues = follow(cup).history.issues
    assert [one.reasons[0].why for issue in issues for one in issue.corrected] == [
        "first",
        "second",
        "third",
    ]


# Names that are withheld later


def test_records_keep_nothing_of_whoever_is_withheld_later(cup):
    edit(cup, "marks.csv", ("3,8.800", "3,8.850"))
    tell(cup, "3,women,VT,8.800,8.850,inquiry of Cora Cole,,")
    follow(cup)
    old = cup / "publications"
    shutil.copytree(cup / "output" / "data" / "publications", old)
    edit(cup, "roster.csv", ("Cole,Cora,South,,", "Cole,Cora,South,no,"))
    assert refused(cup) == ["withheld-name"]
    tell(cup, "3,women,VT,8.800,8.850,inquiry,,")
    results = follow(cup)
    assert results.history.number == 3
    assert results.history.issues[-1].corrected == ()
    for record in (cup / "output" / "data" / "publications").iterdir():
        assert not re.search("Cole|Cora", record.read_text("utf-8"))
    (note,) = old_copies(results, old, cup / "output" / "data" / "publications")
    assert "(001.json)" in note
    # To name somebody who was not named is a change like any other.
    edit(cup, "roster.csv", ("Cole,Cora,South,no,", "Colt,Carla,South,,"))
    assert refused(cup) == ["change-without-reason"]


def test_whoever_is_not_on_the_roster_any_more_is_in_no_record(cup):
    edit(cup, "roster.csv", ("2,Bell,Bea,North,,\n", ""))
    edit(cup, "marks.csv", ("2,8.900,8.950\n", ""))
    tell(cup, "2,,,,,not a member,yes,")
    follow(cup)
    for record in (cup / "output" / "data" / "publications").iterdir():
        assert "Bell" not in record.read_text("utf-8")


# Records


def test_a_record_of_version_1_is_read_and_filled_up():
    """The record that the example meet brings along names people by their bib alone."""
    example = Path(__file__).parent.parent / "example_meet"
    (first,), problems = read_publications(example / "publications")
    assert not problems
    assert first.gymnasts[0] == ("men/001", "001", (), None)
    results, _ = checked(example, example / "nowhere", BuildOptions(books=False))
    found = results.history.issues[-1].corrected
    assert {(one.bib, one.old, one.new) for one in found} == {
        ("114", "13.066", "13.266"), ("330", "12.303", "12.033"),
    }  # fmt: skip


def of_version_1(folder: Path) -> None:
    """The record of the only publication as version 1.0 wrote it."""
    record = folder / "output" / "data" / "publications" / "001.json"
    (one,) = kept(folder)
    held = one.model_dump(mode="json", exclude={"facts"})
    held |= {"version": "1.0", "gymnasts": [each.person for each in one.gymnasts]}
    for each in held["competitions"]:
        del each["facts"]
        for ranked in each["lists"]:
            ranked["lines"] = [line[:4] for line in ranked["lines"]]
    record.write_text(json.dumps(held), "utf-8")


def test_the_same_results_after_a_record_of_version_1_have_the_same_number(cup):
    of_version_1(cup)
    assert follow(cup).history.number == 1
    assert kept(cup)[0].gymnasts[0].facts == {"name": "Adder Ada", "club": "North"}


def test_results_corrected_after_a_record_of_version_1_are_compared_by_bib(cup):
    of_version_1(cup)
    edit(cup, "marks.csv", ("3,8.800", "3,8.850"))
    assert refused(cup) == ["change-without-reason"]
    tell(cup, "3,women,VT,8.800,8.850,inquiry,,")
    assert corrected(follow(cup)) == [("3", "VT", "8.800", "8.850")]
    assert [one.number for one in kept(cup)] == [1, 2]


def test_a_later_record_keeps_what_changed(cup):
    edit(cup, "marks.csv", ("3,8.800", "3,8.850"))
    tell(cup, "3,women,VT,8.800,8.850,inquiry,,")
    results = follow(cup)
    first, second = sorted((cup / "output" / "data" / "publications").iterdir())
    assert second.stat().st_size < first.stat().st_size / 2
    changed = json.loads(second.read_text("utf-8"))["patch"]["competitions"]["women"]
    assert changed["marks"] == {"3 VT 1": [8850, None, None, None, None, ""]}
    assert [tree(one) for one in kept(cup)] == [
        tree(issue.publication) for issue in results.history.issues
    ]


@pytest.fixture(scope="module")
def evening(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A meet that was published 152 times, each time with one mark corrected, and once more."""
    folder = write_folder(tmp_path_factory.mktemp("evening") / "meet", CUP)
    edit(folder, "meet.toml", ('"official"', '"provisional"'), ('title = "Lantern Cup"\n',
         'title = "Lantern Cup"\nbase_url = "https://results.example.org/cup/"\n'
         "published = 2031-05-17T12:00:00+02:00\n"))  # fmt: skip
    follow(folder)
    records = folder / "output" / "data" / "publications"
    for number in range(2, 153):
        mark = [8900 - number, None, None, None, None, ""]
        changed = {"competitions": {"women": {"marks": {"2 VT 1": mark}}}}
        held = FORMAT | {"number": number, "patch": {"number": number} | changed}
        (records / f"{number:03d}.json").write_text(json.dumps(held))
    (folder / "output" / "data" / "publications").rename(folder / "publications")
    publish(folder, folder / "site", BuildOptions(books=False), lambda *_: None)
    return folder / "site"


def test_records_grow_by_what_changed(evening):
    records = sorted((evening / "data" / "publications").iterdir())
    assert len(records) == 153
    assert sum(one.stat().st_size for one in records[1:-1]) < 152 * 250


def test_the_page_of_all_publications_comes_in_parts_that_stay(evening):
    """153 publications: 101 to 153 on the first, 51 to 100 and 1 to 50 on parts of their own."""
    told = {}
    for name in ("corrections.html", "corrections/from-51.html", "corrections/from-1.html"):
        page = (evening / name).read_text("utf-8")
        told[name] = [int(one) for one in re.findall(r'id="publication-([0-9]+)"', page)]
        assert "corrections/from-51.html" in page
    assert told["corrections.html"] == list(range(153, 100, -1))
    assert told["corrections/from-51.html"] == list(range(100, 50, -1))
    assert told["corrections/from-1.html"] == list(range(50, 0, -1))


def test_the_feed_tells_the_newest_and_leads_to_where_they_are_told(evening):
    feed = (evening / "feed.xml").read_text("utf-8")
    entries = re.findall(r'href="https://results.example.org/cup/([^"#]+)#([^"]+)"', feed)
    assert len(entries) == 100
    for page, anchor in entries:
        assert f'id="{anchor}"' in (evening / page).read_text("utf-8")


def test_a_record_that_was_edited_is_refused(cup, tmp_path):
    shutil.rmtree(cup / "output")
    publish(cup, cup / "output", BuildOptions(books=False), lambda *_: None)
    record = cup / "output" / "data" / "publications" / "001.json"
    assert record.read_text("utf-8").count("8800") > 1
    record.write_text(record.read_text("utf-8").replace("[8800", "[8810"), "utf-8")
    assert refused(cup) == ["broken-publication"]


# Properties

MARKED = st.tuples(st.sampled_from(("9.000", "8.900")), st.sampled_from(("9.100", "9.000")))
ROWS = st.lists(
    st.tuples(st.sampled_from(("North", "South")), st.sampled_from(("", "", "no")), MARKED),
    min_size=3,
    max_size=4,
)
"""Few marks, so that there are ties."""

EDITS = st.lists(
    st.tuples(
        st.sampled_from(
            ("names", "bibs", "marks", "club", "publish", "mark", "gone", "new", "DNS")
        ),
        st.integers(0, 2),
    ),
    max_size=3,
)
PENALTIES = st.sampled_from(("", "", "North", "South"))
NAMES = ("Adder,Ada", "Bell,Bea", "Cole,Cora", "Dale,Dora", "Elm,Eve", "Fern,Flo", "Gorse,Gil")


@dataclass
class Entry:
    bib: str
    name: str
    club: str
    publish: str
    marks: tuple[str, str]
    status: str = ""


def edited(rows: list[Entry], edits: list[tuple[str, int]]) -> list[Entry]:
    """The rows after slips of all kinds: two exchanged, one written otherwise, gone, or new."""
    found = [replace(row) for row in rows]
    for nth, (kind, where) in enumerate(edits):
        one, other = found[where % len(found)], found[(where + 1) % len(found)]
        if kind in ("names", "bibs", "marks"):
            field = kind.removesuffix("s") if kind != "marks" else kind
            mine, theirs = getattr(one, field), getattr(other, field)
            setattr(one, field, theirs)
            setattr(other, field, mine)
        elif kind in ("club", "publish", "mark"):
            one.club = (
                {"North": "South", "South": "North"}[one.club] if kind == "club" else one.club
            )
            one.publish = {"": "no", "no": ""}[one.publish] if kind == "publish" else one.publish
            one.marks = ("9.050", one.marks[1]) if kind == "mark" else one.marks
        elif kind == "gone" and len(found) > 1:
            found.remove(one)
        else:
            given = ("9.500", "8.000") if kind == "new" else ("", "")
            status = "" if kind == "new" else "DNS"
            found.append(Entry(f"{nth + 7}", NAMES[nth + 4], "South", "", given, status))
    return found


def write(folder: Path, rows: list[Entry], penalty: str) -> None:
    entries = (f"{one.bib},{one.name},{one.club},{one.publish},{one.status}\n" for one in rows)
    marks = (f"{one.bib},{','.join(one.marks)}\n" for one in rows if one.marks[0])
    head = "bib,family_name,given_name,club,publish,status\n"
    (folder / "roster.csv").write_text(head + "".join(entries))
    (folder / "marks.csv").write_text("bib,VT,BB\n" + "".join(marks))
    write_folder(folder, CUP[: CUP.index("== roster")].replace("2-2-2", "7-7-2"))
    if penalty:
        told = f'[[competition.team.penalties]]\nteam = "{penalty}"\npoints = 0.5\n\n'
        edit(folder, "meet.toml", ("[[competition.cuts]]", f"{told}[[competition.cuts]]"))


def printed(results: Results) -> Iterator[tuple[object, ...]]:
    """What stands in each list: the name as printed, the club, the place and the total."""
    for ranking in results.competitions[0].rankings:
        for line in ranking.lines:
            if ranking.of_teams:
                yield "team", line.id, line.place, line.total
            elif line.total is not None:
                one = line.gymnast
                club = one.club if one.published else ""
                yield ranking.kind, ranking.apparatus, one.name, club, line.place, line.total


MARK = r"bib (\S+) on (\w+) in women: "
MENDS = (
    (r"bib (\S+), (\w+): .* under 'what'", "{0},,,,,why,,{1}"),
    (r"under 'competition', and no bib", ",women,,,,why,,"),
    (rf"{MARK}(\S+) was published and is (\S+) now", "{0},women,{1},{2},{3},why,,"),
    (rf"{MARK}(\S+) was published and is not here", "{0},women,{1},{2},,why,yes,"),
    (rf"{MARK}(\S+) is new", "{0},women,{1},,{2},why,,"),
    (r"bib (\S+) of women was published and is not on the roster", "{0},,,,,why,yes,"),
)  # fmt: skip
"""What a message asks for, as a row of the corrections."""


def mended(message: str, bibs: set[str]) -> str:
    for asked, row in MENDS:
        if found := re.search(asked, message):
            worn = row.endswith("yes,") and "women," not in row and found[1] in bibs
            return ",,,,,why,,bib" if worn else row.format(*found.groups())
    raise AssertionError(message)


@settings(max_examples=8, phases=(Phase.reuse, Phase.generate))
@given(held=ROWS, edits=EDITS, penalty=PENALTIES, other=PENALTIES)
def test_no_official_place_changes_without_a_reason(tmp_path_factory, held, edits, penalty, other):
    """Whatever is exchanged, written otherwise, added or taken out: it is refused, or all that was
    printed stands; and the rows that the messages ask for are enough to publish it.
    """
    folder = tmp_path_factory.mktemp("official")
    rows = [Entry(str(nth + 1), NAMES[nth], *one) for nth, one in enumerate(held)]
    write(folder, rows, "")
    if penalty in {one.club for one in rows}:
        write(folder, rows, penalty)
    before = follow(folder)
    after_rows = edited(rows, edits)
    other = other if other in {one.club for one in after_rows} else ""
    write(folder, after_rows, other)
    told: list[str] = []
    for _ in range(3):
        try:
            after = judged_after(folder)
            break
        except MeetProblems as found:
            bibs = {one.bib for one in after_rows}
            told += [mended(str(one), bibs) for one in found.problems]
            tell(folder, *dict.fromkeys(told))
    corrected = after.history.issues[-1].corrected
    assert all(one.reasons for one in corrected)
    hidden = {row.name for row in after_rows if row.publish}
    newly_hidden = hidden & {row.name for row in rows if not row.publish}
    if not (told or newly_hidden):
        assert set(printed(before)) <= set(printed(after))
        assert corrected == ()
    assert bool(told) == bool(corrected)


def test_the_table_of_corrections_has_a_vault_only_beside_an_apparatus(cup):
    edit(cup, "roster.csv", ("Cole,Cora", "Colt,Cora"))
    edit(cup, "marks.csv", ("3,8.800", "3,8.850"))
    tell(cup, "3,,,,,entry error,,name", "3,women,VT,8.800,8.850,inquiry,,")
    (table,) = EXPORTS["corrections"](follow(cup))
    assert {(row[3], row[4]) for row in table.rows} == {("", ""), ("VT", "1")}
