"""A file that is there whole or not at all: written beside its place, and then put into it."""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from pathlib import Path


def replace_file(path: Path, data: bytes, mode: int = 0o644, *, lasting: bool = True) -> None:
    """Let these bytes take the place of what is there; where that fails, nothing of them stays.

    *lasting*: the power may go from now on. What is made anew if it is gone can do without.
    """
    handle, beside = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=".new")
    try:
        with os.fdopen(handle, "wb") as opened:
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
