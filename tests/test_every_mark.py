"""Every mark of a meet shows wherever its owner does, in a list or beside it, and in the record."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from folders import judged, write_folder
from marks_shown import differences, written

from resultsgen.data.tables import EXPORTS
from resultsgen.meet.marks import show_mark
from resultsgen.publishing.recording import record
from resultsgen.scoring.results import Results
from resultsgen.views.lists.lists import list_views
from resultsgen.views.lists.table import Row
from resultsgen.views.people.clubs import club_views
from resultsgen.views.people.gymnasts import gymnast_views
from resultsgen.views.words.wording import Wording

MEET = """
== meet.toml ==
title = "Cup"
[[competition]]
id = "w"
title = "Women"
discipline = "women"
{settings}
== roster.csv ==
bib,family_name,club,team,entered,guest
1,Adder,North,A,,
2,Bellow,South,A,,
3,Corrin,North,{team},VT,{guest}
== marks.csv ==
bib,apparatus,vault,mark
1,VT,1,13.123
1,VT,2,12.987
2,VT,1,13.500
2,VT,2,13.100
2,UB,,12.000
2,BB,,11.000
2,FX,,10.000
3,VT,1,11.777
"""
TEAM = 'ranks = ["team"]\nteam = { format = "9-9-1", by = "team" }'

KINDS = {
    "one vault counts": ('ranks = ["all-around", "apparatus"]', "A", ""),
    "two vaults are asked": ('ranks = ["all-around", "apparatus"]\nvaults = 2', "A", ""),
    "only the apparatus, two vaults": ('ranks = ["apparatus"]\nvaults = 2', "A", ""),
    "only the all-around": ('ranks = ["all-around"]', "A", ""),
    "only teams, and she is in none": (TEAM, "", ""),
    "only teams, and she is a guest": (TEAM, "A", "yes"),
}  # fmt: skip


@pytest.fixture(params=KINDS.values(), ids=list(KINDS))
def results(request, tmp_path: Path) -> Results:
    settings, team, guest = request.param
    text = MEET.format(settings=settings, team=team, guest=guest)
    return judged(write_folder(tmp_path, text))


def given(results: Results) -> set[tuple[str, str, str, str]]:
    """Bib, apparatus, vault and mark of every row of the marks."""
    rows = results.meet.mark_rows
    return {(row.bib, row.apparatus, str(row.vault), show_mark(row.mark)) for row in rows}


def test_the_record_of_a_publication_has_every_mark(results):
    kept = record(results, 1, None).competitions[0].marks
    assert {(one.bib, one.apparatus, str(one.vault), one.text) for one in kept} == given(results)


def test_the_table_of_routines_has_every_mark(results):
    table = next(EXPORTS["routines"](results))
    at = list(table.columns).index
    names = ("bib", "apparatus", "vault", "mark")
    assert {tuple(row[at(name)] for name in names) for row in table.rows} == given(results)


def test_the_page_of_a_gymnast_has_every_mark(results):
    shown = {
        (view.target[-1], cell.text)
        for view in gymnast_views(results, Wording())
        for entry in view.entries
        for row in entry.table.rows
        for cell in row.cells
    }
    assert {(bib, mark) for bib, _, _, mark in given(results)} <= shown
    together = {
        (view.target[-1], cell.text)
        for view in gymnast_views(results, Wording())
        for row in view.matrix.rows
        for cell in row.cells
    }
    assert {(bib, mark) for bib, _, _, mark in given(results)} <= together


def test_what_no_list_takes_stands_below_one_with_why(results):
    one = results.competitions[0]
    view = next(v for v in list_views(one, Wording()) if v.target.endswith(one.home.id))
    rows = [row for row in view.tables[0].rows if "unranked" in row.kind]
    notes = {note.mark: note.text for note in view.tables[0].notes}
    told = [(notes[row.cells[0].note], marks_in(row)) for row in rows if row.cells[0].note]
    settings = one.competition
    expected = {
        ("apparatus", 1): [("A second vault where one counts", {"12.987"}),
                           ("A second vault where one counts", {"13.100"})],
        ("apparatus", 2): [("One vault where two are asked", {"11.777"})],
        ("team", 1): [("A second vault where one counts", {"12.987"}),
                      ("A second vault where one counts", {"13.100"}),
                      ("A guest, who is in no team" if results.gymnasts[2].guest
                       else "In no team that is ranked", {"11.777"})],
        ("all-around", 1): [("A second vault where one counts", {"12.987"}),
                            ("A second vault where one counts", {"13.100"}),
                            ("Not in the all-around", {"11.777"})],
    }[settings.ranks[-1], settings.vaults]  # fmt: skip
    assert told == [(f"{why}: no place.", marks) for why, marks in expected]


def marks_in(row: Row) -> set[str]:
    return {cell.text for cell in row.cells[2:] if cell.text not in ("", "·")}


def test_the_club_page_has_every_mark_of_its_gymnasts(results):
    for club in club_views(results, Wording()):
        shown = {mark for entry in club.entries for table in entry.tables
                 for row in table.rows for mark in marks_in(row)}  # fmt: skip
        own = {one.bib for one in results.gymnasts.values() if one.club == club.name}
        assert {mark for bib, _, _, mark in given(results) if bib in own} <= shown


@pytest.mark.parametrize("seed", range(6))
def test_every_mark_of_the_input_is_the_mark_on_page_book_and_data(tmp_path, seed):
    truth = written(tmp_path, random.Random(seed))
    assert differences(judged(tmp_path), truth) == []
