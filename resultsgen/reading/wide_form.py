"""Routines out of a table of marks in the wide form: a row per gymnast, a column per apparatus."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from resultsgen.meet.marks import STATUSES
from resultsgen.meet.problems import Problem
from resultsgen.reading.cells import marks_or_statuses, statuses, whole_numbers
from resultsgen.reading.routines import Routines, everywhere
from resultsgen.reading.tables import Table
from resultsgen.reading.texts import Strings, texts_of
from resultsgen.reading.words import Words

if TYPE_CHECKING:
    import pandas as pd


def wide_form(table: Table, words: Words) -> tuple[Routines | None, list[Problem]]:
    """The routines of a table with a column per apparatus; None where it has no such column."""
    table, apparatus = _apparatus_columns(table, words)
    if not apparatus:
        return None, []
    rotation, problems = whole_numbers(table, "rotation")
    problems += _apparatus_twice(table, apparatus)
    found = []
    for heading, (code, vault) in apparatus.items():
        mark, status, told = marks_or_statuses(table, heading)
        problems += told
        there = table.column(heading).given()
        found.append(_one_column(heading, code, vault, mark, status.text(), rotation).chosen(there))
    status, told = statuses(table, "status", STATUSES)
    heading = table.headings.get("status", "status")
    for_all = _one_column(heading, "", 1, None, status.text(), rotation)
    found.append(for_all.chosen(status.given()))
    return _in_order_of_rows(found), problems + told


def _apparatus_columns(table: Table, words: Words) -> tuple[Table, dict[str, tuple[str, int]]]:
    """The table with its apparatus columns, and the apparatus and vault that each stands for.

    "Vault" is an apparatus here, although the long form has a column of that name.
    """
    columns = dict(table.columns)
    meanings: dict[str, tuple[str, int]] = {}
    candidates = [(heading, texts_of(cells)) for heading, cells in table.others]
    if "vault" in table.columns:
        candidates.append((table.headings["vault"], table.columns["vault"]))
    for heading, texts in candidates:
        meaning = words.apparatus_and_vault(heading)
        if meaning:
            key = f"{heading} (again)" if heading in meanings else heading
            columns[key], meanings[key] = texts, meaning
    return replace(table, columns=columns), meanings


def lookalikes(table: Table, words: Words, lacking: dict[str, tuple[str, int]]) -> list[Problem]:
    """Headings that look like an apparatus for which the table has no column."""
    told = []
    for heading, _ in table.others:
        code = next(
            (code for code, meant in lacking.items() if words.looks_like(heading, meant)), ""
        )
        if code:
            message = (
                f"{heading} looks like {code}, for which there is no column; write {code} as the "
                "heading, map it under [columns.apparatus] in meet.toml, or call the column "
                "something else"
            )
            where = table.file, table.heading_line, heading
            told.append(Problem(*where, "unknown-heading", message, heading))
    return told


def _apparatus_twice(table: Table, apparatus: dict[str, tuple[str, int]]) -> list[Problem]:
    """Two columns of marks for the same apparatus."""
    first: dict[tuple[str, int], str] = {}
    told = []
    for heading, meaning in apparatus.items():
        if meaning in first:
            message = f"{first[meaning]} and {heading} mean the same; rename or delete one"
            told.append(Problem(table.file, table.heading_line, heading, "heading-twice", message))
        first.setdefault(meaning, heading)
    return told


def _one_column(
    heading: str,
    code: str,
    vault: int,
    mark: pd.arrays.IntegerArray | None,
    status: Strings,
    rotation: pd.arrays.IntegerArray,
) -> Routines:
    """A routine for each row of the table, out of the column of one apparatus."""
    import pandas as pd

    size = len(status)
    nothing = pd.arrays.IntegerArray(np.zeros(size, dtype=np.int64), np.ones(size, dtype=bool))
    vaults = pd.arrays.IntegerArray(np.full(size, vault, np.int64), np.zeros(size, dtype=bool))
    return Routines(
        row=np.arange(size, dtype=np.int64),
        apparatus=everywhere(code, size),
        mark=nothing if mark is None else mark,
        d=nothing, e=nothing, penalty=nothing, bonus=nothing,
        vault=vaults,
        rotation=rotation,
        status=status,
        column=everywhere(heading, size),
    )  # fmt: skip


def _in_order_of_rows(found: list[Routines]) -> Routines:
    """The routines of all columns, row by row of the table."""
    import pandas as pd

    columns = pd.concat([pd.DataFrame(vars(one)) for one in found], ignore_index=True)
    columns = columns.sort_values("row", kind="stable")
    held = {name: columns[name].array for name in columns}
    return Routines(**held | {"row": columns["row"].to_numpy()})
