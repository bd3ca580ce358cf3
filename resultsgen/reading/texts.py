"""Text of a stranger: files only in an encoding that is certain, cells with no sign that hides."""

from __future__ import annotations

import codecs
import re
import unicodedata
from collections.abc import Sequence
from pathlib import Path

from resultsgen.files.opening import UnreadableError, file_bytes
from resultsgen.files.workbooks import CONTROLS
from resultsgen.meet.problems import Problem

HIDDEN = re.compile(rf"{CONTROLS.pattern}|[\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]")
"""Control signs, those that override the direction of writing, halves of letters and no letters."""

CONTROL = re.compile(rf"{HIDDEN.pattern}|[\x0b\x0c\x1c-\x1f]")
"""The same in a text whose blanks stay as they are."""


def read_bytes(folder: Path, name: str) -> bytes | Problem:
    """What a file of the meet folder holds, or why it cannot be read."""
    try:
        return file_bytes(folder, name)
    except UnreadableError as refusal:
        return Problem(name, 0, "", refusal.code, str(refusal), name)


def read_text(folder: Path, name: str, encoding: str = "") -> str | Problem:
    """The text of a file without a byte order mark, or the line where it stops being text.

    *encoding* is what somebody says that it is written in.
    """
    held = read_bytes(folder, name)
    if isinstance(held, Problem):
        return held
    wide = held.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    if encoding and (wide or (not held.isascii() and _is_utf8(held))):
        message = f"is Unicode, and no {encoding}; take the encoding of this file out of meet.toml"
        return Problem(name, 0, "", "not-the-encoding", message, encoding)
    encoding = encoding or ("utf-16" if wide else "utf-8")
    held = held.removeprefix(codecs.BOM_UTF8)
    mend = "save the file as UTF-8 (in a spreadsheet: CSV UTF-8)"
    try:
        text = held.decode(encoding)
    except UnicodeDecodeError as error:
        line = held.count(b"\n", 0, error.start) + 1
        return Problem(name, line, "", "not-utf8", f"is not {encoding.upper()} text; {mend}")
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        return Problem(name, line, "", "not-utf8", f"holds bytes that are no text; {mend}")
    return text


def _is_utf8(held: bytes) -> bool:
    try:
        held.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def tidy(text: str) -> str:
    """A text with single blanks, composed letters and no sign that is hidden or turns others round.

    >>> tidy("  Ada   Bell ")
    'Ada Bell'
    """
    return " ".join(unicodedata.normalize("NFC", HIDDEN.sub("", text)).split())


def tidied(cells: Sequence[str]) -> list[str]:
    """Each text tidy; of 100,000 cells a few thousand differ, and only those are looked at."""
    different = set(cells)
    held = f"|{'|'.join(different)}|"
    plain_signs = held.isascii() and held.isprintable()
    if plain_signs and not any(blanks in held for blanks in ("  ", "| ", " |")):
        return list(cells)  # Nearly always, and quickly seen of all at once.
    known = {text: tidy(text) for text in different}
    return [known[text] for text in cells]
