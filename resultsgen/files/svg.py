"""SVG pictures: written anew from what is allowed, by namespace; whatever else draws is refused.

What other programs keep in the file for themselves (layers, paths of folders, names of people)
draws nothing and is left out; so are comments and processing instructions.
"""

from __future__ import annotations

import re
from base64 import b64decode, b64encode
from collections.abc import Iterator
from functools import lru_cache
from xml.etree import ElementTree
from xml.parsers import expat

from resultsgen.files.markup import allowed, wrong_in_sheet
from resultsgen.files.opening import UnreadableError
from resultsgen.files.pictures import rewritten

SVG, XLINK, XML = (
    "http://www.w3.org/2000/svg",
    "http://www.w3.org/1999/xlink",
    "http://www.w3.org/XML/1998/namespace",
)

ELEMENTS = allowed("""
    a circle clipPath defs desc ellipse feBlend feColorMatrix feComponentTransfer feComposite
    feConvolveMatrix feDiffuseLighting feDisplacementMap feDistantLight feDropShadow feFlood
    feFuncA feFuncB feFuncG feFuncR feGaussianBlur feMerge feMergeNode feMorphology feOffset
    fePointLight feSpecularLighting feSpotLight feTile feTurbulence filter g image line
    linearGradient marker mask metadata path pattern polygon polyline radialGradient rect stop
    style svg switch symbol text textPath title tspan use view
""")
"""Those that draw and stand still: none runs, is fetched for, or changes another."""

LEFT_OUT = frozenset(("font", "font-face", "metadata"))
"""Fonts within a picture are read by no browser of today."""

ATTRIBUTES = allowed("""
    accumulate alignment-baseline amplitude azimuth baseFrequency baseline-shift baseProfile bias
    class clip clip-path clip-rule clipPathUnits color color-interpolation
    color-interpolation-filters color-rendering cx cy d diffuseConstant direction display divisor
    dominant-baseline dx dy edgeMode elevation enable-background exponent fill fill-opacity
    fill-rule filter filterUnits flood-color flood-opacity font font-family font-size
    font-size-adjust font-stretch font-style font-variant font-weight fr fx fy gradientTransform
    gradientUnits height href id image-rendering in in2 intercept k1 k2 k3 k4 kernelMatrix
    kernelUnitLength kerning lang lengthAdjust letter-spacing lighting-color limitingConeAngle
    marker marker-end marker-mid marker-start markerHeight markerUnits markerWidth mask mask-type
    maskContentUnits maskUnits media method mode numOctaves offset opacity operator order orient
    overflow paint-order pathLength patternContentUnits patternTransform patternUnits
    pointer-events points pointsAtX pointsAtY pointsAtZ preserveAlpha preserveAspectRatio
    primitiveUnits r radius refX refY requiredFeatures result role rotate rx ry scale seed
    shape-rendering slope solid-color solid-opacity spacing specularConstant specularExponent
    spreadMethod startOffset stdDeviation stitchTiles stop-color stop-opacity stroke
    stroke-dasharray stroke-dashoffset stroke-linecap stroke-linejoin stroke-miterlimit
    stroke-opacity stroke-width style surfaceScale systemLanguage tableValues targetX targetY
    text-align text-anchor text-decoration text-indent text-overflow text-rendering textLength
    transform transform-origin type unicode-bidi values vector-effect version viewBox visibility
    white-space width word-spacing writing-mode x x1 x2 xChannelSelector y y1 y2 yChannelSelector z
    zoomAndPan contentScriptType contentStyleType externalResourcesRequired focusable isolation
    mix-blend-mode font-feature-settings font-variation-settings line-height tabindex
    glyph-orientation-horizontal glyph-orientation-vertical
""")

HARMLESS_ELSEWHERE = {XLINK: frozenset(("href", "show", "type", "title", "actuate")),
                      XML: frozenset(("space", "lang", "id"))}  # fmt: skip

MOST_STYLE = 400_000
"""Signs of styles and of what is written as styles are."""

DEEPEST, MOST = 100, 50_000
"""Elements within elements; and how many are drawn, those that are used again counted again."""


