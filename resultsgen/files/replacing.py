"""A file that is there whole or not at all: written beside its place, and then put into it."""

from __future__ import annotations

import errno
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from glob import escape
from pathlib import Path

FULL = (errno.ENOSPC, errno.EDQUOT)
MAKE_ROOM = "; make room on that disk, and do it again"


@contextmanager
def room_for(path: Path | str) -> Iterator[None]:
    """Let a full disk tell what it has no room for, which it does not, and how to mend that."""
    try:
        yield
    except OSError as error:
        if error.errno in FULL and MAKE_ROOM not in (error.strerror or ""):
            error.filename = error.filename or str(path)
            error.strerror = f"{error.strerror}{MAKE_ROOM}"
        raise


def replace_file(path: Path, data: bytes, mode: int = 0o644, *, lasting: bool = True) -> None:
    """Let these bytes take the place of what is there; where that fails, nothing of them stays.

    *lasting*: the power may go from now on. What is made anew if it is gone can do without,
    and several may write it. Else what a process left here that was killed meanwhile is taken away.
    """
    prefix, suffix = f".{path.name[:40]}.", ".new"
    for left in path.parent.glob(f"{escape(prefix)}????????{suffix}") if lasting else ():
        left.unlink(missing_ok=True)
    handle, beside = tempfile.mkstemp(dir=path.parent, prefix=prefix, suffix=suffix)
    try:
        with room_for(path), os.fdopen(handle, "wb") as opened:
            opened.write(data)
            opened.flush()
            if lasting:
                os.fsync(handle)
        os.chmod(beside, mode)
        os.replace(beside, path)
    except BaseException:  # The disk is full, or somebody pressed Ctrl-C.
        Path(beside).unlink(missing_ok=True)
        raise
    if lasting:
        sync_folder(path.parent)


def sync_folder(folder: Path) -> None:
    """Have the names of its files on the disk."""
    with suppress(OSError):  # Not every system knows a folder as a file.
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
