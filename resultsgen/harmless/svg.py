"""SVG pictures: written anew from what is allowed, by namespace; whatever else draws is refused.

What other programs keep in the file for themselves (layers, paths of folders, names of people) draws
nothing and is left out; so are comments and processing instructions.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from xml.etree import ElementTree
from xml.parsers import expat

from resultsgen.harmless.css import holds_itself, wrong_in_sheet

SVG, XLINK, XML = (
    "http://www.w3.org/2000/svg",
    "http://www.w3.org/1999/xlink",
    "http://www.w3.org/XML/1998/namespace",
)

ELEMENTS = frozenset((
    "a", "circle", "clipPath", "defs", "desc", "ellipse", "feBlend", "feColorMatrix",
    "feComponentTransfer", "feComposite", "feConvolveMatrix", "feDiffuseLighting",
    "feDisplacementMap", "feDistantLight", "feDropShadow", "feFlood", "feFuncA", "feFuncB",
    "feFuncG", "feFuncR", "feGaussianBlur", "feMerge", "feMergeNode", "feMorphology", "feOffset",
    "fePointLight", "feSpecularLighting", "feSpotLight", "feTile", "feTurbulence", "filter", "g",
    "image", "line", "linearGradient", "marker", "mask", "metadata", "path", "pattern", "polygon",
    "polyline", "radialGradient", "rect", "stop", "style", "svg", "switch", "symbol", "text",
    "textPath", "title", "tspan", "use", "view",
))  # fmt: skip
"""Those that draw and stand still: none runs, is fetched for, or changes another."""

LEFT_OUT = frozenset(("metadata",))

ATTRIBUTES = frozenset((
    "accumulate", "alignment-baseline", "amplitude", "azimuth", "baseFrequency", "baseline-shift",
    "baseProfile", "bias", "class", "clip", "clip-path", "clip-rule", "clipPathUnits", "color",
    "color-interpolation", "color-interpolation-filters", "color-rendering", "cx", "cy", "d",
    "diffuseConstant", "direction", "display", "divisor", "dominant-baseline", "dx", "dy",
    "edgeMode", "elevation", "enable-background", "exponent", "fill", "fill-opacity", "fill-rule",
    "filter", "filterUnits", "flood-color", "flood-opacity", "font", "font-family", "font-size",
    "font-size-adjust", "font-stretch", "font-style", "font-variant", "font-weight", "fr", "fx",
    "fy", "gradientTransform", "gradientUnits", "height", "href", "id", "image-rendering", "in",
    "in2", "intercept", "k1", "k2", "k3", "k4", "kernelMatrix", "kernelUnitLength", "kerning",
    "lang", "lengthAdjust", "letter-spacing", "lighting-color", "limitingConeAngle", "marker",
    "marker-end", "marker-mid", "marker-start", "markerHeight", "markerUnits", "markerWidth",
    "mask", "mask-type", "maskContentUnits", "maskUnits", "media", "method", "mode",
    "numOctaves", "offset", "opacity", "operator", "order", "orient", "overflow", "paint-order",
    "pathLength", "patternContentUnits", "patternTransform", "patternUnits", "pointer-events",
    "points", "pointsAtX", "pointsAtY", "pointsAtZ", "preserveAlpha", "preserveAspectRatio",
    "primitiveUnits", "r", "radius", "refX", "refY", "requiredFeatures", "result", "role",
    "rotate", "rx", "ry", "scale", "seed", "shape-rendering", "slope", "solid-color",
    "solid-opacity", "spacing", "specularConstant", "specularExponent", "spreadMethod",
    "startOffset", "stdDeviation", "stitchTiles", "stop-color", "stop-opacity", "stroke",
    "stroke-dasharray", "stroke-dashoffset", "stroke-linecap", "stroke-linejoin",
    "stroke-miterlimit", "stroke-opacity", "stroke-width", "style", "surfaceScale",
    "systemLanguage", "tableValues", "targetX", "targetY", "text-align", "text-anchor",
    "text-decoration", "text-indent", "text-overflow", "text-rendering", "textLength",
    "transform", "transform-origin", "type", "unicode-bidi", "values", "vector-effect", "version",
    "viewBox", "visibility", "white-space", "width", "word-spacing", "writing-mode", "x",
    "x1", "x2", "xChannelSelector", "y", "y1", "y2", "yChannelSelector", "z", "zoomAndPan",
))  # fmt: skip

HARMLESS_ELSEWHERE = {XLINK: frozenset(("href", "show", "type", "title", "actuate")),
                      XML: frozenset(("space", "lang", "id"))}  # fmt: skip

DEEPEST, MOST = 100, 50_000
"""Elements within elements; and how many are drawn, those that are used again counted again."""


class UnsafeSvgError(ValueError):
    """A picture that is not published; the message says why."""


def safe_svg(held: bytes) -> bytes:
    """The same picture with nothing in it but what draws; UnsafeSvgError where that cannot be.

    >>> safe_svg(b'<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0h1"/></svg>')
    b'<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0h1" /></svg>'
    """
    root = _parsed(held)
    if root.tag != f"{{{SVG}}}svg":
        raise UnsafeSvgError("is no SVG picture")
    made = _copied(root)
    if _drawn(made) > MOST:
        raise UnsafeSvgError(f"draws more than {MOST:,} elements, with those used again")
    return ElementTree.tostring(made)


def what_an_svg_must_not_hold(held: bytes) -> str:
    """Why a picture is not published, in words; empty where it is.

    >>> what_an_svg_must_not_hold(b'<svg xmlns="http://www.w3.org/2000/svg" onload="x()"/>')
    'has an attribute that is not among those allowed (onload)'
    """
    try:
        safe_svg(held)
    except UnsafeSvgError as refusal:
        return str(refusal)
    return ""


def _parsed(held: bytes) -> ElementTree.Element:
    """The picture's tree; entities are not declared, and nothing is within too much else."""
    builder, depth = ElementTree.TreeBuilder(), 0
    parser = expat.ParserCreate(namespace_separator="}")

    def named(name: str) -> str:
        return f"{{{name}" if "}" in name else name

    def begin(name: str, given: dict[str, str]) -> None:
        nonlocal depth
        depth += 1
        if depth > DEEPEST:
            raise UnsafeSvgError(f"has more than {DEEPEST} elements within elements")
        builder.start(named(name), {named(key): value for key, value in given.items()})

    def end(name: str) -> None:
        nonlocal depth
        depth -= 1
        builder.end(named(name))

    def doctype(name: str, system: str | None, public: str | None, internal: int) -> None:
        if internal:
            raise UnsafeSvgError("declares entities")

    def encoding(version: str, given: str | None, standalone: int) -> None:
        if given and given.lower() not in ("utf-8", "us-ascii"):
            raise UnsafeSvgError("is not in UTF-8")

    def instruction(target: str, data: str) -> None:
        if target.lower() == "xml-stylesheet":
            raise UnsafeSvgError("calls for a style sheet")

    parser.StartElementHandler, parser.EndElementHandler = begin, end
    parser.CharacterDataHandler = builder.data
    parser.StartDoctypeDeclHandler, parser.XmlDeclHandler = doctype, encoding
    parser.ProcessingInstructionHandler = instruction
    parser.buffer_text = True
    try:
        parser.Parse(held.decode(), True)
        return builder.close()
    except UnicodeDecodeError:
        raise UnsafeSvgError("is not in UTF-8") from None
    except (expat.ExpatError, ValueError, AssertionError) as error:
        if isinstance(error, UnsafeSvgError):
            raise
        raise UnsafeSvgError(f"is not well-formed XML ({error})") from None


