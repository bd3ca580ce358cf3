"""Pictures in `assets/`: what they hold is looked at, not only what they are called."""

from __future__ import annotations

import re
from pathlib import Path

from resultsgen.problems import Problem
from resultsgen.reading.files import inside
from resultsgen.reading.svg import what_an_svg_must_not_hold

LARGEST = 5_000_000
NAME = re.compile(r"[A-Za-z0-9_-][A-Za-z0-9._-]*")
LEFT_BY_SYSTEMS = frozenset(("thumbs.db", "desktop.ini"))

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
    for path in sorted((folder / "assets").glob("*")):
        if path.name.startswith(".") or path.name.lower() in LEFT_BY_SYSTEMS:
            continue
        wrong = _wrong(folder, path)
        if wrong:
            code, message = wrong
            problems.append(Problem(f"assets/{path.name}", 0, "", code, message))
        else:
            assets[path.name] = path
    return assets, problems


def _wrong(folder: Path, path: Path) -> tuple[str, str] | None:
    """Why a file cannot be published as a picture: code and message; None where it can."""
    if inside(folder, f"assets/{path.name}") is None:
        return "outside-the-folder", "leads out of the meet folder; copy the picture itself here"
    if not path.is_file():
        return "no-picture", "is no file; put pictures directly into assets/"
    if not NAME.fullmatch(path.name):
        return "picture-name", "name it with letters A-Z, digits, point, hyphen and underscore only"
    kinds = (*FIRST_BYTES, ".svg")
    if path.suffix.lower() not in kinds:
        return "no-picture", f"is no picture of a kind that is published: {', '.join(kinds)}"
    if path.stat().st_size > LARGEST:
        return "picture-too-large", f"is larger than {LARGEST // 10**6} MB; make it smaller"
    return _wrong_inside(path)


def _wrong_inside(path: Path) -> tuple[str, str] | None:
    """What its bytes show."""
    kind, held = path.suffix.lower(), path.read_bytes()
    if kind == ".svg":
        found = what_an_svg_must_not_hold(held)
        return ("unsafe-picture", f"{found}; save it as plain SVG, or as PNG") if found else None
    if not FIRST_BYTES[kind].match(held):
        return "no-picture", f"is not a {kind[1:].upper()} file inside; save it again as one"
    return None
