"""The result books: BOOKS says which there are, and `write_books` makes them.

The renderer needs Pango, a system library; `explain_missing_renderer` says what to install.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from resultsgen.books.appendix import Attachment
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
    "Attachment",
    "PressError",
    "RendererMissingError",
    "explain_missing_renderer",
    "write_books",
]

Progress = Callable[[int, int, str], None]
"""Told how many sheets are rendered, of how many, and the name of the last."""


def write_books(
    results: Results,
    theme: Theme,
    folder: Path,
    progress: Progress,
    *,
    workers: int = 0,
    cache: Path | None = None,
    plain: bool = False,
    attachments: Sequence[Attachment] = (),
) -> tuple[Download, ...]:
    """Write every book of a meet into a folder; what did not change comes from the cache.

    *workers* is how many processes render; 0 is one for each core. *plain* renders each book in
    one piece. The complete book carries the *attachments*.
    """
    words = wording(results.meet.settings)
    setting = Setting(results.meet, theme, words)
    made = volumes(results, words)
    kept = Cache(cache)
    folder.mkdir(parents=True, exist_ok=True)
    sizes = {}
    books = bound(made, setting, kept, workers, progress, plain=plain, attachments=attachments)
    for volume, pdf in books:
        (folder / f"{volume.file}.pdf").write_bytes(pdf)
        sizes[volume] = len(pdf)
    kept.prune()
    return tuple(
        Download(f"{folder.name}/{volume.file}.pdf", volume.title, sizes[volume]) for volume in made
    )
