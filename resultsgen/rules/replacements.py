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

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from resultsgen.rules.cuts import Candidate, Quota, Verdict, verdicts

Unfilled = Literal["enough", "nobody left"]
"""Why nobody is called up: a tie had let in so many that no place is open, or the list is over."""


@dataclass(frozen=True)
class Withdrawals:
    """A cut with those *absent*, in the order in which they withdrew."""

    candidates: Sequence[Candidate]
    quota: Quota
    absent: Sequence[int]

    @cached_property
    def first(self) -> tuple[Verdict, ...]:
        """The cut as it was."""
        return verdicts(self.candidates, self.quota)

    @cached_property
    def again(self) -> tuple[Verdict, ...]:
        """The list walked again without those absent, if there are any."""
        return self._without(self.absent) if self.absent else ()

    @cached_property
    def group(self) -> dict[int, str]:
        """The body whose places each is up for; one for all, where bodies have no places."""
        of_each = self.quota.of_each
        return {each.key: each.body if of_each else "" for each in self.candidates}

    @cached_property
    def ever_called(self) -> dict[int, int]:
        """Who was called up, and in whose place, those among them who withdrew as well."""
        found: dict[int, int] = {}
        for number, gone in enumerate(self.absent, start=1):
            for key in self._next_in_order(self.absent[:number]):
                found.setdefault(key, gone)
        return found

    @cached_property
    def called_up(self) -> dict[int, int]:
        """Who starts, and in whose place."""
        return {key: gone for key, gone in self.ever_called.items() if key not in self.absent}

    @cached_property
    def kept_out(self) -> dict[int, tuple[int, ...]]:
        """Those whom the cap still keeps out without those who withdrew, and who fill it then."""
        return {one.key: one.ahead for one in self.again if one.outcome == "capped"}

    @property
    def unfilled(self) -> dict[int, Unfilled]:
        """Those who withdrew and in whose place nobody was called up, and why not."""
        through, called, found = _qualified(self.first), self.ever_called, dict[int, Unfilled]()
        for number, gone in enumerate(self.absent, start=1):
            if gone in called.values() or gone not in (*through, *called):
                continue
            by_then = self.absent[:number]
            came = (key for key, of in called.items() if of in by_then)
            same = sum(
                self.group[key] == self.group[gone] for key in {*through, *came}.difference(by_then)
            )
            found[gone] = "enough" if same >= self.quota.places else "nobody left"
        return found

    @property
    def held_back(self) -> dict[int, tuple[int, ...]]:
        """Reserves whom the cap keeps out of the places that opened, and who of their body fills
        it; only where the cap counts the qualifiers alone."""
        if self.quota.reserves_count:
            return {}
        numbers = {one.key: one.number for one in self.first if one.outcome == "reserve"}
        last = max((numbers.get(key, 0) for key in self.called_up), default=0)
        return {key: by for key, by in self.kept_out.items() if 0 < numbers.get(key, 0) < last}

    @property
    def undecided(self) -> tuple[tuple[int, ...], ...]:
        """Equals of whom the cap has room for some, or some are called up, and nobody decided."""
        place = {each.key: (each.place, self.group[each.key]) for each in self.candidates}
        capped = [one.key for one in self.first if one.outcome == "capped"]
        found: set[tuple[int, ...]] = set()
        for walked, about in ((self.first, capped), (self.again, self.called_up)):
            equals: dict[object, list[int]] = {}
            for one in walked:
                if one.by_order:
                    equals.setdefault(place[one.key], []).append(one.key)
            found |= {tuple(keys) for keys in equals.values() if not {*about}.isdisjoint(keys)}
        return tuple(sorted(found))

    def _without(self, absent: Sequence[int]) -> tuple[Verdict, ...]:
        present = [each for each in self.candidates if each.key not in absent]
        return verdicts(present, replace(self.quota, ties_qualify=False))

    def _next_in_order(self, absent: Sequence[int]) -> Iterator[int]:
        """Who fills the places left open; where each body has places of its own, body by body."""
        through = _qualified(self.first)
        free = {
            body: self.quota.places
            - sum(self.group[key] == body and key not in absent for key in through)
            for body in {*self.group.values()}
        }
        for key in _qualified(self._without(absent)):
            if key not in through and free[self.group[key]] > 0:
                free[self.group[key]] -= 1
                yield key


def _qualified(found: tuple[Verdict, ...]) -> list[int]:
    return [verdict.key for verdict in found if verdict.outcome == "qualified"]
