"""Routines out of a table of marks in the long form: a row for each."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from resultsgen.meet.marks import STATUSES
from resultsgen.meet.problems import Problem
from resultsgen.reading.cells import marks, marks_or_statuses, statuses, whole_numbers
from resultsgen.reading.tables import Table
from resultsgen.reading.texts import Positions, Strings, Texts
from resultsgen.reading.words import Words

if TYPE_CHECKING:
    import pandas as pd


PARTS = ("d", "e", "penalty", "bonus")
"""The parts of a mark that a table may give."""


@dataclass(frozen=True)
class Routines:
    """One entry per routine in each column; `row` is its row of the table."""

    row: Positions
    apparatus: Strings
    mark: pd.arrays.IntegerArray
    d: pd.arrays.IntegerArray
    e: pd.arrays.IntegerArray
    penalty: pd.arrays.IntegerArray
    bonus: pd.arrays.IntegerArray
    vault: pd.arrays.IntegerArray
    rotation: pd.arrays.IntegerArray
    status: Strings
    column: Strings
    """The heading that the mark stands under."""

    def chosen(self, there: npt.NDArray[np.bool_]) -> Routines:
        """Only the routines that are there."""
        if there.all():
            return self
        return Routines(**{one.name: getattr(self, one.name)[there] for one in fields(self)})


def long_form(table: Table, words: Words) -> tuple[Routines, list[Problem]]:
    """The routines of a table with a row each; a row without mark and status is not yet one."""
    apparatus, vault, problems = apparatus_and_vault(table, words)
    mark, in_mark, told = marks_or_statuses(table, "mark")
    problems += told
    own, told = statuses(table, "status", STATUSES)
    problems += told
    status, told = _status(table, in_mark, own)
    problems += told
    parts: dict[str, Any] = {}
    for name in PARTS:
        parts[name], told = marks(table, name)
        problems += told
    rotation, told = whole_numbers(table, "rotation")
    problems += told
    parts["penalty"] = abs(parts["penalty"])
    row = np.arange(len(table), dtype=np.int64)
    column = everywhere(table.headings["mark"], len(table))
    routines = Routines(
        row, apparatus, mark, vault=vault, rotation=rotation, status=status, column=column, **parts
    )
    there = table.column("mark").given() | own.given()
    problems += _marks_missing(table, there) + _apparatus_missing(table, there)
    return routines.chosen(there), problems


def apparatus_and_vault(
    table: Table, words: Words
) -> tuple[Strings, pd.arrays.IntegerArray, list[Problem]]:
    """The code of each row's apparatus, and which vault: by its own column, or as in `VT2`."""
    texts = table.column("apparatus")
    read = {text: words.apparatus_and_vault(text) for text in texts.different}
    problems = table.problems(
        "apparatus",
        lambda text: bool(text) and read[text] is None,
        "unknown-apparatus",
        f"{{text}} is no apparatus here; write one of {', '.join(words.codes())}, "
        "or say what it means under [columns.apparatus] in meet.toml",
    )
    vault, told = whole_numbers(table, "vault")
    by_apparatus = [found[1] if (found := read[text]) else 1 for text in texts.different]
    vault = vault.fillna(1)
    second = np.array(by_apparatus, dtype=np.int64).take(texts.which) == 2
    if second.any():
        vault[second] = 2
    problems += _contradictions(table, second)
    codes = texts.read(lambda text: found[0] if (found := read[text]) else "")
    return codes.text(), vault, problems + told


def _contradictions(table: Table, second: npt.NDArray[np.bool_]) -> list[Problem]:
    """A second vault by its apparatus, and a first one by its number."""
    first = table.column("vault").rows("1".__eq__)
    message = "the apparatus says the second vault, the number the first; keep one of them"
    return [
        table.problem(row, "vault", "no-vault-number", message, "1")
        for row in np.flatnonzero(first & second).tolist()
    ]


def _status(table: Table, in_mark: Texts, own: Texts) -> tuple[Strings, list[Problem]]:
    """The status of each row, which may stand in the mark's cell or in the column for it."""
    import pandas as pd

    if own.is_blank():
        return in_mark.text(), []
    first, second = pd.Series(in_mark.text()), pd.Series(own.text())
    differ = first.ne("") & second.ne("") & first.ne(second)
    problems = [
        table.problem(
            row,
            "status",
            "two-statuses",
            f"the mark's cell says {first[row]} and the status says {second[row]}; keep one",
            second[row],
        )
        for row in np.flatnonzero(differ).tolist()
    ]
    return first.where(first.ne(""), second).array, problems


def _marks_missing(table: Table, there: npt.NDArray[np.bool_]) -> list[Problem]:
    """A part of a mark without the mark: it was forgotten, and is not yet to come."""
    given = np.any([table.column(name).given() for name in PARTS], axis=0)
    message = "the final mark is empty although a part of it is given (D, E, penalty); fill it in"
    return [
        table.problem(row, "mark", "no-final-mark", message)
        for row in np.flatnonzero(given & ~there).tolist()
    ]


def _apparatus_missing(table: Table, there: npt.NDArray[np.bool_]) -> list[Problem]:
    """A mark without its apparatus; a status may go without, for the whole competition."""
    nowhere = ~table.column("apparatus").given()
    if not nowhere.any():
        return []
    marks_there = there & table.column("mark").rows(
        lambda text: text.upper() not in ("", *STATUSES)
    )
    message = "the apparatus of this mark is empty; write its code"
    return [
        table.problem(row, "apparatus", "empty-cell", message)
        for row in np.flatnonzero(marks_there & nowhere).tolist()
    ]


def everywhere(text: str, size: int) -> Strings:
    """A column that holds the same text in each row."""
    import pandas as pd

    return pd.array([text], dtype="str").take(np.zeros(size, dtype=np.int64))
