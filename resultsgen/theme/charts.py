"""The pictures of site and books, drawn as SVG: places by rotation, and how marks lie.

Every shape has a class, which the style sheet of the site colours for light and dark, and the
theme's light colours as attributes, which hold in a book. What a colour says, a shape or a label
says too. All coordinates are whole numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import groupby
from xml.etree.ElementTree import Element, SubElement, tostring

from resultsgen.theme.theme import Colours, Theme
from resultsgen.views.lists.charts import Chart, Course, OrderChart, QrCode, Spread, SpreadChart

WIDTH = 400
"""So wide that letters of twelve units can still be read on a phone."""

QUIET = 4
"""The white edge of a code in modules, as its standard asks (ISO/IEC 18004)."""
LOWEST_PLACE = 15
"""Places below this are drawn on one line at the foot."""
LABELS = 128
"""The width kept for names to the right of the lines."""
LINE = 20
TOP = 26
DASHES = ("", "6 3", "2 3", "9 3 2 3")
"""So are the first four told apart without colour; the others are thin."""
ROW = 44
NAMES = 18
"""The height of the line with the name of an apparatus, above its marks."""


def svg(chart: Chart, theme: Theme) -> str:
    """The picture as an `svg` element, to stand in a page; all text in it is escaped."""
    colours = theme.settings.light
    if isinstance(chart, QrCode):
        return tostring(_code(chart), encoding="unicode")
    picture = _order(chart, colours) if isinstance(chart, OrderChart) else _spreads(chart, colours)
    picture.set("font-family", f"{theme.settings.type.family}, sans-serif")
    return tostring(picture, encoding="unicode")


def _picture(height: int, text: str, colours: Colours) -> Element:
    """An empty picture with its text."""
    box = f"0 0 {WIDTH} {height}"
    picture = Element(
        "svg",
        {"xmlns": "http://www.w3.org/2000/svg", "viewBox": box, "role": "img", "class": "chart"},
    )
    picture.attrib |= {"width": str(WIDTH), "height": str(height), "fill": colours.ink}
    SubElement(picture, "title").text = text
    return picture


def _write(
    into: Element, x: int, y: int, text: str, kind: str, anchor: str = "start", fill: str = ""
) -> None:
    """A word of the picture."""
    place = {"x": str(x), "y": str(y), "font-size": "12", "text-anchor": anchor}
    word = SubElement(into, "text", place | {"class": kind} | ({"fill": fill} if fill else {}))
    if kind == "own":
        word.set("font-weight", "700")
    word.text = text


def _path(into: Element, way: str, kind: str, stroke: str, width: str = "1") -> Element:
    """A line of the picture."""
    given = {"d": way, "class": kind, "stroke": stroke, "stroke-width": width, "fill": "none"}
    return SubElement(into, "path", given)


def _code(code: QrCode) -> Element:
    """The modules of a QR code line by line, black on white, with the quiet zone around them."""
    import segno

    rows = segno.make(code.address, error="m", micro=False, boost_error=False).matrix
    size, way = str(len(rows) + 2 * QUIET), []
    for y, row in enumerate(rows, start=QUIET):
        x = QUIET
        for dark, run in groupby(row):
            length = len(list(run))
            if dark:
                way.append(f"M{x} {y}h{length}v1h-{length}z")
            x += length
    box = {"xmlns": "http://www.w3.org/2000/svg", "viewBox": f"0 0 {size} {size}", "role": "img"}
    picture = Element("svg", box | {"class": "qr", "width": size, "height": size})
    SubElement(picture, "title").text = code.text
    SubElement(picture, "rect", {"width": size, "height": size, "fill": "#ffffff"})
    SubElement(picture, "path", {"d": "".join(way), "fill": "#000000"})
    return picture


# Places after each rotation.


def _order(chart: OrderChart, colours: Colours) -> Element:
    """Lines from place to place, the first four thick, each with its name at its end."""
    ends = _ends(chart.courses)
    places = [place for one in chart.courses for place in one.places if place is not None]
    foot = TOP + LOWEST_PLACE * LINE if _goes_low(chart) else _height(max(places, default=1))
    height = max(*ends, foot) + LINE
    picture = _picture(height, chart.text, colours)
    xs = _steps(len(chart.steps))
    for x, step in zip(xs, chart.steps, strict=True):
        _write(picture, x, 12, step, "quiet", "middle", colours.quiet)
        _path(picture, f"M{x} {TOP - 6}V{height - 6}", "grid", colours.line)
    for number, course in reversed(list(enumerate(chart.courses))):
        _course(picture, number, course, xs, ends[number], colours)
    return picture


def _goes_low(chart: OrderChart) -> bool:
    return any((place or 0) > LOWEST_PLACE for one in chart.courses for place in one.places)


def _steps(n: int) -> list[int]:
    """Where the steps stand, from left to right."""
    left, right = 24, WIDTH - LABELS
    return [left + (right - left) * step // max(n - 1, 1) for step in range(n)]


def _height(place: int) -> int:
    return TOP + (min(place, LOWEST_PLACE + 1) - 1) * LINE + 4


def _ends(courses: Sequence[Course]) -> list[int]:
    """The heights of the names: beside the last place, or below the name before."""
    found: list[int] = []
    for course in courses:
        place = next((one for one in reversed(course.places) if one is not None), 1)
        lowest = found[-1] + 14 if found else 0
        found.append(max(_height(place) + 4, lowest))
    return found


def _course(
    into: Element, number: int, course: Course, xs: list[int], end: int, colours: Colours
) -> None:
    """The line of one gymnast: gaps where there was nobody to compare with, dots at the places."""
    first_ones = number < len(DASHES)
    kind = f"course c{number}" if first_ones else "course"
    stroke = (
        (colours.accent, colours.signal, colours.through, colours.ink)[number]
        if (first_ones)
        else colours.quiet
    )
    points = [
        (x, _height(place)) if place is not None else None
        for x, place in zip(xs, course.places, strict=True)
    ]
    line = _path(into, _way(points), kind, stroke, "2.5" if first_ones else "1")
    if first_ones and DASHES[number]:
        line.set("stroke-dasharray", DASHES[number])
    dots = " ".join(f"M{x} {y}h0" for x, y in filter(None, points))
    _path(into, dots, kind, stroke, "7" if first_ones else "4").set("stroke-linecap", "round")
    place = next((str(one) for one in reversed(course.places) if one is not None), "")
    right = WIDTH - LABELS
    _write(into, right + 26, end, place, kind, "end", stroke)
    _write(into, right + 31, end, _short(course.name), "own" if number == 0 else "name")


def _way(points: Sequence[tuple[int, int] | None]) -> str:
    """M where a line begins, L where it goes on."""
    parts = []
    before = None
    for point in points:
        if point is not None:
            parts.append(f"{'L' if before else 'M'}{point[0]} {point[1]}")
        before = point
    return "".join(parts)


def _short(name: str) -> str:
    """A name as far as there is room."""
    return name if len(name) <= 16 else f"{name[:15].rstrip()}…"


# How marks lie.


def _spreads(chart: SpreadChart, colours: Colours) -> Element:
    """A row for each apparatus: every mark a fine stroke, the middle half a bar."""
    height = ROW * len(chart.rows) + 22
    picture = _picture(height, chart.text, colours)
    low, high = chart.scale[0][0], chart.scale[-1][0]
    for mark, text in chart.scale:
        x = _across(mark, low, high)
        _path(picture, f"M{x} 6V{height - 18}", "grid", colours.line)
        _write(picture, x, height - 4, text, "quiet", "middle", colours.quiet)
    for number, row in enumerate(chart.rows):
        _spread(picture, row, ROW * number, (low, high), colours)
    return picture


def _across(mark: int, low: int, high: int) -> int:
    return 16 + (WIDTH - 32) * (mark - low) // (high - low)


def _spread(into: Element, row: Spread, top: int, ends: tuple[int, int], colours: Colours) -> None:
    """One apparatus: its name, its marks, and the mark that stands out as a diamond."""
    middle = top + NAMES + 12
    _write(into, 2, top + 13, row.label, "name")
    way, first, last = _lie(row.marks, ends, middle)
    bar = {"x": str(first), "y": str(middle - 8), "width": str(max(last - first, 2))}
    SubElement(into, "rect", bar | {"height": "16", "class": "half", "fill": colours.wash})
    _path(into, way, "marks", colours.quiet)
    diamond = f"M{_across(row.own, *ends)} {middle - 8}l6 8l-6 8l-6 -8z"
    SubElement(into, "path", {"d": diamond, "class": "own", "fill": colours.accent})
    _write(into, WIDTH - 2, top + 13, row.value, "own", "end", colours.accent)


@lru_cache(maxsize=64)  # The marks of a field are drawn on the page of everybody in it.
def _lie(marks: tuple[int, ...], ends: tuple[int, int], middle: int) -> tuple[str, int, int]:
    """A stroke for each mark, and where the middle half of them begins and ends."""
    xs = sorted({_across(mark, *ends) for mark in marks})
    quarter, three = marks[len(marks) // 4], marks[-1 - len(marks) // 4]
    strokes = "".join(f"M{x} {middle - 5}v10" for x in xs)
    return strokes, _across(quarter, *ends), _across(three, *ends)
