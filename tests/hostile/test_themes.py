"""A theme from a stranger: its templates reach nothing, and what they make fetches nothing."""

from __future__ import annotations

import shutil
from datetime import date
from itertools import pairwise
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
import tinyhtml5
from folders import judged, write_folder

from resultsgen.cli import main
from resultsgen.files.markup import (
    ATTRIBUTES,
    ELEMENTS,
    GOES_ON,
    HEAD,
    POLICY,
    wrong_in_page,
    wrong_in_sheet,
)
from resultsgen.meet.problems import MeetProblems
from resultsgen.meet.settings import MeetSettings
from resultsgen.publishing.build_options import BuildOptions
from resultsgen.publishing.publish import publish
from resultsgen.publishing.starter import new_meet
from resultsgen.theme.checking import wrongs_of_theme
from resultsgen.theme.theme import ThemeError, chosen_theme, find_theme, theme_names, themes_folder
from resultsgen.views.lists.table import Cell, Column, Row, Table
from resultsgen.views.site.home import meet_view
from resultsgen.views.words.wording import wording
from resultsgen.website.site_page import SitePage

WITHOUT_BOOKS = BuildOptions(books=False)

MEET = """
== meet.toml ==
title = "Cup"
theme = "mine"

[[competition]]
id = "women"
title = "Women"
discipline = "women"
apparatus = ["VT"]
ranks = ["apparatus"]
== roster.csv ==
bib,family_name
1,Alder
2,Birch
== marks.csv ==
bib,apparatus,mark
1,VT,13.100
2,VT,12.100
== mine/theme.toml ==
title = "Mine"
"""

ROWS = (Row((Cell("<b>", target="a"), Cell("<i>", about='"', dropped=True)), id="<"),)

PAGE = f'<!doctype html>{HEAD[0]}<meta http-equiv="Content-Security-Policy" {HEAD[1]}>'


@pytest.fixture(scope="module")
def meet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_folder(tmp_path_factory.mktemp("meet"), MEET)


@pytest.fixture(scope="module")
def context(meet: Path) -> dict[str, Any]:
    """What a template of the site is given."""
    results = judged(meet)
    words = wording(MeetSettings.model_validate(results.meet.settings.model_dump(by_alias=True)))
    return {
        "meet": meet_view(results, words),
        "say": words.say,
        "language": words.language,
        "url": lambda address: f"../{address}",
        "at": lambda key: lambda target: target,
        "page": SitePage("index.html", "Home", SimpleNamespace(secret="kept")),
        "results": results,
        "places": {"a": "b"},
        "rows": ["1", "2"],
        "day": date(2031, 5, 17),
        "table": Table("t", "T", (Column("Name", "name"), Column("Mark", "mark")), ROWS),
    }


def rendered(meet: Path, context: dict[str, Any], template: str) -> str:
    """What a template of that text shows; MeetProblems where it does what it must not."""
    file = meet / "mine/site/x.html"
    file.parent.mkdir(exist_ok=True)
    file.write_text(PAGE + template, encoding="utf-8")
    environment = find_theme("mine", meet).environment("site")
    try:
        return environment.get_template("x.html").render(**context).removeprefix(PAGE)
    finally:
        file.unlink()


GOOD = (
    ("{{ meet.title }} {{ say('{n} kB', n=3) }}", "Cup 3 kB"),
    ("{% for r in rows if r != '2' %}{{ loop.index + 1 }}{{ r ~ '!' }}{% endfor %}", "21!"),
    ("{% macro m(x) %}<b>{{ x }}</b>{% endmacro %}{{ m('<') }}", "<b>&lt;</b>"),
    ("{% set x %}<i>{{ meet.title }}</i>{% endset %}{{ x ~ '&' }}", "<i>Cup</i>&amp;"),
    ("{{ rows | map('upper') | join(', ') }}{{ rows[1:] | length }}", "1, 21"),
    ("{{ places.get('a') }}{{ 'ab'.upper() }}{{ language.size(2000) }}", "bAB2 kB"),
    ("{{ url('a') }} {{ at(1)('t') }}", "../a t"),
    ("{% set n = namespace(x=1) %}{% for r in rows %}{% set n.x = n.x * 2 %}{% endfor %}{{ n.x }}",
     "4"),
    ("{% call(x) wrap() %}{{ x }}{% endcall %}{% macro wrap() %}{{ caller('y') }}{% endmacro %}",
     None),
    ("{% for a in rows recursive %}{{ a }}{% endfor %}{{ loop is defined }}", "12False"),
    ("{{ 'x' if meet.official else 'y' }}{{ 2 in (1, 2) }}{{ language.date(day) }}",
     "yTrue17 May 2031"),
    ("{{ table_rows(table.rows, url, table.kinds, room='', reasons=false) }}",
     '<tr id="&lt;"><th scope="row" class="name"><a href="../a">&lt;b&gt;</a></th>'
     '<td class="mark"><s>&lt;i&gt;</s></td></tr>\n'),
    ("{% macro to(x) %}../{{ x }}{% endmacro %}"
     "{{ table_rows(table.rows, to, table.kinds, '', false)"
     " == table_rows(table.rows, url, table.kinds, '', false) }}", "True"),
    ("{{ words(table.rows[0].cells[1]) }}", "<s>&lt;i&gt;</s>"),
)  # fmt: skip


