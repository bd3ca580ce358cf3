"""A part of a list is what one routine of it stands for: an apparatus by its code, or `VT2`."""

from __future__ import annotations

SECOND_VAULT = "VT2"
"""The part that a second vault is; every other part has the code of its apparatus."""


def part_of(apparatus: str, vault: int) -> str:
    """What a routine is of a list: the apparatus, or the second vault."""
    return SECOND_VAULT if vault == 2 else apparatus


def apparatus_of(part: str) -> str:
    return "VT" if part == SECOND_VAULT else part
