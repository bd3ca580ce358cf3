"""Cleaned copies of tables that cannot be read as they stand, and a roster with made numbers."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from resultsgen.files.spreadsheets import harmless
from resultsgen.intake.columns import OF_THE_ROSTER, Understood
from resultsgen.intake.meanings import Meaning
from resultsgen.intake.people import Entrant
from resultsgen.meet.columns import ROSTER

SAID: tuple[str, ...] = ("club", "division", "discipline", "session", "squad", "apparatus")


def as_csv(rows: Iterable[Iterable[str]]) -> str:
    """Rows as a CSV file that no spreadsheet runs anything of."""
    written = io.StringIO()
    csv.writer(written, lineterminator="\n").writerows([*map(harmless, row)] for row in rows)
    return written.getvalue()


def why_copied(one: Understood, tables_on_sheet: int, disciplines: int) -> str:
    """Why a table cannot be read as it stands; empty where it can."""
    table, heading = one.table, one.table.heading
    if tables_on_sheet > 1:
        return f"the sheet has {tables_on_sheet} tables"
    if "#" in one.sheet.sheet.name:
        return "the name of the sheet has a # in it"
    if table.groups:
        return "lines across the table say whose the rows below are"
    if table.between:
        return "rows among those of gymnasts are none of theirs"
    if one.unclear and disciplines > 1:
        return f"{', '.join(one.unclear)} means one apparatus of women and another of men"
    below = range(heading.rows[0], max(table.rows) + 1)
    if any(at not in heading.texts for row in below for at in one.sheet.texts(row)):
        return "something stands beside the table"
    return ""


def copied(one: Understood, without: tuple[str, ...]) -> str:
    """A table with a heading that the reader knows, its gymnasts, and what is said of them."""
    columns = {at: meaning for at, meaning in one.columns.items() if meaning.column not in without}
    said = [kind for kind in SAID if any(_said(one, row, kind) for row in one.table.rows)]
    heading = [_heading(one, at, meaning) for at, meaning in columns.items()]
    rows = [
        [*(one.sheet.text(row, at) for at in columns), *(_said(one, row, kind) for kind in said)]
        for row in one.table.rows
    ]
    return as_csv([[*heading, *said], *rows])


def _said(one: Understood, row: int, kind: str) -> str:
    held = {**one.fixed, **one.table.said.get(row, {})}
    return held.get(kind, "") if one.at(kind) is None else ""


def _heading(one: Understood, at: int, meaning: Meaning) -> str:
    text = one.table.heading.texts[at]
    if not meaning.apparatus:
        return meaning.column if text in one.mapped.values() else text
    if text not in one.unclear:
        return text
    code = f"{meaning.apparatus}2" if meaning.vault == 2 else meaning.apparatus
    return code if meaning.column == "mark" else f"{code} {meaning.column}"


def roster_of(everybody: list[Entrant], bibs: dict[int, str]) -> str:
    """A row for each gymnast and entry, in the order of the files."""
    rows = [
        {**person.held, **held, "discipline": entry[0], "division": entry[1], "bib": bib}
        for person, bib in zip(everybody, bibs.values(), strict=True)
        for entry, held in person.entries.items()
    ]
    ours = [one.name for one in ROSTER if one.name in OF_THE_ROSTER]
    columns = [one for one in ours if any(row.get(one) for row in rows)]
    return as_csv([columns, *([row.get(one, "") for one in columns] for row in rows)])
