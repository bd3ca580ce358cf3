"""`meet.toml` read."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from resultsgen.checks.keys import FILE
from resultsgen.files.toml_keys import key_lines
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.texts import read_text
from resultsgen.reading.validating import validated


def read_settings(folder: Path) -> tuple[MeetSettings | None, dict[str, int], list[Problem]]:
    """The settings (None where something is wrong with them) and the line of each key."""
    text = read_text(folder, FILE)
    if isinstance(text, Problem):
        return None, {}, [text]
    settings, problems, lines = _said(text)
    return settings, {**lines}, [*problems]


@lru_cache(maxsize=2)  # Seldom written while marks come in.
def _said(text: str) -> tuple[MeetSettings | None, list[Problem], dict[str, int]]:
    return *validated(MeetSettings, text, FILE), key_lines(text)
