"""Marks entered into a folder: what is written, what is asked back, and that none is ever lost."""

from __future__ import annotations

import errno
import io
import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from folders import write_folder
from hypothesis import given as drawn
from hypothesis import settings
from hypothesis import strategies as st
from test_cli import environment, resultsgen

from resultsgen.checks.every import checked
from resultsgen.cli import main
from resultsgen.entering.desk import Desk
from resultsgen.entering.marks_file import MarksFile, opened
from resultsgen.entering.marks_rows import layout_of
from resultsgen.meet.marks import show_mark
from resultsgen.meet.problems import Note
from resultsgen.reading.meet import read_meet
from resultsgen.reading.named_tables import read_source
from resultsgen.scoring.judging import results

MEET = """
== meet.toml ==
title = "Spring Cup"
[[competition]]
id = "women"
title = "Women"
discipline = "women"
apparatus = ["VT", "BB"]
[competition.running]
starts = { A = "VT", B = "BB" }
"""
ROSTER = """
== roster.csv ==
bib,family_name,given_name,squad,start_order,publish
101,Vale,Ada,A,1,
102,Torr,Bea,A,2,
103,Moor,Cleo,A,3,no
201,Fenn,Dora,B,1,
202,Gill,Emmy,B,2,
203,Hale,Fay,B,3,
"""
HEADING = "bib,apparatus,mark,d,e,penalty,bonus,vault,status\n"


def desk(folder: Path, marks: str = "", settings: str = MEET, into: str = "") -> Desk:
    text = settings + ROSTER + (f"== marks.csv ==\n{marks}" if marks else "")
    return Desk(write_folder(folder, text), into)


def held(folder: Path, name: str = "marks.csv") -> str:
    return (folder / name).read_bytes().decode()


def test_the_answer_says_that_a_mark_is_a_guests(tmp_path):
    guest = MEET + ROSTER.replace(",publish", ",guest").replace("A,1,", "A,1,yes")
    at = Desk(write_folder(tmp_path, guest.replace("A,3,no", "A,3,")), "")
    assert at.enter("101 vt 12.5").text.startswith("101 Vale Ada (guest), Vault 12.500")


def test_a_mark_is_written_and_answered_in_a_sentence(tmp_path):
    at = desk(tmp_path)
    answer = at.enter("101 vt 4,9 7.75 .1")
    assert answer.written
    assert answer.text == (
        "101 Vale Ada, Vault 12.550 (4.900 + 7.750 - 0.100): 1st place there as it stands."
    )
    assert held(tmp_path) == HEADING + "101,VT,12.550,4.900,7.750,0.100,,,\n"
    assert at.bare().gymnast.bib == "102"
    assert at.enter("4.5 8.1").text.startswith("102 Torr Bea, Vault 12.600 (4.500 + 8.100): 1st")
    meet, problems = read_meet(tmp_path)
    assert meet
    assert not problems
    assert [row.mark for row in meet.mark_rows] == [12550, 12600]


def test_who_is_over_with_all_has_no_final_place_while_others_have_not_begun(tmp_path):
    both = MEET.replace('["VT", "BB"]', '["VT", "BB"]\nranks = ["all-around"]')
    at = desk(tmp_path, settings=both)
    at.enter("101 vt 4 8", yes=None)
    told = at.enter("101 bb 4 8", yes=None).text
    assert told.endswith("all-around 24.000, 1st place as it stands.")


def test_who_has_gone_on_is_compared_after_the_rotation_of_the_mark_as_in_the_standings(tmp_path):
    three = MEET.replace('["VT", "BB"]', '["VT", "UB", "BB"]').replace('B = "BB"', 'B = "UB"')
    one, two, gone_on = ("101", "VT UB"), ("102", "VT"), ("201", "UB BB VT")
    marks = [(bib, code) for bib, codes in (one, two, gone_on) for code in codes.split()]
    rows = "".join(f"{bib},{code},12.{bib}\n" for bib, code in marks)
    told = desk(tmp_path, f"bib,apparatus,mark\n{rows}", three).enter("102 ub =12").text
    assert told.endswith("all-around 24.102 after 2 of 3, 3rd place of 3 so far.")


def test_a_row_that_is_replaced_keeps_its_other_cells_and_one_of_two_lines_is_mended_there(
    tmp_path,
):
    noted = 'bib,apparatus,mark,note\n101,VT,12.500,-0.3 for the line\n102,VT,12.600,"two\nlines"\n'
    at = desk(tmp_path, noted)
    assert at.enter("101 vt =12.400", yes=None).written
    after = noted.replace("12.500", "12.400")
    assert held(tmp_path) == after
    refused = at.enter("102 vt =12.700", yes=None)
    assert refused.refused == ("marks.csv:3 is no plain row; mend it there",)
    assert held(tmp_path) == after


