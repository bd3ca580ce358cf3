"""Markdown pages: `pages/*.md` with a head in TOML between two lines of `+++`."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

from pydantic import Field

from resultsgen.meet import Frozen, MeetSettings, Page
from resultsgen.problems import Problem
from resultsgen.reading.files import read_utf8
from resultsgen.reading.validation import validated

FENCE = "+++"
NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*\.md")


class Head(Frozen):
    """The head of a page."""

    title: str = Field(min_length=1)
    date: dt.date | None = None
    language: str = ""
    order: int = 100


def read_pages(folder: Path, settings: MeetSettings) -> tuple[tuple[Page, ...], list[Problem]]:
    """The pages in the order in which they are listed: by `order`, then by file name."""
    pages: list[Page] = []
    problems: list[Problem] = []
    for path in sorted((folder / "pages").glob("*.md")):
        page, told = _read_page(folder, f"pages/{path.name}", settings)
        problems += told
        pages += [page] if page else []
    return tuple(sorted(pages, key=lambda page: (page.order, page.file))), problems


def _read_page(
    folder: Path, file: str, settings: MeetSettings
) -> tuple[Page | None, list[Problem]]:
    if not NAME.fullmatch(Path(file).name):
        message = (
            "the file's name is part of the page's address; "
            "name it with small letters, digits and single hyphens: day-one.md"
        )
        return None, [Problem(file, 0, "", "page-name", message)]
    held = read_utf8(folder, file)
    if isinstance(held, Problem):
        return None, [held]
    lines = held.decode().splitlines()
    end = _end_of_head(lines)
    if end is None:
        message = (
            f'begins with a head between two lines of {FENCE}:  {FENCE} / title = "..." / {FENCE}'
        )
        return None, [Problem(file, 1, "", "no-page-head", message)]
    head, problems = validated(Head, "\n".join(lines[1:end]), file, first_line=2)
    if head is None:
        return None, problems
    language = head.language or settings.languages[0]
    if language not in settings.languages:
        message = f"the meet has no language {language}; it has {', '.join(settings.languages)}"
        line = next(n for n, text in enumerate(lines, 1) if text.lstrip().startswith("language"))
        problems = [Problem(file, line, "language", "unknown-language", message, language)]
    body = "\n".join(lines[end + 1 :])
    return Page(file, head.title, body, end + 2, head.date, language, head.order), problems


def _end_of_head(lines: list[str]) -> int | None:
    """The position of the second fence; None where the head does not begin or end."""
    if not lines or lines[0].strip() != FENCE:
        return None
    fences = (n for n, line in enumerate(lines[1:], start=1) if line.strip() == FENCE)
    return next(fences, None)
