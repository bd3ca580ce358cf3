"""Two folders change places in one step, where the system can do that.

Linux: renameat2 with RENAME_EXCHANGE (man 2 renameat2). macOS: renamex_np with RENAME_SWAP (man 2
renamex_np). Elsewhere, and on file systems without it, such as those of sticks, the old folder is
moved aside and the new one moved in, with nothing but one rename between. A folder in a lower layer
of an overlay, as in a container, cannot be moved at all: its files are replaced one by one.
"""

from __future__ import annotations

import ctypes
import errno
import os
import shutil
import sys
from pathlib import Path

RENAME_EXCHANGE = RENAME_SWAP = 2
AT_FDCWD = -100

PREVIOUS, PLACING, ON_ITS_WAY = "previous", "placing", "one"
"""What stands beside the new folder meanwhile: the old one; the new one, or a file, on its way."""

MOVED = (
    "this file system cannot exchange two folders in one step; "
    "for a moment there was no published folder"
)
REPLACED = (
    "the published folder cannot be moved where it is; its files were replaced one by one, "
    "and for a moment there were old and new ones"
)


def put_in_place(new: Path, target: Path) -> str:
    """Let *new* take the place of *target*; what is to be said of how, if that was not in one step.

    What was there before is then at *new* or beside it.
    """
    if not target.exists():
        os.rename(new, target)
        return ""
    if exchange(new, target):
        return ""
    aside = new.with_name(PREVIOUS)
    try:
        os.rename(target, aside)
        try:
            os.rename(new, target)
        except BaseException:
            os.rename(aside, target)
            raise
    except OSError as error:
        if error.errno != errno.EXDEV:
            raise
        os.rename(new, new.with_name(PLACING))
        replace_files(new.with_name(PLACING), target)
        return REPLACED
    return MOVED


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
    return not failed


def replace_files(new: Path, target: Path) -> None:
    """Put every file of *new* in its place in *target*, then take away what is not of it.

    *new* stays whole, so that where this is broken off, doing it again ends it.
    """
    names = {path.relative_to(new) for path in new.rglob("*")}
    on_its_way = new.with_name(ON_ITS_WAY)
    for name in sorted(names):
        found, old = new / name, target / name
        if os.path.lexists(old) and _is_folder(found) != _is_folder(old):
            _remove(old)
        if _is_folder(found):
            old.mkdir(exist_ok=True)
            shutil.copymode(found, old)
        else:
            on_its_way.unlink(missing_ok=True)
            link_or_copy(found, on_its_way)
            os.replace(on_its_way, old)
            on_its_way.unlink(missing_ok=True)  # It stays where both were one file already.
    for path in sorted(target.rglob("*"), reverse=True):
        if path.relative_to(target) not in names:
            _remove(path)


def link_or_copy(found: Path, new: Path) -> None:
    """The same file by another name, or the same again where it cannot have two."""
    try:
        os.link(found, new, follow_symlinks=False)
    except OSError:
        shutil.copy2(found, new, follow_symlinks=False)


def _remove(path: Path) -> None:
    if _is_folder(path):
        shutil.rmtree(path)
    else:
        path.unlink()


def _is_folder(path: Path) -> bool:
    return path.is_dir() and not path.is_symlink()