def test_the_first_of_two_vaults_has_its_place_among_such(tmp_path):
    two = MEET.replace('title = "Women"', 'title = "Women"\nvaults = 2')
    at = desk(tmp_path, settings=two)
    at.enter("101 vt 4 8")
    assert at.enter("102 vt 4 8.2").text.endswith("): 1st place of all marks there so far.")
    assert at.enter("102 vt2 4 8").text == (
        "102 Torr Bea, Vault 2 12.000 (4.000 + 8.000): vault average 12.100, 1st place there."
    )


def test_who_is_withheld_is_told_by_bib(tmp_path):
    at = desk(tmp_path)
    assert at.enter("103 vt 4.9 7.75", yes=None).text.startswith("103, Vault 12.650")
    assert "Cleo" not in str(at.completions())


def test_who_is_up_has_to_be_clear(tmp_path):
    at = desk(tmp_path)
    assert at.bare() is None
    assert "Write bib and apparatus before it; up are 101 VT, 201 BB" in at.enter("4 8").refused[0]
    assert at.enter("bb 4 8").text.startswith("201 Fenn Dora, Balance Beam")
    assert at.enter("vt 4 8").text.startswith("101 Vale Ada, Vault")
    assert at.enter("4 8").text.startswith("102 Torr Bea, Vault")


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("109 vt 4 8", "nobody wears 109; did you mean 10"),
        ("101 fx 4 8", "101 is not in women on fx"),
        ("101 4 8", "on which apparatus was 101"),
        ("101 DNS", "DNS on which apparatus"),
        ("101 vt 4 11", "E is 11.000, but it is from 0 to 10.0"),
        ("101 vt 4.9 7.75 =12", "D and E give 12.650"),
        ("101 vt 4.9 7.75 +.2", "the rules of this competition have none"),
        ("101 vt", "the mark is missing"),
        ("101 bb2 4 8", "bb2 is no number"),
        ("101 vt 4 8 @men", "101 is not in men"),
    ],
)
def test_what_cannot_be_right_is_refused_whatever_is_confirmed(tmp_path, line, why):
    answer = desk(tmp_path).enter(line, yes=None)
    assert why in answer.refused[0]
    assert not (tmp_path / "marks.csv").exists()


def test_all_that_is_unusual_is_asked_at_once_and_nothing_is_written_before(tmp_path):
    at = desk(tmp_path, HEADING + "".join(f"{n},VT,12.650,4.9,7.75,,,,\n" for n in (201, 202, 101)))
    before = held(tmp_path)
    answer = at.enter("103 vt 6 4")
    assert answer.questions == (
        "103 is not up on Vault, but 102 Torr Bea",
        "D 6.000 is higher than E 4.000: exchanged?",
        "10.000 is far from 12.650, usual here",
    )
    assert held(tmp_path) == before
    assert at.enter("103 vt 6 4", yes=answer.questions[1:]).questions == answer.questions
    assert at.enter("103 vt 6 4", yes=answer.questions).written
    assert held(tmp_path) == before + "103,VT,10.000,6.000,4.000,,,,\n"


@pytest.mark.parametrize(
    ("marks", "line", "asked"),
    [
        ((), "102 vt 4 8", ""),  # Each time another of a squad begins.
        ((), "201 vt 4 8", "201 Fenn Dora is not up on Vault, but 101 Vale Ada"),
        ((101,), "102 vt 4 8", ""),
        ((101,), "103 vt 4 8", "103 is not up on Vault, but 102 Torr Bea"),
        ((102,), "103 vt 4 8", ""),
        ((102,), "101 vt 4 8", "101 Vale Ada is not up on Vault, but 103"),
    ],
)
def test_another_than_who_is_up_is_asked_back_where_the_order_is_known(
    tmp_path, marks, line, asked
):
    at = desk(tmp_path, HEADING + "".join(f"{n},VT,12.000,4.0,8.0,,,,\n" for n in marks))
    answer = at.enter(line)
    assert answer.questions == ((asked,) if asked else ())
    assert answer.written is not bool(asked)


def test_a_routine_that_has_a_mark_is_asked_and_its_row_replaced_where_it_stands(tmp_path):
    marks = "bib,apparatus,mark,judge\n101,VT,12.5,Kim\n102,VT,12.4,Lee\n"
    at = desk(tmp_path, marks)
    asked = at.enter("101 vt 12.6").questions
    assert asked == ("101 Vale Ada has 12.500 there already (marks.csv:2): replace it?",)
    assert at.enter("101 vt 12.6", yes=asked).written
    assert held(tmp_path) == "bib,apparatus,mark,judge\n101,VT,12.600,Kim\n102,VT,12.4,Lee\n"
    assert at.undo().text == "Taken back: 101 Vale Ada, Vault 12.600; it is 12.500 again."
    assert held(tmp_path) == marks


