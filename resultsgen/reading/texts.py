"""Text of a stranger: files only in an encoding that is certain, cells with no sign that hides.

CSV that is neither UTF-8 nor UTF-16 is told with how it was probably written, and the words that
tell it. Nothing is read so until the settings say it: of few letters nobody can be certain.
"""

from __future__ import annotations

import codecs
import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from resultsgen.files.cell_texts import CONTROLS, unfit
from resultsgen.files.opening import UnreadableError, file_bytes
from resultsgen.meet.problems import Problem

HIDDEN = re.compile(rf"{CONTROLS.pattern}|[\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]")
"""Control signs, those that override the direction of writing, halves of letters and no letters."""

UNSEEN = re.compile(rf"{HIDDEN.pattern}|[\u00ad\u061c\u180e\u200b\u200e\u200f\u2060-\u2064\ufeff]")
"""The same and all that prints nothing and says nothing in a cell: it would make two of one name.
What joins or parts letters of a script (U+200C, U+200D) stays."""

CONTROL = re.compile(rf"{HIDDEN.pattern}|[\x0b\x0c\x1c-\x1f]")
"""The same in a text whose blanks stay as they are."""


def why_unfit(text: str) -> str:
    """Why a text whose blanks stay as they are is none to be printed; empty where it is one."""
    hidden = CONTROL.search(text)
    return f"has a hidden sign (U+{ord(hidden[0]):04X})" if hidden else unfit(text)


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
    """A text with single blanks, composed letters and no sign that prints nothing or turns others.

    >>> tidy("  Ada   Bell "), tidy("A\u200bda\u00a0Be\u00adll")
    ('Ada Bell', 'Ada Bell')
    """
    return " ".join(unicodedata.normalize("NFC", UNSEEN.sub("", text)).split())


def tidied(cells: Sequence[str]) -> list[str]:
    """Each text tidy; of 100,000 cells a few thousand differ, and only those are looked at."""
    different = set(cells)
    held = f"|{'|'.join(different)}|"
    plain_signs = held.isascii() and held.isprintable()
    if plain_signs and not any(blanks in held for blanks in ("  ", "| ", " |")):
        return list(cells)  # Nearly always, and quickly seen of all at once.
    known = {text: tidy(text) for text in different}
    return [known[text] for text in cells]


CANDIDATES = ("cp1252", "mac-roman", "cp850", "cp1250")
"""What spreadsheets of the countries whose languages we speak wrote and write, the usual first."""

RUN, WORD = re.compile(r'[^\s;,"]+'), re.compile(r"[\w€’–-]+")
LETTER = re.compile(r"[^\W\d_\x00-\x7f]")
SMALL = "àâæçéèêëîïôœùûüÿäößáíóúñ"
CAPITAL = "ÀÂÆÇÉÈÊËÎÏÔŒÙÛÜŸÄÖÁÍÓÚÑ"
UNLIKELY = re.compile(
    rf"(?<=[a-z{SMALL}])[{CAPITAL}]|(?<=\w)[{CAPITAL}](?=[a-z])|[^\x00-\x7f{SMALL}{CAPITAL}€’–]"
)
"""A capital beside small letters within a word, or no sign of French, German and Spanish."""

LOOKED_AT = 100_000
"""So many bytes of the lines that are not ASCII are looked at."""

SHOWN = 8
"""So many words are shown."""


def with_likely_encodings(folder: Path, problem: Problem) -> Problem:
    """The problem that a file is no Unicode, with what it may be and the lines to write then."""
    try:
        held = file_bytes(folder, problem.file)
    except UnreadableError:
        return problem
    likely = {} if b"\0" in held else likely_encodings(held)
    if not likely:
        return problem
    first, *others = (f"as {name} it has {', '.join(words)}" for name, words in likely.items())
    more = f" ({'; '.join(others)})" if others else ""
    message = (
        f"{problem.message}; or, {first}{more}: if these words are right, write in meet.toml  "
        f'[tables."{problem.file}"]  encoding = "{next(iter(likely))}"'
    )
    return replace(problem, message=message)


def likely_encodings(held: bytes) -> dict[str, list[str]]:
    """The encodings that a text may be in, the likeliest first, with the words that tell.

    >>> likely_encodings("1;Zoë;Müller".encode("cp1252"))["cp1252"]
    ['Zoë', 'Müller']
    """
    held = b"\n".join(line for line in held.splitlines() if not line.isascii())[:LOOKED_AT]
    texts: dict[str, str] = {}
    for name in CANDIDATES:
        try:
            text = held.decode(name)
        except UnicodeDecodeError:
            continue
        if text not in texts.values():
            texts[name] = text
    from charset_normalizer import from_bytes

    matches = from_bytes(held, cp_isolation=list(texts))
    found = [match.encoding.replace("_", "-") for match in matches]
    order = dict.fromkeys((*(name for name in found if name in texts), *texts))
    ranked = sorted(order, key=lambda name: len(UNLIKELY.findall(texts[name])))
    words = {name: dict.fromkeys(telling_words(texts[name])) for name in ranked}
    return {name: [word[:40] for word in words[name]][:SHOWN] for name in ranked}


def telling_words(text: str) -> Iterator[str]:
    """The words with letters beyond ASCII, and signs beyond it with what stands around them.

    >>> [*telling_words('7;"Zoë Vale";Ulm-Süd/TV;6 “a”')]
    ['Zoë', 'Ulm-Süd', '“a”']
    """
    for run in RUN.findall(text):
        if not run.isascii():
            yield from filter(LETTER.search, WORD.findall(run)) if LETTER.search(run) else (run,)
