"""One build at a time for one output folder.

The lock is the system's own, on a file in the working folder: it ends with the process that holds
it, however that ends, so that a killed build never locks anybody out. The file also holds the
number of the process, for the message.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from resultsgen.problems import NotPublishedError


class AnotherBuildError(NotPublishedError):
    """Another build is writing the same output folder."""


@contextmanager
def locked(work: Path) -> Iterator[None]:
    """Hold the lock of a working folder, which is made for it and removed after it."""
    descriptor = _take(work)
    try:
        os.ftruncate(descriptor, 0)
        os.write(descriptor, str(os.getpid()).encode())
        yield
    finally:
        _release(work, descriptor)


def _take(work: Path) -> int:
    """Lock the lock file. It may be removed by the build that held it before; then again."""
    while True:
        work.mkdir(exist_ok=True)
        try:
            descriptor = os.open(work / "lock", os.O_RDWR | os.O_CREAT, 0o644)
        except FileNotFoundError:
            continue
        try:
            _lock_now(descriptor)
        except (BlockingIOError, PermissionError):
            holder = os.read(descriptor, 20).decode("ascii", "replace").strip()
            os.close(descriptor)
            who = f" (process {holder})" if holder else ""
            raise AnotherBuildError(
                f"another build{who} is writing there; wait until it is done"
            ) from None
        with suppress(OSError):
            if os.path.samestat(os.fstat(descriptor), os.stat(work / "lock")):
                return descriptor
        os.close(descriptor)


def _lock_now(descriptor: int) -> None:
    """Lock an open file for this process, or raise OSError at once."""
    try:
        import fcntl
    except ImportError:
        import msvcrt

        # Beyond the number of the process, which others read while the lock is held.
        os.lseek(descriptor, 1000, os.SEEK_SET)
        msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
        os.lseek(descriptor, 0, os.SEEK_SET)
    else:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)


def _release(work: Path, descriptor: int) -> None:
    """Remove the file while it is still locked; where open files cannot be removed, after that."""
    with suppress(OSError):
        (work / "lock").unlink()
        work.rmdir()
    os.close(descriptor)
    with suppress(OSError):
        if os.name == "nt":
            (work / "lock").unlink()
            work.rmdir()
