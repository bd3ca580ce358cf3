"""Joins units to a book: a PDF with page numbers, contents, bookmarks, links, tags and fonts.

Nothing is parsed and nothing is laid out here. Each unit gets a range of numbers to itself, with
room to grow, so that where one unit changes, the others stay as they are.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from resultsgen.books import metadata
from resultsgen.books.metadata import About, Attachment
from resultsgen.books.own_texts import PageEdges, Pages, pages_of
from resultsgen.books.pdf_file import PdfFile, array, number, references, refers, sort_key, string
from resultsgen.books.pdf_fonts import font_objects
from resultsgen.books.placed_units import FIXED, UnitRole, pictures, placed, size
from resultsgen.books.press.unit import FONTS, ROOT, Unit, page_object
from resultsgen.files.cache import Cache

CATALOG, PAGES, ELEMENTS, BACK, INFO, XMP, ICC, OUTLINE = 1, 2, 4, 6, 7, 8, 9, 10
"""The numbers of what a book has once; FIXED has the others."""

SMALLEST_RANGE = 64

SHIFT = 11.3
"""In a book that is bound, text stands so many points (4 mm) nearer to the outer edge."""


class DeadLinkError(LookupError):
    """A link leads to something that no book has."""


@dataclass(frozen=True)
class BookPart:
    """A unit and what it is in this book."""

    unit: Unit
    key: str
    again: bool


@dataclass(frozen=True)
class JoinedUnits:
    """Units in the order of a book, each with its range of numbers and its first page."""

    parts: tuple[BookPart, ...]

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
    def referenced(self) -> tuple[tuple[Pages, ...], ...]:
        """The page numbers that stand in the text of each unit."""
        return tuple(
            tuple(pages_of(one.targets, self.page_numbers) for one in part.unit.page_references)
            for part in self.parts
        )

    @cached_property
    def shared_pictures(self) -> tuple[dict[int, int], ...]:
        """By unit, the pictures that one before has too, with their numbers in the book."""
        first: dict[str, int] = {}
        return tuple(
            {
                number: at
                for number, told in pictures(part.unit)
                if (at := first.setdefault(told, base + number)) != base + number
            }
            for part, base in zip(self.parts, self.bases, strict=False)
        )

    def places(self, wanted: Collection[str]) -> dict[str, bytes]:
        """Where on which page these first stand, if they are in this book."""
        return {
            name: self.place(rank, *part.unit.anchors[name])
            for rank, part in reversed([*enumerate(self.parts)])
            for name in part.unit.anchors.keys() & wanted
        }

    def place(self, rank: int, page: int, y: float) -> bytes:
        """A height on a page of a unit, as a link names it."""
        sheet = self.bases[rank] + page_object(page, len(self.parts[rank].unit.pages))
        return b"[%b/XYZ 0 %b 0]" % (refers(sheet), number(y))


def joined_book(
    joined: JoinedUnits,
    about: About,
    edges: PageEdges,
    fonts: Mapping[str, bytes],
    known: Collection[str],
    outlines: Callable[[bytes, frozenset[int]], bytes],
    cache: Cache,
    *,
    named: Collection[str] = (),
    has_cover: bool = False,
    attachments: Sequence[Attachment] = (),
) -> bytes | bytearray:
    """The PDF; *known* is what a link may lead to in some book, even if not in this one, and
    *named* what pages of the site lead to in this.

    Below a cover headings are lowered by a level, and the text of a right-hand page moves to the
    right and that of a left-hand page to the left.
    """
    file = PdfFile(joined.bases[-1])
    for rank, part in enumerate(joined.parts):
        dead = frozenset(_dead_links(part.unit, joined, known))
        lowered = 1 if has_cover and rank else 0
        shared = joined.shared_pictures[rank]
        role = UnitRole(lowered, part.again, dead, joined.referenced[rank], shared)
        made = placed(part.unit, part.key, joined.bases[rank], role, cache)
        file.add_written(made.data, made.places, made.packed)
        _add_pages(file, joined, rank, made.links, edges, SHIFT if has_cover else 0)
    units = [part.unit for part in joined.parts]
    letters = edges.letters(units, joined.pages)
    file.add(font_objects(file, units, letters, fonts, outlines), FIXED[FONTS])
    _add_elements(file, joined)
    attached = metadata.attached(file, attachments, about.created)
    catalog, names = _catalog(file, joined, about), _names(joined, named)
    if attached:
        sources = array(string(name) + refers(source) for name, source in attached)
        names += b"/EmbeddedFiles<</Names%b>>" % sources
        catalog += b"/AF" + references(source for _, source in attached)
    file.add(b"<<%b/Names<<%b>>>>" % (catalog, names), CATALOG)
    return file.finished(CATALOG, INFO)


def _dead_links(unit: Unit, joined: JoinedUnits, known: Collection[str]) -> Iterator[int]:
    """The links of a unit to what this book does not have; one to nothing at all is an error."""
    for annotation, target in unit.links.items():
        if target not in joined.page_numbers:
            if target not in known:
                raise DeadLinkError(f"a link leads to {target}, which is nowhere")
            yield annotation


def _add_pages(
    file: PdfFile,
    joined: JoinedUnits,
    rank: int,
    links: Sequence[Sequence[int]],
    edges: PageEdges,
    shift: float,
) -> None:
    """The pages of a unit, each with its links and with what the book writes at its edge."""
    unit, base = joined.parts[rank].unit, joined.bases[rank]
    for index, page in enumerate(unit.pages):
        page_number = joined.first_pages[rank] + index
        contents = [base + page.content]
        if written := edges.written(unit, page, page_number, joined.pages, bound=shift > 0):
            contents.append(file.add_stream(b"", written, base + index))
        sheet = base + page_object(index, len(unit.pages))
        moved = -shift if page_number % 2 else shift
        box = array(map(number, (moved, 0, page.width + moved, page.height)))
        annotations = b"/Annots" + references(links[index]) if links[index] else b""
        what = b"/MediaBox%b/Contents%b/Resources %b%b/Tabs/S/StructParents %d" % (
            box, references(contents), refers(base + page.resources), annotations, sheet,
        )  # fmt: skip
        file.add(b"<</Type/Page/Parent %b%b>>" % (refers(PAGES), what), sheet)


def _add_elements(file: PdfFile, joined: JoinedUnits) -> None:
    """The tags: below one root what each unit has, and from the text on the pages back to them."""
    based = [(part.unit, joined.bases[rank]) for rank, part in enumerate(joined.parts)]
    elements = references(base + element for unit, base in based for element in unit.elements)
    root = b"<</Type/StructElem/S/Document/P %b/K%b>>" % (refers(ELEMENTS), elements)
    file.add(root, FIXED[ROOT])
    file.add(b"<</Kids%b>>" % references(base + unit.leaf for unit, base in based), BACK)
    whole = b"<</Type/StructTreeRoot/K %b/ParentTree %b/ParentTreeNextKey %d>>"
    file.add(whole % (refers(FIXED[ROOT]), refers(BACK), joined.bases[-1]), ELEMENTS)


def _catalog(file: PdfFile, joined: JoinedUnits, about: About) -> bytes:
    """What leads to everything else."""
    sheets = [
        joined.bases[rank] + page_object(page, len(part.unit.pages))
        for rank, part in enumerate(joined.parts)
        for page in range(len(part.unit.pages))
    ]
    file.add(b"<</Type/Pages/Count %d/Kids%b>>" % (len(sheets), references(sheets)), PAGES)
    file.add(b"<<" + b"".join(b"/%b %b" % pair for pair in metadata.info(about)) + b">>", INFO)
    file.add_stream(b"/Type/Metadata/Subtype/XML", metadata.xmp(about), XMP)
    catalog = (
        b"/Type/Catalog/Pages %b/Lang%b/MarkInfo<</Marked true>>/StructTreeRoot %b/Metadata %b"
        b"/ViewerPreferences<</DisplayDocTitle true>>/PageLabels<</Nums[0<</S/D>>]>>"
    ) % (refers(PAGES), string(about.language), refers(ELEMENTS), refers(XMP))
    if profile := metadata.colours():
        file.add_stream(b"/N 3", profile, ICC)
        catalog += (
            b"/OutputIntents[<</Type/OutputIntent/S/GTS_PDFA1/OutputConditionIdentifier(sRGB)"
            b"/Info(sRGB IEC61966-2.1)/DestOutputProfile %b>>]" % refers(ICC)
        )
    if _add_outline(file, joined):
        catalog += b"/Outlines %b/PageMode/UseOutlines" % refers(OUTLINE)
    return catalog


def _names(joined: JoinedUnits, named: Collection[str]) -> bytes:
    """Where the names are that links of this book lead to, and those of pages."""
    wanted = {*named}.union(*(part.unit.links.values() for part in joined.parts))
    wanted |= {target for unit in joined.referenced for pages in unit for _, target in pages}
    places = joined.places(wanted)
    names = sorted(places, key=sort_key)
    return b"/Dests<</Names%b>>" % array(string(name) + places[name] for name in names)


@dataclass
class OutlineEntry:
    """A bookmark with its number and those below it."""

    number: int
    level: int
    title: bytes = b""
    place: bytes = b""
    below: list[OutlineEntry] = field(default_factory=list)


def _add_outline(file: PdfFile, joined: JoinedUnits) -> bool:
    """Add the tree of bookmarks, if there are any: chapters, and what is in them.

    A chapter that goes on in a new unit is not named again.
    """
    top = OutlineEntry(OUTLINE, 0)
    above = [top]
    for rank, part in enumerate(joined.parts):
        for mark in part.unit.bookmarks:
            if part.again and mark.level == 1:
                continue
            while above[-1].level >= mark.level:
                above.pop()
            title, place = string(mark.title), joined.place(rank, mark.page, mark.y)
            entry = OutlineEntry(file.new_number(), mark.level, title, place)
            above[-1].below.append(entry)
            above.append(entry)
    if top.below:
        file.add(b"<</Type/Outlines%b>>" % _first_and_last(top), OUTLINE)
        _add_entries(file, top)
    return bool(top.below)


def _add_entries(file: PdfFile, above: OutlineEntry) -> None:
    """Every entry of the tree knows those around it."""
    numbers = [entry.number for entry in above.below]
    for rank, entry in enumerate(above.below):
        around = b"/Parent %b" % refers(above.number)
        around += b"/Prev %b" % refers(numbers[rank - 1]) if rank else b""
        around += b"/Next %b" % refers(numbers[rank + 1]) if entry.number != numbers[-1] else b""
        inside = _first_and_last(entry)
        said = b"<</Title%b%b%b/Dest%b>>" % (entry.title, around, inside, entry.place)
        file.add(said, entry.number)
        _add_entries(file, entry)


def _first_and_last(entry: OutlineEntry) -> bytes:
    """The first and last entry below, and how many a reader shows when it opens the book."""
    if not entry.below:
        return b""
    first, last = entry.below[0].number, entry.below[-1].number
    count = len(entry.below) if entry.level == 0 else -len(entry.below)
    return b"/First %b/Last %b/Count %d" % (refers(first), refers(last), count)
