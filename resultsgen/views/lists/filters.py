"""What a list can be narrowed by: club, federation, division, session."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from operator import attrgetter

from resultsgen.scoring.results import Gymnast, natural
from resultsgen.views.lists.table import Filter, Table
from resultsgen.views.people.people import folded
from resultsgen.views.words.wording import Wording


def narrowable(table: Table, gymnasts: Sequence[Gymnast], wording: Wording) -> Table:
    """The table with a filter for each thing in which the gymnasts of its rows differ."""
    say = wording.say
    offered: tuple[tuple[str, str, Callable[[Gymnast], str]], ...] = (
        (say("Club"), say("All clubs"), attrgetter("club")),
        (say("Federation"), say("All federations"), attrgetter("federation")),
        (say("Division"), say("All divisions"), attrgetter("division")),
        (say("Session"), say("All sessions"), attrgetter("session")),
    )
    filters, filed = [], []
    for label, everything, of in offered:
        values = [of(gymnast) for gymnast in gymnasts]
        names = sorted(set(filter(None, values)), key=_in_order)
        if len(names) > 1:
            filters.append(Filter(label, everything, tuple(names)))
            numbers = {name: str(number) for number, name in enumerate(names)}
            filed.append([numbers.get(value, "-") for value in values])
    if not filters:
        return table
    rows = (
        replace(row, filed=" ".join(places))
        for row, places in zip(table.rows, zip(*filed, strict=True), strict=True)
    )
    return replace(table, filters=tuple(filters), rows=tuple(rows))


def _in_order(name: str) -> tuple[object, ...]:
    return natural(folded(name)), name
