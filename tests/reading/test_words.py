"""Headings in four languages, and what is never guessed."""

from itertools import chain
from pathlib import Path

import pytest
from folders import write_folder

from resultsgen.meet.columns import MARKS, ROSTER
from resultsgen.meet.folder import Meet
from resultsgen.meet.marks import STATUSES
from resultsgen.meet.names import APPARATUS_NAMES, DISCIPLINES
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.meet import read_meet
from resultsgen.reading.words import (
    PARTS,
    Part,
    Words,
    abbreviations,
    columns_meant,
    heard,
    name_order,
    status_words,
    word_lists,
    words,
)

OURS = {column.name for column in (*ROSTER, *MARKS)} | {"name", "total", "place"}


def meant(*headings: str) -> list[str]:
    found = columns_meant(headings, OURS)
    return [found.get(place, "") for place in range(len(headings))]


def of(*disciplines: str, **columns: dict[str, str]) -> Words:
    """The words of a meet with competitions of these disciplines."""
    held = [{"id": one, "title": one, "discipline": one} for one in disciplines]
    return words(
        MeetSettings.model_validate({"title": "Cup", "competition": held, "columns": columns})
    )


@pytest.mark.parametrize(
    ("headings", "columns"),
    [
        ("Nr.|Nachname|Verein|Jahrgang|Riege", "bib family_name club birth_year squad"),
        ("Start-Nr|Name|Vorname|AK", "bib family_name given_name division"),
        ("Dossard|NOM|Prénom|Équipe|Catégorie", "bib family_name given_name team division"),
        ("Dorsal|Nombre|Apellidos|País", "bib given_name family_name federation"),
        ("Nº|Nombre|Club", "bib name club"),
        ("dossard|Nom|société", "bib name club"),
        ("Nr|Gerät|D-Note|E-Note|Abzug|Endnote|Rang", "bib apparatus d e penalty mark place"),
        ("Number|First Name|Surname|Level|Total", "bib given_name family_name division total"),
        ("Nr|D|E|N.D.|Final|Gesamt|Platz", "bib d e penalty mark total place"),
    ],
)  # fmt: skip
def test_common_headings_need_no_setting(headings: str, columns: str) -> None:
    assert meant(*headings.split("|")) == columns.split(" ")


def test_what_could_be_two_things_is_nothing() -> None:
    assert meant("B", "S", "P", "#", "Note", "Punkte", "Points", "Pos.", "", "-") == [""] * 10


def test_what_the_meet_says_of_a_heading_goes_before() -> None:
    assert columns_meant(["Nr", "Name", "Rufname"], OURS, {2: "club"}) == {
        0: "bib",
        1: "name",
        2: "club",
    }


def test_an_apparatus_is_known_in_four_languages() -> None:
    known = of("women", "men")
    for code, listed in {
        "VT": "Vault Sprung Saut Salto",
        "UB": "Stufenbarren|Barres asymétriques|Paralelas asimétricas|Barras asimetricas",
        "BB": "Balken Schwebebalken Poutre Viga|Barra de equilibrio|Balance Beam",
        "FX": "Boden Sol Suelo Floor",
        "PH": "Pauschenpferd|cheval d'arçons|Cheval d’arcons|Arzones",
        "SR": "Ringe anneaux anillas",
        "HB": "Reck|barre fixe|Barra fija",
        "PB": "Barres parallèles|Barras paralelas|Parallelbarren",
    }.items():
        words_of_it = listed.split("|") if "|" in listed else listed.split(" ")
        flat = [
            one
            for part in words_of_it
            for one in ([part] if known.apparatus_and_vault(part) else part.split(" "))
        ]
        assert {known.apparatus_and_vault(word) for word in flat} == {(code, 1)}


