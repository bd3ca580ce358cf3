"""What of a mark is unusual, and is asked back before it is written."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from resultsgen.entering.slips import Given
from resultsgen.meet.marks import show_mark
from resultsgen.meet.ruleset import MarkRule

FAR = 1_500
"""So far from what is usual a mark is asked back: a fall costs 1.000, a slip of the pen more."""

ENOUGH = 3
"""So many marks of others make what is usual in a field."""


def usual(marks: Sequence[int]) -> int:
    """The mark in the middle, the lower of two.

    >>> usual([9000, 8500, 9500, 8600])
    8600
    """
    return sorted(marks)[(len(marks) - 1) // 2]


def far_from(mark: int, marks: Sequence[int]) -> bool:
    """Is a mark further from the usual than it may be, and further than any before?

    >>> far_from(7000, [9000, 8500, 8900]), far_from(7000, [9000, 6900, 8900])
    (True, False)
    """
    beyond = not min(marks) <= mark <= max(marks)
    return beyond and abs(mark - usual(marks)) >= FAR


def unusual(
    made: Given, rule: MarkRule, own: Sequence[int], others: Sequence[int], parts_usual: bool
) -> Iterator[str]:
    """What is unusual of a mark: *own* are her marks so far on that apparatus and her bests on it,
    *others* those of the field; *parts_usual*: D and E of others are known."""
    if made.mark is None:
        return
    if made.d is not None and made.e is not None and made.d > made.e:
        yield f"D {show_mark(made.d)} is higher than E {show_mark(made.e)}: exchanged?"
    if rule.composition == "d+e" and parts_usual and (made.d is None or made.e is None):
        yield f"{show_mark(made.mark)} as the whole mark, without D and E?"
    if own:
        if far_from(made.mark, own):
            usually = show_mark(usual(own))
            yield f"{show_mark(made.mark)} is far from {usually}, usual for this gymnast"
    elif len(others) >= ENOUGH and far_from(made.mark, others):
        yield f"{show_mark(made.mark)} is far from {show_mark(usual(others))}, usual here"
    whole = sum(part or 0 for part in (made.d, made.e, made.bonus)) - (made.penalty or 0)
    if made.parts and whole != made.mark and rule.composition == "d+e" and whole >= 0:
        yield f"{made.parts} is {show_mark(whole)}, and not {show_mark(made.mark)}"
