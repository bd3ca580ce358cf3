"""Puts a unit into its place in a book: its numbers become those of the book.

What comes out depends on the unit, its first number and little else, so it is kept as well: where
one unit has changed, all others are taken over as they stand.
"""

from __future__ import annotations

import pickle
import re
import zlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import groupby

from resultsgen.books.own_texts import Pages, WrittenNumbers, numbers_needed
from resultsgen.books.pdf_file import Packed, packed_object, refers, stream_object
from resultsgen.books.press.unit import BETWEEN, FONTS, ROOT, Unit
from resultsgen.files.cache import Cache, key_of

FIXED = {FONTS: 3, ROOT: 5}
"""The numbers of what all units share."""

COMPRESSED_AT_ONCE = 1000
"""So many objects share a stream; who wants one of them has to unpack them all."""

TOKENS = re.compile(rb"\xff(\d+)\xff|\xfd(\d+)\xfd|\xfe([^\xfe]+)\xfe")


@dataclass(frozen=True)
class UnitRole:
    """What the book decides about a unit."""

    lowered: int
    """By how many levels its headings are lowered; below a cover, by one."""
    again: bool
    """It goes on with the chapter of the unit before, whose name is no heading here."""
    dead: frozenset[int]
    """The links that lead to nothing in this book."""
    pages: Sequence[Pages]
    """Those of each page reference in its text."""
    shared: Mapping[int, int]
    """Pictures that a unit before has too, and their numbers in the book."""

    @property
    def key(self) -> str:
        """Tells two roles apart."""
        return f"{self.lowered} {self.again} {sorted(self.dead)} {self.pages} {self.shared}"


@dataclass(frozen=True)
class PlacedUnit:
    """A unit in its place, as it stands in the file."""

    data: bytes = field(repr=False)
    places: tuple[tuple[int, int], ...]
    """The number of each object that stands by itself, and where in *data* it begins."""
    packed: tuple[Packed, ...]
    links: tuple[tuple[int, ...], ...]
    """Those on each page that lead somewhere."""


def placed(unit: Unit, key: str, base: int, role: UnitRole, cache: Cache) -> PlacedUnit:
    """A unit in its place, from the cache if it has been there before."""
    kept_as = key_of("placed", key, str(base), role.key)
    if kept := cache.get(kept_as):
        before: PlacedUnit = pickle.loads(kept)
        return before
    made = _Placing(unit, base, role).placed()
    cache.put(kept_as, pickle.dumps(made))
    return made


def size(unit: Unit) -> int:
    """How many numbers a unit takes up in a book."""
    plain = len(unit.plain_numbers) + numbers_needed(unit)
    return unit.size + numbers_needed(unit) - (-plain // COMPRESSED_AT_ONCE)


@dataclass(frozen=True)
class _Placing:
    """A unit, and all that its objects are written for: where it stands, what the book decides."""

    unit: Unit
    base: int
    role: UnitRole

    @cached_property
    def _numbers(self) -> WrittenNumbers:
        return WrittenNumbers(self.unit, self.base, self.role.pages)

    def placed(self) -> PlacedUnit:
        data, places, packed = bytearray(), [], []
        for number, head, contents in self._streams():
            places.append((number, len(data)))
            data += stream_object(number, head, contents)
        plain = zlib.decompress(self.unit.plain)
        texts = self._written(plain).split(BETWEEN)
        numbers = (self.base + number for number in self.unit.plain_numbers)
        objects = [*zip(numbers, texts, strict=True), *self._numbers.objects.items()]
        first_pack = self.base + self.unit.size + numbers_needed(self.unit)
        for pack, start in enumerate(range(0, len(objects), COMPRESSED_AT_ONCE), first_pack):
            inside = dict(objects[start : start + COMPRESSED_AT_ONCE])
            places.append((pack, len(data)))
            packed += [(pack, *run) for run in _runs(list(inside))]
            data += packed_object(pack, inside)
        links = (
            (*(self.base + link for link in page.annotations if link not in self.role.dead), *more)
            for page, more in zip(self.unit.pages, self._numbers.links, strict=True)
        )
        return PlacedUnit(bytes(data), tuple(places), tuple(packed), tuple(links))

    def _streams(self) -> Iterator[tuple[int, bytes, bytes]]:
        """Each stream by its number in the book: what is said of it, and its contents."""
        references = self.unit.page_references
        open_places = {
            self.unit.pages[room.page].content for one in references for room in one.rooms
        }
        for number, (head, contents) in self.unit.streams.items():
            if number in self.role.shared:
                continue
            if number in open_places:
                head += b"/Filter/FlateDecode"
                contents = zlib.compress(self._written(contents), 9)
            yield self.base + number, self._written(head), contents

    def _written(self, data: bytes) -> bytes:
        """Objects whose references lead to their places in the book."""
        return TOKENS.sub(self._token, data)

    def _token(self, found: re.Match[bytes]) -> bytes:
        reference, number, name = found.groups()
        if reference:
            return refers(self.role.shared.get(int(reference), self.base + int(reference)))
        return b"%d" % (self.base + int(number)) if number else self._decided(name.decode())

    def _decided(self, name: str) -> bytes:
        """Something by its name, as `press.unit` explains it."""
        if name in FIXED:
            return refers(FIXED[name])
        if name in self._numbers.decided:
            return self._numbers.decided[name]
        kind, rest = name[:1], name[1:]
        if kind == "H":
            again = self.role.again and rest == "1"
            return b"/P" if again else b"/H%d" % (int(rest) + self.role.lowered)
        if kind == "M":
            return b"%d" % (self._numbers.last or self.base + int(rest))
        number, _, led_to = rest.partition(":")
        is_dead = int(number) in self.role.dead
        if kind == "L":
            return b"/Span" if is_dead else b"/Link"
        return b"" if is_dead else refers(self.base + int(led_to))


def pictures(unit: Unit) -> Iterator[tuple[int, str]]:
    """The number of each picture of a unit, and what tells it from others, its mask included."""

    def told(number: int) -> str:
        head, contents = unit.streams[number]
        return key_of(TOKENS.sub(lambda found: told(int(found[1])).encode(), head), contents)

    for number, (head, _) in unit.streams.items():
        if b"/Subtype /Image" in head:
            yield number, told(number)


def _runs(numbers: list[int]) -> Iterator[tuple[int, int, int]]:
    """Numbers that follow each other: the place of the first, the first, and how many."""
    for _, run in groupby(enumerate(numbers), key=lambda place: place[1] - place[0]):
        (rank, first), *others = run
        yield rank, first, 1 + len(others)
