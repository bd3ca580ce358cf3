"""A table as it stands on a sheet: rows of text from the heading on, each with its line."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from resultsgen.files.beside import filled
from resultsgen.files.opening import is_there
from resultsgen.meet.problems import Note, Problem, counted, first_of, most
from resultsgen.meet.sources import TableForm
from resultsgen.reading.sheets import Sheet, Workbook, read_sheets, too_large
from resultsgen.reading.texts import tidy

NAMES = {",": "comma", ";": "semicolon", "\t": "tab"}

BROKEN = "broken-cell"


@dataclass(frozen=True)
class Grid:
    """The rows of a table, the heading first, all of one width, and the line of each."""

    rows: list[list[str]]
    lines: list[int]
    file: str = ""
    sheet: str = ""
    other_sheets: tuple[str, ...] = ()
    """Of a workbook: the sheets that are not read here, and in which something stands."""
    problems: tuple[Problem, ...] = ()
    separator: str = ""
    """Of a CSV file."""


def read_grid(folder: Path, source: str, name: str, how: TableForm) -> Grid | list[Problem]:
    """The cells of a source, or why it cannot be read.

    *name* is that of the table, whose sheet is taken where the source names none of several.
    """
    file, wanted = parted_source(folder, source)
    book = read_sheets(folder, file, how.encoding, heading=how.heading[-1] if how.heading else 1)
    if isinstance(book, list):
        return book
    sheet = _chosen(book, source, wanted, name)
    if isinstance(sheet, Problem):
        return [sheet]
    if sheet.refused:
        return [too_large(source, sheet.refused)]
    part = _part(source, sheet, how)
    if isinstance(part, Problem):
        return [part]
    if wrong := _rows_that_do_not_fit(source, part):
        return wrong
    others = tuple(one.name for one in book.sheets if one is not sheet and not one.is_empty)
    told = (*_of_cells(source, part), *_too_short(source, part), *_beside(source, part, how))
    rows = filled(sheet.rows, sheet.merged, part.first)[part.first : part.end]
    rows[:1] = [part.heading]
    rows = [row[: part.width] for row in rows]
    return Grid(rows, list(sheet.lines[part.first : part.end]), file, sheet.name, others, told,
                sheet.separator)  # fmt: skip


def parted_source(folder: Path, source: str) -> tuple[str, str]:
    """The file and the sheet that a source names; a file and a sheet may have a # in its name."""
    if is_there(folder, source) or "#" not in source[1:]:
        return source, ""
    places = [place for place, sign in enumerate(source) if sign == "#" and place]
    place = next((one for one in places if is_there(folder, source[:one])), places[-1])
    return source[:place], source[place + 1 :]


def _chosen(book: Workbook, source: str, wanted: str, name: str) -> Sheet | Problem:
    """The sheet that is asked for; else the one called as the table, or the only one."""
    if wanted:
        same = [one for one in book.sheets if one.name == wanted]
        alike = [one for one in book.sheets if called(one.name) == called(wanted)]
        there = ", ".join(_shown_name(one) for one in book.sheets if one.name)
        message = f"has no sheet {wanted}; there are {there}" if there else "has no sheets"
        none = Problem(book.file, 0, "", "no-such-sheet", f"{message}; mend {source!r}", wanted)
        return next(iter((*same, *alike)), none)
    some = [sheet for sheet in book.sheets if not sheet.is_empty]
    named = [sheet for sheet in some if called(sheet.name) == name]
    if not named and len(some) > 1:
        message = (
            f"has several sheets ({', '.join(map(_shown_name, some))}); say which to read, "
            f'{name} = "{book.file}#{some[0].name}", or name it {name!r}, or keep only that one'
        )
        return Problem(book.file, 0, "", "several-sheets", message)
    return next(iter((*named, *some, *book.sheets)), Sheet("", [], ()))


def called(sheet: str) -> str:
    """The name of a sheet as it is compared."""
    return sheet.strip().casefold()


def _shown_name(sheet: Sheet) -> str:
    return f"{sheet.name} (hidden)" if sheet.hidden else sheet.name


