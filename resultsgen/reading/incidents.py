"""The usual figures of incidents that ship in `rulebook/incidents/`."""

from __future__ import annotations

import tomllib
from decimal import Decimal
from pathlib import Path

from resultsgen.incidents import IncidentFigures

FIGURES = Path(__file__).parent.parent / "rulebook" / "incidents"


def read_incident_figures() -> tuple[IncidentFigures, ...]:
    """All of them, by the name of the file."""
    return tuple(
        IncidentFigures.model_validate(
            tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)
        )
        for path in sorted(FIGURES.glob("*.toml"))
    )
