"""Markdown pages: facts are put in, text stays text, and what is wrong is told with its line."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from folders import judged, picture, write_folder

from resultsgen.meet.problems import Problem
from resultsgen.publishing.starter import new_meet
from resultsgen.views.press.facts import FACTS
from resultsgen.views.site.attachments import RenderedPage
from resultsgen.website.markup import safe_html
from resultsgen.website.meet_pages import CODES, rendered_pages

MEET = """
    == meet.toml ==
    title = "Lantern Cup"
    [[competition]]
    id = "women"
    title = "Women, seniors"
    discipline = "women"
    divisions = ["senior"]
    apparatus = ["VT", "BB"]
    ranks = ["all-around", "apparatus", "team"]
    team = { format = "4-4-1", by = "federation" }
    cuts = [
      { name = "Beam final", of = "apparatus", places = 1, reserves = 1 },
      { name = "All-around final", of = "all-around", places = 2, reserves = 1, cap = 1 },
    ]
    [[competition]]
    id = "later"
    title = "Not yet begun"
    discipline = "women"
    divisions = ["junior"]
    apparatus = ["VT", "BB"]
    == roster.csv ==
    bib,family_name,given_name,club,federation,division,publish
    1,ADAMS,Ada,North,N,senior,
    2,B*LL_,Bea <i>,South & Sons | TV,S,senior,
    3,COLE,Cy,North,N,senior,
    4,DEAN,Di,North,N,senior,no
    9,YOUNG,Yu,North,N,junior,
    == marks.csv ==
    bib,apparatus,mark,d,e,penalty,competition
    1,VT,13.700,5.4,8.3,,women
    1,BB,12.000,4.0,8.0,,women
    2,VT,13.400,5.0,8.4,,women
    2,BB,12.150,4.1,8.35,0.3,women
    3,VT,12.000,4.0,8.0,,women
    3,BB,11.000,4.0,7.0,,women
    4,VT,11.000,4.0,7.0,,women
    4,BB,DNF,,,,women
    == pages/other.md ==
    +++
    title = "Other"
    +++
    Nothing here.
    == pages/page.md ==
    +++
    title = "Recap"
    +++