def unsafe(why: str) -> UnreadableError:
    return UnreadableError("unsafe-picture", f"{why}; save it as plain SVG, or as PNG")


@lru_cache(maxsize=32)  # Looked at when the folder is read, and again when it is published.
def safe_svg(held: bytes) -> bytes:
    """The same picture with nothing in it but what draws; UnreadableError where that cannot be.

    >>> safe_svg(b'<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0h1"/></svg>')
    b'<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0h1" /></svg>'
    """
    try:
        root = _Builder().read(held)
    except UnicodeDecodeError:
        raise unsafe("is not in UTF-8") from None
    except (expat.ExpatError, ValueError, AssertionError) as error:
        raise unsafe(f"is not well-formed XML ({error})") from None
    if sum(map(len, _styles(root))) > MOST_STYLE:
        raise unsafe(f"has more than {MOST_STYLE:,} signs of style")
    if root.tag != f"{{{SVG}}}svg":
        raise unsafe("is no SVG picture")
    made = _copied(root)
    if _drawn(made) > MOST:
        raise unsafe(f"draws more than {MOST:,} elements, with those used again")
    return ElementTree.tostring(made, encoding="unicode").encode()


class _Builder:
    """Makes the tree while the picture is read: without entities, and not too deep."""

    def __init__(self) -> None:
        self._tree, self._depth, self._begun = ElementTree.TreeBuilder(), 0, 0

    def read(self, held: bytes) -> ElementTree.Element:
        parser = expat.ParserCreate(namespace_separator="}")
        parser.StartElementHandler, parser.EndElementHandler = self.begin, self.end
        parser.CharacterDataHandler = self._tree.data
        parser.StartDoctypeDeclHandler, parser.XmlDeclHandler = self.doctype, self.declaration
        parser.ProcessingInstructionHandler = self.instruction
        parser.buffer_text = True
        parser.Parse(held.decode(), True)
        return self._tree.close()

    def begin(self, name: str, given: dict[str, str]) -> None:
        self._depth += 1
        self._begun += 1
        if self._begun > MOST:
            raise unsafe(f"has more than {MOST:,} elements")
        if self._depth > DEEPEST:
            raise unsafe(f"has more than {DEEPEST} elements within elements")
        self._tree.start(_named(name), {_named(key): value for key, value in given.items()})

    def end(self, name: str) -> None:
        self._depth -= 1
        self._tree.end(_named(name))

    def doctype(self, name: str, system: str | None, public: str | None, internal: bool) -> None:
        """The doctype may name the language and declare nothing."""
        if internal:
            raise unsafe("declares entities")

    def declaration(self, version: str, encoding: str | None, standalone: int) -> None:
        """The encoding is that in which it is read here."""
        if encoding and encoding.lower() not in ("utf-8", "us-ascii"):
            raise unsafe("is not in UTF-8")

    def instruction(self, target: str, data: str) -> None:
        """Whatever else is for other programs is left out."""
        if target.lower() == "xml-stylesheet":
            raise unsafe("calls for a style sheet")


def _named(name: str) -> str:
    return f"{{{name}" if "}" in name else name


def _copied(element: ElementTree.Element) -> ElementTree.Element:
    """An element and what stands in it, without what draws nothing."""
    name = element.tag.removeprefix(f"{{{SVG}}}")
    if name not in ELEMENTS:
        raise unsafe(f"has an element that is not among those allowed ({name[:60]})")
    made = ElementTree.Element(name, dict(_attributes(element)))
    made.text, made.tail = element.text, None
    if name == "svg":
        made.attrib = {"xmlns": SVG, **made.attrib}
    last = None
    for inner in element:
        kept = _copied(inner) if _draws(inner) else None
        if kept is not None:
            made.append(kept)
            last, kept.tail = kept, inner.tail
        elif last is not None:
            last.tail = (last.tail or "") + (inner.tail or "")
        else:
            made.text = (made.text or "") + (inner.tail or "")
    if name == "style" and len(made):
        raise unsafe("has elements within a style")
    if name == "style" and (wrong := wrong_in_sheet(made.text or "", _within)):
        raise unsafe(f"has a style that {wrong}")
    return made


