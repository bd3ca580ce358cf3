"""Pages and style sheets that strangers made: what may stand in them.

A page is read in the part of HTML that every parser reads alike: each `<` begins a tag, a comment
or the doctype, attributes have their values in quotes, and no element is among those whose text is
read in another way. Whatever is not of that part is refused, as is what the lists below lack. In a
style sheet or attribute nothing fetches, whatever it is called.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache
from html import unescape
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
        if node.type == "url" and not allowed(node.value):
            yield f"fetches something: url({node.value[:60]})"
        elif node.type == "function" and node.lower_name == "url":
            texts = [part.value for part in node.arguments if part.type == "string"]
            if len(texts) != 1 or not allowed(texts[0]):
                yield f"fetches something: url({''.join(texts)[:60]})"
        elif node.type == "function" and node.lower_name not in FUNCTIONS:
            yield f"has {node.lower_name[:60]}(), which is not among what is allowed"
        elif node.type == "at-keyword" and node.lower_value not in RULES:
            yield f"has @{node.lower_value[:60]}, which is not among what is allowed"
        elif node.type == "error":
            yield f"cannot be read: {node.message}"
        inner = [*(getattr(node, "content", None) or ()), *(getattr(node, "arguments", None) or ())]
        if inner and depth >= DEEPEST:
            yield f"has more than {DEEPEST} brackets within brackets"
            return
        heap += [(part, depth + 1) for part in inner]


POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; font-src data:; "
    "base-uri 'none'; form-action 'none'"
)
"""What every page of the site tells browsers: nothing is fetched from elsewhere."""

HEAD = ('<meta charset="utf-8">', f'content="{POLICY}"')
GOES_ON = f"{POLICY}; connect-src 'self'"
"""The same while other results are to be expected: a page asks its own host for them."""
WITHIN = 1024
"""So many characters from the beginning of a page browsers look for the encoding."""

NAME = r"[A-Za-z][A-Za-z0-9:._-]*"
ATTRIBUTE = rf"""\s+({NAME})(?:\s*=\s*(?:"([^"]*)"|'([^']*)'))?"""
TAG = rf"""<{NAME}(?:\s+{NAME}(?:\s*=\s*(?:"[^"]*"|'[^']*'))?)*+\s*/?>"""
TOKEN = re.compile(
    rf"[^<]++|</{NAME}\s*>|<!--(?:[^->]|-(?!-))*+-->"
    rf"|(?P<script><script((?:{ATTRIBUTE})*+)\s*>[^<]*</script>)"
    rf"|(?P<held>(?P<opens><(?P<holds>title|textarea)(?:{ATTRIBUTE})*+\s*>)[^<]*</(?P=holds)\s*>)"
    rf"|(?P<tag>{TAG})",
    re.IGNORECASE,
)
"""What `title` and `textarea` hold is read to their end tag, whatever stands there."""
DOCTYPE = re.compile(r"\s*<!doctype html>", re.IGNORECASE)
PARTS = re.compile(rf"<({NAME})")
EACH = re.compile(ATTRIBUTE)
HOLDING = re.compile(r"<(?:title|textarea)\b", re.IGNORECASE)

SCRIPTS = re.compile(
    r'<script defer src="[A-Za-z0-9_.~%/-]*?static/(?:site|screen)\.[0-9a-f]{8}\.js"></script>'
    r'|<script type="application/ld\+json">[^<]*</script>'
)
"""The site's own scripts, and data that no browser runs."""

ELEMENTS = allowed("""
    a abbr address article aside b bdi bdo blockquote body br button caption cite code col colgroup
    data datalist dd del details dfn div dl dt em fieldset figcaption figure footer h1 h2 h3 h4 h5
    h6 head header hgroup hr html i img input ins kbd label legend li link main mark menu meta
    meter nav ol optgroup option output p pre progress q rp rt ruby s samp search section select
    small span strong sub summary sup table tbody td template textarea tfoot th thead time tr u ul
    var wbr svg g path rect circle ellipse line polyline polygon text tspan title desc defs use
    symbol lineargradient radialgradient stop clippath marker
""")

EVERYWHERE = allowed("""
    class id lang dir title hidden role tabindex translate inert style
""")
BEGINNINGS = ("aria-", "data-")

ATTRIBUTES = allowed("""
    abbr align alt autocapitalize autocomplete charset cite colspan content datetime decoding
    disabled download enterkeyhint for headers height href hreflang inputmode label loading low
    high max maxlength media min minlength multiple name open optimum pattern placeholder cols rows
    wrap property readonly rel required reversed rowspan scope selected size sizes span spellcheck
    src srcset start step target type value width http-equiv checked xmlns viewbox
    preserveaspectratio x y x1 y1 x2 y2 cx cy r rx ry d points dx dy transform fill fill-opacity
    fill-rule stroke stroke-width stroke-linecap stroke-linejoin stroke-dasharray stroke-opacity
    opacity offset stop-color stop-opacity gradientunits gradienttransform clip-path clip-rule
    marker-start marker-mid marker-end markerwidth markerheight refx refy orient text-anchor
    dominant-baseline font-size font-weight font-family vector-effect pathlength textlength
    lengthadjust rotate focusable
""")

MAY_HOLD_CSS = allowed("""
    style fill stroke clip-path marker-start marker-mid marker-end transform opacity stop-color
    font-family
""")

