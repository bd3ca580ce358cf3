"""A meet folder written as one text: each file under a line `== its/name ==`."""

from __future__ import annotations

import io
import re
from pathlib import Path
from textwrap import dedent

from PIL import Image

from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import results
from resultsgen.scoring.results import Results


def picture(kind: str = "PNG", size: tuple[int, int] = (3, 2)) -> bytes:
    """A small picture of a format."""
    made = io.BytesIO()
    Image.new("RGB", size, "navy").save(made, kind)
    return made.getvalue()


def write_folder(folder: Path, text: str) -> Path:
    """Make the folder; bytes are UTF-8, lines end in \\n, and spaces before all lines go."""
    parts = re.split(r"^== (.+) ==\n", dedent(text).lstrip("\n"), flags=re.MULTILINE)
    for name, content in zip(parts[1::2], parts[2::2], strict=True):
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(content, encoding="utf-8", newline="\n")
    return folder


def in_full(table: str) -> str:
    """A table whose rows have as many cells as its heading, empty ones at the end."""
    head, heading, *rows = table.strip("\n").split("\n")
    rows = [row + "," * (heading.count(",") - row.count(",")) for row in rows]
    return "\n".join([head, heading, *rows, ""])


def judged(folder: Path, before: Results | None = None) -> Results:
    """The results of a folder that has no problems."""
    meet, problems = read_meet(folder)
    assert meet is not None, problems
    placed, unsettled = results(meet, before)
    assert not problems + unsettled, problems + unsettled
    return placed
