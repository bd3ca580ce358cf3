"""The tags of a unit: what its text is (heading, table, row, cell), for those who hear a book.

The renderer makes an element for every box. Those that mean nothing are taken out, and what they
held goes to the element around them; the head of a column or row is told by its scope, and a
heading waits to be told its level.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from resultsgen.books.press.unit import decided

MEANINGLESS = ("/Span", "/NonStruct", "/Div")
SCOPES = {"/THead": "/Column", "/TBody": "/Row"}


class Structure:
    """The elements of one rendered unit, made lean."""

    def __init__(self, pdf: Any) -> None:
        self._pdf = pdf
        self.document = self.at(self.at(pdf.catalog["StructTreeRoot"])["K"][0])
        self._slim(self.document, "")
        self.owners: dict[tuple[bytes, int], Any] = {}
        """The element of each piece of text, by its page and its number there."""
        self.annotated: dict[bytes, tuple[Any, Any]] = {}
        """The element of each annotation, and the object that leads from it to the annotation."""
        self._find_owners(self.document)

    def at(self, reference: bytes) -> Any:
        """The object that a reference leads to."""
        return self._pdf.objects[int(reference.split()[0])]

    def renumbered(self, page: bytes, numbers: dict[int, int]) -> list[Any]:
        """The elements of the text of a page, which has new numbers, in the order of these."""
        owners = [self.owners[page, old] for old in numbers]
        for element in {owner.number: owner for owner in owners}.values():
            element["K"][:] = [
                numbers[kid] if isinstance(kid, int) else kid for kid in element["K"]
            ]
        return owners

    def _kids(self, element: Any) -> Iterator[tuple[Any, Any]]:
        """Each kid as it stands in the element, and the element it leads to, if it does."""
        for kid in element["K"]:
            led_to = None if isinstance(kid, int) else self.at(kid)
            is_element = led_to is not None and led_to["Type"] == "/StructElem"
            yield kid, led_to if is_element else None

    def _slim(self, element: Any, group: str) -> None:
        """Take what means nothing out of an element; *group* is the head or body it stands in."""
        group = element["S"] if element["S"] in SCOPES else group
        kept = []
        for kid, child in list(self._kids(element)):
            if child is not None:
                self._slim(child, group)
                if _can_go(child, element):
                    kept += child["K"]
                    continue
            kept.append(kid)
        element["K"][:] = kept
        for _, child in self._kids(element):
            if child is not None:
                child["P"] = element.reference
        _describe(element, group)

    def _find_owners(self, element: Any) -> None:
        for kid, child in self._kids(element):
            if child is not None:
                self._find_owners(child)
            elif isinstance(kid, int):
                self.owners[element["Pg"], kid] = element
            else:
                leading = self.at(kid)
                self.annotated[leading["Obj"]] = (element, leading)


def _can_go(child: Any, element: Any) -> bool:
    """It means nothing, and what it holds stands on the same page as the element around it."""
    if child["S"] not in MEANINGLESS or "Alt" in child:
        return False
    holds_text = any(isinstance(kid, int) for kid in child["K"])
    return not holds_text or child["Pg"] == element.get("Pg")


def _describe(element: Any, group: str) -> None:
    """A head says by its scope what it is the head of; a heading waits to be told its level."""
    kind = element["S"]
    if kind in ("/TH", "/TD"):
        element["A"].pop("Headers", None)
        element.pop("ID", None)
        if kind == "/TH":
            element["A"]["Scope"] = SCOPES.get(group, "/Column")
        elif len(element["A"]) == 1:
            del element["A"]
    elif kind[:2] == "/H" and kind[2:].isdecimal():
        element["S"] = decided(kind[1:])
