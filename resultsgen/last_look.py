"""The last look: nothing is put in place that names somebody who is not to be named.

Every file of the folder that would be published is unpacked and read, with its name: pages, books,
tables, workbooks, pictures, records of earlier publications, and files of others that are carried
over. What has been looked at for the same names is not unpacked again.
"""

from __future__ import annotations

from collections.abc import Iterator
from hashlib import file_digest
from pathlib import Path

from resultsgen import __version__
from resultsgen.cache import Cache, key_of
from resultsgen.meet import Meet
from resultsgen.names.contents import LARGEST, PART, TooLargeError, contents
from resultsgen.names.forms import Hit, Sought, hits
from resultsgen.names.withheld import said, sought_names, told_message
from resultsgen.names.words import words
from resultsgen.problems import MeetProblems, Problem

WAY = "1"
"""Of looking; another finds what this does not."""


def look_through(meet: Meet, kept: Path | None, folder: Path) -> None:
    """Look at all that would be published; MeetProblems where it tells a name that is withheld."""
    names = sought_names(meet)
    if names is None:
        return
    cache, key = Cache(kept), _key(names)
    seen = frozenset((cache.get(key) or b"").decode().split())
    looked = {path: _digest(path) for path in sorted(folder.rglob("*"))}
    problems = [*_problems(names, folder, looked, seen)]
    if problems:
        raise MeetProblems(problems)
    if not seen.issuperset(looked.values()):
        cache.put(key, "\n".join(sorted({*looked.values()})).encode())


def _key(names: Sought) -> str:
    told = (f"{form} {who}" for form, who in names.forms.items())
    others = (f"{who} {' '.join(sorted(forms))}" for who, forms in names.others.items())
    return key_of("last look", __version__, WAY, *told, *others)


def _digest(path: Path) -> str:
    """What tells the bytes of a file; of a link and a folder there are none."""
    plain = path.is_file() and not path.is_symlink()
    if not plain:
        return "none"
    with path.open("rb") as opened:
        return file_digest(opened, "sha256").hexdigest()


def _problems(
    names: Sought, folder: Path, looked: dict[Path, str], seen: frozenset[str]
) -> Iterator[Problem]:
    """One problem for each way in which somebody is named: the first file, and how many more."""
    found: dict[tuple[str, str], list[str]] = {}
    for path, digest in looked.items():
        file = path.relative_to(folder).as_posix()
        try:
            unseen = path if digest not in seen and digest != "none" else None
            for told in dict.fromkeys(_told(names, file, unseen)):
                found.setdefault(told, []).append(file)
        except TooLargeError:
            message = "unpacks to more than can be looked through for names; take it out"
            yield Problem(file, 0, "", "withheld-name", message)
    for (bib, told_by), files in found.items():
        more = f" (and {len(files) - 1} more files)" if files[1:] else ""
        message = f"would be published{more}: {told_message(told_by, bib)}"
        yield Problem(files[0], 0, "", "withheld-name", message)


def _told(names: Sought, file: str, path: Path | None) -> Iterator[tuple[str, str]]:
    """Who is named in a file or its name, and by which words."""
    yield from _told_in(names, file.replace("/", PART))
    if path and path.stat().st_size > LARGEST:
        raise TooLargeError
    for text in contents(path.read_bytes()) if path else ():
        yield from _told_in(names, text)


def _told_in(names: Sought, text: str) -> Iterator[tuple[str, str]]:
    held = words(text)
    found: list[Hit] = hits(names, held)
    yield from ((one.who, said(held, one)) for one in found)