@pytest.mark.parametrize(("template", "shown"), [pair for pair in GOOD if pair[1] is not None])
def test_what_themes_do_they_may(
    meet: Path, context: dict[str, Any], template: str, shown: str
) -> None:
    assert rendered(meet, context, template) == shown


REACHING = (
    "{{ say.__globals__ }}", "{{ say.__self__ }}", "{{ url.__globals__ }}", "{{ url.__code__ }}",
    "{{ ''.__class__.__mro__ }}", "{{ meet.__class__ }}", "{{ meet.__init__.__globals__ }}",
    "{{ meet['__class__'] }}", "{{ meet | attr('__class__') }}", "{{ self.__init__ }}",
    "{{ [meet] | map(attribute='__class__') | join }}", "{{ cycler.__init__.__globals__ }}",
    "{{ lipsum.__globals__.os.popen('id').read() }}", "{{ joiner }}", "{{ dict }}", "{{ dict() }}",
    "{{ range.__class__ }}", "{{ namespace.__init__ }}", "{{ namespace().__class__ }}",
    "{% for x in rows %}{{ loop.__init__ }}{% endfor %}", "{{ results }}", "{{ results.meet }}",
    "{{ page.view.secret }}", "{{ page }}", "{{ say }}", "{{ meet }}", "{{ rows }}",
    "{{ '{0.__class__}'.format(meet) }}", "{{ '%s' % meet }}", "{{ '%s' | format(meet) }}",
    "{{ '{a.__class__}'.format_map(places) }}", "{{ say('{m.__class__}', m=meet) }}",
    "{{ say('{m}', m=meet) }}", "{{ language.count('{n.real}', '{n.real}', 3) }}",
    "{{ language.say.__globals__ }}", "{{ language._first_of_month('x') }}",
    "{{ rows.append('x') }}", "{{ places.update({}) }}", "{{ places.pop('a') }}",
    "{{ meet.title.encode() }}", "{{ meet.replace }}", "{{ day.today() }}", "{{ day.year }}",
    "{{ environment }}", "{{ context }}", "{{ meet | pprint }}", "{{ meet | tojson }}",
    "{{ [meet] | random }}", "{{ url | string }}", "{{ url | urlize }}", "{{ at(1) | string }}",
    "{% include '../theme.toml' %}", "{% include '/etc/passwd' %}", "{% include 'linked.html' %}",
    "{% import 'x.html' as x %}{{ x.__class__ }}", "{% set x = url %}{{ x.__call__('a') }}",
    "{{ ''.join.__self__ }}", "{{ ().__class__.__bases__[0].__subclasses__() }}",
    "{{ rows | selectattr('__class__') | list | join }}", "{{ rows | sum('__class__') }}",
    "{{ rows | groupby('__class__') }}", "{{ rows | sort(attribute='__class__') | join }}",
    "{{ words(namespace(text=meet, about='', dropped=false)) }}", "{{ words(url) }}",
    "{{ table_rows([namespace(cells=[namespace(text=meet, plain=true)], id='', kind='', "
    "cut='', reserves='', podium=0, qualified='', filed='')], url, ['text'], '', false) }}",
    "{{ table_rows(table.rows, url, ['name', '\"><i>'], '', false) }}",
    "{{ table_rows(table.rows, url, ['name'], '', false) }}",
    "{{ table_rows(table.rows, url, nothing, '', false) }}", "{{ table_rows(nothing) }}",
    "{{ table_rows(table.rows, nothing, table.kinds, '', false) }}", "{{ table_rows }}",
    "{{ table_rows(table.rows, rows.append, table.kinds, '', false) }}",
    "{{ table_rows(table.rows, places.get, table.kinds, '', false) }}",
)  # fmt: skip


