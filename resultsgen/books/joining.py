"""Joins units to a book: a PDF with page numbers, contents, bookmarks, links, tags and fonts.

Nothing is parsed and nothing is laid out here. Each unit gets a range of numbers to itself, with
room to grow, so that where one unit changes, the others stay as they are.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from hashlib import sha256

from resultsgen.books import metadata
from resultsgen.books.appendix import Attachment, associated, attachment_objects, named
from resultsgen.books.edges import Edges
from resultsgen.books.metadata import About
from resultsgen.books.numbering import Told, told
from resultsgen.books.outline import outline_objects
from resultsgen.books.placeholders import (
    FIXED,
    Placed,
    Role,
    packed_object,
    placed,
    size,
    stream_object,
)
from resultsgen.books.press.unit import FONTS, ROOT, Bookmark, Unit, UnitPage, page_object
from resultsgen.books.syntax import Directory, array, number, refers, sort_key, string
from resultsgen.books.typeface import font_objects
from resultsgen.files.cache import Cache

CATALOG, PAGES, ELEMENTS, BACK, INFO, XMP, ICC, OUTLINE = 1, 2, 4, 6, 7, 8, 9, 10
"""The numbers of what a book has once; FIXED has the others."""

SMALLEST_RANGE = 64
LAST_NUMBER = 8_388_607
"""No PDF/A may have a higher number."""


class DeadLinkError(LookupError):
    """A link leads to something that no book has."""


class TooLargeError(LookupError):
    """A book would have more objects than a PDF may have; nobody could carry it, either."""


@dataclass(frozen=True)
class Part:
    """A unit and what it is in this book."""

    unit: Unit
    key: str
    lowered: int
    again: bool


@dataclass(frozen=True)
class Joined:
    """Units in the order of a book, each with its range of numbers and its first page."""

    parts: tuple[Part, ...]

    @cached_property
    def bases(self) -> tuple[int, ...]:
        """The first number of the range of each unit, and at the end that of none.

        A range is a power of two, so that a unit which grows a little moves none behind it.
        """
        bases = [SMALLEST_RANGE]
        for part in self.parts:
            needed = 1 << (size(part.unit) - 1).bit_length()
            bases.append(bases[-1] + max(SMALLEST_RANGE, needed))
        return tuple(bases)

    @cached_property
    def first_pages(self) -> tuple[int, ...]:
        """The number of the first page of each unit, and at the end that of no page."""
        firsts = [1]
        for part in self.parts:
            firsts.append(firsts[-1] + len(part.unit.pages))
        return tuple(firsts)

    @property
    def pages(self) -> int:
        """How many pages the book has."""
        return self.first_pages[-1] - 1

    @cached_property
    def page_numbers(self) -> dict[str, int]:
        """The page of everything that a link can lead to: where it first stands."""
        return {
            name: first + page
            for part, first in reversed([*zip(self.parts, self.first_pages, strict=False)])
            for name, (page, _) in part.unit.anchors.items()
        }

    @cached_property
    def told(self) -> tuple[Told, ...]:
        """The page numbers that stand in the text of each unit."""
        return tuple(told(part.unit, self.page_numbers) for part in self.parts)

    def places(self, wanted: Collection[str]) -> dict[str, bytes]:
        """Where on which page these stand, if they are in this book."""
        return {
            name: self.place(rank, *part.unit.anchors[name])
            for rank, part in reversed([*enumerate(self.parts)])
            for name in part.unit.anchors.keys() & wanted
        }

    def place(self, rank: int, page: int, y: float) -> bytes:
        """A height on a page of a unit."""
        sheet = self.bases[rank] + page_object(page, len(self.parts[rank].unit.pages))
        return b"[%b/XYZ 0 %b 0]" % (refers(sheet), number(y))


class Writing:
    """A file that grows: objects by themselves, and those that are packed at its end."""

    def __init__(self, next_number: int) -> None:
        self.data = bytearray(b"%PDF-1.7\n%\xf0\x9f\x96\xa4\n")
        self.directory = Directory()
        self._packed: dict[int, bytes] = {}
        self._next = next_number

    def new_number(self) -> int:
        """A number that nothing has yet."""
        self._next += 1
        return self._next - 1

    def add(self, data: bytes, number: int = 0) -> int:
        """An object that is no stream."""
        number = number or self.new_number()
        self._packed[number] = data
        return number

    def add_stream(self, head: bytes, contents: bytes, number: int = 0) -> int:
        """An object that is a stream; *head* is what its dictionary says beside the length."""
        number = number or self.new_number()
        self.directory.at(number, len(self.data))
        self.data += stream_object(number, head, contents)
        return number

    def finished(self) -> bytes | bytearray:
        """The whole file; its identifier is made of all that stands in it."""
        if self._next + 2 > LAST_NUMBER:
            raise TooLargeError("the book is too large for a PDF; split the meet")
        pack = self.new_number()
        self.directory.at(pack, len(self.data))
        self.data += packed_object(pack, self._packed)
        for rank, one in enumerate(self._packed):
            self.directory.packed(pack, rank, one, 1)
        table, start = self.new_number(), len(self.data)
        self.directory.at(table, start)
        head, contents = self.directory.stream()
        identity = sha256(self.data).hexdigest()[:32].encode()
        head += b"/Root %b/Info %b/ID[<%b><%b>]" % (
            refers(CATALOG),
            refers(INFO),
            identity,
            identity,
        )
        self.data += stream_object(table, head, contents)
        self.data += b"startxref\n%d\n%%%%EOF\n" % start
        return self.data


def joined_book(
    joined: Joined,
    about: About,
    edges: Edges,
    fonts: Mapping[str, bytes],
    known: Iterable[str],
    cache: Cache,
    *,
    shift: float = 0,
    attachments: Sequence[Attachment] = (),
) -> bytes | bytearray:
    """The PDF; *known* is what a link may lead to in some book, even if not in this one.

    *shift* moves the text of a right-hand page to the right and of a left-hand page to the left.
    """
    writing = Writing(joined.bases[-1])
    known = frozenset(known)
    for rank, part in enumerate(joined.parts):
        dead = frozenset(_dead_links(part.unit, joined, known))
        role = Role(part.lowered, part.again, dead, joined.told[rank])
        made = placed(part.unit, part.key, joined.bases[rank], role, cache)
        _add_placed(writing, made)
        _add_pages(writing, joined, rank, made.links, edges, shift)
    units = [part.unit for part in joined.parts]
    letters = edges.letters(units, joined.pages)
    writing.add(font_objects(writing, units, letters, fonts), FIXED[FONTS])
    _add_elements(writing, joined)
    attached = attachment_objects(writing, attachments, about.created)
    catalog = _catalog(writing, joined, about)
    names = _names(joined)
    if attached:
        names, catalog = names + named(attached), catalog + associated(attached)
    writing.add(b"<<%b/Names<<%b>>>>" % (catalog, names), CATALOG)
    return writing.finished()


def _dead_links(unit: Unit, joined: Joined, known: frozenset[str]) -> Iterator[int]:
    """The links of a unit to what this book does not have; one to nothing at all is an error."""
    for annotation, target in unit.links.items():
        if target not in joined.page_numbers:
            if target not in known:
                raise DeadLinkError(f"a link leads to {target}, which is nowhere")
            yield annotation


def _add_placed(writing: Writing, made: Placed) -> None:
    start = len(writing.data)
    writing.data += made.data
    for one, at in made.objects:
        writing.directory.at(one, start + at)
    for pack, rank, first, count in made.packed:
        writing.directory.packed(pack, rank, first, count)


def _add_pages(
    writing: Writing,
    joined: Joined,
    rank: int,
    links: Sequence[Sequence[int]],
    edges: Edges,
    shift: float,
) -> None:
    """The pages of a unit, each with its links and with what the book writes at its edge."""
    unit, base = joined.parts[rank].unit, joined.bases[rank]
    for index, page in enumerate(unit.pages):
        page_number = joined.first_pages[rank] + index
        contents = [base + page.content]
        if written := edges.written(unit, page, page_number, joined.pages):
            contents.append(writing.add_stream(b"", written, base + index))
        sheet = base + page_object(index, len(unit.pages))
        moved = -shift if page_number % 2 else shift
        writing.add(_page(page, sheet, contents, base, moved, links[index]), sheet)


def _page(
    page: UnitPage,
    sheet: int,
    contents: list[int],
    base: int,
    moved: float,
    links: Sequence[int],
) -> bytes:
    box = array(map(number, (moved, 0, page.width + moved, page.height)))
    annotations = b"/Annots" + array(map(refers, links)) if links else b""
    return (
        b"<</Type/Page/Parent %b/MediaBox%b/Contents%b/Resources %b%b/Tabs/S/StructParents %d>>"
        % (
            refers(PAGES),
            box,
            array(map(refers, contents)),
            refers(base + page.resources),
            annotations,
            sheet,
        )
    )


def _add_elements(writing: Writing, joined: Joined) -> None:
    """The tags: below one root what each unit has, and from the text on the pages back to them."""
    based = [(part.unit, joined.bases[rank]) for rank, part in enumerate(joined.parts)]
    elements = array(refers(base + one) for unit, base in based for one in unit.elements)
    root = b"<</Type/StructElem/S/Document/P %b/K%b>>" % (refers(ELEMENTS), elements)
    writing.add(root, FIXED[ROOT])
    back = array(refers(base + unit.leaf) for unit, base in based)
    writing.add(b"<</Kids%b>>" % back, BACK)
    whole = b"<</Type/StructTreeRoot/K %b/ParentTree %b/ParentTreeNextKey %d>>"
    last = joined.bases[-1]
    writing.add(whole % (refers(FIXED[ROOT]), refers(BACK), last), ELEMENTS)


def _catalog(writing: Writing, joined: Joined, about: About) -> bytes:
    """What leads to everything else."""
    _add_page_tree(writing, joined)
    writing.add(b"<<" + b"".join(b"/%b %b" % one for one in metadata.info(about)) + b">>", INFO)
    writing.add_stream(b"/Type/Metadata/Subtype/XML", metadata.xmp(about), XMP)
    catalog = (
        b"/Type/Catalog/Pages %b/Lang%b/MarkInfo<</Marked true>>/StructTreeRoot %b/Metadata %b"
        b"/ViewerPreferences<</DisplayDocTitle true>>/PageLabels<</Nums[0<</S/D>>]>>"
    ) % (refers(PAGES), string(about.language), refers(ELEMENTS), refers(XMP))
    catalog += _colours(writing)
    if marks := list(_bookmarks(joined)):
        outline_objects(writing, marks, OUTLINE)
        catalog += b"/Outlines %b/PageMode/UseOutlines" % refers(OUTLINE)
    return catalog


def _add_page_tree(writing: Writing, joined: Joined) -> None:
    sheets = [
        joined.bases[rank] + page_object(page, len(part.unit.pages))
        for rank, part in enumerate(joined.parts)
        for page in range(len(part.unit.pages))
    ]
    tree = b"<</Type/Pages/Count %d/Kids%b>>" % (len(sheets), array(map(refers, sheets)))
    writing.add(tree, PAGES)


def _colours(writing: Writing) -> bytes:
    profile = metadata.colours()
    if profile is None:
        return b""
    writing.add_stream(b"/N 3", profile, ICC)
    return (
        b"/OutputIntents[<</Type/OutputIntent/S/GTS_PDFA1/OutputConditionIdentifier(sRGB)"
        b"/Info(sRGB IEC61966-2.1)/DestOutputProfile %b>>]" % refers(ICC)
    )


def _names(joined: Joined) -> bytes:
    """Where the names are that links of this book lead to."""
    wanted = {target for part in joined.parts for target in part.unit.links.values()}
    wanted |= {target for told in joined.told for pages in told for _, target in pages}
    places = joined.places(wanted)
    names = sorted(places, key=sort_key)
    return b"/Dests<</Names%b>>" % array(string(name) + places[name] for name in names)


def _bookmarks(joined: Joined) -> Iterator[tuple[Bookmark, bytes]]:
    """Chapters and what is in them; a chapter that goes on in a new unit is not named again."""
    for rank, part in enumerate(joined.parts):
        for mark in part.unit.bookmarks:
            if not (part.again and mark.level == 1):
                yield mark, joined.place(rank, mark.page, mark.y)
