"""What a volunteer's own sheets say in their own way, from the sheet to `meet.toml`."""

from __future__ import annotations

import tomllib
from dataclasses import replace

import pytest

from resultsgen.files.beside import Merged
from resultsgen.intake.columns import understood
from resultsgen.intake.meet_file import meet_toml
from resultsgen.intake.outline import Intake, look_over
from resultsgen.intake.tables import NamedSheet, tables_in
from resultsgen.intake.titles import date_in
from resultsgen.intake.writing import begun
from resultsgen.publishing.starter import COMPETITIONS, STARTING_FOLDER
from resultsgen.reading.sheets import Sheet


def sheet(text: str, *merged: Merged, name: str = "Sheet1", file: str = "a.xlsx") -> NamedSheet:
    """A sheet as it is drawn: a line for each row, cells parted by |."""
    rows = [[cell.strip() for cell in line.split("|")] for line in text.strip("\n").splitlines()]
    width = max(map(len, rows))
    rows = [row + [""] * (width - len(row)) for row in rows]
    held = Sheet(name, rows, range(1, len(rows) + 1), merged=merged)
    return NamedSheet(file, held, alone=name == "Sheet1")


def settings(seen: Intake):
    """What is written into the `meet.toml`, read back."""
    starting = (STARTING_FOLDER / "meet.toml").read_text(encoding="utf-8")
    return tomllib.loads(meet_toml(seen, starting, COMPETITIONS))


CHAMPIONSHIP = """
    Pellbrook Gymnastics Club
    Girls' Championships - Sunday 15th November 2026
    No. | Gymnast      | Vault Sc. | Jumping | Rank | Coach
    LEVEL 1 (7 & under)
    1   | Ada Vale     | 9.1       | 8.5     | 1    | lovely
    2   | Bea Torr     | w/d       | 9       |      |
    LEVEL 2
    3   | Cora Lume    | 9.3       | w/d     | 1    |
    """


def test_the_line_of_the_day_is_the_title_and_says_who_competes():
    seen = look_over([sheet(CHAMPIONSHIP)])
    assert (seen.title, seen.dates) == ("Girls' Championships", ("2026-11-15",))
    assert {one.discipline for one in seen.contests} == {"women"}
    assert not any("women or men" in one.asked for one in seen.questions)
    assert "Pellbrook Gymnastics Club" in [one.text for one in seen.left_alone]


def test_a_title_before_a_day_goes_before_the_titles_of_other_files():
    dated = "Soirée deux agrès - vendredi 13 novembre 2026\nNom | Poutre\nVALE Ada | 9,1"
    other = "Nos gymnastes\nNom | Club\nVALE Ada | La Vive"
    files = [sheet(other, file="a.csv"), sheet(dated, file="b.csv")]
    assert look_over(files).title == "Soirée deux agrès"


def test_the_hall_before_a_day_is_the_venue_and_the_line_above_the_title():
    lines = "TV Hollerau - Pokalturnen 2031\nSporthalle am Anger, 12.04.2031   AK 10/11"
    seen = look_over([sheet(f"{lines}\nName | Balken\nVALE Ada | 9,1")])
    held = settings(seen)
    assert held["title"] == "TV Hollerau - Pokalturnen 2031"
    assert (held["venue"], str(held["dates"])) == (
        "Sporthalle am Anger",
        "[datetime.date(2031, 4, 12)]",
    )
    assert not any("Sporthalle" in str(one) or "Pokal" in str(one) for one in seen.left_alone)


def test_what_is_called_after_a_hall_is_a_title_where_there_is_no_other():
    seen = look_over([sheet("Town Hall Trophy - 12 April 2031\nName | Beam\nVALE Ada | 9.1")])
    assert (seen.title, seen.venue) == ("Town Hall Trophy", "")


@pytest.mark.parametrize(
    ("headings", "codes"),
    [
        ("Name | Spr | SB | SchwB | Bo", ["VT", "UB", "BB", "FX"]),
        ("Name | Sp | Ba | SB | Bo", ["VT", "UB", "BB", "FX"]),
        ("Name | Bo | Sei | Ri | Sp | Ba | Re", ["FX", "PH", "SR", "VT", "PB", "HB"]),
    ],
)
def test_abbreviations_that_leave_no_doubt_are_of_apparatus(headings, codes):
    (table,) = tables_in(sheet(f"{headings}\nVALE Ada{' | 9,1' * len(codes)}"))
    assert [*understood(table, {}).codes] == codes


