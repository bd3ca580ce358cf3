"""A unit: a few sections that start on a new page, rendered by themselves, without page numbers.

A unit knows nothing of its place in a book. Its objects refer to each other by their number within
the unit, written between two bytes that occur nowhere else in them; the few things that all units
of a book share are referred to by name. Where page numbers will stand, it leaves room.
`placed_units` puts a unit into its place.
"""

from __future__ import annotations

from dataclasses import dataclass, field

REFERENCE = b"\xff"
"""Stands on either side of a number within the unit: a reference to that object."""

NUMBER = b"\xfd"
"""The same, where the number alone is meant."""

DECIDED = b"\xfe"
"""Stands on either side of the name of something that the book decides."""

BETWEEN = b"\xfb"
"""Stands between two objects."""

FONTS, ROOT = "fonts", "root"
"""The dictionary of fonts, and the element that holds all units. Further names that the book
decides upon: a heading by its level (`H2`); a link by its number (`L3`: its role, `R3`: its place
on paper), since in this book there may be nothing that it could lead to; and of the page numbers in
a room what is printed (`N0`) and its tags (`T0`), and of those on a page the way back to them
(`B0`), of those in the unit too (`B`), and the last number that is led back from (`M`)."""

STATUS, WHEN, PAGE, PAGES = "9876543210", "8765432109", "0123456789", "1234567890"
"""Stand at the edge of a page for what the book will write there, where the style sheet puts it:
the status, the time of publication, the number of the page, and how many pages there are."""

PAGES_LINK, BETWEEN_TARGETS, NOT = "pages:", ",", "!"
"""How the address of a link begins that is room for the page numbers of what it names, and what
stands between any two of these, in each of which it is quoted; and before one whose page is told
elsewhere."""

FIGURE, COMMA, FIGURES = "0", ", ", "0123456789, –"
"""In a room for page numbers: a figure, what is between two numbers, and all that may stand there
at last."""

Alphabet = dict[str, tuple[int, float]]
"""The glyph of each letter of a font, and its width in thousandths."""

BOOK_LINK = "book:"
"""How the address of a link begins that leads to a place in the book, wherever that is."""

POINTS = 0.75
"""A pixel of CSS in points."""

PRINT = 4
"""The flag of a link that is there on paper too."""


@dataclass(frozen=True)
class TextStyle:
    """How a text is set that the book writes."""

    size: float
    align: float
    """How much of the text stands left of where it is: 0, 0.5 or 1."""
    colour: tuple[float, ...]
    font: str
    letters: Alphabet
    """As the renderer set them."""


@dataclass(frozen=True)
class EdgeText:
    """A text at the edge of a page that the book writes."""

    x: float
    """In points from the lower left corner."""
    y: float
    style: int
    words: tuple[str, ...]
    """Words, and between any two of them one of the four that the book knows."""


@dataclass(frozen=True)
class NumberRoom:
    """Room for page numbers, in one line of text."""

    page: int
    x: float
    """In pixels from the upper left corner."""
    y: float
    width: float
    numbers: int
    """So many have room."""
    style: int
    owner: int
    """The element that the links which the numbers are will be in."""


@dataclass(frozen=True)
class PageReference:
    """Things whose pages are told, and the rooms for their numbers, line by line."""

    targets: tuple[str, ...]
    rooms: tuple[NumberRoom, ...]


@dataclass(frozen=True)
class UnitPage:
    """One page of a unit, with the numbers of what it needs."""

    width: float
    height: float
    content: int
    resources: int
    annotations: tuple[int, ...]
    edges: tuple[EdgeText, ...]
    tagged: int
    """So many pieces of its text have a tag; page numbers that are written later come on top."""


@dataclass(frozen=True)
class UnitFont:
    """The letters of one font that a unit shows, by the number they have in the font's file."""

    asset: str
    family: str
    ascent: float
    descent: float
    widths: dict[int, float]
    text: dict[int, str]


@dataclass(frozen=True)
class Bookmark:
    """A heading as the bookmarks show it, and where it stands."""

    level: int
    title: str
    page: int
    y: float


@dataclass(frozen=True)
class Unit:
    """A unit, whole. Its numbers begin with two for each page, which the book writes itself."""

    pages: tuple[UnitPage, ...]
    anchors: dict[str, tuple[int, float]]
    """What links can lead to: which page, and how high on it."""
    links: dict[int, str]
    """Where each of its own links leads, by the number of its annotation."""
    bookmarks: tuple[Bookmark, ...]
    styles: tuple[TextStyle, ...]
    page_references: tuple[PageReference, ...]
    fonts: dict[str, UnitFont]
    elements: tuple[int, ...]
    """The outermost elements of its structure."""
    leaf: int
    """The piece of the tree that leads from what is on a page back to its element."""
    plain: bytes = field(repr=False)
    """The objects that are no streams, with BETWEEN between them; compressed."""
    plain_numbers: tuple[int, ...] = field(repr=False)
    streams: dict[int, tuple[bytes, bytes]] = field(repr=False)
    """What the dictionary of each stream says but for its length, and its contents."""

    @property
    def size(self) -> int:
        """How many numbers it takes up, without what comes into its rooms."""
        return first_object(len(self.pages)) + len(self.plain_numbers) + len(self.streams)


def decided(name: str) -> bytes:
    """Something that the book decides, as it stands in an object of a unit."""
    return DECIDED + name.encode() + DECIDED


def first_object(pages: int) -> int:
    """The number of the first object that is neither a page nor a page number."""
    return 2 * pages


def page_object(page: int, pages: int) -> int:
    """The number of a page; the numbers before those of the pages are those of page numbers."""
    return pages + page
