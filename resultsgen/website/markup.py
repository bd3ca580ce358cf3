"""Markdown to safe HTML: text stays text, and a page can only do what Markdown can.

HTML written in a page comes out as the text it is. The result is sanitised once more by a kept
library, whatever Markdown made of it. Headings begin at the second level, below the page's title.
"""

from __future__ import annotations

import string
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

HEADINGS = ("h1", "h2", "h3", "h4", "h5", "h6")
TAGS = {
    "a", "blockquote", "br", "code", "em", "hr", "img", "li", "ol", "p", "pre", "strong", "table",
    "tbody", "td", "th", "thead", "tr", "ul", *HEADINGS[1:],
}  # fmt: skip
ATTRIBUTES = {
    "a": {"href", "title"},
    "img": {"src", "srcset", "sizes", "width", "height", "alt", "title"},
    "ol": {"start"},
    "th": {"scope"},
}
ALIGNED = {"align-left", "align-center", "align-right"}

AFTER_ALL_OTHERS = -10

Referred = Callable[[str, str], Mapping[str, str]]
"""What is said of an `a` or `img`: where it really leads, and in which sizes it comes."""


def markdown_text(text: str) -> str:
    """A text as Markdown that shows it exactly: no sign in it means anything.

    >>> markdown_text("O*Neil <b>")
    'O&#42;Neil &#60;b&#62;'
    """
    line = " ".join(text.split())
    return "".join(f"&#{ord(sign)};" if sign in string.punctuation else sign for sign in line)


def effort(text: str) -> int:
    """About how many steps it takes to read a Markdown text.

    What is no letter may mean something; a bracket is looked for to the end of its paragraph.
    """
    signs = sum(sign in string.punctuation or sign == "\n" for sign in text)
    brackets = sum(part.count("[") * len(part) for part in text.split("\n\n"))
    return len(text) + 20 * signs + brackets // 5


_made: dict[str, tuple[dict[tuple[str, str], Mapping[str, str]], str]] = {}
MOST_KEPT = 2**8
"""So many texts are kept by a process that goes on, with what was said of their links."""


def safe_html(text: str, referred: Referred) -> str:
    """The HTML of a Markdown text; *referred* decides on every link and picture in it."""
    if text in _made and all(referred(*one) == said for one, said in _made[text][0].items()):
        return _made[text][1]
    told: dict[tuple[str, str], Mapping[str, str]] = {}

    def noted(tag: str, value: str) -> Mapping[str, str]:
        told[tag, value] = referred(tag, value)
        return told[tag, value]

    if len(_made) >= MOST_KEPT:
        _made.clear()
    _made[text] = told, _safe_html(text, noted)
    return _made[text][1]


def _safe_html(text: str, referred: Referred) -> str:
    import nh3
    from markdown import Markdown
    from markdown.extensions.tables import TableExtension
    from markdown.treeprocessors import Treeprocessor

    class OurWays(Treeprocessor):  # type: ignore[misc]
        def run(self, root: Element) -> None:
            _our_ways(root, referred)

    markdown = Markdown(extensions=[TableExtension(use_align_attribute=True)])
    markdown.preprocessors.deregister("html_block")
    markdown.inlinePatterns.deregister("html")
    markdown.treeprocessors.register(OurWays(markdown), "our ways", AFTER_ALL_OTHERS)
    return nh3.clean(
        markdown.convert(text),
        tags=TAGS,
        attributes=ATTRIBUTES,
        allowed_classes={"td": ALIGNED, "th": ALIGNED},
        url_schemes={"http", "https", "mailto", "tel"},
    )


def _our_ways(root: Element, referred: Referred) -> None:
    """Headings below the title of the page, column heads that say so, and no inline style.

    A link or picture leads to where it may, or nowhere.
    """
    levels = [HEADINGS.index(part.tag) for part in root.iter() if part.tag in HEADINGS]
    shift = 1 - min(levels, default=1)
    for part in root.iter():
        if part.tag in HEADINGS:
            part.tag = HEADINGS[min(HEADINGS.index(part.tag) + shift, 5)]
        if part.tag == "th":
            part.set("scope", "col")
        if "align" in part.attrib:
            part.set("class", f"align-{part.attrib.pop('align')}")
        for name in ("href", "src"):
            if name in part.attrib:
                part.attrib.update(referred(part.tag, part.attrib.pop(name)))
