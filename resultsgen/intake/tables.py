"""Sheets, and where their tables are: a heading is known by its words, the rest by where it stands.

A row below a heading is a gymnast's, repeats the heading, adds up, names a group ("Level 3") or
stands below the table; what is none of these is taken for a gymnast's, so that `check` tells it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from itertools import islice

from resultsgen.intake.meanings import (
    Meaning,
    is_number,
    is_of_one_judge,
    like_a_name,
    may_be_a_heading,
    meant,
    said_by,
    sums_up,
)
from resultsgen.reading.grids import letters, spread
from resultsgen.reading.sheets import Sheet
from resultsgen.reading.words import plain


@dataclass(frozen=True)
class NamedSheet:
    """A sheet and the file that it stands in; rows and columns are counted from 0."""

    file: str
    sheet: Sheet
    alone: bool = True
    """Whether it is the only one of its file in which anything stands."""
    encoding: str = ""
    """Of a CSV file that does not say it itself."""

    @property
    def name(self) -> str:
        """What the sheet is called; a CSV file by what it is called itself."""
        return self.sheet.name or self.file.rpartition(".")[0]

    @property
    def source(self) -> str:
        return self.file if self.alone else f"{self.file}#{self.sheet.name}"

    @property
    def rows(self) -> list[list[str]]:
        """All cells; a merged one where it begins."""
        return self.sheet.rows

    @cached_property
    def _filled(self) -> list[dict[int, str]]:
        held = [
            {at: text for at, cell in enumerate(row) if (text := cell.strip())} for row in self.rows
        ]
        for one in self.sheet.broken:
            if one.row < len(held):
                held[one.row][one.column] = one.shown or "#N/A"
        return [dict(sorted(row.items())) for row in held] if self.sheet.broken else held

    def texts(self, row: int) -> dict[int, str]:
        """What stands in a row, by column; errors as they are shown, no value as #N/A."""
        return self._filled[row] if row < len(self.rows) else {}

    @cached_property
    def _first(self) -> dict[tuple[int, int], tuple[int, int]]:
        return {
            (row, column): (one.row, one.column)
            for one in self.sheet.merged
            for row in range(one.row, min(one.row + one.rows, len(self.rows)))
            for column in range(one.column, min(one.column + one.columns, len(self.rows[row])))
        }

    def text(self, row: int, column: int) -> str:
        """What stands in a cell; in each cell that was merged, what the whole holds."""
        row, column = self._first.get((row, column), (row, column))
        return self._filled[row].get(column, "")

    def width(self, row: int, column: int) -> int:
        """Over how many columns a cell was merged; 0 where it was not."""
        held = (one for one in self.sheet.merged if (one.row, one.column) == (row, column))
        return next((one.columns for one in held), 0)

    def cells(self, rows: Iterable[int], columns: Iterable[int]) -> str:
        """Some cells as a spreadsheet names them: B4, or B4:C9."""
        lines, places = [self.sheet.lines[row] for row in rows], [*columns]
        first = f"{letters(min(places))}{min(lines)}"
        last = f"{letters(max(places))}{max(lines)}"
        return first if first == last else f"{first}:{last}"


WHO = ("bib", "name", "family_name")
"""What says whose a row is."""

HEADINGS, TABLES = 400, 40
"""So many headings and tables are looked for on a sheet: more than any club has."""


@dataclass(frozen=True)
class Heading:
    """The one or two rows of a heading; its texts as the reader joins them, by column."""

    rows: tuple[int, ...]
    texts: dict[int, str]
    spoken: dict[int, str]
    """The same, or of two rows the text that is known of itself: "Number" below "Gymnast"."""

    @cached_property
    def meant(self) -> dict[int, Meaning]:
        return meant(self.spoken)

    @cached_property
    def known(self) -> int:
        """How many different columns are known by their words; 0 where none says whose a row is."""
        known = {*self.meant.values()}
        return len(known) if any(one.column in WHO for one in known) else 0

    def within(self, columns: range) -> Heading:
        texts, spoken = (
            {at: text for at, text in held.items() if at in columns}
            for held in (self.texts, self.spoken)
        )
        return Heading(self.rows, texts, spoken)


