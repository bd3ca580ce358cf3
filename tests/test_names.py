"""A withheld name: its forms, every door by which it could come in, and the last look."""

from __future__ import annotations

import gzip
import re
import struct
import zlib
from base64 import b64encode
from collections import namedtuple
from dataclasses import fields, replace
from io import BytesIO
from random import Random
from time import process_time
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin
from zipfile import ZipFile

import pytest
from folders import judged, write_folder
from pydantic import BaseModel

from resultsgen.checks.privacy import withheld_names_stand_in_no_text
from resultsgen.meet.columns import BESTS, CORRECTIONS, INCIDENTS, MARKS, ROSTER
from resultsgen.meet.folder import Entry
from resultsgen.meet.problems import MeetProblems
from resultsgen.meet.ruleset import RuleSet
from resultsgen.meet.settings import MeetSettings
from resultsgen.privacy.contents import TooLargeError, Unpacking, contents, may_be_told, readings
from resultsgen.privacy.forms import Name, hits, may_tell, sought, words
from resultsgen.privacy.withheld import told_in, withheld
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.last_look import look_through
from resultsgen.publishing.publish import publish
from resultsgen.reading.meet import read_meet
from resultsgen.scoring.people import nameless
from resultsgen.scoring.ranking import Gymnast
from resultsgen.website.meet_pages import rendered_pages

FORMS = (
    "Quillana Zweibrück",
    "ZWEIBRÜCK, Quillana",
    "Mae Zweibruck",
    "zweibrueck quillana-mae",
    "Quillana Mae Zweibrücks",
    "Quil\u00adlana Zweibrück's",
    "quillana_zweibrueck",
    "Zweibru\u0308ck  Mae",
    "Ｑuillana M. Zweibrück’s",
)
"""Of Zweibrück, Quillana Mae."""

CUP = """
== meet.toml ==
title = "Cup"
[[competition]]
id = "one"
title = "One"
discipline = "women"
rules = "club-ten"
== roster.csv ==
bib,family_name,given_name,club,federation,team,discipline,division,session,squad,start_order,entered,birth_year,guest,publish,status
4,Zweibrück,Quillana Mae,South,,,,,,,,,,,no,
{rows}
== marks.csv ==
bib,apparatus,mark,d,e,penalty,bonus,vault,rotation,status,competition
{marks}
"""
ROWS = "".join(f"{10 + n},Adder,Bea{'abcdefghi'[n]},North,,,,,,,,,,,,\n" for n in range(len(FORMS)))


def told(names, text: str) -> bool:
    found = bool(hits(names, words(text)))
    assert may_tell(names, text) or not found
    return found


@pytest.mark.parametrize("form", FORMS)
def test_every_form_of_a_name_is_found(form):
    names = sought([(Name("Zweibrück", "Quillana Mae"), "4")], [Name("Zweibrück", "Bea")])
    assert told(names, f"We saw {form} again")
    assert told(names, f"{form}")
    assert not told(names, "Zweibrück. Quillana, Mae Bea Zweibrück, 2 Quillana 2 Zweibrück")


@pytest.mark.parametrize(
    ("family", "given", "text"),
    [
        ("Pelomar", "", "Pelomar won"),
        ("Amberley, Jule", "", "Jule Amberley won"),
        ("Jule Amberley", "", "Amberley, Jule"),
        ("von der Heide", "Anna-Lena", "Annalena Heide"),
        ("von der Heide", "Anna-Lena", "Heide, Lena v. d."),
        ("Le", "Van Minh", "Lê Minh"),
        ("Ørsted", "Zoë", "Zoe Oersted"),
        ("Mueller", "Ada", "Ada Müller"),
        ("Гроза", "Вера", "Vera Groza"),
        ("王", "伟", "祝贺王伟"),
        ("O'Neil", "Ada", "Ada ONeil"),
        ("Vale", "Ada", "Vales Ada"),
        ("Vale", "Ada", "#AdaVale"),
        ("Li", "Na", "LiNa.jpg"),
        ("McVale", "Ada", "Ada McVale"),
        ("Vale", "Ada", "𝐀𝐝𝐚 𝐕𝐚𝐥𝐞"),
        ("Vale", "Ada", "🄰🄳🄰 🅥🅐🅛🅔"),
        ("Vale", "Ada", "Ada 🤸 Vale ™"),
    ],
)
def test_names_of_all_kinds_are_found(family, given, text):
    assert told(sought([(Name(family, given), "4")], []), text)


