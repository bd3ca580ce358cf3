"""Themes: found by name or folder, filled up from what they are based on, and easy to read."""

from __future__ import annotations

import re
from itertools import product
from typing import get_args

import pytest
from jinja2 import Environment, UndefinedError, meta
from markupsafe import Markup, escape

from resultsgen.theme.rows import table_rows
from resultsgen.theme.theme import ThemeError, _shipped, find_theme, theme_names
from resultsgen.views.lists.table import Cell, Kind, Row
from resultsgen.views.words.wording import Wording
from resultsgen.website.look import stylesheet, without_comments

TEXTS = ("ink", "quiet", "accent", "through", "signal")
GROUNDS = ("paper", "sheet", "wash")
PAIRS = (*product(TEXTS, GROUNDS), ("on_band", "band"), ("sheet", "accent"), ("sheet", "through"))


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2, https://www.w3.org/TR/WCAG22/#dfn-relative-luminance."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, WCAG 2.2, https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_the_contrast_is_that_of_the_standard():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("mode", ["light", "dark"])
@pytest.mark.parametrize("name", theme_names())
def test_text_stands_out_from_its_ground(name, mode):
    colours = getattr(find_theme(name).settings, mode)
    ratios = {
        (text, ground): contrast(getattr(colours, text), getattr(colours, ground))
        for text, ground in PAIRS
    }
    assert {pair: round(ratio, 2) for pair, ratio in ratios.items() if ratio < 4.5} == {}


def test_there_are_three_themes_and_each_says_what_it_is():
    assert set(theme_names()) == {"standard", "gala", "bulletin"}
    assert all(find_theme(name).settings.about for name in theme_names())


def own_theme(folder, text="", files=()):
    theme = folder / "mine"
    theme.mkdir()
    (theme / "theme.toml").write_text(text, encoding="utf-8")
    for name, content in files:
        (theme / name).parent.mkdir(parents=True, exist_ok=True)
        (theme / name).write_text(content, encoding="utf-8")
    return theme


def test_a_theme_in_the_meet_folder_says_only_what_differs(tmp_path):
    own_theme(tmp_path, 'title = "Mine"\n[light]\nband = "#7a1020"\n')
    theme, standard = find_theme("mine", tmp_path), find_theme("standard")
    assert theme.settings.title == "Mine"
    assert theme.settings.light.band == "#7a1020"
    assert theme.settings.light.ink == standard.settings.light.ink
    assert theme.file("static/site.css") == standard.file("static/site.css")


def test_a_file_of_its_own_comes_first_and_may_extend_the_one_below(tmp_path):
    own = '{% extends "standard/404.html" %}{% block main %}mine {{ super() }}{% endblock %}'
    folder = own_theme(tmp_path, 'title = "Mine"', [("site/404.html", own)])
    theme = find_theme(str(folder))
    assert theme.file("site/404.html") == folder / "site/404.html"
    source = theme.environment("site").get_template("404.html")
    assert source.blocks.keys() == {"main"}


def test_what_a_theme_adds_is_read_after_the_style_sheet_below(tmp_path):
    own_theme(tmp_path, 'title = "Mine"\nbased-on = "gala"', [("static/extra.css", ".mine{}")])
    style = stylesheet(find_theme("mine", tmp_path), (b"regular", b"bold", b"display"))
    assert "/*" not in style
    assert style.index("box-sizing: border-box;") < style.index(".stage {") < style.index(".mine{}")
    assert style.index("base64,cmVndWxhcg==") < style.index("base64,Ym9sZA==")
    assert "--on-band:#fff3d4" in style


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[light]\nband = 'red'", "light.band"),
        ("[light]\nbandd = '#000000'", "light.bandd"),
        ("[options]\nleaders = 0", "options.leaders"),
        ("title =", "cannot be read"),
        ('based-on = "nothing-like-it"', "no theme nothing-like-it"),
        ('based-on = "mine"', "based on itself"),
    ],
)
def test_what_is_wrong_in_a_theme_is_told(tmp_path, text, words):
    own_theme(tmp_path, text)
    with pytest.raises(ThemeError, match=words):
        find_theme("mine", tmp_path)


