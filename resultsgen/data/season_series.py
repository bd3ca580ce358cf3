"""The series of a season as rows: their tables, what each round gave, and the matches."""

from __future__ import annotations

from collections.abc import Iterator
from types import SimpleNamespace as Row

from resultsgen.season.season import Season
from resultsgen.season.series import SeriesTable, SeriesTie, shown_points, shown_sum, shown_value


def told_series(season: Season) -> dict[str, tuple[Row, ...]]:
    """The rows of each table, by its name."""
    found = {
        name: tuple(row for held in season.series for row in told(held))
        for name, told in SERIES.items()
    }
    return found | {"qualified": tuple(_qualified(season))}


def _about(held: SeriesTable) -> Iterator[Row]:
    bound = None if held.bound is None else shown_sum(held.bound, held.settings)
    ties = [_tie(tie, held) for tie in held.ties]
    yield Row(settings=held.settings, rounds=held.rounds, bound=bound, ties=ties)


def _tie(tie: SeriesTie, held: SeriesTable) -> Row:
    steps = [
        Row(criterion=step.criterion, who=step.who,
            values=[shown_value(value, step.criterion, held.settings) for value in step.values])
        for step in tie.steps
    ]  # fmt: skip
    return Row(who=tie.who, places=tie.places, steps=steps)


def _lines(held: SeriesTable) -> Iterator[Row]:
    for line in held.lines:
        told = line._asdict() | {
            "series": held.settings.id,
            "sum": shown_sum(line.sum, held.settings),
            "behind": shown_sum(line.behind, held.settings),
        }
        yield Row(**told)


def _rounds(held: SeriesTable) -> Iterator[Row]:
    for line in held.lines:
        for number, (one, part) in enumerate(zip(held.held, line.parts, strict=True)):
            if part:
                yield Row(
                    **part._asdict() | {"value": shown_sum(part.value, held.settings)},
                    series=held.settings.id, round=one.id, who=line.who,
                    after=held.order[number].get(line.who),
                )  # fmt: skip


def _matches(held: SeriesTable) -> Iterator[Row]:
    for one in held.held:
        for number, match in enumerate(one.matches, start=1):
            for side in match.sides:
                yield Row(
                    series=held.settings.id, round=one.id, competition=match.competition,
                    match=number, side=side, points=shown_points(side.points),
                    sets=shown_points(side.sets),
                )  # fmt: skip


def _qualified(season: Season) -> Iterator[Row]:
    for held in season.qualifications:
        for one in held.lines:
            total = shown_sum(one.line.sum, held.settings)
            yield Row(**one._asdict(), qualification=held.settings.id, sum=total, final=held.over)


SERIES = {
    "series": _about,
    "series_lines": _lines,
    "series_rounds": _rounds,
    "series_matches": _matches,
}
"""What stands in `season.json`, and the rows that it has of a series."""
