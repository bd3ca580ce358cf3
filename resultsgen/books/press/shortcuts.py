"""Questions that the renderer asks of every box time and again, answered once for each style.

A style never changes once boxes are laid out: where one is to be otherwise, it is copied, and the
copy knows no answer. What is made is the same to the byte; it takes a twelfth less time. As
`extraction` does, this goes by parts of WeasyPrint that are not its public face.
"""

from __future__ import annotations

import functools
import sys
from typing import Any

SIDES = ("top", "right", "bottom", "left")
BORDERS = tuple(f"border_{side}_width" for side in SIDES)
LENGTHS = (
    *(f"{kind}_{side}" for kind in ("margin", "padding") for side in SIDES),
    *(f"{limit}{size}" for limit in ("", "min_", "max_") for size in ("width", "height")),
)


@functools.cache
def take_shortcuts() -> None:
    """Let the renderer of this process ask once."""
    from weasyprint.formatting_structure.boxes import Box
    from weasyprint.layout import percent
    from weasyprint.text.line_break import Layout, pango

    resolve, in_flow = percent.resolve_percentages, Box.is_in_normal_flow

    def resolve_percentages(box: Any, containing_block: Any) -> None:
        style = box.style
        if not hasattr(style, "lengths"):
            style.lengths, style.borders = _lengths(style), {name: style[name] for name in BORDERS}
        if style.lengths is None:
            resolve(box, containing_block)
            return
        box.__dict__.update(style.lengths)
        if style["border_collapse"] == "collapse":
            # What a cell shares with the next is settled before.
            box.__dict__.update(style.borders | _known(box, BORDERS))
        else:
            box.__dict__.update(style.borders)

    def is_in_normal_flow(box: Any) -> bool:
        style = box.style
        if not hasattr(style, "in_flow"):
            style.in_flow = in_flow(box)
        return bool(style.in_flow)

    def reactivate(layout: Any, style: Any) -> None:
        if layout.justification_spacing or layout.style is not style:
            layout.setup(style)
            layout.set_text(layout.text, justify=True)
        else:
            pango.pango_layout_set_width(layout.layout, -1)

    for name, module in list(sys.modules.items()):
        if name.startswith("weasyprint.") and hasattr(module, "resolve_percentages"):
            module.resolve_percentages = resolve_percentages  # type: ignore[attr-defined]
    Box.is_in_normal_flow = is_in_normal_flow
    # A text is set up for being measured, and is drawn as it was measured.
    Layout.deactivate = lambda layout: None
    Layout.reactivate = reactivate


def _lengths(style: Any) -> dict[str, Any] | None:
    """The lengths of all boxes of a style; None where they depend on what is around a box."""
    lengths: dict[str, Any] = {}
    for name in LENGTHS:
        length = style[name]
        if length == "auto":
            lengths[name] = 0 if name.startswith("min_") else length
        elif getattr(length, "unit", None) == "px":
            lengths[name] = length.value
        else:
            return None
    return lengths if style["box_sizing"] == "content-box" else None


def _known(box: Any, names: tuple[str, ...]) -> dict[str, Any]:
    return {name: box.__dict__[name] for name in names if name in box.__dict__}
