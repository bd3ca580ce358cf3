"""One build at a time for one output folder.

The lock is the system's own, on a file in the working folder: it ends with the process that holds
it, however that ends, so that a killed build never locks anybody out. The file also holds the
number of the process, for the message. A working folder may come along with a meet folder from a
stranger: no link in it is followed, and what nobody but this program would make there is refused.
"""

from __future__ import annotations

import os
import stat
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from resultsgen.meet.problems import NotPublishedError


class AnotherBuildError(NotPublishedError):
    """Another build is writing the same output folder."""


class NotOursError(NotPublishedError):
    """Something stands where only builds write, and no build of this user made it."""

    def __init__(self, path: Path, what: str) -> None:
        super().__init__(f"{path} {what}, which no build makes there; look at it, and delete it")


@contextmanager
def locked(work: Path) -> Iterator[None]:
    """Hold the lock of a working folder, which is made for it and removed after it."""
    descriptor = _take(work)
    try:
        os.ftruncate(descriptor, 0)
        os.write(descriptor, str(os.getpid()).encode())
        yield
    finally:
        # Removed while it is still locked; where an open file stays in some form, later.
        with suppress(OSError):
            (work / "lock").unlink()
            work.rmdir()
        os.close(descriptor)
        with suppress(OSError):
            if os.name == "nt":
                (work / "lock").unlink()
            work.rmdir()


def refuse_link(path: Path) -> None:
    """NotOursError where a link stands: what a build writes or clears is never behind one."""
    if path.is_symlink():
        raise NotOursError(path, "is a link")


ATTEMPTS = 1000
"""So often somebody else may have removed what was just made."""


def _take(work: Path) -> int:
    """Lock the lock file. It may be removed by the build that held it before; then again."""
    for left in reversed(range(ATTEMPTS)):
        try:
            _make_own(work)
            descriptor = _opened(work / "lock")
        except FileNotFoundError:
            if not left:  # No build is that quick: nothing can be made there.
                raise
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
    raise AnotherBuildError("others build there all the time; build again")


def _make_own(work: Path) -> None:
    """A folder of this user that nobody else reads or writes; the one that is there may be used."""
    try:
        work.mkdir(mode=0o700)
    except FileExistsError:
        refuse_link(work)
        status = work.lstat()
        if not stat.S_ISDIR(status.st_mode):
            raise NotOursError(work, "is no folder") from None
        if hasattr(os, "geteuid") and status.st_uid != os.geteuid():
            raise NotOursError(work, "belongs to another user") from None
        with suppress(OSError):  # A stick has no modes.
            work.chmod(0o700)


def _opened(lock: Path) -> int:
    """The lock file open for reading and writing, itself and a file by no other name."""
    refuse_link(lock)
    without_following = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    descriptor = os.open(lock, os.O_RDWR | os.O_CREAT | without_following, 0o600)
    status = os.fstat(descriptor)
    if stat.S_ISREG(status.st_mode) and status.st_nlink <= 1:
        return descriptor
    os.close(descriptor)
    raise NotOursError(lock, "is no file of its own")


def wait_for(descriptor: int, seconds: float) -> bool:
    """Lock an open file for this process as soon as no other has it; False where one keeps it."""
    end = time.monotonic() + seconds
    while True:
        with suppress(BlockingIOError, PermissionError):
            _lock_now(descriptor)
            return True
        if time.monotonic() > end:
            return False
        time.sleep(0.005)


def _lock_now(descriptor: int) -> None:
    """Lock an open file for this process, or raise OSError at once."""
    try:
        import fcntl
    except ImportError:
        import msvcrt

        # Beyond all that others read while the lock is held.
        os.lseek(descriptor, 2**30, os.SEEK_SET)
        msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
        os.lseek(descriptor, 0, os.SEEK_SET)
    else:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
