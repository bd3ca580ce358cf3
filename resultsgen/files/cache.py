"""What was made before, kept under the hash of all that shaped it.

An entry carries the hash of its own bytes and of what it is kept under: one that was cut short,
altered or exchanged is noticed, and made anew. Some of it is run (compiled templates), and all of
it is published: a folder that anybody else may write is not used. Two builds at a time do not
disturb each other, as an entry appears whole or not at all. A cache that cannot be used is no
reason to stop.
"""

from __future__ import annotations

import contextlib
import os
import stat
import sys
from collections.abc import Callable, Iterator
from functools import cache
from hashlib import sha256
from pathlib import Path

from resultsgen.files.replacing import replace_file

VARIABLE = "RESULTSGEN_CACHE"
"""Names another folder; `none` keeps nothing."""

KEPT_BYTES = 256 * 1024 * 1024
"""What is kept at most; the entries longest unused go first."""

DIGEST_SIZE = sha256().digest_size

SHAPING = (".py", ".mo", ".toml", ".fields")
"""How the names of those of the program's own files end that shape what it makes."""


def cache_folder() -> Path | None:
    """The user's own folder for such things on this system; None where nothing is to be kept."""
    if named := os.environ.get(VARIABLE):
        return None if named == "none" else Path(named)
    try:
        if sys.platform == "win32":
            base = os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local"
        elif sys.platform == "darwin":
            base = Path.home() / "Library" / "Caches"
        else:
            base = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    except RuntimeError:  # A user without a home, as in a container.
        return None
    return Path(base) / "resultsgen"


def key_of(*parts: bytes | str) -> str:
    """The key of something shaped by these parts; no two lists of parts share one."""
    whole = sha256()
    for part in parts:
        data = part.encode() if isinstance(part, str) else part
        whole.update(len(data).to_bytes(8, "big"))
        whole.update(data)
    return whole.hexdigest()


def run_by() -> Iterator[str]:
    """The version of Python, and name and version of every library at hand."""
    yield sys.version
    for place in filter(os.path.isdir, sys.path):
        yield from sorted(name for name in os.listdir(place) if name.endswith(".dist-info"))


@cache
def code_digest() -> str:
    """The SHA-256 of the program's own files: what another program made may be otherwise."""
    package = Path(__file__).parents[1]
    files = (path for path in sorted(package.rglob("*")) if path.suffix in SHAPING)
    return key_of(*(path.read_bytes() for path in files))


def only_ours(folder: Path) -> bool:
    """Nobody but this user can put anything into the folder, or it is not there yet."""
    try:
        status = folder.stat()
    except FileNotFoundError:
        return True
    except OSError:
        return False
    if not hasattr(os, "geteuid"):  # Windows: the folder lies in the user's own.
        return True
    return status.st_uid == os.geteuid() and not status.st_mode & (stat.S_IWGRP | stat.S_IWOTH)


class Cache:
    """Entries in one folder; with no folder, or one of others, nothing is ever found in it."""

    def __init__(self, folder: Path | None) -> None:
        self._folder = folder if folder and only_ours(folder) else None

    def get(self, key: str) -> bytes | None:
        """The bytes kept under a key; None where there are none, or not as they were written."""
        if self._folder is None:
            return None
        path = self._path(self._folder, key)
        try:
            entry = path.read_bytes()
            os.utime(path)
        except OSError:
            return None
        data = entry[DIGEST_SIZE:]
        if _digest(key, data) == entry[:DIGEST_SIZE]:
            return data
        with contextlib.suppress(OSError):
            path.unlink()
        return None

    def has(self, key: str) -> bool:
        """Something is kept under a key; only `get` tells whether it is sound."""
        return self._folder is not None and self._path(self._folder, key).is_file()

    def put(self, key: str, data: bytes | bytearray) -> None:
        """Keep *data*; where the folder cannot be written, keep nothing."""
        if self._folder is None:
            return
        path = self._path(self._folder, key)
        with contextlib.suppress(OSError):
            self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            path.parent.mkdir(mode=0o700, exist_ok=True)
            replace_file(path, _digest(key, data) + data, 0o600, lasting=False)

    def kept_or_made(self, key: str, make: Callable[[], bytes]) -> bytes:
        """What is kept under a key; else what is made now, and kept."""
        data = self.get(key)
        if data is None:
            data = make()
            self.put(key, data)
        return data

    def prune(self, kept_bytes: int = KEPT_BYTES) -> None:
        """Let go of what was longest unused, until no more than *kept_bytes* are left."""
        if self._folder is None:
            return
        entries = []
        for path in self._folder.glob("*/*"):
            with contextlib.suppress(OSError):
                status = path.stat()
                entries.append((status.st_mtime_ns, status.st_size, path))
        left = kept_bytes
        for _, size, path in sorted(entries, reverse=True):
            left -= size
            if left < 0:
                with contextlib.suppress(OSError):
                    path.unlink()

    def _path(self, folder: Path, key: str) -> Path:
        return folder / key[:2] / key[2:]


def _digest(key: str, data: bytes | bytearray) -> bytes:
    whole = sha256(key.encode())
    whole.update(data)
    return whole.digest()
