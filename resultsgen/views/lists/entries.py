"""A row of a list as Markdown pages have it: text, each part by its name."""

from __future__ import annotations

from dataclasses import dataclass

from resultsgen.language import Language
from resultsgen.scoring.results import Line
from resultsgen.views.lists.cells import shown_name
from resultsgen.views.words.wording import Wording


@dataclass(frozen=True, slots=True)
class Entry:
    """One row of a list, as text: `{{ one.name }}, {{ one.club }}: {{ one.total }}`."""

    place: str
    name: str
    club: str
    federation: str
    total: str
    bib: str


def entry(line: Line, place: int | None, total: int | None, language: Language) -> Entry:
    """A gymnast or a team with a place and a total, be it the last or one on the way."""
    placed, shown = "" if place is None else str(place), language.mark(total)
    name, who = shown_name(line.of, Wording(language)), line.of
    if who.kind == "team":
        return Entry(placed, name, "", "", shown, "")
    return Entry(placed, name, who.club, who.federation, shown, who.bib)
