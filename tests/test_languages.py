"""Every built-in text in every language: complete, well formed, and really what pages show."""

from __future__ import annotations

import ast
import datetime as dt
import os
import re
import shutil
import tomllib
from collections.abc import Iterator
from decimal import Decimal
from functools import cache
from gettext import GNUTranslations
from io import BytesIO
from pathlib import Path
from string import Formatter, ascii_uppercase
from urllib.parse import urlsplit

import catalogues
import pytest
from browsing import opened, served
from folders import judged, write_folder
from lxml import html
from pypdf import PdfReader

from resultsgen.books.making import write_books
from resultsgen.checks.settings import printed_texts
from resultsgen.language import ENGLISH, LANGUAGES, Language
from resultsgen.meet.names import APPARATUS_NAMES
from resultsgen.meet.settings import MeetSettings
from resultsgen.theme.theme import find_theme
from resultsgen.website.meet_pages import rendered_pages
from resultsgen.website.writing import write_site

EXAMPLE = Path(__file__).parent.parent / "example_meet"
OTHERS = [code for code in LANGUAGES if code != "en"]

# What is said and is literal elsewhere: in the rulebook, the criteria and the settings, which are
# read as well, or with the caller, who hands it on.
OF_A_TABLE = re.compile(r"[A-Z_]+\[")
SAID_ELSEWHERE = {
    ("resultsgen/intake/contests.py", "own"),
    ("resultsgen/views/site/attachments.py", "self.what"),
    ("resultsgen/views/lists/competitions.py", "judged.rule_set.title"),
    ("resultsgen/views/people/clubs.py", "medal"),
    ("resultsgen/views/people/finding.py", "settings.apparatus_name(code)"),
    ("resultsgen/views/live/needs.py", "message"),
    ("resultsgen/views/lists/rules.py", "rules.about.strip()"),
    ("resultsgen/views/lists/rules.py", "rules.title"),
    ("resultsgen/views/season/subject.py", "one.rules.title"),
    ("resultsgen/views/lists/rules.py", "source.document"),
    ("resultsgen/views/lists/rules.py", "source.note"),
    ("resultsgen/views/lists/rules.py", "source.section"),
    ("resultsgen/views/words/wording.py", "APPARATUS_NAMES.get(code, code)"),
    ("resultsgen/views/words/wording.py", "message"),
    ("resultsgen/views/words/words.py", "f'the {criterion.words}'"),
}


@pytest.fixture(scope="module")
def said() -> set[catalogues.Key]:
    return set(catalogues.texts())


@pytest.mark.parametrize("code", OTHERS)
def test_every_text_has_a_translation_and_nothing_else_has(code, said):
    known = {one.id: one for one in catalogues.catalogue(code) if one.id}
    assert said == set(known), "run python tests/catalogues.py"
    assert [one.id for one in known.values() if not catalogues.complete(one)] == []
    assert [one.id for one in known.values() if one.fuzzy] == []
    assert not catalogues.catalogue(code).obsolete


@pytest.mark.parametrize("code", OTHERS)
def test_a_translation_asks_for_the_same_values(code):
    for one in catalogues.catalogue(code):
        if one.id:
            ids, strings = (
                (part,) if isinstance(part, str) else tuple(part) for part in (one.id, one.string)
            )
            wanted = set().union(*map(places, ids))
            for text in strings:
                assert places(text) <= wanted, text
            assert set().union(*map(places, strings)) == wanted, one.id


def places(text: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(text) if name is not None}


@pytest.mark.parametrize("code", OTHERS)
def test_the_compiled_catalogue_is_made_of_the_written_one(code):
    catalogue = catalogues.catalogue(code)
    made = GNUTranslations(BytesIO(catalogues.compiled(catalogue)))
    with catalogues.catalogue_file(code).with_suffix(".mo").open("rb") as file:
        kept = GNUTranslations(file)
    head = ("",)
    for key, text in made._catalog.items():
        assert key in head or kept._catalog[key] == text
    assert made._catalog.keys() == kept._catalog.keys()
    assert [made.plural(n) for n in range(200)] == [kept.plural(n) for n in range(200)]


def test_no_text_is_said_alone_and_counted_as_well(said):
    counted = {key[0] for key in said if isinstance(key, tuple)}
    assert not counted & said


