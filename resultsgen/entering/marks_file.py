"""The file that marks are written into: row by row, each on the disk before anybody is told of it.

The only module here that writes. One process at a time has the file, by the system's own lock,
which ends with the process. A row is added by one write, so that whoever is killed leaves all of it
or nothing; a row that is replaced or taken back is so in a copy, which then takes the place of the
file. Nobody else's line is written anew: encoding, separator, order of columns stay.
"""

from __future__ import annotations

import csv
import errno
import io
import os
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from resultsgen.entering.marks_rows import NotWrittenError, RowLayout, encoding_of
from resultsgen.files.cell_texts import harmless
from resultsgen.files.lock import wait_for
from resultsgen.files.opening import UnreadableError, file_bytes
from resultsgen.files.replacing import replace_file, room_for, sync_folder
from resultsgen.meet.marks import STATUSES
from resultsgen.meet.settings import MeetSettings
from resultsgen.meet.sources import TableForm
from resultsgen.reading.entered import EnteredMark, journal_of
from resultsgen.reading.named_tables import why_no_source
from resultsgen.reading.sheets import WORKBOOKS, separator_of

PATIENCE = 10
"""Seconds after which a process that keeps a file is no longer waited for."""


def torn_files(folder: Path, settings: MeetSettings) -> list[tuple[RowLayout, str]]:
    """Each CSV file of marks that ends in the middle of a row, whether it can be read or not."""
    found = []
    for source in settings.sources("marks"):
        path = folder / source
        if why_no_source(folder, settings, "marks", source):
            continue
        if path.is_file() and path.suffix.lower() not in WORKBOOKS:
            try:
                held = file_bytes(folder, source)
            except UnreadableError:  # It is told where the meet is read.
                continue
            encoding = encoding_of(held, settings.tables.get(source, TableForm()))
            if last := torn(held, encoding):
                found.append((RowLayout(source, (), encoding=encoding), last))
    return found


def torn(held: bytes, encoding: str) -> str:
    r"""The last line where it has no end and is no whole row: cells or decimals are missing.

    >>> torn(b"bib,mark\n7,9.4", "utf-8"), torn(b"bib,mark\n7,9.450", "utf-8")
    ('7,9.4', '')
    """
    at = len(held) - len(_last_line(held, encoding))
    before, last = (part.decode(encoding, "replace") for part in (held[:at], held[at:]))
    if not last or not before:
        return ""
    above = before.splitlines()[-1]
    separator = separator_of(above)
    cells, others = (next(csv.reader([line], delimiter=separator)) for line in (last, above))
    cut_off = any(re.fullmatch(r"\d+[.,]\d{0,2}", cell) for cell in cells)
    done = any(re.fullmatch(r"\d+[.,]\d{3}", cell) or cell in STATUSES for cell in cells)
    return "" if len(cells) == len(others) and done and not cut_off else last


def _last_line(held: bytes, encoding: str) -> bytes:
    """What stands behind the last end of a line."""
    ends = {end.encode(encoding) for end in "\r\n"}
    unit = len(min(ends))
    at = len(held) - len(held) % unit
    while at and held[at - unit : at] not in ends:
        at -= unit
    return held[at:]