@pytest.mark.parametrize(
    ("family", "given", "others", "text"),
    [
        ("May", "Rose", (("Adder", "Rose"),), "17 May. Rose Adder won (May). Rose"),
        ("Li", "An", (), "On an even list, li, can an lion; Anli"),
        ("Short", "Max", (("Maxwell", "Ada"),), "The short vault: max. 10.000, maxshorter"),
        ("An", "Na", (), "Anna won"),
        ("Adder", "May", (("Bell", "May"), ("Adder", "Rose")), "Bell May, Adder Rose, Bell May"),
        ("Vale", "", (("Vale", "Bea"),), "Vale Bea, the Vale family"),
        ("Vale", "Ada", (("Vale", "Ada"),), "Ada Vale won"),
        ("Vale", "Ada", (("Vale", "Ada Maria"),), "Vale Ada Maria won"),
        ("Heide", "Anna von der", (), "Anna von TV Lindmoor"),
        ("Vale", "Ada", (("McVale", "Ada"),), "Ada McVale, McVale Ada won"),
        ("Li", "Na", (), "Lina, final in"),
    ],
)
def test_no_false_alarm(family, given, others, text):
    names = sought([(Name(family, given), "4")], [Name(*one) for one in others])
    assert not told(names, text)


def test_a_club_that_has_a_word_of_a_name_is_no_alarm():
    names = sought([(Name("Ng", "Rose"), "4")], [Name("Ng", "Bea")], [], ["SV Rose", "Rose"])
    assert not told(names, "Bell, SV Rose, Ng Bea")
    assert told(names, "Bell, SV Rose, Ng Rose")
    assert told(names, "SV Rose, Ng Ada")
    named = sought([(Name("Ng", "Rose"), "4")], [], [], ["Friends of Rose Ng"])
    assert told(named, "Friends of Rose Ng")


def test_what_parts_words_in_html_is_seen():
    """A name that goes on in the cell is another's; a letter that is set off is a part of it."""
    names = sought([(Name("Adder", "Ada"), "3")], [Name("Adder", "Ada Rose")])
    cell = "<td><a>Adder Ada Rose</a><small>South</small></td>"
    assert not any(told(names, text) for text in readings(cell))
    assert any(told(names, text) for text in readings("<p>Ad<i>d</i>er <b>A</b>da</p>"))


def test_a_key_is_no_part_of_a_name_and_parts_none():
    names = sought([(Name("Place", "Rose"), "5")], [])
    assert not any(told(names, text) for text in readings('{"club": "SV Rose", "place": 1}'))
    assert any(told(names, text) for text in readings('{"family": "Place", "given": "Rose"}'))
    assert any(told(names, text) for text in readings('{"rose-place": 1}'))


def test_a_sister_who_may_be_told_hides_nobody():
    names = sought([(Name("Vale", "Ada"), "4")], [Name("Vale", "Bea"), Name("Bell", "May")])
    assert told(names, "Well done, Ada Vale, Bea Vale and May Bell")
    assert told(names, "May Bell, Ada Vale")


def test_what_the_meet_says_is_meant_otherwise_is_left_alone_in_just_these_words():
    names = sought([(Name("Best", "Mark"), "4")], [], ["best marks"])
    assert told(sought([(Name("Best", "Mark"), "4")], []), "The best mark of the day")
    assert not told(names, "The best mark of the day, her best marks")
    assert told(names, "Mark Best won")


