"""The published tables judged: what the rules make of the figures of `published_tables`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pandas as pd
from published_tables import ROUTINE, Published, Routine, integers, series, single_sheet, steps

from resultsgen.rules.criteria import Sheet
from resultsgen.rules.cuts import Candidate, Line, Verdict, verdicts
from resultsgen.rules.placings import placings
from resultsgen.rules.teams import apparatus_totals, counting, team_totals
from resultsgen.rules.totals import carried_totals, totals
from resultsgen.rules.vaults import vault_averages


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


def computed_totals(table: Published) -> pd.Series[int]:
    """The total of each row, from its marks alone."""
    if table.kind == "all-around":
        return totals(table.grid("mark"), table.rules.totals.incomplete)
    if table.kind == "two vaults":
        marks = table.grid("mark")
        averaging = table.rules.vault.averaging
        return vault_averages(marks["first vault"], marks["second vault"], averaging)
    if table.kind == "two days":
        return totals(both_days(table), table.rules.totals.incomplete)
    if table.kind == "carried over":
        parts = [series(table.column(name)) for name in ("compulsory", "optional", "final")]
        return carried_totals(*parts, table.rules.totals.averaging)
    if table.kind == "team":
        return team_sums(table)
    return single_sheet(table).parts.iloc[:, 0]


def both_days(table: Published) -> pd.DataFrame:
    """The marks of both days, a column per day and apparatus."""
    rows = [
        [
            table.routine(cell)["mark"]
            for day in ("first day", "second day")
            for cell in row[f"{day} routines"]
        ]
        for row in table.rows
    ]
    names = [f"{day} {part}" for day in ("first day", "second day") for part in table.apparatus]
    return integers(rows, names)


LISTS = {
    "all-around": "all-around",
    "two days": "all-around",
    "two vaults": "vault-average",
    "apparatus": "apparatus",
    "carried over": "apparatus",
    "team": "team",
}


def sheet(table: Published) -> Sheet:
    """What the list compares; totals are computed, never the printed ones (but single marks)."""
    if table.kind == "apparatus":
        return single_sheet(table)
    total = computed_totals(table)
    if table.kind in ("all-around", "two vaults"):
        return Sheet(total, table.grid("mark"), table.grid("e"), table.grid("d"))
    parts = both_days(table) if table.kind == "two days" else total.to_frame()
    if table.kind == "team":
        parts = team_parts(table)
    nothing = parts.mask(parts.notna())
    return Sheet(total, parts, nothing, nothing)


def computed_places(table: Published) -> pd.Series[int]:
    compared = sheet(table)
    return placings(compared, steps(table, LISTS[table.kind], compared.parts.shape[1]))


def as_printed(table: Published, places: pd.Series[int]) -> dict[str, str]:
    """Places by bib as the paper prints them, empty without one.

    Of a table of which only some rows were read, the first row's printed place is given.
    """
    first = min(int(text) for text in table.column("place") if text.isdigit())
    ahead = first - 1 if table.partial else 0
    texts = ["" if pd.isna(place) else str(int(place) + ahead) for place in places]
    return dict(zip(table.bibs, texts, strict=True))


def apparatus_places(table: Published, part: str) -> pd.Series[int]:
    marks, e, d = (table.grid(name)[[part]] for name in ("mark", "e", "d"))
    return placings(Sheet(marks[part], marks, e, d), steps(table, "apparatus", 1))


def printed_apparatus_places(table: Published, part: str) -> dict[str, str]:
    cells = {row["bib"]: table.cell(row, part).printed.get("place", "") for row in table.rows}
    return table.by_the_rules(f"place on {part}", cells)


def computed_verdicts(table: Published, absent: frozenset[str] = frozenset()) -> dict[str, Verdict]:
    """The verdict by bib or team; the list is walked in order of place, then as printed."""
    places, sums = computed_places(table), computed_totals(table)
    candidates = [
        Candidate(
            key=number,
            place=None if pd.isna(place) else int(place),
            total=None if pd.isna(total) else int(total),
            body=row["team" if table.kind == "team" else "federation"],
            guest=row["place"] == "G",
        )
        for number, (row, place, total) in enumerate(zip(table.rows, places, sums, strict=True))
        if table.bibs[number] not in absent
    ]
    candidates.sort(key=lambda one: one.place or len(table.rows) + 1)
    goes_through = table.rules.cuts.tie_on_last_place == "all go through"
    order = tuple(table.bibs.index(bib) for bib in table.head.get("reserve_order", ()))
    line = Line(**table.head["line"], ties_go_through=goes_through, order=order)
    return {table.bibs[one.key]: one for one in verdicts(candidates, line)}


def cut_mark(verdict: Verdict) -> str:
    return {"qualified": "Q", "reserve": f"R{verdict.number}"}.get(verdict.outcome, "")


def is_team(table: Published) -> bool:
    return table.kind == "team"


def team_marks(table: Published) -> tuple[pd.DataFrame, pd.Series[str]]:
    """A row per gymnast in the printed order, and the team of each."""
    rows = [(row["team"], cells) for row in table.rows for _, *cells in row["gymnasts"]]
    marks = [[table.routine(cell)["mark"] for cell in cells] for _, cells in rows]
    return integers(marks, table.apparatus), pd.Series([team for team, _ in rows], dtype="object")


def counted(table: Published) -> tuple[pd.DataFrame, pd.Series[str], pd.DataFrame]:
    marks, team = team_marks(table)
    return marks, team, counting(marks, team, int(table.head["format"][-1]))


def team_parts(table: Published) -> pd.DataFrame:
    """The total of each team on each apparatus, in the order of the table."""
    return apparatus_totals(*counted(table)).reindex(table.bibs).reset_index(drop=True)


def team_sums(table: Published) -> pd.Series[int]:
    penalties = series(table.column("penalty")).dropna().abs()
    return team_totals(team_parts(table), penalties)
