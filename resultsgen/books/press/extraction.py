"""Takes apart what the renderer made of one unit, so that it can be joined with others.

This module, `structure`, `open_places` and `Renderer._html` are all that depends on parts of
WeasyPrint and pydyf that are not their public face: the boxes of a page, the objects that a
*finisher* is handed, the fonts, and the tree of what was read. They were written for the versions
in `renderer.KNOWN`, which pyproject.toml pins; where others are installed, books are rendered
whole. What is otherwise than in a PDF that the renderer writes by itself:

* the page number, status and time of publication at the edge of a page are left out, and so are
  page numbers in the text; where they stand and how they are set is noted;
* text in the margins is an artifact and not, as in 70.0, an element that hangs in the air;
* a link whose address begins with `book:` leads to a place in the book, wherever that is;
* fonts are left out; which glyphs are shown is noted.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import replace
from hashlib import sha256
from itertools import groupby
from typing import Any
from urllib.parse import unquote

from resultsgen.books.press.open_places import NotJoinableError, NumberLink, OpenPlaces
from resultsgen.books.press.structure import Structure
from resultsgen.books.press.unit import (
    BETWEEN,
    BOOK_LINK,
    DECIDED,
    FONTS,
    NUMBER,
    POINTS,
    PRINT,
    REFERENCE,
    ROOT,
    Bookmark,
    NumberRoom,
    PageReference,
    Unit,
    UnitFont,
    UnitPage,
    decided,
    first_object,
    page_object,
)

FINE_PLACE = re.compile(rb"(?<![\w.])[1-9]\d+\.\d{4,}")
"""A length of tens of pixels; a thousandth of one is finer than anything can be printed."""

REFERS = re.compile(rb"(\d+) 0 R")


def names_of_rows(source: Any) -> dict[Any, str]:
    """The rows of tables that links can lead to, and their names, which are taken off them.

    A row that has a name has a style of its own, and so has then all that is in it: this takes
    a fifth of the time of a table. Where the row comes to stand is found without.
    """
    rows = source.etree_element.iter("tr")
    return {row: row.attrib.pop("id") for row in rows if "id" in row.attrib}


class Extraction:
    """What a finisher was handed, on its way to a unit."""

    def __init__(
        self, document: Any, pdf: Any, places: OpenPlaces, rows: Mapping[Any, str]
    ) -> None:
        """*rows* has the names of the rows that links can lead to."""
        self._document, self._pdf, self._places, self._rows = document, pdf, places, rows
        self._structure = Structure(pdf)
        self._pages = [self._structure.at(reference) for reference in pdf.page_references]
        count = len(self._pages)
        self._contents = {self._structure.at(page["Contents"]).number for page in self._pages}
        """What is on the pages; what the book adds begins where this began."""
        self._first = first_object(count)
        self._numbers = {page.number: page_object(n, count) for n, page in enumerate(self._pages)}
        self._waiting: list[Any] = []
        self._rooms: dict[tuple[bytes, int], int] = {}
        """The room that a piece of text of a page is."""
        self._shared = {
            int(self._structure.at(self._pages[0]["Resources"])["Font"].split()[0]): FONTS,
            self._structure.document.number: ROOT,
        }

    def unit(self, assets: Mapping[str, str]) -> Unit:
        """The unit; *assets* names each font file by its hash."""
        references = tuple(self._page_references())
        links = self._point_links()
        owners = [self._mark_text(page) for page in self._pages]
        leaf = self._number_of(self._leaf(owners))
        pages = tuple(self._page(number, len(owners[number])) for number in range(len(owners)))
        kids = self._structure.document["K"]
        elements = tuple(self._number_of(self._structure.at(kid)) for kid in kids)
        plain, numbers, streams = self._written_out()
        return Unit(
            pages=pages,
            anchors={
                name: (number, (page.height - y) * POINTS)
                for number, page in reversed(list(enumerate(self._document.pages)))
                for name, y in self._anchors(page)
            },
            links=links,
            bookmarks=tuple(
                Bookmark(level, title, number, (page.height - y) * POINTS)
                for number, page in enumerate(self._document.pages)
                for level, title, (_, y), _ in page.bookmarks
            ),
            styles=self._places.styles,
            page_references=references,
            fonts=_fonts(dict(self._document.fonts).values(), assets),
            elements=elements,
            leaf=leaf,
            plain=zlib.compress(BETWEEN.join(plain), 1),
            plain_numbers=tuple(numbers),
            streams=streams,
        )

    def _page_references(self) -> Iterator[PageReference]:
        """The rooms for page numbers, those of the same targets together."""
        links = enumerate(self._places.number_links)
        for _, together in groupby(links, key=lambda link: link[1].box.element):
            rooms = [(link.targets, self._leave_room(rank, link)) for rank, link in together]
            yield PageReference(rooms[0][0], tuple(room for _, room in rooms))

    def _leave_room(self, rank: int, link: NumberLink) -> NumberRoom:
        """Let the book say what stands in a room: in the text, among its tags, and as links."""
        page = self._pages[link.room.page]
        reference = link.box.link_annotation.reference
        page["Annots"].remove(reference)
        element, _ = self._structure.annotated.pop(reference)
        (piece,) = (kid for kid in element["K"] if isinstance(kid, int))
        del self._structure.owners[page.reference, piece]
        self._rooms[page.reference, piece] = rank
        owner = self._structure.at(element["P"])
        owner["K"][owner["K"].index(element.reference)] = decided(f"T{rank}")
        return replace(link.room, owner=self._number_of(owner))

    def _point_links(self) -> dict[int, str]:
        """Let links lead to names, say in words where they lead, and stay on paper."""
        texts = {
            box.link_annotation.number: _text(box)
            for page in self._document.pages
            for _, _, _, box in page.links
            if box.link_annotation
        }
        targets = {}
        for page in self._pages:
            for reference in page.get("Annots", ()):
                annotation = self._structure.at(reference)
                annotation["Contents"] = _string(texts[annotation.number])
                annotation["F"] = PRINT
                if (target := _target(annotation)) is not None:
                    annotation.pop("A", None)
                    annotation["Dest"] = _string(target)
                    number = self._number_of(annotation)
                    targets[number] = target
                    self._let_go(reference, number)
        return targets

    def _let_go(self, reference: bytes, number: int) -> None:
        """The book will say whether this is a link, or leads nowhere and is plain text."""
        element, leading = self._structure.annotated[reference]
        element["S"] = decided(f"L{number}")
        waits = decided(f"R{number}:{self._number_of(leading)}")
        element["K"][:] = [waits if kid == leading.reference else kid for kid in element["K"]]

    def _mark_text(self, page: Any) -> list[Any]:
        """Number the text that has an element anew, and make an artifact of all other text."""
        stream = self._structure.at(page["Contents"]).stream
        numbers: dict[int, int] = {}
        for place, piece in enumerate(stream):
            if isinstance(piece, dict) and "MCID" in piece:
                key = page.reference, piece["MCID"]
                if key in self._structure.owners:
                    piece["MCID"] = numbers.setdefault(piece["MCID"], len(numbers))
                elif key in self._rooms:
                    # What stands there is taken out but for colours, which what follows relies on.
                    start, end = stream.index(b"BT", place), stream.index(b"EMC", place)
                    stream[place - 1 : place + 2] = [b""] * 3
                    open_place = decided(f"N{self._rooms[key]}")
                    stream[start : end + 1] = [open_place, *[b""] * (end - start)]
                else:
                    stream[place - 1 : place + 2] = [b"", b"/Artifact", b"BMC"]
        return self._structure.renumbered(page.reference, numbers)

    def _leaf(self, owners: list[list[Any]]) -> Any:
        """From each piece of text and each annotation back to the element it belongs to."""
        import pydyf

        with_rooms = {link.room.page for link in self._places.number_links}
        back: dict[int, Any] = {}
        for number, (page, of_page) in enumerate(zip(self._pages, owners, strict=True)):
            later = [decided(f"B{number}")] if number in with_rooms else []
            back[self._number_of(page)] = [*(owner.reference for owner in of_page), *later]
        for reference, (element, _) in self._structure.annotated.items():
            annotation = self._structure.at(reference)
            annotation["StructParent"] = _key(number := self._number_of(annotation))
            back[number] = element.reference
        numbers = [part for number in sorted(back) for part in (_key(number), back[number])]
        limits = [_key(min(back)), _key(max(back))]
        if self._rooms:
            numbers, limits[1] = [*numbers, decided("B")], decided(f"M{max(back)}")
        leaf = pydyf.Dictionary({"Limits": limits, "Nums": numbers})
        self._pdf.add_object(leaf)
        return leaf

    def _page(self, number: int, tagged: int) -> UnitPage:
        page, at = self._pages[number], self._structure.at
        left, bottom, right, top = page["MediaBox"]
        return UnitPage(
            width=right - left,
            height=top - bottom,
            content=self._number_of(at(page["Contents"])),
            resources=self._number_of(at(page["Resources"])),
            annotations=tuple(self._number_of(at(link)) for link in page.get("Annots", ())),
            edges=self._places.edges[number],
            tagged=tagged,
        )

    def _anchors(self, page: Any) -> Iterator[tuple[str, float]]:
        """What links can lead to on a page, and how far from its top it stands."""
        yield from ((name, y) for name, (_, y, _, _) in page.anchors.items())
        for box in page._page_box.descendants():
            if box.element_tag == "tr" and box.element in self._rows:
                yield self._rows[box.element], box.position_y

    def _number_of(self, thing: Any) -> int:
        """The number of an object within the unit; it is written out in its turn."""
        if thing.number not in self._numbers:
            self._numbers[thing.number] = self._first + len(self._waiting)
            self._waiting.append(thing)
        return self._numbers[thing.number]

    def _written_out(self) -> tuple[list[bytes], list[int], dict[int, tuple[bytes, bytes]]]:
        """All objects that anything refers to; the list grows while it is gone through."""
        import pydyf

        plain, numbers, streams = [], [], {}
        for number, thing in enumerate(self._waiting, start=self._first):
            if isinstance(thing, pydyf.Stream):
                streams[number] = self._stream(thing)
            else:
                plain.append(self._written(_lean(thing)))
                numbers.append(number)
        return plain, numbers, streams

    def _stream(self, thing: Any) -> tuple[bytes, bytes]:
        contents = b"\n".join(_bytes(piece) for piece in thing.stream)
        if thing.number in self._contents:
            contents = b"q\n" + contents + b"\nQ"
        contents = FINE_PLACE.sub(lambda place: b"%.3f" % float(place[0]), contents)
        extra = dict(thing.extra)
        if thing.compress and DECIDED not in contents:
            contents = zlib.compress(contents, 9)
            extra["Filter"] = "/FlateDecode"
        return self._written(extra)[2:-2], contents

    def _written(self, value: Any) -> bytes:
        """A value as it stands in a file, but for its references."""
        if isinstance(value, bytes) and (refers := REFERS.fullmatch(value)):
            number = int(refers[1])
            if number in self._shared:
                return decided(self._shared[number])
            return REFERENCE + b"%d" % self._number_of(self._pdf.objects[number]) + REFERENCE
        if isinstance(value, dict):
            pairs = [b"/%b %b" % (key.encode(), self._written(one)) for key, one in value.items()]
            return b"<<" + b"".join(pairs) + b">>"
        if isinstance(value, list | tuple):
            return b"[" + b" ".join(map(self._written, value)) + b"]"
        return _bytes(value)


def _key(number: int) -> bytes:
    """In the tree that leads back, pages and annotations are known by their own numbers."""
    return NUMBER + b"%d" % number + NUMBER


def _lean(thing: Any) -> Any:
    """An element without what goes without saying; any other object as it is."""
    if not isinstance(thing, dict) or thing.get("Type") != "/StructElem":
        return thing
    lean = {key: value for key, value in thing.items() if key not in ("Type", "Pg", "K")}
    if any(isinstance(kid, int) for kid in thing["K"]):
        lean["Pg"] = thing["Pg"]
    if thing["K"]:
        lean["K"] = thing["K"][0] if len(thing["K"]) == 1 else thing["K"]
    return lean


def _bytes(value: Any) -> bytes:
    """Anything as pydyf writes it; most is bytes, text or a number, which takes no asking."""
    import pydyf

    if isinstance(value, bytes):
        return value
    if isinstance(value, str | int):
        return str(value).encode("ascii")
    data: bytes = value.data if isinstance(value, pydyf.Object) else pydyf.Array([value]).data[1:-1]
    return data


def _string(text: str) -> Any:
    import pydyf

    return pydyf.String(text)


def _text(box: Any) -> str:
    """The text of a link."""
    return "".join(part.text for part in (box, *box.descendants()) if hasattr(part, "text"))


def _target(annotation: Any) -> str | None:
    """The name a link leads to; None where it leads out of the book."""
    if "Dest" in annotation:
        return str(annotation["Dest"].string)
    address = str(annotation["A"]["URI"].string)
    return unquote(address[len(BOOK_LINK) :]) if address.startswith(BOOK_LINK) else None


def _fonts(fonts: Any, assets: Mapping[str, str]) -> dict[str, UnitFont]:
    """The letters shown of each font; the same font may be there in several sizes."""
    from weasyprint.text.fonts import get_hb_object_data

    found: dict[str, UnitFont] = {}
    for font in fonts:
        digest = sha256(get_hb_object_data(font.hb_face)).hexdigest()
        if digest not in assets or font.missing:
            raise NotJoinableError(font.family)
        same = found.setdefault(
            font.hash,
            UnitFont(assets[digest], font.family, font.ascent, font.descent, {}, {}),
        )
        same.widths.update(font.widths)
        same.text.update(font.to_unicode)
    return found