@pytest.mark.parametrize("template", REACHING)
def test_nothing_else_is_reached(meet: Path, context: dict[str, Any], template: str) -> None:
    linked = meet / "mine/site/linked.html"
    linked.parent.mkdir(exist_ok=True)
    linked.symlink_to("/etc/passwd")
    with pytest.raises(MeetProblems) as told:
        rendered(meet, context, template)
    linked.unlink()
    (problem,) = told.value.problems
    assert (problem.code, problem.file.split("/")[0]) == ("theme-template", "mine")
    assert "root:" not in problem.message


TWICE = "{% set x = [x, x] %}" * 60
ENDLESS = (
    "{% for a in range(10**9) %}{% endfor %}",
    "{% for a in range(1000) %}{% for b in range(1000) %}{% for c in range(1000) %}"
    "{% endfor %}{% endfor %}{% endfor %}",
    "{% for a in range(1000) %}{% for b in range(1000) %}{% set x %}" + "y" * 1000 +
    "{% endset %}{% endfor %}{% endfor %}",
    "{% macro m() %}{{ m() }}{{ m() }}{% endmacro %}{{ m() }}",
    "{% macro a(n) %}{% if n %}{{ a(n - 1) }}{{ a(n - 1) }}{% endif %}{% endmacro %}{{ a(60) }}",
    "{% set x = 'y' %}" + "{% set x = x ~ x %}" * 40,
    "{% set x = 'y' %}" + "{% set x = [x, x] | join %}" * 40,
    "{{ 'y' * 10**9 }}", "{{ 'y' | center(10**9) }}", "{{ 10**10**10 }}", "{{ [1] * 10**9 }}",
    "{{ 'y'.ljust(10**9) }}", "{{ 'y'.zfill(10**9) }}", "{{ 'y' | indent(10**9) }}",
    "{{ ('y' | batch(10**9, 'z')) | list | length }}", "{{ say('{n:>999999999}', n=1) }}",
    "{% set x = 'y' * 3 %}", "{% set x = [1] %}" + TWICE + "{{ x }}",
    "{% set x = [1] %}" + TWICE + "{{ x == [x] }}",
    "{% set x = [1] %}" + TWICE + "{{ x in [x] }}",
    "{% set x = [1] %}" + TWICE + "{{ x | string }}",
    "{% set x = [1] %}" + TWICE + "{{ x | unique | length }}",
    "{% set x = [1] %}" + TWICE + "{{ {x: 1} | length }}",
    "{% set x = [1] %}" + TWICE + "{{ places[x] }}",
    "{% set x = [1] %}" + TWICE + "{{ x is eq(x) }}",
    "{% set x = [1] %}" + TWICE + "{{ x ~ '' }}",
    "{% set x = [1] %}" + TWICE + "{{ say('{n}', n=x) }}",
    "{% for a in range(900) recursive %}{{ loop(range(900)) }}{% endfor %}",
    "{% include 'x.html' %}",
    "{% for a in [1] %}" * 25 + "{% endfor %}" * 25,
    "{{ " + "(" * 3000 + "1" + ")" * 3000 + " }}",
    "{{ " + "-" * 3000 + "1 }}",
    "{% set x = 'y' %}" + "{% set x = x ~ x %}" * 11 + "{% macro to(t) %}{{ x }}{% endmacro %}"
    "{{ table_rows(table.rows, to, table.kinds, '', false) | length }}",
)  # fmt: skip


