"""Pages in `pages/`, Markdown with a head in TOML between lines of `+++`; pictures in `assets/`.

`recap.fr.md` is the page `recap` in French. What pictures hold is looked at, not only what they are
called.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Collection
from itertools import accumulate
from pathlib import Path
from typing import Protocol

from pydantic import Field

from resultsgen.files.opening import PICTURES, UnreadableError, file_bytes, names_in
from resultsgen.files.pictures import MEGAPIXEL, size_of
from resultsgen.meet.names import LanguageCode
from resultsgen.meet.pages import Page, Size
from resultsgen.meet.problems import Problem, did_you_mean
from resultsgen.meet.values import Frozen, Number
from resultsgen.reading.texts import read_text
from resultsgen.reading.validating import validated

FENCE = "+++"
NAME = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*(?:\.([a-z]{2}))?\.md")


class InLanguages(Protocol):
    """What says in which languages pages are written."""

    @property
    def languages(self) -> tuple[LanguageCode, ...]:
        """The main one first."""


class Head(Frozen):
    title: str = Field(min_length=1)
    date: dt.date | None = None
    language: str = ""
    order: Number = 100
    club: str = ""


def read_pages(
    folder: Path, settings: InLanguages, clubs: Collection[str] | None
) -> tuple[tuple[Page, ...], list[Problem]]:
    """The pages in the order in which they are listed: by `order`, then by file name.

    *clubs*: those of the roster; None where there is none.
    """
    pages: list[Page] = []
    problems: list[Problem] = []
    for name in names_in(folder, "pages", ".md"):
        page, told = _read_page(folder, f"pages/{name}", settings, clubs)
        problems += told
        pages += [page] if page else []
    first: dict[tuple[str, str], str] = {}
    for page in pages:
        if (other := first.setdefault((page.slug, page.language), page.file)) != page.file:
            message = f"{other} is the same page in the same language"
            wrong = Problem(page.file, 1, "language", "page-twice", message, page.language)
            problems.append(wrong)
    return tuple(sorted(pages, key=lambda page: (page.order, page.file))), problems


def _read_page(
    folder: Path, file: str, settings: InLanguages, clubs: Collection[str] | None
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
    fences = [n for n, line in enumerate(lines) if line.strip() == FENCE]
    end = fences[1] if len(fences) > 1 and fences[0] == 0 else None
    if end is None:
        message = (
            f'begins with a head between two lines of {FENCE}:  {FENCE} / title = "..." / {FENCE}'
        )
        return None, [Problem(file, 1, "", "no-page-head", message)]
    head, problems = validated(Head, "\n".join(lines[1:end]), file, first_line=2)
    if head is None:
        return None, problems
    language = named[1] or head.language or settings.languages[0]
    wrong = []
    if head.language not in ("", language):
        message = f"the file's name says {language}, and its head says {head.language}"
        wrong = [("language", "unknown-language", message, language)]
    elif language not in settings.languages:
        message = f"the meet has no language {language}; it has {', '.join(settings.languages)}"
        wrong = [("language", "unknown-language", message, language)]
    if head.club and clubs is not None and head.club not in clubs:
        mend = did_you_mean(head.club, clubs) or "write it as the roster does"
        message = f"the roster has no club {head.club}; {mend}"
        wrong.append(("club", "unknown-club", message, head.club))
    for key, code, message, value in wrong:
        line = next((n for n, said in enumerate(lines, 1) if said.lstrip().startswith(key)), 1)
        problems.append(Problem(file, line, key, code, message, value))
    body = "\n".join(lines[end + 1 :])
    page = Page(file, head.title, body, end + 2, head.date, language, head.order, head.club)
    return page, problems


PICTURE_NAME = re.compile(r"[A-Za-z0-9_-][A-Za-z0-9._-]*")
LEFT_BY_SYSTEMS = frozenset(("thumbs.db", "desktop.ini"))
OF_PICTURES = {"not-a-file": "no-picture", "file-too-large": "picture-too-large"}
"""What a problem with a file is called where the file should be a picture."""

MOST_DRAWN = 3_000_000
"""Bytes of all drawings together."""

MOST_PIXELS = 1_000_000_000
"""Of all pictures together: a build writes each of them anew."""


def read_assets(folder: Path) -> tuple[dict[str, Path], dict[str, Size], list[Problem]]:
    """The pictures that may be published, with their sizes; those that may not are told."""
    assets: dict[str, Path] = {}
    sizes: dict[str, Size] = {}
    problems: list[Problem] = []
    left = MOST_DRAWN
    for name in names_in(folder, "assets"):
        if name.lower() in LEFT_BY_SYSTEMS:
            continue
        try:
            held = _held(folder, name)
            if not name.lower().endswith(".svg"):
                sizes[name] = size_of(held, Path(name).suffix.lower())
            else:
                left -= len(held)
                _check_drawing(held, left)
            assets[name] = folder / "assets" / name
        except UnreadableError as refusal:
            problems.append(Problem(f"assets/{name}", 0, "", refusal.code, str(refusal)))
    first: dict[str, str] = {}
    for name in assets:  # A stick or a Mac keeps only one of two that differ in letter case.
        if (other := first.setdefault(name.casefold(), name)) != name:
            message = f"is named as {other} but for the letter case; rename one of them"
            problems.append(Problem(f"assets/{name}", 0, "", "picture-twice", message))
    all_before = zip(sizes, accumulate(size.pixels for size in sizes.values()), strict=True)
    if beyond := next((name for name, pixels in all_before if pixels > MOST_PIXELS), ""):
        most = f"{MOST_PIXELS // MEGAPIXEL:,} million"
        message = f"with those before it has more than {most} pixels; save them smaller"
        problems.append(Problem(f"assets/{beyond}", 0, "", "picture-too-large", message))
    return assets, sizes, problems


def _held(folder: Path, name: str) -> bytes:
    """What a picture holds; UnreadableError where the file is none that can be published."""
    if not PICTURE_NAME.fullmatch(name):
        message = "name it with letters A-Z, digits, point, hyphen and underscore only"
        raise UnreadableError("picture-name", message)
    if Path(name).suffix.lower() not in PICTURES:
        message = f"is no picture of a kind that is published: {', '.join(PICTURES)}"
        raise UnreadableError("no-picture", message)
    try:
        return file_bytes(folder, f"assets/{name}")
    except UnreadableError as refusal:
        code = OF_PICTURES.get(refusal.code, refusal.code)
        raise UnreadableError(code, str(refusal)) from None


def _check_drawing(held: bytes, left: int) -> None:
    """A drawing draws and does nothing else; *left* is what drawings may still have in all."""
    from resultsgen.files.svg import safe_svg

    if left < 0:
        most = f"{MOST_DRAWN // 1_000_000} MB"
        message = f"with those before it there are more than {most} of SVG; save it as PNG"
        raise UnreadableError("picture-too-large", message)
    safe_svg(held)
