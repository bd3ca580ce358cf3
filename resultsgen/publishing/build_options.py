"""What is asked of a build, and what it wrote."""

from __future__ import annotations

from collections.abc import MutableMapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from resultsgen.files.manifest import Stand
    from resultsgen.scoring.results import Results
    from resultsgen.views.site.attachments import Download
    from resultsgen.website.kept_pages import FilledPages


@dataclass(frozen=True)
class Extras:
    """Tables, or books: what lies beside the pages, as it was made with a publication."""

    number: int
    names: str
    """What tells whose names were withheld by then."""
    downloads: tuple[Download, ...] = ()


@dataclass
class Session:
    """What a process that goes on keeps from build to build, so that it is not made again."""

    judged: Results | None = None
    """What was published last: of a competition that is as it was then all that was made holds."""
    pages: MutableMapping[str, FilledPages] = field(default_factory=dict)
    """As they were filled last, by what shapes all of them."""
    known: dict[Stand, str] = field(default_factory=dict)
    """Of what was published last: by how a file stands, its SHA-256."""


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
    hold_back: bool = False
    """What is wrong in the marks of a meet that runs holds back its own competition alone."""
    tables_stay: Extras | None = None
    """Those that are not made anew, so that the pages come first; None: they are made."""
    books_stay: Extras | None = None
    session: Session | None = field(default=None, compare=False)
    """Of a process that goes on."""

    @property
    def follow_later(self) -> bool:
        """Something is left for another build that follows."""
        return bool(self.tables_stay or self.books_stay)


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
    extras: tuple[Extras, Extras] | None = field(default=None, compare=False)
    """Its tables and its books; None: nothing was written."""
    held: tuple[str, ...] = ()
    """What is wrong in marks that are held back."""