def test_what_is_said_is_literal_or_stands_in_a_table():
    calls = catalogues.calls()
    have_tables = {file for file, call in calls if catalogues.called(call) == "to_say"}
    said = {
        (file, ast.unparse(call.args[0]))
        for file, call in calls
        if catalogues.called(call) == "say"
        and isinstance(call.func, ast.Attribute)
        and file != "resultsgen/language/__init__.py"
        and not any(catalogues.literals(call.args[0]))
    }
    loose = {one for one in said if one[0] not in have_tables and not OF_A_TABLE.match(one[1])}
    assert loose <= SAID_ELSEWHERE


@pytest.mark.parametrize("code", OTHERS)
def test_no_translation_is_set_carelessly(code):
    for one in catalogues.catalogue(code):
        for text in (one.string,) if isinstance(one.string, str) else one.string:
            if not one.id:
                continue
            assert text == text.strip(), text
            assert "  " not in text, text
            if code == "fr":
                # The usage of French printers: no breaking space before a double sign.
                assert not re.search(r"[^\u00a0]:(?!\w)|[^\u202f][;!?]|'", text), text
            else:
                assert not re.search(r"\s[:;!?]", text), text


def test_numbers_dates_and_lists_are_written_as_in_the_language():
    day, later = dt.date(2031, 5, 1), dt.date(2031, 6, 2)
    told = {
        code: (
            language.mark(13_700),
            language.short(5_400),
            language.date(day),
            language.dates((day, dt.date(2031, 5, 2))),
            language.dates((day, later)),
            language.dates((day, dt.date(2032, 1, 1))),
            language.listed(["A", "B", "Irene"]),
            language.size(2_345_678),
            language.size(400),
        )
        for code, language in LANGUAGES.items()
    }
    # Worked out by hand after the usage of each language (CLDR has the same but for 1er and e).
    assert told == {
        "en": (
            "13.700", "5.4", "1 May 2031", "1–2 May 2031", "1 May – 2 June 2031",
            "1 May 2031 – 1 January 2032", "A, B and Irene", "2.3 MB", "1 kB",
        ),
        "fr": (
            "13,700", "5,4", "1er mai 2031", "1er–2 mai 2031", "1er mai – 2 juin 2031",
            "1er mai 2031 – 1er janvier 2032", "A, B et Irene", "2,3 Mo", "1 ko",
        ),
        "de": (
            "13,700", "5,4", "1. Mai 2031", "1.–2. Mai 2031", "1. Mai – 2. Juni 2031",
            "1. Mai 2031 – 1. Januar 2032", "A, B und Irene", "2,3 MB", "1 kB",
        ),
        "es": (
            "13,700", "5,4", "1 de mayo de 2031", "1–2 de mayo de 2031",
            "1 de mayo – 2 de junio de 2031",
            "1 de mayo de 2031 – 1 de enero de 2032", "A, B e Irene", "2,3 MB", "1 kB",
        ),
    }  # fmt: skip
    assert ENGLISH.dates(()) == ""
    assert ENGLISH.dates((day,)) == "1 May 2031"


def test_lists_of_few_names():
    spanish = LANGUAGES["es"]
    assert spanish.listed([]) == ""
    assert spanish.listed(["Inés"]) == "Inés"
    assert spanish.listed(["Ana", "Hidalgo"]) == "Ana e Hidalgo"
    assert spanish.listed(["Ana", "Hiena"]) == "Ana y Hiena"
    assert ENGLISH.listed(["Ana"]) == "Ana"
    assert ENGLISH.listed(["Ana", "Bo"]) == "Ana and Bo"


def test_first_and_third_have_ordinals_of_their_own():
    text = "{names} share place {place}, equal on every criterion"
    told = {
        code: [LANGUAGES[code].say(text, place=place, names="A et B") for place in (1, 3, 11, 21)]
        for code in ("fr", "es", "de")
    }
    assert told == {
        "fr": [f"A et B partagent la {n} place, à égalité sur tous les critères"
               for n in ("1re", "3e", "11e", "21e")],
        "es": [f"A et B comparten el {n} puesto, con igualdad en todos los criterios"
               for n in ("1.er", "3.er", "11.º", "21.er")],
        "de": [f"A et B teilen Platz {n}, gleich in allen Kriterien" for n in (1, 3, 11, 21)],
    }  # fmt: skip