def test_a_row_that_cannot_be_replaced_stays_and_nothing_lies_beside_its_file(
    tmp_path, monkeypatch
):
    marks = HEADING + "101,VT,12.500,,,,,,\n"
    at = desk(tmp_path, marks)
    before = {*os.listdir(tmp_path)}

    def full(*_) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    layout = layout_of(tmp_path, at.look().meet.settings, "marks.csv")
    assert not isinstance(layout, str)
    with opened(tmp_path, layout) as file, pytest.raises(OSError, match="No space"):
        file.exchange("101,VT,12.500,,,,,,\n", "")
    assert held(tmp_path) == marks
    assert {*os.listdir(tmp_path)} == before


def test_undo_takes_back_what_was_written_here_and_never_what_others_wrote(tmp_path):
    at, other = desk(tmp_path), Desk(tmp_path)
    assert "nothing was entered here" in at.undo().refused[0]
    at.enter("101 vt 4 8")
    other.enter("201 bb 4 8")
    assert at.undo().text == "Taken back: 101 Vale Ada, Vault 12.000."
    assert held(tmp_path) == HEADING + "201,BB,12.000,4.000,8.000,,,,\n"
    assert "nothing was entered here" in at.undo().refused[0]
    (tmp_path / "marks.csv").write_text(HEADING + "201,BB,12.100,4.000,8.100,,,,\n")
    assert "does not stand in marks.csv as it was written" in other.undo().refused[0]
    assert held(tmp_path) == HEADING + "201,BB,12.100,4.000,8.100,,,,\n"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("newline", ["\n", "\r\n", "\r"])
def test_a_file_keeps_its_own_way_of_writing(tmp_path, encoding, newline):
    heading = ["Endnote;Richter;Start-Nr.;Gerät", "12,100;Jörg;201;BB"]
    settings = MEET + '[tables."marks.csv"]\nencoding = "cp1252"\n' * (encoding == "cp1252")
    at = desk(tmp_path, settings=settings)
    at_end = "" if encoding == "utf-8" else newline
    before = (newline.join(heading) + at_end).encode(encoding)
    (tmp_path / "marks.csv").write_bytes(before)
    answer = at.enter("101 vt 12.55")
    assert answer.written, answer
    added = ("" if at_end else newline) + f"12,550;;101;VT{newline}"
    plain = {"utf-16": "utf-16-le", "utf-8-sig": "utf-8"}.get(encoding, encoding)
    assert (tmp_path / "marks.csv").read_bytes() == before + added.encode(plain)
    assert at.look().competition("women").started
    at.undo()
    assert (tmp_path / "marks.csv").read_bytes() == before + ("" if at_end else newline).encode()


def test_a_mark_goes_into_the_file_of_its_apparatus(tmp_path):
    files = """
        == vt.csv ==
        bib,mark
        == bb.csv ==
        bib,mark
        == meet.toml ==
        title = "Spring Cup"
        [files]
        marks = ["book.xlsx", "vt.csv", "bb.csv", "more.csv"]
        [tables."vt.csv"]
        fixed.apparatus = "Vault"
        [tables."bb.csv"]
        fixed.apparatus = "BB"
        [[competition]]
        id = "women"
        title = "Women"
        discipline = "women"
        apparatus = ["VT", "BB"]
    """
    write_folder(tmp_path, files)
    write_folder(tmp_path, ROSTER)
    (tmp_path / "meet.toml").write_text(held(tmp_path, "meet.toml").replace('"book.xlsx", ', ""))
    at = Desk(tmp_path)
    assert at.enter("101 bb 12.5", yes=None).written
    assert at.enter("101 vt 12.4", yes=None).written
    assert held(tmp_path, "bb.csv") == "bib,mark\n101,12.500\n"
    assert held(tmp_path, "vt.csv") == "bib,mark\n101,12.400\n"
    at = Desk(tmp_path, "more.csv")
    assert at.enter("102 vt 4 8", yes=None).written
    assert held(tmp_path, "more.csv") == HEADING + "102,VT,12.000,4.000,8.000,,,,\n"
    assert "is for BB alone" in Desk(tmp_path, "bb.csv").enter("103 vt 12.3", yes=None).refused[0]


