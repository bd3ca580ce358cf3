"""SHA256SUMS: what was published, file by file, so that anybody can see whether it is still that.

The format is the one of `sha256sum`, which checks it with `sha256sum -c SHA256SUMS`.
"""

from __future__ import annotations

import json
import os
import re
import stat
from collections.abc import Iterator, Mapping
from contextlib import suppress
from hashlib import file_digest
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

MANIFEST = "SHA256SUMS"
"""Lists every file of a published folder but itself and the marker, hidden ones too."""

MARKER = ".resultsgen.json"
"""Stands in every published folder and lists the files that were made, with their SHA-256."""

OURS = (MANIFEST, MARKER)

HIDDEN = (".", "~")
"""How the names begin of what is never read; what is being published is written beside it so."""

LINE = re.compile(r"(\\?)([0-9a-f]{64}) [ *](.+)")
ESCAPES = str.maketrans({"\\": "\\\\", "\n": "\\n", "\r": "\\r"})
UNESCAPED = {"\\\\": "\\", "\\n": "\n", "\\r": "\r"}


def is_input(folder: Path, within: Path) -> bool:
    """Whether a file of a folder can be read for what is published: not hidden, and nothing we
    published."""
    above = (folder / one for one in (within, *within.parents))
    hidden = any(part.startswith(HIDDEN) and part != ".." for part in within.parts)
    return not hidden and not any((one / MARKER).exists() for one in above)


class ManifestError(Exception):
    """There is no list of what was published, or it cannot be read."""


class Verified(NamedTuple):
    """A folder compared with what was published in it; each file by its name."""

    same: tuple[str, ...]
    changed: tuple[str, ...]
    missing: tuple[str, ...]
    added: tuple[str, ...]

    @property
    def intact(self) -> bool:
        """Nothing is changed, missing or added."""
        return not (self.changed or self.missing or self.added)


Stand = tuple[int, ...]
"""What the file system tells of a file: another once it was written."""

SIZE = 2
"""Where in that its size stands."""

Known = tuple[Stand, str]
"""How a file stood when it was read, and its SHA-256."""


def write_manifest(
    folder: Path, there: Mapping[str, os.stat_result], known: Mapping[Stand, str]
) -> dict[str, Known]:
    """List every file of a folder that is *there*; what is known of each by then.

    Of what stands as it is *known* nothing is read.
    """
    stands = {name: stand(one) for name, one in there.items() if stat.S_ISREG(one.st_mode)}
    found = {
        name: (each, known.get(each) or digest(folder / name))
        for name, each in sorted(stands.items())
        if name not in OURS
    }
    lines = (_line(name, sha256) for name, (_, sha256) in found.items())
    (folder / MANIFEST).write_bytes(os.fsencode("".join(lines)))
    return found


def stand(told: os.stat_result) -> Stand:
    """Not when a name was last given to it: it gets one more where it lies below a season."""
    return told.st_ino, told.st_mode, told.st_size, told.st_mtime_ns


def everything(folder: Path) -> Iterator[tuple[str, os.DirEntry[str]]]:
    """Whatever stands in a folder, hidden or not, by its name; no link is followed."""
    above = [""]
    for place in above:
        with suppress(OSError), os.scandir(f"{folder}/{place}") as there:
            for entry in there:
                name = f"{place}{entry.name}"
                if entry.is_dir(follow_symlinks=False):
                    above.append(f"{name}/")
                yield name, entry


def files_in(folder: Path) -> dict[str, bool]:
    """All in a folder but folders, and whether it is a file: no link, no pipe and no device."""
    return {
        name: entry.is_file(follow_symlinks=False)
        for name, entry in everything(folder)
        if not entry.is_dir(follow_symlinks=False)
    }


def as_it_stands(folder: Path) -> str:
    """What the file system tells of every file of a folder: another text once one was written."""
    told = []
    for name, entry in everything(folder):
        one = stand(entry.stat(follow_symlinks=False))
        told.append(f"{name}\0{one if not entry.is_dir(follow_symlinks=False) else ''}")
    return "\0".join(sorted(told))


def verified(folder: Path) -> Verified:
    """Compare a folder with its list, file by file; a link is not the file that it leads to."""
    listed = listed_files(folder)
    there = files_in(folder)
    marker = there.pop(MARKER, None)
    there.pop(MANIFEST)
    known = there.keys() & listed.keys()
    same = {name for name in known if there[name] and digest(folder / name) == listed[name]}
    changed = known - same
    if marker is not None and not (marker and _agrees(folder, listed)):
        changed.add(MARKER)
    return Verified(
        tuple(sorted(same)),
        tuple(sorted(changed)),
        tuple(sorted(listed.keys() - there.keys())),
        tuple(sorted(there.keys() - listed.keys())),
    )


def otherwise(
    folder: Path, below: str, known: Mapping[Stand, str] = MappingProxyType({})
) -> list[str]:
    """The files below a folder that are not as they were published; nothing where none ever was.

    A folder that was published and has lost its list says so in the place of them all. Of what
    stands as it is *known* nothing is read.
    """
    if not any((folder / name).exists() for name in OURS):
        return []
    try:
        listed = {
            name: each for name, each in listed_files(folder).items() if name.startswith(below)
        }
    except ManifestError:
        return [MANIFEST]
    there = {f"{below}{name}": plain for name, plain in files_in(folder / below).items()}
    return sorted(
        name
        for name in listed.keys() | there.keys()
        if not there.get(name)
        or listed.get(name) != (known.get(stand((folder / name).stat())) or digest(folder / name))
    )


def _agrees(folder: Path, listed: dict[str, str]) -> bool:
    """Does the marker give each file the digest that the list gives it?"""
    try:
        told = json.loads((folder / MARKER).read_text("utf-8"))["files"]
        known = {**listed, MANIFEST: digest(folder / MANIFEST)}
        return all(known.get(name) == each[7:] for name, each in told.items())
    except (ValueError, KeyError, TypeError, AttributeError):
        return False


def digest(path: Path) -> str:
    with path.open("rb") as opened:
        return file_digest(opened, "sha256").hexdigest()


def _line(name: str, sha256: str) -> str:
    """A line of the list; a name with a backslash or a line end is written with escapes."""
    escaped = name.translate(ESCAPES)
    return f"{'' if escaped == name else chr(92)}{sha256}  {escaped}\n"


def listed_files(folder: Path) -> dict[str, str]:
    """The SHA-256 of all that was published, by name; ManifestError where there is no list."""
    try:
        if not stat.S_ISREG((folder / MANIFEST).lstat().st_mode):  # To open a pipe waits for ever.
            raise OSError
        lines = os.fsdecode((folder / MANIFEST).read_bytes()).split("\n")
    except OSError as error:
        raise ManifestError(
            f"{folder} has no list of what was published ({MANIFEST}) that can be read"
        ) from error
    found: dict[str, str] = {}
    for number, line in enumerate(lines, start=1):
        if not line:
            continue
        held = LINE.fullmatch(line)
        if not held:
            raise ManifestError(f"line {number} of {folder / MANIFEST} cannot be read")
        name = held[3]
        if held[1]:
            name = re.sub(r"\\[\\nr]", lambda escape: UNESCAPED[escape[0]], name)
        if name in found:
            raise ManifestError(f"line {number} of {folder / MANIFEST} names {name} once more")
        found[name] = held[2]
    return found
