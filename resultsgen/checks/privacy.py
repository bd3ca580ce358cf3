"""A name that the roster withholds must not come in by another door: a text, a note, a picture."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from resultsgen.meet import Meet
from resultsgen.problems import Problem


class Place(NamedTuple):
    """A text that is published as it is written, and where it stands."""

    file: str
    row: int
    column: str
    text: str


def withheld_names_stand_in_no_text(meet: Meet) -> Iterator[Problem]:
    """Nobody who withholds the name is named in a page, a note, a reason, a club or a picture."""
    names = {} if meet.roster["publish"].all() else _withheld(meet)
    for place in _places(meet) if names else ():
        folded = f" {_folded(place.text)} "
        for name, bib in names.items():
            for line in _lines_with(name, place.text) if f" {name} " in folded else ():
                message = f"this names bib {bib}, whose roster row says publish = no; take it out"
                row = place.row + line if place.row else 0
                yield Problem(place.file, row, place.column, "withheld-name", message)


def _lines_with(name: str, text: str) -> Iterator[int]:
    """The lines on which the name ends, which may have begun on the line before."""
    lines = text.splitlines()
    found = 0
    for number in range(len(lines)):
        there = f" {_folded(' '.join(lines[: number + 1]))} ".count(f" {name} ")
        if there > found:
            yield number
        found = there


def _withheld(meet: Meet) -> dict[str, str]:
    """Each full name that is withheld, either part first, and whose it is.

    Where somebody of another club has the same name and publishes it, the name says nothing.
    """
    withheld = {}
    clubs: dict[str, set[str]] = {}
    for row in meet.roster.itertuples():
        for name in _both_ways(row):
            if not row.publish:
                withheld[name] = row
            else:
                clubs.setdefault(name, set()).add(str(row.club))
    return {
        name: str(row.bib)
        for name, row in withheld.items()
        if clubs.get(name, set()) <= {str(row.club)}
    }


def _both_ways(row: Any) -> tuple[str, ...]:
    """The given name first, and the family name first; nothing where one is missing."""
    parts = [_folded(row.given_name), _folded(row.family_name)]
    return (" ".join(parts), " ".join(reversed(parts))) if all(parts) else ()


def _folded(text: str) -> str:
    """Small letters without accents, and one space for whatever stands between words."""
    plain = unicodedata.normalize("NFKD", text)
    kept = "".join(one for one in plain if not unicodedata.combining(one)).casefold()
    return " ".join(re.findall(r"[^\W_]+", kept))


def _places(meet: Meet) -> Iterator[Place]:
    """Every text of the meet folder that is published as it is written."""
    files = meet.settings.files
    for name in meet.assets:
        yield Place(f"assets/{name}", 0, "", name)
    for page in meet.pages:
        yield Place(page.file, 0, "", page.slug)
        yield Place(page.file, 0, "title", page.title)
        yield Place(page.file, page.first_line, "", page.body)
    for column in ("club", "team"):
        rows: Iterable[Any] = meet.roster.drop_duplicates(column).itertuples()
        for row in rows:
            heading = meet.settings.columns.roster.get(column, column)
            yield Place(files.roster, int(row.line), heading, str(getattr(row, column)))
    for one in meet.incidents:
        yield Place(one.file, one.line, "note", one.note)
    for best in meet.bests:
        yield Place(files.bests, 0, "note", best.note)
    for told in meet.corrections:
        yield Place(told.file, told.line, "why", told.told.why)
        yield Place(told.file, told.line, "who", told.told.who)
