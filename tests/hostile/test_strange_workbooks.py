"""A workbook that comes from a stranger: whatever stands in it, it is told, and steers nothing."""

from __future__ import annotations

import tomllib
from pathlib import Path
from xml.sax.saxutils import escape

import pytest
import test_cost
from new_meets import Run, begun, built, held, run
from workbook_bytes import cell, write_ods, write_sheets

HEADING = ("Bib", "Surname", "First name", "Club", "Vault", "Floor")
CONTROLS = {chr(code) for code in (*range(32), *range(127, 160))} - {"\n", "\t"}


def rows(*lines: tuple[str, ...], first: int = 1) -> str:
    """The rows of a sheet of XLSX, each cell a text."""
    return "".join(
        f'<row r="{row}">'
        + "".join(cell(f"{'ABCDEFGH'[at]}{row}", escape(text)) for at, text in enumerate(line))
        + "</row>"
        for row, line in enumerate(lines, start=first)
    )


def a_table(
    family: str = "Vale", given: str = "Ada", club: str = "Northmoor", bib: int = 7, first: int = 1
) -> str:
    """Two gymnasts; the second wears the next bib."""
    return rows(
        HEADING,
        (str(bib), family, given, club, "9.500", "8.250"),
        (str(bib + 1), f"{family} Torr", "Bea", "Quellheim", "9.250", "8.500"),
        first=first,
    )


def is_harmless(done: Run, folder: Path) -> None:
    """Nothing steers a terminal, no settings come in, and no traceback."""
    assert "Traceback" not in done.told
    assert not CONTROLS & set(done.told), ascii(done.told)
    assert done.code in (0, 1), done.told
    if done.code == 0:
        settings = tomllib.loads((folder / "meet.toml").read_text("utf-8"))
        assert "hacked" not in str(settings.keys())
    else:
        assert not folder.exists()


NAMES = (
    ']"\n#',
    'A"]\ntheme = "hacked"\n["',
    "'''",
    '"""',
    "a\\u0000b",
    "#",
    "x#y#z",
    "../../up",
    "Level 3\x1b[31m",
    "=cmd()",
    "  ",
    "a" * 300,
    "{0} {places} %s",
    "ﬀ\u202egpj",
)


@pytest.mark.parametrize("name", NAMES, ids=ascii)
def test_the_name_of_a_sheet_is_only_a_name(tmp_path, name):
    """With another sheet beside it, so that it has to be named."""
    path = tmp_path / "theirs.xlsx"
    shown = "".join(sign if sign >= " " or sign == "\n" else "_" for sign in name)
    write_sheets(path, {shown: a_table(), "Level 4": a_table("Quill", bib=21)})
    meet = tmp_path / "meet"
    done = begun(meet, [path])
    is_harmless(done, meet)
    if done.code == 0:
        checked = run("check", meet)
        assert checked.code in (0, 1)
        assert not CONTROLS & set(checked.told), ascii(checked.told)
        of_settings = [one for one in checked.told.splitlines() if one.startswith("meet.toml")]
        assert all("hidden sign" in one for one in of_settings), checked.told


def test_texts_of_cells_are_texts_everywhere(tmp_path):
    """A formula, markup, a template and a quotation mark as names of people and clubs."""
    path = tmp_path / "theirs.xlsx"
    family, given = "<script>alert(1)</script>", '=cmd()|"x"!A1'
    club = '"""\n[theme]\nhacked = {{ 7 * 7 }}'
    write_sheets(path, {"Sheet1": a_table(family, given, club)})
    meet = tmp_path / "meet"
    done = begun(meet, [path])
    assert done.code == 0, done.told
    is_harmless(done, meet)
    made = built(meet)
    assert "Traceback" not in made.told
    if made.code == 0:
        pages = {name: text for name, text in held(meet / "output").items() if ".html" in name}
        assert not [name for name, text in pages.items() if b"<script>alert" in text]
        table = (meet / "output/data/gymnasts.csv").read_text("utf-8")
        assert "'=cmd()" in table


def test_a_title_beside_the_table_is_only_told(tmp_path):
    path = tmp_path / "theirs.xlsx"
    title = '</title>"""\x85\ntheme = "hacked" # ]]>'
    sheet = f'<row r="1">{cell("A1", escape(title))}</row>{a_table(first=5)}'
    write_sheets(path, {"Sheet1": sheet})
    done = begun(tmp_path / "meet", [path])
    assert done.code == 0, done.told
    is_harmless(done, tmp_path / "meet")
    assert "</title>" in done.told


@pytest.mark.parametrize(
    "name", ['a"\nb.xlsx', "a#b.xlsx", "-x.xlsx", "..xlsx", "ä ö.xlsx", "meet.toml.xlsx"]
)
def test_the_name_of_a_file_is_only_a_name(tmp_path, name):
    path = tmp_path / name
    write_sheets(path, {"Sheet1": a_table(), "Level 4": a_table("Quill", bib=21)})
    done = begun(tmp_path / "meet", [path])
    is_harmless(done, tmp_path / "meet")


