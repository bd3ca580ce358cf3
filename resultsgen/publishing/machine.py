"""What this machine has and lacks for making books, and what to install.

The website and the tables need nothing that Python's packages do not bring.
"""

from __future__ import annotations

import importlib.metadata
import os
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

from resultsgen.books.press import PressError, RendererMissingError
from resultsgen.books.press.renderer import (
    can_join,
    explain_missing_renderer,
    has_subsetter,
    installed,
)
from resultsgen.books.press.workers import BookLook, PressJob, Workers
from resultsgen.files.cache import VARIABLE, cache_folder, only_ours
from resultsgen.theme import fonts
from resultsgen.theme.theme import find_theme

SUBSETTER = """without it books take longer to make and differ in bytes from machine to machine:
  Debian, Ubuntu:  sudo apt install libharfbuzz-subset0
  Fedora:          sudo dnf install harfbuzz
  macOS:           brew install harfbuzz"""

TRIAL = '<html lang="en"><head><title>A</title></head><body><p>Aa 13.700</p></body></html>'
STYLE = '@font-face {{ font-family: "Trial"; src: url(asset:{0}) }} html {{ font-family: "Trial" }}'


@dataclass(frozen=True)
class Finding:
    """One thing that books need: whether it is there, and what follows if not."""

    state: Literal["ready", "slower", "missing"]
    what: str
    advice: str = ""


def renderer() -> Finding:
    """The package that renders, and the system library Pango that it needs."""
    if missing := explain_missing_renderer():
        return Finding("missing", "the renderer of the books", missing)
    return Finding("ready", f"the renderer of the books: weasyprint {_version('weasyprint')}")


def joining() -> Finding:
    """The versions of the renderer whose pages can be joined from units."""
    if can_join():
        return Finding("ready", "books are joined from units")
    advice = (
        f"{installed()}: books are rendered in one piece, as with --plain-books; to change that:"
    )
    wanted = '  python -m pip install "weasyprint>=70,<71" "pydyf>=0.13,<0.14"'
    return Finding("slower", "books are joined from units", f"{advice}\n{wanted}")


def subsetter() -> Finding:
    """The library that makes fonts small."""
    if has_subsetter():
        return Finding("ready", "the library that makes fonts small: harfbuzz-subset")
    return Finding("slower", "the library that makes fonts small: harfbuzz-subset", SUBSETTER)


def typefaces() -> Finding:
    """The fonts of the standard theme."""
    theme = find_theme("standard")
    lacking = fonts.missing(theme.fonts, "AÇŐΔДñ−")
    names = ", ".join(font.name for font in theme.fonts)
    if lacking:
        return Finding("missing", f"fonts: {names}", f"they have no {' '.join(lacking)}")
    return Finding("ready", f"fonts with Latin, Greek and Cyrillic letters: {names}")


def kept() -> Finding:
    """The folder in which rendered pages are kept."""
    folder = cache_folder()
    if folder is None:
        advice = f"nothing is kept, as {VARIABLE} says or for want of a home; it can name a folder"
        return Finding("slower", "the cache folder", advice)
    if not only_ours(folder):
        advice = f"others may write there, so it is not used; {VARIABLE} can name another folder"
        return Finding("slower", f"the cache folder: {folder}", advice)
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            size = sum(path.stat().st_size for path in folder.glob("*/*"))
    except OSError as problem:
        advice = f"{problem.strerror}; {VARIABLE} can name another folder"
        return Finding("slower", f"the cache folder: {folder}", advice)
    return Finding("ready", f"the cache folder: {folder} ({size / 1e6:.1f} MB)")


def cores() -> Finding:
    """How many pages are rendered at a time."""
    return Finding("ready", f"processes at a time: {os.cpu_count() or 1}")


def trial() -> Finding:
    """A page that is really rendered, in a process of its own."""
    font = find_theme("standard").fonts[0]
    small = fonts.subset(font, fonts.characters([TRIAL]), "ttf")
    look = BookLook((STYLE.format("trial.ttf"),), {"trial.ttf": ("font/ttf", small)})
    try:
        with Workers(look, 1) as press:
            ((_, pdf),) = press.rendered([PressJob("a trial page", TRIAL)])
    except RendererMissingError:
        return Finding("missing", "a trial page", "there is no renderer")
    except PressError as problem:
        return Finding("missing", "a trial page", str(problem))
    return Finding("ready", f"a trial page: {len(pdf)} bytes")


NEEDS: tuple[Callable[[], Finding], ...] = (
    renderer, joining, subsetter, typefaces, kept, cores, trial,
)  # fmt: skip


def findings() -> Iterator[Finding]:
    """What there is and what is missing, one after the other."""
    return (need() for need in NEEDS)


def _version(package: str) -> str:
    try:
        return importlib.metadata.version(package)
    except importlib.metadata.PackageNotFoundError:
        return "missing"
