"""Names in the order that the meet says, and numbers that nobody wore: looked for in every file."""

from __future__ import annotations

import csv
import json
import re
import shutil
import subprocess
from functools import cache
from pathlib import Path

import pytest
from browsing import opened, served
from folders import write_folder
from lxml import html
from test_privacy import CUP, FORMS

from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.publish import publish

NAMES = {
    "Ada": "Adder", "Bea": "Bellamy", "Cora": "Cole", "Edda": "van Egg", "Fia": "Fern",
    "Gitta": "Gorse",
}  # fmt: skip
"""Family names of those who are published, by given name."""

EVENING = Path(__file__).parent / "example_evening"
MADE = "900"
READ = (".html", ".pdf", ".txt", "feed.xml")
KINDS = {".html", ".pdf", ".txt", ".xml", ".js", ".json", ".csv"}
COMMA = "|".join(f"{two}, {one}" for one, two in NAMES.items())
HANDED_OUT = ("awards sheet", "ribbons", "wall sheets", "certificates", "score sheets", "medals")


def cup(settings: str, language: str, roster: str) -> str:
    """The cup, with numbers that nobody else has, and names as a roster may have them."""
    numbered = CUP.replace('"women/4"', '"women/90004"').replace('"4")', '"90004")')
    numbered = re.sub(r"^(personal,)?(\d+),", rf"\g<1>{MADE}0\2,", numbered, flags=re.MULTILINE)
    numbered = numbered.replace("bib 4 is", "the next is").replace("Egg,Edda", "van Egg,Edda")
    if roster == "whole names":
        numbered = numbered.replace("bib,family_name,given_name,", "bib,name,")
        numbered = re.sub(
            rf"^({MADE}\d+),([^,]+),(\w+),(North|South|West)", r'\1,"\2, \3",\4', numbered,
            flags=re.MULTILINE,
        )  # fmt: skip
    numbered = numbered.replace('["en", "de"]', f'["{language}"]')
    return numbered.replace("[privacy]", f"{settings}\n[privacy]", 1)


def published(place: Path, settings: str, language: str, roster: str, *, books: bool) -> Path:
    """Two publications: in the second a name and a mark are corrected."""
    folder, options = place / "meet", BuildOptions(books=books)
    write_folder(folder, cup(settings, language, roster))
    publish(folder, place / "out", BuildOptions(books=False), lambda *_: None)
    for file, old, new in (
        ("roster.csv", "Bell", "Bellamy"),
        ("marks.csv", "BB,9.300", "BB,9.400"),
    ):
        path = folder / file
        path.write_text(path.read_text("utf-8").replace(old, new, 1), "utf-8")
    told = "bib,competition,apparatus,old,new,why,what\n90004,senior,BB,9.300,9.400,inquiry,\n"
    (folder / "corrections.csv").write_text(told, "utf-8")
    publish(folder, place / "out", options, lambda *_: None)
    return place / "out"


@pytest.fixture(scope="module")
def given_first(tmp_path_factory) -> Path:
    settings = f'names = "given first"\nbibs = "made"\nhandouts = {[*HANDED_OUT]}'.replace("'", '"')
    place = tmp_path_factory.mktemp("given-first")
    return published(place, settings, "de", "whole names", books=True)


@pytest.fixture(scope="module")
def family_first(tmp_path_factory) -> Path:
    place = tmp_path_factory.mktemp("family-first")
    return published(place, 'names = "family first"', "en", "two columns", books=False)


def shown(path: Path) -> str:
    """What a reader sees of a page or a book, and what is said of it; else the whole text."""
    if path.suffix == ".pdf":
        read = subprocess.run(["pdftotext", "-raw", path, "-"], capture_output=True, check=True)
        return read.stdout.decode()
    if path.suffix != ".html":
        return path.read_text("utf-8")
    page = html.fromstring(path.read_bytes())
    for hidden in page.xpath("//script[not(contains(@type, 'json'))] | //style"):
        hidden.drop_tree()
    for given in page.xpath("//i"):
        given.drop_tag()
    said = page.xpath("//@alt | //@title | //@aria-label | //@content | //@placeholder")
    return " | ".join((*page.xpath("//text()"), *(one for one in said if "://" not in one)))


@cache
def texts(out: Path) -> dict[str, str]:
    """What is shown in every file; records of publications are no reading."""
    files = sorted(path for path in out.rglob("*") if path.suffix in KINDS)
    return {
        str(path.relative_to(out)): " ".join(shown(path).split())
        for path in files
        if "publications" not in path.parts
    }


def read(out: Path) -> dict[str, str]:
    """The same of what people read."""
    return {name: text for name, text in texts(out).items() if name.endswith(READ)}


def both_orders(first: str, family: str, given: str) -> tuple[str, str]:
    """As it is to stand, and as it is not; not two names beside each other."""
    one, two = (given, family) if first == "given" else (family, given)
    return f"{one} {two}", f"(?<!{one} ){two},? {one}"


@pytest.mark.parametrize("first", ["given", "family"])
def test_every_name_stands_in_the_order_of_the_meet(first, request):
    """Turned round, with a comma or without, it is nowhere; and no given name is by itself."""
    out = request.getfixturevalue(f"{first}_first")
    pairs = [*NAMES.items(), ("Bea", "Bell")]
    right, wrong = zip(*(both_orders(first, two, one) for one, two in pairs), strict=True)
    turned = re.compile("|".join(wrong) if first == "given" else "|".join((*wrong, COMMA)))
    found = {name: turned.findall(text) for name, text in texts(out).items()}
    assert {name: told for name, told in found.items() if told} == {}
    without = {name: re.sub("|".join(right), "", text) for name, text in read(out).items()}
    alone = re.compile(rf"\b({'|'.join(NAMES)})\b")
    assert {name for name, text in without.items() if alone.search(text)} == set()


