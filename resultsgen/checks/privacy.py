"""A name that the roster withholds must not come in by another door: a row, a text, a picture."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import fields, is_dataclass
from html import unescape
from itertools import groupby
from pathlib import Path
from typing import Any, NamedTuple

from pydantic import BaseModel

from resultsgen.checks.keys import FILE, in_cell, line_beside
from resultsgen.meet.columns import ROSTER
from resultsgen.meet.folder import Entry, Meet, Page
from resultsgen.meet.problems import Problem
from resultsgen.privacy.forms import Sought, may_tell
from resultsgen.privacy.withheld import told_in, told_message, withheld

MUCH = 20_000_000
"""Bytes that are unpacked from a picture while a folder is checked."""

NAMESAKES = "privacy.namesakes"


class Place(NamedTuple):
    """A text of the meet folder, and where it stands."""

    file: str
    row: int
    column: str
    text: str


def one_person_is_withheld_in_all_rows(meet: Meet) -> Iterator[Problem]:
    """Nobody is published who looks like somebody whose name is withheld, unless they are two."""
    for hidden, entry in withheld(meet).alike:
        name = f"{entry.family_name} {entry.given_name}".strip()
        message = (
            f"{name}, bib {entry.bib}, looks like bib {hidden.bib} on "
            f"{line_beside(hidden, entry)}, whose name is withheld; write no here too, or, if they "
            "are two, say so: "
            f'namesakes = ["{name}"] under [privacy] in meet.toml'
        )
        yield in_cell(meet, entry, "publish", "looks-withheld", message, name)


def withheld_names_stand_in_no_text(meet: Meet) -> Iterator[Problem]:
    """Nobody who withholds the name is named in any setting, cell, page or picture."""
    names = withheld(meet).names
    if names is None:
        return
    yield from naming(names, _places(meet), told_message)


def naming(
    names: Sought, places: Iterable[Place], message: Callable[[str, str], str]
) -> Iterator[Problem]:
    """Where these texts tell a name, once for each line; the message says what, and whose."""
    found: dict[tuple[str, int, str, str], Problem] = {}
    for _, alike in groupby(places, lambda place: (place.file, place.row and place.column)):
        together = [*alike]
        if not may_tell(names, "\n".join(place.text for place in together)):
            continue
        for place in together:
            for told in told_in(names, place.text):
                where = place.file, place.row + told.line if place.row else 0, place.column
                problem = Problem(*where, "withheld-name", message(told.said, told.bib))
                found.setdefault((*where, told.bib), problem)
    yield from found.values()


def _places(meet: Meet) -> Iterator[Place]:
    """Every text of the meet folder; whatever is read anew is among them."""
    rules = {
        competition.rules: meet.rule_sets[competition.id]
        for competition in meet.settings.competitions
    }
    for file, row, thing in (
        (FILE, 0, meet.settings),
        *((file, 0, rule_set) for file, rule_set in rules.items()),
        *((incident.file, incident.line, incident) for incident in meet.incidents),
        *((meet.settings.files.bests, best.line, best) for best in meet.bests),
        *((row.file, row.line, row.correction) for row in meet.corrections),
    ):
        for path, text in texts(thing):
            if not path.startswith(NAMESAKES):
                yield Place(file, row, path, text)
    yield from _of_roster(meet)
    yield from of_pages(meet.pages, meet.assets)


def of_pages(pages: Iterable[Page], assets: Mapping[str, Path]) -> Iterator[Place]:
    """The texts of pages and of pictures, and their names."""
    from resultsgen.privacy.contents import TooLargeError, Unpacking

    for page in pages:
        yield Place(page.file, 0, "", page.file)
        yield Place(page.file, page.first_line, "", unescape(page.body))
        yield from (Place(page.file, 0, name, getattr(page, name)) for name in ("title", "club"))
    for name, picture in assets.items():
        yield Place(f"assets/{name}", 0, "", name)
        if picture.suffix.lower() == ".svg":
            # One that unpacks to much is looked at before it is put in place.
            with suppress(TooLargeError):
                for text in [*Unpacking(left=MUCH).contents(picture.read_bytes())]:
                    yield Place(f"assets/{name}", 0, "", text)


def _of_roster(meet: Meet) -> Iterator[Place]:
    """What stands in the rows beside the names; and in names that are published, one in another."""
    rows, alike, _ = withheld(meet)
    hers = rows | {pair.published.key for pair in alike}
    for column in ROSTER:
        first: dict[str, Entry] = {}
        for entry in meet.entries:
            text = getattr(entry, column.name)
            if isinstance(text, str) and (column.stays or entry.key not in hers):
                first.setdefault(text, entry)
        heading = meet.settings.columns.roster.get(column.name, column.name)
        for text, entry in first.items():
            yield Place(entry.file, entry.line, heading, text)


def texts(thing: Any, path: str = "") -> Iterator[tuple[str, str]]:
    """Every text in a setting or a row, however deep, with the name of where it stands."""
    if isinstance(thing, str):
        yield path, thing
    elif isinstance(thing, (tuple, list)) and not hasattr(thing, "_asdict"):
        for number, value in enumerate(thing, start=1):
            yield from texts(value, f"{path}[{number}]")
    else:
        for name, value in _parts(thing):
            inner = f"{path}.{name}" if path else name
            if isinstance(thing, Mapping):
                yield inner, name
            yield from texts(value, inner)


def _parts(thing: Any) -> Iterable[tuple[str, Any]]:
    if isinstance(thing, BaseModel):
        known = type(thing).model_fields.items()
        return [(field.alias or name, getattr(thing, name)) for name, field in known]
    if is_dataclass(thing):
        return [(field.name, getattr(thing, field.name)) for field in fields(thing)]
    if hasattr(thing, "_asdict"):
        return thing._asdict().items()  # type: ignore[no-any-return]
    return thing.items() if isinstance(thing, Mapping) else ()
