"""What is worth telling of each publication: the facts of the lists that it brought to an end.

A list is told with the publication since which its places and totals are what they are now; so a
fact stands with one publication only, and a correction takes it along.
"""

from __future__ import annotations

from resultsgen.history import History
from resultsgen.scoring.results import Results
from resultsgen.views.press.notable import Fact, notable_facts
from resultsgen.views.words.wording import Wording

KINDS = ("won", "first", "record", "everywhere", "sweep")
"""The facts that are news; how ties were settled or the lead changed is told on the press page."""

MOST = 12
"""So many are told of one publication."""


def news(results: Results, wording: Wording) -> dict[int, tuple[Fact, ...]]:
    """The facts that are told with each publication, by its number."""
    since = _since(results.history)
    found: dict[int, list[Fact]] = {}
    for fact in notable_facts(results, wording):
        number = _told_with(fact, since)
        if fact.kind in KINDS and number:
            found.setdefault(number, []).append(fact)
    return {number: tuple(facts[:MOST]) for number, facts in found.items()}


def _told_with(fact: Fact, since: dict[tuple[str, str], int]) -> int:
    """The publication of its list; of a fact about several, the last of the competition's."""
    competition, name = fact.competition, fact.rests_on.list
    every = (number for (id, _), number in since.items() if id == competition)
    return since.get((competition, name)) or max(every, default=0)


def _since(history: History) -> dict[tuple[str, str], int]:
    """Since which publication each list has stood as it does: competition and list to number."""
    lines: dict[tuple[str, str], object] = {}
    since: dict[tuple[str, str], int] = {}
    for issue in history.issues:
        for one in issue.by_person.competitions:
            for held in one.lists:
                key = (one.id, held.id)
                if lines.get(key) != held.lines:
                    lines[key], since[key] = held.lines, issue.publication.number
    return since
