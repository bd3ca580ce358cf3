"""Who and what in a list is a club's."""

from __future__ import annotations

from dataclasses import dataclass

from resultsgen.scoring.results import Line


@dataclass(frozen=True)
class Members:
    """A club and the roster rows of its gymnasts."""

    club: str
    keys: frozenset[int]

    def has(self, line: Line) -> bool:
        """Is somebody of the club in this line of a list?"""
        return self._is_called(line) or not self.keys.isdisjoint(keys_of(line))

    def own(self, line: Line) -> bool:
        """Is this line the club's own: a gymnast of it, or a team of nobody else?"""
        keys = keys_of(line)
        return self._is_called(line) or (bool(keys) and keys <= self.keys)

    def _is_called(self, line: Line) -> bool:
        """A team bears the name of the club, and is not a federation that is called alike."""
        who = line.of
        return who.kind == "team" and who.name == self.club and who.by != "federation"


def keys_of(line: Line) -> set[int]:
    """The gymnast of a line, or those of the team."""
    return {gymnast.key for gymnast in line.of.gymnasts}