def test_a_column_that_is_not_known_stays_in_a_copy_and_is_asked_about():
    seen = look_over([sheet(CHAMPIONSHIP)])
    (copy,) = seen.copies.values()
    heading, first, *_ = copy.splitlines()
    assert heading == "No.,Gymnast,Vault Sc.,Jumping,Rank,Coach,division,discipline"
    assert first == "1,Ada Vale,9.1,8.5,1,lovely,LEVEL 1 (7 & under),women"
    assert any("Jumping holds numbers like marks" in one.asked for one in seen.questions)
    assert seen.statuses == {"w/d": "WDR"}


def test_what_is_said_and_not_used_of_a_line_across_the_table_is_told_whole():
    told = "\n".join(look_over([sheet(CHAMPIONSHIP.replace("(7 & under)", "in hall B"))]).found)
    assert 'A4: LEVEL 1 in hall B: division = "LEVEL 1"' in told
    assert "from now on that copy is read" in told


def test_no_rest_of_a_remark_stands_behind_what_is_written():
    seen = look_over([sheet(CHAMPIONSHIP)])
    starting = (STARTING_FOLDER / "meet.toml").read_text(encoding="utf-8")
    written = meet_toml(seen, starting, COMPETITIONS)
    (line,) = [one for one in written.splitlines() if one.startswith("roster = ")]
    assert line == f'roster = "{next(iter(seen.copies))}"'
    assert settings(seen)["title"] == "Girls' Championships"


def test_a_column_that_says_nothing_but_who_is_a_guest_is_read_as_it_is():
    drawn = "Nr | Name | Sprung | Bem.\n1 | Vale, Ada | 9,1 |\n2 | Torr, Bea | 9,3 | a.K."
    seen = look_over([sheet(drawn)])
    assert settings(seen)["tables"]["a.xlsx"]["columns"] == {"guest": "Bem."}
    assert not seen.copies
    assert not seen.left_alone


def test_a_guest_among_other_remarks_or_places_is_one_in_a_copy_and_told():
    drawn = """
        Nr | Name      | Sprung | Platz | Bem.
        1  | Vale, Ada | 9,1    | 1     | Debüt
        2  | Torr, Bea | 9,3    | {}    | {}
        """
    for cells in (("", "a. K."), ("h.c.", "")):
        seen = look_over([sheet(drawn.format(*cells))])
        (copy,) = seen.copies.values()
        heading, *rows = copy.splitlines()
        assert heading.endswith(",guest")
        assert [row.rpartition(",")[2] for row in rows] == ["", "yes"]
        assert any(f'{"".join(cells)}: guest = "yes"' in line for line in seen.found)
        assert ["".join(cells) in one.text for one in seen.left_alone] == [False]


def test_a_guest_is_no_remark_of_a_coach():
    drawn = "Nr | Name | Sprung | Notes\n1 | Vale, Ada | 9,1 | our guest from Ulm, lovely"
    seen = look_over([sheet(drawn)])
    assert not seen.copies
    assert "our guest" in seen.left_alone[0].text


def test_a_word_for_guests_beside_a_name_is_asked_about():
    drawn = "Nr | Name | Sprung\n1 | Ada Vale (a.K.) | 9,1\n2 | Bea Torr | 9,3"
    (asked,) = [one.asked for one in look_over([sheet(drawn)]).questions if "guest" in one.asked]
    assert "B2: Ada Vale (a.K.) reads like a guest" in asked


@pytest.mark.parametrize(
    ("heading", "code", "title"),
    [
        ("Nr | Name | Verein | Sprung | Boden", "de", "Frauen"),
        ("Dossard | Nom | Club | Saut | Sol", "fr", "Femmes"),
        ("Dorsal | Nombre | Club | Salto | Suelo", "es", "Mujeres"),
        ("No. | Name | Club | Vault | Floor", "en", "Women"),
        ("Nr | Name | Club | Vault | FX", "en", "Women"),
    ],
)
def test_the_site_is_in_the_language_of_the_headings(heading, code, title):
    seen = look_over([sheet(f"{heading}\n1 | Vale, Ada | A | 9,1 | 9,2")])
    written = settings(seen)
    assert written.get("languages", ["en"]) == [code]
    ((held, id),) = [(one["title"], one["id"]) for one in written["competition"]]
    assert (held, id) == (title, "women")
    assert any(f'languages = ["{code}"]' in line for line in seen.found) == (code != "en")


@pytest.mark.parametrize(
    ("drawn", "shown"),
    [("Ada Vale", "given first"), ("Vale, Ada", None), ("VALE Ada", None), ("Vale, Ada (x)", None)],
)
def test_names_are_shown_as_they_stand(drawn, shown):
    seen = look_over([sheet(f"Nr | Name | Vault\n1 | {drawn} | 9.1")])
    assert settings(seen).get("names") == shown


