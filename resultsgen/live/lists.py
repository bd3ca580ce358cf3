"""The running meet: how it stands after each rotation, who needs what, and what is decided.

Computed from results by `live/running.py`; keys are gymnast keys, in a team list team keys.
Marks and margins are whole thousandths. Whatever is called decided rests on the bound beside it.
"""

from __future__ import annotations

from dataclasses import dataclass

from resultsgen.live.decided import Bound, Chance, Prospect
from resultsgen.live.leaders import SoFar
from resultsgen.live.leads import Lead, Reign
from resultsgen.live.needs import Need
from resultsgen.live.standings import Standings
from resultsgen.scoring.results import ListKind


@dataclass(frozen=True)
class SessionStandings:
    """The list of those of one session, after each of its rotations."""

    session: str
    """Empty where the meet has no sessions."""
    standings: tuple[Standings, ...]
    leads: tuple[Lead, ...]
    lead_changes: tuple[Lead, ...]
    longest_reigns: tuple[Reign, ...]

    @property
    def always_level(self) -> bool:
        """After every rotation all had done as many apparatus."""
        return len(self.leads) == len(self.standings)


@dataclass(frozen=True)
class CutChances:
    """What one cut can still mean for everybody on the list."""

    cut: str
    chances: tuple[Chance, ...]


@dataclass(frozen=True)
class RunningList:
    """One list as it stands, how it came about, and what is decided of it."""

    kind: ListKind
    apparatus: str
    """Empty for all-around and team."""
    now: Standings
    so_far: tuple[SoFar, ...]
    """By the sum of what there is, however many apparatus are done."""
    sessions: tuple[SessionStandings, ...]
    """Empty for a list of one apparatus."""
    bound: Bound | None
    """What prospects and chances rest on; None: no bound is known, and nothing is decided."""
    prospects: tuple[Prospect, ...]
    cuts: tuple[CutChances, ...]

    @property
    def id(self) -> str:
        """What tells it from the others of its competition, as the list that it is of."""
        return self.apparatus or self.kind

    @property
    def passed_already(self) -> tuple[SoFar, ...]:
        """Those who have done less than the leading and have as much as any of them, or more.

        All that there is of both is compared: of teams, also what is no whole apparatus yet.
        """
        compared = {one.key for one in self.now.leading}
        if not compared:
            return self.so_far
        most = max(one.total for one in self.so_far if one.key in compared)
        others = (one for one in self.so_far if one.key not in compared)
        return tuple(one for one in others if one.total >= most)

    @property
    def leading(self) -> tuple[int, ...]:
        """Who leads as it stands, of those who have done most; or who already has more."""
        if self.passed_already:
            return tuple(one.key for one in self.so_far if one.place == 1)
        return tuple(one.key for one in self.now.leading if one.place == 1)


@dataclass(frozen=True)
class Asked:
    """One need, and the list and the cut it is about (empty: no cut)."""

    kind: ListKind
    apparatus: str
    cut: str
    need: Need

    @property
    def id(self) -> str:
        """The list it is about, as that has it."""
        return self.apparatus or self.kind


@dataclass(frozen=True)
class GymnastNeeds:
    """All that one gymnast needs; `rotation` and `apparatus` of the next routine, if known."""

    key: int
    rotation: int | None
    apparatus: str
    asked: tuple[Asked, ...]