@pytest.mark.parametrize("template", ENDLESS, ids=lambda text: text[-40:])
def test_no_template_runs_for_ever(
    meet: Path, context: dict[str, Any], template: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("resultsgen.theme.templates.BUDGETS", {"site": 500_000, "book": 500_000})
    with pytest.raises(MeetProblems) as told:
        rendered(meet, context, template)
    assert [one.code for one in told.value.problems] == ["theme-template"]


FETCHING = (
    '<img src="https://e.example/x.png">', '<img src="//e.example/x.png">', "<img src='\\\\e\\x'>",
    '<img srcset="a.png 1x, https://e.example/x.png 2x">', '<img src="http:x">',
    '<img src="&#104;ttps://e.example/">', '<img src=" https://e.example/">',
    '<img src="data:image/svg+xml,x">', "<img src=//e.example/x>", "<image src='x.png'>",
    '<table background="https://e.example/x">', '<body background="x.png">',
    '<p style="background: url(https://e.example/)">', '<p style="background:image-set(\'x\' 1x)">',
    '<meta http-equiv="refresh" content="0;url=https://e.example/">',
    '<META HTTP-EQUIV=refresh content="0">', '<meta charset="iso-2022-jp">',
    '<meta name="referrer" content="unsafe-url">', '<base href="https://e.example/">',
    '<link rel="stylesheet" href="https://e.example/x.css">', '<link rel="preload" href="x">',
    '<link rel="dns-prefetch" href="https://e.example">', '<link rel="prefetch" href="x">',
    '<link rel="preload" as="image" imagesrcset="https://e.example/x 1x">',
    '<link rel="canonical stylesheet" href="https://e.example/x.css">',
    '<link rel="icon" href="https://e.example/x.ico">', '<link rel="manifest" href="x.json">',
    '<link rel="next" href="https://e.example/">',
    '<script>x()</script>', '<script src="https://e.example/x.js"></script>',
    '<script src="data/x.csv"></script>', '<SCRIPT\n>x()</SCRIPT\n>',
    '<script type="application/ld+json">{}</script><script>x()</script>',
    '<script defer src="static/site.00000000.js" onload="x()"></script>',
    '<p onclick="x()">', '<body onload="x()">', '<svg onload="x()"></svg>', '<svg/onload="x()">',
    '<iframe src="x.html"></iframe>', '<iframe srcdoc="&lt;script&gt;"></iframe>',
    '<object data="x"></object>', '<embed src="x">', '<video src="x"></video>',
    '<video poster="https://e.example/x"></video>', '<audio src="x"></audio>',
    '<picture><source srcset="https://e.example/x"></picture>', '<source src="x">',
    '<track src="x">', '<portal src="x">', '<frameset></frameset>', '<frame src="x">',
    '<form action="https://e.example/"><input></form>', '<button formaction="https://e.example/">',
    '<input type="image" src="https://e.example/x">', '<input type="image" src="x.png">',
    '<a href="javascript:x()">', '<a href=" java&#10;script:x()">', '<a href="data:text/html,x">',
    '<a href="vbscript:x">',
    '<a ping="https://e.example/" href="x">', '<a href="\x01javascript:x">',
    '<svg><image href="https://e.example/x"/></svg>', '<svg><use href="x.svg#a"/></svg>',
    '<svg><script>x()</script></svg>',
    '<svg><style>@import "x"</style></svg>', '<style>a{}</style>',
    '<svg><set attributeName="href" to="x"/></svg>', '<svg><foreignObject></foreignObject></svg>',
    '<svg fill="url(https://e.example/#x)"></svg>',
    '<svg><a xlink:href="javascript:x()"></a></svg>',
    '<math><mtext></mtext></math>', '<noscript><p title="</noscript><img src=x onerror=x()>">',
    '<textarea><p title="</textarea><img src=x onerror=x()>"></textarea>',
    '<title><p title="</title><img src=x onerror=x()>"></title>', '<xmp><p></xmp>', '<plaintext>',
    '<!--><img src=x onerror=x()>-->', '<!-- --!><img src=x onerror=x()>-->', '<![CDATA[<p>]]>',
    '<?xml-stylesheet href="x"?>', '<p "=x>', '<p x=y>', '<p a="1"b="2">', '<p', '<p a="',
    '<p a="1" a="2">', '</p onclick="x()">', '<p/a="1">', '< p>a', 'a < b',
    '<p is="x-y">', '<x-y></x-y>', '<p itemscope>', '<marquee onstart="x()">', '<dialog open>',
    '<a rel="attachment" href="x">', '<p hidden popover="auto">', '<svg><animate/></svg>',
)  # fmt: skip


@pytest.mark.parametrize("html", FETCHING)
def test_nothing_of_a_page_runs_or_fetches(html: str) -> None:
    assert wrong_in_page(PAGE) == ""
    assert wrong_in_page(PAGE + html) != ""
    assert wrong_in_page("<!doctype html>" + html, book=True) != ""


def test_what_passes_is_read_alike_by_a_parser_of_browsers() -> None:
    """Pieces put together in many ways: what passes has no element or attribute off the lists."""
    import random

    chance = random.Random(1)
    pieces = (*FETCHING, *(piece[:-1] for piece in FETCHING), "<p>", "</p>", "<title>", "</title>",
              "<textarea>", "</textarea>", "<!--", "-->", "<svg>", "</svg>", "<table>", "<select>",
              "<template>", "</template>", "text", '"', "'", ">", "=", " ", "</", "<b title='",
              "'>", '<i class="')  # fmt: skip
    passed = 0
    for _ in range(3000):
        html = PAGE + "".join(
            chance.choices(pieces[-24:] if chance.random() < 0.8 else pieces, k=4)
        )
        if wrong_in_page(html):
            continue
        passed += 1
        for element in tinyhtml5.parse(html, namespace_html_elements=False).iter():
            if isinstance(element.tag, str):
                name = element.tag.rpartition("}")[2].lower()
                assert name in ELEMENTS, html
                assert not [a for a in map(str, element.attrib) if a.startswith("on")], html
                assert "srcdoc" not in element.attrib
    assert passed > 100


@pytest.mark.parametrize(
    "css",
    [
        '@import "x.css";', "@import url(x.css);", '@\\69mport "x";', "a{b:url(https://e.example)}",
        "a{b:url(x.png)}", "a{b:URL('x.png')}", "a{b:u\\72l(x)}", 'a{b:image-set("x" 1x)}',
        'a{b:-webkit-image-set(url(x) 1x)}', 'a{b:cross-fade("x", "y")}', 'a{b:image("x")}',
        'a{b:src("x")}', 'a{--x:url("//e.example")}', "a{b:url(data:image/svg+xml,x)}",
        '@font-face{src:url("https://e.example/f.woff2")}', "@namespace url(x);",
        "@document url(x){}", "a{b:element(#x)}", "a{b:paint(x)}", "a{b:expression(x())}",
        "a{b:attr(x type(<url>))}", "a{b:url(x", "@media print{a{b:url(x)}}", "a{b:(((url(x))))}",
        "a{b:" + "(" * 5000,
    ],
)  # fmt: skip
def test_nothing_of_a_style_sheet_fetches(css: str) -> None:
    assert wrong_in_sheet(css) != ""
    assert wrong_in_page(f'<!doctype html><p style="{css.replace(chr(34), "&quot;")}">', book=True)


def test_a_theme_that_runs_code_does_not_and_nothing_is_published(
    meet: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "meet"
    shutil.copytree(meet, folder, symlinks=True)
    (folder / "mine/site").mkdir(exist_ok=True)
    mark = tmp_path / "ran"
    code = "{{ say.__func__.__globals__['__builtins__']['open']('" + str(mark) + "', 'w') }}"
    (folder / "mine/site/404.html").write_text(code, encoding="utf-8")
    with pytest.raises(MeetProblems) as told:
        publish(folder, tmp_path / "out", WITHOUT_BOOKS, lambda *_: None)
    assert [(one.file, one.row, one.code) for one in told.value.problems] == [
        ("mine/site/404.html", 1, "theme-template")
    ]
    assert not mark.exists()
    assert not (tmp_path / "out").exists()
    trusted = BuildOptions(books=False, trust_theme="mine")
    publish(folder, tmp_path / "out", trusted, lambda *_: None)
    assert mark.exists()


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("site/404.html", "{% if %}"),
        ("site/rules.html", "{{ view.__class__ }}"),
        ("site/rules.html", PAGE + '<img src="https://e.example/x">'),
        ("static/extra.css", "a { background: url(https://e.example/x) }"),
        ("static/find.js", "fetch('https://e.example/')"),
        ("book/book.css", '@import "x.css";'),
    ],
)
def test_check_tells_what_files_of_a_theme_would_fetch(
    meet: Path, tmp_path: Path, name: str, text: str, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "meet"
    shutil.copytree(meet, folder, symlinks=True)
    (folder / "mine" / name).parent.mkdir(exist_ok=True)
    (folder / "mine" / name).write_text(text, encoding="utf-8")
    assert main(["check", str(folder)]) == 1
    assert f"mine/{name}" in capsys.readouterr().out
    assert main(["check", str(folder), "--trust-theme", "mine"]) == (text == "{% if %}")
    assert main(["check", str(folder), "--trust-theme", "other"]) == 2


@pytest.mark.parametrize("name", ["../outside", "/tmp", "linked", "mine/../../outside"])
def test_a_theme_that_a_meet_names_lies_in_its_folder(tmp_path: Path, name: str) -> None:
    (tmp_path / "outside").mkdir()
    (tmp_path / "outside/theme.toml").write_text('title = "Out"', encoding="utf-8")
    folder = tmp_path / "meet"
    (folder / "mine").mkdir(parents=True)
    (folder / "linked").symlink_to(tmp_path / "outside")
    with pytest.raises(ThemeError, match="outside the meet folder"):
        chosen_theme("", "", name, folder)
    (folder / "mine/theme.toml").write_text('based-on = "../outside"', encoding="utf-8")
    with pytest.raises(ThemeError, match="outside the meet folder"):
        chosen_theme("", "", "mine", folder)
    asked = chosen_theme(str(tmp_path / "outside"), "", "standard", folder)
    assert (asked.settings.title, asked.trusted, asked.comes_along) == ("Out", False, False)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("based-on = 5", "in quotes"),
        ('based-on = "../mine"', "outside"),
        ('based-on = "loop"', "outside|no theme"),
        ('based-on = "a\\u0000b"', "no theme|cannot be read"),
        ("x = " + "[" * 100, "cannot be read"),
        ('based-on = "one"', "more than 5 themes"),
    ],
)
def test_what_a_theme_is_based_on_comes_to_an_end(tmp_path: Path, text: str, words: str) -> None:
    chain = ("mine", "one", "two", "three", "four", "five", "six")
    for name, below in pairwise(chain):
        (tmp_path / name).mkdir()
        told = text if name == "mine" else f'based-on = "{below}"'
        (tmp_path / name / "theme.toml").write_text(told, encoding="utf-8")
    (tmp_path / "loop").symlink_to("loop")
    with pytest.raises(ThemeError, match=words):
        find_theme("mine", tmp_path)