def test_bars_are_those_of_the_discipline() -> None:
    both = of("women", "men")
    assert of("men").apparatus_and_vault("Barren") == ("PB", 1)
    assert of("women").apparatus_and_vault("Barren") == ("UB", 1)
    assert both.apparatus_and_vault("Barren") is None
    assert both.narrowed(["women"]).apparatus_and_vault("Barra") == ("BB", 1)
    assert both.unclear[heard("Barren")] == {"men": "PB", "women": "UB"}
    own = of("women", "men", apparatus={"Barren": "UB"})
    assert (
        own.apparatus_and_vault("Barren")
        == own.narrowed(["men"]).apparatus_and_vault("Barren")
        == ("UB", 1)
    )


@pytest.mark.parametrize(
    ("discipline", "headings", "codes"),
    [
        ("women", "Spr|SB|SchwB|Bo", "VT UB BB FX"),
        ("women", "Sp|Ba|SB|Bo", "VT UB BB FX"),
        ("women", "Sprung|StB|SwB|Boden", "VT UB BB FX"),
        ("women", "Sa|Ba|Po|So", "VT UB BB FX"),
        ("women", "Sa|Pa|Ba|Su", "VT UB BB FX"),
        ("women", "Sp 1|Sp 2|Ba (D)|Balken|Bo.", "VT VT UB BB FX"),
        ("men", "Bo|Pf|Ri|Sp|Ba|Re", "FX PH SR VT PB HB"),
        ("men", "So|Ar|An|Sa|Pa|BF", "FX PH SR VT PB HB"),
        ("men", "Su|Ar|An|Sa|Pa|BF", "FX PH SR VT PB HB"),
        ("women", "Sp1|Sp2 D|Ba|SB|Bo", "VT VT UB BB FX"),
        ("women", "Spr|SB|Bo", "VT - FX"),
        ("women", "Sprung|Balken|Sa|So", "VT BB - -"),
        ("women", "Sa Gesamt|So Gesamt|Sprung", "- - VT"),
        ("women", "Sp|Ba|SB|So", "- - - -"),
        ("women", "VT|UB|BB|Bo", "VT UB BB -"),
        ("women", "UB D|BB|Sa|So", "UB BB - -"),
        ("women", "Bo|D|E", "- - -"),
        ("men", "Sp|Ba|SB|Bo", "VT PB - FX"),
    ],
)
def test_abbreviations_mean_what_the_other_headings_leave(
    discipline: str, headings: str, codes: str
) -> None:
    listed = headings.split("|")
    known = of(discipline).among(["Nr", "Name", *listed, "Gesamt"])
    parts = map(known.part, listed)
    assert [part.apparatus if part else "-" for part in parts] == codes.split()


def test_an_abbreviation_by_itself_means_nothing_and_of_both_disciplines_what_they_share() -> None:
    assert of("women").part("Bo") is None
    both = of("women", "men").among(["Sp", "Ba", "Bo"])
    assert (both.part("Sp"), both.part("Ba")) == (Part("VT", 1, "mark"), None)
    assert both.open == {"ba": ("UB", "PB")}
    assert of("women", apparatus={"SB": "BB"}).among(["Sp", "Ba", "SB", "Bo"]).open == {}


def test_a_heading_may_say_a_part_of_a_mark() -> None:
    known = of("women")
    assert known.part("Sprung") == Part("VT", 1, "mark")
    assert known.part("Vault 2 D") == known.part("2. Sprung (D)") == Part("VT", 2, "d")
    assert known.part("1er saut") == known.part("Vault 1 final") == Part("VT", 1, "mark")
    assert known.part("Barren Final") == known.part("UB Total") == Part("UB", 1, "mark")
    assert known.part("Poutre Note D") == Part("BB", 1, "d")
    assert known.part("D-Note Sprung") == Part("VT", 1, "d")
    assert known.part("Boden (Pen.)") == Part("FX", 1, "penalty")
    assert known.part("Saut rang") == Part("VT", 1, "place")
    for other in ("Sprung E1", "E2", "Vault average", "D", "Gesamt", ""):
        assert known.part(other) is None