def test_a_sheet_of_teams_is_asked_about():
    gymnasts = "Nr | Name | Sprung\n1 | Vale, Ada | 9,1"
    teams = "Teams\nPlatz | Mannschaft | Sprung | Gesamt\n1 | TV Lind | 27,1 | 27,1"
    seen = look_over([sheet(gymnasts, name="Riege 1"), sheet(teams, name="Tabelle2")])
    (asked,) = [one for one in seen.questions if "names teams" in one.asked]
    assert "[competition.team]" in asked.lines


def test_the_folder_says_where_marks_are_changed(tmp_path):
    (tmp_path / "own.csv").write_text('Nr,Name,Vault\n1,"Vale, Ada",9.1\n', encoding="utf-8")
    with begun(tmp_path / "meet", [tmp_path / "own.csv"], dry_run=False):
        pass
    told = (tmp_path / "meet/README.md").read_text(encoding="utf-8")
    assert "Names and marks are read from `own.csv`" in told
    assert not [one for one in ("invented", "| `roster.csv`", "--from`") if one in told]


def test_what_of_a_list_of_places_is_not_used_is_told_and_what_is_used_is_not():
    marks = (
        "Nom | Club | Niveau | Poutre\nVALE Ada | A | Niveau A | 9,1\nTORR Bea | A | Niveau B | 9"
    )
    places = "Liste\nNiveau A\nRang | Nom | Club | Total\n1 | VALE Ada | A | 9,1"
    seen = look_over([sheet(marks, file="a.csv"), sheet(places, file="b.csv")])
    assert "b.csv A3:D4: taken into the roster, without Rang, Total" in seen.found
    assert [one.text for one in seen.left_alone] == ["Liste"]


@pytest.mark.parametrize("heading", ["Vault", "Hock"])
def test_of_who_is_in_two_levels_each_row_says_its_competition(heading):
    files = [
        sheet(f"Nr | Name | {heading}\n1 | Ada Vale | {mark}", file=f"{number}.csv", name=name)
        for number, (name, mark) in enumerate((("AK 8", "9.1"), ("AK 9", "8.3")))
    ]
    seen = look_over(files)
    assert [how["fixed"]["competition"] for how in seen.tables.values()] == ["ak-8", "ak-9"]


@pytest.mark.parametrize("heading", ["Vault", "Hock"])
def test_who_is_crossed_out_and_has_marks_is_asked_about(heading):
    rows = "1 | Ada Vale | 9.1\n2 | Bea Torr | 9.3\n3 | Cora Lume | w/d"
    drawn = sheet(f"Nr | Name | {heading}\n{rows}")
    crossed = replace(drawn.sheet, crossed_out=frozenset({(2, 0), (2, 1), (3, 0), (1, 2)}))
    seen = look_over([replace(drawn, sheet=crossed)])
    asked = [one.asked for one in seen.questions if "crossed out" in one.asked]
    assert [one.count("(a.xlsx") for one in asked] == [1]
    assert "Bea Torr (a.xlsx A3)" in asked[0]


def test_a_level_that_is_a_number_is_called_by_its_heading():
    drawn = "No. | Name | Level | Vault\n1 | Ada Vale | 3 | 9.1\n2 | Bea Torr | U9 | 9.3"
    written = settings(look_over([sheet(drawn)]))
    held = [(one["id"], one["title"], one["divisions"]) for one in written["competition"]]
    assert held == [("level-3", "Level 3", ["3"]), ("u9", "U9", ["U9"])]
    assert "bibs" not in written


@pytest.mark.parametrize(
    ("day", "date"),
    [
        ("12 Sept 2031", "2031-09-12"), ("15 Nov 2031", "2031-11-15"),
        ("15. Mär. 2031", "2031-03-15"),
        ("Nov 15, 2031", "2031-11-15"), ("15. Nov. 2031", "2031-11-15"),
        ("le 1er juil. 2031", "2031-07-01"),
        ("3rd Mayfield Cup 2031", ""), ("15 jui 2031", ""),
    ],
)  # fmt: skip
def test_a_month_may_be_written_short(day, date):
    assert date_in(day) == (date, ())


def test_a_heading_that_is_known_by_its_lower_row_alone_is_mapped_as_the_reader_joins_it():
    rows = """
    Gymnast |            |     | Vault |       | Beam |       | Overall
    Surname | First name | Bib | D     | Final | D    | Final | Total
    Vale    | Ada        | 3   | 1     | 9.1   | 1    | 9.1   | 18.2
    """
    (table,) = tables_in(sheet(rows))
    assert understood(table, {}).mapped == {
        "family_name": "Gymnast Surname", "given_name": "Gymnast First name",
        "bib": "Gymnast Bib", "total": "Overall Total",
    }  # fmt: skip
