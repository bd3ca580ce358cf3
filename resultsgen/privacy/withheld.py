"""Whose name is withheld: all rows of the person, and the rows that look like one of them."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator
from functools import cache, lru_cache
from itertools import accumulate
from typing import TYPE_CHECKING, NamedTuple

from resultsgen.privacy.forms import (
    Form,
    Hit,
    Name,
    Sought,
    as_written,
    forms,
    hits,
    may_tell,
    rotated,
    sought,
    words,
)

if TYPE_CHECKING:
    from resultsgen.meet.folder import Entry, Meet

PIECE = re.compile(r"\S+\s*|\s+")
SIGNS = re.compile(r"\w+|\W")
NOT_QUOTED = re.compile(r"[^\w.,'’-]+")
LONGEST_QUOTATION = 400


class Alike(NamedTuple):
    """Two rows of the roster that look like one person: only the first withholds the name."""

    withheld: Entry
    published: Entry


class Withheld(NamedTuple):
    """Whose name a roster withholds, and what to look for in everything that is published."""

    rows: frozenset[int]
    """The keys of the rows: one that says so speaks for all of the person."""
    alike: tuple[Alike, ...] = ()
    """Rows with a published name that is a form of a withheld one, without being said two."""
    names: Sought | None = None
    """None where no name is withheld."""


def withheld(meet: Meet) -> Withheld:
    if all(entry.publish for entry in meet.entries):
        return Withheld(frozenset())
    return _withheld(meet.entries, meet.settings.privacy.namesakes)


@lru_cache(maxsize=2)  # A build asks for the same names at every door.
def _withheld(roster: tuple[Entry, ...], namesakes: tuple[str, ...]) -> Withheld:
    """One person is: one bib and name in a discipline, and one name in one club."""
    meant = {key for entry in roster if not entry.publish for key in _persons(entry)}
    rows = frozenset(entry.key for entry in roster if meant & _persons(entry))
    two = frozenset(form for text in namesakes for form in rotated(text))
    alike = tuple(_alike(roster, rows, two))
    hers = rows | {pair.published.key for pair in alike}
    names = sought(
        [(name, one.bib) for one in roster if one.key in rows for name in _names(one)],
        [_name(entry) for entry in roster if entry.key not in hers],
        namesakes,
        {body for entry in roster for body in (entry.club, entry.federation, entry.team)},
    )
    return Withheld(rows, alike, names)


def _persons(entry: Entry) -> set[tuple[str, ...]]:
    """What tells a person; two rows that have one of them in common are one person."""
    written = as_written(entry.family_name, entry.given_name)
    return {("bib", entry.discipline, entry.bib, written), ("club", entry.club, written)}


def _alike(
    roster: tuple[Entry, ...], rows: frozenset[int], namesakes: frozenset[str]
) -> Iterator[Alike]:
    known = {
        "".join(form): entry
        for entry in sorted(roster, key=lambda entry: not entry.publish)
        if entry.key in rows
        for form in _forms(entry)
    }
    for entry in roster:
        if entry.key in rows or rotated(_name(entry).whole) & namesakes:
            continue
        same = sorted("".join(form) for form in _forms(entry) if "".join(form) in known)
        if same:
            yield Alike(known[same[0]], entry)


def _name(entry: Entry) -> Name:
    return Name(entry.family_name, entry.given_name)


def _names(entry: Entry) -> tuple[Name, ...]:
    """The name as it is listed; and a whole one as it was written, however it was parted."""
    return (_name(entry), Name(entry.name, "")) if entry.name else (_name(entry),)


def _forms(entry: Entry) -> frozenset[Form]:
    return frozenset().union(*map(forms, _names(entry)))


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
    forms = {tuple(held[hit.first : hit.end]): hit for hit in reversed(found)}
    quoted = {form: quotation(names, text, hit) for form, hit in forms.items()}
    told = {(lines[hit.end - 1], hit.who): tuple(held[hit.first : hit.end]) for hit in found}
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
    names = withheld(meet).names

    @cache
    def tells(text: str) -> bool:
        return names is not None and may_tell(names, text) and bool(hits(names, words(text)))

    return tells


def told_message(told_by: str, bib: str) -> str:
    """What is wrong with a text that tells a name, and both ways to go on."""
    return (
        f'"{told_by}" names bib {bib}, whose roster row says publish = no; take it out, or, if '
        f'somebody or something else is meant, say so: namesakes = ["{told_by}"] under [privacy] '
        "in meet.toml"
    )
