"""Who is called up for a qualifier who withdraws, found the way the rules find it.

The list is walked again without those who withdrew. That finds the next in order within the cap,
who may be a team-mate whom the cap kept out, else the first reserve. Which of two reserves with one
place it is the jury decides (`undecided`, until it does). Nobody is called up for one more whom a
tie had let in.
Reserves keep their numbers when one of them is called up: papers do not print a qualification
list anew (common practice). Source: finals of published papers whose starters were not those
qualified at first (`tests/published/`).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Literal

from resultsgen.rules.cuts import Candidate, Quota, Verdict, verdicts

Unfilled = Literal["enough", "nobody left"]
"""Why nobody is called up: a tie had let in so many that no place is open, or the list is over."""


def called_up(
    candidates: Sequence[Candidate], quota: Quota, absent: Sequence[int]
) -> dict[int, int]:
    """Who starts, and in whose place; those absent stand in the order in which they withdrew."""
    called = _ever_called(candidates, quota, absent)
    return {key: gone for key, gone in called.items() if key not in absent}


def unfilled(
    candidates: Sequence[Candidate], quota: Quota, absent: Sequence[int]
) -> dict[int, Unfilled]:
    """Those who withdrew and in whose place nobody was called up, and why not."""
    called = _ever_called(candidates, quota, absent)
    through = _qualified(verdicts(candidates, quota)) if absent else []
    group = _groups(candidates, quota)
    found: dict[int, Unfilled] = {}
    for number, gone in enumerate(absent, start=1):
        if gone in called.values() or gone not in (*through, *called):
            continue
        by_then = absent[:number]
        starting = {*through, *called_up(candidates, quota, by_then)}.difference(by_then)
        same = sum(group[key] == group[gone] for key in starting)
        found[gone] = "enough" if same >= quota.places else "nobody left"
    return found


def undecided(
    candidates: Sequence[Candidate], quota: Quota, absent: Sequence[int]
) -> tuple[tuple[int, ...], ...]:
    """Equals of whom the cap has room for some, or some are called up, and nobody decided which."""
    first = verdicts(candidates, quota)
    group = _groups(candidates, quota)
    place = {each.key: (each.place, group[each.key]) for each in candidates}

    def told_apart(found: Sequence[Verdict], about: Iterable[int]) -> set[tuple[int, ...]]:
        """Those whom only the order of the list tells apart, and one of *about* with them."""
        equals: dict[object, list[int]] = {}
        for verdict in found:
            if verdict.by_order:
                equals.setdefault(place[verdict.key], []).append(verdict.key)
        return {tuple(keys) for keys in equals.values() if not set(about).isdisjoint(keys)}

    found = told_apart(first, [verdict.key for verdict in first if verdict.outcome == "capped"])
    if absent:
        again = _again(candidates, quota, frozenset(absent))
        found |= told_apart(again, called_up(candidates, quota, absent))
    return tuple(sorted(found))


def _ever_called(
    candidates: Sequence[Candidate], quota: Quota, absent: Sequence[int]
) -> dict[int, int]:
    """Who was called up, and in whose place, those among them who withdrew as well."""
    found: dict[int, int] = {}
    for number, gone in enumerate(absent, start=1):
        for key in _next_in_order(candidates, quota, frozenset(absent[:number])):
            found.setdefault(key, gone)
    return found


def held_back(
    candidates: Sequence[Candidate], quota: Quota, absent: Sequence[int]
) -> dict[int, tuple[int, ...]]:
    """Reserves whom the cap keeps out of the places that opened, and who of their body fills it.

    That happens only where the cap counts the qualifiers alone.
    """
    if quota.reserves_count or not absent:
        return {}
    called = called_up(candidates, quota, absent)
    first = verdicts(candidates, quota)
    numbers = {verdict.key: verdict.number for verdict in first if verdict.outcome == "reserve"}
    last = max((numbers.get(key, 0) for key in called), default=0)
    kept = kept_out(candidates, quota, absent)
    return {key: ahead for key, ahead in kept.items() if 0 < numbers.get(key, 0) < last}


def kept_out(
    candidates: Sequence[Candidate], quota: Quota, absent: Sequence[int]
) -> dict[int, tuple[int, ...]]:
    """Those whom the cap still keeps out without those who withdrew, and who fill it then."""
    again = _again(candidates, quota, frozenset(absent)) if absent else ()
    return {verdict.key: verdict.ahead for verdict in again if verdict.outcome == "capped"}


def _next_in_order(
    candidates: Sequence[Candidate], quota: Quota, absent: frozenset[int]
) -> list[int]:
    """Who fills the places left open; where each body has places of its own, body by body."""
    through = _qualified(verdicts(candidates, quota))
    again = _qualified(_again(candidates, quota, absent))
    group = _groups(candidates, quota)
    free = {
        body: quota.places - sum(group[key] == body and key not in absent for key in through)
        for body in group.values()
    }
    found = []
    for key in again:
        if key not in through and free[group[key]] > 0:
            free[group[key]] -= 1
            found.append(key)
    return found


def _groups(candidates: Sequence[Candidate], quota: Quota) -> dict[int, str]:
    """The body whose places each is up for; one for all, where bodies have no places."""
    return {each.key: each.body if quota.of_each else "" for each in candidates}


def _again(
    candidates: Sequence[Candidate], quota: Quota, absent: frozenset[int]
) -> tuple[Verdict, ...]:
    present = [each for each in candidates if each.key not in absent]
    return verdicts(present, replace(quota, ties_qualify=False))


def _qualified(found: tuple[Verdict, ...]) -> list[int]:
    return [verdict.key for verdict in found if verdict.outcome == "qualified"]
