"""Tables: CSV, XLSX and ODS as text, cell by cell, each row with its line in the file."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from resultsgen.meet.columns import Column
from resultsgen.meet.problems import Problem, most
from resultsgen.reading.csv_files import csv_rows
from resultsgen.reading.grids import Grid, letters
from resultsgen.reading.spreadsheets import BROKEN, SHEETS, sheet_rows
from resultsgen.reading.texts import Positions, Texts, texts_of
from resultsgen.reading.words import nearest, plain
from resultsgen.reading.workbooks.limits import ROWS

if TYPE_CHECKING:
    import pandas as pd


PLACE = "{text}"
"""Where the text of a cell is put into what is to mend, whatever else is said there."""


@dataclass(frozen=True)
class Table:
    """A table of a file: the columns that we know, and the others as they are."""

    file: str
    columns: dict[str, Texts]
    """By our name."""
    others: tuple[tuple[str, pd.Series[str]], ...]
    """Heading and cells of every other column."""
    headings: dict[str, str]
    """What the file calls a column, by our name."""
    lines: Positions
    heading_line: int = 1
    other_sheets: tuple[str, ...] = ()
    """Of a workbook: the sheets that are not read here, and in which something stands."""
    broken: tuple[Problem, ...] = ()
    """Cells of the other columns that have an error; a problem unless they are left alone."""

    def __len__(self) -> int:
        return len(self.lines)

    def column(self, name: str) -> Texts:
        """A column, empty throughout where the file has none."""
        return self.columns.get(name) or Texts(np.zeros(len(self), dtype=np.intp), [""])

    @property
    def other_headings(self) -> list[str]:
        """The headings that we do not know and under which something stands."""
        broken = {one.column for one in self.broken}
        return [
            heading
            for heading, cells in self.others
            if heading in broken or not texts_of(cells).is_blank()
        ]

    def text(self, name: str, row: int) -> str:
        """What stands in one cell."""
        texts = self.column(name)
        return str(texts.different[texts.which[row]])

    def problem(self, row: int, name: str, code: str, message: str, value: str = "") -> Problem:
        """A problem in the cell of one row, under the heading that the file has."""
        heading = self.headings.get(name, name)
        return Problem(self.file, int(self.lines[row]), heading, code, message, value)

    def problems(
        self, name: str, wrong: Callable[[str], bool], code: str, mend: str
    ) -> list[Problem]:
        """A problem for each row whose text in one column is wrong; *mend* may hold {text}."""
        texts = self.column(name)
        if not any(map(wrong, texts.different)):
            return []
        told = (
            self.problem(row, name, code, mend.replace(PLACE, text, 1), text)
            for row in np.flatnonzero(texts.rows(wrong)).tolist()
            for text in [texts.different[texts.which[row]]]
        )
        return list(most(told))


@dataclass(frozen=True)
class Mapped:
    """The headings that the settings give to some of our columns.

    Where they are for one file, all of them must be in it. Where there are several files, one
    that has none of them was made by hand with our own headings.
    """

    headings: dict[str, str]
    in_one_file: bool = True

    def heading(self, column: Column) -> str:
        """What a column is called in the file."""
        return self.headings.get(column.name, column.name)

    @property
    def foreign(self) -> set[str]:
        """The headings, in their plain form, that are not our own."""
        return {
            plain(heading)
            for name, heading in self.headings.items()
            if plain(heading) != plain(name)
        }


ROWS_OF = {"roster": 20_000, "corrections": 5_000, "incidents": 5_000, "bests": 10_000}
"""Rows of the tables that have fewer than the marks may have."""


def read_table(
    folder: Path, file: str, ours: tuple[Column, ...], mapped: Mapped, sheet: str
) -> tuple[Table | None, list[Problem]]:
    """A table of the meet folder, or None and why it cannot be read.

    *sheet* is the name of the sheet to take where a workbook has several.
    """
    spreadsheet = Path(file).suffix.lower() in SHEETS
    read = sheet_rows(folder, file, sheet) if spreadsheet else csv_rows(folder, file)
    if isinstance(read, list):
        return None, read
    cells, lines = read.cells, read.lines
    if len(cells) > ROWS_OF.get(sheet, ROWS) + 1:
        message = f"has {len(cells) - 1} rows, and at most {ROWS_OF[sheet]} are read; part the meet"
        return None, [Problem(file, 0, "", "table-too-large", message)]
    headings = _headings(cells)
    if not any(headings):
        return None, [Problem(file, 0, "", "no-heading", "is empty; the first line names columns")]
    names = _names(headings, ours, mapped)
    others = {heading for place, heading in enumerate(headings) if heading and place not in names}
    beside = [one for one in read.problems if one.code == BROKEN and one.column in others]
    problems = [one for one in read.problems if one not in beside]
    problems += _twice(file, int(lines[0]), headings, names)
    problems += _absent(file, int(lines[0]), headings, names, ours, mapped)
    told = {one.column for one in problems}
    lacking = [
        word
        for column in ours
        if column.name not in names.values() and mapped.heading(column) not in told
        for word in (mapped.heading(column), column.name)
    ]
    problems += _nearly(file, int(lines[0]), headings, names, lacking)
    problems += _without_heading(file, read, headings)
    table = Table(
        file,
        {name: texts_of(cells.iloc[1:, position]) for position, name in names.items()},
        tuple(
            (heading, cells.iloc[1:, position])
            for position, heading in enumerate(headings)
            if heading and position not in names
        ),
        {name: headings[position] for position, name in names.items()},
        lines[1:],
        int(lines[0]),
        read.other_sheets,
        tuple(beside),
    )
    return _without_blank_rows(table), problems


def _headings(cells: pd.DataFrame) -> list[str]:
    return [str(cell).strip() for cell in cells.iloc[0]] if len(cells) else []


def _names(headings: list[str], ours: tuple[Column, ...], mapped: Mapped) -> dict[int, str]:
    """Our name of each column that we know, by position."""
    found = [plain(heading) for heading in headings]
    wanted = {plain(mapped.heading(column)): column.name for column in ours}
    # A table made by hand may keep our own headings although an export's are mapped.
    by_hand = {
        plain(column.name): column.name
        for column in ours
        if plain(mapped.heading(column)) not in found
    }
    wanted = by_hand | wanted
    return {
        position: wanted[heading] for position, heading in enumerate(found) if heading in wanted
    }


def _twice(file: str, line: int, headings: list[str], names: dict[int, str]) -> list[Problem]:
    """Two headings that mean the same."""
    first: dict[str, int] = {}
    told = []
    for position, name in names.items():
        if name in first:
            message = (
                f"columns {first[name] + 1} ({headings[first[name]]}) and {position + 1} "
                f"({headings[position]}) mean the same; rename or delete one of them"
            )
            told.append(Problem(file, line, headings[position], "heading-twice", message, name))
        first.setdefault(name, position)
    return told


def _short(column: Column) -> str:
    """What a column is, without remarks on it: of the bib the same in roster and marks."""
    return column.meaning.partition(";")[0]


def _absent(
    file: str,
    line: int,
    headings: list[str],
    names: dict[int, str],
    ours: tuple[Column, ...],
    mapped: Mapped,
) -> list[Problem]:
    """Columns that are needed, or that the settings say are there, and are not."""
    found = ", ".join(heading for heading in headings if heading)
    taken = {plain(headings[position]): name for position, name in names.items()}
    expected = mapped.in_one_file or any(plain(heading) in mapped.foreign for heading in headings)
    return [
        Problem(
            file,
            line,
            mapped.heading(column),
            "no-such-column",
            f"there is no column {mapped.heading(column)!r} ({column.name}: {_short(column)}); the "
            f"headings are {found}; rename one, or map it under [columns] in meet.toml"
            if plain(mapped.heading(column)) not in taken
            else f"the column {mapped.heading(column)!r} is {taken[plain(mapped.heading(column))]} "
            f"and cannot be {column.name} ({column.meaning}) too; add a column of its own",
        )
        for column in ours
        if column.name not in names.values()
        and (column.needed or (expected and column.name in mapped.headings))
    ]


def _nearly(
    file: str, line: int, headings: list[str], names: dict[int, str], lacking: list[str]
) -> list[Problem]:
    """Headings that are nearly one of those which the table does not have."""
    told = []
    for position, heading in enumerate(headings):
        near = "" if position in names else nearest(heading, lacking)
        if near:
            message = (
                f"there is no column {heading}; did you mean {near}? Correct the heading, map it "
                "under [columns] in meet.toml, or call it something else"
            )
            told.append(Problem(file, line, heading, "unknown-heading", message, heading))
    return told


def _without_heading(file: str, read: Grid, headings: list[str]) -> list[Problem]:
    """Cells in which something stands, and no heading above them; they have one cause."""
    given = {
        position: np.flatnonzero(texts_of(read.cells.iloc[1:, position]).given()) + 1
        for position, heading in enumerate(headings)
        if not heading
    }
    given = {position: rows for position, rows in given.items() if rows.size}
    if not given:
        return []
    first = min(given, key=lambda position: (given[position][0], position))
    row, columns = int(given[first][0]), ", ".join(map(letters, given))
    what = f"columns {columns} have" if len(given) > 1 else f"column {columns} has"
    mend = (
        "write a heading, empty them, or put decimal commas in quotes"
        if len(given) < sum(map(bool, headings))
        else "the first line names the columns: delete what stands above it, or write headings"
    )
    message = (
        f"{what} no heading, and in {sum(rows.size for rows in given.values())} cells there "
        f"something stands; {mend}"
    )
    value, line = str(read.cells.iat[row, first]), int(read.lines[row])
    return [Problem(file, line, letters(first), "cell-without-heading", message, value)]


def _without_blank_rows(table: Table) -> Table:
    """Rows in which nothing stands are no rows."""
    blank = np.ones(len(table), dtype=bool)
    columns = chain(table.columns.values(), (texts_of(cells) for _, cells in table.others))
    for texts in columns:
        if not blank.any():
            return table
        blank &= ~texts.given()
    kept = np.flatnonzero(~blank)
    return replace(
        table,
        columns={name: texts.chosen(kept) for name, texts in table.columns.items()},
        others=tuple((heading, cells.iloc[kept]) for heading, cells in table.others),
        lines=table.lines.take(kept),
    )
