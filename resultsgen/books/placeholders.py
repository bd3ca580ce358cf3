"""Puts a unit into its place in a book: its numbers become those of the book.

What comes out depends on the unit, its first number and little else, so it is kept as well: where
one unit has changed, all others are taken over as they stand.
"""

from __future__ import annotations

import json
import re
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from resultsgen.books.numbering import Numbers, Told, numbers_needed
from resultsgen.books.press.unit import BETWEEN, FONTS, ROOT, Unit
from resultsgen.files.cache import Cache, key_of

FIXED = {FONTS: 3, ROOT: 5}
"""The numbers of what all units share."""

COMPRESSED_AT_ONCE = 1000
"""So many objects share a stream; who wants one of them has to unpack them all."""

TOKENS = re.compile(rb"\xff(\d+)\xff|\xfd(\d+)\xfd|\xfe([^\xfe]+)\xfe")


@dataclass(frozen=True)
class Role:
    """What the book decides about a unit."""

    lowered: int
    """By how many levels its headings are lowered; below a cover, by one."""
    again: bool
    """It goes on with the chapter of the unit before, whose name is no heading here."""
    dead: frozenset[int]
    """The links that lead to nothing in this book."""
    told: Told
    """The page numbers that stand in its text."""

    @property
    def key(self) -> str:
        """Tells two roles apart."""
        return f"{self.lowered} {self.again} {sorted(self.dead)} {self.told}"


@dataclass(frozen=True)
class Placed:
    """A unit in its place, as it stands in the file."""

    data: bytes = field(repr=False)
    objects: tuple[tuple[int, int], ...]
    """The number of each object that stands by itself, and where in *data* it begins."""
    packed: tuple[tuple[int, int, int, int], ...]
    """What is packed: by which object, from which place in it, from which number, how many."""
    links: tuple[tuple[int, ...], ...]
    """Those on each page that lead somewhere."""


def placed(unit: Unit, key: str, base: int, role: Role, cache: Cache) -> Placed:
    """A unit in its place, from the cache if it has been there before."""
    kept_as = key_of("placed", key, str(base), role.key)
    if kept := cache.get(kept_as):
        return _from_kept_form(kept)
    made = _placed(unit, base, role)
    cache.put(kept_as, _kept_form(made))
    return made


def size(unit: Unit) -> int:
    """How many numbers a unit takes up in a book."""
    plain = len(unit.plain_numbers) + numbers_needed(unit)
    return _packs(unit) - (-plain // COMPRESSED_AT_ONCE)


def _packs(unit: Unit) -> int:
    """The first number of what its objects are packed by."""
    return unit.size + numbers_needed(unit)


def _placed(unit: Unit, base: int, role: Role) -> Placed:
    data, objects, packed = bytearray(), [], []
    place = _Place(base, role, Numbers(unit, base, role.told))
    for number, (head, contents) in _streams(unit, place):
        objects.append((number, len(data)))
        data += stream_object(number, head, contents)
    plain = _plain(unit, place)
    for pack, start in enumerate(range(0, len(plain), COMPRESSED_AT_ONCE), base + _packs(unit)):
        inside = dict(plain[start : start + COMPRESSED_AT_ONCE])
        objects.append((pack, len(data)))
        packed += [(pack, *run) for run in _runs(list(inside))]
        data += packed_object(pack, inside)
    return Placed(bytes(data), tuple(objects), tuple(packed), tuple(_links(unit, place)))


def _links(unit: Unit, place: _Place) -> Iterator[tuple[int, ...]]:
    """Those on each page."""
    for page, numbers in zip(unit.pages, place.numbers.links, strict=True):
        alive = (one for one in page.annotations if one not in place.role.dead)
        yield (*(place.base + one for one in alive), *numbers)


def _streams(unit: Unit, place: _Place) -> Iterator[tuple[int, tuple[bytes, bytes]]]:
    """Each stream by its number in the book: what is said of it, and its contents."""
    open = {unit.pages[room.page].content for one in unit.mentions for room in one.rooms}
    for number, (head, contents) in unit.streams.items():
        if number in open:
            head += b"/Filter/FlateDecode"
            contents = zlib.compress(place.written(contents), 9)
        yield place.base + number, (place.written(head), contents)


def _plain(unit: Unit, place: _Place) -> list[tuple[int, bytes]]:
    """Each object that is no stream, by its number in the book."""
    plain = place.written(zlib.decompress(unit.plain)).split(BETWEEN)
    numbers = (place.base + number for number in unit.plain_numbers)
    return [*zip(numbers, plain, strict=True), *place.numbers.objects.items()]


def _runs(numbers: list[int]) -> Iterator[tuple[int, int, int]]:
    """Numbers that follow each other: the place of the first, the first, and how many."""
    start = 0
    for end in range(1, len(numbers) + 1):
        if end == len(numbers) or numbers[end] != numbers[end - 1] + 1:
            yield start, numbers[start], end - start
            start = end


def stream_object(number: int, head: bytes, contents: bytes) -> bytes:
    """An object that is a stream; *head* is what its dictionary says beside the length."""
    return b"%d 0 obj\n<<%b/Length %d>>\nstream\n%b\nendstream\nendobj\n" % (
        number,
        head,
        len(contents),
        contents,
    )


def packed_object(number: int, objects: Mapping[int, bytes]) -> bytes:
    """An object that packs others, which are no streams."""
    index, at = [], 0
    for one, data in objects.items():
        index.append(b"%d %d" % (one, at))
        at += len(data) + 1
    first = b" ".join(index) + b"\n"
    contents = zlib.compress(first + b"\n".join(objects.values()), 7)
    head = b"/Type/ObjStm/N %d/First %d/Filter/FlateDecode" % (len(objects), len(first))
    return stream_object(number, head, contents)


@dataclass(frozen=True)
class _Place:
    """What the objects of a unit are written for: where it stands, and what the book decides."""

    base: int
    role: Role
    numbers: Numbers

    def written(self, data: bytes) -> bytes:
        """Objects whose references lead to their places in the book."""
        return TOKENS.sub(self._token, data)

    def _token(self, found: re.Match[bytes]) -> bytes:
        reference, number, name = found.groups()
        if reference:
            return b"%d 0 R" % (self.base + int(reference))
        if number:
            return b"%d" % (self.base + int(number))
        return self._decided(name.decode())

    def _decided(self, name: str) -> bytes:
        if name in FIXED:
            return b"%d 0 R" % FIXED[name]
        if name in self.numbers.decided:
            return self.numbers.decided[name]
        kind, rest = name[:1], name[1:]
        if kind == "H":
            again = self.role.again and rest == "1"
            return b"/P" if again else b"/H%d" % (int(rest) + self.role.lowered)
        if kind == "M":
            return b"%d" % (self.numbers.last or self.base + int(rest))
        number, _, led_to = rest.partition(":")
        is_dead = int(number) in self.role.dead
        if kind == "L":
            return b"/Span" if is_dead else b"/Link"
        return b"" if is_dead else b"%d 0 R" % (self.base + int(led_to))


def _kept_form(made: Placed) -> bytes:
    told = [made.objects, made.packed, made.links]
    head = json.dumps(told, separators=(",", ":")).encode()
    return len(head).to_bytes(4, "big") + head + made.data


def _from_kept_form(kept: bytes) -> Placed:
    start = 4 + int.from_bytes(kept[:4], "big")
    parts = (tuple(map(tuple, part)) for part in json.loads(kept[4:start]))
    return Placed(kept[start:], *parts)