@dataclass
class MarksFile:
    """A file of marks that is open and locked for this process."""

    path: Path
    layout: RowLayout
    descriptor: int
    journal: Path
    """Tells what was entered, whatever becomes of the file."""

    def keep(self, mark: EnteredMark) -> None:
        """Write into the journal what is entered or taken back."""
        line = io.StringIO()
        csv.writer(line, lineterminator="\n").writerow(mark)
        with os.fdopen(_to_be_added_to(self.journal), "r+b", buffering=0) as opened:
            size = opened.seek(0, os.SEEK_END)
            opened.seek(max(size - 1, 0))
            unended = size and opened.read() != b"\n"
            opened.write(("\n" * bool(unended) + line.getvalue()).encode())
            os.fsync(opened.fileno())

    def text(self) -> str:
        """All that stands in it, a byte order mark too; NotWrittenError where that is no text."""
        held = self._bytes()
        text = held.decode(self.layout.encoding, "surrogateescape")
        if "\0" in text or text.encode(self.layout.encoding, "surrogateescape") != held:
            raise NotWrittenError(f"{self.layout.source} holds bytes that are no text; mend it")
        return text

    def next_line(self) -> int:
        """The line that a row at the end will stand on."""
        return len(list(io.StringIO(self.text(), newline=""))) + 1

    def torn(self) -> str:
        """The last line where it has no end and is no whole row, as a power cut leaves it."""
        return torn(self._bytes(), self.layout.encoding)

    def mend(self, *, whole: bool) -> None:
        """Give the last line its end, or take it out."""
        if whole:
            os.write(self.descriptor, self.layout.newline.encode(self.layout.encoding))
        else:
            held = self._bytes()
            last = _last_line(held, self.layout.encoding)
            os.ftruncate(self.descriptor, len(held) - len(last))
        os.fsync(self.descriptor)

    def append(self, row: str) -> None:
        """Add a row at the end, and an end to the last one where it lacks."""
        end = os.lseek(self.descriptor, 0, os.SEEK_END)
        unended = _last_line(self._bytes(), self.layout.encoding)
        before = self.layout.newline if unended else ""
        added = (before + row).encode(self.layout.encoding)
        try:
            with room_for(self.path):
                if os.write(self.descriptor, added) < len(added):
                    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
                os.fsync(self.descriptor)
        except OSError:
            with suppress(OSError):
                os.ftruncate(self.descriptor, end)
            raise

    def exchange(self, old: str, new: str) -> bool:
        """Put a row in the place of the last one that stands as *old*; False where none does."""
        lines = list(io.StringIO(self.text(), newline=""))
        count = len(list(io.StringIO(old, newline="")))
        for first in range(len(lines) - count, -1, -1):
            if "".join(lines[first : first + count]) == old:
                self._replace("".join([*lines[:first], new, *lines[first + count :]]))
                return True
        return False

    def exchange_at(self, line: int, cells: Mapping[str, str]) -> tuple[str, str]:
        """Put these cells into the row on a line, and leave its others; as it was, and is now."""
        lines = list(io.StringIO(self.text(), newline=""))
        old = lines[line - 1] if line <= len(lines) else ""
        there: list[str] = []
        with suppress(csv.Error):  # A cell of more than one line.
            there = next(csv.reader([old], delimiter=self.layout.separator, strict=True), there)
        if len(there) != len(self.layout.columns):
            raise NotWrittenError(f"{self.layout.source}:{line} is no plain row; mend it there")
        both = zip(self.layout.columns, there, strict=True)
        kept = ("rotation", "competition", "")
        ours = {name: harmless(cell) for name, cell in cells.items() if cell or name not in kept}
        new = self.layout.line([ours.get(name, cell) for name, cell in both])
        self._replace("".join([*lines[: line - 1], new, *lines[line:]]))
        return old, new

    def _bytes(self) -> bytes:
        os.lseek(self.descriptor, 0, os.SEEK_SET)
        with os.fdopen(os.dup(self.descriptor), "rb") as opened:
            return opened.read()

    def _replace(self, text: str) -> None:
        """Let a copy take the place of the file, whole or not at all."""
        mode = os.fstat(self.descriptor).st_mode & 0o777
        replace_file(self.path, text.encode(self.layout.encoding, "surrogateescape"), mode)


@contextmanager
def opened(folder: Path, layout: RowLayout) -> Iterator[MarksFile]:
    """The file of a layout, made if it is not there, for this process alone.

    Whoever held it before may have put another in its place; then that one is taken.
    """
    path = Path(os.path.realpath(folder / layout.source))
    if not path.is_relative_to(os.path.realpath(folder)):
        raise NotWrittenError(f"{layout.source} lies outside the meet folder")
    while True:
        descriptor = _to_be_added_to(path)
        try:
            if not wait_for(descriptor, PATIENCE):
                raise NotWrittenError(f"another process keeps {layout.source}; end it")
            if not _is_at(descriptor, path):
                continue
            file = MarksFile(path, layout, descriptor, folder / journal_of(layout.source))
            begun = 0
            if layout.headings and not os.fstat(descriptor).st_size:
                file.append(layout.line([*map(harmless, layout.headings)]))
                sync_folder(path.parent)
                begun = os.fstat(descriptor).st_size
            try:
                yield file
            finally:
                if begun and os.fstat(descriptor).st_size == begun:  # No row was written.
                    path.unlink()
            return
        finally:
            os.close(descriptor)


def _to_be_added_to(path: Path) -> int:
    """A file, made if it is not there, and never what a link leads to."""
    flags = os.O_RDWR | os.O_CREAT | os.O_APPEND
    return os.open(path, flags | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0), 0o666)


def _is_at(descriptor: int, path: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(descriptor), os.stat(path))
    except FileNotFoundError:
        return False
