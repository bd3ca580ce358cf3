"""What a PDF says: the text of its pages by the letters of its fonts, and whatever else it holds.

Only what this takes is read of the format. A stream that is packed otherwise than with zlib, or a
file that is encrypted, is read as it stands.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import NamedTuple

from resultsgen.privacy.contents import PART, Unpacking, between

OBJECT = re.compile(rb"(\d{1,10})\s{1,3}0\s{1,3}obj\b")
PACK = re.compile(rb"/N\s+\d+\s*/First\s+(\d+)")
LETTERS_OF_A_FONT = re.compile(rb"/ToUnicode\s+(\d+)\s+0\s+R")
NAMED = re.compile(rb"/([^\s/<>\[\]()]+)\s+(\d+)\s+0\s+R")

DIGITS = rb"<([0-9a-fA-F\s]*)>"
CHARACTER = re.compile(DIGITS + rb"\s*" + DIGITS)
RANGE = re.compile(DIGITS + rb"\s*" + DIGITS + rb"\s*(?:" + DIGITS + rb"|\[([^\[\]]*)\])")
MOST_LETTERS = 0x20000
"""Of a font."""

# Each of these takes whatever it begins with to its end, so that no text is looked at twice.
STRING = rb"(?<!<)<(?!<)[0-9a-fA-F\s]*+>?|\((?:\\.|[^\\()])*+\)?"
ANY_STRING = re.compile(STRING, re.DOTALL)
WRITTEN = re.compile(
    rb"/(?P<font>[^\s/<>\[\]()]++)\s++[\d.]++\s++Tf"
    rb"|\[(?P<pieces>(?:" + STRING + rb"|[^\[\]<(])*+)\]?"
    rb"|(?P<string>" + STRING + rb")\s*+(?P<shown>Tj|'|\")?"
    rb"|(?P<moved>\bT[dDm*]|\bET\b)",
    re.DOTALL,
)
A_SPACE = re.compile(rb"-(?:[2-9]\d\d|\d{4,})[\d.]*")
"""A move between letters by a fifth of their size; two words need no space then."""

ESCAPE = re.compile(rb"\\([0-7]{1,3}|\r?\n|.)", re.DOTALL)


class Alphabet(NamedTuple):
    """What the codes of a font stand for, and how many bytes one has; 0 where it is not said."""

    letters: Mapping[bytes, str]
    width: int

    def shown(self, codes: bytes) -> str:
        """What codes show."""
        if not self.width:
            return codes.decode("latin-1")
        places = range(0, len(codes), self.width)
        return "".join(self.letters.get(codes[at : at + self.width], " ") for at in places)


NOT_SAID = Alphabet({}, 0)


def pdf_texts(data: bytes, unpacking: Unpacking) -> Iterator[str]:
    """The text of each page or piece of one, then every other string, then other streams."""
    before, *parts = OBJECT.split(data)
    objects: dict[bytes, bytes] = {}
    streams: dict[bytes, bytes] = {}
    for number, part in zip(parts[::2], parts[1::2], strict=True):
        objects[number], _, rest = part.partition(b"stream")
        if stream := rest.rpartition(b"endstream")[0].lstrip(b"\r\n"):
            streams[number] = held = unpacking.unpacked(stream) or stream
            unpacking.take(len(held))
            objects |= _packed(objects[number], held)
    fonts, tables = _fonts(objects, streams)
    for number, stream in streams.items():
        if b"Tf" in stream and b"BT" in stream:
            yield "".join(_written(stream, fonts))
        elif number not in tables and not PACK.search(objects[number]):
            yield from unpacking.contents(stream)
    yield PART.join(
        _text(string) for body in objects.values() for string in ANY_STRING.findall(body)
    )
    yield PART.join(objects[number].decode("latin-1") for number in parts[::2])
    yield before.decode("latin-1")


def _packed(body: bytes, stream: bytes) -> dict[bytes, bytes]:
    """The objects that a stream packs, by their numbers."""
    found = PACK.search(body)
    if not found:
        return {}
    first = int(found[1])
    told = stream[:first].split()
    places = [int(place) for place in told[1::2] if place.isdigit()] + [len(stream) - first]
    held = (stream[first + start : first + end] for start, end in pairwise(places))
    return dict(zip(told[::2], held, strict=False))


def _fonts(
    objects: Mapping[bytes, bytes], streams: Mapping[bytes, bytes]
) -> tuple[dict[bytes, Alphabet], set[bytes]]:
    """The alphabet of each font by the name that pages have for it, and which streams tell it."""
    found = ((number, LETTERS_OF_A_FONT.search(body)) for number, body in objects.items())
    tell = {number: letters[1] for number, letters in found if letters}
    letters = {number: _alphabet(streams.get(table, b"")) for number, table in tell.items()}
    named = {
        name: letters[number]
        for name, number in NAMED.findall(b"\n".join(objects.values()))
        if number in letters
    }
    return named, set(tell.values())


def _alphabet(table: bytes) -> Alphabet:
    """What each code of a font stands for, by its table."""
    found = {
        bytes.fromhex(code.decode()): _utf_16(letter)
        for part in between(table, b"beginbfchar", b"endbfchar")
        for code, letter in CHARACTER.findall(part)
    }
    left = MOST_LETTERS
    for part in between(table, b"beginbfrange", b"endbfrange"):
        for first, last, letter, each in RANGE.findall(part):
            told = [_utf_16(letter) for letter in re.findall(DIGITS, each)]
            many = min(int(last, 16) - int(first, 16) + 1, left)
            left -= max(many, 0)
            for rank in range(many):
                code = (int(first, 16) + rank).to_bytes(max(len(first) // 2, 1))
                start = _utf_16(letter)
                next_one = start[:-1] + chr(ord(start[-1]) + rank) if start else ""
                found[code] = told[rank] if rank < len(told) else next_one
    return Alphabet(found, max(map(len, found), default=0))


def _utf_16(digits: bytes) -> str:
    return bytes.fromhex(digits.decode()).decode("utf-16-be", "ignore")


def _written(stream: bytes, fonts: Mapping[bytes, Alphabet]) -> Iterator[str]:
    """What a page shows, in the order in which it is written; other strings stand apart."""
    font = NOT_SAID
    for found in WRITTEN.finditer(stream):
        if found["font"]:
            font = fonts.get(found["font"], NOT_SAID)
        elif found["pieces"] is not None:
            for part in A_SPACE.split(found["pieces"]):
                yield font.shown(_all_bytes(part)) + " "
        elif found["shown"]:
            yield font.shown(_bytes(found["string"]))
        else:
            yield f"{PART}{_text(found['string'])}{PART}" if found["string"] else " "


def _text(string: bytes) -> str:
    """A string that is no text of a page."""
    held = _bytes(string)
    if held[:2] == b"\xfe\xff":
        return held[2:].decode("utf-16-be", "ignore")
    return held.decode("latin-1")


def _all_bytes(strings: bytes) -> bytes:
    """The bytes of several strings with moves between."""
    if b"(" in strings:
        return b"".join(map(_bytes, ANY_STRING.findall(strings)))
    digits = b"".join(re.findall(DIGITS, strings)).decode()
    return bytes.fromhex(digits) if len(digits) % 2 == 0 else b""


def _bytes(string: bytes) -> bytes:
    """The bytes of a string, written in digits or in letters with escapes."""
    if string[:1] == b"<":
        digits = b"".join(string.strip(b"<>").split())
        return bytes.fromhex((digits + b"0" * (len(digits) % 2)).decode())
    return ESCAPE.sub(_escaped, string[1:].removesuffix(b")"))


def _escaped(found: re.Match[bytes]) -> bytes:
    octal = found[1]
    return bytes([int(octal, 8) % 256]) if octal[0] in b"01234567" else octal.strip(b"\r\n")
