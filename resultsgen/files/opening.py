"""Files of a folder that comes from others: opened here and nowhere else.

Nothing outside the folder is read, whatever links say, and nothing but regular files: to open a
pipe waits for ever. Each kind has a size beyond which it is not read, so that no file fills memory.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path

TABLES = (".csv", ".tsv", ".txt", ".xlsx", ".xlsm", ".ods")
PICTURES = (".png", ".jpg", ".jpeg", ".gif", ".webp", ".svg")

LARGEST = {
    ".toml": 1_000_000,
    ".md": 1_000_000,
    **dict.fromkeys(PICTURES, 5_000_000),
    ".svg": 1_000_000,
    ".json": 20_000_000,
    ".html": 200_000,
    **dict.fromkeys((".css", ".js"), 500_000),
    **dict.fromkeys((".ttf", ".otf"), 20_000_000),
}
"""The most bytes that are read of a file, by how its name ends; meet/README.md says the same."""

LARGEST_TABLE = 20_000_000
"""The same of a table, whose name may end in any way."""

CAREFULLY = (
    os.O_RDONLY
    | getattr(os, "O_NOFOLLOW", 0)
    | getattr(os, "O_NONBLOCK", 0)
    | getattr(os, "O_CLOEXEC", 0)
    | getattr(os, "O_BINARY", 0)
)
"""How a file is opened: no link is followed and nothing is waited for."""


class UnreadableError(Exception):
    """A file that is not read; *code* is that of the problem, the message says why."""

    def __init__(self, code: str, message: str) -> None:
        super().__init__(message)
        self.code = code


def file_bytes(folder: Path, name: str, largest: int = 0) -> bytes:
    """What a regular file in a folder holds; UnreadableError where there is none to be read.

    It has no more than *largest* bytes; without that, as many as its kind may have.
    """
    message = "lies outside the meet folder; copy it into it"
    try:
        real, place = os.path.realpath(folder / name), os.path.realpath(folder)
    except ValueError:  # A name that no system takes.
        raise UnreadableError("no-such-file", _missing(folder, name)) from None
    if Path(name).is_absolute() or not Path(real).is_relative_to(place):
        raise UnreadableError("outside-the-folder", message)
    largest = largest or largest_of(name)
    try:
        _must_be_regular(os.lstat(real))
        with os.fdopen(os.open(real, CAREFULLY), "rb") as opened:
            status = os.fstat(opened.fileno())
            _must_be_regular(status)
            held = opened.read(largest + 1) if status.st_size <= largest else None
    except (FileNotFoundError, NotADirectoryError, ValueError):
        if os.path.islink(folder / name):
            raise UnreadableError("not-a-file", "is a link to nothing; mend or delete it") from None
        raise UnreadableError("no-such-file", _missing(folder, name)) from None
    except OSError as error:
        raise UnreadableError("no-such-file", f"cannot be read: {error.strerror}") from None
    if held is None or len(held) > largest:
        most = f"{largest // 1000:,} kB"
        raise UnreadableError("file-too-large", f"is larger than {most}, the most that is read of "
                              "such a file; make it smaller")  # fmt: skip
    return held


def largest_of(name: str) -> int:
    """The most bytes that are read of a file of that name.

    >>> largest_of("meet.toml"), largest_of("roster.csv")
    (1000000, 20000000)
    """
    return LARGEST.get(Path(name).suffix.lower(), LARGEST_TABLE)


def names_in(folder: Path, inner: str, ending: str = "") -> list[str]:
    """The names in a folder of the folder, in order, but for hidden ones and those of editors."""
    found = (path.name for path in (folder / inner).glob("*"))
    return sorted(name for name in found if not name.startswith(".") and name.endswith(ending))


def why_closed(folder: Path, inner: str) -> str:
    """Why a folder of the folder cannot be looked through; empty where it can, or is not there."""
    if is_there(folder, inner):
        try:
            os.scandir(folder / inner).close()
        except OSError as error:
            return error.strerror or str(error)
    return ""


def is_there(folder: Path, name: str) -> bool:
    """Whether something of that name stands in the folder, be it what it may."""
    return os.path.lexists(folder / name)


def _must_be_regular(status: os.stat_result) -> None:
    if not stat.S_ISREG(status.st_mode):
        message = "is no file but a folder, a pipe or a device; put a file in its place"
        raise UnreadableError("not-a-file", message)


def _missing(folder: Path, name: str) -> str:
    """That a file is missing, and which ones of its kind there are."""
    ending = Path(name).suffix.lower()
    kinds = TABLES if ending in TABLES else (ending,)
    there = sorted(
        path.name
        for path in folder.glob("*")
        if path.suffix.lower() in kinds and path.is_file() and path.name != "meet.toml"
    )
    another = f", or name another in meet.toml; in the folder there are {', '.join(there)}"
    return "is missing; add it" + (another if there else "")