def test_of_several_competitions_it_is_the_one_where_the_routine_is_to_come(tmp_path):
    final = """
[[competition]]
id = "final"
title = "Final"
discipline = "women"
apparatus = ["VT"]
starters = ["101", "102"]
"""
    at = desk(tmp_path, settings=MEET + final)
    refused = at.enter("101 vt 4 8").refused[0]
    assert refused == "101 is in women and final: say which, with @women"
    assert at.enter("101 vt 4 8 @final").written
    told = at.enter("101 vt 4 8.1").text
    assert told.startswith("101 Vale Ada, Vault (in women, not @final) 12.100")
    assert held(tmp_path).splitlines()[1:] == [
        "101,VT,12.000,4.000,8.000,,,,,final",
        "101,VT,12.100,4.000,8.100,,,,,women",
    ]
    fed = final.replace('starters = ["101", "102"]', 'starters = ["102"]\nentered_from = "women"')
    cut = '[[competition.cuts]]\nname = "Final"\nof = "apparatus"\nto = "final"\nplaces = 2\n'
    at = desk(tmp_path / "fed", settings=MEET + cut + fed)
    assert at.enter("102 vt 4 8").text.startswith("102 Torr Bea, Vault 12.000")
    assert held(tmp_path / "fed").endswith(",women\n")


FINAL = """
[[competition.cuts]]
name = "Final"
of = "apparatus"
to = "final"
places = 2
[[competition]]
id = "final"
title = "Final"
discipline = "women"
apparatus = ["VT"]
entered_from = "women"
"""
IN_WOMEN = "bib,apparatus,mark,competition\n" + "".join(
    f"{bib},{code},12.{bib},women\n" for code in ("BB", "VT") for bib in (101, 102, 103, 201, 202)
)


def test_a_slip_begins_no_final_while_its_qualification_runs(tmp_path):
    at = desk(tmp_path, IN_WOMEN, MEET + FINAL)
    asked = "202 Gill Emmy has 12.202 there already (marks.csv:11; in women, not @final): replace"
    assert at.enter("202 vt =12.202").questions[0].startswith(asked)
    assert at.enter("202 vt DNS").questions[0].startswith(asked)
    assert {one.routine.competition for one in at.up()} == {"women"}
    assert at.enter("203 vt =12").text.startswith("203 Hale Fay, Vault 12.000: 6th")
    assert at.enter("201 vt =12.2 @final").written
    for bib in ("201", "202"):  # The one has a mark in the final, the other none so far.
        refused = f"{bib} is in women and final: say which, with @women"
        assert at.enter(f"{bib} vt =12.3").refused == (refused,)
    assert held(tmp_path) == f"{IN_WOMEN}203,VT,12.000,women\n201,VT,12.200,final\n"


def test_no_final_is_offered_for_an_apparatus_on_which_she_is_not_in_it(tmp_path):
    best = IN_WOMEN.replace("101,BB,12.101", "101,BB,13.101")
    at = desk(tmp_path, best, MEET + FINAL.replace('["VT"]', '["VT", "BB"]'))
    asked = "101 Vale Ada has {} there already (marks.csv:{}): replace it?"
    assert at.enter("101 vt =12.101").questions == (asked.format("12.101", "7"),)
    in_both = asked.format("13.101", "2; in women, not @final")
    assert at.enter("101 bb =13.101").questions == (in_both,)


def test_a_slip_that_begins_a_final_is_asked_and_it_is_said_how_to_correct_what_fills_it(tmp_path):
    at = desk(tmp_path, IN_WOMEN + "203,VT,12.1,women\n203,BB,12.1,women\n", MEET + FINAL)
    asked = at.enter("202 vt =12.4").questions
    assert asked == (
        "202 Gill Emmy would begin final: is it in final, not @women?",
        "202 Gill Emmy is not up on Vault (in final, not @women), but 201 Fenn Dora",
    )
    assert at.enter("202 vt =12.4 @women").questions[0].endswith("(marks.csv:11): replace it?")
    told = at.enter("202 vt =12.4", yes=asked).text
    assert told.startswith("202 Gill Emmy, Vault (in final, not @women) 12.400: 1st place there")
    assert at.enter("202 vt =12.5").refused == (
        "202 is in women and final: say which, with @women",
    )
    assert at.enter("201 vt =12.5").text.startswith("201 Fenn Dora, Vault (in final, not @women)")
    assert at.enter("103 vt =12.5").questions[0].startswith("103 has 12.103 there already (")


def test_where_no_file_takes_a_row_it_is_said_which_line_to_write(tmp_path):
    at = desk(tmp_path, "bib,VT,BB\n101,12.5,\n")
    refused = at.enter("102 vt 12.4", yes=None).refused[0]
    assert 'marks = ["marks.csv", "entered.csv"]  under [files]' in refused
    text = held(tmp_path, "meet.toml")
    line = '[files]\nmarks = ["marks.csv", "entered.csv"]\n[[competition]]'
    (tmp_path / "meet.toml").write_text(text.replace("[[competition]]", line, 1))
    assert at.enter("102 vt 12.4", yes=None).written
    assert held(tmp_path, "entered.csv") == HEADING + "102,VT,12.400,,,,,,\n"
    assert "correct the mark there, on line 2" in at.enter("101 vt 12.4", yes=None).refused[0]


