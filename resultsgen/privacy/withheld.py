"""Whose name is withheld: all rows of the person, and the rows that look like one of them."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator
from functools import cache
from itertools import accumulate
from typing import Any, NamedTuple

from resultsgen.meet.folder import Meet
from resultsgen.privacy.forms import Hit, Name, Sought, forms, hits, may_tell, rotated, sought
from resultsgen.privacy.words import as_written, words

BODIES = ("club", "federation", "team")

PIECE = re.compile(r"\S+\s*|\s+")
SIGNS = re.compile(r"\w+|\W")
NOT_QUOTED = re.compile(r"[^\w.,'’-]+")
LONGEST_QUOTATION = 400


class Alike(NamedTuple):
    """Two rows of the roster that look like one person: only the first withholds the name."""

    withheld: Any
    told: Any


def withheld_rows(meet: Meet) -> frozenset[int]:
    """The rows whose name is not published: one row that says so speaks for all of the person.

    One person is: one bib and name in a discipline, and one name in one club.
    """
    if meet.roster["publish"].all():
        return frozenset()
    rows: list[Any] = list(meet.roster.itertuples())
    meant = {key for row in rows if not row.publish for key in _keys(row)}
    return frozenset(row.Index for row in rows if meant & _keys(row))


def _keys(row: Any) -> set[tuple[str, ...]]:
    """What tells a person; two rows that have one of them in common are one person."""
    written = as_written(row.family_name, row.given_name)
    return {("bib", row.discipline, row.bib, written), ("club", row.club, written)}


def _namesakes(meet: Meet) -> frozenset[str]:
    """The names that more than one have, by the meet's own word."""
    named = meet.settings.privacy.namesakes
    return frozenset(form for text in named for form in rotated(text))


def looking_alike(meet: Meet) -> Iterator[Alike]:
    """Rows with a published name that is a form of one that is withheld, without being said two."""
    withheld = withheld_rows(meet)
    rows: list[Any] = list(meet.roster.itertuples()) if withheld else []
    known = {
        "".join(form): row
        for row in sorted(rows, key=lambda row: not row.publish)
        if row.Index in withheld
        for form in forms(_name(row))
    }
    others = _namesakes(meet)
    for row in rows:
        if row.Index in withheld or rotated(_name(row).whole) & others:
            continue
        same = sorted("".join(form) for form in forms(_name(row)) if "".join(form) in known)
        if same:
            yield Alike(known[same[0]], row)


def sought_names(meet: Meet) -> Sought | None:
    """What to look for in everything that is published; None where no name is withheld."""
    withheld = withheld_rows(meet)
    if not withheld:
        return None
    rows: list[Any] = list(meet.roster.itertuples())
    hers = withheld | {one.told.Index for one in looking_alike(meet)}
    return sought(
        [(_name(row), str(row.bib)) for row in rows if row.Index in withheld],
        [_name(row) for row in rows if row.Index not in hers],
        meet.settings.privacy.namesakes,
        {text for column in BODIES for text in meet.roster[column]},
    )


def _name(row: Any) -> Name:
    return Name(row.family_name, row.given_name)


class Told(NamedTuple):
    """That a text tells a name that is withheld."""

    bib: str
    said: str
    """What of the text tells it."""
    line: int
    """The line of the text on which it ends; the first is 0."""


def told_in(names: Sought, text: str) -> list[Told]:
    """Where a text tells a name that is withheld, once for each line and person."""
    held = words(text) if may_tell(names, text) else []
    found = hits(names, held)
    if not found:
        return []
    lines = [number for number, line in enumerate(text.splitlines(True)) for _ in words(line)]
    forms = {tuple(held[one.first : one.end]): one for one in reversed(found)}
    quoted = {form: quotation(names, text, one) for form, one in forms.items()}
    told = {(lines[one.end - 1], one.who): tuple(held[one.first : one.end]) for one in found}
    return [Told(bib, quoted[form], line) for (line, bib), form in told.items()]


def quotation(names: Sought, text: str, hit: Hit) -> str:
    """What tells the name, as the text has it."""
    pieces = PIECE.findall(text)
    ends = list(accumulate(len(words(piece)) for piece in pieces))
    first, last = bisect_right(ends, hit.first), bisect_left(ends, hit.end)
    parts = SIGNS.findall("".join(pieces[first : last + 1])[:LONGEST_QUOTATION])
    while hits(names, words("".join(parts[1:]))):
        parts = parts[1:]
    while hits(names, words("".join(parts[:-1]))):
        parts = parts[:-1]
    return " ".join(NOT_QUOTED.sub(" ", "".join(parts)).split())


def naming_withheld(meet: Meet) -> Callable[[str], bool]:
    """Whether a text tells a name that is withheld."""
    names = sought_names(meet)

    @cache
    def tells(text: str) -> bool:
        return names is not None and bool(hits(names, words(text)))

    return tells


def told_message(told_by: str, bib: str) -> str:
    """What is wrong with a text that tells a name, and both ways to go on."""
    return (
        f'"{told_by}" names bib {bib}, whose roster row says publish = no; take it out, or, if '
        f'somebody or something else is meant, say so: namesakes = ["{told_by}"] under [privacy] '
        "in meet.toml"
    )
