"""`resultsgen new DIR --from FILE...`: what is written and said, whatever the files are like."""

from __future__ import annotations

import os
import re
import tomllib
from pathlib import Path

import pytest
import xlsxwriter

from resultsgen.cli import main
from resultsgen.reading.meet import read_meet
from resultsgen.reading.settings import read_settings

MARKS = "Bib;Name;Club;VT;FX;Total\n1;Vale, Ada;North;9,1;9,2;18,3\n2;Torr, Bea;South;-;9;9\n"


@pytest.fixture
def new(tmp_path, capsys):
    """Run the command on files, given by name and text; how it ended and what it said."""

    def run(*options: str, **files: str | bytes):
        (tmp_path / "theirs").mkdir(exist_ok=True)
        paths = []
        for name, held in files.items():
            path = tmp_path / "theirs" / name.replace("__", ".")
            path.write_bytes(held if isinstance(held, bytes) else held.encode())
            paths.append(str(path))
        code = main(["new", str(tmp_path / "meet"), "--from", *paths, *options])
        told = capsys.readouterr()
        return code, told.out + told.err

    return run


def workbook(path: Path, **sheets: list[list[object]]) -> bytes:
    with xlsxwriter.Workbook(path, {"strings_to_formulas": False}) as book:
        for name, rows in sheets.items():
            sheet = book.add_worksheet(name.replace("_", " "))
            for row, cells in enumerate(rows):
                sheet.write_row(row, 0, cells)
    return path.read_bytes()


def settings_of(folder: Path):
    return tomllib.loads((folder / "meet.toml").read_text(encoding="utf-8"))


def test_a_table_is_read_where_it_is_and_the_folder_builds(new, tmp_path):
    code, told = new(scores__csv=MARKS)
    assert code == 0
    assert "2 compared, all equal" in told
    assert "Nothing to mend" in told
    written = settings_of(tmp_path / "meet")
    assert written["files"] == {"roster": "scores.csv", "marks": "scores.csv"}
    assert written["columns"]["status"] == {"-": "DNS"}
    assert [one["rules"] for one in written["competition"]] == ["club-ten"]
    assert (tmp_path / "meet/scores.csv").read_bytes() == MARKS.encode()
    assert "invented" not in (tmp_path / "meet/README.md").read_text()


def test_trying_writes_nothing_anywhere(new, tmp_path):
    code, told = new("--dry-run", scores__csv=MARKS)
    assert (code, [path.name for path in tmp_path.iterdir()]) == (0, ["theirs"])
    assert "Nothing was written" in told


@pytest.mark.parametrize(
    "held", ["", "Dear all,\nwe meet at ten\n", b"\0\x81\xfe", b"PK\x03\x04broken"]
)
@pytest.mark.parametrize("name", ["letter__csv", "letter__xlsx"])
def test_where_no_table_is_nothing_is_written(new, tmp_path, name, held):
    code, told = new(**{name: held})
    assert code == 1
    assert "nothing was written" in told
    assert [path.name for path in tmp_path.iterdir()] == ["theirs"]


def test_what_is_not_there_is_wrong_usage(tmp_path, capsys):
    assert main(["new", str(tmp_path / "meet"), "--from", str(tmp_path / "absent.csv")]) == 2
    assert main(["new", str(tmp_path / "meet"), "--dry-run"]) == 2
    assert "there is no file" in capsys.readouterr().err
    assert not (tmp_path / "meet").exists()


def test_a_folder_that_is_there_stays_as_it_is(new, tmp_path):
    (tmp_path / "meet").mkdir()
    code, _ = new(scores__csv=MARKS)
    assert code == 0
    before = {path: path.read_bytes() for path in (tmp_path / "meet").iterdir()}
    code, told = new(scores__csv=MARKS)
    assert (code, "not empty" in told) == (3, True)
    assert {path: path.read_bytes() for path in (tmp_path / "meet").iterdir()} == before


