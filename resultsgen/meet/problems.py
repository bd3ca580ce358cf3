"""What is wrong with a meet folder, told to the person at the table."""

from __future__ import annotations

import difflib
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice


@dataclass(frozen=True, order=True)
class Problem:
    """One thing to mend: where it stands, whose it is, what stands there and what should.

    *row* is the line of the file as a person counts it (the heading is 1), 0 where no line
    can be named. *code* is stable; checks/README.md explains each.
    """

    file: str
    row: int
    column: str
    code: str
    message: str
    value: str = ""

    @property
    def place(self) -> str:
        """File, line and column."""
        where = self.file + (f":{self.row}" if self.row else "")
        return f"{where} [{self.column}]" if self.column else where

    def __str__(self) -> str:
        return f"{self.place} {self.message} ({self.code})"


MOST = 500
"""So many of a kind are told at once; nobody reads more of them."""


def most(found: Iterable[Problem]) -> Iterator[Problem]:
    """The first of problems of one kind, the last of which says that there are more."""
    for number, problem in enumerate(islice(found, MOST), start=1):
        if number < MOST:
            yield problem
        else:
            more = "; what more there is like it is told once these are mended"
            yield replace(problem, message=problem.message + more)


class Note(Problem):
    """Something that is told and need not be mended: the meet is published all the same.

    It travels among the problems until they are parted.
    """


def parted(found: Iterable[Problem]) -> tuple[list[Problem], tuple[Note, ...]]:
    """What is to mend and what is only told, each once and in order."""
    once = set(found)
    notes = sorted(one for one in once if isinstance(one, Note))
    return sorted(once.difference(notes)), tuple(notes)


def first_of(these: Sequence[object], number: int) -> str:
    """The first of some things in a row, and how many more there are.

    >>> first_of("abc", 3), first_of(range(1, 9), 2)
    ('a, b, c', '1, 2 and 6 more')
    """
    more = f" and {len(these) - number} more" if len(these) > number else ""
    return ", ".join(map(str, these[:number])) + more


def counted(number: int, what: str) -> str:
    """How many there are of something.

    >>> counted(1, "row"), counted(12, "more file")
    ('1 row', '12 more files')
    """
    return f"{number} {what}" + ("" if number == 1 else "s")


def did_you_mean(word: str, known: Collection[str], cutoff: float = 0.6) -> str:
    """The question whether a known word was meant that is nearly this one; empty if none is.

    >>> did_you_mean("publsh", ["publish"]), did_you_mean("x", ["publish"])
    ('did you mean publish?', '')
    """
    near = difflib.get_close_matches(word, known, n=1, cutoff=cutoff)
    return f"did you mean {near[0]}?" if near else ""


class NotPublishedError(Exception):
    """Nothing was published though the meet may be right; the message says why."""


class MeetProblems(Exception):
    """The meet folder has problems; nothing was published."""

    def __init__(self, problems: list[Problem]) -> None:
        super().__init__(f"{len(problems)} to mend")
        self.problems = sorted(dict.fromkeys(problems))  # They mostly are in order.
