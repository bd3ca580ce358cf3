"""Where texts tell a name that is withheld: of settings, cells, pages and pictures."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import fields, is_dataclass
from html import unescape
from itertools import groupby
from pathlib import Path
from typing import Any, NamedTuple

from pydantic import BaseModel

from resultsgen.meet.pages import Page
from resultsgen.meet.problems import Problem
from resultsgen.privacy.forms import Sought, may_tell
from resultsgen.privacy.withheld import told_in

MUCH = 20_000_000
"""Bytes that are unpacked from a picture while a folder is checked."""


class Place(NamedTuple):
    """A text of the meet folder, and where it stands."""

    file: str
    row: int
    column: str
    text: str


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
