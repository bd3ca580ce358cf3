"""Who goes through: the list is walked in order of place, with at most so many of one body.

The cap counts qualifiers and reserves together. A tie that cannot be broken on the last place
lets all of them in, and the reserves stay as many. Somebody passed over keeps the place and gets
no mark; the reason is told. Source: this walk gives all 128 qualification lists of one corpus of
official papers, and the printed note "maximum of 2 per National Federation".
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

Outcome = Literal["qualified", "reserve", "capped", "below minimum", "beyond", "guest", "unranked"]


@dataclass(frozen=True)
class Candidate:
    """One row of a ranked list: its key, place (None: unranked), total in thousandths and body."""

    key: int
    place: int | None
    total: int | None
    body: str
    guest: bool = False


@dataclass(frozen=True)
class Verdict:
    """What a cut means for one candidate.

    `number` counts the qualifiers or the reserves from 1. `ahead` are the keys of those of the
    same body who fill the cap, for the reason of somebody passed over.
    """

    key: int
    outcome: Outcome
    number: int = 0
    ahead: tuple[int, ...] = ()


@dataclass(frozen=True)
class Line:
    """A qualification line: places, reserves, cap per body (0: none), least total (None: none)."""

    places: int
    reserves: int = 0
    cap: int = 0
    minimum: int | None = None
    ties_go_through: bool = True


def verdicts(candidates: Sequence[Candidate], line: Line) -> tuple[Verdict, ...]:
    """The verdict for each candidate, who stand in order of place."""
    taken: Counter[str] = Counter()
    through: dict[str, list[int]] = {}
    qualified = reserves = 0
    last_place: int | None = None
    told = []
    for one in candidates:
        outcome = _excluded(one, line)
        if outcome is None and line.cap and one.body and taken[one.body] >= line.cap:
            over = qualified >= line.places and reserves >= line.reserves
            outcome = "beyond" if over else "capped"
        if outcome is not None:
            ahead = tuple(through.get(one.body, ())) if outcome == "capped" else ()
            told.append(Verdict(one.key, outcome, ahead=ahead))
            continue
        tied_with_last = line.ties_go_through and reserves == 0 and one.place == last_place
        if qualified < line.places or tied_with_last:
            qualified += 1
            last_place = one.place
            told.append(Verdict(one.key, "qualified", qualified))
        elif reserves < line.reserves:
            reserves += 1
            told.append(Verdict(one.key, "reserve", reserves))
        else:
            told.append(Verdict(one.key, "beyond"))
            continue
        taken[one.body] += 1
        through.setdefault(one.body, []).append(one.key)
    return tuple(told)


def _excluded(one: Candidate, line: Line) -> Outcome | None:
    """Why somebody is not considered at all; None where there is no such reason."""
    if one.guest:
        return "guest"
    if one.place is None or one.total is None:
        return "unranked"
    if line.minimum is not None and one.total < line.minimum:
        return "below minimum"
    return None
