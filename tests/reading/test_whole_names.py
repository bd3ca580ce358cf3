"""A whole name in one cell: which words are the family name, and whether that is certain."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from folders import write_folder
from hypothesis import example, given
from hypothesis import strategies as st

from resultsgen.meet.values import NameOrder
from resultsgen.reading.meet import read_meet
from resultsgen.reading.whole_names import FOLLOWING, parted_name

SURE = {
    # By a comma.
    "Vale, Ada": ("Vale", "Ada"),
    "Vale,Ada Marie": ("Vale", "Ada Marie"),
    "van der Vale, Ada": ("van der Vale", "Ada"),
    "Vale Bell, Ada": ("Vale Bell", "Ada"),
    "VALE, Ada": ("VALE", "Ada"),
    "Vale， Ada": ("Vale", "Ada"),
    "Ada, VALE": ("Ada", "VALE"),  # A comma is the plainest word of all.
    # By capitals.
    "Ada VALE": ("VALE", "Ada"),
    "VALE Ada": ("VALE", "Ada"),
    "VALE Ada Marie": ("VALE", "Ada Marie"),
    "Ada Marie VALE BELL": ("VALE BELL", "Ada Marie"),
    "Ada McDONALD": ("McDONALD", "Ada"),
    "MacDONALD Ada": ("MacDONALD", "Ada"),
    "O'NEIL Ada": ("O'NEIL", "Ada"),
    "Ada O’NEIL": ("O’NEIL", "Ada"),
    "Jeanne d'ARC": ("d'ARC", "Jeanne"),
    "van der VALE Ada": ("van der VALE", "Ada"),
    "Ada VAN DER VALE": ("VAN DER VALE", "Ada"),
    "Ada de la VALE": ("de la VALE", "Ada"),
    "Ada van 't VALE": ("van 't VALE", "Ada"),
    "Ada VALE-BELL": ("VALE-BELL", "Ada"),
    "Ada VALE - BELL": ("VALE - BELL", "Ada"),
    "Ada VALE-McDONALD": ("VALE-McDONALD", "Ada"),
    "Anna-Lena VALE": ("VALE", "Anna-Lena"),
    "Ada J. VALE": ("VALE", "Ada J."),
    "J.R. VALE": ("VALE", "J.R."),
    "J.-P. VALE": ("VALE", "J.-P."),
    "Ada VALE Jr.": ("VALE Jr.", "Ada"),
    "VALE III Ada": ("VALE III", "Ada"),
    "Zoé STRAUß": ("STRAUß", "Zoé"),
    "Ada SAINT-ÉLOI": ("SAINT-ÉLOI", "Ada"),
    "Άντα ΒΕΪΛΟΥ": ("ΒΕΪΛΟΥ", "Άντα"),
    "ВЕЙЛ Ада": ("ВЕЙЛ", "Ада"),
    "Ада ВЕЙЛ-БЕЛЛ": ("ВЕЙЛ-БЕЛЛ", "Ада"),
    # By the order of two words, or one.
    "Ada Vale": ("Vale", "Ada"),
    "ADA VALE": ("VALE", "ADA"),
    "Ada McDonald": ("McDonald", "Ada"),
    "Ada O'Neil": ("O'Neil", "Ada"),
    "Anna-Lena Vale-Bell": ("Vale-Bell", "Anna-Lena"),
    "Al Vale": ("Vale", "Al"),
    "von Vale": ("von Vale", ""),
    "LaTOYA Vale": ("Vale", "LaTOYA"),
    "Ada": ("Ada", ""),
    "VALE": ("VALE", ""),
    "Ада Вейл": ("Вейл", "Ада"),
    "花子 山田": ("山田", "花子"),
}

DOUBTFUL = {
    "Ada Marie Vale": ("Vale", "Ada Marie"),
    "Ada van der Vale": ("van der Vale", "Ada"),
    "Ada De La Vale": ("De La Vale", "Ada"),
    "Ada Vale Jr.": ("Vale Jr.", "Ada"),
    "Ada Vale III": ("Vale III", "Ada"),
    "Ada Vale, Jr.": ("Vale Jr.", "Ada"),
    "ADA MARIE VALE": ("VALE", "ADA MARIE"),
    "AJ Vale": ("AJ", "Vale"),
    "Mei LI": ("LI", "Mei"),
    "Al VALE": ("VALE", "Al"),
    "VALE Ada BELL": ("VALE BELL", "Ada"),
    "Ada VALE Marie": ("VALE", "Ada Marie"),
    "Vale, Ada, Bell": ("Vale", "Ada, Bell"),
    "Ada VALE (guest)": ("VALE (guest)", "Ada"),
    "Ada Vale*": ("Vale*", "Ada"),
    "Ada Vale 2012": ("Vale 2012", "Ada"),
}

FAMILY_FIRST = {
    "Vale Ada": ("Vale", "Ada", True),
    "VALE ADA": ("VALE", "ADA", True),
    "山田 花子": ("山田", "花子", True),
    "Vale": ("Vale", "", True),
    "von Vale": ("von Vale", "", True),
    "Di Vale": ("Di", "Vale", True),
    "Vale Ada Marie": ("Vale", "Ada Marie", False),
    "van der Vale Ada": ("van der Vale", "Ada", False),
    "Vale Jr. Ada": ("Vale Jr.", "Ada", False),
    "Ada VALE": ("VALE", "Ada", True),
    "Vale, Ada": ("Vale", "Ada", True),
}


@pytest.mark.parametrize("text", [*SURE, *DOUBTFUL])
def test_the_rule_tells_the_family_name(text: str):
    assert parted_name(text) == (*(SURE | DOUBTFUL)[text], text in SURE)


@pytest.mark.parametrize("text", FAMILY_FIRST)
def test_the_order_decides_where_neither_comma_nor_capitals_do(text: str):
    assert parted_name(text, "family first") == FAMILY_FIRST[text]


PIECES = st.sampled_from((
    "Ada", "VALE", "van", "Der", "d'", "-", ",", "McDONALD", "III", "Jr.",
    "(x)", "LI", "é", "7", "ß",
))  # fmt: skip
NAMES = st.lists(PIECES, max_size=6).map(" ".join) | st.text(max_size=12)
ORDERS = st.sampled_from(("given first", "family first"))


@given(NAMES, ORDERS)
@example("Vale, , Ada", "given first")
def test_no_letter_of_a_name_is_lost(text: str, order: NameOrder):
    name = parted_name(text, order)
    signs = Counter(sign for sign in text if sign not in ",，،" and not sign.isspace())
    held = Counter(
        sign for sign in name.family + name.given if sign not in "," and not sign.isspace()
    )
    assert held == signs
    assert name.family or not signs


@given(NAMES, ORDERS)
def test_a_name_written_with_a_comma_is_parted_there(text: str, order: NameOrder):
    name = parted_name(text, order)
    if name.given and "," not in name.given and not FOLLOWING.fullmatch(name.given):
        assert parted_name(f"{name.family}, {name.given}", order)[:2] == name[:2]


CUP = """
== meet.toml ==
title = "Cup"
{settings}
[[competition]]
id = "cup"
title = "Cup"
discipline = "women"
rules = "club-ten"
== marks.csv ==
bib,VT
== roster.csv ==
{roster}
"""


def read(
    tmp_path: Path, roster: str, settings: str = ""
) -> tuple[list[tuple[str, str]], list[str]]:
    """Family and given names, and everything that is told."""
    folder = write_folder(tmp_path, CUP.format(settings=settings, roster=roster))
    meet, problems = read_meet(folder)
    assert meet
    told = [str(one) for one in (*problems, *meet.notes)]
    return [(entry.family_name, entry.given_name) for entry in meet.entries], told


def test_a_roster_may_have_whole_names(tmp_path: Path):
    names, told = read(tmp_path, 'bib,name\n1,"Vale, Ada"\n2,Bea BELL\n3,Cleo Orm')
    assert names == [("Vale", "Ada"), ("BELL", "Bea"), ("Orm", "Cleo")]
    assert told == []


def test_the_setting_says_what_stands_first(tmp_path: Path):
    order = '[columns]\nwhole_names = "family first"\n[columns.roster]\nname = "Turnerin"'
    names, told = read(tmp_path, "bib,Turnerin\n3,Orm Cleo", order)
    assert (names, told) == ([("Orm", "Cleo")], [])


def test_a_heading_may_say_what_stands_first(tmp_path: Path):
    names, told = read(tmp_path, "bib,Nachname Vorname\n3,Orm Cleo")
    assert (names, told) == ([("Orm", "Cleo")], [])
    own = '[columns]\nwhole_names = "given first"'
    assert read(tmp_path, "bib,Nachname Vorname\n3,Cleo Orm", own)[0] == names


def test_names_that_may_be_meant_otherwise_are_told_at_once_but_those_withheld(tmp_path: Path):
    rows = "1,Ada Marie Vale,\n2,AJ Bell,\n3,Cleo Orm,\n4,Dora Quill Zweig,no"
    names, told = read(tmp_path, f"bib,name,publish\n{rows}")
    assert names[0] == ("Vale", "Ada Marie")
    assert told == [
        "roster.csv [name] so whole names were parted that may be meant otherwise: "
        "Vale, Ada Marie; AJ, Bell; line 5; where one is wrong, write it so, with a comma after "
        "the family name (parted-names)"
    ]


def test_a_whole_name_beside_its_parts_is_the_same_or_told(tmp_path: Path):
    rows = '1,VALE,Ada,Ada Vale\n2,Bell,Bea,"bell, bea"\n3,Orm,Cleo,Cleo Horn\n4,,,Dora Quill\n5,,,'
    names, told = read(tmp_path, f"bib,family_name,given_name,name\n{rows}")
    assert names == [("VALE", "Ada"), ("Bell", "Bea"), ("Orm", "Cleo"), ("Quill", "Dora"), ("", "")]
    assert told == [
        "roster.csv:4 [name] Cleo Horn is not Orm Cleo, which stands beside it; correct one of "
        "them, or empty it (two-names)",
        "roster.csv:6 [family_name] the family name is empty; fill it in, or delete the row "
        "(empty-cell)",
    ]


def test_given_names_beside_a_column_that_may_be_the_family_name_are_asked_about(tmp_path: Path):
    _, told = read(tmp_path, "bib,Full name,given_name\n1,Vale,Ada")
    assert (
        "if that is 'Full name', write  family_name = \"Full name\"  under [columns.roster]"
        in told[0]
    )


def test_a_roster_needs_one_of_both(tmp_path: Path):
    _, told = read(tmp_path, "bib,club\n1,North")
    assert [one[:54] for one in told] == ["roster.csv:1 [family_name] there is no column 'family_"]


@pytest.mark.parametrize(
    "form",
    ["Ada Vale", "VALE, Ada", "Vale Zweig", "Zweig, Ada", "Ada Vale Zweig", "ada zweig-vale"],
)
def test_a_withheld_name_is_found_in_every_way_of_parting_it(tmp_path: Path, form: str):
    """Which of her names is the family name, nobody said."""
    settings = f'organiser = "{form}"'
    _, told = read(tmp_path, "bib,name,publish\n1,Ada Vale Zweig,no", settings)
    assert [one.endswith("(withheld-name)") for one in told if "meet.toml" in one] == [True]


def test_a_heading_that_the_meet_maps_is_not_ours(tmp_path: Path):
    mapped = '[columns.roster]\nfamily_name = "Name"\ngiven_name = "Vorname"'
    names, told = read(tmp_path, "bib,Name,Vorname\n1,Vale Zweig,Ada", mapped)
    assert (names, told) == ([("Vale Zweig", "Ada")], [])
