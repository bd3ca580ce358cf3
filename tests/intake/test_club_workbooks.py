"""From a club's workbook to a published meet: every mark that stands in it, and none more."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from pathlib import Path

import club_readers
import club_workbooks
import pytest
from club_workbooks import TWELVE
from new_meets import begun, built, held, run
from openpyxl import Workbook

Maker = Callable[..., list[Path]]

TOLD = {
    "titles_above_and_a_signature_below": (
        "Brackenfell Autumn Cup", "printed by Hall B", "Head judge's signature", "2026-11-14",
    ),
    "a_heading_of_two_rows": ("Herbstpokal der Männer", "Kampfrichter: A. Beispielmann"),
    "a_sheet_for_each_level": ("Level 4 - club championships", "Level 3", "Level 4", "Level 5"),
    "a_sheet_for_each_apparatus": ("BALANCE BEAM", "Vault", "Uneven Bars", "Balance Beam"),
    "a_sheet_for_each_session": ("2025 old", "printed from Session 2", "Session 1", "hidden"),
    "two_tables_side_by_side": ("Kinderturntag Ebersfeld", "Stufe A", "Stufe B"),
    "rows_of_groups_and_headings_again": ("Coupe du Lac", "Niveau 1", "Niveau 2"),
    "a_csv_of_an_old_program": ("cp1252", "Coupe de Noël – « 12e édition »"),
    "an_ods_with_dates_of_birth": ("Trofeo de Otoño", "Olmeda, 7 de noviembre"),
    "formulas_errors_and_a_date": (),
    "names_in_one_column_and_words_for_no_start": (
        "Gaupokal – Balken und Boden", "E1", "E2", "E3", "E4", "krank", "n.a.",
    ),
    "a_roster_and_marks_in_three_files": ("Info", "Rückfragen an die Geschäftsstelle"),
}  # fmt: skip
"""What of each is not published, or is taken for something, and has to be said."""

TO_MEND = {
    "formulas_errors_and_a_date": (
        r"scoring sheet\.xlsx\S*:4 \[Vault\].*#N/A",
        r"scoring sheet\.xlsx\S*:6 \[Floor\].*9\.5",
    ),
    "a_roster_and_marks_in_three_files": (r"Boden\.ods\S*:4 \[.*",),
}
"""The cells that somebody has to mend before it builds."""

STATED = r"scoring sheet\.xlsx\S*:(\d+ \[(?:Total|Place)\])"


@pytest.fixture(scope="module", params=TWELVE, ids=lambda one: one.__name__)
def meet(request, tmp_path_factory):
    """A workbook, what was said of it before and while a meet was begun with it, and that meet."""
    maker: Maker = request.param
    place = tmp_path_factory.mktemp("club")
    (place / "theirs").mkdir()
    files = maker(place / "theirs")
    before = held(place / "theirs")
    return maker.__name__, place / "meet", before, *_beginning(place, files)


def _beginning(place: Path, files: list[Path]):
    tried = begun(place / "meet", files, "--dry-run")
    written = (place / "meet").exists()
    return tried, written, begun(place / "meet", files)


def test_every_mark_is_published_and_none_more(meet):
    name, folder, *_, done = meet
    maker: Maker = getattr(club_workbooks, name)
    assert done.code == 0, done.told
    mended = folder.parent / "mended"
    mended.mkdir()
    if name in TO_MEND:
        first = run("check", folder)
        assert first.code == 1, first.told
        for pattern in TO_MEND[name]:
            assert re.search(pattern, first.told), (pattern, first.told)
        for path in maker(mended, mended=True):
            shutil.copy(path, folder / path.name)
    made = built(folder)
    assert made.code == 0, done.told + made.told
    theirs = mended if name in TO_MEND else folder.parent / "theirs"
    expected = getattr(club_readers, name)(theirs)
    assert expected
    found = club_readers.published(folder / "output" / "data")
    assert not club_readers.differences(expected, found), done.told + made.told
    wrong = 1 if name == "formulas_errors_and_a_date" else 0
    assert made.told.count("stated-otherwise") == wrong, made.told


def test_what_is_not_published_is_said(meet):
    name, folder, *_, done = meet
    told = done.told + run("check", folder).told
    assert not [one for one in TOLD[name] if one not in told], told


def test_trying_writes_nothing_and_says_the_same(meet):
    _, _, _, tried, written, done = meet
    assert tried.code == 0, tried.told
    assert not written
    said = set(done.told.splitlines())
    assert len(set(tried.told.splitlines()) - said) <= 2, tried.told


def test_their_files_stay_as_they_are_and_are_copied(meet):
    name, folder, before, *_ = meet
    assert held(folder.parent / "theirs") == before
    if name not in TO_MEND:
        assert {one: (folder / one).read_bytes() for one in before} == before


def test_a_folder_that_is_not_empty_is_refused(meet):
    _, folder, before, *_ = meet
    there = held(folder)
    again = begun(folder, [folder.parent / "theirs" / one for one in before])
    assert again.code != 0
    assert "not empty" in again.told
    assert held(folder) == there


@pytest.mark.parametrize("added_up", [False, True])
def test_a_total_of_the_workbook_is_compared_with_the_judging(tmp_path, added_up):
    """A total that is older than a mark is told, and no other."""
    maker = club_workbooks.formulas_errors_and_a_date
    files = maker(tmp_path, mended=True, added_up=added_up)
    done = begun(tmp_path / "meet", files)
    checked = run("check", tmp_path / "meet")
    assert checked.code == 0, done.told + checked.told
    assert re.findall(STATED, checked.told) == ([] if added_up else ["3 [Total]"]), checked.told


def test_of_a_date_of_birth_the_year_alone_is_kept(tmp_path):
    """No file that is published or written has the day; their own file alone keeps it."""
    files = club_workbooks.an_ods_with_dates_of_birth(tmp_path)
    meet = tmp_path / "meet"
    assert begun(meet, files).code == 0
    made = built(meet)
    assert made.code == 0, made.told
    for name, held_there in held(meet).items():
        if name != files[0].name:
            assert not re.search(rb"20\d\d-04-\d\d", held_there), name


def test_the_same_workbook_gives_the_same_folder(tmp_path):
    """Sheets in pairs, a cleaned copy, and numbers that were made."""
    for maker in (
        club_workbooks.two_tables_side_by_side, club_workbooks.a_sheet_for_each_apparatus,
    ):  # fmt: skip
        place = tmp_path / maker.__name__
        place.mkdir()
        files = maker(place)
        made = [begun(place / name, files).code for name in ("one", "other")]
        assert made == [0, 0]
        assert held(place / "one") == held(place / "other")


HEADING = ("Bib", "Surname", "First name", "Level", "Vault", "Floor")


@pytest.mark.parametrize("name", ["Swans", "Sheet2"])
def test_where_a_sheet_has_a_level_the_others_have_one_too(tmp_path, name):
    """By their names, about which somebody is asked: nobody is in two competitions."""
    path = tmp_path / "mixed.xlsx"
    book = Workbook()
    book.active.title = "Level 2"
    for number, sheet in enumerate((book.active, book.create_sheet(name))):
        sheet.append([*HEADING[:3], *HEADING[4:]])
        sheet.append([number, "Vale", f"Ada {name}"[: 3 + 3 * number], 9.5, 8.25])
    book.save(path)
    done = begun(tmp_path / "meet", [path])
    assert f'to decide: mixed.xlsx#{name}: "{name}" was taken for a level' in done.told
    assert run("check", tmp_path / "meet").code == 0, done.told


def test_who_alone_has_no_level_is_told(tmp_path):
    path = tmp_path / "forgotten.xlsx"
    book = Workbook()
    for row in (HEADING, (1, "Vale", "Ada", "Level 2", 9, 8), (2, "Torr", "Bea", None, 9.5, 8.5)):
        book.active.append(row)
    book.save(path)
    assert begun(tmp_path / "meet", [path]).code == 0
    checked = run("check", tmp_path / "meet")
    assert re.search(r"forgotten\.xlsx:3 .*in-no-competition", checked.told), checked.told
    assert "forgotten.xlsx:2" not in checked.told


def test_the_name_of_a_sheet_is_said_of_each_of_its_tables(tmp_path):
    """Unless the lines above them say otherwise."""
    path = tmp_path / "two tables.xlsx"
    book = Workbook()
    book.active.title = "Level 4"
    for row in (
        HEADING[:3] + HEADING[4:], (1, "Vale", "Ada", 9, 8), (), ("Bib", "Surname", "Floor"),
        (2, "Torr", 9.5),
    ):  # fmt: skip
        book.active.append(row)
    book.save(path)
    done = begun(tmp_path / "meet", [path])
    assert built(tmp_path / "meet").code == 0, done.told
    found = club_readers.published(tmp_path / "meet/output/data")
    assert {(one.family, one.division) for one in found} == {
        ("Vale", "Level 4"),
        ("Torr", "Level 4"),
    }
