"""The example of a season: the folder `example_season` with the example meet among its meets."""

from __future__ import annotations

import csv
import json
import shutil
from pathlib import Path
from typing import Any

import jsonschema

from resultsgen.data.season import season_schema

HERE = Path(__file__).parent
EXAMPLE_MEET = HERE.parent / "example_meet"
ROUNDS = ("kornblume-cup", "vernal-cup", "lantern-meet", "haselbrueck-cup", "harvest-final")
"""Its meets in order of time."""

NOT_COPIED = shutil.ignore_patterns("output", "publications", ".*")


def example_season(folder: Path) -> Path:
    """The example season in a folder of its own; what was published of its meets stays behind."""
    shutil.copytree(HERE / "example_season", folder, ignore=NOT_COPIED)
    shutil.copytree(EXAMPLE_MEET, folder / "meets/lantern-meet", ignore=NOT_COPIED)
    return folder


def season_told(out: Path) -> dict[str, Any]:
    """What is published of a season: season.json, and the rows of the tables marks and bests."""
    told = json.loads((out / "data/season.json").read_text("utf-8"))
    jsonschema.validate(told, season_schema())
    for name in ("marks", "bests"):
        texts = (path.read_text("utf-8") for path in sorted((out / "data" / name).glob("*.csv")))
        told[name] = [row for text in texts for row in csv.DictReader(text.splitlines())]
    return told
