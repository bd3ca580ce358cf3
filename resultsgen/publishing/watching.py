"""A meet folder watched while it is written: built into a preview, served on this machine only,
built again when a file changes, and the open page reloaded. Nothing is published.
"""

from __future__ import annotations

import errno
import os
import tempfile
from collections.abc import Callable, Iterator
from contextlib import suppress
from itertools import chain
from pathlib import Path

from resultsgen.files.manifest import MARKER
from resultsgen.meet.problems import MeetProblems, NotPublishedError
from resultsgen.publishing.options import Wishes
from resultsgen.publishing.publish import publish
from resultsgen.publishing.serving import News, served
from resultsgen.theme.theme import ThemeError, chosen_theme

LOOK = 100
"""Thousandths of a second between two looks for changes."""

Tell = Callable[[str], None]
"""Told each line that the person at the table should read."""


def watch(meet_folder: Path, wishes: Wishes, port: int, tell: Tell) -> None:
    """Serve the meet until interrupted; OSError where the port is taken."""
    with tempfile.TemporaryDirectory(prefix="resultsgen-") as kept:
        preview, news = Path(kept) / "preview", News()
        with served(preview, news, port) as address:
            tell(f"Watching {meet_folder}; look at {address} (Ctrl-C ends it)")
            for _ in changes(meet_folder, wishes.theme):
                news.told(attempt(meet_folder, preview, wishes, tell))


def attempt(meet_folder: Path, preview: Path, wishes: Wishes, tell: Tell) -> tuple[str, ...]:
    """Build the preview; what kept it from being built, a line each. The last good one stays."""
    try:
        built = publish(meet_folder, preview, wishes, lambda *_: None)
    except MeetProblems as found:
        lines = tuple(str(problem) for problem in found.problems)
    except ThemeError as problem:
        lines = (str(problem.args[0]),)
    except (NotPublishedError, OSError) as problem:
        lines = (str(problem),)
    else:
        for note in built.notes:
            tell(f"note: {note}")
        tell(f"Built: {built.changed} of {built.files} files new or changed; no problems.")
        return ()
    for line in lines:
        tell(line)
    tell(f"{len(lines)} to mend; the last good build stays.")
    return lines


def changes(meet_folder: Path, theme: str) -> Iterator[None]:
    """Once at the beginning, then whenever something that is read has changed.

    The watching begins before the first answer, so that no change is lost while it is dealt with.
    """
    folders = (meet_folder.resolve(), *_theme_folders(theme, meet_folder))
    for folder in folders:
        if os.fsencode(folder).decode("utf-8", "replace") != str(folder):
            raise OSError(errno.EILSEQ, "its name is no UTF-8; rename it to watch it", str(folder))
    seen = None
    while True:
        first = True
        for changed in _looks(folders):
            # Begun anew, it is only told by looking at everything whether there was a change.
            now = _state(folders) if first or changed else seen
            if changed or now != seen:
                yield
            first, seen = False, now


def _looks(folders: tuple[Path, ...]) -> Iterator[bool]:
    """Whether something has changed, at each look; it ends where that cannot be told."""
    from watchfiles import DefaultFilter, watch

    class Read(DefaultFilter):
        """Everything but hidden files, editors' leftovers and published folders."""

        def __call__(self, change: object, path: str) -> bool:
            return super().__call__(change, path) and is_read(Path(path), folders)  # type: ignore

    looks = watch(
        *folders, watch_filter=Read(), debounce=300, rust_timeout=LOOK, yield_on_timeout=True
    )
    try:
        yield from map(bool, looks)
    except RuntimeError as error:
        # So it ends at a file whose name is no UTF-8, even where that is only read.
        if "decode path" not in str(error):
            raise


def _state(folders: tuple[Path, ...]) -> frozenset[tuple[str, int, int]]:
    """Every file of the folders with its size and when it was written."""
    found = set()
    for place, _, names in chain.from_iterable(map(os.walk, folders)):
        for path in (os.path.join(place, name) for name in names):
            with suppress(OSError):
                status = os.lstat(path)
                found.add((path, status.st_size, status.st_mtime_ns))
    return frozenset(found)


def _theme_folders(theme: str, meet_folder: Path) -> tuple[Path, ...]:
    """The folders of a theme that is asked for by name; the meet's own lies in the meet folder."""
    try:
        return chosen_theme(theme, "", "", meet_folder).folders if theme else ()
    except ThemeError:
        return ()


def is_read(path: Path, folders: tuple[Path, ...]) -> bool:
    """Whether a changed file can change what is built: not hidden, and nothing we published."""
    for folder in folders:
        if path.is_relative_to(folder):
            within = path.relative_to(folder)
            hidden = any(part.startswith((".", "~")) for part in within.parts)
            above = [folder / one for one in within.parents]
            return not hidden and not any((one / MARKER).exists() for one in above)
    return False
