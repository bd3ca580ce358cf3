"""The results that a meet tells, taken for a season only if whole, fit to be printed, and once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from pathlib import Path

from pydantic import ValidationError

from resultsgen.checks.keys import key_path
from resultsgen.meet.problems import Problem, most
from resultsgen.privacy.forms import as_written
from resultsgen.season.facts import marks_made
from resultsgen.season.told import UNFIT, ToldResults, read_told

RESULTS = "data/results.json"


def results_told(id: str, held: bytes, problems: list[Problem]) -> ToldResults | None:
    """The results in these bytes; None where they are none of a meet, which is told."""
    try:
        told = read_told(held)
    except ValidationError as error:
        problems += most(_unfit(id, error))
        for first in [one for one in error.errors() if one["type"] != UNFIT][:1]:
            where = ".".join(map(str, first["loc"])) or "it"
            message = f"cannot be read as results of this format: {where}: {first['msg']}"
            problems.append(Problem(f"{id}/{RESULTS}", 0, "", "unknown-results", message))
        return None
    rows = {one.entry for one in told.gymnasts}
    days = [day for one in told.competitions for day in [one.day or told.meet.first_day]]
    if not all(days) or not told.meet.first_day or not told.meet.last_day:
        message = (
            "the meet has no date, and a season goes by time; write dates = [2031-05-17], as it was"
        )
        problems.append(Problem(f"{id}/meet.toml", 0, "dates", "meet-without-date", message))
        return None
    if wrong := _loose(told, rows):
        message = f"{wrong}; publish the meet again"
        problems.append(Problem(f"{id}/{RESULTS}", 0, "", "unknown-results", message))
        return None
    return told


def _loose(told: ToldResults, rows: set[int]) -> str:
    """What does not hang together in results; empty where all does."""
    lines = [line for one in told.competitions for line in one.lines]
    there = {one.code for one in told.apparatus}
    if any(line.entry not in rows for line in lines):
        return "a list names somebody who is not among the gymnasts"
    if any(each and each.apparatus not in there for line in lines for each in line.routines):
        return "a list has marks of an apparatus that is not among the apparatus"
    if len(rows) < len(told.gymnasts):
        return "two gymnasts have one entry"
    if len({one.id for one in told.competitions}) < len(told.competitions):
        return "two competitions have one id"
    if (told.meet.first_day or dt.date.min) > (told.meet.last_day or dt.date.max):
        return "the last day is before the first"
    return ""


def _unfit(id: str, error: ValidationError) -> Iterator[Problem]:
    """Texts that nobody would print: with where they stand, and written out."""
    for one in error.errors():
        if one["type"] == UNFIT:
            shown = repr(one["input"][:40])
            message = f"{one['msg']}: {shown}; mend it where it comes from, and publish it again"
            column = key_path(*one["loc"])
            yield Problem(f"{id}/{RESULTS}", 0, column, "unfit-text", message, shown)


def same_meets(file: str, read: Iterable[tuple[Path, ToldResults]]) -> Iterator[Problem]:
    """A meet that two folders hold: of one title and days, and with mostly the same marks."""
    by_title: dict[object, list[tuple[Path, set[object]]]] = {}
    for folder, told in read:
        title = as_written(told.meet.title), told.meet.first_day, told.meet.last_day
        made = marks_made(told)
        for other, before in by_title.get(title, ()):
            if 2 * len(made & before) > min(len(made), len(before)):
                message = (
                    f"{other} and {folder} hold the same meet, {told.meet.title} of "
                    f"{told.meet.first_day}: its marks would count twice; name one of them, or "
                    "give each another title"
                )
                yield Problem(file, 0, "meets", "meet-twice", message)
                break
        by_title.setdefault(title, []).append((folder, made))
