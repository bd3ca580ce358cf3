"""The website: links, HTML, escaping, withheld names and addresses, read back from its files."""

from __future__ import annotations

import gzip
import json
import os
import re
from collections import Counter
from hashlib import sha256
from html import unescape
from itertools import chain, pairwise
from pathlib import Path
from urllib.parse import unquote, urlsplit

import html5lib
import pytest
from folders import judged, write_folder
from lxml import html

from resultsgen.books.volumes import volumes
from resultsgen.language import ENGLISH
from resultsgen.rules.criteria import NO_TOTAL, criteria
from resultsgen.rules.ties import Step, Tie
from resultsgen.theme.theme import find_theme
from resultsgen.views.site.addresses import file_names
from resultsgen.views.site.attachments import Download
from resultsgen.views.site.site_map import addresses
from resultsgen.views.words.reasons import tie_sentence
from resultsgen.views.words.wording import wording
from resultsgen.website.meet_pages import rendered_pages
from resultsgen.website.writing import write_site

EXAMPLE = Path(__file__).parent.parent / "example_meet"
EVENING = Path(__file__).parent / "example_evening"

HOSTILE = """
    == meet.toml ==
    title = "Cup <script>alert(1)</script> & more"
    base_url = "https://example.org/cup"

    [[competition]]
    id = "con"
    title = "Women <i>open</i>"
    discipline = "women"
    apparatus = ["VT", "FX"]
    ranks = ["all-around", "apparatus", "team"]
    team = { format = "3-3-2", by = "club" }

    [[competition.cuts]]
    name = "Final"
    of = "all-around"
    places = 1
    reserves = 1
    cap = 1
    per = "club"
    == roster.csv ==
    bib,family_name,given_name,club,publish
    1,"<b>&""x",Ada,../../etc,yes
    2,Βήτα,Άννα,Θάλασσα,yes
    3,Secretname,Hidden,CON,no
    4,D'Ivry,Zoé,con.,yes
    07,Plain,Jo,TV Élan,yes
    == marks.csv ==
    bib,apparatus,mark,d,e,penalty
    1,VT,13.100,5.0,8.100,
    1,FX,12.000,5.0,7.000,
    2,VT,13.000,5.0,8.000,
    2,FX,12.100,5.0,7.200,0.1
    3,VT,12.500,5.0,7.500,
    3,FX,12.500,5.0,7.500,
    4,VT,DNS,,,
    07,VT,0.000,0,0,
    """


CON = file_names(["con"])["con"]
"""What the id of the competition becomes, since Windows has no folder con."""


def built(meet_folder: Path, out: Path, theme: str = "standard") -> Path:
    """The site of a meet folder, with one book and one table to download."""
    results = judged(meet_folder)
    pages, problems = rendered_pages(results)
    assert not problems
    for name in ("books/all.pdf", "data/results.json"):
        (out / name).parent.mkdir(parents=True, exist_ok=True)
        (out / name).write_bytes(b"x")
    books = (Download("books/all.pdf", "Complete result book", 2_345_678),)
    tables = (Download("data/results.json", "All results", 900),)
    write_site(results, find_theme(theme), out, books, tables, pages)
    return out


@pytest.fixture(scope="module")
def example(sites) -> Path:
    return sites("standard")


@pytest.fixture(scope="module")
def evening(tmp_path_factory) -> Path:
    """A meet that is still running, with the pages that only such a meet has."""
    return built(EVENING, tmp_path_factory.mktemp("evening"))


@pytest.fixture(scope="module")
def hostile(tmp_path_factory) -> Path:
    folder = write_folder(tmp_path_factory.mktemp("hostile"), HOSTILE)
    return built(folder, tmp_path_factory.mktemp("site"))


LINKS = "//@href | //@src"


def pages_of(site: Path) -> list[Path]:
    return sorted(site.rglob("*.html"))


def parsed(page: Path) -> html.HtmlElement:
    return html.fromstring(page.read_bytes())