def test_a_word_means_one_thing() -> None:
    """Two meanings of one word would be decided by the order of the file."""
    for table in ("columns", "apparatus", "disciplines", "name_order", "parts", "answers"):
        lists = word_lists()[table]
        for meaning, listed in lists.items():
            for word in listed:
                others = [one for one, them in lists.items() if one != meaning]
                assert not [one for one in others if heard(word) in map(heard, lists[one])], word


def test_the_words_are_of_things_that_there_are() -> None:
    lists = word_lists()
    assert set(lists["columns"]) <= OURS
    assert set(lists["apparatus"]) == set(APPARATUS_NAMES)
    assert set(lists["disciplines"]) == set(lists["apparatus_of"]) == set(DISCIPLINES)
    assert set(lists["status"]) == set(STATUSES)
    by_language = [one.items() for one in lists["abbreviations"].values()]
    for discipline, codes in chain(lists["apparatus_of"].items(), *by_language):
        assert set(codes) <= set(DISCIPLINES[discipline])
    assert "" not in {
        heard(word)
        for table in ("columns", "apparatus")
        for them in lists[table].values()
        for word in them
    }


def test_orders_and_statuses_are_offered() -> None:
    orders = map(name_order, ("Name, Vorname", "Prénom NOM", "Name"))
    assert [*orders] == ["family first", "given first", ""]
    assert {status_words()[word] for word in ("krank", "-", "n.a.")} == {"DNS"}


MEET = """
    == meet.toml ==
    title = "Pokal"
    {settings}
    [[competition]]
    id = "kinder"
    title = "Kinder"
    discipline = "women"
    == roster.csv ==
    {roster}
    == marks.csv ==
    bib,apparatus,mark
"""


def read(folder: Path, roster: str, settings: str = "") -> tuple[Meet, list[str]]:
    meet, problems = read_meet(write_folder(folder, MEET.format(roster=roster, settings=settings)))
    assert meet is not None
    return meet, [str(one) for one in problems]


def test_a_roster_in_german_needs_no_columns(tmp_path: Path) -> None:
    meet, told = read(
        tmp_path, "Startnr.;Name;Vorname;Verein;Geburtsdatum\n    7;VALE;Ada;TV Au;2.3.2015"
    )
    (entry,) = meet.entries
    assert (told, meet.notes) == ([], ())
    assert (entry.bib, entry.family_name, entry.given_name, entry.club) == (
        "7",
        "VALE",
        "Ada",
        "TV Au",
    )
    assert entry.birth_year == 2015


def test_two_headings_that_mean_the_same_are_told(tmp_path: Path) -> None:
    _, told = read(tmp_path, "bib,family_name,club,Verein\n    7,VALE,TV Au,TV See")
    assert told == [
        "roster.csv:1 [Verein] columns 3 (club) and 4 (Verein) mean the same; rename or delete one "
        'of them, or write  club = "club"  under [columns.roster] (heading-twice)'
    ]


def test_what_the_meet_maps_leaves_alone_what_would_mean_the_same(tmp_path: Path) -> None:
    roster = "bib,family_name,Gym,Verein\n    7,VALE,TV Au,TV See"
    meet, told = read(tmp_path, roster, 'columns.roster.club = "Gym"')
    assert ([entry.club for entry in meet.entries], told) == (["TV Au"], [])
    assert [note.message for note in meet.notes] == ["columns left alone: Verein"]


def test_a_year_is_no_guess(tmp_path: Path) -> None:
    _, told = read(tmp_path, "Nr,Name,Jg\n    7,VALE,2.3.15")
    assert told == [
        "roster.csv:2 [Jg] 2.3.15 is no year; write it with four digits, or leave the cell empty "
        "(not-a-number)"
    ]