@dataclass(eq=False)
class FoundTable:
    """A table on a sheet; rows and columns are counted from 0."""

    sheet: NamedSheet
    heading: Heading
    columns: range
    rows: list[int] = field(default_factory=list)
    """Of gymnasts."""
    said: dict[int, dict[str, str]] = field(default_factory=dict)
    """By the row of a gymnast, what lines across the table say of it."""
    groups: dict[int, dict[str, str]] = field(default_factory=dict)
    """Those lines."""
    between: dict[int, str] = field(default_factory=dict)
    """Rows among those of gymnasts that are none of theirs, and what they are."""
    caption: dict[str, str] = field(default_factory=dict)
    """What stands above the heading says of all gymnasts."""

    def here(self, row: int) -> dict[int, str]:
        """What stands in a row of it; merged cells where they begin."""
        return {at: text for at, text in self.sheet.texts(row).items() if at in self.columns}

    def reach(self) -> None:
        """Take in the columns right beside it in which something stands under no heading: there a
        comma may have parted a mark, or a heading was forgotten."""
        end = self.columns.stop
        while any(self.sheet.texts(row).get(end) for row in self.rows):
            end += 1
        self.columns = range(self.columns.start, end)

    @property
    def last(self) -> int:
        """The last row of a gymnast, -1 where there is none."""
        return self.rows[-1] if self.rows else -1

    def of(self, *names: str) -> list[int]:
        return [at for at, one in self.heading.meant.items() if one.column in names]


def tables_in(sheet: NamedSheet) -> list[FoundTable]:
    """The tables of a sheet from the top, those beside each other from the left.

    Where a heading is repeated further down, the table goes on.
    """
    found: dict[object, FoundTable] = {}
    headings = list(islice(_headings(sheet), HEADINGS))
    ends = [*(one.rows[0] for one in headings), len(sheet.rows)][1:]
    begin = 0
    for heading, end in zip(headings, ends, strict=False):
        if len(found) > TABLES:
            break
        rows = range(heading.rows[-1] + 1, end)
        for part in _beside_each_other(sheet, heading):
            one = found.setdefault((part.columns, *part.heading.texts.items()), part)
            if one is part:
                part.caption = _caption(part, range(begin, heading.rows[0]))
            else:
                one.between |= dict.fromkeys(heading.rows, "the heading again")
            _sort_rows(one, rows, rows.start if one is part else begin)
        begin = max(heading.rows[-1], *(one.last for one in found.values())) + 1
    for one in found.values():
        _say_groups(one)
        if len({part.columns for part in found.values()}) == 1:
            one.reach()
    return [one for one in found.values() if one.rows]


def _headings(sheet: NamedSheet) -> Iterator[Heading]:
    row = 0
    while row < len(sheet.rows):
        one, two, below = _heading(sheet, row), _heading(sheet, row, row + 1), None
        best = max(filter(None, (one, two)), key=lambda heading: heading.known, default=None)
        if best is two:
            below = _heading(sheet, row + 1)
        if best is None or (below and below.known >= best.known):
            row += 1
            continue
        yield best
        row = best.rows[-1] + 1


def _heading(sheet: NamedSheet, *rows: int) -> Heading | None:
    """One row as a heading, or two joined; None where they are none."""
    texts = spoken = sheet.texts(rows[-1])
    cells = [text for row in rows for text in sheet.texts(row).values()]
    if not texts or sum(map(may_be_a_heading, cells)) < 2 or any(map(is_number, cells)):
        return None
    if len(rows) == 2:
        judges = sum(map(is_of_one_judge, texts.values()))
        if 2 * len(texts) > 3 * (len(meant(texts)) + judges):
            return None
        above = enumerate(spread(sheet.sheet, *rows))
        texts, spoken = _joined({at: text.strip() for at, text in above if text.strip()}, texts)
    heading = Heading(rows, texts, spoken)
    return heading if heading.known > 1 else None


def _joined(upper: dict[int, str], lower: dict[int, str]) -> tuple[dict[int, str], dict[int, str]]:
    texts, spoken = {}, {}
    alone, below = meant(upper), meant(lower)
    for at in sorted({*upper, *lower}):
        pair = [one[at] for one in (upper, lower) if at in one]
        texts[at] = spoken[at] = " ".join(pair)
        of_an_apparatus = at in alone and alone[at].apparatus
        if len(pair) == 2 and at not in meant({at: texts[at]}) and not of_an_apparatus:
            spoken[at] = lower[at] if at in below else upper[at] if at in alone else texts[at]
    return texts, spoken


