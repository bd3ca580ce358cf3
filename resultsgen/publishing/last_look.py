"""The last look: nothing is put in place that names somebody who is not to be named.

Every file of the folder that would be published is unpacked and read, with its name: pages, books,
tables, workbooks, pictures, records of earlier publications, and files of others that are carried
over. What has been looked at for the same names is not unpacked again.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from resultsgen import __version__
from resultsgen.files.cache import Cache, key_of
from resultsgen.files.manifest import digest, everything
from resultsgen.files.staging import in_order
from resultsgen.meet.problems import MeetProblems, Problem, counted
from resultsgen.privacy.contents import LARGEST_PIECE, PART, TooLargeError, contents
from resultsgen.privacy.forms import Sought, hits, may_tell, words
from resultsgen.privacy.withheld import quotation, told_message, withheld

if TYPE_CHECKING:
    from resultsgen.meet.folder import Meet

WAY = "7"
"""Of looking; another finds what this does not."""

NONE = "none"
"""The digest of what is no file."""


def look_through(
    meet: Meet,
    kept: Path | None,
    folder: Path,
    digests: Mapping[str, str] = MappingProxyType({}),
    times: tuple[str, ...] = (),
) -> None:
    """Look at all that would be published; MeetProblems where it tells a name that is withheld.

    Of files whose *digests* are known no other is taken: one that tells a page but for what all
    pages print, such as the *times*, lets it not be looked at again; what they print is.
    """
    names = withheld(meet).names
    if names is not None:
        look_for(names, key_of_names(names), kept, folder, digests, times)


def look_for(
    names: Sought,
    key: str,
    kept: Path | None,
    folder: Path,
    digests: Mapping[str, str] = MappingProxyType({}),
    times: tuple[str, ...] = (),
) -> None:
    """Look for these names, which *key* tells, in all that would be published."""
    cache = Cache(kept)
    seen = frozenset((cache.get(key) or b"").decode().split())
    there = dict(everything(folder))
    looked = {
        name: digests.get(name) or _digest(there[name]) for name in sorted(there, key=in_order)
    }
    found = _Found(names)
    found.look_at(next(iter(looked), ""), times)
    problems = [*_problems(found, folder, looked, seen)]
    if problems:
        raise MeetProblems(problems)
    if not seen.issuperset(looked.values()):
        cache.put(key, "\n".join(sorted({*looked.values()})).encode())


def names_key(meet: Meet) -> str:
    """What tells the names that are looked for; empty where none is withheld."""
    names = withheld(meet).names
    return key_of_names(names) if names is not None else ""


def key_of_names(names: Sought) -> str:
    """What tells the names that are looked for."""
    told = (f"{form} {who}" for form, who in names.forms.items())
    others = (f"{who} {' '.join(sorted(forms))}" for who, forms in names.others.items())
    return key_of("last look", __version__, WAY, *told, *others)


def _digest(entry: os.DirEntry[str]) -> str:
    """What tells the bytes of a file; of a link and a folder there are none."""
    return digest(Path(entry.path)) if entry.is_file(follow_symlinks=False) else NONE


@dataclass
class _Found:
    """Who is named by which words: as the first file has them, and in which files."""

    names: Sought
    quoted: dict[tuple[str, str], str] = field(default_factory=dict)
    files: dict[tuple[str, str], list[str]] = field(default_factory=dict)

    def look_at(self, file: str, texts: Iterable[str]) -> None:
        """Note who is named in a file."""
        for text in texts:
            held = words(text) if may_tell(self.names, text) else []
            for hit in hits(self.names, held):
                key = hit.who, " ".join(held[hit.first : hit.end])
                if key not in self.quoted:
                    self.quoted[key] = quotation(self.names, text, hit)
                self.files.setdefault(key, []).append(file)

    def problems(self) -> Iterator[Problem]:
        """One problem for each way in which somebody is named: the first file, and how many."""
        for key, all_files in self.files.items():
            first, *more = dict.fromkeys(all_files)
            others = f" (and {counted(len(more), 'more file')})" if more else ""
            message = f"would be published{others}: {told_message(self.quoted[key], key[0])}"
            yield Problem(first, 0, "", "withheld-name", message)


def _problems(
    found: _Found, folder: Path, looked: Mapping[str, str], seen: frozenset[str]
) -> Iterator[Problem]:
    named = may_tell(found.names, "\n".join(looked))
    for file, each in looked.items():
        if named:
            found.look_at(file, [file.replace("/", PART)])
        if each in seen or each == NONE:
            continue
        try:
            found.look_at(file, _texts(folder / file, found.names))
        except TooLargeError:
            message = "unpacks to more than can be looked through for names; take it out"
            yield Problem(file, 0, "", "withheld-name", message)
    yield from found.problems()


def _texts(path: Path, names: Sought) -> Iterator[str]:
    if path.stat().st_size > LARGEST_PIECE:
        raise TooLargeError
    return contents(path.read_bytes(), names)