def test_nothing_is_dropped_since_a_file_has_no_column_for_it(tmp_path):
    at = desk(tmp_path, "bib,apparatus,mark\n")
    assert "has no column d, e" in at.enter("101 vt 4 8").refused[0]
    assert held(tmp_path) == "bib,apparatus,mark\n"
    assert at.enter("101 vt DNS").written
    assert held(tmp_path) == "bib,apparatus,mark\n101,VT,DNS\n"


def test_a_wrong_row_of_somebody_else_keeps_nobody_from_entering(tmp_path):
    at = desk(tmp_path, "bib,apparatus,mark\n999,VT,12.5\n102,VT,abc\n201,BB,12.1\n")
    assert at.enter("101 vt 12.4").written
    assert [problem.row for problem in at.problems] == [2, 3]
    asked = at.enter("102 vt 12.3").questions
    assert asked == ("102 Torr Bea has what is no mark there already (marks.csv:3): replace it?",)
    assert at.enter("102 vt 12.3", yes=asked).written
    rows = "999,VT,12.5\n102,VT,12.300\n201,BB,12.1\n101,VT,12.400\n"
    assert held(tmp_path) == "bib,apparatus,mark\n" + rows


def test_what_else_is_to_mend_is_told(tmp_path):
    at = desk(tmp_path)
    (tmp_path / "roster.csv").write_text("bib,family_name\n101,Vale\n101,Torr\n")
    assert any("roster.csv:3" in line for line in at.enter("101 vt 4 8").refused)


@pytest.mark.parametrize("tail", ["201,BB,12.", "201,BB,12.5", "201,BB", "2", "201,BB,12.5\0\0"])
def test_a_row_that_a_power_cut_left_is_told_and_read_as_no_mark(tmp_path, tail):
    at = desk(tmp_path, "bib,apparatus,mark\n101,VT,12.400\n")
    with (tmp_path / "marks.csv").open("a") as file:
        file.write(tail)
    before = held(tmp_path)
    assert at.enter("102 vt 12.4", yes=None).refused
    assert held(tmp_path) == before
    [(layout, last)] = at.torn()
    assert last == tail
    at.mend(layout, last, whole=False)
    assert held(tmp_path) == "bib,apparatus,mark\n101,VT,12.400\n"
    assert at.enter("102 vt 12.3").written
    assert not at.torn()


def test_a_whole_row_without_an_end_gets_one(tmp_path):
    at = desk(tmp_path, "bib,apparatus,mark\n101,VT,12.4")
    [(layout, last)] = at.torn()
    at.mend(layout, last, whole=True)
    assert held(tmp_path) == "bib,apparatus,mark\n101,VT,12.4\n"


number = st.integers(0, 9999).map(show_mark)


@drawn(st.lists(st.tuples(number, number, st.none() | number), min_size=1, max_size=6))
@settings(max_examples=10)
def test_what_is_accepted_reads_back_as_just_what_was_shown(tmp_path_factory, marks):
    folder = tmp_path_factory.mktemp("meet")
    at = desk(folder)
    shown = []
    for bib, (d, e, penalty) in zip((101, 102, 103, 201, 202, 203), marks, strict=False):
        answer = at.enter(f"{bib} vt {d} {e} {penalty or ''}", yes=None)
        assert answer.written, answer
        shown.append(answer.text)
    meet, problems = read_meet(folder)
    assert meet
    assert not problems
    for row, text in zip(meet.mark_rows, shown, strict=True):
        penalty = f" - {show_mark(row.penalty)}" if row.penalty else ""
        parts = f"({show_mark(row.d)} + {show_mark(row.e)}{penalty})"
        assert f"{row.bib}" in text
        assert f" {show_mark(row.mark)} {parts}" in text


MANY = """
import sys
from pathlib import Path
from resultsgen.entering.desk import Desk
desk = Desk(Path(sys.argv[1]))
for bib in sys.argv[2:]:
    answer = desk.enter(f"{bib} fx 9.{int(bib):03d}", yes=None)
    print(bib if answer.written else answer, flush=True)
"""


def many(folder: Path, people: int) -> Path:
    bibs = "".join(f"{bib},Vale{bib},club\n" for bib in range(1, people + 1))
    return write_folder(
        folder,
        f"""
== meet.toml ==
title = "Many"
[[competition]]
id = "all"
title = "All"
discipline = "women"
rules = "club-ten"
== roster.csv ==
bib,family_name,club
{bibs}""",
    )


def entering(folder: Path, bibs: range) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", MANY, str(folder), *map(str, bibs)],
        stdout=subprocess.PIPE,
        text=True,
        env=environment(),
    )


