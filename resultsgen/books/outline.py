"""Bookmarks as a PDF has them: a tree, every line of which knows those around it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Protocol

from resultsgen.books.press.unit import Bookmark
from resultsgen.books.syntax import refers, string


class Objects(Protocol):
    """What objects can be added to."""

    def new_number(self) -> int:
        """A number that nothing has yet."""

    def add(self, data: bytes, number: int = 0) -> int:
        """An object that is no stream."""

    def add_stream(self, head: bytes, contents: bytes, number: int = 0) -> int:
        """An object that is a stream."""


@dataclass
class Line:
    """A bookmark with its number and those below it."""

    number: int
    level: int
    title: str
    place: bytes
    below: list[Line] = field(default_factory=list)


def outline_objects(objects: Objects, marks: Sequence[tuple[Bookmark, bytes]], root: int) -> None:
    """Add the tree of these bookmarks, each with the place it leads to."""
    top = Line(root, 0, "", b"")
    above = [top]
    for mark, place in marks:
        while above[-1].level >= mark.level:
            above.pop()
        line = Line(objects.new_number(), mark.level, mark.title, place)
        above[-1].below.append(line)
        above.append(line)
    objects.add(b"<</Type/Outlines%b>>" % _inside(top), root)
    _add_below(objects, top)


def _add_below(objects: Objects, above: Line) -> None:
    numbers = [line.number for line in above.below]
    for rank, line in enumerate(above.below):
        before = b"/Prev %b" % refers(numbers[rank - 1]) if rank else b""
        after = b"/Next %b" % refers(numbers[rank + 1]) if rank + 1 < len(numbers) else b""
        objects.add(
            b"<</Title%b/Parent %b%b%b%b/Dest%b>>"
            % (
                string(line.title),
                refers(above.number),
                before,
                after,
                _inside(line),
                line.place,
            ),
            line.number,
        )
        _add_below(objects, line)


def _inside(line: Line) -> bytes:
    """The first and last line below, and how many a reader shows when it opens the book."""
    if not line.below:
        return b""
    first, last = line.below[0].number, line.below[-1].number
    count = len(line.below) if line.level == 0 else -len(line.below)
    return b"/First %b/Last %b/Count %d" % (refers(first), refers(last), count)
