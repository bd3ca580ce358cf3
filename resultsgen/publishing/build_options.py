"""What is asked of a build, and what it wrote."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class BuildOptions:
    """What is asked of a build beside the meet."""

    theme: str = ""
    """Instead of the meet's own."""
    books: bool = True
    workers: int = 0
    """How many processes render books; 0: one for each core."""
    plain_books: bool = False
    """Each book is rendered in one piece instead of being joined from units."""
    allow_removal: bool = False
    """What was published and is gone is meant to be gone."""
    seal: bool = False
    """Official results are not to be changed any more without a reason."""
    follows: Path | None = None
    """The folder whose publications come before; None: the one that is published into."""
    trust_theme: str = ""
    """The name of a theme whose templates, style sheets and scripts are not held back."""


@dataclass(frozen=True)
class Published:
    """What a build wrote."""

    folder: Path
    number: int
    """Of the publication."""
    files: int
    changed: int
    """New files, and those whose content is not what was published before."""
    books: int
    notes: tuple[str, ...]
    in_one_piece: str = ""
    """How many of the books were rendered in one piece, and why; empty: none."""
