"""Type for pages and books: each font cut down to the characters that a meet uses.

A whole font holds thousands of letters that no page shows. Pages get it as woff2, books as plain
TTF, which the renderer opens about thirty times faster. The same font and characters give the
same bytes: the time stamp inside stays that of the font itself.
"""

from __future__ import annotations

import copy
import io
import json
import unicodedata
from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from resultsgen.files.cache import Cache, cache_folder, key_of

if TYPE_CHECKING:
    from fontTools.subset import Options
    from fontTools.ttLib import TTFont

PRINTED = bytes(range(0x20, 0x7F))
ALWAYS = frozenset(PRINTED.decode()) | frozenset("\u00a0‑–—‘’“”„«»…·•×†‡§©½−")
"""Letters, figures, dashes and quotes that built-in texts may use beside those of the meet."""

FEATURES = ("ccmp", "kern", "lnum", "locl", "mark", "mkmk", "tnum")
"""What is kept beside the letters: tabular figures, kerning, accents that find their place."""

NAME_ENTRIES = (0, 1, 2, 3, 4, 5, 6, 13, 14)
"""Names, copyright and licence: a font travels with its licence."""

NOT_IN_A_PDF = ("GDEF", "GPOS", "GSUB", "OS/2", "cmap", "gasp", "name", "post")
"""Tables of a font that only help to set a text."""

STAND_INS = {"−": "–", "‑": "-"}
"""Some fonts have no minus sign or no hyphen that holds a word together; these look like them."""

UNSEEN = ("Cc", "Cf", "Zl", "Zp")
"""Unicode categories that print nothing, so that no font needs a letter for them."""


Alphabet = dict[str, tuple[int, float]]
"""The glyph of each letter of a font, and its width in thousandths."""


def characters(texts: Iterable[str]) -> frozenset[str]:
    """Every character needed to show *texts*, in capitals too, and those always at hand.

    >>> sorted(characters(["Çakır"]) - ALWAYS)
    ['Ç', 'ı']
    """
    others = (letters(text.encode()) for text in texts if not text.isascii())
    written = {form for one in set[str]().union(*others) for form in (one, one.upper())}
    return ALWAYS.union(*written, *(unicodedata.normalize("NFC", it) for it in written))


def letters(text: bytes) -> set[str]:
    """What is not ASCII in a text, with whole words where an accent may stand by itself."""
    others = text.translate(None, PRINTED).decode()
    # No accent stands by itself where there is a letter that has it.
    composed = unicodedata.is_normalized("NFC", others)
    if composed and not any(map(unicodedata.combining, set(others))):
        return {*others}
    return {*others, *(word for word in text.decode().split() if not word.isascii())}


def signs(text: bytes) -> str:
    """All that fonts need of a text, with spaces between."""
    return " ".join(sorted({*letters(text), *(chr(one) for one in PRINTED if one in text)}))


def missing(fonts: Iterable[Path], needed: Iterable[str]) -> tuple[str, ...]:
    """The characters that none of the fonts can show, in the order of their code points."""
    covered = frozenset[int]().union(*(_covered(font, _stamp(font)) for font in fonts))
    return tuple(
        sorted(
            character
            for character in set(needed)
            if ord(character) not in covered and unicodedata.category(character) not in UNSEEN
        )
    )


def subset(font: Path, needed: frozenset[str], flavour: Literal["woff2", "ttf"]) -> bytes:
    """The font with nothing but the *needed* characters, their accents and tabular figures."""
    return _subset(font, _stamp(font), needed, flavour)


def glyphs_alone(font: bytes, shown: frozenset[int]) -> bytes:
    """The outlines of these glyphs and their parts, each under its number: all a PDF needs."""
    from fontTools import subset as subsetting
    from fontTools.ttLib import TTFont

    options = subsetting.Options(retain_gids=True, notdef_outline=True, recalc_timestamp=False)
    with TTFont(io.BytesIO(font), recalcTimestamp=False) as opened:
        for table in NOT_IN_A_PDF:
            if table in opened:
                del opened[table]
        return _cut_down(opened, options, gids=sorted(shown))