def filled(kind: Any, text: str, path: str, paths: set[str]) -> Any:
    """A value of a type in which every text is *text*; *paths* gathers where these stand."""
    origin, inner = get_origin(kind), get_args(kind)
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        known = {field.alias or name: field for name, field in kind.model_fields.items()}
        return {
            name: _of_field(field, text, f"{path}.{name}".strip("."), paths)
            for name, field in known.items()
        }
    if kind in (str, Any):
        paths.add(path)
        return text
    if origin is tuple:
        return [filled(inner[0], text, f"{path}[1]", paths)]
    if origin is dict:
        # Where a key is one of several words, it is no text of a stranger.
        key = filled(inner[0], text, path, set())
        if key == text:
            paths.add(f"{path}.{text}")
        return {key: filled(inner[1], text, f"{path}.{key}", paths)}
    if origin in (Union, UnionType):
        return filled(next(one for one in inner if one is not NoneType), text, path, paths)
    if origin is Annotated:
        return filled(inner[0], text, path, paths)
    return inner[0] if origin is Literal else {int: 1, bool: False}.get(kind, "2031-05-17")


def _of_field(field: Any, text: str, path: str, paths: set[str]) -> Any:
    pattern = next((one.pattern for one in field.metadata if getattr(one, "pattern", None)), "")
    slug = "-".join(words(text))
    if pattern and not re.fullmatch(pattern, slug):
        return "5-4-3" if field.is_required() else field.default
    if path.endswith(".encoding"):
        return field.default  # Only what decodes text passes.
    if least := next((one.ge for one in field.metadata if getattr(one, "ge", None)), 0):
        return least
    return filled(field.annotation, slug if pattern else text, path, paths)


@pytest.fixture(scope="module")
def meet(tmp_path_factory):
    folder = write_folder(tmp_path_factory.mktemp("cup"), CUP.format(rows=ROWS, marks=""))
    read, problems = read_meet(folder)
    assert not problems
    return read


@pytest.mark.parametrize("form", FORMS)
def test_no_setting_and_no_entry_of_a_rule_set_tells_a_name(meet, form):
    """Every text that the classes of settings know, be it published or not."""
    paths: dict[str, set[str]] = {"meet.toml": set(), "own.toml": set()}
    told = MeetSettings.model_validate(filled(MeetSettings, form, "", paths["meet.toml"]))
    privacy = told.privacy.model_copy(update={"namesakes": ()})
    (competition,) = told.competitions
    competition = competition.model_copy(update={"rules": "own.toml"})
    told = told.model_copy(update={"privacy": privacy, "competitions": (competition,)})
    own = RuleSet.model_validate(filled(RuleSet, form, "", paths["own.toml"]))
    spoilt = replace(meet, settings=told, rule_sets={competition.id: own})
    problems = [*withheld_names_stand_in_no_text(spoilt)]
    excused = {"privacy.namesakes[1]", "competition[1].rules"}
    for file, known in paths.items():
        assert {one.column for one in problems if one.file == file} == known - excused
    assert len(paths["meet.toml"]) > 60


def table(columns, row: dict[str, str], column: str) -> str:
    """A table with a row for each form of the name, which stands in one column."""
    head = [one.name for one in columns]
    held = [row | {column: form} for form in FORMS]
    held = [one | {"bib": one.get("bib", "").format(n=10 + n)} for n, one in enumerate(held)]
    lines = [",".join(f'"{one.get(name, "")}"' for name in head) for one in held]
    return "\n".join((",".join(head), *lines)) + "\n"


TABLES = {
    "roster.csv": (ROSTER, {"bib": "{n}", "family_name": "Adder"}),
    "marks.csv": (MARKS, {"bib": "{n}", "apparatus": "VT", "mark": "9.000"}),
    "incidents.csv": (
        INCIDENTS,
        {"bib": "{n}", "apparatus": "VT", "incident": "fall", "deduction": "0.5"},
    ),
    "bests.csv": (BESTS, {"bib": "{n}", "record": "season", "apparatus": "VT", "mark": "9.000"}),
    "corrections.csv": (
        CORRECTIONS,
        {"bib": "{n}", "apparatus": "VT", "old": "8.000", "new": "9.000", "why": "inquiry"},
    ),
}


