"""A Markdown page of a folder, and the size of a picture, as they are read."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import NamedTuple


class Page(NamedTuple):
    """A Markdown page of the meet folder; `body` is still a template, read in the sandbox."""

    file: str
    title: str
    body: str
    first_line: int
    """The line of the file on which the body begins, to name the line of an error."""
    date: dt.date | None = None
    language: str = "en"
    order: int = 100
    club: str = ""
    """The club whose page it introduces; empty: it is a page by itself."""

    @property
    def slug(self) -> str:
        """The page's address: the name of its file, recap of recap.fr.md."""
        return Path(self.file).name.partition(".")[0]


class Size(NamedTuple):
    """How large a picture is as it is shown, in pixels, and how many frames it has."""

    width: int
    height: int
    frames: int = 1

    @property
    def pixels(self) -> int:
        """All that is to be decoded."""
        return self.width * self.height * self.frames
