"""What is wrong with a theme: with its templates, and what one not trusted must not have."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from resultsgen.files.markup import wrong_in_sheet
from resultsgen.files.opening import is_there
from resultsgen.meet.problems import MeetProblems, Problem
from resultsgen.theme.theme import (
    SCREEN_SCRIPT,
    SCRIPTS,
    STANDARD,
    STYLES,
    Theme,
    ThemeError,
    text_of,
    themes_folder,
)

MOST_READ = 500_000
"""Bytes of all templates and style sheets of a theme that is not trusted: the standard theme has 90
kB."""


TRUST = "take it out, or trust the theme with --trust-theme"


def wrongs_of_theme(theme: Theme) -> Iterator[Problem]:
    """What is wrong with templates of a theme, and what one not trusted must not have."""
    try:
        yield from _wrongs(theme)
    except ThemeError as refusal:
        file = f"{theme.folders[0].name}/theme.toml"
        yield Problem(file, 0, "", "unknown-theme", str(refusal.args[0]))


def _wrongs(theme: Theme) -> Iterator[Problem]:
    if not theme.comes_along and not theme.trusted and _bytes_to_look_at(theme) > MOST_READ:
        message = f"its templates and style sheets have more than {MOST_READ // 1000} kB; shorten"
        file = f"{theme.folders[0].name}/theme.toml"
        yield Problem(file, 0, "", "file-too-large", f"{message} them, or trust the theme")
        return
    for part in () if theme.comes_along else ("site", "book"):
        environment = theme.environment(part)
        for name in dict.fromkeys(Path(name).name for name, _ in theme.templates(part)):
            try:
                environment.get_template(name)
            except MeetProblems as told:
                yield from told.problems
    if not theme.comes_along and not theme.trusted:
        yield from _unsafe_files(theme)


def _bytes_to_look_at(theme: Theme) -> int:
    """How much of a theme is read before anything is said of it."""
    templates = (data for part in ("site", "book") for _, data in theme.templates(part))
    styles = (text for name in STYLES for text in theme.texts(name))
    return sum(map(len, templates)) + sum(map(len, styles))


def _unsafe_files(theme: Theme) -> Iterator[Problem]:
    standard = themes_folder() / STANDARD
    for folder in theme.folders:
        for name in (*STYLES, *SCRIPTS, SCREEN_SCRIPT):
            if folder.parent == themes_folder() or not is_there(folder, name):
                continue
            text, wrong = text_of(folder, name), ""
            if name in STYLES:
                wrong = wrong_in_sheet(text)
            elif text != text_of(standard, name):
                wrong = "is a script, and not that of the theme standard"
            if wrong:
                yield Problem(f"{folder.name}/{name}", 0, "", "unsafe-theme", f"{wrong}; {TRUST}")
