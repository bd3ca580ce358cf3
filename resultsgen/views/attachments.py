"""What comes to the site ready made: books and tables to download, and pages of the meet folder."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True)
class Download:
    """A file beside the pages: its address in the site, its title and its size."""

    address: str
    title: str
    bytes: int

    @property
    def kind(self) -> str:
        """The ending of its name, as people call the kind of file: PDF, CSV."""
        return self.address.rpartition(".")[2].upper()

    @property
    def size(self) -> str:
        """The size as people say it."""
        if self.bytes < 1_000_000:
            return f"{max(1, round(self.bytes / 1000))} kB"
        return f"{self.bytes // 1_000_000}.{self.bytes % 1_000_000 // 100_000} MB"


@dataclass(frozen=True)
class RenderedPage:
    """A Markdown page of the meet folder, its body already safe HTML (headings from h2 on)."""

    slug: str
    title: str
    html: str
    date: dt.date | None = None
    language: str = "en"
    order: int = 100
