"""Takes apart what the renderer made of one unit, so that it can be joined with others.

This module and `structure` are all that depends on parts of WeasyPrint and pydyf that are not
their public face: the boxes of a page, the objects that a *finisher* is handed, and the fonts.
They were written for the versions in KNOWN, and where others are installed, books are rendered
whole. What is otherwise than in a PDF that the renderer writes by itself:

* the page number, status and time of publication at the edge of a page are left out; where they
  stand and how they are set is noted;
* text in the margins is an artifact and not, as in 70.0, an element that hangs in the air;
* a link whose address begins with `book:` leads to a place in the book, wherever that is;
* fonts are left out; which glyphs are shown is noted.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Mapping
from hashlib import sha256
from typing import Any
from urllib.parse import unquote

from resultsgen.press.structure import Structure
from resultsgen.press.unit import (
    BETWEEN,
    FONTS,
    NUMBER,
    PAGE,
    PAGES,
    REFERENCE,
    ROOT,
    SHARED,
    STATUS,
    WHEN,
    Bookmark,
    EdgeText,
    Unit,
    UnitFont,
    UnitPage,
    first_object,
    page_object,
)

KNOWN = {"weasyprint": "70.", "pydyf": "0.13."}
"""How the versions begin that this was written for."""

BOOK_LINK = "book:"
POINTS = 0.75
"""A pixel of CSS in points."""

PRINT = 4
"""The flag of an annotation that is there on paper too."""

REFERS = re.compile(rb"(\d+) 0 R")
DECIDED = re.compile(rf"({STATUS}|{WHEN}|{PAGE}|{PAGES})((?<={PAGE})\d+|(?<={PAGES})\d+)?")


class NotJoinableError(LookupError):
    """The book that holds this is rendered in one piece: a letter of a font of the system, or a
    text at the edge of pages that is not set letter by letter in one line."""


def edge_texts(document: Any) -> list[tuple[EdgeText, ...]]:
    """What the book will write at the edges of each page; what stands there is taken away."""
    from weasyprint.formatting_structure.boxes import MarginBox

    return [
        tuple(
            _edge_text(box, *text, page, document)
            for box in page._page_box.children
            if isinstance(box, MarginBox) and (text := _decided(box))
        )
        for page in document.pages
    ]


def _decided(box: Any) -> tuple[Any, tuple[str, ...]] | None:
    """The text of a margin box that the book decides, and its words; it is in one line."""
    from weasyprint.formatting_structure.boxes import TextBox

    texts = [one for one in box.descendants() if isinstance(one, TextBox)]
    words = DECIDED.split("".join(one.text for one in texts))
    if len(words) == 1:
        return None
    spaced = texts[0].style["letter_spacing"] not in ("normal", 0)
    if len(texts) > 1 or spaced or texts[0].style["text_transform"] != "none":
        raise NotJoinableError(texts[0].text)
    box.children = []
    return texts[0], tuple(word for place, word in enumerate(words) if place % 3 != 2)


def _edge_text(box: Any, text: Any, words: tuple[str, ...], page: Any, document: Any) -> EdgeText:
    aligned = {"center": 0.5, "right": 1, "end": 1}.get(box.style["text_align_all"], 0)
    x = text.position_x + text.width * aligned
    y = page.height - text.position_y - text.baseline
    colour = tuple(text.style["color"].to("srgb").coordinates)
    font, letters = _letters(text, document)
    size = text.style["font_size"] * POINTS
    return EdgeText(x * POINTS, y * POINTS, size, aligned, colour, font, letters, words)


def _letters(text: Any, document: Any) -> tuple[str, dict[str, tuple[int, float]]]:
    """The font of a text and the glyph and width of each letter; it then is of the document."""
    from weasyprint.pdf.fonts import Font
    from weasyprint.text.fonts import get_pango_font_key

    text.pango_layout.reactivate(text.style)
    line, _ = text.pango_layout.get_first_line()
    run = line.runs[0].data
    key, description, size = get_pango_font_key(run.item.analysis.font)
    font = document.fonts.setdefault(key, Font(run.item.analysis.font, description, size))
    glyphs = [one.glyph for one in run.glyphs.glyphs[0 : run.glyphs.num_glyphs]]
    if len(glyphs) != len(text.text):
        raise NotJoinableError(font.family)
    for letter, glyph in zip(text.text, glyphs, strict=True):
        font.to_unicode.setdefault(glyph, letter)
        font.widths.setdefault(glyph, _advance(run.item.analysis.font, glyph, size))
    text.pango_layout.deactivate()
    letters = dict(zip(text.text, ((glyph, font.widths[glyph]) for glyph in glyphs), strict=True))
    return font.hash, letters


def _advance(font: Any, glyph: int, size: float) -> int:
    """How far a glyph moves on, in thousandths, before any kerning; as the renderer asks it."""
    from weasyprint.text.ffi import FROM_UNITS, ffi, pango

    ink, logical = ffi.new("PangoRectangle *"), ffi.new("PangoRectangle *")
    pango.pango_font_get_glyph_extents(font, glyph, ink, logical)
    width: float = logical.width * 1000 * FROM_UNITS / size
    return round(width)


class Taking:
    """What a finisher was handed, on its way to a unit."""

    def __init__(self, document: Any, pdf: Any, edges: list[tuple[EdgeText, ...]]) -> None:
        self._document = document
        self._pdf = pdf
        self._edges = edges
        self._structure = Structure(pdf)
        self._pages = [self._structure.at(reference) for reference in pdf.page_references]
        count = len(self._pages)
        self._contents = {self._structure.at(page["Contents"]).number for page in self._pages}
        """What is on the pages; what the book adds begins where this began."""
        self._first = first_object(count)
        self._numbers = {page.number: page_object(n, count) for n, page in enumerate(self._pages)}
        self._waiting: list[Any] = []
        self._shared = {
            int(self._structure.at(self._pages[0]["Resources"])["Font"].split()[0]): FONTS,
            self._structure.document.number: ROOT,
        }

    def unit(self, assets: Mapping[str, str]) -> Unit:
        """The unit; *assets* names each font file by its hash."""
        links = self._point_links()
        owners = [self._mark_text(page) for page in self._pages]
        leaf = self._number_of(self._leaf(owners))
        pages = tuple(self._page(number) for number in range(len(self._pages)))
        kids = self._structure.document["K"]
        elements = tuple(self._number_of(self._structure.at(kid)) for kid in kids)
        plain, numbers, streams = self._written_out()
        return Unit(
            pages=pages,
            anchors=self._anchors(),
            links=links,
            bookmarks=tuple(self._bookmarks()),
            fonts=_fonts(self._document.fonts.values(), assets),
            elements=elements,
            leaf=leaf,
            plain=zlib.compress(BETWEEN.join(plain), 1),
            plain_numbers=tuple(numbers),
            streams=streams,
        )

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
        element["S"] = SHARED + b"L%d" % number + SHARED
        inside = self._reference(leading.number)
        kids = element["K"]
        kids[:] = [
            SHARED + b"R%d:%s" % (number, inside.strip(REFERENCE)) + SHARED
            if isinstance(kid, bytes) and kid == leading.reference
            else kid
            for kid in kids
        ]

    def _mark_text(self, page: Any) -> list[Any]:
        """Number the text that has an element anew, and make an artifact of all other text."""
        stream = self._structure.at(page["Contents"]).stream
        numbers: dict[int, int] = {}
        for place, piece in enumerate(stream):
            if isinstance(piece, dict) and "MCID" in piece:
                if (page.reference, piece["MCID"]) in self._structure.owners:
                    piece["MCID"] = numbers.setdefault(piece["MCID"], len(numbers))
                else:
                    stream[place - 1 : place + 2] = [b"", b"/Artifact", b"BMC"]
        return self._structure.renumbered(page.reference, numbers)

    def _leaf(self, owners: list[list[Any]]) -> Any:
        """From each piece of text and each annotation back to the element it belongs to."""
        import pydyf

        back: dict[int, Any] = {}
        for page, of_page in zip(self._pages, owners, strict=True):
            back[self._number_of(page)] = pydyf.Array([one.reference for one in of_page])
        for reference, (element, _) in self._structure.annotated.items():
            annotation = self._structure.at(reference)
            annotation["StructParent"] = _key(number := self._number_of(annotation))
            back[number] = element.reference
        numbers = [part for number in sorted(back) for part in (_key(number), back[number])]
        leaf = pydyf.Dictionary(
            {
                "Limits": pydyf.Array([_key(min(back)), _key(max(back))]),
                "Nums": pydyf.Array(numbers),
            }
        )
        self._pdf.add_object(leaf)
        return leaf

    def _page(self, number: int) -> UnitPage:
        page = self._pages[number]
        left, bottom, right, top = page["MediaBox"]
        return UnitPage(
            width=right - left,
            height=top - bottom,
            content=self._number_of(self._structure.at(page["Contents"])),
            resources=self._number_of(self._structure.at(page["Resources"])),
            annotations=tuple(
                self._number_of(self._structure.at(one)) for one in page.get("Annots", ())
            ),
            edges=self._edges[number],
        )

    def _anchors(self) -> dict[str, tuple[int, float]]:
        return {
            name: (number, (page.height - box[1]) * POINTS)
            for number, page in reversed(list(enumerate(self._document.pages)))
            for name, box in page.anchors.items()
        }

    def _bookmarks(self) -> list[Bookmark]:
        return [
            Bookmark(level, title, number, (page.height - y) * POINTS)
            for number, page in enumerate(self._document.pages)
            for level, title, (_, y), _ in page.bookmarks
        ]

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
        extra = dict(thing.extra)
        if thing.compress:
            contents = zlib.compress(contents, 9)
            extra["Filter"] = "/FlateDecode"
        return self._written({**extra, "Length": len(contents)}), contents

    def _written(self, value: Any) -> bytes:
        """A value as it stands in a file, but for its references."""
        import pydyf

        if isinstance(value, dict):
            pairs = (b"/" + key.encode() + b" " + self._written(v) for key, v in value.items())
            return b"<<" + b"".join(pairs) + b">>"
        if isinstance(value, list | tuple):
            return b"[" + b" ".join(map(self._written, value)) + b"]"
        if isinstance(value, bytes) and (refers := REFERS.fullmatch(value)):
            return self._reference(int(refers[1]))
        if isinstance(value, pydyf.Object):
            data: bytes = value.data
            return data
        return _bytes(value)

    def _reference(self, number: int) -> bytes:
        if number in self._shared:
            return SHARED + self._shared[number] + SHARED
        inside = self._number_of(self._pdf.objects[number])
        return REFERENCE + str(inside).encode() + REFERENCE


def _key(number: int) -> bytes:
    """In the tree that leads back, pages and annotations are known by their own numbers."""
    return NUMBER + str(number).encode() + NUMBER


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
    import pydyf

    data: bytes = pydyf.Array([value]).data
    return data[1:-1]


def _string(text: str) -> Any:
    import pydyf

    return pydyf.String(text)


def _text(box: Any) -> str:
    """The text of a link."""
    return "".join(one.text for one in (box, *box.descendants()) if hasattr(one, "text"))


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
