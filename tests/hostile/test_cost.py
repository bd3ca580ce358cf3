"""Small files that ask for much: `check` never takes more than 10 s or 500 MB, and says why not."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from costing import MEGABYTES, SECONDS, Cost, costs
from folders import write_folder
from workbook_bytes import cell, repeated, write_ods, write_xlsx

EXAMPLE = Path(__file__).parent.parent.parent / "example_meet"

SMALL = """
== meet.toml ==
title = "Cup"
files = { roster = "ROSTER" }
[[competition]]
id = "women"
title = "Women"
discipline = "women"
rules = "club-ten"
== roster.csv ==
bib,family_name,given_name,club
1,ADAMS,Ada,North
== marks.csv ==
bib,VT
1,9.000
"""


def a_meet(folder: Path, roster: str = "roster.csv") -> Path:
    """A small good meet, in which one file is then another."""
    return write_folder(folder, SMALL.replace("ROSTER", roster))


def a_cell_in_the_last_corner(folder: Path) -> None:
    rows = f'<row r="1">{cell("A1", "bib")}</row>'
    rows += f'<row r="1048576">{cell("XFD1048576", "x")}</row>'
    write_xlsx(a_meet(folder, "r.xlsx") / "r.xlsx", rows)


def a_cell_in_the_last_column(folder: Path) -> None:
    rows = f'<row r="1">{cell("A1", "bib")}{cell("XFD1", "x")}</row>'
    write_xlsx(a_meet(folder, "r.xlsx") / "r.xlsx", rows)


def a_cell_beyond_all_columns(folder: Path) -> None:
    rows = f'<row r="1">{cell("A1", "bib")}{cell("ZZZZZZ9999999999", "x")}</row>'
    write_xlsx(a_meet(folder, "r.xlsx") / "r.xlsx", rows)


def millions_of_cells_of_ods(folder: Path) -> None:
    write_ods(a_meet(folder, "r.ods") / "r.ods", repeated("x", 300_000, 100))


def a_record_of_nothing_many_times(folder: Path) -> None:
    (a_meet(folder) / "publications").mkdir()
    (folder / "publications/001.json").write_text('{"a":[' + "{}," * 6_600_000 + "{}]}")


def records_that_are_large_together(folder: Path) -> None:
    (a_meet(folder) / "publications").mkdir()
    held = json.loads((EXAMPLE / "publications/001.json").read_text("utf-8"))
    for number in (1, 2):
        text = json.dumps({**held, "number": number}) + " " * 11_000_000
        (folder / f"publications/00{number}.json").write_text(text)


def a_record_of_many_gymnasts(folder: Path) -> None:
    (a_meet(folder) / "publications").mkdir()
    held = json.loads((EXAMPLE / "publications/001.json").read_text("utf-8"))
    told = {**held, "gymnasts": [f"men/{n:07d}" for n in range(1_290_000)]}
    (folder / "publications/001.json").write_text(json.dumps(told))


def many_rows_of_xlsx(folder: Path) -> None:
    rows = "".join(f'<row r="{n}"><c r="A{n}"><v>1</v></c></row>' for n in range(1, 150_001))
    write_xlsx(a_meet(folder, "r.xlsx") / "r.xlsx", rows)


def a_million_formulas(folder: Path) -> None:
    # More in each than a cell has, so that the quickest machine doesn't come to the end.
    cells = f"<c>{'<f>1</f>' * 8}<v>1</v></c>" * 190
    rows = "".join(f'<row r="{n}">{cells}</row>' for n in range(1, 5_200))
    write_xlsx(a_meet(folder, "r.xlsx") / "r.xlsx", rows)


def broken_cells_of_ods_that_are_repeated(folder: Path) -> None:
    cells = '<table:table-cell table:number-columns-repeated="1024" table:formula="of:=1"/>'
    rows = f'<table:table-row table:number-rows-repeated="90000">{cells}</table:table-row>' * 900
    write_ods(a_meet(folder, "r.ods") / "r.ods", rows)


def ranges_that_overlap(folder: Path) -> None:
    rows = "".join(f'<row r="{n}"><c r="A{n}"><v>1</v></c></row>' for n in range(1, 90_001))
    merged = '<mergeCell ref="A1:XFD1048576"/>' * 50_000
    held = f"{rows}</sheetData><mergeCells>{merged}</mergeCells><sheetData>"
    write_xlsx(a_meet(folder, "r.xlsx") / "r.xlsx", held)


def one_file_by_many_names(folder: Path) -> None:
    sources(folder, [f"{'./' * n}marks.csv" for n in range(150)])
    (folder / "marks.csv").write_text("bib,VT\n" + "1,9.000\n" * 90_000)


def more_sources_than_any_meet_has(folder: Path) -> None:
    sources(folder, [f"r.xlsx#{n}" for n in range(4_000)])


def sources(folder: Path, names: list[str]) -> None:
    """The small meet with many sources of marks."""
    file = a_meet(folder) / "meet.toml"
    said = f"files = {{ marks = {json.dumps(names)} }}"
    file.write_text(file.read_text("utf-8").replace('files = { roster = "roster.csv" }', said))


def an_archive_that_unpacks_to_much(folder: Path) -> None:
    blanks = " " * 120_000_000
    write_xlsx(a_meet(folder, "r.xlsx") / "r.xlsx", blanks)


def a_line_of_separators(folder: Path) -> None:
    (a_meet(folder) / "marks.csv").write_text("," * 400_000)


def a_row_of_separators(folder: Path) -> None:
    (a_meet(folder) / "marks.csv").write_text("bib,VT\n1,9.000" + "," * 400_000)


def separators_after_an_open_heading(folder: Path) -> None:
    (a_meet(folder) / "marks.csv").write_text('"bib\n",VT' + "," * 400_000)


def many_columns_of_many_rows(folder: Path) -> None:
    (a_meet(folder) / "marks.csv").write_text(("," * 190 + "\n") * 90_000)


def a_quotation_mark_that_is_never_closed(folder: Path) -> None:
    (a_meet(folder) / "marks.csv").write_text('bib,VT\n1,"9.000\n' + "2,9.000\n" * 40_000)


def a_name_of_unordered_accents(folder: Path) -> None:
    accents = "\u0301\u0316\u0302\u0317" * 35_000
    roster = f"bib,family_name,given_name,club\n1,A{accents},Ada,North\n"
    (a_meet(folder) / "roster.csv").write_text(roster, encoding="utf-8")


def a_name_of_unordered_accents_in_xlsx(folder: Path) -> None:
    accents = "\u0301\u0316\u0302\u0317" * 35_000
    rows = f'<row r="1">{cell("A1", "bib")}{cell("B1", "family_name")}</row>'
    rows += f'<row r="2">{cell("A2", "1")}{cell("B2", accents)}</row>'
    write_xlsx(a_meet(folder, "r.xlsx") / "r.xlsx", rows)


def a_large_meet(folder: Path, gymnasts: int, more: str = "") -> None:
    """One mark for each gymnast, in a meet that says more of its competition."""
    file = a_meet(folder) / "meet.toml"
    file.write_text(file.read_text("utf-8").replace('rules = "club-ten"', "") + more)
    roster = "".join(f"{n},F{n},Ada,C{n % 99}\n" for n in range(gymnasts))
    (folder / "roster.csv").write_text(f"bib,family_name,given_name,club\n{roster}")
    marks = "".join(f"{n},{8 + n % 500 / 1000:.3f}\n" for n in range(gymnasts))
    (folder / "marks.csv").write_text(f"bib,VT\n{marks}")


def many_gymnasts(folder: Path) -> None:
    a_large_meet(folder, 18_000)


def many_cuts(folder: Path) -> None:
    a_large_meet(folder, 1_000, "[[competition.cuts]]\nname = 'F'\nof = 'apparatus'\n" * 100)


def many_ties(folder: Path) -> None:
    a_large_meet(folder, 3_000)


def many_wrong_cells(folder: Path) -> None:
    rows = "".join(f"{n}{f',x{n}' * 9}\n" for n in range(50_000))
    head = "bib,apparatus,mark,d,e,penalty,vault,rotation,status,competition\n"
    (a_meet(folder) / "marks.csv").write_text(head + rows)


def one_bib_for_all(folder: Path) -> None:
    a_large_meet(folder, 5_000)
    roster = (folder / "roster.csv").read_text().splitlines()
    again = "\n".join(line.replace(line.split(",")[0], "7", 1) for line in roster[1:])
    (folder / "roster.csv").write_text(f"{roster[0]}\n{again}\n")


def many_bests(folder: Path) -> None:
    a_large_meet(folder, 5_000)
    rows = "".join(f"personal,{n},VT,9.000\n" for n in range(6_000))
    (folder / "bests.csv").write_text(f"record,bib,apparatus,mark\n{rows}")


def more_gymnasts_than_any_meet_has(folder: Path) -> None:
    a_large_meet(folder, 30_000)


def a_long_page_beside_a_withheld_name(folder: Path) -> None:
    page(folder, "Ada and many others were there\n" * 3_000 + "Ada Adams\n")
    (folder / "roster.csv").write_text(
        "bib,family_name,given_name,club,publish\n1,ADAMS,Ada,North,no\n2,BELL,Bea,North,\n"
    )


def a_picture_of_declarations(folder: Path) -> None:
    held = "<!DOCTYPE " * 95_000
    file = a_meet(folder) / "assets" / "p.svg"
    file.parent.mkdir()
    file.write_text(held)


def many_rule_sets(folder: Path) -> None:
    each = "[[competition]]\nid = 'a{0}'\ntitle = 'x'\ndiscipline = 'women'\nrules = 'r{0}.toml'\n"
    held = "title = 'x'\n" + "".join(each.format(n) for n in range(200))
    (a_meet(folder) / "meet.toml").write_text(held)
    wrong = "".join(f"key{n} = 1\n" for n in range(2_000))
    for number in range(200):
        (folder / f"r{number}.toml").write_text(f"title = 'x'\n{wrong}")


def many_small_pages(folder: Path) -> None:
    page(folder, "{{ name('x') }}")
    held = (folder / "pages/p.md").read_bytes()
    for number in range(1, 1_500):
        (folder / f"pages/p{number}.md").write_bytes(held)


def settings(folder: Path, more: str) -> Path:
    """The small meet with more at the head of its settings."""
    file = a_meet(folder) / "meet.toml"
    file.write_text(more + file.read_text("utf-8"), encoding="utf-8")
    return folder


def deep_brackets(folder: Path) -> None:
    settings(folder, f"venue = {'[' * 3_000}")


def deep_tables(folder: Path) -> None:
    settings(folder, f"x{'.a' * 15_000} = 1\n")


def deep_heads(folder: Path) -> None:
    settings(folder, "".join(f"[a{'. b' * n}]\n" for n in range(250)))


def a_number_of_many_digits(folder: Path) -> None:
    settings(folder, f"title = 'x'\nvenue = {'9' * 5_000}\n")


def a_number_of_many_zeros(folder: Path) -> None:
    settings(folder, "paper = 1e99999999\n")


def many_competitions(folder: Path) -> None:
    (a_meet(folder) / "meet.toml").write_text("title = 'x'\n" + "[[competition]]\n" * 1_500)


def more_competitions_than_any_meet_has(folder: Path) -> None:
    each = "[[competition]]\nid = 'a{}'\ntitle = 'x'\ndiscipline = 'women'\n"
    held = "title = 'x'\n" + "".join(each.format(n) for n in range(201))
    (a_meet(folder) / "meet.toml").write_text(held)


def competitions_that_share_all_marks_before_them(folder: Path) -> None:
    each = "[[competition]]\nid = 'a{}'\ntitle = 'x'\ndiscipline = 'women'\nmarks_of = {}\n"
    held = (each.format(n, [f"a{before}" for before in range(n)]) for n in range(80))
    (a_meet(folder) / "meet.toml").write_text("title = 'x'\n" + "".join(held))


def many_entries(folder: Path) -> None:
    settings(folder, "".join(f"key{n} = 1\n" for n in range(4_800)))


def blanks_after_a_bracket(folder: Path) -> None:
    settings(folder, f"officials = [\n['{' ' * 900_000}']]\n")


def page(folder: Path, body: str, name: str = "p.md") -> None:
    """The small meet with a page."""
    file = a_meet(folder) / "pages" / name
    file.parent.mkdir(exist_ok=True)
    file.write_text(f'+++\ntitle = "P"\n+++\n{body}', encoding="utf-8")


LOOPS = "{% for i in range(1000) %}{% for j in range(1000) %}"
ENDS = "{% endfor %}{% endfor %}"


def a_page_that_joins_what_was_joined(folder: Path) -> None:
    page(
        folder,
        "{% set a = range(1000)|join('abcdefghi') %}{% set b = range(1000)|join(a) %}"
        "{% set c = range(1000)|join(b) %}{{ c|length }}",
    )


def a_page_that_compares(folder: Path) -> None:
    rows = "{% set a = range(1000)|list %}{% set b = range(1000)|list %}"
    page(folder, rows + LOOPS + "{% if a == b %}{% endif %}" + ENDS)


def a_page_that_looks_for_a_text(folder: Path) -> None:
    texts = "{% set a = range(1000)|join(range(100)|join) %}"
    page(folder, texts + LOOPS + "{% if 'x' in a %}{% endif %}" + ENDS)


def a_page_that_keeps_text(folder: Path) -> None:
    page(folder, "{% set a %}" + LOOPS + "much text " * 40_000 + ENDS + "{% endset %}{{ a }}")


def a_page_with_much_in_a_loop(folder: Path) -> None:
    page(folder, LOOPS + "{% if i == j %}{% endif %}" * 900 + ENDS)


def lists_of_lists_twice(folder: Path) -> None:
    both = "{% set a = [1] %}{% set b = [1] %}"
    page(folder, both + "{% set a = [a, a] %}{% set b = [b, b] %}" * 40 + "{{ a == b }}")


def loops_in_loops(folder: Path) -> None:
    loops = "".join(f"{{% for i{n} in [1] %}}" for n in range(21))
    page(folder, loops + "x" + "{% endfor %}" * 21)


def half_a_letter(folder: Path) -> None:
    page(folder, r'{{ name("\ud800") }}')


def brackets_in_brackets(folder: Path) -> None:
    page(folder, "{{ " + "[" * 300 + "]" * 300 + "|length }}")


def lists_in_lists(folder: Path) -> None:
    page(folder, "1. " * 2_000 + "a")


def brackets_without_end(folder: Path) -> None:
    page(folder, "[" * 100_000)


def signs_without_end(folder: Path) -> None:
    page(folder, "\\" * 450_000)


def many_pages(folder: Path) -> None:
    for number in range(60):
        page(folder, "{% for i in range(900) %}" + "|a" * 100 + "\n{% endfor %}", f"p{number}.md")


def a_long_word_that_is_no_unicode(folder: Path) -> None:
    held = b"bib,family_name,club\n1,Vale," + b"a" * 99_000 + b" \x93\n"
    (a_meet(folder) / "roster.csv").write_bytes(held)


def one_name_for_all(folder: Path) -> None:
    rows = "".join(f"{n},ADAMS,Ada,C{n}\n" for n in range(15_000))
    (a_meet(folder) / "roster.csv").write_text(f"bib,family_name,given_name,club\n{rows}")
    rows = "".join(f"Ada Adams,C{n},9\n" for n in range(14_999))
    (folder / "marks.csv").write_text(f"name,club,VT\n{rows}Ada Adams,,9\n")


HOSTILE: dict[Callable[[Path], None], tuple[str, str]] = {
    a_cell_in_the_last_corner: ("table-too-large", "r.xlsx is not read: it takes more than"),
    a_cell_in_the_last_column: ("table-too-large", "16384 columns, and at most 200"),
    a_cell_beyond_all_columns: ("no-spreadsheet", "r.xlsx cannot be opened"),
    millions_of_cells_of_ods: ("table-too-large", "r.ods is not read"),
    a_record_of_nothing_many_times: ("broken-publication", "holds more than 1,000,000 things"),
    a_record_of_many_gymnasts: ("broken-publication", "holds more than 20,000 gymnasts"),
    records_that_are_large_together: ("broken-publication", "are larger than 20 MB together"),
    many_rows_of_xlsx: ("table-too-large", "149999 rows below the heading, and at most 100000"),
    a_million_formulas: ("table-too-large", "r.xlsx is not read"),
    broken_cells_of_ods_that_are_repeated: ("table-too-large", "r.ods is not read"),
    ranges_that_overlap: ("table-too-large", "its merged cells overlap"),
    one_file_by_many_names: ("source-twice", "is the same as marks.csv"),
    more_sources_than_any_meet_has: ("wrong-setting", "must have at most 200"),
    an_archive_that_unpacks_to_much: ("table-too-large", "larger than 100 MB"),
    a_line_of_separators: ("table-too-large", "400001 columns, and at most 200"),
    a_row_of_separators: ("table-too-large", "400002 columns, and at most 200"),
    separators_after_an_open_heading: ("table-too-large", "marks.csv is not read"),
    many_columns_of_many_rows: ("table-too-large", "17190000 cells, and at most 1000000"),
    a_quotation_mark_that_is_never_closed: ("open-quotation", "marks.csv:2"),
    a_name_of_unordered_accents: ("unfit-text", "roster.csv:2 [family_name] has 140001 signs"),
    a_name_of_unordered_accents_in_xlsx: ("unfit-text", "r.xlsx:2 [family_name] has 140000 signs"),
    many_gymnasts: ("meet-too-large", "90000 rows together, and at most 80000 are worked out"),
    many_cuts: ("meet-too-large", "405000 rows together"),
    many_ties: ("tie-not-settled", "499 more ties of this competition"),
    many_wrong_cells: ("not-a-mark", "what more there is like it is told once these are mended"),
    one_bib_for_all: ("bib-twice", "bib 7 is also on line 2"),
    many_bests: ("unknown-bib", "bib 5000 is not on the roster"),
    more_gymnasts_than_any_meet_has: ("table-too-large", "30000 rows, and at most 20000"),
    a_long_page_beside_a_withheld_name: ("withheld-name", "bib 1"),
    a_picture_of_declarations: ("unsafe-picture", "assets/p.svg"),
    many_rule_sets: ("settings-too-large", "at most 10 rule sets of its own are read"),
    many_small_pages: ("page-text", "the pages of this meet take too many steps"),
    deep_brackets: ("settings-too-large", "brackets stand in brackets more than 10 deep"),
    deep_tables: ("settings-too-large", "a key has more than 10 parts"),
    deep_heads: ("settings-too-large", "a key has more than 10 parts"),
    a_number_of_many_digits: (
        "settings-too-large",
        "meet.toml:2 is not read: a number has more digits",
    ),
    a_number_of_many_zeros: ("settings-too-large", "1e99999999 is no number of a meet"),
    many_competitions: ("missing-setting", "[competition[1].id] id is missing"),
    more_competitions_than_any_meet_has: ("wrong-setting", "must have at most 200"),
    competitions_that_share_all_marks_before_them: ("links-do-not-fit", "a5 has no marks; name a0"),
    many_entries: ("unknown-setting", "there is no setting key1 here"),
    blanks_after_a_bracket: ("unfit-text", "has 900000 signs, and at most 1000 are read"),
    a_page_that_joins_what_was_joined: ("page-text", "takes too many steps or grows too long"),
    a_page_that_compares: ("page-text", "takes too many steps"),
    a_page_that_looks_for_a_text: ("page-text", "takes too many steps"),
    a_page_that_keeps_text: ("page-text", "takes too many steps"),
    a_page_with_much_in_a_loop: ("page-text", "takes too many steps"),
    lists_of_lists_twice: ("page-text", "takes too many steps"),
    loops_in_loops: ("page-text", "stand in each other too deep"),
    half_a_letter: ("page-syntax", "a hidden sign (U+D800) stands here"),
    brackets_in_brackets: ("page-text", "stand in each other too deep"),
    lists_in_lists: ("page-text", "cannot be made into a page"),
    brackets_without_end: ("page-text", "the pages of this meet take too many steps"),
    signs_without_end: ("page-text", "the pages of this meet take too many"),
    many_pages: ("page-text", "the pages of this meet take too many steps"),
    one_name_for_all: ("unknown-name", "several on the roster are called so: bib 0 of C0 and bib"),
    a_long_word_that_is_no_unicode: ("not-utf8", "or, as cp850 it has ô"),
}
"""Each hostile folder, the code of its problem and what its message says."""


@pytest.fixture(scope="module")
def taken(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Cost]:
    folder = tmp_path_factory.mktemp("hostile")
    for write in HOSTILE:
        write(folder / write.__name__)
    return costs([folder / write.__name__ for write in HOSTILE])


@pytest.mark.parametrize("write", HOSTILE, ids=lambda write: write.__name__)
def test_it_costs_little_and_is_told(taken: dict[str, Cost], write: Callable[..., None]) -> None:
    cost = taken[write.__name__]
    code, message = HOSTILE[write]
    assert cost.code == 1, cost.told
    assert f"({code})" in cost.told
    assert message in cost.told
    assert cost.seconds < SECONDS
    assert cost.megabytes < MEGABYTES
