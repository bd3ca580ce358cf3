"""Who led after each rotation, where the lead changed, and who led longest.

Only rotations after which everybody has done as many apparatus have one leader; the others are
passed over. Who draws level with the leader is in front too. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from resultsgen.live.standings import Standings


@dataclass(frozen=True)
class Lead:
    """Who leads after a rotation after which all have done as many apparatus."""

    rotation: int
    keys: tuple[int, ...]
    margin: int | None
    """Ahead of the next place; None where there is none."""


@dataclass(frozen=True)
class Reign:
    """Rotations without a break after which somebody led, alone or level with others."""

    key: int
    first: int
    last: int
    rotations: int


def leads(found: Sequence[Standings]) -> tuple[Lead, ...]:
    """The lead after each rotation that left everybody level; the others have no one leader."""
    return tuple(
        Lead(one.rotation, _first(one), one.leading[0].ahead_of_next) for one in found if one.level
    )


def _first(one: Standings) -> tuple[int, ...]:
    return tuple(line.key for line in one.leading if line.place == 1)


def lead_changes(found: Sequence[Lead]) -> tuple[Lead, ...]:
    """The leads with somebody in front who was not in front the time before."""
    return tuple(now for then, now in pairwise(found) if set(now.keys) - set(then.keys))


def longest_reigns(found: Sequence[Lead]) -> tuple[Reign, ...]:
    """Who led after most rotations without a break; several where they are equally long."""
    running: dict[int, Reign] = {}
    over: list[Reign] = []
    for lead in found:
        over += [reign for key, reign in running.items() if key not in lead.keys]
        running = {
            key: Reign(
                key,
                running[key].first if key in running else lead.rotation,
                lead.rotation,
                running[key].rotations + 1 if key in running else 1,
            )
            for key in lead.keys
        }
    over += running.values()
    most = max((reign.rotations for reign in over), default=0)
    return tuple(
        sorted((one for one in over if one.rotations == most), key=lambda one: (one.first, one.key))
    )