"""
LANGUAGES = 'title = "Lantern Cup"\n    languages = ["en", "de"]'
EVENING = Path(__file__).parent / "example_evening"
PNG = picture()


def made_of(folder: Path, text: str) -> tuple[RenderedPage, list[Problem]]:
    """What becomes of a text as the body of a page, and what is wrong in it."""
    head = '+++\ntitle = "Recap"\n+++\n'
    (folder / "pages").mkdir(exist_ok=True)
    (folder / "pages" / "page.md").write_text(head + text, encoding="utf-8")
    rendered, problems = rendered_pages(judged(folder))
    return next(one for one in rendered if one.slug == "page"), problems


@pytest.fixture
def page(tmp_path):
    """Renders a text as the body of a page of the small meet: its HTML and what is wrong."""
    folder = write_folder(tmp_path, MEET)
    (folder / "assets").mkdir()
    (folder / "assets" / "beam.png").write_bytes(PNG)

    def render(text: str) -> tuple[str, list[Problem]]:
        made, problems = made_of(folder, text)
        return made.html, problems

    return render


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ('{{ winner("women") }}', "ADAMS Ada"),
        ('{{ winner("Women, seniors", "balance beam") }}', "B*LL_ Bea &lt;i&gt;"),
        ('{{ winner("women", "team") }}', "N"),
        (
            '{{ won("women") }}',
            "ADAMS Ada (North) won with 25.700, 0.150 ahead of B*LL_ Bea &lt;i&gt; "
            "(South &amp; Sons | TV).",
        ),
        ('{{ total("women", "N", "team") }}', "25.700"),
        ('{{ mark("women", "1", "VT") }}', "13.700"),
        ('{{ mark("WOMEN", 1, "vault") }}', "13.700"),
        (
            '{{ mark("women", "cole cy", "BB") }} {{ mark("women", "Cy COLE", "BB") }}',
            "11.000 11.000",
        ),
        ('{{ d_score("women", 2, "BB") }}', "4.1"),
        ('{{ e_score("women", 2, "BB") }}', "8.350"),
        ('{{ penalty("women", 2, "BB") }}', "0.3"),
        ('{{ place("women", 2) }}, {{ place("women", 2, "BB") }}', "2, 1"),
        ('{{ total("women", 2) }}', "25.550"),
        ('{{ margin("women") }}', "0.150"),
        ('{{ behind("women", 3) }}', "2.700"),
        ('{{ best("women", "VT").name }} {{ best("women", "VT").total }}', "ADAMS Ada 13.700"),
        ('{{ qualified("women", "Beam final", "BB")[0].bib }}', "2"),
        ('{{ reserves("women", "Beam final", "BB")|map(attribute="bib")|join(", ") }}', "1"),
        (
            '{% for one in qualified("women", "all-around final") %}{{ one.bib }}{% endfor %}',
            "12",
        ),
        ('{{ name(1) }}, {{ club("1") }}, {{ federation(1) }}', "ADAMS Ada, North, N"),
        ("{{ name(4) }}", "Bib 4"),
        ('{{ mark("women", name(4), "VT") }}', "11.000"),
        ('{{ best("women").total }}', "25.700"),
        ('{{ title("women") }}, {{ gymnasts("women") }}', "Women, seniors, 4"),
        ('{% if finished("later") %}over{% else %}to come{% endif %}', "to come"),
        ('{% for one in podium("women", "BB") %}{{ one.place }}{% endfor %}', "123"),
        ('{{ ranking("women", first=1)[0].club }}', "North"),
        ('{{ leader("women", "VT") }}', "ADAMS Ada"),
        ("{{ 20 // 6 + 1 }}", "4"),
    ],
)
def test_a_fact_is_put_in_as_text(page, text, shown):
    html, problems = page(text)
    assert problems == []
    assert html.strip() == f"<p>{shown}</p>"


WAITING = {
    '{{ winner("later") }} by {{ margin("later") }}': "not decided yet by not decided yet",
    '{{ best("later").total }}': "not decided yet",
    '{{ podium("later")[0].name | upper }}': "not decided yet",
    '{{ podium("later") | length + 1 }}': "not decided yet",
    '{{ podium("later") | map(attribute="name") | join(", ") }}': "not decided yet",
    '{% for one in podium("later") %}{{ one.name }}{% else %}nobody{% endfor %}': "nobody",
    '{{ winner("later") | default("Who?") }}': "Who?",
    '{% if winner("later") %}a{% else %}b{% endif %}': "b",
}


def test_what_is_not_decided_yet_says_so_and_is_named(tmp_path):
    made, problems = made_of(write_folder(tmp_path, MEET), "\n\n".join(WAITING))
    assert problems == []
    assert made.html.split("\n") == [f"<p>{shown}</p>" for shown in WAITING.values()]
    lines = {int(one.split()[0].partition(":")[2]) for one in made.undecided}
    assert lines == {4 + 2 * number for number in range(len(WAITING))}


def test_of_equal_totals_a_sentence_says_what_settled_it_and_a_margin_is_told_of(tmp_path):
    folder = write_folder(tmp_path, MEET.replace("2,VT,13.400,5.0", "2,VT,13.700,5.3"))
    made, problems = made_of(folder, '{{ won("women", "VT") }}\n\n{{ margin("women", "VT") }}')
    assert problems == []
    assert "level with" in made.html
    assert "13.700 each, placed by" in made.html
    (told,) = made.undecided
    assert told.startswith("pages/page.md:6 the first two have the same total")
    assert 'won("women", "VT") says' in told


def test_it_says_so_in_the_language_of_the_page(tmp_path):
    folder = write_folder(tmp_path, MEET.replace('title = "Lantern Cup"', LANGUAGES, 1))
    german = '+++\ntitle = "Bericht"\n+++\n{{ winner("later") }}'
    (folder / "pages" / "page.de.md").write_text(german, encoding="utf-8")
    pages, _ = rendered_pages(judged(folder))
    assert "<p>noch nicht entschieden</p>" in [one.html.strip() for one in pages]


ASKED = (
    'winner("women")', 'leader("women")', 'margin("women")', 'best("women").total',
    'best("women", "FX").name', 'podium("women") | length', 'place("women", "101")',
    'total("women", "101")', 'behind("women", "101")', 'mark("women", "101", "BB")',
    'needs("women", "101")', 'winner("women", "team")', 'best("women", "team").total',
    'finished("women")', 'gymnasts("women")', 'name("101")', 'ranking("women") | length',
    'reserves("women", "Final") | length', 'winner("women-final")', 'place("women-final", "101")',
    'mark("women-final", "101", "BB")',
)  # fmt: skip


@pytest.mark.parametrize("format", ["teams", "finals"])
def test_every_state_of_a_meet_has_its_pages(tmp_path, format):
    """What is asked before the first mark, after each gymnast and at the end: no mark stops it."""
    new_meet(tmp_path, format=format)
    other = "team" if format == "finals" else "inal"
    asked = "\n".join(f"{{{{ {one} }}}}" for one in ASKED if other not in one)
    head = '+++\ntitle = "Page"\norder = 200\n+++\n'
    (tmp_path / "pages" / "page.md").write_text(head + asked, encoding="utf-8")
    heading, *rows = (tmp_path / "marks.csv").read_text(encoding="utf-8").splitlines()
    waiting = []
    for number in (0, 1, len(rows) - 1, len(rows)):
        lines = "\n".join([heading, *rows[:number], ""])
        (tmp_path / "marks.csv").write_text(lines, encoding="utf-8")
        (recap, page), problems = rendered_pages(judged(tmp_path))
        assert problems == []
        waiting.append(len(page.undecided))
        assert ("Marks are still to come" in recap.html) != ("The best mark" in recap.html)
    assert waiting[0] > waiting[1] > waiting[-1] == 0


def test_the_facts_of_a_running_meet_wait_too(tmp_path):
    shutil.copytree(EVENING, tmp_path / "evening", ignore=shutil.ignore_patterns("output"))
    heading = (EVENING / "marks.csv").read_text(encoding="utf-8").splitlines()[0]
    (tmp_path / "evening" / "marks.csv").write_text(heading + "\n", encoding="utf-8")
    asked = "{{ standing() | length }} {{ standing(rotation=2) | first }} {{ lead_changes() }}"
    made, problems = made_of(tmp_path / "evening", asked)
    assert problems == []
    assert made.html.strip() == f"<p>{' '.join(['not decided yet'] * 3)}</p>"


def test_every_fact_says_in_a_sentence_what_it_is():
    for fact in FACTS:
        assert fact.__doc__
        assert fact.__doc__.endswith((".", "?"))


@pytest.mark.parametrize(
    ("text", "line", "code", "told"),
    [
        (
            '\n{{ winner("men") }}',
            5,
            "page-fact",
            'there is no competition "men"; there are: women',
        ),
        ('{{ winner("women", "PH") }}', 4, "page-fact", "there are: all-around, VT, BB, team"),
        ('a\n\n{{ mark("women", 4, "BB") }}', 6, "page-fact", "4 has no mark on BB"),
        ('{{ place("women", 4) }}', 4, "page-fact", "no place"),
        ('{{ name("77") }}', 4, "page-fact", 'no gymnast has the bib or the name "77"'),
        ('{{ name("") }}', 4, "page-fact", "no gymnast has the bib or the name"),
        (
            '{{ winner("later") == "ADAMS Ada" }}',
            4,
            "page-text",
            "ask {% if finished(...) %} first",
        ),
        ('{% if 1 in podium("later") %}x{% endif %}', 4, "page-text", "not decided yet"),
        ('{{ winner("late").total }}', 4, "page-fact", 'no competition "late"'),
        ('{{ qualified("women", "Nought") }}', 4, "page-fact", "All-around final, Beam final"),
        ('{{ winner("women", "BB", 3) }}', 4, "page-fact", "winner(competition, list)"),
        ("{{ winer() }}", 4, "page-text", "'winer' is undefined"),
        ("{{ winner }}", 4, "page-text", "not a text"),
        ("{{ podium('women') }}", 4, "page-text", "not a text"),
        ("a\nb\n{% if %}", 6, "page-syntax", "Expected an expression"),
        ("a\n{% for x in range(3) %}", 5, "page-syntax", "endfor"),
        ("[x](nothing.md)", 4, "page-link", "no page nothing.md"),
        ("\n![x](assets/none.png)", 5, "page-picture", "no picture assets/none.png"),
        ("![x](https://example.org/x.png)", 4, "page-picture", "put it into assets/"),
        ("![x](data:image/png;base64,AAAA)", 4, "page-picture", "put it into assets/"),
    ],
)
def test_what_is_not_there_is_told_with_its_line(page, text, line, code, told):
    _, problems = page(text)
    assert [(one.file, one.row, one.code) for one in problems] == [("pages/page.md", line, code)]
    assert code in CODES
    assert told in problems[0].message


def test_all_unknown_facts_of_a_page_are_told_at_once(page):
    _, problems = page('{{ name("77") }}\n{{ name("78") }}\n{{ winner("x") }} {{ name("79") }}')
    assert [one.row for one in problems] == [4, 5, 6, 6]


LOOPS = "{% for a in range(1000) %}" * 3 + "{% endfor %}" * 3


@pytest.mark.parametrize(
    "text",
    [
        LOOPS,
        "{{ range(100000)|length }}",
        '{{ "x" * 1000000000 }}',
        "{{ 10 ** 1000000000 }}",
        '{{ "%1000000000d" % 1 }}',
        "{{ 999999999 * 999999999 }}",
        "{% set a = 'xxxxxxxx' %}" + "{% set a = a ~ a %}" * 40,
        "{% set a %}xxxxxxxx{% endset %}" + "{% set a %}{{ a }}{{ a }}{% endset %}" * 40,
        "{% for a in range(1000) %}" + "x" * 1000 + "{% endfor %}",
        '{{ "x"|center(1000000000) }}',
        '{{ "x".ljust(1000000000) }}',
        "{% macro a(n) %}{{ a(n) }}{{ a(n) }}{% endmacro %}{{ a(1) }}",
        "{% for x in [1] recursive %}{{ loop([1]) }}{% endfor %}",
        '{% include "/etc/hostname" %}',
        '{% import "os" as os %}',
        "{{ ''.__class__.__mro__ }}",
        "{{ winner.__call__.__globals__ }}",
        "{{ winner.answer }}",
        "{{ podium('women')[0].__class__ }}",
        "{{ podium('women')|map(attribute='__class__')|join }}",
        "{{ link(1).target }}",
        "{{ winner|lower }}",
        "{{ [winner] ~ '' }}",
        "{{ self }}",
        "{{ range }}",
        "{{ 1 / 0 }}",
    ],
)
def test_a_page_cannot_run_on_grow_without_end_or_reach_outside_its_facts(page, text):
    html, problems = page(text)
    assert html == ""
    assert [one.code for one in problems] in (["page-text"], ["page-syntax"])


@pytest.mark.parametrize("text", ["{{ 'x'.format(1) }}", "{{ podium('women')[0].place() }}"])
def test_what_is_called_and_is_no_fact_is_told_without_its_place_in_memory(page, text):
    _, (problem,) = page(text)
    assert (problem.code, problem.message) == (
        "page-text",
        "nothing but a fact is asked with brackets in a page",
    )


def test_names_and_clubs_stay_text_wherever_they_stand(page):
    text = "{% for x in ranking('women') %}\n| {{ x.name }} | {{ x.club }} |{% endfor %}"
    html, problems = page(f"{{{{ name(2) }}}}\n\n| a | b |\n|---|---|{text}")
    assert problems == []
    assert "<p>B*LL_ Bea &lt;i&gt;</p>" in html
    assert "<td>South &amp; Sons | TV</td>" in html
    assert "<em>" not in html


def test_html_in_a_page_is_text_and_no_link_runs_a_script(page):
    html, problems = page(
        "<script>alert(1)</script> <b onclick='x()'>b</b>\n\n<div>\nx\n</div>\n\n"
        "[a](javascript:alert(1)) [b](JaVaScRiPt:alert(1)) [c](data:text/html,x)"
        "<javascript:alert(1)>"
    )
    assert problems == []
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in html
    assert "&lt;div&gt;" in html
    for forbidden in ("<script", "<b", "<div", "href"):
        assert forbidden not in html


def test_links_lead_to_the_pages_of_the_site(page):
    html, problems = page(
        "{{ link(1) }} {{ list_link('women', 'BB', 'the beam') }} {{ link(4) }} "
        "[other](other.md) [out](https://example.org/) ![Beam](../assets/beam.png)"
    )
    assert problems == []
    for shown in (
        '<a href="../gymnasts/women-1.html" rel="noopener noreferrer">ADAMS Ada</a>',
        '<a href="../competitions/women/bb.html" rel="noopener noreferrer">the beam</a>',
        '<a href="../gymnasts/women-4.html" rel="noopener noreferrer">Bib 4</a>',
        '<a href="other.html" rel="noopener noreferrer">other</a>',
        '<a href="https://example.org/" rel="noopener noreferrer">out</a>',
        'src="../assets/beam.png"',
    ):
        assert shown in html


def test_headings_begin_below_the_title_and_columns_keep_their_side(page):
    html, _ = page("# A\n\n## B\n\n| l | r |\n|:--|--:|\n| 1 | 2 |")
    assert "<h2>A</h2>" in html
    assert "<h3>B</h3>" in html
    assert '<td class="align-right">2</td>' in html
    assert 'scope="col"' in html
    assert "style=" not in html


def test_a_withheld_name_is_nowhere(page):
    html, _ = page("{% for x in ranking('women', 'VT') %}{{ x.name }} {% endfor %}{{ link(4) }}")
    assert "Bib 4" in html
    assert "DEAN" not in html


def test_a_text_that_was_made_before_leads_where_it_leads_now():
    def page(where: str) -> str:
        return safe_html("[the recap](recap.md)", lambda *_: {"href": where})

    assert [page(where) for where in ("a.html", "b.html", "b.html")] == [
        f'<p><a href="{where}" rel="noopener noreferrer">the recap</a></p>'
        for where in ("a.html", "b.html", "b.html")
    ]
