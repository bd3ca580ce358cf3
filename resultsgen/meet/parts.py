"""A part of a list is what one routine of it stands for: an apparatus by its code, or `VT2`."""

from __future__ import annotations

SECOND_VAULT = "VT2"
"""The part that a second vault is; every other part has the code of its apparatus."""


def part_of(apparatus: str, vault: int | None) -> str:
    """What a routine is of a list: the apparatus, or the second vault."""
    return SECOND_VAULT if vault == 2 else apparatus


def apparatus_of(part: str) -> str:
    """The apparatus on which a part is done."""
    return "VT" if part == SECOND_VAULT else part


def parts_of(apparatus: tuple[str, ...]) -> tuple[str, ...]:
    """The apparatus, and the second vault after them where there is vault."""
    return (*apparatus, SECOND_VAULT) if "VT" in apparatus else apparatus