def test_two_hundred_sheets(tmp_path):
    """All are looked at, or how many are is told."""
    path = tmp_path / "theirs.xlsx"
    sheets = {
        f"Level {number}": a_table(f"Vale{number}", bib=1000 + 2 * number) for number in range(200)
    }
    write_sheets(path, sheets)
    done = begun(tmp_path / "meet", [path])
    is_harmless(done, tmp_path / "meet")
    assert "Level 199" in done.told or "sheets" in done.told


def test_two_million_rows_that_are_only_formatted(tmp_path):
    """Nothing stands in them: they are no rows, or what is too much is told."""
    path = tmp_path / "theirs.ods"
    lines = "".join(
        "<table:table-row>"
        + "".join(
            f'<table:table-cell office:value-type="string"><text:p>{text}</text:p>'
            "</table:table-cell>"
            for text in line
        )
        + "</table:table-row>"
        for line in (HEADING, ("7", "Vale", "Ada", "Northmoor", "9.500", "8.250"))
    )
    blank = (
        '<table:table-row table:style-name="ro1" table:number-rows-repeated="2000000">'
        '<table:table-cell table:style-name="ce1" table:number-columns-repeated="6"/>'
        "</table:table-row>"
    )
    write_ods(path, lines + blank)
    done = begun(tmp_path / "meet", [path])
    is_harmless(done, tmp_path / "meet")
    assert done.code == 0 or "rows" in done.told, done.told


def test_blank_formatted_rows_of_xlsx(tmp_path):
    """As a program writes them that formats whole columns."""
    path = tmp_path / "theirs.xlsx"
    blank = "".join(
        f'<row r="{row}"><c r="A{row}" s="1"/><c r="F{row}" s="1"/></row>'
        for row in range(4, 200_000)
    )
    write_sheets(path, {"Sheet1": a_table() + blank})
    done = begun(tmp_path / "meet", [path])
    is_harmless(done, tmp_path / "meet")
    assert done.code == 0 or "rows" in done.told, done.told


@pytest.mark.parametrize(
    ("name", "bytes_of_it"),
    [
        ("none.xlsx", b""),
        ("no zip.xlsx", b"PK\x03\x04 and no more"),
        ("picture.ods", b"\x89PNG\r\n\x1a\n" * 20),
        ("zeros.csv", b"\0" * 1000),
        ("line.csv", b"x" * 300_000),
        ("old.xls", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600),
        ("text.pdf", b"%PDF-1.4"),
    ],
)
def test_what_is_no_table_is_told_and_nothing_is_written(tmp_path, name, bytes_of_it):
    (tmp_path / name).write_bytes(bytes_of_it)
    done = begun(tmp_path / "meet", [tmp_path / name])
    assert done.code == 1, done.told
    assert name in done.told
    assert "Traceback" not in done.told
    assert not (tmp_path / "meet").exists()


def test_a_file_that_is_not_there_is_told(tmp_path):
    done = begun(tmp_path / "meet", [tmp_path / "nothing.xlsx"])
    assert done.code != 0
    assert "nothing.xlsx" in done.told
    assert "usage:" not in done.told
    assert not (tmp_path / "meet").exists()


def test_a_folder_is_no_workbook(tmp_path):
    (tmp_path / "folder.xlsx").mkdir()
    done = begun(tmp_path / "meet", [tmp_path / "folder.xlsx"])
    assert done.code != 0
    assert "folder.xlsx" in done.told
    assert "usage:" not in done.told
    assert "Traceback" not in done.told
    assert not (tmp_path / "meet").exists()


def test_two_files_of_one_name_are_not_laid_over_each_other(tmp_path):
    files = []
    for number, family in enumerate(("Vale", "Quill")):
        place = tmp_path / str(number)
        place.mkdir()
        files.append(place / "marks.xlsx")
        write_sheets(files[-1], {"Sheet1": a_table(family, bib=10 * number + 1)})
    done = begun(tmp_path / "meet", files)
    if done.code == 0:
        kept = [data for name, data in held(tmp_path / "meet").items() if name.endswith(".xlsx")]
        assert {one.read_bytes() for one in files} <= set(kept)
    else:
        assert "marks.xlsx" in done.told
        assert not (tmp_path / "meet").exists()


@pytest.mark.parametrize(
    ("maker", "name"),
    [
        (test_cost.a_cell_in_the_last_corner, "r.xlsx"),
        (test_cost.a_cell_beyond_all_columns, "r.xlsx"),
        (test_cost.millions_of_cells_of_ods, "r.ods"),
        (test_cost.an_archive_that_unpacks_to_much, "r.xlsx"),
        (test_cost.a_line_of_separators, "marks.csv"),
        (test_cost.a_quotation_mark_that_is_never_closed, "marks.csv"),
        (test_cost.a_name_of_unordered_accents_in_xlsx, "r.xlsx"),
    ],
    ids=lambda one: getattr(one, "__name__", ""),
)
def test_what_asks_for_much_is_refused_as_in_a_meet_folder(tmp_path, maker, name):
    """No meet is made of it, or one that says what is wrong with it."""
    (tmp_path / "theirs").mkdir()
    maker(tmp_path / "theirs")
    done = begun(tmp_path / "meet", [tmp_path / "theirs" / name])
    is_harmless(done, tmp_path / "meet")
    assert name in done.told
    assert "Nothing to mend" not in done.told
