"""Pictures: what they show is in the results, and what is drawn stands where the number says."""

import re
from itertools import pairwise
from pathlib import Path
from types import SimpleNamespace
from xml.etree import ElementTree

import pytest
from folders import judged

from resultsgen.language import ENGLISH
from resultsgen.theme.charts import LOWEST_PLACE, WIDTH, svg
from resultsgen.theme.theme import find_theme, theme_names
from resultsgen.views.lists.charts import Course, OrderChart, Spread, SpreadChart, scale_of
from resultsgen.views.lists.spreads import among_all_marks, marks_of, spread_of_marks
from resultsgen.views.words.wording import Wording

EXAMPLE = Path(__file__).parent.parent / "example_meet"
SVG = "{http://www.w3.org/2000/svg}"
STANDARD = find_theme("standard")
COURSES = (
    Course("Ashby Una", (3, 2, 1)),
    Course("Birk <Eva> & Co", (1, 1, 2)),
    Course("Corvin Pia", (2, 3, 2)),
    Course("Dahl Ida", (9, 40, 4)),
    Course("Eck Lo", (None, 5, 5)),
)
ORDER = OrderChart("Told in words", ("1", "2", "3"), COURSES)


def drawn(chart, theme=STANDARD):
    """The picture, parsed; not well-formed text would raise."""
    return ElementTree.fromstring(svg(chart, theme))


def words(picture):
    """What is written in a picture."""
    return [one.text for one in picture.iter(f"{SVG}text")]


def test_a_picture_has_its_text_as_title():
    picture = drawn(ORDER)
    assert picture.attrib["role"] == "img"
    assert picture.find(f"{SVG}title").text == "Told in words"


def test_names_of_people_are_text_and_never_markup():
    assert "Birk <Eva> & Co" in words(drawn(ORDER))


def test_each_course_ends_with_its_place_and_name():
    told = words(drawn(ORDER))
    for course in COURSES:
        assert told[told.index(course.name) - 1] == str(course.places[-1])


def test_names_never_lie_on_each_other():
    """Corvin and Birk share place 2: their names stand below each other."""
    picture = drawn(ORDER)
    heights = sorted(
        int(one.attrib["y"])
        for one in picture.iter(f"{SVG}text")
        if one.text in {course.name for course in COURSES}
    )
    assert all(after - before >= 14 for before, after in pairwise(heights))


def test_a_long_name_is_whole_on_two_lines():
    name = "Konstantinopoulou-Papadimitriou Chrysanthi Anastasia"
    one, other = words(drawn(OrderChart("", ("1", "2"), (Course(name, (1, 1)),))))[-2:]
    assert f"{one} {other}" == name


def test_letters_of_a_font_that_was_exchanged_are_measured_anew(tmp_path):
    _, bold, *_ = STANDARD.fonts
    own, drawings = tmp_path / bold.name, []
    theme = SimpleNamespace(fonts=(own, own), settings=STANDARD.settings)
    for font in (bold, find_theme("bulletin").fonts[1]):
        own.write_bytes(font.read_bytes())
        drawings.append(svg(ORDER, theme))
    assert drawings[0] != drawings[1]


def test_margins_are_drawn_on_a_scale_and_written_before_the_names():
    courses = (Course("Ashby Una", (500, 0), "0.000"), Course("Birk Eva", (0, 1_000), "1.000"))
    chart = OrderChart("", ("1", "2"), courses, ((0, "0"), (1_000, "1"), (2_000, "2")))
    picture = drawn(chart)
    told = words(picture)
    assert told[told.index("Birk Eva") - 1] == "1.000"
    own = next(p for p in picture.iter(f"{SVG}path") if p.attrib["class"] == "course c1")
    first, last = (int(y) for y in re.findall(r"\d+ (\d+)", own.attrib["d"]))
    rules = [
        int(re.match(r"M\d+ (\d+)H", one.attrib["d"])[1])
        for one in picture.iter(f"{SVG}path")
        if "H" in one.attrib["d"]
    ]
    assert [first, last] == rules[:2]


def test_a_gap_is_left_where_nobody_was_compared():
    """Eck has no place after rotation 1, so the line begins at rotation 2."""
    lines = drawn(ORDER).iter(f"{SVG}path")
    ways = [one.attrib["d"] for one in lines if one.attrib["class"].startswith("course")]
    thin = [way for way in ways if "L" in way and way.count("L") == 1]
    assert len(thin) == 1
    assert not thin[0].startswith("M24 ")