def _cut_down(font: TTFont, options: Options, **kept: list[int]) -> bytes:
    from fontTools.subset import Subsetter

    subsetter, written = Subsetter(options), io.BytesIO()
    subsetter.populate(**kept)
    subsetter.subset(font)
    font.save(written)
    return written.getvalue()


def alphabet(font: bytes) -> Alphabet:
    """The number of the glyph of each letter, and how wide it is in thousandths of its size."""
    from fontTools.ttLib import TTFont

    with TTFont(io.BytesIO(font)) as opened:
        whole = opened["head"].unitsPerEm
        return {
            chr(letter): (opened.getGlyphID(name), round(opened["hmtx"][name][0] * 1000 / whole))
            for letter, name in opened.getBestCmap().items()
        }


def letter_widths(font: Path) -> dict[str, int]:
    """How wide each letter is, in thousandths of its size; of a font seen before that is kept."""
    return _widths(font, _stamp(font))


@lru_cache(maxsize=16)
def _widths(font: Path, stamp: tuple[int, int]) -> dict[str, int]:
    def found() -> bytes:
        told = alphabet(font.read_bytes()).items()
        return json.dumps({letter: width for letter, (_, width) in told}).encode()

    key = key_of("widths", told_apart(font))
    widths: dict[str, int] = json.loads(Cache(cache_folder()).kept_or_made(key, found))
    return widths


def _stamp(font: Path) -> tuple[int, int]:
    """Changes when the file does, so that nothing old is remembered while a folder is watched."""
    status = font.stat()
    return status.st_mtime_ns, status.st_size


def told_apart(font: Path) -> str:
    """What tells a font from any other."""
    return _digest(font, _stamp(font))


@lru_cache(maxsize=16)
def _digest(font: Path, stamp: tuple[int, int]) -> str:
    return key_of(font.read_bytes())


@lru_cache(maxsize=16)
def _covered(font: Path, stamp: tuple[int, int]) -> frozenset[int]:
    """The code points that a font has a letter for; those of a font seen before are kept."""
    key = key_of("letters", told_apart(font))
    told = Cache(cache_folder()).kept_or_made(key, lambda: json.dumps(_letters(font)).encode())
    covered = frozenset[int](json.loads(told))
    stand_ins = (ord(one) for one, model in STAND_INS.items() if ord(model) in covered)
    return covered.union(stand_ins)


def _letters(font: Path) -> list[int]:
    from fontTools.ttLib import TTFont

    with TTFont(font) as opened:
        return sorted(opened.getBestCmap())


def _add_stand_ins(font: TTFont) -> None:
    """Copy the letter that stands in, so that copied text still tells the two apart."""
    for lacking, stand_in in STAND_INS.items():
        shapes = font.getBestCmap()
        if ord(lacking) in shapes or ord(stand_in) not in shapes:
            continue
        model, name = shapes[ord(stand_in)], f"uni{ord(lacking):04X}"
        font["glyf"][name] = copy.deepcopy(font["glyf"][model])
        font["hmtx"][name] = font["hmtx"][model]
        for table in font["cmap"].tables:
            if table.isUnicode():
                table.cmap[ord(lacking)] = name


@lru_cache(maxsize=16)
def _subset(font: Path, stamp: tuple[int, int], needed: frozenset[str], flavour: str) -> bytes:
    from fontTools import subset as subsetting
    from fontTools.ttLib import TTFont

    options = subsetting.Options(
        layout_features=list(FEATURES),
        name_IDs=list(NAME_ENTRIES),
        hinting=False,
        notdef_outline=True,
        recalc_timestamp=False,
    )
    with TTFont(font, recalcTimestamp=False) as opened:
        _add_stand_ins(opened)
        opened.flavor = "woff2" if flavour == "woff2" else None
        return _cut_down(opened, options, unicodes=sorted(map(ord, needed)))
