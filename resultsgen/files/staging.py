"""A folder is replaced whole or not at all: built beside the published one, then exchanged with it.

The new folder is made in a hidden working folder beside the target, on the same file system. Files
that did not change become hard links to the published ones. One call of the system exchanges the
two folders, so that a reader finds the old one or the new one by its name, never a mixture and
never nothing. Whatever ends a build early leaves the published folder as it was; the next build
clears the working folder.

Linux: renameat2 with RENAME_EXCHANGE (man 2 renameat2). macOS: renamex_np with RENAME_SWAP (man 2
renamex_np). Elsewhere, and on file systems without it, such as those of sticks, the old folder is
moved aside and the new one moved in, with nothing but one rename between. A folder in a lower layer
of an overlay, as in a container, cannot be moved at all: its files are replaced one by one.
"""

from __future__ import annotations

import errno
import json
import os
import shutil
import sys
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from stat import S_IMODE, S_ISREG

from resultsgen import __version__
from resultsgen.files.lock import locked, refuse_link
from resultsgen.files.manifest import (
    MANIFEST,
    MARKER,
    Known,
    Stand,
    digest,
    everything,
    stand,
    write_manifest,
)
from resultsgen.files.replacing import room_for
from resultsgen.meet.problems import NotPublishedError

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

NEXT = "next"
"""The new folder, beside the target."""

LEFT_BEHIND = (PREVIOUS, PLACING, NEXT)
"""What an ended build may leave in the working folder."""


OF_A_MEET, OF_A_SEASON = "data/results.json", "data/season.json"
"""By these files what was published tells what it is of."""


class OutputError(NotPublishedError):
    """The output folder cannot be used; the message says why and what to do."""


@dataclass
class Staging:
    """The folder to write into, and once it was put in place what there is to say of it."""

    folder: Path
    files: int = 0
    changed: int = 0
    carried: tuple[str, ...] = ()
    """Files of somebody else that were in the published folder, and are in the new one."""
    note: str = ""
    """How it was put in place, where that was not in one step."""
    known: dict[Stand, str] = field(default_factory=dict)
    """By how a file stands: its SHA-256, for which it need not be read then."""
    listed: dict[str, Known] = field(default_factory=dict)
    """Every file, once it is listed, but the list and the marker."""
    alike: dict[str, str] = field(default_factory=dict)
    """By the SHA-256 of a page: what tells it but for what all pages print."""


@contextmanager
def staged(
    target: Path,
    inputs: tuple[Path, ...] = (),
    last_look: Callable[[Path, Mapping[str, str]], None] = lambda *_: None,
    of: str = "",
) -> Iterator[Staging]:
    """Give an empty folder to write into; if all goes well it takes the target's place at the end.

    *inputs* are the meet folder and those in it that are read; the target may lie in the first
    of them, but not in the others, and may hold none. *last_look* is shown the whole folder
    before it is put in place, with the SHA-256 of its files as they are listed, or what else tells
    such a page, and keeps it back by raising what is wrong. *of* a meet or of a season, it
    replaces nothing that was published of the other.
    """
    target = real(target)
    check_target(target, inputs, of)
    target.parent.mkdir(parents=True, exist_ok=True)
    work = working_folder(target)
    with locked(work):
        recover(target, work)
        staging = Staging(work / NEXT)
        staging.folder.mkdir()
        try:
            yield staging
            listed = finish(staging, target)
            alike = {name: staging.alike.get(each, each) for name, each in listed.items()}
            last_look(staging.folder, alike)
            staging.note = put_in_place(staging.folder, target)
        finally:
            recover(target, work)


def real(path: Path) -> Path:
    """Where a path leads once links are followed; one that leads round in a circle stays a link."""
    return Path(os.path.realpath(path))


def default_output(meet_folder: Path) -> Path:
    """The folder that a meet is published into where nobody names another.

    OutputError where that leads out of the meet folder: who sent it may mean to overwrite a site.
    """
    out = meet_folder / "output"
    if not real(out).is_relative_to(real(meet_folder)):
        raise OutputError(
            f"{out} is a link to {real(out)}; if that is meant, say so: -o {real(out)}"
        )
    return out


def working_folder(target: Path) -> Path:
    """The hidden folder beside the target that only builds use."""
    return target.parent / f".{target.name}.resultsgen"


