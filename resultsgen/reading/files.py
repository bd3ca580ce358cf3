"""Files of the meet folder, and text only in an encoding that is certain."""

from __future__ import annotations

import codecs
from pathlib import Path

from resultsgen.files.opening import UnreadableError, file_bytes
from resultsgen.meet.problems import Problem


def read_bytes(folder: Path, name: str) -> bytes | Problem:
    """What a file of the meet folder holds, or why it cannot be read."""
    try:
        return file_bytes(folder, name)
    except UnreadableError as refusal:
        return Problem(name, 0, "", refusal.code, str(refusal), name)


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