@pytest.mark.parametrize("file", TABLES)
def test_no_cell_of_any_column_tells_a_name(tmp_path, file):
    """A problem for each row, whatever the column, unless it is not read and said to be left alone:
    what is no name of hers is no cell either."""
    columns, row = TABLES[file]
    marks = "".join(f"{10 + n},VT,9.000,,,,,,,,\n" for n in range(len(FORMS)))
    folder = write_folder(tmp_path, CUP.format(rows=ROWS, marks=marks))
    for column in columns:
        text = table(columns, row, column.name)
        if file == "roster.csv":
            text += '4,"Zweibrück, Quillana Mae",,,South,,,,,,,,,,,no,\n'
        (folder / file).write_text(text, "utf-8")
        read, problems = read_meet(folder)
        lines = {one.row for one in problems if one.file == file}
        left = [one for one in read.notes if (one.file, one.code) == (file, "left-alone")]
        if not any(column.name in (one.column, one.message.split(": ")[1]) for one in left):
            assert lines >= {*range(2, 2 + len(FORMS))}, column.name


PAGES = (
    "Quil**la**na Zweibr&uuml;ck",
    "Mae <!-- again --> Zweibr&shy;ück",
    "<b>Mae</b>\n*Zweibrück*",
    '{{ "Quil" ~ "lana" }} {# here #} Zwei{{ "brück" }}',
    "| place | Zweibrück |\n|---|---|\n| Quillana | 1 |\n\n[Quillana][1] Zweibrück\n\n[1]: a.md",
    "[1](https://example.org/quillana%20zweibr%C3%BCck)",
    '![](assets/x.png "Quillana Zweibrück")',
)


@pytest.mark.parametrize("body", PAGES)
def test_a_page_is_looked_at_as_its_readers_see_it(tmp_path, body):
    folder = write_folder(tmp_path, CUP.format(rows=ROWS, marks=""))
    page = folder / "pages/recap.md"
    page.parent.mkdir()
    page.write_text(f'+++\ntitle = "Recap"\n+++\n{body}\n', "utf-8")
    _, problems = read_meet(folder)
    if not problems:
        _, problems = rendered_pages(judged(folder))
    assert ("pages/recap.md", "withheld-name") in [(one.file, one.code) for one in problems]


def test_a_long_page_is_looked_at_once(meet):
    """3,000 lines, each with the name: the time grows with the lines, not with their square."""
    lines = ["Mae Zweibrück and Bea Zweibrück, Quillana\n"] * 3000
    began = process_time()
    found = told_in(withheld(meet).names, "".join(lines))
    assert [one.line for one in found] == [*range(3000)]
    assert process_time() - began < 6


def png(kind: bytes, text: bytes) -> bytes:
    chunks = ((b"IHDR", struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0)), (kind, text), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(held)) + name + held + struct.pack(">I", zlib.crc32(name + held))
        for name, held in chunks
    )


def zipped(**members: bytes) -> bytes:
    held = BytesIO()
    with ZipFile(held, "w") as archive:
        for name, data in members.items():
            archive.writestr(name.replace("_", "/", 1).replace("_", "."), data)
    return held.getvalue()


SHE = "Quillana Zweibrück"
PDF_FONT = b"2 0 obj<</ToUnicode 3 0 R>>endobj 3 0 obj<<>>stream\n1 beginbfrange <00><7f><0000>\n" \
    b"endbfrange 1 beginbfchar <fc><00fc> endbfchar endstream endobj"  # fmt: skip