def test_a_place_far_down_is_drawn_at_the_foot():
    picture = drawn(ORDER)
    lowest = max(
        int(y)
        for one in picture.iter(f"{SVG}path")
        if "course" in one.attrib["class"]
        for _, y in re.findall(r"[ML](\d+) (\d+)", one.attrib["d"])
    )
    assert lowest < int(picture.attrib["height"])
    one_higher = drawn(OrderChart("", ("1", "2"), (Course("A", (LOWEST_PLACE + 1, 1)),)))
    assert picture.attrib["height"] == one_higher.attrib["height"]


def test_the_first_four_differ_without_colour():
    lines = [
        one
        for one in drawn(ORDER).iter(f"{SVG}path")
        if re.search(r"course c\d", one.attrib["class"]) and "L" in one.attrib["d"]
    ]
    assert len({one.attrib.get("stroke-dasharray", "") for one in lines}) == len(lines) == 4


@pytest.mark.parametrize(
    ("marks", "scale"),
    [
        ([11_250, 13_900], (11_000, 12_000, 13_000, 14_000)),
        ([9_000, 9_100], (9_000, 9_100)),
        ([9_500, 9_500], (9_500, 9_600)),
        ([0, 15_000], (0, 5_000, 10_000, 15_000)),
    ],
)
def test_the_scale_is_round_and_encloses_all_marks(marks, scale):
    assert scale_of(marks) == scale


def test_a_mark_stands_where_the_scale_says():
    """12.000 lies in the middle between 11.000 and 13.000."""
    row = Spread("Vault", (11_000, 12_000, 13_000), 12_000, "12.000")
    chart = SpreadChart("", (row,), ((11_000, "11"), (13_000, "13")))
    diamond = next(p for p in drawn(chart).iter(f"{SVG}path") if p.attrib["class"] == "own")
    assert diamond.attrib["d"].startswith(f"M{WIDTH // 2} ")


def test_the_picture_of_a_competition_holds_every_mark():
    """Each apparatus: its best mark is named, and every mark has its stroke."""
    results = judged(EXAMPLE)
    one = results.competitions[0]
    own = [
        row
        for row in results.meet.mark_rows
        if (row.competition, row.vault) == (one.competition.id, 1) and row.mark is not None
    ]
    chart = spread_of_marks(marks_of(one, Wording()), Wording())
    for row, code in zip(chart.rows, one.by_apparatus, strict=True):
        marks = [entered.mark for entered in own if entered.apparatus == code]
        assert sorted(marks) == list(row.marks)
        assert row.value == ENGLISH.mark(max(marks))
        assert row.value in chart.text


def test_a_gymnast_is_told_with_the_own_mark():
    one = judged(EXAMPLE).competitions[0]
    line = one.all_around.lines[4]
    own = {r.apparatus: r.mark for r in line.routines if r}
    chart = among_all_marks(own, marks_of(one, Wording()), Wording())
    assert [row.own for row in chart.rows] == list(own.values())
    assert [row.value for row in chart.rows] == [ENGLISH.mark(mark) for mark in own.values()]


def test_a_mark_of_zero_squeezes_no_picture(meet_folder):
    """
    == meet.toml ==
    title = "Zero"
    [[competition]]
    id = "all"
    title = "All"
    discipline = "women"
    apparatus = ["BB"]
    == roster.csv ==
    bib,family_name
    1,Ashby
    2,Birk
    3,Cole
    4,Dale
    == marks.csv ==
    bib,BB
    1,10
    2,11
    3,12
    4,0
    """
    marks = marks_of(judged(meet_folder).competitions[0], Wording())
    chart = spread_of_marks(marks, Wording())
    assert chart.rows[0].marks == (10_000, 11_000, 12_000)
    assert chart.text.endswith("Marks of zero are left out of the picture.")
    assert among_all_marks({"BB": 0}, marks, Wording()) is None


def test_too_few_marks_make_no_picture(meet_folder):
    """
    == meet.toml ==
    title = "Two"
    [[competition]]
    id = "all"
    title = "All"
    discipline = "women"
    == roster.csv ==
    bib,family_name
    1,Ashby
    2,Birk
    == marks.csv ==
    bib,VT,UB,BB,FX
    1,10,10,10,10
    2,11,11,11,11
    """
    one = judged(meet_folder).competitions[0]
    assert spread_of_marks(marks_of(one, Wording()), Wording()) is None


@pytest.mark.parametrize("name", theme_names())
def test_a_picture_carries_the_colours_and_the_font_of_its_theme(name):
    theme = find_theme(name)
    picture = drawn(ORDER, theme)
    colours = theme.settings.light.model_dump().values()
    used = {
        value
        for one in picture.iter()
        for key, value in one.attrib.items()
        if key in ("fill", "stroke") and value != "none"
    }
    assert used <= set(colours)
    assert picture.attrib["font-family"].startswith(theme.settings.type.family)
