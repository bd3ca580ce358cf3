"""SHA256SUMS: what was published, file by file, so that anybody can see whether it is still that.

The format is the one of `sha256sum`, which checks it with `sha256sum -c SHA256SUMS`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from hashlib import file_digest
from pathlib import Path

MANIFEST = "SHA256SUMS"
"""Lists every file of a published folder but itself and what begins with a dot."""

LINE = re.compile(r"(\\?)([0-9a-f]{64}) [ *](.+)")
ESCAPES = {"\\": "\\\\", "\n": "\\n", "\r": "\\r"}
UNESCAPED = {"\\\\": "\\", "\\n": "\n", "\\r": "\r"}


class ManifestError(Exception):
    """There is no list of what was published, or it cannot be read."""


@dataclass(frozen=True)
class Verified:
    """A folder compared with what was published in it; each file by its name."""

    same: tuple[str, ...]
    changed: tuple[str, ...]
    missing: tuple[str, ...]
    added: tuple[str, ...]

    @property
    def intact(self) -> bool:
        """Nothing is changed, missing or added."""
        return not (self.changed or self.missing or self.added)


def manifest_text(folder: Path) -> str:
    """The list of every file of a folder, in the order of the names."""
    return "".join(_line(name, _digest(folder / name)) for name in listed_files(folder))


def listed_files(folder: Path) -> list[str]:
    """The names of the files that the list has; hidden ones and links are nobody's results."""
    names = (path.relative_to(folder) for path in folder.rglob("*") if _is_file(path))
    seen = (name for name in names if not any(part.startswith(".") for part in name.parts))
    return sorted(name.as_posix() for name in seen if name.as_posix() != MANIFEST)


def verified(folder: Path) -> Verified:
    """Compare a folder with its list, file by file."""
    listed = _read(folder)
    there = set(listed_files(folder))
    same = {name for name in there & listed.keys() if _digest(folder / name) == listed[name]}
    return Verified(
        tuple(sorted(same)),
        tuple(sorted((there & listed.keys()) - same)),
        tuple(sorted(listed.keys() - there)),
        tuple(sorted(there - listed.keys())),
    )


def _is_file(path: Path) -> bool:
    return path.is_file() and not path.is_symlink()


def _digest(path: Path) -> str:
    with path.open("rb") as opened:
        return file_digest(opened, "sha256").hexdigest()


def _line(name: str, digest: str) -> str:
    """A line of the list; a name with a backslash or a line end is written with escapes."""
    escaped = "".join(ESCAPES.get(sign, sign) for sign in name)
    return f"{'' if escaped == name else chr(92)}{digest}  {escaped}\n"


def _read(folder: Path) -> dict[str, str]:
    """The digest of each file by its name."""
    try:
        lines = (folder / MANIFEST).read_text(encoding="utf-8").split("\n")
    except (OSError, UnicodeDecodeError) as error:
        raise ManifestError(
            f"{folder} has no list of what was published ({MANIFEST}) that can be read"
        ) from error
    found = {}
    for number, line in enumerate(lines, start=1):
        if not line:
            continue
        held = LINE.fullmatch(line)
        if not held:
            raise ManifestError(f"line {number} of {folder / MANIFEST} cannot be read")
        name = re.sub(r"\\[\\nr]", lambda escape: UNESCAPED[escape[0]], held[3])
        found[name if held[1] else held[3]] = held[2]
    return found