def links(page: Path) -> list[str]:
    """Everything the page fetches or leads to."""
    return parsed(page).xpath(LINKS)


def followed_from(page: Path, link: str) -> tuple[str, str]:
    """The file that a link of a page leads to, and the place in it."""
    parts = urlsplit(link)
    path = os.path.normpath(page.parent / unquote(parts.path)) if parts.path else str(page)
    return path, unquote(parts.fragment)


def followed_in(site: Path, outside: str | tuple[str, ...]) -> int:
    """How many links of a site lead somewhere, which all do that do not begin as is said."""
    # A host shows 404.html at any depth: its links are of the host, and tested elsewhere.
    pages = [page for page in pages_of(site) if page.name != "404.html"]
    trees = {page: parsed(page) for page in pages}
    ids = {str(page): set(tree.xpath("//@id")) for page, tree in trees.items()}
    files = {str(path) for path in site.rglob("*") if path.is_file()}
    followed = 0
    for page, tree in trees.items():
        for link in tree.xpath(LINKS):
            if link.startswith(outside):
                continue
            target, fragment = followed_from(page, link)
            assert target in files, f"{page.relative_to(site)} leads to {link}"
            assert not fragment or fragment in ids[target], f"{page.name}: #{fragment}"
            followed += 1
    return followed


def test_every_page_that_is_a_book_as_well_leads_to_it(tmp_path):
    results = judged(EXAMPLE)
    printed = volumes(results, wording(results.meet.settings))
    where = {volume.target: volume.file for volume in printed if volume.target}
    books = tuple(Download(f"books/{v.file}.pdf", v.title, 1, target=v.target) for v in printed)
    ids = [one.competition.id for one in results.competitions if one.started]
    tables = tuple(Download(f"data/{id}/all-around.csv", "All-around", 1) for id in ids)
    write_site(results, find_theme("standard"), tmp_path, books, tables)
    assert len(where) == len([volume for volume in printed if volume.group])
    for target, file in where.items():
        page = tmp_path / addresses(results)[target]
        leads = parsed(page).xpath("//header//a[contains(@href, 'books/')]/@href")
        assert [(page.parent / link).resolve() for link in leads] == [
            (tmp_path / f"books/{file}.pdf").resolve()
        ]
    sheets = parsed(tmp_path / "press.html").xpath("//a[contains(@href, 'press.pdf')]")
    assert len(sheets) == len(ids)


def test_the_page_for_no_page_leads_nowhere_where_nobody_knows_its_depth(evening, hostile):
    """With the address of the site its links begin at the root of the host."""
    alone = parsed(evening / "404.html")
    assert not alone.xpath("//a | //script")
    assert "There is no page at this address." in alone.text_content()
    assert "/cup/index.html" in parsed(hostile / "404.html").xpath("//a/@href")


@pytest.mark.parametrize("site", ["example", "hostile"])
def test_every_link_and_fragment_leads_somewhere(site, request):
    folder: Path = request.getfixturevalue(site)
    assert followed_in(folder, ("http", "mailto:")) > 10 * len(pages_of(folder))


@pytest.mark.parametrize("site", ["example", "hostile", "evening"])
def test_every_page_can_be_reached_from_home(site, request):
    folder: Path = request.getfixturevalue(site)
    seen, waiting = set(), {str(folder / "index.html")}
    while waiting:
        page = waiting.pop()
        seen.add(page)
        inside = [link for link in links(Path(page)) if not link.startswith(("http", "mailto:"))]
        leads = {followed_from(Path(page), link)[0] for link in inside}
        waiting |= {one for one in leads if one.endswith(".html")} - seen
    assert {str(page) for page in pages_of(folder)} - seen == {str(folder / "404.html")}


