"""What is published of a season: `season.json` with its schema, and the same as tables."""

from __future__ import annotations

import datetime as dt
import marshal
from collections.abc import Callable, Iterable, Iterator
from functools import cache, lru_cache, partial
from types import SimpleNamespace as Row
from typing import Any, NamedTuple
from zlib import compress, decompress

from pydantic_core import to_json

from resultsgen.data.format import (
    DataObject,
    Fields,
    Value,
    cells_of,
    read_fields,
    schema_of,
    values_of,
)
from resultsgen.data.packing import (
    CsvTable,
    Written,
    csv_cell,
    csv_lines,
    csv_text,
    datapackage_text,
)
from resultsgen.data.parquet import parquet, parquet_piece, writes_parquet
from resultsgen.data.season_series import SERIES, told_series
from resultsgen.files.cache import code_digest, key_of
from resultsgen.files.staging import write
from resultsgen.files.standing import LeftStanding
from resultsgen.season.bests import Comparable, bests_of, comparables, told_by_year
from resultsgen.season.facts import Achieved
from resultsgen.season.records import records_among
from resultsgen.season.season import Season
from resultsgen.views.site.addresses import file_names
from resultsgen.views.site.attachments import Title

SEASON_SCHEMA, SEASON_FORMAT, SEASON_VERSION = "season.schema.json", "resultsgen season", "1.1"


class Piece(NamedTuple):
    """Rows of a table, kept while what they are made from is as it was; empty: they are not."""

    rows: Callable[[], Iterable[Any]]
    made_from: str = ""


class SeasonTable(NamedTuple):
    """A table of a season: what its rows are, and what tells it from how it was before."""

    file: str
    title: str
    thing: str
    pieces: tuple[Piece, ...]
    made_from: str


def season_tables(season: Season, told: Row) -> Iterator[SeasonTable]:
    """Every table that has rows; those that grow with the archive by years and disciplines."""
    meets, on = season.facts.meets, season.drawn_on
    for name, title, thing, rows in (
        ("meets", "Meets", "SeasonMeetRow", meets),
        ("gymnasts", "Gymnasts", "Career", season.careers),
        ("records", "Records as they were set", "BestOfSeason", told.records),
        ("series", "Series", "SeriesRow", told.series_lines),
        ("series_rounds", "Rounds of the series", "SeriesPart", told.series_rounds),
        ("series_matches", "Matches of the series", "SeriesMatchSide", told.series_matches),
        ("qualified", "Who qualifies over the season", "Qualifying", told.qualified),
    ):
        if rows or not name.startswith(("series", "qualified")):
            named = (
                repr([(*one[:7], one.withheld) for one in season.careers])
                if name == "gymnasts"
                else ""
            )
            made_from = named and key_of(code_digest(), named)
            alone = Piece(partial(tuple, rows))
            yield SeasonTable(f"{name}.csv", title, thing, (alone,), made_from)
    for year, days in season.facts.days.items():
        pieces = tuple(
            Piece(partial(_made_on, season, day, meet), key_of(code_digest(), on[meet], str(day)))
            for day, meet in days
        )
        drawn = key_of(*(one.made_from for one in pieces))
        yield SeasonTable(f"marks/{year}.csv", f"Marks of {year}", "SeasonMark", pieces, drawn)
    disciplines = dict.fromkeys(of.discipline for of in comparables(season))
    who = key_of(code_digest(), *season.who_was_there.values())
    for discipline, name in file_names(disciplines).items():
        pieces = tuple(
            Piece(
                partial(told_bests, season, of), key_of(who, repr((of, told_by_year(season)[of])))
            )
            for of in comparables(season)
            if of.discipline == discipline
        )
        drawn = key_of(*(one.made_from for one in pieces))
        title = f"Bests, {discipline}"
        yield SeasonTable(f"bests/{name}.csv", title, "BestOfSeason", pieces, drawn)


def _made_on(season: Season, day: dt.date, meet: str) -> list[Achieved]:
    return [one for one in season.facts.made[meet].achieved if one.day == day]


def told_bests(season: Season, of: Comparable) -> Iterator[Row]:
    """A bests list, line by line."""
    among = Row(kind="all meets", id="")
    for place, career, best in bests_of(of, season).lines:
        yield Row(of=of, among=among, place=place, before=None, gymnast=career.key, best=best)