def test_a_theme_that_takes_long_to_read_is_refused_first(meet: Path, tmp_path: Path) -> None:
    folder = tmp_path / "meet"
    shutil.copytree(meet, folder, symlinks=True)
    (folder / "mine/site").mkdir(exist_ok=True)
    for number in range(3):
        (folder / f"mine/site/{number}.html").write_text("{{ a }}" * 28_000, encoding="utf-8")
    found = [problem.code for problem in wrongs_of_theme(find_theme("mine", folder))]
    assert found == ["file-too-large"]


@pytest.mark.parametrize("file", ["theme.toml", "static/site.css", "site/home.html"])
def test_links_of_a_theme_lead_nowhere_else(tmp_path: Path, file: str) -> None:
    (tmp_path / "secret").write_text("title = 'kept to myself'", encoding="utf-8")
    mine = tmp_path / "meet/mine"
    (mine / file).parent.mkdir(parents=True)
    (mine / file).parent.mkdir(exist_ok=True)
    (mine / "theme.toml").write_text('title = "Mine"', encoding="utf-8")
    (mine / file).unlink(missing_ok=True)
    (mine / file).symlink_to(tmp_path / "secret")

    def read() -> None:
        theme = find_theme("mine", tmp_path / "meet")
        theme.text("static/site.css")
        theme.environment("site").get_template("home.html")

    with pytest.raises((ThemeError, MeetProblems)) as told:
        read()
    problems = getattr(told.value, "problems", [told.value])
    assert "lies outside" in str(problems[0])


@pytest.mark.parametrize("name", theme_names())
def test_a_copy_of_a_theme_that_comes_along_shows_the_same_in_the_sandbox(
    tmp_path: Path, name: str
) -> None:
    folder, themes = tmp_path / "meet", themes_folder()
    new_meet(folder)
    shutil.copytree(themes / name, folder / "mine")
    for theme in (name, "mine"):
        publish(folder, tmp_path / theme, BuildOptions(theme, books=False), lambda *_: None)
    made, again = (
        {p.relative_to(tmp_path / one): p.read_bytes() for p in (tmp_path / one).rglob("*.html")}
        for one in (name, "mine")
    )
    assert made == again
    assert len(made) > 10


def test_the_policy_is_that_of_the_standard_theme() -> None:
    page = (themes_folder() / "standard/site/page.html").read_text(encoding="utf-8")
    goes_on = GOES_ON.removeprefix(POLICY)
    policy = f'content="{POLICY}{{% if goes_on %}}{goes_on}{{% endif %}}"'
    assert page.index(HEAD[0]) < page.index(policy) < 400
    assert "style" not in ATTRIBUTES