def test_an_unknown_theme_names_those_there_are():
    with pytest.raises(ThemeError, match=r"there is no theme pink; .*gala.*standard"):
        find_theme("pink")


def test_templates_escape_and_know_their_names():
    environment = find_theme("standard").environment("site")
    assert environment.from_string("{{ name }}").render(name="<b>") == "&lt;b&gt;"
    with pytest.raises(UndefinedError):
        environment.from_string("{{ nmae }}").render(name="x")


def test_what_is_shown_again_is_escaped_by_what_it_is_and_not_by_how_it_reads():
    template = find_theme("standard").environment("site").from_string("{{ one }} {{ other }}")
    for held in (Markup("<b>"), "<b>", 1, True, "1"):
        for other in (Markup("<b>"), "<b>", 1, True, "1"):
            assert template.render(one=held, other=other) == f"{escape(held)} {escape(other)}"


@pytest.mark.parametrize("kind", get_args(Kind))
def test_every_text_of_a_row_is_escaped(kind):
    name = Wording().name("<q>'", "<q>'")
    for text, other in product((name, "<q>'", ""), ("<q>'", "P\u00a0<q>' <q>'", "")):
        cell = Cell(text, other, other, note=other, by=other, about=other)
        cells = (cell._replace(target=other), cell, cell._replace(dropped=True), Cell(text))
        row = Row((*cells, Cell(text, place="1")), id=other, filed=other, reserves=other)
        for room, cut in product(("", "placed"), (text, "")):
            kinds = [kind] * len(row.cells)
            written = table_rows([row._replace(cut=cut)], str, kinds, room, True)
            assert not re.search("<q|'", written)


@pytest.mark.parametrize("held", [("a", "<b>"), (Markup("<a>"), "<b>"), (1, "<b>"), ()])
def test_texts_are_joined_as_by_the_filter_that_every_template_knows(held):
    text = "{{ held | join(' & ') }} {{ held | join }}"
    joined = find_theme("standard").environment("site").from_string(text).render(held=held)
    assert joined == Environment(autoescape=True).from_string(text).render(held=held)


def test_what_another_program_compiled_is_compiled_again(tmp_path, monkeypatch):
    folders, kept = find_theme("standard").folders, []
    for program in ("one", "one", "other"):
        monkeypatch.setattr("resultsgen.theme.theme.code_digest", lambda told=program: told)
        _shipped.__wrapped__(folders, "site", tmp_path).get_template("404.html")
        kept.append(len([path for path in tmp_path.rglob("*") if path.is_file()]))
    assert 0 < kept[0] == kept[1] < kept[2]


def test_the_frame_of_pages_draws_on_nothing_but_what_it_is_told():
    """What it was told is all that tells whether it stands as it was written before."""
    environment = find_theme("standard").environment("site")
    source, _, _ = environment.loader.get_source(environment, "frame.html")
    assert not meta.find_undeclared_variables(environment.parse(source))


def test_every_theme_has_its_fonts_and_their_licence():
    for name in theme_names():
        theme = find_theme(name)
        assert all(font.is_file() for font in theme.fonts)
        assert theme.file("fonts/OFL.txt").read_text(encoding="utf-8").startswith("Copyright")


def test_comments_stay_in_the_theme_and_texts_on_the_page():
    sheet = """/* one */\na::after { content: "/* shown */"; }\n  b { color: red; }\n"""
    assert (
        without_comments(sheet) == """\na::after { content: "/* shown */"; }\nb { color: red; }\n"""
    )


def test_a_font_for_titles_stands_before_the_bold_one_and_is_not_needed():
    with_one, without = (find_theme(name).settings.type.properties for name in ("gala", "standard"))
    assert with_one["display"].split(", ")[1:] == [with_one["family"]]
    assert without["display"] == without["family"]
    assert [len(find_theme(name).faces) for name in ("gala", "standard")] == [3, 2]
