"""Who and what in a list is a club's."""

from __future__ import annotations

from dataclasses import dataclass

from resultsgen.scoring.results import Line, TeamLine


@dataclass(frozen=True)
class Members:
    """A club and the roster rows of its gymnasts."""

    club: str
    keys: frozenset[int]

    def has(self, line: Line | TeamLine) -> bool:
        """Is somebody of the club in this line of a list?"""
        called = isinstance(line, TeamLine) and self._is_called(line)
        return called or not self.keys.isdisjoint(keys_of(line))

    def own(self, line: Line | TeamLine) -> bool:
        """Is this line the club's own: a gymnast of it, or a team of nobody else?"""
        keys = keys_of(line)
        called = isinstance(line, TeamLine) and self._is_called(line)
        return called or (bool(keys) and keys <= self.keys)

    def _is_called(self, team: TeamLine) -> bool:
        """The team bears the name of the club, and is not a federation that is called alike."""
        return team.name == self.club and team.by != "federation"


def keys_of(line: Line | TeamLine) -> set[int]:
    """The gymnast of a line, or those of the team."""
    if isinstance(line, TeamLine):
        return {one.gymnast.key for one in line.members}
    return {line.gymnast.key}