def _beside_each_other(sheet: NamedSheet, heading: Heading) -> Iterator[FoundTable]:
    """The tables with their headings in one row: another begins where the first text, or a column
    that says whose a row is, stands again."""
    places = sorted(heading.texts)
    whose = [at for at, one in heading.meant.items() if one.column in WHO]
    starts = [places[0]]
    for at in places[1:]:
        again = plain(heading.texts[at]) == plain(heading.texts[starts[-1]])
        seen = {heading.meant[one] for one in whose if starts[-1] <= one < at}
        if seen and (heading.meant.get(at) in seen or (again and any(one >= at for one in whose))):
            starts.append(at)
    for begin, end in zip(starts, [*starts[1:], places[-1] + 1], strict=True):
        part = heading.within(range(begin, end))
        yield FoundTable(sheet, part, range(begin, max(part.texts) + 1))


def _caption(table: FoundTable, lines: range) -> dict[str, str]:
    """What lines above a heading say; the nearest goes before the others."""
    said: dict[str, str] = {}
    for row in reversed(lines):
        here = [*table.sheet.texts(row).items()]
        mine = [text for at, text in here if at in table.columns or len(here) == 1]
        if len(mine) == 1:
            said = said_by(mine[0]) | said
    return said


def _sort_rows(table: FoundTable, rows: range, begin: int) -> None:
    """Put each row from a heading to the next one, and the lines above it, where it belongs."""
    lines = {}
    for row in (row for row in range(begin, rows.stop) if row not in table.between):
        whole = table.sheet.texts(row)
        # Above a heading again, a line by itself is said of all tables there.
        if here := whole if row not in rows and len(whole) == 1 else table.here(row):
            lines[row] = here
    below = {row: here for row, here in lines.items() if row in rows}
    sums = [row for row, here in below.items() if sums_up([*here.values()])]
    whose = table.of(*WHO)
    alone = len(table.heading.texts) == 1
    full = [
        row
        for row, here in below.items()
        if row not in sums and (len(here) > 1 or alone) and any(at in here for at in whose)
    ]
    first, last = min(full, default=rows.stop), max(full, default=-1)
    of_routines = table.of("apparatus")
    while of_routines and of_routines[0] in below.get(last + 1, {}):
        last += 1  # Of a gymnast who is named in the first of her rows alone.
    opened = any(len(here) == 1 for row, here in lines.items() if row < first)
    for row, here in lines.items():
        if row > last and not (_is_bare(table, row) and table.rows[-1:] == [row - 1]):
            break
        if row in sums:
            table.between[row] = "a row of sums"
        elif len(here) == 1 and row not in full and not (_is_bare(table, row) and row > first):
            # A group, where the words say of what, or where every gymnast stands below such a line.
            text = next(iter(here.values()))
            kind = next((one for one in ("club", "division") if not table.of(one)), "")
            said = said_by(text) or ({kind: text} if opened and kind else {})
            if said:
                table.groups[row] = said
            else:
                table.between[row] = "a line of its own"
        elif row in rows:
            table.rows.append(row)


def _is_bare(table: FoundTable, row: int) -> bool:
    """Whether a row has a name and nothing else: who did not come, perhaps."""
    here = table.here(row)
    at = next(iter(here), -1)
    is_name = len(here) == 1 and at in table.of("name", "family_name")
    merged = table.sheet.width(row, at) > 1
    return is_name and not merged and like_a_name(here[at]) and not said_by(here[at])


def _say_groups(table: FoundTable) -> None:
    """What the lines across a table say of each gymnast: a line ends those of its kind, and those
    that began below the last of them."""
    said: dict[str, str] = {}
    for row in sorted([*table.rows, *table.groups]):
        for kind, text in table.groups.get(row, {}).items():
            if kind in said:
                said = dict([*said.items()][: [*said].index(kind)])
            said[kind] = text
        if row not in table.groups:
            table.said[row] = table.caption | said
