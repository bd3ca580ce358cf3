"""Pictures in `assets/`: what they hold is looked at, not only what they are called."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from resultsgen.files.opening import PICTURES, UnreadableError, file_bytes, names_in
from resultsgen.files.pictures import MEGAPIXEL, size_of
from resultsgen.meet.folder import Size
from resultsgen.meet.problems import Problem

NAME = re.compile(r"[A-Za-z0-9_-][A-Za-z0-9._-]*")
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
    return assets, sizes, [*problems, *_twice(assets), *_too_many(sizes)]


def _too_many(sizes: dict[str, Size]) -> Iterator[Problem]:
    """All pictures together are so large that it would take too long to write them anew."""
    whole = 0
    for name, size in sizes.items():
        whole += size.pixels
        if whole > MOST_PIXELS:
            most = f"{MOST_PIXELS // MEGAPIXEL:,} million"
            message = f"with those before it has more than {most} pixels; save them smaller"
            yield Problem(f"assets/{name}", 0, "", "picture-too-large", message)
            return


def _twice(names: Iterable[str]) -> Iterator[Problem]:
    """Pictures of one name but for the letter case: a stick or a Mac keeps only one of them."""
    first: dict[str, str] = {}
    for name in names:
        other = first.setdefault(name.casefold(), name)
        if other != name:
            message = f"is named as {other} but for the letter case; rename one of them"
            yield Problem(f"assets/{name}", 0, "", "picture-twice", message)


def _held(folder: Path, name: str) -> bytes:
    """What a picture holds; UnreadableError where the file is none that can be published."""
    if not NAME.fullmatch(name):
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
