"""The meet as the files of its folder have it now, judged; and as a row of marks would make it."""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import KW_ONLY, dataclass, field, replace
from pathlib import Path

from resultsgen.checks.every import checked
from resultsgen.meet.folder import MarkRow, Meet
from resultsgen.meet.problems import MeetProblems, Problem, parted
from resultsgen.reading.meet import read_meet
from resultsgen.scoring.judging import results
from resultsgen.scoring.results import Results


@dataclass
class MeetNow:
    """A meet folder that others write in, too."""

    folder: Path
    _: KW_ONLY
    seen: object = None
    judged: Results | None = None
    before: set[Problem] = field(default_factory=set)
    """What was told of the meet already."""
    ahead: tuple[Meet, Results, list[Problem]] | None = None
    """The meet that was judged last, which may be as a row would make it."""
    problems: list[Problem] = field(default_factory=list)
    """What is to mend in the folder as it is."""
    rows: tuple[MarkRow, ...] = ()
    """Every row of marks that stands in the files, right or wrong."""

    def look(self) -> Results:
        """The meet as it is now, read again if a file changed; MeetProblems where it cannot be."""
        sources = self.judged.meet.settings.sources("marks") if self.judged else ()
        state = _state(self.folder, sources)
        if state != self.seen or self.judged is None:
            self.judged = None
            meet, self.problems = read_meet(self.folder)
            self.rows = meet.mark_rows if meet else self.rows
            left = _usable(meet, self.problems)
            if meet is None or left is None:
                raise MeetProblems(self.problems)
            known = self.ahead if self.ahead and self.ahead[0] == left else None
            self.judged, found = known[1:] if known else self._judge(left, checked(left))
            self.seen, self.before = state, {*found}
        return self.judged

    def tried(self, meet: Meet, row: MarkRow) -> tuple[Results, tuple[str, ...], tuple[str, ...]]:
        """The meet with a row, judged; why that is refused, and what else it brings."""
        had = [(one.file, one.line) == (row.file, row.line) for one in meet.mark_rows]
        rows = (row if here else one for one, here in zip(meet.mark_rows, had, strict=True))
        after = replace(meet, mark_rows=(*rows, *(() if any(had) else (row,))))
        checks = checked(after)
        if wrong := [one for one in checks if one not in self.before]:
            return self.look(), _messages(wrong), ()
        tried, found = self._judge(after, checks)
        brought = [one for one in found if one not in self.before]
        wrong = [one for one in brought if (one.file, one.row) == (row.file, row.line)]
        return tried, _messages(wrong), _messages(one for one in brought if one not in wrong)

    def _judge(self, meet: Meet, checks: list[Problem]) -> tuple[Results, list[Problem]]:
        """A meet judged, and all that is told of it: what *checks* found, and what judging did."""
        judged, unsettled = results(meet, self.ahead[1] if self.ahead else None)
        self.ahead = meet, judged, [*checks, *unsettled]
        return self.ahead[1:]


def _messages(found: Iterable[Problem]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one.message for one in parted(found)[0]))


def _usable(meet: Meet | None, problems: list[Problem]) -> Meet | None:
    """The meet without rows of marks that are wrong, and without what stands beside the marks;
    None where more than that is to mend."""
    if meet is None:
        return None
    files, read = meet.settings.files, {row.file for row in meet.mark_rows}
    sources = meet.settings.sources("marks")
    beside = {files.incidents, files.bests, files.corrections}
    wrong = {(one.file, one.row) for one in problems if one.file in read and one.row}
    for one in problems:
        not_there = one.file in sources and one.code in ("no-such-file", "no-heading")
        inner = one.file.partition("/")[0] in ("pages", "assets", "publications")
        if not ((one.file, one.row) in wrong or not_there or one.file in beside or inner):
            return None
    rows = tuple(row for row in meet.mark_rows if (row.file, row.line) not in wrong)
    left = replace(meet, mark_rows=rows, incidents=(), corrections=(), pages=())
    return left if not parted(checked(left))[0] else None


def _state(folder: Path, sources: Iterable[str]) -> frozenset[tuple[str, int, int]]:
    """The files of the folder that marks depend on, with their size and when they were written."""
    found = {*(one.name for one in os.scandir(folder) if one.is_file()), *sources}
    status = {name: os.stat(folder / name) for name in found if (folder / name).is_file()}
    return frozenset((name, one.st_size, one.st_mtime_ns) for name, one in status.items())
