"""Incidents and bests as tables of the meet folder, and the figures where no deduction stands."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest
from folders import write_folder

from resultsgen.reading.meet import read_meet

MEET = """
    == meet.toml ==
    title = "Cup"
    [columns.incidents]
    incident = "what"
    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    rules = "{rules}"
    == roster.csv ==
    bib,family_name,division
    007,Alder,senior
    8,Birch,junior
    == marks.csv ==
    bib,apparatus,mark
    007,BB,9.000
    8,BB,8.500
"""


def folder(tmp_path: Path, more: str, rules: str = "international") -> Path:
    return write_folder(tmp_path, MEET.replace("{rules}", rules) + more)


# What the files in resultsgen/rules/rulebook/incidents say, each with its source there.
@pytest.mark.parametrize(
    ("rules", "fall"),
    [("international", 1_000), ("open-ended-2006", 800), ("club-ten", 500)],
)
def test_a_fall_costs_what_the_rules_of_the_competition_usually_take(tmp_path, rules, fall):
    incidents = "    == incidents.csv ==\n    bib,apparatus,what\n    8,Beam,FALL\n"
    meet, problems = read_meet(folder(tmp_path, incidents, rules))
    assert not problems
    (one,) = meet.incidents
    assert (one.what, one.deduction, one.taken_from) == ("FALL", fall, "E")
    assert one.source


def test_what_the_meet_writes_goes_before_the_figure_and_has_no_source(tmp_path):
    incidents = (
        "    == incidents.csv ==\n    bib,apparatus,what,deduction,note\n"
        '    8,BB,fall,"-0,5",twice\n    007,BB,lost a slipper,0.05,\n'
    )
    meet, problems = read_meet(folder(tmp_path, incidents))
    assert not problems
    assert [(one.gymnast, one.deduction, one.source, one.note) for one in meet.incidents] == [
        (1, 500, "", "twice"),
        (0, 50, "", ""),
    ]


def test_an_unknown_incident_names_the_nearest(tmp_path):
    incidents = "    == incidents.csv ==\n    bib,apparatus,what\n    8,BB,out of bound\n"
    _, problems = read_meet(folder(tmp_path, incidents))
    (problem,) = problems
    assert (problem.file, problem.row, problem.column) == ("incidents.csv", 2, "what")
    assert "did you mean out of bounds?" in problem.message


def test_an_abbreviation_of_an_apparatus_names_the_codes_to_write(tmp_path):
    rows = "".join(f"    8,{word},fall\n" for word in ("SB", "Sp", "XX"))
    rows = f"    == incidents.csv ==\n    bib,apparatus,what\n{rows}"
    _, problems = read_meet(folder(tmp_path, rows))
    mend = "or say what it means under [columns.apparatus] in meet.toml"
    assert [one.message for one in problems] == [
        f"SB is no apparatus here; write UB or BB, {mend}",
        f"Sp is no apparatus here; write VT, {mend}",
        f"XX is no apparatus here; write one of UB, BB, FX, PH, SR, VT, PB, HB, {mend}",
    ]


def test_a_workbook_is_found_where_no_csv_lies(tmp_path):
    meet_folder = folder(tmp_path, "")
    workbook = openpyxl.Workbook()
    workbook.active.append(["bib", "apparatus", "what", "deduction"])
    workbook.active.append(["007", "BB", "fall", 0.5])
    workbook.save(meet_folder / "incidents.xlsx")
    meet, problems = read_meet(meet_folder)
    assert not problems
    assert [(one.file, one.deduction) for one in meet.incidents] == [("incidents.xlsx", 500)]


def test_files_that_are_missing_are_missed_only_where_they_are_named(tmp_path):
    meet_folder = folder(tmp_path, "")
    meet, problems = read_meet(meet_folder)
    assert (meet.incidents, meet.bests, problems) == ((), (), [])
    text = (meet_folder / "meet.toml").read_text("utf-8")
    text = text.replace("[columns.incidents]", 'files.bests = "records.csv"\n[columns.incidents]')
    (meet_folder / "meet.toml").write_text(text, "utf-8")
    _, problems = read_meet(meet_folder)
    assert [(one.file, one.code) for one in problems] == [("records.csv", "no-such-file")]


def test_bests_of_gymnasts_and_of_the_meet(tmp_path):
    bests = (
        "    == bests.csv ==\n    record,bib,division,apparatus,mark\n"
        "    Personal,007,,Balance Beam,9.1\n    meet,,junior,all around,36\n"
    )
    meet, problems = read_meet(folder(tmp_path, bests))
    assert not problems
    assert [
        (one.record, one.gymnasts, one.discipline, one.division, one.apparatus, one.mark)
        for one in meet.bests
    ] == [
        ("personal", (0,), "women", "", "BB", 9_100),
        ("meet", (), "women", "junior", "", 36_000),
    ]


def test_a_total_is_no_best_of_an_apparatus_that_was_left_out(tmp_path):
    bests = "    == bests.csv ==\n    record,bib,apparatus,mark\n    meet,,,36\n"
    _, problems = read_meet(folder(tmp_path, bests))
    assert [(one.row, one.column, one.code) for one in problems] == [(2, "apparatus", "empty-cell")]
