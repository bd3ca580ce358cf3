"""What an incident usually costs: the data in `rulebook/incidents/*.toml`, validated.

Figures of common practice, to explain a mark by; never a result. A meet that knows the true
deduction gives it, and these figures are not asked.
"""

from __future__ import annotations

from collections.abc import Sequence

from pydantic import Field

from resultsgen.meet.folder import TakenFrom
from resultsgen.meet.ruleset import RuleSet
from resultsgen.meet.settings import Frozen, Mark


class Figure(Frozen):
    """What one kind of incident costs, and where that was read."""

    name: str
    deduction: Mark
    taken_from: TakenFrom = Field("E", description="The part of the mark that it is taken from")
    source: str


class IncidentFigures(Frozen):
    """The figures for some rule sets: the named ones, else all with the same highest mark."""

    title: str
    rule_sets: tuple[str, ...] = ()
    highest: Mark | None = Field(None, description="The highest mark possible; empty: open")
    remount: int | None = Field(None, description="Seconds to remount after a fall")
    remount_source: str = ""
    incident: tuple[Figure, ...] = Field(min_length=1)

    def figure(self, name: str) -> Figure | None:
        """What an incident of this name costs; None where nothing is known of it."""
        return next((one for one in self.incident if one.name == name), None)


def figures_for(
    name: str, rule_set: RuleSet, known: Sequence[IncidentFigures]
) -> IncidentFigures | None:
    """The figures that go with a rule set: by its name, else by its highest mark."""
    named = (one for one in known if name in one.rule_sets)
    alike = (one for one in known if not one.rule_sets and one.highest == rule_set.marks.highest)
    return next(named, None) or next(alike, None)
