"""Fonts are cut down to what a meet uses, and what no font has is told."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

from resultsgen.theme.fonts import ALWAYS, characters, missing, subset

FONTS = Path(__file__).parents[1] / "themes" / "standard" / "fonts"
REGULAR = FONTS / "NotoSans-SemiCondensed.ttf"
BOLD = FONTS / "NotoSans-SemiCondensedBold.ttf"
NAMES = ("ΠΑΠΑΔΟΠΟΎΛΟΥ Ελένη", "ЩЕРБАК Юлия", "ŁĄCZYŃSKA Żaneta", "ĐẶNG Thị Ánh")


def opened(data: bytes) -> TTFont:
    return TTFont(io.BytesIO(data))


@pytest.mark.parametrize("flavour", ["woff2", "ttf"])
@pytest.mark.parametrize("font", [REGULAR, BOLD], ids=lambda font: font.stem)
def test_a_subset_shows_every_character_asked_for_and_no_other(font, flavour):
    needed = characters(NAMES)
    shown = {chr(code) for code in opened(subset(font, needed, flavour)).getBestCmap()}
    assert shown == needed


def test_a_subset_has_the_flavour_asked_for_and_is_small():
    page, book = (subset(REGULAR, characters(NAMES), flavour) for flavour in ("woff2", "ttf"))
    assert page[:4] == b"wOF2"
    assert book[:4] == b"\x00\x01\x00\x00"
    assert len(page) < 16_000 < len(book) < 50_000


@pytest.mark.parametrize("flavour", ["woff2", "ttf"])
def test_the_same_font_and_characters_give_the_same_bytes(flavour):
    needed = characters(NAMES)
    first = subset(REGULAR, needed, flavour)
    subset.__globals__["_subset"].cache_clear()
    assert subset(REGULAR, frozenset(sorted(needed, reverse=True)), flavour) == first


def test_a_subset_keeps_the_time_stamp_of_its_font():
    stamps = [
        TTFont(REGULAR)["head"].modified,
        opened(subset(REGULAR, ALWAYS, "ttf"))["head"].modified,
    ]
    assert stamps[0] == stamps[1]


def test_figures_stay_tabular_and_accents_find_their_place():
    font = opened(subset(BOLD, characters([*NAMES, "q\u0323\u0301"]), "ttf"))
    widths = {font["hmtx"][font.getBestCmap()[ord(figure)]][0] for figure in "0123456789"}
    assert len(widths) == 1
    tags = {r.FeatureTag for t in ("GSUB", "GPOS") for r in font[t].table.FeatureList.FeatureRecord}
    assert {"kern", "mark", "mkmk"} <= tags


def test_a_subset_carries_its_licence():
    names = {
        record.nameID: str(record) for record in opened(subset(BOLD, ALWAYS, "woff2"))["name"].names
    }
    assert "Open Font License" in names[13]


def test_characters_that_no_font_has_are_told_in_order():
    needed = characters(["漢字", "Ελένη", "עברית\u200f"])
    assert missing([REGULAR, BOLD], needed) == tuple(sorted("עברית漢字"))


def test_nothing_is_missing_for_latin_greek_and_cyrillic_names():
    assert missing([REGULAR], characters(NAMES)) == ()
    assert missing([BOLD], characters(NAMES)) == ()


def test_a_letter_written_as_two_characters_is_there_as_one_too():
    assert "é" in characters(["e\u0301"])


@pytest.mark.parametrize("font", [REGULAR, BOLD], ids=lambda font: font.stem)
def test_a_minus_sign_shows_though_the_font_has_none(font):
    assert ord("−") not in TTFont(font).getBestCmap()
    cut = opened(subset(font, characters(["−0.3"]), "woff2"))
    minus, dash = (cut.getBestCmap()[ord(character)] for character in "−–")
    assert minus != dash, "copied text must tell the two apart"
    assert cut["glyf"][minus] == cut["glyf"][dash]
    assert cut["hmtx"][minus] == cut["hmtx"][dash]
    assert missing([font], "−") == ()
