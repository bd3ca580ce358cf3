"""What is published of a season: `season.json` with its schema, and the same as tables."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache, partial
from pathlib import Path
from types import SimpleNamespace as Row
from typing import Any

from pydantic_core import to_json

from resultsgen.data.format import DataObject, Fields, Value, read_fields, rows_of
from resultsgen.data.packing import csv_text
from resultsgen.data.season_series import SERIES, told_series
from resultsgen.files.staging import write
from resultsgen.season.bests import bests_lists, records
from resultsgen.season.season import Season

SEASON_SCHEMA, SEASON_FORMAT, SEASON_VERSION = "season.schema.json", "resultsgen season", "1.0"


def told_bests(season: Season) -> Iterator[Row]:
    """Every bests list, line by line."""
    for held in bests_lists(season):
        for line in held.lines:
            yield Row(
                of=held.of, place=line.place, before=None, gymnast=line.career.key, best=line.best
            )


def told_records(season: Season) -> Iterator[Row]:
    """Every mark that set a record."""
    for held in records(season):
        for one in held.marks:
            gymnast = season.whose[one.meet, one.entry].key
            yield Row(of=held.of, place=None, before=held.before, gymnast=gymnast, best=one)


def _of_told(name: str, _: Season, told: Row) -> object:
    return getattr(told, name)


VALUES: dict[str, Value] = {
    "Career.club": lambda career, _: next(iter(career.clubs), ""),
    "Career.earlier_names": lambda career, _: [" ".join(one).strip() for one in career.earlier],
    "WholeSeason.$schema": lambda *_: SEASON_SCHEMA,
    "WholeSeason.format": lambda *_: SEASON_FORMAT,
    "WholeSeason.version": lambda *_: SEASON_VERSION,
    **{
        f"WholeSeason.{name}": partial(_of_told, name)
        for name in ("bests", "records", "qualified", *SERIES)
    },
}
"""What is no plain field of the season."""


@lru_cache(maxsize=1)
def _format() -> dict[str, DataObject]:
    return read_fields("season.fields", VALUES)


def season_schema() -> dict[str, Any]:
    """The JSON Schema of `season.json`."""
    parts = {name: part.schema for name, part in _format().items()}
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    made = parts.pop("WholeSeason")
    return head | made | {"title": f"{SEASON_FORMAT}, format {SEASON_VERSION}", "$defs": parts}


def season_files(season: Season) -> dict[str, str]:
    """Each file below `data/`, by its name."""
    told = Row(
        bests=tuple(told_bests(season)), records=tuple(told_records(season)), **told_series(season)
    )
    whole = _format()["WholeSeason"].told(season, told)
    files = {
        "season.json": to_json(whole, indent=1).decode() + "\n",
        SEASON_SCHEMA: to_json(season_schema(), indent=1).decode() + "\n",
    }
    starts = [
        Row(gymnast=career.key, **one._asdict())
        for career in season.careers
        for one in career.achieved
    ]
    tables = (
        ("meets", "SeasonMeetRow", season.facts.meets),
        ("gymnasts", "Career", season.careers),
        ("marks", "SeasonMark", starts),
        ("bests", "BestOfSeason", told.bests),
        ("records", "BestOfSeason", told.records),
        ("series", "SeriesRow", told.series_lines),
        ("series_rounds", "SeriesPart", told.series_rounds),
        ("series_matches", "SeriesMatchSide", told.series_matches),
        ("qualified", "Qualifying", told.qualified),
    )
    for name, thing, rows in tables:
        if name.startswith(("series", "qualified")) and not rows:
            continue
        columns = _columns(thing, gymnast=name == "marks")
        files[f"{name}.csv"] = csv_text(columns, rows_of(columns, rows, told))
    return files


def _columns(thing: str, *, gymnast: bool) -> Fields:
    """The fields that fit a cell; before those of a mark, whose it is."""
    no_cell = ("marks", "clubs", "earlier_names", "meets", "ahead")
    held = _format()[thing].fields
    own = {name: one for name, one in held.items() if name not in no_cell}
    return {"gymnast": _format()["BestOfSeason"].fields["gymnast"], **own} if gymnast else own


def write_season(season: Season, folder: Path, before: Path) -> None:
    """Write everything below `data/`; what is so in the folder *before* is taken over."""
    for name, text in season_files(season).items():
        write(folder, f"data/{name}", text.encode(), before)