@pytest.mark.parametrize(
    ("address", "current"),
    [
        ("index.html", {"Winners": "page"}),
        ("results.html", {"Results": "page"}),
        ("competitions/women-senior-qualification/vt.html", {"Results": "true"}),
        ("gymnasts/index.html", {"Gymnasts": "page"}),
        ("gymnasts/women-101.html", {"Gymnasts": "true"}),
        ("clubs/gf-bravalda.html", {"Clubs": "true"}),
        ("rules.html", {"More": "true", "Rules": "page"}),
        ("pages/information.html", {"More": "true", "Information": "page"}),
        ("404.html", {}),
    ],
)
def test_each_page_marks_where_it_is(example, address, current):
    tree = parsed(example / address)
    marked = tree.xpath("//nav[@class='ways' or @class='more']//*[@aria-current]")
    assert {one.text: one.get("aria-current") for one in marked} == current


@pytest.mark.parametrize("site", ["example", "hostile"])
def test_the_html_is_valid_for_a_strict_parser(site, request):
    for page in pages_of(request.getfixturevalue(site)):
        html5lib.HTMLParser(strict=True).parse(page.read_text(encoding="utf-8"))


@pytest.mark.parametrize("site", ["example", "hostile"])
def test_each_page_has_its_landmarks_one_h1_and_no_id_twice(site, request):
    folder = request.getfixturevalue(site)
    for page in pages_of(folder):
        tree = parsed(page)
        name = str(page.relative_to(folder))
        assert tree.get("lang") == "en", name
        assert len(tree.xpath("//h1")) == 1, name
        assert len(tree.xpath("//main")) == 1, name
        assert tree.xpath("//body/a[1]/@href") == ["#main"], name
        ways = tree.xpath("//nav/@aria-label")
        assert len(ways) == len(tree.xpath("//nav")) == len(set(ways)), (name, ways)
        doubled = [id for id, n in Counter(tree.xpath("//@id")).items() if n > 1]
        assert not doubled, (name, doubled)
        for image in tree.xpath("//img"):
            assert image.get("alt") is not None, name
        headings = tree.xpath("//main//*[self::h1 or self::h2 or self::h3]")
        levels = [int(heading.tag[1]) for heading in headings]
        assert all(b - a <= 1 for a, b in pairwise(levels)), (name, levels)


def test_each_table_has_a_caption_and_its_heads_have_a_scope(example):
    tables = 0
    for page in pages_of(example):
        if page.parent.name == "pages":
            continue
        for table in parsed(page).xpath("//table"):
            tables += 1
            assert table.xpath("./caption"), page
            assert all(head.get("scope") == "col" for head in table.xpath("./thead//th")), page
            for row in table.xpath("./tbody/tr"):
                assert [head.get("scope") for head in row.xpath("./th")] == ["row"], page
                assert len(row) == len(table.xpath("./thead/tr/th")), page
    assert tables > 150


POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; font-src data:; "
    "base-uri 'none'; form-action 'none'"
)
"""What the browser may fetch and run: our own files, and the fonts that lie in the style sheet."""

NOTHING_INLINE = (
    "//script[not(@src) and not(@type='application/ld+json')] | //style | //*[@style] "
    "| //@*[starts-with(name(), 'on')]"
)


def test_nothing_is_asked_of_another_host_and_nothing_is_inline(example):
    for page in pages_of(example):
        tree = parsed(page)
        fetched = tree.xpath("//link[@rel='stylesheet' or @rel='icon']/@href | //*/@src")
        assert fetched
        assert not [one for one in fetched if "//" in one and not one.startswith("https://")]
        assert not tree.xpath(NOTHING_INLINE), page
        assert tree.xpath("//meta[@http-equiv]/@content") == [POLICY]
    for style in example.glob("static/*.css"):
        text = re.sub(r"/\*.*?\*/", "", style.read_text(), flags=re.DOTALL)
        named = re.findall(r"url\((.*?)\)", text)
        assert len(named) == 2
        assert all(one.startswith('"data:font/woff2;base64,') for one in named)
        assert "@import" not in text


