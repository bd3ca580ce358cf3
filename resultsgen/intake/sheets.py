"""The sheets that are looked over, and what stands in their cells."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from resultsgen.reading.grids import letters
from resultsgen.reading.sheets import Sheet


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
