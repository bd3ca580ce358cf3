"""Files of a published folder that stay as they are, where nothing that they draw on has changed.

Each of them belongs to a unit, a page or a table, with a digest of all that it is made from. What
gave a unit is not done again while its digest is the same: its files get their names in the new
folder. That they still are what was published is seen when the new folder is listed, by how they
stand, or else by their bytes.
"""

from __future__ import annotations

import marshal
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

from resultsgen.files.cache import Cache, code_digest, key_of
from resultsgen.files.manifest import MANIFEST, SIZE, Known, digest
from resultsgen.files.staging import Staging, real, take_over, write

Unit = tuple[str, tuple[str, ...], str]
"""The digest of what it was made from, its files, and whatever else is to be known of it."""

SoFar = tuple[dict[str, Unit], set[str]]
"""The units that are in the new folder, and the files of those that stayed."""

NOTHING: tuple[str, dict[str, Unit], dict[str, Known]] = ("", {}, {})
"""No list of what was published, no unit, no file."""


class ChangedMeanwhile(Exception):
    """A file that was to stay is not what was published any more."""


class LeftStanding:
    """The units of what was published *before*, and of what is made in a new *folder* from them."""

    def __init__(self, before: Path, staging: Staging, cache: Cache) -> None:
        self.before, self.folder, self._staging = before, staging.folder, staging
        self.cache, self._key = cache, key_of("standing", code_digest(), str(real(before)))
        self._now: dict[str, Unit] = {}
        self._stayed: set[str] = set()
        self._taken: set[str] = set()
        self._units: dict[str, Unit] = {}
        self._known: dict[str, Known] = {}
        kept = cache.get(self._key)
        manifest, units, known = marshal.loads(kept) if kept else NOTHING
        if manifest and manifest == _manifest(before):
            self._units, self._known = units, known
            staging.known |= dict(known.values())

    def stays(self, unit: str, made_from: str) -> Unit | None:
        """The unit as it was, whose files are to be taken over; None: it is to be made."""
        found = self._units.get(unit)
        if not made_from or not found or found[0] != made_from:
            return None
        self._stayed.update(found[1])
        self._now[unit] = found
        return found

    def made(self, unit: str, made_from: str, files: Iterable[str], told: str = "") -> Unit:
        """What was made of a unit."""
        self._now[unit] = (made_from, tuple(files), told)
        return self._now[unit]

    @property
    def so_far(self) -> SoFar:
        """What stays and what was made by now."""
        return self._now, self._stayed

    def join(self, other: SoFar) -> None:
        """Know of what a copy of this process found to stay, and made."""
        self._now |= other[0]
        self._stayed |= other[1]

    def one_file(self, name: str, made_from: str, make: Callable[[], bytes]) -> tuple[int, str]:
        """A file that is a unit by itself: it stays as it was, or is made and written.

        Its size and its SHA-256.
        """
        if self.stays(name, made_from):
            stands, known = self._known[name]
            return stands[SIZE], known
        data = make()
        self.made(name, made_from, (name,))
        return len(data), write(self.folder, name, data, self.before)

    def take_over(self) -> None:
        """Let the files of all units that stayed by now stand in the new folder, too."""
        take_over(self.folder, self._stayed - self._taken, self.before)
        self._taken |= self._stayed

    def told(self, unit: str) -> str:
        """What else was known of a unit."""
        return self._units[unit][2] if unit in self._units else ""

    def written_anew(self, files: Iterable[str]) -> None:
        """These are not as they were, although their units are."""
        self._stayed.difference_update(files)

    def look(self, digests: Mapping[str, str]) -> None:
        """ChangedMeanwhile where a file that stayed is not what the list before has of it."""
        if any(digests[name] != self._known[name][1] for name in self._stayed):
            self.cache.put(self._key, marshal.dumps(NOTHING))
            raise ChangedMeanwhile

    def keep(self) -> None:
        """Know the units next time; once they are published."""
        told = _manifest(self.before), self._now, self._staging.listed
        self.cache.put(self._key, marshal.dumps(told))


def _manifest(folder: Path) -> str:
    try:
        return digest(folder / MANIFEST)
    except OSError:
        return ""