def test_text_of_the_meet_is_text(hostile):
    for page in pages_of(hostile):
        source = page.read_text(encoding="utf-8")
        assert "<script>" not in source
        assert "<i>open" not in source
        assert "<b>&" not in source
    home = parsed(hostile / "index.html")
    assert home.xpath("string(//h1)") == "Cup <script>alert(1)</script> & more"
    assert '<b>&"x Ada' in parsed(hostile / "gymnasts/women-1.html").xpath("string(//h1)")


def test_a_withheld_name_is_nowhere_and_its_place_is_right(hostile):
    for path in hostile.rglob("*"):
        assert "secretname" not in str(path).lower()
        if path.is_file() and path.suffix != ".png":
            text = unescape(path.read_text(encoding="utf-8"))
            assert "Secretname" not in text, path
            assert "Hidden" not in text, path
    table = parsed(hostile / f"competitions/{CON}/fx.html")
    first = table.xpath("//tbody/tr[1]")[0]
    assert [cell.text_content() for cell in first][:2] == ["1", "Bib 3CON"]


def test_names_choose_no_path(hostile):
    clubs = {page.name for page in (hostile / "clubs").iterdir()}
    assert {"index.html", "etc.html", "tv-elan.html"} <= clubs
    assert "con.html" not in clubs
    assert len(clubs) == 6
    for path in hostile.rglob("*"):
        assert re.fullmatch(r"[A-Za-z0-9._-]+", path.name), path


def test_file_names_are_lasting_and_each_its_own():
    names = ["../../etc", "CON", "con", "ΑΓΣ", "ΘΑΛ", "a b", "a-b", "x" * 300, "...", "index"]
    found = file_names(names)
    assert found == file_names(reversed(names))
    assert len(set(found.values())) == len(names)
    assert found["../../etc"] == "etc"
    assert file_names(["ΑΓΣ", "Спартак", "Łódź Øst", "é", "e"]) == {
        "ΑΓΣ": "ags",
        "Спартак": "spartak",
        "Łódź Øst": "lodz-ost",
        "é": f"e-{sha256('é'.encode()).hexdigest()[:8]}",
        "e": f"e-{sha256(b'e').hexdigest()[:8]}",
    }
    for name in found.values():
        assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", name)
        assert len(name) <= 70
        assert name not in ("con", "index")


def test_a_mark_of_zero_no_mark_and_a_status_are_told_apart(hostile):
    table = parsed(hostile / f"competitions/{CON}/all-around.html")
    rows = {row.xpath("string(./th/a)"): row for row in table.xpath("//tbody/tr")}
    vault = {name: row.xpath("string(./td[@class='mark'][1])") for name, row in rows.items()}
    assert vault["Plain Jo"].startswith("0.000")
    assert vault["D'Ivry Zoé"] == "DNS"
    floor = rows["Plain Jo"].xpath("./td[@class='mark'][2]")[0]
    assert floor.xpath("string(./span[@class='unseen'])") == "no mark"
    assert "after 1 of 2" in rows["Plain Jo"].xpath("string(./td[@class='total'])")


def test_the_end_of_a_list_leads_to_the_one_before_and_the_one_after(example):
    folder = example / "competitions/women-senior-qualification"
    listed = parsed(folder / "vt.html").xpath("//nav[contains(@class, 'chapters')]//a/@href")
    for number, here in enumerate(listed):
        ways = parsed(folder / here).xpath("//nav[@class='onwards']/a")
        if here != "index.html" and ways:
            near = [*listed[max(0, number - 1) : number], *listed[number + 1 : number + 2]]
            assert [one.get("href") for one in ways] == near
    assert len(parsed(folder / "vt.html").xpath("//nav[@class='onwards']/a")) == 2


def test_who_qualifies_is_told_in_words(hostile):
    page = parsed(hostile / f"competitions/{CON}/all-around.html")
    # The cut counts by club, and neither has a club-mate ahead.
    told = page.xpath("//td[@class='cut']/b/text()")
    # Marks are to come, and the rules know no highest: nothing is decided.
    assert told == ["in so far", "reserve 1 so far", "open", "open"]
    legend = dict(zip(page.xpath("//dl//dt/text()"), page.xpath("//dl//dd/text()"), strict=True))
    assert legend["(Q)"] == "in so far"
    assert legend["(R1)"] == "in reserve so far"
    assert legend["?"] == "can still qualify"
    assert "WDR" not in legend


