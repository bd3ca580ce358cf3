"""What all pages share of the look: style sheet, fonts, icon, script, the card of shared links."""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Callable, Sequence
from functools import lru_cache
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from resultsgen import __version__
from resultsgen.files.cache import Cache, key_of
from resultsgen.files.manifest import Stand
from resultsgen.files.staging import write
from resultsgen.theme.fonts import characters, missing, signs, subset, told_apart
from resultsgen.theme.theme import SCREEN_STYLE, SCRIPTS, Colours, Theme
from resultsgen.views.site.head import MeetView
from resultsgen.website.to_come import STYLE_TO_COME, Pages, put_in

if TYPE_CHECKING:
    from PIL.ImageDraw import ImageDraw
    from PIL.ImageFont import FreeTypeFont


def write_styled(
    sites: Sequence[Pages],
    theme: Theme,
    kept: Cache,
    folder: Path,
    before: Path | None,
    known: dict[Stand, str] | None,
) -> dict[str, str]:
    """Write pages, and the style sheet with the letters that they need.

    Which these are is known once all pages are there; only then has the style sheet an address.
    By the SHA-256 of each page: what tells it but for what all pages print.
    """
    shown = {one for site in sites for page in site.filled.values() for one in page[1].split(" ")}
    came = signs(b" ".join(meant for site in sites for meant in site.told.values()))
    style = stylesheet(theme, cut_fonts(theme, " ".join((came, *sorted(shown))), kept)).encode()
    style_address = hashed_address("site.css", style)
    alike = {}
    for site in sites:
        told = {**site.told, STYLE_TO_COME.encode(): style_address.encode()}
        for address, (digest, _, pieces) in site.filled.items():
            alike[write(folder, address, put_in(pieces, told), before, known)] = digest
    write(folder, style_address, style, before, known)
    return alike


def hashed_address(name: str, data: bytes) -> str:
    """An address that changes with what is in the file, so that a browser may keep it for ever."""
    stem, _, ending = name.rpartition(".")
    return f"static/{stem}.{sha256(data).hexdigest()[:8]}.{ending}"


def cut_fonts(theme: Theme, shown: str, cache: Cache) -> tuple[bytes, ...]:
    """The fonts of the theme, cut down to the letters that are shown."""
    needed = characters([shown])
    regular, bold, *titles = (face.file for face in theme.faces)
    cut = [_cut_down(font, needed, cache) for font in (regular, bold)]
    for font in titles:  # Nothing of a title is set in other letters than it is written in.
        cut.append(_cut_down(font, needed & {*shown}, cache))
    return tuple(cut)


def _cut_down(font: Path, needed: frozenset[str], cache: Cache) -> bytes:
    """The font as browsers take it; cutting it down takes longer than all pages do."""
    key = key_of("font", __version__, told_apart(font), "".join(sorted(needed)))
    return cache.kept_or_made(key, lambda: subset(font, needed, "woff2"))


def stylesheet(theme: Theme, fonts: tuple[bytes, ...]) -> str:
    """The colours and fonts of the theme, its style sheet, and what its layers add to it.

    The fonts lie in the sheet: one that came later would move what is on the page already.
    """
    settings = theme.settings
    faces = "".join(
        f'@font-face{{font-family:"{face.family}";font-weight:{face.weight};'
        f'src:url("data:font/woff2;base64,{b64encode(font).decode()}") format("woff2")}}\n'
        for face, font in zip(theme.faces, fonts, strict=True)
    )
    names = ";".join(f"--{name}:{value}" for name, value in settings.type.properties.items())
    added = reversed(theme.texts("static/extra.css"))
    sheets = (theme.text("static/site.css"), *added)
    return "".join(
        (
            f":root{{color-scheme:light dark;{names};{_properties(settings.light)}}}\n",
            f"@media (prefers-color-scheme:dark){{:root{{{_properties(settings.dark)}}}}}\n",
            faces,
            *map(without_comments, sheets),
        )
    )


COMMENT = re.compile(r"""("[^"\n]*"|'[^'\n]*')|/[*].*?[*]/|\n\s+""", re.DOTALL)


@lru_cache(maxsize=16)
def without_comments(sheet: str) -> str:
    """The style sheet as browsers need it; what designers read of it stays in the theme."""
    return COMMENT.sub(lambda found: found[1] or "\n" * found[0].startswith("\n"), sheet)


def script(theme: Theme) -> str:
    """The scripts of the theme in one."""
    return "".join(theme.text(name) for name in SCRIPTS)


