"""The people.csv of a season folder read."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from resultsgen.meet.problems import Note, Problem
from resultsgen.reading.headings import Mapped
from resultsgen.reading.tables import ReadTable, read_table
from resultsgen.season.settings import PEOPLE
from resultsgen.season.settling import PEOPLE_FILE, PeopleRow, Selector


def read_people(
    folder: Path, problems: list[Problem]
) -> tuple[tuple[PeopleRow, ...], tuple[str, ...], str]:
    """Its rows, its columns and what separates them; what is wrong joins the problems."""
    table = read_table(folder, PEOPLE_FILE, PEOPLE, Mapped({}, place=""), "people")
    # The settings of a season say of no table how it is to be read.
    no_unicode = [replace(one, message=one.message.partition("; or, ")[0])
                  for one in table.problems if one.code == "not-utf8"]  # fmt: skip
    table.problems = no_unicode or table.problems
    table.tell_empty({"name": "the name is empty; fill it in, or delete the row"})
    known = ("", "same", "not the same")
    mend = "{text} is neither same nor not the same; write one of them, or leave the cell empty"
    table.tell("is", "not-same-or-not", mend, lambda text: text.casefold() not in known)
    years = {name: table.years(name) for name in ("birth_year", "other_birth_year")}
    publish = table.yes_or_no("publish", otherwise=True)
    rows = tuple(_row(table, row, years, publish[row]) for row in range(len(table)))
    for number, row in enumerate(rows):
        if not row.relation and not row.now_called and row.publish:
            message = "this row says nothing; fill in is, now_called or publish"
            table.tell_rows([number], "name", "empty-row", message)
    if table.others:
        columns = ", ".join(heading for heading, _ in table.others)
        note = Note(PEOPLE_FILE, 1, "", "left-alone", f"columns left alone: {columns}")
        table.problems.append(note)
    problems += table.problems
    return rows, table.order, table.separator


def _row(
    table: ReadTable, row: int, years: dict[str, list[int | None]], publish: bool
) -> PeopleRow:
    def selector(above: str, name: str) -> Selector:
        return Selector(
            name, table.text(f"{above}club", row), years[f"{above}birth_year"][row],
            table.text(f"{above}person", row),
        )  # fmt: skip

    name = table.text("name", row)
    other = table.text("other_name", row) or name
    return PeopleRow(
        table.lines[row], selector("", name), table.text("is", row).casefold(),
        selector("other_", other), table.text("now_called", row), publish,
    )  # fmt: skip