EQUALS = """
    == meet.toml ==
    title = "Cup of equals"

    [[competition]]
    id = "women"
    title = "Women"
    discipline = "women"
    apparatus = ["VT"]
    ranks = ["apparatus"]

    [[competition.cuts]]
    name = "Final"
    of = "apparatus"
    places = 1
    reserves = 2
    cap = 1
    per = "club"
    == roster.csv ==
    bib,family_name,given_name,club
    1,Alder,Ada,A
    2,Birch,Bea,A
    3,Cedar,Cleo,C
    4,Dogwood,Dora,D
    5,Elder,Eva,E
    6,Fir,Fay,F
    == marks.csv ==
    bib,apparatus,d,e,mark
    1,VT,5.0,9.000,14.000
    2,VT,5.0,8.900,13.900
    3,VT,5.0,8.000,13.000
    4,VT,5.0,8.000,13.000
    5,VT,5.0,8.000,13.000
    6,VT,5.0,7.000,12.000
    """


def test_equal_reserves_share_the_number_on_the_page(tmp_path):
    site = built(write_folder(tmp_path / "meet", EQUALS), tmp_path / "site")
    page = parsed(site / "competitions/women/qualification.html")
    rows = [
        (
            row.xpath("string(th/a)"),
            row.find("td[@class='cut']").text_content().strip(),
            row[-1].text,
        )
        for row in page.xpath("//tbody/tr")
    ]
    shares = "stands by if somebody withdraws; shares the number with {}, since nobody decided "
    shares += "between them"
    first = "Alder Ada stands before"
    assert rows == [
        ("Alder Ada", "qualified", None),
        ("Birch Bea", "not eligible", f"not eligible: at most 1 per club, and {first}"),
        ("Cedar Cleo", "reserve 1", shares.format("Dogwood Dora and Elder Eva")),
        ("Dogwood Dora", "reserve 1", shares.format("Cedar Cleo and Elder Eva")),
        ("Elder Eva", "reserve 1", shares.format("Cedar Cleo and Dogwood Dora")),
    ]


def test_a_tie_note_tells_what_was_equal_before_what_settled_it(example):
    """Both men have the same six marks in another order, so that no best five, four ... differs."""
    page = parsed(example / "competitions/men-senior-qualification/all-around.html")
    assert page.xpath("//ul[@class='notes']/li")[0].text_content() == (
        "a 84.097 each, equal on the best 5 apparatus and the 4 criteria after it, placed by the "
        "total of the E scores: Zarzamoré Rémy 50.897, Yarrowgate Alaric 50.297."
    )


def test_a_tie_note_never_prints_a_mark_for_somebody_without_an_all_around_total():
    (by_total,) = criteria(("all-around total",), 1)
    tie = Tie(13000, (1, 2), (1, 2), (Step(by_total, (1, 2), (36000, NO_TOTAL)),))
    assert tie_sentence(tie, {1: "Alder", 2: "Birch"}.__getitem__, ENGLISH) == (
        f"13.000 each, placed by the {by_total.words}: Alder 36.000, Birch none."
    )


def test_a_qualification_page_heads_its_figures_as_the_list_does(example):
    page = parsed(example / "competitions/women-senior-qualification/qualification.html")
    heads = [head.text for head in page.xpath("//table//th[@class='total']")]
    assert heads == ["Total", "Average", "Mark", "Mark", "Mark", "Total"]


def test_the_map_of_the_site_names_every_page(hostile):
    text = (hostile / "sitemap.xml").read_text()
    listed = re.findall(r"<loc>https://example.org/cup/(.*?)</loc>", text)
    pages = {str(page.relative_to(hostile)) for page in pages_of(hostile)} - {"404.html"}
    assert set(listed) == pages
    assert "Sitemap: https://example.org/cup/sitemap.xml" in (hostile / "robots.txt").read_text()


