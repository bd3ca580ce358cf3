"""The example of a season: the folder `example_season` with the example meet among its meets."""

from __future__ import annotations

import shutil
from pathlib import Path

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