FILES = {
    "latin-1": SHE.encode("latin-1"),
    "utf-16": SHE.encode("utf-16"),
    "gzip": gzip.compress(SHE.encode()),
    "gzip, put together": gzip.compress(b"Cup") + gzip.compress(SHE.encode()),
    "zlib": zlib.compress(SHE.encode()),
    "zip": zipped(a_txt=gzip.compress(SHE.encode())),
    "name in a zip": zipped(**{"quillana_zweibrueck": b""}),
    "comment of a zip": zipped(a_txt=b"")[:-2] + b"\x0e\0Mae Zweibrueck",
    "workbook": zipped(
        xl_sharedStrings_xml="<sst><si><t>Zweibrück</t></si><si><t>x</t></si><si><t>Mae</t></si></sst>".encode(),
        xl_worksheets_xml=b'<row><c r="A1" t="s"><v>2</v></c><c t="s"><v>0</v></c></row>',
    ),
    "PNG": png(b"tEXt", b"Author\0" + SHE.encode("latin-1")),
    "PNG, packed": png(b"zTXt", b"Author\0\0" + zlib.compress(SHE.encode("latin-1"))),
    "PNG, packed and translated": png(
        b"iTXt", b"Author\0\1\0de\0Wer\0" + zlib.compress(SHE.encode())
    ),
    "PNG, EXIF": png(b"eXIf", b"\0\1\xff\xfe\x80" + SHE.encode("utf-16-le") + b"\0\0\xff"),
    "SVG": b'<svg><g id="1"><text>Quil<tspan>lana</tspan> Zweibr&#252;ck</text></g></svg>',
    "SVG, title": f'<svg><a title="{SHE}"/></svg>'.encode(),
    "SVG, comment": f"<svg><!-- {SHE} --></svg>".encode(),
    "SVG, picture": b'<svg><image href="data:image/svg+xml;base64,' + b64encode(SHE.encode())
    + b'"/></svg>',
    "after a picture": b"data:image/png;base64,QUJD Mae Zweibrueck",
    "HTML, pictures": b"<img src=data:;base64,QUJD id=ada><img src=data:;base64,"
    + b64encode(SHE.encode()),
    "HTML": b"<td>Zweibr&uuml;ck</td>\n<td>Mae</td>",
    "HTML, address": b'<a href="quillana-zweibr%C3%BCck.html">4</a>',
    "JSON": b'{"family_name":"Zweibr\\u00fcck","given_name":"Mae","bib":"4"}',
    "script": b"show('Mae Zweibr\\xfcck')",
    "CSV": "4,Zweibrück,Mae,South".encode(),
    "PDF, text": b"%PDF-1.7 1 0 obj<</F 2 0 R>>endobj " + PDF_FONT
    + b"4 0 obj<<>>stream\nBT /F 9 Tf["
    b"<4d>-20<6165>-300<5a776569>]TJ<6272fc636b>Tj ET endstream endobj",
    "PDF, packed text": b"%PDF-1.7 1 0 obj<</F 2 0 R>>endobj " + PDF_FONT + b"4 0 obj<<>>stream\n"
    + zlib.compress(b"BT /F 9 Tf[<4d6165205a776569>12<6272fc636b>]TJ ET") + b"\nendstream endobj",
    "PDF, title": b"%PDF-1.7 1 0 obj<</Title<" + b"\xfe\xff".hex().encode()
    + SHE.encode("utf-16-be").hex().encode() + b">>>endobj",
    "PDF, attached": b"%PDF-1.7 1 0 obj<</Type/EmbeddedFile>>stream\n" + zlib.compress(SHE.encode())
    + b"\nendstream endobj",
}  # fmt: skip


def test_a_packed_picture_in_lines_is_no_text():
    lines = f"data:image/png;base64,{'Ada' * 20}\n{'Vale' * 15}\nMae"
    assert [*readings(lines)] == [" 0 \nMae"]


@pytest.mark.parametrize("kind", FILES)
def test_a_name_is_found_in_files_of_every_kind(meet, kind):
    names = withheld(meet).names
    assert any(told(names, text) for text in contents(FILES[kind]))


PIECES = (
    *("Ada", "Vale", "A", "da", "Va", "le", " ", ", ", "-", "\n", "ä", "ß", "0"),
    *("<b>", "</b>", "<i2>", "<p>", "<", ">", '<p title="', '">', '"', '":', '" :', '"\n:', '"k":'),
    *("&amp;", "&lt;", "&gt;", "&quot;", "&#86;", "&am", "&copy", "%41", "\\u0041", "\\n", "\\"),
    *("<!--", "-->", "{#", "#}"),
)


def test_what_is_left_out_by_the_quick_look_has_no_name_in_any_reading():
    names = sought([(Name("Vale", "Ada"), "4")], [])
    chosen, found, left_out = Random(4), 0, 0
    for _ in range(6000):
        several = (*chosen.choices(PIECES, k=4), "Ada", "Vale", "A", "da", "Va", "le")
        text = "".join(chosen.choices(several, k=chosen.randint(2, 12)))
        asked = [reading for reading in readings(text) if may_tell(names, reading)]
        hit = any(hits(names, words(reading)) for reading in asked)
        quick = may_be_told(names, text)
        assert quick or not hit, text
        found, left_out = found + hit, left_out + (not quick)
    assert min(found, left_out) > 500


