"""What a file says to whoever unpacks it: its texts, as people and programs read them."""

from __future__ import annotations

import re
import zlib
from base64 import b64decode
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from gzip import GzipFile
from html import unescape
from io import BytesIO
from itertools import islice
from typing import AnyStr
from urllib.parse import unquote
from zipfile import ZipFile

from resultsgen.privacy.forms import Look, Sought, have_both_parts, look, may_tell

LARGEST = 1_000_000_000
"""Bytes that one file may hold, with all that is unpacked from it."""

LARGEST_PIECE = 200_000_000
"""Bytes that are looked at in one piece."""

DEEPEST = 5
"""Archives in archives."""

PART = " 0 "
"""Stands where no name goes on."""

TAG = re.compile(r"(<[^<>]*>)")
INLINE = re.compile(
    r"</?(?:a|abbr|b|bdi|cite|code|del|em|font|i|ins|mark|q|s|small|span|strong|sub|sup|tspan|u|wbr)"
    r"\b[^<>]*>",
    re.IGNORECASE,
)
INLINE_IN_A_WORD = re.compile(rf"\w(?:{INLINE.pattern})+\w", re.IGNORECASE)
IN_A_WORD = "-"
"""Stands for what parts a word without ending it."""

COMMENTS = (("<!--", "-->"), ("{#", "#}"))
ESCAPING = ("%", "\\", *(opening for opening, _ in COMMENTS))
"""Where one of these stands, a text may be meant otherwise than it is written."""

KEY = re.compile(r"(\"[\w$@-]+\"\s*:)")
KEY_ENDS = re.compile(r"(?:^|\")(?:\s|<[^<>]*>)*:")
"""Wherever in a line one may end, also once no tags are left, or one of the line before."""
ESCAPE = re.compile(r"\\(?:u\{0*([0-9a-fA-F]{1,5})\}|u([0-9a-fA-F]{4})|x([0-9a-fA-F]{2}))")
LINE_ESCAPE = re.compile(r"\\[nrtfb]")

PRINTED = re.compile(rb"[\t\n\r\x20-\x7e\x80-\xff]{4,}")
LOW_FIRST = re.compile(rb"(?:[\x20-\xff][\x00-\x05]|[\x00-\xff][\x01-\x05]){4,}")
HIGH_FIRST = re.compile(rb"(?:[\x00-\x05][\x20-\xff]|[\x01-\x05][\x00-\xff]){4,}")
"""Letters of two bytes each, of any alphabet of Europe."""

PACKED = ";base64,"
PACKED_LINK = re.compile(
    rf"data:[\w/+.;=-]*{PACKED}(?=([A-Za-z0-9+/=\s]+))\s*[A-Za-z0-9+/=]+"
    r"(?:\s+[A-Za-z0-9+/=]{50,})*"
)
"""It goes on in long lines; shorter words are text, too, though they are unpacked with it."""
PNG = b"\x89PNG\r\n\x1a\n"
PNG_TEXTS = (b"zTXt", b"iTXt")
ZLIB, GZIP = 15, 31
GZIPPED = b"\x1f\x8b"
PACKED_BY = {GZIPPED: GZIP, b"x\x01": ZLIB, b"x\x5e": ZLIB, b"x\x9c": ZLIB, b"x\xda": ZLIB}


class TooLargeError(Exception):
    """A file unpacks to more than can be looked at."""