def test_four_who_enter_at_once_lose_nothing(tmp_path):
    folder = many(tmp_path, 32)
    processes = [entering(folder, range(first, 33, 4)) for first in (1, 2, 3, 4)]
    said = [process.communicate()[0].split() for process in processes]
    assert sorted(int(bib) for bibs in said for bib in bibs) == list(range(1, 33))
    meet, problems = read_meet(folder)
    assert meet
    assert not problems
    assert {(row.bib, row.mark) for row in meet.mark_rows} == {
        (str(bib), 9000 + bib) for bib in range(1, 33)
    }
    assert held(folder).count("apparatus") == 1


def killed_at_random(folder: Path, after: float) -> tuple[set[str], str]:
    """What was said to be entered before a process was killed, and what stands in the file."""
    process = entering(many(folder, 40), range(1, 41))
    assert process.stdout
    first = process.stdout.readline()
    time.sleep(after)
    process.send_signal(signal.SIGKILL)
    said = {first.strip(), *process.communicate()[0].split()}
    return said, held(folder)


def test_who_is_killed_leaves_whole_rows_and_all_that_was_answered(tmp_path):
    for number in range(int(os.environ.get("RESULTSGEN_KILLS", "2"))):
        said, text = killed_at_random(tmp_path / str(number), random.Random(number).random() / 3)
        assert text.endswith("\n")
        rows = {line.split(",")[0]: line for line in text.splitlines()[1:]}
        assert said <= rows.keys() <= said | {str(len(said) + 1)}
        assert all(line == f"{bib},FX,9.{int(bib):03d},,,,,," for bib, line in rows.items())
        assert Desk(tmp_path / str(number)).enter("40 fx 9.5", yes=None).written


def test_the_command_enters_one_mark_and_asks_by_its_exit_code(tmp_path, capsys):
    desk(tmp_path)
    done = resultsgen("mark", tmp_path, "101", "VT", "--d", "4.9", "--e", "7.75", "--penalty", ".1")
    assert done.returncode == 0
    assert done.stdout.startswith("101 Vale Ada, Vault 12.550 (4.900 + 7.750 - 0.100): 1st place")
    folder = str(tmp_path)
    assert main(["mark", folder, "103", "vt", "7", "4.5"]) == 1
    asked = capsys.readouterr().out
    assert "103 is not up on Vault, but 102 Torr Bea" in asked
    assert "D 7.000 is higher than E 4.500: exchanged?" in asked
    assert held(tmp_path).count("\n") == 2
    assert main(["mark", folder, "103", "vt", "7", "4.5", "--yes"]) == 0
    assert held(tmp_path).endswith("103,VT,11.500,7.000,4.500,,,,\n")
    assert main(["mark", folder, "999", "vt", "7", "4.5", "--yes"]) == 1
    assert main(["mark", folder, "--d", "4.9"]) == 2


LOST = (
    "the mark of {} on {}, {}, was entered, and {}: marks.csv may have been saved from an older "
    "copy; `again` in `resultsgen mark` enters it again, or takes it for done with"
)


def test_a_second_vault_where_one_counts_is_asked_back_and_answered_with_no_place(tmp_path):
    at = desk(tmp_path, HEADING)
    at.enter("101 vt 4 8")
    (asked,) = at.enter("101 vt2 4 8.2").questions
    assert asked.startswith("one vault counts in women, and VT2 has no place: write  vaults = 2")
    assert at.enter("101 vt2 4 8.2", yes=None).text == (
        "101 Vale Ada, Vault 2 12.200 (4.000 + 8.200)."
    )
    meet, _ = read_meet(tmp_path)
    (note,) = [one for one in checked(meet) if isinstance(one, Note)]
    assert (note.row, note.code) == (3, "one-vault-counts")
    two = MEET.replace('"women"', '"women"\nvaults = 2', 1)
    at = desk(tmp_path, HEADING + "101,VT,12.000,4.000,8.000,,,,\n", two)
    assert at.enter("101 vt2 4 8.2").written
    assert not any(isinstance(one, Note) for one in checked(read_meet(tmp_path)[0]))