@dataclass(frozen=True)
class _Part:
    """The part of a sheet that is a table; rows are counted from 0."""

    sheet: Sheet
    top: int
    """The first row of the heading, and the last."""
    first: int
    end: int
    """The row after the last."""
    heading: list[str]
    width: int


def _part(source: str, sheet: Sheet, how: TableForm) -> _Part | Problem:
    lines = {line: number for number, line in enumerate(sheet.lines)}
    absent = [line for line in how.heading if line not in lines]
    if absent:
        message = (
            f"there is no row {absent[0]} for the heading, the last is {max(lines, default=0)}; "
            f'mend heading under  [tables."{source}"]  in meet.toml'
        )
        return Problem(source, 0, "", "no-heading", message, str(absent[0]))
    first = next((number for number, row in enumerate(sheet.rows) if any(row)), 0)
    rows = [lines[line] for line in how.heading] or [first]
    first, end, until = rows[-1], len(sheet.rows), how.until.casefold()
    for number in range(first + 1, end) if until else ():
        beginning = next((tidy(cell) for cell in sheet.rows[number] if cell.strip()), "")
        if beginning.casefold().startswith(until):
            end = number
            break
    width = max((sheet.widths[row] for row in rows if sheet.widths), default=sheet.width)
    return _Part(sheet, rows[0], first, end, joined_heading(sheet, *rows), width)


def joined_heading(sheet: Sheet, upper: int, lower: int | None = None) -> list[str]:
    """A heading of one row, or of two."""
    if not sheet.rows:
        return []
    if lower is None:
        return sheet.rows[upper]
    both = zip(spread(sheet, upper, lower), sheet.rows[lower], strict=True)
    return [" ".join(f"{over} {under}".split()) for over, under in both]


def spread(sheet: Sheet, upper: int, lower: int) -> list[str]:
    """The texts of the upper row of a heading, each over all below it, merged or not."""
    merged = {one.column: one.columns for one in sheet.merged if one.row == upper}
    held, above, reaches = [], "", 0
    for column, (over, under) in enumerate(zip(sheet.rows[upper], sheet.rows[lower], strict=True)):
        if over.strip():
            above, reaches = over, column + merged.get(column, sheet.width)
        within = column < reaches and (under.strip() or column in merged or over.strip())
        held.append(above if within else "")
    return held


def letters(column: int) -> str:
    """What a spreadsheet calls a column, counted from 0.

    >>> letters(0), letters(27)
    ('A', 'AB')
    """
    named, column = "", column + 1
    while column > 0:
        column, letter = divmod(column - 1, 26)
        named = chr(ord("A") + letter) + named
    return named


def _rows_that_do_not_fit(source: str, part: _Part) -> list[Problem]:
    """Rows of CSV with more cells than the heading; else those that swallowed others: with a cell
    of several lines that has as many separators as a whole row."""
    sheet, separators = part.sheet, max(1, part.width - 1)
    too_long, swallowing = [], []
    for number in range(part.first, part.end if sheet.widths else 0):
        line, cells = sheet.lines[number], sheet.widths[number]
        following = sheet.lines[number + 1] if number + 1 < len(sheet.lines) else 0
        if cells > part.width:
            message = (
                f"has {cells} cells, the heading has {part.width}; put a cell that holds the "
                'separator (a decimal comma, for example) in quotation marks: "13,700"'
            )
            shown = _shown(sheet, number)
            too_long.append(Problem(source, line, "", "too-many-cells", message, shown))
        elif following != line + 1 and any(
            cell.count(sheet.separator) >= separators and ("\n" in cell or "\r" in cell)
            for cell in sheet.rows[number]
        ):
            message = "a quotation mark is opened here and whole rows stand inside of it; "
            message += "close or delete it"
            swallowing.append(Problem(source, line, "", "open-quotation", message))
    return [*most(too_long), *_too_short(source, part)] if too_long else swallowing