def screen_style(theme: Theme) -> str:
    """What the display in the hall is set with beside the style sheet: always dark."""
    dark = f":root{{color-scheme:dark;{_properties(theme.settings.dark)}}}\n"
    return dark + theme.text(SCREEN_STYLE)


def _properties(colours: Colours) -> str:
    """The colours as custom properties: --paper:#f6f7f5;--sheet:#ffffff"""
    return ";".join(
        f"--{name}:{value}" for name, value in colours.model_dump(by_alias=True).items()
    )


def favicon(colours: Colours) -> str:
    """Two bars of uneven height in the colours of the theme."""
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32">'
        f'<rect width="32" height="32" rx="7" fill="{colours.band}"/>'
        f'<path d="M6 11h20M6 21h12" stroke="{colours.on_band}" stroke-width="4" '
        'stroke-linecap="round"/></svg>\n'
    )


WIDTH, HEIGHT = 1200, 630
"""Pixels: the shape that those who show links ask for (common practice)."""

EDGE, TOP = 80, 60
TITLE_SIZES, TITLE_HEIGHT = (96, 84, 72, 60, 48), 270
TEXT_SIZE, TEXT_HEIGHT = 40, 58
SHADES = 32
"""From one colour to the other: enough for soft edges of letters, and a small file."""


def card(meet: MeetView, theme: Theme, kept: Cache) -> bytes | None:
    """The meet's name, days, place and status as PNG; None where the fonts lack a letter."""
    texts = (meet.title, meet.dates, meet.where, meet.status)
    if missing(theme.fonts, "".join(texts)):
        return None
    colours, fonts = theme.settings.light, map(told_apart, theme.fonts)
    key = key_of("card", __version__, *texts, colours.band, colours.on_band, *fonts)
    return kept.kept_or_made(key, lambda: _drawn(texts, theme))


def _drawn(texts: tuple[str, ...], theme: Theme) -> bytes:
    from PIL import Image, ImageDraw

    colours = theme.settings.light
    image = Image.new("RGB", (WIDTH, HEIGHT), colours.band)
    _write(ImageDraw.Draw(image), texts, theme)
    target = BytesIO()
    image.quantize(SHADES, dither=Image.Dither.NONE).save(target, "PNG", optimize=True)
    return target.getvalue()


def _write(pen: ImageDraw, texts: tuple[str, ...], theme: Theme) -> None:
    """The name as large as it fits, the rest below it, the status at the foot."""
    from PIL.ImageFont import Layout, truetype

    def type_of(font: int) -> Callable[[int], FreeTypeFont]:
        return lambda size: truetype(theme.fonts[font], size, layout_engine=Layout.BASIC)

    regular, bold = type_of(0), type_of(-1)
    title, *about, status = texts
    ink, ground = theme.settings.light.on_band, theme.settings.light.band
    size, lines = fitted(title, bold)
    y = TOP
    for line in lines:
        pen.text((EDGE, y), line, ink, bold(size))
        y += line_height(size)
    for line in filter(None, about):
        y += TEXT_HEIGHT
        pen.text((EDGE, y), cut(line, regular(TEXT_SIZE)), ink, regular(TEXT_SIZE), anchor="ls")
    foot, room = HEIGHT - TOP - 12, bold(TEXT_SIZE).getlength(status)
    pen.rounded_rectangle((EDGE, foot - 64, EDGE + room + 48, foot), 32, ink)
    pen.text((EDGE + 24, foot - 32), status, ground, bold(TEXT_SIZE), anchor="lm")


def line_height(size: int) -> int:
    """From one line of the title to the next."""
    return size * 5 // 4


def fitted(title: str, bold: Callable[[int], FreeTypeFont]) -> tuple[int, list[str]]:
    """The largest size at which the title fits, and its lines; at the smallest it is cut short."""
    for size in TITLE_SIZES:
        lines, most = wrapped(title, bold(size)), TITLE_HEIGHT // line_height(size)
        if len(lines) <= most and all(cut(line, bold(size)) == line for line in lines):
            break
    return size, [cut(line, bold(size)) for line in lines[:most]]


def wrapped(text: str, font: FreeTypeFont) -> list[str]:
    """Lines of whole words, each as long as the card is wide, where words allow it."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and cut(longer, font) == longer:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def cut(line: str, font: FreeTypeFont) -> str:
    """The line, or as much of it as the card has room for."""
    room = WIDTH - 2 * EDGE
    if font.getlength(line) <= room:
        return line
    kept = next(n for n in range(len(line), 0, -1) if font.getlength(line[:n] + "…") <= room)
    return line[:kept].rstrip() + "…"
