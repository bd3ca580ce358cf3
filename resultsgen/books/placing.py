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

from resultsgen.cache import Cache, key_of
from resultsgen.press.unit import BETWEEN, FONTS, ROOT, Unit

FIXED = {FONTS: 3, ROOT: 5}
"""The numbers of what all units share."""

COMPRESSED_AT_ONCE = 200
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

    @property
    def key(self) -> str:
        """Tells two roles apart."""
        return f"{self.lowered} {self.again} {sorted(self.dead)}"


@dataclass(frozen=True)
class Placed:
    """A unit in its place, as it stands in the file."""

    data: bytes = field(repr=False)
    objects: tuple[tuple[int, int], ...]
    """The number of each object that stands by itself, and where in *data* it begins."""
    packed: tuple[tuple[int, int, int, int], ...]
    """What is packed: by which object, from which place in it, from which number, how many."""


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
    return unit.size + -(-len(unit.plain_numbers) // COMPRESSED_AT_ONCE)


def _placed(unit: Unit, base: int, role: Role) -> Placed:
    data, objects, packed = bytearray(), [], []
    for number, (head, stream) in unit.streams.items():
        objects.append((base + number, len(data)))
        data += stream_object(base + number, _relocated(head, base, role), stream)
    plain = _relocated(zlib.decompress(unit.plain), base, role).split(BETWEEN)
    numbers = [base + number for number in unit.plain_numbers]
    for pack, start in enumerate(range(0, len(plain), COMPRESSED_AT_ONCE), start=base + unit.size):
        inside = slice(start, start + COMPRESSED_AT_ONCE)
        objects.append((pack, len(data)))
        packed += [(pack, *run) for run in _runs(numbers[inside])]
        data += packed_object(pack, dict(zip(numbers[inside], plain[inside], strict=True)))
    return Placed(bytes(data), tuple(objects), tuple(packed))


def _runs(numbers: list[int]) -> Iterator[tuple[int, int, int]]:
    """Numbers that follow each other: the place of the first, the first, and how many."""
    start = 0
    for end in range(1, len(numbers) + 1):
        if end == len(numbers) or numbers[end] != numbers[end - 1] + 1:
            yield start, numbers[start], end - start
            start = end


def stream_object(number: int, head: bytes, contents: bytes) -> bytes:
    """An object that is a stream."""
    return b"%d 0 obj\n%b\nstream\n%b\nendstream\nendobj\n" % (number, head, contents)


def packed_object(number: int, objects: Mapping[int, bytes]) -> bytes:
    """An object that packs others, which are no streams."""
    index, at = [], 0
    for one, data in objects.items():
        index.append(b"%d %d" % (one, at))
        at += len(data) + 1
    first = b" ".join(index) + b"\n"
    contents = zlib.compress(first + b"\n".join(objects.values()), 6)
    head = b"<</Type/ObjStm/N %d/First %d/Filter/FlateDecode/Length %d>>" % (
        len(objects),
        len(first),
        len(contents),
    )
    return stream_object(number, head, contents)


def _relocated(data: bytes, base: int, role: Role) -> bytes:
    """Objects whose references lead to their places in the book."""

    def token(found: re.Match[bytes]) -> bytes:
        reference, number, name = found.groups()
        if reference:
            return b"%d 0 R" % (base + int(reference))
        if number:
            return b"%d" % (base + int(number))
        return _shared(name, base, role)

    return TOKENS.sub(token, data)


def _shared(name: bytes, base: int, role: Role) -> bytes:
    """What the book decides upon."""
    if name in FIXED:
        return b"%d 0 R" % FIXED[name]
    kind, rest = name[:1], name[1:]
    if kind == b"H":
        return b"/P" if role.again and rest == b"1" else b"/H%d" % (int(rest) + role.lowered)
    number, _, led_to = rest.partition(b":")
    is_dead = int(number) in role.dead
    if kind == b"L":
        return b"/Span" if is_dead else b"/Link"
    return b"" if is_dead else b"%d 0 R" % (base + int(led_to))


def _kept_form(made: Placed) -> bytes:
    head = json.dumps([made.objects, made.packed], separators=(",", ":")).encode()
    return len(head).to_bytes(4, "big") + head + made.data


def _from_kept_form(kept: bytes) -> Placed:
    start = 4 + int.from_bytes(kept[:4], "big")
    objects, packed = json.loads(kept[4:start])
    return Placed(kept[start:], tuple(map(tuple, objects)), tuple(map(tuple, packed)))
