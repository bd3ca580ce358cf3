"""A build is left out where it would publish what is published already.

Kept in the cache: which meet folder, read by which program, gave which folder, each told by the
SHA-256 of all its files. Only if all three are still the same is nothing to be done; whatever else
is true, the meet is read, judged and published anew.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator
from hashlib import sha256
from pathlib import Path

from resultsgen.files.cache import Cache, cache_folder, code_digest, key_of, run_by
from resultsgen.files.manifest import MANIFEST, MARKER, ManifestError, verified
from resultsgen.files.opening import UnreadableError, file_bytes
from resultsgen.files.staging import real, working_folder
from resultsgen.publishing.build_options import BuildOptions, Published

PACKAGE = Path(__file__).parents[1]

PROGRAM = (PACKAGE, PACKAGE.parent / "themes")
"""The program and the themes that come with it; installed, they lie in the package."""

TIME = "SOURCE_DATE_EPOCH"
"""The one thing beside files and options that shapes what is published."""


def published_before(meet_folder: Path, out: Path, options: BuildOptions) -> Published | None:
    """What was published, if a build would publish just that again.

    A working folder that a killed build has left is for the next build to clear.
    """
    kept = Cache(cache_folder()).get(_key(meet_folder, out, options)) if _plain(options) else None
    if kept is None or working_folder(real(out)).exists():
        return None
    told = json.loads(kept)
    if told["inputs"] != inputs(meet_folder, out) or told["outcome"] != _outcome(out):
        return None
    number, files, books = told["number"], told["files"], told["books"]
    return Published(out, number, files, 0, books, tuple(told["notes"]), told["in_one_piece"])


def remember(
    meet_folder: Path,
    read: str,
    themes: tuple[Path, ...],
    options: BuildOptions,
    published: Published,
) -> None:
    """Keep what a build made of the *inputs* that it read; *themes* may be folders elsewhere."""
    seen = (meet_folder, *PROGRAM)
    if not _plain(options) or not all(_in_one_of(seen, theme) for theme in themes):
        return
    told = {
        "inputs": read,
        "outcome": sha256((published.folder / MANIFEST).read_bytes()).hexdigest(),
        "number": published.number,
        "files": published.files,
        "books": published.books,
        "notes": published.notes,
        "in_one_piece": published.in_one_piece,
    }
    key = _key(meet_folder, published.folder, options)
    Cache(cache_folder()).put(key, json.dumps(told).encode())


def inputs(meet_folder: Path, out: Path) -> str:
    """The SHA-256 of all that a build reads: the meet folder, the program, what it is built on."""
    return _digest((meet_folder, *PROGRAM), out)


def judged_from(meet_folder: Path, out: Path) -> str:
    """The SHA-256 of all that results come from: the meet folder, records, the program's code."""
    published = (out / MANIFEST).read_bytes() if (out / MANIFEST).is_file() else b""
    folders = (meet_folder, out / "data/publications")
    return key_of(code_digest(), published, _digest(folders, out))


def _digest(folders: tuple[Path, ...], out: Path) -> str:
    beside = (real(out), working_folder(real(out)))
    whole = sha256()
    for folder in folders:
        for name, data in _files(folder, beside):
            whole.update(os.fsencode(f"{len(name)} {len(data)} {name}"))
            whole.update(data)
    return whole.hexdigest()


def _files(folder: Path, beside: tuple[Path, ...]) -> Iterator[tuple[str, bytes]]:
    """Every file and link of a folder, by name, but for what is compiled and what is published."""
    for place, folders, names in os.walk(folder):
        here = Path(place)
        folders[:] = sorted(
            name for name in folders if name != "__pycache__" and real(here / name) not in beside
        )
        for path in (here / name for name in sorted((*names, *filter(_links(here), folders)))):
            yield str(path.relative_to(folder)), _read(folder, path)


def _links(folder: Path) -> Callable[[str], bool]:
    return lambda name: os.path.islink(folder / name)


def _read(folder: Path, path: Path) -> bytes:
    """What a file holds, or why nothing of it can come into a build; and where a link leads."""
    if folder in PROGRAM:
        return path.read_bytes()
    leads = os.fsencode(os.readlink(path)) if path.is_symlink() else b""
    try:
        return leads + b"\0" + file_bytes(folder, str(path.relative_to(folder)))
    except UnreadableError as refusal:
        return leads + b"\0" + refusal.code.encode()


def _plain(options: BuildOptions) -> bool:
    """Is nothing asked that depends on more than the meet folder and the published one?"""
    return not (options.seal or options.allow_removal or options.follows)


def _in_one_of(folders: tuple[Path, ...], folder: Path) -> bool:
    return any(real(folder).is_relative_to(real(one)) for one in folders)


def _key(meet_folder: Path, out: Path, options: BuildOptions) -> str:
    return key_of(
        "build", os.fsencode(real(meet_folder)), os.fsencode(real(out)),
        options.theme, str(options.books), str(options.plain_books), options.trust_theme,
        os.environ.get(TIME, ""), *run_by(),
    )  # fmt: skip


def _outcome(out: Path) -> str:
    """The SHA-256 of the list of published files; empty where one is not as it was."""
    try:
        intact = (out / MARKER).is_file() and verified(out).intact
    except ManifestError:
        return ""
    return sha256((out / MANIFEST).read_bytes()).hexdigest() if intact else ""