def test_the_page_not_found_works_at_any_depth(hostile):
    fetched = links(hostile / "404.html")
    assert "/cup/index.html" in fetched
    assert all(one.startswith(("/cup/", "https://example.org/cup/", "#")) for one in fetched)


def test_search_engines_are_kept_out_where_the_meet_says_so(tmp_path):
    private = "    [privacy]\n    search_engines = false\n\n    [[competition]]\n"
    text = HOSTILE.replace("    [[competition]]\n", private, 1)
    site = built(write_folder(tmp_path / "meet", text), tmp_path / "site")
    for page in pages_of(site):
        assert parsed(page).xpath("//meta[@name='robots']/@content") == ["noindex"]
        assert not parsed(page).xpath("//script[@type='application/ld+json']")
    assert not (site / "sitemap.xml").exists()


def test_a_page_weighs_at_most_60_kilobytes_cold_and_compressed(example):
    # Style sheet with both fonts, script, icon; the names come with the first search only, and the
    # card is for those who show links.
    shared = [p for p in (example / "static").iterdir() if p.stem[:5] not in ("names", "card.")]
    assert len(shared) == 3
    weight = sum(len(gzip.compress(path.read_bytes(), 6)) for path in shared)
    heaviest = max(len(gzip.compress(page.read_bytes(), 6)) for page in pages_of(example))
    logo = max(len(path.read_bytes()) for path in (example / "assets").iterdir())
    assert weight + heaviest + logo <= 60_000


def test_no_page_has_more_than_4000_elements(example):
    counted = {page: len(parsed(page).xpath("//*")) for page in pages_of(example)}
    assert max(counted.values()) <= 4000


def told_to_programs(page: Path) -> dict:
    """The JSON-LD of a page."""
    (text,) = parsed(page).xpath("//script[@type='application/ld+json']/text()")
    return json.loads(text)


def test_home_and_overviews_tell_other_programs_of_the_meet(example):
    home = told_to_programs(example / "index.html")
    assert home["@type"] == "SportsEvent"
    assert home["name"] == "Merrowick Lantern Meet 2031"
    assert (home["startDate"], home["endDate"]) == ("2031-05-17", "2031-05-18")
    assert home["location"]["address"]
    base = home["url"].removesuffix("index.html")
    for part in home["subEvent"]:
        page = example / part["url"].removeprefix(base)
        told = told_to_programs(page)
        assert told.items() >= part.items()
        assert told["superEvent"]["url"] == home["url"]
        assert parsed(page).xpath("string(//h1)") == told["name"]
        assert len(told["competitor"]) >= 3


def test_what_other_programs_are_told_is_text_and_names_nobody_who_withholds_it(hostile):
    home = told_to_programs(hostile / "index.html")
    assert home["name"] == "Cup <script>alert(1)</script> & more"
    told = told_to_programs(hostile / f"competitions/{CON}/index.html")
    names = [one["name"] for one in told["competitor"]]
    assert 'Ada <b>&"x' in names
    assert len(names) == 4


def test_start_lists_are_there_before_any_mark(tmp_path):
    text = HOSTILE[: HOSTILE.index("    1,VT,13.100")]
    site = built(write_folder(tmp_path / "meet", text), tmp_path / "site")
    page = parsed(site / f"competitions/{CON}/start-list.html")
    names = page.xpath("//tbody/tr/th/a/text()")
    assert len(names) == 5
    assert "Not started" in parsed(site / "index.html").xpath("string(//main)")


def test_the_start_list_of_a_final_is_one_table_without_the_order_of_the_qualification(example):
    page = parsed(example / "competitions/women-senior-all-around/start-list.html")
    assert len(page.xpath("//table")) == 1
    assert page.xpath("//thead//th[@class='number']") == []
    bibs = page.xpath("//tbody/tr/td[1]/text()")
    assert len(bibs) == 8
    assert bibs == sorted(bibs)
    apparatus = parsed(example / "competitions/women-senior-apparatus/start-list.html")
    assert len(apparatus.xpath("//table")) == 4


