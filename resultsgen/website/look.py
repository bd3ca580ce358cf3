"""What all pages share of the look: the style sheet, the fonts and the icon, made from a theme."""

from __future__ import annotations

from base64 import b64encode
from hashlib import sha256
from pathlib import Path

from resultsgen import __version__
from resultsgen.files.cache import Cache, key_of
from resultsgen.theme.fonts import characters, subset
from resultsgen.theme.theme import SCRIPTS, Colours, Theme


def hashed_address(name: str, data: bytes) -> str:
    """An address that changes with what is in the file, so that a browser may keep it for ever."""
    stem, _, ending = name.rpartition(".")
    return f"static/{stem}.{sha256(data).hexdigest()[:8]}.{ending}"


def cut_fonts(theme: Theme, shown: dict[str, str], cache: Cache) -> tuple[bytes, ...]:
    """The regular and the bold font, cut down to the letters of all pages."""
    needed = characters(shown.values())
    return tuple(_cut_down(font, needed, cache) for font in theme.fonts)


def _cut_down(font: Path, needed: frozenset[str], cache: Cache) -> bytes:
    """The font as browsers take it; cutting it down takes longer than all pages do."""
    key = key_of("font", __version__, font.read_bytes(), "".join(sorted(needed)))
    if kept := cache.get(key):
        return kept
    made = subset(font, needed, "woff2")
    cache.put(key, made)
    return made


def stylesheet(theme: Theme, fonts: tuple[bytes, ...]) -> str:
    """The colours and fonts of the theme, its style sheet, and what its layers add to it.

    The fonts lie in the sheet: one that came later would move what is on the page already.
    """
    settings = theme.settings
    faces = "".join(
        f'@font-face{{font-family:"{settings.type.family}";font-weight:{weight};'
        f'src:url("data:font/woff2;base64,{b64encode(font).decode()}") format("woff2")}}\n'
        for font, weight in zip(fonts, ("400", "700"), strict=False)
    )
    added = reversed(theme.texts("static/extra.css"))
    sheets = (theme.text("static/site.css"), *added)
    return "".join(
        (
            f':root{{color-scheme:light dark;--family:"{settings.type.family}";',
            f"{_properties(settings.light)}}}\n",
            f"@media (prefers-color-scheme:dark){{:root{{{_properties(settings.dark)}}}}}\n",
            faces,
            *sheets,
        )
    )


def script(theme: Theme) -> str:
    """The scripts of the theme in one."""
    return "".join(theme.text(name) for name in SCRIPTS)


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
