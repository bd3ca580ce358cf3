"""The result books: BOOKS says which there are, and `write_books` makes them.

The renderer needs Pango, a system library; `explain_missing_renderer` says what to install.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from resultsgen.books.binding import bound
from resultsgen.books.kinds import BOOKS
from resultsgen.books.renderer import RendererMissingError, explain_missing_renderer
from resultsgen.books.setting import Setting
from resultsgen.books.volumes import volumes
from resultsgen.books.workers import PressError
from resultsgen.cache import Cache
from resultsgen.results import Results
from resultsgen.theme import Theme
from resultsgen.views.attachments import Download
from resultsgen.views.wording import wording

__all__ = [
    "BOOKS",
    "PressError",
    "RendererMissingError",
    "explain_missing_renderer",
    "write_books",
]

Progress = Callable[[int, int, str], None]
"""Told how many books are done, of how many, and the title of the last."""


def write_books(
    results: Results,
    theme: Theme,
    folder: Path,
    progress: Progress,
    *,
    workers: int = 0,
    cache: Path | None = None,
) -> tuple[Download, ...]:
    """Write every book of a meet into a folder; what did not change comes from the cache.

    *workers* is how many processes render; 0 is one for each core.
    """
    words = wording(results.meet.settings)
    setting = Setting(results.meet, theme, words)
    made = volumes(results, words)
    kept = Cache(cache)
    folder.mkdir(parents=True, exist_ok=True)
    sizes = {}
    for done, (volume, pdf) in enumerate(bound(made, setting, kept, workers), start=1):
        (folder / f"{volume.file}.pdf").write_bytes(pdf)
        sizes[volume] = len(pdf)
        progress(done, len(made), volume.title)
    kept.prune()
    return tuple(
        Download(f"{folder.name}/{volume.file}.pdf", volume.title, sizes[volume]) for volume in made
    )