def test_how_much_there_is_of_something():
    gymnasts = ("{n} gymnast", "{n} gymnasts")
    assert [ENGLISH.count(*gymnasts, n) for n in (0, 1, 2)] == [
        "0 gymnasts", "1 gymnast", "2 gymnasts",
    ]  # fmt: skip
    # In French zero is singular.
    assert [LANGUAGES["fr"].count(*gymnasts, n) for n in (0, 1, 2)] == [
        "0 gymnaste", "1 gymnaste", "2 gymnastes",
    ]  # fmt: skip


def test_what_a_catalogue_lacks_stays_english():
    assert (
        LANGUAGES["de"].say("Nobody has said {this} yet", this="this") == "Nobody has said this yet"
    )
    assert LANGUAGES["de"].say("") == ""
    assert Language("xx", "?").say("Total") == "Total"


# As the federations of each language write them; from memory and common practice.
APPARATUS = {
    "fr": "Sol, Cheval d’arçons, Anneaux, Saut, Barres parallèles, Barre fixe, "
    "Barres asymétriques, Poutre",
    "de": "Boden, Pauschenpferd, Ringe, Sprung, Barren, Reck, Stufenbarren, Schwebebalken",
    "es": "Suelo, Caballo con arcos, Anillas, Salto, Paralelas, Barra fija, Paralelas asimétricas, "
    "Barra de equilibrio",
}


@pytest.mark.parametrize("code", OTHERS)
def test_the_names_of_the_apparatus(code):
    named = [LANGUAGES[code].say(name) for name in APPARATUS_NAMES.values()]
    assert ", ".join(named) == APPARATUS[code]


