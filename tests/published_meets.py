"""The published tables as meet folders: a roster, the marks as printed, and the settings.

Rows are written in order of bib, so that no order of the paper comes in by the input. The papers
list those who share a place by name; the tables hold no names, so that each is named by the
printed position, and only equals stand by it.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable
from itertools import compress
from pathlib import Path
from typing import Any

from published_tables import ROUTINE, Published, Routine

LIST = "list"
"""The id of the competition whose list the table is."""

EARLIER = {
    "two days": ("first day", "second day"),
    "carried over": ("compulsory", "optional"),
}
"""The columns that stand for competitions of their own, before the one of the list."""

RANKS = {
    "all-around": "all-around",
    "two days": "all-around",
    "team": "team",
    "apparatus": "apparatus",
    "two vaults": "apparatus",
    "carried over": "apparatus",
}
"""The list that each kind of table is."""

Mark = tuple[str, str, int, Routine]
"""Bib, apparatus, which vault, and the routine as printed."""


def write_meet(folder: Path, table: Published) -> Path:
    """The table as a meet folder."""
    folder.mkdir(parents=True)
    (folder / "meet.toml").write_text(settings(table), encoding="utf-8")
    heading = ("bib", "family_name", "federation", "team", "guest", "entered")
    _write(folder / "roster.csv", heading, _roster(table))
    for id, marks in _marks(table).items():
        _write(
            folder / f"{id}.csv",
            ("bib", "apparatus", "vault", *ROUTINE, "status"),
            sorted(_row(one) for one in marks),
        )
    return folder


def id_of(column: str) -> str:
    """The id of the competition that a column stands for."""
    return column.replace(" ", "-")


def settings(table: Published) -> str:
    """The settings: the competition of the list, and those before it."""
    head = table.head
    lines = [f'title = "{head["title"]}"', 'adding_up = "note"', "published = 2031-05-18T18:00:00"]
    earlier = EARLIER.get(table.kind, ())
    for column in earlier:
        lines += _competition(table, id_of(column), "qualification")
    lines += _competition(table, LIST, table.phase)
    ids = [id_of(column) for column in earlier]
    lines += [f"days = {ids}"] if table.kind == "two days" else []
    if table.kind == "carried over":
        lines += [f"carried_from = {ids}", f"starters = {table.bibs}"]
    if table.kind == "team":
        lines += _teams(table)
    if "line" in head:
        per = "team" if table.kind == "team" else "federation"
        lines += ["[[competition.cuts]]", 'name = "Final"', f'of = "{RANKS[table.kind]}"']
        lines += [f'per = "{per}"', *(f"{name} = {value}" for name, value in head["line"].items())]
        if "reserve_order" in head:
            lines += [f"reserve_order = {head['reserve_order']}"]
    return "\n".join(lines) + "\n"


def _teams(table: Published) -> list[str]:
    """The format of the teams, and what was taken from them."""
    lines = ["[competition.team]", f'format = "{table.head["format"]}"', 'by = "team"']
    for row in table.rows:
        if row["penalty"]:
            lines += ["[[competition.team.penalties]]", f'team = "{row["team"]}"']
            lines += [f"points = {row['penalty'].lstrip('-')}"]
    return lines


def _competition(table: Published, id: str, phase: str) -> list[str]:
    own = "" if table.kind == "two days" and id == LIST else f'marks = "{id}.csv"'
    return [
        "[[competition]]",
        f'id = "{id}"',
        f'title = "{id}"',
        f'discipline = "{table.head["discipline"]}"',
        f'phase = "{phase}"',
        f'ranks = ["{RANKS[table.kind]}"]',
        f"apparatus = {table.apparatus}",
        f'rules = "{table.head["rules"]}"',
        f"vaults = {2 if table.kind == 'two vaults' else 1}",
        own,
    ]


def _roster(table: Published) -> list[tuple[str, ...]]:
    """Bib, name, federation, team, guest and what each gymnast of a team is entered in."""
    if table.kind == "team":
        return sorted(
            (bib, f"Gymnast {bib}", "", row["team"], "", " ".join(compress(table.apparatus, cells)))
            for row in table.rows
            for bib, *cells in row["gymnasts"]
        )
    return sorted(
        (
            row["bib"], f"Gymnast {number:03} {row['bib']}", row.get("federation", ""), "",
            "yes" if row["place"] == "G" else "", "",
        )
        for number, row in enumerate(table.rows)
    )  # fmt: skip


def _marks(table: Published) -> dict[str, list[Mark]]:
    """The marks of each competition, by its id."""
    if table.kind == "carried over":
        columns = ("compulsory", "optional", "final")
        return {
            LIST if column == "final" else column: [
                (row["bib"], table.apparatus[0], 1, Routine({"mark": row[column]}))
                for row in table.rows
            ]
            for column in columns
        }
    if table.kind == "two days":
        return {id_of(day): list(_of_day(table, day)) for day in EARLIER[table.kind]}
    if table.kind == "team":
        return {LIST: list(_of_teams(table))}
    return {LIST: [mark for row in table.rows for mark in _of_gymnast(table, row)]}


def _of_day(table: Published, day: str) -> Iterable[Mark]:
    """An empty cell is no mark, for good."""
    for row in table.rows:
        for part, cell in zip(table.apparatus, row[f"{day} routines"], strict=True):
            yield row["bib"], part, 1, table.routine(cell or "DNS")


def _of_teams(table: Published) -> Iterable[Mark]:
    """An empty cell is a gymnast who is not in the line-up."""
    for row in table.rows:
        for bib, *cells in row["gymnasts"]:
            for part, cell in zip(table.apparatus, cells, strict=True):
                if cell:
                    yield bib, part, 1, table.routine(cell)


def _of_gymnast(table: Published, row: dict[str, Any]) -> Iterable[Mark]:
    bib = row["bib"]
    if table.kind == "two vaults":
        for vault, part in enumerate(table.parts, start=1):
            yield bib, "VT", vault, table.cell(row, part)
    elif table.kind == "all-around":
        for part in table.parts:
            yield bib, part, 1, table.cell(row, part)
    else:
        printed = {name: row[name] for name in ROUTINE if name in row} | {"mark": row["total"]}
        status = row.get("status", "")
        yield bib, table.apparatus[0], 1, Routine({} if status else printed, status)


def _row(mark: Mark) -> tuple[str, ...]:
    bib, apparatus, vault, one = mark
    numbers = ("" if one.status else one.printed.get(name, "") for name in ROUTINE)
    return (bib, apparatus, str(vault), *numbers, one.status)


def _write(path: Path, heading: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([heading, *rows])