LOCAL = re.compile(r"/?(?!/)[A-Za-z0-9_.~%+@,()/-]*(?:\?[A-Za-z0-9_.~%=&+-]*)?(?:#[^\s\\]*)?")
LEADS = re.compile(r"(?:https?://|mailto:|tel:)[^\s\\]*", re.IGNORECASE)
ASSET = re.compile(r"asset:[A-Za-z0-9_.~%/-]*")
WITHIN_BOOK = re.compile(r"(?:book|pages):[^\s\\]*")
"""What leads to a page of the book, and what its number stands for, before they are known."""

RELATIONS = frozenset(("stylesheet", "icon", "prev", "next", "license", "author"))
TOLD_ONLY = frozenset(("canonical", "alternate"))
"""Links of the head that nobody fetches; they name the whole address."""

METAS = re.compile(
    r"description|robots|viewport|color-scheme|theme-color|author|generator|keywords"
    r"|(?:dcterms\.|og:|twitter:)[a-z:._]+",
    re.IGNORECASE,
)
INPUTS = frozenset(("text", "search", "checkbox", "radio", "range", "number", "date", "time"))


def wrong_in_page(html: str, *, book: bool = False) -> str:
    """The first thing in a page that is not allowed; empty where all is.

    >>> wrong_in_page('<!doctype html><p>a<img src="https://example.org/x.png">', book=True)
    'fetches something from elsewhere: <img src="https://example.org/x.png">'
    """
    begin = DOCTYPE.match(html)
    if not begin:
        return "does not begin with <!doctype html>"
    begins = html[:WITHIN].replace(GOES_ON, POLICY)
    if not book and not all(needed in begins for needed in HEAD):
        return f"does not begin with the encoding and the policy of the standard theme: {HEAD[0]}"
    at, tokens = begin.end(), dict[tuple[str, str], None]()
    for token in TOKEN.finditer(html, at):
        if token.start() != at:
            break
        at = token.end()
        if token.lastgroup:
            tokens[token.lastgroup, token["opens"] or token[0]] = None
    if at != len(html):
        return f"is not written so that every browser reads it alike: {html[at : at + 40]!r}"
    return next(filter(None, (_wrong_in(kind, text, book) for kind, text in tokens)), "")


def _wrong_in(kind: str, text: str, book: bool) -> str:
    """What is not allowed in a script, or in a tag by itself or with the text it holds."""
    if kind == "script":
        return f"has a script: {text[:80]}" if book or not SCRIPTS.fullmatch(text) else ""
    if kind == "tag" and HOLDING.match(text):
        return f"has a text that does not end: {text[:80]}"
    return wrong_in_tag(text, book)


@lru_cache(maxsize=20_000)
def wrong_in_tag(tag: str, book: bool) -> str:
    name = PARTS.match(tag)[1].lower()  # type: ignore[index]
    if name not in ELEMENTS:
        return f"has an element that is not among those allowed: {tag[:80]}"
    given: dict[str, str] = {}
    for attribute, double, single in EACH.findall(tag, len(name) + 1):
        if attribute.lower() in given:
            return f"says an attribute twice: {tag[:80]}"
        given[attribute.lower()] = unescape(double or single)
    for attribute, value in given.items():
        if wrong := _wrong_attribute(name, attribute, value, given, book):
            return f"{wrong}: {tag[:80]}"
    return ""


def _wrong_attribute(
    name: str, attribute: str, value: str, given: dict[str, str], book: bool
) -> str:
    if attribute.startswith(BEGINNINGS):
        return ""
    if attribute not in EVERYWHERE and attribute not in ATTRIBUTES:
        return f"has an attribute that is not among those allowed, {attribute}"
    if attribute in MAY_HOLD_CSS and (wrong := wrong_in_sheet(value, _in_document)):
        return f"has a style that {wrong}"
    if attribute in ("href", "src", "srcset"):
        return "" if _leads_well(name, attribute, value, given, book) else (
            "fetches something from elsewhere"
        )  # fmt: skip
    if name == "link" and not {*given.get("rel", "").lower().split()} <= RELATIONS | TOLD_ONLY:
        return "links in a way that is not among those allowed"
    if attribute == "rel" and name == "a" and "attachment" in value.lower():
        return "attaches a file"
    if attribute == "http-equiv" and (
        value.lower() != "content-security-policy" or given.get("content") not in (POLICY, GOES_ON)
    ):
        return "says what only a host should"
    if attribute == "charset" and value.lower() != "utf-8":
        return "has another encoding"
    if name == "meta" and attribute in ("name", "property") and not METAS.fullmatch(value):
        return "says something that is not among what is allowed"
    if name == "input" and attribute == "type" and value.lower() not in INPUTS:
        return "has an input of another kind"
    return ""


def _in_document(address: str) -> bool:
    return address.strip().startswith("#")


def _leads_well(name: str, attribute: str, value: str, given: dict[str, str], book: bool) -> bool:
    """Whether an address is in the site, or one that is only followed by who chooses to."""
    if attribute == "srcset":
        return all(LOCAL.fullmatch(each.split()[0]) for each in value.split(",") if each.split())
    if book and ASSET.fullmatch(value):
        return name == "img"
    if book and WITHIN_BOOK.fullmatch(value):
        return name == "a"
    if name == "a" or (name == "link" and {*given.get("rel", "").split()} <= TOLD_ONLY):
        return bool(LOCAL.fullmatch(value) or LEADS.fullmatch(value))
    if name not in ("img", "link", "use"):
        return False
    return bool(LOCAL.fullmatch(value)) and (name != "use" or value.startswith("#"))
