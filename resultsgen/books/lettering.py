"""A text that the book writes itself, letter by letter, in the glyphs of its font."""

from __future__ import annotations

from collections.abc import Mapping

Alphabet = Mapping[str, tuple[int, float]]
"""The glyph of each letter of a font, and its width in thousandths."""


def lettered(text: str, letters: Alphabet) -> tuple[bytes, float]:
    """A text as a PDF shows it, and how wide it is where letters have the size 1."""
    glyphs = [letters[letter] for letter in text]
    shown = "".join(f"{glyph:04x}" for glyph, _ in glyphs)
    return b"<%b>" % shown.encode(), sum(width for _, width in glyphs) / 1000