@pytest.mark.parametrize("first", ["given", "family"])
def test_the_given_name_is_marked_on_pages_whichever_comes_first(first, request):
    out = request.getfixturevalue(f"{first}_first")
    for name in ("competitions/senior/all-around", "gymnasts/index", "gymnasts/women-90001"):
        page = html.fromstring((out / f"{name}.html").read_bytes())
        given = page.xpath("//th/a/i | //h1/i")
        assert {one.text for one in given} <= NAMES.keys()
        whole = {one.getparent().text_content() for one in given}
        assert "Ada Adder" in whole if first == "given" else "Adder Ada" in whole


@pytest.mark.parametrize("first", ["given", "family"])
def test_names_are_shown_in_every_kind_of_file(first, request):
    """Else nothing found would say nothing."""
    out = request.getfixturevalue(f"{first}_first")
    name, _ = both_orders(first, "Adder", "Ada")
    there = {path for path, text in texts(out).items() if name in text}
    pages = ("gymnasts/index", "press", "pages/recap", "competitions/senior/all-around",
             "competitions/senior/index", "competitions/senior/qualification",
             "competitions/senior/team", "clubs/north", "index")  # fmt: skip
    assert {f"{page}.html" for page in pages} <= there
    assert {"data/results.txt", "data/senior/senior.txt", "gymnasts/women-90001.html"} <= there
    assert {path.rpartition(".")[2] for path in there} >= {"js", "json", "html", "txt"}
    if first == "given":
        assert {"books/result-book.pdf", "books/start-lists.pdf"} <= there


@pytest.mark.parametrize("first", ["given", "family"])
def test_a_meet_that_runs_names_everybody_in_the_order_of_the_meet(first, tmp_path):
    """In every sentence on the way: who leads, who needs what, who is up, what is decided."""
    folder, out = tmp_path / "meet", tmp_path / "out"
    shutil.copytree(EVENING, folder)
    settings = (folder / "meet.toml").read_text("utf-8")
    named = settings.replace("\n[rules", f'\nnames = "{first} first"\n[rules', 1)
    (folder / "meet.toml").write_text(named, "utf-8")
    publish(folder, out, BuildOptions(books=False), lambda *_: None)
    with (folder / "roster.csv").open(encoding="utf-8") as file:
        people = [(row["family_name"], row["given_name"]) for row in csv.DictReader(file)]
    right, wrong = zip(*(both_orders(first, *one) for one in people), strict=True)
    turned, named_at = re.compile("|".join(wrong)), re.compile("|".join(right))
    found = {path: turned.findall(text) for path, text in texts(out).items()}
    assert {path: names for path, names in found.items() if names} == {}
    there = {path for path, text in texts(out).items() if named_at.search(text)}
    pages = ("standings", "all-around", "index")
    assert {f"competitions/evening/{page}.html" for page in pages} <= there
    assert {"data/results.txt", "data/evening/needs.csv", "press.html"} <= there


def test_a_corrected_name_stands_in_that_order_too(given_first):
    for path in ("corrections.html", "feed.xml", "data/corrections.csv", "data/results.json"):
        assert re.search("Bea Bell\\b", texts(given_first)[path]), path
        assert "Bea Bellamy" in texts(given_first)[path], path


def test_a_list_is_sorted_by_the_family_name(browser, given_first):
    with served(given_first) as address:
        page, complaints, _ = opened(browser, 1280)
        page.goto(f"{address}competitions/senior/all-around.html")
        page.locator("thead button").nth(1).click()
        names = page.locator("tbody th a").all_inner_texts()
    assert names == ["Ada Adder", "Bea Bellamy", "Cora Cole", "Nummer 90004", "Edda van Egg"]
    assert complaints == []


def test_a_number_that_nobody_wore_is_shown_nowhere_but_for_a_withheld_name(given_first):
    found = {name: {*re.findall(rf"{MADE}\d+", text)} for name, text in read(given_first).items()}
    shown_for_her = {"90004", "900044"}
    assert {name for name, numbers in found.items() if numbers - shown_for_her} == set()
    assert "Nummer 90004" in texts(given_first)["competitions/senior/all-around.html"]


def test_nothing_speaks_of_bibs(given_first, family_first):
    assert "Bib" in texts(family_first)["gymnasts/index.html"]
    for name, text in read(given_first).items():
        assert not re.search(r"\b[Bb]ibs?\b|Startn", text), name


def test_nobody_is_found_by_a_number(given_first):
    (names,) = (text for text in texts(given_first).values() if 'CustomEvent("names"' in text)
    assert {entry[4] for entry in found_gymnasts(names)} == {""}


def found_gymnasts(script: str) -> list[list[str]]:
    told = re.search(r"detail:(.*)\}\)\);", script)
    assert told
    gymnasts: list[list[str]] = json.loads(told[1])["gymnasts"]
    return gymnasts


def test_data_keep_the_number_as_the_key_and_say_that_it_was_made(given_first, family_first):
    assert "90001" in (given_first / "data/gymnasts.csv").read_text("utf-8")
    said = "The bibs were made to tell gymnasts apart"
    assert said in (given_first / "data/datapackage.json").read_text("utf-8")
    assert said not in (family_first / "data/datapackage.json").read_text("utf-8")


def test_a_whole_name_that_is_withheld_is_in_no_text(given_first):
    told = {name: text.lower() for name, text in texts(given_first).items()}
    assert [(name, form) for name, text in told.items() for form in FORMS if form in text] == []
