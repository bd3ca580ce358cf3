"""How a table is read as it stands, or why it cannot be; then a cleaned copy, and a roster."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from resultsgen.files.cell_texts import harmless
from resultsgen.intake.columns import NAMES, OF_THE_ROSTER, UNKNOWN, Understood
from resultsgen.intake.contests import slug
from resultsgen.intake.meanings import Meaning
from resultsgen.intake.people import Entrant
from resultsgen.meet.parts import part_of
from resultsgen.meet.problems import first_of
from resultsgen.reading.tables import year_in
from resultsgen.reading.texts import tidy

SAID = ("club", "division", "discipline", "session", "squad", "apparatus", "competition", "guest")
"""What may be said of rows, beside their cells."""

OF_MARKS = ("apparatus", "competition")


def how_it_is_read(one: Understood, both: bool, disciplines: int) -> dict[str, Any]:
    """What [tables] has to say of a table; *both*: it is the roster, too."""
    table, lines = one.table, one.sheet.sheet.lines
    rows = [lines[row] for row in table.heading.rows]
    how: dict[str, Any] = {}
    if len(rows) > 1 or any(one.sheet.texts(row) for row in range(table.heading.rows[0])):
        how["heading"] = rows[0] if len(rows) == 1 else rows
    if until := _until(one):
        how["until"] = until
    said = {kind: text for kind, text in one.fixed.items() if both or kind in OF_MARKS}
    if disciplines < 2:
        said.pop("discipline", None)
    for key, value in (("fixed", said), ("columns", one.mapped), ("encoding", one.sheet.encoding)):
        if value:
            how[key] = value
    return how


def _until(one: Understood) -> str:
    """What the first row below the last gymnast begins with."""
    below = (one.sheet.texts(row) for row in range(one.table.last + 1, len(one.sheet.rows)))
    return next((tidy(next(iter(here.values())))[:60] for here in below if here), "")


def why_copied(one: Understood, tables_on_sheet: int, disciplines: int, no_bibs: list[str]) -> str:
    """Why a table cannot be read as it stands; empty where it can."""
    table, heading, until = one.table, one.table.heading, _until(one).casefold()
    rows = [one.sheet.texts(row) for row in range(heading.rows[0], table.last + 1)]
    starts = (tidy(next(iter(here.values()))).casefold() for here in rows if here)
    made = [_whose(one, row) for row in one.made_bibs]
    reasons = {
        f"the sheet has {tables_on_sheet} tables": tables_on_sheet > 1,
        "the name of the sheet has a # in it": not one.sheet.alone and "#" in one.sheet.name,
        "lines across the table say whose the rows below are": table.groups,
        "rows among those of gymnasts are none of theirs": table.between,
        "somebody is in several competitions": any(
            "competition" in said for said in table.said.values()
        ),
        "who is a guest stands among other things": one.guests,
        f"{', '.join(one.unclear)} means one apparatus of women and another of men": one.unclear
        and one.discipline
        and disciplines > 1,
        f"it has rows without a bib, and one was made for each: {first_of(made, 5)}": made,
        "its numbers are not bibs": no_bibs and one.at("bib") is not None,
        "something stands beside the table": any(
            at not in table.columns for here in rows for at in here
        ),
        "what stands below it begins as one of its rows": until
        and any(start.startswith(until) for start in starts),
    }
    return next((why for why, holds in reasons.items() if holds), "")


def _whose(one: Understood, row: int) -> str:
    """The line of a row, and its name."""
    name = " ".join(filter(None, (one.value(row, kind) for kind in NAMES)))
    return f"line {one.sheet.sheet.lines[row]} ({name})"


def name_of_copy(one: Understood) -> str:
    """The file, the sheet and the level of a table."""
    said = [text for kind, text in one.fixed.items() if kind in ("division", "session")]
    sheet = [] if one.sheet.alone else [one.sheet.name]
    return "-".join(dict.fromkeys(map(slug, [Path(one.sheet.file).stem, *sheet, *said])))


def as_csv(rows: Iterable[Iterable[str]]) -> str:
    """Rows as a CSV file that no spreadsheet runs anything of."""
    written = io.StringIO()
    csv.writer(written, lineterminator="\n").writerows([*map(harmless, row)] for row in rows)
    return written.getvalue()


def copied(one: Understood, without: tuple[str, ...]) -> str:
    """A table with its gymnasts and what is said of them; a column that is not known stays, so that
    the settings may say what it is, and one without a heading, so that `check` tells it. An error
    stays one, to be told there too."""
    texts = one.table.heading.texts
    known = {at for at, meaning in one.columns.items() if meaning.column not in without}
    known |= {at for at, why in one.left.items() if why == UNKNOWN}
    known |= {at for at in one.table.columns if at not in texts and one.values(at)}
    columns = sorted(known)
    said = [kind for kind in SAID if any(_said(one, row, kind) for row in one.table.rows)]
    heading = [_heading(one, at) for at in columns]
    rows = [
        [*(_kept(one, row, at) for at in columns), *(_said(one, row, kind) for kind in said)]
        for row in one.table.rows
    ]
    return as_csv([[*heading, *said], *rows])


def _kept(one: Understood, row: int, at: int) -> str:
    """What a cell holds; of a date of birth the year alone, and of no bib that which was made."""
    text = one.sheet.text(row, at)
    if one.columns.get(at) == Meaning("bib"):
        return text or one.made_bibs.get(row, "")
    return _year(text) if one.columns.get(at) == Meaning("birth_year") else text


def _year(text: str) -> str:
    return str(year_in(text) or text)


def _said(one: Understood, row: int, kind: str) -> str:
    return one.value(row, kind) if one.at(kind) is None else ""


def _heading(one: Understood, at: int) -> str:
    text, meaning = one.table.heading.texts.get(at, ""), one.columns.get(at, Meaning(""))
    if not meaning.apparatus:
        return meaning.column if text in one.mapped.values() else text
    if text not in one.unclear:
        return text
    code = part_of(meaning.apparatus, meaning.vault)
    return code if meaning.column == "mark" else f"{code} {meaning.column}"


def marks_of(bibs: dict[Entrant, str], codes: Iterable[str]) -> str:
    """A row for each gymnast, and nothing yet under each apparatus."""
    apparatus = [*dict.fromkeys(codes)]
    rows = ([bib, one.name] + [""] * len(apparatus) for one, bib in bibs.items())
    return as_csv([["bib", "name", *apparatus], *rows])


def roster_of(bibs: dict[Entrant, str]) -> str:
    """A row for each gymnast and entry, in the order of the files."""
    rows = [
        {**person.held, **held, "discipline": entry[0], "division": entry[1], "bib": bib}
        | ({"publish": "no"} if person.withheld else {})
        for person, bib in bibs.items()
        for entry, held in person.entries.items()
    ]
    for row in rows:
        row["birth_year"] = _year(row.get("birth_year", ""))
    columns = [one for one in OF_THE_ROSTER if any(row.get(one) for row in rows)]
    return as_csv([columns, *([row.get(one, "") for one in columns] for row in rows)])
