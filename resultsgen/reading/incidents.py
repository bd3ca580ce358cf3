"""Incidents: what happened in a routine and what it cost, and the usual figures that ship."""

from __future__ import annotations

import difflib
import tomllib
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from resultsgen.meet.columns import INCIDENTS
from resultsgen.meet.folder import Incident
from resultsgen.meet.problems import Problem
from resultsgen.meet.ruleset import RuleSet
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.belonging import Belonging, belonging, nobodys
from resultsgen.reading.cells import integers, thousandths
from resultsgen.reading.incident_figures import IncidentFigures, figures_for
from resultsgen.reading.optional_tables import empty_cells, optional_table
from resultsgen.reading.routines import apparatus_and_vault
from resultsgen.reading.tables import Table
from resultsgen.reading.words import Words, plain

if TYPE_CHECKING:
    import pandas as pd

FIGURES = Path(__file__).parent.parent / "rules/rulebook" / "incidents"
NOT_A_DEDUCTION = "{text} is no deduction; write it as 0.5 or 0,500, or leave it to the figure"


def read_incident_figures() -> tuple[IncidentFigures, ...]:
    """All of them, by the name of the file."""
    return tuple(
        IncidentFigures.model_validate(
            tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)
        )
        for path in sorted(FIGURES.glob("*.toml"))
    )


def read_incidents(
    folder: Path,
    settings: MeetSettings,
    words: Words,
    roster: pd.DataFrame,
    rule_sets: dict[str, RuleSet],
) -> tuple[tuple[Incident, ...], list[Problem]]:
    """The incidents of the meet, each with its deduction; none where there is no such file."""
    table, problems = optional_table(folder, settings, "incidents", INCIDENTS)
    if table is None:
        return (), problems
    everywhere = [number for number, one in enumerate(settings.competitions) if one.has_own_marks]
    whose, told = belonging(table, settings, roster, everywhere)
    problems += [*told, *nobodys(table, whose, roster), *empty_cells(table, _MENDS)]
    apparatus, vault, told = apparatus_and_vault(table, words)
    problems += told
    deduction, told = _deductions(table)
    reading = _Reading(table, whose, apparatus, vault, deduction, _figures(settings, rule_sets))
    return reading.incidents(), [*problems, *told, *reading.unknown()]


_MENDS = {
    "bib": "the bib is empty; fill it in, or delete the row",
    "apparatus": "the apparatus of this incident is empty; write its code",
    "incident": "what happened is empty; write it, for example: fall",
}


def _deductions(table: Table) -> tuple[Any, list[Problem]]:
    """The deductions in thousandths, with or without a minus sign."""
    wrong = ("not-a-mark", NOT_A_DEDUCTION)
    deduction, problems = integers(table, "deduction", thousandths, wrong)
    unsigned: Any = abs(deduction)  # type: ignore[arg-type]
    return unsigned, problems


def _figures(
    settings: MeetSettings, rule_sets: dict[str, RuleSet]
) -> dict[str, IncidentFigures | None]:
    """The common figures that hold in each competition."""
    known = read_incident_figures()
    return {
        one.id: figures_for(one.rules, rule_sets[one.id], known)
        for one in settings.competitions
        if one.id in rule_sets
    }


@dataclass(frozen=True)
class _Reading:
    """The columns of a table of incidents, once read."""

    table: Table
    whose: Belonging
    apparatus: Any
    vault: Any
    deduction: Any
    figures: dict[str, IncidentFigures | None]

    def incidents(self) -> tuple[Incident, ...]:
        """The rows that say whose, where, what and how much."""
        rows = map(self._incident, range(len(self.table)))
        return tuple(one for one in rows if one)

    def unknown(self) -> list[Problem]:
        """A row whose deduction is left to a figure that nobody knows."""
        return [
            self._no_figure(row)
            for row in range(len(self.table))
            if self._what(row) and not self._given(row) and self._known(row) is not None
            and self._figure(row) is None
        ]  # fmt: skip

    def _no_figure(self, row: int) -> Problem:
        what, names = self._what(row), [one.name for one in (self._known(row) or ())]
        near = difflib.get_close_matches(what.casefold(), names, n=1, cutoff=0.5)
        mend = f"there are {', '.join(names) or 'none'}; else write the deduction"
        if near:
            mend = f"did you mean {near[0]}? Else write the deduction"
        message = f"no common figure is known for {what}; {mend}"
        return self.table.problem(row, "incident", "unknown-incident", message, what)

    def _what(self, row: int) -> str:
        return self.table.text("incident", row)

    def _given(self, row: int) -> bool:
        return bool(self.table.column("deduction").given()[row])

    def _known(self, row: int) -> tuple[Any, ...] | None:
        """The figures that hold in the row's competition; None where that is not known."""
        id = str(self.whose.competition[row])
        if id not in self.figures:
            return None
        found = self.figures[id]
        return found.incident if found else ()

    def _figure(self, row: int) -> Any:
        what = plain(self._what(row))
        return next((one for one in self._known(row) or () if plain(one.name) == what), None)

    def _incident(self, row: int) -> Incident | None:
        import pandas as pd

        figure, given = self._figure(row), self.deduction[row]
        gymnast = self.whose.gymnast[row]
        deduction = given if not pd.isna(given) else figure.deduction if figure else pd.NA
        said = self._what(row) and self.apparatus[row]
        if pd.isna(gymnast) or pd.isna(deduction) or not said:
            return None
        return Incident(
            str(self.whose.competition[row]),
            int(gymnast),
            str(self.apparatus[row]),
            int(self.vault[row]),
            self._what(row),
            int(deduction),
            figure.taken_from if figure else "E",
            figure.source if figure and pd.isna(given) else "",
            self.table.text("note", row),
            self.table.file,
            int(self.table.lines[row]),
        )
