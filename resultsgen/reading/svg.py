"""What an SVG picture must not hold: anything that runs, and anything fetched from elsewhere."""

from __future__ import annotations

import re
from collections.abc import Iterator
from xml.etree import ElementTree

ELEMENTS = frozenset((
    "script", "foreignobject", "iframe", "embed", "object", "audio", "video", "handler", "listener",
))  # fmt: skip
REFERENCES = frozenset(("href", "src", "action", "formaction"))
OWN_REFERENCE = re.compile(r"#[^\s]*|data:image/(png|jpeg|gif|webp)[;,].*", re.DOTALL)
FETCHING_STYLE = re.compile(r"@import|url\(\s*+['\"]?+\s*+(?!#)|expression\(|\\", re.I)


def what_an_svg_must_not_hold(held: bytes) -> str:
    """The first such thing in words; empty where the picture is harmless.

    >>> what_an_svg_must_not_hold(b'<svg xmlns="http://www.w3.org/2000/svg" onload="x()"/>')
    'has an event handler (onload)'
    """
    if re.search(rb"<!ENTITY|<!DOCTYPE[^>]*\[", held, re.IGNORECASE) or b"\0" in held:
        return "declares entities"
    encoding = re.search(rb"<\?xml[^>]*encoding\s*=\s*['\"]([\w.:-]*)", held)
    if encoding and encoding[1].lower() != b"utf-8":
        return "is not in UTF-8"
    if b"<?xml-stylesheet" in held:
        return "calls for a style sheet"
    try:
        root = ElementTree.fromstring(held)
    except (ElementTree.ParseError, ValueError, LookupError) as error:
        return f"is not well-formed XML ({error})"
    if _local(root.tag) != "svg":
        return "is no SVG picture"
    return next((wrong for element in root.iter() for wrong in _wrongs(element)), "")


def _wrongs(element: ElementTree.Element) -> Iterator[str]:
    name = _local(element.tag)
    if name in ELEMENTS:
        yield f"has a {name} element"
    if name == "style" and FETCHING_STYLE.search("".join(element.itertext())):
        yield "has a style that fetches something"
    for attribute, value in element.attrib.items():
        yield from _wrong_attributes(_local(attribute), value)


def _wrong_attributes(name: str, value: str) -> Iterator[str]:
    if name.startswith("on"):
        yield f"has an event handler ({name})"
    if name in REFERENCES and not OWN_REFERENCE.fullmatch(value.strip()):
        yield f"refers to something outside ({name})"
    if name == "attributename" and _local(value).startswith(("href", "xlink:href", "on")):
        yield "animates a reference"
    if FETCHING_STYLE.search(value) and name not in REFERENCES:
        yield f"fetches something ({name})"


def _local(name: object) -> str:
    """A name without its namespace, in small letters."""
    return str(name).rsplit("}", 1)[-1].casefold()