def test_what_an_editor_takes_out_again_is_told_and_entered_again(tmp_path, capsys, monkeypatch):
    at = desk(tmp_path, HEADING)
    at.enter("101 vt 4 8")
    (tmp_path / "marks.csv").write_text(HEADING + "101,VT,12.100,4.000,8.100,,,,\n")
    assert not at.gone()  # Somebody corrected it.
    at.enter("102 vt 4 8.2 .1")
    at.enter("201 bb dns")
    (tmp_path / "marks.csv").write_text(HEADING)  # By an editor that had it open all the while.
    told = [
        LOST.format(*one, "it stands there no more")
        for one in (("101", "VT", "12.000"), ("102", "VT", "12.100"), ("201", "BB", "DNS"))
    ]
    another = Desk(tmp_path)
    assert [*another.gone()] == told
    meet, _ = read_meet(tmp_path)
    assert [note.message for note in meet.notes if note.code == "entered-mark-lost"] == told
    assert another.enter("202 bb 4 8", yes=None).notes == (*told,)
    main(["check", str(tmp_path)])
    assert told[0] in capsys.readouterr().out
    monkeypatch.setattr("sys.stdin", io.StringIO("again\ny\nout\n\nagain\ny\nagain\n"))
    assert main(["mark", str(tmp_path)]) == 0
    said = capsys.readouterr().out
    assert "101 Vale Ada, Vault 12.000" in said
    assert "All that was entered stands in its file." in said
    assert held(tmp_path) == (
        HEADING + "202,BB,12.000,4.000,8.000,,,,\n101,VT,12.000,4.000,8.000,,,,\n201,BB,,,,,,,DNS\n"
    )


def test_the_mark_of_who_is_off_the_roster_is_not_told_with_each_slip_and_can_be_done_with(
    tmp_path,
):
    at = desk(tmp_path)
    at.enter("203 bb =12", yes=None)
    (tmp_path / "marks.csv").write_text(HEADING)
    assert "enters it again" in at.enter("202 bb =12", yes=None).notes[0]
    roster = held(tmp_path, "roster.csv").replace("203,Hale,Fay,B,3,\n", "")
    (tmp_path / "roster.csv").write_text(roster)
    assert at.enter("201 bb =12.1", yes=None).notes == ()
    told = (
        "the mark of 203 on BB, 12.000, was entered, and the roster has no 203 any more: if that "
        "is meant, `again` in `resultsgen mark` takes the mark for done with",
    )
    assert at.gone() == told
    meet, _ = read_meet(tmp_path)
    assert meet
    assert tuple(note.message for note in meet.notes) == told
    at.leave_out(*at.lost()[0])
    assert at.gone() == ()


def test_a_mark_that_was_replaced_and_is_the_old_one_again_is_told(tmp_path):
    at = desk(tmp_path, HEADING)
    at.enter("101 vt 4 8")
    old = held(tmp_path)
    at.enter("101 vt 4 8.2", yes=None)
    (tmp_path / "marks.csv").write_text(old)
    assert at.gone() == (LOST.format("101", "VT", "12.200", "it is 12.000 again"),)
    (one,) = at.lost()
    assert at.again(one[1]).written
    assert not at.gone()
    at.undo()
    assert held(tmp_path) == old
    assert not at.gone()
    at.enter("101 vt 4 8.2", yes=None)
    (tmp_path / "marks.csv").write_text(HEADING)  # From before both.
    assert at.gone() == (LOST.format("101", "VT", "12.200", "it stands there no more"),)


def test_a_mark_is_in_the_journal_before_it_is_in_its_file(tmp_path, monkeypatch):
    at = desk(tmp_path, HEADING)
    with monkeypatch.context() as patch:
        patch.setattr(MarksFile, "append", lambda *_: os._exit(9))
        process = os.fork()
        if not process:
            at.enter("101 vt 4 8")
        os.waitpid(process, 0)
    assert held(tmp_path) == HEADING
    assert len(Desk(tmp_path).gone()) == 1
    with (tmp_path / ".marks.csv.entered").open("a") as journal:
        journal.write("women,102,VT,1,12")  # And then no power.
    assert at.enter("102 vt 4 8", yes=None).written
    assert [one.bib for _, one in at.lost()] == ["101"]
    with monkeypatch.context() as patch:
        patch.setattr(MarksFile, "append", full)
        assert at.enter("103 vt 4 8", yes=None).refused
    assert [one.bib for _, one in at.lost()] == ["101"], "who was refused has entered nothing"


def full(*_):
    raise OSError(28, "No space left on device")


def test_a_slip_without_a_bib_is_of_who_was_shown_and_of_nobody_else(tmp_path):
    at, other = desk(tmp_path), Desk(tmp_path)
    at.enter("101 vt 4 8")
    at.up()
    assert at.bare().gymnast.bib == "102"
    other.enter("102 vt 4 8.1")
    refused = at.enter("4 8.2").refused[0]
    assert refused == "meanwhile somebody else entered a mark, and 103 is up; write it again"
    at.up()
    assert at.enter("4 8.2").written


