"""Tables of the meet folder: columns of text by our names, read as marks, numbers, yes or no.

What is wrong in a table is told in it as it is read.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from itertools import compress
from pathlib import Path
from typing import TypeVar

from resultsgen.files.workbooks import ROWS
from resultsgen.meet.columns import MeetColumn
from resultsgen.meet.marks import STATUSES, parse_mark, parse_part
from resultsgen.meet.problems import Problem, counted, most
from resultsgen.reading.dates import mark_meant
from resultsgen.reading.grids import BROKEN, Grid, letters, read_grid
from resultsgen.reading.headings import Headings, Mapped
from resultsgen.reading.texts import tidied
from resultsgen.reading.words import NO, YES, columns_meant, is_guest, plain, status_words

Value = TypeVar("Value")

PLACE = "{text}"
"""Where the text of a cell is put into what is to mend, whatever else is said there."""

MEANT = "{meant}"
"""Likewise, where what was typed is put if a spreadsheet has made something else of it."""

NOT_A_MARK = (
    "{text} is no mark; write at most three digits and three decimals, 13.700 or 13,700 "
    "(empty: not yet; DNS, DNF, DSQ or WDR instead of a mark)"
)
NOT_A_PART = (
    "{text} is no mark; write at most three digits and three decimals, 4.900 or 4,900, or leave "
    "the cell empty (DNS, DNF, DSQ or WDR stand under {heading})"
)
DATE_FOR_A_MARK = (
    "{text} is no mark: {meant}? Format the column as text or as number, and type it again"
)
OR_A_STATUS = '; or if it says {status}, write  "{text}" = "{status}"  under [columns.status]'
NOT_A_NUMBER = "{text} is no whole number; write one, or leave the cell empty"
NOT_A_YEAR = "{text} is no year; write it with four digits, or leave the cell empty"

DATE = re.compile(
    r"(\d{4})[-./]\d{1,2}[-./]\d{1,2}(?:[ T][\d:.]+)?|\d{1,2}[-./ ]+\d{1,2}[-./ ]+(\d{4})"
)

ROWS_OF = {"roster": 20_000, "corrections": 5_000, "incidents": 5_000, "bests": 30_000}
"""Rows of the tables that have fewer than the marks may have."""


def _said_of(text: str, mend: str | Callable[[str], str]) -> str:
    if callable(mend):
        return mend(text)
    said = mend.replace(PLACE, text)
    return said.replace(MEANT, mark_meant(text)) if MEANT in mend else said


@dataclass
class ReadTable:
    """A table of a file: the columns that we know, the others as they are, and what is wrong."""

    file: str
    columns: dict[str, list[str]] = field(default_factory=dict)
    """By our name; none where the file cannot be read."""
    others: list[tuple[str, list[str]]] = field(default_factory=list)
    """Heading and cells of every other column."""
    headings: dict[str, str] = field(default_factory=dict)
    """What the file calls a column, by our name."""
    lines: list[int] = field(default_factory=list)
    heading_line: int = 1
    other_sheets: tuple[str, ...] = ()
    """Of a workbook: the sheets that are not read here, and in which something stands."""
    broken: list[Problem] = field(default_factory=list)
    """Cells of the other columns that have an error; a problem unless they are left alone."""
    problems: list[Problem] = field(default_factory=list)
    book: str = ""
    """The file that the source names, and of a workbook the sheet."""
    sheet: str = ""
    order: tuple[str, ...] = ()
    """Our name of each column as they stand; empty for one of the others."""
    separator: str = ""
    """Of a CSV file."""

    def __len__(self) -> int:
        return len(self.lines)

    @property
    def was_read(self) -> bool:
        """Whether the file could be read; else the problems say why not."""
        return bool(self.columns or self.others)

    def column(self, name: str) -> list[str]:
        """A column, empty throughout where the file has none."""
        return self.columns.get(name) or [""] * len(self)

    def said_headings(self) -> list[str]:
        """The headings of all columns."""
        return list(
            dict.fromkeys([*self.headings.values(), *(heading for heading, _ in self.others)])
        )

    def text(self, name: str, row: int) -> str:
        return self.columns[name][row] if name in self.columns else ""

    def problem(self, row: int, name: str, code: str, message: str, value: str = "") -> Problem:
        """A problem in the cell of one row, under the heading that the file has."""
        heading = self.headings.get(name, name)
        return Problem(self.file, self.lines[row], heading, code, message, value)

    def tell(
        self, name: str, code: str, mend: str | Callable[[str], str], wrong: Callable[[str], bool]
    ) -> None:
        """Tell of each row whose text in one column is wrong; *mend* holds {text}, or says it."""
        column = self.column(name)
        if told := {text for text in {*column} if wrong(text)}:
            self.problems += most(
                self.problem(row, name, code, _said_of(text, mend), text)
                for row, text in enumerate(column)
                if text in told
            )

    def tell_rows(
        self, rows: Iterable[int], name: str, code: str, message: str, value: str = ""
    ) -> None:
        self.problems += [self.problem(row, name, code, message, value) for row in rows]

    def tell_heading(self, heading: str, code: str, message: str, value: str = "") -> None:
        """Tell of a column as a whole, or of them all where no heading is named."""
        where = self.file, self.heading_line, heading
        self.problems.append(Problem(*where, code, message, value))

    def tell_empty(self, mends: dict[str, str]) -> None:
        """Tell of each empty cell in the columns that *mends* names."""
        for name, mend in mends.items():
            if name in self.columns:
                self.tell(name, "empty-cell", mend, lambda text: not text)

    def read(self, name: str, reading: Callable[[str], Value]) -> list[Value]:
        """What *reading* makes of each text of a column; it sees each different text once."""
        column = self.column(name)
        known = {text: reading(text) for text in {*column}}
        return [known[text] for text in column]

    def put_statuses(self, words: Mapping[str, str], *names: str) -> None:
        """Put the status in the place of a meet's own word for it, in these columns."""
        for name in names if words else ():
            if name in self.columns:
                texts = self.columns[name]
                self.columns[name] = [words.get(text.casefold(), text) for text in texts]

    def say_once(self, mark: str, parts: Iterable[str]) -> None:
        """A status in parts of a mark stands in the mark alone, if it is the same or has it empty.

        What else is given beside it stays, and is told.
        """
        held = [name for name in parts if name in self.columns]
        statuses = {text for name in held for text in {*self.columns[name]} if is_status(text)}
        if not statuses or mark not in self.columns:
            return
        columns = [[*self.columns[name]] for name in (mark, *held)]
        for row, cells in enumerate(zip(*columns, strict=True)):
            said = {text.upper() for text in cells if text}
            if len(said) == 1 and statuses.intersection(cells):
                columns[0][row] = said.pop()
            for column in columns[1:] if is_status(columns[0][row]) else ():
                if column[row].upper() == columns[0][row].upper():
                    column[row] = ""
        self.columns |= dict(zip((mark, *held), columns, strict=True))

    def marks(
        self, name: str, mend: str = NOT_A_MARK, instead: tuple[str, ...] = (), or_a_word: str = ""
    ) -> list[int | None]:
        """A column of marks, D scores or the like in thousandths; words may stand *instead*.

        *or_a_word* says how another word may be made to stand there.
        """
        return self._numbers(name, parse_mark, ("not-a-mark", mend), instead, or_a_word)

    def parts(self, names: Iterable[str], mark: str) -> list[list[int | None]]:
        """The columns of the parts of a mark; a status stands in that of the *mark*."""
        mend = NOT_A_PART.replace("{heading}", self.headings.get(mark, mark))
        wrong = "not-a-mark", mend
        return [self._numbers(name, parse_part, wrong, (), OR_A_STATUS) for name in names]

    def whole_numbers(self, name: str) -> list[int | None]:
        """A column of whole numbers of at most six digits."""
        return self._numbers(name, whole_number, ("not-a-number", NOT_A_NUMBER))

    def years(self, name: str) -> list[int | None]:
        """A column of years; of a whole date only the year is kept."""
        return self._numbers(name, year_in, ("not-a-number", NOT_A_YEAR))

    def _numbers(
        self,
        name: str,
        reading: Callable[[str], int | None],
        wrong: tuple[str, str],
        instead: tuple[str, ...] = (),
        or_a_word: str = "",
    ) -> list[int | None]:
        if name not in self.columns:
            return [None] * len(self)
        column = self.columns[name]
        known = {text: reading(text) for text in {*column}}
        absent = (text for text, number in known.items() if number is None and text)
        if unread := {text for text in absent if text.upper() not in instead}:
            self._tell_with_a_word(name, *wrong, unread, or_a_word)
        return [known[text] for text in column]

    def _tell_with_a_word(
        self, name: str, code: str, mend: str, unread: set[str], or_a_word: str
    ) -> None:
        """Tell of texts that are not read; of a word, how it may be made to mean a status."""
        offered = {
            text: status_words().get(text.casefold(), "DNS")
            for text in (unread if or_a_word else ())
            if not (re.search(r'[0-9"\\]', text) or is_status(text))
        }
        dates = {text for text in unread if code == "not-a-mark" and mark_meant(text)}
        others = unread - dates - offered.keys()
        self.tell(name, code, mend, others.__contains__)
        self.tell(name, code, DATE_FOR_A_MARK, dates.__contains__)
        for status in sorted(set(offered.values())):
            line = mend + or_a_word.replace("{status}", status)
            these = {text for text, meant in offered.items() if meant == status}
            self.tell(name, code, line, these.__contains__)

    def yes_or_no(self, name: str, *, otherwise: bool = False) -> list[bool]:
        """A column of yes and no; *otherwise* where nothing stands."""
        mend = "{text}: write yes or no, or leave the cell empty"
        known = YES | NO | {""}
        own = is_guest if name == "guest" else ().__contains__
        self.tell(
            name, "not-yes-or-no", mend, lambda text: text.casefold() not in known and not own(text)
        )
        yes = YES | {""} if otherwise else YES
        return self.read(name, lambda text: text.casefold() in yes or own(text))

    def statuses(self, name: str, known: tuple[str, ...]) -> list[str]:
        mend = f"{{text}} is no status here; write {', '.join(known)}, or leave the cell empty"
        unread = {text for text in {*self.column(name)} if text.upper() not in ("", *known)}
        self._tell_with_a_word(name, "unknown-status", mend, unread, OR_A_STATUS)
        return self.read(name, lambda text: status_in(text, known))


