"""How those without a place are told apart and listed: in progress, DNF, DNS, WDR, DSQ.

DNS did not start, DNF did not complete what the list needs, WDR withdrew before the start, DSQ
was disqualified and keeps no mark. One missing apparatus makes an all-around DNF; who did nothing
at all did not start, even where one part says WDR and another DNS. Source:
published all-around and two-vault lists (`tests/published/`); DSQ is common practice.
"""

from __future__ import annotations

from collections.abc import Sequence


def list_status(done: int, parts: Sequence[str]) -> str:
    """The status of a gymnast on a list: *parts* holds the status of each part, '' for none.

    *done* counts the parts that have a mark. Empty where nothing stands in the way of a place:
    all parts are done, or some are still to come.
    """
    given = [part for part in parts if part]
    if not given:
        return ""
    if "DSQ" in given:
        return "DSQ"
    if done or "DNF" in given:
        return "DNF"
    return given[0] if len(set(given)) == 1 else "DNS"


def unranked_order(status: str, order: Sequence[str]) -> int:
    """Where a status stands below the ranked; those still in progress stand first."""
    if not status:
        return 0
    return 1 + (list(order).index(status) if status in order else len(order))
