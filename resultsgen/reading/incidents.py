"""Incidents: what happened in a routine, and what that costs.

The figures of `rulebook/incidents/*.toml` are of common practice, to explain a mark by, and never
a result. A meet that knows the true deduction gives it, and they are not asked.
"""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from decimal import Decimal
from functools import cache
from pathlib import Path

from pydantic import Field

from resultsgen.meet.columns import INCIDENTS
from resultsgen.meet.folder import Incident, TakenFrom
from resultsgen.meet.problems import Problem, did_you_mean
from resultsgen.meet.ruleset import RuleSet
from resultsgen.meet.settings import MeetSettings
from resultsgen.meet.values import Frozen, Mark
from resultsgen.reading.belonging import BibsWorn
from resultsgen.reading.marks import apparatus_and_vault
from resultsgen.reading.named_tables import optional_table
from resultsgen.reading.words import Words, plain

FIGURES = Path(__file__).parent.parent / "rules/rulebook" / "incidents"


NOT_A_DEDUCTION = "{text} is no deduction; write it as 0.5 or 0,500, or leave it to the figure"


IN_INCIDENTS = {
    "bib": "the bib is empty; fill it in, or delete the row",
    "apparatus": "the apparatus of this incident is empty; write its code",
    "incident": "what happened is empty; write it, for example: fall",
}


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
    incident: tuple[Figure, ...] = Field(min_length=1)

    def figure(self, name: str) -> Figure | None:
        """What an incident of this name costs; None where nothing is known of it."""
        return next((one for one in self.incident if plain(one.name) == plain(name)), None)


@cache
def read_incident_figures() -> tuple[IncidentFigures, ...]:
    """All that ship, by the name of the file."""
    return tuple(
        IncidentFigures.model_validate(
            tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)
        )
        for path in sorted(FIGURES.glob("*.toml"))
    )


def figures_for(
    name: str, rule_set: RuleSet, known: Sequence[IncidentFigures]
) -> IncidentFigures | None:
    """The figures that go with a rule set: by its name, else by its highest mark."""
    named = (one for one in known if name in one.rule_sets)
    alike = (one for one in known if not one.rule_sets and one.highest == rule_set.marks.highest)
    return next(named, None) or next(alike, None)


def read_incidents(
    folder: Path,
    settings: MeetSettings,
    words: Words,
    bibs: BibsWorn,
    rule_sets: dict[str, RuleSet],
) -> tuple[tuple[Incident, ...], list[Problem]]:
    """The incidents of the meet, each with its deduction; none where there is no such file."""
    table = optional_table(folder, settings, "incidents", INCIDENTS)
    if not table.was_read:
        return (), table.problems
    having_marks = [n for n, one in enumerate(settings.competitions) if one.has_own_marks]
    whose = bibs.whose(table, having_marks)
    table.tell_empty(IN_INCIDENTS)
    codes, vaults = apparatus_and_vault(table, words)
    deductions = table.marks("deduction", NOT_A_DEDUCTION)
    known = read_incident_figures() if len(table) else ()
    figures = {
        one.id: figures_for(one.rules, rule_sets[one.id], known)
        for one in settings.competitions
        if one.id in rule_sets
    }
    incidents = []
    for row, belongs in enumerate(whose):
        what, given = table.text("incident", row), deductions[row]
        of_competition = figures.get(belongs.competition)
        figure = of_competition.figure(what) if of_competition else None
        written = table.text("deduction", row)
        if what and not written and belongs.competition in figures and figure is None:
            message = f"no common figure is known for {what}; {_mend(what, of_competition)}"
            table.tell_rows([row], "incident", "unknown-incident", message, what)
        deduction = abs(given) if given is not None else figure.deduction if figure else None
        if belongs.gymnast is None or deduction is None or not what or not codes[row]:
            continue
        incident = Incident(
            belongs.competition,
            belongs.gymnast,
            codes[row],
            vaults[row],
            what,
            deduction,
            figure.taken_from if figure else "E",
            figure.source if figure and given is None else "",
            table.text("note", row),
            table.file,
            table.lines[row],
        )
        incidents.append(incident)
    return tuple(incidents), table.problems


def _mend(what: str, figures: IncidentFigures | None) -> str:
    """What to write in the place of an incident that none of the figures is of."""
    names = [one.name for one in figures.incident] if figures else []
    near = did_you_mean(what.casefold(), names, cutoff=0.5)
    if near:
        return f"{near} Else write the deduction"
    return f"there are {', '.join(names) or 'none'}; else write the deduction"
