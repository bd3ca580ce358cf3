"""Markdown pages: `pages/*.md` with a head in TOML between two lines of `+++`.

`recap.fr.md` is the page `recap` in French.
"""

from __future__ import annotations

import datetime as dt
import difflib
import re
from collections.abc import Collection, Iterator
from pathlib import Path

from pydantic import Field

from resultsgen.files.opening import names_in
from resultsgen.meet.folder import Page
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import Frozen, MeetSettings
from resultsgen.reading.settings import validated
from resultsgen.reading.texts import read_text

FENCE = "+++"
NAME = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*(?:\.([a-z]{2}))?\.md")


class Head(Frozen):
    """The head of a page."""

    title: str = Field(min_length=1)
    date: dt.date | None = None
    language: str = ""
    order: int = 100
    club: str = ""


def read_pages(
    folder: Path, settings: MeetSettings, clubs: Collection[str]
) -> tuple[tuple[Page, ...], list[Problem]]:
    """The pages in the order in which they are listed: by `order`, then by file name."""
    pages: list[Page] = []
    problems: list[Problem] = []
    for name in names_in(folder, "pages", ".md"):
        page, told = _read_page(folder, f"pages/{name}", settings, clubs)
        problems += told
        pages += [page] if page else []
    problems += _told_twice(pages)
    return tuple(sorted(pages, key=lambda page: (page.order, page.file))), problems


def _told_twice(pages: list[Page]) -> Iterator[Problem]:
    """A page may be there once in each language."""
    first: dict[tuple[str, str], str] = {}
    for page in pages:
        other = first.setdefault((page.slug, page.language), page.file)
        if other != page.file:
            message = f"{other} is the same page in the same language"
            yield Problem(page.file, 1, "language", "page-twice", message, page.language)


def _read_page(
    folder: Path, file: str, settings: MeetSettings, clubs: Collection[str]
) -> tuple[Page | None, list[Problem]]:
    named = NAME.fullmatch(Path(file).name)
    if not named:
        message = (
            "the file's name is part of the page's address; "
            "name it with small letters, digits and single hyphens: day-one.md, day-one.fr.md"
        )
        return None, [Problem(file, 0, "", "page-name", message)]
    text = read_text(folder, file)
    if isinstance(text, Problem):
        return None, [text]
    lines = text.splitlines()
    end = _end_of_head(lines)
    if end is None:
        message = (
            f'begins with a head between two lines of {FENCE}:  {FENCE} / title = "..." / {FENCE}'
        )
        return None, [Problem(file, 1, "", "no-page-head", message)]
    head, problems = validated(Head, "\n".join(lines[1:end]), file, first_line=2)
    if head is None:
        return None, problems
    language = named[1] or head.language or settings.languages[0]
    message = _wrong_language(language, head, settings)
    if message:
        line = _line_of("language", lines)
        problems = [Problem(file, line, "language", "unknown-language", message, language)]
    if head.club and head.club not in clubs:
        near = difflib.get_close_matches(head.club, clubs, n=1)
        mend = f"did you mean {near[0]}?" if near else "write it as the roster does"
        message = f"the roster has no club {head.club}; {mend}"
        problems.append(
            Problem(file, _line_of("club", lines), "club", "unknown-club", message, head.club)
        )
    body = "\n".join(lines[end + 1 :])
    page = Page(file, head.title, body, end + 2, head.date, language, head.order, head.club)
    return page, problems


def _line_of(key: str, lines: list[str]) -> int:
    """The line of the head on which a key stands; the first where it is not there."""
    return next((n for n, text in enumerate(lines, 1) if text.lstrip().startswith(key)), 1)


def _wrong_language(language: str, head: Head, settings: MeetSettings) -> str:
    if head.language not in ("", language):
        return f"the file's name says {language}, and its head says {head.language}"
    if language not in settings.languages:
        return f"the meet has no language {language}; it has {', '.join(settings.languages)}"
    return ""


def _end_of_head(lines: list[str]) -> int | None:
    """The position of the second fence; None where the head does not begin or end."""
    if not lines or lines[0].strip() != FENCE:
        return None
    fences = (n for n, line in enumerate(lines[1:], start=1) if line.strip() == FENCE)
    return next(fences, None)