def whole_number(text: str) -> int | None:
    """A whole number of at most six digits; None where the text is none.

    >>> whole_number("12"), whole_number("1.5")
    (12, None)
    """
    return int(text) if re.fullmatch(r"[0-9]{1,6}", text) else None


def year_in(text: str) -> int | None:
    """A year, by itself or in a date that has it in four digits; None for anything else.

    >>> year_in("2015"), year_in("2015/3/2"), year_in("2.3.2015"), year_in("2.3.15")
    (2015, 2015, 2015, None)
    """
    years = DATE.fullmatch(text)
    return int(years[1] or years[2]) if years else whole_number(text)


def is_status(text: str) -> bool:
    """Whether a cell holds one of ours."""
    return text.upper() in STATUSES


def status_in(text: str, known: tuple[str, ...]) -> str:
    """The status that a cell holds, in capitals; empty where it holds something else."""
    return text.upper() if text.upper() in known else ""


def read_table(
    folder: Path, file: str, ours: tuple[MeetColumn, ...], mapped: Mapped, name: str
) -> ReadTable:
    """A table of the meet folder; without columns, and with what is wrong, where it is not read.

    *file* is its source, and *name* that of the sheet to take where a workbook has several.
    """
    grid = read_grid(folder, file, name, mapped.how)
    if isinstance(grid, list):
        return ReadTable(file, problems=grid)
    if len(grid.rows) > ROWS_OF.get(name, ROWS) + 1:
        return ReadTable(file, problems=[too_many_rows(file, name, len(grid.rows) - 1)])
    headings = [cell.strip() for cell in grid.rows[0]] if grid.rows else []
    if not any(headings):
        message = "is empty; the first line names columns"
        return ReadTable(file, problems=[Problem(file, 0, "", "no-heading", message)])
    names = _names(headings, ours, mapped)
    aside = {column.name for column in ours if column.beside} | {""}
    others = {heading for place, heading in enumerate(headings) if names.get(place, "") in aside}
    beside = [one for one in grid.problems if one.code == BROKEN and one.column in others]
    known = Headings(file, grid.lines[0], headings, names, ours, mapped)
    cells = [tidied(column) for column in zip(*grid.rows[1:], strict=True)]
    cells = cells or [[] for _ in headings]
    problems = [one for one in grid.problems if one not in beside]
    problems += [*known.problems(), *_without_heading(file, grid, headings, cells)]
    there = [any(row) for row in zip(*compress(cells, headings), strict=True)]
    if not all(there):  # Rows in which nothing stands are no rows.
        cells = [list(compress(column, there)) for column in cells]
    table = ReadTable(
        file,
        {name: cells[position] for position, name in names.items()},
        [
            (heading, cells[position])
            for position, heading in enumerate(headings)
            if heading and position not in names
        ],
        {name: headings[position] for position, name in names.items()},
        list(compress(grid.lines[1:], there)),
        grid.lines[0],
        grid.other_sheets,
        beside,
        problems,
        grid.file,
        grid.sheet,
        tuple(names.get(position, "") for position in range(len(headings))),
        grid.separator,
    )
    wanted = [column.name for column in ours]
    _fix(table, {name: text for name, text in mapped.how.fixed.items() if name in wanted})
    return table