def _copied(element: ElementTree.Element) -> ElementTree.Element:
    """An element and what stands in it, without what draws nothing."""
    name = element.tag.removeprefix(f"{{{SVG}}}")
    if name not in ELEMENTS:
        raise UnsafeSvgError(f"has an element that is not among those allowed ({name[:60]})")
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
    if name == "style" and (wrong := wrong_in_sheet(_sheet(made))):
        raise UnsafeSvgError(f"has a style that {wrong}")
    return made


def _sheet(style: ElementTree.Element) -> str:
    if len(style):
        raise UnsafeSvgError("has elements within a style")
    return style.text or ""


def _draws(element: ElementTree.Element) -> bool:
    """What is of another vocabulary draws nothing, but for HTML, which may run: that is refused."""
    if element.tag.startswith("{http://www.w3.org/1999/xhtml}"):
        raise UnsafeSvgError("has HTML in it")
    if not element.tag.startswith(f"{{{SVG}}}"):
        return False
    return element.tag.removeprefix(f"{{{SVG}}}") not in LEFT_OUT


def _attributes(element: ElementTree.Element) -> Iterator[tuple[str, str]]:
    """The attributes that are kept; those of other programs are not."""
    for full, value in element.attrib.items():
        space, _, name = full.rpartition("}")
        space = space.removeprefix("{")
        if space and name not in HARMLESS_ELSEWHERE.get(space, ()):
            continue
        if not space and name.startswith(("data-", "aria-")):
            continue
        if not space and name not in ATTRIBUTES:
            raise UnsafeSvgError(f"has an attribute that is not among those allowed ({name[:60]})")
        _check_value(element, name, value)
        if space != XLINK or name == "href":
            yield (f"xml:{name}" if space == XML else name), value


def _check_value(element: ElementTree.Element, name: str, value: str) -> None:
    if name == "href":
        if not OWN.fullmatch(value.strip()):
            raise UnsafeSvgError(f"refers to something outside ({name})")
    elif wrong := wrong_in_sheet(value) if MAY_FETCH.search(value) or name == "style" else "":
        raise UnsafeSvgError(f"fetches something ({name}): {wrong}")


OWN = re.compile(r"#[^\s]*|data:image/(?:png|jpeg|gif|webp)[;,].*", re.DOTALL)
MAY_FETCH = re.compile(r"[(@\\]")
"""Signs without which a value of CSS cannot fetch."""

REFERENCE = re.compile(r"url\(\s*['\"]?#([^'\")\s]+)")


def _drawn(root: ElementTree.Element) -> int:
    """How many elements are drawn; those that are used again count again."""
    by_id = {one.attrib["id"]: one for one in root.iter() if "id" in one.attrib}
    known: dict[ElementTree.Element, int] = {}
    above: set[ElementTree.Element] = set()

    def count(element: ElementTree.Element) -> int:
        if element in known:
            return known[element]
        if element in above:
            raise UnsafeSvgError("uses itself")
        if len(above) > 5 * DEEPEST:
            raise UnsafeSvgError("uses what uses something, and so on, too often")
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
