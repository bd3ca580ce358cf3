"""The records of what was published before, out of a published folder or the meet folder."""

from __future__ import annotations

import re
from pathlib import Path

from pydantic import ValidationError

from resultsgen.opening import UnreadableError, file_bytes, names_in
from resultsgen.problems import Problem
from resultsgen.publication import Publication

RECORD = re.compile(r"[0-9]{3,4}\.json")


def record_name(number: int) -> str:
    """The file of the record of a publication.

    >>> record_name(7)
    '007.json'
    """
    return f"{number:03d}.json"


def read_publications(*folders: Path) -> tuple[tuple[Publication, ...], list[Problem]]:
    """The publications kept in the first of the folders that has any, in order of number."""
    folder, last = _last(folders)
    read = [_publication(folder, number) for number in range(1, last + 1)]
    problems = [one for one in read if isinstance(one, Problem)]
    return tuple(one for one in read if isinstance(one, Publication)), problems


def last_publication(*folders: Path) -> Publication | None:
    """The last publication that is kept; None where none is, or it cannot be read."""
    read = _publication(*_last(folders))
    return read if isinstance(read, Publication) else None


def _last(folders: tuple[Path, ...]) -> tuple[Path, int]:
    """The first of the folders that has any record, and the number of its last one."""
    for folder in folders:
        names = [name for name in names_in(folder, "", ".json") if RECORD.fullmatch(name)]
        if names:
            return folder, max(int(Path(name).stem) for name in names)
    return folders[0], 0


def _publication(folder: Path, number: int) -> Publication | Problem:
    name = record_name(number)
    try:
        publication = Publication.model_validate_json(file_bytes(folder, name))
    except UnreadableError as refusal:
        missing = refusal.code == "no-such-file"
        why = "is missing" if missing else f"cannot be read, since it {refusal}"
        return _broken(folder, name, f"the record of a publication {why}")
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(map(str, first["loc"]))
        told = ": ".join(filter(None, (where, first["msg"])))
        return _broken(folder, name, f"the record of a publication cannot be read ({told})")
    if publication.number != number:
        return _broken(folder, name, f"the record is of publication {publication.number}")
    return publication


def _broken(folder: Path, name: str, what: str) -> Problem:
    message = f"{what}; put back a copy of what was published, or publish into a new folder"
    return Problem(f"{folder.name}/{name}", 0, "", "broken-publication", message)