def test_the_rotation_of_a_squad_is_said_once(tmp_path):
    plain = MEET.replace('starts = { A = "VT", B = "BB" }', "")
    at = desk(tmp_path, "bib,apparatus,mark,rotation\n", plain)
    at.enter("101 vt 12.1 r1")
    at.enter("102 vt 12.2")
    at.enter("201 bb 12.3 r1")
    at.enter("101 bb 12.4", yes=None)
    assert held(tmp_path).splitlines()[1:] == [
        "101,VT,12.100,1",
        "102,VT,12.200,1",
        "201,BB,12.300,1",
        "101,BB,12.400,",
    ]


def test_a_file_that_is_begun_is_never_empty_and_goes_again_with_nothing_in_it(tmp_path):
    at = desk(tmp_path)
    layout = layout_of(tmp_path, at.look().meet.settings, "marks.csv")
    with opened(tmp_path, layout):
        assert held(tmp_path) == HEADING
    assert not (tmp_path / "marks.csv").exists()
    (tmp_path / "marks.csv").write_text("")
    assert at.enter("101 vt 4 8").written
    assert held(tmp_path) == HEADING + "101,VT,12.000,4.000,8.000,,,,\n"


def test_what_the_system_refuses_is_told(tmp_path):
    at = desk(tmp_path, HEADING)
    (tmp_path / "marks.csv").unlink()
    (tmp_path / "marks.csv").mkdir()
    assert any("marks.csv" in line for line in at.enter("101 vt 4 8").refused)


def test_nothing_outside_of_the_folder_is_written(tmp_path):
    at = desk(tmp_path / "meet")
    (tmp_path / "elsewhere.csv").write_text("bib,apparatus,mark\n")
    (tmp_path / "meet/marks.csv").symlink_to(tmp_path / "elsewhere.csv")
    assert at.enter("101 vt 12.5", yes=None).refused
    assert (tmp_path / "elsewhere.csv").read_text() == "bib,apparatus,mark\n"


@pytest.mark.parametrize(
    "source", [".git/hooks/pre-commit", "output/marks.csv", "Publications/0001.json", "x/../.env",
               "site/marks.csv", "link.csv"]
)  # fmt: skip
@pytest.mark.parametrize("key", ["files.marks", "competition[1].marks"])
def test_nobody_is_led_to_write_into_what_is_hidden_or_published(tmp_path, capsys, source, key):
    line = f"marks = ['{source}']\n"
    settings = MEET + f"[files]\n{line}" if key == "files.marks" else MEET.replace(
        '[competition.running]', f"{line}[competition.running]"
    )  # fmt: skip
    one = desk(tmp_path, settings=settings)
    (tmp_path / ".git/hooks").mkdir(parents=True)
    (tmp_path / ".git/config").write_text("[core]\nmade = 9.4")
    (tmp_path / "site").mkdir()
    (tmp_path / "site/.resultsgen.json").write_text("{}")
    (tmp_path / "link.csv").symlink_to(".git/config")
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    (refused,) = one.enter("101 vt 9.450").refused
    assert f"[{key}] {source} is hidden, or lies where results are published" in refused
    assert one.torn() == []
    for command in (
        ["check"],
        ["build", "--without-books"],
        ["mark", "101", "VT", "--mark", "9.45"],
    ):
        assert main([command[0], str(tmp_path), *command[1:]]) == 1
        assert "(no-source)" in "".join(capsys.readouterr())
    assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == before


def test_a_slip_costs_one_judging_and_reads_no_other_source(tmp_path, monkeypatch):
    settings = MEET + '[files]\nmarks = ["other.csv", "marks.csv"]\n'
    one = desk(tmp_path, HEADING + "101,VT,12.000,4.000,8.000,,,,\n", settings, "marks.csv")
    (tmp_path / "other.csv").write_text(HEADING + "201,BB,11.000,,,,,,\n")
    one.look()
    judged, opened_for_layout = [], []
    monkeypatch.setattr(
        "resultsgen.entering.meet_now.results",
        lambda *given: judged.append(given) or results(*given),
    )
    monkeypatch.setattr(
        "resultsgen.entering.marks_rows.read_source",
        lambda *given: opened_for_layout.append(given[-1]) or read_source(*given),
    )
    assert one.enter("102 vt 4 8.1").written
    assert one.enter("102 vt 4 8.2", yes=None).written
    again = Desk(tmp_path).look()
    assert (again.meet, again.competitions) == (one.look().meet, one.look().competitions)
    assert len(judged) == 3  # Each slip, and the second desk.
    assert set(opened_for_layout) == {"marks.csv"}


def test_after_a_slip_that_is_refused_who_is_up_is_of_the_apparatus_that_was_asked(tmp_path):
    at = desk(tmp_path, HEADING)
    assert at.enter("101 vt 4 8").written
    assert at.enter("202 bb 4 99").refused
    assert at.bare().part == "BB"
    assert at.enter("101 vt 7.5 4.5").questions
    assert at.bare().part == "VT"