def test_both_vaults_stand_beside_their_average(example):
    page = parsed(example / "competitions/women-senior-qualification/vt.html")
    heads = [head.get("title") or head.text for head in page.xpath("//thead//th/*[last()]")]
    assert heads[1:3] == ["Vault 1", "Vault 2"]
    first = [cell.text for cell in page.xpath("//tbody/tr[1]/td[@class='mark' or @class='total']")]
    one, two, average = (int(text.replace(".", "")) for text in first)
    assert average == (one + two) // 2


def thousandths(cell: html.HtmlElement) -> int | None:
    """The mark in a cell, read as a stranger would; None where there is none."""
    found = re.match(r"\d+\.\d{3}", cell.text_content())
    return int(found.group().replace(".", "")) if found else None


def test_each_all_around_total_is_the_sum_of_the_marks_shown(example):
    summed = 0
    for page in example.glob("competitions/*/all-around.html"):
        for row in parsed(page).xpath("//tbody/tr[not(contains(@class, 'unranked'))]"):
            marks = [thousandths(cell) for cell in row.xpath("./td[@class='mark']")]
            assert sum(marks) == thousandths(row.xpath("./td[@class='total']")[0]), page
            summed += 1
    assert summed > 100


def test_each_place_is_one_more_than_the_number_ahead_save_among_equals(example):
    placed = 0
    for page in example.glob("competitions/*/*.html"):
        if page.stem in ("qualification", "start-list", "team", "index", "standings"):
            continue
        rows = [
            (
                int(place),
                thousandths(row.xpath("./td[@class='total']")[0]),
                bool(row.xpath(".//sup")),
            )
            for row in parsed(page).xpath("//tbody/tr")
            if (place := (row.xpath("./td[@class='place']")[0].text or "")).isdecimal()
        ]
        totals = [total for _, total, _ in rows]
        assert totals == sorted(totals, reverse=True), page
        for place, total, noted in rows:
            ahead, equal = sum(one > total for one in totals), totals.count(total)
            assert ahead < place <= ahead + equal, page
            # Whoever is equal with somebody has a note that says how it was settled.
            assert equal == 1 or noted, page
            placed += 1
    assert placed > 300


def test_each_team_total_is_the_sum_of_the_marks_not_struck_through(example):
    teams = 0
    for page in example.glob("competitions/*/team.html"):
        rows = parsed(page).xpath("//tbody/tr")
        heads = [n for n, row in enumerate(rows) if "team" in row.get("class", "").split()]
        for start, end in pairwise([*heads, len(rows)]):
            team, members = rows[start], rows[start + 1 : end]
            shown = [thousandths(cell) for cell in team.xpath("./td[@class='mark']")]
            for number, total in enumerate(shown):
                cells = [member.xpath("./td[@class='mark']")[number] for member in members]
                counting = [thousandths(cell) for cell in cells if not cell.xpath("./s")]
                assert sum(mark for mark in counting if mark is not None) == (total or 0), page
            whole = team.xpath("./td[@class='total']")[0]
            penalty = re.search(r"P\xa0−(\d+\.\d+)", whole.text_content())
            less = round(float(penalty.group(1)) * 1000) if penalty else 0
            assert sum(one or 0 for one in shown) - less == (thousandths(whole) or 0), page
            teams += 1
    assert teams > 10


def test_only_the_first_three_places_of_a_final_have_medals(example):
    medals, competitions = "//tr[contains(@class, 'podium')]", example / "competitions"
    rows = parsed(competitions / "women-senior-all-around/all-around.html").xpath(medals)
    assert [row.get("class").split()[-1] for row in rows] == ["podium-1", "podium-2", "podium-3"]
    places = [row.xpath("string(*[contains(@class, 'place')]/text())").strip() for row in rows]
    assert places == ["1", "2", "3"]
    qualification = competitions / "women-senior-qualification/all-around.html"
    assert not parsed(qualification).xpath(medals)


