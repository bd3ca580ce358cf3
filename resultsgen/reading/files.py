"""Files of the meet folder: never one outside it, and text only in an encoding that is certain."""

from __future__ import annotations

import codecs
from pathlib import Path

from resultsgen.problems import Problem


def inside(folder: Path, name: str) -> Path | None:
    """The file of that name in the meet folder; None where it would lie outside."""
    path = folder / name
    if Path(name).is_absolute() or not path.resolve().is_relative_to(folder.resolve()):
        return None
    return path


def read_bytes(folder: Path, name: str) -> bytes | Problem:
    """What a file of the meet folder holds, or why it cannot be read."""
    path = inside(folder, name)
    if path is None:
        return Problem(
            name, 0, "", "outside-the-folder", "lies outside the meet folder; copy it into it", name
        )
    if not path.is_file():
        return Problem(name, 0, "", "no-such-file", _missing(folder, name))
    try:
        return path.read_bytes()
    except OSError as error:
        return Problem(name, 0, "", "no-such-file", f"cannot be read: {error.strerror}")


def read_utf8(folder: Path, name: str) -> bytes | Problem:
    """The text of a file as UTF-8 without a byte order mark, whatever it was written in."""
    held = read_bytes(folder, name)
    if isinstance(held, Problem):
        return held
    for mark, encoding in ((codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16")):
        if held.startswith(mark):
            return _decoded(name, held, encoding)
    held = held.removeprefix(codecs.BOM_UTF8)
    if held.isascii() and b"\0" not in held:
        return held
    checked = _decoded(name, held, "utf-8")
    return checked if isinstance(checked, Problem) else held


def _decoded(name: str, held: bytes, encoding: str) -> bytes | Problem:
    """The bytes as UTF-8, or the line where they stop being text."""
    mend = "save the file as UTF-8 (in a spreadsheet: CSV UTF-8)"
    try:
        text = held.decode(encoding)
    except UnicodeDecodeError as error:
        line = held.count(b"\n", 0, error.start) + 1
        return Problem(name, line, "", "not-utf8", f"is not {encoding.upper()} text; {mend}")
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        return Problem(name, line, "", "not-utf8", f"holds bytes that are no text; {mend}")
    return text.encode()


def _missing(folder: Path, name: str) -> str:
    """That a file is missing, and which ones of its kind there are."""
    kinds = {".csv", ".tsv", ".txt", ".xlsx", ".xlsm", ".ods"}
    kinds = kinds if Path(name).suffix.lower() in kinds else {Path(name).suffix.lower()}
    there = sorted(
        path.name for path in folder.glob("*") if path.suffix.lower() in kinds and path.is_file()
    )
    beside = f"; in the folder there are {', '.join(there)}" if there else ""
    return f"is missing; add it, or name another under [files] in meet.toml{beside}"
