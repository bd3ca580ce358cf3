"""A folder is replaced whole or not at all: built beside the published one, then exchanged with it.

The new folder is made in a hidden working folder beside the target, on the same file system. Files
that did not change become hard links to the published ones. One call of the system exchanges the
two folders (`resultsgen/exchange.py`), so that a reader finds the old one or the new one by its
name, never a mixture and never nothing. Whatever ends a build early leaves the published folder
as it was; the next build clears the working folder.
"""

from __future__ import annotations

import filecmp
import json
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from hashlib import file_digest
from pathlib import Path

from resultsgen import __version__
from resultsgen.exchange import put_in_place
from resultsgen.lock import locked
from resultsgen.manifest import MANIFEST, MARKER, everything, manifest_text
from resultsgen.problems import NotPublishedError

FILE_MODE, FOLDER_MODE = 0o644, 0o755
"""A web server of another user must be able to read what was published."""


class OutputError(NotPublishedError):
    """The output folder cannot be used; the message says why and what to do."""


@dataclass
class Staging:
    """The folder to write into, and once it was put in place how many files it has and had."""

    folder: Path
    files: int = 0
    changed: int = 0
    carried: tuple[str, ...] = ()
    """Files of somebody else that were in the published folder, and are in the new one."""


@contextmanager
def staged(target: Path, inputs: tuple[Path, ...] = ()) -> Iterator[Staging]:
    """Give an empty folder to write into; if all goes well it takes the target's place at the end.

    *inputs* are the meet folder and those in it that are read; the target may lie in the first
    of them, but not in the others, and may hold none.
    """
    target = target.resolve()
    check_target(target, inputs)
    target.parent.mkdir(parents=True, exist_ok=True)
    work = working_folder(target)
    with locked(work):
        recover(target, work)
        staging = Staging(work / "next")
        staging.folder.mkdir()
        try:
            yield staging
            finish(staging, target)
            put_in_place(staging.folder, target, aside=work / "previous")
        finally:
            recover(target, work)


def working_folder(target: Path) -> Path:
    """The hidden folder beside the target that only builds use."""
    return target.parent / f".{target.name}.resultsgen"


def check_target(target: Path, inputs: tuple[Path, ...]) -> None:
    """Refuse a target that holds what we read, is read itself, or is somebody else's folder."""
    holds = [one for one in inputs if _stands_in(one, target)]
    lies_in = [one for one in inputs[1:] if _stands_in(target, one)]
    for one in holds + lies_in:
        where = "holds" if one in holds else "lies in"
        raise OutputError(f"{target} {where} {one}, which is read; choose another folder")
    if target.exists():
        _check_existing(target)


def _check_existing(target: Path) -> None:
    if not target.is_dir():
        raise OutputError(f"{target} is a file; choose a folder")
    if target.is_mount():
        raise OutputError(f"{target} is a mounted disk; choose a folder inside it")
    if any(target.iterdir()) and not (target / MARKER).is_file():
        raise OutputError(
            f"{target} has files in it that resultsgen did not make; "
            "choose a new or an empty folder"
        )


def _stands_in(inner: Path, outer: Path) -> bool:
    """Is *inner* the folder *outer* or in it? Links and letter case are seen through."""
    if not outer.exists():
        return False
    inner = inner.resolve()
    return any(one.exists() and one.samefile(outer) for one in (inner, *inner.parents))


def recover(target: Path, work: Path) -> None:
    """Bring back what an ended build had moved aside, and clear what it left behind."""
    if (work / "previous").exists() and not target.exists():
        os.replace(work / "previous", target)
    for left_behind in ("next", "previous"):
        shutil.rmtree(work / left_behind, ignore_errors=True)


def finish(staging: Staging, target: Path) -> None:
    """Make the new folder ready: modes, others' files, the manifest, links, the marker."""
    manifest = staging.folder / MANIFEST
    manifest.touch()
    written = sorted(staging.folder.rglob("*"))
    for path in written:
        path.chmod(FOLDER_MODE if path.is_dir() else FILE_MODE)
    made = [path for path in written if path.is_file()]
    if target.exists():
        staging.carried = tuple(keep_others(target, staging.folder))
    manifest.write_text(manifest_text(staging.folder), encoding="utf-8", newline="\n")
    for path in made:
        published = target / path.relative_to(staging.folder)
        staging.changed += not link_if_same(path, published)
    staging.files = len(made)
    marker = staging.folder / MARKER
    marker.write_text(_marker_text(staging.folder, made), encoding="utf-8", newline="\n")
    marker.chmod(FILE_MODE)
    staging.folder.chmod(FOLDER_MODE)
    if target.exists():
        shutil.copymode(target, staging.folder)


def link_if_same(path: Path, published: Path) -> bool:
    """Replace a new file by a hard link to the published one that has the same content."""
    if published.is_symlink() or not published.is_file():
        return False
    if not filecmp.cmp(path, published, shallow=False):
        return False
    if published.stat().st_mode & 0o777 == FILE_MODE:
        link = path.with_name(f"{path.name}.link")
        with suppress(OSError):  # No links here: the new file stays, which is as good.
            os.link(published, link)
            os.replace(link, path)
    return True


def _marker_text(folder: Path, made: list[Path]) -> str:
    files = {}
    for path in made:
        with path.open("rb") as opened:
            digest = file_digest(opened, "sha256").hexdigest()
        files[path.relative_to(folder).as_posix()] = f"sha256:{digest}"
    marker = {"made_by": "resultsgen", "version": __version__, "files": files}
    return json.dumps(marker, indent=1, ensure_ascii=False) + "\n"


def made_files(target: Path) -> set[str]:
    """The files of a published folder that resultsgen made, the marker among them."""
    try:
        files = json.loads((target / MARKER).read_text("utf-8"))["files"]
        return {MARKER, *files}
    except (OSError, ValueError, KeyError, TypeError):
        return {MARKER}


def keep_others(target: Path, folder: Path) -> list[str]:
    """Carry over what somebody else put into the published folder: CNAME, .git, notes.

    Nothing of theirs is overwritten: where one of our files would have to stand in its place,
    the build is refused. Nor is anything carried over but plain files: what a link leads to is
    nobody's results.
    """
    made = made_files(target)
    theirs = sorted((name, plain) for name, plain in everything(target) if name not in made)
    for name, plain in theirs:
        _carry_over(target / name, folder / name, plain=plain)
    _keep_empty_folders(target, folder, {parent for name in made for parent in Path(name).parents})
    return [name for name, _ in theirs]


def _carry_over(found: Path, new: Path, *, plain: bool) -> None:
    if not plain:
        raise OutputError(
            f"{found} is a link, a pipe or a device, and only files are carried over; "
            "take it out of the folder"
        )
    if new.exists() or any(one.is_file() for one in new.parents):
        raise OutputError(f"{found} was not made by resultsgen and stands in a page's place")
    _link_or_copy(found, new)


def _keep_empty_folders(target: Path, folder: Path, ours: set[Path]) -> None:
    """Every folder of theirs, with its mode."""
    for found in sorted(target.rglob("*")):
        name = found.relative_to(target)
        if found.is_dir() and name not in ours:
            (folder / name).mkdir(parents=True, exist_ok=True)
            shutil.copymode(found, folder / name)


def _link_or_copy(found: Path, new: Path) -> None:
    new.parent.mkdir(parents=True, exist_ok=True)
    try:
        os.link(found, new, follow_symlinks=False)
    except OSError:
        shutil.copy2(found, new, follow_symlinks=False)
