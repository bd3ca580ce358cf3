"""Style sheets and style attributes: nothing in them fetches, whatever it is called."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Any


def allowed(names: str) -> frozenset[str]:
    """A list of what is allowed, from a text."""
    return frozenset(names.split())


FUNCTIONS = allowed("""
    abs acos asin atan atan2 attr blur brightness calc circle clamp color color-mix conic-gradient
    contrast cos counter counters cubic-bezier dir drop-shadow ellipse env exp fit-content format
    grayscale has host hsl hsla hue-rotate hwb hypot inset invert is lab lang layer lch leader
    light-dark linear linear-gradient local log matrix matrix3d max min minmax mod not nth-child
    nth-last-child nth-last-of-type nth-of-type oklab oklch opacity path perspective polygon pow
    radial-gradient rect rem repeat repeating-conic-gradient repeating-linear-gradient
    repeating-radial-gradient rgb rgba rotate rotate3d rotatex rotatey rotatez round running
    saturate scale scale3d scalex scaley scalez sepia sign sin skew skewx skewy sqrt steps string
    symbols tan target-counter target-counters target-text translate translate3d translatex
    translatey translatez var where xywh
""")
"""Those that reckon, colour, move or choose; what takes a picture or a file is not among them."""

RULES = allowed("""
    bottom-center bottom-left bottom-left-corner bottom-right bottom-right-corner charset container
    counter-style font-face keyframes layer left-bottom left-middle left-top media page property
    right-bottom right-middle right-top scope starting-style supports top-center top-left
    top-left-corner top-right top-right-corner footnote
""")

PICTURE_DATA = tuple(
    f"data:{kind}{sign}"
    for kind in (
        *(f"image/{name}" for name in ("png", "jpeg", "gif", "webp")),
        *(f"font/{name}" for name in ("woff2", "woff", "ttf", "otf")),
    )
    for sign in ";,"
)
"""How an address begins that holds the picture or the font itself."""

DEEPEST = 50
"""Brackets within brackets."""

Address = Callable[[str], bool]
"""Whether what stands in url() is allowed."""


def holds_itself(address: str) -> bool:
    """The address is the picture itself, or something in the same document."""
    return address.strip().lower().startswith(("#", *PICTURE_DATA))


def wrong_in_sheet(text: str, allowed: Address = holds_itself) -> str:
    """The first thing in a style sheet, or in one value, that is not allowed; empty where all is.

    >>> wrong_in_sheet("a { color: red }"), wrong_in_sheet("a { cursor: u\\\\72l(x.cur) }")
    ('', 'fetches something: url(x.cur)')
    """
    import tinycss2

    return next(_wrongs(tinycss2.parse_component_value_list(text), allowed), "")


def _wrongs(nodes: Iterable[Any], allowed: Address) -> Iterator[str]:
    """Every word of a style sheet is looked at, in whatever it stands."""
    heap = [(node, 0) for node in nodes]
    for node, depth in heap:
        yield from _wrong(node, allowed)
        inner = [*(getattr(node, "content", None) or ()), *(getattr(node, "arguments", None) or ())]
        if inner and depth >= DEEPEST:
            yield f"has more than {DEEPEST} brackets within brackets"
            return
        heap += [(one, depth + 1) for one in inner]


def _wrong(node: Any, allowed: Address) -> Iterator[str]:
    if node.type == "url" and not allowed(node.value):
        yield f"fetches something: url({node.value[:60]})"
    elif node.type == "function" and node.lower_name == "url":
        texts = [one.value for one in node.arguments if one.type == "string"]
        if len(texts) != 1 or not allowed(texts[0]):
            yield f"fetches something: url({''.join(texts)[:60]})"
    elif node.type == "function" and node.lower_name not in FUNCTIONS:
        yield f"has {node.lower_name[:60]}(), which is not among what is allowed"
    elif node.type == "at-keyword" and node.lower_value not in RULES:
        yield f"has @{node.lower_value[:60]}, which is not among what is allowed"
    elif node.type == "error":
        yield f"cannot be read: {node.message}"