def check_target(target: Path, inputs: tuple[Path, ...], of: str) -> None:
    """Refuse a target that holds what we read, is read itself, or is the folder of another."""
    holds = [folder for folder in inputs if _stands_in(folder, target)]
    lies_in = [folder for folder in inputs[1:] if _stands_in(target, folder)]
    for folder in holds + lies_in:
        where = "holds" if folder in holds else "lies in"
        raise OutputError(f"{target} {where} {folder}, which is read; choose another folder")
    there = next(path for path in (target, *target.parents) if os.path.lexists(path))
    if there == target:
        _check_existing(target)
        for other, what in ((OF_A_MEET, "meet"), (OF_A_SEASON, "season")):
            if other != of and (target / other).is_file():
                raise OutputError(f"{target} was published of a {what}; choose another folder")
    elif not there.is_dir():
        raise OutputError(f"{there} is a file; choose a folder")
    work = working_folder(target)
    for path in (work, *(work / name for name in ("lock", *LEFT_BEHIND))):
        refuse_link(path)


def _check_existing(target: Path) -> None:
    if target.is_symlink():
        raise OutputError(f"{target} is a link that leads nowhere; choose a folder")
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
    inner = real(inner)
    if not outer.exists():  # It would be made there.
        return real(outer) in (inner, *inner.parents)
    return any(folder.exists() and folder.samefile(outer) for folder in (inner, *inner.parents))


def recover(target: Path, work: Path) -> None:
    """Bring back what an ended build had moved aside, and clear what it left behind."""
    left_behind = [work / name for name in LEFT_BEHIND]
    for path in left_behind:
        refuse_link(path)
    if (work / PREVIOUS).exists() and not target.exists():
        _check_existing(work / PREVIOUS)
        os.replace(work / PREVIOUS, target)
    if (work / PLACING).exists() and target.exists():
        replace_files(work / PLACING, target)
    for path in left_behind:
        shutil.rmtree(path, ignore_errors=True)


def write(
    folder: Path,
    name: str,
    data: bytes | bytearray,
    before: Path | None = None,
    known: dict[Stand, str] | None = None,
) -> str:
    """Write a new file into a folder, and the folders above it; its SHA-256, *known* from then on.

    The file of that name in the folder *before* becomes it, where that holds just these bytes:
    which is ten times as quick as to write them.
    """
    path, known, told = f"{folder}/{name}", {} if known is None else known, sha256(data).hexdigest()
    above = path.rpartition("/")[0]
    if not os.path.isdir(above):
        os.makedirs(above, exist_ok=True)
    if before and _holds(f"{before}/{name}", data, known, told):
        with suppress(OSError):  # No links here.
            os.link(f"{before}/{name}", path)
            return told
    with suppress(FileNotFoundError):
        os.unlink(path)  # It may be the published file.
    with room_for(path):
        Path(path).write_bytes(data)
    known[stand(os.stat(path))] = told
    return told


def take_over(folder: Path, names: Iterable[str], before: Path) -> None:
    """Let files of the folder *before* stand in another, too."""
    names = tuple(names)
    for above in {name.rpartition("/")[0] for name in names}:
        (folder / above).mkdir(parents=True, exist_ok=True)
    for name in names:
        link_or_copy(f"{before}/{name}", f"{folder}/{name}")


def _holds(path: str, data: bytes | bytearray, known: Mapping[Stand, str], told: str) -> bool:
    with suppress(OSError):
        there = os.lstat(path)
        if S_ISREG(there.st_mode) and there.st_size == len(data):
            held = known.get(stand(there))
            return held == told if held else Path(path).read_bytes() == data
    return False


def finish(staging: Staging, target: Path) -> dict[str, str]:
    """Make the new folder ready: modes, others' files, the manifest, links, the marker.

    The SHA-256 of every file but the marker, by its name.
    """
    manifest = staging.folder / MANIFEST
    manifest.touch()
    modes = {True: _mode(staging.folder), False: _mode(manifest)}
    written = everything(staging.folder)
    stands = {name: _with_mode(entry, modes[entry.is_dir()]) for name, entry in written}
    made = sorted((one for one in stands if S_ISREG(stands[one].st_mode)), key=in_order)
    before = dict(everything(target))
    staging.carried = tuple(keep_others(target, before, staging.folder))
    refuse_twins(staging.folder)
    stands |= {name: (staging.folder / name).lstat() for name in staging.carried}
    staging.listed = write_manifest(staging.folder, stands, staging.known)
    digests = {name: sha256 for name, (_, sha256) in staging.listed.items()}
    digests[MANIFEST], stands[MANIFEST] = digest(manifest), manifest.stat()
    for name in made:
        path, there = f"{staging.folder}/{name}", before.get(name)
        same = there and link_if_same(path, stands[name], there, digests[name], staging.known)
        if there and same and name != MANIFEST:
            staging.listed[name] = stand(there.stat(follow_symlinks=False)), digests[name]
        staging.changed += not same
    staging.files = len(made)
    files = {name: f"sha256:{digests[name]}" for name in made}
    told = {"made_by": "resultsgen", "version": __version__, "files": files}
    text = json.dumps(told, indent=1, ensure_ascii=False) + "\n"
    (staging.folder / MARKER).write_text(text, encoding="utf-8", newline="\n")
    if target.exists():
        shutil.copymode(target, staging.folder)
    return digests


