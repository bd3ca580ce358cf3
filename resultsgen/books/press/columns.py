"""Columns that end at about the same height, in a few steps.

The renderer makes columns higher step by step until they hold everything. A step is what the next
thing lacks to stand at the foot of the column before; but it measures no more of it than what
cannot be parted from its first line. A table that stays whole then seems to fit where it does not,
and where it does not fit into a column of its own nothing is measured: the columns grow by one
pixel, hundreds of times, and all in them is set each time. Told how high the whole is, the renderer
comes to the same columns, unless a few pixels decide. Most of the time for the books of a
meet went there.
"""

from __future__ import annotations

from collections.abc import Callable
from math import inf
from typing import Any

Layout = Callable[..., tuple[Any, ...]]

FIRST = {0: None}
"""How the renderer says where it goes on: with the whole of the first."""

MARGINS = 4
"""Which of the renderer's arguments are the margins above: none, where a column is taken."""

HAIR = 8
"""So many pixels more than its height what comes next is to have room: no step is smaller."""


def balance_in_few_steps() -> None:
    """From now on the renderer measures all of what stays whole in columns."""
    from weasyprint.layout import block

    if block.block_box_layout.__module__ != __name__:
        block.block_box_layout = _measuring(block.block_box_layout)


def _measuring(layout: Layout) -> Layout:
    """The renderer's way to set a block, by which columns are set and measured too."""

    def set_or_measured(
        context: Any, box: Any, bottom_space: float, skip: Any, *where: Any, **how: Any
    ) -> tuple[Any, ...]:
        if not (box.is_column and _begins_whole(box, skip)):
            return layout(context, box, bottom_space, skip, *where, **how)
        measures = bottom_space == inf
        if not measures:
            column, *others = layout(context, box, bottom_space, skip, *where, **how)
            if column is not None or where[MARGINS] is None:
                return column, *others
        alone = box.copy_with_children(box.children[: next(iter(skip or FIRST)) + 1])
        column, *others = layout(context, alone, -inf, skip, *where, **how)
        (first,) = column.children
        if measures:
            first.margin_bottom += HAIR
        else:  # Tried in vain: the column stays empty, and this is what comes next.
            first.height = first.margin_bottom = 0
            others[0] = skip or FIRST
        return column, *others

    return set_or_measured


def _begins_whole(column: Any, skip: Any) -> bool:
    """What stands first in a column is not to be parted, and is all there."""
    ((first, within),) = (skip or FIRST).items()
    return within is None and column.children[first].style["break_inside"] == "avoid"