def _too_short(source: str, part: _Part) -> Iterator[Problem]:
    """Rows of CSV in which something stands, with fewer cells than the heading."""
    named = max((n for n, cell in enumerate(part.heading, 1) if cell.strip()), default=1)
    sheet = part.sheet
    found = (
        Problem(
            source,
            sheet.lines[number],
            "",
            "too-few-cells",
            f"has {counted(sheet.widths[number], 'cell')}, the heading has {named}; put in what is "
            f"missing: an empty cell needs its separator ({NAMES[sheet.separator]}) too",
            _shown(sheet, number),
        )
        for number in range(part.first, part.end if sheet.widths else 0)
        if sheet.widths[number] < named and any(map(str.strip, sheet.rows[number]))
    )
    yield from most(found)


def _shown(sheet: Sheet, row: int) -> str:
    return sheet.separator.join(sheet.rows[row][: sheet.widths[row]])[:80]


def _of_cells(source: str, part: _Part) -> Iterator[Problem]:
    """What is wrong with single cells, and is seen whatever stands in their column."""
    within = range(part.top, part.end)
    for row, column, shown in part.sheet.broken:
        if row in within or not part.sheet.rows:
            named = "".join(part.heading[column : column + 1]).strip() or letters(column)
            message = (
                f"the cell holds the error {shown}; mend it, or write the value itself"
                if shown
                else "the cell holds a formula that was never worked out; open the file in a "
                "spreadsheet and save it again, or write the value itself"
            )
            yield Problem(source, row + 1, named, BROKEN, message, shown)
    for row, column, why in part.sheet.unfit:
        if row in within:
            named = "".join(part.heading[column : column + 1])[:40] or letters(column)
            text, line = part.sheet.rows[row][column][:40], part.sheet.lines[row]
            yield Problem(source, line, named, "unfit-text", f"{why}; mend or shorten it", text)


def _beside(source: str, part: _Part, how: TableForm) -> Iterator[Note]:
    """What of the sheet is not read, and what is read although it is hidden there."""
    sheet = part.sheet
    for where, rows in (
        ("above the heading", range(part.top)),
        (f"from {how.until!r} on", range(part.end, len(sheet.rows))),
    ):
        if cells := told_cells(sheet, rows):
            message = f"left alone {where}: {cells}"
            yield Note(source, sheet.lines[rows[0]], "", "left-alone", message)
    if how.until and part.end == len(sheet.rows):
        message = (
            f"no row begins with {how.until!r}, and all are read; mend or delete until under  "
            f'[tables."{source}"]  in meet.toml'
        )
        yield Note(source, 0, "", "until-not-met", message, how.until)
    lines = [n + 1 for n in sheet.hidden_rows if part.top <= n < part.end and any(sheet.rows[n])]
    columns = [
        letters(column)
        for column in sheet.hidden_columns
        if any(any(row[column : column + 1]) for row in sheet.rows[part.top : part.end])
    ]
    crossed = [
        f"{letters(column)}{sheet.lines[row]}"
        for row, column in sorted(sheet.crossed_out)
        if part.top <= row < part.end
    ]
    for what, these in (
        ("rows that are hidden", lines),
        ("columns that are hidden", columns),
        ("cells that are crossed out", crossed),
    ):
        if these:
            message = f"{what}, and read all the same: {first_of(these, SHOWN)}"
            yield Note(source, 0, "", "hidden-cells", message)


SHOWN = 40
"""So many cells that are left alone are shown one by one."""


def told_cells(sheet: Sheet, rows: range) -> str:
    """The filled cells of some rows by name and text; of many, how many more and up to where."""
    cells = {
        (row, column): tidy(text)[:80]
        for row in rows
        for column, text in enumerate(sheet.rows[row])
        if text
    }
    for one in sheet.broken:
        if one.row in rows:
            cells[one.row, one.column] = one.shown or "(a formula)"
    names = [f"{letters(column)}{sheet.lines[row]}" for row, column in sorted(cells)]
    texts = (cells[place] for place in sorted(cells))
    told = "; ".join(f"{name} {text}" for name, text in zip(names[:SHOWN], texts, strict=False))
    more = len(cells) - SHOWN
    return f"{told}; and {more} more, up to {names[-1]}" if more > 0 else told
