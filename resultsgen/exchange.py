"""Two folders change places in one step, where the system can do that.

Linux: renameat2 with RENAME_EXCHANGE (man 2 renameat2). macOS: renamex_np with RENAME_SWAP (man 2
renamex_np). Elsewhere, and on file systems without it, the old folder is moved aside and the new
one moved in, with nothing but one rename between.
"""

from __future__ import annotations

import ctypes
import errno
import os
import sys
from pathlib import Path

RENAME_EXCHANGE = RENAME_SWAP = 2
AT_FDCWD = -100
CANNOT = (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP)
"""What systems and file systems answer that cannot exchange two folders."""


def put_in_place(new: Path, target: Path, aside: Path) -> None:
    """Let *new* take the place of *target*; what was there before is then at *new* or *aside*."""
    if not target.exists():
        os.rename(new, target)
    elif not exchange(new, target):
        _move_aside_and_in(new, target, aside)


def exchange(one: Path, other: Path) -> bool:
    """Exchange two folders of one file system in one step; False where that cannot be done."""
    names = os.fsencode(one), os.fsencode(other)
    try:
        libc = ctypes.CDLL(None, use_errno=True)
        if sys.platform == "linux":
            failed = libc.renameat2(
                AT_FDCWD, names[0], AT_FDCWD, names[1], ctypes.c_uint(RENAME_EXCHANGE)
            )
        else:
            failed = libc.renamex_np(names[0], names[1], ctypes.c_uint(RENAME_SWAP))
    except (TypeError, OSError, AttributeError):  # Windows, or a C library without the call
        return False
    if not failed:
        return True
    reason = ctypes.get_errno()
    if reason in CANNOT:
        return False
    raise OSError(reason, os.strerror(reason), str(other))


def _move_aside_and_in(new: Path, target: Path, aside: Path) -> None:
    """The way without an exchange; should the second step fail, the first is undone."""
    os.rename(target, aside)
    try:
        os.rename(new, target)
    except BaseException:
        os.rename(aside, target)
        raise
