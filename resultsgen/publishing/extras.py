"""What lies beside the pages: tables and books, made anew or those of a publication before."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from resultsgen.data.writing import write_exports
from resultsgen.files.cache import cache_folder
from resultsgen.files.manifest import Stand, otherwise
from resultsgen.files.staging import take_over
from resultsgen.publishing.build_options import BuildOptions, Extras
from resultsgen.publishing.last_look import names_key
from resultsgen.scoring.results import Results
from resultsgen.theme.theme import Theme
from resultsgen.views.site.attachments import Download

if TYPE_CHECKING:
    from resultsgen.books.metadata import Attachment

Progress = Callable[[str, int, int], None]
"""Told the step that begins or goes on, how much of it is done, and of how much (0: unknown)."""


def extras(
    judged: Results,
    theme: Theme,
    folder: Path,
    out: Path,
    options: BuildOptions,
    progress: Progress,
) -> tuple[Extras, Extras]:
    """Tables and books, written into *folder*; those that stay are the ones of *out*."""
    now = partial(Extras, judged.history.number, names_key(judged.meet))
    progress("Writing the tables", 0, 0)
    tables = options.tables_stay
    known = options.session.known if options.session else {}
    if not tables or not _stays(tables, "data/", now().names, folder, out, known):
        tables = now(write_exports(judged, folder, cache_folder(), out))
    books = options.books_stay
    if not books or not _stays(books, "books/", now().names, folder, out, known):
        made = _books(judged, theme, folder, tables.downloads, options, progress)
        books = now(made)
    return tables, books


def _stays(
    old: Extras, below: str, names: str, folder: Path, out: Path, known: Mapping[Stand, str]
) -> bool:
    """Take over what was published, if it is that still and nobody else is withheld by now."""
    files = [one.address for one in old.downloads]
    there = all((out / file).is_file() for file in files)
    if old.names != names or not there or otherwise(out, below, known):
        return False
    take_over(folder, files, out)
    return True


def offered(these: Extras, number: int) -> tuple[Download, ...]:
    """The downloads as the publication of that *number* offers them."""
    of = these.number if these.number != number else 0
    return tuple(replace(one, of=of) for one in these.downloads)


def _books(
    judged: Results,
    theme: Theme,
    folder: Path,
    tables: tuple[Download, ...],
    options: BuildOptions,
    progress: Progress,
) -> tuple[Download, ...]:
    """The books, written into *folder* where they are wished for."""
    if not options.books:
        return ()
    from resultsgen.books.making import write_books

    return write_books(
        judged,
        theme,
        folder / "books",
        lambda done, of, _: progress("Making the books", done, of),
        workers=options.workers,
        cache=cache_folder(),
        plain=options.plain_books,
        attachments=tuple(_attached(folder, tables)),
    )


def _attached(folder: Path, tables: tuple[Download, ...]) -> Iterator[Attachment]:
    """The tables in CSV, as the complete book carries them."""
    from resultsgen.books.metadata import Attachment

    for table in tables:
        file = Path(table.address)
        if file.suffix == ".csv":
            name = "-".join(file.parts[1:])
            yield Attachment(name, str(table.title), (folder / file).read_bytes())


def in_one_piece(books: tuple[Download, ...]) -> str:
    """How many books were rendered in one piece, without tables, and why.

    >>> in_one_piece((Download("a.pdf", "A", 1, in_one_piece="as asked"),))
    '1 in one piece and without attached tables, as asked'
    """
    whole = Counter(book.in_one_piece for book in books if book.in_one_piece)
    told = (
        f"{many} in one piece and without attached tables, {why}" for why, many in whole.items()
    )
    return "; ".join(told)
