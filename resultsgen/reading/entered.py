"""Marks that were entered, as the journal beside their file has them, and those that it lost since.

An editor that holds an older copy of the file takes out, when it saves, what was entered meanwhile.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path, PurePosixPath
from typing import NamedTuple

from resultsgen.files.opening import UnreadableError, file_bytes, is_there
from resultsgen.meet.folder import Entry, MarkRow
from resultsgen.meet.marks import show_mark
from resultsgen.meet.problems import Note
from resultsgen.meet.settings import MeetSettings


class EnteredMark(NamedTuple):
    """A mark as it was entered, every cell as it was written; without mark and status it was taken
    back."""

    competition: str
    bib: str
    apparatus: str
    vault: str
    mark: str = ""
    d: str = ""
    e: str = ""
    penalty: str = ""
    bonus: str = ""
    status: str = ""
    before: str = ""
    """The mark or status that it took the place of."""

    @property
    def routine(self) -> tuple[str, str, str, str]:
        """Whose routine it is, and which."""
        return self.competition, self.bib, self.apparatus, self.vault

    @property
    def made(self) -> str:
        return self.mark or self.status

    @property
    def whose(self) -> str:
        """How a slip begins that is of this routine, and of no other."""
        vault = "2" if self.vault == "2" else ""
        return f"{self.bib} {self.apparatus.lower()}{vault} @{self.competition}"

    @property
    def said(self) -> dict[str, str]:
        """What a slip says of the mark."""
        names = ("mark", "d", "e", "penalty", "bonus", "status")
        return {name: value for name in names if (value := getattr(self, name))}


def journal_of(source: str) -> str:
    """The name of the journal of a file of marks, hidden beside it.

    >>> journal_of("marks/vault.csv")
    'marks/.vault.csv.entered'
    """
    path = PurePosixPath(source)
    return str(path.with_name(f".{path.name}.entered"))


def entered_marks(folder: Path, source: str) -> list[EnteredMark]:
    """What was entered into a file of marks, the last of each routine.

    A line that is none, as a power cut leaves it, is of a mark whose entering nobody was told of.
    """
    name = journal_of(source)
    if not is_there(folder, name):
        return []
    rows = csv.reader(file_bytes(folder, name).decode("utf-8", "replace").splitlines())
    whole = (EnteredMark(*row) for row in rows if len(row) == len(EnteredMark._fields))
    return [*{one.routine: one for one in whole}.values()]


def lost_marks(
    journals: Iterable[tuple[str, Sequence[EnteredMark]]],
    rows: Iterable[MarkRow],
    entries: Sequence[Entry],
) -> Iterator[tuple[str, EnteredMark]]:
    """Those that stand in no file any more, or are again what they took the place of; with the file
    into which each was entered."""
    entered = [(source, one) for source, held in journals for one in held if one.made]
    there: dict[tuple[str, str, str, str], set[str]] = {one.routine: set() for _, one in entered}
    for row in rows if entered else ():
        bib = row.bib if row.gymnast is None else entries[row.gymnast].bib
        routine = row.competition, bib, row.apparatus, str(row.vault or 1)
        if routine in there:
            there[routine].add(show_mark(row.mark) or row.status)
    for source, one in entered:
        now = there[one.routine]
        if one.made not in now and now <= {one.before}:
            yield source, one if now else one._replace(before="")


def is_worn(bib: str, entries: Sequence[Entry]) -> bool:
    """Somebody of the roster wears a bib."""
    return any(entry.bib == bib for entry in entries)


def told_of(one: EnteredMark, source: str, entries: Sequence[Entry]) -> str:
    """That a mark is lost, and how it comes back; of who is taken off the roster, how that ends."""
    now = f"it is {one.before} again" if one.before else "it stands there no more"
    vault = " (second vault)" if one.vault == "2" else ""
    head = f"the mark of {one.bib} on {one.apparatus}{vault}, {one.made}, was entered, and "
    if not is_worn(one.bib, entries):
        return (
            f"{head}the roster has no {one.bib} any more: if that is meant, `again` in "
            "`resultsgen mark` takes the mark for done with"
        )
    return (
        f"{head}{now}: {source} may have been saved from an older copy; `again` in "
        "`resultsgen mark` enters it again, or takes it for done with"
    )


def notes_of_lost_marks(
    folder: Path, settings: MeetSettings, rows: Sequence[MarkRow], entries: Sequence[Entry]
) -> Iterator[Note]:
    """A note on each mark that was entered and is lost."""
    journals = []
    for source in settings.sources("marks"):
        try:
            journals.append((source, entered_marks(folder, source)))
        except UnreadableError as refusal:
            message = f"cannot be read ({refusal}): nobody tells whether a mark is lost"
            yield Note(journal_of(source), 0, "", "entered-mark-lost", message)
    for source, one in lost_marks(journals, rows, entries):
        yield Note(source, 0, "", "entered-mark-lost", told_of(one, source, entries))
