"""The published tables judged: what the rules make of the figures of `published_tables`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from published_tables import (
    ROUTINE,
    Published,
    Routine,
    Rows,
    compared,
    single_lines,
    single_marks,
    steps,
)

from resultsgen.rules.criteria import Compared
from resultsgen.rules.cuts import Candidate, Quota, Verdict, verdicts
from resultsgen.rules.placings import placings
from resultsgen.rules.totals import average_of_two, carried_total, counting, team_total, total


def routines(table: Published) -> Iterator[tuple[str, str, Routine]]:
    """Every routine with its bib, and the word for it where a row has several."""
    of_row = {"team": _of_team, "two days": _of_two_days}.get(table.kind, _of_gymnast)
    for row in table.rows:
        yield from of_row(table, row)


def _of_team(table: Published, row: dict[str, Any]) -> Iterator[tuple[str, str, Routine]]:
    for bib, *cells in row["gymnasts"]:
        for part, cell in zip(table.apparatus, cells, strict=True):
            yield bib, part, table.routine(cell)


def _of_two_days(table: Published, row: dict[str, Any]) -> Iterator[tuple[str, str, Routine]]:
    for day in ("first day", "second day"):
        for part, cell in zip(table.apparatus, row[f"{day} routines"], strict=True):
            yield row["bib"], f"{day} {part}", table.routine(cell)


def _of_gymnast(table: Published, row: dict[str, Any]) -> Iterator[tuple[str, str, Routine]]:
    if "routine" in table.head:
        for part in table.parts:
            yield row["bib"], part, table.cell(row, part)
    elif "d" in row:
        printed = {name: row[name] for name in ROUTINE if name in row}
        yield row["bib"], "", Routine(printed | {"mark": row["total"]})


def computed_totals(table: Published) -> list[int | None]:
    """The total of each row, from its marks alone."""
    rules = table.rules
    if table.kind == "all-around":
        return [total(row, rules.totals.incomplete) for row in table.grid("mark")]
    if table.kind == "two vaults":
        averaging = rules.vault.averaging
        return [average_of_two(first, second, averaging) for first, second in table.grid("mark")]
    if table.kind == "two days":
        return [total(row, rules.totals.incomplete) for row in both_days(table)]
    if table.kind == "carried over":
        parts = [table.printed_marks(name) for name in ("compulsory", "optional", "final")]
        return [carried_total(*row, rules.totals.averaging) for row in zip(*parts, strict=True)]
    if table.kind == "team":
        penalties = [abs(penalty or 0) for penalty in table.printed_marks("penalty")]
        return [team_total(*row) for row in zip(team_parts(table), penalties, strict=True)]
    return single_marks(table)


def both_days(table: Published) -> Rows:
    """The marks of both days, those of the first day first."""
    return [[*day_marks(table, row, "first day"), *day_marks(table, row, "second day")]
            for row in table.rows]  # fmt: skip


def day_marks(table: Published, row: dict[str, Any], day: str) -> list[int | None]:
    return [table.routine(cell)["mark"] for cell in row[f"{day} routines"]]


LISTS = {
    "all-around": "all-around",
    "two days": "all-around",
    "two vaults": "vault-average",
    "apparatus": "apparatus",
    "carried over": "apparatus",
    "team": "team",
}


def compared_lines(table: Published) -> list[Compared]:
    """What the list compares; totals are computed, never the printed ones (but single marks)."""
    if table.kind == "apparatus":
        return single_lines(table)
    totals = computed_totals(table)
    if table.kind in ("all-around", "two vaults"):
        grids = (table.grid(name) for name in ("mark", "d", "e"))
        return [compared(*row) for row in zip(totals, *grids, strict=True)]
    parts: Rows = [[own] for own in totals]
    if table.kind in ("two days", "team"):
        parts = both_days(table) if table.kind == "two days" else team_parts(table)
    return [compared(*row) for row in zip(totals, parts, strict=True)]


def computed_places(table: Published) -> list[int | None]:
    lines = compared_lines(table)
    return placings(lines, steps(table, LISTS[table.kind], len(lines[0].marks)))


def as_printed(table: Published, places: list[int | None]) -> dict[str, str]:
    """Places by bib as the paper prints them, empty without one.

    Of a table of which only some rows were read, the first row's printed place is given.
    """
    first = min(int(text) for text in table.column("place") if text.isdigit())
    ahead = first - 1 if table.partial else 0
    texts = ["" if place is None else str(place + ahead) for place in places]
    return dict(zip(table.bibs, texts, strict=True))


def apparatus_places(table: Published, part: str) -> list[int | None]:
    routines = [table.cell(row, part) for row in table.rows]
    lines = [compared(one["mark"], [one["mark"]], [one["d"]], [one["e"]]) for one in routines]
    return placings(lines, steps(table, "apparatus", 1))


def printed_apparatus_places(table: Published, part: str) -> dict[str, str]:
    cells = {row["bib"]: table.cell(row, part).printed.get("place", "") for row in table.rows}
    return table.by_the_rules(f"place on {part}", cells)


def computed_verdicts(table: Published, absent: frozenset[str] = frozenset()) -> dict[str, Verdict]:
    """The verdict by bib or team; the list is walked in order of place, then as printed."""
    places, sums = computed_places(table), computed_totals(table)
    candidates = [
        Candidate(
            key=number,
            place=place,
            total=total,
            body=row["team" if table.kind == "team" else "federation"],
            guest=row["place"] == "G",
        )
        for number, (row, place, total) in enumerate(zip(table.rows, places, sums, strict=True))
        if table.bibs[number] not in absent
    ]
    candidates.sort(key=lambda one: one.place or len(table.rows) + 1)
    all_qualify = table.rules.cuts.tie_on_last_place == "all qualify"
    order = tuple(table.bibs.index(bib) for bib in table.head.get("reserve_order", ()))
    line = Quota(**table.head["line"], ties_qualify=all_qualify, order=order)
    return {table.bibs[one.key]: one for one in verdicts(candidates, line)}


def cut_mark(verdict: Verdict) -> str:
    return {"qualified": "Q", "reserve": f"R{verdict.number}"}.get(verdict.outcome, "")


def is_team(table: Published) -> bool:
    return table.kind == "team"


def team_marks(table: Published, row: dict[str, Any]) -> list[list[int | None]]:
    """The marks of a team on each apparatus, in the printed order of its gymnasts."""
    rows = [[table.routine(cell)["mark"] for cell in cells] for _, *cells in row["gymnasts"]]
    return [list(column) for column in zip(*rows, strict=True)]


def counted(table: Published, marks: list[int | None]) -> list[int]:
    """Which marks of a team on one apparatus count."""
    return counting(marks, int(table.head["format"][-1]))


def team_parts(table: Published) -> Rows:
    """The total of each team on each apparatus."""
    return [
        [
            total([marks[number] for number in counted(table, marks)], "placed by what there is")
            for marks in team_marks(table, row)
        ]
        for row in table.rows
    ]
