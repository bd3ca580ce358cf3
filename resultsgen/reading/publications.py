"""The records of what was published before, out of a published folder or the meet folder."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple

from pydantic import ValidationError

from resultsgen.files.opening import UnreadableError, file_bytes, largest_of, names_in
from resultsgen.history.publication import FORMAT_VERSION, Publication
from resultsgen.history.records import Reader, Tree, patched
from resultsgen.meet.problems import Problem
from resultsgen.reading.tables import ROWS_OF

RECORD = re.compile(r"[0-9]{3,4}\.json")


MOST_THINGS = 1_000_000
"""Lists and objects in a record; far more than the largest meet has, and each takes memory."""

PIECE = 1_000_000
OVERLAP = 10_000
"""Letters of a record that are looked through for names at a time; those looked at twice."""


def record_name(number: int) -> str:
    """The file of the record of a publication.

    >>> record_name(7)
    '007.json'
    """
    return f"{number:03d}.json"


def read_publications(*folders: Path) -> tuple[tuple[Publication, ...], list[Problem]]:
    """The publications kept in the first of the folders that has any, in order of number.

    After one that cannot be read there is none, since each tells what it changed of the last.
    """
    folder, last = kept_in(*folders)
    reader, known = _known.pop(folder, (Reader(), []))
    found: list[_Read] = []
    wrong: list[Problem] = []
    left = largest_of(".json")
    for number in range(1, last + 1):
        data = _record(folder, number, left)
        same = len(known) >= number and known[number - 1].data == data
        known = known if same else []
        one = known[number - 1] if same else _read(reader, folder, number, data, found)
        if isinstance(one, Problem):
            wrong = [one]
            break
        found.append(one)
        left -= len(one.data)
    _known[folder] = (reader, found)
    while len(_known) > KEPT_FOLDERS:
        _known.pop(next(iter(_known)))
    return tuple(one.publication for one in found), wrong


KEPT_FOLDERS = 2


class _Read(NamedTuple):
    """A record, what all records up to it hold, and the publication that this is."""

    data: bytes
    tree: Tree
    publication: Publication


_known: dict[Path, tuple[Reader, list[_Read]]] = {}
"""Of the last folders what was read in them, so that a process that goes on reads what is new."""


def _read(
    reader: Reader, folder: Path, number: int, data: bytes | Problem, before: list[_Read]
) -> _Read | Problem:
    """The next record; what is wrong with it, where something is."""
    if isinstance(data, Problem):
        return data
    held = _tree(folder, number, data, before[-1].tree if before else None)
    if isinstance(held, Problem):
        return held
    read = _publication(reader, folder, number, held)
    return read if isinstance(read, Problem) else _Read(data, held, read)


def kept_in(*folders: Path) -> tuple[Path, int]:
    """The first of the folders that has any record, and the number of its last one."""
    for folder in folders:
        names = [name for name in names_in(folder, "", ".json") if RECORD.fullmatch(name)]
        if names:
            return folder, max(int(Path(name).stem) for name in names)
    return folders[0], 0


def records_digest(*folders: Path) -> str:
    """The SHA-256 of the record of the last publication that is kept; empty where none is."""
    folder, last = kept_in(*folders)
    try:
        return sha256(file_bytes(folder, record_name(last))).hexdigest() if last else ""
    except UnreadableError:
        return ""


def records_that_tell(folder: Path, tells: Callable[[str], bool]) -> list[str]:
    """The records in a folder with something in them that is asked for."""
    return [
        name
        for name in names_in(folder, "", ".json")
        for text in (_text(folder, name),)
        # The words of all of it at once could fill memory.
        if any(tells(text[at : at + PIECE + OVERLAP]) for at in range(0, len(text), PIECE))
    ]


def _text(folder: Path, name: str) -> str:
    try:
        return file_bytes(folder.parent, f"{folder.name}/{name}").decode("utf-8", "replace")
    except UnreadableError:
        return ""


def _record(folder: Path, number: int, left: int) -> bytes | Problem:
    """The bytes of a record, of which so many are left for it: all records together have a size."""
    name = record_name(number)
    try:
        data = file_bytes(folder.parent, f"{folder.name}/{name}")
    except UnreadableError as refusal:
        missing = refusal.code == "no-such-file"
        why = "is missing" if missing else f"cannot be read, since it {refusal}"
        return broken(folder, name, f"the record of a publication {why}")
    if len(data) <= left:
        return data
    most = f"{largest_of('.json') // 1_000_000} MB"
    return broken(folder, name, f"the records of publications are larger than {most} together")


def _tree(folder: Path, number: int, data: bytes, before: Tree | None) -> Tree | Problem:
    """What a record holds, put into what the one before held where it only tells the changes."""
    name = record_name(number)
    try:
        if data.count(b"[") + data.count(b"{") > MOST_THINGS:
            raise ValueError(f"it holds more than {MOST_THINGS:,} things")
        held = json.loads(data)
        if not isinstance(held, dict):
            return broken(folder, name, "the record of a publication holds something else")
        if "patch" in held and (before is None or held.get("version") != FORMAT_VERSION):
            raise ValueError("it tells changes, and nothing is before it")
        whole: Tree = patched(before or {}, held["patch"]) if "patch" in held else held
        if len(whole.get("gymnasts", ())) > ROWS_OF["roster"]:
            raise ValueError(f"it holds more than {ROWS_OF['roster']:,} gymnasts")
        return whole
    except UNREADABLE as error:
        return broken(folder, name, f"the record of a publication cannot be read ({error})")


UNREADABLE = (ValueError, KeyError, TypeError, AttributeError, IndexError, RecursionError)
"""What comes of a file that somebody has edited."""


def _publication(reader: Reader, folder: Path, number: int, held: Tree) -> Publication | Problem:
    name = record_name(number)
    try:
        whole = "order" in held
        publication = reader.publication(held) if whole else Publication.model_validate(held)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(map(str, first["loc"]))
        told = ": ".join(filter(None, (where, first["msg"])))
        return broken(folder, name, f"the record of a publication cannot be read ({told})")
    except UNREADABLE as error:
        return broken(folder, name, f"the record of a publication cannot be read ({error!r})")
    if publication.number != number:
        return broken(folder, name, f"the record is of publication {publication.number}")
    return publication


def broken(folder: Path, name: str, what: str) -> Problem:
    """That a record is not what was published, and what to do."""
    message = f"{what}; put back a copy of what was published, or publish into a new folder with -o"
    return Problem(f"{folder.name}/{name}", 0, "", "broken-publication", message)