def told_records(season: Season) -> Iterator[Row]:
    """Every mark that set a record."""
    for group, sets in records_among(season).items():
        for held in sets:
            for one in held.marks:
                told = {"of": held.of, "before": held.before, "among": group, "place": None}
                yield Row(**told, gymnast=season.whose[one.meet, one.entry].key, best=one)


def _of_told(name: str, _: Season, told: Row) -> object:
    return getattr(told, name)


VALUES: dict[str, Value] = {
    "Career.club": lambda career, _: next(iter(career.clubs), ""),
    "Career.earlier_names": lambda career, _: [" ".join(one).strip() for one in career.earlier],
    "WholeSeason.$schema": lambda *_: SEASON_SCHEMA,
    "WholeSeason.format": lambda *_: SEASON_FORMAT,
    "WholeSeason.version": lambda *_: SEASON_VERSION,
    "SeasonMark.gymnast": lambda mark, told: told.whose[mark.meet, mark.entry].key,
    **{
        f"WholeSeason.{name}": partial(_of_told, name) for name in ("records", "qualified", *SERIES)
    },
}
"""What is no plain field of the season."""


@lru_cache(maxsize=1)
def _format() -> dict[str, DataObject]:
    return read_fields("season.fields", VALUES)


def season_schema() -> dict[str, Any]:
    """The JSON Schema of `season.json`."""
    held = {name: part for name, part in _format().items() if name != "SeasonMark"}
    return schema_of(held, "WholeSeason", f"{SEASON_FORMAT}, format {SEASON_VERSION}")


def write_season(season: Season, standing: LeftStanding) -> None:
    """Write everything below `data/`; what is so in the folder before is taken over."""
    told = Row(
        records=tuple(told_records(season)), whose=season.whose, **told_series(season)
    )  # fmt: skip
    whole = to_json(_format()["WholeSeason"].told(season, told), indent=1)
    schema = to_json(season_schema(), indent=1)
    files = [_table(one, told, standing) for one in season_tables(season, told)]
    write(standing.folder, f"data/{SEASON_SCHEMA}", schema + b"\n", standing.before)
    about = standing.one_file("data/season.json", "", lambda: whole + b"\n")
    files.append(Written("season.json", Title("The season"), *about))
    settings = season.settings
    package = datapackage_text(settings.title, files, settings.base_url, settings.organiser)
    write(standing.folder, "data/datapackage.json", package.encode(), standing.before)


AS_PARQUET = ("gymnasts", "marks/", "bests/")
"""The tables that grow with the archive, by how their names begin."""


def _table(one: SeasonTable, told: Row, standing: LeftStanding) -> Written:
    columns, name = _columns(one.thing), f"data/{one.file}"
    table = CsvTable(one.file, Title(one.title), columns, ())
    by = writes_parquet() if one.file.startswith(AS_PARQUET) else ""
    head = csv_text(columns, ()).encode()

    def made(piece: Piece) -> bytes:
        values = values_of(columns, piece.rows(), told)
        text = csv_lines(cells_of(columns, values, csv_cell)).encode()
        return marshal.dumps((compress(text, 1), by and parquet_piece(columns, values)))

    @cache
    def whole() -> list[tuple[bytes, bytes]]:
        """The pieces as CSV and as Parquet; those are made that are not kept."""
        each = ((piece, key_of("piece", by, piece.made_from)) for piece in one.pieces)
        return [
            marshal.loads(
                standing.cache.kept_or_made(key, partial(made, piece))
                if piece.made_from
                else made(piece)
            )
            for piece, key in each
        ]

    about = standing.one_file(
        name, one.made_from, lambda: b"".join((head, *(decompress(text) for text, _ in whole())))
    )
    if by:
        made_from = one.made_from and one.made_from + by
        name = name.replace(".csv", ".parquet")
        standing.one_file(name, made_from, lambda: parquet(rows for _, rows in whole()))
    return Written(one.file, table.title, *about, table)


def _columns(thing: str) -> Fields:
    """The fields that fit a cell."""
    no_cell = ("clubs", "earlier_names", "meets", "ahead")
    return {name: one for name, one in _format()[thing].fields.items() if name not in no_cell}