def _names(headings: list[str], ours: tuple[MeetColumn, ...], mapped: Mapped) -> dict[int, str]:
    """Our names of the columns that are known, by where they stand; the settings' word goes first.

    A table made by hand may keep our own headings although an export's are mapped.
    """
    said = {
        place: column.name
        for column in ours
        for place, heading in enumerate(map(plain, headings))
        if heading == plain(mapped.headings.get(column.name, "")) != ""
    }
    free = [column.name for column in ours if column.name not in said.values()]
    return columns_meant(headings, free, said)


def _fix(table: ReadTable, fixed: dict[str, str]) -> None:
    """Fill the columns that the settings say hold one text in all rows."""
    for name, text in fixed.items():
        message = (
            f"{{text}} stands here, and {name} is {text} for all rows under "
            f'[tables."{table.file}"] in meet.toml; empty the column, or take it out of fixed'
        )
        other = {*table.column(name)} - {"", text}
        table.tell(name, "fixed-and-filled", message, other.__contains__)
        table.columns[name] = [text] * len(table)


def too_many_rows(file: str, name: str, rows: int) -> Problem:
    """That a table has more rows, alone or with those of the sources before, than are read."""
    message = f"has {rows} rows, and at most {ROWS_OF.get(name, ROWS)} are read; part the meet"
    return Problem(file, 0, "", "table-too-large", message)


def _without_heading(
    file: str, grid: Grid, headings: list[str], cells: list[list[str]]
) -> list[Problem]:
    """Cells in which something stands, and no heading above them; they have one cause."""
    given = {
        position: [row for row, text in enumerate(cells[position], start=1) if text]
        for position, heading in enumerate(headings)
        if not heading and any(cells[position])
    }
    if not given:
        return []
    first = min(given, key=lambda position: (given[position][0], position))
    row, columns = given[first][0], ", ".join(map(letters, given))
    what = f"columns {columns} have" if len(given) > 1 else f"column {columns} has"
    line = grid.lines[row]
    mend = (
        "write a heading, empty them, or put decimal commas in quotes"
        if len(given) < sum(map(bool, headings))
        else "the first line names the columns: write headings there, delete what stands above "
        f'them, or, if they are on line {line}, write under  [tables."{file}"]  heading = {line}'
    )
    many = counted(sum(map(len, given.values())), "cell")
    message = f"{what} no heading, and in {many} there something stands; {mend}"
    value = grid.rows[row][first]
    return [Problem(file, line, letters(first), "cell-without-heading", message, value)]