def test_a_gymnasts_page_tells_the_same_marks_as_the_lists(example):
    """The all-around on the page of a gymnast is what the list of the competition shows."""
    compared = 0
    for page in example.glob("competitions/*/all-around.html"):
        for row in parsed(page).xpath("//tbody/tr[not(contains(@class, 'unranked'))]"):
            link = row.xpath("./th/a/@href")[0]
            own = parsed((page.parent / link).resolve())
            way = f"../competitions/{page.parent.name}/all-around.html"
            (line,) = own.xpath(f"//tbody/tr[th/a[starts-with(@href, '{way}#')]]")
            total, place = (line.xpath(f"./td[@class='{kind}']")[0] for kind in ("total", "place"))
            assert thousandths(total) == thousandths(row.xpath("./td[@class='total']")[0])
            assert place.text == row.xpath("./td[@class='place']")[0].text
            compared += 1
    assert compared > 100


def test_the_links_of_a_gymnast_and_a_club_land_on_their_row(example):
    followed = 0
    for page in chain((example / "gymnasts").glob("*.html"), (example / "clubs").glob("*.html")):
        marks = "//section[@class='matrix']//td[@class='mark']/a/@href"
        for way in parsed(page).xpath(f"{marks} | //ul[@class='titles']//a/@href"):
            path, _, row = way.partition("#")
            listed = parsed((page.parent / path).resolve())
            own = f"//tr[th/a[contains(@href, '/{page.name}')]]"
            if not row:
                assert {*listed.xpath(f"{own}/@class")} <= {"unranked"}, (page, way)
                continue
            (there,) = listed.xpath(f"//tr[@id='{row}']")
            if page.parent.name == "gymnasts" and there.get("class", "").split()[:1] != ["team"]:
                assert there.xpath("./th/a/@href")[0].endswith(f"/{page.name}"), (page, way)
            followed += 1
    assert followed > 100


def test_one_row_of_a_gymnast_holds_her_first_vault_and_shows_it_among_all(example):
    rows = parsed(example / "gymnasts/women-101.html").xpath("//section[@class='matrix']//tbody/tr")
    told = {row.xpath("string(th)"): row for row in rows}
    assert list(told)[:2] == ["Vault 1", "Uneven Bars"]
    marks = [cell.text_content().strip() for cell in told["Vault 1"].xpath("td[@class='mark']")]
    assert len([mark for mark in marks if mark]) > 1
    assert all(row.xpath("td[@class='lie']//*[local-name() = 'svg']") for row in rows[:-1])


def test_each_title_on_the_board_leads_to_the_row_of_who_won_it(example):
    lines = parsed(example / "index.html").xpath("//section[@class='board']//dl/div")
    for line in lines:
        path, _, row = line.xpath("string(./dt/a/@href)").partition("#")
        (there,) = parsed(example / path).xpath(f"//tr[@id='{row}']")
        assert there.xpath("string(./td[@class='place'])").strip()[0] == "1"
        winner = line.xpath("string(./dd/span)")
        assert there.xpath("string(./th/a)") == winner or there.xpath("./th/text()")[0] == winner
    assert len(lines) == 28


def test_a_clubs_first_three_places_are_its_own_gymnasts_and_teams(example):
    told = 0
    for page in (example / "clubs").glob("*.html"):
        tree = parsed(page)
        club = tree.xpath("string(//h1)")
        for line in tree.xpath("//ul[@class='titles']/li"):
            name = line.xpath("string(./span[@class='who'])").strip()
            listed = parsed((page.parent / line.xpath(".//a/@href")[0].split("#")[0]).resolve())
            rows = [
                row for row in listed.xpath("//tbody/tr") if row.xpath("string(./th/a)") == name
            ]
            assert name == club or club in rows[0].xpath("string(./th/small)"), (club, name)
            told += 1
    assert told > 30