def _with_mode(entry: os.DirEntry[str], mode: int) -> os.stat_result:
    """How something stands that has this mode, however it was made."""
    stands = entry.stat()
    if S_IMODE(stands.st_mode) == mode:
        return stands
    if entry.is_file() and stands.st_nlink > 1:  # What is published stays as it is.
        data = Path(entry.path).read_bytes()
        os.unlink(entry.path)
        Path(entry.path).write_bytes(data)
    os.chmod(entry.path, mode)
    return os.stat(entry.path)


def in_order(name: str) -> str:
    """By folder."""
    return name.replace("/", "\0")


def _mode(path: Path) -> int:
    return S_IMODE(path.stat().st_mode)


def refuse_twins(folder: Path) -> None:
    """OutputError where two names are one on the file systems of other machines."""
    seen: dict[str, str] = {}
    for name in sorted((name for name, _ in everything(folder)), key=in_order):
        other = seen.setdefault(unicodedata.normalize("NFC", name).casefold(), name)
        if other != name:
            raise OutputError(
                f"{other} and {name} would be one file on a stick, a Mac or under Windows; "
                "rename one of them"
            )


def link_if_same(
    path: str,
    here: os.stat_result,
    published: os.DirEntry[str],
    sha256: str,
    known: Mapping[Stand, str],
) -> bool:
    """Replace a new file by a hard link to the published one that has the same content."""
    try:
        there = published.stat(follow_symlinks=False)
    except (FileNotFoundError, NotADirectoryError):
        return False
    if os.path.samestat(there, here):
        return True
    if not S_ISREG(there.st_mode) or there.st_size != here.st_size:
        return False
    if (known.get(stand(there)) or digest(Path(published.path))) != sha256:
        return False
    if S_IMODE(there.st_mode) == S_IMODE(here.st_mode):
        with suppress(OSError):  # No links here: the new file stays, which is as good.
            os.link(published.path, f"{path}.link")
            os.replace(f"{path}.link", path)
    return True


def made_files(target: Path) -> set[str]:
    """The files of a published folder that resultsgen made, the marker among them."""
    try:
        files = json.loads((target / MARKER).read_text("utf-8"))["files"]
        return {MARKER, *files}
    except (OSError, ValueError, KeyError, TypeError):
        return {MARKER}


def keep_others(target: Path, there: Mapping[str, os.DirEntry[str]], folder: Path) -> list[str]:
    """Carry over what somebody else put into the published folder: CNAME, .git, notes.

    Nothing of theirs is overwritten: where one of our files would have to stand in its place,
    the build is refused. Nor is anything carried over but plain files: what a link leads to is
    nobody's results.
    """
    made = made_files(target)
    theirs = {name: entry for name, entry in sorted(there.items()) if name not in made}
    files = [name for name, entry in theirs.items() if not entry.is_dir(follow_symlinks=False)]
    for name in files:
        found, new = target / name, folder / name
        if not theirs[name].is_file(follow_symlinks=False):
            raise OutputError(
                f"{found} is a link, a pipe or a device, and only files are carried over; "
                "take it out of the folder"
            )
        if new.exists() or any(above.is_file() for above in new.parents):
            raise OutputError(f"{found} was not made by resultsgen and stands in a page's place")
        new.parent.mkdir(parents=True, exist_ok=True)
        link_or_copy(found, new)
    ours = {above.as_posix() for one in {name.rpartition("/")[0] for name in made}
            for above in (Path(one), *Path(one).parents)}  # fmt: skip
    for name, entry in theirs.items():  # Every folder of theirs, with its mode.
        if name not in ours and entry.is_dir():
            (folder / name).mkdir(parents=True, exist_ok=True)
            shutil.copymode(entry.path, folder / name)
    return files


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


def exchange(new: Path, other: Path) -> bool:
    """Exchange two folders of one file system in one step; False where that cannot be done."""
    import ctypes

    names = os.fsencode(new), os.fsencode(other)
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


def link_or_copy(found: Path | str, new: Path | str) -> None:
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
