"""CSV: comma, semicolon or tab, told from the heading line; each row keeps its line in the file."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from resultsgen.files.formulas import as_meant
from resultsgen.files.opening import LARGEST_TABLE
from resultsgen.meet.problems import Problem, most
from resultsgen.reading.files import read_utf8
from resultsgen.reading.grids import Grid, unfit_text
from resultsgen.reading.workbooks.limits import CELL, CONTROLS, beyond, unfit

if TYPE_CHECKING:
    import numpy.typing as npt
    import pandas as pd

NAMES = {",": "comma", ";": "semicolon", "\t": "tab"}
SEPARATORS = tuple(NAMES)

csv.field_size_limit(LARGEST_TABLE)  # A quotation mark that is never closed takes the whole file.


def csv_rows(folder: Path, file: str) -> Grid | list[Problem]:
    """The cells of a CSV file as text, the heading first, and the line of each row."""
    import pandas as pd

    held = read_utf8(folder, file)
    if isinstance(held, Problem):
        return [held]
    text, skipped = _from_the_heading(held)
    separator = separator_of(text.split(b"\n", 1)[0].decode())
    if not text:
        return [Problem(file, 0, "", "no-heading", "is empty; the first line names the columns")]
    if too_large := _too_large(file, text, separator):
        return [too_large]
    try:
        cells = pd.read_csv(
            io.BytesIO(text),
            sep=separator,
            header=None,
            dtype=object,
            na_filter=False,
            skip_blank_lines=False,
            low_memory=False,
        )
    except pd.errors.ParserError:
        return _rows_that_do_not_fit(file, text.decode(), separator, skipped)
    if b"'" in text:
        _take_off_apostrophes(cells)
    lines = np.arange(len(cells), dtype=np.int64) + 1 + skipped
    short = _short_rows(file, text, separator, skipped, cells.shape)
    if b'"' not in text:
        return Grid(cells, lines, problems=_unfit(file, text, cells, lines) + short)
    breaks, holds_rows = _inside_cells(cells, separator)
    lines += np.concatenate([[0], np.cumsum(breaks)[:-1]])
    if holds_rows.any():
        return [_swallowed_rows(file, line) for line in lines[holds_rows].tolist()]
    return Grid(cells, lines, problems=_unfit(file, text, cells, lines) + short)


def _take_off_apostrophes(cells: pd.DataFrame) -> None:
    """Leave the text that was meant where one was made harmless for spreadsheets."""
    import pandas as pd

    for name in cells.columns:
        which, different = pd.factorize(cells[name].to_numpy())
        if any("'" in one for one in different):
            cells[name] = np.array([as_meant(one) for one in different], dtype=object).take(which)


def _too_large(file: str, text: bytes, separator: str) -> Problem | None:
    """That a table has more columns, rows or cells than are read."""
    lines, sign = text.splitlines(), separator.encode()
    unquoted = (re.sub(rb'"[^"]*"', b"", line) if b'"' in line else line for line in lines)
    found = beyond(len(lines), 1 + max(line.count(sign) for line in unquoted))
    message = f"is not read: {found}; delete what is no part of the table, or part it"
    return Problem(file, 0, "", "table-too-large", message) if found else None


def _unfit(
    file: str, text: bytes, cells: pd.DataFrame, lines: npt.NDArray[np.int64]
) -> tuple[Problem, ...]:
    """A problem for each cell that is no text to be printed; only its beginning is kept."""
    import pandas as pd

    damaged = CONTROLS.search(text.decode())
    if (
        not damaged
        and text.isascii()
        and b'"' not in text
        and max(map(len, text.splitlines())) <= CELL
    ):
        return ()  # Nearly always, and quickly seen.
    problems = []
    for position in range(cells.shape[1]):
        which, different = pd.factorize(cells.iloc[:, position].to_numpy())
        why = [unfit(one) for one in different]
        if not any(why):
            continue
        heading = str(cells.iat[0, position])[:40]
        for row in np.flatnonzero(np.array(why, dtype=object).take(which).astype(bool)).tolist():
            number = which[row]
            wrong = unfit_text(file, int(lines[row]), heading, why[number], different[number])
            problems.append(wrong)
        kept = np.array([one[:CELL] for one in different], dtype=object)
        cells[cells.columns[position]] = kept.take(which)
    return tuple(problems)


def separator_of(heading: str) -> str:
    """The separator that stands most often in the heading line outside quotation marks.

    >>> separator_of('bib;"family, given, or the whole name, as printed";club')
    ';'
    """
    unquoted = re.sub(r'"[^"]*"', "", heading)
    return max(SEPARATORS, key=unquoted.count)


def _from_the_heading(held: bytes) -> tuple[bytes, int]:
    """The text without blank lines at its head, and how many those were."""
    text = held.lstrip(b"\r\n")
    before = held[: len(held) - len(text)]
    return text, len(re.findall(rb"\r\n?|\n", before))


def _inside_cells(
    cells: pd.DataFrame, separator: str
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.bool_]]:
    """For each row, how many line breaks its cells hold, and whether one holds a whole row."""
    import pandas as pd

    breaks = np.zeros(len(cells), dtype=np.int64)
    holds_rows = np.zeros(len(cells), dtype=bool)
    separators = max(1, cells.shape[1] - 1)
    for column in cells:
        which, different = pd.factorize(cells[column].to_numpy())
        inside = np.array(
            [len(re.findall(r"\r\n?|\n", text)) for text in different], dtype=np.int64
        )
        many = np.array([text.count(separator) >= separators for text in different], dtype=bool)
        breaks += inside.take(which)
        holds_rows |= (many & (inside > 0)).take(which)
    return breaks, holds_rows


def _swallowed_rows(file: str, line: int) -> Problem:
    message = (
        "a quotation mark is opened here and whole rows stand inside of it; close or delete it"
    )
    return Problem(file, line, "", "open-quotation", message)


def _short_rows(
    file: str, text: bytes, separator: str, skipped: int, shape: tuple[int, int]
) -> tuple[Problem, ...]:
    """A problem for each row with fewer cells than the heading; mostly it is seen that none has."""
    rows, width = shape
    if b'"' not in text and text.count(separator.encode()) == rows * (width - 1):
        return ()
    return tuple(most(_misfits(file, text.decode(), separator, skipped)))


def _rows_that_do_not_fit(file: str, text: str, separator: str, skipped: int) -> list[Problem]:
    """A problem for each row with other cells than the heading, or for a quote never closed."""
    told = list(_misfits(file, text, separator, skipped))
    if any(one.code == "too-many-cells" for one in told):
        return list(most(told))
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    last = [0, *(rows.line_num for _ in rows)][-2]
    message = "a quotation mark is opened here and never closed; close or delete it"
    return [Problem(file, skipped + last + 1, "", "open-quotation", message)]


def _misfits(file: str, text: str, separator: str, skipped: int) -> Iterator[Problem]:
    """Rows in which something stands, with more cells than the heading or too few."""
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    heading = next(rows)
    named = max(number for number, cell in enumerate(heading, 1) if cell.strip() or number == 1)
    line = skipped + rows.line_num + 1
    for row in rows:
        shown = separator.join(row)[:80]
        if len(row) > len(heading):
            message = (
                f"has {len(row)} cells, the heading has {len(heading)}; put a cell that holds the "
                'separator (a decimal comma, for example) in quotation marks: "13,700"'
            )
            yield Problem(file, line, "", "too-many-cells", message, shown)
        elif len(row) < named and any(map(str.strip, row)):
            message = (
                f"has {len(row)} cells, the heading has {named}; put in what is missing: an empty "
                f"cell needs its separator ({NAMES[separator]}) too"
            )
            yield Problem(file, line, "", "too-few-cells", message, shown)
        line = skipped + rows.line_num + 1
