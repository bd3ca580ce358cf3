"""Places as tables show them."""

from __future__ import annotations

from resultsgen.views.lists.table import Cell, Column
from resultsgen.views.words.wording import Wording

NO_PLACE = "–"


def place_column(wording: Wording) -> Column:
    """The first column of every list."""
    return Column(wording.say("Place"), "place", wording.say("Pl."), width=0.5)


def place_cell(place: int | None, guest: bool, note: str, wording: Wording) -> Cell:
    """The place; the word "guest" or a dash where there is none."""
    if place is not None:
        return Cell(str(place), note=note)
    if guest:
        return Cell(wording.say("guest"), note=note)
    return Cell(NO_PLACE, note=note, about=wording.say("no place"))


def moved_cell(moved: int | None, wording: Wording) -> Cell:
    """How many places were gained or lost; None: there is nothing to compare with."""
    if moved is None:
        return Cell("")
    if not moved:
        return Cell("=", about=wording.say("no change"))
    count, places = wording.language.count, abs(moved)
    if moved > 0:
        return Cell(f"↑ {places}", about=count("up {n} place", "up {n} places", places))
    return Cell(f"↓ {places}", about=count("down {n} place", "down {n} places", places))
