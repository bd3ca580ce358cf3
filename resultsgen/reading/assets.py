"""Pictures in `assets/`: what they hold is looked at, not only what they are called."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from resultsgen.opening import PICTURES, UnreadableError, file_bytes, names_in
from resultsgen.problems import Problem
from resultsgen.harmless.svg import what_an_svg_must_not_hold

NAME = re.compile(r"[A-Za-z0-9_-][A-Za-z0-9._-]*")
LEFT_BY_SYSTEMS = frozenset(("thumbs.db", "desktop.ini"))
OF_PICTURES = {"not-a-file": "no-picture", "file-too-large": "picture-too-large"}
"""What a problem with a file is called where the file should be a picture."""

FIRST_BYTES = {
    ".png": re.compile(rb"\x89PNG\r\n\x1a\n"),
    ".jpg": re.compile(rb"\xff\xd8\xff"),
    ".jpeg": re.compile(rb"\xff\xd8\xff"),
    ".gif": re.compile(rb"GIF8[79]a"),
    ".webp": re.compile(rb"RIFF....WEBP", re.DOTALL),
}


def read_assets(folder: Path) -> tuple[dict[str, Path], list[Problem]]:
    """The pictures that may be published, by name; those that may not are told."""
    assets: dict[str, Path] = {}
    problems: list[Problem] = []
    for name in names_in(folder, "assets"):
        if name.lower() in LEFT_BY_SYSTEMS:
            continue
        wrong = _wrong(folder, name)
        if wrong:
            code, message = wrong
            problems.append(Problem(f"assets/{name}", 0, "", code, message))
        else:
            assets[name] = folder / "assets" / name
    return assets, [*problems, *_twice(assets)]


def _twice(names: Iterable[str]) -> Iterator[Problem]:
    """Pictures of one name but for the letter case: a stick or a Mac keeps only one of them."""
    first: dict[str, str] = {}
    for name in names:
        other = first.setdefault(name.casefold(), name)
        if other != name:
            message = f"is named as {other} but for the letter case; rename one of them"
            yield Problem(f"assets/{name}", 0, "", "picture-twice", message)


def _wrong(folder: Path, name: str) -> tuple[str, str] | None:
    """Why a file cannot be published as a picture: code and message; None where it can."""
    if not NAME.fullmatch(name):
        return "picture-name", "name it with letters A-Z, digits, point, hyphen and underscore only"
    kind = Path(name).suffix.lower()
    if kind not in PICTURES:
        return "no-picture", f"is no picture of a kind that is published: {', '.join(PICTURES)}"
    try:
        held = file_bytes(folder, f"assets/{name}")
    except UnreadableError as refusal:
        return OF_PICTURES.get(refusal.code, refusal.code), str(refusal)
    return _wrong_inside(kind, held)


def _wrong_inside(kind: str, held: bytes) -> tuple[str, str] | None:
    """What its bytes show."""
    if kind == ".svg":
        found = what_an_svg_must_not_hold(held)
        return ("unsafe-picture", f"{found}; save it as plain SVG, or as PNG") if found else None
    if not FIRST_BYTES[kind].match(held):
        return "no-picture", f"is not a {kind[1:].upper()} file inside; save it again as one"
    return None
