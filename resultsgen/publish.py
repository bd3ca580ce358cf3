"""The whole story: a meet folder is read and checked, judged, and published whole or not at all."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from resultsgen.books import write_books
from resultsgen.cache import cache_folder
from resultsgen.exports import write_exports
from resultsgen.fonts import missing
from resultsgen.judging import results
from resultsgen.pages import rendered_pages
from resultsgen.problems import MeetProblems, Problem
from resultsgen.reading import read_meet
from resultsgen.results import Results
from resultsgen.site import write_site
from resultsgen.staging import staged
from resultsgen.theme import Theme, ThemeError, find_theme
from resultsgen.views.attachments import Download, RenderedPage

Progress = Callable[[str, int, int], None]
"""Told the step that begins or goes on, how much of it is done, and of how much (0: unknown)."""


@dataclass(frozen=True)
class Wishes:
    """What is asked of a build beside the meet."""

    theme: str = ""
    """Instead of the meet's own."""
    books: bool = True
    workers: int = 0
    """How many processes render books; 0: one for each core."""


@dataclass(frozen=True)
class Published:
    """What a build wrote."""

    folder: Path
    files: int
    changed: int
    """New files, and those whose content is not what was published before."""
    books: int
    notes: tuple[str, ...]


def publish(meet_folder: Path, out: Path, wishes: Wishes, progress: Progress) -> Published:
    """Publish a meet folder; MeetProblems where it has any, and then nothing is touched."""
    progress("Reading and judging the meet", 0, 0)
    judged, texts = checked(meet_folder)
    theme = find_theme(wishes.theme or judged.meet.settings.theme, meet_folder)
    with staged(out, (meet_folder, *_read_from(meet_folder, theme))) as staging:
        progress("Writing the tables", 0, 0)
        tables = write_exports(judged, staging.folder)
        books: tuple[Download, ...] = ()
        if wishes.books:
            books = write_books(
                judged,
                theme,
                staging.folder / "books",
                lambda done, of, _: progress("Making the books", done, of),
                workers=wishes.workers,
                cache=cache_folder(),
            )
        progress("Writing the pages", 0, 0)
        write_site(judged, theme, staging.folder, books, tables, texts)
    notes = tuple(letters_without_a_font(judged, theme))
    return Published(out, staging.files, staging.changed, len(books), notes)


def checked(meet_folder: Path) -> tuple[Results, tuple[RenderedPage, ...]]:
    """The results and the Markdown pages of a meet folder; MeetProblems where anything is wrong."""
    meet, problems = read_meet(meet_folder)
    if meet is None or problems:
        raise MeetProblems(problems)
    judged, doubts = results(meet)
    texts, mistakes = rendered_pages(judged)
    problems = [*doubts, *mistakes, *_theme_is_there(judged, meet_folder)]
    if problems:
        raise MeetProblems(problems)
    return judged, texts


def _theme_is_there(judged: Results, meet_folder: Path) -> Iterator[Problem]:
    name = judged.meet.settings.theme
    try:
        find_theme(name, meet_folder)
    except ThemeError as problem:
        yield Problem("meet.toml", 0, "theme", "unknown-theme", str(problem.args[0]), name)


def _read_from(meet_folder: Path, theme: Theme) -> tuple[Path, ...]:
    """The folders inside the meet folder and elsewhere that nothing may be written into."""
    return (meet_folder / "pages", meet_folder / "assets", *theme.folders)


def letters_without_a_font(judged: Results, theme: Theme) -> Iterator[str]:
    """A note for every name with a letter that the theme's fonts do not have."""
    names = dict.fromkeys(
        text
        for one in judged.gymnasts.values()
        for text in (one.name, one.club, one.federation, one.team)
    )
    for name in names:
        for letter in missing(theme.fonts, name):
            yield (
                f"the theme's fonts have no {letter} (U+{ord(letter):04X}), as in {name}; "
                "it is set in another font of the machine, if that has one"
            )