def with_marks(folder: Path, marks: str, settings: str = "") -> tuple[Meet, list[str]]:
    """A meet of Ada (1) and Bea (2), with these marks."""
    text = MEET.format(roster="bib,family_name\n    1,ADA\n    2,BEA", settings=settings)
    write_folder(folder, text)
    (folder / "marks.csv").write_text(marks, encoding="utf-8")
    meet, problems = read_meet(folder)
    assert meet is not None
    return meet, [str(one) for one in problems]


STATUS = 'columns.status = { "-" = "DNS", Krank = "DNS", abgebrochen = "DNF" }'


@pytest.mark.parametrize("marks", [
    "bib,apparatus,mark\n1,VT,-\n1,UB,KRANK\n2,VT,Abgebrochen\n",
    "bib,apparatus,status,mark\n1,VT,-,\n1,UB,krank,\n2,VT,dnf,\n",
    "bib,VT,UB\n1,-,krank\n2,abgebrochen,\n",
])  # fmt: skip
def test_the_meet_says_what_stands_for_a_status(tmp_path: Path, marks: str) -> None:
    meet, told = with_marks(tmp_path, marks, STATUS)
    assert told == []
    held = sorted((row.bib, row.apparatus, row.status) for row in meet.mark_rows)
    assert held == [("1", "UB", "DNS"), ("1", "VT", "DNS"), ("2", "VT", "DNF")]


def test_without_its_word_it_stays_a_problem_and_the_line_to_paste_is_said(tmp_path: Path) -> None:
    _, told = with_marks(tmp_path, 'bib,VT,UB,BB,FX\n1,-,9.5x,verletzt,"a""b"\n')
    ends = [one.rpartition(" instead of a mark)")[2] for one in told]
    assert ends == [
        '; or if it says WDR, write  "verletzt" = "WDR"  under [columns.status] (not-a-mark)',
        " (not-a-mark)",
        " (not-a-mark)",
        '; or if it says DNS, write  "-" = "DNS"  under [columns.status] (not-a-mark)',
    ]


def test_an_empty_cell_is_no_word(tmp_path: Path) -> None:
    meet, told = with_marks(tmp_path, "bib,VT,UB\n1,,9\n", 'columns.status = { " " = "DNS" }')
    assert [row.status for row in meet.mark_rows] == [""]
    assert told == [
        "meet.toml:2 [columns.status. ] an empty cell is no status; delete this line "
        "(unknown-status)"
    ]


def test_a_status_of_the_roster_may_have_its_word(tmp_path: Path) -> None:
    roster = "bib,family_name,status\n    1,ADA,krank"
    meet, told = read(tmp_path, roster, STATUS)
    assert ([entry.status for entry in meet.entries], told) == (["DNS"], [])


def test_a_word_for_a_status_is_one_of_ours(tmp_path: Path) -> None:
    write_folder(tmp_path, MEET.format(roster="bib", settings='columns.status = { "-" = "ill" }'))
    (told,) = read_meet(tmp_path)[1]
    assert (told.column, told.code) == ("columns.status.-", "wrong-setting")


def test_each_word_of_an_apparatus_goes_with_each_word_of_a_part() -> None:
    """In either order; and no such heading is a column by itself."""
    known, lists = of("women", "men"), word_lists()
    parts = [(word, name) for name in PARTS for word in lists["columns"][name]]
    parts += [(word, name) for name, them in lists["parts"].items() for word in them]
    for code, listed in lists["apparatus"].items():
        for word in (code, *listed):
            assert known.part(word) == Part(code, 1, "mark")
            for part, name in parts:
                headings = f"{word} {part}", f"{part} {word}"
                assert {known.part(heading) for heading in headings} == {Part(code, 1, name)}
                assert columns_meant(headings, OURS) == {}


def test_a_column_and_an_apparatus_have_no_word_in_common() -> None:
    """But for the vault, which is the number of the vault in the long form."""
    known = of("women", "men")
    alike = {word for word in known.apparatus.keys() | known.unclear.keys() if meant(word) != [""]}
    assert alike == {"vault"}
    assert not [word for _, codes in abbreviations() for word in codes if meant(word) != [""]]