def test_the_quick_look_finds_a_name_that_goes_on_in_lines_that_were_looked_at_before():
    names = sought([(Name("Vale", "Ada"), "4")], [])
    texts = "<p>A", "da</p>", "Va", "le", "<p>A\nda</p>\n\nVa\nle"
    assert [may_be_told(names, text) for text in texts] == [False] * 4 + [True]


@pytest.mark.parametrize("key", ['"key"\n:', '"key"<b>\n\n<i>:', '"k<i>e</i>y":', '"key" <p>:'])
def test_the_quick_look_finds_a_name_that_goes_on_after_a_key_and_the_end_of_one(key):
    names = sought([(Name("Vale", "Ada"), "4")], [])
    text = f'<p>{{"a": "b"}}Va{key}le Ada</p>'
    assert any(hits(names, words(reading)) for reading in readings(text))
    assert may_be_told(names, text)


@pytest.mark.parametrize(
    "text",
    [
        '<p data-of="{&quot;a&quot;: &quot;Va&quot;, &#34;b&#34;: &quot;le Ada&quot;}">Alder</p>',
        "<p>Va<i>＜le＞</i> Ada</p>",
    ],
)
def test_the_quick_look_finds_a_name_parted_by_keys_in_a_tag_or_by_wide_arrows(text):
    names = sought([(Name("Vale", "Ada"), "4")], [])
    assert any(hits(names, words(reading)) for reading in readings(text))
    assert may_be_told(names, text)


def test_the_quick_look_reads_no_page_whole_for_keys_beside_tags(monkeypatch):
    names = sought([(Name("Vale", "Ada"), "4")], [])
    monkeypatch.setattr("resultsgen.privacy.contents.in_short", lambda _: pytest.fail("read whole"))
    page = '<h1>Vale</h1>\n<script type="application/ld+json">{"name": "A", "x": "%s"}</script>\n'
    assert not may_be_told(names, page % "Bea")
    assert may_be_told(names, page % "da")


def test_the_quick_look_takes_no_arrow_for_a_tag():
    names = sought([(Name("Vale", "Ada"), "4")], [])
    assert not may_tell(names, "<p>Adam ← 12.500 → ≤ 3</p>")
    assert may_tell(names, "<p>V<b>al</b>e ← A<i>d</i>a</p>")


def test_what_unpacks_to_too_much_is_not_looked_through():
    bomb = gzip.compress(gzip.compress(bytes(3000)))
    assert list(Unpacking(left=4000).contents(bomb))
    with pytest.raises(TooLargeError):
        list(Unpacking(left=2000).contents(bomb))
    with pytest.raises(TooLargeError):
        list(Unpacking(left=2000).contents(gzip.compress(bytes(1000)) * 3))
    with pytest.raises(TooLargeError):
        list(contents(zipped(a_b=zipped(a_b=zipped(a_b=zipped(a_b=zipped(a_b=zipped())))))))


LEAKY = (
    CUP.format(rows=ROWS, marks="10,VT,9.000,,,,,,,,\n4,VT,8.000,,,,,,,,\n")
    + """\
== incidents.csv ==
bib,apparatus,incident,deduction,note
4,VT,fall,0.5,Mae Zweibrück fell
"""
)


@pytest.fixture
def blind(monkeypatch):
    """As if the first look had missed all."""
    monkeypatch.setattr("resultsgen.reading.meet.checked", lambda meet: [])


def test_the_last_look_keeps_back_what_the_first_one_missed(tmp_path, blind):
    """Nothing is put in place, and one message says where and how to go on."""
    folder = write_folder(tmp_path / "meet", LEAKY)
    with pytest.raises(MeetProblems) as found:
        publish(folder, tmp_path / "out", BuildOptions(books=False), lambda *_: None)
    (problem,) = found.value.problems
    assert problem.code == "withheld-name"
    assert re.search(r"would be published \(and \d+ more files\).*bib 4", problem.message)
    assert 'namesakes = ["Mae Zweibrück"]' in problem.message
    assert not (tmp_path / "out").exists()