def _styles(root: ElementTree.Element) -> Iterator[str]:
    """All that is to be read as styles are."""
    for element in root.iter():
        yield from (
            value
            for name, value in element.attrib.items()
            if name == "style" or (MAY_FETCH.search(value) and not name.endswith("href"))
        )
        if element.tag.endswith("style"):
            yield from element.itertext()


def _draws(element: ElementTree.Element) -> bool:
    """What is of another vocabulary draws nothing, but for HTML, which may run: that is refused."""
    if element.tag.startswith("{http://www.w3.org/1999/xhtml}"):
        raise unsafe("has HTML in it")
    if not element.tag.startswith(f"{{{SVG}}}"):
        return False
    return element.tag.removeprefix(f"{{{SVG}}}") not in LEFT_OUT


def _attributes(element: ElementTree.Element) -> Iterator[tuple[str, str]]:
    """The attributes that are kept; those of other programs are not."""
    # Of two references the one without a prefix counts, so it comes last.
    for full, value in sorted(element.attrib.items(), key=lambda attribute: attribute[0] == "href"):
        space, _, name = full.rpartition("}")
        space = space.removeprefix("{")
        if space and name not in HARMLESS_ELSEWHERE.get(space, ()):
            continue
        if not space and name.startswith(("data-", "aria-")):
            continue
        if not space and name not in ATTRIBUTES:
            raise unsafe(f"has an attribute that is not among those allowed ({name[:60]})")
        if name == "href":
            value = _own(value.strip())
        elif (MAY_FETCH.search(value) or name == "style") and (
            wrong := wrong_in_sheet(value, _within)
        ):
            raise unsafe(f"fetches something ({name}): {wrong}")
        if space != XLINK or name == "href":
            yield (f"xml:{name}" if space == XML else name), value


def _own(reference: str) -> str:
    """A reference within the picture, or a photograph in it, which is written anew as all are."""
    if re.fullmatch(r"#\S*", reference):
        return reference
    found = PHOTOGRAPH.fullmatch(reference)
    if not found:
        raise unsafe("refers to something outside (href)")
    kind = found[1].lower()
    try:
        made = rewritten(b64decode(found[2]), f".{kind}")
    except (UnreadableError, ValueError) as error:
        raise unsafe(f"has a picture in it that {error}") from None
    return f"data:image/{kind};base64,{b64encode(made).decode()}"


def _within(address: str) -> bool:
    return address.strip().lower().startswith(("#", "data:font/"))


PHOTOGRAPH = re.compile(r"data:image/(png|jpeg|gif|webp);base64,([A-Za-z0-9+/=\s]+)", re.I)
MAY_FETCH = re.compile(r"[(@\\]")
"""Signs without which a value of CSS cannot fetch."""

REFERENCE = re.compile(r"url\(\s*['\"]?#([^'\")\s]+)")


def _drawn(root: ElementTree.Element) -> int:
    """How many elements are drawn; those that are used again count again."""
    by_id = {element.attrib["id"]: element for element in root.iter() if "id" in element.attrib}
    known: dict[ElementTree.Element, int] = {}
    above: set[ElementTree.Element] = set()

    def count(element: ElementTree.Element) -> int:
        if element in known:
            return known[element]
        if element in above:
            raise unsafe("uses itself")
        if len(above) > 2 * DEEPEST:
            raise unsafe("uses what uses something, and so on, too often")
        above.add(element)
        used = (by_id[name] for name in _references(element) if name in by_id)
        whole = 1 + sum(map(count, element)) + sum(map(count, used))
        above.remove(element)
        known[element] = min(whole, MOST + 1)
        return known[element]

    return count(root)


def _references(element: ElementTree.Element) -> Iterator[str]:
    for name, value in element.attrib.items():
        if name == "href" and value.startswith("#"):
            yield value[1:]
        elif "url(" in value.lower():
            yield from REFERENCE.findall(value)