@dataclass
class Unpacking:
    """Which names are looked for, how much may still be unpacked, how deep in archives it is."""

    names: Sought | None = None
    left: int = LARGEST
    depth: int = 0

    def contents(self, data: bytes) -> Iterator[str]:
        """Every text in these bytes; no name goes on from one text to the next."""
        self.take(len(data))
        self.depth += 1
        if self.depth > DEEPEST:
            raise TooLargeError
        yield from self._contents(data)
        self.depth -= 1

    def take(self, size: int) -> None:
        """Have so many bytes been unpacked, too?"""
        self.left -= size
        if self.left < 0:
            raise TooLargeError

    def unpacked(self, data: bytes) -> bytes | None:
        """What is packed by gzip or zlib; None where nothing is."""
        if data[:2] not in PACKED_BY:
            return None
        unpacking = zlib.decompressobj(PACKED_BY[data[:2]])
        most = max(min(self.left, LARGEST_PIECE), 1)
        try:
            held = unpacking.decompress(data, most)
        except zlib.error:
            return None
        if unpacking.unused_data[:2] == GZIPPED:  # Several were put together.
            with suppress(OSError, EOFError, zlib.error):
                held = GzipFile(fileobj=BytesIO(data)).read(most + 1)
        if unpacking.unconsumed_tail or len(held) > most:
            raise TooLargeError
        return held

    def _contents(self, data: bytes) -> Iterator[str]:
        if data[:5] == b"%PDF-" or data[:2] == b"PK":
            yield from self._of_many(data)
        elif (held := self.unpacked(data)) is not None:
            yield from self.contents(held)
        else:
            yield from self._of_png(data)
            for text in decoded(data):
                if self.names is None or may_be_told(self.names, text):
                    yield from readings(text)
                for packed in PACKED_LINK.findall(text) if PACKED in text else ():
                    yield from self.contents(_from_base64(packed))

    def _of_many(self, data: bytes) -> Iterator[str]:
        """The texts of a PDF or an archive; as it stands from where it turns out to be broken."""
        from resultsgen.privacy.pdf_texts import pdf_texts

        try:
            yield from pdf_texts(data, self) if data[:1] == b"%" else self._of_archive(data)
        except TooLargeError:
            raise
        except Exception:
            yield from decoded(data)

    def _of_archive(self, data: bytes) -> Iterator[str]:
        with ZipFile(BytesIO(data)) as held:
            if sum(part.file_size for part in held.infolist()) > self.left:
                raise TooLargeError
            said = (held.comment, *(part.comment for part in held.infolist()))
            yield PART.join((*held.namelist(), *(one.decode("utf-8", "ignore") for one in said)))
            yield from _sheet_texts(held)
            for part in held.infolist():
                yield from self.contents(held.read(part))

    def _of_png(self, data: bytes) -> Iterator[str]:
        """The texts of a PNG that are packed; other texts of pictures are read as they stand."""
        at = len(PNG) if data.startswith(PNG) else len(data)
        while at + 8 < len(data):
            size, kind = int.from_bytes(data[at : at + 4]), data[at + 4 : at + 8]
            if kind in PNG_TEXTS:
                chunk = data[at + 8 : at + 8 + size]
                for end in islice(re.finditer(b"\0", chunk), 8):
                    held = self.unpacked(chunk[end.end() :]) or self.unpacked(
                        chunk[end.end() + 1 :]
                    )
                    yield from self.contents(held) if held else ()
            at += 12 + size


TEXTS_OF_A_WORKBOOK = "xl/sharedStrings.xml"
SHEETS = "xl/worksheets/"
SHARED = re.compile(r"\bt=[\"']s[\"']")


def _sheet_texts(held: ZipFile) -> Iterator[str]:
    """The rows of an XLSX with a tab between their cells: there alone names of two columns meet."""
    names = held.namelist()
    if TEXTS_OF_A_WORKBOOK not in names:
        return
    shared = [_shown(text) for text in _elements(held, TEXTS_OF_A_WORKBOOK, "<si>", "</si>")]
    for name in names:
        if name.startswith(SHEETS):
            rows = _elements(held, name, "<row", "</row>")
            yield PART.join("\t".join(_cells(row, shared)) for row in rows)


def _elements(held: ZipFile, name: str, opening: str, closing: str) -> Iterator[str]:
    """What stands in a file between the signs, each time."""
    return between(held.read(name).decode("utf-8", "ignore"), opening, closing)


def between(text: AnyStr, opening: AnyStr, closing: AnyStr) -> Iterator[AnyStr]:
    return (part.partition(closing)[0] for part in text.split(opening)[1:])


def _cells(row: str, shared: list[str]) -> Iterator[str]:
    for cell in between(row, "<c ", "</c>"):
        head, _, inside = cell.partition(">")
        text = _shown(inside)
        is_shared = text.isdecimal() and SHARED.search(head) and int(text) < len(shared)
        yield shared[int(text)] if is_shared else text


@lru_cache(maxsize=2**12)  # Of the cells of a workbook many hold the same.
def _shown(xml: str) -> str:
    return unescape(TAG.sub("", xml)).strip()


def contents(data: bytes, names: Sought | None = None) -> Iterator[str]:
    """Every text in the bytes of a file, unpacked; TooLargeError where it holds too much.

    Texts that are no PDF's may be left out where they have no words that tell any of the *names*.
    """
    yield from Unpacking(names).contents(data)


def decoded(data: bytes) -> Iterator[str]:
    """The bytes as text; where they are no text, the texts among them, however written."""
    wide = data[:2] in (b"\xff\xfe", b"\xfe\xff")
    with suppress(UnicodeDecodeError):
        text = data.decode("utf-16" if wide else "utf-8-sig")
        if "\0" not in text:
            yield text
            return
    for coding in ("utf-8", "latin-1"):
        yield PART.join(run.decode(coding, "ignore") for run in PRINTED.findall(data))
    for coding, runs in (("utf-16-le", LOW_FIRST), ("utf-16-be", HIGH_FIRST)):
        yield PART.join(run.decode(coding, "ignore") for run in runs.findall(data))


