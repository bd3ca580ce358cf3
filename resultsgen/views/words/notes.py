"""The notes below a table, lettered in the order in which the rows call for them."""

from __future__ import annotations

from collections.abc import Iterable
from string import ascii_lowercase

from resultsgen.views.lists.table import Note, Row


def letter(number: int) -> str:
    """The mark of a note, counted from 0: a, b ... z, aa, ab ...

    >>> letter(0), letter(25), letter(26)
    ('a', 'z', 'aa')
    """
    ahead, last = divmod(number, 26)
    return (letter(ahead - 1) if ahead else "") + ascii_lowercase[last]


def called(rows: Iterable[Row]) -> tuple[str, ...]:
    """The marks of the notes that rows call for, in their order; a cell may call for several."""
    marks = (mark for row in rows for cell in row.cells for mark in cell.note.split())
    return tuple(dict.fromkeys(marks))


class Notes:
    """The notes gathered while the rows of one table are made."""

    def __init__(self) -> None:
        self._marks: dict[str, str] = {}

    def mark_of(self, text: str) -> str:
        """The letter of a note; the same sentence has the same letter."""
        return self._marks.setdefault(text, letter(len(self._marks)))

    def all(self) -> tuple[Note, ...]:
        """Every note in the order of its letter."""
        return tuple(Note(mark, text) for text, mark in self._marks.items())