def test_a_failure_half_way_leaves_nothing(new, tmp_path, monkeypatch):
    def fails(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("resultsgen.intake.writing.checked", fails)
    code, _ = new(scores__csv=MARKS)
    assert code == 3
    assert [path.name for path in tmp_path.iterdir()] == ["theirs"]


def test_names_that_mean_something_here_are_not_taken(new, tmp_path):
    code, told = new(meet__toml=MARKS, roster__csv="Bib;Name;Club\n1;Vale, Ada;North\n")
    assert code == 0
    assert "meet.toml: copied as meet-2.toml" in told
    assert "roster.csv: copied" not in told
    assert settings_of(tmp_path / "meet")["title"]


def test_a_link_is_copied_as_the_file_it_leads_to(new, tmp_path):
    (tmp_path / "elsewhere.csv").write_text(MARKS)
    os.symlink(tmp_path / "elsewhere.csv", tmp_path / "linked.csv")
    assert main(["new", str(tmp_path / "meet"), "--from", str(tmp_path / "linked.csv")]) == 0
    assert not (tmp_path / "meet/linked.csv").is_symlink()


STRANGE = ('a"]', "x = 1", "'''", "#!", "\\u0041", "{a}", "= 1+1", "<b>", "%s", "ä" * 20)


@pytest.mark.parametrize("text", STRANGE)
def test_no_text_of_a_workbook_becomes_a_setting(new, tmp_path, text):
    """In titles, headings, levels, words for marks, and in the names of sheets."""
    name = text.translate(dict.fromkeys(map(ord, "[]:*?/\\'")))[:20] or "x"
    rows = [
        [text],
        ["Name", "Club", "VT", "FX", f"{text} {text}"],
        [f"Vale, Ada{text}", text, "9.1", "9.2", text],
        ["Torr, Bea", "South", text, "9.0", ""],
    ]
    held = workbook(tmp_path / "a.xlsx", **{f"{name} 1": rows, f"{name} 2": rows[1:]})
    code, _ = new(club__xlsx=held)
    assert code == 0
    settings, _, problems = read_settings(tmp_path / "meet")
    assert not problems
    assert settings is not None
    assert {*settings_of(tmp_path / "meet")} <= {
        "title", "bibs", "status", "privacy", "files", "tables", "columns", "competition",
    }  # fmt: skip


def test_a_copy_has_no_cell_that_a_spreadsheet_would_run(new, tmp_path):
    rows = [
        ["Name", "Club", "VT"],
        ["Level 3"],
        ["Vale, Ada", "=cmd()", 9.1],
        ["Torr, Bea", "+South", 9.0],
    ]
    code, _ = new(club__xlsx=workbook(tmp_path / "a.xlsx", Marks=rows))
    assert code == 0
    (copy,) = (tmp_path / "meet").glob("club*.csv")
    assert "'=cmd()" in copy.read_text()
    assert "'+South" in copy.read_text()
    assert "'=cmd()" in (tmp_path / "meet/roster.csv").read_text()


def test_who_has_marks_on_two_sheets_of_levels_is_one_person_in_two_competitions(new, tmp_path):
    rows = [["Name", "Club", "VT"], ["Vale, Ada", "North", 9.1], ["Torr, Bea", "South", 9.0]]
    held = workbook(tmp_path / "a.xlsx", Level_3=rows, Level_4=[*rows[:2], ["Lark, Eva", "S", 8]])
    code, told = new(club__xlsx=held)
    assert code == 0
    assert "Nothing to mend: 4 rows on the roster, 2 competitions." in told
    written = settings_of(tmp_path / "meet")
    assert written["bibs"] == "made"
    assert [how["fixed"] for how in written["tables"].values()] == [
        {"competition": "level-3"}, {"competition": "level-4"},
    ]  # fmt: skip


def test_numbers_that_begin_anew_on_each_sheet_are_no_bibs(new, tmp_path):
    head = ["Nr", "Name", "VT"]
    held = workbook(
        tmp_path / "a.xlsx",
        Level_3=[head, [1, "Vale, Ada", 9.1], [2, "Torr, Bea", 9.0]],
        Level_4=[head, [1, "Lark, Eva", 9.1], [2, "Virr, Dea", 9.0]],
    )
    code, told = new(club__xlsx=held)
    assert code == 0
    assert "1 is Vale, Ada and Lark, Eva" in told
    assert "Nothing to mend: 4 rows on the roster" in told


HEAD = ["Nr", "Name"]
NOBODY_KNOWS = {
    "AK 9": [[*HEAD, "Hock", "Stand"], [1, "Vale, Ada", 9.1, 8.25], [2, "Torr, Bea", 9.05, "DNS"]],
    "AK 8": [[*HEAD, "Hock", "Stand"], [3, "Lark, Eva", 8.5, 8.75]],
}


def test_numbers_under_headings_that_nobody_knows_are_refused_until_said_and_then_marks(
    new, tmp_path
):
    code, told = new(club__xlsx=workbook(tmp_path / "a.xlsx", **NOBODY_KNOWS))
    assert (code, told.count("Hock holds numbers like marks")) == (0, 1)
    waits = "there are numbers in 5 cells under Hock, Stand: no mark was taken, until"
    assert waits in told.splitlines()[-1]
    meet = tmp_path / "meet"
    text = (meet / "meet.toml").read_text(encoding="utf-8")
    assert not re.search(r"(?m)^# .(Hock|Stand)", text), "no apparatus is likelier than others"
    problems = read_meet(meet)[1]
    assert [one.column for one in problems] == ["columns.apparatus.Hock", "columns.apparatus.Stand"]
    answered = text.replace('"Hock" = ""', '"Hock" = "VT"').replace(
        '"Stand" = ""', '"Stand" = "BB"'
    )
    (meet / "meet.toml").write_text(answered, encoding="utf-8")
    read, problems = read_meet(meet)
    assert not problems
    assert [one.mark for one in read.mark_rows] == [9100, 8250, 9050, None, 8500, 8750]
    assert settings_of(meet)["competition"][0]["ranks"] == ["all-around", "apparatus"]


def test_what_no_other_heading_settles_is_asked_with_what_it_may_be(new, tmp_path):
    code, told = new(
        scores__csv="Nr;Name;Sprung;SB;Boden\n1;Vale, Ada;9,1;8,2;9\n2;Torr, Bea;9;8;8\n"
    )
    waits = "there are numbers in 2 cells under SB: none of these was taken"
    assert (code, waits in told) == (0, True)
    text = (tmp_path / "meet/meet.toml").read_text(encoding="utf-8")
    assert '# "SB" = "UB"\n# "SB" = "BB"\n' in text
    assert "\napparatus = " not in text
    assert main(["check", str(tmp_path / "meet")]) == 1


def test_whole_numbers_may_be_marks_under_what_may_be_an_apparatus_alone(new, tmp_path):
    code, told = new(
        scores__csv="Nr;Name;Sprung;SB;Alter\n1;Vale, Ada;9;8;11\n2;Torr, Bea;9;8;12\n"
    )
    waits = "there are numbers in 2 cells under SB: none of these was taken"
    assert (code, waits in told) == (0, True)


def test_where_a_line_and_the_name_of_the_sheet_write_a_level_otherwise_the_line_goes(
    new, tmp_path
):
    rows = [["AK 10/11"], [*HEAD, "VT", "BB"], [1, "Vale, Ada", 9.1, 9], [2, "Torr, Bea", 9, 9]]
    code, told = new(
        club__xlsx=workbook(tmp_path / "a.xlsx", **{"AK 10-11": rows, "AK 9": NOBODY_KNOWS["AK 8"]})
    )
    assert (code, 'AK 10-11 A2:D4: roster and marks, rows: 2; division = "AK 10/11"' in told) == (
        0,
        True,
    )
    assert "in-no-competition" not in told


def test_who_alone_has_no_bib_has_marks_under_the_one_that_was_made(new, tmp_path):
    rows = "Nr;Name;VT;Gesamt\n7;Vale, Ada;9,1;9,1\n;Torr, Bea;9,2;9,2\n8;Lark, Eva;8;8\n"
    code, told = new(scores__csv=rows)
    assert code == 0
    why = "it has rows without a bib, and one was made for each: line 3 (Torr, Bea);"
    assert f"scores-2.csv, since {why}" in told
    assert ": 1 bib made, in the order" in told
    assert '\n1,"Torr, Bea","9,2","9,2"\n' in (tmp_path / "meet/scores-2.csv").read_text()
    assert not read_meet(tmp_path / "meet")[1]


def test_each_row_for_which_a_bib_was_made_is_named(new):
    rows = "Nr;Name;Gerät;Note\n7;Vale, Ada;VT;9,1\n;Torr, Bea;VT;9,2\n;Torr, Bea;BB;8\n"
    assert "made for each: line 3 (Torr, Bea), line 4 (Torr, Bea);" in new(scores__csv=rows)[1]


def test_a_bib_that_stands_elsewhere_is_not_put_beside_a_name(new, tmp_path):
    code, told = new(entries__csv=ENTRIES, m__csv="Bib;Name;VT\n1;Vale, Ada;9,1\n;Torr, Bea;9\n")
    assert (code, "m.csv:3 [Bib] the bib is empty" in told) == (0, True)


def test_a_total_that_is_otherwise_is_told_before_what_was_left_alone(new, tmp_path, capsys):
    """Sheet after sheet has a title and signatures, which are told again at every check."""
    rows = "Cup;;;\nBib;Name;VT;Total\n1;Vale, Ada;9,1;9,1\n2;Torr, Bea;9,2;9,3\n\nSigned;;;\n"
    assert new(scores__csv=rows)[0] == 0
    assert main(["check", str(tmp_path / "meet")]) == 0
    first, *others, _ = capsys.readouterr().out.splitlines()
    assert "[Total] says total 9.300, the judging gives 9.200" in first
    assert ["(left-alone)" in other for other in others] == [True, True]


def test_entries_alone_get_a_table_for_marks_to_come(new, tmp_path):
    code, told = new(entries__csv="Name;Vorname;Verein;Stufe\nVale;Ada;North;P4\n")
    assert code == 0
    assert "Nothing to mend: 1 row on the roster" in told
    assert (tmp_path / "meet/marks.csv").read_text() == "bib,name,VT,UB,BB,FX\n1,Ada Vale,,,,\n"


def test_a_date_of_which_month_and_day_may_be_exchanged_is_asked_about(new, tmp_path):
    code, told = new(scores__csv="Cup\n03/04/2031\n" + MARKS)
    assert code == 0
    assert "03/04/2031 may be either of two days" in told
    written = (tmp_path / "meet/meet.toml").read_text()
    assert "# dates = [2031-03-04]\n# dates = [2031-04-03]" in written
    assert "dates" not in settings_of(tmp_path / "meet")


ENTRIES = "Bib;Name;Club\n1;Vale, Ada;North\n2;Torr, Bea;South\n"


@pytest.mark.parametrize(
    ("heading", "no"), [("Publish", "no"), ("Einwilligung", "Nein"), ("publier", "non")]
)
def test_a_name_that_the_sheet_of_marks_withholds_is_withheld(new, tmp_path, heading, no):
    marks = f"Bib;Name;VT;{heading}\n1;Vale, Ada;9,1;\n2;Torr, Bea;9,2;{no}\n"
    code, told = new(entries__csv=ENTRIES, marks__csv=marks)
    assert code == 0
    assert "since another table says whose name is not to be published" in told
    assert main(["build", str(tmp_path / "meet"), "--without-books"]) == 0
    for path in (tmp_path / "meet/output").rglob("*.html"):
        assert "Torr" not in path.read_text(), path.name


def test_of_two_tables_that_disagree_the_one_goes_that_withholds_the_name(new, tmp_path):
    beam = "Name;Club;BB;Publish\nVale, Ada;North;9;no\nTorr, Bea;South;9;yes\n"
    code, _ = new(vault__csv=beam.replace("BB", "VT").replace("no\n", "yes\n"), beam__csv=beam)
    assert code == 0
    roster = (tmp_path / "meet/roster.csv").read_text()
    assert [line.endswith(",no") for line in roster.splitlines()] == [False, True, False]


def test_who_is_a_guest_by_the_sheet_of_marks_alone_is_one(new, tmp_path):
    code, told = new(entries__csv=ENTRIES, m__csv="Bib;VT;Guest\n1;9,1;\n2;9,2;yes\n")
    assert code == 0
    assert "since another table says more of gymnasts (guest)" in told
    assert '2,"Torr, Bea",South,women,yes' in (tmp_path / "meet/roster.csv").read_text()


def test_a_decimal_comma_that_parts_a_mark_is_no_remark_beside_the_table(new, tmp_path):
    """Its other half stands in a column without a heading: nothing is read that was not written."""
    rows = "bib,name,club,VT,FX\n1,Ada VALE,North,9,1,8,5\n2,Bea TORR,South,9,2,8,0\n"
    _, told = new(scores__csv=rows)
    assert "scores.csv:2 has 7 cells, the heading has 5" in told
    assert not [*(tmp_path / "meet").glob("scores-*")]


def test_marks_under_no_heading_are_told_by_check_in_a_copy_too(new, tmp_path):
    lines = ["Name", "VT", "FX"], ["Level 3"], ["Vale, Ada", 9.1, 9.2, 8.8]
    _, told = new(club__xlsx=workbook(tmp_path / "a.xlsx", Marks=[*lines]))
    assert "cell-without-heading" in told


def test_what_stands_apart_beside_a_table_is_left_out_of_a_copy(new, tmp_path):
    rows = "bib;name;VT;;\n1;Ada VALE;9,1;;\n2;Bea TORR;9,2;;sick since May\n"
    _, told = new(scores__csv=rows)
    assert "left alone: scores.csv E3: sick since May" in told
    assert "Nothing to mend" in told


def test_a_column_of_the_discipline_parts_women_and_men(new, tmp_path):
    rows = "Bib;Name;m/w;VT;FX\n1;Vale, Ada;w;9;9\n2;Hahn, Udo;m;8;9\n"
    code, told = new(scores__csv=rows)
    assert code == 0
    assert "Nothing to mend: 2 rows on the roster, 2 competitions." in told
    written = settings_of(tmp_path / "meet")["competition"]
    assert [one["discipline"] for one in written] == ["women", "men"]


def test_a_row_that_is_nobodys_is_asked_about_and_no_gymnast(new, tmp_path):
    code, told = new(scores__csv="Name;Gerät;Note\nVale, Ada;Sprung;9\n;Boden;9,1\n")
    assert code == 0
    assert "scores.csv:3 [Name] the name is empty" in told
    assert (tmp_path / "meet/roster.csv").read_text().count("\n") == 2


def test_judges_are_no_gymnasts(new, tmp_path):
    judges = [["Name", "Club"], ["Kern, Ole", "North"], ["Hahn, Udo", "South"]]
    marks = [["Bib", "Name", "VT"], [1, "Vale, Ada", 9.1], [2, "Torr, Bea", 9.0]]
    code, told = new(club__xlsx=workbook(tmp_path / "a.xlsx", Judges=judges, Marks=marks))
    assert code == 0
    assert "club.xlsx#Judges A1:B3: nobody here has a mark (Kern, Ole, Hahn, Udo)" in told
    assert "left alone: club.xlsx#Judges A1:B3: Name | Club | Kern, Ole" in told
    assert "Nothing to mend: 2 rows on the roster" in told
    assert settings_of(tmp_path / "meet")["files"]["roster"] == "club.xlsx#Marks"


def test_d_and_e_without_a_final_mark_are_said_to_be_just_that(new, tmp_path):
    parts = [["Bib", "Name", "VT D", "VT E"], [1, "Vale, Ada", 3, 9.1], [2, "Torr, Bea", 3, 9.0]]
    marks = [["Bib", "Name", "VT"], [3, "Lund, Cora", 9.1], [4, "Ash, Di", 9.0]]
    code, told = new(club__xlsx=workbook(tmp_path / "a.xlsx", Junior=parts, Senior=marks))
    assert code == 0
    assert "club.xlsx#Junior A1:D3: D and E stand here without a final mark" in told
    assert "add a column for the final mark of each apparatus" in told
    assert "nobody on it has a final mark" in told
    assert not any(wrong in told for wrong in ("no table of", "if these are gymnasts"))


def test_who_stands_in_several_levels_by_one_name_is_asked_about(new, tmp_path):
    rows = [["Name", "Club", "VT"], ["Vale, Ada", "North", 9.1]]
    others = (["Torr, Bea", "North", 9.2], ["Lund, Cora", "North", 9.2])
    levels = {f"Level_{n}": [*rows, other] for n, other in enumerate(others, start=3)}
    _, told = new(club__xlsx=workbook(tmp_path / "club.xlsx", **levels))
    assert "taken for one gymnast: Vale, Ada (Level 3, Level 4); where they are two" in told


def test_of_a_date_of_birth_a_copy_has_the_year_alone(new, tmp_path):
    rows = "Name;VT;Geburtsdatum\nLevel 3\nVale, Ada;9,1;03.05.2014\nLevel 4\n"
    rows += "Torr, Bea;8;4.12.2013\n"
    code, told = new(scores__csv=rows)
    assert code == 0
    assert "Nothing to mend" in told
    copies = [path for path in (tmp_path / "meet").glob("*.csv") if path.name != "scores.csv"]
    assert len(copies) == 2
    for path in copies:
        assert "2014" in path.read_text()
        assert "05" not in path.read_text()


def test_a_column_of_yes_and_no_may_say_whose_name_is_published(new, tmp_path):
    marks = "Bib;Name;VT;Photo and name\n1;Vale, Ada;9,1;yes\n2;Torr, Bea;9,2;no\n"
    _, told = new(scores__csv=marks)
    asked = "Photo and name says no of some; is it whose name may be published? Now all are"
    assert f"to decide, in meet.toml: scores.csv: {asked}" in told
    assert '# columns.publish = "Photo and name"' in (tmp_path / "meet/meet.toml").read_text()


def test_what_only_its_owner_may_read_stays_so_in_the_folder(new, tmp_path):
    (tmp_path / "theirs").mkdir()
    (tmp_path / "theirs/scores.csv").touch(mode=0o600)
    new(scores__csv="Name;VT\nVale, Ada;9,1\nTorr, Bea;9\n")
    for name in ("scores.csv", "roster.csv", "meet.toml"):
        assert (tmp_path / "meet" / name).stat().st_mode & 0o777 == 0o600, name


def test_what_a_killed_run_left_behind_is_told(new, tmp_path):
    (tmp_path / ".resultsgen-new-x/meet").mkdir(parents=True)
    _, told = new(scores__csv=MARKS)
    assert f"{tmp_path}/.resultsgen-new-x: what is in it a run left behind that was killed" in told
    assert (tmp_path / ".resultsgen-new-x/meet").is_dir()


@pytest.mark.parametrize("encoding", ["cp1252", "mac-roman", "cp850"])
def test_an_old_file_is_read_in_the_likeliest_encoding(new, encoding):
    lines = "Bib;Name;Verein;Sprung\n1;Müllner, Jule;Köhlerstädt;9,1\n2;Nöth, Zoë;Eßlingen;9,2\n"
    code, told = new(alt__csv=lines.encode(encoding))
    assert code == 0
    assert f"was read as {encoding}; check that these are right: " in told
    assert "Müllner" in told
    assert "Nothing to mend" in told


def test_who_is_of_no_discipline_by_the_file_is_of_the_one_asked_for(new, tmp_path):
    marks = "Bib;Name;Barren;Sprung\n1;Vale, Max;9,1;9\n2;Torr, Jan;9;9,2\n"
    code, told = new("--discipline", "men", scores__csv=marks)
    assert (code, "women" in told) == (0, False)
    (made,) = settings_of(tmp_path / "meet")["competition"]
    assert (made["discipline"], made["apparatus"]) == ("men", ["VT", "PB"])


def test_what_the_file_says_goes_before_the_discipline_asked_for(new, tmp_path):
    assert new("--discipline", "men", scores__csv="Bib;Name;UB;Vault\n1;Vale, Ada;9,1;9\n")[0] == 0
    (made,) = settings_of(tmp_path / "meet")["competition"]
    assert made["discipline"] == "women"


def test_a_format_is_that_of_the_files(new, tmp_path):
    code, told = new("--format", "finals", scores__csv=MARKS)
    assert (code, "--format" in told) == (2, True)
    assert not (tmp_path / "meet").exists()


@pytest.mark.parametrize("others", ["", "Vale, Zoê;South\n"])
def test_a_name_without_its_accents_is_hers_where_only_one_is_called_so(new, tmp_path, others):
    entries = f"Name;Club\nVale, Zoë;North\nTorr, Bea;North\n{others}"
    code, _ = new(entries__csv=entries, marks__csv="Name;Vault\nVALE, Zoe;9,1\nTorr, Bea;9\n")
    assert code == 0
    told = read_meet(tmp_path / "meet")[1]
    assert [one.code for one in told] == (["unknown-name"] if others else [])
