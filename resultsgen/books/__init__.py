"""The result books: BOOKS says which there are, and `write_books` makes them.

The renderer needs Pango, a system library; `explain_missing_renderer` says what to install.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from resultsgen.books.appendix import Attachment
from resultsgen.books.binding import bound
from resultsgen.books.kinds import BOOKS
from resultsgen.books.layout import Setting
from resultsgen.books.press.failures import PressError, RendererMissingError
from resultsgen.books.press.renderer import explain_missing_renderer
from resultsgen.books.press.workers import get_ready
from resultsgen.books.volumes import volumes
from resultsgen.files.cache import Cache
from resultsgen.language import LANGUAGES
from resultsgen.scoring.results import Results
from resultsgen.theme.theme import Theme
from resultsgen.views.press.attachments import Download
from resultsgen.views.site.site_map import language_folder
from resultsgen.views.words.wording import wording

__all__ = [
    "BOOKS",
    "Attachment",
    "PressError",
    "RendererMissingError",
    "explain_missing_renderer",
    "get_ready",
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

    Each language has all of them, those but the main one in a folder of their own. *workers* is
    how many processes render; 0 is one for each core. *plain* renders each book in one piece. The
    complete book carries the *attachments*.
    """
    kept = Cache(cache)
    written: list[Download] = []
    for code in results.meet.settings.languages:
        words = wording(results.meet.settings, LANGUAGES[code])
        place = language_folder(code, results.meet.settings)
        (folder / place).mkdir(parents=True, exist_ok=True)
        books = bound(
            volumes(results, words),
            Setting(results.meet, theme, words),
            kept,
            workers,
            progress,
            plain=plain,
            attachments=attachments,
        )
        for volume, pdf, why in books:
            file = f"{place}{volume.file}.pdf"
            (folder / file).write_bytes(pdf)
            address = f"{folder.name}/{file}"
            written.append(
                Download(address, volume.title, len(pdf), code, volume.group, volume.target, why)
            )
    kept.prune()
    return tuple(written)
