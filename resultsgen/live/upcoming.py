"""Who is up next on each apparatus, and who comes after.

A squad is where its rotation says; where no rotation is known, on the apparatus where some of it
have a mark and some none; else on any that it has to come. Who goes up next is the one behind the
last with a mark, so that a squad in which another begins each time is followed from its second
mark on; at its end stand those who were passed over. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from resultsgen.live.competition import LiveCompetition
from resultsgen.live.contests import Entries
from resultsgen.meet.parts import apparatus_of


@dataclass(frozen=True)
class Upcoming:
    """One apparatus on which marks of a squad are to come now."""

    apparatus: str
    squad: str
    session: str
    """Both empty where start lists say who goes when."""
    rotation: int | None
    keys: tuple[int, ...]
    """The first is up; she stays so until both vaults are in."""


def upcoming(running: LiveCompetition) -> tuple[Upcoming, ...]:
    """In order of the apparatus; of several squads on one, first the one whose turn it is.

    A mark that was left behind, by a squad that has gone on or in an earlier session, comes last.
    """
    entries, one = running.entries, running.entries.competition
    if one.complete or not one.competition.has_own_marks or (one.waits_for and not one.started):
        return ()
    coming = [group for group in _groups(entries) if group.coming]
    begun = [group.session for group in coming if group.with_mark]
    now = begun[-1] if begun else next((group.session for group in coming), "")
    found = []
    for number, group in enumerate(coming):
        behind = group.session != now
        if not behind or group.session in begun:
            for order, up in group.upcoming():
                at = one.apparatus.index(up.apparatus)
                found.append(((at, behind, *order, number), up))
    return tuple(up for _, up in sorted(found, key=lambda each: each[0]))


def whose_turn(running: LiveCompetition) -> tuple[Upcoming, ...]:
    """The same with one of each apparatus: the squad whose turn it is."""
    found: dict[str, Upcoming] = {}
    for one in upcoming(running):
        found.setdefault(one.apparatus, one)
    return tuple(found.values())


def _groups(entries: Entries) -> Iterator[_Squad]:
    """Those who go together: the squads of each session, or all of a start list."""
    one, full = entries.competition, frozenset(_full(entries))
    for listed in one.start_lists:
        yield _Squad(entries, "", "", listed.keys, full, listed.apparatus)
    if not one.start_lists:
        squads: dict[tuple[str, str], list[int]] = {}
        for key, who in entries.people.items():
            squads.setdefault((who.session, who.squad), []).append(key)
        for (session, squad), keys in squads.items():
            yield _Squad(entries, session, squad, keys, full)


def _full(entries: Entries) -> Iterator[tuple[int, str]]:
    """On which apparatus nobody of a team goes up any more, where only teams are placed."""
    one = entries.competition
    format, teams = one.competition.team, one.team
    if not format or not teams or one.all_around or one.by_apparatus:
        return
    for keys in ([who.key for who in line.of.gymnasts] for line in teams.lines):
        for code in one.apparatus:
            made = (entries.routines.get((key, code)) for key in keys)
            if sum(each is not None and each.mark is not None for each in made) >= format.up:
                yield from ((key, code) for key in keys)


class _Squad:
    """Some who go one after the other; `only`: the one apparatus of their start list."""

    def __init__(
        self,
        entries: Entries,
        session: str,
        squad: str,
        keys: Sequence[int],
        full: Collection[tuple[int, str]],
        only: str = "",
    ) -> None:
        self.entries, self.session, self.squad, self.keys = entries, session, squad, keys
        self.coming: dict[tuple[str, int | None], list[int]] = {}
        for key in keys:
            for part, rotation in entries.to_come(key):
                code = apparatus_of(part)
                keys_there = self.coming.setdefault((code, rotation), [])
                asked = only in ("", code) and (key, code) not in full
                if asked and key not in keys_there:
                    keys_there.append(key)
        self.coming = {turn: found for turn, found in self.coming.items() if found}
        self.with_mark = {
            (key, code)
            for key in keys
            for code in entries.competition.apparatus
            if (made := entries.routines.get((key, code))) and made.mark is not None
        }

    def upcoming(self) -> Iterator[tuple[tuple[bool, int, bool], Upcoming]]:
        """Where this squad is, each with its order: what was left behind last, then by rotation."""
        under_way = {code for _, code in self.with_mark} if self.squad else set()
        turns = [turn for turn in self.coming if turn[1] is not None]
        on = self._on(turns)
        for code, rotation in turns:
            assert rotation
            if rotation <= on:
                yield (rotation < on, rotation, False), self._up(code, rotation)
        free = [turn for turn in self.coming if turn[1] is None]
        there = [turn for turn in free if turn[0] in under_way]
        for code, _ in there or free:
            yield (False, 0, not there), self._up(code, None)

    def _on(self, turns: Collection[tuple[str, int | None]]) -> int:
        """The rotation that is on: the last with a mark, if it is not over, else the next."""
        turn = self.entries.rotation
        last = max((turn(key, code) or 0 for key, code in self.with_mark), default=0)
        rotations = [rotation for _, rotation in turns if rotation is not None]
        ahead = [rotation for rotation in rotations if rotation >= last]
        return min(ahead, default=max(rotations, default=0))

    def _up(self, code: str, rotation: int | None) -> Upcoming:
        """Those to come from the last with a mark on, then those before."""
        coming = self.coming[code, rotation]
        begun = [at for at, key in enumerate(self.keys) if (key, code) in self.with_mark]
        last = self.keys[begun[-1]] if begun else None
        order = list(self.keys)
        if last is not None:
            at = order.index(last)
            order = order[at:] + order[:at]
        keys = tuple(key for key in order if key in coming)
        return Upcoming(code, self.squad, self.session, rotation, keys)
