"""What is known by its name or code: apparatus, disciplines, languages."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field

APPARATUS_NAMES = {
    "FX": "Floor Exercise",
    "PH": "Pommel Horse",
    "SR": "Still Rings",
    "VT": "Vault",
    "PB": "Parallel Bars",
    "HB": "Horizontal Bar",
    "UB": "Uneven Bars",
    "BB": "Balance Beam",
}
DISCIPLINES = {
    "men": ("FX", "PH", "SR", "VT", "PB", "HB"),
    "women": ("VT", "UB", "BB", "FX"),
}
"""The apparatus in Olympic order; never sorted alphabetically."""

LanguageCode = Literal["en", "fr", "de", "es"]


def _each_once(codes: tuple[LanguageCode, ...]) -> tuple[LanguageCode, ...]:
    if len(set(codes)) < len(codes):
        raise ValueError("name each language once")
    return codes


Languages = Annotated[
    tuple[LanguageCode, ...],
    AfterValidator(_each_once),
    Field(min_length=1, description="The first is the main one; more go into fr/, de/ ..."),
]
"""What the pages are written in."""
