"""The pictures of site and books, drawn as SVG: places by rotation, and how marks lie.

Every shape has a class, which the style sheet of the site colours for light and dark, and the
theme's light colours as attributes, which hold in a book. What a colour says, a shape or a label
says too. All coordinates are whole numbers.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from html import escape
from itertools import groupby
from pathlib import Path

from resultsgen.theme.fonts import letter_widths
from resultsgen.theme.theme import Colours, Theme
from resultsgen.views.lists.charts import Chart, Course, OrderChart, QrCode, Spread, SpreadChart

WIDTH = 400
"""So wide that letters of twelve units can still be read on a phone."""

QUIET = 4
"""The white edge of a code in modules, as its standard asks (ISO/IEC 18004)."""
LOWEST_PLACE = 15
"""Places below this are drawn on one line at the foot."""
LINES = 150
"""The width that is kept for the lines at least."""
ONE_LINE = 160
"""A name wider than this is written on two lines."""
NAME = 14
"""The height of one line of a name."""
UNKNOWN = 900
"""The width, in thousandths of the size, of a letter that the font has not."""
LEFT = 24
LINE = 20
TOP = 26
DASHES = ("", "6 3", "2 3", "9 3 2 3")
"""So are the first four told apart without colour; the others are thin."""
ROW = 44
NAMES = 18
"""The height of the line with the name of an apparatus, above its marks."""


def svg(chart: Chart, theme: Theme) -> str:
    """The picture as an `svg` element, to stand in a page; all text in it is escaped."""
    if isinstance(chart, QrCode):
        return _code(chart)
    if isinstance(chart, OrderChart):
        return _order(chart, theme)
    return _spreads(chart, theme.settings.light, theme.settings.type.family)


def _tag(name: str, given: Mapping[str, object], held: str = "") -> str:
    """An element, with what it holds as that is written."""
    signs = [f' {key}="{_quoted(value)}"' for key, value in given.items()]
    return f"<{name}{''.join(signs)}{f'>{held}</{name}>' if held else ' />'}"


@lru_cache(maxsize=2**10)  # The classes, colours and places of shapes are few.
def _quoted(value: object) -> str:
    return escape(str(value), quote=False).replace('"', "&quot;")


def _svg(width: int, height: int, kind: str, text: str, more: Mapping[str, str], inner: str) -> str:
    """The whole picture, with what is said of it."""
    given = {"xmlns": "http://www.w3.org/2000/svg", "viewBox": f"0 0 {width} {height}"}
    size = {"role": "img", "class": kind, "width": width, "height": height}
    return _tag(
        "svg", {**given, **size, **more}, _tag("title", {}, escape(text, quote=False)) + inner
    )


def _picture(
    height: int, text: str, colours: Colours, family: str, shapes: list[str], width: int = WIDTH
) -> str:
    more = {"fill": colours.ink, "font-family": f"{family}, sans-serif"}
    return _svg(width, height, "chart", text, more, "".join(shapes))


def _write(
    into: list[str], x: int, y: int, text: str, kind: str, anchor: str = "start", fill: str = ""
) -> None:
    place = {"x": x, "y": y, "font-size": 12, "text-anchor": anchor, "class": kind}
    filled = {"fill": fill} if fill else {}
    bold = {"font-weight": "700"} if kind == "own" else {}
    into.append(_tag("text", {**place, **filled, **bold}, escape(text, quote=False)))


def _path(into: list[str], way: str, kind: str, stroke: str, width: str = "1", **more: str) -> None:
    given = {"d": way, "class": kind, "stroke": stroke, "stroke-width": width, "fill": "none"}
    into.append(_tag("path", given | {f"stroke-{name}": value for name, value in more.items()}))


def _code(code: QrCode) -> str:
    """The modules of a QR code line by line, black on white, with the quiet zone around them."""
    import segno

    rows = segno.make(code.address, error="m", micro=False, boost_error=False).matrix
    size, way = len(rows) + 2 * QUIET, []
    for y, row in enumerate(rows, start=QUIET):
        x = QUIET
        for dark, run in groupby(row):
            length = len(list(run))
            if dark:
                way.append(f"M{x} {y}h{length}v1h-{length}z")
            x += length
    ground = _tag("rect", {"width": size, "height": size, "fill": "#ffffff"})
    modules = _tag("path", {"d": "".join(way), "fill": "#000000"})
    return _svg(size, size, "qr", code.text, {}, ground + modules)


# Places, or points behind the leader, after each rotation.


@dataclass(frozen=True)
class Frame:
    """Where things stand in a picture of lines: heights, steps, and the names beside their ends."""

    chart: OrderChart
    font: Path
    colours: Colours

    @cached_property
    def letters(self) -> dict[str, int]:
        """How wide each letter is."""
        return letter_widths(self.font)

    @cached_property
    def names(self) -> list[list[str]]:
        """Each whole, on as many lines as it takes."""
        return [_lines(course.name, self.letters) for course in self.chart.courses]

    @cached_property
    def ends(self) -> list[str]:
        """What stands before the names."""
        return [one.end or str(_last(one) or "") for one in self.chart.courses]

    @cached_property
    def digits(self) -> int:
        """The width of what stands before the names."""
        return max((_wide(end, self.letters) for end in self.ends), default=0) + 6

    @cached_property
    def room(self) -> int:
        """The width of the names."""
        lines = (line for name in self.names for line in name)
        return max((_wide(line, self.letters) for line in lines), default=0)

    @cached_property
    def right(self) -> int:
        """Where the lines end."""
        return max(WIDTH - self.room - self.digits - 20, LEFT + LINES)

    @property
    def width(self) -> int:
        """The whole picture's; more than usual where a name asks for it."""
        return self.right + 20 + self.digits + self.room

    @cached_property
    def steps(self) -> list[int]:
        """Where the steps stand, from left to right."""
        between = self.right - LEFT
        gaps = max(len(self.chart.steps) - 1, 1)
        return [LEFT + between * step // gaps for step in range(len(self.chart.steps))]

    def height(self, value: int) -> int:
        """Where a place or a margin is drawn."""
        if not self.chart.scale:
            return TOP + (min(value, LOWEST_PLACE + 1) - 1) * LINE + 4
        rows = max(len(self.chart.courses), 8)
        return TOP + 4 + value * rows * LINE // self.chart.scale[-1][0]


def _order(chart: OrderChart, theme: Theme) -> str:
    """Lines from step to step, the first four thick, each with its name at its end."""
    frame, colours = Frame(chart, theme.fonts[1], theme.settings.light), theme.settings.light
    ends = _ends(frame)
    values = [value for one in chart.courses for value in one.places if value is not None]
    foot = frame.height(chart.scale[-1][0] if chart.scale else max(values, default=1))
    lowest = max((end + NAME * len(name) for end, name in zip(ends, frame.names, strict=True)))
    height = max(lowest - NAME, foot) + LINE
    picture: list[str] = []
    for margin, words in chart.scale:
        y = frame.height(margin)
        _write(picture, 0, y + 4, words, "quiet", fill=colours.quiet)
        _path(picture, f"M{LEFT} {y}H{frame.right}", "grid", colours.line)
    for x, step in zip(frame.steps, chart.steps, strict=True):
        _write(picture, x, 12, step, "quiet", "middle", colours.quiet)
        _path(picture, f"M{x} {TOP - 6}V{height - 6}", "grid", colours.line)
    for number in reversed(range(len(chart.courses))):
        _course(picture, number, frame, ends[number])
    family = theme.settings.type.family
    return _picture(height, chart.text, colours, family, picture, frame.width)


def _last(course: Course) -> int | None:
    return next((one for one in reversed(course.places) if one is not None), None)


def _ends(frame: Frame) -> list[int]:
    """The heights of the names: beside the end of the line, or below the name before."""
    found: list[int] = []
    lowest = 0
    for course, name in zip(frame.chart.courses, frame.names, strict=True):
        last = _last(course)
        found.append(max(frame.height(1 if last is None else last) + 4, lowest))
        lowest = found[-1] + NAME * len(name)
    return found


def _course(into: list[str], number: int, frame: Frame, end: int) -> None:
    """The line of one gymnast: gaps where there was nobody to compare with, dots at the steps."""
    first_ones, colours = number < len(DASHES), frame.colours
    kind = f"course c{number}" if first_ones else "course"
    stroke = (
        (colours.accent, colours.signal, colours.through, colours.ink)[number]
        if first_ones
        else colours.quiet
    )
    points = [
        (x, frame.height(value)) if value is not None else None
        for x, value in zip(frame.steps, frame.chart.courses[number].places, strict=True)
    ]
    dashes = {"dasharray": DASHES[number]} if first_ones and DASHES[number] else {}
    _path(into, _way(points), kind, stroke, "2.5" if first_ones else "1", **dashes)
    dots = " ".join(f"M{x} {y}h0" for x, y in filter(None, points))
    _path(into, dots, kind, stroke, "7" if first_ones else "4", linecap="round")
    if points[-1] and points[-1][1] != end - 4:
        way = f"M{frame.right + 4} {points[-1][1]}L{frame.right + 13} {end - 4}"
        _path(into, way, "lead", stroke)
    names = frame.right + 14 + frame.digits
    _write(into, names - 6, end, frame.ends[number], kind, "end", stroke)
    for at, words in enumerate(frame.names[number]):
        _write(into, names, end + NAME * at, words, "own" if number == 0 else "name")


def _way(points: Sequence[tuple[int, int] | None]) -> str:
    """M where a line begins, L where it goes on."""
    parts = []
    before = None
    for point in points:
        if point is not None:
            parts.append(f"{'L' if before else 'M'}{point[0]} {point[1]}")
        before = point
    return "".join(parts)


def _wide(words: str, widths: Mapping[str, int]) -> int:
    """How much room these words take at the size of the pictures, in a font as bold as any."""
    return sum(widths.get(letter, UNKNOWN) for letter in words) * 12 // 1000 + 1


def _lines(name: str, widths: Mapping[str, int]) -> list[str]:
    """The name on one line, or broken where its halves are most alike."""
    if _wide(name, widths) <= ONE_LINE or " " not in name:
        return [name]
    words = name.split()
    halves = ((" ".join(words[:n]), " ".join(words[n:])) for n in range(1, len(words)))
    return list(min(halves, key=lambda two: max(_wide(one, widths) for one in two)))


# How marks lie.


@lru_cache(maxsize=2**12)  # From build to build most are as they were.
def _spreads(chart: SpreadChart, colours: Colours, family: str) -> str:
    """A row for each apparatus: every mark a fine stroke, the middle half a bar."""
    picture: list[str] = []
    low, high = chart.scale[0][0], chart.scale[-1][0]
    if not chart.rows[0].label:
        _spread(picture, chart.rows[0], -NAMES, (low, high), colours)
        return _picture(ROW - NAMES, chart.text, colours, family, picture)
    height = ROW * len(chart.rows) + 22
    for mark, text in chart.scale:
        x = _across(mark, low, high)
        _path(picture, f"M{x} 6V{height - 18}", "grid", colours.line)
        _write(picture, x, height - 4, text, "quiet", "middle", colours.quiet)
    for number, row in enumerate(chart.rows):
        _spread(picture, row, ROW * number, (low, high), colours)
    return _picture(height, chart.text, colours, family, picture)


def _across(mark: int, low: int, high: int) -> int:
    return 16 + (WIDTH - 32) * (mark - low) // (high - low)


def _spread(
    into: list[str], row: Spread, top: int, ends: tuple[int, int], colours: Colours
) -> None:
    """One apparatus: its name, its marks, and the mark that stands out as a diamond."""
    middle = top + NAMES + 12
    if row.label:
        _write(into, 2, top + 13, row.label, "name")
        _write(into, WIDTH - 2, top + 13, row.value, "own", "end", colours.accent)
    way, first, last = _lie(row.marks, ends, middle)
    bar = {"x": first, "y": middle - 8, "width": max(last - first, 2), "height": 16}
    into.append(_tag("rect", bar | {"class": "half", "fill": colours.wash}))
    _path(into, way, "marks", colours.quiet)
    diamond = f"M{_across(row.own, *ends)} {middle - 8}l6 8l-6 8l-6 -8z"
    into.append(_tag("path", {"d": diamond, "class": "own", "fill": colours.accent}))


@lru_cache(maxsize=64)  # The marks of a field are drawn on the page of everybody in it.
def _lie(marks: tuple[int, ...], ends: tuple[int, int], middle: int) -> tuple[str, int, int]:
    """A stroke for each mark, and where the middle half of them begins and ends."""
    xs = sorted({_across(mark, *ends) for mark in marks})
    quarter, three = marks[len(marks) // 4], marks[-1 - len(marks) // 4]
    strokes = "".join(f"M{x} {middle - 5}v10" for x in xs)
    return strokes, _across(quarter, *ends), _across(three, *ends)
