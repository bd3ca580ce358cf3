"""How large a meet may be, so that it is judged in seconds."""

from __future__ import annotations

from collections.abc import Iterator

from resultsgen.checks.entries import belonging_mask
from resultsgen.meet.folder import Meet
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import Competition

LARGEST = 80_000
"""Rows of all lists and cuts together; 2,000 gymnasts with all finals have about 60,000."""


def a_meet_is_judged_in_seconds(meet: Meet) -> Iterator[Problem]:
    """All lists and cuts of all competitions together have no more rows than any meet needs."""
    rows = sum(
        int(belonging_mask(one, meet.roster).sum()) * _lists(meet, one)
        for one in meet.settings.competitions
    )
    if rows > LARGEST:
        message = (
            f"all lists and cuts of the competitions have {rows} rows together, and at most "
            f"{LARGEST} are worked out; part the meet into several, or give divisions"
        )
        yield Problem(meet.settings.files.roster, 0, "", "meet-too-large", message)


def _lists(meet: Meet, one: Competition) -> int:
    """How often a gymnast may stand in a list or a cut of a competition."""
    apparatus = len(meet.settings.apparatus_of(one))
    return 1 + apparatus + sum(apparatus if cut.of == "apparatus" else 1 for cut in one.cuts)