def test_a_file_of_others_that_is_carried_over_is_looked_at(tmp_path):
    folder = write_folder(tmp_path / "meet", LEAKY.replace(" Zweibrück fell", ""))
    out = tmp_path / "out"
    publish(folder, out, BuildOptions(books=False), lambda *_: None)
    before = (out / "index.html").read_bytes()
    (out / "old.csv.gz").write_bytes(FILES["gzip"])
    (out / "mae_zweibrueck").mkdir()
    with pytest.raises(MeetProblems) as found:
        publish(folder, out, BuildOptions(books=False), lambda *_: None)
    assert {one.file for one in found.value.problems} == {"old.csv.gz", "mae_zweibrueck"}
    assert (out / "index.html").read_bytes() == before
    (out / "old.csv.gz").unlink()
    (out / "mae_zweibrueck").rmdir()
    publish(folder, out, BuildOptions(books=False), lambda *_: None)


def test_what_was_looked_at_is_not_unpacked_again_and_nothing_is_where_all_names_are_told(
    tmp_path, meet, monkeypatch
):
    folder = tmp_path / "folder"
    folder.mkdir()
    (folder / "a.txt").write_text("Bea Zweibrück", "utf-8")
    unpacked = []
    monkeypatch.setattr(
        "resultsgen.publishing.last_look.contents", lambda data, _: unpacked.append(data) or []
    )
    for _ in range(2):
        look_through(meet, tmp_path / "cache", folder)
    assert unpacked == [b"Bea Zweibr\xc3\xbcck"]
    told = replace(meet, entries=tuple(one._replace(publish=True) for one in meet.entries))
    look_through(told, tmp_path / "cache", tmp_path / "nowhere")
    assert len(unpacked) == 1


def test_a_column_that_nobody_decided_on_is_withheld_with_the_name(meet):
    """Whatever else a roster comes to tell of a person."""
    told = meet.entries[0]._asdict()
    wider = namedtuple("wider", (*Entry._fields, "coach", "photo", "height", "minor"))
    known = wider(**told, coach="Wanda Orm", photo="q.jpg", height=150, minor=True)
    there = nameless(known)
    assert (there.coach, there.photo, there.family_name, there.given_name) == ("",) * 4
    assert there.height is None
    assert there.birth_year is None
    assert there.minor is False
    stays = {"key", "line", *(column.name for column in ROSTER if column.stays)}
    assert {name for name, cell in told.items() if getattr(there, name) == cell} >= stays


CALLED = {
    "family_name": "family", "given_name": "given", "publish": "published", "person": "lasting",
}  # fmt: skip
"""What a column of the roster is called in results, where it has another name."""

DECIDES = {
    "name": "family and given name",
    "entered": "who is in which list",
    "status": "what stands in place of marks",
}
"""Columns that results don't tell as they are, and what they decide instead."""


def test_of_every_column_of_the_roster_somebody_decided_whether_it_is_published():
    """A column that came new is in neither, until it's put in one of them."""
    told = {CALLED.get(column.name, column.name): column.name for column in ROSTER}
    held = {each.name for each in fields(Gymnast)}
    assert {name for here, name in told.items() if here not in held} == {*DECIDES}
    assert held - {*told} == {"key", "person"}


def test_a_picture_that_names_her_is_told_and_one_that_unpacks_to_much_costs_little(meet, tmp_path):
    """The last look reads what a check leaves."""
    named, large = tmp_path / "a.svg", tmp_path / "b.svg"
    named.write_bytes(FILES["SVG"])
    bomb = b64encode(gzip.compress(bytes(50_000_000)))
    large.write_bytes(b'<svg><image href="data:image/png;base64,' + bomb + b'"/></svg>')
    shown = replace(meet, assets={"a.svg": named, "b.svg": large, "Mae-Zweibrueck.png": named})
    problems = [*withheld_names_stand_in_no_text(shown)]
    assert [one.file for one in problems] == ["assets/a.svg", "assets/Mae-Zweibrueck.png"]