@pytest.fixture(scope="module")
def meet(tmp_path_factory) -> Path:
    """The example meet in English, French, German and Spanish."""
    folder = tmp_path_factory.mktemp("meet") / "example_meet"
    shutil.copytree(EXAMPLE, folder, ignore=shutil.ignore_patterns("output"))
    settings = (folder / "meet.toml").read_text(encoding="utf-8")
    assert settings.count('languages = ["en"]') == 1
    above, mark, texts = settings.partition("\n# [texts.fr]\n")
    above = above.replace('languages = ["en"]', 'languages = ["en", "fr", "de", "es"]')
    texts = re.sub("^# ", "", mark + texts, flags=re.MULTILINE)
    (folder / "meet.toml").write_text(above + texts, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def site(meet, tmp_path_factory) -> Path:
    """Its pages."""
    results = judged(meet)
    pages, problems = rendered_pages(results)
    assert not problems
    out = tmp_path_factory.mktemp("site")
    write_site(results, find_theme("standard"), out, (), (), pages)
    return out


def pages_in(site: Path, code: str) -> list[Path]:
    """The pages of a language; the main one is English."""
    if code != "en":
        return sorted((site / code).rglob("*.html"))
    return [
        page
        for page in sorted(site.rglob("*.html"))
        if page.relative_to(site).parts[0] not in OTHERS
    ]


@pytest.mark.parametrize("code", OTHERS)
def test_every_page_is_there_in_every_language_at_the_same_address(site, code):
    english = {str(page.relative_to(site)) for page in pages_in(site, "en")} - {"404.html"}
    assert {str(page.relative_to(site / code)) for page in pages_in(site, code)} == english


@pytest.mark.parametrize("code", list(LANGUAGES))
def test_a_page_says_its_language_and_leads_to_the_others(site, code):
    for page in pages_in(site, code):
        if page.name == "404.html":
            continue
        tree = html.fromstring(page.read_bytes())
        assert tree.get("lang") == code
        offered = tree.xpath('//nav[@class="languages"]//a')
        assert [(a.get("lang"), a.get("hreflang"), a.text) for a in offered] == [
            (other, other, language.name) for other, language in LANGUAGES.items()
        ]
        assert [a.get("lang") for a in offered if a.get("aria-current")] == [code]
        inside = page.relative_to(site / ("" if code == "en" else code))
        for a in offered:
            folder = site if a.get("lang") == "en" else site / a.get("lang")
            assert (page.parent / a.get("href")).resolve() == (folder / inside).resolve()
        head = tree.xpath('//link[@rel="alternate"][@hreflang]/@hreflang')
        assert head == [*LANGUAGES, "x-default"]


@pytest.mark.parametrize("code", OTHERS)
def test_links_stay_in_the_language(site, code):
    pages = {str(page) for page in pages_in(site, code)}
    for page in pages_in(site, code):
        tree = html.fromstring(page.read_bytes())
        ways = tree.xpath("//a[not(ancestor::nav[@class='languages'])]/@href")
        paths = {urlsplit(one).path for one in ways}
        led = {os.path.normpath(page.parent / one) for one in paths if one.endswith(".html")}
        assert led <= pages, page


@pytest.mark.parametrize("code", OTHERS)
def test_no_english_is_left_on_a_page(site, said, code):
    language = LANGUAGES[code]
    # A text with a place in it is known by the words around it.
    texts = [
        text
        for key in said
        for text in ((key,) if isinstance(key, str) else key)
        if re.search(r"[A-Za-z]{4}", re.sub(r"{\w+}", "", text)) and language.say(text) != text
    ]
    alone = {text for text in texts if "{" not in text}
    around = re.compile(
        "|".join(re.sub(r"\\{\w+\\}", ".+?", re.escape(one)) for one in texts if one not in alone)
    )
    own = re.compile("|".join(re.escape(text) for text in own_texts()))
    read = {own.sub("·", text) for text in all_shown(site, code)}
    assert read & alone == set()
    assert {text for text in read if around.fullmatch(text)} == set()


def test_the_index_leads_by_letters_and_other_alphabets_come_after_z(site):
    index = html.fromstring((site / "es/gymnasts/index.html").read_bytes())
    alphabets = [nav.xpath("li/a/text()") for nav in index.xpath("//nav[@class='letters']/ul")]
    latin, greek, cyrillic = alphabets
    assert latin == list(ascii_uppercase)
    assert greek == sorted(greek)
    assert "З" in cyrillic
    names = [one.text_content() for one in index.xpath("//tbody/tr/th/a")]
    assert names.index("Ægisdal Rúnar") < names.index("Ashwhistle Annelore")
    assert names.index("Bjørnskau Sólveig") < names.index("Błądzigórski Wojsław")
    first = index.xpath("//nav[@class='letters']//a[text()='Κ']/@href")[0].removeprefix("#")
    assert index.xpath(f"string(//tr[@id='{first}']/th/a)").startswith("Κ")


@pytest.mark.parametrize("code", OTHERS)
def test_what_the_meet_calls_things_is_in_the_language_everywhere(meet, site, code):
    text = (meet / "meet.toml").read_text(encoding="utf-8")
    settings = tomllib.loads(text, parse_float=Decimal)
    texts = settings["texts"][code]
    printed = {*filter(None, printed_texts(MeetSettings(**settings)))}
    assert printed - {*texts} == {"Merrowick", "press@example.org"}
    text = "\n".join(all_shown(site, code))
    names = {text for text in texts if " " in text}
    assert {name for name in names if name in text} == set()
    index = html.fromstring((site / code / "gymnasts/index.html").read_bytes())
    assert {texts["senior"], texts["junior"]} <= {*index.xpath("//select/option/text()")}
    page = html.fromstring((site / code / "gymnasts/women-101.html").read_bytes())
    assert texts["senior"] in page.xpath("//dl[@class='facts']//dd/text()")
    called = {one["title"] for one in settings["competition"]}
    called |= {cut["name"] for one in settings["competition"] for cut in one.get("cuts", ())}
    assert {name for name in called if texts[name] not in text} == set()


def own_texts() -> list[str]:
    """What stands in the meet folder itself, which is never translated; the longest first."""
    settings = tomllib.loads((EXAMPLE / "meet.toml").read_text(encoding="utf-8"))
    return sorted({text for text in strings(settings) if " " in text}, key=len, reverse=True)


def strings(value: object) -> Iterator[str]:
    """Every text inside of a setting."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict | list):
        for one in value.values() if isinstance(value, dict) else value:
            yield from strings(one)


@cache
def all_shown(site: Path, code: str) -> frozenset[str]:
    """What is read on the pages of a language."""
    return frozenset(text for page in pages_in(site, code) for text in shown(page, code))


def shown(page: Path, code: str) -> Iterator[str]:
    """What is read on a page, on the screen and off it, but for parts in another language."""
    tree = html.fromstring(page.read_bytes())
    for other in tree.xpath(f"//*[@lang][@lang != '{code}'] | //article[@class='text']"):
        other.drop_tree()
    names = ("aria-label", "title", "placeholder", "alt")
    attributes = (one.get(name) for one in tree.iter() for name in names)
    data = (value for one in tree.iter() for key, value in one.items() if key.startswith("data-"))
    for text in (*tree.itertext(), *attributes, *data):
        if text and text.strip():
            yield " ".join(text.split())


@pytest.mark.parametrize("code", OTHERS)
def test_marks_have_the_comma_of_the_language(site, code):
    for page in pages_in(site, code):
        tree = html.fromstring(page.read_bytes())
        for other in tree.xpath(f"//*[@lang][@lang != '{code}']"):
            other.drop_tree()
        text = " ".join(tree.xpath("//main")[0].itertext())
        assert not re.search(r"\d\.\d{3}\b", text), page


def test_the_switch_keeps_the_page_and_the_scripts_work_in_each_language(site, browser):
    with served(site) as address:
        page, complaints, _ = opened(browser, 1280)
        page.goto(f"{address}competitions/women-senior-qualification/vt.html")
        page.get_by_role("link", name="Deutsch").click()
        page.wait_for_url("**/de/competitions/women-senior-qualification/vt.html")
        assert page.locator("html").get_attribute("lang") == "de"
        page.locator("h1").wait_for()
        assert page.locator("h1").inner_text() == "Sprung"
        totals = page.locator("td.total")
        official = totals.all_inner_texts()
        page.locator("th.total button").click()
        page.locator("th.total button").click()
        rising = [int(re.sub(r"\D", "", text)) for text in totals.all_inner_texts() if "," in text]
        assert rising == sorted(rising)
        assert len(rising) == sum("," in text for text in official) > 10
        page.locator(".find input").fill("Maribel")
        page.locator(".find li").first.wait_for()
        page.keyboard.press("Enter")
        page.wait_for_url("**/de/gymnasts/*.html")
        page.get_by_role("link", name="English").click()
        page.wait_for_url(f"{address}gymnasts/*.html")
        assert page.locator("html").get_attribute("lang") == "en"
        assert complaints == []


SMALL = """
    == meet.toml ==
    title = "Kreispokal"
    languages = ["de", "fr"]
    dates = [2031-05-17]

    [apparatus]
    FX = "Bodenturnen"

    [texts.fr]
    "Kreispokal" = "Coupe du district"
    "Bodenturnen" = "Exercice au sol"
    "Frauen offen" = "Femmes, toutes catégories"
    "Auswahl" = "Sélection"

    [[competition]]
    id = "frauen"
    title = "Frauen offen"
    discipline = "women"
    apparatus = ["BB", "FX"]
    ranks = ["all-around", "apparatus"]
    [[competition.cuts]]
    name = "Auswahl"
    of = "all-around"
    places = 1
    == roster.csv ==
    bib,family_name,given_name,club,guest
    1,Adler,Ada,TV Nord,no
    2,Busch,Bea,TV Süd,no
    3,Cohn,Cora,TV Süd,yes
    == marks.csv ==
    bib,apparatus,mark,d,e
    1,BB,12.500,4.5,8.000
    1,FX,12.000,4.0,8.000
    2,BB,12.500,4.6,7.900
    2,FX,DNS,,
    3,BB,11.000,4.0,7.000
    3,FX,11.500,4.0,7.500
    == pages/gruss.md ==
    +++
    title = "Grußwort"
    +++
    Am Schwebebalken: {{ mark("frauen", "1", "Schwebebalken") }}.
    ![](assets/saal.svg) [Regeln](regeln.md)
    == pages/gruss.fr.md ==
    +++
    title = "Bienvenue"
    +++
    À la poutre : {{ mark("frauen", "1", "Poutre") }}. ![](assets/saal.svg)
    {{ title("frauen offen") }} : {{ qualified("Femmes, toutes catégories", "sélection")[0].name }},
    {{ mark("frauen", "1", "Exercice au sol") }}, {{ qualified("frauen", "Auswahl") | length }}.
    == pages/regeln.md ==
    +++
    title = "Hinweise"
    +++
    Für alle.
    == assets/saal.svg ==
    <svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1"><path d="M0 0h1"/></svg>
    """


@pytest.fixture(scope="module")
def small(tmp_path_factory) -> Path:
    """A small meet in German and French: its folder, with what it becomes in `out`."""
    folder = write_folder(tmp_path_factory.mktemp("small"), SMALL)
    results = judged(folder)
    pages, problems = rendered_pages(results)
    assert not problems
    theme, out = find_theme("standard"), folder / "out"
    books = write_books(results, theme, out / "books", lambda *_: None, workers=1)
    write_site(results, theme, out, books, (), pages)
    return out


IN_THE_BOOK = {
    "de": (
        "Ergebnisheft",
        "Mehrkampf",
        "Schwebebalken",
        "Bodenturnen",
        "24,500",
        "17. Mai 2031",
        "Je 12,500, geordnet nach der E-Note: Adler Ada 8,000, Busch Bea 7,900.",
    ),
    "fr": (
        "Livret des résultats",
        "Concours général",
        "Poutre",
        "Exercice au sol",
        "Coupe du district",
        "Femmes, toutes catégories",
        "Sélection",
        "24,500",
        "17 mai 2031",
        "Égalité à 12,500, départage par la note E : Adler Ada 8,000, Busch Bea 7,900.",
    ),
}


def test_books_are_made_in_each_language(small):
    files = {str(path.relative_to(small / "books")) for path in small.rglob("*.pdf")}
    main = {name for name in files if not name.startswith("fr/")}
    assert files == main | {f"fr/{name}" for name in main}
    for folder, code in (("", "de"), ("fr/", "fr")):
        book = PdfReader(small / "books" / f"{folder}result-book.pdf")
        assert book.root_object["/Lang"] == code
        text = " ".join(" ".join(page.extract_text() for page in book.pages).split())
        for words in IN_THE_BOOK[code]:
            assert words in text, words
        assert not folder or not any(words in text for words in ("Kreispokal", "offen", "Auswahl"))


def test_each_language_offers_its_own_books(small):
    for folder, own in (("", "books/"), ("fr/", "../books/fr/")):
        tree = html.fromstring((small / folder / "downloads.html").read_bytes())
        offered = [link for link in tree.xpath("//a/@href") if link.endswith(".pdf")]
        assert offered
        assert all(link.startswith(own) and link.count("/") == own.count("/") for link in offered)


def test_a_page_is_read_in_the_language_or_else_in_the_main_one(small):
    german, french = ((small / f / "pages/gruss.html").read_text("utf-8") for f in ("", "fr"))
    assert "<h1>Grußwort</h1>" in german
    assert "Am Schwebebalken: 12,500." in german
    assert "<h1>Bienvenue</h1>" in french
    assert "12,500" in french
    assert "Femmes, toutes catégories : Adler Ada,\n12,000, 1." in french
    for page in (small / "pages/gruss.html", small / "fr/pages/gruss.html"):
        (picture,) = html.fromstring(page.read_bytes()).xpath("//main//img/@src")
        assert (page.parent / picture).resolve() == small / "assets/saal.svg"
    left = html.fromstring((small / "fr/pages/regeln.html").read_bytes())
    assert left.get("lang") == "fr"
    assert left.xpath("//article/@lang") == ["de"]


def test_a_guest_is_told_in_the_language(small):
    page = html.fromstring((small / "fr/competitions/frauen/bb.html").read_bytes())
    (guest,) = page.xpath("//tr[contains(@class, 'guest')]")
    assert guest.xpath("td[1]")[0].text_content().split() == ["h.", "c."]
    assert "hors concours, sans place" in page.text_content()


def test_what_is_taken_off_has_a_minus_sign_and_no_hyphen():
    assert (ENGLISH.mark(-300), LANGUAGES["fr"].short(-100)) == ("−0.300", "−0,1")
