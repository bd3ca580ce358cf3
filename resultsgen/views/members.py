"""Who and what in a list is a club's."""

from __future__ import annotations

from dataclasses import dataclass

from resultsgen.results import Line, TeamLine


@dataclass(frozen=True)
class Members:
    """A club and the roster rows of its gymnasts."""

    club: str
    keys: frozenset[int]

    def has(self, line: Line | TeamLine) -> bool:
        """Is somebody of the club in this line of a list?"""
        if isinstance(line, TeamLine):
            return self._is_called(line) or bool(_keys(line) & self.keys)
        return line.gymnast.key in self.keys

    def own(self, line: Line | TeamLine) -> bool:
        """Is this line the club's own: a gymnast of it, or a team of nobody else?"""
        if isinstance(line, TeamLine):
            return self._is_called(line) or (bool(_keys(line)) and _keys(line) <= self.keys)
        return line.gymnast.key in self.keys

    def _is_called(self, team: TeamLine) -> bool:
        """The team bears the name of the club, and is not a federation that is called alike."""
        return team.name == self.club and team.by != "federation"


def _keys(team: TeamLine) -> set[int]:
    return {one.gymnast.key for one in team.members}
