"""The website: every page is a view shown by a template of the theme.

Links are relative and name their file, so that the folder works on any host, in any subfolder,
and from a USB stick.
"""

from __future__ import annotations

from pathlib import Path

from resultsgen.cache import Cache
from resultsgen.language import ENGLISH, Language
from resultsgen.results import Results
from resultsgen.site.crawlers import crawler_files
from resultsgen.site.look import favicon, font_files, hashed_address, script, stylesheet
from resultsgen.site.names import names_script
from resultsgen.site.pages import Subject
from resultsgen.site.rendering import STYLE_TO_COME, rendered_pages
from resultsgen.theme import Theme
from resultsgen.views.attachments import Download, RenderedPage
from resultsgen.views.site_map import addresses
from resultsgen.views.wording import wording


def write_site(
    results: Results,
    theme: Theme,
    folder: Path,
    books: tuple[Download, ...] = (),
    tables: tuple[Download, ...] = (),
    pages: tuple[RenderedPage, ...] = (),
    language: Language = ENGLISH,
    cache: Path | None = None,
) -> None:
    """Write every page and what pages need into *folder*."""
    words = wording(results.meet.settings, language)
    subject = Subject(results, words, theme, addresses(results), books, tables, pages)
    script_data, names = script(theme).encode(), names_script(subject).encode()
    made = {
        "script": hashed_address("site.js", script_data),
        "names": hashed_address("names.js", names),
    }
    shown = rendered_pages(subject, {"icon": favicon(theme.settings.light), **made})
    fonts = font_files(theme, shown, Cache(cache))
    style = stylesheet(theme, tuple(fonts)).encode()
    style_address = hashed_address("site.css", style)
    for address, text in shown.items():
        # Which letters the fonts need is known once all pages are there; only then has the style
        # sheet that names them an address.
        _write(folder / address, text.replace(STYLE_TO_COME, style_address).encode())
    scripts = {made["script"]: script_data, made["names"]: names}
    for address, data in {style_address: style, **scripts, **fonts}.items():
        _write(folder / address, data)
    for address, text in crawler_files(subject, tuple(shown)).items():
        _write(folder / address, text.encode())
    for name, file in results.meet.assets.items():
        _write(folder / "assets" / name, file.read_bytes())


def _write(path: Path, data: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