def _from_base64(text: str) -> bytes:
    plain = "".join(text.split()).partition("=")[0]
    return b64decode(plain[: len(plain) // 4 * 4 + (0 if len(plain) % 4 == 1 else 4)] + "===")


def readings(text: str) -> Iterator[str]:
    """A text as it is shown, and what stands in its tags; with other ways that it may be meant.

    >>> list(readings('<p title="A&amp;B">Quil<em>l</em>ana&nbsp;Z.</p>'))[:2]
    [' Quil l ana\\xa0Z. ', ' Quil-l-ana\\xa0Z. ']
    """
    text = PACKED_LINK.sub(PART, text)
    found = [TAG.sub(" ", text)]
    bare = _without_comments(text)
    if bare != text or INLINE_IN_A_WORD.search(text):
        found.append(TAG.sub(" ", INLINE.sub(IN_A_WORD, bare)))
    if "<" in text:
        tags = dict.fromkeys(TAG.findall(text))
        found.append(PART.join(tags).replace('"', PART).replace("=", PART))
    for shown in found:
        yield from dict.fromkeys(_unescaped(shown))


def may_be_told(names: Sought, text: str) -> bool:
    """Whether any reading of a text may tell a name: a quick look, quickest where its lines are
    plain. They are looked at once, as most of a page stand in others and in those of last time."""
    if names.many:
        return True
    if "<" in text or not _has_keys(text):
        looks = [
            _plain_look(line) if len(line) < LONG else _plain_look.__wrapped__(line)
            for line in text.split("\n")
        ]
        if None not in looks:
            return have_both_parts(names, filter(None, looks))
    return any(may_tell(names, each) for each in in_short(text))


LONG = 2**13
"""Letters; of so long a line nothing is kept."""


@lru_cache(maxsize=2**14)
def _plain_look(line: str) -> Look | None:
    """A quick look at a line, also without keys, of which one may go on in the next line; None
    where it may be meant otherwise than it is written."""
    plain = unescape(line)
    seen = None if PACKED in line or _escapes(line, plain) else look(plain)
    ends = KEY_ENDS.search(plain)
    if seen is None or (ends and (ends[0][0] != '"' or plain.count('"') != line.count('"'))):
        return None  # One that begins before, or that may stand in a tag, escaped.
    if not ends:
        return *seen, seen[1]
    ways = (TAG.sub(" ", one) for one in (plain, INLINE.sub(IN_A_WORD, plain)))
    without, in_words = (look(KEY.sub(" ", way)) for way in ways)
    return (*seen, without[1]) if without and without == in_words else None


def _escapes(text: str, plain: str) -> bool:
    """Has a text other escapes than those of HTML, or tags that are none before they are read?"""
    same = plain is text or all(plain.count(sign) == text.count(sign) for sign in "<>")
    return not same or any(map(plain.__contains__, ESCAPING))


def in_short(text: str) -> Iterator[str]:
    """Texts in which a quick look sees the words of all readings of a text: quickly made of one
    that is plain.

    Plain are tags without keys and keys without tags, and no escape but in HTML. What stands
    between keys is one text then, and they are the other.

    >>> list(in_short("<b>Quil</b>lana &auml;"))
    ['<b>Quil</b>lana ä']
    >>> list(in_short('{"a": "Quil", "b": "lana"}'))
    ['{  "Quil",   "lana"}', '"a": "b":']
    """
    plain = unescape(PACKED_LINK.sub(PART, text))
    has_tags, has_keys = "<" in plain, _has_keys(plain)
    if _escapes(text, plain) or (has_tags and has_keys):
        yield from readings(text)
    elif has_keys:
        parts = KEY.split(plain)
        yield from (" ".join(parts[::2]), " ".join(dict.fromkeys(parts[1::2])))
    else:
        yield plain


def _has_keys(text: str) -> bool:
    return '":' in text or '" :' in text


def _without_comments(text: str) -> str:
    for opening, closing in COMMENTS:
        first, *parts = text.split(opening)
        text = first + "".join(IN_A_WORD + part.partition(closing)[2] for part in parts)
    return text


def _unescaped(text: str) -> Iterator[str]:
    """A text without the escapes of HTML, addresses, scripts; and without the keys of JSON."""
    text = unescape(text)
    if "%" in text:
        text = unquote(text)
    has_keys = _has_keys(text)
    yield PART.join(KEY.split(text)) if has_keys else text
    if "<" in text:  # HTML that is shown as text.
        yield TAG.sub(" ", _without_comments(text))
    if "\\" in text:
        text = ESCAPE.sub(lambda found: chr(int(found[1] or found[2] or found[3], 16)), text)
        text = LINE_ESCAPE.sub(" ", text)
        yield text
    if has_keys:
        yield KEY.sub(" ", text)
