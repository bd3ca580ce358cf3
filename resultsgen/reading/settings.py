"""`meet.toml`: validated whole; all that is wrong is told at once, with the line of each key."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from resultsgen.checks.keys import FILE, key_lines
from resultsgen.meet.problems import Problem
from resultsgen.meet.settings import MeetSettings
from resultsgen.reading.texts import read_text
from resultsgen.reading.validation import validated


def read_settings(folder: Path) -> tuple[MeetSettings | None, dict[str, int], list[Problem]]:
    """The settings (None where something is wrong with them) and the line of each key."""
    text = read_text(folder, FILE)
    if isinstance(text, Problem):
        return None, {}, [text]
    settings, problems = validated(MeetSettings, text, FILE)
    return settings, key_lines(text), problems


def meet_schema() -> dict[str, Any]:
    """The JSON Schema of `meet.toml`, from the same definitions that validate it."""
    schema = MeetSettings.model_json_schema(by_alias=True)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **schema,
        "title": "meet.toml",
        "description": "The settings of a meet folder of resultsgen",
    }


def schema_text() -> str:
    """The schema as it ships in `meet.schema.json`."""
    return json.dumps(meet_schema(), indent=2, ensure_ascii=False) + "\n"
