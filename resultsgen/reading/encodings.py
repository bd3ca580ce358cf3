"""CSV that is neither UTF-8 nor UTF-16: how it was probably written, with the words that tell.

Nothing is read so until the settings say it: of few letters nobody can be certain.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from resultsgen.files.opening import UnreadableError, file_bytes
from resultsgen.meet.problems import Problem

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
